//! The invoices: what the supplier bills that the tickets do not bear out, as a sheet that can be handed to the supplier.

use super::layout::{figure, line, money, numbers, text, total, unit, words};
use super::{Block, Column, Finished, Page, Row, Shown, Table};
use crate::finding::Code;
use crate::intake::{Billed, Load};
use crate::line::ledger::billed::AMOUNT;
use crate::reconcile::{Dispute, InvoiceAmounts, Unbilled, UnbilledLoad};

/// The page; `None` where nothing was invoiced.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let audit = finished.invoices;
    audit.total?;
    let mut blocks = vec![Block::Table(by_invoice(finished))];
    blocks.push(if audit.disputes.is_empty() {
        Block::Text("No line is to dispute.".into())
    } else {
        Block::Table(to_dispute(finished))
    });
    blocks.extend((!audit.credits.is_empty()).then(|| Block::Table(credits(finished))));
    blocks.push(match &audit.unbilled {
        Some(unbilled) if unbilled.loads.is_empty() => {
            Block::Text(format!("Every load received through {} is on an invoice.", unbilled.through))
        }
        Some(unbilled) => Block::Table(not_billed(finished, unbilled)),
        None => Block::Text(
            "Whether all that was received is billed is not judged: no line is for concrete, or one names no ticket and \
             may bill any load."
                .into(),
        ),
    });
    blocks.extend((!audit.unchecked.is_empty()).then(|| Block::Table(unchecked(finished))));
    blocks.extend((!audit.not_agreed.is_empty()).then(|| Block::Table(not_agreed(finished))));
    blocks.extend(counted_again(finished));
    blocks.push(Block::Text(
        "Payable is the ticket's volume, or the billed volume where that is smaller, at the agreed price, and never more \
         than what is billed; nothing of a load that is billed again, not received or rejected. Concrete that was \
         returned or wasted was batched for the buyer and is payable."
            .into(),
    ));
    Some(Page {
        id: "invoices",
        title: "Invoices",
        question: "What does the supplier bill that the tickets do not bear out?",
        blocks,
    })
}

/// Loads that two tickets say, which an invoice may bill under both numbers: the audit asks, and decides nothing.
fn counted_again(finished: Finished<'_>) -> Option<Block> {
    let twice = finished.tickets.remarks.iter().filter(|remark| remark.code == Code::LoadTwice);
    let again: usize = twice.map(|remark| remark.loads.len() - 1).sum();
    let tickets = match again {
        0 => return None,
        1 => "One ticket says a load that another ticket says".into(),
        n => format!("{n} tickets say loads that other tickets say"),
    };
    Some(Block::Text(format!(
        "{tickets} (see Tickets, load-twice). Until that is settled, what is billed for both is payable here and not in dispute."
    )))
}

fn amounts(of: &InvoiceAmounts) -> [Shown; 3] {
    [of.billed, of.payable, of.dispute].map(Shown::Figure)
}

fn columns_of_amounts(finished: Finished<'_>) -> [Column; 3] {
    ["billed", "payable", "to dispute"].map(|heading| money(heading, &finished.contract.currency, 14))
}

fn by_invoice(finished: Finished<'_>) -> Table {
    let audit = finished.invoices;
    let mut columns = vec![words("invoice", 20), numbers("lines", "", 7)];
    columns.extend(columns_of_amounts(finished));
    let row = |name: &str, lines: u32, of: &InvoiceAmounts| {
        let mut cells = vec![text(name), Shown::Count(lines.into())];
        cells.extend(amounts(of));
        cells
    };
    let invoice = |i: &crate::reconcile::InvoiceTotal| line(row(&i.number, i.rows.1 - i.rows.0, &i.amounts));
    let mut rows: Vec<Row> = audit.invoices.iter().map(invoice).collect();
    let lines = audit.invoices.last().map_or(0, |last| last.rows.1);
    rows.extend(audit.total.as_ref().map(|all| total(row("all invoices", lines, all))));
    Table {
        id: "invoices-all".into(),
        title: "By invoice".into(),
        columns,
        rows,
        note: "Lines that were not checked count as payable; they are listed below.".into(),
    }
}

/// Invoice, ticket, day, and what for.
fn columns_of_line() -> Vec<Column> {
    vec![words("invoice", 12), words("ticket", 12), words("day", 11), words("for", 11)]
}

fn cells_of_line(billed: &Billed) -> Vec<Shown> {
    vec![
        text(billed.invoice.value.to_string()),
        text(billed.ticket.as_ref().map_or_else(String::new, |ticket| ticket.value.to_string())),
        Shown::Date(billed.date.value),
        text(billed.charge.word()),
    ]
}

fn billed(finished: Finished<'_>, at: usize) -> &Billed {
    &finished.intake.records.billed[at]
}

fn amount(finished: Finished<'_>, at: usize) -> Shown {
    Shown::Cell(finished.line.ledger.billed_cell(at, AMOUNT))
}

fn to_dispute(finished: Finished<'_>) -> Table {
    let audit = finished.invoices;
    let mut columns = columns_of_line();
    columns.extend(columns_of_amounts(finished));
    columns.push(words("why", 60));
    let row = |dispute: &Dispute| {
        let mut cells = cells_of_line(billed(finished, dispute.line));
        cells.push(amount(finished, dispute.line));
        cells.extend([Shown::Figure(dispute.payable), Shown::Figure(dispute.dispute), text(dispute.why.clone())]);
        line(cells)
    };
    let mut rows: Vec<Row> = audit.disputes.iter().map(row).collect();
    if let Some(all) = &audit.disputed {
        let mut cells = vec![text("all lines"), Shown::Blank, Shown::Blank, Shown::Blank];
        cells.extend(amounts(all));
        cells.push(Shown::Blank);
        rows.push(total(cells));
    }
    Table {
        id: "invoices-dispute".into(),
        title: "Lines to dispute".into(),
        columns,
        rows,
        note: "A line with several faults is disputed once. A line of 0.00 has a fault that makes nothing dearer."
            .into(),
    }
}

fn credits(finished: Finished<'_>) -> Table {
    let row = |credit: &crate::reconcile::Credit| {
        let mut cells = cells_of_line(billed(finished, credit.line));
        cells.extend([amount(finished, credit.line), text(credit.does.clone())]);
        line(cells)
    };
    listed(
        finished,
        ("invoices-credits", "Credits"),
        "what it does",
        finished.invoices.credits.iter().map(row).collect(),
    )
}

fn unchecked(finished: Finished<'_>) -> Table {
    let row = |unchecked: &crate::reconcile::Unchecked| {
        let mut cells = cells_of_line(billed(finished, unchecked.line));
        cells.extend([amount(finished, unchecked.line), text(unchecked.why.clone())]);
        line(cells)
    };
    let rows = finished.invoices.unchecked.iter().map(row).collect();
    listed(finished, ("invoices-unchecked", "Not checked"), "why", rows)
}

/// Invoice lines with their amount and some words.
fn listed(finished: Finished<'_>, (id, title): (&str, &str), what: &str, rows: Vec<Row>) -> Table {
    let mut columns = columns_of_line();
    columns.extend([money("billed", &finished.contract.currency, 14), words(what, 60)]);
    Table { id: id.into(), title: title.into(), columns, rows, note: String::new() }
}

fn not_agreed(finished: Finished<'_>) -> Table {
    let row = |of: &crate::reconcile::NotAgreed| line(vec![text(of.what.clone()), Shown::Count(of.lines)]);
    Table {
        id: "invoices-not-agreed".into(),
        title: "What is missing to check more".into(),
        columns: vec![words("what is missing", 90), numbers("lines", "", 7)],
        rows: finished.invoices.not_agreed.iter().map(row).collect(),
        note: "Prices stand in contract.toml under [[mixes]] and [yield], charges under [supply].".into(),
    }
}

fn not_billed(finished: Finished<'_>, unbilled: &Unbilled) -> Table {
    let volume = finished.contract.system.volume();
    let cells = |load: &UnbilledLoad| {
        let ticket: &Load = &finished.intake.records.loads[load.load];
        vec![
            text(ticket.ticket.value.to_string()),
            Shown::Date(ticket.date.value),
            text(ticket.mix.as_ref().map_or_else(String::new, |mix| mix.value.to_string())),
            Shown::Cell(finished.line.ledger.load_volume(load.load)),
            figure(load.expected),
        ]
    };
    let mut rows: Vec<Row> = unbilled.loads.iter().map(|load| line(cells(load))).collect();
    rows.push(total(vec![text("all"), Shown::Blank, Shown::Blank, figure(unbilled.volume), figure(unbilled.expected)]));
    Table {
        id: "invoices-unbilled".into(),
        title: "Received and not billed".into(),
        columns: vec![
            words("ticket", 14),
            words("day", 11),
            words("mix", 14),
            numbers("volume", unit(volume), 12),
            money("to expect", &finished.contract.currency, 14),
        ],
        rows,
        note: format!(
            "Loads received through {}, the last day billed. To expect is volume at the agreed price; blank where none is \
             agreed.",
            unbilled.through
        ),
    }
}

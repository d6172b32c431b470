//! Lines to dispute: their figures, and a finding for each thing that does not agree.

use rust_decimal::Decimal;

use super::checked::Checked;
use super::due;
use super::judge::{Judged, Why};
use super::words::{Words, ticket};
use super::{Dispute, InvoiceAudit, Reason};
use crate::contract::Contract;
use crate::figure::{Book, Expr, Figure, FigureId, whole};
use crate::finding::{Finding, Place};
use crate::intake::Records;
use crate::line::ledger::billed::AMOUNT;
use crate::line::{Ledger, slug};
use crate::units::Unit;

type Held<'a> = (&'a Contract, &'a Records, &'a Ledger);

/// Takes up the lines with a fault and the credits set against them.
pub(super) fn take_up(held: Held<'_>, checked: &Checked, audit: &mut InvoiceAudit, book: &mut Book) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (judged, credited) in &checked.faults {
        let dispute = dispute(held, judged, book);
        findings.extend(judged.why.iter().map(|why| finding(held, (judged, why), *credited, &dispute, book)));
        audit.disputes.push(dispute);
    }
    audit.disputes.extend(checked.against.iter().map(|&line| credit(held, line, book)));
    audit.disputes.sort_by_key(|dispute| dispute.line);
    audit.credits.clone_from(&checked.credits);
    findings
}

/// `invoice-1002.ticket-88213.waiting` and `invoice 1002, ticket 88213, waiting`; a line that names no ticket goes by its
/// row.
fn named((_, records, _): Held<'_>, line: usize) -> (String, String) {
    let billed = &records.billed[line];
    let invoice = &billed.invoice.value;
    let which = match billed.ticket {
        Some(_) => ticket(billed),
        None => format!("row {}", billed.invoice.at.row + 1),
    };
    let word = billed.charge.word();
    let key = format!("invoice-{}.{}.{}", slug(invoice), slug(&which), slug(word));
    (key, format!("invoice {invoice}, {which}, {word}"))
}

fn dispute(held: Held<'_>, judged: &Judged, book: &mut Book) -> Dispute {
    let (contract, _, ledger) = held;
    let (key, label) = named(held, judged.line);
    let amount = ledger.billed_cell(judged.line, AMOUNT);
    let words: Vec<&str> = judged.why.iter().map(|why| why.words.as_str()).collect();
    let why = words.join("; ");
    let payable = due::payable_figure(book, &judged.due, amount, contract.roundings.money, (&key, &label, &why));
    Dispute {
        line: judged.line,
        load: judged.load,
        reasons: judged.why.iter().map(|why| why.reason).collect(),
        payable,
        dispute: difference(held, judged.line, payable, book),
        why,
    }
}

fn difference(held: Held<'_>, line: usize, payable: FigureId, book: &mut Book) -> FigureId {
    let (key, label) = named(held, line);
    let billed = Expr::from(held.2.billed_cell(line, AMOUNT));
    let figure = Figure::new(
        format!("{key}.dispute"),
        format!("{label}, billed less payable"),
        "D",
        Unit::Money,
        billed - payable,
    );
    book.add(figure)
}

/// A credit that does not cover what is disputed on its ticket: nothing of it is payable by itself, so that it takes its
/// amount off what is disputed.
fn credit(held: Held<'_>, line: usize, book: &mut Book) -> Dispute {
    let (key, label) = named(held, line);
    let payable = Figure::new(format!("{key}.payable"), format!("{label}, payable"), "P", Unit::Money, whole(0));
    let payable = book.add(payable.note("a credit, set against what is to dispute on its ticket"));
    let dispute = difference(held, line, payable, book);
    let why = "credit, set against what is to dispute on its ticket".into();
    Dispute { line, load: None, reasons: Vec::new(), payable, dispute, why }
}

fn finding(
    (contract, records, _): Held<'_>,
    (judged, why): (&Judged, &Why),
    credited: Decimal,
    dispute: &Dispute,
    book: &Book,
) -> Finding {
    let billed = &records.billed[judged.line];
    let money = |id: FigureId| Words(contract).money(book[id].value.decimal().unwrap_or_default());
    let message = format!(
        "invoice {}, {}, {} of {}: {}{}; billed {}, payable {}, {}",
        billed.invoice.value,
        ticket(billed),
        billed.charge.word(),
        billed.date.value,
        why.words,
        why.agreed.map_or_else(String::new, |line| format!(" (contract.toml, line {line})")),
        Words(contract).money(billed.amount.value),
        money(dispute.payable),
        tail(contract, judged, credited, &money(dispute.dispute), book[dispute.dispute].value.decimal()),
    );
    let load = judged.load.map(|load| Place::Row(records.loads[load].ticket.at));
    let line = why.line.map(|line| Place::Row(records.billed[line].invoice.at));
    Finding::new(why.reason.code(), Place::Row(billed.invoice.at), message, remedy(why.reason))
        .with(load.into_iter().chain(line))
}

/// `$27.00 to dispute`, with what else is in it and what is set against it.
fn tail(contract: &Contract, judged: &Judged, credited: Decimal, written: &str, amount: Option<Decimal>) -> String {
    if amount.is_none_or(|amount| amount.is_zero()) {
        return "nothing to dispute".into();
    }
    let with = match judged.why.len() {
        0 | 1 => String::new(),
        n => format!(" for this and {} more on the line", n - 1),
    };
    let less = if credited > Decimal::ZERO {
        format!(", against which {} of credits on the ticket are set", Words(contract).money(credited))
    } else {
        String::new()
    };
    format!("{written} to dispute{with}{less}")
}

fn remedy(reason: Reason) -> &'static str {
    match reason {
        Reason::Twice => {
            "ask the supplier for a credit; where the same invoice stands in two files, set one aside in contract.toml"
        }
        Reason::NotReceived => {
            "find the ticket and add its load (a row that was refused counts as missing), or dispute the line"
        }
        Reason::Rejected => "dispute the line, or correct the load's row if it went into the work",
        Reason::Volume => "dispute the difference, or correct the ticket's row if its paper says otherwise",
        Reason::Price => "ask the supplier for the agreed price, or correct the price in contract.toml",
        Reason::Mix => {
            "settle which mix was delivered; where both are names of one mix, add the name to 'also' of the mix in contract.toml"
        }
        Reason::Amount => "ask the supplier to correct the line's arithmetic",
        Reason::ShortLoad | Reason::Waiting => "dispute the difference, or correct the ticket's row or the agreement",
    }
}

//! The audit of tickets: what was checked, of how many loads it could not be, and every remark with the tickets it names.

use super::layout::{figure, line, numbers, text, unit, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::reconcile::TicketRemark;

/// The page; `None` where there are no loads.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let audit = finished.tickets;
    if audit.checks.is_empty() {
        return None;
    }
    let mut blocks = vec![Block::Table(checks(finished))];
    if !audit.unlimited.is_empty() {
        let missing = audit.unlimited.join("; ");
        blocks
            .push(Block::Text(format!("Not held against anything, because the contract states no limit: {missing}.")));
    }
    blocks.push(if audit.remarks.is_empty() {
        Block::Text("No remark on any ticket.".into())
    } else {
        Block::Table(remarks(finished))
    });
    blocks.extend((!audit.waived.is_empty()).then(|| Block::Table(waived(finished))));
    Some(Page { id: "tickets", title: "Tickets", question: "Can every ticket be true?", blocks })
}

fn checks(finished: Finished<'_>) -> Table {
    let count = |n: usize| Shown::Count(u64::try_from(n).unwrap_or(u64::MAX));
    let rows = finished.tickets.checks.iter().map(|check| {
        line(vec![
            text(check.name),
            text(check.limit.clone()),
            count(check.checked),
            count(check.unable),
            count(check.remarks),
        ])
    });
    Table {
        id: "tickets-checks".into(),
        title: "What was checked".into(),
        columns: vec![
            words("check", 42),
            words("against", 22),
            numbers("checked", "", 9),
            numbers("could not be", "", 9),
            numbers("remarks", "", 9),
        ],
        rows: rows.collect(),
        note: "Could not be: loads or batches that lack a value the check needs, such as a truck or a time.".into(),
    }
}

fn remarks(finished: Finished<'_>) -> Table {
    let rows = finished.tickets.remarks.iter().map(|remark| row(finished, remark));
    Table {
        id: "tickets-remarks".into(),
        title: "Remarks".into(),
        columns: vec![
            words("ticket", 10),
            words("day", 11),
            words("plant", 10),
            words("remark", 46),
            numbers("value", "", 10),
            numbers("limit", "", 10),
            words("in", 6),
        ],
        rows: rows.collect(),
        note: "A remark asks for a look; it changes no quantity. Each is among the findings, with all the tickets it names and what \
               would settle it."
            .into(),
    }
}

fn row(finished: Finished<'_>, remark: &TicketRemark) -> Row {
    let (loads, ledger) = (&finished.intake.records.loads, &finished.line.ledger);
    let first = remark.loads.first().copied();
    let cell = |column: u16| {
        let row = first.and_then(|load| u32::try_from(load).ok());
        row.map_or(Shown::Blank, |row| Shown::Cell(finished.book.cell(ledger.loads, row, column)))
    };
    let plant = first.and_then(|load| loads[load].plant.as_ref()).map_or_else(String::new, |p| p.value.to_string());
    let of = remark.value.map_or_else(String::new, |value| unit(finished.book[value].unit));
    line(vec![
        cell(0),
        cell(1),
        text(plant),
        text(remark.words.clone()),
        figure(remark.value),
        figure(remark.limit),
        text(of),
    ])
}

fn waived(finished: Finished<'_>) -> Table {
    let loads = &finished.intake.records.loads;
    let row = |(load, reason): &(usize, String)| {
        line(vec![
            text(loads[*load].ticket.value.to_string()),
            Shown::Date(loads[*load].date.value),
            text(reason.clone()),
        ])
    };
    Table {
        id: "tickets-waived".into(),
        title: "Over a limit that was waived".into(),
        columns: vec![words("ticket", 12), words("day", 11), words("reason", 60)],
        rows: finished.tickets.waived.iter().map(row).collect(),
        note: String::new(),
    }
}

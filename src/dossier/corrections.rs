//! What this period corrects of closed ones: lines of the estimate, and the records behind them, then and now.

use super::layout::{figure, line, money, numbers, text, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::closing::{Changed, Closing, RecordChange};
use crate::pay::Correction;

/// The page; none where no period is closed.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let closing = finished.closed?;
    let note = format!(
        "Period {} was closed through {} and stays as it is (seal {}). What its records say otherwise today falls into this \
         period.",
        closing.period, closing.through, closing.seal
    );
    let mut blocks = vec![Block::Text(note)];
    if let Some(despite) = &closing.despite {
        blocks.push(Block::Text(format!(
            "It was closed with {} open, for this reason: {}",
            despite.open.len(),
            despite.reason
        )));
    }
    blocks.extend([Block::Table(quantities(finished)), Block::Table(adjustments(finished))]);
    blocks.push(Block::Table(records(finished, closing)));
    let question = "What of this period belongs to closed ones, and because of which records?";
    Some(Page { id: "corrections", title: "Corrections", question, blocks })
}

fn word(kind: Changed) -> &'static str {
    match kind {
        Changed::New => "came in late",
        Changed::Filled => "completed",
        Changed::Differs => "changed",
        Changed::Gone => "no longer counted",
    }
}

fn period(number: Option<u32>) -> Shown {
    number.map_or(Shown::Blank, |number| Shown::Count(number.into()))
}

fn quantities(finished: Finished<'_>) -> Table {
    let rows: Vec<Row> =
        finished.estimate.corrections.iter().filter(|c| !c.adjustment).map(|c| of_line(finished, c)).collect();
    Table {
        id: "corrections-quantities".into(),
        title: "Quantities of closed periods".into(),
        columns: vec![
            words("item", 8),
            numbers("period", "", 7),
            words("day", 11),
            words("what and where", 38),
            words("change", 16),
            numbers("as closed", "", 12),
            numbers("now", "", 12),
            numbers("difference", "", 12),
            money("amount", &finished.contract.currency, 14),
            words("record", 44),
        ],
        rows: or_none(rows, 10, 3, "no quantity differs from what was closed"),
        note: "Amount: difference x unit price. Quantities are in the unit of their item.".into(),
    }
}

fn of_line(finished: Finished<'_>, correction: &Correction) -> Row {
    let now = correction.record_now.map(|at| finished.intake.sources.row(at));
    let record = match now {
        Some(now) if now == correction.record_before || correction.record_before.is_empty() => now,
        Some(now) => format!("{now}; as closed {}", correction.record_before),
        None => correction.record_before.clone(),
    };
    line(vec![
        text(finished.contract.items[correction.item].number.clone()),
        period(correction.period),
        Shown::Date(correction.day),
        text(correction.what.clone()),
        text(word(correction.kind)),
        figure(correction.before),
        figure(correction.now),
        Shown::Figure(correction.difference),
        Shown::Figure(correction.amount),
        text(record),
    ])
}

fn adjustments(finished: Finished<'_>) -> Table {
    let row = |c: &Correction| {
        line(vec![
            text(finished.contract.items[c.item].number.clone()),
            period(c.period),
            Shown::Date(c.day),
            text(c.what.clone()),
            text(word(c.kind)),
            figure(c.before),
            figure(c.now),
            Shown::Figure(c.amount),
        ])
    };
    let rows: Vec<Row> = finished.estimate.corrections.iter().filter(|c| c.adjustment).map(row).collect();
    let currency = &finished.contract.currency;
    Table {
        id: "corrections-adjustments".into(),
        title: "Adjustments of closed periods".into(),
        columns: vec![
            words("item", 8),
            numbers("period", "", 7),
            words("decided", 11),
            words("lot or section", 40),
            words("change", 16),
            money("as closed", currency, 14),
            money("now", currency, 14),
            money("difference", currency, 14),
        ],
        rows: or_none(rows, 8, 3, "no adjustment differs from what was closed"),
        note: String::new(),
    }
}

fn records(finished: Finished<'_>, closing: &Closing) -> Table {
    let rows: Vec<Row> = finished.changes.iter().map(of_record).collect();
    Table {
        id: "corrections-records".into(),
        title: "Records of closed periods, then and now".into(),
        columns: vec![
            numbers("period", "", 7),
            words("kind", 14),
            words("record", 14),
            words("change", 16),
            words("as closed", 40),
            words("now", 40),
            words("where", 40),
        ],
        rows: or_none(rows, 7, 2, "no record differs from what was closed"),
        note: format!("Every record through {} that the closing did not know, or knew otherwise.", closing.through),
    }
}

fn of_record(changed: &RecordChange) -> Row {
    let change = &changed.change;
    let (before, now) = (change.before.as_ref(), change.now.as_ref());
    let record = change.record();
    line(vec![
        period(changed.period),
        text(record.map_or_else(String::new, |r| r.table.to_string())),
        text(record.map_or_else(String::new, |r| r.name.clone())),
        text(word(change.kind())),
        text(before.map_or_else(String::new, |r| r.words(now))),
        text(now.map_or_else(String::new, |r| r.words(before))),
        text(record.map_or_else(String::new, |r| r.place.clone())),
    ])
}

/// The rows, or one that says there are none.
fn or_none(rows: Vec<Row>, columns: usize, at: usize, words: &str) -> Vec<Row> {
    if !rows.is_empty() {
        return rows;
    }
    let mut cells = vec![Shown::Blank; columns];
    cells[at] = text(words);
    vec![line(cells)]
}

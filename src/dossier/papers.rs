//! Papers that pay depends on: which have come, which are due and missing, and what they hold.

use super::layout::{line, money, text, total, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::contract::{Paper, PaperDue};
use crate::pay::{PaperLine, PaperStands};

/// The page; none where the contract asks for no papers.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    if finished.contract.papers.is_empty() {
        return None;
    }
    let mut blocks = vec![Block::Table(papers(finished))];
    blocks.extend(held(finished).map(Block::Table));
    let question = "Which papers does pay depend on, which have come, and what waits for the others?";
    Some(Page { id: "papers", title: "Papers", question, blocks })
}

fn papers(finished: Finished<'_>) -> Table {
    Table {
        id: "papers".into(),
        title: "Papers of the contract".into(),
        columns: vec![
            words("paper", 30),
            words("items", 12),
            words("from", 16),
            words("is due", 20),
            words("due", 11),
            words("stands", 22),
            words("record", 36),
            words("holds", 7),
        ],
        rows: finished.estimate.papers.iter().map(|stands| row(finished, stands)).collect(),
        note: "A record of a document is the paper where it holds each word of the paper, and names whoever issues it, or else the \
               number of one of its items."
            .into(),
    }
}

fn row(finished: Finished<'_>, stands: &PaperStands) -> Row {
    let paper = &finished.contract.papers[stands.paper];
    let document = stands.received.map(|d| &finished.intake.records.documents[d]);
    let record = document.map_or_else(String::new, |d| {
        format!("{}, {}, {}", d.number.value, d.date.value, finished.intake.sources.row(d.number.at))
    });
    line(vec![
        text(paper.paper.clone()),
        text(numbers(finished, paper)),
        text(paper.from.clone().unwrap_or_default()),
        text(when(paper)),
        stands.due.map_or(Shown::Blank, Shown::Date),
        text(word(stands)),
        text(record),
        text(if paper.holds { "yes" } else { "no" }),
    ])
}

fn numbers(finished: Finished<'_>, paper: &Paper) -> String {
    let numbers: Vec<&str> = paper.items.iter().map(|&item| finished.contract.items[item].number.as_str()).collect();
    numbers.join(", ")
}

fn when(paper: &Paper) -> String {
    match paper.due {
        PaperDue::On(_) => "on a day".into(),
        PaperDue::AfterFirst(0) => "with the first quantity".into(),
        PaperDue::Later(day, days) => format!("{days} days after the first quantity, not before {day}"),
        PaperDue::AfterFirst(days) => format!("{days} days after the first quantity"),
    }
}

fn word(stands: &PaperStands) -> String {
    match (stands.received, stands.missing, stands.due) {
        (Some(_), ..) => "received".into(),
        (None, true, Some(due)) => format!("MISSING since {due}"),
        _ => "not due yet".into(),
    }
}

/// What waits for papers now.
fn held(finished: Finished<'_>) -> Option<Table> {
    let held = *finished.estimate.settlement.line("held-for-papers")?;
    let row = |l: &PaperLine| {
        let item = &finished.contract.items[l.item];
        let names: Vec<&str> = l.papers.iter().map(|&p| finished.contract.papers[p].paper.as_str()).collect();
        line(vec![
            text(item.number.clone()),
            text(item.description.clone()),
            text(names.join("; ")),
            Shown::Date(l.since),
            Shown::Figure(l.amount),
        ])
    };
    let mut rows: Vec<Row> = finished.estimate.paper_lines.iter().filter(|l| !l.previous).map(row).collect();
    rows.push(total(vec![
        Shown::Blank,
        text("held for papers, to date"),
        Shown::Blank,
        Shown::Blank,
        Shown::Figure(held.to_date),
    ]));
    Some(Table {
        id: "papers-held".into(),
        title: "Held until they come".into(),
        columns: vec![
            words("item", 8),
            words("description", 34),
            words("missing", 34),
            words("since", 11),
            money("amount", &finished.contract.currency, 15),
        ],
        rows,
        note: "No deduction: it is paid in the period in which the paper comes. It is all that the item earned to date, with its \
               adjustments, less what of it is held for proof."
            .into(),
    })
}

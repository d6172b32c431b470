//! The first page: what is due, what is held and why, what is missing before more may be paid.

use super::estimate::settled;
use super::judged::{rate_cells, rate_columns};
use super::layout::{columns_of, line, money, numbers, text, three_columns, total, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::finding::Kind;

const CAUTION: &str = "This package says what the records show under the named rules. It is not the engineer's decision: \
whether pavement is accepted, left in place or opened to traffic is decided by the licensed engineer under the contract \
and local code.";

pub(super) fn page(finished: Finished<'_>) -> Page {
    Page {
        id: "summary",
        title: "Summary",
        question: "What is due this period, what is held and why, and what is missing?",
        blocks: vec![
            Block::Table(amounts(finished)),
            Block::Table(held(finished)),
            Block::Table(missing(finished)),
            Block::Table(read(finished)),
            Block::Caution(CAUTION.into()),
        ],
    }
}

fn amounts(finished: Finished<'_>) -> Table {
    let rows = finished.estimate.settlement.lines.iter().map(|of| {
        let cells = columns_of(of.label, &of.amounts);
        if of.key == "work" { line(cells) } else { settled(of, cells) }
    });
    let rows = rows.collect();
    Table {
        id: "summary-amounts".into(),
        title: "Due".into(),
        columns: three_columns(&finished.contract.currency, 34),
        rows,
        note: finished.closed.map_or_else(
            || "Before this period: from the same records through the end of the period before.".into(),
            |closing| format!("Before this period: as closed in period {}, seal {}.", closing.period, closing.seal),
        ),
    }
}

fn held(finished: Finished<'_>) -> Table {
    let estimate = finished.estimate;
    let mut rows: Vec<Row> = estimate
        .adjustments
        .iter()
        .map(|a| {
            let outcome = &finished.judged.outcomes[a.outcome];
            let item = &finished.contract.items[a.item];
            let mut cells = vec![text(outcome.name.clone()), text(outcome.verdict.word()), text(item.number.clone())];
            cells.extend(rate_cells(finished.book, a.rate));
            cells.extend([Shown::Figure(a.amount), text(if a.this_period { "this period" } else { "before" })]);
            line(cells)
        })
        .collect();
    let mut last = vec![Shown::Blank; 7];
    if rows.is_empty() {
        last[0] = text("nothing is adjusted or held");
        rows.push(line(last));
    } else {
        last[0] = text("all adjustments to date");
        last[5] = Shown::Figure(estimate.adjusted.to_date);
        rows.push(total(last));
    }
    Table {
        id: "summary-held".into(),
        title: "Adjusted or held, and why".into(),
        columns: [words("lot or section", 40), words("why", 26), words("item", 8)]
            .into_iter()
            .chain(rate_columns())
            .chain([money("amount", &finished.contract.currency, 16), words("period", 12)])
            .collect(),
        rows,
        note: "Each with its calculation on the page Adjustments.".into(),
    }
}

fn missing(finished: Finished<'_>) -> Table {
    let kinds = [
        (Kind::Reject, "refused: could not be read, not counted"),
        (Kind::Conflict, "conflicts: records contradict each other"),
        (Kind::Deficiency, "deficiencies: a test fails its rule"),
        (Kind::Gap, "gaps: something required is missing"),
        (Kind::Note, "notes"),
    ];
    let count =
        |kind, open: bool| finished.findings.iter().filter(|f| f.kind() == kind && (!open || f.open)).count() as u64;
    let rows = kinds
        .iter()
        .map(|&(kind, label)| {
            line(vec![text(label), Shown::Count(count(kind, false)), Shown::Count(count(kind, true))])
        })
        .collect();
    Table {
        id: "summary-findings".into(),
        title: "Findings".into(),
        columns: vec![words("", 44), numbers("found", "", 8), numbers("to settle before final", "", 22)],
        rows,
        note: "Each with its place and remedy on the page Findings.".into(),
    }
}

fn read(finished: Finished<'_>) -> Table {
    let of = |pick: fn(&crate::intake::RowCount) -> u32| {
        Shown::Count(finished.intake.sheets.iter().map(|s| u64::from(pick(&s.rows))).sum())
    };
    let sheets: std::collections::BTreeSet<_> = finished.intake.sheets.iter().map(|s| s.id).collect();
    Table {
        id: "summary-read".into(),
        title: "Rows read".into(),
        columns: vec![
            numbers("files", "", 7),
            numbers("sheets", "", 7),
            numbers("rows seen", "", 10),
            numbers("used", "", 8),
            numbers("blank", "", 8),
            numbers("headings", "", 9),
            numbers("totals", "", 8),
            numbers("refused", "", 8),
            numbers("set aside", "", 10),
        ],
        rows: vec![line(vec![
            Shown::Count(finished.intake.files.len() as u64),
            Shown::Count(sheets.len() as u64),
            of(|r| r.seen),
            of(|r| r.used),
            of(|r| r.blank),
            of(|r| r.heading),
            of(|r| r.total),
            of(|r| r.refused),
            of(|r| r.set_aside),
        ])],
        note: "Seen = used + blank + headings + totals + refused + set aside, sheet by sheet on the page Basis.".into(),
    }
}

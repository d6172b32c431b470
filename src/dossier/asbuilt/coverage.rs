//! As built: the drawing, required tests against done, every piece without proof, and the papers that are referred to.

use super::super::layout::{line, numbers, subtotal, text, words};
use super::super::{Block, Finished, Page, Row, Shown, Table};
use super::{place, strips};
use crate::works::{Covered, Piece, Stands};

const CAUTION: &str = "Ground without proof is not ground that failed, and a step on record is not a step done well: whether \
pavement is accepted or left in place is decided by the licensed engineer under the contract and local code.";

pub(super) fn page(finished: Finished<'_>) -> Page {
    let mut blocks = Vec::new();
    if !finished.works.ruled {
        let words = "contract.toml chooses no rule set for construction: the steps are drawn and listed, not judged.";
        blocks.push(Block::Text(words.into()));
    }
    if !finished.works.covered.is_empty() {
        blocks.push(Block::Table(summary(finished)));
        blocks.push(Block::Table(lacking(finished)));
    }
    blocks.extend(held(finished).map(Block::Table));
    blocks.push(Block::Caution(CAUTION.into()));
    blocks.extend(strips::strips(finished).into_iter().map(Block::Strip));
    blocks.extend(documents(finished).map(Block::Table));
    Page {
        id: "as-built",
        title: "As built",
        question: "For every foot of every lane: was each step done, in order, and what proves it?",
        blocks,
    }
}

/// Required against done, by requirement and section.
fn summary(finished: Finished<'_>) -> Table {
    let mut rows: Vec<Row> = Vec::new();
    for covered in &finished.works.covered {
        rows.push(summary_row(covered.proof.words().to_string(), covered, None));
        for (s, section) in finished.contract.sections.iter().enumerate() {
            let any = covered.pieces.iter().any(|p| p.section == s);
            rows.extend(any.then(|| summary_row(format!("in {}", section.name), covered, Some(s))));
        }
    }
    Table {
        id: "as-built-required".into(),
        title: "Required and done".into(),
        columns: vec![
            words("proof, section", 34),
            numbers("tests a piece", "", 9),
            numbers("pieces placed", "", 9),
            numbers("proved", "", 8),
            numbers("not due yet", "", 8),
            numbers("proof missing", "", 9),
            numbers("failed", "", 8),
            words("asked by", 50),
        ],
        rows,
        note: "A piece is cut as its requirement says, and counts once anything of it is placed. Failed: a test failed and no retest \
               passed, or it waits for somebody to look."
            .into(),
    }
}

fn summary_row(label: String, covered: &Covered, section: Option<usize>) -> Row {
    let own = || covered.pieces.iter().filter(|p| section.is_none_or(|s| p.section == s));
    let with = |stands: Stands| Shown::Count(own().filter(|p| p.stands == stands).count() as u64);
    let mut cells = vec![
        text(label),
        Shown::Blank,
        Shown::Count(own().count() as u64),
        with(Stands::Proved),
        with(Stands::NotDue),
        with(Stands::Missing),
        with(Stands::Failed),
        Shown::Blank,
    ];
    if section.is_some() {
        return line(cells);
    }
    cells[1] = Shown::Count(rust_decimal::prelude::ToPrimitive::to_u64(&covered.tests).unwrap_or(0));
    cells[7] = text(covered.clause.clone());
    subtotal(cells)
}

/// Every piece that is not proved and not merely young.
fn lacking(finished: Finished<'_>) -> Table {
    let mut rows: Vec<Row> = Vec::new();
    for covered in &finished.works.covered {
        let own = covered.pieces.iter().filter(|p| matches!(p.stands, Stands::Missing | Stands::Failed));
        rows.extend(own.map(|p| lacking_row(finished, covered, p)));
    }
    if rows.is_empty() {
        let mut cells = vec![Shown::Blank; 7];
        cells[0] = text("none");
        rows.push(line(cells));
    }
    Table {
        id: "as-built-lacking".into(),
        title: "Pieces without proof".into(),
        columns: vec![
            words("proof", 26),
            words("piece", 28),
            words("lanes and stations", 44),
            words("how it stands", 14),
            numbers("tests that prove", "", 9),
            words("due since", 11),
            words("tests on it", 40),
        ],
        rows,
        note: String::new(),
    }
}

fn lacking_row(finished: Finished<'_>, covered: &Covered, piece: &Piece) -> Row {
    let tests = piece.tests.iter().map(|&c| &finished.works.checks[c]).filter(|c| !c.finds.proves());
    let tests: Vec<String> = tests.map(|c| format!("{} {} ({})", c.number, c.finds.word(), c.date)).collect();
    line(vec![
        text(covered.proof.words()),
        text(piece.name.clone()),
        text(place(finished, &piece.places)),
        text(piece.stands.word()),
        Shown::Count(piece.done as u64),
        Shown::Date(piece.since),
        text(tests.join("; ")),
    ])
}

/// What waits for proof, in quantity and money.
fn held(finished: Finished<'_>) -> Option<Table> {
    let held = *finished.estimate.settlement.line("held")?;
    let now = finished.estimate.held_lines.iter().filter(|l| !l.previous);
    let mut rows: Vec<Row> = now
        .map(|l| {
            line(vec![
                text(finished.contract.items[l.item].number.clone()),
                text(l.proof.words()),
                text(l.stands.word()),
                text(place(finished, &l.places)),
                Shown::Date(l.since),
                Shown::Figure(l.quantity),
                Shown::Figure(l.amount),
            ])
        })
        .collect();
    let mut last = vec![Shown::Blank; 7];
    last[3] = text("held for proof, to date");
    last[6] = Shown::Figure(held.to_date);
    rows.push(super::super::layout::total(last));
    Some(Table {
        id: "as-built-held".into(),
        title: "Held until it is proved".into(),
        columns: vec![
            words("item", 8),
            words("waits for", 26),
            words("how it stands", 14),
            words("lanes and stations", 44),
            words("due since", 11),
            numbers("quantity", "item's unit", 13),
            super::super::layout::money("amount", &finished.contract.currency, 15),
        ],
        rows,
        note: "No deduction: it is paid in the period in which its proof comes in. Ground is held once, whatever lacks on it; price \
               adjustments of the same ground stand beside it."
            .into(),
    })
}

/// Photographs and papers.
fn documents(finished: Finished<'_>) -> Option<Table> {
    let documents = &finished.intake.records.documents;
    let row = |d: &crate::intake::Document| {
        let lanes = d.lanes.as_ref().map(|l| l.value.clone()).unwrap_or_default();
        let places: Vec<_> = d
            .between
            .iter()
            .flat_map(|(a, b)| {
                let (from, to) = (a.value.min(b.value), a.value.max(b.value));
                lanes.iter().map(move |&lane| (lane, from, to)).collect::<Vec<_>>()
            })
            .collect();
        line(vec![
            text(d.number.value.to_string()),
            Shown::Date(d.date.value),
            text(d.what.as_ref().map_or_else(String::new, |w| w.value.to_string())),
            text(place(finished, &places)),
            text(d.about.as_ref().map_or_else(String::new, |a| a.value.to_string())),
            text(d.by.as_ref().map_or_else(String::new, |b| b.value.to_string())),
            text(finished.intake.sources.row(d.number.at)),
        ])
    };
    (!documents.is_empty()).then(|| Table {
        id: "as-built-documents".into(),
        title: "Photographs and papers".into(),
        columns: vec![
            words("number", 14),
            words("day", 11),
            words("what", 14),
            words("where", 26),
            words("about", 36),
            words("by", 16),
            words("record", 40),
        ],
        rows: documents.iter().map(row).collect(),
        note: "Referred to, not read.".into(),
    })
}

//! A sheet on which a reviewer computes one line again: what is claimed, the records it rests on as they were typed, and each
//! step, with room for what the reviewer finds.
//!
//! The workbook sets it out with live formulas over the records on the same sheet; the text report and the result print it as the
//! blocks that are made here.

use super::layout::{line, text, words};
use super::{Block, Table};
use crate::figure::{CellId, FigureId, GivenId, TableId};

/// One line of an audit.
#[derive(Clone, Debug)]
pub struct WorkSheet {
    /// Name of its sheet, before it is made unlike all others: `1 item 401`.
    pub name: String,
    /// What is computed again: `1. item 401, 2031-06-09, placement P-21`.
    pub title: String,
    /// Why it was chosen.
    pub why: String,
    /// Cautions; none where it is about nothing that could hurt.
    pub cautions: Vec<String>,
    /// What is claimed.
    pub claim: Table,
    /// What it rests on, in the order of the calculation.
    pub evidence: Vec<Evidence>,
    /// Which lines of the evidence are the rows of a total.
    pub runs: Vec<Run>,
    /// The steps in the order they were computed, the amount last.
    pub steps: Vec<Step>,
    /// What the second computation says, in a sentence.
    pub verdict: String,
    /// Who signs: role and name of the party.
    pub signers: Vec<(String, String)>,
}

/// A value that a calculation takes as it finds it.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// Which record, or what was given.
    pub what: String,
    /// File.
    pub file: String,
    /// Sheet; empty where the file has none.
    pub sheet: String,
    /// Cell; of `contract.toml` its line.
    pub cell: String,
    /// Heading, or key.
    pub heading: String,
    /// As it was typed.
    pub typed: String,
    /// Unit.
    pub unit: String,
    /// The word by which a total counts it or leaves it out; empty where there is none.
    pub word: String,
    /// The value in words, for readers without the workbook.
    pub value: String,
    /// Which value.
    pub leaf: Taken,
}

/// Which value of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Taken {
    /// A given one.
    Given(GivenId),
    /// A record's.
    Cell(CellId),
}

/// The rows of a total, as lines of the evidence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// Table.
    pub table: TableId,
    /// Column added up.
    pub column: u16,
    /// Column of the words that decide; `None` where all count.
    pub words: Option<u16>,
    /// First row of the table and the row after the last.
    pub rows: (u32, u32),
    /// Place of its first line in the evidence.
    pub first: usize,
}

/// A step, and whether it came out again.
#[derive(Clone, Debug)]
pub struct Step {
    /// Figure.
    pub figure: FigureId,
    /// `equal`, or what came out.
    pub again: String,
}

impl WorkSheet {
    /// The same as blocks of a page.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block> {
        let mut blocks: Vec<Block> = self.cautions.iter().cloned().map(Block::Caution).collect();
        blocks.push(Block::Table(self.claim.clone()));
        blocks.push(Block::Table(self.evidence_table()));
        blocks.push(Block::Calculation {
            title: "Computed again".into(),
            figures: self.steps.iter().map(|step| step.figure).collect(),
            remark: self.verdict.clone(),
        });
        blocks.push(Block::Text(
            "The reviewer finds: ______________  difference: ______________  initials: ______".into(),
        ));
        blocks.push(Block::Signatures(self.signers.clone()));
        blocks
    }

    fn evidence_table(&self) -> Table {
        let row = |e: &Evidence| {
            let place = [&e.file, &e.sheet, &e.cell].into_iter().filter(|p| !p.is_empty()).cloned();
            let heading = [&e.heading, &e.word].into_iter().filter(|p| !p.is_empty()).cloned();
            line(vec![
                text(e.what.clone()),
                text(place.collect::<Vec<_>>().join(", ")),
                text(heading.collect::<Vec<_>>().join(", ")),
                text(e.typed.clone()),
                text(format!("{} {}", e.value, e.unit).trim_end()),
            ])
        };
        Table {
            id: "work-sheet-records".into(),
            title: "What it rests on".into(),
            columns: vec![
                words("what", 22),
                words("where", 34),
                words("heading", 14),
                words("as typed", 13),
                words("value", 15),
            ],
            rows: self.evidence.iter().map(row).collect(),
            note: String::new(),
        }
    }
}

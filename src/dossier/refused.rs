//! Refused rows to be sent back to whoever wrote them: each cell that is wrong with what would put it right and room for
//! its corrected value, and the rows that only the contract file can settle.

use std::collections::BTreeSet;

use super::layout::{line, text, words};
use super::{Block, Finished, Head, Page, Row, Shown, Table, UnusedLine, findings, head};
use crate::finding::{Finding, Place};
use crate::intake::{CORRECTION_HEADINGS, CorrectedCell, REFUSED, RefusedCell, SETTLE_HEADINGS, Unused};
use crate::source::{CellRef, SheetId};

/// Refused rows, as their list shows them.
#[derive(Clone, Debug)]
pub struct RefusedList {
    /// Title block.
    pub head: Head,
    /// Name of the file.
    pub file: String,
    /// Headings of the columns by which a correction is read back; the cells of the row follow.
    pub headings: [&'static str; 12],
    /// Rows that corrected cells settle, by the sheet they stand on.
    pub groups: Vec<RefusedGroup>,
    /// Headings of the sheet of the other rows.
    pub beside: [&'static str; 3],
    /// What stands in the way of the other rows: place, message, remedy.
    pub obstacles: Vec<[String; 3]>,
    /// Those rows.
    pub others: Vec<UnusedLine>,
}

/// Refused rows of one sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefusedGroup {
    /// File and sheet, in words.
    pub title: String,
    /// The cells to be corrected, in order.
    pub lines: Vec<RefusedLine>,
}

/// A cell to be corrected.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefusedLine {
    /// Path of its file.
    pub file: String,
    /// Its sheet; empty for CSV.
    pub sheet: String,
    /// `G57`.
    pub cell: String,
    /// Heading over it, as written.
    pub heading: String,
    /// What stands in it.
    pub received: String,
    /// What is wrong with it.
    pub wrong: String,
    /// What would put it right.
    pub remedy: String,
    /// By which its row is found again.
    pub mark: String,
    /// The row as received, by column.
    pub row: Vec<(u16, String)>,
    /// Its column.
    pub column: u16,
}

/// The list; none where no row was refused.
#[must_use]
pub fn refused(finished: Finished<'_>) -> Option<RefusedList> {
    let intake = finished.intake;
    let settled: BTreeSet<CellRef> = intake.refused.iter().map(|cell| cell.of).collect();
    let left = |row: &&crate::intake::UnusedRow| row.why == Unused::Refused && !settled.contains(&row.at);
    let others: Vec<UnusedLine> =
        intake.unused.iter().filter(left).map(|row| findings::unused_line(finished, row)).collect();
    if settled.is_empty() && others.is_empty() {
        return None;
    }
    let sheets: BTreeSet<SheetId> = intake.unused.iter().filter(left).map(|row| row.at.sheet).collect();
    let groups = intake.refused.chunk_by(|a, b| a.at.sheet == b.at.sheet).map(|rows| group(finished, rows)).collect();
    Some(RefusedList {
        head: head(finished),
        file: format!("{REFUSED}.xlsx"),
        headings: CORRECTION_HEADINGS,
        groups,
        beside: SETTLE_HEADINGS,
        obstacles: finished.findings.iter().filter_map(|f| obstacle(finished, f, &sheets)).collect(),
        others,
    })
}

fn group(finished: Finished<'_>, cells: &[RefusedCell]) -> RefusedGroup {
    let source = cells.first().and_then(|cell| finished.intake.sources.sheet(cell.at.sheet));
    let (file, sheet) = source.map_or_else(Default::default, |s| (s.file.clone(), s.sheet.clone().unwrap_or_default()));
    let title = if sheet.is_empty() { file.clone() } else { format!("{file}, {sheet}") };
    let line = |cell: &RefusedCell| RefusedLine {
        file: file.clone(),
        sheet: sheet.clone(),
        cell: cell.at.address(),
        heading: cell.heading.clone(),
        received: cell.received.clone(),
        wrong: cell.message.clone(),
        remedy: cell.remedy.clone(),
        mark: cell.mark.clone(),
        row: cell.row.clone(),
        column: cell.at.column,
    };
    RefusedGroup { title, lines: cells.iter().map(line).collect() }
}

/// A finding that keeps the rows of a sheet from being read, other than by their own cells.
fn obstacle(finished: Finished<'_>, finding: &Finding, sheets: &BTreeSet<SheetId>) -> Option<[String; 3]> {
    let (Place::Cell(at) | Place::Row(at)) = &finding.place else { return None };
    let of_row = finished.intake.refused.iter().any(|cell| cell.at == *at);
    let stands = finding.kind() == crate::finding::Kind::Reject && sheets.contains(&at.sheet) && !of_row;
    let place = || findings::place(&finished.intake.sources, &finding.place);
    stands.then(|| [place(), finding.message.clone(), finding.remedy.clone()])
}

/// The page of corrected rows; none where nothing was corrected.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    if finished.intake.corrected.is_empty() {
        return None;
    }
    let question = "Which refused rows were read with corrected values, who says so, and what was received?";
    let table = Table {
        id: "corrected-rows".into(),
        title: "Corrected cells of refused rows".into(),
        columns: vec![
            words("cell", 24),
            words("as received", 11),
            words("read as", 11),
            words("corrected by", 13),
            words("on", 11),
            words("in", 22),
            words("why it was refused", 30),
            words("reads now", 6),
        ],
        rows: finished.intake.corrected.iter().map(|cell| row(finished, cell)).collect(),
        note: "The sheets are as they were received; a corrected value is read in place of the one cell only.".into(),
    };
    Some(Page { id: "corrected-rows", title: "Corrected rows", question, blocks: vec![Block::Table(table)] })
}

fn row(finished: Finished<'_>, cell: &CorrectedCell) -> Row {
    let sources = &finished.intake.sources;
    line(vec![
        text(sources.cell(cell.at)),
        text(if cell.received.is_empty() { "(blank)" } else { cell.received.as_str() }),
        text(cell.value.clone()),
        text(cell.by.clone()),
        Shown::Date(cell.on),
        text(sources.cell(cell.from)),
        text(cell.reason.clone()),
        text(if cell.reads { "yes" } else { "NO" }),
    ])
}

//! Cells for which rows were refused and which somebody can correct: each with its row as it stands, the mark by which
//! the row is found again, and what is wrong.

use std::collections::BTreeMap;

use super::cell::shown;
use super::correction;
use super::grid::Line;
use super::raw::RawSheet;
use super::sheet::TypedSheet;
use super::turned::Origin;
use super::{Unused, UnusedRow};
use crate::finding::{Finding, Kind, Place};
use crate::source::CellRef;

/// A cell for which its row was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefusedCell {
    /// The cell; it may hold nothing.
    pub at: CellRef,
    /// Where the refused row is listed: its first filled cell.
    pub of: CellRef,
    /// Heading over it, as written; empty where it stands under none.
    pub heading: String,
    /// What stands in it.
    pub received: String,
    /// What is wrong with it.
    pub message: String,
    /// What would put it right.
    pub remedy: String,
    /// By which a correction finds the row again.
    pub mark: String,
    /// The filled cells of the row, by column.
    pub row: Vec<(u16, String)>,
}

/// What stands in the way of a record, by cell: what corrections may settle.
pub(super) fn faults(typed: &TypedSheet) -> impl Iterator<Item = (CellRef, CellRef, &Finding)> {
    let origin = typed.origin.as_ref();
    let listed = typed.unused.iter().filter(|u| u.why == Unused::Refused).map(|u| (record(origin, u.at), u));
    let listed: BTreeMap<u32, &UnusedRow> = listed.collect();
    typed.findings.iter().filter_map(move |finding| match finding.place {
        Place::Cell(at) if finding.kind() != Kind::Note => Some((at, listed.get(&record(origin, at))?.at, finding)),
        _ => None,
    })
}

/// Which record a cell belongs to: that of its row, or on a form on its side of its column.
pub(super) fn record(origin: Option<&Origin>, at: CellRef) -> u32 {
    match origin {
        None => at.row,
        Some(Origin::Columns) => u32::from(at.column),
        Some(Origin::Forms(cells)) => {
            cells.iter().find(|(_, own)| **own == (at.row, at.column)).map_or(u32::MAX, |((row, _), _)| *row)
        }
    }
}

/// The cells of a sheet that can be corrected, as the sheet was received.
pub(super) fn cells(raw: &RawSheet, typed: &TypedSheet) -> Vec<RefusedCell> {
    let mut cells: Vec<RefusedCell> = faults(typed).map(|(at, of, finding)| cell(raw, (at, of), finding)).collect();
    cells.sort_by_key(|cell| cell.at);
    cells
}

fn cell(raw: &RawSheet, (at, of): (CellRef, CellRef), finding: &Finding) -> RefusedCell {
    let line = line(raw, at.row);
    RefusedCell {
        at,
        of,
        heading: heading_in(&finding.message),
        received: line.at(at.column).map_or_else(String::new, |c| shown(&c.value)),
        message: finding.message.clone(),
        remedy: finding.remedy.clone(),
        mark: correction::mark(line),
        row: line.filled().map(|c| (c.column, shown(&c.value))).collect(),
    }
}

/// The heading that a message about a cell begins with, in quotes.
fn heading_in(message: &str) -> String {
    let heading = message.strip_prefix('\'').and_then(|rest| rest.split_once("': ").or(rest.split_once("' is ")));
    heading.map_or_else(String::new, |(heading, _)| heading.to_string())
}

/// A row of a sheet.
pub(super) fn line(raw: &RawSheet, row: u32) -> Line<'_> {
    let start = raw.cells.partition_point(|c| c.row < row);
    let end = raw.cells.partition_point(|c| c.row <= row);
    Line { row, cells: &raw.cells[start..end] }
}

//! Refused rows that somebody can settle by correcting cells: each with its mark, its cells as they stand, and what is
//! wrong with which of them.

use super::cell::shown;
use super::correction;
use super::grid::Line;
use super::raw::RawSheet;
use super::{Unused, UnusedRow};
use crate::finding::{Finding, Place};
use crate::source::CellRef;

/// A cell for which its row was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefusedCell {
    /// The cell; it may hold nothing.
    pub at: CellRef,
    /// Heading over it, as written; empty where it stands under none.
    pub heading: String,
    /// What stands in it.
    pub received: String,
    /// What is wrong with it.
    pub message: String,
    /// What would put it right.
    pub remedy: String,
}

/// A refused row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefusedRow {
    /// Its first filled cell.
    pub at: CellRef,
    /// By which a correction finds it again.
    pub mark: String,
    /// Its filled cells, by column.
    pub cells: Vec<(u16, String)>,
    /// Where it cannot be read.
    pub faults: Vec<RefusedCell>,
}

/// The refused rows of a sheet whose cells can be corrected, as the sheet was received.
pub(super) fn rows(raw: &RawSheet, unused: &[UnusedRow], findings: &[Finding]) -> Vec<RefusedRow> {
    let refused = unused.iter().filter(|u| u.why == Unused::Refused);
    let mut faults: Vec<(CellRef, &Finding)> = findings
        .iter()
        .filter_map(|f| match f.place {
            Place::Cell(at) => Some((at, f)),
            _ => None,
        })
        .collect();
    faults.sort_by_key(|(at, _)| *at);
    refused.filter_map(|u| row(raw, u.at, &faults)).collect()
}

fn row(raw: &RawSheet, at: CellRef, faults: &[(CellRef, &Finding)]) -> Option<RefusedRow> {
    let start = faults.partition_point(|(f, _)| f.row < at.row);
    let own: Vec<&(CellRef, &Finding)> = faults[start..].iter().take_while(|(f, _)| f.row == at.row).collect();
    if own.is_empty() {
        return None;
    }
    let line = line(raw, at.row);
    let received = |at: CellRef| line.at(at.column).map_or_else(String::new, |c| shown(&c.value));
    let fault = |(at, finding): &(CellRef, &Finding)| RefusedCell {
        at: *at,
        heading: heading_in(&finding.message),
        received: received(*at),
        message: finding.message.clone(),
        remedy: finding.remedy.clone(),
    };
    Some(RefusedRow {
        at,
        mark: correction::mark(line),
        cells: line.filled().map(|c| (c.column, shown(&c.value))).collect(),
        faults: own.into_iter().map(fault).collect(),
    })
}

/// The heading that a message about a cell begins with, in quotes.
fn heading_in(message: &str) -> String {
    let heading = message.strip_prefix('\'').and_then(|rest| rest.split_once('\''));
    heading.map_or_else(String::new, |(heading, _)| heading.to_string())
}

/// A row of a sheet.
pub(super) fn line(raw: &RawSheet, row: u32) -> Line<'_> {
    let start = raw.cells.partition_point(|c| c.row < row);
    let end = raw.cells.partition_point(|c| c.row <= row);
    Line { row, cells: &raw.cells[start..end] }
}

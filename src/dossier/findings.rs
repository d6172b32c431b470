//! Findings and rows not used, in words.

use super::{FindingLine, Finished, UnusedLine};
use crate::finding::{Finding, Place};
use crate::intake::{Unused, UnusedRow};
use crate::source::Sources;

/// A place in words.
pub(super) fn place(sources: &Sources, place: &Place) -> String {
    match place {
        Place::Cell(at) => sources.cell(*at),
        Place::Row(at) => sources.row(*at),
        Place::Line { file, line, column } => format!("{file}, line {line}, column {column}"),
        Place::File(file) => file.clone(),
        Place::Named(name) => name.clone(),
    }
}

/// A finding in words.
#[must_use]
pub fn worded(sources: &Sources, finding: &Finding) -> FindingLine {
    FindingLine {
        code: finding.code,
        kind: finding.kind(),
        place: place(sources, &finding.place),
        message: finding.message.clone(),
        remedy: finding.remedy.clone(),
        related: finding.related.iter().map(|p| place(sources, p)).collect(),
        open: finding.open,
    }
}

pub(super) fn lines(finished: Finished<'_>) -> Vec<FindingLine> {
    finished.findings.iter().map(|f| worded(&finished.intake.sources, f)).collect()
}

pub(super) fn unused(finished: Finished<'_>) -> Vec<UnusedLine> {
    finished.intake.unused.iter().map(|row| unused_line(finished, row)).collect()
}

/// A row not used, in words.
pub(super) fn unused_line(finished: Finished<'_>, row: &UnusedRow) -> UnusedLine {
    UnusedLine {
        place: finished.intake.sources.row(row.at),
        why: word(row.why).into(),
        reason: row.reason.clone(),
        cells: row.cells.clone(),
    }
}

fn word(why: Unused) -> &'static str {
    match why {
        Unused::Refused => "refused",
        Unused::AfterCutOff => "after the cut-off",
        Unused::Void => "void",
        Unused::Duplicate => "duplicate",
        Unused::SetAside => "set aside",
        Unused::Total => "total",
    }
}

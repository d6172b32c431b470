//! What a reader must see, and the rows that did not become records.

use super::address::{FIRST, Plan};
use super::leaf::Leaf;
use super::list::{List, numbers, words};
use super::style::{self, Weight};
use crate::dossier::Dossier;
use crate::finding::Kind;
use crate::render::RenderError;

/// Cells of an unused row that get a column of their own; the rest share one more.
const CELLS_APART: usize = 60;

/// Writes 'Findings', worst first.
pub(super) fn write_findings(leaf: &mut Leaf, dossier: &Dossier, plan: &Plan) -> Result<(), RenderError> {
    let columns = vec![
        numbers("No.", 6.0),
        words("Kind", 11.0),
        words("Code", 22.0),
        words("Where", 34.0),
        words("What was found", 56.0),
        words("What to do", 48.0),
        words("Other records", 34.0),
        words("Keeps it open", 10.0),
    ];
    let rows = u32::try_from(dossier.findings.len()).unwrap_or(u32::MAX);
    let what =
        "What fails a rule, contradicts, is missing or could not be read. What keeps it open can change the amount.";
    let list = List::open(leaf, &dossier.head, (&plan.names.findings, what), columns, rows)?;
    if dossier.findings.is_empty() {
        return list.words(leaf, FIRST, &["", "", "", "Nothing was found.", "", "", "", ""]);
    }
    let number = style::line(Weight::Line, true);
    for (n, (row, finding)) in (1_u64..).zip((FIRST..).zip(&dossier.findings)) {
        let related = finding.related.join("\n");
        let open = if finding.open { "yes" } else { "no" };
        let (kind, code) = (kind(finding.kind), finding.code.word());
        let cells = ["", kind, code, &finding.place, &finding.message, &finding.remedy, &related, open];
        list.words(leaf, row, &cells)?;
        leaf.count(row, 0, n, &number)?;
    }
    Ok(())
}

/// The kind as printed.
pub(super) fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Reject => "reject",
        Kind::Conflict => "conflict",
        Kind::Deficiency => "deficiency",
        Kind::Gap => "gap",
        Kind::Note => "note",
    }
}

/// Writes 'Rows not used', each with its cells as they stand on the field sheet.
pub(super) fn write_unused(leaf: &mut Leaf, dossier: &Dossier, plan: &Plan) -> Result<(), RenderError> {
    let most = dossier.unused.iter().map(|u| u.cells.len()).max().unwrap_or(0).min(CELLS_APART + 1);
    let numbered: Vec<String> = (1..=most).map(|n| format!("cell {n}")).collect();
    let mut columns = vec![words("Where", 40.0), words("Why", 14.0), words("Reason", 50.0)];
    columns.extend(numbered.iter().map(|n| words(n, 12.0)));
    let rows = u32::try_from(dossier.unused.len()).unwrap_or(u32::MAX);
    let what = "Rows of the field sheets that did not become records, whole and with the reason. Blank rows and headings \
                are counted on 'Basis'.";
    let list = List::open(leaf, &dossier.head, (&plan.names.unused, what), columns, rows)?;
    if dossier.unused.is_empty() {
        return list.words(leaf, FIRST, &["Every row was used.", "", ""]);
    }
    for (row, unused) in (FIRST..).zip(&dossier.unused) {
        let apart = unused.cells.len().min(CELLS_APART);
        let rest = unused.cells[apart..].join(" | ");
        let mut cells = vec![unused.place.as_str(), &unused.why, &unused.reason];
        cells.extend(unused.cells[..apart].iter().map(String::as_str));
        cells.extend(Some(rest.as_str()).filter(|r| !r.is_empty()));
        list.words(leaf, row, &cells)?;
    }
    Ok(())
}

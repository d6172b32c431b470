//! What a printed form brings along: signatures and page numbers under its table, and rows it has numbered that nobody
//! filled in.
//!
//! Numbered rows count as blank only where nothing but numbers in sequence follows, to the end of the table: a record
//! whose other cells were forgotten stands between records.

use super::grid::{Grid, Line};
use super::kind::Field;
use super::raw::{RawCell, RawValue};
use super::table::Table;
use super::wording::fold;

/// How a line under a table begins that is no record.
const FOOTERS: &[&str] = &[
    "page",
    "sheet",
    "inspector",
    "signed",
    "signature",
    "prepared by",
    "checked by",
    "approved by",
    "reviewed by",
    "submitted by",
    "certified by",
    "foreman",
    "superintendent",
    "contractor",
    "engineer",
    "printed",
    "continued",
    "end of report",
    "end of sheet",
    "tested in accordance",
    "i certify",
    "we certify",
];

/// Whether a line belongs to the foot of a form: it begins as one, and holds no number, and at most four cells.
pub(super) fn is_footer(table: &Table, line: Line<'_>) -> bool {
    let Some(RawValue::Text(text)) = line.first().map(|c| &c.value) else { return false };
    let folded = fold(text);
    let begins = FOOTERS.iter().any(|f| {
        folded.strip_prefix(f).is_some_and(|rest| {
            let rest = rest.trim_start();
            match *f {
                "page" | "sheet" => {
                    rest.starts_with(|c: char| c.is_ascii_digit())
                        && rest.split(' ').all(|w| w == "of" || w.bytes().all(|b| b.is_ascii_digit()))
                }
                "contractor" | "engineer" | "foreman" | "superintendent" | "inspector" => {
                    text.contains(':') || text.contains("__")
                }
                _ => rest.is_empty() || text[f.len().min(text.len())..].starts_with([' ', ':', '.', '_', '\t']),
            }
        })
    });
    let numbers = line.filled().any(|c| matches!(c.value, RawValue::Number(_)));
    let needed = |c: &RawCell| {
        let text = matches!(&c.value, RawValue::Text(t) if !t.contains([':', '_']));
        text && table
            .heading
            .columns
            .iter()
            .any(|h| h.at == c.column && h.field != table.kind.id && table.kind.needs(h.field))
    };
    begins && !numbers && line.filled().nth(4).is_none() && line.filled().skip(1).filter(|c| needed(c)).count() < 2
}

/// The whole number in the only filled cell of a row, where that cell can be the row's number.
fn number_alone(table: &Table, line: Line<'_>) -> Option<(u16, f64)> {
    let mut cells = line.filled();
    let (cell, None) = (cells.next()?, cells.next()) else { return None };
    let RawValue::Number(n) = cell.value else { return None };
    let column = table.heading.columns.iter().find(|c| c.at == cell.column);
    let may = column.is_none_or(|c| c.field == Field::Number);
    (may && n.fract() == 0.0 && n > 0.0).then_some((cell.column, n))
}

/// Whether a row was numbered by the form and left blank.
pub(super) fn is_blank(table: &mut Table, grid: &Grid<'_>, line: Line<'_>) -> bool {
    if let Some((_, is)) = table.prepared.filter(|(until, _)| line.row <= *until) {
        return is;
    }
    let Some((column, mut last)) = number_alone(table, line) else { return false };
    let from = grid.lines.partition_point(|l| l.row <= line.row);
    let (mut until, mut is) = (line.row, true);
    for below in &grid.lines[from..] {
        match number_alone(table, *below) {
            Some((at, n)) if at == column && (n - last - 1.0).abs() < f64::EPSILON => (until, last) = (below.row, n),
            _ => {
                let total = super::total::summary(table, *below).is_some();
                is = total || is_footer(table, *below) || is_heading_again(table, *below);
                break;
            }
        }
    }
    // One number under the records' own heading may be a record that nobody filled in.
    let own = table.heading.columns.iter().any(|c| c.at == column);
    is &= !own || until > line.row;
    table.prepared = Some((until, is));
    is
}

/// Whether a row holds the table's own headings again.
fn is_heading_again(table: &Table, line: Line<'_>) -> bool {
    let same = |h: &super::heading::Column| matches!(line.at(h.at).map(|c| &c.value), Some(RawValue::Text(t)) if fold(t) == fold(&h.heading));
    table.heading.columns.iter().any(same)
}

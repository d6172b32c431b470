//! The leaves of a calculation as lines to check off: file, sheet, cell, heading, the text as typed. A total is its rows, those
//! that do not count among them.

use super::super::{Evidence, Run, Taken};
use super::in_currency;
use crate::figure::{Book, CellId, CellValue, GivenId, Leaf, Origin, TableCell, Total};
use crate::source::CellRef;
use crate::units::plain;

/// Lines in order, and which of them are the rows of totals.
pub(super) fn laid_out(book: &Book, leaves: &[Leaf], currency: &str) -> (Vec<Evidence>, Vec<Run>) {
    let (mut lines, mut runs) = (Vec::new(), Vec::new());
    for leaf in leaves {
        match leaf {
            Leaf::Given(id) => lines.push(given(book, *id, currency)),
            Leaf::Cell(id) => lines.push(cell(book, *id, String::new(), currency)),
            Leaf::Rows(total) => {
                runs.push(run(total, lines.len()));
                lines.extend(rows(book, total, currency));
            }
        }
    }
    (lines, runs)
}

fn run(total: &Total, first: usize) -> Run {
    Run {
        table: total.table,
        column: total.column,
        words: total.only.map(|(column, _)| column),
        rows: total.rows,
        first,
    }
}

fn rows(book: &Book, total: &Total, currency: &str) -> impl Iterator<Item = Evidence> {
    let word = move |row: u32| {
        let cell = total.only.and_then(|(column, _)| book.table(total.table).cell(row, column));
        cell.map_or_else(String::new, |c| c.value.to_string())
    };
    let id = |row: u32| CellId { table: total.table, row, column: total.column };
    (total.rows.0..total.rows.1).map(move |row| cell(book, id(row), word(row), currency))
}

fn cell(book: &Book, id: CellId, word: String, currency: &str) -> Evidence {
    let table = book.table(id.table);
    let column = &table.columns[usize::from(id.column)];
    let cell = table.cell(id.row, id.column);
    let (file, sheet, address) = cell.and_then(|c| c.at).map_or_else(derived, |at| place(book, at));
    let value = cell.map_or_else(String::new, |c| match &c.value {
        CellValue::Number(n) => plain(*n),
        other => other.to_string(),
    });
    Evidence {
        what: table.row_name(id.row),
        file,
        sheet,
        cell: address,
        heading: column.heading.into(),
        typed: cell.map_or_else(String::new, typed),
        unit: in_currency(column.unit, currency),
        word,
        value,
        leaf: Taken::Cell(id),
    }
}

fn typed(cell: &TableCell) -> String {
    cell.typed.as_deref().map_or_else(|| cell.value.to_string(), ToString::to_string)
}

fn derived() -> (String, String, String) {
    ("not typed: put there by the program".into(), String::new(), String::new())
}

fn place(book: &Book, at: CellRef) -> (String, String, String) {
    let source = book.sources.sheet(at.sheet);
    let file = source.map_or_else(String::new, |s| s.file.clone());
    (file, source.and_then(|s| s.sheet.clone()).unwrap_or_default(), at.address())
}

fn given(book: &Book, id: GivenId, currency: &str) -> Evidence {
    let given = &book[id];
    let (file, cell, heading) = match &given.origin {
        Origin::Contract { line, key } => ("contract.toml".into(), format!("line {line}"), key.clone()),
        Origin::Rule { set, key, clause } => (format!("rule set {set}, {clause}"), String::new(), key.clone()),
        other => (other.to_string(), String::new(), String::new()),
    };
    Evidence {
        what: given.label.clone(),
        file,
        sheet: String::new(),
        cell,
        heading,
        typed: given.written.clone(),
        unit: in_currency(given.unit, currency),
        word: String::new(),
        value: plain(given.value),
        leaf: Taken::Given(id),
    }
}

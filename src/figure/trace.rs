//! Fourth reading: the chain of sources, from a figure down to the cells and what was typed in them.

use std::collections::{BTreeMap, BTreeSet};

use super::book::{Book, FigureId};
use super::expr::{Expr, Total};
use super::hand::hand;
use super::table::{CellId, CellValue, TableCell};
use crate::source::SheetId;
use crate::units::plain;

/// One line of a trace and what stands below it.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct TraceNode {
    /// What it is.
    pub text: String,
    /// What it was obtained from.
    pub below: Vec<TraceNode>,
}

/// How many rows of a total are listed before the rest is counted.
const ROWS_LISTED: u32 = 60;

/// The tree below a figure. A figure that was shown before is not opened again.
#[must_use]
pub fn trace(book: &Book, id: FigureId) -> TraceNode {
    node(book, id, &mut BTreeSet::new())
}

fn node(book: &Book, id: FigureId, seen: &mut BTreeSet<FigureId>) -> TraceNode {
    let line = hand(book, id);
    let how = if line.numbers.is_empty() { String::new() } else { format!(" = {}", line.numbers) };
    let note = if line.note.is_empty() { String::new() } else { format!("   ({})", line.note) };
    // An amount needs no unit beside it; the currency is the contract's business.
    let unit = if book[id].unit.is_money() { String::new() } else { format!(" {}", line.unit) };
    let text = format!("{} {}{}{how}{note}   [{}]", line.label, line.value, unit.trim_end(), line.key);
    if !seen.insert(id) {
        return TraceNode { text: format!("{text}   (opened above)"), below: Vec::new() };
    }
    let mut below = Vec::new();
    collect(book, &book[id].expr, seen, &mut below);
    TraceNode { text, below }
}

fn collect(book: &Book, expr: &Expr, seen: &mut BTreeSet<FigureId>, below: &mut Vec<TraceNode>) {
    match expr {
        Expr::Figure(id) => below.push(node(book, *id, seen)),
        Expr::Cell(id) => below.push(leaf(cell(book, *id))),
        Expr::Given(id) => below.push(leaf(given(book, *id))),
        Expr::Whole(_) => {}
        Expr::Total(total) => rows(book, total, below),
        Expr::LookUp(a, steps) => {
            let table = &book[*steps];
            if let Some(row) = book.evaluate(a).decimal().and_then(|d| table.find(d)) {
                let step = &table.rows[row];
                let word = if step.word.is_empty() { String::new() } else { format!(", {}", step.word) };
                below.push(leaf(format!(
                    "step {} {} gives {} {}{word}   {}, {}",
                    table.span(row),
                    table.entered_in,
                    plain(step.value),
                    table.gives,
                    table.title,
                    table.clause
                )));
            }
            collect(book, a, seen, below);
        }
        other => other.parts().into_iter().for_each(|part| collect(book, part, seen, below)),
    }
}

/// Every row of a field sheet that a figure rests on.
#[must_use]
pub fn rows_below(book: &Book, id: FigureId) -> BTreeMap<SheetId, BTreeSet<u32>> {
    let mut rows = BTreeMap::new();
    add_rows(book, &book[id].expr, &mut BTreeSet::from([id]), &mut rows);
    rows
}

fn add_rows(book: &Book, expr: &Expr, seen: &mut BTreeSet<FigureId>, rows: &mut BTreeMap<SheetId, BTreeSet<u32>>) {
    let mut add = |cell: Option<&TableCell>| {
        if let Some(at) = cell.and_then(|c| c.at) {
            rows.entry(at.sheet).or_default().insert(at.row);
        }
    };
    match expr {
        Expr::Figure(id) if seen.insert(*id) => add_rows(book, &book[*id].expr, seen, rows),
        Expr::Cell(id) => add(book.table(id.table).cell(id.row, id.column)),
        Expr::Total(total) => {
            let table = book.table(total.table);
            (total.rows.0..total.rows.1).for_each(|row| add(table.cell(row, total.column)));
        }
        other => other.parts().into_iter().for_each(|part| add_rows(book, part, seen, rows)),
    }
}

fn leaf(text: String) -> TraceNode {
    TraceNode { text, below: Vec::new() }
}

fn given(book: &Book, id: super::book::GivenId) -> String {
    let given = &book[id];
    format!("{} {} {}   {}, \"{}\"", given.label, plain(given.value), given.unit, given.origin, given.written)
}

fn cell(book: &Book, id: CellId) -> String {
    let table = book.table(id.table);
    let column = &table.columns[usize::from(id.column)];
    let heading = column.heading;
    let Some(cell) = table.cell(id.row, id.column) else { return String::new() };
    let value = match &cell.value {
        CellValue::Number(n) => format!("{} {}", plain(*n), column.unit),
        other => other.to_string(),
    };
    let place = cell.at.map_or_else(|| "derived".into(), |at| book.sources.cell(at));
    let typed = cell.typed.as_deref().map_or_else(|| cell.value.to_string(), ToString::to_string);
    format!("{}, {heading} {value}   {place}, \"{typed}\"", table.row_name(id.row))
}

fn rows(book: &Book, total: &Total, below: &mut Vec<TraceNode>) {
    let table = book.table(total.table);
    let wanted: Vec<u32> = (total.rows.0..total.rows.1)
        .filter(|&row| {
            total
                .only
                .is_none_or(|(c, word)| table.cell(row, c).is_some_and(|cell| cell.value == CellValue::Word(word)))
        })
        .filter(|&row| table.number(row, total.column).is_some())
        .collect();
    for &row in wanted.iter().take(ROWS_LISTED as usize) {
        below.push(leaf(cell(book, CellId { table: total.table, row, column: total.column })));
    }
    if wanted.len() > ROWS_LISTED as usize {
        let rest = wanted.len() - ROWS_LISTED as usize;
        below.push(leaf(format!("and {rest} more rows of {}, listed in the workbook", table.name)));
    }
}

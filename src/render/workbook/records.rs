//! The records that were used, one sheet to each kind, every value typed, and at the right of each row the sheet (by its
//! number on 'Basis') and the row it was read from.

use rust_xlsxwriter::Format;

use super::address::{FIRST, Plan};
use super::leaf::{Leaf, binary};
use super::list::{self, List, numbers, words};
use super::style::{self, Weight};
use crate::dossier::Dossier;
use crate::figure::{Book, CellValue, Column, TableCell, TableId};
use crate::render::RenderError;

/// How many rows are looked at to find the width of a column.
const ROWS_MEASURED: usize = 200;

/// Tables with more rows are written without ground and rules: styling each cell would take as long as writing it.
const BULK: u32 = 20_000;

/// Formats of a column, made once. `None` writes a cell in the typeface of the sheet and nothing else.
struct Formats {
    number: Option<Format>,
    words: Option<Format>,
    day: Format,
    time: Format,
}

impl Formats {
    fn styled(column: &Column, first: bool) -> Self {
        let right = style::typed(style::line(Weight::Line, true));
        let left = style::typed(style::line(Weight::Line, false));
        let left = if first { left } else { style::set_off(left) };
        Self {
            number: Some(column.decimals.map_or_else(|| right.clone(), |d| style::decimals(right.clone(), d))),
            day: style::day(left.clone()),
            time: style::time(left.clone()),
            words: Some(left),
        }
    }

    fn bulk(column: &Column) -> Self {
        Self {
            number: column.decimals.map(|d| style::decimals(style::base(), d)),
            day: style::day(style::base()),
            time: style::time(style::base()),
            words: None,
        }
    }
}

/// Writes the sheet of one table, row by row.
pub(super) fn write(
    leaf: &mut Leaf,
    dossier: &Dossier,
    book: &Book,
    plan: &Plan,
    (id, name): (TableId, &str),
) -> Result<(), RenderError> {
    let table = book.table(id);
    let texts: Vec<String> = table.columns.iter().map(|c| heading(c, &dossier.head.currency)).collect();
    let mut columns: Vec<list::Heading> = Vec::new();
    for (at, text) in texts.iter().enumerate() {
        let (width, numeric) = measure(book, id, at, text);
        columns.push(if numeric { numbers(text, width) } else { words(text, width) });
    }
    columns.extend([numbers("Sheet no.", 8.0), numbers("Row", 8.0)]);
    let what = format!("As read and used; the sheet numbers are listed on '{}'.", plan.names.basis);
    List::open(leaf, &dossier.head, (name, &what), columns, table.len())?;
    let bulk = table.len() > BULK;
    let formats: Vec<Formats> = table
        .columns
        .iter()
        .enumerate()
        .map(|(n, c)| if bulk { Formats::bulk(c) } else { Formats::styled(c, n == 0) })
        .collect();
    let source = (!bulk).then(|| style::line(Weight::Line, true));
    for (row, cells) in (FIRST..).zip(table.rows()) {
        for (column, (cell, format)) in (0_u16..).zip(cells.iter().zip(&formats)) {
            write_value(leaf, row, column, cell, format)?;
        }
        if let Some(at) = cells.iter().find_map(|c| c.at) {
            let right = u16::try_from(cells.len()).unwrap_or(u16::MAX);
            leaf.real(row, right, f64::from(at.sheet.0) + 1.0, source.as_ref())?;
            leaf.real(row, right + 1, f64::from(at.row) + 1.0, source.as_ref())?;
        }
    }
    Ok(())
}

fn heading(column: &Column, currency: &str) -> String {
    let unit = list::unit(column.unit, currency);
    if unit.is_empty() { column.heading.into() } else { format!("{}, {unit}", column.heading) }
}

/// Width of a column from its heading and its first rows, and whether it holds numbers.
fn measure(book: &Book, id: TableId, at: usize, heading: &str) -> (f64, bool) {
    let mut longest = heading.split(' ').map(str::len).max().unwrap_or(0) + 2;
    let mut numeric = false;
    for cell in book.table(id).rows().take(ROWS_MEASURED).filter_map(|row| row.get(at)) {
        numeric |= matches!(cell.value, CellValue::Number(_));
        let length = match &cell.value {
            CellValue::Number(n) => n.normalize().to_string().len() + 3,
            other => other.to_string().chars().count(),
        };
        longest = longest.max(length.min(40) + 2);
    }
    (u32::try_from(longest).map_or(12.0, f64::from).max(9.0), numeric)
}

fn write_value(leaf: &mut Leaf, row: u32, column: u16, cell: &TableCell, f: &Formats) -> Result<(), RenderError> {
    match &cell.value {
        CellValue::Blank => f.words.as_ref().map_or(Ok(()), |format| leaf.blank(row, column, format)),
        CellValue::Number(n) => leaf.real(row, column, binary(*n), f.number.as_ref()),
        CellValue::Text(text) => leaf.words(row, column, text, f.words.as_ref()),
        CellValue::Word(word) => leaf.words(row, column, word, f.words.as_ref()),
        CellValue::Date(day) => leaf.day(row, column, *day, &f.day),
        CellValue::Time(time) => leaf.time(row, column, *time, &f.time),
    }
}

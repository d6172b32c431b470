//! Tables of records, as the figures and the workbook see them.
//!
//! Bulk stays bulk: a total over 200,000 loads is one node over a run of rows of one column. Tables that are totalled by
//! group are therefore sorted by that group before they get here.

use chrono::{NaiveDate, NaiveTime};
use rust_decimal::Decimal;

use crate::source::CellRef;
use crate::units::Unit;

/// Which table of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TableId(pub(super) u16);

/// One cell of a table of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CellId {
    /// Table.
    pub table: TableId,
    /// Row from 0, headings not counted.
    pub row: u32,
    /// Column from 0.
    pub column: u16,
}

/// A value of a record.
#[derive(Clone, Debug, PartialEq)]
pub enum CellValue {
    /// Nothing was entered.
    Blank,
    /// A number in its column's unit.
    Number(Decimal),
    /// A name, ticket, remark.
    Text(Box<str>),
    /// A word of the program's own closed lists, such as how a load ended.
    Word(&'static str),
    /// A day.
    Date(NaiveDate),
    /// A time of day.
    Time(NaiveTime),
}

/// A value with where it stood and what stood there.
#[derive(Clone, Debug, PartialEq)]
pub struct TableCell {
    /// The value as understood.
    pub value: CellValue,
    /// Its cell; `None` where the program derived it (a group number, a word).
    pub at: Option<CellRef>,
    /// The text as typed, where it differs from the value written plainly.
    pub typed: Option<Box<str>>,
}

impl TableCell {
    /// A value the program put there itself.
    #[must_use]
    pub fn derived(value: CellValue) -> Self {
        Self { value, at: None, typed: None }
    }

    /// Nothing.
    #[must_use]
    pub fn blank() -> Self {
        Self::derived(CellValue::Blank)
    }
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Heading.
    pub heading: &'static str,
    /// Unit of its numbers.
    pub unit: Unit,
    /// Decimals its numbers are shown with; `None` shows each as it is.
    pub decimals: Option<u8>,
}

/// Records of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its name, also the sheet's: `Loads`.
    pub name: &'static str,
    /// Columns. The first names the record in calculations (core number, ticket).
    pub columns: Vec<Column>,
    cells: Vec<TableCell>,
}

impl Table {
    /// An empty table.
    #[must_use]
    pub fn new(name: &'static str, columns: Vec<Column>) -> Self {
        Self { name, columns, cells: Vec::new() }
    }

    /// Takes up a row; short rows are filled with blanks, long ones cut to the columns.
    pub fn push(&mut self, row: impl IntoIterator<Item = TableCell>) {
        let before = self.cells.len();
        self.cells.extend(row.into_iter().take(self.columns.len()));
        self.cells.resize(before + self.columns.len(), TableCell::blank());
    }

    /// Number of rows.
    #[must_use]
    pub fn len(&self) -> u32 {
        u32::try_from(self.cells.len() / self.columns.len().max(1)).unwrap_or(u32::MAX)
    }

    /// True without rows.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.cells.is_empty()
    }

    /// One cell.
    #[must_use]
    pub fn cell(&self, row: u32, column: u16) -> Option<&TableCell> {
        let width = self.columns.len();
        (usize::from(column) < width).then(|| self.cells.get(row as usize * width + usize::from(column))).flatten()
    }

    /// Rows in order.
    pub fn rows(&self) -> impl Iterator<Item = &[TableCell]> {
        self.cells.chunks(self.columns.len().max(1))
    }

    /// The number in a cell, if it holds one.
    #[must_use]
    pub fn number(&self, row: u32, column: u16) -> Option<Decimal> {
        match self.cell(row, column)?.value {
            CellValue::Number(n) => Some(n),
            _ => None,
        }
    }

    /// What a calculation calls the record of a row: its first column.
    #[must_use]
    pub fn row_name(&self, row: u32) -> String {
        self.cell(row, 0).map_or_else(String::new, |c| c.value.to_string())
    }
}

impl std::fmt::Display for CellValue {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            CellValue::Blank => Ok(()),
            CellValue::Number(n) => write!(f, "{}", n.normalize()),
            CellValue::Text(text) => f.write_str(text),
            CellValue::Word(word) => f.write_str(word),
            CellValue::Date(date) => write!(f, "{date}"),
            CellValue::Time(time) => write!(f, "{}", time.format("%H:%M")),
        }
    }
}

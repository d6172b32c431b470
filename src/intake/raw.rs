//! A sheet as it lies in its file, before anyone asks what it means.
//!
//! Only filled cells are kept, in reading order: never a dense range. Whoever opens a file yields these; whoever
//! recognises headings reads them.

use crate::source::SheetId;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum RawValue {
    /// Text, line breaks kept.
    Text(Box<str>),
    /// A number.
    Number(f64),
    /// A date and time by the sheet's own number format: days since the workbook's epoch, already brought to the 1900
    /// system's serial (1 = 1900-01-01 with the phantom 1900-02-29 counted).
    Moment(f64),
    /// A duration by the sheet's own number format, in days.
    Span(f64),
    /// True or false.
    Truth(bool),
    /// `#DIV/0!` and its kin, as shown.
    Error(Box<str>),
    /// A formula whose value was never stored.
    Unstored,
}

/// A filled cell.
#[derive(Clone, Debug, PartialEq)]
pub struct RawCell {
    /// Row from 0, as on the sheet.
    pub row: u32,
    /// Column from 0, as on the sheet.
    pub column: u16,
    /// What stands there.
    pub value: RawValue,
    /// Struck out by its font.
    pub struck: bool,
}

/// A sheet with its filled cells in row, then column order.
#[derive(Clone, Debug, PartialEq)]
pub struct RawSheet {
    /// File and sheet in the sources.
    pub id: SheetId,
    /// Path inside the contract folder, `field/...`.
    pub file: String,
    /// Sheet name; `None` for CSV.
    pub name: Option<String>,
    /// Filled cells.
    pub cells: Vec<RawCell>,
    /// Merged areas: first row, first column, last row, last column.
    pub merged: Vec<(u32, u16, u32, u16)>,
    /// Rows hidden on the sheet.
    pub hidden_rows: Vec<u32>,
    /// True where the whole sheet is hidden.
    pub hidden: bool,
    /// False for chart sheets and the like, which hold no cells.
    pub grid: bool,
    /// True for text whose values are separated by semicolons: a comma in a number may stand for the decimal point.
    pub semicolons: bool,
}

//! A file as received, the refusals that name it, and the one place where cells are taken up and counted against the caps.

use std::borrow::Cow;
use std::collections::BTreeSet;

use crate::finding::{Code, Finding, Place};
use crate::intake::raw::{RawCell, RawSheet, RawValue};
use crate::intake::setting::Caps;
use crate::legible::legible;
use crate::source::{SheetId, column_letters};

/// A file in memory with the name that messages use and the sizes it must keep to.
#[derive(Clone, Copy)]
pub(super) struct Received<'a> {
    /// `field/july/cores.xlsx`.
    pub(super) shown: &'a str,
    /// Its bytes.
    pub(super) bytes: &'a [u8],
    /// Sizes beyond which it is refused.
    pub(super) caps: &'a Caps,
}

impl Received<'_> {
    /// Refuses the file.
    pub(super) fn refuse(&self, message: impl Into<String>, remedy: impl Into<String>) -> Finding {
        Finding::new(Code::FileUnreadable, Place::File(self.shown.to_owned()), message, remedy)
    }

    /// Refuses the file because of one of its sheets; a text file has no sheet name.
    pub(super) fn refuse_sheet(
        &self,
        sheet: Option<&str>,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Finding {
        let place = sheet.map_or_else(|| self.shown.to_owned(), |sheet| format!("{}, {}", self.shown, legible(sheet)));
        Finding::new(Code::FileUnreadable, Place::File(place), message, remedy)
    }

    /// Sheets are asked for by name, so two of one name cannot both be read.
    pub(super) fn names_differ<'n>(&self, names: impl IntoIterator<Item = &'n str>) -> Result<(), Finding> {
        let mut known = BTreeSet::new();
        match names.into_iter().find(|name| !known.insert(*name)) {
            None => Ok(()),
            Some(name) => Err(self.refuse_sheet(
                Some(name),
                "two sheets have this name",
                "open it in a spreadsheet program, rename one of them, and save it again",
            )),
        }
    }

    /// A sheet of this file without cells yet.
    pub(super) fn sheet(&self, name: Option<String>) -> RawSheet {
        RawSheet {
            id: SheetId(0),
            file: self.shown.to_owned(),
            name: name.map(|name| legible(&name).into_owned()),
            cells: Vec::new(),
            merged: Vec::new(),
            hidden_rows: Vec::new(),
            hidden: false,
            grid: true,
            semicolons: false,
        }
    }
}

/// Takes up the cells of one file and holds them to the caps: in rows, columns, number, and memory for their text.
pub(super) struct Filling<'a> {
    received: Received<'a>,
    cells: u64,
    text: u64,
}

impl<'a> Filling<'a> {
    /// Nothing taken up yet.
    pub(super) fn new(received: &Received<'a>) -> Self {
        Self { received: *received, cells: 0, text: 0 }
    }

    /// Takes up one filled cell. Empty text is no filling: the cell looks blank.
    pub(super) fn add(
        &mut self,
        sheet: &mut RawSheet,
        (row, column): (u32, u32),
        value: RawValue,
        struck: bool,
    ) -> Result<(), Finding> {
        let caps = self.received.caps;
        let column = match u16::try_from(column) {
            Ok(column) if row < caps.rows && column < caps.columns => column,
            _ => return Err(self.outside(sheet, row, column)),
        };
        let value = match value {
            RawValue::Text(text) if text.is_empty() => return Ok(()),
            RawValue::Text(text) => RawValue::Text(self.text(sheet, (row, column), text)?),
            RawValue::Error(text) => RawValue::Error(self.text(sheet, (row, column), text)?),
            RawValue::Number(number) | RawValue::Moment(number) | RawValue::Span(number) if !number.is_finite() => {
                RawValue::Error("not a finite number".into())
            }
            other => other,
        };
        self.cells += 1;
        if self.cells > caps.cells {
            return Err(self.received.refuse_sheet(
                sheet.name.as_deref(),
                format!("the file has more than {} filled cells", caps.cells),
                "split it into smaller files",
            ));
        }
        sheet.cells.push(RawCell { row, column, value, struck });
        Ok(())
    }

    fn outside(&self, sheet: &RawSheet, row: u32, column: u32) -> Finding {
        let caps = self.received.caps;
        let message = if row >= caps.rows {
            format!("row {} is filled, and no more than {} rows are read", u64::from(row) + 1, caps.rows)
        } else {
            format!("column {} is filled, and no more than {} columns are read", u64::from(column) + 1, caps.columns)
        };
        self.received.refuse_sheet(sheet.name.as_deref(), message, "remove what stands so far out, or split the sheet")
    }

    fn text(&mut self, sheet: &RawSheet, (row, column): (u32, u16), text: Box<str>) -> Result<Box<str>, Finding> {
        let caps = self.received.caps;
        if text.len() > caps.text && text.chars().count() > caps.text {
            return Err(self.received.refuse_sheet(
                sheet.name.as_deref(),
                format!(
                    "cell {}{} holds more than {} characters",
                    column_letters(column),
                    u64::from(row) + 1,
                    caps.text
                ),
                "shorten the cell; for a text file, see whether a quotation mark is missing before it",
            ));
        }
        let text = match legible(&text) {
            Cow::Borrowed(_) => text,
            Cow::Owned(marked) => marked.into_boxed_str(),
        };
        self.text = self.text.saturating_add(u64::try_from(text.len()).unwrap_or(u64::MAX));
        if self.text > caps.text_bytes {
            return Err(self.received.refuse_sheet(
                sheet.name.as_deref(),
                format!("the texts of its cells take more than {}", size(caps.text_bytes)),
                "split it into smaller files",
            ));
        }
        Ok(text)
    }

    /// Brings a sheet into row, then column order; a cell that stands there twice cannot be trusted either time.
    pub(super) fn close(&self, mut sheet: RawSheet) -> Result<RawSheet, Finding> {
        if !sheet.cells.is_sorted_by_key(|cell| (cell.row, cell.column)) {
            sheet.cells.sort_by_key(|cell| (cell.row, cell.column));
        }
        let twice = sheet.cells.windows(2).find(|pair| (pair[0].row, pair[0].column) == (pair[1].row, pair[1].column));
        if let Some(pair) = twice {
            let address = format!("{}{}", column_letters(pair[0].column), u64::from(pair[0].row) + 1);
            return Err(self.received.refuse_sheet(
                sheet.name.as_deref(),
                format!("cell {address} stands in the file twice"),
                "open it in a spreadsheet program, look at that cell, and save it again",
            ));
        }
        sheet.merged.sort_unstable();
        sheet.hidden_rows.sort_unstable();
        sheet.hidden_rows.dedup();
        Ok(sheet)
    }
}

/// Text of which only a part is struck out says neither the one nor the other.
pub(super) fn partly_struck(text: &str) -> RawValue {
    RawValue::Error(format!("partly struck out: {text}").into_boxed_str())
}

/// `2 GB`, `256 MB`, `40 bytes`: a cap as people say it.
pub(super) fn size(bytes: u64) -> String {
    match bytes {
        0..1_048_576 => format!("{bytes} bytes"),
        1_048_576..1_073_741_824 => format!("{} MB", bytes >> 20),
        _ => format!("{} GB", bytes >> 30),
    }
}

/// A number shown as a percentage, as the percentage that is shown: what stands in the file is its hundredth.
pub(super) fn as_percent(value: RawValue) -> RawValue {
    match value {
        RawValue::Number(hundredths) => crate::units::decimal_of(hundredths * 100.0)
            .map_or(RawValue::Number(hundredths), |shown| RawValue::Text(format!("{shown}%").into())),
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{refusal, refusal_within, simple};
    use super::*;

    const ROWS: &str =
        r#"<row r="1"><c r="A1"><v>1</v></c><c r="C1"><v>2</v></c></row><row r="9"><c r="B9"><v>3</v></c></row>"#;

    #[test]
    fn each_cap_is_named_when_it_is_passed() {
        let caps = Caps::default();
        for (caps, message) in [
            (Caps { rows: 8, ..caps }, "row 9 is filled, and no more than 8 rows are read"),
            (Caps { columns: 2, ..caps }, "column 3 is filled, and no more than 2 columns are read"),
            (Caps { cells: 2, ..caps }, "the file has more than 2 filled cells"),
        ] {
            assert_eq!(refusal_within(&simple(ROWS), "field/a.xlsx", &caps), message);
        }
        let caps = Caps { text: 3, ..caps };
        assert_eq!(refusal_within(b"a,long\n", "field/a.csv", &caps), "cell B1 holds more than 3 characters");
        assert_eq!(refusal_within("a,äöü\n".as_bytes(), "field/a.csv", &caps), "it was read");
    }

    #[test]
    fn text_that_repeats_is_counted_each_time() {
        let caps = Caps { text_bytes: 4_000, ..Caps::default() };
        let line = "x".repeat(500);
        let rows = vec![line; 9].join("\n");
        assert_eq!(
            refusal_within(rows.as_bytes(), "field/a.csv", &caps),
            "the texts of its cells take more than 4000 bytes"
        );
    }

    #[test]
    fn a_cell_that_stands_twice_is_refused() {
        let twice = simple(r#"<row r="1"><c r="A1"><v>1</v></c></row><row r="1"><c r="A1"><v>2</v></c></row>"#);
        assert_eq!(refusal(&twice, "field/a.xlsx"), "cell A1 stands in the file twice");
    }
}

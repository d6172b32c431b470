//! Rank 1. Where a value came from: file, sheet, row, column.
//!
//! A [`CellRef`] is eight bytes, carried by every value from the moment it is read; [`Sources`] turns it back into words.

use std::collections::BTreeSet;

use serde::{Serialize, Serializer};

/// Which sheet of which file, by its place in [`Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct SheetId(pub u16);

/// One cell as it stands on its sheet. Row and column count from 0; they are written from 1 and `A`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CellRef {
    /// File and sheet.
    pub sheet: SheetId,
    /// Row from 0.
    pub row: u32,
    /// Column from 0.
    pub column: u16,
}

impl CellRef {
    /// A cell of a sheet.
    #[must_use]
    pub fn new(sheet: SheetId, row: u32, column: u16) -> Self {
        Self { sheet, row, column }
    }

    /// `G57`.
    #[must_use]
    pub fn address(self) -> String {
        format!("{}{}", column_letters(self.column), self.row + 1)
    }
}

impl Serialize for CellRef {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        (self.sheet.0, self.address()).serialize(serializer)
    }
}

/// `A`, `Z`, `AA`: the letters over a column, counted from 0.
#[must_use]
pub fn column_letters(column: u16) -> String {
    let mut letters = Vec::new();
    let mut left = u32::from(column) + 1;
    while left > 0 {
        left -= 1;
        letters.push(char::from(b'A' + u8::try_from(left % 26).unwrap_or(0)));
        left /= 26;
    }
    letters.iter().rev().collect()
}

/// A sheet of an input file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SheetSource {
    /// Path inside the contract folder, with `/`.
    pub file: String,
    /// The sheet's name; `None` for a file that has no sheets (CSV).
    pub sheet: Option<String>,
}

impl SheetSource {
    /// One of its cells, both counted from 0: `field/cores.ods, Cores!G57`; of CSV `field/plant-b.csv, row 214, column F`.
    #[must_use]
    pub fn cell(&self, row: u32, column: u16) -> String {
        let (file, letters, row) = (&self.file, column_letters(column), row + 1);
        match &self.sheet {
            Some(sheet) => format!("{file}, {sheet}!{letters}{row}"),
            None => format!("{file}, row {row}, column {letters}"),
        }
    }
}

/// Every sheet read, in the order of file name and place in the file.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Sources(Vec<SheetSource>);

impl Sources {
    /// Takes up a sheet.
    pub fn add(&mut self, file: impl Into<String>, sheet: Option<String>) -> SheetId {
        let id = SheetId(u16::try_from(self.0.len()).unwrap_or(u16::MAX));
        self.0.push(SheetSource { file: file.into(), sheet });
        id
    }

    /// File and sheet of an id.
    #[must_use]
    pub fn sheet(&self, id: SheetId) -> Option<&SheetSource> {
        self.0.get(usize::from(id.0))
    }

    /// All, with their ids.
    pub fn iter(&self) -> impl Iterator<Item = (SheetId, &SheetSource)> {
        self.0.iter().enumerate().map(|(i, s)| (SheetId(u16::try_from(i).unwrap_or(u16::MAX)), s))
    }

    /// `field/cores.ods, Cores!G57`; a CSV cell is `field/plant-b.csv, row 214, column F`.
    #[must_use]
    pub fn cell(&self, at: CellRef) -> String {
        self.sheet(at.sheet).map_or_else(|| String::from("unknown sheet"), |source| source.cell(at.row, at.column))
    }

    /// `field/cores.ods, Cores, rows 57, 58`. Rows count from 0.
    #[must_use]
    pub fn rows(&self, sheet: SheetId, rows: &BTreeSet<u32>) -> String {
        let Some(SheetSource { file, sheet }) = self.sheet(sheet) else { return String::from("unknown sheet") };
        let name = sheet.as_ref().map_or_else(String::new, |sheet| format!(", {sheet}"));
        let numbers: Vec<String> = rows.iter().map(|row| (row + 1).to_string()).collect();
        format!("{file}{name}, {} {}", if rows.len() == 1 { "row" } else { "rows" }, numbers.join(", "))
    }

    /// `field/cores.ods, Cores, row 57`.
    #[must_use]
    pub fn row(&self, at: CellRef) -> String {
        match self.sheet(at.sheet) {
            Some(SheetSource { file, sheet: Some(sheet) }) => format!("{file}, {sheet}, row {}", at.row + 1),
            Some(SheetSource { file, sheet: None }) => format!("{file}, row {}", at.row + 1),
            None => String::from("unknown sheet"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_lettered_as_spreadsheets_do() {
        for (column, letters) in [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA"), (16_383, "XFD")] {
            assert_eq!(column_letters(column), letters);
        }
    }
}

//! Refused rows that come back: the list of refused cells with the columns for the corrected value, for who corrected it
//! and when, filled in and put into `field/`.
//!
//! A list is known by its headings, whatever program saved it. A line is bound to its row by the row's mark, which is made
//! of what stands in the row, so that a correction never reaches a row that says something else.

use chrono::NaiveDate;

use super::cell::{is_blank, shown};
use super::date::{self, NoDate};
use super::grid::{Line, lines};
use super::raw::{RawSheet, RawValue};
use super::setting::Dates;
use crate::fingerprint::fingerprint;
use crate::source::{SheetSource, column_letters};

/// Headings of the list, in order; the cells of the row as received stand behind them.
pub const CORRECTION_HEADINGS: [&str; 12] = [
    "No.",
    "File",
    "Sheet",
    "Cell",
    "Heading",
    "As received",
    "What is wrong",
    "What would put it right",
    "Corrected value",
    "Corrected by",
    "Corrected on",
    "Row mark",
];

/// Headings of the sheet beside the list: rows that no corrected cell settles. It says nothing to be read back.
pub const SETTLE_HEADINGS: [&str; 3] = ["Where", "What is wrong", "What would settle it"];

/// What the name of a file of corrections must hold.
pub const REFUSED: &str = "refused";

/// Rows among which the headings of a list are sought.
const HEADING_WITHIN: usize = 20;

/// Where the columns of a list stand.
#[derive(Clone, Copy, Debug)]
struct Columns {
    file: u16,
    sheet: u16,
    cell: u16,
    value: u16,
    by: u16,
    on: u16,
    mark: u16,
}

/// One line of a list, filled in and complete.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Correction {
    /// File of the row, `field/...`.
    pub(super) file: String,
    /// Its sheet; `None` for CSV.
    pub(super) sheet: Option<String>,
    /// Row from 0, as it was when the list was made.
    pub(super) row: u32,
    /// Column from 0.
    pub(super) column: u16,
    /// The row's mark.
    pub(super) mark: String,
    /// What is to stand there.
    pub(super) value: RawValue,
    /// Who says so.
    pub(super) by: String,
    /// Since when.
    pub(super) on: NaiveDate,
}

/// How a line of a list was filled in.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Entry {
    /// A heading, or the title of a group of lines.
    Heading,
    /// Nothing was filled in.
    Empty,
    /// Something cannot be used; column, message and remedy.
    Fault(u16, String, String),
    /// Complete.
    Sound(Box<Correction>),
}

/// A list of corrections as it was read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct List {
    /// Its file and sheet.
    pub(super) source: SheetSource,
    /// Column of the corrected values.
    pub(super) value: u16,
    /// Its filled rows.
    pub(super) entries: Vec<(u32, Entry)>,
}

/// Whether a file may hold corrections, by its name.
pub(super) fn may_hold(file: &str) -> bool {
    file.rsplit('/').next().is_some_and(|name| name.to_lowercase().contains(REFUSED))
}

/// Whether a sheet is a list of corrections, or the one beside it.
pub(super) fn is_list(raw: &RawSheet) -> bool {
    heading(raw).is_some() || is_beside(raw)
}

/// Whether a sheet shows the rows that no corrected cell settles.
fn is_beside(raw: &RawSheet) -> bool {
    lines(raw).take(HEADING_WITHIN).any(|line| {
        let texts = line.filled().map(|c| shown(&c.value));
        texts.take(SETTLE_HEADINGS.len()).eq(SETTLE_HEADINGS.map(String::from))
    })
}

/// Reads a list; `None` where the sheet is none.
pub(super) fn read(raw: &RawSheet, dates: Dates) -> Option<List> {
    let source = SheetSource { file: raw.file.clone(), sheet: raw.name.clone() };
    let Some((heading, columns)) = heading(raw) else {
        let entries = lines(raw).map(|line| (line.row, Entry::Heading)).collect();
        return is_beside(raw).then_some(List { source, value: 0, entries });
    };
    let entry = |line: Line<'_>| {
        let entry = if line.row <= heading { Entry::Heading } else { entry(line, columns, dates) };
        (line.row, entry)
    };
    let entries = lines(raw).map(entry).collect();
    Some(List { source, value: columns.value, entries })
}

/// The row of the headings, and where each stands.
fn heading(raw: &RawSheet) -> Option<(u32, Columns)> {
    raw.cells.chunk_by(|a, b| a.row == b.row).take(HEADING_WITHIN).find_map(|cells| {
        let at = |title: &str| {
            cells.iter().find(|c| matches!(&c.value, RawValue::Text(t) if t.trim() == title)).map(|c| c.column)
        };
        let [_, file, sheet, cell, .., value, by, on, mark] = CORRECTION_HEADINGS;
        let columns = Columns {
            file: at(file)?,
            sheet: at(sheet)?,
            cell: at(cell)?,
            value: at(value)?,
            by: at(by)?,
            on: at(on)?,
            mark: at(mark)?,
        };
        Some((cells.first()?.row, columns))
    })
}

fn entry(line: Line<'_>, columns: Columns, dates: Dates) -> Entry {
    let text = |column: u16| line.at(column).map_or_else(String::new, |c| shown(&c.value));
    if text(columns.mark).is_empty() && text(columns.cell).is_empty() {
        return Entry::Heading;
    }
    let value = line.at(columns.value).map(|c| c.value.clone());
    let (by, on) = (text(columns.by), text(columns.on));
    let fault = |column, message: String, remedy: &str| Entry::Fault(column, message, remedy.into());
    let Some(value) = value else {
        if by.is_empty() && on.is_empty() {
            return Entry::Empty;
        }
        let message = "somebody is named for a correction, but no corrected value is given".into();
        return fault(columns.value, message, "write the corrected value, or clear the line");
    };
    if by.is_empty() {
        let message = "a corrected value is given, but nobody is named who corrected it".into();
        return fault(columns.by, message, "write who corrected it");
    }
    let on = match corrected_on(line, columns.on, dates) {
        Ok(on) => on,
        Err(why) => return fault(columns.on, why, "write the day of the correction, such as 2031-07-03"),
    };
    let Some((row, column)) = address(&text(columns.cell)) else {
        let message = format!("'{}' is not the address of a cell", text(columns.cell));
        return fault(columns.cell, message, "leave the columns that the program filled in as they were");
    };
    let sheet = Some(text(columns.sheet)).filter(|s| !s.is_empty());
    let (file, mark) = (text(columns.file), text(columns.mark));
    Entry::Sound(Box::new(Correction { file, sheet, row, column, mark, value, by, on }))
}

fn corrected_on(line: Line<'_>, column: u16, dates: Dates) -> Result<NaiveDate, String> {
    let Some(cell) = line.at(column) else {
        return Err("a corrected value is given without the day of the correction".into());
    };
    let read = match &cell.value {
        RawValue::Moment(days) => date::of_moment(*days),
        RawValue::Text(text) => date::of_text(text, dates).map(|(day, _)| day),
        _ => Err(NoDate::Not("is not a date".into())),
    };
    read.map_err(|(NoDate::Not(why) | NoDate::Ambiguous(why))| format!("'{}' {why}", shown(&cell.value)))
}

/// `G57` to row 56, column 6.
fn address(text: &str) -> Option<(u32, u16)> {
    let digits = text.find(|c: char| c.is_ascii_digit())?;
    let (letters, row) = text.split_at(digits);
    let column = letters.bytes().try_fold(0_u32, |n, b| {
        b.is_ascii_uppercase().then(|| n.checked_mul(26)?.checked_add(u32::from(b - b'A') + 1)).flatten()
    })?;
    let row: u32 = row.parse().ok()?;
    Some((row.checked_sub(1)?, u16::try_from(column.checked_sub(1)?).ok()?))
}

/// The mark of a row: made of everything that stands in it, and where. It begins with a letter, so that no spreadsheet
/// program takes it for a number.
pub(super) fn mark(line: Line<'_>) -> String {
    let mut said = String::new();
    for cell in line.cells.iter().filter(|c| !is_blank(&c.value)) {
        let struck = if cell.struck { "struck " } else { "" };
        said.push_str(&format!("{} {struck}{}\n", column_letters(cell.column), shown(&cell.value)));
    }
    format!("r{}", fingerprint(said.as_bytes()).get(..12).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_are_read_as_they_are_written() {
        assert_eq!(address("G57"), Some((56, 6)));
        assert_eq!(address("AA1"), Some((0, 26)));
        for text in ["", "G", "57", "G0", "g57", "G57x", "GGGGGGGGG1", "XFE1\u{1b}"] {
            assert_eq!(address(text), None, "{text}");
        }
    }

    #[test]
    fn a_file_of_corrections_is_named_as_one() {
        assert!(may_hold("field/Refused (2).xlsx"));
        assert!(may_hold("field/july/refused.ods"));
        assert!(!may_hold("field/refused/cores.xlsx"));
    }
}

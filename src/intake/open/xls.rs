//! `.xls` workbooks of 1993 to 2003, in two steps: a walk over the records to see where cells stand, then their values.
//!
//! Formulas count by their stored value. The format has no checksums, so a damaged number cannot be told from a sound one;
//! what can be told is held: the stream is whole, and every cell seen in the walk has its value.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{Data, Reader, Sheet, SheetType, SheetVisible, Xls, XlsError};

use super::biff::{self, Fault, SheetWalk};
use super::compound::Compound;
use super::received::{Filling, Received, as_percent};
use super::xlsx::{moment, whole};
use crate::finding::Finding;
use crate::intake::raw::{RawSheet, RawValue};
use crate::source::column_letters;

/// The reader of values lays each sheet out as a full rectangle; rectangles beyond this many cells are refused.
const LARGEST_RECTANGLES: u64 = 1 << 23;

const SAVE_AGAIN: &str = "open it in a spreadsheet program and save it as an .xlsx workbook, or ask for it anew";

/// All sheets of a workbook.
pub(super) fn read(received: &Received<'_>) -> Result<Vec<RawSheet>, Finding> {
    let walks = walked(received)?;
    let mut workbook: Xls<_> = Xls::new(Cursor::new(received.bytes)).map_err(|error| unreadable(received, &error))?;
    let sheets = workbook.sheets_metadata().to_vec();
    received.names_differ(sheets.iter().map(|sheet| sheet.name.as_str()))?;
    if sheets.len() != walks.len() {
        return Err(damaged(received));
    }
    let mut filling = Filling::new(received);
    sheets.iter().zip(walks).map(|(sheet, walk)| one(received, &mut workbook, sheet, walk, &mut filling)).collect()
}

/// Walks over the workbook's records, which also proves that it is whole.
fn walked(received: &Received<'_>) -> Result<Vec<SheetWalk>, Finding> {
    let compound = Compound::open(received.bytes).ok_or_else(|| damaged(received))?;
    let stream = compound.stream("Workbook").or_else(|| compound.stream("Book")).ok_or_else(|| damaged(received))?;
    let walks = biff::walk(&stream).map_err(|fault| faulty(received, fault))?;
    let rectangles: u64 = walks.iter().map(SheetWalk::extent).sum();
    if rectangles > LARGEST_RECTANGLES.min(received.caps.cells) {
        return Err(received.refuse(
            format!("its cells lie so far apart that the rectangles around them have {rectangles} cells"),
            "save it as an .xlsx workbook, or remove what stands far out",
        ));
    }
    Ok(walks)
}

fn one(
    received: &Received<'_>,
    workbook: &mut Xls<Cursor<&[u8]>>,
    meta: &Sheet,
    walk: SheetWalk,
    filling: &mut Filling<'_>,
) -> Result<RawSheet, Finding> {
    let mut sheet = received.sheet(Some(meta.name.clone()));
    sheet.hidden = meta.visible != SheetVisible::Visible;
    sheet.grid = meta.typ == SheetType::WorkSheet;
    if !sheet.grid {
        return Ok(sheet);
    }
    let mut values = values(received, workbook, meta)?;
    for ((row, column), spot) in walk.spots {
        let value = match values.remove(&(row, u32::from(column))) {
            Some(value) => value,
            None if spot.unstored => RawValue::Unstored,
            None => return Err(valueless(received, meta, row, column)),
        };
        let value = if spot.percent { as_percent(value) } else { value };
        filling.add(&mut sheet, (row, u32::from(column)), value, spot.struck)?;
    }
    sheet.merged = walk.merged;
    sheet.hidden_rows = walk.hidden_rows;
    filling.close(sheet)
}

/// The values of a sheet by row and column.
fn values(
    received: &Received<'_>,
    workbook: &mut Xls<Cursor<&[u8]>>,
    meta: &Sheet,
) -> Result<BTreeMap<(u32, u32), RawValue>, Finding> {
    let is_1904 = workbook.has_1904_epoch();
    let range = workbook.worksheet_range(&meta.name).map_err(|error| unreadable(received, &error))?;
    let (top, left) = range.start().unwrap_or_default();
    let place = |at: usize, first: u32| u32::try_from(at).unwrap_or(u32::MAX).saturating_add(first);
    let cells = range.used_cells().filter_map(|(row, column, data)| Some((row, column, value(data, is_1904)?)));
    Ok(cells.map(|(row, column, value)| ((place(row, top), place(column, left)), value)).collect())
}

/// What stands in a cell; `None` where nothing does.
fn value(data: &Data, is_1904: bool) -> Option<RawValue> {
    Some(match data {
        Data::Empty => return None,
        Data::String(text) | Data::DateTimeIso(text) | Data::DurationIso(text) => RawValue::Text(text.as_str().into()),
        Data::Float(number) => RawValue::Number(*number),
        Data::Int(number) => RawValue::Number(whole(*number)),
        Data::Bool(truth) => RawValue::Truth(*truth),
        Data::Error(error) => RawValue::Error(error.to_string().into()),
        Data::DateTime(serial) if serial.is_duration() => RawValue::Span(serial.as_f64()),
        Data::DateTime(serial) => RawValue::Moment(moment(serial.as_f64(), is_1904)),
    })
}

fn damaged(received: &Received<'_>) -> Finding {
    received.refuse("the file is cut short or damaged: it holds no whole workbook", SAVE_AGAIN)
}

fn locked(received: &Received<'_>) -> Finding {
    received.refuse("the file is locked with a password", "save it again without a password")
}

fn valueless(received: &Received<'_>, meta: &Sheet, row: u32, column: u16) -> Finding {
    received.refuse_sheet(
        Some(&meta.name),
        format!("the file is damaged: cell {}{} has lost its value", column_letters(column), row + 1),
        SAVE_AGAIN,
    )
}

fn faulty(received: &Received<'_>, fault: Fault) -> Finding {
    match fault {
        Fault::Locked => locked(received),
        Fault::CutShort => damaged(received),
        Fault::Outside => received
            .refuse("the file is damaged: it speaks of rows or columns that .xls workbooks do not have", SAVE_AGAIN),
        Fault::Shared => {
            received.refuse("the file is damaged: two of its sheets are said to stand in the same place", SAVE_AGAIN)
        }
        Fault::Twice(row, column) => received.refuse(
            format!("the file is damaged: cell {}{} stands in it twice", column_letters(column), row + 1),
            SAVE_AGAIN,
        ),
    }
}

fn unreadable(received: &Received<'_>, error: &XlsError) -> Finding {
    match error {
        XlsError::Password => locked(received),
        other => received.refuse(format!("the file is cut short or damaged: {other}"), SAVE_AGAIN),
    }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{compound, opened, refusal, spoken};

    fn record(kind: u16, data: &[u8]) -> Vec<u8> {
        [&kind.to_le_bytes(), &u16::try_from(data.len()).unwrap().to_le_bytes(), data].concat()
    }

    fn shorts(numbers: &[u16]) -> Vec<u8> {
        numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
    }

    fn number(row: u16, column: u16, format: u16, value: f64) -> Vec<u8> {
        record(0x0203, &[shorts(&[row, column, format]), value.to_le_bytes().to_vec()].concat())
    }

    /// A formula whose text is said to follow.
    fn promising_formula(row: u16, column: u16) -> Vec<u8> {
        let value = [0, 0, 0, 0, 0, 0, 0xFF, 0xFF];
        record(0x0006, &[shorts(&[row, column, 0]), value.to_vec(), vec![0; 6], shorts(&[0])].concat())
    }

    /// A workbook of one sheet named `S`; format 0 is plain, format 1 is struck out.
    fn book(globals: &[u8], sheet: &[u8]) -> Vec<u8> {
        let begin = |kind: u16| record(0x0809, &shorts(&[0x0600, kind, 0, 0, 0, 0, 0, 0]));
        let fonts = [record(0x0031, &shorts(&[200, 0])), record(0x0031, &shorts(&[200, 8]))].concat();
        let format = |font: u16| record(0x00E0, &[shorts(&[font]), vec![0; 18]].concat());
        let before = [begin(5), globals.to_vec(), fonts, format(0), format(1)].concat();
        let place = u32::try_from(before.len() + 13 + 4).unwrap();
        let named = record(0x0085, &[&place.to_le_bytes()[..], &[0, 0, 1, 0, b'S']].concat());
        [before, named, record(0x000A, &[]), begin(16), sheet.to_vec()].concat()
    }

    fn end() -> Vec<u8> {
        record(0x000A, &[])
    }

    #[test]
    fn cells_come_with_what_is_struck_out_merged_and_hidden() {
        let sheet = [
            record(0x0208, &[shorts(&[1, 0, 2, 0, 0, 0, 0x20]), vec![0; 2]].concat()),
            number(1, 0, 0, 9.25),
            number(2, 1, 1, 8.5),
            promising_formula(3, 0),
            record(0x00E5, &shorts(&[1, 0, 0, 0, 2])),
            end(),
        ];
        let file = opened(&compound("Workbook", &book(&[], &sheet.concat())), "field/cores.xls").unwrap();
        let sheet = &file.sheets[0];
        assert_eq!(spoken(sheet), ["A2 9.25", "B3 8.5 struck", "A4 unstored"]);
        assert_eq!((sheet.merged.as_slice(), sheet.hidden_rows.as_slice()), (&[(0, 0, 0, 2)][..], &[1][..]));
    }

    #[test]
    fn a_damaged_or_locked_workbook_is_refused() {
        let one = number(0, 0, 0, 1.0);
        let shared_text = record(0x00FD, &[shorts(&[4, 2, 0]), 7_u32.to_le_bytes().to_vec()].concat());
        let vast = record(0x0200, &[0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0]);
        for (globals, sheet, message) in [
            (vec![], one.clone(), "the file is cut short or damaged: it holds no whole workbook"),
            (vec![], [one.clone(), one.clone(), end()].concat(), "the file is damaged: cell A1 stands in it twice"),
            (vec![], [shared_text, end()].concat(), "the file is damaged: cell C5 has lost its value"),
            (
                vec![],
                [number(0, 300, 0, 1.0), end()].concat(),
                "the file is damaged: it speaks of rows or columns that .xls workbooks do not have",
            ),
            (
                vec![],
                [vast, end()].concat(),
                "the file is damaged: it speaks of rows or columns that .xls workbooks do not have",
            ),
            (record(0x002F, &shorts(&[1])), end(), "the file is locked with a password"),
        ] {
            // Nothing may follow the stream's end that could be taken for its records.
            let mut stream = book(&globals, &sheet);
            stream.resize(stream.len().next_multiple_of(512).max(4_096), 0xFF);
            assert_eq!(refusal(&compound("Workbook", &stream), "field/cores.xls"), message);
        }
    }

    #[test]
    fn far_corners_are_refused_before_they_are_laid_out() {
        let corners = [number(0, 0, 0, 1.0), number(65_535, 255, 0, 2.0), end()].concat();
        let message = refusal(&compound("Workbook", &book(&[], &corners)), "field/cores.xls");
        assert!(message.contains("rectangles around them have 16777216 cells"), "{message}");
    }

    #[test]
    fn a_workbook_cut_short_anywhere_is_refused() {
        let whole = compound("Workbook", &book(&[], &[number(0, 0, 0, 1.0), end()].concat()));
        for end in (0..whole.len()).step_by(97) {
            assert_ne!(refusal(&whole[..end], "field/cores.xls"), "it was read", "cut at {end}");
        }
    }
}

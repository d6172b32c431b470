//! `.xlsx` and `.xlsm` workbooks, cell by cell as they stream out of the file: never a dense range, so two far corners
//! cost two cells.
//!
//! Formulas count by their stored value. Number formats say what is a date or a duration; serials of the 1904 system are
//! brought to the 1900 system. It looks into nothing but cells, their fonts' strike-through, merged areas and hidden rows.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;

use calamine::{DataRef, Font, Reader, Sheet, SheetType, SheetVisible, Xlsx, XlsxError};

use super::archive::{self, Seen};
use super::package;
use super::received::{Filling, Received};
use crate::finding::Finding;
use crate::intake::raw::{RawCell, RawSheet, RawValue};
use crate::source::column_letters;

/// Days from the first day of the 1900 system to that of the 1904 system.
pub(super) const DAYS_TO_1904: f64 = 1462.0;

type Workbook<'a> = Xlsx<Cursor<&'a [u8]>>;

/// All sheets of a workbook.
pub(super) fn read(received: &Received<'_>) -> Result<Vec<RawSheet>, Finding> {
    let (mut archive, mut seen) = archive::checked(received)?;
    let parts = package::sheet_parts(&mut archive);
    drop(archive);
    let mut workbook: Workbook<'_> =
        Xlsx::new(Cursor::new(received.bytes)).map_err(|error| unreadable(received, None, None, &error))?;
    let sheets = workbook.sheets_metadata().to_vec();
    names_differ(received, &sheets)?;
    let parts = parts.filter(|parts| parts.len() == sheets.len()).ok_or_else(|| {
        received.refuse("the file does not say which of its parts holds which sheet", "open it and save it again")
    })?;
    let mut filling = Filling::new(received);
    sheets
        .iter()
        .zip(&parts)
        .map(|(sheet, part)| one(received, &mut workbook, sheet, &mut filling, part, &mut seen))
        .collect()
}

/// Sheets are asked for by name, so two of one name cannot both be read.
fn names_differ(received: &Received<'_>, sheets: &[Sheet]) -> Result<(), Finding> {
    let mut names = BTreeSet::new();
    match sheets.iter().find(|sheet| !names.insert(&sheet.name)) {
        None => Ok(()),
        Some(sheet) => Err(received.refuse_sheet(
            Some(&sheet.name),
            "two sheets have this name",
            "open it in a spreadsheet program, rename one of them, and save it again",
        )),
    }
}

fn one(
    received: &Received<'_>,
    workbook: &mut Workbook<'_>,
    meta: &Sheet,
    filling: &mut Filling<'_>,
    part: &str,
    seen: &mut Seen,
) -> Result<RawSheet, Finding> {
    let mut sheet = received.sheet(Some(meta.name.clone()));
    sheet.hidden = meta.visible != SheetVisible::Visible;
    sheet.grid = meta.typ == SheetType::WorkSheet;
    if !sheet.grid {
        return Ok(sheet);
    }
    if let Some(marks) = seen.get_mut(part) {
        sheet.merged = std::mem::take(&mut marks.merged);
        sheet.hidden_rows = std::mem::take(&mut marks.hidden_rows);
    }
    let struck_styles = cells(received, workbook, &mut sheet, filling)?;
    if struck_styles.contains(&true) {
        strike(received, workbook, &mut sheet, &struck_styles)?;
    }
    filling.close(sheet)
}

/// Takes up the cells; returns which styles of the workbook are struck out.
fn cells(
    received: &Received<'_>,
    workbook: &mut Workbook<'_>,
    sheet: &mut RawSheet,
    filling: &mut Filling<'_>,
) -> Result<Vec<bool>, Finding> {
    let is_1904 = workbook.has_1904_epoch();
    let name = sheet.name.clone().unwrap_or_default();
    let mut last = None;
    let mut reader =
        workbook.worksheet_cells_reader(&name).map_err(|error| unreadable(received, Some(&name), None, &error))?;
    loop {
        match reader.next_cell_with_formula_metadata() {
            Ok(Some(cell)) => {
                last = Some(cell.pos);
                let value = match value(cell.value, is_1904) {
                    Some(value) => value,
                    None if cell.formula.is_some() => RawValue::Unstored,
                    None => continue,
                };
                filling.add(sheet, cell.pos, value, false)?;
            }
            Ok(None) => break,
            Err(error) => return Err(unreadable(received, Some(&name), last, &error)),
        }
    }
    Ok(reader.styles().iter().map(|style| style.font.as_ref().is_some_and(Font::has_strikethrough)).collect())
}

/// What stands in a cell; `None` where nothing does.
fn value(data: DataRef<'_>, is_1904: bool) -> Option<RawValue> {
    Some(match data {
        DataRef::Empty => return None,
        DataRef::SharedString(text) => RawValue::Text(text.into()),
        DataRef::String(text) | DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => {
            RawValue::Text(text.into_boxed_str())
        }
        DataRef::Float(number) => RawValue::Number(number),
        DataRef::Int(number) => RawValue::Number(whole(number)),
        DataRef::Bool(truth) => RawValue::Truth(truth),
        DataRef::Error(error) => RawValue::Error(error.to_string().into_boxed_str()),
        DataRef::DateTime(serial) if serial.is_duration() => RawValue::Span(serial.as_f64()),
        DataRef::DateTime(serial) => RawValue::Moment(moment(serial.as_f64(), is_1904)),
    })
}

/// A serial in the 1900 system. Below one day it is a time of day, the same in both systems.
pub(super) fn moment(serial: f64, is_1904: bool) -> f64 {
    if is_1904 && serial >= 1.0 { serial + DAYS_TO_1904 } else { serial }
}

/// A whole number as floating point, read from its digits where it is long.
pub(super) fn whole(number: i64) -> f64 {
    i32::try_from(number).map_or_else(|_| number.to_string().parse().unwrap_or(f64::NAN), f64::from)
}

/// Goes over the sheet once more for the cells whose font is struck out.
fn strike(
    received: &Received<'_>,
    workbook: &mut Workbook<'_>,
    sheet: &mut RawSheet,
    struck_styles: &[bool],
) -> Result<(), Finding> {
    let name = sheet.name.clone().unwrap_or_default();
    let failed = |error: XlsxError| unreadable(received, Some(&name), None, &error);
    let mut places: BTreeMap<(u32, u16), &mut RawCell> =
        sheet.cells.iter_mut().map(|cell| ((cell.row, cell.column), cell)).collect();
    let mut reader = workbook.worksheet_cells_reader(&name).map_err(failed)?;
    while let Some((row, column, style)) = reader.next_style_id().map_err(failed)? {
        let place = u16::try_from(column).ok().and_then(|column| places.get_mut(&(row, column)));
        if let (Some(true), Some(cell)) = (struck_styles.get(style), place) {
            cell.struck = true;
        }
    }
    Ok(())
}

/// The reader's error in our words, with the last cell that could be read.
fn unreadable(received: &Received<'_>, sheet: Option<&str>, last: Option<(u32, u32)>, error: &XlsxError) -> Finding {
    let remedy = "open it in a spreadsheet program and save it again, or ask for it anew";
    let near = last.and_then(|(row, column)| {
        Some(format!(" after cell {}{}", column_letters(u16::try_from(column).ok()?), u64::from(row) + 1))
    });
    let near = near.unwrap_or_default();
    let message = match error {
        XlsxError::Password => {
            return received.refuse("the file is locked with a password", "save it again without a password");
        }
        XlsxError::CellError(shown) => {
            format!("a cell{near} holds the error value '{shown}', which is none that is known")
        }
        XlsxError::WorksheetNotFound(_) => String::from("the part of the file that holds this sheet is missing"),
        XlsxError::FileNotFound(part) => format!("the file is not whole: its part {part} is missing"),
        other => format!("the file does not follow its own format{near}: {other}"),
    };
    received.refuse_sheet(sheet, message, remedy)
}

//! `.xls` workbooks of 1997 to 2003 and before.
//!
//! Formulas count by their stored value. Strike-through and hidden rows are not looked into.

use std::io::Cursor;

use calamine::{Data, Reader, Sheet, SheetType, SheetVisible, Xls, XlsError};

use super::received::{Filling, Received};
use super::xlsx::{moment, whole};
use crate::finding::Finding;
use crate::intake::raw::{RawSheet, RawValue};

/// All sheets of a workbook.
pub(super) fn read(received: &Received<'_>) -> Result<Vec<RawSheet>, Finding> {
    let mut workbook: Xls<_> = Xls::new(Cursor::new(received.bytes)).map_err(|error| unreadable(received, &error))?;
    let mut filling = Filling::new(received);
    let sheets = workbook.sheets_metadata().to_vec();
    sheets.iter().map(|sheet| one(received, &mut workbook, sheet, &mut filling)).collect()
}

fn one(
    received: &Received<'_>,
    workbook: &mut Xls<Cursor<&[u8]>>,
    meta: &Sheet,
    filling: &mut Filling<'_>,
) -> Result<RawSheet, Finding> {
    let mut sheet = received.sheet(Some(meta.name.clone()));
    sheet.hidden = meta.visible != SheetVisible::Visible;
    sheet.grid = meta.typ == SheetType::WorkSheet;
    if !sheet.grid {
        return Ok(sheet);
    }
    let range = workbook.worksheet_range(&meta.name).map_err(|error| unreadable(received, &error))?;
    let is_1904 = workbook.has_1904_epoch();
    let Some((top, left)) = range.start() else { return Ok(sheet) };
    for (row, column, data) in range.used_cells() {
        let place = (
            u32::try_from(row).unwrap_or(u32::MAX).saturating_add(top),
            u32::try_from(column).unwrap_or(u32::MAX).saturating_add(left),
        );
        if let Some(value) = value(data, is_1904) {
            filling.add(&mut sheet, place, value, false)?;
        }
    }
    filling.close(sheet)
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

fn unreadable(received: &Received<'_>, error: &XlsError) -> Finding {
    match error {
        XlsError::Password => received.refuse("the file is locked with a password", "save it again without a password"),
        other => received.refuse(
            format!("the file is cut short or damaged: {other}"),
            "open it in a spreadsheet program and save it again, or ask for it anew",
        ),
    }
}

//! `.xlsx` and `.xlsm` workbooks, cell by cell as they stream out of the file: never a dense range, so two far corners
//! cost two cells.
//!
//! Formulas count by their stored value. Number formats say what is a date or a duration; serials of the 1904 system are
//! brought to the 1900 system. It looks into nothing but cells, their fonts' strike-through, merged areas and hidden rows.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;

use calamine::{DataRef, Font, Reader, Sheet, SheetType, SheetVisible, Style, Xlsx, XlsxError};

use super::archive::{self, Archive, Seen};
use super::package;
use super::received::{Filling, Received, as_percent, partly_struck};
use super::struck_texts::{self, Strike};
use crate::finding::Finding;
use crate::intake::raw::{RawCell, RawSheet, RawValue};
use crate::source::column_letters;

/// Days from the first day of the 1900 system to that of the 1904 system.
pub(super) const DAYS_TO_1904: f64 = 1462.0;

/// All sheets of a workbook.
pub(super) fn read(received: &Received<'_>) -> Result<Vec<RawSheet>, Finding> {
    let (mut archive, seen) = archive::checked(received)?;
    let parts = package::sheet_parts(&mut archive);
    let workbook = Xlsx::new(Cursor::new(received.bytes)).map_err(|error| unreadable(received, None, None, &error))?;
    let sheets = workbook.sheets_metadata().to_vec();
    received.names_differ(sheets.iter().map(|sheet| sheet.name.as_str()))?;
    let parts = parts.filter(|parts| parts.len() == sheets.len()).ok_or_else(|| {
        received.refuse("the file does not say which of its parts holds which sheet", "open it and save it again")
    })?;
    parts_differ(received, &parts)?;
    let struck_texts = struck_texts(received, &mut archive, &seen)?;
    let mut book = Book { received, workbook, archive, seen, struck_texts, filling: Filling::new(received) };
    sheets.iter().zip(&parts).map(|(sheet, part)| book.sheet(sheet, part)).collect()
}

/// Each sheet has a part of its own. A small file could otherwise have one part read ten thousand times.
fn parts_differ(received: &Received<'_>, parts: &[String]) -> Result<(), Finding> {
    let mut known = BTreeSet::new();
    if parts.iter().all(|part| known.insert(part)) {
        return Ok(());
    }
    Err(received.refuse(
        "two of its sheets are said to stand in the same part of the file",
        "open it in a spreadsheet program and save it again, or ask for it anew",
    ))
}

/// What the style of a cell says of its value.
#[derive(Clone, Copy, Debug, Default)]
struct Look {
    struck: bool,
    percent: bool,
}

impl Look {
    fn of(style: &Style) -> Self {
        let code = style.number_format.as_ref();
        Self {
            struck: style.font.as_ref().is_some_and(Font::has_strikethrough),
            // 9 and 10 are the percentages that the format has built in (ISO/IEC 29500-1, 18.8.30).
            percent: code.is_some_and(|f| f.format_code.contains('%') || matches!(f.format_id, Some(9 | 10))),
        }
    }
}

/// The texts that are struck out letter by letter; few workbooks have any, and only those are looked into twice.
fn struck_texts(
    received: &Received<'_>,
    archive: &mut Archive<'_>,
    seen: &Seen,
) -> Result<BTreeMap<usize, Strike>, Finding> {
    let with_any = seen.iter().find(|(_, marks)| marks.struck_texts);
    let Some((name, _)) = with_any else { return Ok(BTreeMap::new()) };
    let list = package::part(archive, name).ok_or_else(|| {
        received.refuse(
            "texts of the workbook are struck out letter by letter, and its list of texts is too long to look into",
            "split it into smaller files",
        )
    })?;
    struck_texts::of_list(&list).map_err(|error| unreadable(received, None, None, &XlsxError::Xml(error)))
}

/// A workbook while its sheets are read.
struct Book<'a> {
    received: &'a Received<'a>,
    workbook: Xlsx<Cursor<&'a [u8]>>,
    archive: Archive<'a>,
    seen: Seen,
    struck_texts: BTreeMap<usize, Strike>,
    filling: Filling<'a>,
}

impl Book<'_> {
    fn sheet(&mut self, meta: &Sheet, part: &str) -> Result<RawSheet, Finding> {
        let mut sheet = self.received.sheet(Some(meta.name.clone()));
        sheet.hidden = meta.visible != SheetVisible::Visible;
        sheet.grid = meta.typ == SheetType::WorkSheet;
        if !sheet.grid {
            return Ok(sheet);
        }
        if let Some(marks) = self.seen.get_mut(part) {
            sheet.merged = std::mem::take(&mut marks.merged);
            sheet.hidden_rows = std::mem::take(&mut marks.hidden_rows);
        }
        let looks = self.cells(&meta.name, &mut sheet)?;
        let mut sheet = self.filling.close(sheet)?;
        if looks.iter().any(|look| look.struck || look.percent) {
            self.look(&meta.name, &mut sheet, &looks)?;
        }
        if !self.struck_texts.is_empty() {
            self.strike_texts(&meta.name, part, &mut sheet)?;
        }
        Ok(sheet)
    }

    /// Takes up the cells; returns how the styles of the workbook look.
    fn cells(&mut self, name: &str, sheet: &mut RawSheet) -> Result<Vec<Look>, Finding> {
        let is_1904 = self.workbook.has_1904_epoch();
        let failed = |last, error: &XlsxError| unreadable(self.received, Some(name), last, error);
        let mut last = None;
        let mut reader = self.workbook.worksheet_cells_reader(name).map_err(|error| failed(None, &error))?;
        while let Some(cell) = reader.next_cell_with_formula_metadata().map_err(|error| failed(last, &error))? {
            last = Some(cell.pos);
            match value(cell.value, is_1904) {
                Some(value) => self.filling.add(sheet, cell.pos, value, false)?,
                None if cell.formula.is_some() => self.filling.add(sheet, cell.pos, RawValue::Unstored, false)?,
                None => {}
            }
        }
        Ok(reader.styles().iter().map(Look::of).collect())
    }

    /// Goes over the sheet once more for the cells that are struck out by their font or shown as percentages.
    fn look(&mut self, name: &str, sheet: &mut RawSheet, looks: &[Look]) -> Result<(), Finding> {
        let failed = |error: XlsxError| unreadable(self.received, Some(name), None, &error);
        let mut reader = self.workbook.worksheet_cells_reader(name).map_err(failed)?;
        while let Some((row, column, style)) = reader.next_style_id().map_err(failed)? {
            let look = looks.get(style).copied().unwrap_or_default();
            if (look.struck || look.percent)
                && let Some(cell) = u16::try_from(column).ok().and_then(|column| find(sheet, row, column))
            {
                cell.struck = look.struck;
                if look.percent {
                    cell.value = as_percent(std::mem::replace(&mut cell.value, RawValue::Unstored));
                }
            }
        }
        Ok(())
    }

    /// Goes over the sheet once more for the cells whose text is struck out letter by letter.
    fn strike_texts(&mut self, name: &str, part: &str, sheet: &mut RawSheet) -> Result<(), Finding> {
        let failed = |error| unreadable(self.received, Some(name), None, &XlsxError::Xml(error));
        let struck = struck_texts::cells_with(&mut self.archive, part, &self.struck_texts).map_err(failed)?;
        for ((row, column), strike) in struck {
            let Some(cell) = find(sheet, row, column) else { continue };
            match (strike, &cell.value) {
                (Strike::Whole, _) => cell.struck = true,
                (Strike::Part, RawValue::Text(text)) if !cell.struck => cell.value = partly_struck(text),
                (Strike::Part, _) => {}
            }
        }
        Ok(())
    }
}

/// A cell of a sheet in row, then column order.
fn find(sheet: &mut RawSheet, row: u32, column: u16) -> Option<&mut RawCell> {
    let place = sheet.cells.binary_search_by_key(&(row, column), |cell| (cell.row, cell.column)).ok()?;
    sheet.cells.get_mut(place)
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

#[cfg(test)]
mod tests {
    use rust_xlsxwriter::{Chart, ChartType, Format, Formula, Workbook};
    use zip::CompressionMethod;

    use super::super::samples::{cells, opened, simple, spoken, workbook};

    const STYLES: &str = r#"<styleSheet><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="46"/><xf numFmtId="20"/></cellXfs></styleSheet>"#;

    #[test]
    fn two_far_corners_cost_two_cells() {
        let bytes =
            simple(r#"<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>2</v></c></row>"#);
        assert!(bytes.len() < 1_500);
        assert_eq!(cells(&bytes, "field/a.xlsx"), ["A1 1", "XFD1048576 2"]);
    }

    #[test]
    fn values_come_as_the_sheet_types_them() {
        let bytes = simple(
            r#"<row r="2"><c r="B2" t="inlineStr"><is><t xml:space="preserve"> 9 3/4 </t></is></c><c r="C2" t="b"><v>1</v></c>
            <c r="D2" t="e"><v>#DIV/0!</v></c><c r="E2"><v>1e999</v></c><c r="F2" t="d"><v>2031-07-03</v></c><c r="G2"/></row>"#,
        );
        assert_eq!(
            cells(&bytes, "field/a.xlsx"),
            ["B2  9 3/4 ", "C2 true", "D2 error #DIV/0!", "E2 error not a finite number", "F2 2031-07-03"]
        );
    }

    #[test]
    fn a_formula_counts_by_its_stored_value_and_not_without_one() {
        let bytes = simple(
            r#"<row r="1"><c r="A1"><f>1+1</f><v>2</v></c><c r="B1"><f>1+1</f></c><c r="C1"><f>1+1</f><v/></c>
            <c r="D1" t="str"><f>""</f><v></v></c><c r="E1" t="str"><f>A1</f><v>N1</v></c></row>"#,
        );
        assert_eq!(cells(&bytes, "field/a.xlsx"), ["A1 2", "B1 unstored", "C1 unstored", "E1 N1"]);
    }

    #[test]
    fn dates_of_the_1904_system_come_in_the_1900_system() {
        let rows = r#"<row r="1"><c r="A1" s="1"><v>46570</v></c><c r="B1" s="2"><v>1.5</v></c><c r="C1" s="3"><v>0.25</v></c></row>"#;
        let styles = [("xl/styles.xml", STYLES)];
        let at = |properties| cells(&workbook(rows, properties, &styles, CompressionMethod::Deflated), "field/a.xlsx");
        assert_eq!(at(r#"<workbookPr date1904="1"/>"#), ["A1 moment 48032", "B1 span 1.5", "C1 moment 0.25"]);
        assert_eq!(at(""), ["A1 moment 46570", "B1 span 1.5", "C1 moment 0.25"]);
    }

    #[test]
    fn a_number_shown_as_a_percentage_is_what_is_shown() {
        let mut book = Workbook::new();
        let percent = Format::new().set_num_format("0.0%");
        let sheet = book.add_worksheet();
        sheet.write(0, 0, 0.055).unwrap().write_with_format(1, 0, 0.055, &percent).unwrap();
        sheet.write_with_format(2, 0, 1, &Format::new().set_num_format_index(9)).unwrap();
        let file = opened(&book.save_to_buffer().unwrap(), "field/a.xlsx").unwrap();
        assert_eq!(spoken(&file.sheets[0]), ["A1 0.055", "A2 5.5%", "A3 100%"]);
    }

    #[test]
    fn what_is_struck_out_merged_or_hidden_is_said() {
        let mut book = Workbook::new();
        let struck = Format::new().set_font_strikethrough();
        let sheet = book.add_worksheet().set_name("Loads").unwrap();
        sheet.merge_range(0, 0, 0, 2, "Loads of July", &Format::new()).unwrap();
        sheet.write(1, 0, 88_213).unwrap().write_with_format(2, 0, 88_214, &struck).unwrap();
        sheet
            .write_with_format(2, 1, "void", &struck)
            .unwrap()
            .write(3, 0, Formula::new("=A2").set_result("88213"))
            .unwrap();
        sheet.set_row_hidden(1).unwrap();
        let file = opened(&book.save_to_buffer().unwrap(), "field/loads.xlsx").unwrap();
        let sheet = &file.sheets[0];
        assert_eq!(spoken(sheet), ["A1 Loads of July", "A2 88213", "A3 88214 struck", "B3 void struck", "A4 88213"]);
        assert_eq!((sheet.merged.as_slice(), sheet.hidden_rows.as_slice()), (&[(0, 0, 0, 2)][..], &[1][..]));
    }

    #[test]
    fn text_struck_out_in_part_is_no_text_that_anybody_wrote() {
        let texts = r#"<sst><si><t>N1</t></si><si><r><rPr><strike/></rPr><t>9.0</t></r><r><t xml:space="preserve"> 9.5</t></r></si>
            <si><r><rPr><strike val="1"/></rPr><t>void</t></r></si><si><r><rPr><strike val="0"/></rPr><t>kept</t></r></si></sst>"#;
        let rows = r#"<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c><c t="s"><v>2</v></c></row>
            <row><c t="s"><v>3</v></c><c><v>1</v></c></row>"#;
        let bytes = workbook(rows, "", &[("xl/sharedStrings.xml", texts)], CompressionMethod::Deflated);
        assert_eq!(
            cells(&bytes, "field/a.xlsx"),
            ["A1 N1", "B1 error partly struck out: 9.0 9.5", "C1 void struck", "A2 kept", "B2 1"]
        );
    }

    #[test]
    fn chart_sheets_empty_sheets_and_hidden_sheets_are_sheets() {
        let mut book = Workbook::new();
        book.add_worksheet().set_name("Data").unwrap().write(0, 0, 1).unwrap();
        let mut chart = Chart::new(ChartType::Line);
        chart.add_series().set_values("Data!$A$1:$A$1");
        book.add_chartsheet().set_name("Progress").unwrap().insert_chart(0, 0, &chart).unwrap();
        book.add_worksheet().set_name("Notes").unwrap().set_hidden(true);
        let file = opened(&book.save_to_buffer().unwrap(), "field/a.xlsx").unwrap();
        let seen: Vec<_> = file.sheets.iter().map(|s| (s.name.as_deref(), s.cells.len(), s.grid, s.hidden)).collect();
        let expected =
            [(Some("Data"), 1, true, false), (Some("Progress"), 0, false, false), (Some("Notes"), 0, true, true)];
        assert_eq!(seen, expected);
    }
}

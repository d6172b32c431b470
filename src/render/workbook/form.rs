//! A blank form as a workbook: one sheet to fill in, on a tablet or printed for a clipboard, and one with the lists behind
//! its drop-downs.
//!
//! Headings and lists are protected without a password, entries are not. The sheet prints across one landscape page with
//! its headings on each, in thin rules that a grey copy keeps. Text, stations and tickets are cells of text, so that no
//! program makes a day of `1-2` or drops the zeros of `00417`.

mod guard;
mod lists;
mod look;

use rust_decimal::prelude::ToPrimitive;
use rust_xlsxwriter::{ColNum, DocProperties, ProtectionOptions, RowNum, Workbook, Worksheet, XlsxError};

use super::{clean, style};
use crate::dossier::{FormBook, FormCell, FormCheck, FormField};
use crate::render::RenderError;
use look::Line;

/// Rows with rules to write in by hand.
const PREPARED: RowNum = 40;
/// Rows with checks and lists.
const CHECKED: RowNum = 500;
/// Height of a row to write in by hand, in points, where the sheet is as wide as the paper at full size.
const BY_HAND: f64 = 19.0;
/// Characters across a landscape page at full size.
const PAPER: f64 = 112.0;
/// Paper sizes of ECMA-376: A4 and letter.
const A4: u8 = 9;
const LETTER: u8 = 1;
/// Characters of caution that a line of one character's width takes at the size it is set in.
const SMALL: f64 = 1.25;

/// The workbook of a form, as the bytes of an `.xlsx` file.
///
/// # Errors
/// Where it cannot be written.
pub fn form(form: &FormBook) -> Result<Vec<u8>, RenderError> {
    let mut file = Workbook::new();
    file.set_properties(
        &DocProperties::new()
            .set_title(clean::cell(&format!("{}: {}", form.contract, form.title)))
            .set_author(&form.program)
            .set_creation_datetime(&form.day),
    );
    let sheet = file.add_worksheet();
    sheet.set_name(name(form))?;
    Sheet { sheet, form }.write()?;
    lists::write(file.add_worksheet(), form)?;
    Ok(file.save_to_buffer()?)
}

/// `Cores`: the kind's word with a capital.
fn name(form: &FormBook) -> String {
    let mut letters = form.kind.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The sheet to fill in.
struct Sheet<'a> {
    sheet: &'a mut Worksheet,
    form: &'a FormBook,
}

impl Sheet<'_> {
    fn write(&mut self) -> Result<(), XlsxError> {
        for (at, field) in (0..).zip(&self.form.columns) {
            self.sheet.set_column_width(at, field.width)?;
            self.sheet.set_column_format(at, &look::entry(&field.check, Line::Bare))?;
        }
        let heads = self.title_block()?;
        self.headings(heads)?;
        self.example(heads + 1)?;
        self.entries(heads + 2)?;
        self.sheet.set_freeze_panes(heads + 2, 0)?;
        self.sheet.set_selection(heads + 2, 0, heads + 2, 0)?;
        self.print(heads)?;
        self.sheet.protect_with_options(&ProtectionOptions {
            format_columns: true,
            format_rows: true,
            insert_rows: true,
            ..ProtectionOptions::new()
        });
        Ok(())
    }

    /// The last printed column.
    fn last(&self) -> ColNum {
        let printed = self.form.columns.iter().filter(|c| c.printed).count();
        ColNum::try_from(printed.saturating_sub(1)).unwrap_or(0)
    }

    /// Characters across the printed columns.
    fn across(&self) -> u32 {
        self.form.columns.iter().filter(|c| c.printed).map(|c| c.width).sum()
    }

    /// A wide sheet is printed smaller: by so much what is about its entries is larger, and its rows are higher.
    fn larger(&self) -> f64 {
        (f64::from(self.across()) / PAPER).clamp(1.0, 1.5)
    }

    /// Words across the printed columns of a row, as high as they need.
    fn across_row(&mut self, row: RowNum, text: &str, line: Line) -> Result<(), XlsxError> {
        let larger = self.larger();
        let (size, height) = line.size(larger);
        let lines = lines(text, self.across(), size);
        self.sheet.set_row_format(row, &look::around(Line::Bare, 1.0))?;
        self.sheet.set_row_height(row, height * lines)?;
        self.sheet.merge_range(row, 0, row, self.last(), &clean::cell(text), &look::around(line, larger))?;
        Ok(())
    }

    /// What stands above the headings; returns the row of the headings.
    fn title_block(&mut self) -> Result<RowNum, XlsxError> {
        self.across_row(0, &self.form.title, Line::Title)?;
        let contract = [self.form.contract.as_str(), self.form.notice.as_str()];
        let contract: Vec<&str> = contract.into_iter().filter(|text| !text.is_empty()).collect();
        self.across_row(1, &contract.join(". "), Line::Text)?;
        let mut row = self.blanks(2)?;
        if !self.form.cautions.is_empty() {
            self.across_row(row, &format!("Mind: {}", self.form.cautions.join(" ")), Line::Small)?;
            row += 1;
        }
        self.across_row(row, self.form.decides, Line::Small)?;
        self.signs(row + 1)?;
        Ok(row + 2)
    }

    /// What is filled in once for the sheet, two to a row: label, entry, label, entry.
    fn blanks(&mut self, from: RowNum) -> Result<RowNum, XlsxError> {
        let (form, last, larger) = (self.form, self.last(), self.larger());
        let mut row = from;
        for pair in form.blanks.chunks(2) {
            self.sheet.set_row_format(row, &look::around(Line::Bare, 1.0))?;
            self.sheet.set_row_height(row, BY_HAND * self.larger())?;
            for (label, (at, first, end)) in pair.iter().zip([(0, 1, 2), (3, 4, last.min(6))]) {
                let end = if pair.len() == 1 { last.min(6) } else { end };
                self.sheet.write_string_with_format(row, at, *label, &look::around(Line::Label, larger))?;
                if first < end {
                    self.sheet.merge_range(row, first, row, end, "", &look::blank())?;
                } else {
                    self.sheet.write_blank(row, first, &look::blank())?;
                }
            }
            row += 1;
        }
        Ok(row)
    }

    /// What the signs mean, and by which the form is known.
    fn signs(&mut self, row: RowNum) -> Result<(), XlsxError> {
        let last = self.last();
        let (split, larger) = (last.saturating_sub(3), self.larger());
        self.sheet.set_row_format(row, &look::around(Line::Bare, 1.0))?;
        let ((size, height), width) = (Line::Text.size(larger), self.form.columns.iter().map(|c| c.width));
        let width = width.take(usize::from(split) + 1).sum();
        self.sheet.set_row_height(row, height * lines(&self.form.signs, width, size))?;
        self.sheet.merge_range(row, 0, row, split, &self.form.signs, &look::around(Line::Text, larger))?;
        self.sheet.merge_range(row, split + 1, row, last, &self.form.mark, &look::around(Line::Mark, larger))?;
        if self.form.columns.len() > usize::from(last) + 1 {
            let text = "From here on: seldom needed, not printed.";
            self.sheet.write_string_with_format(row, last + 1, text, &look::around(Line::Beyond, larger))?;
        }
        Ok(())
    }

    fn headings(&mut self, row: RowNum) -> Result<(), XlsxError> {
        self.sheet.set_row_format(row, &look::around(Line::Bare, 1.0))?;
        self.sheet.set_row_height(row, 42.0)?;
        for (at, field) in (0..).zip(&self.form.columns) {
            self.sheet.write_string_with_format(row, at, clean::cell(&field.heading), &look::heading(field.printed))?;
        }
        Ok(())
    }

    /// The row that shows how the form is filled in; its first cell says that it is not read.
    fn example(&mut self, row: RowNum) -> Result<(), XlsxError> {
        self.sheet.set_row_format(row, &look::around(Line::Bare, 1.0))?;
        self.sheet.set_row_height(row, 26.0)?;
        self.sheet.write_string_with_format(
            row,
            0,
            self.form.example,
            &look::entry(&FormCheck::Text, Line::Example),
        )?;
        for (at, field) in (0..).zip(&self.form.columns).skip(1) {
            self.cell((row, at), field, &field.sample, Line::Example)?;
        }
        Ok(())
    }

    /// Rows to fill in, with their checks.
    fn entries(&mut self, from: RowNum) -> Result<(), XlsxError> {
        let form = self.form;
        let prepared = PREPARED.max(RowNum::try_from(form.rows.len()).unwrap_or(PREPARED));
        for (row, n) in (from..).zip(0..prepared) {
            self.sheet.set_row_height(row, BY_HAND * self.larger())?;
            let filled = usize::try_from(n).ok().and_then(|n| form.rows.get(n));
            for (place, (at, field)) in (0..).zip(&form.columns).enumerate() {
                let value = filled.and_then(|row| row.get(place)).unwrap_or(&FormCell::Blank);
                self.cell((row, at), field, value, Line::Ruled)?;
            }
        }
        for (at, field) in (0..).zip(&form.columns) {
            let guard = guard::guard(form, field, (from, at))?;
            self.sheet.add_data_validation(from, at, from + CHECKED - 1, at, &guard)?;
        }
        Ok(())
    }

    fn cell(
        &mut self,
        (row, at): (RowNum, ColNum),
        field: &FormField,
        value: &FormCell,
        line: Line,
    ) -> Result<(), XlsxError> {
        let format = look::entry(&field.check, line);
        match value {
            FormCell::Blank => self.sheet.write_blank(row, at, &format)?,
            FormCell::Text(text) => self.sheet.write_string_with_format(row, at, clean::cell(text), &format)?,
            FormCell::Number(number) => {
                self.sheet.write_number_with_format(row, at, number.to_f64().unwrap_or_default(), &format)?
            }
            FormCell::Day(day) => self.sheet.write_datetime_with_format(row, at, day, &format)?,
            FormCell::Time(time) => self.sheet.write_datetime_with_format(row, at, time, &format)?,
        };
        Ok(())
    }

    fn print(&mut self, heads: RowNum) -> Result<(), XlsxError> {
        let (form, last) = (self.form, self.last());
        let rows = PREPARED.max(RowNum::try_from(form.rows.len()).unwrap_or(PREPARED));
        self.sheet.set_landscape().set_paper_size(if form.a4 { A4 } else { LETTER });
        self.sheet.set_print_fit_to_pages(1, 0).set_margins(0.4, 0.4, 0.45, 0.55, 0.25, 0.25);
        self.sheet.set_print_area(0, 0, heads + 1 + rows, last)?;
        self.sheet.set_repeat_rows(heads, heads)?;
        let contract = clean::running(&form.contract, 90);
        self.sheet.set_footer(format!("&L&8{contract}&C&8{}&R&8Page &P of &N", form.title));
        Ok(())
    }
}

/// How many lines a text takes in a width of so many characters.
fn lines(text: &str, width: u32, size: f64) -> f64 {
    let room = f64::from(width.max(1)) * SMALL * look::SMALL_PRINT / size;
    (f64::from(u32::try_from(text.chars().count()).unwrap_or(u32::MAX)) / room).ceil().max(1.0)
}

/// Style of a form's lists, which are no more than a table.
fn plain() -> rust_xlsxwriter::Format {
    style::base()
}

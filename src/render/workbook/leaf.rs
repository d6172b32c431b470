//! One sheet being written: text that stays text, numbers, live formulas with their stored result, links, and the set-up
//! of the printed page.

use chrono::{NaiveDate, NaiveTime};
use rust_decimal::Decimal;
use rust_xlsxwriter::{Format, Formula, IgnoreError, Url, Worksheet};

use super::clean;
use super::style;
use crate::dossier::Head;
use crate::figure::Value;
use crate::render::RenderError;

/// Links a sheet may hold; beyond it spreadsheet programs drop them.
const LINKS_HELD: u32 = 65_000;
/// Height of a row in pixels, and of a line of text in points.
pub(super) const ROW_PIXELS: u32 = 18;
const LINE_POINTS: f64 = 12.75;

/// A sheet under the pen.
pub(super) struct Leaf<'w> {
    pub(super) sheet: &'w mut Worksheet,
    links: u32,
}

impl<'w> Leaf<'w> {
    /// Takes up a sheet and names it.
    pub(super) fn new(sheet: &'w mut Worksheet, name: &str) -> Result<Self, RenderError> {
        sheet.set_name(name)?.set_screen_gridlines(false);
        Ok(Self { sheet, links: 0 })
    }

    /// Words. Never a formula, whatever they are.
    pub(super) fn text(&mut self, row: u32, column: u16, text: &str, format: &Format) -> Result<(), RenderError> {
        self.sheet.write_string_with_format(row, column, clean::cell(text), format)?;
        Ok(())
    }

    /// The same, in the sheet's own typeface where no format is given.
    pub(super) fn words(
        &mut self,
        row: u32,
        column: u16,
        text: &str,
        format: Option<&Format>,
    ) -> Result<(), RenderError> {
        let Some(format) = format else {
            self.sheet.write_string(row, column, clean::cell(text))?;
            return Ok(());
        };
        self.text(row, column, text, format)
    }

    /// A binary number, in the sheet's own typeface where no format is given.
    pub(super) fn real(&mut self, row: u32, column: u16, n: f64, format: Option<&Format>) -> Result<(), RenderError> {
        match format {
            Some(format) => self.sheet.write_number_with_format(row, column, n, format)?,
            None => self.sheet.write_number(row, column, n)?,
        };
        Ok(())
    }

    /// Words over several columns, wrapped, the row made high enough.
    pub(super) fn paragraph(
        &mut self,
        row: u32,
        columns: (u16, u16),
        text: &str,
        format: &Format,
    ) -> Result<(), RenderError> {
        if columns.0 == columns.1 {
            return self.text(row, columns.0, text, format);
        }
        self.sheet.merge_range(row, columns.0, row, columns.1, &clean::cell(text), format)?;
        Ok(())
    }

    /// A number.
    pub(super) fn number(&mut self, row: u32, column: u16, n: Decimal, format: &Format) -> Result<(), RenderError> {
        self.sheet.write_number_with_format(row, column, binary(n), format)?;
        Ok(())
    }

    /// A count.
    pub(super) fn count(&mut self, row: u32, column: u16, n: u64, format: &Format) -> Result<(), RenderError> {
        self.number(row, column, Decimal::from(n), format)
    }

    /// A day.
    pub(super) fn day(&mut self, row: u32, column: u16, day: NaiveDate, format: &Format) -> Result<(), RenderError> {
        self.sheet.write_datetime_with_format(row, column, day, format)?;
        Ok(())
    }

    /// A time of day.
    pub(super) fn time(&mut self, row: u32, column: u16, time: NaiveTime, format: &Format) -> Result<(), RenderError> {
        self.sheet.write_datetime_with_format(row, column, time, format)?;
        Ok(())
    }

    /// An empty cell with rules or ground.
    pub(super) fn blank(&mut self, row: u32, column: u16, format: &Format) -> Result<(), RenderError> {
        self.sheet.write_blank(row, column, format)?;
        Ok(())
    }

    /// A live formula and the value it came to.
    pub(super) fn formula(
        &mut self,
        row: u32,
        column: u16,
        formula: &str,
        stored: &str,
        format: &Format,
    ) -> Result<(), RenderError> {
        let formula = Formula::new(formula).set_result(stored);
        self.sheet.write_formula_with_format(row, column, formula, format)?;
        Ok(())
    }

    /// Makes a cell lead to `target` (`Calculations!$F$17`). What the cell holds is written after this.
    pub(super) fn link(&mut self, row: u32, column: u16, target: &str, format: &Format) -> Result<(), RenderError> {
        if self.links < LINKS_HELD {
            self.links += 1;
            let plain = target.replace('$', "");
            let url = Url::new(format!("internal:{plain}")).set_tip(plain);
            self.sheet.write_url_with_format(row, column, url, format)?;
        }
        Ok(())
    }

    /// Height for so many lines of text; a single line keeps the standard height.
    pub(super) fn lines(&mut self, row: u32, lines: u32) -> Result<(), RenderError> {
        if lines > 1 {
            self.sheet.set_row_height(row, f64::from(lines.min(30)) * LINE_POINTS + 3.0)?;
        }
        Ok(())
    }

    /// Width of a column in characters.
    pub(super) fn width(&mut self, column: u16, characters: f64) -> Result<(), RenderError> {
        self.sheet.set_column_width(column, characters.clamp(2.0, 120.0))?;
        Ok(())
    }

    /// Ticket and item numbers are words: spreadsheet programs need not mark them.
    pub(super) fn numbers_as_words(&mut self, last_row: u32, last_column: u16) -> Result<(), RenderError> {
        self.sheet.ignore_error_range(0, 0, last_row, last_column, IgnoreError::NumberStoredAsText)?;
        Ok(())
    }

    /// Paper, margins, running head and foot. `broad` sheets lie on their side.
    pub(super) fn printed(&mut self, head: &Head, broad: bool) {
        let paper = if head.letter { 1 } else { 9 };
        self.sheet.set_paper_size(paper).set_margins(0.6, 0.6, 0.8, 0.7, 0.35, 0.35).set_print_fit_to_pages(1, 0);
        if broad {
            self.sheet.set_landscape();
        }
        let face = style::TYPEFACE;
        let stamp = head.not_final.as_deref().map_or_else(String::new, |s| clean::running(s, 70));
        self.sheet.set_header(format!(
            "&L&\"{face},Regular\"&8 {}&R&\"{face},Bold\"&8 {stamp}",
            clean::running(&format!("{} {}", head.number, head.title), 90),
        ));
        self.sheet.set_footer(format!(
            "&L&\"{face},Regular\"&8 {}&C&\"{face},Regular\"&8 {}&R&\"{face},Regular\"&8 &A, page &P of &N",
            clean::running(&format!("{}, through {}", head.period, head.through), 50),
            clean::running(&head.notice, 80),
        ));
    }
}

/// The nearest binary number, as a spreadsheet stores it.
pub(super) fn binary(n: Decimal) -> f64 {
    n.to_string().parse().unwrap_or(f64::NAN)
}

/// A figure's value as stored beside its formula; `None` where there is none.
pub(super) fn stored(value: &Value) -> Option<String> {
    match value {
        Value::Exact(d) => Some(binary(*d).to_string()),
        Value::Real(r) => Some(r.to_string()),
        Value::Truth(true) => Some("TRUE".into()),
        Value::Truth(false) => Some("FALSE".into()),
        Value::Not(_) => None,
    }
}

/// How many lines `text` takes in a column so many characters wide.
pub(super) fn lines_of(text: &str, width: f64) -> u32 {
    text.lines().map(|line| lines_of_one(line, width)).sum::<u32>().max(1)
}

fn lines_of_one(text: &str, width: f64) -> u32 {
    let (mut lines, mut used) = (1, 0.0);
    for word in text.split_inclusive(' ') {
        let bare = breadth(word.trim_end());
        if used > 0.0 && used + bare > width {
            lines += 1;
            used = 0.0;
        }
        used += breadth(word);
        while bare > width && used > width {
            lines += 1;
            used -= width.max(1.0);
        }
    }
    lines
}

/// About how wide a text is, in widths of a digit, set in the workbook's typeface.
fn breadth(text: &str) -> f64 {
    text.chars().map(char_breadth).sum()
}

fn char_breadth(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' | '|' => 0.42,
        ' ' | '.' | ',' | ':' | ';' | '/' | '!' | 't' | 'f' | 'I' | '[' | ']' => 0.52,
        'r' | '-' | '(' | ')' | '"' | '{' | '}' => 0.62,
        'm' | 'M' | 'W' | '%' | '@' => 1.6,
        'w' | 'A'..='Z' => 1.28,
        c if c.is_ascii() => 1.0,
        _ => 1.6,
    }
}

/// Length of a text in characters, as a width.
pub(super) fn characters(text: &str) -> f64 {
    u32::try_from(text.chars().count()).map_or(f64::INFINITY, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn a_long_text_takes_the_lines_its_words_need() {
        assert_eq!(lines_of("two placements cover the same stretch", 20.0), 2);
        assert_eq!(lines_of("", 20.0), 1);
        assert_eq!(lines_of(&"x".repeat(45), 20.0), 3);
        assert_eq!(lines_of("605-0900", 8.0), 1);
    }

    #[test]
    fn a_decimal_is_stored_as_the_nearest_binary_number() {
        assert_eq!(stored(&Value::Exact(dec!(-3398.02))), Some("-3398.02".into()));
        assert_eq!(stored(&Value::Exact(Decimal::ONE / dec!(3))), Some((1.0_f64 / 3.0).to_string()));
    }
}

//! The check on a column's entries, as the file writes it.
//!
//! What could not be read is stopped; what the contract does not name is asked about and may be kept. Formulas are ones
//! that every spreadsheet program has.

use chrono::NaiveTime;
use rust_decimal::Decimal;
use rust_xlsxwriter::{
    ColNum, DataValidation, DataValidationErrorStyle, DataValidationRule, Formula, RowNum, XlsxError,
};

use super::lists::range;
use crate::dossier::{FormBook, FormCheck, FormField};
use crate::render::workbook::clean;

/// Characters that the title and the text of a message hold.
const TITLE: usize = 32;
const TEXT: usize = 255;

pub(super) fn guard(form: &FormBook, field: &FormField, first: (RowNum, ColNum)) -> Result<DataValidation, XlsxError> {
    let empty = DataValidation::new();
    let (guard, only) = match &field.check {
        FormCheck::Text => (empty.allow_any_value(), true),
        FormCheck::Day(from, to) => (empty.allow_date(DataValidationRule::Between(*from, *to)), false),
        FormCheck::Time => (empty.allow_time(DataValidationRule::Between(NaiveTime::MIN, last_minute())), true),
        FormCheck::Number { below_zero, zero } => (empty.allow_decimal_number(number(*below_zero, *zero)), true),
        FormCheck::Station { within } => (empty.allow_custom(station(first, *within)), false),
        FormCheck::List { list, only } => (empty.allow_list_formula(Formula::new(range(form, *list))), *only),
    };
    let style = if only { DataValidationErrorStyle::Stop } else { DataValidationErrorStyle::Warning };
    let mut guard = guard.ignore_blank(true).set_error_style(style);
    if !field.prompt.1.is_empty() {
        guard = guard.set_input_title(cut(&field.prompt.0, TITLE))?.set_input_message(cut(&field.prompt.1, TEXT))?;
    }
    if !field.fault.is_empty() {
        guard = guard.set_error_title(cut(&field.prompt.0, TITLE))?.set_error_message(cut(&field.fault, TEXT))?;
    }
    Ok(guard)
}

fn last_minute() -> NaiveTime {
    NaiveTime::from_hms_opt(23, 59, 59).unwrap_or(NaiveTime::MIN)
}

fn number(below_zero: bool, zero: bool) -> DataValidationRule<f64> {
    match (below_zero, zero) {
        (true, _) => DataValidationRule::Between(-1e12, 1e12),
        (false, true) => DataValidationRule::GreaterThanOrEqualTo(0.0),
        (false, false) => DataValidationRule::GreaterThan(0.0),
    }
}

/// A plus, and where the rest is a number, one between the ends.
fn station((row, at): (RowNum, ColNum), (least, greatest): (Decimal, Decimal)) -> Formula {
    let cell = rust_xlsxwriter::utility::row_col_to_cell(row, at);
    let number = format!("VALUE(SUBSTITUTE({cell},\"+\",\"\"))");
    Formula::new(format!(
        "=AND(ISNUMBER(FIND(\"+\",{cell})),IFERROR(AND({number}>={least},{number}<={greatest}),TRUE))"
    ))
}

/// Text for a message, no longer than it may be.
fn cut(text: &str, most: usize) -> String {
    let shown = clean::cell(text);
    if shown.encode_utf16().count() <= most {
        return shown.into_owned();
    }
    let mut kept = String::new();
    let mut left = most.saturating_sub(3);
    for c in shown.chars().take_while(|c| {
        let fits = c.len_utf16() <= left;
        left = left.saturating_sub(c.len_utf16());
        fits
    }) {
        kept.push(c);
    }
    kept + "..."
}

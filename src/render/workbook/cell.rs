//! What a cell of a page shows. A number is a formula that refers to its calculation or its record, with the value stored
//! beside it, and leads there when it is chosen.

use chrono::{NaiveDate, NaiveTime, Timelike};
use rust_xlsxwriter::Format;

use super::clean;
use super::grid::Span;
use super::leaf::{binary, lines_of, stored};
use super::page::Writer;
use super::style::{self, Weight};
use crate::dossier::{Align, Column, Shown};
use crate::figure::{Addresses, CellId, CellValue, FigureId, Value};
use crate::render::RenderError;

/// The cell of a span that holds the value.
pub(super) fn place(right: bool, (first, last): Span) -> u16 {
    if right { last } else { first }
}

impl<'a> Writer<'a, '_, '_> {
    /// Writes what a cell shows.
    pub(super) fn cell(
        &mut self,
        shown: &Shown,
        column: &Column,
        span: Span,
        weight: Weight,
    ) -> Result<(), RenderError> {
        let right = column.align == Align::Right;
        let format = style::line(weight, right);
        let format = if right || span.0 == 0 { format } else { style::set_off(format) };
        let at = place(right, span);
        match shown {
            Shown::Blank => self.ground(span, &format),
            Shown::Text(text) => self.spread(span, right, &format.set_text_wrap(), text),
            Shown::Sheet { place, words } => {
                let format = style::leads(format);
                self.ground(span, &format)?;
                if let Some(target) = self.matter.plan.work_sheet(*place) {
                    self.leaf.link(self.row, at, &target, &format)?;
                }
                self.leaf.text(self.row, at, words, &format)
            }
            Shown::Date(day) => {
                self.ground(span, &format)?;
                self.leaf.day(self.row, at, *day, &style::day(format))
            }
            Shown::Count(n) => {
                self.ground(span, &format)?;
                self.leaf.count(self.row, at, *n, &style::decimals(format, 0))
            }
            Shown::Figure(id) => {
                self.ground(span, &format)?;
                let (figure, sign) = (&self.matter.book[*id], &self.matter.dossier.head.currency);
                let signed = figure.unit.is_money() && !column.unit.contains(sign.as_str());
                let format = style::leads(format);
                let number = style::decimals(format.clone(), figure.decimals);
                let money = || style::money(format, figure.decimals, sign);
                self.figure(*id, at, &if signed { money() } else { number })
            }
            Shown::Cell(id) => self.record_cell(*id, span, right, format),
        }
    }

    /// Words in a span of columns: in its first cell, or its last where they stand at the right; merged only to wrap.
    pub(super) fn spread(&mut self, span: Span, right: bool, format: &Format, text: &str) -> Result<(), RenderError> {
        if span.0 == span.1 {
            return self.leaf.text(self.row, span.0, text, format);
        }
        if lines_of(text, self.grid.span(span) - 1.0) > 1 {
            return self.leaf.paragraph(self.row, span, text, format);
        }
        self.ground(span, format)?;
        self.leaf.text(self.row, place(right, span), text, &format.clone().unset_text_wrap())
    }

    /// Rules under every column of a span.
    pub(super) fn ground(&mut self, span: Span, format: &Format) -> Result<(), RenderError> {
        (span.0..=span.1).try_for_each(|column| self.leaf.blank(self.row, column, format))
    }

    /// How many lines the words of a cell take.
    pub(super) fn lines_needed(&self, shown: &Shown, span: Span) -> u32 {
        let width = self.grid.span(span) - 1.0;
        match (shown, shown_record(shown).and_then(|id| self.record(id))) {
            (Shown::Text(text) | Shown::Sheet { words: text, .. }, _) => lines_of(text, width),
            (_, Some(CellValue::Text(text))) => lines_of(text, width),
            _ => 1,
        }
    }

    fn record(&self, id: CellId) -> Option<&'a CellValue> {
        self.matter.book.table(id.table).cell(id.row, id.column).map(|c| &c.value)
    }

    /// A figure: refers to its value on 'Calculations', and leads there. A comparison that holds reads `yes`.
    pub(super) fn figure(&mut self, id: FigureId, column: u16, format: &Format) -> Result<(), RenderError> {
        let figure = &self.matter.book[id];
        let target = self.matter.plan.figure_from_elsewhere(id);
        let row = self.row;
        self.shown.note(id, self.name, row, column);
        self.leaf.link(row, column, &target, format)?;
        match (&figure.value, stored(&figure.value)) {
            (Value::Truth(holds), _) => {
                let word = if *holds { "yes" } else { "no" };
                self.leaf.formula(row, column, &format!("IF({target},\"yes\",\"no\")"), word, format)
            }
            (_, Some(value)) => self.leaf.formula(row, column, &target, &value, format),
            (_, None) => self.leaf.text(row, column, "not computed", format),
        }
    }

    /// A record's value: refers to the record, and leads there. An empty cell would come out as 0 and stays empty.
    fn record_cell(&mut self, id: CellId, span: Span, right: bool, format: Format) -> Result<(), RenderError> {
        let (row, at, target) = (self.row, place(right, span), self.matter.plan.cell(id));
        let Some(value) = self.record(id).filter(|v| **v != CellValue::Blank) else {
            return self.ground(span, &format);
        };
        let format = self.record_format(id, value, style::leads(format));
        let wraps = matches!(value, CellValue::Text(text) if lines_of(text, self.grid.span(span) - 1.0) > 1);
        let format = if wraps { format.set_text_wrap() } else { format };
        if wraps && span.0 < span.1 {
            self.leaf.paragraph(row, span, "", &format)?;
        } else {
            self.ground(span, &format)?;
        }
        let Some(result) = stored_record(value) else { return self.leaf.text(row, at, &value.to_string(), &format) };
        self.leaf.link(row, at, &target, &format)?;
        self.leaf.formula(row, at, &target, &result, &format)
    }

    fn record_format(&self, id: CellId, value: &CellValue, format: Format) -> Format {
        let columns = &self.matter.book.table(id.table).columns;
        match value {
            CellValue::Number(_) => match columns.get(usize::from(id.column)).and_then(|c| c.decimals) {
                Some(decimals) => style::decimals(format, decimals),
                None => format,
            },
            CellValue::Date(_) => style::day(format),
            CellValue::Time(_) => style::time(format),
            CellValue::Blank | CellValue::Text(_) | CellValue::Word(_) => format,
        }
    }
}

fn shown_record(shown: &Shown) -> Option<CellId> {
    if let Shown::Cell(id) = shown { Some(*id) } else { None }
}

/// A record's value as stored beside a formula that refers to it; `None` for words that a reader of the file would take
/// for a number, a truth or an error: those are written as words.
fn stored_record(value: &CellValue) -> Option<String> {
    match value {
        CellValue::Blank => None,
        CellValue::Number(n) => Some(binary(*n).to_string()),
        CellValue::Date(day) => serial(*day),
        CellValue::Time(time) => Some(part_of_day(*time).to_string()),
        CellValue::Text(text) => Some(clean::cell(text).into_owned()).filter(|t| stays_words(t)),
        CellValue::Word(word) => Some((*word).to_string()).filter(|t| stays_words(t)),
    }
}

fn stays_words(text: &str) -> bool {
    let known = ["TRUE", "FALSE"].iter().any(|w| text.eq_ignore_ascii_case(w));
    !text.is_empty() && text.trim() == text && text.parse::<f64>().is_err() && !known && !text.starts_with('#')
}

/// Serial number of a day; `None` before March 1900, where spreadsheet programs disagree.
fn serial(day: NaiveDate) -> Option<String> {
    let days = day.signed_duration_since(NaiveDate::from_ymd_opt(1899, 12, 30)?).num_days();
    (days > 60).then(|| days.to_string())
}

fn part_of_day(time: NaiveTime) -> f64 {
    f64::from(time.num_seconds_from_midnight()) / 86_400.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ticket_number_is_not_stored_as_the_result_of_a_formula() {
        for words in ["88213", "1e5", "inf", "true", "#N/A", " padded", ""] {
            assert_eq!(stored_record(&CellValue::Text(words.into())), None, "{words}");
        }
        assert_eq!(stored_record(&CellValue::Text("C-42".into())), Some("C-42".into()));
    }

    #[test]
    fn days_and_times_are_stored_as_serial_numbers() {
        let day = NaiveDate::from_ymd_opt(2031, 7, 8).unwrap();
        assert_eq!(stored_record(&CellValue::Date(day)), Some("48037".into()));
        let noon = NaiveTime::from_hms_opt(12, 0, 0).unwrap();
        assert_eq!(stored_record(&CellValue::Time(noon)), Some("0.5".into()));
    }
}

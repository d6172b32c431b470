//! What every list has: title, one line saying what it is, the contract, headings that stay in view and repeat in print,
//! filters, and widths that fit.

use rust_xlsxwriter::Format;

use super::address::{FIRST, HEADINGS};
use super::leaf::{Leaf, lines_of};
use super::style::{self, Weight};
use crate::dossier::Head;
use crate::render::RenderError;
use crate::units::Unit;

/// Broader than this (in characters) does not fit an upright page.
pub(super) const UPRIGHT: f64 = 98.0;

/// A column of a list.
pub(super) struct Heading<'a> {
    text: &'a str,
    width: f64,
    right: bool,
}

/// A column of words.
pub(super) fn words(text: &str, width: f64) -> Heading<'_> {
    Heading { text, width, right: false }
}

/// A column of numbers.
pub(super) fn numbers(text: &str, width: f64) -> Heading<'_> {
    Heading { text, width, right: true }
}

/// A list under the pen.
pub(super) struct List<'a> {
    columns: Vec<Heading<'a>>,
    first: Format,
    line: Format,
}

impl<'a> List<'a> {
    /// Writes what stands above the lines and sets the sheet up for `rows` of them.
    pub(super) fn open(
        leaf: &mut Leaf,
        head: &Head,
        (title, what): (&str, &str),
        columns: Vec<Heading<'a>>,
        rows: u32,
    ) -> Result<Self, RenderError> {
        opening(leaf, head, title, what)?;
        let mut broad = 0.0;
        let mut lines = 1;
        for (at, column) in (0_u16..).zip(&columns) {
            leaf.width(at, column.width)?;
            broad += column.width;
            lines = lines.max(lines_of(column.text, column.width));
        }
        leaf.lines(HEADINGS, lines)?;
        for (at, column) in (0_u16..).zip(&columns) {
            let format = style::column_heading(column.right, true);
            let apart = at > 0 && !column.right;
            leaf.text(HEADINGS, at, column.text, &if apart { style::set_off(format) } else { format })?;
        }
        let last = u16::try_from(columns.len().saturating_sub(1)).unwrap_or(u16::MAX);
        if rows > 0 {
            leaf.sheet.autofilter(HEADINGS, 0, HEADINGS + rows, last)?;
        }
        leaf.sheet.set_freeze_panes(FIRST, 1)?.set_repeat_rows(HEADINGS, HEADINGS)?;
        leaf.printed(head, broad > UPRIGHT);
        leaf.numbers_as_words(FIRST + rows, last)?;
        let first = style::line(Weight::Line, false).set_text_wrap();
        Ok(Self { columns, line: style::set_off(first.clone()), first })
    }

    /// One line of words from the first column on, the row as high as they need.
    pub(super) fn words(&self, leaf: &mut Leaf, row: u32, cells: &[&str]) -> Result<(), RenderError> {
        let lines = self.columns.iter().zip(cells).map(|(c, text)| lines_of(text, c.width - 1.5)).max();
        leaf.lines(row, lines.unwrap_or(1))?;
        for (column, text) in (0_u16..).zip(cells) {
            leaf.text(row, column, text, if column == 0 { &self.first } else { &self.line })?;
        }
        Ok(())
    }

    /// How words of a line look.
    pub(super) fn line(&self) -> &Format {
        &self.line
    }
}

/// The first three rows of every list.
pub(super) fn opening(leaf: &mut Leaf, head: &Head, title: &str, what: &str) -> Result<(), RenderError> {
    leaf.sheet.set_row_height(0, 24.0)?;
    leaf.text(0, 0, title, &style::title())?;
    leaf.text(1, 0, what, &style::muted())?;
    leaf.text(2, 0, &standing(head), &style::muted())
}

/// Contract, period, and what keeps it open, in a line.
pub(super) fn standing(head: &Head) -> String {
    let parts = [&head.number, &head.period, &format!("through {}", head.through)];
    let mut line = parts.map(String::as_str).join(", ");
    for more in head.not_final.iter().chain([&head.notice]).filter(|t| !t.is_empty()) {
        line.push_str(".  ");
        line.push_str(more);
    }
    line
}

/// A unit as printed, with the contract's currency.
pub(super) fn unit(unit: Unit, currency: &str) -> String {
    match unit {
        Unit::Money => currency.to_string(),
        Unit::MoneyPer(of) => format!("{currency}/{of}"),
        other => other.to_string(),
    }
}

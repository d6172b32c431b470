//! A calculation on its page, as an engineer writes one: label, symbol = formula = numbers = value with its unit, and the
//! rule or source at the right.

use super::cell::place;
use super::grid;
use super::leaf::lines_of;
use super::list;
use super::page::Writer;
use super::style::{self, Weight};
use crate::dossier::Page;
use crate::figure::{FigureId, hand};
use crate::render::RenderError;

/// Which of a calculation's columns holds the value, and which is set off from it.
const VALUE: usize = 4;

impl Writer<'_, '_, '_> {
    /// Title, one line to each figure, remark.
    pub(super) fn calculation(
        &mut self,
        title: &str,
        figures: &[FigureId],
        remark: &str,
        page: &Page,
    ) -> Result<(), RenderError> {
        let spans = self.grid.fit(&grid::calculation(page, self.matter.book, &self.matter.dossier.head.currency));
        self.paragraph(title, &style::strong())?;
        for &id in figures {
            self.calculation_line(id, &spans)?;
        }
        if !remark.is_empty() {
            self.paragraph(remark, &style::muted().set_text_wrap())?;
        }
        self.row += 1;
        Ok(())
    }

    fn calculation_line(&mut self, id: FigureId, spans: &[grid::Span]) -> Result<(), RenderError> {
        let line = hand(self.matter.book, id);
        let unit = list::unit(self.matter.book[id].unit, &self.matter.dossier.head.currency);
        let equals = |part: &str| if part.is_empty() { String::new() } else { format!("= {part}") };
        let words = [&line.label, &line.symbol, &equals(&line.formula), &equals(&line.numbers), "", &unit, &line.note];
        let lines = words.iter().zip(spans).map(|(text, span)| lines_of(text, self.grid.span(*span) - 1.0));
        self.leaf.lines(self.row, lines.max().unwrap_or(1))?;
        let format = style::line(Weight::Line, false).set_text_wrap();
        for (n, (text, span)) in words.iter().zip(spans).enumerate() {
            let format = if n > VALUE { style::set_off(format.clone()) } else { format.clone() };
            self.spread(*span, false, &format, text)?;
        }
        if let Some(span) = spans.get(VALUE) {
            let format = style::leads(style::line(Weight::Line, true));
            self.figure(id, place(true, *span), &style::decimals(format, self.matter.book[id].decimals))?;
        }
        self.row += 1;
        Ok(())
    }
}

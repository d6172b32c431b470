//! A table on its page: title, headings with their units, lines, subtotals and totals, note.

use super::cell::place;
use super::chart::Ranges;
use super::grid::{self, Span};
use super::leaf::lines_of;
use super::page::Writer;
use super::style::{self, Weight};
use crate::dossier::{Align, Block, Page, Row, RowKind, Shown, Table};
use crate::render::RenderError;

/// A table with more rows than this keeps its headings in view and repeats them in print.
const LONG: usize = 25;
/// Headings below this row are not kept in view: too little of the sheet would be left.
const LOW: u32 = 14;

impl Writer<'_, '_, '_> {
    /// Writes a table and takes note of where it stands, for charts.
    pub(super) fn table(&mut self, table: &Table, page: &Page) -> Result<(), RenderError> {
        let spans = self.grid.fit(&grid::needs(table, self.matter.book));
        if !table.title.is_empty() {
            self.paragraph(&table.title, &style::strong())?;
        }
        let headings = self.row;
        self.headings(table, &spans)?;
        self.keep_in_view(table, page, headings)?;
        let first = self.row;
        for row in &table.rows {
            self.table_row(row, table, &spans)?;
        }
        self.take_note(table, &spans, first);
        if !table.note.is_empty() {
            self.paragraph(&table.note, &style::muted().set_text_wrap())?;
        }
        self.row += 1;
        Ok(())
    }

    fn take_note(&mut self, table: &Table, spans: &[Span], first: u32) {
        let Some(last) = (first..).zip(&table.rows).filter(|(_, r)| r.kind == RowKind::Line).map(|(n, _)| n).last()
        else {
            return;
        };
        let columns = table.columns.iter().zip(spans).map(|(c, span)| place(c.align == Align::Right, *span)).collect();
        let days = (0..table.columns.len())
            .map(|n| table.rows.first().is_some_and(|r| matches!(r.cells.get(n), Some(Shown::Date(_)))))
            .collect();
        self.tables.insert(table.id.clone(), Ranges { first, last, columns, days });
    }

    /// The headings of a page's only long table stay in view and stand on every printed page.
    fn keep_in_view(&mut self, table: &Table, page: &Page, headings: u32) -> Result<(), RenderError> {
        let tables = page.blocks.iter().filter(|b| matches!(b, Block::Table(_))).count();
        if table.rows.len() > LONG && tables == 1 {
            self.leaf.sheet.set_repeat_rows(headings, self.row - 1)?;
            if self.row < LOW {
                self.leaf.sheet.set_freeze_panes(self.row, 0)?;
            }
        }
        Ok(())
    }

    /// Headings, and below them the units where there are any.
    fn headings(&mut self, table: &Table, spans: &[Span]) -> Result<(), RenderError> {
        let units = table.columns.iter().any(|c| !c.unit.is_empty());
        let lines = table.columns.iter().zip(spans).map(|(c, s)| lines_of(&c.heading, self.grid.span(*s) - 1.0)).max();
        self.leaf.lines(self.row, lines.unwrap_or(1))?;
        for (column, span) in table.columns.iter().zip(spans) {
            let right = column.align == Align::Right;
            let apart = |f| if right || span.0 == 0 { f } else { style::set_off(f) };
            self.spread(*span, right, &apart(style::column_heading(right, !units)), &column.heading)?;
            if units {
                self.row += 1;
                self.spread(*span, right, &apart(style::column_unit(right)), &column.unit)?;
                self.row -= 1;
            }
        }
        self.row += if units { 2 } else { 1 };
        Ok(())
    }

    fn table_row(&mut self, row: &Row, table: &Table, spans: &[Span]) -> Result<(), RenderError> {
        let lines = row.cells.iter().zip(spans).map(|(shown, span)| self.lines_needed(shown, *span)).max();
        self.leaf.lines(self.row, lines.unwrap_or(1))?;
        let weight = match row.kind {
            RowKind::Line => Weight::Line,
            RowKind::Subtotal => Weight::Subtotal,
            RowKind::Total => Weight::Total,
        };
        let cells = row.cells.iter().chain(std::iter::repeat(&Shown::Blank));
        for ((column, shown), span) in table.columns.iter().zip(cells).zip(spans) {
            self.cell(shown, column, *span, weight)?;
        }
        self.row += 1;
        Ok(())
    }
}

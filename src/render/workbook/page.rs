//! A page of the dossier on a sheet of its own: title and question, then its blocks in order.
//!
//! A number shown is a formula that refers to its calculation or its record and leads there when it is chosen.

use std::collections::BTreeMap;

use rust_xlsxwriter::Format;

use super::address::Plan;
use super::chart::{self, Ranges};
use super::grid::{self, Grid, Span};
use super::leaf::{Leaf, ROW_PIXELS, binary, lines_of, stored};
use super::list::{self, UPRIGHT};
use super::shown::ShownOn;
use super::style::{self, Weight};
use crate::dossier::{Align, Block, Chart, Dossier, Page, Row, RowKind, Shown, Table};
use crate::figure::{Addresses, Book, CellId, CellValue, FigureId, hand};
use crate::render::RenderError;

/// A table with more rows than this keeps its headings in view and repeats them in print.
const LONG: usize = 25;

/// What every page is written from.
#[derive(Clone, Copy)]
pub(super) struct Matter<'a> {
    pub(super) dossier: &'a Dossier,
    pub(super) book: &'a Book,
    pub(super) plan: &'a Plan,
}

/// A page under the pen.
struct Writer<'a, 'l, 'w> {
    matter: Matter<'a>,
    leaf: &'l mut Leaf<'w>,
    name: &'a str,
    grid: Grid,
    row: u32,
    tables: BTreeMap<&'static str, Ranges>,
    charts: Vec<(&'a Chart, u32)>,
    shown: &'l mut ShownOn,
}

/// Writes a page. `first` marks the sheet that opens: it prints on one page.
pub(super) fn write<'a>(
    leaf: &mut Leaf,
    matter: Matter<'a>,
    (page, name): (&'a Page, &'a str),
    first: bool,
    shown: &mut ShownOn,
) -> Result<(), RenderError> {
    let grid = Grid::of(page, matter.book, &matter.dossier.head.currency);
    for (column, width) in (0_u16..).zip(grid.widths()) {
        leaf.width(column, *width)?;
    }
    leaf.printed(&matter.dossier.head, grid.width() > UPRIGHT);
    let mut writer = Writer { matter, leaf, name, grid, row: 0, tables: BTreeMap::new(), charts: Vec::new(), shown };
    writer.opening(page)?;
    for block in &page.blocks {
        writer.block(block, page)?;
    }
    writer.draw_charts()?;
    if first && writer.row < 80 {
        writer.leaf.sheet.set_print_fit_to_pages(1, 1);
    }
    Ok(())
}

impl<'a> Writer<'a, '_, '_> {
    /// Title, question, contract, stamp and notice.
    fn opening(&mut self, page: &Page) -> Result<(), RenderError> {
        let head = &self.matter.dossier.head;
        let from = head.from.map_or_else(String::new, |d| format!("from {d} "));
        self.leaf.sheet.set_row_height(0, 24.0)?;
        self.line(page.title, &style::title())?;
        self.line(page.question, &style::muted())?;
        self.leaf.sheet.set_freeze_panes(2, 0)?;
        self.line(&format!("{}  {}", head.number, head.title), &style::base())?;
        self.line(&format!("{}, {from}through {}", head.period, head.through), &style::base())?;
        if let Some(open) = &head.not_final {
            self.line(open, &style::caption())?;
        }
        if !head.notice.is_empty() {
            self.line(&head.notice, &style::muted())?;
        }
        self.row += 1;
        Ok(())
    }

    /// A line that may run over the cells at its right.
    fn line(&mut self, text: &str, format: &Format) -> Result<(), RenderError> {
        self.leaf.text(self.row, 0, text, format)?;
        self.row += 1;
        Ok(())
    }

    /// Words that wrap over the width of running text.
    fn paragraph(&mut self, text: &str, format: &Format) -> Result<(), RenderError> {
        let columns = self.grid.text();
        self.leaf.lines(self.row, lines_of(text, self.grid.span(columns)))?;
        self.leaf.paragraph(self.row, columns, text, format)?;
        self.row += 1;
        Ok(())
    }

    fn block(&mut self, block: &'a Block, page: &Page) -> Result<(), RenderError> {
        match block {
            Block::Heading(text) => self.line(text, &style::heading()),
            Block::Text(text) => {
                self.paragraph(text, &style::text())?;
                self.row += 1;
                Ok(())
            }
            Block::Caution(text) => {
                self.paragraph(&format!("Caution: {text}"), &style::strong())?;
                self.row += 1;
                Ok(())
            }
            Block::Table(table) => self.table(table, page),
            Block::Calculation { title, figures, remark } => self.calculation(title, figures, remark, page),
            Block::Signatures(parties) => self.signatures(parties),
            Block::Chart(chart) => {
                self.charts.push((chart, self.row));
                self.row += chart::HEIGHT.div_ceil(ROW_PIXELS) + 2;
                Ok(())
            }
            Block::Strip(strip) => {
                self.paragraph(
                    &format!("{}: drawn to scale in package.pdf.", strip.title),
                    &style::muted().set_text_wrap(),
                )?;
                self.row += 1;
                Ok(())
            }
        }
    }

    fn table(&mut self, table: &Table, page: &Page) -> Result<(), RenderError> {
        let spans = self.grid.fit(&grid::needs(table, self.matter.book));
        if !table.title.is_empty() {
            self.paragraph(&table.title, &style::strong())?;
        }
        let headings = self.row;
        self.headings(table, &spans)?;
        if table.rows.len() > LONG && page.blocks.iter().filter(|b| matches!(b, Block::Table(_))).count() == 1 {
            self.leaf.sheet.set_repeat_rows(headings, self.row - 1)?;
            if self.row < 14 {
                self.leaf.sheet.set_freeze_panes(self.row, 0)?;
            }
        }
        let first = self.row;
        let mut last = None;
        for row in &table.rows {
            if row.kind == RowKind::Line {
                last = Some(self.row);
            }
            self.table_row(row, table, &spans)?;
        }
        let columns = table.columns.iter().zip(&spans).map(|(c, span)| place(c.align == Align::Right, *span));
        if let Some(last) = last {
            self.tables.insert(table.id, Ranges { first, last, columns: columns.collect() });
        }
        if !table.note.is_empty() {
            self.paragraph(&table.note, &style::muted().set_text_wrap())?;
        }
        self.row += 1;
        Ok(())
    }

    /// Headings, and below them the units where there are any.
    fn headings(&mut self, table: &Table, spans: &[Span]) -> Result<(), RenderError> {
        let units = table.columns.iter().any(|c| !c.unit.is_empty());
        let lines = table.columns.iter().zip(spans).map(|(c, s)| lines_of(&c.heading, self.grid.span(*s))).max();
        self.leaf.lines(self.row, lines.unwrap_or(1))?;
        for (column, span) in table.columns.iter().zip(spans) {
            let right = column.align == Align::Right;
            self.spread(*span, right, &style::column_heading(right, !units), &column.heading)?;
            if units {
                self.row += 1;
                self.spread(*span, right, &style::column_unit(right), &column.unit)?;
                self.row -= 1;
            }
        }
        self.row += if units { 2 } else { 1 };
        Ok(())
    }

    /// Words in a span of columns: in its first cell, or its last where they stand at the right; merged only to wrap.
    fn spread(&mut self, span: Span, right: bool, format: &Format, text: &str) -> Result<(), RenderError> {
        if span.0 < span.1 && lines_of(text, self.grid.span(span) - 1.0) > 1 {
            return self.leaf.paragraph(self.row, span, text, format);
        }
        self.ground(span, format)?;
        self.leaf.text(self.row, place(right, span), text, format)
    }

    /// Rules under every column of a span.
    fn ground(&mut self, span: Span, format: &Format) -> Result<(), RenderError> {
        (span.0..=span.1).try_for_each(|column| self.leaf.blank(self.row, column, format))
    }

    fn table_row(&mut self, row: &Row, table: &Table, spans: &[Span]) -> Result<(), RenderError> {
        let words = row.cells.iter().zip(spans).map(|(shown, span)| self.lines_needed(shown, *span)).max();
        self.leaf.lines(self.row, words.unwrap_or(1))?;
        let weight = match row.kind {
            RowKind::Line => Weight::Line,
            RowKind::Subtotal => Weight::Subtotal,
            RowKind::Total => Weight::Total,
        };
        for ((column, shown), span) in table.columns.iter().zip(&row.cells).zip(spans) {
            self.cell(shown, *span, column.align == Align::Right, weight)?;
        }
        self.row += 1;
        Ok(())
    }

    fn lines_needed(&self, shown: &Shown, span: Span) -> u32 {
        let width = self.grid.span(span) - 1.0;
        match shown {
            Shown::Text(text) => lines_of(text, width),
            Shown::Cell(id) => match self.record(*id) {
                Some(CellValue::Text(text)) => lines_of(text, width),
                _ => 1,
            },
            _ => 1,
        }
    }

    fn record(&self, id: CellId) -> Option<&'a CellValue> {
        self.matter.book.table(id.table).cell(id.row, id.column).map(|c| &c.value)
    }

    fn cell(&mut self, shown: &Shown, span: Span, right: bool, weight: Weight) -> Result<(), RenderError> {
        let format = style::line(weight, right);
        let at = place(right, span);
        match shown {
            Shown::Blank => self.ground(span, &format),
            Shown::Text(text) => self.spread(span, right, &format.set_text_wrap(), text),
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
                self.figure(*id, at, &format)
            }
            Shown::Cell(id) => self.record_cell(*id, span, right, format),
        }
    }

    /// A figure: refers to its value on 'Calculations', and leads there.
    fn figure(&mut self, id: FigureId, column: u16, format: &Format) -> Result<(), RenderError> {
        let figure = &self.matter.book[id];
        let target = self.matter.plan.figure_from_elsewhere(id);
        let format = style::leads(format.clone());
        self.shown.note(id, self.name, self.row, column);
        self.leaf.link(self.row, column, &target, &format)?;
        match stored(&figure.value) {
            Some(value) => {
                let format = style::decimals(format, figure.decimals);
                self.leaf.formula(self.row, column, &target, &value, &format)
            }
            None => self.leaf.text(self.row, column, "not computed", &format),
        }
    }

    /// A record's value: numbers, days and times refer to the record; words stay words. All lead there.
    fn record_cell(&mut self, id: CellId, span: Span, right: bool, format: Format) -> Result<(), RenderError> {
        let at = place(right, span);
        let target = self.matter.plan.cell(id);
        let Some(value) = self.record(id).filter(|v| **v != CellValue::Blank) else {
            return self.ground(span, &format);
        };
        let format = style::leads(format);
        let (row, decimals) = (self.row, self.record_decimals(id));
        match value {
            CellValue::Text(text) => {
                self.leaf.link(row, at, &target, &format)?;
                return self.spread(span, right, &format.set_text_wrap(), text);
            }
            CellValue::Word(word) => {
                self.leaf.link(row, at, &target, &format)?;
                return self.spread(span, right, &format, word);
            }
            _ => {}
        }
        self.ground(span, &format)?;
        self.leaf.link(row, at, &target, &format)?;
        match value {
            CellValue::Number(n) => {
                let format = decimals.map_or_else(|| format.clone(), |d| style::decimals(format.clone(), d));
                self.leaf.formula(row, at, &target, &binary(*n).to_string(), &format)
            }
            CellValue::Date(day) => self.leaf.day(row, at, *day, &style::day(format)),
            CellValue::Time(time) => self.leaf.time(row, at, *time, &style::time(format)),
            CellValue::Blank | CellValue::Text(_) | CellValue::Word(_) => Ok(()),
        }
    }

    fn record_decimals(&self, id: CellId) -> Option<u8> {
        self.matter.book.table(id.table).columns.get(usize::from(id.column)).and_then(|c| c.decimals)
    }

    /// A calculation sheet: label, symbol = formula = numbers = value, unit, note.
    fn calculation(&mut self, title: &str, figures: &[FigureId], remark: &str, page: &Page) -> Result<(), RenderError> {
        let currency = &self.matter.dossier.head.currency;
        let spans = self.grid.fit(&grid::calculation(page, self.matter.book, currency));
        self.paragraph(title, &style::strong())?;
        for &id in figures {
            let line = hand(self.matter.book, id);
            let unit = list::unit(self.matter.book[id].unit, currency);
            let equals = |part: &str| if part.is_empty() { String::new() } else { format!("= {part}") };
            let words =
                [&line.label, &line.symbol, &equals(&line.formula), &equals(&line.numbers), "", &unit, &line.note];
            let lines = words.iter().zip(&spans).map(|(text, span)| lines_of(text, self.grid.span(*span) - 1.0));
            self.leaf.lines(self.row, lines.max().unwrap_or(1))?;
            let format = style::line(Weight::Line, false).set_text_wrap();
            for (text, span) in words.iter().zip(&spans) {
                self.spread(*span, false, &format, text)?;
            }
            if let Some(span) = spans.get(4) {
                self.figure(id, place(true, *span), &style::line(Weight::Line, true))?;
            }
            self.row += 1;
        }
        if !remark.is_empty() {
            self.paragraph(remark, &style::muted().set_text_wrap())?;
        }
        self.row += 1;
        Ok(())
    }

    /// A line for each party to sign on, with the date.
    fn signatures(&mut self, parties: &[(String, String)]) -> Result<(), RenderError> {
        let spans = self.grid.fit(&[44.0, 3.0, 16.0]);
        let (Some(&name), Some(&date)) = (spans.first(), spans.get(2)) else { return Ok(()) };
        for (role, party) in parties {
            self.leaf.sheet.set_row_height(self.row, 30.0)?;
            self.ground(name, &style::sign_here())?;
            self.ground(date, &style::sign_here())?;
            self.row += 1;
            let text = if party.is_empty() { role.clone() } else { format!("{role}, {party}") };
            self.leaf.lines(self.row, lines_of(&text, self.grid.span(name)))?;
            self.leaf.paragraph(self.row, name, &text, &style::muted().set_text_wrap())?;
            self.leaf.text(self.row, date.0, "date", &style::muted())?;
            self.row += 1;
        }
        self.row += 1;
        Ok(())
    }

    /// Charts come last, when every table's place is known; their rows were left free.
    fn draw_charts(&mut self) -> Result<(), RenderError> {
        let pixels = self.grid.widths().iter().map(|w| w * 7.0 + 5.0).sum::<f64>();
        for (chart, row) in std::mem::take(&mut self.charts) {
            match self.tables.get(chart.table) {
                Some(ranges) => {
                    let values = self.chart_values(chart);
                    let drawn = chart::draw(chart, self.name, ranges, &values, pixels);
                    self.leaf.sheet.insert_chart_with_offset(row, 0, &drawn, 2, 4)?;
                }
                None => self.leaf.text(row, 0, &format!("{}: nothing to draw.", chart.title), &style::muted())?,
            }
        }
        Ok(())
    }

    /// The numbers a chart shows, to find the range of its axes: along the bottom, and of its series.
    fn chart_values(&self, chart: &Chart) -> [Vec<f64>; 2] {
        let pages = &self.matter.dossier.pages;
        let blocks = pages.iter().flat_map(|p| &p.blocks);
        let table =
            blocks.filter_map(|b| if let Block::Table(t) = b { Some(t) } else { None }).find(|t| t.id == chart.table);
        let lines = || table.iter().flat_map(|t| &t.rows).filter(|r| r.kind == RowKind::Line);
        let of = |column: usize| lines().filter_map(|r| self.real(r.cells.get(column)?)).collect::<Vec<f64>>();
        [of(chart.along), chart.series.iter().flat_map(|s| of(s.column)).collect()]
    }

    fn real(&self, shown: &Shown) -> Option<f64> {
        match shown {
            Shown::Figure(id) => self.matter.book[*id].value.real(),
            Shown::Cell(id) => self.matter.book.table(id.table).number(id.row, id.column).map(binary),
            Shown::Count(n) => u32::try_from(*n).ok().map(f64::from),
            Shown::Blank | Shown::Text(_) | Shown::Date(_) => None,
        }
    }
}

/// The cell of a span that holds the value.
fn place(right: bool, (first, last): Span) -> u16 {
    if right { last } else { first }
}

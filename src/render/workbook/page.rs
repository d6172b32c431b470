//! A page of the dossier on a sheet of its own: title and question, then its blocks in order. Its tables, calculations
//! and cells are written in `table`, `sheet` and `cell`; drawings to scale stand in the typeset package only.

use std::collections::BTreeMap;

use rust_xlsxwriter::Format;

use super::address::Plan;
use super::chart::{self, Ranges};
use super::grid::Grid;
use super::leaf::{Leaf, ROW_PIXELS, binary, lines_of};
use super::list::UPRIGHT;
use super::shown::ShownOn;
use super::style;
use super::waterfall;
use crate::dossier::{Block, Chart, ChartForm, Dossier, Page, RowKind, Shown, Table};
use crate::figure::Book;
use crate::render::RenderError;
use crate::render::view::table_alone;

/// What every page is written from.
#[derive(Clone, Copy)]
pub(super) struct Matter<'a> {
    pub(super) dossier: &'a Dossier,
    pub(super) book: &'a Book,
    pub(super) plan: &'a Plan,
}

/// A page under the pen.
pub(super) struct Writer<'a, 'l, 'w> {
    pub(super) matter: Matter<'a>,
    pub(super) leaf: &'l mut Leaf<'w>,
    pub(super) name: &'a str,
    pub(super) grid: Grid,
    pub(super) row: u32,
    pub(super) tables: BTreeMap<String, Ranges>,
    pub(super) shown: &'l mut ShownOn,
    charts: Vec<(&'a Chart, u32)>,
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
    let last = u16::try_from(writer.grid.widths().len()).unwrap_or(u16::MAX);
    writer.leaf.numbers_as_words(writer.row, last)?;
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
    pub(super) fn paragraph(&mut self, text: &str, format: &Format) -> Result<(), RenderError> {
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
                let also = if strip.steps { ", in as-built.svg and on the sheet Lanes as built" } else { "" };
                self.paragraph(
                    &format!("{}: drawn to scale in package.pdf{also}.", strip.title),
                    &style::muted().set_text_wrap(),
                )?;
                self.row += 1;
                Ok(())
            }
        }
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
        for (n, (chart, row)) in std::mem::take(&mut self.charts).into_iter().enumerate() {
            match self.tables.get(&chart.table) {
                Some(ranges) if chart.form == ChartForm::Waterfall => {
                    let ranges = ranges.clone();
                    self.draw_account(chart, &ranges, n, (row, pixels))?;
                }
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

    /// An account, the `n`th chart of the page, and at the right of its table, outside the printed area, the cells it is
    /// drawn from.
    fn draw_account(
        &mut self,
        chart: &Chart,
        at: &Ranges,
        n: usize,
        (row, pixels): (u32, f64),
    ) -> Result<(), RenderError> {
        let Some(table) = self.table_of(chart) else { return Ok(()) };
        let rows = table_alone(table, self.matter.book, &self.matter.dossier.head).rows;
        let page = u16::try_from(self.grid.widths().len()).unwrap_or(u16::MAX);
        let left = page + 1 + waterfall::WIDTH * u16::try_from(n).unwrap_or(0);
        match waterfall::write(self.leaf, (chart, &rows), at, (at.first.saturating_sub(2), left))? {
            Some(cells) => {
                let drawn = chart::draw_account(chart, self.name, &cells, pixels);
                self.leaf.sheet.insert_chart_with_offset(row, 0, &drawn, 2, 4)?;
                self.leaf.sheet.set_print_area(0, 0, self.row, page.saturating_sub(1))?;
            }
            None => self.leaf.text(row, 0, &format!("{}: nothing to draw.", chart.title), &style::muted())?,
        }
        Ok(())
    }

    fn table_of(&self, chart: &Chart) -> Option<&'a Table> {
        let blocks = self.matter.dossier.pages.iter().flat_map(|p| &p.blocks);
        blocks.filter_map(|b| if let Block::Table(t) = b { Some(t) } else { None }).find(|t| t.id == chart.table)
    }

    /// The numbers a chart shows, to find the range of its axes: along the bottom, and of its series.
    fn chart_values(&self, chart: &Chart) -> [Vec<f64>; 2] {
        let table = self.table_of(chart);
        let lines = || table.iter().flat_map(|t| &t.rows).filter(|r| r.kind == RowKind::Line);
        let of = |column: usize| lines().filter_map(|r| self.real(r.cells.get(column)?)).collect::<Vec<f64>>();
        [of(chart.along), chart.series.iter().flat_map(|s| of(s.column)).collect()]
    }

    fn real(&self, shown: &Shown) -> Option<f64> {
        match shown {
            Shown::Figure(id) => self.matter.book[*id].value.real(),
            Shown::Cell(id) => self.matter.book.table(id.table).number(id.row, id.column).map(binary),
            Shown::Count(n) => u32::try_from(*n).ok().map(f64::from),
            Shown::Blank | Shown::Text(_) | Shown::Sheet { .. } | Shown::Date(_) => None,
        }
    }
}

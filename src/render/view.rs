//! A dossier as pages of words: every number written, every table, chart and drawing numbered in reading order.
//!
//! The text reports and the typeset package print from this one view, so they cannot disagree. The last pages (findings,
//! rows not used, basis) are made here from the dossier's lists.

use serde::Serialize;

use super::shown::{Words, amount, clean, unit_words, words};
use crate::dossier::{
    Align, Block, Chart, Column, Dossier, FindingLine, Head, Page, Row, RowKind, Shown, Strip, Table, WorkSheet,
};
use crate::figure::{Book, FigureId, Value, hand};
use crate::finding::Kind;

/// The whole dossier in words.
#[derive(Clone, Debug, Serialize)]
pub(super) struct View {
    pub head: HeadView,
    pub pages: Vec<PageView>,
    pub findings: Vec<KindView>,
    /// Rows not used, and the basis: pages that every package has.
    pub back: Vec<PageView>,
}

/// The title block.
#[derive(Clone, Debug, Serialize)]
pub(super) struct HeadView {
    pub number: String,
    pub title: String,
    pub notice: String,
    pub owner: String,
    pub contractor: String,
    pub engineer: String,
    pub period: String,
    /// `2031-07-01 to 2031-07-31`.
    pub span: String,
    pub through: String,
    /// `NOT FINAL: ...`, or empty.
    pub not_final: String,
    pub program: String,
    pub letter: bool,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct PageView {
    pub id: String,
    pub title: String,
    pub question: String,
    pub blocks: Vec<BlockView>,
}

#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub(super) enum BlockView {
    Heading { text: String },
    Text { text: String },
    Caution { text: String },
    Table(TableView),
    Calculation(CalculationView),
    Signatures { lines: Vec<Signature> },
    Chart(ChartView),
    Strip(StripView),
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct Signature {
    pub role: String,
    pub name: String,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct TableView {
    pub number: usize,
    pub id: String,
    pub title: String,
    pub columns: Vec<ColumnView>,
    pub rows: Vec<RowView>,
    pub note: String,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct ColumnView {
    pub heading: String,
    pub unit: String,
    pub right: bool,
    /// Hashes and keys, in a typeface of one width.
    pub mono: bool,
    pub hint: usize,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct RowView {
    pub kind: RowKind,
    pub cells: Vec<CellView>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct CellView {
    pub text: String,
    /// Digits that others in the column have and this number has not: kept free, so that decimal points line up.
    pub pad: String,
    pub key: String,
    #[serde(skip)]
    pub number: Option<rust_decimal::Decimal>,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct CalculationView {
    pub title: String,
    pub lines: Vec<LineView>,
    pub remark: String,
}

/// A line of a calculation; `value` and `pad` as in a table cell.
#[derive(Clone, Debug, Serialize)]
pub(super) struct LineView {
    pub key: String,
    pub label: String,
    pub symbol: String,
    pub formula: String,
    pub numbers: String,
    pub value: String,
    pub pad: String,
    pub unit: String,
    pub note: String,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct ChartView {
    pub number: usize,
    pub title: String,
    /// Number of the table it is drawn from.
    pub from_table: usize,
    pub plot: super::typst::Plot,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct StripView {
    pub number: usize,
    pub title: String,
    #[serde(skip)]
    pub strip: Strip,
    pub drawing: super::typst::Drawing,
}

/// Findings of one kind.
#[derive(Clone, Debug, Serialize)]
pub(super) struct KindView {
    /// `Rows refused`.
    pub title: String,
    pub lines: Vec<FindingView>,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct FindingView {
    pub code: String,
    pub place: String,
    pub message: String,
    pub remedy: String,
    pub related: String,
    pub open: bool,
}

/// Numbers of tables and drawings given out so far.
struct Maker<'a> {
    book: &'a Book,
    head: &'a Head,
    tables: usize,
    charts: usize,
    drawings: usize,
}

/// The view of a dossier.
pub(super) fn view(dossier: &Dossier, book: &Book) -> View {
    let mut maker = Maker { book, head: &dossier.head, tables: 0, charts: 0, drawings: 0 };
    let mut pages: Vec<PageView> = dossier.pages.iter().map(|page| maker.page(page)).collect();
    pages.extend(dossier.work_sheets.iter().map(|sheet| maker.work_sheet(sheet)));
    let findings = kinds(&dossier.findings);
    let back = super::basis::pages(dossier).iter().map(|page| maker.page(page)).collect();
    View { head: head(&dossier.head), pages, findings, back }
}

/// One table by itself.
pub(super) fn table_alone(table: &Table, book: &Book, head: &Head) -> TableView {
    Maker { book, head, tables: 1, charts: 0, drawings: 0 }.table(table)
}

fn head(head: &Head) -> HeadView {
    let span = match head.from {
        Some(from) => format!("{from} to {}", head.through),
        None => format!("to {}", head.through),
    };
    HeadView {
        number: clean(&head.number),
        title: clean(&head.title),
        notice: clean(&head.notice),
        owner: clean(&head.owner),
        contractor: clean(&head.contractor),
        engineer: clean(&head.engineer),
        period: clean(&head.period),
        span,
        through: head.through.to_string(),
        not_final: head.not_final.as_deref().map(clean).unwrap_or_default(),
        program: clean(&head.program),
        letter: head.letter,
    }
}

fn kinds(findings: &[FindingLine]) -> Vec<KindView> {
    let title = |kind| match kind {
        Kind::Reject => "Refused",
        Kind::Conflict => "Records that contradict each other",
        Kind::Deficiency => "Tests that fail their rule",
        Kind::Gap => "Missing",
        Kind::Note => "To know",
    };
    [Kind::Reject, Kind::Conflict, Kind::Deficiency, Kind::Gap, Kind::Note]
        .into_iter()
        .map(|kind| KindView {
            title: title(kind).into(),
            lines: findings.iter().filter(|f| f.kind == kind).map(finding).collect(),
        })
        .filter(|kind| !kind.lines.is_empty())
        .collect()
}

fn finding(line: &FindingLine) -> FindingView {
    FindingView {
        code: line.code.word().into(),
        place: clean(&line.place),
        message: clean(&line.message),
        remedy: line.remedy.lines().map(clean).collect::<Vec<_>>().join("\n"),
        related: clean(&line.related.join("; ")),
        open: line.open,
    }
}

impl Maker<'_> {
    fn page(&mut self, page: &Page) -> PageView {
        let first_table = self.tables;
        let ids: Vec<&str> = page.blocks.iter().filter_map(|b| table(b).map(|t| t.id.as_str())).collect();
        let blocks = page
            .blocks
            .iter()
            .map(|block| match block {
                Block::Chart(chart) => {
                    let place = ids.iter().position(|id| *id == chart.table);
                    let of = page.blocks.iter().filter_map(table).find(|t| t.id == chart.table);
                    self.chart(chart, of, place.map_or(0, |p| first_table + p + 1))
                }
                other => self.block(other),
            })
            .collect();
        PageView { id: page.id.into(), title: page.title.into(), question: clean(page.question), blocks }
    }

    fn work_sheet(&mut self, sheet: &WorkSheet) -> PageView {
        let blocks = sheet.blocks().iter().map(|block| self.block(block)).collect();
        PageView { id: "work-sheet".into(), title: clean(&sheet.title), question: clean(&sheet.why), blocks }
    }

    fn block(&mut self, block: &Block) -> BlockView {
        match block {
            Block::Heading(text) => BlockView::Heading { text: clean(text) },
            Block::Text(text) => BlockView::Text { text: clean(text) },
            Block::Caution(text) => BlockView::Caution { text: clean(text) },
            Block::Table(table) => {
                self.tables += 1;
                BlockView::Table(self.table(table))
            }
            Block::Calculation { title, figures, remark } => BlockView::Calculation(CalculationView {
                title: clean(title),
                lines: self.calculation(figures),
                remark: clean(remark),
            }),
            Block::Signatures(lines) => BlockView::Signatures {
                lines: lines.iter().map(|(role, name)| Signature { role: clean(role), name: clean(name) }).collect(),
            },
            Block::Chart(chart) => self.chart(chart, None, 0),
            Block::Strip(strip) => {
                self.drawings += 1;
                BlockView::Strip(StripView {
                    number: self.drawings,
                    title: clean(&strip.title),
                    strip: strip.clone(),
                    drawing: super::typst::drawing(strip, self.head.letter),
                })
            }
        }
    }

    fn chart(&mut self, chart: &Chart, of: Option<&Table>, from_table: usize) -> BlockView {
        self.charts += 1;
        let rows: Vec<RowView> =
            of.map_or_else(Vec::new, |table| table.rows.iter().map(|row| self.row(&table.columns, row)).collect());
        BlockView::Chart(ChartView {
            number: self.charts,
            title: clean(&chart.title),
            from_table,
            plot: super::typst::plot(chart, &rows),
        })
    }

    fn table(&self, table: &Table) -> TableView {
        let mut rows: Vec<RowView> = table.rows.iter().map(|row| self.row(&table.columns, row)).collect();
        for (i, column) in table.columns.iter().enumerate() {
            if column.align == Align::Right {
                line_up(rows.iter_mut().filter_map(|row| row.cells.get_mut(i)).map(|c| (&c.text, &mut c.pad)));
            }
        }
        TableView {
            number: self.tables,
            id: table.id.clone(),
            title: clean(&table.title),
            columns: table.columns.iter().map(column).collect(),
            rows,
            note: clean(&table.note),
        }
    }

    /// A row has as many cells as there are columns, whatever the dossier says.
    fn row(&self, columns: &[Column], row: &Row) -> RowView {
        let cell = |i: usize, column: &Column| {
            let shown = row.cells.get(i).unwrap_or(&Shown::Blank);
            let Words { text, number, key } = words(self.book, shown, &column.unit, &self.head.currency);
            CellView { text, pad: String::new(), key, number }
        };
        RowView { kind: row.kind, cells: columns.iter().enumerate().map(|(i, c)| cell(i, c)).collect() }
    }

    fn calculation(&self, figures: &[FigureId]) -> Vec<LineView> {
        let mut lines: Vec<LineView> = figures.iter().map(|&id| self.line(id)).collect();
        line_up(lines.iter_mut().map(|line| (&line.value, &mut line.pad)));
        lines
    }

    fn line(&self, id: FigureId) -> LineView {
        let figure = &self.book[id];
        let line = hand(self.book, id);
        let note = match &figure.value {
            Value::Not(why) if line.note.is_empty() => why.clone(),
            Value::Not(why) => format!("{why}; {}", line.note),
            _ => line.note,
        };
        LineView {
            key: clean(&line.key),
            label: clean(&line.label),
            symbol: clean(&line.symbol),
            formula: clean(&line.formula),
            numbers: clean(&line.numbers),
            value: amount(figure, &self.head.currency),
            pad: String::new(),
            unit: unit_words(figure.unit),
            note: clean(&note),
        }
    }
}

fn table(block: &Block) -> Option<&Table> {
    match block {
        Block::Table(table) => Some(table),
        _ => None,
    }
}

fn column(column: &Column) -> ColumnView {
    ColumnView {
        heading: clean(&column.heading),
        unit: clean(&column.unit),
        right: column.align == Align::Right,
        mono: column.heading == super::basis::HASH,
        hint: usize::from(column.width),
    }
}

/// Pads every number with the decimals it lacks against the longest.
fn line_up<'a>(numbers: impl Iterator<Item = (&'a String, &'a mut String)>) {
    let mut numbers: Vec<_> = numbers.filter(|(text, _)| is_number(text)).collect();
    let decimals = |text: &str| text.find('.').map_or(0, |dot| text.len() - dot);
    let longest = numbers.iter().map(|(text, _)| decimals(text)).max().unwrap_or(0);
    for (text, pad) in &mut numbers {
        let own = decimals(text);
        let point = if own == 0 && longest > 0 { "." } else { "" };
        **pad = format!("{point}{}", "0".repeat(longest.saturating_sub(own.max(point.len()))));
    }
}

/// `-$3,398.02`, but not `not computed` or `C-41`.
fn is_number(text: &str) -> bool {
    text.ends_with(|c: char| c.is_ascii_digit()) && text.chars().all(|c| !c.is_alphabetic())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::example;

    #[test]
    fn decimal_points_line_up() {
        let texts = ["-$3,398.02", "72", "148.0", "not computed"].map(String::from);
        let mut pads = vec![String::new(); 4];
        line_up(texts.iter().zip(pads.iter_mut()));
        assert_eq!(pads, ["", ".00", "0", ""]);
    }

    #[test]
    fn tables_are_numbered_through_all_pages() {
        let (dossier, book) = example();
        let view = view(&dossier, &book);
        let numbers: Vec<usize> = view
            .pages
            .iter()
            .chain(&view.back)
            .flat_map(|p| &p.blocks)
            .filter_map(|b| if let BlockView::Table(t) = b { Some(t.number) } else { None })
            .collect();
        assert_eq!(numbers, (1..=numbers.len()).collect::<Vec<_>>());
        let charts: Vec<usize> = view
            .pages
            .iter()
            .flat_map(|p| &p.blocks)
            .filter_map(|b| if let BlockView::Chart(c) = b { Some(c.from_table) } else { None })
            .collect();
        assert_eq!(charts, [3, 4, 5, 6], "each chart names the table it is drawn from");
    }
}

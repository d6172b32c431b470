//! The typeset package: a template makes Typst source, the typesetter inside the program makes a PDF of it.
//!
//! Tables and calculations flow down upright pages; drawings along the station line have pages of their own, on their side.

mod chart;
mod escape;
mod strip;
mod waterfall;
mod world;

use serde::Serialize;

pub(super) use chart::{Plot, plot};
pub(super) use escape::escape;
pub(super) use strip::{Drawing, Placed, PlacedLane, PlacedMark, drawing, every, spans};
pub use world::pdf;

use super::columns::{parts, said};
use super::view::{BlockView, HeadView, LineView, PageView, RowView, TableView, view};
use super::{RenderError, Templates};
use crate::dossier::{Dossier, RowKind};
use crate::figure::Book;

/// Characters that fit across an upright page in the smallest size of a table.
const WIDE: usize = 130;

/// Findings of one kind that are printed; the text report and the workbook have them all.
const FINDINGS: usize = 150;

/// Lines of one table that are printed; the workbook and the text reports have them all.
const LINES: usize = 300;

/// What the package template prints.
#[derive(Debug, Serialize)]
struct Package<'a> {
    head: &'a HeadView,
    /// Runs of blocks on one sort of page.
    runs: Vec<Run<'a>>,
    findings: Vec<Kind<'a>>,
    back: Vec<Run<'a>>,
}

/// Blocks that stand on upright pages, or on pages on their side.
#[derive(Debug, Serialize)]
struct Run<'a> {
    id: &'a str,
    /// Empty where the run goes on with the page before.
    title: &'a str,
    question: &'a str,
    sideways: bool,
    blocks: Vec<Printed<'a>>,
}

#[derive(Debug, Serialize)]
#[serde(untagged)]
enum Printed<'a> {
    Table { kind: &'static str, parts: Vec<Part<'a>>, table: &'a TableView, left_out: usize },
    Calculation { kind: &'static str, title: &'a str, remark: &'a str, lines: &'a [LineView], shares: [usize; 2] },
    Other(&'a BlockView),
}

/// Columns of a table that stand beside each other, each with its width in characters.
#[derive(Debug, Serialize)]
struct Part<'a> {
    columns: Vec<PrintedColumn<'a>>,
    chars: usize,
    rows: Vec<PrintedRow<'a>>,
}

#[derive(Debug, Serialize)]
struct PrintedColumn<'a> {
    heading: &'a str,
    unit: &'a str,
    right: bool,
    mono: bool,
    chars: usize,
}

#[derive(Debug, Serialize)]
struct PrintedRow<'a> {
    kind: RowKind,
    cells: Vec<PrintedCell<'a>>,
}

#[derive(Debug, Serialize)]
struct PrintedCell<'a> {
    text: &'a str,
    pad: &'a str,
}

#[derive(Debug, Serialize)]
struct Kind<'a> {
    title: &'a str,
    lines: &'a [super::view::FindingView],
    count: usize,
    more: usize,
}

/// The Typst source of the package.
///
/// # Errors
/// When a template fails.
pub fn typst_source(templates: &Templates, dossier: &Dossier, book: &Book) -> Result<String, RenderError> {
    let view = view(dossier, book);
    let package = Package {
        head: &view.head,
        runs: view.pages.iter().flat_map(runs).collect(),
        findings: view
            .findings
            .iter()
            .map(|kind| Kind {
                title: &kind.title,
                lines: &kind.lines[..kind.lines.len().min(FINDINGS)],
                count: kind.lines.len(),
                more: kind.lines.len().saturating_sub(FINDINGS),
            })
            .collect(),
        back: view.back.iter().flat_map(runs).collect(),
    };
    templates.typst("package.typ", &package)
}

/// Cuts a page where upright blocks and drawings follow each other.
fn runs(page: &PageView) -> Vec<Run<'_>> {
    let mut runs: Vec<Run<'_>> = Vec::new();
    for block in &page.blocks {
        let sideways = matches!(block, BlockView::Strip(_));
        match runs.last_mut() {
            Some(run) if run.sideways == sideways => run.blocks.push(printed(block)),
            _ => {
                let first = runs.is_empty();
                let title = if first { page.title.as_str() } else { "" };
                let question = if first { page.question.as_str() } else { "" };
                runs.push(Run { id: &page.id, title, question, sideways, blocks: vec![printed(block)] });
            }
        }
    }
    if runs.is_empty() {
        let (title, question) = (page.title.as_str(), page.question.as_str());
        runs.push(Run { id: &page.id, title, question, sideways: false, blocks: Vec::new() });
    }
    runs
}

fn printed(block: &BlockView) -> Printed<'_> {
    match block {
        BlockView::Table(table) => {
            let lines = table.rows.iter().filter(|row| row.kind == RowKind::Line).count();
            Printed::Table { kind: "table", parts: table_parts(table), table, left_out: lines.saturating_sub(LINES) }
        }
        BlockView::Calculation(c) => Printed::Calculation {
            kind: "calculation",
            title: &c.title,
            remark: &c.remark,
            lines: &c.lines,
            shares: [
                longest(c.lines.iter().map(|l| &l.label)).min(18),
                longest(c.lines.iter().map(|l| &l.note)).min(34),
            ],
        },
        other => Printed::Other(other),
    }
}

fn longest<'a>(texts: impl Iterator<Item = &'a String>) -> usize {
    texts.map(|t| t.chars().count()).max().unwrap_or(0)
}

fn table_parts(table: &TableView) -> Vec<Part<'_>> {
    parts(table, WIDE)
        .into_iter()
        .enumerate()
        .map(|(n, part)| {
            let columns = part.iter().map(|&(i, chars)| {
                let c = &table.columns[i];
                PrintedColumn { heading: &c.heading, unit: &c.unit, right: c.right, mono: c.mono, chars }
            });
            let rows = first_lines(table).map(|row| PrintedRow {
                kind: row.kind,
                cells: part
                    .iter()
                    .map(|&(i, _)| PrintedCell { text: said(table, row, i, n), pad: &row.cells[i].pad })
                    .collect(),
            });
            Part { columns: columns.collect(), chars: part.iter().map(|c| c.1).sum(), rows: rows.collect() }
        })
        .collect()
}

/// The lines that are printed, and every subtotal and total.
fn first_lines(table: &TableView) -> impl Iterator<Item = &RowView> {
    let mut lines = 0;
    table.rows.iter().filter(move |row| {
        lines += usize::from(row.kind == RowKind::Line);
        row.kind != RowKind::Line || lines <= LINES
    })
}

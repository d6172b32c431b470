//! Forms on their side, as laboratories send them: labels down the first column and one specimen, core or test in each
//! column; or labels and values in pairs, one form for each record. They are turned into rows before they are read,
//! and every cell keeps its true address.
//!
//! Only where no headings stand upright on the sheet, and the labels cover what a kind of record needs. Then what is
//! counted are columns, or forms, in place of rows.

use std::collections::BTreeMap;

use super::grid::{Grid, Line};
use super::kind::{Field, KINDS};
use super::raw::{RawCell, RawSheet, RawValue};
use super::wording::{Wording, fold};

/// Where the cells of a turned sheet truly stand.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Origin {
    /// Rows and columns are exchanged.
    Columns,
    /// Row and column as read, to the true ones.
    Forms(BTreeMap<(u32, u16), (u32, u16)>),
}

impl Origin {
    /// The true row and column of a cell as read.
    pub(super) fn of(&self, row: u32, column: u16) -> (u32, u16) {
        match self {
            Origin::Columns => (u32::from(column), u16::try_from(row).unwrap_or(u16::MAX)),
            Origin::Forms(map) => map
                .get(&(row, column))
                .or_else(|| map.range((row, 0)..).next().map(|(_, at)| at))
                .copied()
                .unwrap_or((0, 0)),
        }
    }

    /// What is counted, in words.
    pub(super) fn counts(&self) -> &'static str {
        match self {
            Origin::Columns => "columns",
            Origin::Forms(_) => "forms",
        }
    }
}

/// Sheets with more rows are no forms.
const ROWS: u32 = 2_000;
/// Nor are those with more cells.
const CELLS: usize = 20_000;
/// Labels that a form has at most, and records beside each other on it.
const LABELS: usize = 120;
const BESIDE: usize = 500;

/// The ways to turn a sheet that has no headings upright, the plainest first.
pub(super) fn ways(raw: &RawSheet, grid: &Grid<'_>) -> Vec<(RawSheet, Origin)> {
    let long = grid.lines.last().is_none_or(|l| l.row > ROWS) || grid.lines.len() < 3;
    if long || raw.cells.len() > CELLS {
        return Vec::new();
    }
    let wide = grid.lines.iter().any(|line| line.cells.len() > BESIDE);
    let several = grid.lines.iter().filter(|l| l.filled().nth(1).is_some()).count();
    let mut ways = Vec::new();
    if !wide && several <= LABELS {
        ways.push((columns(raw, grid), Origin::Columns));
    }
    ways.extend(forms(raw, grid));
    ways
}

/// The sheet with rows and columns exchanged. Rows of one cell are titles, and are heard apart.
fn columns(raw: &RawSheet, grid: &Grid<'_>) -> RawSheet {
    let short = |row: u32| u16::try_from(row).unwrap_or(u16::MAX);
    let several = grid.lines.iter().filter(|l| l.filled().nth(1).is_some());
    let mut cells: Vec<RawCell> = several
        .flat_map(|l| l.cells)
        .map(|c| RawCell { row: u32::from(c.column), column: short(c.row), ..c.clone() })
        .collect();
    cells.sort_by_key(|c| (c.row, c.column));
    let merged = raw.merged.iter().map(|&(r0, c0, r1, c1)| (c0.into(), short(r0), c1.into(), short(r1))).collect();
    RawSheet { cells, merged, hidden_rows: Vec::new(), ..raw.clone() }
}

/// Whether a text is what some kind of record calls one of its fields.
fn is_label(text: &str) -> bool {
    let wording = Wording::of(text.trim().trim_end_matches(':'));
    KINDS.iter().any(|k| wording.names(k).is_some_and(|n| n.field != Field::Elsewhere))
}

/// Whether what follows a label is the next label, and not its value. A lane may be called `L1`, which can head a length
/// too: behind a colon only what bears a colon itself is a label.
fn is_next_label(text: &str, behind_colon: bool) -> bool {
    text.trim_end().ends_with(':') || (!behind_colon && is_label(text) && !text.contains(|c: char| c.is_ascii_digit()))
}

/// A label, and its value: where both stand, and what the value is.
struct Pair {
    label: String,
    label_at: (u32, u16),
    value: RawCell,
}

/// Labels and values of a row; nothing where a figure stands without its label.
fn pairs(line: Line<'_>) -> Option<Vec<Pair>> {
    let mut pairs = Vec::new();
    let cells: Vec<&RawCell> = line.filled().collect();
    let mut i = 0;
    while let Some(&cell) = cells.get(i) {
        i += 1;
        let RawValue::Text(text) = &cell.value else { return None };
        let label_at = (cell.row, cell.column);
        if let Some((label, rest)) = text.split_once(':').filter(|(l, r)| !r.trim().is_empty() && is_label(l)) {
            let value = RawCell { value: RawValue::Text(rest.trim().into()), ..cell.clone() };
            pairs.push(Pair { label: label.trim().into(), label_at, value });
        } else if is_label(text) || text.trim_end().ends_with(':') {
            let colon = text.trim_end().ends_with(':');
            let next = cells.get(i).filter(|c| !matches!(&c.value, RawValue::Text(t) if is_next_label(t, colon)));
            if let Some(&value) = next {
                i += 1;
                let label = text.trim().trim_end_matches(':').trim_end().to_string();
                pairs.push(Pair { label, label_at, value: value.clone() });
            }
        } else if text.trim_start().starts_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
    }
    Some(pairs)
}

/// Labels and values in pairs as one row for each form: a form begins where a label comes again.
fn forms(raw: &RawSheet, grid: &Grid<'_>) -> Option<(RawSheet, Origin)> {
    let mut labels: Vec<(String, String, (u32, u16))> = Vec::new();
    let mut forms: Vec<BTreeMap<u16, RawCell>> = vec![BTreeMap::new()];
    for line in &grid.lines {
        for pair in pairs(*line)? {
            let folded = fold(&pair.label);
            let known = labels.iter().position(|(l, ..)| *l == folded);
            let place = known.unwrap_or(labels.len());
            if known.is_none() {
                if labels.len() == LABELS {
                    return None;
                }
                labels.push((folded, pair.label, pair.label_at));
            }
            let column = u16::try_from(place).ok()?;
            if forms.last().is_some_and(|form| form.contains_key(&column)) {
                forms.push(BTreeMap::new());
            }
            forms.last_mut()?.insert(column, pair.value);
        }
    }
    if labels.len() < 3 {
        return None;
    }
    let mut map = BTreeMap::new();
    let mut cells = Vec::new();
    for (column, (_, label, at)) in (0..).zip(labels) {
        map.insert((0, column), at);
        cells.push(RawCell { row: 0, column, value: RawValue::Text(label.into()), struck: false });
    }
    for (row, form) in (1..).zip(forms) {
        for (column, cell) in form {
            map.insert((row, column), (cell.row, cell.column));
            cells.push(RawCell { row, column, ..cell });
        }
    }
    let turned = RawSheet { cells, merged: Vec::new(), hidden_rows: Vec::new(), ..raw.clone() };
    Some((turned, Origin::Forms(map)))
}

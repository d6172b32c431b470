//! Tables side by side on one sheet: northbound loads left and southbound right, cores beside cylinders.
//!
//! A sheet is parted where two runs of columns each hold headings that are complete by themselves: with a blank column
//! between them, or the same headings again in one row. Each part is then read like a sheet of its own, with its own
//! titles and its own count of rows. A row of titles over one part only belongs to that part, unless a row below it has
//! a title for every part, or its cell is merged over more than one: then it speaks of all.

use super::cell::shown;
use super::grid::{Grid, Line};
use super::heading::{self, Sought};
use super::raw::RawSheet;
use super::row::Words;
use super::setting::Setting;
use super::wording::fold;

/// Columns of a sheet that are read together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Region {
    pub(super) first: u16,
    pub(super) last: u16,
    /// Rows whose cells outside its columns speak of it too.
    pub(super) shared: Vec<u32>,
    /// Whether it is the leftmost.
    pub(super) leftmost: bool,
}

impl Region {
    fn of(first: u16, last: u16) -> Self {
        Self { first, last, shared: Vec::new(), leftmost: false }
    }

    fn holds(&self, column: u16) -> bool {
        (self.first..=self.last).contains(&column)
    }

    /// Its cells of a row.
    pub(super) fn part<'a>(&self, line: Line<'a>) -> Line<'a> {
        if self.shared.binary_search(&line.row).is_ok() {
            return line;
        }
        let start = line.cells.partition_point(|c| c.column < self.first);
        let end = line.cells.partition_point(|c| c.column <= self.last);
        Line { row: line.row, cells: &line.cells[start..end] }
    }
}

/// Rows of a part in which headings are sought.
const DEPTH: usize = 200;
/// Tables that anybody lays side by side on a sheet; a row of headings that would make more is none.
const MOST: usize = 12;
/// Cells of a row of headings that is looked at for tables side by side.
const WIDEST: usize = 200;

/// The parts of a sheet that holds tables side by side; nothing where it is to be read whole.
pub(super) fn of(raw: &RawSheet, words: Words<'_>) -> Vec<Region> {
    let whole = Grid::of(raw, words.setting, None);
    if whole.lines.iter().take(DEPTH).any(|line| line.cells.len() > WIDEST) {
        return Vec::new();
    }
    let groups = runs_of_columns(&whole);
    if groups.len() > MOST {
        return Vec::new();
    }
    let mut starts = Vec::new();
    for group in &groups {
        starts.extend(repeated(raw, group, words));
    }
    starts.sort_by_key(|s| s.0);
    if starts.len() < 2 || spanned(&whole, raw, &starts, words) {
        return Vec::new();
    }
    let mut regions: Vec<Region> = starts
        .iter()
        .enumerate()
        .map(|(i, &(first, _))| {
            let first = if i == 0 { 0 } else { first };
            Region::of(first, starts.get(i + 1).map_or(u16::MAX, |next| next.0 - 1))
        })
        .collect();
    share_titles(&whole, &mut regions, starts.iter().map(|s| s.1).min().unwrap_or(0));
    regions
}

/// Runs of columns with a blank column between them, by the rows that look like a table's.
fn runs_of_columns(grid: &Grid<'_>) -> Vec<Region> {
    let mut filled: Vec<bool> = Vec::new();
    for line in grid.lines.iter().filter(|l| l.filled().nth(2).is_some()) {
        let last = line.cells.last().map_or(0, |c| usize::from(c.column));
        if filled.len() <= last {
            filled.resize(last + 1, false);
        }
        line.filled().for_each(|c| filled[usize::from(c.column)] = true);
    }
    let mut runs: Vec<Region> = Vec::new();
    for column in (0..=u16::MAX).zip(filled).filter(|(_, filled)| *filled).map(|(column, _)| column) {
        match runs.last_mut() {
            Some(run) if run.last + 1 == column => run.last = column,
            _ => runs.push(Region::of(column, column)),
        }
    }
    runs
}

/// The first complete headings of some columns: their row.
fn headed(raw: &RawSheet, region: &Region, setting: &Setting) -> Option<u32> {
    let grid = Grid::of(raw, setting, Some(region));
    let found = |i: &usize| matches!(heading::at_line(&grid, *i, setting.system, &|_, _| false), Sought::Found(_));
    (0..grid.lines.len().min(DEPTH)).find(found).map(|i| grid.lines[i].row)
}

/// The columns at which complete headings begin within a run of columns, with their rows: once, or again and again
/// where a row holds the same headings more than once.
fn repeated(raw: &RawSheet, group: &Region, words: Words<'_>) -> Vec<(u16, u32)> {
    let Some(row) = headed(raw, group, words.setting) else {
        return split_at_repeats(raw, group, None, words).unwrap_or_default();
    };
    split_at_repeats(raw, group, Some(row), words).unwrap_or_else(|| vec![(group.first, row)])
}

fn split_at_repeats(raw: &RawSheet, group: &Region, row: Option<u32>, words: Words<'_>) -> Option<Vec<(u16, u32)>> {
    let grid = Grid::of(raw, words.setting, Some(group));
    let lines = grid.lines.iter().take(DEPTH).filter(|l| row.is_none_or(|r| r == l.row));
    for line in lines.filter(|l| heading::may_be_heading(**l)) {
        let heads: Vec<(u16, String)> = line.filled().map(|c| (c.column, fold(&shown(&c.value)))).collect();
        let again = |(i, (_, head)): (usize, &(u16, String))| heads[i + 1..].iter().any(|(_, h)| h == head);
        let Some((_, first)) = heads.iter().enumerate().find(|(i, h)| again((*i, *h))).map(|(_, h)| h) else {
            continue;
        };
        let starts: Vec<u16> = heads.iter().filter(|(_, h)| h == first).map(|(at, _)| *at).collect();
        if !(2..=MOST).contains(&starts.len()) {
            continue;
        }
        let ends = starts.iter().skip(1).map(|s| s - 1).chain([group.last]);
        let parts: Vec<Region> = starts.iter().zip(ends).map(|(s, e)| Region::of(*s, e)).collect();
        let rows: Option<Vec<u32>> = parts.iter().map(|p| headed(raw, p, words.setting)).collect();
        if let Some(rows) = rows {
            return Some(starts.into_iter().zip(rows).collect());
        }
    }
    None
}

/// Whether headings anywhere on the sheet run on from one part into the next.
fn spanned(whole: &Grid<'_>, raw: &RawSheet, starts: &[(u16, u32)], words: Words<'_>) -> bool {
    let system = words.setting.system;
    let part_of = |at: u16| starts.iter().rposition(|s| s.0 <= at).unwrap_or(0);
    let candidates = (0..whole.lines.len()).filter(|&i| heading::may_be_heading(whole.lines[i]));
    let spans = |i: usize| {
        let Sought::Found(found) = heading::at_line(whole, i, system, &|_, _| false) else { return false };
        let mut parts: Vec<usize> = found.columns.iter().map(|c| part_of(c.at)).collect();
        parts.dedup();
        parts.len() > 1
            && parts.iter().any(|&p| {
                let last = starts.get(p + 1).map_or(u16::MAX, |s| s.0 - 1);
                let part = Grid::of(raw, words.setting, Some(&Region::of(starts[p].0, last)));
                let at = part.lines.iter().position(|l| l.row == whole.lines[i].row);
                !at.is_some_and(|at| !matches!(heading::at_line(&part, at, system, &|_, _| false), Sought::Nothing))
            })
    };
    candidates.take(DEPTH).any(spans)
}

/// Says which rows of titles speak of every part; `below` is the first row with headings.
fn share_titles(grid: &Grid<'_>, regions: &mut [Region], below: u32) {
    let titles: Vec<Line<'_>> = grid.lines.iter().copied().take_while(|l| l.row < below).collect();
    let touched = |line: &Line<'_>| regions.iter().filter(|r| line.filled().any(|c| r.holds(c.column))).count();
    let own_row = titles.iter().filter(|l| touched(l) == regions.len()).map(|l| l.row).max();
    let merged = |line: &Line<'_>| {
        line.filled().any(|c| {
            let last = grid.area(line.row, c.column).map_or(c.column, |(_, last)| last);
            regions.iter().filter(|r| r.first <= last && c.column <= r.last).count() > 1
        })
    };
    let shared: Vec<u32> = titles
        .iter()
        .filter(|l| touched(l) == 1 && (merged(l) || own_row.is_some_and(|own| l.row < own)))
        .map(|l| l.row)
        .collect();
    for (i, region) in regions.iter_mut().enumerate() {
        region.shared.clone_from(&shared);
        region.leftmost = i == 0;
    }
}

//! What a row takes over from the rows above it: a day or lane written once at the top of each group, and ditto marks.
//!
//! A blank day or lane is taken from the top of its group only where the column itself shows that it is written so: no
//! two filled cells that follow each other are the same, at least as many cells are blank as are filled, and at least
//! two. Anything else may be a cell that was forgotten, and is refused. Nothing is taken across a heading, a title, a
//! total or a blank row.

use super::cell::shown;
use super::ditto;
use super::grid::{Grid, Line};
use super::heading::Column;
use super::kind::{Field, KindSpec};
use super::raw::RawCell;

/// What stands above the row that is read next, by the columns of its table.
#[derive(Debug, Default)]
pub(super) struct Above {
    /// Columns written once at the top of each group.
    groups: Vec<bool>,
    /// The row that holds the value at the top of the group.
    top: Vec<Option<u32>>,
    /// The row that a ditto mark means: the one above, or what that one's mark means.
    ditto: Vec<Option<u32>>,
    last: Option<u32>,
}

/// Whether a column may be written once for each group: a day or lane that the kind cannot be without.
pub(super) fn may_be_grouped(kind: &KindSpec, field: Field) -> bool {
    matches!(field, Field::Date | Field::Cast | Field::Lane) && field != kind.id && kind.needs(field)
}

impl Above {
    /// Nothing above yet; `groups` says which columns are written once for each group.
    pub(super) fn new(groups: Vec<bool>) -> Self {
        let none = vec![None; groups.len()];
        Self { top: none.clone(), ditto: none, groups, last: None }
    }

    /// Whether the column at a place is written once for each group.
    pub(super) fn is_grouped(&self, place: usize) -> bool {
        self.groups.get(place).copied().unwrap_or(false)
    }

    /// A heading, title or total stands between.
    pub(super) fn interrupt(&mut self) {
        self.top.fill(None);
        self.ditto.fill(None);
        self.last = None;
    }

    /// A row comes: a blank row before it interrupts too.
    pub(super) fn reach(&mut self, row: u32) {
        if self.last.is_some_and(|last| last + 1 != row) {
            self.interrupt();
        }
        self.last = Some(row);
    }

    /// A row is done: it stands above the next. One that holds a single cell may be a title, and interrupts.
    pub(super) fn pass(&mut self, grid: &Grid<'_>, columns: &[Column], line: Line<'_>) {
        if line.filled().nth(1).is_none() {
            return self.interrupt();
        }
        for (place, column) in columns.iter().enumerate() {
            let (Some(top), Some(mark)) = (self.top.get_mut(place), self.ditto.get_mut(place)) else { return };
            match grid.holding(line, column.at) {
                None => *mark = None,
                Some(cell) if ditto::is_ditto(cell) => {}
                Some(cell) => {
                    *mark = (!cell.struck).then_some(line.row);
                    *top = *mark;
                }
            }
        }
    }

    /// The cell that a ditto mark in a column means.
    pub(super) fn by_mark<'a>(&self, grid: &Grid<'a>, place: usize, column: u16) -> Option<&'a RawCell> {
        grid.holding(grid.line((*self.ditto.get(place)?)?)?, column)
    }

    /// The cell at the top of the group of a column that is written so.
    pub(super) fn by_group<'a>(&self, grid: &Grid<'a>, place: usize, column: u16) -> Option<&'a RawCell> {
        let row = (*self.top.get(place)?).filter(|_| self.groups[place])?;
        grid.holding(grid.line(row)?, column)
    }
}

/// What a column of a table looks like from its headings to its end.
#[derive(Debug, Default)]
pub(super) struct Pattern {
    filled: u32,
    blank: u32,
    repeats: bool,
    last: Option<String>,
}

impl Pattern {
    /// Takes up the column's cell in the next row.
    pub(super) fn see(&mut self, cell: Option<&RawCell>) {
        let Some(cell) = cell else {
            self.blank += u32::from(self.filled > 0);
            return;
        };
        let text = shown(&cell.value).trim().to_lowercase();
        self.filled += 1;
        self.repeats |= ditto::is_ditto(cell) || self.last.as_ref() == Some(&text);
        self.last = Some(text);
    }

    /// Whether it can still turn out to be written so.
    pub(super) fn is_open(&self) -> bool {
        !self.repeats
    }

    /// Whether it is written once at the top of each group.
    pub(super) fn is_grouped(&self) -> bool {
        !self.repeats && self.filled > 0 && self.blank >= 2 && self.blank >= self.filled
    }
}

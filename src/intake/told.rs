//! What a table was taken for, and by which words: for whoever asks how a sheet was read.

use super::cell::shown;
use super::grid::Grid;
use super::kind::Field;
use super::setting::Setting;
use super::table::Table;
use crate::source::CellRef;
use crate::units::Unit;

/// A table as it was recognised.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct TableRead {
    /// Kind of record, by its word.
    pub kind: &'static str,
    /// First row of its headings, from 0.
    pub row: u32,
    /// How many rows they run over.
    pub depth: u32,
    /// Its columns that are read.
    pub columns: Vec<ColumnRead>,
    /// What holds for every row.
    pub given: Vec<GivenRead>,
    /// Columns that are not read: letter's place and heading, empty where there is none.
    pub unused: Vec<(u16, String)>,
    /// Why no row of it can be read; none where they can.
    pub fault: Option<String>,
}

/// A column that is read.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct ColumnRead {
    /// Column from 0.
    pub at: u16,
    /// Its heading as written.
    pub heading: String,
    /// The field it was taken for, by its word.
    pub field: &'static str,
    /// The unit of its numbers; none where they have none, or nothing says it.
    pub unit: Option<Unit>,
    /// What says the unit, in words; empty where nothing does.
    pub unit_from: &'static str,
}

/// A value that holds for every row.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct GivenRead {
    /// The field, by its word.
    pub field: &'static str,
    /// What is given.
    pub value: String,
    /// Where from, in words.
    pub from: String,
    /// Its cell, where it stands on the sheet.
    pub at: Option<CellRef>,
}

impl TableRead {
    /// What a table under its headings was taken for, once its rows are read.
    pub(super) fn of(table: &Table, setting: &Setting) -> Self {
        let heading = &table.heading;
        let columns = heading.columns.iter().map(|column| {
            let understood = column.holds.measure().and_then(|m| m.understood(setting.system));
            let (unit, unit_from) = match (column.unit, understood) {
                (Some(unit), _) => (Some(unit), column.unit_from),
                (None, Some(unit)) if column.stated.is_none() => (Some(unit), "by the contract's system"),
                _ => (None, ""),
            };
            let heading = column.heading.to_string();
            ColumnRead { at: column.at, heading, field: column.field.word(), unit, unit_from }
        });
        let given = |(field, given): &(Field, super::table::Given)| GivenRead {
            field: field.word(),
            value: shown(&given.value),
            from: given.from.clone(),
            at: given.at,
        };
        let mut unused = heading.unused.clone();
        unused.extend(table.stray.iter().map(|at| (*at, String::new())));
        unused.sort();
        Self {
            kind: table.kind.word,
            row: heading.row,
            depth: u32::try_from(heading.depth).unwrap_or(1),
            columns: columns.collect(),
            given: table.given.iter().map(given).collect(),
            unused,
            fault: table.fault.clone(),
        }
    }
}

/// The cells of the row that looks most like headings nobody knows: the first with three words or more and no figures,
/// else the first filled row.
pub(super) fn likely_headings(grid: &Grid<'_>) -> Option<(u32, Vec<(u16, String)>)> {
    let words = |text: &str| text.contains(char::is_alphabetic) && !text.starts_with(|c: char| c.is_ascii_digit());
    let headed = |line: &&super::grid::Line<'_>| {
        let texts: Vec<String> = line.shown();
        texts.len() >= 2 && texts.iter().all(|text| words(text))
    };
    let line = grid.lines.iter().take(60).find(headed).or(grid.lines.first())?;
    Some((line.row, line.filled().map(|cell| (cell.column, shown(&cell.value))).collect()))
}

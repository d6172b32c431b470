//! How a sheet was understood, kept beside its records: which headings stand for which field, in which unit and why,
//! and what is given for every row. `check --explain` prints it.

use super::cell::shown;
use super::grid::Grid;
use super::heading::{Column, Heading};
use super::kind::{Field, Holds};
use super::row::Words;
use super::table::Table;
use crate::source::CellRef;

/// Where the unit of a column is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum UnitFrom {
    /// Its heading.
    Heading,
    /// The row of units below the heading.
    UnitsRow,
    /// `units` in contract.toml.
    Contract,
    /// A column of units, row by row.
    UnitColumn,
    /// The contract's system, where the trade has one unit for it.
    Understood,
    /// Each cell must state it.
    Nothing,
    /// It has none.
    None,
}

/// A column of a table, and what it was taken for.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct ColumnRead {
    /// `G`; the cell of its label on a form on its side.
    pub letters: String,
    /// The heading as written, on one line.
    pub heading: String,
    /// The field by its word (`length`).
    pub field: &'static str,
    /// The unit its numbers are in.
    pub unit: Option<String>,
    /// Where that is from.
    pub unit_from: UnitFrom,
}

/// What is given for every row without a value of its own.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct GivenRead {
    /// The field by its word.
    pub field: &'static str,
    /// The value as it stands.
    pub value: String,
    /// Where it comes from, in words.
    pub from: String,
    /// Its cell, where it stands in one.
    pub at: Option<CellRef>,
}

/// A table of a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub struct TableRead {
    /// What it was read as, by word; two or more where the headings fit them equally well.
    pub kinds: Vec<&'static str>,
    /// First and last row of its headings, from 1.
    pub headings: (u32, u32),
    /// Columns used.
    pub columns: Vec<ColumnRead>,
    /// Columns not used: letters and heading.
    pub unused: Vec<(String, String)>,
    /// What is given for all rows.
    pub given: Vec<GivenRead>,
    /// Why none of its rows can be read; `None` where they can.
    pub fault: Option<String>,
}

/// First and last row of some headings, from 1.
fn rows_of(heading: &Heading) -> (u32, u32) {
    let depth = u32::try_from(heading.depth).unwrap_or(1);
    (heading.row + 1, heading.row + depth.max(1))
}

/// A table as it was understood.
pub(super) fn table(table: &Table, grid: &Grid<'_>, words: Words<'_>) -> TableRead {
    let by_row = table.column(Field::Unit).is_some();
    let letters = |at: u16| grid.column_name(at);
    let columns = table.heading.columns.iter().map(|c| column(c, letters(c.at), (table, by_row), words)).collect();
    let stray = table.stray.iter().map(|c| (letters(*c), String::from("no heading")));
    let unused = table.heading.unused.iter().map(|(at, h)| (letters(*at), format!("'{h}'")));
    let given = table.given.iter().map(|(field, given)| GivenRead {
        field: field.word(),
        value: shown(&given.value),
        from: given.from.clone(),
        at: given.at,
    });
    TableRead {
        kinds: vec![table.kind.word],
        headings: rows_of(&table.heading),
        columns,
        unused: unused.chain(stray).collect(),
        given: given.collect(),
        fault: table.fault.clone(),
    }
}

/// Headings that fit several kinds equally well.
pub(super) fn torn(kinds: &[Heading]) -> TableRead {
    let words = super::unrecognised::torn_words(kinds);
    TableRead {
        kinds: kinds.iter().map(|h| h.kind.word).collect(),
        headings: kinds.first().map_or((0, 0), rows_of),
        fault: Some(words),
        ..TableRead::default()
    }
}

fn column(column: &Column, letters: String, (table, by_row): (&Table, bool), words: Words<'_>) -> ColumnRead {
    let system = words.setting.system;
    let (unit, unit_from) = match (column.unit, column.holds.measure()) {
        (Some(unit), _) => (Some(unit), column.unit_from),
        (None, None) => {
            let stretch = matches!(column.holds, Holds::Station | Holds::Stations);
            (None, if stretch { UnitFrom::None } else { column.unit_from })
        }
        (None, Some(_)) if by_row && column.field == table.kind.principal => (None, UnitFrom::UnitColumn),
        (None, Some(measure)) => match measure.understood(system).filter(|_| column.stated.is_none()) {
            Some(unit) => (Some(unit), UnitFrom::Understood),
            None => (None, UnitFrom::Nothing),
        },
    };
    let unit = unit.filter(|u| *u != crate::units::Unit::One).map(|u| u.symbol().to_string());
    let unit_from = if unit.is_none() && unit_from == UnitFrom::Understood { UnitFrom::None } else { unit_from };
    ColumnRead { letters, heading: column.heading.to_string(), field: column.field.word(), unit, unit_from }
}

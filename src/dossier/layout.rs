//! Short hands for building tables: columns and cells.

use super::{Align, Column, Row, RowKind, Shown};
use crate::figure::FigureId;
use crate::pay::Amounts;
use crate::units::Unit;

/// A column of words.
pub(super) fn words(heading: &str, width: u8) -> Column {
    Column { heading: heading.into(), unit: String::new(), align: Align::Left, width }
}

/// A column of numbers in a unit.
pub(super) fn numbers(heading: &str, unit: impl Into<String>, width: u8) -> Column {
    Column { heading: heading.into(), unit: unit.into(), align: Align::Right, width }
}

/// A column of money, with the contract's sign.
pub(super) fn money(heading: &str, currency: &str, width: u8) -> Column {
    numbers(heading, currency, width)
}

/// A unit as a heading shows it.
pub(super) fn unit(unit: Unit) -> String {
    unit.to_string()
}

/// Words in a cell.
pub(super) fn text(words: impl Into<String>) -> Shown {
    let words = words.into();
    if words.is_empty() { Shown::Blank } else { Shown::Text(words) }
}

/// A figure that may be missing.
pub(super) fn figure(id: Option<FigureId>) -> Shown {
    id.map_or(Shown::Blank, Shown::Figure)
}

/// The three columns of amounts behind a label.
pub(super) fn columns_of(label: &str, amounts: &Amounts) -> Vec<Shown> {
    vec![text(label), Shown::Figure(amounts.previous), Shown::Figure(amounts.this), Shown::Figure(amounts.to_date)]
}

/// The columns that such rows stand in.
pub(super) fn three_columns(currency: &str, width: u8) -> Vec<Column> {
    vec![
        words("", width),
        money("before this period", currency, 18),
        money("this period", currency, 18),
        money("to date", currency, 18),
    ]
}

/// An ordinary row.
pub(super) fn line(cells: Vec<Shown>) -> Row {
    Row { kind: RowKind::Line, cells }
}

/// A total row.
pub(super) fn total(cells: Vec<Shown>) -> Row {
    Row { kind: RowKind::Total, cells }
}

/// A subtotal row.
pub(super) fn subtotal(cells: Vec<Shown>) -> Row {
    Row { kind: RowKind::Subtotal, cells }
}

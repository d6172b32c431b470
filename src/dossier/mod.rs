//! Rank 9. The finished result as plain data for pages.
//!
//! A page is a list of blocks; a table's cell is text, a figure, or a record's cell, so every number shown has a path.
//! Nothing is computed here.

#[cfg(test)]
mod example;
mod model;

#[cfg(test)]
pub(crate) use example::{HOSTILE, example};

pub use model::{
    Align, BasisFile, BasisRule, BasisSheet, Block, Chart, Column, Core, Dossier, FindingLine, Head, LaneBand, Page,
    Piece, Row, RowKind, Series, Shown, State, Strip, Table, Tick, UnusedLine,
};

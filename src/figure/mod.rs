//! Rank 2. A number that knows how it was obtained.
//!
//! A [`Figure`] has a label, a symbol, a unit, a rounding, the rule clause it follows, and an [`Expr`] over table cells,
//! contract and rule values ([`Given`]) and other figures. All figures of a run stand in one [`Book`]. From the one tree
//! come four readings: the value ([`value`]), the hand calculation ([`hand`]), the live spreadsheet formula
//! ([`formula`]) and the chain of sources ([`trace`]). A fifth reading checks the formula's unit ([`dimension`]),
//! and a sixth computes it again in another way ([`again`]).
//!
//! Statistics, roots, distributions and the area of a circle are floating point, quantities and money decimal; a floating value becomes decimal only at a rounding.

mod again;
mod below;
mod book;
mod dimension;
mod distribution;
mod expr;
mod formula;
mod hand;
mod table;
mod trace;
mod value;

#[cfg(test)]
mod tests;

pub use again::{Again, Agreement};
pub use below::{Below, Leaf, below};
pub use book::{Book, Clause, Ends, Figure, FigureId, Given, GivenId, Origin, Step, Steps, StepsId};
pub use dimension::check as check_dimensions;
pub use expr::{
    Comparison, Distribution, Expr, Statistic, Total, circle_area, compare, count, either, exponential, fisher,
    logarithm, max, mean, min, root, spread, straight_line, student, sum, whole, within_limits,
};
pub use formula::{Addresses, live};
pub use hand::{HandLine, hand};
pub use table::{CellId, CellValue, Column, Table, TableCell, TableId};
pub use trace::{TraceNode, rows_below, trace};
pub use value::Value;

//! The expression behind a figure, written the way a handbook writes it: `(length * width).to(FT2_TO_YD2)`.
//!
//! Operators are few. Leaves are table cells, given values (contract, rule set, operator's entry) and figures; a whole
//! number that belongs to the formula itself (the 1 of `1 - f`) is part of the formula, not a leaf.

use std::ops;

use super::book::{FigureId, GivenId, StepsId};
use super::table::{CellId, TableId};
use crate::units::{Conversion, Rounding};

/// How a formula compares two values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// Less than.
    Below,
    /// Less than or equal.
    AtMost,
    /// Greater than or equal.
    AtLeast,
    /// Greater than.
    Above,
}

/// A reduction of many values to one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Statistic {
    /// Sum.
    Sum,
    /// Arithmetic mean.
    Mean,
    /// Standard deviation with n - 1.
    Spread,
    /// How many.
    Count,
    /// Smallest.
    Min,
    /// Largest.
    Max,
}

/// A sum or count over a run of rows of one column, of those whose word in another column is the one named.
#[derive(Clone, Debug, PartialEq)]
pub struct Total {
    /// `Sum` or `Count`.
    pub of: Statistic,
    /// Table.
    pub table: TableId,
    /// Column added up.
    pub column: u16,
    /// First row and the row after the last.
    pub rows: (u32, u32),
    /// Column of words and the word wanted.
    pub only: Option<(u16, &'static str)>,
}

/// A value read off a distribution, as the tables at the back of a specification print it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Distribution {
    /// Percent of a lot within one limit, from the quality index and the number of tests (at least 3).
    WithinLimits,
    /// Student's t that a share exceeds: the share on one side, degrees of freedom.
    Student,
    /// Fisher's F that a share exceeds: the share, degrees of freedom above and below the line.
    Fisher,
}

/// How a figure is obtained.
#[derive(Clone, Debug, PartialEq)]
pub enum Expr {
    /// Another figure.
    Figure(FigureId),
    /// A cell of a record table.
    Cell(CellId),
    /// A value of the contract, of a rule set, or an operator's entry.
    Given(GivenId),
    /// A whole number of the formula itself.
    Whole(i64),
    /// A total over rows of a table.
    Total(Total),
    /// a + b.
    Add(Box<Expr>, Box<Expr>),
    /// a - b.
    Sub(Box<Expr>, Box<Expr>),
    /// a x b.
    Mul(Box<Expr>, Box<Expr>),
    /// a / b.
    Div(Box<Expr>, Box<Expr>),
    /// A statistic of several values.
    Of(Statistic, Vec<Expr>),
    /// A change of unit.
    Convert(Box<Expr>, Conversion),
    /// A rounding inside a formula.
    Round(Box<Expr>, Rounding),
    /// True or false.
    Compare(Box<Expr>, Comparison, Box<Expr>),
    /// If the first is true the second, otherwise the third.
    If(Box<Expr>, Box<Expr>, Box<Expr>),
    /// The value of the step of a table that a number falls into.
    LookUp(Box<Expr>, StepsId),
    /// Area of a circle of that diameter, pi d^2 / 4; floating.
    CircleArea(Box<Expr>),
    /// a to the power b; exact where a is and b is a whole number from 0 to 20, else floating.
    Power(Box<Expr>, Box<Expr>),
    /// Square root; floating.
    Root(Box<Expr>),
    /// e to a power; floating.
    Exponential(Box<Expr>),
    /// Natural logarithm; floating.
    Logarithm(Box<Expr>),
    /// A value of a distribution; floating. Numbers of tests and degrees of freedom are whole.
    Distribution(Distribution, Vec<Expr>),
}

impl Expr {
    /// The same quantity in another unit.
    #[must_use]
    pub fn to(self, conversion: Conversion) -> Expr {
        Expr::Convert(Box::new(self), conversion)
    }

    /// Rounded inside the formula.
    #[must_use]
    pub fn rounded(self, rounding: Rounding) -> Expr {
        Expr::Round(Box::new(self), rounding)
    }

    /// Looked up in a stepped table.
    #[must_use]
    pub fn in_steps(self, steps: StepsId) -> Expr {
        Expr::LookUp(Box::new(self), steps)
    }

    /// Raised to a power.
    #[must_use]
    pub fn power(self, exponent: impl Into<Expr>) -> Expr {
        Expr::Power(Box::new(self), Box::new(exponent.into()))
    }

    /// Expressions directly below this one.
    #[must_use]
    pub fn parts(&self) -> Vec<&Expr> {
        match self {
            Expr::Figure(_) | Expr::Cell(_) | Expr::Given(_) | Expr::Whole(_) | Expr::Total(_) => Vec::new(),
            Expr::Add(a, b)
            | Expr::Sub(a, b)
            | Expr::Mul(a, b)
            | Expr::Div(a, b)
            | Expr::Power(a, b)
            | Expr::Compare(a, _, b) => vec![a, b],
            Expr::Of(_, many) | Expr::Distribution(_, many) => many.iter().collect(),
            Expr::Convert(a, _)
            | Expr::Round(a, _)
            | Expr::LookUp(a, _)
            | Expr::CircleArea(a)
            | Expr::Root(a)
            | Expr::Exponential(a)
            | Expr::Logarithm(a) => {
                vec![a]
            }
            Expr::If(a, b, c) => vec![a, b, c],
        }
    }
}

impl From<FigureId> for Expr {
    fn from(id: FigureId) -> Self {
        Expr::Figure(id)
    }
}

impl From<CellId> for Expr {
    fn from(id: CellId) -> Self {
        Expr::Cell(id)
    }
}

impl From<GivenId> for Expr {
    fn from(id: GivenId) -> Self {
        Expr::Given(id)
    }
}

impl From<Total> for Expr {
    fn from(total: Total) -> Self {
        Expr::Total(total)
    }
}

macro_rules! operator {
    ($trait:ident $method:ident $variant:ident: $($left:ty),*) => { $(
        impl<R: Into<Expr>> ops::$trait<R> for $left {
            type Output = Expr;
            fn $method(self, right: R) -> Expr {
                Expr::$variant(Box::new(self.into()), Box::new(right.into()))
            }
        }
    )* };
}
operator!(Add add Add: Expr, FigureId, GivenId, CellId);
operator!(Sub sub Sub: Expr, FigureId, GivenId, CellId);
operator!(Mul mul Mul: Expr, FigureId, GivenId, CellId);
operator!(Div div Div: Expr, FigureId, GivenId, CellId);

fn of(statistic: Statistic, values: impl IntoIterator<Item = impl Into<Expr>>) -> Expr {
    Expr::Of(statistic, values.into_iter().map(Into::into).collect())
}

/// Sum of several values.
pub fn sum(values: impl IntoIterator<Item = impl Into<Expr>>) -> Expr {
    of(Statistic::Sum, values)
}

/// Arithmetic mean.
pub fn mean(values: impl IntoIterator<Item = impl Into<Expr>>) -> Expr {
    of(Statistic::Mean, values)
}

/// Standard deviation with n - 1.
pub fn spread(values: impl IntoIterator<Item = impl Into<Expr>>) -> Expr {
    of(Statistic::Spread, values)
}

/// How many.
pub fn count(values: impl IntoIterator<Item = impl Into<Expr>>) -> Expr {
    of(Statistic::Count, values)
}

/// Smallest.
pub fn min(values: impl IntoIterator<Item = impl Into<Expr>>) -> Expr {
    of(Statistic::Min, values)
}

/// Largest.
pub fn max(values: impl IntoIterator<Item = impl Into<Expr>>) -> Expr {
    of(Statistic::Max, values)
}

/// A comparison.
pub fn compare(a: impl Into<Expr>, how: Comparison, b: impl Into<Expr>) -> Expr {
    Expr::Compare(Box::new(a.into()), how, Box::new(b.into()))
}

/// `yes` where `test` is true, else `no`.
pub fn either(test: Expr, yes: impl Into<Expr>, no: impl Into<Expr>) -> Expr {
    Expr::If(Box::new(test), Box::new(yes.into()), Box::new(no.into()))
}

/// Area of a circle of that diameter.
pub fn circle_area(diameter: impl Into<Expr>) -> Expr {
    Expr::CircleArea(Box::new(diameter.into()))
}

/// Square root.
pub fn root(of: impl Into<Expr>) -> Expr {
    Expr::Root(Box::new(of.into()))
}

/// e to the power of something.
pub fn exponential(of: impl Into<Expr>) -> Expr {
    Expr::Exponential(Box::new(of.into()))
}

/// Natural logarithm.
pub fn logarithm(of: impl Into<Expr>) -> Expr {
    Expr::Logarithm(Box::new(of.into()))
}

/// Percent of a lot within one limit, `q` standard deviations from the mean, estimated from `n` tests.
pub fn within_limits(q: impl Into<Expr>, n: impl Into<Expr>) -> Expr {
    Expr::Distribution(Distribution::WithinLimits, vec![q.into(), n.into()])
}

/// Student's t that the share `tail` of its distribution exceeds.
pub fn student(tail: impl Into<Expr>, df: impl Into<Expr>) -> Expr {
    Expr::Distribution(Distribution::Student, vec![tail.into(), df.into()])
}

/// Fisher's F that the share `tail` of its distribution exceeds.
pub fn fisher(tail: impl Into<Expr>, df1: impl Into<Expr>, df2: impl Into<Expr>) -> Expr {
    Expr::Distribution(Distribution::Fisher, vec![tail.into(), df1.into(), df2.into()])
}

/// The height at `x` of the straight line through two points, multiplied before it is divided.
#[must_use]
pub fn straight_line(x: impl Into<Expr>, (x0, y0): (Expr, Expr), (x1, y1): (Expr, Expr)) -> Expr {
    y0.clone() + (y1 - y0) * (x.into() - x0.clone()) / (x1 - x0)
}

/// A whole number that belongs to the formula.
#[must_use]
pub fn whole(n: i64) -> Expr {
    Expr::Whole(n)
}

//! The columns of the estimate that are reckoned by themselves: to date, and before this period.
//!
//! What depends on a day (a step of retainage, an entry, days of delay) is reckoned as of the day of each column, so that
//! what was before can be followed like what is now.

use chrono::NaiveDate;

use super::amounts::Maker;
use super::{Amounts, Inputs};
use crate::figure::{Book, Expr, FigureId};

/// A column of the estimate.
#[derive(Clone, Copy)]
pub(super) struct Column {
    /// Its place: 0 to date, 1 before.
    pub at: usize,
    /// Last day that it holds; `None` before the first period.
    pub day: Option<NaiveDate>,
    /// True in the final period.
    pub is_final: bool,
    /// Takes the column of a line.
    pub pick: fn(&Amounts) -> FigureId,
    /// What keys of figures on the way to it end in; never `to-date`, which closings keep.
    pub mark: &'static str,
    /// The column in words.
    pub words: &'static str,
}

impl Column {
    /// Whether a day lies within it.
    pub(super) fn holds(&self, day: NaiveDate) -> bool {
        self.day.is_some_and(|last| day <= last)
    }
}

/// To date, and before this period.
pub(super) fn columns(inputs: Inputs<'_>, before: Option<NaiveDate>) -> [Column; 2] {
    let contract = inputs.contract;
    let start_of_last = contract.periods.iter().rev().nth(1).map(|period| period.through);
    let is_final = contract.payment.last_is_final && start_of_last.is_none_or(|last| inputs.through > last);
    [
        Column {
            at: 0,
            day: Some(inputs.through),
            is_final,
            pick: |amounts| amounts.to_date,
            mark: "now",
            words: "to date",
        },
        Column {
            at: 1,
            day: before,
            is_final: false,
            pick: |amounts| amounts.previous,
            mark: "before",
            words: "before",
        },
    ]
}

/// The three columns of a line whose parts follow from the day of a column.
pub(super) fn by_column(
    maker: Maker<'_>,
    book: &mut Book,
    (key, label): (&str, &str),
    columns: [Column; 2],
    mut parts: impl FnMut(&mut Book, Column) -> Vec<Expr>,
) -> Amounts {
    let [now, then] = columns;
    let all = parts(book, now);
    let before = if maker.closed.is_some() { Vec::new() } else { parts(book, then) };
    maker.split(book, key, label, all, before)
}

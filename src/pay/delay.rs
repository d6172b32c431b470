//! Days used against days allowed: liquidated damages for each day late, an incentive for each day early.
//!
//! ```text
//! used = days from the start through the as-of day, or through completion
//! damages = (used - allowed) x rate, not below zero
//! incentive = (days it is reckoned against - used) x rate, once completed; between zero and its most
//! ```
//!
//! Days that changes add to the contract move both. Working days are Monday to Friday without the contract's holidays.

use chrono::{Datelike, NaiveDate, Weekday};

use super::amounts::Maker;
use super::column::{Column, by_column};
use super::{Amounts, Inputs};
use crate::contract::{Entered, Time};
use crate::figure::{Book, Expr, Figure, FigureId, Given, Origin, max, min, sum, whole};
use crate::units::Unit;

/// Days, and what they come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Delay {
    /// Figures of the calculation to date, in order.
    pub steps: Vec<FigureId>,
    /// Damages, below zero; `None` where the contract has none.
    pub damages: Option<Amounts>,
    /// Incentive; `None` where the contract has none.
    pub incentive: Option<Amounts>,
}

/// Days and what they come to; `None` where the contract reckons nothing by them.
pub(super) fn delay(inputs: Inputs<'_>, (maker, columns): (Maker<'_>, [Column; 2]), book: &mut Book) -> Option<Delay> {
    let time = inputs.contract.payment.time.as_ref()?;
    let mut steps = Vec::new();
    let damages = time.damages.as_ref().map(|rate| {
        by_column(maker, book, ("damages", "liquidated damages"), columns, |book, column| {
            let Some(used) = used(time, column, book) else { return Vec::new() };
            let late = days(
                ("late", "days late"),
                used - allowed(inputs, (&time.days, "days allowed"), column, book),
                column,
                book,
            );
            steps.extend((column.at == 0).then_some([used, late]).into_iter().flatten());
            vec![whole(0) - late * book.given(rate.given("damages for a day", "r"))]
        })
    });
    let incentive = time.incentive.as_ref().zip(time.incentive_days.as_ref()).map(|(rate, against)| {
        by_column(maker, book, ("incentive", "incentive"), columns, |book, column| {
            if !time.completed.is_some_and(|day| column.holds(day)) {
                return Vec::new();
            }
            let Some(used) = used(time, column, book) else { return Vec::new() };
            let early = days(
                ("early", "days early"),
                allowed(inputs, (against, "days of the incentive"), column, book) - used,
                column,
                book,
            );
            steps.extend((column.at == 0).then_some([used, early]).into_iter().flatten());
            let paid = early * book.given(rate.given("incentive for a day", "r"));
            match &time.incentive_most {
                Some(most) => vec![min([paid, book.given(most.given("most of the incentive", "m")).into()])],
                None => vec![paid],
            }
        })
    });
    let mut seen = std::collections::BTreeSet::new();
    steps.retain(|step| seen.insert(*step));
    Some(Delay { steps, damages, incentive })
}

/// Days used as of a column; `None` before the first is counted.
fn used(time: &Time, column: Column, book: &mut Book) -> Option<FigureId> {
    let last = time.completed.map_or(column.day?, |done| done.min(column.day.unwrap_or(done)));
    let key = format!("time.used.{}", column.mark);
    if let Some(there) = book.by_key(&key) {
        return Some(there);
    }
    let word = if time.working { "working days" } else { "calendar days" };
    let label = format!("{word} from {} through {last}", time.start);
    let given = book.given(Given {
        label: label.clone(),
        symbol: "n".into(),
        value: counted(time, last).into(),
        unit: Unit::Day,
        written: time.start.to_string(),
        origin: Origin::Contract { line: time.line, key: "time.start".into() },
    });
    Some(book.add(Figure::new(key, label, "n", Unit::Day, given)))
}

/// Days from the start through a day, those that count.
fn counted(time: &Time, last: NaiveDate) -> i64 {
    let counts = |day: &NaiveDate| {
        !time.working || (!matches!(day.weekday(), Weekday::Sat | Weekday::Sun) && !time.holidays.contains(day))
    };
    let days = time.start.iter_days().take_while(|day| *day <= last).filter(counts).count();
    i64::try_from(days).unwrap_or(i64::MAX)
}

/// Days that are allowed, with those that changes added through the day of the column.
fn allowed(inputs: Inputs<'_>, (days, label): (&Entered, &str), column: Column, book: &mut Book) -> Expr {
    let first = Expr::from(book.given(days.given(label, "N")));
    let added = super::authorized::days_added(inputs, column, book);
    if added.is_empty() { first } else { sum(std::iter::once(first).chain(added)) }
}

/// A number of days that is not below zero.
fn days((word, label): (&str, &str), difference: Expr, column: Column, book: &mut Book) -> FigureId {
    let key = format!("time.{word}.{}", column.mark);
    book.add(Figure::new(key, format!("{label} {}", column.words), "d", Unit::Day, max([whole(0), difference])))
}

//! Values of distributions in a formula: what they come to, how they are written by hand and in a spreadsheet.
//!
//! A percent within limits is estimated by the exact formula, never read from a printed table. Numbers of tests and degrees of
//! freedom must be whole, because spreadsheet programs cut them off without a word.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::expr::Distribution;
use super::value::{Value, real};
use crate::statistics;
use crate::units::plain;

/// What a distribution comes to at these values.
pub(super) fn value(which: Distribution, of: impl Iterator<Item = Value>) -> Value {
    let mut numbers = Vec::new();
    for value in of {
        match (value.real(), value.decimal()) {
            (Some(real), Some(decimal)) => numbers.push((real, decimal)),
            _ => return if let Value::Not(_) = value { value } else { Value::Not("a number was expected".into()) },
        }
    }
    let found = match (which, numbers.as_slice()) {
        (Distribution::WithinLimits, [(q, _), (_, n)]) => percent_within(*q, *n),
        (Distribution::Student, [(tail, _), (df, whole)]) => freedom(&[*whole]).and_then(|()| {
            statistics::student(*tail, *df).ok_or_else(|| format!("there is no t for a tail of {tail}"))
        }),
        (Distribution::Fisher, [(tail, _), (df1, first), (df2, second)]) => {
            freedom(&[*first, *second]).and_then(|()| {
                statistics::fisher(*tail, *df1, *df2).ok_or_else(|| format!("there is no F for a tail of {tail}"))
            })
        }
        _ => Err("a distribution with the wrong number of values".into()),
    };
    found.map_or_else(Value::Not, real)
}

fn percent_within(q: f64, n: Decimal) -> Result<f64, String> {
    let tests = n.is_integer().then(|| n.to_usize()).flatten();
    tests.and_then(|tests| statistics::within_limits(q, tests)).ok_or_else(|| {
        format!("a percent within limits is estimated from a whole number of tests, three or more (found {})", plain(n))
    })
}

fn freedom(degrees: &[Decimal]) -> Result<(), String> {
    match degrees.iter().find(|d| !d.is_integer() || **d < Decimal::ONE) {
        Some(wrong) => Err(format!("degrees of freedom are a whole number, 1 or more (found {})", plain(*wrong))),
        None => Ok(()),
    }
}

/// `P(1.4352; n = 4)`, `t(0.05; 6)`, `F(0.01; 4, 9)`; in letters `P(Q; n)`.
pub(super) fn by_hand(which: Distribution, of: &[String], numbers: bool) -> String {
    let (first, rest) = of.split_first().map_or(("", String::new()), |(first, rest)| (first, rest.join(", ")));
    match which {
        Distribution::WithinLimits if numbers => format!("P({first}; n = {rest})"),
        Distribution::WithinLimits => format!("P({first}; {rest})"),
        Distribution::Student => format!("t({first}; {rest})"),
        Distribution::Fisher => format!("F({first}; {rest})"),
    }
}

/// In functions that every spreadsheet program has had from the beginning, under names that need no prefix in the file.
pub(super) fn live(which: Distribution, of: &[String]) -> String {
    match (which, of) {
        (Distribution::WithinLimits, [q, n]) => {
            format!("100*BETADIST(MAX(0,MIN(1,1/2+({q})*SQRT({n})/(2*({n}-1)))),({n})/2-1,({n})/2-1)")
        }
        (Distribution::Student, [tail, df]) => format!("TINV(2*({tail}),{df})"),
        (_, values) => format!("FINV({})", values.join(",")),
    }
}

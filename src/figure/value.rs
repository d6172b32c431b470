//! First reading: the value.
//!
//! Exact values stay decimal through + - x /, whole powers and sums; a standard deviation, a root, a distribution and the area of
//! a circle are floating, and a floating operand makes the result floating. A rounding makes it exact again. What cannot be
//! computed (a blank cell, a division by zero, a value outside its table) is [`Value::Not`] with the reason, and stays so through
//! everything built on it.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::book::{Book, Ends, Steps};
use super::distribution;
use super::expr::{Comparison, Expr, Statistic, Total};
use super::table::{CellValue, TableCell};
use crate::units::{Conversion, Rounding, decimal_of};

/// What an expression came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Decimal, exact.
    Exact(Decimal),
    /// Floating point.
    Real(f64),
    /// Of a comparison.
    Truth(bool),
    /// Not computed, and why.
    Not(String),
}

impl Value {
    /// As a decimal, where it is a number; a floating value is taken to 15 significant digits, as spreadsheets show it.
    #[must_use]
    pub fn decimal(&self) -> Option<Decimal> {
        match self {
            Value::Exact(d) => Some(*d),
            Value::Real(r) => decimal_of(*r),
            Value::Truth(_) | Value::Not(_) => None,
        }
    }

    /// As floating point, where it is a number.
    #[must_use]
    pub fn real(&self) -> Option<f64> {
        match self {
            Value::Exact(d) => d.to_f64(),
            Value::Real(r) => Some(*r),
            Value::Truth(_) | Value::Not(_) => None,
        }
    }

    /// True only where it is a comparison that holds.
    #[must_use]
    pub fn holds(&self) -> bool {
        matches!(self, Value::Truth(true))
    }
}

impl Book {
    /// What an expression comes to, over the figures already in the book.
    #[must_use]
    pub fn evaluate(&self, expr: &Expr) -> Value {
        match expr {
            Expr::Figure(id) => self[*id].value.clone(),
            Expr::Given(id) => Value::Exact(self[*id].value),
            Expr::Whole(n) => Value::Exact(Decimal::from(*n)),
            Expr::Cell(id) => cell_value(self.table(id.table).cell(id.row, id.column)),
            Expr::Total(total) => self.total(total),
            Expr::Add(a, b) => self.arithmetic(a, b, Decimal::checked_add, |x, y| x + y),
            Expr::Sub(a, b) => self.arithmetic(a, b, Decimal::checked_sub, |x, y| x - y),
            Expr::Mul(a, b) => self.arithmetic(a, b, Decimal::checked_mul, |x, y| x * y),
            Expr::Div(a, b) => match self.evaluate(b).decimal() {
                Some(zero) if zero.is_zero() => Value::Not("division by zero".into()),
                _ => self.arithmetic(a, b, Decimal::checked_div, |x, y| x / y),
            },
            Expr::Of(statistic, many) => self.statistic(*statistic, many),
            Expr::Convert(a, by) => self.convert(a, by),
            Expr::Round(a, rounding) => round(self.evaluate(a), *rounding),
            Expr::Compare(a, how, b) => compare(&self.evaluate(a), *how, &self.evaluate(b)),
            Expr::If(test, yes, no) => match self.evaluate(test) {
                Value::Truth(true) => self.evaluate(yes),
                Value::Truth(false) => self.evaluate(no),
                Value::Not(why) => Value::Not(why),
                _ => Value::Not("a condition that is neither true nor false".into()),
            },
            Expr::LookUp(a, steps) => look_up(&self[*steps], &self.evaluate(a)),
            Expr::Power(a, b) => power(&self.evaluate(a), &self.evaluate(b)),
            Expr::Root(a) => root(&self.evaluate(a)),
            Expr::Exponential(a) => floating(&self.evaluate(a), f64::exp),
            Expr::Logarithm(a) => floating(&self.evaluate(a), f64::ln),
            Expr::Distribution(which, of) => distribution::value(*which, of.iter().map(|e| self.evaluate(e))),
            Expr::CircleArea(a) => match self.evaluate(a) {
                Value::Not(why) => Value::Not(why),
                // In the order a spreadsheet computes PI()*d^2/4, so that the last digits agree too.
                d => d.real().map_or_else(
                    || Value::Not("a number was expected".into()),
                    |d| real(std::f64::consts::PI * (d * d) / 4.0),
                ),
            },
        }
    }

    /// A quotient is multiplied before it is divided, so that 489.75 / 1800 x 36 is exactly 9.795 and not cut off on the way.
    fn convert(&self, expr: &Expr, by: &Conversion) -> Value {
        if let Expr::Div(a, b) = expr
            && let (Value::Exact(x), Value::Exact(y)) = (self.evaluate(a), self.evaluate(b))
            && let Some(exact) = x.checked_mul(by.times).and_then(|x| x.checked_div(y.checked_mul(by.over)?))
        {
            return Value::Exact(exact);
        }
        match self.evaluate(expr) {
            Value::Exact(d) => by.apply(d).map_or_else(overflow, Value::Exact),
            Value::Real(r) => real(r * ratio(by.times, by.over)),
            other => other,
        }
    }

    fn arithmetic(
        &self,
        a: &Expr,
        b: &Expr,
        exact: impl Fn(Decimal, Decimal) -> Option<Decimal>,
        floating: impl Fn(f64, f64) -> f64,
    ) -> Value {
        match (self.evaluate(a), self.evaluate(b)) {
            (Value::Exact(x), Value::Exact(y)) => exact(x, y).map_or_else(overflow, Value::Exact),
            (Value::Not(why), _) | (_, Value::Not(why)) => Value::Not(why),
            (x, y) => match (x.real(), y.real()) {
                (Some(x), Some(y)) => real(floating(x, y)),
                _ => Value::Not("a number was expected".into()),
            },
        }
    }

    fn total(&self, total: &Total) -> Value {
        let table = self.table(total.table);
        let rows = (total.rows.0..total.rows.1).filter(|&row| match total.only {
            Some((column, word)) => table.cell(row, column).is_some_and(|c| c.value == CellValue::Word(word)),
            None => true,
        });
        let numbers = rows.filter_map(|row| table.number(row, total.column));
        match total.of {
            Statistic::Count => Value::Exact(Decimal::from(numbers.count())),
            _ => numbers
                .map(Some)
                .try_fold(Decimal::ZERO, |sum, n| sum.checked_add(n?))
                .map_or_else(overflow, Value::Exact),
        }
    }

    fn statistic(&self, statistic: Statistic, many: &[Expr]) -> Value {
        let mut values = Vec::with_capacity(many.len());
        for expr in many {
            match self.evaluate(expr) {
                Value::Not(why) => return Value::Not(why),
                value => values.push(value),
            }
        }
        let n = values.len();
        if statistic == Statistic::Count {
            return Value::Exact(Decimal::from(n));
        }
        let exact: Option<Vec<Decimal>> = values.iter().map(Value::decimal).collect();
        let Some(exact) = exact else { return Value::Not("a number was expected".into()) };
        let total = || exact.iter().try_fold(Decimal::ZERO, |sum, &d| sum.checked_add(d));
        match statistic {
            Statistic::Sum => total().map_or_else(overflow, Value::Exact),
            Statistic::Mean if n == 0 => Value::Not("the mean of nothing".into()),
            Statistic::Mean => {
                total().and_then(|t| t.checked_div(Decimal::from(n))).map_or_else(overflow, Value::Exact)
            }
            Statistic::Min | Statistic::Max if n == 0 => Value::Not("an extreme of nothing".into()),
            Statistic::Min => exact.iter().min().map_or_else(overflow, |&d| Value::Exact(d)),
            Statistic::Max => exact.iter().max().map_or_else(overflow, |&d| Value::Exact(d)),
            Statistic::Spread if n < 2 => Value::Not("a standard deviation needs two values".into()),
            Statistic::Spread => {
                use statrs::statistics::Statistics;
                real(exact.iter().filter_map(ToPrimitive::to_f64).collect::<Vec<f64>>().std_dev())
            }
            Statistic::Count => Value::Exact(Decimal::from(n)),
        }
    }
}

/// A table on a grid is entered with a rounded number only; one whose steps touch, also with a floating one.
fn look_up(steps: &Steps, entered: &Value) -> Value {
    match (entered, without_dust(entered)) {
        (Value::Not(why), _) => Value::Not(why.clone()),
        (Value::Real(_), _) if steps.ends == Ends::Both => {
            Value::Not(format!("the table '{}' is entered with a rounded number only", steps.title))
        }
        (_, Some(d)) => steps.find(d).map_or_else(
            || Value::Not(format!("{d} is outside the table '{}'", steps.title)),
            |row| Value::Exact(steps.rows[row].value),
        ),
        _ => Value::Not("a table is entered with a number".into()),
    }
}

/// The highest power that is multiplied out in decimals.
const MULTIPLIED_OUT: usize = 20;

fn power(base: &Value, exponent: &Value) -> Value {
    let (x, y) = match (base, exponent) {
        (Value::Not(why), _) | (_, Value::Not(why)) => return Value::Not(why.clone()),
        _ => match (base.real(), exponent.real()) {
            (Some(x), Some(y)) => (x, y),
            _ => return Value::Not("a number was expected".into()),
        },
    };
    if x == 0.0 && y <= 0.0 {
        return Value::Not("zero to a power that is not above zero".into());
    }
    if x < 0.0 && y.fract() != 0.0 {
        return Value::Not("a negative number to a power that is not whole".into());
    }
    multiplied_out(base, exponent).unwrap_or_else(|| real(x.powf(y)))
}

/// A power as an exact product, where both are exact, the exponent is small and whole, and the product is not too long.
fn multiplied_out(base: &Value, exponent: &Value) -> Option<Value> {
    let (Value::Exact(base), Value::Exact(times)) = (base, exponent) else { return None };
    let times = times.is_integer().then(|| times.to_usize()).flatten().filter(|&n| n <= MULTIPLIED_OUT)?;
    std::iter::repeat_n(*base, times).try_fold(Decimal::ONE, Decimal::checked_mul).map(Value::Exact)
}

/// A function of a floating number; what is no number after it is said to be none.
fn floating(of: &Value, function: impl Fn(f64) -> f64) -> Value {
    match of {
        Value::Not(why) => Value::Not(why.clone()),
        value => value.real().map_or_else(|| Value::Not("a number was expected".into()), |r| real(function(r))),
    }
}

fn root(of: &Value) -> Value {
    match (of, of.real()) {
        (Value::Not(why), _) => Value::Not(why.clone()),
        (_, Some(x)) if x < 0.0 => Value::Not("the square root of a number below zero".into()),
        (_, Some(x)) => real(x.sqrt()),
        _ => Value::Not("a number was expected".into()),
    }
}

fn cell_value(cell: Option<&TableCell>) -> Value {
    match cell.map(|c| &c.value) {
        Some(CellValue::Number(n)) => Value::Exact(*n),
        _ => Value::Not("the cell holds no number".into()),
    }
}

/// Decimals after which a floating value is binary dust, where a digit more or less would decide: whether it is rounded up, which
/// step it falls into, whether it is below a limit. The live formula drops the same.
const DUST: u32 = 9;

/// A value as it is compared: an exact one as it is, a floating one without dust.
fn without_dust(value: &Value) -> Option<Decimal> {
    let decimal = value.decimal()?;
    Some(if let Value::Real(_) = value { decimal.round_dp(DUST) } else { decimal })
}

pub(super) fn round(value: Value, rounding: Rounding) -> Value {
    let rounded = match &value {
        Value::Exact(d) => rounding.apply(*d),
        Value::Real(_) => value
            .decimal()
            .and_then(|d| d.checked_div(rounding.to()))
            .and_then(|steps| steps.round_dp(DUST).checked_mul(rounding.to()))
            .and_then(|d| rounding.apply(d)),
        Value::Truth(_) | Value::Not(_) => return value,
    };
    rounded.map_or_else(overflow, Value::Exact)
}

fn compare(a: &Value, how: Comparison, b: &Value) -> Value {
    match (a, b) {
        (Value::Not(why), _) | (_, Value::Not(why)) => Value::Not(why.clone()),
        _ => match (without_dust(a), without_dust(b)) {
            (Some(x), Some(y)) => Value::Truth(match how {
                Comparison::Below => x < y,
                Comparison::AtMost => x <= y,
                Comparison::AtLeast => x >= y,
                Comparison::Above => x > y,
            }),
            _ => Value::Not("two numbers were expected".into()),
        },
    }
}

fn overflow() -> Value {
    Value::Not("the number is too large to compute with".into())
}

pub(super) fn real(r: f64) -> Value {
    if r.is_finite() { Value::Real(r) } else { Value::Not("the result is not a finite number".into()) }
}

fn ratio(times: Decimal, over: Decimal) -> f64 {
    times.to_f64().unwrap_or(f64::NAN) / over.to_f64().unwrap_or(f64::NAN)
}

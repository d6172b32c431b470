//! Sixth reading: the figure computed again, in another way, for whoever checks the program.
//!
//! Every step below a figure is computed from its leaves alone (cells, given values, tables), in floating point throughout and
//! without the values the book holds, and each rounding is made on the way. A decimal half is seldom a binary one, so a number of
//! rounding steps is taken to seven decimals before it is rounded. What the distributions of statistics come to is taken from the
//! one place that computes them; tests hold that against other programs.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::book::{Book, Ends, FigureId, Steps};
use super::distribution;
use super::expr::{Comparison, Expr, Statistic, Total};
use super::table::{CellId, CellValue};
use super::value::Value;
use crate::units::{Mode, Rounding};

/// What a second computation of a figure says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Agreement {
    /// The same comes out.
    Equal,
    /// Something else comes out.
    Differs(f64),
    /// Neither computation comes to a number.
    Neither,
}

/// Figures computed a second time, each once.
#[derive(Debug)]
pub struct Again<'b> {
    book: &'b Book,
    known: BTreeMap<FigureId, Option<f64>>,
}

/// How far two computations may be apart, as a share of the value.
const APART: f64 = 1e-9;

impl<'b> Again<'b> {
    /// Nothing computed yet.
    #[must_use]
    pub fn new(book: &'b Book) -> Self {
        Self { book, known: BTreeMap::new() }
    }

    /// Holds the book's value of a figure against its second computation.
    pub fn agrees(&mut self, id: FigureId) -> Agreement {
        let own = match &self.book[id].value {
            Value::Truth(holds) => Some(f64::from(u8::from(*holds))),
            value => value.real(),
        };
        match (own, self.figure(id)) {
            (None, None) => Agreement::Neither,
            (Some(own), Some(again)) if (own - again).abs() <= APART * own.abs().max(1.0) => Agreement::Equal,
            (_, again) => Agreement::Differs(again.unwrap_or(f64::NAN)),
        }
    }

    /// A figure from its leaves; `None` where it is no number.
    fn figure(&mut self, id: FigureId) -> Option<f64> {
        if let Some(known) = self.known.get(&id) {
            return *known;
        }
        let figure = &self.book[id];
        let bare = self.of(&figure.expr);
        let found = bare.and_then(|x| figure.rounding.map_or(Some(x), |r| round(x, r))).filter(|x| x.is_finite());
        self.known.insert(id, found);
        found
    }

    fn of(&mut self, expr: &Expr) -> Option<f64> {
        Some(match expr {
            Expr::Figure(id) => self.figure(*id)?,
            Expr::Given(id) => self.book[*id].value.to_f64()?,
            Expr::Whole(n) => Decimal::from(*n).to_f64()?,
            Expr::Cell(id) => self.cell(*id)?,
            Expr::Total(total) => self.total(total)?,
            Expr::Add(a, b) => self.of(a)? + self.of(b)?,
            Expr::Sub(a, b) => self.of(a)? - self.of(b)?,
            Expr::Mul(a, b) => self.of(a)? * self.of(b)?,
            Expr::Div(a, b) => self.of(a)? / self.of(b)?,
            Expr::Of(statistic, many) => {
                let many: Option<Vec<f64>> = many.iter().map(|e| self.of(e)).collect();
                statistic_of(*statistic, &many?)?
            }
            Expr::Convert(a, by) => self.of(a)? * by.times.to_f64()? / by.over.to_f64()?,
            Expr::Round(a, rounding) => round(self.of(a)?, *rounding)?,
            Expr::Compare(a, how, b) => f64::from(u8::from(holds(self.of(a)?, *how, self.of(b)?))),
            Expr::If(test, yes, no) => {
                if self.of(test)? > 0.5 {
                    self.of(yes)?
                } else {
                    self.of(no)?
                }
            }
            Expr::LookUp(a, steps) => look_up(&self.book[*steps], self.of(a)?)?,
            Expr::CircleArea(a) => std::f64::consts::PI * self.of(a)?.powi(2) / 4.0,
            Expr::Power(a, b) => self.of(a)?.powf(self.of(b)?),
            Expr::Root(a) => self.of(a)?.powf(0.5),
            Expr::Exponential(a) => self.of(a)?.exp(),
            Expr::Logarithm(a) => self.of(a)?.ln(),
            Expr::Distribution(which, of) => {
                let of: Option<Vec<Value>> = of.iter().map(|e| self.of(e).map(Value::Real)).collect();
                distribution::value(*which, of?.into_iter()).real()?
            }
        })
    }

    fn cell(&self, id: CellId) -> Option<f64> {
        self.book.table(id.table).number(id.row, id.column)?.to_f64()
    }

    fn total(&self, total: &Total) -> Option<f64> {
        let table = self.book.table(total.table);
        let counts = |row: u32| {
            total.only.is_none_or(|(c, word)| table.cell(row, c).is_some_and(|c| c.value == CellValue::Word(word)))
        };
        let rows = (total.rows.0..total.rows.1).filter(|&row| counts(row));
        let numbers: Vec<f64> = rows.filter_map(|row| table.number(row, total.column)?.to_f64()).collect();
        statistic_of(total.of, &numbers)
    }
}

fn statistic_of(statistic: Statistic, values: &[f64]) -> Option<f64> {
    let n = u32::try_from(values.len()).ok().map(f64::from)?;
    let mean = values.iter().sum::<f64>() / n;
    match statistic {
        Statistic::Sum => Some(values.iter().sum()),
        Statistic::Count => Some(n),
        Statistic::Mean => Some(mean),
        Statistic::Spread => Some((values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt()),
        Statistic::Min => values.iter().copied().reduce(f64::min),
        Statistic::Max => values.iter().copied().reduce(f64::max),
    }
}

/// To nine decimals: what is a tie on paper is often a digit beside it in binary.
fn holds(a: f64, how: Comparison, b: f64) -> bool {
    let [a, b] = [a, b].map(|x| (x * 1e9).round());
    match how {
        Comparison::Below => a < b,
        Comparison::AtMost => a <= b,
        Comparison::AtLeast => a >= b,
        Comparison::Above => a > b,
    }
}

/// Where steps touch, both hold the value at the joint within the dust: whose end is in decides.
fn look_up(steps: &Steps, value: f64) -> Option<f64> {
    let from = |x: Option<Decimal>| x.is_none_or(|x| x.to_f64().is_some_and(|x| x <= value + APART));
    let to = |x: Option<Decimal>| x.is_none_or(|x| x.to_f64().is_some_and(|x| value <= x + APART));
    let mut rows = steps.rows.iter().filter(|r| from(r.from) && to(r.to));
    let row = if steps.ends == Ends::Upper { rows.next() } else { rows.next_back() };
    row?.value.to_f64()
}

fn round(value: f64, rounding: Rounding) -> Option<f64> {
    let step = rounding.to().to_f64()?;
    let steps = (value / step * 1e7).round() / 1e7;
    let whole = match rounding.mode() {
        Mode::HalfUp => steps.round(),
        Mode::HalfEven => steps.round_ties_even(),
        Mode::Up => steps.signum() * steps.abs().ceil(),
        Mode::Down => steps.trunc(),
    };
    Some(whole * step)
}

#[cfg(test)]
mod tests {
    use rust_decimal::dec;

    use super::*;
    use crate::figure::{Figure, Given, GivenId, Origin, mean};
    use crate::units::Unit;

    fn given(book: &mut Book, label: &str, value: Decimal, unit: Unit) -> GivenId {
        let origin = Origin::Entry { what: label.into() };
        let written = value.to_string();
        book.given(Given { label: label.into(), symbol: "x".into(), value, unit, written, origin })
    }

    /// (9.12 + 9.15 + 9.18) / 3 = 9.15; 9.50 - 9.15 = 0.35; 0.35 x 61.50 = 21.525, to the cent half up 21.53.
    #[test]
    fn a_chain_of_steps_comes_out_again() {
        let mut book = Book::default();
        let cores = [dec!(9.12), dec!(9.15), dec!(9.18)].map(|t| given(&mut book, &t.to_string(), t, Unit::Inch));
        let average = Figure::new("average", "average", "t", Unit::Inch, mean(cores));
        let average = book.add(average.rounded(Rounding::new(dec!(0.01), Mode::HalfUp).unwrap()));
        let design = given(&mut book, "design", dec!(9.50), Unit::Inch);
        let short = book.add(Figure::new("short", "short", "d", Unit::Inch, design - average));
        let price = given(&mut book, "price", dec!(61.50), Unit::MoneyPer(&Unit::Inch));
        let amount = Figure::new("amount", "amount", "a", Unit::Money, short * price);
        let amount = book.add(amount.rounded(Rounding::new(dec!(0.01), Mode::HalfUp).unwrap()));
        let mut again = Again::new(&book);
        assert_eq!(again.agrees(amount), Agreement::Equal);
        assert_eq!(again.known[&average], Some(9.15));
        assert_eq!(again.known[&amount], Some(21.53));
    }
}

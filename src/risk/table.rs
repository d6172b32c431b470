//! A pay table in plain numbers: what it pays for what enters it, as `accept` pays it with figures.
//!
//! Values are taken to nine decimals before they are rounded or enter a step, so that binary dust decides nothing.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::figure::{Ends, Steps};
use crate::rules::{EnteredWith, Gives, Pay, PayForm};
use crate::units::{Mode, Rounding, Unit};

/// A decimal in floating point.
pub(super) fn plain(value: Decimal) -> f64 {
    value.to_f64().unwrap_or(f64::NAN)
}

/// Without what lies beyond the ninth decimal.
fn without_dust(x: f64) -> f64 {
    (x * 1e9).round() / 1e9
}

/// A rounding in plain numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Round {
    pub(super) to: f64,
    mode: Mode,
}

impl Round {
    pub(super) fn of(rounding: Rounding) -> Self {
        Self { to: plain(rounding.to()), mode: rounding.mode() }
    }

    pub(super) fn apply(self, x: f64) -> f64 {
        let steps = without_dust(x / self.to);
        let size = steps.abs();
        let whole = match self.mode {
            Mode::HalfUp => (size + 0.5).floor(),
            Mode::HalfEven => size.round_ties_even(),
            Mode::Up => size.ceil(),
            Mode::Down => size.floor(),
        };
        (whole * self.to).copysign(steps)
    }
}

/// The height at `x` of the straight line through two points.
pub(super) fn straight_line(x: f64, (x0, y0): (f64, f64), (x1, y1): (f64, f64)) -> f64 {
    y0 + (y1 - y0) * (x - x0) / (x1 - x0)
}

/// Rounded where there is a rounding.
pub(super) fn rounded(x: f64, round: Option<Round>) -> f64 {
    round.map_or(x, |round| round.apply(x))
}

/// Steps with a value each.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Column {
    ends: Ends,
    /// From, to, what it gives.
    rows: Vec<(Option<f64>, Option<f64>, f64)>,
}

impl Column {
    pub(super) fn of(steps: &Steps) -> Self {
        let row = |row: &crate::figure::Step| (row.from.map(plain), row.to.map(plain), plain(row.value));
        Self { ends: steps.ends, rows: steps.rows.iter().map(row).collect() }
    }

    fn find(&self, x: f64) -> Option<usize> {
        let x = without_dust(x);
        self.rows.iter().position(|(from, to, _)| {
            let above = from.is_none_or(|from| if self.ends == Ends::Upper { x > from } else { x >= from });
            above && to.is_none_or(|to| if self.ends == Ends::Lower { x < to } else { x <= to })
        })
    }

    /// What it gives; `None` outside of it.
    pub(super) fn at(&self, x: f64) -> Option<f64> {
        self.find(x).map(|row| self.rows[row].2)
    }
}

/// What a sample of a lot is paid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paid {
    /// Percent of the unit price, or money for each unit of area.
    pub pay: f64,
    /// True where it waits for a decision: a rejection, a very thin core, a lot that cannot be judged.
    pub decided: bool,
}

/// What enters a pay table.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entering {
    pub(super) entered: f64,
    pub(super) tests: f64,
    /// Average over target.
    pub(super) ratio: f64,
}

#[derive(Clone, Debug, PartialEq)]
enum Form {
    Step {
        in_ratios: bool,
    },
    Formula {
        times: Option<Column>,
        squared: Option<Column>,
        power: Option<(Column, Column)>,
        in_ratios: bool,
        most: Option<Column>,
    },
    Points([Column; 4]),
}

/// A pay table.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Table {
    steps: Column,
    /// By step, whether it is left to a decision.
    open: Vec<bool>,
    form: Form,
    by_tests: bool,
    in_percent: bool,
    most: Option<f64>,
    least: Option<f64>,
    round: Option<Round>,
    until_decided: f64,
    pub(super) gives: Unit,
}

impl Table {
    /// `None` for a table without steps.
    pub(super) fn of(pay: &Pay) -> Option<Self> {
        let last = pay.steps.rows.iter().rev().find(|step| step.open).or(pay.steps.rows.last())?;
        let column = |steps: &Option<Steps>| steps.as_ref().map(Column::of);
        let form = match &pay.form {
            PayForm::Step => Form::Step { in_ratios: pay.steps.gives == Unit::One },
            PayForm::Formula { times, squared, power, in_ratios, most } => Form::Formula {
                times: column(times),
                squared: column(squared),
                power: power.as_ref().map(|(share, exponent)| (Column::of(share), Column::of(exponent))),
                in_ratios: *in_ratios,
                most: column(most),
            },
            PayForm::Points(points) => Form::Points(points.each_ref().map(Column::of)),
        };
        let in_percent = pay.gives == Gives::Percent;
        let hundred = if in_percent && pay.steps.gives == Unit::One { 100.0 } else { 1.0 };
        Some(Self {
            steps: Column::of(&pay.steps),
            open: pay.steps.rows.iter().map(|step| step.open).collect(),
            form,
            by_tests: pay.entered_with == EnteredWith::Tests,
            in_percent,
            most: pay.most.as_ref().map(|most| plain(most.value)),
            least: pay.least.as_ref().map(|least| plain(least.value)),
            round: pay.round.map(Round::of),
            until_decided: if in_percent { plain(last.value) * hundred } else { 0.0 },
            gives: if in_percent { Unit::Percent } else { pay.steps.gives },
        })
    }

    /// The full price: 100 percent, or nothing taken off.
    pub(super) fn full(&self) -> f64 {
        if self.in_percent { 100.0 } else { 0.0 }
    }

    /// What is paid until the engineer decides.
    pub(super) fn undecided(&self) -> Paid {
        Paid { pay: self.until_decided, decided: true }
    }

    /// What it pays.
    pub(super) fn pays(&self, entering: Entering) -> Paid {
        let entry = if self.by_tests { entering.tests } else { entering.entered };
        let Some(row) = self.steps.find(entry) else { return self.undecided() };
        let open = self.open[row];
        if open && !self.in_percent {
            return self.undecided();
        }
        let Some(pay) = self.formula(row, entry, entering) else { return self.undecided() };
        let pay = self.most.map_or(pay, |most| pay.min(most));
        let pay = self.least.filter(|_| !open).map_or(pay, |least| pay.max(least));
        Paid { pay: rounded(pay, self.round), decided: open }
    }

    fn formula(&self, row: usize, entry: f64, entering: Entering) -> Option<f64> {
        let base = self.steps.rows[row].2;
        let coefficient = |column: &Option<Column>| column.as_ref().map_or(Some(0.0), |column| column.at(entry));
        match &self.form {
            Form::Step { in_ratios } => Some(if *in_ratios { base * 100.0 } else { base }),
            Form::Formula { times, squared, power, in_ratios, most } => {
                let x = if *in_ratios { entering.entered / 100.0 } else { entering.entered };
                let mut pay = base + coefficient(times)? * x + coefficient(squared)? * x * x;
                if let Some((share, exponent)) = power {
                    pay += share.at(entry)? * entering.ratio.powf(exponent.at(entry)?);
                }
                if let Some(most) = most {
                    pay = pay.min(most.at(entry)?);
                }
                Some(if *in_ratios { pay * 100.0 } else { pay })
            }
            Form::Points([from, at_from, to, at_to]) => {
                let (from, to) = (from.at(entry)?, to.at(entry)?);
                let (at_from, at_to) = (at_from.at(entry)?, at_to.at(entry)?);
                Some(straight_line(entry, (from, at_from), (to, at_to)))
            }
        }
    }

    /// Where the steps begin and end, in ascending order, and where those left to a decision do.
    pub(super) fn joints(&self) -> (Vec<f64>, Vec<f64>) {
        let ends = |rows: &mut dyn Iterator<Item = &(Option<f64>, Option<f64>, f64)>| {
            let mut found: Vec<f64> = rows.flat_map(|(from, to, _)| [*from, *to]).flatten().collect();
            found.sort_by(f64::total_cmp);
            found
        };
        let open = self.steps.rows.iter().zip(&self.open).filter(|(_, open)| **open).map(|(row, _)| row);
        (ends(&mut self.steps.rows.iter()), ends(&mut { open }))
    }
}

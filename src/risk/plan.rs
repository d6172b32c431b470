//! An acceptance plan as a pure function: results in, pay out, by the same rule as the figures of a lot.
//!
//! A plan is a rule set and a target. What it does to a sample is what `accept` does, in plain numbers, so that thousands of
//! lots can be tried: each result rounded, very thin cores left out, thick ones capped, the average (or the thinnest), a
//! deficiency, an index or a percent within limits, then the pay table. A lot with a very thin core waits for a decision.
//! Not in it: criteria on single tests (running average, floor), and volume paid as measured.

use super::table::{Column, Entering, Paid, Round, Table, plain, rounded, straight_line};
use crate::rules::{
    Compares, Judged, LimitFrom, LookUp, Measure, Pay, RuleNumber, RuleSet, Shape, StrengthRule, Taken, ThicknessRule,
    WithinBy, WithinRule,
};
use crate::statistics;
use crate::units::{Rounding, Unit};

/// A rule set and what it is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Rule set, as printed.
    pub rule: String,
    /// Unit of target and results.
    pub unit: Unit,
    /// Design thickness or specified strength.
    pub target: f64,
    single: Round,
    cap: Option<f64>,
    exclusion: Option<f64>,
    thinnest: bool,
    average: Option<Round>,
    pub(super) measure: By,
    pub(super) table: Table,
}

/// What enters the pay table.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum By {
    Deficiency { in_percent: bool, round: Option<Round> },
    Index { spread: Round, round: Option<Round> },
    Within(Within),
}

/// Percent within limits.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Within {
    pub(super) lower: Option<f64>,
    pub(super) upper: Option<f64>,
    /// Columns of a published table: tests from, to, percent, and the line between two values.
    columns: Option<Vec<Printed>>,
    spread: Option<Round>,
    index: Option<Round>,
    round: Option<Round>,
}

#[derive(Clone, Debug, PartialEq)]
struct Printed {
    from: usize,
    to: usize,
    percent: Column,
    line: Option<[Column; 4]>,
}

impl Plan {
    /// The plan of a rule set for a target in the unit that the rule judges in; `strength` is that of strengths.
    ///
    /// # Errors
    /// In words, why the rule set has no such plan.
    pub fn of(set: &RuleSet, target: f64, strength: Unit) -> Result<Self, String> {
        if let Shape::Thickness(rule) = &set.shape {
            return thickness(set, rule, target);
        }
        if let Shape::Strength(rule) = &set.shape {
            return strength_plan(set, rule, target, strength);
        }
        Err("its lots are judged by something else than a sample of results".into())
    }

    /// What a sample is paid.
    #[must_use]
    pub fn pays(&self, sample: &[f64]) -> Paid {
        let single = |x: &f64| self.single.apply(*x);
        let counts = |x: &f64| self.exclusion.is_none_or(|limit| self.target - x <= limit + 1e-9);
        let kept: Vec<f64> = sample.iter().map(single).filter(counts).map(|x| self.counted(x)).collect();
        let left_out = kept.len() < sample.len();
        let Some((mean, spread)) = mean_and_spread(&kept) else { return self.table.undecided() };
        let average = if self.thinnest { kept.iter().copied().fold(f64::INFINITY, f64::min) } else { mean };
        let paid = self.pays_by(average, spread, kept.len());
        Paid { decided: paid.decided || left_out, ..paid }
    }

    fn counted(&self, x: f64) -> f64 {
        self.cap.map_or(x, |cap| x.min(self.target + cap))
    }

    /// What an average and a standard deviation of `n` counted results are paid.
    pub(super) fn pays_by(&self, average: f64, spread: f64, n: usize) -> Paid {
        let average = rounded(average, self.average);
        let entered = match &self.measure {
            By::Deficiency { in_percent, round } => {
                let short = (self.target - average).max(0.0);
                Some(rounded(if *in_percent { short / self.target * 100.0 } else { short }, *round))
            }
            By::Index { .. } if n < 2 => None,
            By::Index { spread: to, round } => Some(rounded(average - to.apply(spread) - self.target, *round)),
            By::Within(within) => within.percent(average, spread, n),
        };
        match (entered, u32::try_from(n)) {
            (Some(entered), Ok(tests)) => {
                self.table.pays(Entering { entered, tests: f64::from(tests), ratio: average / self.target })
            }
            _ => self.table.undecided(),
        }
    }

    /// What a percent within limits is paid.
    pub(super) fn pays_percent(&self, percent: f64, n: usize) -> Paid {
        let By::Within(within) = &self.measure else { return self.table.undecided() };
        let tests = u32::try_from(n).map_or(f64::NAN, f64::from);
        self.table.pays(Entering { entered: rounded(percent, within.round), tests, ratio: f64::NAN })
    }

    /// What a quality index to the one limit is paid.
    pub(super) fn pays_index(&self, index: f64, n: usize) -> Paid {
        let By::Within(within) = &self.measure else { return self.table.undecided() };
        within.of_index(index, n).map_or_else(|| self.table.undecided(), |percent| self.pays_percent(percent, n))
    }

    /// True where pay follows from the average alone, so that its normal distribution is all there is.
    pub(super) fn by_mean_alone(&self) -> bool {
        matches!(self.measure, By::Deficiency { .. }) && self.counts_all() && !self.thinnest
    }

    /// The one limit of a percent within limits by the formula, and whether it is the lower, where every result counts.
    pub(super) fn one_limit(&self) -> Option<(f64, bool)> {
        match &self.measure {
            By::Within(Within { lower, upper, columns: None, .. }) if self.counts_all() && !self.thinnest => {
                match (lower, upper) {
                    (Some(limit), None) => Some((*limit, true)),
                    (None, Some(limit)) => Some((*limit, false)),
                    _ => None,
                }
            }
            _ => None,
        }
    }

    fn counts_all(&self) -> bool {
        self.cap.is_none() && self.exclusion.is_none()
    }

    /// Whether the roundings on the way are so fine beside the spread that a form without them is as good.
    pub(super) fn fine_beside(&self, spread: f64) -> bool {
        let on_the_way = match &self.measure {
            By::Within(within) => [within.spread, self.average],
            By::Deficiency { .. } | By::Index { .. } => [None, None],
        };
        let fine = |round: Round| round.to <= spread / 5.0;
        fine(self.single) && on_the_way.into_iter().flatten().all(fine)
    }

    /// The full price: 100 percent, or nothing taken off.
    #[must_use]
    pub fn full(&self) -> f64 {
        self.table.full()
    }

    /// Unit of what is paid.
    #[must_use]
    pub fn pays_in(&self) -> Unit {
        self.table.gives
    }

    /// Where quality is counted in percent within limits; otherwise it is what the true mean is short of the target.
    #[must_use]
    pub fn in_percent_within(&self) -> bool {
        matches!(self.measure, By::Within(_))
    }
}

impl Within {
    fn percent(&self, average: f64, spread: f64, n: usize) -> Option<f64> {
        if n < 3 {
            return None;
        }
        let spread = rounded(spread, self.spread);
        let side = |inside: f64| {
            if spread <= 0.0 {
                return Some(if inside >= -1e-9 { 100.0 } else { 0.0 });
            }
            self.of_index(inside / spread, n)
        };
        let lower = self.lower.map(|limit| side(average - limit));
        let upper = self.upper.map(|limit| side(limit - average));
        let percent = match (lower, upper) {
            (Some(lower), Some(upper)) => (lower? + upper? - 100.0).max(0.0),
            (Some(only), None) | (None, Some(only)) => only?,
            (None, None) => return None,
        };
        Some(rounded(percent, self.round))
    }

    /// Percent within one limit of a quality index, not rounded.
    pub(super) fn of_index(&self, index: f64, n: usize) -> Option<f64> {
        let index = rounded(index, self.index);
        let Some(columns) = &self.columns else { return statistics::within_limits(index, n) };
        let column = columns.iter().find(|column| column.from <= n && n <= column.to)?;
        if index >= -1e-9 { column.at(index) } else { column.at(-index).map(|percent| 100.0 - percent) }
    }
}

impl Printed {
    fn at(&self, index: f64) -> Option<f64> {
        let Some([from, at_from, to, at_to]) = &self.line else { return self.percent.at(index) };
        let (from, at_from, to, at_to) = (from.at(index)?, at_from.at(index)?, to.at(index)?, at_to.at(index)?);
        Some(straight_line(index, (from, at_from), (to, at_to)))
    }
}

/// Mean, and standard deviation with n - 1 (zero for one value); `None` for none.
pub(super) fn mean_and_spread(values: &[f64]) -> Option<(f64, f64)> {
    let n = f64::from(u32::try_from(values.len()).ok().filter(|&n| n > 0)?);
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|x| (x - mean).powi(2)).sum();
    let spread = if n > 1.0 { (squares / (n - 1.0)).sqrt() } else { 0.0 };
    // Values that are all alike leave binary dust behind.
    Some((mean, if spread < mean.abs() * 1e-12 { 0.0 } else { spread }))
}

fn thickness(set: &RuleSet, rule: &ThicknessRule, target: f64) -> Result<Plan, String> {
    if rule.judged == Judged::Section {
        return Err("it prices deficient sections by their own cores, which no sample of the lot stands for".into());
    }
    // A depth, or a percentage of the design.
    let depth = |number: &RuleNumber| {
        let value = plain(number.value);
        if number.unit == Unit::Percent { value * target / 100.0 } else { value }
    };
    let cap = rule.thick_cap.as_ref().or(rule.volume_credit.as_ref()).map(depth);
    let exclusion = rule.thin_exclusion.as_ref().map(depth);
    let plan = plan(set, (&rule.pay, &rule.measure), (rule.core, rule.average), (rule.depth, target))?;
    let thinnest = rule.taken == Taken::Thinnest;
    Ok(Plan { cap, exclusion, thinnest, ..plan })
}

fn strength_plan(set: &RuleSet, rule: &StrengthRule, target: f64, unit: Unit) -> Result<Plan, String> {
    let Some(pay) = &rule.pay else { return Err("it changes no pay".into()) };
    plan(set, (pay, &rule.measure), (rule.test, rule.lot_average), (unit, target))
}

fn plan(
    set: &RuleSet,
    (pay, measure): (&Pay, &Measure),
    (single, average): (Rounding, Rounding),
    (unit, target): (Unit, f64),
) -> Result<Plan, String> {
    if !target.is_finite() || target <= 0.0 {
        return Err("the target is not above zero".into());
    }
    let compared = |rounding: Rounding| (set.compares == Compares::Rounded).then(|| Round::of(rounding));
    let measure = match measure {
        Measure::Deficiency { in_percent, round } => {
            By::Deficiency { in_percent: *in_percent, round: compared(*round) }
        }
        Measure::Index { spread, round } => By::Index { spread: Round::of(*spread), round: compared(*round) },
        Measure::Within(rule) => By::Within(within(rule, target)),
    };
    Ok(Plan {
        rule: set.named(),
        unit,
        target,
        single: Round::of(single),
        cap: None,
        exclusion: None,
        thinnest: false,
        average: compared(average),
        measure,
        table: Table::of(pay).ok_or("its pay table has no steps")?,
    })
}

fn within(rule: &WithinRule, target: f64) -> Within {
    let limit = |limit: &Option<LimitFrom>, sign: f64| {
        limit.as_ref().map(|limit| match limit {
            LimitFrom::By(by) => target + sign * plain(by.value),
            LimitFrom::Percent(percent) => target * plain(percent.value) / 100.0,
        })
    };
    let columns = match &rule.by {
        WithinBy::Formula => None,
        WithinBy::Table { look_up, columns } => Some(columns.iter().map(|column| printed(column, *look_up)).collect()),
    };
    Within {
        lower: limit(&rule.lower, -1.0),
        upper: limit(&rule.upper, 1.0),
        columns,
        spread: rule.spread.map(Round::of),
        index: rule.index.map(Round::of),
        round: rule.round.map(Round::of),
    }
}

fn printed(column: &crate::rules::QualityColumn, look_up: LookUp) -> Printed {
    let tests = |n: u32| usize::try_from(n).unwrap_or(usize::MAX);
    let line = column.line.as_ref().filter(|_| look_up == LookUp::Between);
    Printed {
        from: tests(column.from),
        to: tests(column.to),
        percent: Column::of(&column.percent),
        line: line.map(|line| line.each_ref().map(Column::of)),
    }
}

//! The pay of a lot between its luckiest and unluckiest samples, nine times in ten.
//!
//! Two questions, two ranges. *Other tests*: if the lot truly is as its results say (their mean, their standard deviation with
//! n - 1), what would other samples of it be paid? Drawn, with every rounding of the rule. *The lot itself*: between which qualities does the true lot lie at
//! this confidence, and what do they pay? The second only where it is exact: the mean by Student's t, and the percent within one
//! limit by the noncentral t.

use super::plan::{Plan, mean_and_spread};
use super::prospect::{Luck, Population, drawn};
use crate::statistics::{NoncentralT, normal_below, student};

/// The results of a lot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// How many.
    pub n: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation, n - 1.
    pub spread: f64,
}

impl Observed {
    /// What results say of their lot; `None` from fewer than three, or where they are all alike.
    #[must_use]
    pub fn of(results: &[f64]) -> Option<Self> {
        let (mean, spread) = mean_and_spread(results).filter(|(_, spread)| *spread > 0.0)?;
        (results.len() >= 3).then_some(Self { n: results.len(), mean, spread })
    }
}

/// Ranges of a lot's pay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Share of samples between the two ends, such as 0.90.
    pub within: f64,
    /// What other samples of such a lot would be paid, least and most.
    pub others: (f64, f64),
    /// Share of other samples that would wait for a decision.
    pub decided: f64,
    /// What the true lot would be paid at this confidence, least and most; `None` where no exact form exists.
    pub lot: Option<(f64, f64)>,
}

/// The ranges of a lot's pay that hold the share `within`, half of the rest on each side.
#[must_use]
pub fn interval(plan: &Plan, observed: Observed, within: f64, luck: &mut Luck) -> Interval {
    let tail = (1.0 - within) / 2.0;
    let population = Population { mean: observed.mean, spread: observed.spread };
    let prospect = drawn(plan, population, observed.n, luck);
    Interval {
        within,
        others: (prospect.at(tail), prospect.at(1.0 - tail)),
        decided: prospect.decided(),
        lot: if plan.fine_beside(observed.spread) { lot(plan, observed, tail) } else { None },
    }
}

/// Parts of the way between the two bounds of quality at which pay is looked at.
const STEPS: u32 = 400;

fn lot(plan: &Plan, Observed { n, mean, spread }: Observed, tail: f64) -> Option<(f64, f64)> {
    let tests = f64::from(u32::try_from(n).ok()?);
    if plan.by_mean_alone() {
        let reach = student(tail, tests - 1.0)? * spread / tests.sqrt();
        return Some(range((mean - reach, mean + reach), |true_mean| plan.pays_by(true_mean, 0.0, n).pay));
    }
    let (limit, lower) = plan.one_limit()?;
    let index = if lower { mean - limit } else { limit - mean } / spread;
    let t = NoncentralT::new(tests - 1.0)?;
    let bound = |share: f64| Some(100.0 * normal_below(t.shift(share, index * tests.sqrt())? / tests.sqrt()));
    let bounds = (bound(1.0 - tail)?, bound(tail)?);
    Some(range(bounds, |percent| plan.pays_percent(percent, n).pay))
}

/// Least and most that is paid between two bounds.
fn range((from, to): (f64, f64), pays: impl Fn(f64) -> f64) -> (f64, f64) {
    let pay = |i: u32| pays(from + (to - from) * f64::from(i) / f64::from(STEPS));
    (0..=STEPS).map(pay).fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), pay| (low.min(pay), high.max(pay)))
}

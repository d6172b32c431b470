//! The operating curve of a plan: what happens to lots of each true quality.
//!
//! Quality is the true percent within limits where the plan estimates one, and else what the true mean is short of the
//! target. The spread within a lot is taken as known. The contractor risks less than full pay for a lot of acceptable
//! quality; the owner risks full pay for a lot of rejectable quality. Which qualities those are is an agreement, not
//! arithmetic: they are given, and printed with what follows from them.

use super::plan::{By, Plan};
use super::prospect::{How, Luck, Population, Prospect};
use crate::statistics::{normal_at, normal_below};

/// What happens to lots of one true quality.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Percent within limits, or what the mean is short of the target.
    pub quality: f64,
    /// True mean.
    pub mean: f64,
    /// Share of lots paid in full or better.
    pub full: f64,
    /// Share paid less, waiting for nothing.
    pub less: f64,
    /// Share left to a decision: rejected, or with a very thin core.
    pub decided: f64,
    /// Pay on the average, until decisions are taken.
    pub expected: f64,
}

/// An operating curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Results in a lot.
    pub n: usize,
    /// Known standard deviation within a lot.
    pub spread: f64,
    /// From the best quality down.
    pub levels: Vec<Level>,
    /// What the two parties risk.
    pub risks: Risks,
    /// How it was found.
    pub how: How,
}

/// What the two parties risk.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Risks {
    /// A lot of acceptable quality: the contractor risks less than full pay.
    pub acceptable: Level,
    /// A lot of rejectable quality: the owner risks full pay.
    pub rejectable: Level,
}

impl Risks {
    /// Chance that a lot of acceptable quality is paid less than in full, or waits for a decision.
    #[must_use]
    pub fn contractor(&self) -> f64 {
        self.acceptable.less + self.acceptable.decided
    }

    /// Chance that a lot of rejectable quality is paid in full.
    #[must_use]
    pub fn owner(&self) -> f64 {
        self.rejectable.full
    }
}

/// Levels of a curve in percent within limits.
const PERCENTS: [f64; 20] = [
    99.0, 97.5, 95.0, 92.5, 90.0, 87.5, 85.0, 80.0, 75.0, 70.0, 65.0, 60.0, 55.0, 50.0, 45.0, 40.0, 35.0, 30.0, 20.0,
    10.0,
];

/// The operating curve of a plan for lots of `n` results, with a known spread. Acceptable and rejectable quality are in
/// the measure of the plan; where they are not given, the usual ones are taken.
///
/// # Errors
/// In words, where a quality does not exist at this spread or nothing usual can be said of it.
pub fn curve(
    plan: &Plan,
    n: usize,
    spread: f64,
    (acceptable, rejectable): (Option<f64>, Option<f64>),
    luck: &mut Luck,
) -> Result<Curve, String> {
    if n < 3 || !spread.is_finite() || spread <= 0.0 {
        return Err("an operating curve needs three results in a lot or more, and a spread above zero".into());
    }
    let usual = usual(plan, spread);
    let quality = |given: Option<f64>, usual: Option<f64>, word: &str| {
        given.or(usual).ok_or_else(|| format!("nothing in the rule says which quality is {word}"))
    };
    let acceptable = quality(acceptable, usual.0, "acceptable")?;
    let rejectable = quality(rejectable, usual.1, "rejectable")?;
    let mut how = How::Drawn(luck.draws);
    let mut level = |quality: f64| {
        let mean = mean_of(plan, quality, spread)?;
        let prospect = Prospect::of(plan, Population { mean, spread }, n, luck);
        how = prospect.how;
        let (full, decided) = (prospect.full(plan.full()), prospect.decided());
        let less = (1.0 - full - decided).max(0.0);
        Some(Level { quality, mean, full, less, decided, expected: prospect.expected() })
    };
    let none = |quality: f64| format!("with a spread of {spread} no lot has a quality of {quality}");
    let risks = Risks {
        acceptable: level(acceptable).ok_or_else(|| none(acceptable))?,
        rejectable: level(rejectable).ok_or_else(|| none(rejectable))?,
    };
    let levels = qualities(plan, n, spread).into_iter().filter_map(level).collect();
    Ok(Curve { n, spread, levels, risks, how })
}

/// Acceptable and rejectable quality where nobody gives others. In percent within limits: 90 and 50, a convention. In a
/// shortfall: none (an index of none), and where the table begins to leave the lot to a decision, or else its last step.
#[must_use]
pub(super) fn usual(plan: &Plan, spread: f64) -> (Option<f64>, Option<f64>) {
    let (all, open) = plan.table.joints();
    match &plan.measure {
        By::Within(_) => (Some(90.0), Some(50.0)),
        By::Deficiency { .. } => (Some(0.0), open.first().or(all.last()).map(|&d| short_of(plan, d, spread))),
        By::Index { .. } => {
            (Some(short_of(plan, 0.0, spread)), open.last().or(all.first()).map(|&d| short_of(plan, d, spread)))
        }
    }
}

/// What the mean is short of the target where so much would enter the table.
fn short_of(plan: &Plan, entered: f64, spread: f64) -> f64 {
    match &plan.measure {
        By::Deficiency { in_percent: true, .. } => entered * plan.target / 100.0,
        By::Deficiency { .. } | By::Within(_) => entered,
        By::Index { .. } => -entered - spread,
    }
}

/// The qualities of a curve, from the best down.
fn qualities(plan: &Plan, n: usize, spread: f64) -> Vec<f64> {
    if plan.in_percent_within() {
        return PERCENTS.to_vec();
    }
    let (all, _) = plan.table.joints();
    let shorts = all.iter().map(|&d| short_of(plan, d, spread));
    let (low, high) = shorts.fold((0.0_f64, 0.0_f64), |(low, high), d| (low.min(d), high.max(d)));
    let around = 2.0 * spread / f64::from(u32::try_from(n).unwrap_or(u32::MAX)).sqrt();
    let (low, high) = (low - around, high + around);
    let step = even((high - low) / 20.0);
    let first = (low / step).floor();
    (0..24).map(|i| (first + f64::from(i)) * step).take_while(|d| *d <= high + step / 2.0).collect()
}

/// The next greater of 1, 2, 5, 10, 20, 50, ... and their tenths.
fn even(step: f64) -> f64 {
    let ten = 10_f64.powf(step.log10().floor());
    [1.0, 2.0, 5.0].into_iter().map(|times| times * ten).find(|even| *even >= step - 1e-12).unwrap_or(10.0 * ten)
}

/// The true mean of a lot of this quality; `None` where there is none.
fn mean_of(plan: &Plan, quality: f64, spread: f64) -> Option<f64> {
    let By::Within(within) = &plan.measure else { return Some(plan.target - quality) };
    let away = || Some(normal_at(quality / 100.0)? * spread);
    match (within.lower, within.upper) {
        (Some(lower), None) => Some(lower + away()?),
        (None, Some(upper)) => Some(upper - away()?),
        (Some(lower), Some(upper)) => between(lower, upper, quality, spread),
        (None, None) => None,
    }
}

/// Between two limits, a mean below their middle that has so many percent within both.
fn between(lower: f64, upper: f64, percent: f64, spread: f64) -> Option<f64> {
    let inside = |mean: f64| 100.0 * (normal_below((upper - mean) / spread) - normal_below((lower - mean) / spread));
    let (mut worse, mut better) = (lower - 8.0 * spread, f64::midpoint(lower, upper));
    if inside(better) < percent || percent <= 0.0 {
        return None;
    }
    for _ in 0..80 {
        let middle = f64::midpoint(worse, better);
        if inside(middle) < percent { worse = middle } else { better = middle }
    }
    Some(f64::midpoint(worse, better))
}

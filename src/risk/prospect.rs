//! What samples of one true population would be paid: every pay with its share, exactly or from drawn lots.
//!
//! ```text
//! one limit, percent by the formula    sqrt(n) Q is noncentral t, n - 1 degrees of freedom, shift sqrt(n) x true distance
//! deficiency of a mean                 the mean is normal, its deviation sigma / sqrt(n)
//! anything else                        so many lots of n normal results, drawn from the printed seed
//! ```
//!
//! An exact form is summed over pieces of the index or the mean, cut finer wherever pay changes within one. It leaves out the
//! rounding of single results and of the standard deviation, and is only used where these are fine beside the spread.

use std::collections::BTreeMap;
use std::fmt;

use super::plan::Plan;
use super::table::Paid;
use crate::statistics::{Draws, NoncentralT, normal_below};
use crate::units::thousands;

/// How a prospect was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// By the noncentral t distribution of the quality index.
    NoncentralT,
    /// By the normal distribution of the mean.
    NormalMean,
    /// By so many lots drawn at random.
    Drawn(usize),
}

impl fmt::Display for How {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            How::NoncentralT => f.write_str("exact, noncentral t"),
            How::NormalMean => f.write_str("exact, normal mean"),
            How::Drawn(lots) => write!(f, "{} drawn lots", thousands(&lots.to_string())),
        }
    }
}

/// A normal population.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Population {
    /// True mean.
    pub(super) mean: f64,
    /// True standard deviation.
    pub(super) spread: f64,
}

/// The random numbers of a run: one stream for each number of results, drawn once and used for every lot and quality, so that
/// two of them differ by what they are and not by luck.
#[derive(Clone, Debug)]
pub struct Luck {
    /// Seed.
    pub seed: String,
    /// Lots drawn.
    pub draws: usize,
    normals: BTreeMap<usize, Vec<f64>>,
}

impl Luck {
    /// The random numbers of a seed, for so many lots.
    #[must_use]
    pub fn new(seed: impl Into<String>, draws: usize) -> Self {
        Self { seed: seed.into(), draws, normals: BTreeMap::new() }
    }

    /// Name of the stream for lots of `n` results.
    #[must_use]
    pub fn stream(n: usize) -> String {
        format!("risk, {n} results")
    }

    fn normals(&mut self, n: usize) -> &[f64] {
        let (seed, all) = (&self.seed, self.draws.saturating_mul(n));
        self.normals.entry(n).or_insert_with(|| {
            let mut draws = Draws::new(seed, &Self::stream(n));
            (0..all).map(|_| draws.next_normal()).collect()
        })
    }
}

/// Every pay with its share, from the least up.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Prospect {
    parts: Vec<(Paid, f64)>,
    pub(super) how: How,
}

impl Prospect {
    /// What samples of `n` results of a population would be paid.
    pub(super) fn of(plan: &Plan, population: Population, n: usize, luck: &mut Luck) -> Self {
        let exact = if plan.fine_beside(population.spread) { exact(plan, population, n) } else { None };
        exact.unwrap_or_else(|| drawn(plan, population, n, luck))
    }

    fn new(mut parts: Vec<(Paid, f64)>, how: How) -> Self {
        parts.sort_by(|(a, _), (b, _)| a.pay.total_cmp(&b.pay));
        Self { parts, how }
    }

    /// The pay that the share `part` of samples does not exceed.
    pub(super) fn at(&self, part: f64) -> f64 {
        let mut below = 0.0;
        for (paid, share) in &self.parts {
            below += share;
            if below >= part - 1e-12 {
                return paid.pay;
            }
        }
        self.parts.last().map_or(f64::NAN, |(paid, _)| paid.pay)
    }

    /// Share of what pays `full` or more and waits for nothing.
    pub(super) fn full(&self, full: f64) -> f64 {
        self.share(|paid| !paid.decided && paid.pay >= full - 1e-9)
    }

    /// Share of what waits for a decision.
    pub(super) fn decided(&self) -> f64 {
        self.share(|paid| paid.decided)
    }

    fn share(&self, counts: impl Fn(&Paid) -> bool) -> f64 {
        self.parts.iter().filter(|(paid, _)| counts(paid)).map(|(_, share)| share).sum()
    }

    /// Standard deviation of pay.
    #[cfg(test)]
    pub(super) fn deviation(&self) -> f64 {
        let mean = self.expected();
        self.parts.iter().map(|(paid, share)| (paid.pay - mean).powi(2) * share).sum::<f64>().sqrt()
    }

    /// Share of what pays from `low` to `high`.
    #[cfg(test)]
    pub(super) fn between(&self, low: f64, high: f64) -> f64 {
        self.share(|paid| low <= paid.pay && paid.pay <= high)
    }

    /// Pay on the average; what waits for a decision at what is paid until then.
    pub(super) fn expected(&self) -> f64 {
        self.parts.iter().map(|(paid, share)| paid.pay * share).sum()
    }
}

/// Samples drawn from the population.
pub(super) fn drawn(plan: &Plan, population: Population, n: usize, luck: &mut Luck) -> Prospect {
    let lots = luck.draws.max(1);
    let share = 1.0 / f64::from(u32::try_from(lots).unwrap_or(u32::MAX));
    let mut sample = Vec::with_capacity(n);
    let parts = luck.normals(n).chunks(n.max(1)).map(|normals| {
        sample.clear();
        sample.extend(normals.iter().map(|z| population.mean + population.spread * z));
        (plan.pays(&sample), share)
    });
    Prospect::new(parts.collect(), How::Drawn(lots))
}

/// The exact form, where the plan has one.
pub(super) fn exact(plan: &Plan, population: Population, n: usize) -> Option<Prospect> {
    let tests = f64::from(u32::try_from(n).ok()?);
    let Population { mean, spread } = population;
    if spread <= 0.0 {
        return None;
    }
    if plan.by_mean_alone() && n > 0 {
        let pays = |z: f64| plan.pays_by(mean + z * spread / tests.sqrt(), 0.0, n);
        return Some(Prospect::new(Pieces { below: &normal_below, pays: &pays }.between(-8.0, 8.0), How::NormalMean));
    }
    let (limit, lower) = plan.one_limit()?;
    if n < 3 {
        return None;
    }
    let distance = if lower { mean - limit } else { limit - mean } / spread;
    let t = NoncentralT::new(tests - 1.0)?;
    let below = |index: f64| t.below(index * tests.sqrt(), distance * tests.sqrt());
    let pays = |index: f64| plan.pays_index(index, n);
    // Beyond the largest index that n results can have, they are all in or all out by the formula.
    let largest = (tests - 1.0) / tests.sqrt();
    let reach = 10.0 * (1.0 / tests + distance * distance / (2.0 * (tests - 1.0))).sqrt() + 10.0 / tests;
    let (from, to) = ((distance - reach).clamp(-largest, largest), (distance + reach).clamp(-largest, largest));
    Some(Prospect::new(Pieces { below: &below, pays: &pays }.between(from, to), How::NoncentralT))
}

/// Pieces to begin with, and how often one is halved.
const PIECES: u32 = 64;
const HALVINGS: u32 = 12;

/// A distribution and what each of its values pays.
struct Pieces<'a> {
    below: &'a dyn Fn(f64) -> f64,
    pays: &'a dyn Fn(f64) -> Paid,
}

/// A value with the share below it and what it pays.
type Edge = (f64, f64, Paid);

impl Pieces<'_> {
    /// The parts between two values, with all that lies beyond them.
    fn between(&self, from: f64, to: f64) -> Vec<(Paid, f64)> {
        let edge = |x: f64| (x, (self.below)(x), (self.pays)(x));
        let (first, last) = (edge(from), edge(to));
        let mut parts = vec![(first.2, first.1), (last.2, 1.0 - last.1)];
        // A straight or curved pay needs no finer pieces than a thousandth of what it spans.
        let close = (first.2.pay - last.2.pay).abs() / 1000.0 + 1e-9;
        let mut before = first;
        for i in 1..=PIECES {
            let next = edge(from + (to - from) * f64::from(i) / f64::from(PIECES));
            self.piece(before, next, close, HALVINGS, &mut parts);
            before = next;
        }
        parts
    }

    fn piece(&self, from: Edge, to: Edge, close: f64, halvings: u32, parts: &mut Vec<(Paid, f64)>) {
        let share = (to.1 - from.1).max(0.0);
        let alike = from.2.decided == to.2.decided && (from.2.pay - to.2.pay).abs() <= close;
        if alike {
            parts.push((Paid { pay: f64::midpoint(from.2.pay, to.2.pay), ..from.2 }, share));
        } else if halvings == 0 || share < 1e-9 {
            parts.extend([(from.2, share / 2.0), (to.2, share / 2.0)]);
        } else {
            let x = f64::midpoint(from.0, to.0);
            let middle = (x, (self.below)(x), (self.pays)(x));
            self.piece(from, middle, close, halvings - 1, parts);
            self.piece(middle, to, close, halvings - 1, parts);
        }
    }
}

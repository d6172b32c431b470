//! The noncentral t distribution: where the quality index of a sample falls when the lot's true index is known.
//!
//! T = (Z + d) / sqrt(V / f), Z standard normal, V chi-square with f degrees of freedom, d the shift. The mean of n normal
//! values less a limit, over their standard deviation and times sqrt(n), is such a T with f = n - 1 and d = sqrt(n) times
//! the true distance from the limit in standard deviations. Computed as the integral over u = sqrt(V / f) of the normal
//! share below t u - d, by Simpson's rule, to nine digits.

use statrs::function::gamma::ln_gamma;

use super::normal::normal_below;

/// Intervals of the integral; even.
const INTERVALS: u32 = 600;

/// So many standard deviations of u to each side of 1 are integrated.
const REACH: f64 = 10.0;

/// A noncentral t distribution of any shift, its degrees of freedom fixed.
#[derive(Clone, Debug)]
pub struct NoncentralT {
    /// u and its weight.
    nodes: Vec<(f64, f64)>,
}

impl NoncentralT {
    /// With `df` degrees of freedom; `None` below two, where u has too much weight near zero for these intervals (a lot has
    /// three results or more).
    ///
    /// ```
    /// use slabtally::statistics::NoncentralT;
    /// // Computed with scipy 1.17.1, scipy.stats.nct.cdf(4.0, 9, 3.5).
    /// assert!((NoncentralT::new(9.0).unwrap().below(4.0, 3.5) - 0.607_827_781_6).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn new(df: f64) -> Option<Self> {
        if !df.is_finite() || df < 2.0 {
            return None;
        }
        let reach = REACH / (2.0 * df).sqrt();
        let (from, to) = ((1.0 - reach).max(0.0), 1.0 + reach);
        let width = (to - from) / f64::from(INTERVALS);
        let scale = (df / 2.0) * (df / 2.0).ln() - ln_gamma(df / 2.0) + std::f64::consts::LN_2;
        let density = |u: f64| match u {
            0.0 => 0.0,
            u => (scale + (df - 1.0) * u.ln() - df * u * u / 2.0).exp(),
        };
        let weight = |i: u32| if i == 0 || i == INTERVALS { 1.0 } else { 2.0 + 2.0 * f64::from(i % 2) };
        let node = |i: u32| {
            let u = from + width * f64::from(i);
            (u, density(u) * weight(i) * width / 3.0)
        };
        let nodes: Vec<(f64, f64)> = (0..=INTERVALS).map(node).filter(|(_, weight)| *weight > 1e-16).collect();
        let all: f64 = nodes.iter().map(|(_, weight)| weight).sum();
        Some(Self { nodes: nodes.into_iter().map(|(u, weight)| (u, weight / all)).collect() })
    }

    /// Share below `t` at this shift.
    #[must_use]
    pub fn below(&self, t: f64, shift: f64) -> f64 {
        self.nodes.iter().map(|(u, weight)| weight * normal_below(t * u - shift)).sum::<f64>().clamp(0.0, 1.0)
    }

    /// The shift at which the share `p` lies below `t`: a bound on the true value from what was measured. `None` where `p` is
    /// not between 0 and 1.
    #[must_use]
    pub fn shift(&self, p: f64, t: f64) -> Option<f64> {
        if !(p > 0.0 && p < 1.0 && t.is_finite()) {
            return None;
        }
        // More shift, less below: far enough to both sides for any u that has weight.
        let far = 40.0 + 8.0 * t.abs();
        let (mut low, mut high) = (-far, far);
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if self.below(t, middle) > p { low = middle } else { high = middle }
        }
        Some(f64::midpoint(low, high))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::statistics::student;

    /// Computed with scipy 1.17.1, scipy.stats.nct.cdf(t, df, shift).
    #[test]
    fn another_library_computes_the_same() {
        for (t, df, shift, share) in [
            (1.5, 2.0, 1.0, 0.599_477_292_887_295_2),
            (-0.5, 3.0, 0.8, 0.107_894_640_148_693_56),
            (4.0, 9.0, 3.5, 0.607_827_781_604_291),
            (2.2, 29.0, 2.0, 0.568_912_268_012_914_7),
            (10.0, 4.0, 7.0, 0.735_769_491_287_976_3),
            (0.0, 5.0, 1.3, 0.096_800_484_585_610_32),
            (30.0, 6.0, 22.0, 0.778_387_007_448_393_6),
            (1.0, 120.0, 0.5, 0.690_364_835_295_356_2),
        ] {
            let own = NoncentralT::new(df).unwrap().below(t, shift);
            assert!((own - share).abs() < 1e-8, "{t}, {df}, {shift}: {own}, not {share}");
        }
    }

    /// Computed with scipy 1.17.1: scipy.optimize.brentq on scipy.stats.nct.cdf(t, df, shift) - p.
    #[test]
    fn another_library_finds_the_same_shift() {
        for (p, t, df, shift) in [
            (0.95, 3.0, 4.0, 0.529_978_498_058_324_3),
            (0.05, 3.0, 4.0, 5.234_999_141_843_875_5),
            (0.95, 1.0, 2.0, -0.911_414_584_611_772_3),
            (0.05, 1.0, 2.0, 2.713_794_570_404_405),
            (0.05, 6.0, 9.0, 8.723_013_213_482_67),
            (0.95, 6.0, 9.0, 3.082_702_556_864_319),
        ] {
            let own = NoncentralT::new(df).unwrap().shift(p, t).unwrap();
            assert!((own - shift).abs() < 1e-6, "{p}, {t}, {df}: {own}, not {shift}");
        }
    }

    #[test]
    fn what_has_no_distribution_has_none() {
        assert!(NoncentralT::new(1.0).is_none());
        assert!(NoncentralT::new(f64::NAN).is_none());
        assert_eq!(NoncentralT::new(4.0).unwrap().shift(0.0, 1.0), None);
        assert_eq!(NoncentralT::new(4.0).unwrap().shift(0.5, f64::INFINITY), None);
    }

    proptest! {
        #[test]
        fn without_shift_it_is_students_t(tail in 0.01..0.5_f64, df in 2_u32..60) {
            let t = student(tail, f64::from(df)).unwrap();
            prop_assert!((NoncentralT::new(f64::from(df)).unwrap().below(t, 0.0) - (1.0 - tail)).abs() < 1e-7);
        }
    }
}

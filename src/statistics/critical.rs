//! Critical values of the tests that compare two sets of results (Student's t, Fisher's F) and of the test for an outlier
//! (ASTM E178, one side).
//!
//! A `tail` is the share of the distribution beyond the critical value, on one side: a two-sided test at 1 percent asks for
//! 0.005. What is compared with the value, and what follows from it, is the caller's.

use statrs::distribution::{Continuous, ContinuousCDF, FisherSnedecor, StudentsT};

/// The value of Student's t that the share `tail` of its distribution exceeds; `None` where `tail` is not above 0 and at most 1/2 or
/// the degrees of freedom are not above 0.
///
/// ```
/// use slabtally::statistics::student;
/// assert_eq!(format!("{:.3}", student(0.05, 6.0).unwrap()), "1.943");
/// ```
#[must_use]
pub fn student(tail: f64, df: f64) -> Option<f64> {
    let curve = StudentsT::new(0.0, 1.0, df).ok().filter(|_| tail > 0.0 && tail <= 0.5 && df.is_finite())?;
    Some(sharpened(&curve, curve.inverse_cdf(1.0 - tail), tail))
}

/// The value of F that the share `tail` of its distribution exceeds, `df1` degrees of freedom above the line and `df2` below;
/// `None` where `tail` is not between 0 and 1 or degrees of freedom are not above 0.
///
/// ```
/// use slabtally::statistics::fisher;
/// assert_eq!(format!("{:.2}", fisher(0.01, 4.0, 9.0).unwrap()), "6.42");
/// ```
#[must_use]
pub fn fisher(tail: f64, df1: f64, df2: f64) -> Option<f64> {
    let curve = FisherSnedecor::new(df1, df2).ok().filter(|_| tail > 0.0 && tail < 1.0)?;
    Some(sharpened(&curve, curve.inverse_cdf(1.0 - tail), tail))
}

/// The largest distance from the mean, in standard deviations (n - 1), that one of `n` values may have before it is an outlier:
/// ASTM E178, one side, T = (n - 1) / sqrt(n) x sqrt(t^2 / (n - 2 + t^2)) with t at `tail / n` and n - 2 degrees of freedom.
/// `None` below three values.
#[must_use]
pub fn outlier_critical(tail: f64, n: usize) -> Option<f64> {
    let n = f64::from(u32::try_from(n).ok().filter(|&n| n >= 3)?);
    let t = student(tail / n, n - 2.0)?;
    Some((n - 1.0) / n.sqrt() * (t * t / (n - 2.0 + t * t)).sqrt())
}

/// A few steps of Newton's method from a good start: the library's inverse stops some digits early.
fn sharpened<D>(curve: &D, start: f64, tail: f64) -> f64
where
    D: Continuous<f64, f64> + ContinuousCDF<f64, f64>,
{
    let mut x = start;
    for _ in 0..4 {
        let step = (curve.sf(x) - tail) / curve.pdf(x);
        if !step.is_finite() {
            break;
        }
        x += step;
    }
    x
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn near(own: Option<f64>, other: f64) -> bool {
        own.is_some_and(|own| (own / other - 1.0).abs() < 1e-10)
    }

    /// Computed with scipy 1.17.1, scipy.stats.t.isf(tail, df).
    #[test]
    fn another_library_computes_the_same_t() {
        for (tail, df, t) in [
            (0.05, 6.0, 1.943_180_280_515_305),
            (0.01, 3.0, 4.540_702_858_568_133_5),
            (0.025, 10.0, 2.228_138_851_986_275_3),
            (0.05, 1.0, 6.313_751_514_675_044),
            (0.005, 29.0, 2.756_385_903_670_605_3),
            (0.012_5, 2.0, 6.205_346_816_570_693),
            (0.001, 120.0, 3.159_538_743_317_11),
        ] {
            assert!(near(student(tail, df), t), "{tail}, {df}: {:?}, not {t}", student(tail, df));
        }
    }

    /// Computed with scipy 1.17.1, scipy.stats.f.isf(tail, df1, df2).
    #[test]
    fn another_library_computes_the_same_f() {
        for (tail, df1, df2, f) in [
            (0.05, 4.0, 9.0, 3.633_088_511_419_079_4),
            (0.01, 4.0, 9.0, 6.422_085_458_153_198),
            (0.01, 1.0, 1.0, 4_052.180_695_476_821_7),
            (0.025, 9.0, 5.0, 6.681_054_346_460_905),
            (0.05, 30.0, 120.0, 1.554_342_596_395_668_5),
            (0.005, 2.0, 40.0, 6.066_426_411_261_266),
        ] {
            assert!(near(fisher(tail, df1, df2), f), "{tail}, {df1}, {df2}: {:?}, not {f}", fisher(tail, df1, df2));
        }
    }

    /// ASTM E178, one side, n = 3 to 10, as computed from its formula in another program. The print (from memory) has 1.463, 1.672
    /// and 1.155, 2.126 where these have 1.4625, 1.671 and 1.154, 2.127.
    #[test]
    fn the_outlier_test_has_the_published_limits() {
        for (tail, row) in [
            (0.05, [1.153, 1.4625, 1.671, 1.822, 1.938, 2.032, 2.110, 2.176]),
            (0.025, [1.154, 1.481, 1.715, 1.887, 2.020, 2.127, 2.215, 2.290]),
        ] {
            for (limit, n) in row.into_iter().zip(3..) {
                let own = outlier_critical(tail, n).unwrap();
                assert!((own - limit).abs() <= 0.001, "{tail}, {n}: {own}, not {limit}");
            }
        }
        // FAA AC 150/5370-10, section 110 (from memory): 1.35 / 1.15 is no outlier among four.
        assert!(1.35 / 1.15 < outlier_critical(0.05, 4).unwrap());
        assert_eq!(outlier_critical(0.05, 2), None);
    }

    #[test]
    fn what_has_no_critical_value_has_none() {
        assert_eq!(student(0.0, 5.0), None);
        assert_eq!(student(0.6, 5.0), None);
        assert_eq!(student(0.05, 0.0), None);
        assert_eq!(student(f64::NAN, 5.0), None);
        assert_eq!(fisher(0.05, 0.0, 3.0), None);
        assert_eq!(fisher(1.0, 3.0, 3.0), None);
        assert!(student(0.5, 5.0).unwrap().abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn a_squared_t_is_an_f(tail in 0.001..0.4_f64, df in 1_u32..200) {
            let t = student(tail / 2.0, f64::from(df)).unwrap();
            let f = fisher(tail, 1.0, f64::from(df)).unwrap();
            prop_assert!((t * t / f - 1.0).abs() < 1e-9);
        }

        #[test]
        fn the_other_way_round_f_is_its_inverse(tail in 0.001..0.5_f64, a in 1_u32..60, b in 1_u32..60) {
            let (a, b) = (f64::from(a), f64::from(b));
            prop_assert!((fisher(tail, a, b).unwrap() * fisher(1.0 - tail, b, a).unwrap() - 1.0).abs() < 1e-9);
        }
    }
}

//! Counts: how likely digits or repeats are by chance.

use statrs::distribution::{ChiSquared, ContinuousCDF};

/// The share of the chi-square distribution beyond `x`; `None` where the degrees of freedom are not above 0.
///
/// ```
/// use slabtally::statistics::chi_square_beyond;
/// // Critical value of any table (NIST/SEMATECH 1.3.6.7.4): 16.919 at 9 degrees of freedom and 5 percent.
/// assert_eq!(format!("{:.4}", chi_square_beyond(16.919, 9.0).unwrap()), "0.0500");
/// ```
#[must_use]
pub fn chi_square_beyond(x: f64, df: f64) -> Option<f64> {
    Some(ChiSquared::new(df).ok()?.sf(x.max(0.0)))
}

/// The chance of at least `k` events where `expected` are expected (Poisson).
///
/// ```
/// use slabtally::statistics::at_least;
/// // 1 - (1 + 1 + 1/2) / e
/// assert_eq!(format!("{:.4}", at_least(3, 1.0)), "0.0803");
/// ```
#[must_use]
pub fn at_least(k: u32, expected: f64) -> f64 {
    let mut term = (-expected).exp();
    let mut below = 0.0;
    for j in 0..k {
        below += term;
        term *= expected / f64::from(j + 1);
    }
    (1.0 - below).max(0.0)
}

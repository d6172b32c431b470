//! The standard normal curve: the share below a point, and the point below which a share lies.

use statrs::function::erf;

/// Share of a standard normal population below `z`, to ten digits.
#[must_use]
pub fn normal_below(z: f64) -> f64 {
    erf::erfc(-z / std::f64::consts::SQRT_2) / 2.0
}

/// The point below which the share `p` of a standard normal population lies; `None` where `p` is not between 0 and 1.
#[must_use]
pub fn normal_at(p: f64) -> Option<f64> {
    (p > 0.0 && p < 1.0).then(|| -std::f64::consts::SQRT_2 * erf::erfc_inv(2.0 * p))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with scipy 1.17.1, scipy.stats.norm.cdf and .ppf.
    #[test]
    fn another_library_computes_the_same() {
        for (z, share) in [(0.0, 0.5), (1.96, 0.975_002_104_851_779_5), (-3.5, 0.000_232_629_079_035_525_02)] {
            assert!((normal_below(z) - share).abs() < 1e-10, "{z}: {}", normal_below(z));
        }
        for (share, z) in [(0.5, 0.0), (0.975, 1.959_963_984_540_054), (1e-6, -4.753_424_308_822_899)] {
            assert!((normal_at(share).unwrap() - z).abs() < 1e-9, "{share}: {:?}", normal_at(share));
        }
        assert_eq!((normal_at(0.0), normal_at(1.0), normal_at(f64::NAN)), (None, None, None));
    }
}

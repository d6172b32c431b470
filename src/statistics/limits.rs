//! The percent of a lot within one specification limit, estimated from its quality index and the number of its tests.
//!
//! The quality index Q is the distance from the mean to the limit in standard deviations (n - 1). Printed tables give the percent
//! for it, by n; this is the formula behind them (standard deviation method, symmetric beta distribution):
//! P = 100 I(x; a, a), x = 1/2 + Q sqrt(n) / (2 (n - 1)) held between 0 and 1, a = n/2 - 1,
//! with I the regularized incomplete beta function. For n = 4 that is the straight line 50 + 100 Q / 3. It neither rounds Q nor
//! follows a printed table from row to row: which rule does so, and in which direction, is the rule's business.

use statrs::function::beta::checked_beta_reg;

use super::normal::normal_below;

/// From this many tests on, the beta distribution is taken for the normal curve it has become: they differ by less
/// than a thousandth of a percent.
const AS_NORMAL: f64 = 20_000.0;

/// Percent of the lot on the good side of one limit, by the exact formula; `None` below three tests or where `q` is no number.
///
/// An infinite `q` (no spread at all) is 100 or 0 percent. With two limits, the percent within both is the sum of the two less 100.
///
/// ```
/// use slabtally::statistics::within_limits;
/// // A line of a state's table for six tests: 2.00 gives 99.97.
/// assert_eq!(format!("{:.2}", within_limits(2.00, 6).unwrap()), "99.97");
/// assert_eq!(within_limits(1.0, 2), None);
/// ```
#[must_use]
pub fn within_limits(q: f64, n: usize) -> Option<f64> {
    let n = f64::from(u32::try_from(n).ok()?);
    if n < 3.0 || q.is_nan() {
        return None;
    }
    if n.to_bits() == 4.0_f64.to_bits() {
        // The straight line itself: at this number of tests, plain data can fall on the end of a step to the last digit.
        return Some((50.0 + 100.0 * q / 3.0).clamp(0.0, 100.0));
    }
    if q == 0.0 {
        return Some(50.0);
    }
    // Computed for the poorer side and mirrored, so that P(-Q) = 100 - P(Q) holds to the last digit.
    let outside = 100.0 * share_beyond(q.abs(), n)?;
    Some(if q >= 0.0 { 100.0 - outside } else { outside })
}

/// Share of the lot beyond a limit that lies `q` (not negative) standard deviations from the mean.
fn share_beyond(q: f64, n: f64) -> Option<f64> {
    let x = (0.5 - q * n.sqrt() / (2.0 * (n - 1.0))).max(0.0);
    let a = n / 2.0 - 1.0;
    if n >= AS_NORMAL {
        return Some(normal_below(-q));
    }
    checked_beta_reg(a, a, x).ok().map(|share| share.clamp(0.0, 0.5))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// FHWA Technical Advisory T 5080.12 (1989), Table 1B, odd rows: percent, then the quality index in hundredths for n =
    /// 3 to 9 and for the groups that begin at 10, 12, 15, 19, 26, 38, 70 and 201. Seen.
    const T_5080_12: [(f64, [u8; 15]); 9] = [
        (73.0, [76, 69, 66, 65, 64, 63, 63, 63, 62, 62, 62, 62, 62, 61, 61]),
        (71.0, [71, 63, 60, 59, 58, 57, 57, 57, 57, 56, 56, 56, 56, 55, 55]),
        (69.0, [65, 57, 54, 53, 52, 52, 51, 51, 51, 50, 50, 50, 50, 50, 50]),
        (67.0, [59, 51, 47, 47, 46, 46, 46, 45, 45, 45, 45, 44, 44, 44, 44]),
        (65.0, [52, 45, 43, 41, 41, 40, 40, 40, 40, 39, 39, 39, 39, 39, 39]),
        (63.0, [46, 39, 37, 36, 35, 35, 35, 34, 34, 34, 34, 34, 33, 33, 33]),
        (61.0, [39, 33, 31, 30, 30, 29, 29, 29, 29, 29, 28, 28, 28, 28, 28]),
        (59.0, [32, 27, 25, 25, 24, 24, 24, 24, 23, 23, 23, 23, 23, 23, 23]),
        (57.0, [25, 21, 20, 19, 19, 19, 18, 18, 18, 18, 18, 18, 18, 18, 18]),
    ];
    const TESTS: [usize; 15] = [3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 19, 26, 38, 70, 201];

    /// Whether a quality index printed to `half` of its last place gives `percent` by the formula.
    fn prints(percent: f64, n: usize, q: f64, half: f64) -> bool {
        within_limits(q - half, n).unwrap() <= percent && percent <= within_limits(q + half, n).unwrap()
    }

    #[test]
    fn the_printed_table_of_a_federal_advisory_follows_the_formula() {
        let mut other = Vec::new();
        for (percent, row) in T_5080_12 {
            for (hundredths, n) in row.into_iter().zip(TESTS) {
                if !prints(percent, n, f64::from(hundredths) / 100.0, 0.005) {
                    other.push((percent, n));
                }
            }
        }
        // It prints 0.47 there; the formula gives 0.4836.
        assert_eq!(other, [(67.0, 5)]);
        assert!(prints(67.0, 5, 0.4836, 0.000_05));
    }

    /// FAA AC 150/5370-10, section 110, table 1, rows 99 and 90 for n = 3 to 8. From memory: the print was not opened.
    #[test]
    fn the_airport_table_follows_the_formula() {
        for (percent, row) in [
            (99.0, [1.1541, 1.4700, 1.6714, 1.8008, 1.8888, 1.9520]),
            (90.0, [1.0982, 1.2000, 1.2290, 1.2419, 1.2492, 1.2541]),
        ] {
            for (q, n) in row.into_iter().zip(3..) {
                assert!(prints(percent, n, q, 0.000_05), "{percent} percent of {n}");
            }
        }
    }

    /// FAA AC 150/5370-10, section 110, worked example (from memory; every number recomputed): densities 96.60, 97.55, 99.30,
    /// 98.35 against 96.3, then air voids with 1.3992 to the lower and 1.2702 to the upper limit.
    #[test]
    fn the_worked_example_of_four_tests() {
        let shown = |q| format!("{:.2}", within_limits(q, 4).unwrap());
        let deviation = ((1.35_f64.powi(2) + 0.4_f64.powi(2) + 1.35_f64.powi(2) + 0.4_f64.powi(2)) / 3.0).sqrt();
        assert_eq!(shown((97.95 - 96.3) / deviation), "97.84");
        assert_eq!((shown(1.3992), shown(1.2702)), ("96.64".into(), "92.34".into()));
    }

    /// Computed with scipy 1.17.1, 100 * (1 - scipy.special.betainc(n/2 - 1, n/2 - 1, z)).
    #[test]
    fn another_library_computes_the_same() {
        for (q, n, percent) in [
            (2.0, 6, 99.969_590_752_776_84),
            (0.6, 5, 70.945_466_358_914_43),
            (0.6, 10, 72.060_501_537_539_3),
            (1.1, 3, 90.163_156_080_261_23),
            (1.25, 250, 89.447_888_941_853_01),
            (-0.7, 12, 24.557_602_788_396_547),
            (0.01, 2_000, 50.398_885_674_462_69),
            (0.8, 19_999, 78.814_355_811_410_41),
            (0.5, 100_000, 69.146_213_119_779_6),
        ] {
            let own = within_limits(q, n).unwrap();
            let near = if n < 10_000 { 1e-9 } else { 1e-4 };
            assert!((own - percent).abs() < near, "{q}, {n}: {own}, not {percent}");
        }
    }

    #[test]
    fn beyond_the_largest_index_the_lot_is_all_in_or_all_out() {
        // (n - 1) / sqrt(n) is the largest distance from the mean that n values can hold.
        assert_eq!(within_limits(1.5, 4), Some(100.0));
        assert_eq!(within_limits(-1.16, 3), Some(0.0));
        assert_eq!(within_limits(f64::INFINITY, 5), Some(100.0));
        assert_eq!(within_limits(f64::NAN, 5), None);
    }

    #[test]
    fn what_plain_data_give_exactly_is_exact() {
        // A mean on the limit, and four tests on the straight line: no digit beside it that a rounding up would take up.
        for n in 3..2_000 {
            assert_eq!(within_limits(0.0, n), Some(50.0));
        }
        assert_eq!(within_limits(1.2, 4), Some(90.0));
        assert_eq!(within_limits(-0.6, 4), Some(30.0));
    }

    proptest! {
        #[test]
        fn more_distance_is_never_a_smaller_percent(q in -4.0..4.0_f64, more in 0.0..1.0_f64, n in 3_usize..400) {
            let (less, most) = (within_limits(q, n).unwrap(), within_limits(q + more, n).unwrap());
            prop_assert!(less <= most + 1e-9);
            prop_assert!((0.0..=100.0).contains(&less));
        }

        #[test]
        fn the_two_sides_of_a_limit_make_a_hundred(q in -4.0..4.0_f64, n in 3_usize..400) {
            prop_assert!((within_limits(q, n).unwrap() + within_limits(-q, n).unwrap() - 100.0).abs() < 1e-12);
        }

        #[test]
        fn three_tests_follow_the_arcsine_and_four_a_straight_line(q in -2.0..2.0_f64) {
            let z = (0.5 - q * 3.0_f64.sqrt() / 4.0).clamp(0.0, 1.0);
            let arcsine = 100.0 * (1.0 - z.sqrt().asin() * 2.0 / std::f64::consts::PI);
            prop_assert!((within_limits(q, 3).unwrap() - arcsine).abs() < 1e-9);
            prop_assert!((within_limits(q, 4).unwrap() - (50.0 + 100.0 * q / 3.0).clamp(0.0, 100.0)).abs() < 1e-9);
        }
    }
}

//! What an account drawn as bars is on paper and in the workbook alike: the heights where each step begins and ends, and
//! when its axis is cut.

/// Where each step of an account begins and ends; a total (`true`) begins at zero, any other where the one before ended.
pub(super) fn heights(steps: impl IntoIterator<Item = (bool, f64)>) -> Vec<[f64; 2]> {
    let mut at = 0.0;
    let mut heights = Vec::new();
    for (total, value) in steps {
        let begins = if total { 0.0 } else { at };
        at = begins + value;
        heights.push([begins, at]);
    }
    heights
}

/// Totals are far from zero where all heights between the lowest and the highest take less than a third of the highest.
pub(super) fn is_cut(low: f64, high: f64) -> bool {
    (low > 0.0 || high < 0.0) && high > low && (high - low) * 3.0 < low.abs().max(high.abs())
}

/// What is added to the title of an axis that is cut.
pub(super) const CUT: &str = " (axis does not begin at zero)";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_begins_where_the_one_before_it_ended() {
        let steps = [(true, 100.0), (false, -4.0), (false, -1.5), (false, 2.0), (true, 96.5)];
        assert_eq!(heights(steps), [[0.0, 100.0], [100.0, 96.0], [96.0, 94.5], [94.5, 96.5], [0.0, 96.5]]);
    }

    #[test]
    fn an_axis_is_cut_only_far_from_zero() {
        assert!(is_cut(94.5, 100.0) && is_cut(-100.0, -94.5));
        assert!(!is_cut(40.0, 100.0) && !is_cut(-2.0, 100.0) && !is_cut(100.0, 100.0));
    }
}

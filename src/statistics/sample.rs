//! A reviewer's sample that anyone can draw again: the largest first, then more at random.
//!
//! ```text
//! largest     by size, the largest first, until what is taken reaches the share of the size of all; ties by name
//! number      of each of the rest: the first number of the stream "seed/name" (draws.rs), cut to six decimals
//! drawn       of the rest, those with the smallest numbers; ties by name
//! ```
//!
//! Each has a number of its own, from its own name, so that one more or less elsewhere moves no other's number: it can push out
//! at most one that was drawn. Common practice in auditing; nothing here knows what is drawn.

use std::collections::BTreeSet;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::draws::Draws;

/// The number of a name under a seed: the first of its stream, cut to six decimals; from 0 to under 1.
#[must_use]
pub fn number(seed: &str, name: &str) -> Decimal {
    six(Draws::new(seed, name).next())
}

/// The first six decimals of a number from 0 to under 1.
#[must_use]
pub fn six(number: f64) -> Decimal {
    let million = (number * 1e6).floor().to_u32().unwrap_or_default();
    Decimal::new(i64::from(million), 6)
}

/// Places of the largest, in order, until their sum reaches `share` percent of the sum of all; all of them for the whole.
#[must_use]
pub fn largest(of: &[(Decimal, &str)], share: Decimal) -> Vec<usize> {
    let whole = share >= Decimal::ONE_HUNDRED;
    let wanted = of.iter().map(|(size, _)| *size).sum::<Decimal>() * share / Decimal::ONE_HUNDRED;
    let mut order: Vec<usize> = (0..of.len()).collect();
    order.sort_by(|&a, &b| of[b].0.cmp(&of[a].0).then(of[a].1.cmp(of[b].1)));
    let mut reached = Decimal::ZERO;
    let within = order.into_iter().take_while(|&place| {
        let short = whole || reached < wanted;
        reached += of[place].0;
        short
    });
    within.collect()
}

/// Places of the `wanted` smallest numbers, in order, of those that are not taken yet.
#[must_use]
pub fn smallest(of: &[(Decimal, &str)], taken: &BTreeSet<usize>, wanted: usize) -> Vec<usize> {
    let mut left: Vec<usize> = (0..of.len()).filter(|place| !taken.contains(place)).collect();
    left.sort_by(|&a, &b| of[a].cmp(&of[b]));
    left.truncate(wanted);
    left
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use rust_decimal::dec;

    use super::*;

    /// Computed with Python 3 and its `hashlib`: the first 16 hexadecimal digits of the SHA-256 of "20310/lot-1/1" over 16^16.
    #[test]
    fn anyone_draws_the_same_number() {
        assert_eq!(number("20310", "lot-1"), dec!(0.610745));
    }

    #[test]
    fn the_largest_are_taken_until_the_share_is_reached() {
        let sizes = [(dec!(10), "a"), (dec!(40), "b"), (dec!(25), "d"), (dec!(25), "c")];
        assert_eq!(largest(&sizes, dec!(50)), [1, 3], "40 is short of 50; of the two of 25 the name decides");
        assert_eq!(largest(&sizes, dec!(40)), [1], "40 of 100 reaches 40 percent");
        assert_eq!(largest(&sizes, dec!(40.01)), [1, 3]);
        assert_eq!(largest(&sizes, dec!(0)), Vec::<usize>::new());
        assert_eq!(largest(&sizes, dec!(100)), [1, 3, 2, 0]);
        assert_eq!(
            largest(&[(dec!(0), "a"), (dec!(5), "b")], dec!(100)),
            [1, 0],
            "the whole holds what is worth nothing"
        );
    }

    #[test]
    fn the_rest_is_drawn_by_its_smallest_numbers() {
        let numbers = [(dec!(0.5), "a"), (dec!(0.1), "b"), (dec!(0.3), "d"), (dec!(0.3), "c")];
        assert_eq!(smallest(&numbers, &BTreeSet::new(), 3), [1, 3, 2]);
        assert_eq!(smallest(&numbers, &BTreeSet::from([1]), 9), [3, 2, 0], "fewer than are wanted");
    }

    proptest! {
        #[test]
        fn one_more_line_pushes_out_at_most_one(count in 5_usize..60, wanted in 1_usize..5) {
            let names: Vec<String> = (0..=count).map(|n| format!("line {n}")).collect();
            let numbers: Vec<(Decimal, &str)> = names.iter().map(|n| (number("7", n), n.as_str())).collect();
            let before: BTreeSet<usize> = smallest(&numbers[..count], &BTreeSet::new(), wanted).into_iter().collect();
            let after: BTreeSet<usize> = smallest(&numbers, &BTreeSet::new(), wanted).into_iter().collect();
            prop_assert!(before.difference(&after).count() <= 1);
        }
    }
}

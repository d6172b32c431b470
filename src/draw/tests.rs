//! Laws of drawing: the same for everyone, one in each stratum, uniform over the area, clear of edges and ends.

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, dec};

use super::*;
use crate::contract::{Contract, DrawRule, OffsetFrom};
use crate::intake::LaneId;
use crate::line::LotSpan;
use crate::line::fixture::{self, NB_1, NB_2, NB_S, entered};
use crate::units::Unit;

fn rule(seed: &str) -> DrawRule {
    DrawRule {
        seed: seed.into(),
        line: 90,
        clear_of_edge: entered(dec!(2), Unit::Foot, 91, "draw.clear_of_edge"),
        clear_of_ends: None,
        tolerance: entered(dec!(5), Unit::Foot, 92, "draw.tolerance"),
        tolerance_across: None,
        offset_from: OffsetFrom::LeftEdge,
        within_days: None,
    }
}

/// A lot of some lanes between two distances along the line.
fn lot(contract: &Contract, name: &str, lanes: &[LaneId], from: Decimal, to: Decimal) -> LotSpan {
    let places = lanes.iter().map(|&lane| (lane, contract.alignment(lane).at(from), contract.alignment(lane).at(to)));
    LotSpan { name: name.into(), key: name.to_lowercase(), section: 0, places: places.collect() }
}

fn many(contract: &Contract, lanes: &[LaneId], n: u32, (from, to): (Decimal, Decimal)) -> Vec<LotSpan> {
    (1..=n).map(|k| lot(contract, &format!("lot {k}"), lanes, from, to)).collect()
}

/// Python: `hashlib.sha256(b"20310/NB mainline lot 1, core 2/1").hexdigest()` gives 4b822ba7a3cbe27563a086f29b636a6c...; over 16^16 and cut to
/// six decimals 0.294954 and 0.389168. Two lanes of 12 ft over 750 ft in three strata:
/// along 750 (1 + 0.294954) / 3 = 323.7385; across 24 x 0.389168 = 9.3400, in NB-1 at the share 0.7783; 2 + 8 x 0.7783 = 8.2267.
#[test]
fn a_location_is_drawn_again_by_hand() {
    let contract = fixture::contract();
    let one = lot(&contract, "NB mainline lot 1", &[NB_1, NB_2], dec!(0), dec!(750));
    let drawn = locations(&contract, &rule("20310"), vec![one], 3);
    let second = &drawn[0].locations[1];
    assert_eq!(second.numbers, (dec!(0.294954), dec!(0.389168)));
    assert_eq!((second.lane, second.at.along, second.offset), (NB_1, dec!(323.7), dec!(8.2)));
    assert_eq!(second.stratum.0.along, dec!(250));
    assert_eq!(second.pair, 1);
}

#[test]
fn the_same_seed_draws_the_same_and_another_does_not() {
    let contract = fixture::contract();
    let list = |seed: &str, lots: Vec<LotSpan>| {
        let rule = rule(seed);
        let drawn = locations(&contract, &rule, lots, 3);
        (text(&contract, &rule, &drawn, "example"), csv(&contract, &rule, &drawn).unwrap(), drawn)
    };
    let lots = || many(&contract, &[NB_1, NB_2], 5, (dec!(0), dec!(750)));
    let (first, again, other) = (list("7", lots()), list("7", lots()), list("8", lots()));
    assert_eq!(first, again);
    assert_ne!(first.1, other.1);
    assert!(first.0.lines().all(|line| line.chars().count() <= 100), "{}", first.0);
    // A lot keeps its locations whatever else is drawn, and before or behind which others.
    let mut more = lots();
    more.insert(0, lot(&contract, "ramp lot 1", &[NB_S], dec!(0), dec!(900)));
    more.reverse();
    let more = list("7", more).2;
    assert!(first.2.iter().all(|lot| more.contains(lot)));
}

#[test]
fn each_stratum_has_one_location_clear_of_edges_and_ends() {
    let contract = fixture::contract();
    let mut rule = rule("20310");
    rule.clear_of_ends = Some(entered(dec!(10), Unit::Foot, 93, "draw.clear_of_ends"));
    for lanes in [&[NB_1, NB_2][..], &[NB_S], &[NB_1, NB_S]] {
        let ends = (dec!(433.25), dec!(1_000));
        for drawn in locations(&contract, &rule, many(&contract, lanes, 60, ends), 5) {
            assert_eq!(drawn.locations.len(), 5);
            for (k, l) in (1..).zip(&drawn.locations) {
                assert_eq!(l.number, k);
                assert!(l.stratum.0.along <= l.at.along && l.at.along <= l.stratum.1.along, "{l:?}");
                assert!(dec!(2) <= l.offset && l.offset <= l.width - dec!(2), "{l:?}");
                assert!(ends.0 + dec!(10) <= l.at.along && l.at.along <= ends.1 - dec!(10), "{l:?}");
            }
            assert_eq!(drawn.locations[0].stratum.0.along, ends.0);
            assert_eq!(drawn.locations[4].stratum.1.along, ends.1);
        }
    }
}

#[test]
fn where_no_place_is_clear_nothing_is_drawn() {
    let contract = fixture::contract();
    let mut rule = rule("20310");
    // The shoulder is 8 ft wide to 500 ft and 9 ft at 550 ft, where 4,425 of its 9,275 ft2 are reached: in the second stratum.
    rule.clear_of_edge = entered(dec!(4.5), Unit::Foot, 91, "draw.clear_of_edge");
    let drawn = locations(&contract, &rule, vec![lot(&contract, "s", &[NB_S], dec!(0), dec!(1_000))], 4);
    assert_eq!(drawn[0].without, [1]);
    assert!(drawn[0].locations.iter().all(|l| l.width >= dec!(9)));
}

/// Largest chi-square of ten classes that one in a thousand uniform draws exceeds (9 degrees of freedom; scipy.stats.chi2.isf).
const NINE_DEGREES: f64 = 27.877;

fn chi_square(shares: &[f64]) -> f64 {
    let mut classes = [0_u32; 10];
    for share in shares {
        classes[(share * 10.0).floor().to_usize().unwrap().min(9)] += 1;
    }
    let expected = shares.len().to_f64().unwrap() / 10.0;
    classes.iter().map(|&n| (f64::from(n) - expected).powi(2) / expected).sum()
}

#[test]
fn locations_are_uniform_along_and_across() {
    let contract = fixture::contract();
    for seed in ["1", "2", "a seed"] {
        let drawn = locations(&contract, &rule(seed), many(&contract, &[NB_1, NB_2], 1_000, (dec!(0), dec!(600))), 3);
        let all: Vec<&Location> = drawn.iter().flat_map(|lot| &lot.locations).collect();
        let along: Vec<f64> = all.iter().map(|l| ((l.at.along % dec!(200)) / dec!(200)).to_f64().unwrap()).collect();
        // Clear edges leave 8 ft of a lane; half a step makes up for rounding down.
        let across: Vec<f64> =
            all.iter().map(|l| ((l.offset - dec!(2) + dec!(0.05)) / dec!(8)).to_f64().unwrap()).collect();
        assert!(chi_square(&along) < NINE_DEGREES, "{seed}: {}", chi_square(&along));
        assert!(chi_square(&across) < NINE_DEGREES, "{seed}: {}", chi_square(&across));
        let in_first = all.iter().filter(|l| l.lane == NB_1).count();
        let first = in_first.to_f64().unwrap() / all.len().to_f64().unwrap();
        assert!((first - 0.5).abs() < 0.03, "{seed}: {first} in the first of two equal lanes");
    }
}

/// Geometry: from 500 to 650 ft the shoulder widens from 8 to 11 ft; x ft on, 8 x + x2 / 100 of its 1,425 ft2 are reached.
#[test]
fn a_taper_is_drawn_from_by_its_area() {
    let contract = fixture::contract();
    let drawn = locations(&contract, &rule("20310"), many(&contract, &[NB_S], 3_000, (dec!(500), dec!(650))), 1);
    let reached = |x: f64| (8.0 * x + x * x / 100.0) / 1_425.0;
    let shares: Vec<f64> =
        drawn.iter().map(|lot| reached((lot.locations[0].at.along - dec!(500)).to_f64().unwrap() + 0.05)).collect();
    assert!(chi_square(&shares) < NINE_DEGREES, "{}", chi_square(&shares));
    let by_length: Vec<f64> =
        drawn.iter().map(|lot| ((lot.locations[0].at.along - dec!(500)) / dec!(150)).to_f64().unwrap()).collect();
    assert!(chi_square(&by_length) > chi_square(&shares), "by length alone it would not be even");
    // The first location by the same area, to the step it is rounded down to.
    let first = &drawn[0].locations[0];
    let u = first.numbers.0.to_f64().unwrap();
    let x = (first.at.along - dec!(500)).to_f64().unwrap();
    assert!(reached(x) <= u && u < reached(x + 0.1), "{x}, {u}");
}

/// Geometry: rounding down must not slip below an exact tenth of a foot.
#[test]
fn a_station_that_falls_on_a_step_stays_there() {
    let contract = fixture::contract();
    // 300 ft in three strata: each begins on a whole foot, and the second number does not matter.
    let drawn = locations(&contract, &rule("20310"), many(&contract, &[NB_1], 200, (dec!(0), dec!(300))), 3);
    for l in drawn.iter().flat_map(|lot| &lot.locations) {
        let exact = dec!(100) * (Decimal::from(l.number) - Decimal::ONE + l.numbers.0);
        assert_eq!(l.at.along, (exact * dec!(10)).floor() / dec!(10));
    }
}

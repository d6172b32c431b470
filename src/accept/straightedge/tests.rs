//! Deviations of a lot by hand: what is over, what share that is, and what must be ground whatever the share.

use rust_decimal::{Decimal, dec};

use crate::accept::Verdict;
use crate::accept::fixture::{Run, run_sets};
use crate::figure::Expr;
use crate::finding::Code;
use crate::intake::{Records, Straightedge};
use crate::line::fixture::{NB_1, NB_2, contract, day, placement, read, records, station};
use crate::rules::{RuleSet, load};

const PERCENT: &str = include_str!("../../rules/sets/example-straightedge-percent.toml");
const COUNTED: &str = include_str!("../../rules/sets/ufgs-02753-straightedge.toml");
const LOT: &str = "straightedge, NB mainline, 2031-07-01";

fn rule(text: &str) -> RuleSet {
    load("ours.toml", text).unwrap()
}

fn deviation(row: u32, at: &str, inches: Decimal, across: bool) -> Straightedge {
    Straightedge {
        number: read(row.to_string().into(), 2, row, 0),
        date: read(day("2031-07-20"), 2, row, 1),
        lane: read(NB_1, 2, row, 2),
        station: read(station(&contract(), NB_1, at), 2, row, 3),
        deviation: read(inches, 2, row, 4),
        across,
        remarks: None,
    }
}

/// So many measurements along NB-1, the first `over` of them 0.13 in, the others on the tolerance of 0.125 in.
fn row_of(n: u32, over: u32) -> Vec<Straightedge> {
    let inches = |i| if i < over { dec!(0.13) } else { dec!(0.125) };
    (0..n).map(|i| deviation(i + 1, &format!("{}+{:02}", 10 + i / 100, i % 100), inches(i), false)).collect()
}

fn judged(set: &RuleSet, straightedge: Vec<Straightedge>) -> Run {
    let contract = contract();
    let both = placement(&contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", "40+00");
    let records = Records { straightedge, ..records(vec![both], vec![]) };
    run_sets(&contract, &[set], records, "2031-07-31")
}

fn percent_and_pay(n: u32, over: u32) -> (Decimal, Decimal) {
    let run = judged(&rule(PERCENT), row_of(n, over));
    let lot = run.outcome(LOT);
    (run.value(lot.entered.unwrap()), run.value(lot.pay.unwrap()))
}

/// UFGS 02753: the first reduced band is from 5.0 to 10.0 percent of all measurements of the lot over tolerance (seen); 95, 90,
/// 75 and removal are from memory, and so is which side a joint belongs to.
#[test]
fn the_share_of_measurements_over_tolerance_enters_the_bands() {
    for (n, over, percent, pay) in [
        (200, 0, dec!(0), dec!(100)),
        (1000, 49, dec!(4.9), dec!(100)),
        (200, 10, dec!(5), dec!(95)),
        (200, 19, dec!(9.5), dec!(95)),
        (200, 20, dec!(10), dec!(90)),
        (200, 29, dec!(14.5), dec!(90)),
        (200, 30, dec!(15), dec!(75)),
        (200, 39, dec!(19.5), dec!(75)),
        (200, 40, dec!(20), dec!(0)),
        // 1 / 3 = 33.3 percent.
        (3, 1, dec!(33.3), dec!(0)),
    ] {
        assert_eq!(percent_and_pay(n, over), (percent, pay), "{over} of {n}");
    }
}

#[test]
fn a_deviation_on_the_tolerance_is_within_it_and_each_direction_has_its_own() {
    let all = vec![
        deviation(1, "11+00", dec!(0.125), false),
        deviation(2, "12+00", dec!(0.126), false),
        deviation(3, "13+00", dec!(0.25), true),
        deviation(4, "14+00", dec!(0.251), true),
    ];
    let run = judged(&rule(COUNTED), all);
    let lot = run.outcome(LOT);
    assert_eq!((run.value(lot.steps[0]), run.value(lot.steps[1])), (dec!(4), dec!(2)));
    assert_eq!((run.value(lot.entered.unwrap()), lot.pay, lot.verdict), (dec!(50), None, Verdict::Sound));
}

#[test]
fn a_great_deviation_needs_correction_whatever_the_share() {
    let mut all = row_of(100, 0);
    all[7].deviation.value = dec!(0.375);
    all[8].deviation.value = dec!(0.376);
    let run = judged(&rule(PERCENT), all);
    let lot = run.outcome(LOT);
    // 2 percent over: full pay, and one of the two needs correction.
    assert_eq!((run.value(lot.pay.unwrap()), lot.verdict, lot.adjustments.len()), (dec!(100), Verdict::Undecided, 0));
    assert_eq!(lot.note, "needs correction at NB-1 10+08");
    let found = run.of(Code::StraightedgeOver);
    assert_eq!(found.len(), 1);
    assert!(
        found[0].message.starts_with("the deviation of 0.376 in at NB-1 10+08 is above 0.375 in"),
        "{}",
        found[0].message
    );
}

#[test]
fn more_than_a_hundred_measurements_are_counted_in_parts_that_can_be_printed() {
    let run = judged(&rule(PERCENT), row_of(250, 13));
    let lot = run.outcome(LOT);
    assert_eq!((run.value(lot.steps[0]), run.value(lot.steps[1])), (dec!(250), dec!(13)));
    let parts = |expr: &Expr| expr.parts().len();
    assert!(run.book.figures().all(|(_, figure)| parts(&figure.expr) <= 100));
}

#[test]
fn measurements_that_no_tolerance_is_for_are_left_out_and_counted() {
    let lengthwise = PERCENT.replace("across     = {", "# across     = {");
    let mut all = row_of(10, 0);
    all.push(deviation(11, "20+00", dec!(0.3), true));
    let run = judged(&rule(&lengthwise), all);
    assert_eq!(run.value(run.outcome(LOT).steps[0]), dec!(10));
    assert_eq!(run.outcome(LOT).note, "the rule has no tolerance for 1 of its 11 measurements");
}

#[test]
fn a_lot_without_measurements_is_a_gap_and_one_beside_the_pavement_a_conflict() {
    let run = judged(&rule(PERCENT), vec![]);
    assert_eq!((run.outcome(LOT).verdict, run.of(Code::StraightedgeMissing).len()), (Verdict::NotTested, 1));
    let mut beside = deviation(1, "11+00", dec!(0.1), false);
    beside.lane.value = crate::line::fixture::NB_S;
    let run = judged(&rule(PERCENT), vec![beside]);
    assert_eq!(run.of(Code::SmoothnessUnplaced).len(), 1);
}

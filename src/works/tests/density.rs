//! City of Coppell (Texas), engineering records: the trench backfill report of 3 March 2006 (whole table), the fire-lane fill of
//! 2001 and the retest series of 2005; facts carried over, names left out.

use rust_decimal::{Decimal, dec};

use super::{Seen, number, see};
use crate::finding::Code;
use crate::intake::{Compaction, Density, Records, Surface};
use crate::line::fixture::{NB_1, contract, day, read, station};
use crate::rules::{ConstructionRule, DensityRule};
use crate::units::Unit;
use crate::works::Finds;

/// Percent of maximum 95 to 100, moisture 0 to +5 of optimum (printed on the report); rounded as the report's arithmetic shows.
fn rule() -> DensityRule {
    let percent = |value| Some(number(value, Unit::Percent));
    DensityRule {
        layer: Surface::Subgrade,
        least: number(dec!(95), Unit::Percent),
        most: percent(dec!(100)),
        moisture: (percent(dec!(0)), percent(dec!(5))),
        dry_round: Some("0.1 half up".parse().unwrap()),
        round: "0.1 half up".parse().unwrap(),
        printed_within: number(dec!(0.1), Unit::Percent),
        retest_within: None,
        gravity: None,
    }
}

fn test(row: u32, name: &str, material: &str) -> Density {
    Density {
        number: read(name.into(), 2, row, 0),
        date: read(day("2031-05-02"), 2, row, 1),
        lanes: read(vec![NB_1], 2, row, 2),
        station: read(station(&contract(), NB_1, "12+00"), 2, row, 3),
        offset: None,
        layer: Surface::Subgrade,
        material: Some(read(material.into(), 2, row, 4)),
        lift: None,
        method: None,
        wet: None,
        dry: None,
        moisture: None,
        maximum: None,
        optimum: None,
        percent: None,
        retest_of: None,
        remarks: None,
    }
}

fn curve(row: u32, name: &str, maximum: Decimal, optimum: Decimal) -> Compaction {
    Compaction {
        material: read(name.into(), 3, row, 0),
        maximum: read(maximum, 3, row, 1),
        optimum: read(optimum, 3, row, 2),
        gravity: None,
        date: None,
        remarks: None,
    }
}

fn judged(densities: Vec<Density>, compactions: Vec<Compaction>, rule: DensityRule) -> Seen {
    let records = Records { densities, compactions, ..Records::default() };
    see(&contract(), records, ConstructionRule { densities: vec![rule], ..ConstructionRule::default() }, "2031-07-31")
}

/// The 21 rows of the report of 3 March 2006: test, curve, moisture, wet density; dry density and percent as printed.
const REPORT: [(&str, &str, &str, &str, &str, &str); 21] = [
    ("24", "2207", "26.8", "120.2", "94.8", "95.8"),
    ("25", "2207", "26.0", "120.0", "95.2", "96.2"),
    ("26", "2208", "25.9", "123.0", "97.7", "97.2"),
    ("27", "2208", "24.5", "120.8", "97.0", "96.5"),
    ("28", "2208", "22.4", "117.4", "95.9", "95.4"),
    ("29", "2208", "23.8", "120.6", "97.4", "96.9"),
    ("30", "2208", "25.3", "120.0", "95.8", "95.3"),
    ("31", "2208", "23.0", "118.9", "96.7", "96.2"),
    ("32", "2208", "21.9", "119.5", "98.0", "97.5"),
    ("33", "2208", "21.4", "121.0", "99.7", "99.2"),
    ("34", "2208", "25.0", "120.4", "96.3", "95.8"),
    ("35", "2208", "23.8", "118.8", "96.0", "95.5"),
    ("36", "2208", "24.2", "118.6", "95.5", "95.0"),
    ("37", "2208", "25.6", "122.2", "97.3", "96.8"),
    ("38", "2208", "23.7", "122.0", "98.6", "98.1"),
    ("39", "2208", "25.3", "121.2", "96.7", "96.2"),
    ("40", "2208", "24.2", "123.6", "99.5", "99.0"),
    ("41", "2207", "26.2", "119.0", "94.3", "95.3"),
    ("42", "2207", "23.9", "119.7", "96.6", "97.6"),
    ("43", "2207", "25.3", "121.0", "96.6", "97.6"),
    ("44", "2207", "24.7", "118.5", "95.0", "96.0"),
];

/// Curve 2208: 100.5 lb/ft3 at 21.0 percent; curve 2207: 99.0 at 22.0.
#[test]
fn every_row_of_a_city_report_is_reproduced_to_its_last_digit() {
    let densities = (1..).zip(REPORT).map(|(row, (name, material, moisture, wet, _, percent))| Density {
        wet: Some(read(wet.parse().unwrap(), 2, row, 5)),
        moisture: Some(read(moisture.parse().unwrap(), 2, row, 6)),
        percent: Some(read(percent.parse().unwrap(), 2, row, 7)),
        ..test(row, name, material)
    });
    let curves = vec![curve(1, "2208", dec!(100.5), dec!(21.0)), curve(2, "2207", dec!(99.0), dec!(22.0))];
    let seen = judged(densities.collect(), curves, rule());
    for (judged, (name, .., dry, percent)) in seen.works.densities.iter().zip(REPORT) {
        assert_eq!(seen.text(judged.dry), dry, "test {name}, dry density");
        assert_eq!(seen.text(judged.percent), percent, "test {name}, percent");
        assert_eq!(judged.finds, Finds::Passed, "test {name}");
    }
    assert_eq!(seen.findings, []);
}

/// The same dry density passes on one curve and fails on the other: 94.3 is 95.3 percent of 99.0 and 93.8 of 100.5.
#[test]
fn the_wrong_curve_turns_a_pass_into_a_failure() {
    let row = |material: &str| Density {
        dry: Some(read(dec!(94.3), 2, 1, 5)),
        moisture: Some(read(dec!(25.0), 2, 1, 6)),
        ..test(1, "41", material)
    };
    let curves = || vec![curve(1, "2208", dec!(100.5), dec!(21.0)), curve(2, "2207", dec!(99.0), dec!(22.0))];
    let right = judged(vec![row("2207")], curves(), rule());
    assert_eq!(
        (right.text(right.works.densities[0].percent), right.works.densities[0].finds),
        ("95.3".into(), Finds::Passed)
    );
    let wrong = judged(vec![row("2208")], curves(), rule());
    assert_eq!(wrong.text(wrong.works.densities[0].percent), "93.8");
    assert_eq!(wrong.codes(), [Code::DensityOutside]);
}

/// Fire-lane fill of 13 September 2001: 99.0 lb/ft3 at 20.5 percent, at least 95 percent without an upper limit, moisture -1 to
/// +3. Test 22 lies on the lower end of its window, test 23 a tenth under the upper; printed 101.2 and 99.2 percent.
#[test]
fn the_ends_of_a_moisture_window_are_inside_it_and_a_density_may_be_above_its_maximum() {
    let row = |k: u32, name: &str, dry, moisture| Density {
        dry: Some(read(dry, 2, k, 5)),
        moisture: Some(read(moisture, 2, k, 6)),
        ..test(k, name, "fill")
    };
    let rows = |moisture| vec![row(1, "22", dec!(100.2), moisture), row(2, "23", dec!(98.2), dec!(23.4))];
    let window = DensityRule {
        most: None,
        moisture: (Some(number(dec!(-1), Unit::Percent)), Some(number(dec!(3), Unit::Percent))),
        ..rule()
    };
    let curves = || vec![curve(1, "fill", dec!(99.0), dec!(20.5))];
    let seen = judged(rows(dec!(19.5)), curves(), window.clone());
    let printed: Vec<String> = seen.works.densities.iter().map(|d| seen.text(d.percent)).collect();
    assert_eq!(printed, ["101.2", "99.2"]);
    assert!(seen.works.densities.iter().all(|d| d.finds == Finds::Passed));
    let drier = judged(rows(dec!(19.4)), curves(), window);
    assert_eq!(drier.codes(), [Code::MoistureOutside]);
}

/// Water line backfill of June 2005 (reports of 28 June and 1 July): material, dry density, moisture and percent as printed.
const SERIES: [(&str, &str, &str, &str, &str); 9] = [
    ("8", "4", "107.4", "15.7", "96.7"),
    ("9", "4", "106.1", "16.3", "95.5"),
    ("10", "4", "106.7", "16.5", "96.1"),
    ("13", "5", "99.0", "19.1", "97.2"),
    ("14", "3", "112.2", "13.6", "100.0"),
    ("60", "2", "106.2", "17.3", "95.2"),
    ("61", "2", "106.4", "18.1", "95.3"),
    ("62", "5", "97.4", "15.0", "95.7"),
    ("63", "5", "98.3", "18.5", "96.6"),
];

fn materials() -> Vec<Compaction> {
    vec![
        curve(1, "2", dec!(111.6), dec!(15.3)),
        curve(2, "3", dec!(112.2), dec!(13.1)),
        curve(3, "4", dec!(111.0), dec!(14.5)),
        curve(4, "5", dec!(101.8), dec!(15.0)),
    ]
}

fn series_row(row: u32, (name, material, dry, moisture, percent): (&str, &str, &str, &str, &str)) -> Density {
    Density {
        dry: Some(read(dry.parse().unwrap(), 2, row, 5)),
        moisture: Some(read(moisture.parse().unwrap(), 2, row, 6)),
        percent: Some(read(percent.parse().unwrap(), 2, row, 7)),
        ..test(row, name, material)
    }
}

/// Printed percents come from a dry density with more digits than the report prints: recomputed they may differ by 0.1, which is
/// no fault; test 14 lies on the upper limit and test 62 on the optimum itself.
#[test]
fn a_tenth_of_a_percent_is_no_difference() {
    let rows = (1..).zip(SERIES).map(|(row, given)| series_row(row, given));
    let seen = judged(rows.collect(), materials(), rule());
    assert_eq!(seen.findings, []);
    assert!(seen.works.densities.iter().all(|d| d.finds == Finds::Passed));
}

/// Test 12 of the same series: printed 95.0, from its printed dry density 96.7 / 101.8 = 94.99: it turns on the last digit.
#[test]
fn a_verdict_that_turns_on_the_last_digit_is_left_open() {
    let seen = judged(vec![series_row(1, ("12", "5", "96.7", "15.1", "95.0"))], materials(), rule());
    assert_eq!(seen.works.densities[0].finds, Finds::Open);
    assert_eq!(seen.codes(), [Code::DensityTurns]);
    assert!(
        seen.message(Code::DensityTurns).contains("95 as printed, 95 rounded, 94.99 as computed"),
        "{}",
        seen.message(Code::DensityTurns)
    );
}

#[test]
fn a_printed_percent_that_its_row_does_not_make_is_said_and_the_row_is_judged() {
    let seen = judged(vec![series_row(1, ("9", "4", "104.1", "16.3", "95.5"))], materials(), rule());
    // Arithmetic: 104.1 / 111.0 = 93.8 percent.
    assert_eq!(seen.text(seen.works.densities[0].percent), "93.8");
    assert!(seen.codes().contains(&Code::DensityPrinted));
}

/// The failing original stays on record; a retest that names it settles it (same series: "a retest row must point at the test").
#[test]
fn a_retest_settles_the_test_that_it_names_and_no_other() {
    let failing = |row, name: &str| series_row(row, (name, "4", "104.1", "16.3", "93.8"));
    let again = |of: &str| Density {
        date: read(day("2031-05-03"), 2, 3, 1),
        retest_of: Some(read(of.into(), 2, 3, 8)),
        ..series_row(3, ("9", "4", "106.1", "16.3", "95.5"))
    };
    let seen = judged(vec![failing(1, "43"), failing(2, "44"), again("43")], materials(), rule());
    let finds: Vec<Finds> = seen.works.densities.iter().map(|d| d.finds).collect();
    assert_eq!(finds, [Finds::Settled, Finds::Failed, Finds::Passed]);
    assert_eq!(seen.codes(), [Code::DensityOutside]);
    let lost = judged(vec![failing(1, "43"), again("99")], materials(), rule());
    assert!(lost.codes().contains(&Code::RetestUnknown) && lost.codes().contains(&Code::DensityOutside));
}

#[test]
fn a_retest_elsewhere_settles_nothing() {
    let failing = series_row(1, ("43", "4", "104.1", "16.3", "93.8"));
    let far = Density {
        station: read(station(&contract(), NB_1, "14+00"), 2, 2, 3),
        retest_of: Some(read("43".into(), 2, 2, 8)),
        ..series_row(2, ("9", "4", "106.1", "16.3", "95.5"))
    };
    let near = DensityRule { retest_within: Some(number(dec!(25), Unit::Foot)), ..rule() };
    let seen = judged(vec![failing, far], materials(), near);
    assert_eq!(seen.codes(), [Code::DensityOutside, Code::RetestUnknown]);
}

/// Derived: with G = 2.65 and 62.4 lb/ft3, at 15 percent nothing can be denser than 2.65 x 62.4 / 1.3975 = 118.3 lb/ft3.
#[test]
fn a_density_above_the_line_without_air_is_impossible() {
    let gravity = DensityRule { gravity: Some(number(dec!(2.65), Unit::One)), most: None, ..rule() };
    let row = |dry| Density {
        dry: Some(read(dry, 2, 1, 5)),
        moisture: Some(read(dec!(15), 2, 1, 6)),
        maximum: Some(read(dec!(120), 2, 1, 7)),
        optimum: Some(read(dec!(13), 2, 1, 8)),
        ..test(1, "1", "x")
    };
    let seen = judged(vec![row(dec!(118.4))], vec![], gravity.clone());
    assert_eq!(seen.text(seen.works.densities[0].no_air), "118.3");
    assert_eq!((seen.codes(), seen.works.densities[0].finds), (vec![Code::DensityImpossible], Finds::Open));
    let below = judged(vec![row(dec!(118.3))], vec![], gravity);
    assert_eq!(below.findings, []);
}

#[test]
fn a_material_without_a_curve_is_asked_for_once() {
    let rows = [1, 2].map(|row| Density { dry: Some(read(dec!(100), 2, row, 5)), ..test(row, &row.to_string(), "7") });
    let seen = judged(rows.to_vec(), vec![], rule());
    assert_eq!(seen.codes(), [Code::CompactionMissing]);
    assert_eq!(seen.findings.len(), 1);
    assert!(seen.works.densities.iter().all(|d| d.finds == Finds::Open), "it proves nothing");
}

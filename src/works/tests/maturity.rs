//! Maturity (ASTM C1074, formulas from memory) against a public worked line, an exam question, and a curve fitted elsewhere.

use chrono::Duration;
use rust_decimal::{Decimal, dec};

use super::{Seen, number, see};
use crate::contract::Contract;
use crate::finding::Code;
use crate::intake::{Calibrated, LaneId, Logged, Records};
use crate::line::fixture::{contract, day, placement, read, si_contract};
use crate::rules::{ConstructionRule, Maturity, MaturityRule, OpeningRule};
use crate::units::{System, Unit};

fn rule(by: Maturity, gap: Decimal) -> MaturityRule {
    MaturityRule {
        by,
        least_specimens: number(dec!(5), Unit::One),
        lower: None,
        longest_gap: number(gap, Unit::Hour),
        round: "10 half up".parse().unwrap(),
    }
}

fn factor(datum: Decimal, unit: Unit) -> Maturity {
    Maturity::Factor { datum: number(datum, unit) }
}

/// Readings of one logger: hours after midnight of 8 July and temperature.
fn readings(given: &[(i64, Decimal)]) -> Vec<Logged> {
    let begin = day("2031-07-08").and_hms_opt(0, 0, 0).unwrap();
    (1..)
        .zip(given)
        .map(|(row, &(hour, temperature))| {
            let at = begin + Duration::hours(hour);
            Logged {
                sensor: read("L-1".into(), 3, row, 0),
                date: read(at.date(), 3, row, 1),
                time: read(at.time(), 3, row, 2),
                temperature: read(temperature, 3, row, 3),
                lane: None,
                station: None,
                placement: Some(read("1".into(), 3, row, 4)),
                mix: None,
                remarks: None,
            }
        })
        .collect()
}

fn specimens(given: &[(f64, f64)]) -> Vec<Calibrated> {
    let e = |v: f64| Decimal::from_f64_retain(v).unwrap().round_dp(4);
    (1..)
        .zip(given)
        .map(|(row, &(maturity, strength))| Calibrated {
            number: read(format!("M-{row}").into(), 4, row, 0),
            date: None,
            mix: None,
            factor: Some(read(e(maturity), 4, row, 1)),
            age: None,
            strength: read(e(strength), 4, row, 2),
            remarks: None,
        })
        .collect()
}

fn seen(contract: &Contract, logged: Vec<Logged>, calibrated: Vec<Calibrated>, rule: ConstructionRule) -> Seen {
    let (from, to) = if contract.system == System::Si { ("0+000", "0+100") } else { ("10+00", "12+00") };
    let placements = vec![placement(contract, "1", "2031-07-08", &[LaneId(0)], from, to)];
    see(contract, Records { placements, logged, calibrated, ..Records::default() }, rule, "2031-07-31")
}

fn with(maturity: MaturityRule) -> ConstructionRule {
    ConstructionRule { maturity: Some(maturity), ..ConstructionRule::default() }
}

/// A public worked line: 12 h at 20 C and 12 h at 25 C with a datum of 0 C are 240 + 300 = 540 C h. Derived: with -10 C, 780.
#[test]
fn a_worked_line_of_temperature_and_time_is_reproduced() {
    for (datum, expected) in [(dec!(0), "540.0"), (dec!(-10), "780.0")] {
        // Two readings at each temperature, twelve hours apart; the step between them takes no time that counts.
        let logged = readings(&[(0, dec!(20)), (12, dec!(20))]);
        let later = readings(&[(12, dec!(25)), (24, dec!(25))]);
        let contract = si_contract();
        let of = |logged| {
            let seen = seen(&contract, logged, vec![], with(rule(factor(datum, Unit::Celsius), dec!(12))));
            seen.book[seen.works.loggers[0].maturity.unwrap()].value.decimal().unwrap()
        };
        assert_eq!(format!("{:.1}", of(logged) + of(later)), expected);
    }
}

/// An exam question (seen): 28 days at 15 C with a datum of -11 C are 28 x 26 = 728 C days, 17,472 C h.
#[test]
fn four_weeks_of_daily_readings_add_up() {
    let logged = readings(&(0..=28).map(|d| (24 * d, dec!(15))).collect::<Vec<_>>());
    let seen = seen(&si_contract(), logged, vec![], with(rule(factor(dec!(-11), Unit::Celsius), dec!(24))));
    assert_eq!(seen.text(seen.works.loggers[0].maturity), "17,472.0");
}

/// The same concrete in degrees Fahrenheit: 59 F over a datum of 12.2 F for 672 h are 31,449.6 F h, 9/5 of 17,472 C h.
#[test]
fn fahrenheit_hours_are_nine_fifths_of_celsius_hours() {
    let logged = readings(&(0..=28).map(|d| (24 * d, dec!(59))).collect::<Vec<_>>());
    let seen = seen(&contract(), logged, vec![], with(rule(factor(dec!(12.2), Unit::Fahrenheit), dec!(24))));
    assert_eq!(seen.text(seen.works.loggers[0].maturity), "31,449.6");
    assert_eq!(dec!(17472) * dec!(9) / dec!(5), dec!(31449.6));
}

/// Derived from the Arrhenius form (from memory): at the reference temperature an hour is an hour; at 30 C against 23 C with
/// Q = 5,000 K it is exp(5000 (1/296.15 - 1/303.15)) = 1.4767 hours.
#[test]
fn equivalent_age_runs_faster_when_it_is_warmer() {
    let age = |temperature| {
        let by = Maturity::Age { q: number(dec!(5000), Unit::Celsius), reference: number(dec!(23), Unit::Celsius) };
        let seen =
            seen(&si_contract(), readings(&[(0, temperature), (10, temperature)]), vec![], with(rule(by, dec!(12))));
        seen.book[seen.works.loggers[0].maturity.unwrap()].value.real().unwrap()
    };
    assert!((age(dec!(23)) - 10.0).abs() < 1e-9);
    assert!((age(dec!(30)) - 14.767).abs() < 1e-3, "{}", age(dec!(30)));
}

#[test]
fn concrete_below_the_datum_gains_nothing_and_a_gap_is_not_reckoned_through() {
    let logged = readings(&[(0, dec!(20)), (2, dec!(20)), (12, dec!(20)), (14, dec!(-30)), (16, dec!(-30))]);
    let seen = seen(&si_contract(), logged, vec![], with(rule(factor(dec!(0), Unit::Celsius), dec!(3))));
    // Arithmetic: 2 h at 20 C; the ten hours without a reading and all below zero add nothing.
    assert_eq!(seen.text(seen.works.loggers[0].maturity), "40.0");
    assert!(
        seen.message(Code::MaturityGap).contains("10 h after 2031-07-08 02:00"),
        "{}",
        seen.message(Code::MaturityGap)
    );
}

/// Strengths of an invented mix; slope, intercept, standard error and the lower prediction limit were computed independently with
/// numpy's least squares and scipy's Student's t (their own documents).
const MIX: [(f64, f64); 6] =
    [(800.0, 1810.0), (1600.0, 2540.0), (2400.0, 2890.0), (4000.0, 3420.0), (5600.0, 3790.0), (11200.0, 4350.0)];

#[test]
fn a_curve_is_that_of_any_statistics_library() {
    let seen = seen(&si_contract(), vec![], specimens(&MIX), with(rule(factor(dec!(-10), Unit::Celsius), dec!(3))));
    let curve = &seen.works.curves[0];
    let value = |id: crate::figure::FigureId| seen.book[id].value.real().unwrap();
    for (id, expected) in [(curve.slope, SLOPE), (curve.intercept, INTERCEPT), (curve.spread, SPREAD)] {
        assert!((value(id) / expected - 1.0).abs() < 1e-9, "{} against {expected}", value(id));
    }
}

const SLOPE: f64 = 970.986_165_574_581_8;
const INTERCEPT: f64 = -4_649.741_442_366_655;
const SPREAD: f64 = 46.424_622_299_228_02;

/// At 3,000 C h the curve is at 3,124.33, and nine specimens in ten would be above 3,047.45 (scipy: t of 4 degrees of freedom).
#[test]
fn the_lower_end_is_that_of_any_statistics_library() {
    let hours: Vec<(i64, Decimal)> = (0..=100).map(|h| (h, dec!(20))).collect();
    let maturity = MaturityRule {
        lower: Some(number(dec!(10), Unit::Percent)),
        round: "0.01 half up".parse().unwrap(),
        ..rule(factor(dec!(-10), Unit::Celsius), dec!(3))
    };
    let seen = seen(&si_contract(), readings(&hours), specimens(&MIX), with(maturity));
    let logger = &seen.works.loggers[0];
    assert_eq!(seen.text(logger.maturity), "3,000.0");
    assert_eq!(seen.book[logger.estimate.unwrap()].value.decimal().unwrap().round_dp(2), dec!(3124.33));
    assert_eq!(seen.book[logger.strength.unwrap()].value.decimal().unwrap(), dec!(3047.45));
}

/// Opening at 3,000: the curve reaches it before the lower end of its interval does, and the later is what counts.
#[test]
fn opening_waits_for_the_lower_end_where_the_rule_says_so() {
    let hours: Vec<(i64, Decimal)> = (0..=200).map(|h| (h, dec!(20))).collect();
    let opening = || OpeningRule {
        strength: Some(number(dec!(3000), Unit::Megapascal)),
        flexural: false,
        age: Some(number(dec!(3), Unit::Day)),
        both: true,
    };
    let of = |lower: Option<Decimal>| {
        let maturity = MaturityRule {
            lower: lower.map(|l| number(l, Unit::Percent)),
            ..rule(factor(dec!(-10), Unit::Celsius), dec!(3))
        };
        let rule = ConstructionRule { opening: Some(opening()), ..with(maturity) };
        seen(&si_contract(), readings(&hours), specimens(&MIX), rule)
    };
    let (curve, lower) = (of(None), of(Some(dec!(10))));
    let reached =
        |seen: &Seen| (seen.works.loggers[0].when - day("2031-07-08").and_hms_opt(0, 0, 0).unwrap()).num_hours();
    // 30 C h an hour. The curve is at 3,000 (to 10) from the first hour on at which a + b ln M rounds to it.
    let first = (0..200).find(|h| INTERCEPT + SLOPE * (30.0 * f64::from(*h)).ln() >= 2995.0).unwrap();
    assert_eq!(reached(&curve), i64::from(first));
    assert!(reached(&lower) > reached(&curve));
    assert!((lower.book[lower.works.loggers[0].strength.unwrap()].value.real().unwrap() - 3000.0).abs() <= 10.0);
    assert!(lower.works.openings[0].may.is_some() && lower.works.openings[0].missing.is_empty());
}

#[test]
fn a_logger_without_a_curve_or_a_placement_is_asked_about() {
    let stray =
        readings(&[(0, dec!(20)), (1, dec!(20))]).into_iter().map(|l| Logged { placement: None, ..l }).collect();
    let seen = seen(&si_contract(), stray, vec![], with(rule(factor(dec!(0), Unit::Celsius), dec!(3))));
    assert_eq!(seen.codes(), [Code::MaturityUnplaced, Code::MaturityCurve]);
}

//! A contract that loads, and one for each way of getting it wrong.

use chrono::NaiveDate;
use rust_decimal::dec;

use super::*;
use crate::figure::Origin;
use crate::finding::{Finding, Place};
use crate::intake::{DateOrder, LaneId};
use crate::rules::Property;
use crate::units::{System, Unit};

/// Invented, like everything here.
const HARROW_ROAD: &str = r#"number    = "HR-31-07"
title     = "Harrow Road reconstruction"
notice    = "Invented data"
units     = "US customary"
dates     = "month-day-year"

[parties]
owner = "Town of Harrow"
contractor = "Example Paving"
engineer = "Example Engineers"

[rounding]
length = "0.1 half up"
area   = "0.01 half up"
volume = "0.01 half up"
money  = "0.01 half up"

[[alignments]]
name  = "NB"
begin = "10+00"
end   = "117+00"
equations = [{ back = "58+32.10", ahead = "58+50.00" }]

[[lanes]]
name = "NB-1"
alignment = "NB"
side = "right"
width = "12 ft"
also = ["NB lane 1", "NB inside"]

[[lanes]]
name = "NB-S"
alignment = "NB"
side = "right"
width = [{ at = "10+00", width = "8 ft" }, { at = "15+00", width = "96 in" }, { at = "16+50", width = "11 ft" }]

[[sections]]
name = "NB mainline"
from = "10+00"
to   = "100+00"
lanes = ["NB-1", "NB-S"]
thickness = "9.5 in"
strength = "4,000 psi"
strength_age = "28 day"

[[sections]]
name = "NB end"
from = "100+00"
to   = "117+00"
lanes = ["NB-1"]
thickness = "8 in"

[[items]]
number = "401"
description = "Concrete pavement, 9.5 in"
unit = "SY"
quantity = "57,066.67"
price = "61.50"
measured = "placed area"
sections = ["NB mainline"]
adjusted_by = ["thickness", "strength"]

[[items]]
number = "520"
description = "Casting adjusted"
unit = "each"
quantity = 12
price = 480.00
measured = "by hand"
rounding = "1 half up"

[rules]
thickness = "example-stepped-average"
strength  = "example-two-rule-strength"

[[periods]]
number = 1
through = 2031-05-31

[[periods]]
number = 2
through = 2031-06-30

[retainage]
percent = "5 percent"

[yield]
warn_over = "5 percent"

[fresh]
air = ["5 percent", "8 percent"]
slump = ["none", "3 in"]
temperature = ["50 F", "90 F"]

[[sheets]]
file = "lab/*.csv"
kind = "cores"
heading_row = 4
columns = { "Len" = "length" }
units = { length = "in" }
every_row = { lane = "NB-1" }

[[set_aside]]
file = "old/draft.xlsx"
sheet = "Sheet2"
rows = [12, 13]
reason = "superseded by the laboratory's letter of 2031-06-03"
"#;

/// Findings as `line:column message | remedy`.
fn said(findings: &[Finding]) -> Vec<String> {
    let line = |f: &Finding| match &f.place {
        Place::Line { file, line, column } => {
            assert_eq!(file, FILE);
            format!("{line}:{column} {} | {}", f.message, f.remedy)
        }
        other => panic!("a mistake without a line: {other:?}"),
    };
    findings.iter().map(line).collect()
}

fn mistakes(text: &str) -> Vec<String> {
    said(&load(text).expect_err("the contract should be refused"))
}

/// What is said once `from` has become `to`.
fn with(from: &str, to: &str) -> Vec<String> {
    assert_eq!(HARROW_ROAD.matches(from).count(), 1, "'{from}' should stand once");
    mistakes(&HARROW_ROAD.replace(from, to))
}

#[track_caller]
fn one(from: &str, to: &str, expected: &str) {
    assert_eq!(with(from, to), [expected]);
}

#[test]
fn the_contract_is_what_the_file_says() {
    let contract = load(HARROW_ROAD).map_err(|f| said(&f)).unwrap();
    assert_eq!((contract.system, contract.date_order), (System::Customary, DateOrder::MonthDayYear));
    assert_eq!(contract.currency, "$");
    let taper: Vec<_> = contract.lanes[1].widths.iter().map(|w| (w.at.along, w.width.value, w.width.unit)).collect();
    assert_eq!(
        taper,
        [(dec!(0), dec!(8), Unit::Foot), (dec!(500), dec!(8), Unit::Foot), (dec!(650), dec!(11), Unit::Foot)]
    );
    assert_eq!(contract.lanes[1].widths[1].width.written, "96 in");
    let mainline = &contract.sections[0];
    assert_eq!(mainline.lanes, [LaneId(0), LaneId(1)]);
    assert_eq!((mainline.thickness.value, mainline.thickness.unit), (dec!(9.5), Unit::Inch));
    // The gap of 17.90 ft that the equation skips is not built.
    assert_eq!(mainline.to.along - mainline.from.along, dec!(8982.10));
    let (strength, age) = mainline.strength.clone().unwrap();
    assert_eq!((strength.value, age.value, age.unit), (dec!(4000), dec!(28), Unit::Day));
    let pavement = &contract.items[0];
    assert_eq!(pavement.measured, Measurement::PlacedArea(vec![0]));
    assert_eq!((pavement.quantity.value, pavement.price.value), (dec!(57066.67), dec!(61.50)));
    assert_eq!(Some(pavement.price.unit), Unit::SquareYard.price());
    assert_eq!(pavement.rounding, contract.roundings.area);
    assert_eq!(pavement.adjusted_by, [Property::Thickness, Property::Strength]);
    assert_eq!(contract.items[1].measured, Measurement::ByHand);
    assert_eq!(contract.periods.len(), 2);
    assert_eq!(contract.retainage.as_ref().unwrap().value, dec!(5));
    assert_eq!(contract.fresh.slump.0, None);
    assert_eq!(contract.sheets[0].units["length"], Unit::Inch);
    assert_eq!(contract.set_aside[0].rows, [12, 13]);
    assert_eq!(contract.sha256.len(), 64);
}

#[test]
fn a_number_of_the_contract_points_at_its_line() {
    let contract = load(HARROW_ROAD).map_err(|f| said(&f)).unwrap();
    let given = contract.sections[0].thickness.given("design thickness", "T");
    assert_eq!(given.written, "9.5 in");
    assert_eq!(given.origin, Origin::Contract { line: 42, key: "sections[0].thickness".into() });
    assert_eq!(HARROW_ROAD.lines().nth(41), Some("thickness = \"9.5 in\""));
}

#[test]
fn intake_is_told_the_words_of_the_contract() {
    let contract = load(HARROW_ROAD).map_err(|f| said(&f)).unwrap();
    let through = NaiveDate::from_ymd_opt(2031, 6, 30).unwrap();
    let setting = contract.setting(through);
    assert_eq!(setting.through, through);
    assert_eq!(setting.lanes[0].also, ["NB lane 1", "NB inside"]);
    assert_eq!((setting.items[1].number.as_str(), setting.items[1].unit), ("520", Unit::Each));
    assert_eq!(setting.sheets, contract.sheets);
}

#[test]
fn an_si_contract_has_si_stations_and_units() {
    let text = HARROW_ROAD
        .replace("US customary", "SI")
        .replace("\"10+00\"", "\"1+000\"")
        .replace("\"15+00\"", "\"1+150\"")
        .replace("\"16+50\"", "\"1+200\"")
        .replace("\"100+00\"", "\"3+000\"")
        .replace("\"117+00\"", "\"3+500\"")
        .replace("58+32.10", "2+100.000")
        .replace("58+50.00", "2+105.000")
        .replace("12 ft", "3.6 m")
        .replace("8 ft", "2.4 m")
        .replace("96 in", "2400 mm")
        .replace("11 ft", "3.3 m")
        .replace("\"9.5 in\"", "\"240 mm\"")
        .replace("\"8 in\"", "\"200 mm\"")
        .replace("4,000 psi", "30 MPa")
        .replace("\"SY\"", "\"m2\"")
        .replace("3 in", "75 mm")
        .replace("50 F", "10 C")
        .replace("90 F", "32 C")
        .replace("length = \"in\"", "length = \"mm\"");
    let contract = load(&text).map_err(|f| said(&f)).unwrap();
    assert_eq!(contract.sections[0].thickness.unit, Unit::Millimetre);
    assert_eq!(contract.lanes[1].widths[1].width.value, dec!(2.4));
    assert_eq!(contract.sections[1].to.along, dec!(2495));
}

#[test]
fn a_key_that_is_not_known_is_named_with_the_nearest() {
    one(
        "thickness = \"9.5 in\"",
        "thickness = \"9.5 in\"\nstrenght_test = \"beam\"",
        "43:1 'strenght_test' is not a key of 'sections[0]' | write 'strength_test' if that is meant, or take the line out",
    );
    one(
        "percent = \"5 percent\"",
        "percent = \"5 percent\"\ncolour = 1",
        "86:1 'colour' is not a key of 'retainage' | take it out; known here: percent",
    );
}

#[test]
fn keys_that_stand_twice_are_refused() {
    one(
        "side = \"right\"\nwidth = \"12 ft\"",
        "side = \"right\"\nside = \"left\"\nwidth = \"12 ft\"",
        "28:1 'side' stands here a second time | keep one of the two",
    );
}

#[test]
fn what_is_missing_is_said_with_an_example() {
    one(
        "dates     = \"month-day-year\"\n",
        "",
        "1:1 the file lacks 'dates': order of dates that sheets write as text | add it, such as: dates = \"month-day-year\"",
    );
    one(
        "strength_age = \"28 day\"\n",
        "",
        "43:12 'sections[0]' has 'strength' but lacks 'strength_age': age at which the strength counts \
         | add it, such as: strength_age = \"28 day\"",
    );
    assert_eq!(
        with("[rounding]", "[roundings]"),
        [
            "1:1 the file lacks 'rounding': how quantities and amounts are rounded; never implicit | add [rounding]",
            "12:2 'roundings' is not a key of this file | write 'rounding' if that is meant, or take the line out",
        ]
    );
}

#[test]
fn a_quantity_has_its_unit() {
    one("\"9.5 in\"", "\"9.5\"", "42:13 'sections[0].thickness' says 9.5 without a unit | write the unit: \"9.5 in\"");
    one("\"9.5 in\"", "9.5", "42:13 'sections[0].thickness' says 9.5 without a unit | write the unit: \"9.5 in\"");
    one(
        "\"9.5 in\"",
        "\"9.5 psi\"",
        "42:13 'sections[0].thickness' says \"9.5 psi\", which is not a depth | write a depth in in",
    );
    one(
        "\"9.5 in\"",
        "\"9.5 ells\"",
        "42:13 'sections[0].thickness' says \"9.5 ells\", and 'ells' is not a unit this program knows | write it in in",
    );
}

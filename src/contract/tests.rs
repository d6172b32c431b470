//! A contract that loads, and one for each way of getting it wrong.

mod accounts;
mod payment;
mod steps;

use chrono::NaiveDate;
use rust_decimal::dec;

use super::keys::{CONTRACT, NEEDS};
use super::*;
use crate::figure::Origin;
use crate::finding::{Finding, Place};
use crate::intake::{DateOrder, LaneId};
use crate::keyed::{Form, Key, Need};
use crate::rules::{Gives, Property, Shape};
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
    assert_eq!(contract.payment.retainage.as_ref().unwrap().percent.value, dec!(5));
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
        "86:1 'colour' is not a key of 'retainage' | take it out; known here: percent, steps, most, release, released_at_final",
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

#[test]
fn units_of_the_other_system_are_not_converted() {
    one(
        "\"9.5 in\"",
        "\"240 mm\"",
        "42:13 'sections[0].thickness' says \"240 mm\", but this file is in US customary units \
         | give it in in, as it was agreed; nothing is converted between the systems here",
    );
    one("\"12 ft\"", "\"100 in\"", "28:9 'lanes[0].width' says \"100 in\", which is not in ft | give it in ft");
}

#[test]
fn values_are_written_in_their_form() {
    one(
        "area   = \"0.01 half up\"",
        "area   = \"0.01 bankers\"",
        "14:10 'rounding.area': '0.01 bankers' is not a rounding (write a step and a mode, such as '0.01 half up'; modes: \
         half up, half even, up, down) | write it so: area = \"0.01 half up\"",
    );
    one(
        "begin = \"10+00\"",
        "begin = \"1000\"",
        "20:9 'alignments[0].begin' says \"1000\", which is not a station \
         | write it with the plus sign, such as \"12+34.50\"",
    );
    one(
        "2031-06-30",
        "\"2031-06-30\"",
        "82:11 'periods[1].through' says \"2031-06-30\" as text; expected a date \
         | write year-month-day without quotation marks: through = 2031-05-31",
    );
    one(
        "\"57,066.67\"",
        "\"57,066.67 SY\"",
        "57:12 'items[0].quantity' says \"57,066.67 SY\", which is not a plain number \
         | write the number by itself, \"57,066.67\": its unit is said by another key",
    );
    one(
        "\"61.50\"",
        "\"61,50\"",
        "58:9 'items[0].price' says \"61,50\", which is not a plain number | write the digits out, with a point before \
         the decimals and commas only before each three digits, such as \"57,066.67\"",
    );
    one(
        "heading_row = 4",
        "heading_row = 0",
        "98:15 'sheets[0].heading_row' is 0; expected a whole number from 1 | write it so: heading_row = 4",
    );
    one(
        "measured = \"placed area\"",
        "measured = \"place area\"",
        "59:12 'items[0].measured' says \"place area\"; expected: \"placed area\", \"placed volume\", \"delivered volume\", \
         \"placed length\", \"by hand\", \"by percent\", \"by schedule\" or \"by calendar\" | write \"placed area\" if that is meant",
    );
    one(
        "also = [\"NB lane 1\", \"NB inside\"]",
        "also = \"NB lane 1\"",
        "29:8 'lanes[0].also' is text; expected: list of text | write it so: also = [\"NB lane 1\", \"NB inside\"]",
    );
    one(
        "[\"5 percent\", \"8 percent\"]",
        "[\"8 percent\", \"5 percent\"]",
        "91:7 'fresh.air': the lowest, 8 percent, is above the highest, 5 percent | write the lowest first",
    );
}

#[test]
fn what_is_named_is_there() {
    one(
        "alignment = \"NB\"\nside = \"right\"\nwidth = \"12 ft\"",
        "alignment = \"SB\"\nside = \"right\"\nwidth = \"12 ft\"",
        "26:13 'lanes[0].alignment' names the alignment \"SB\", which is not in this file | write \"NB\" if that is meant",
    );
    one(
        "lanes = [\"NB-1\", \"NB-S\"]",
        "lanes = [\"NB-1\", \"NB-7\"]",
        "41:18 'sections[0].lanes[1]' names the lane \"NB-7\", which is not in this file | write \"NB-1\" if that is meant",
    );
    one(
        "sections = [\"NB mainline\"]",
        "sections = [\"mainline\"]",
        "60:13 'items[0].sections[0]' names the section \"mainline\", which is not in this file \
         | name one of: NB mainline, NB end",
    );
}

#[test]
fn names_are_told_apart() {
    one(
        "number = \"520\"",
        "number = \"401\"",
        "64:10 the item \"401\" stands on line 54 already | give each item its own name, once",
    );
    one(
        "\"NB inside\"",
        "\"NB-S\"",
        "29:22 'lanes[0].also[1]' says that \"NB-S\" means this lane, but line 32 uses \"NB-S\" for lane NB-S \
         | let each wording mean one lane",
    );
}

#[test]
fn stationing_runs_forward() {
    one(
        "end   = \"117+00\"",
        "end   = \"58+00\"",
        "20:9 alignment \"NB\": the stationing runs backward from 58+50 to 58+00 \
         | let stations rise from begin to end, with the equations in order along the line",
    );
    one(
        "{ at = \"16+50\"",
        "{ at = \"12+00\"",
        "35:86 'lanes[1].width[2].at' 12+00 is not ahead of 15+00 on line 35 \
         | list the widths by rising station, each station once",
    );
    one(
        "to   = \"100+00\"",
        "to   = \"9+00\"",
        "40:8 'sections[0].to': station 9+00 is not on alignment NB, which runs 10+00 to 117+00 (58+32.1 back = 58+50 ahead) \
         | correct the station, or the alignment's begin, end and equations",
    );
    one(
        "from = \"100+00\"\nto   = \"117+00\"",
        "from = \"117+00\"\nto   = \"100+00\"",
        "49:8 'sections[1].to' 100+00 is not ahead of 'from' 117+00 \
         | let 'from' be the lower station along the line and 'to' the higher",
    );
}

#[test]
fn sections_of_a_lane_do_not_overlap() {
    let text = HARROW_ROAD.replace("from = \"100+00\"", "from = \"99+00\"");
    let findings = load(&text).unwrap_err();
    assert_eq!(
        said(&findings),
        [
            "48:8 section \"NB mainline\" (line 37) and section \"NB end\" (line 46) both hold lane NB-1 from 99+00 to 100+00 \
         | let one end where the other begins"
        ]
    );
    assert_eq!(findings[0].related, [Place::Line { file: FILE.into(), line: 39, column: 8 }]);
}

#[test]
fn an_item_is_paid_in_what_is_measured() {
    one(
        "unit = \"SY\"",
        "unit = \"CY\"",
        "56:8 'items[0].unit' says \"CY\", but an item measured as placed area needs the unit of an area \
         | write \"yd2\", or change how the item is measured",
    );
    one(
        "unit = \"SY\"",
        "unit = \"m2\"",
        "56:8 'items[0].unit' says \"m2\", but an item measured as placed area needs the unit of an area \
         | write \"yd2\", or change how the item is measured",
    );
    one(
        "\nrounding = \"1 half up\"",
        "",
        "69:12 an item measured by hand needs its own rounding | add, such as: rounding = \"0.01 half up\"",
    );
    one(
        "sections = [\"NB mainline\"]\n",
        "",
        "59:12 an item measured as placed area needs the sections it is measured in \
         | add, such as: sections = [\"NB mainline\"]",
    );
    one(
        "strength  = \"example-two-rule-strength\"\n",
        "",
        "61:29 the item is adjusted by strength, but no rule set for it is chosen \
         | choose one under [rules], or take \"strength\" out",
    );
    one(
        "sections = [\"NB mainline\"]",
        "sections = [\"NB end\"]",
        "61:29 the item is adjusted by strength, but none of its sections has a specified strength \
         | give the sections their 'strength' and 'strength_age', or take \"strength\" out",
    );
}

#[test]
fn periods_rise_and_shares_are_shares() {
    one(
        "2031-06-30",
        "2031-05-31",
        "82:11 this period ends on 2031-05-31, not after the one before it, which ends on 2031-05-31 (line 78) \
         | let each period end later than the one before",
    );
    one(
        "number = 2",
        "number = 1",
        "81:10 period 1 comes after period 1 on line 77 | number the periods upward, in the order they end",
    );
    one(
        "percent = \"5 percent\"",
        "percent = \"105 percent\"",
        "85:11 'retainage.percent' is 105 percent; a share lies between 0 and 100 percent | correct the percentage",
    );
}

#[test]
fn paths_and_folder_names_are_plain() {
    one(
        "\"HR-31-07\"",
        "\"HR/31\"",
        "1:13 'number' is \"HR/31\", which cannot name a folder \
         | use letters, digits, '-', '_', '.' and blanks, with neither '.' nor blank at its ends",
    );
    one(
        "\"lab/*.csv\"",
        "\"field/lab/*.csv\"",
        "96:8 'sheets[0].file' says \"field/lab/*.csv\"; paths are those inside the folder 'field' \
         | leave the front out: \"lab/*.csv\"",
    );
}

#[test]
fn what_is_not_toml_is_said_with_its_place() {
    let said = with("title     = \"Harrow Road reconstruction\"", "title     = Harrow Road");
    assert!(said[0].starts_with("2:13 this line is not TOML: "), "{said:?}");
}

#[test]
fn ten_mistakes_are_ten_findings() {
    let mut text = HARROW_ROAD.to_string();
    for (from, to) in [
        ("dates     = \"month-day-year\"", "dates     = \"american\""),
        ("money  = \"0.01 half up\"", "money  = \"0.01\""),
        ("\"58+32.10\"", "\"58.32\""),
        ("width = \"12 ft\"", "width = \"12\""),
        ("\"9.5 in\"", "\"9.5 psi\""),
        ("thickness = \"8 in\"", "thicknes = \"8 in\""),
        ("unit = \"each\"", "unit = \"barrel\""),
        ("price = 480.00", "price = -480.00"),
        ("2031-06-30", "2031-06-30T12:00:00"),
    ] {
        assert_eq!(text.matches(from).count(), 1, "'{from}'");
        text = text.replace(from, to);
    }
    let said = mistakes(&text);
    // The mistyped key is one that is not known and one that is missing.
    assert_eq!(said.len(), 10, "{said:#?}");
    let lines: Vec<u32> = said.iter().map(|s| s.split(':').next().unwrap().parse().unwrap()).collect();
    assert_eq!(lines, [5, 16, 22, 28, 42, 46, 51, 66, 68, 82]);
}

/// Whether a key belongs to another way of reckoning a material than the example's, `by volume`.
fn is_of_another_need(key: &Key) -> bool {
    let others = NEEDS.iter().filter(|needed| **needed != "by volume");
    let others = others.copied().chain(["by schedule", "by calendar", "of an earlier entry"]);
    matches!(key.need, Need::Depends(words) if others.into_iter().any(|needed| words.contains(needed)))
}

/// The examples of the table of keys, as one file.
fn example_file(keys: &[Key]) -> String {
    let mut plain = String::new();
    let mut tables = String::new();
    for key in keys.iter().filter(|key| !is_of_another_need(key)) {
        match (key.form, key.example) {
            (Form::Table(of) | Form::Tables(of), "") => {
                tables.push_str(&format!("\n{}\n{}", key.line(), example_file(of)));
            }
            _ => plain.push_str(&format!("{}\n", key.line())),
        }
    }
    plain + &tables
}

#[test]
fn the_examples_of_all_keys_together_are_a_contract() {
    let text = example_file(CONTRACT);
    let contract = load(&text).unwrap_or_else(|f| panic!("{:#?}\n{text}", said(&f)));
    assert_eq!(contract.set_aside.len(), 1);
    assert_eq!((contract.mixes.len(), contract.materials.len()), (1, 1));
    assert!(contract.tickets.is_some() && contract.supply.is_some());
}

/// Every key that the schema names, with its path, tables opened.
fn schema_keys(schema: &serde_json::Value, path: &str, found: &mut Vec<String>) {
    for nested in schema["anyOf"].as_array().into_iter().flatten() {
        schema_keys(nested, path, found);
    }
    if schema["type"] == "array" {
        schema_keys(&schema["items"], path, found);
    }
    for (name, property) in schema["properties"].as_object().into_iter().flatten() {
        found.push(format!("{path}.{name}"));
        schema_keys(property, &format!("{path}.{name}"), found);
    }
}

fn table_keys(keys: &[Key], path: &str, found: &mut Vec<String>) {
    for key in keys {
        found.push(format!("{path}.{}", key.name));
        if let Form::Table(of) | Form::Tables(of) | Form::Either(_, &(Form::Table(of) | Form::Tables(of))) = key.form {
            table_keys(of, &format!("{path}.{}", key.name), found);
        }
    }
}

#[test]
fn schema_and_reader_know_the_same_keys() {
    let (mut schemas, mut readers) = (Vec::new(), Vec::new());
    schema_keys(&schema(), "", &mut schemas);
    table_keys(CONTRACT, "", &mut readers);
    schemas.sort();
    readers.sort();
    assert_eq!(schemas, readers);
    assert!(readers.contains(&".lanes.width.at".to_string()));
    assert_eq!(schema()["additionalProperties"], false);
    assert_eq!(schema()["properties"]["sections"]["items"]["dependentRequired"]["strength"][0], "strength_age");
}

#[test]
fn every_key_is_described() {
    let page = keys_markdown();
    for key in CONTRACT {
        assert!(
            page.contains(&format!("`{}`", key.line())) || page.contains(&format!("| `{}` |", key.name)),
            "{}",
            key.name
        );
    }
    assert!(page.lines().filter(|l| l.starts_with('|')).all(|l| l.matches('|').count() == 6), "{page}");
}

#[test]
fn the_sample_contracts_load() {
    for text in [
        include_str!("../../sample-inputs/harrow-road/contract.toml"),
        include_str!("../../sample-inputs/quay-lane/contract.toml"),
        include_str!("../../sample-inputs/mill-street/contract.toml"),
    ] {
        load(text).unwrap_or_else(|f| panic!("{:#?}", said(&f)));
    }
}

#[test]
fn the_rule_sets_chosen_are_there_and_fit() {
    let contract = load(HARROW_ROAD).map_err(|f| said(&f)).unwrap();
    let (sets, _) = crate::rules::catalogue(&[]);
    let chosen = contract.chosen(&sets).unwrap();
    let ids: Vec<&str> = chosen.iter().map(|set| set.id.as_str()).collect();
    assert_eq!(ids[0], "example-stepped-average");
    assert_eq!(chosen.iter().map(|set| set.property).collect::<Vec<_>>(), [Property::Thickness, Property::Strength]);
    for (from, to, expected) in [
        (
            "example-stepped-average",
            "example-steped-average",
            "73:1 there is no rule set 'example-steped-average' | write 'example-stepped-average' if that is meant",
        ),
        (
            "example-stepped-average",
            "example-two-rule-strengths",
            "73:1 there is no rule set 'example-two-rule-strengths' | write 'example-two-rule-strength' if that is meant",
        ),
        (
            "example-stepped-average",
            "aci-318-19-strength",
            "73:1 the rule set 'aci-318-19-strength' does not judge thickness | choose one that does, or a rule set of your own",
        ),
        (
            "example-stepped-average",
            "example-stepped-average-si",
            "73:1 the rule set 'example-stepped-average-si' is in SI units, and the contract is not \
             | choose one in the contract's units; nothing is converted between the systems",
        ),
    ] {
        let contract = load(&HARROW_ROAD.replace(from, to)).map_err(|f| said(&f)).unwrap();
        assert_eq!(said(&contract.chosen(&sets).unwrap_err()), [expected]);
    }
}

/// Combined pay is of properties that are judged in percent, and an item takes a property once.
#[test]
fn combined_pay_needs_its_parts_and_stands_in_their_place() {
    let (sets, _) = crate::rules::catalogue(&[]);
    let with = |rules: &str, adjusted_by: &str| {
        let text = HARROW_ROAD
            .replace("strength  = \"example-two-rule-strength\"", rules)
            .replace("adjusted_by = [\"thickness\", \"strength\"]", adjusted_by);
        assert_ne!(text, HARROW_ROAD);
        load(&text).map_err(|f| said(&f)).unwrap().chosen(&sets).map(|all| all.len()).map_err(|f| said(&f))
    };
    let both = "strength = \"example-two-rule-strength\"\ncombined = \"example-product\"";
    assert_eq!(with(both, "adjusted_by = [\"combined\"]"), Ok(3));
    assert_eq!(
        with(both, "adjusted_by = [\"combined\", \"strength\"]"),
        Err(vec![
            "53:1 item 401 is adjusted by combined pay and by strength beside it, which is a part of it and would be counted \
             twice | take \"strength\" out of its 'adjusted_by', or \"combined\""
                .into()
        ])
    );
    assert_eq!(
        with("combined = \"example-product\"", "adjusted_by = [\"combined\"]"),
        Err(vec![
            "74:1 the rule set 'example-product' combines strength, but no rule set for strength is chosen | choose one under \
             [rules], or a rule set that combines without strength"
                .into()
        ])
    );
    assert_eq!(
        with(&both.replace("example-two-rule-strength", "aci-318-19-strength"), "adjusted_by = [\"combined\"]"),
        Err(vec![
            "75:1 the rule set 'example-product' combines strength, but 'aci-318-19-strength' changes no pay | choose one that \
             pays a percent of the unit price, or let the item be adjusted by each property"
                .into()
        ])
    );
}

#[test]
fn the_kinds_of_record_are_those_that_are_read() {
    assert_eq!(super::keys::KINDS, crate::intake::kind_words());
}

#[test]
fn money_outright_is_paid_on_one_item_only() {
    let mut contract = load(HARROW_ROAD).map_err(|f| said(&f)).unwrap();
    let (mut sets, _) = crate::rules::catalogue(&[]);
    let second = Item { number: "402".into(), ..contract.items[0].clone() };
    contract.items.insert(1, second);
    assert!(contract.chosen(&sets).is_ok(), "percents of two prices are two adjustments");
    let set = sets.iter_mut().find(|set| set.id == "example-stepped-average").unwrap();
    let Shape::Thickness(rule) = &mut set.shape else { panic!("a rule for thickness") };
    rule.pay.gives = Gives::MoneyPerArea;
    let said = said(&contract.chosen(&sets).unwrap_err());
    assert_eq!(said.len(), 1);
    assert!(said[0].contains("gives money outright: it would be paid twice"), "{said:?}");
}

/// Below its limits this rule pays percents, and above them money: that is paid once as well.
#[test]
fn money_outright_above_a_band_is_seen() {
    let mut contract = load(HARROW_ROAD).map_err(|f| said(&f)).unwrap();
    let (mut sets, _) = crate::rules::catalogue(&[]);
    contract.rules.insert(Property::Air, ("iowa-2-34-air".into(), 73));
    contract.items[0].adjusted_by.push(Property::Air);
    let second = Item { number: "402".into(), ..contract.items[0].clone() };
    contract.items.insert(1, second);
    assert!(contract.chosen(&sets).is_ok());
    let set = sets.iter_mut().find(|set| set.id == "iowa-2-34-air").unwrap();
    let Shape::Band(rule) = &mut set.shape else { panic!("a rule for fresh concrete") };
    rule.above.as_mut().unwrap().gives = Gives::MoneyPerArea;
    assert!(said(&contract.chosen(&sets).unwrap_err())[0].contains("'iowa-2-34-air' gives money outright"));
}

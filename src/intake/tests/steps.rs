//! Sheets of the steps below, in and after the slab, as they come.

use super::*;
use crate::intake::{Bar, Step, Surface};

fn of(file: &str, rows: &[&str]) -> Intake {
    let intake = understand(vec![sheet(file, "1", rows)], &setting());
    for sheet in &intake.sheets {
        assert!(sheet.rows.closes(), "{:?}", sheet.rows);
    }
    intake
}

fn said(intake: &Intake) -> Vec<&str> {
    intake.findings.iter().map(|f| f.message.as_str()).collect()
}

#[test]
fn an_operation_column_says_the_step_of_each_row() {
    let row = |what: &str| format!("{what} | {DAY} | NB-1 | 10+00 | 12+00 | 14");
    let rows = [row("Reclaiming"), row("Trimmed to string line"), row("Sawing and sealing")];
    let mut all = vec!["Operation | Date | Lane | From station | To station | Depth (in)"];
    all.extend(rows.iter().map(String::as_str));
    let intake = of("grade.csv", &all);
    let steps: Vec<Step> = intake.records.works.iter().map(|w| w.step).collect();
    assert_eq!(steps, [Step::Reclaim, Step::Trim]);
    assert_eq!(intake.sheets[0].rows.refused, 1, "a row that is two steps is read as neither");
    assert!(said(&intake)[0].contains("names no step of the work, or two"), "{:?}", said(&intake));
}

#[test]
fn a_curing_log_is_work_and_a_placement_log_stays_placements_whatever_its_name() {
    let curing = format!("{DAY} | NB-1 | 10+00 | 12+00 | 15:30 | white pigmented | 140");
    let heads = "Date | Lane | From | To | Start | Compound | Coverage (ft2/gal)";
    let intake = of("crew/curing log July.csv", &[heads, &curing]);
    let [work] = intake.records.works.as_slice() else { panic!("{:?}", said(&intake)) };
    assert_eq!((work.step, work.rate.as_ref().map(|r| r.value)), (Step::Cure, Some(dec!(140))));
    assert!(intake.records.placements.is_empty());
    let placed = format!("P-1 | {DAY} | NB-1 | 10+00 | 12+00 | P-4000");
    let intake = of("paving and curing July.csv", &["Placement | Date | Lane | From | To | Mix", &placed]);
    assert_eq!((intake.records.placements.len(), intake.records.works.len()), (1, 0), "{:?}", said(&intake));
}

#[test]
fn a_joint_has_one_station_and_a_stretch_two_in_one_cell_or_in_two() {
    let row = |station: &str| format!("{DAY} | NB-1 | {station} | 3 1/4");
    let (one, two) = (row("10+15"), row("10+30 to 11+05"));
    let intake = of("saw log.csv", &["Date | Lane | Station | Depth of cut (in)", &one, &two]);
    let ends: Vec<bool> = intake.records.works.iter().map(|w| w.from.value == w.to.value).collect();
    assert_eq!(ends, [true, false], "{:?}", said(&intake));
    assert_eq!(intake.records.works[0].depth.as_ref().unwrap().value, dec!(3.25));
}

#[test]
fn a_log_whose_words_name_no_step_is_read_as_placements_as_it_always_was() {
    let row = format!("{DAY} | NB-1 | 10+00 | 12+00");
    let intake = of("log.csv", &["Date | Lane | From | To", &row]);
    assert_eq!((intake.records.placements.len(), intake.records.works.len()), (1, 0));
}

#[test]
fn acceptance_and_result_of_a_step_are_kept() {
    let row = format!("{DAY} | NB-1 | 10+00 | 12+00 | 4.1 | {DAY} | failed");
    let heads = "Date | Lane | From station | To station | Base depth (in) | Date accepted | Result";
    let intake = of("millings.csv", &[heads, &row]);
    let [work] = intake.records.works.as_slice() else { panic!("{:?}", said(&intake)) };
    assert_eq!((work.step, work.passed, work.accepted.is_some()), (Step::Base, Some(false), true));
    let odd = row.replace("failed", "so so");
    let refused = of("millings.csv", &[heads, &odd]);
    assert!(said(&refused)[0].contains("does not say whether it passed"), "{:?}", said(&refused));
}

#[test]
fn a_density_report_is_read_with_its_retest() {
    let rows = [
        format!("41 | {DAY} | NB-1 | 10+44 6' Rt | 2208 | 1st | 122.4 | 23.0 | 99.5 | 99.0 |"),
        format!("7 | {DAY} | NB-1 | 10+44 | 2208 | 1st | 123.6 | 24.2 | 99.5 | 99.0 | 41"),
    ];
    let heads = "Test # | Date | Lane | Sta | Proctor | Lift | Wet density (pcf) | Moisture % | Dry density (pcf) | Percent compaction | Retest of";
    let intake = of("subgrade density.csv", &[heads, &rows[0], &rows[1]]);
    let [first, again] = intake.records.densities.as_slice() else { panic!("{:?}", said(&intake)) };
    assert_eq!((first.layer, &*first.number.value), (Surface::Subgrade, "41"));
    assert_eq!(first.offset.as_ref().map(|o| &*o.value), Some("6' Rt"));
    assert_eq!(again.retest_of.as_ref().map(|o| &*o.value), Some("41"));
    assert_eq!(again.wet.as_ref().unwrap().value, dec!(123.6));
}

#[test]
fn a_density_test_without_a_layer_or_a_density_is_refused_with_what_it_lacks() {
    let row = format!("1 | {DAY} | NB-1 | 10+00 | 120 |");
    let heads = "Test | Date | Lane | Station | Wet density (pcf) | Moisture (%)";
    let without_moisture = of("base density.csv", &[heads, &row]);
    assert!(without_moisture.records.densities.is_empty());
    let no_layer = of("density.csv", &[heads, &format!("{row} 12")]);
    assert!(
        said(&no_layer)[0].contains("nothing says whether the subgrade or the base was tested"),
        "{:?}",
        said(&no_layer)
    );
}

#[test]
fn compaction_curves_contradict_each_other_where_one_material_has_two() {
    let heads = "Curve | Maximum dry density (pcf) | Optimum moisture (%) | Specific gravity";
    let intake =
        of("curves.csv", &[heads, "2208 | 100.5 | 21.0 | 2.68", "2207 | 99.0 | 22.0 |", "2208 | 101.5 | 21.0 |"]);
    assert_eq!(intake.records.compactions.len(), 2);
    assert_eq!(intake.findings[0].code, Code::Duplicate, "{:?}", said(&intake));
}

#[test]
fn bars_may_be_tilted_either_way() {
    let row = format!("{DAY} | NB-1 | 10+15 | 3 | 4 3/4 | -0.6 | 0.1");
    let heads =
        "Date | Lane | Joint station | Bar no | Depth to centre (in) | Vertical tilt (in) | Horizontal skew (in)";
    let intake = of("dowel scan.csv", &[heads, &row]);
    let [bar] = intake.records.bars.as_slice() else { panic!("{:?}", said(&intake)) };
    assert_eq!((bar.bar, bar.tilt.as_ref().unwrap().value), (Bar::Dowel, dec!(-0.6)));
    assert_eq!(bar.depth.as_ref().unwrap().value, dec!(4.75));
    let unnamed = of("scan.csv", &[heads, &row]);
    assert!(said(&unnamed)[0].contains("dowels or tie bars"), "{:?}", said(&unnamed));
}

#[test]
fn weather_is_read_in_the_contracts_units_and_a_fresh_test_stays_one() {
    let row = format!("{DAY} | 14:00 | 80 | 50 | 19.3 | 87 | 0.24");
    let heads = "Date | Time | Air (F) | Humidity (%) | Wind (km/h) | Concrete (F) | Evaporation (lb/ft2/h)";
    let intake = of("weather.csv", &[heads, &row]);
    let [weather] = intake.records.weather.as_slice() else { panic!("{:?}", said(&intake)) };
    // 19.3 km/h / 1.609344.
    assert_eq!(weather.wind.as_ref().unwrap().value.round_dp(3), dec!(11.992));
    let fresh = format!("F-1 | {DAY} | 1.5 | 6.1 | 81");
    let intake = of("fresh.csv", &["Test no | Date | Slump (in) | Air (%) | Temp (F)", &fresh]);
    assert_eq!((intake.records.fresh.len(), intake.records.weather.len()), (1, 0), "{:?}", said(&intake));
}

#[test]
fn a_logger_says_where_it_lies_once_and_a_curve_has_no_cast_day() {
    let rows = [format!("SB-1/7 | {DAY} | 8:00 | 78.5 | P-3"), format!("SB-1/7 | {DAY} | 9:00 | 80.5 |")];
    let intake = of("logger.csv", &["Sensor | Date | Time | Temp (F) | Placement", &rows[0], &rows[1]]);
    assert_eq!(intake.records.logged.len(), 2, "{:?}", said(&intake));
    let curve = of("curve.csv", &["Specimen | Mix | Maturity (C-h) | Strength (psi)", "1 | P-4000 | 1000 | 2500"]);
    let [specimen] = curve.records.calibrated.as_slice() else { panic!("{:?}", said(&curve)) };
    // 1,000 C h are 1,800 F h.
    assert_eq!(specimen.factor.as_ref().unwrap().value, dec!(1800));
    let bare = of("curve.csv", &["Specimen | Mix | Maturity | Strength (psi)", "1 | P-4000 | 1000 | 2500"]);
    assert_eq!(bare.findings[0].code, Code::UnitUnknown, "hours in which degrees?");
}

#[test]
fn a_logger_may_give_day_and_time_in_one_cell() {
    let heads = "Logger | Timestamp | Temperature (F)";
    let rows = [heads, "A | 5/14/2031 13:05 | 88.2", "A | 5/14/2031 1:05 PM | 88.2", "A | 5/14/2031 | 88"];
    let intake = of("export.csv", &rows);
    let times: Vec<String> = intake.records.logged.iter().map(|l| l.time.value.format("%H:%M").to_string()).collect();
    assert_eq!(times, ["13:05"], "the same reading twice is one");
    assert_eq!(intake.sheets[0].rows.refused, 1);
    assert!(said(&intake).iter().any(|s| s.contains("holds no time of day behind its date")), "{:?}", said(&intake));
}

#[test]
fn a_density_test_without_a_lane_stands_for_all_lanes_of_the_one_alignment() {
    let row = format!("3 | {DAY} | 12+00 | 118.2 | 11");
    let intake = of("subgrade density.csv", &["Test | Date | Station | Dry density (pcf) | Moisture (%)", &row]);
    let [test] = intake.records.densities.as_slice() else { panic!("{:?}", said(&intake)) };
    assert_eq!(test.lanes.value.len(), 2);
    let two = Setting {
        alignments: vec![
            setting().alignments.remove(0),
            Alignment { name: "SB".into(), ..setting().alignments.remove(0) },
        ],
        ..setting()
    };
    let refused = understand(
        vec![sheet("subgrade density.csv", "1", &["Test | Date | Station | Dry density (pcf) | Moisture (%)", &row])],
        &two,
    );
    assert!(refused.records.densities.is_empty() && refused.sheets[0].rows.refused == 1, "{:?}", said(&refused));
}

#[test]
fn a_sheet_of_traffic_says_row_by_row_where_it_was_let_on_and_shut_out() {
    let row = |status: &str| format!("{DAY} | NB-1 | 10+00 | 12+00 | {status}");
    let intake =
        of("traffic.csv", &["Date | Lane | From | To | Status", &row("open to local traffic"), &row("closed")]);
    let steps: Vec<Step> = intake.records.works.iter().map(|w| w.step).collect();
    assert_eq!(steps, [Step::Open, Step::Close], "{:?}", said(&intake));
}

#[test]
fn where_tie_bars_lie_is_no_step_and_setting_them_is() {
    let lie = of("tie bars.csv", &["Date | Lane | Station | Depth (in)", &format!("{DAY} | NB-1 | 10+05 | 4.5")]);
    assert_eq!((lie.records.bars.len(), lie.records.works.len()), (1, 0), "{:?}", said(&lie));
    let set =
        of("tie bars.csv", &["Date | Lane | From | To | Bars set", &format!("{DAY} | NB-1 | 10+00 | 12+00 | 80")]);
    assert_eq!((set.records.bars.len(), set.records.works.len()), (0, 1), "{:?}", said(&set));
}

#[test]
fn photographs_are_referred_to_by_number_day_and_place() {
    let row = format!("IMG-12 | {DAY} | NB-1 | 10+20 | texture behind the paver");
    let intake = of("photos.csv", &["Photo | Date | Lane | Station | Subject", &row]);
    let [photo] = intake.records.documents.as_slice() else { panic!("{:?}", said(&intake)) };
    assert!(photo.between.as_ref().is_some_and(|(a, b)| a.value == b.value));
}

#[test]
fn the_contract_file_can_say_which_step_a_sheet_is_of() {
    let row = format!("{DAY} | NB-1 | 10+00 | 12+00");
    let every_row = [("step".into(), "cure".into())].into();
    let rule = SheetRule { kind: Some("work".into()), every_row, ..rule("log.csv") };
    let setting = Setting { sheets: vec![rule], ..setting() };
    let intake = understand(vec![sheet("log.csv", "1", &["Date | Lane | From | To", &row])], &setting);
    assert_eq!(intake.records.works.iter().map(|w| w.step).collect::<Vec<_>>(), [Step::Cure], "{:?}", said(&intake));
}

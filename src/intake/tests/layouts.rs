//! Layouts: what is written once for a group of rows, ditto marks, stretches with sides, several tables on one sheet,
//! forms on their side, and what a name of a sheet or file says.

use super::*;

#[test]
fn a_day_written_once_at_the_top_of_each_group_is_carried_down_to_its_end() {
    let intake = read_rows(&[
        "Ticket | Date | CY",
        "1 | 5/14/2031 | 8",
        "2 | | 8",
        "3 | | 9",
        "Day total | | 25",
        "4 | 5/15/2031 | 8",
        "5 | | 8",
    ]);
    let note = only(&intake, Code::CarriedDown);
    assert!(note.message.contains("3 rows take it"), "{}", note.message);
    let days: Vec<String> = intake.records.loads.iter().map(|l| l.date.value.to_string()).collect();
    assert_eq!(days, ["2031-05-14", "2031-05-14", "2031-05-14", "2031-05-15", "2031-05-15"]);
    let third = &intake.records.loads[2].date;
    assert_eq!(third.typed.as_deref(), Some("5/14/2031 (carried down from B2)"));
    assert_eq!(third.at.address(), "B4");
}

#[test]
fn a_day_is_not_carried_across_a_total_a_blank_row_or_a_heading() {
    for between in ["Day total | | 16", "", "Lane NB-1", "Ticket | Date | CY"] {
        let intake = read_rows(&["Ticket | Date | CY", "1 | 5/14/2031 | 8", "2 | | 8", between, "3 | | 9", "4 | | 9"]);
        assert_eq!(intake.records.loads.len(), 2, "{between}");
        assert_eq!(intake.sheets[0].rows.refused, 2, "{between}");
    }
}

#[test]
fn a_day_that_was_forgotten_is_not_carried() {
    for rows in [
        ["1 | 5/14/2031 | 8", "2 | 5/14/2031 | 8", "3 | | 8", "4 | | 8"],
        ["1 | 5/12/2031 | 8", "2 | 5/13/2031 | 8", "3 | | 8", "4 | 5/15/2031 | 8"],
    ] {
        let mut all = vec!["Ticket | Date | CY"];
        all.extend(rows);
        let intake = read_rows(&all);
        assert!(codes(&intake).iter().all(|c| *c == Code::CellMissing), "{:?}", codes(&intake));
        assert!(intake.sheets[0].rows.refused > 0);
    }
}

#[test]
fn a_lane_is_carried_and_a_number_never() {
    let intake = read_rows(&[
        "Core No. | Date | Lane | Station | Length (in)",
        "C-1 | 5/14/2031 | NB-1 | 12+00 | 9.1",
        "C-2 | | | 13+00 | 9.2",
        "C-3 | | | 14+00 | ",
        " | | | 15+00 | 9.2",
    ]);
    assert_eq!(intake.records.cores.len(), 2);
    assert_eq!(intake.records.cores[1].lane.typed.as_deref(), Some("NB-1 (carried down from C2)"));
    assert_eq!(codes(&intake).iter().filter(|c| **c == Code::CellMissing).count(), 2);
}

#[test]
fn ditto_marks_repeat_words_days_and_lanes() {
    let intake = read_rows(&[
        "Core No. | Date | Lane | Station | Length (in) | Remarks",
        "C-1 | 5/14/2031 | NB-1 | 12+00 | 9.1 | by the bridge",
        "C-2 | \" | ditto | 13+00 | 9.2 | same",
        "C-3 | do. | -\"- | 14+00 | 9.2 | ",
    ]);
    assert_eq!(codes(&intake), []);
    let third = &intake.records.cores[2];
    assert_eq!(third.date.typed.as_deref(), Some("5/14/2031 (ditto mark for B2)"));
    assert_eq!(third.lane.value, LaneId(0));
    assert_eq!(&*intake.records.cores[1].remarks.as_ref().unwrap().value, "by the bridge");
}

#[test]
fn ditto_marks_are_refused_for_measurements_and_numbers_and_under_nothing() {
    let intake = read_rows(&[
        "Ticket | Date | CY",
        "\" | 5/14/2031 | 8",
        "2 | 5/14/2031 | \"",
        "Total | | 16",
        "3 | \" | 8",
        "4 | | 8",
        "5 | \" | 8",
    ]);
    assert_eq!(intake.records.loads, []);
    let said = |words: &str| intake.findings.iter().filter(|f| f.message.contains(words)).count();
    assert_eq!(said("two records cannot have one number"), 1, "{:#?}", intake.findings);
    assert_eq!(said("a measurement is not repeated by a mark"), 1);
    assert_eq!(said("the row above it holds no value"), 2);
}

const STRETCH: &str = "Placement | Date | Lane | Stations";

#[test]
fn lanes_may_stand_behind_a_stretch() {
    for (cell, lanes) in [
        ("12+00 to 14+50 NB-1 & NB-2", vec![LaneId(0), LaneId(1)]),
        ("12+00 - 14+50 (NB-2)", vec![LaneId(1)]),
        ("Sta 12+00 TO 14+50, inside.", vec![LaneId(0)]),
    ] {
        let with = read_rows(&[STRETCH, &format!("1 | {DAY} | | {cell}")]);
        let without = read_rows(&["Placement | Date | Stations", &format!("1 | {DAY} | {cell}")]);
        for intake in [with, without] {
            assert_eq!(codes(&intake), [], "{cell}");
            let placement = &intake.records.placements[0];
            assert_eq!((&placement.lanes.value, placement.to.value.label), (&lanes, dec!(1450)));
            assert_eq!(placement.lanes.typed.as_deref(), Some(cell));
        }
    }
}

#[test]
fn lanes_behind_a_stretch_that_are_unknown_or_contradict_are_refused() {
    let intake = read_rows(&[
        STRETCH,
        &format!("1 | {DAY} | NB-1 | 12+00 to 14+50 NB-2"),
        &format!("2 | {DAY} | NB-1 | 12+00 to 14+50 Lt"),
        &format!("3 | {DAY} | NB-1 | 12+00 to 14+50 inside"),
    ]);
    assert_eq!(intake.records.placements.len(), 1);
    assert!(intake.findings[0].message.contains("names NB-2 behind its stations, and the row's lane is NB-1"));
    assert!(intake.findings[1].remedy.contains("also = [\"Lt\"]"), "{:?}", intake.findings);
}

#[test]
fn a_stretch_of_bare_distances_needs_its_unit() {
    let right = read_rows(&["Placement | Date | Lane | Stations (ft)", &format!("1 | {DAY} | NB-1 | 1200-1450")]);
    assert_eq!(right.records.placements[0].to.value.label, dec!(1450));
    let wrong = read_rows(&[STRETCH, &format!("1 | {DAY} | NB-1 | 1200-1450")]);
    only(&wrong, Code::UnitUnknown);
}

#[test]
fn titles_between_rows_may_name_a_lane_or_a_day_alone() {
    let intake = read_rows(&[
        "Core No. | Station | Length (in)",
        "Lane NB-1",
        "July 3, 2030",
        "C-1 | 12+00 | 9.1",
        "NB-2 cores",
        "C-2 | 12+00 | 9.1",
        DAY,
        "C-3 | 12+00 | 9.1",
    ]);
    let seen: Vec<(u16, String)> =
        intake.records.cores.iter().map(|c| (c.lane.value.0, c.date.value.to_string())).collect();
    let july = || String::from("2030-07-03");
    assert_eq!(seen, [(0, july()), (1, july()), (1, String::from("2031-05-14"))], "{:#?}", intake.findings);
    assert_eq!(intake.sheets[0].rows.heading, 5);
}

#[test]
fn loads_of_two_lanes_side_by_side_are_two_tables() {
    for gap in ["| |", "|"] {
        let rows = [
            format!("Delivery record | | | {gap} "),
            format!("Date: 5/14/2031 | | {gap} "),
            format!("Lane: NB-1 | | {gap} Lane: NB-2"),
            format!("Ticket | Qty CY | Truck {gap} Ticket | Qty CY | Truck"),
            format!("1 | 8 | T1 {gap} 11 | 7 | T4"),
            format!("2 | 8 | T2 {gap} 12 | 7.5 | T5"),
            format!("Total | 16 | {gap} 13 | 7 | T6"),
            format!(" | | {gap} Total | 21.5"),
        ];
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        let intake = read_rows(&rows);
        assert_eq!(codes(&intake), [], "{gap}: {:#?}", intake.findings);
        let seen: Vec<(&str, u16)> =
            intake.records.loads.iter().map(|l| (&*l.ticket.value, l.lane.as_ref().unwrap().value.0)).collect();
        assert_eq!(seen, [("1", 0), ("2", 0), ("11", 1), ("12", 1), ("13", 1)], "{gap}");
        assert_eq!(intake.sheets.len(), 2);
        assert_eq!((intake.sheets[0].rows.used, intake.sheets[0].rows.total), (2, 1));
        assert_eq!((intake.sheets[1].rows.used, intake.sheets[1].rows.total), (3, 1));
    }
}

#[test]
fn cores_beside_cylinders_keep_their_own_headings_and_addresses() {
    let intake = read_rows(&[
        "Core No. | Date | Lane | Station | Length (in) | | Cylinder No. | Date Cast | Strength (psi)",
        &format!("C-1 | {DAY} | NB-1 | 12+00 | 9.1 | | 14-A | {DAY} | 4500"),
        &format!(" | | | | | | 14-B | {DAY} | 4600"),
    ]);
    assert_eq!(codes(&intake), []);
    assert_eq!((intake.records.cores.len(), intake.records.specimens.len()), (1, 2));
    assert_eq!(intake.records.specimens[1].number.at.address(), "G3");
    assert_eq!(intake.sheets[0].kinds, ["cores"]);
    assert_eq!(intake.sheets[1].columns.unwrap().0, 6);
}

#[test]
fn a_title_over_one_part_does_not_speak_of_the_other() {
    let intake = read_rows(&["Date: 5/14/2031", "Ticket | Qty CY | | Ticket | Qty CY", "1 | 8 | | 11 | 7"]);
    assert_eq!(intake.records.loads.len(), 1);
    assert!(only(&intake, Code::CellMissing).message.contains("nothing says the date"));
}

#[test]
fn a_blank_column_within_one_table_does_not_part_it() {
    let intake = read_rows(&[
        "Core No. | Date | Lane | Station | | Length (in) | Remarks",
        &format!("C-1 | {DAY} | NB-1 | 12+00 | | 9.1 | ok"),
    ]);
    assert_eq!((intake.records.cores.len(), intake.sheets.len()), (1, 1));
}

fn day_of_loads(setting: &Setting, file: &str, sheet_name: &str) -> Option<(String, Option<Box<str>>)> {
    let raw = sheet(file, sheet_name, &["Ticket | Qty CY", "1 | 8", "2 | 9"]);
    let intake = read_with(setting, vec![raw]);
    intake.records.loads.first().map(|l| (l.date.value.to_string(), l.date.typed.clone()))
}

#[test]
fn the_day_may_stand_in_the_name_of_the_sheet_or_file() {
    let mut setting = setting();
    setting.through = day("2032-12-31");
    for (file, name) in [
        ("loads.xlsx", "2031-07-03"),
        ("loads.xlsx", "Jul 3 2031"),
        ("loads.xlsx", "7-3-2031"),
        ("loads.xlsx", "7-3-31"),
        ("loads.xlsx", "Thu July 3, 2031"),
        ("loads 2031-07-03.xlsx", "Sheet1"),
        ("loads_2031_07_03.csv", "Sheet1"),
    ] {
        assert_eq!(day_of_loads(&setting, file, name).map(|d| d.0).as_deref(), Some("2031-07-03"), "{file} {name}");
    }
    let typed = day_of_loads(&setting, "loads.xlsx", "Jul 3 2031").unwrap().1;
    assert_eq!(typed.as_deref(), Some("2031-07-03 (name of the sheet)"));
    for name in ["7-3-41", "25-7-2031", "2031-07-03 to 2031-07-09", "July 3", "July", "3"] {
        assert_eq!(day_of_loads(&setting, "loads.xlsx", name), None, "{name}");
    }
    setting.window = Some((day("2031-04-01"), day("2031-10-31")));
    assert_eq!(day_of_loads(&setting, "loads.xlsx", "July 3").unwrap().0, "2031-07-03");
    setting.window = Some((day("2031-04-01"), day("2032-10-31")));
    assert_eq!(day_of_loads(&setting, "loads.xlsx", "July 3"), None);
}

#[test]
fn a_workbook_per_placement_names_its_placement_and_lane() {
    let raw = sheet("loads NB-1 placement 12 7-3-2030.xlsx", "Sheet1", &["Ticket | Qty CY", "1 | 8"]);
    let intake = read_with(&setting(), vec![raw]);
    let load = &intake.records.loads[0];
    assert_eq!(&*load.placement.as_ref().unwrap().value, "12");
    assert_eq!(load.lane.as_ref().unwrap().typed.as_deref(), Some("NB-1 (name of the file)"));
    let raw = sheet("loads NB-1 and NB-2.xlsx", "Sheet1", &["Ticket | Date | Qty CY", &format!("1 | {DAY} | 8")]);
    assert!(read_with(&setting(), vec![raw]).records.loads[0].lane.is_none());
}

/// The lines of a remedy that are pasted, parsed as the contract file is.
fn pasted(remedy: &str) -> toml::Table {
    let at = remedy.find("[[sheets]]").unwrap_or_else(|| panic!("{remedy}"));
    remedy[at..].parse().unwrap_or_else(|e| panic!("{e}: {remedy}"))
}

fn said(remedy: &str) -> SheetRule {
    let table = pasted(remedy);
    let lines = table["sheets"].as_array().unwrap()[0].as_table().unwrap().clone();
    let words = |key: &str| -> std::collections::BTreeMap<String, String> {
        let pairs = lines.get(key).and_then(toml::Value::as_table).cloned().unwrap_or_default();
        pairs.into_iter().map(|(k, v)| (k, v.as_str().unwrap().to_string())).collect()
    };
    SheetRule {
        sheet: lines.get("sheet").map(|s| s.as_str().unwrap().to_string()),
        kind: lines.get("kind").map(|s| s.as_str().unwrap().to_string()),
        heading_row: lines.get("heading_row").map(|r| u32::try_from(r.as_integer().unwrap()).unwrap()),
        columns: words("columns"),
        units: words("units").into_iter().map(|(k, v)| (k, Unit::named(&v).unwrap())).collect(),
        every_row: words("every_row"),
        ..rule(lines["file"].as_str().unwrap())
    }
}

#[test]
fn the_lines_proposed_for_an_unknown_sheet_read_it_once_they_are_pasted() {
    let cores: &[&str] = &[
        "Drilled by the laboratory",
        "Mark | When | Where | Which | Caliper thing (in) | Bit",
        "C-1 | 5/14/2031 | 12+00 | NB-1 | 9.1 | x",
        "C-2 | 5/14/2031 | 13+00 | NB-2 | 9.2 | x",
    ];
    let without_lane: &[&str] =
        &["Core No. | When | Where | Length (in)", "C-1 | 5/14/2031 | 12+00 | 9.1", "C-2 | 5/14/2031 | 13+00 | 9.2"];
    let no_unit: &[&str] = &["Mark | When | Where | Which | Size", "C-1 | 5/14/2031 | 12+00 | NB-1 | 9.1"];
    for rows in [cores, without_lane, no_unit] {
        let mut setting = setting();
        let mut rounds = 0;
        let intake = loop {
            let intake = read_with(&setting, vec![sheet("cores.xlsx", "Sheet1", rows)]);
            let open = intake.findings.iter().find(|f| f.open && f.remedy.contains("[[sheets]]"));
            let Some(finding) = open else { break intake };
            setting.sheets.push(said(&finding.remedy));
            rounds += 1;
            assert!(rounds < 4, "{finding:#?}");
        };
        assert!(rounds > 0);
        assert_eq!(
            intake.records.cores.len(),
            rows.iter().filter(|r| r.starts_with("C-")).count(),
            "{:#?}",
            intake.findings
        );
    }
}

#[test]
fn how_a_sheet_was_understood_stands_beside_its_records() {
    let intake = read_rows(&[
        "Lane: NB-1",
        "Core No. | Date | Station | Length | Bit",
        " | | | in | ",
        "C-1 | 5/14/2031 | 12+00 | 9.1 | x",
    ]);
    let table = &intake.sheets[0].tables[0];
    assert_eq!((table.kinds.as_slice(), table.headings), (&["cores"][..], (2, 3)));
    let length = &table.columns[3];
    assert_eq!((&*length.letters, length.field, length.unit_from), ("D", "length", UnitFrom::UnitsRow));
    assert_eq!((table.given[0].field, &*table.given[0].value, &*table.given[0].from), ("lane", "NB-1", "title cell"));
    assert_eq!(table.unused, [(String::from("E"), String::from("'Bit'"))]);
}

#[test]
fn a_laboratorys_form_on_its_side_is_read_by_columns() {
    let intake = read_rows(&[
        "Core report",
        "Lane: NB-1",
        "Core No. | C-1 | C-2 | C-3",
        "Date | 5/14/2031 | 5/14/2031 | 5/14/2031",
        "Station | 12+00 | 13+00 | bad",
        "Length (in) | 9.1 | 9.2 | 9.0",
        "Remarks | | by the bridge | ",
    ]);
    assert_eq!(codes(&intake), [Code::CellUnreadable], "{:#?}", intake.findings);
    let cores = &intake.records.cores;
    assert_eq!(cores.len(), 2);
    assert_eq!((cores[1].readings[0].value, cores[1].readings[0].at.address()), (dec!(9.2), String::from("C6")));
    assert!(matches!(intake.findings[0].place, Place::Cell(at) if at.address() == "D5"));
    let sheet = &intake.sheets[0];
    assert_eq!((sheet.counts, sheet.rows.seen, sheet.rows.used, sheet.rows.refused), ("columns", 4, 2, 1));
    assert_eq!(intake.unused[0].at.address(), "D3");
}

#[test]
fn several_forms_below_each_other_are_read_each() {
    let form = |n: u32, station: &str| -> Vec<String> {
        vec![
            format!("Core No.: | C-{n} | Date: | 5/14/2031"),
            format!("Lane: NB-1 | | Station: {station}"),
            format!("Length (in) | 9.{n} | Sketch"),
        ]
    };
    let rows: Vec<String> = [vec![String::from("Core record")], form(1, "12+00"), form(2, "13+00")].concat();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let intake = read_rows(&rows);
    assert_eq!(codes(&intake), [], "{:#?}", intake.findings);
    let cores = &intake.records.cores;
    assert_eq!(cores.len(), 2);
    assert_eq!((&*cores[1].number.value, cores[1].number.at.address()), ("C-2", String::from("B5")));
    assert_eq!((cores[1].station.value.label, cores[1].station.at.address()), (dec!(1300), String::from("C6")));
    assert_eq!(intake.sheets[0].counts, "forms");
}

#[test]
fn blocks_on_their_side_below_each_other_are_read_each() {
    let intake = read_rows(&[
        "Core No. | C-1 | C-2",
        "Date | 5/14/2031 | 5/14/2031",
        "Lane | NB-1 | NB-1",
        "Station | 12+00 | 13+00",
        "Length (in) | 9.1 | 9.2",
        "",
        "Core No. | C-3",
        "Date | 5/15/2031",
        "Lane | NB-2",
        "Station | 12+00",
        "Length (in) | 9.3",
    ]);
    assert_eq!(codes(&intake), [], "{:#?}", intake.findings);
    assert_eq!(intake.records.cores.len(), 3);
    assert_eq!(intake.records.cores[2].station.at.address(), "B10");
}

#[test]
fn a_cover_page_is_no_form() {
    let intake = read_rows(&["Contract | 31-07", "Owner | the county", "Date | 5/14/2031", "Prepared by | the office"]);
    assert_eq!(codes(&intake), []);
    assert_eq!(intake.sheets[0].rows.heading, 4);
}

#[test]
fn breaks_of_several_ages_on_one_row_are_refused_and_of_one_age_are_read_with_it() {
    let one = read_rows(&["Cylinder No. | Date Cast | 28-day psi", &format!("14 | {DAY} | 4500")]);
    let specimen = &one.records.specimens[0];
    assert_eq!(specimen.age.as_ref().map(|a| a.value), Some(dec!(28)));
    assert_eq!(specimen.age.as_ref().unwrap().typed.as_deref(), Some("28 (heading '28-day psi')"));
    let two =
        read_rows(&["Cylinder No. | Date Cast | 7-day (psi) | 28 Day Str (psi)", &format!("14 | {DAY} | 3000 | 4500")]);
    assert_eq!(two.records.specimens, []);
    assert!(only(&two, Code::CellMissing).message.contains("several specimens on one row"), "{:#?}", two.findings);
}

#[test]
fn headings_may_run_over_three_rows() {
    let intake = read_rows(&[
        "Core | Date | Lane | Station | Core",
        "No. | | | | Length",
        " | | | | (in)",
        &format!("C-1 | {DAY} | NB-1 | 12+00 | 9.1"),
    ]);
    assert_eq!(intake.records.cores.len(), 1, "{:#?}", intake.findings);
    let intake = read_rows(&[
        "Core | Date | Lane | Station | Average",
        "Mark | of | | of | Core",
        " | Coring | | Core | Length (in)",
        &format!("C-1 | {DAY} | NB-1 | 12+00 | 9.1"),
    ]);
    assert_eq!(codes(&intake), []);
    assert_eq!((intake.records.cores.len(), intake.sheets[0].rows.heading), (1, 3));
}

#[test]
fn footers_page_numbers_and_rows_numbered_by_the_form_are_no_records() {
    let intake = read_rows(&[
        "No. | Ticket | Date | Qty CY",
        &format!("1 | 88213 | {DAY} | 8"),
        &format!("2 | 88214 | {DAY} | 9"),
        "3",
        "4",
        " | Day's total | | 17",
        "Page 1 of 3",
        "Inspector: J. Doe | | Date: | @47990",
        "Signed ____________",
    ]);
    assert_eq!(codes(&intake), [Code::ColumnUnused], "{:#?}", intake.findings);
    let rows = intake.sheets[0].rows;
    assert_eq!((rows.used, rows.blank, rows.total, rows.heading, rows.refused), (2, 2, 1, 4, 0));
}

#[test]
fn a_number_between_records_is_a_record_that_was_not_filled_in() {
    let intake = read_rows(&[
        "Core No. | Date | Lane | Station | Length (in)",
        "1",
        &format!("2 | {DAY} | NB-1 | 12+00 | 9.1"),
        "3",
        "4",
    ]);
    assert_eq!((intake.sheets[0].rows.refused, intake.sheets[0].rows.blank), (1, 2));
}

#[test]
fn amounts_carried_forward_are_compared_and_the_sums_run_on() {
    let intake = read_rows(&[
        "Ticket | Date | CY",
        &format!("1 | {DAY} | 8"),
        "c/f | | 8",
        "b/f | | 8",
        &format!("2 | {DAY} | 9"),
        "Running total | | 17",
        "Total | | 17",
    ]);
    assert_eq!(codes(&intake), []);
    assert_eq!((intake.sheets[0].rows.total, intake.records.loads.len()), (4, 2));
}

#[test]
fn remarks_that_void_a_row_set_it_aside_with_their_words() {
    for (remark, used) in [
        ("DO NOT USE", 0),
        ("see revised ticket", 0),
        ("superseded by 88219", 0),
        ("duplicate", 0),
        ("entered in error", 0),
        ("ticket VOID", 0),
        ("avoid north ramp", 1),
        ("voids in base", 1),
        ("rejected - returned to plant", 1),
        ("used in error band check", 1),
    ] {
        let intake = read_rows(&["Ticket | Date | CY | Remarks", &format!("1 | {DAY} | 8 | {remark}")]);
        assert_eq!(intake.records.loads.len(), used, "{remark}");
        assert!(used == 1 || intake.unused[0].reason.contains(remark));
    }
    let twin = read_rows(&["Cylinder No. | Date Cast | psi | Remarks", &format!("1 | {DAY} | 4000 | duplicate")]);
    assert_eq!(twin.records.specimens.len(), 1);
}

#[test]
fn a_record_of_small_figures_is_never_taken_for_more_of_its_headings() {
    for rows in [
        ["Ticket | Qty CY | Truck | Date", "1 | 8 | T1 | 5/14/2031", "2 | 9 | T2 | 5/14/2031"],
        ["Date: 5/14/2031", "Ticket | Qty CY | Truck", "1 | 8 | T"],
        ["Date: 5/14/2031", "Ticket | Qty CY", "1 | 8"],
    ] {
        let intake = read_rows(&rows);
        assert!(
            !intake.records.loads.is_empty() && intake.sheets[0].rows.refused == 0,
            "{rows:?}: {:#?}",
            intake.findings
        );
        let given = rows.iter().filter(|row| row.starts_with(['1', '2'])).count();
        assert_eq!(intake.records.loads.len(), given, "{rows:?}");
    }
}

#[test]
fn several_tickets_on_one_row_of_loads_are_refused() {
    let intake = read_rows(&[
        "Ticket | Date | CY",
        &format!("88213, 88214 | {DAY} | 16"),
        &format!("88215-88217 | {DAY} | 24"),
        &format!("24-88219 | {DAY} | 8"),
    ]);
    assert_eq!(intake.records.loads.len(), 1);
    assert!(intake.findings[0].message.contains("names 2 tickets (88213, 88214)"), "{:#?}", intake.findings);
    assert!(intake.findings[1].message.contains("can be one ticket, or the tickets from 88215 to 88217"));
}

#[test]
fn a_day_alone_above_the_headings_is_the_day_of_a_crew_and_not_of_a_laboratory() {
    let crew = read_rows(&["5/14/2031", "Ticket | Qty CY", "1 | 8"]);
    assert_eq!(crew.records.loads[0].date.typed.as_deref(), Some("5/14/2031 (title cell)"));
    let laboratory = read_rows(&["5/14/2031", "Core No. | Lane | Station | Length (in)", "1 | NB-1 | 12+00 | 9.1"]);
    assert!(only(&laboratory, Code::CellMissing).message.contains("nothing says the date"));
    let labelled = read_rows(&["Ticket | Qty CY", "Date: 5/14/2031", "1 | 8", "Date: 5/15/2031", "2 | 8"]);
    let days: Vec<String> = labelled.records.loads.iter().map(|l| l.date.value.to_string()).collect();
    assert_eq!(days, ["2031-05-14", "2031-05-15"]);
}

#[test]
fn one_form_of_labels_and_values_is_not_taken_for_columns() {
    let intake =
        read_rows(&["Core No.: | C-9 | Date: | 5/14/2031", "Lane: | NB-1 | Station: | 17+00", "Length (in) | 9.1"]);
    assert_eq!(codes(&intake), [], "{:#?}", intake.findings);
    assert_eq!(intake.records.cores[0].station.at.address(), "D2");
    // A lane called L1 is a value here, although `L1` can head a reading of a length.
    let mut setting = setting();
    setting.lanes[0].also.push("L1".into());
    let rows = ["Core No.: | C-9 | Date: | 5/14/2031", "Lane: | L1 | Station: | 17+00", "Length (in) | 9.1"];
    let intake = read_with(&setting, vec![sheet("form.csv", "Sheet1", &rows)]);
    assert_eq!(intake.records.cores.len(), 1, "{:#?}", intake.findings);
}

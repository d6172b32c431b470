//! The sheets of a county: what crews, plants and laboratories send, and what is made of it.

use chrono::NaiveDate;
use rust_decimal::{Decimal, dec};

use super::*;
use crate::finding::{Code, Place};
use crate::units::{Alignment, Equation, System, Unit};

mod accounts;
mod ride;
mod steps;
mod taken;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn setting() -> Setting {
    Setting {
        system: System::Customary,
        date_order: DateOrder::MonthDayYear,
        years: (2026, 2036),
        alignments: vec![Alignment {
            name: "NB".into(),
            full_station: dec!(100),
            begin: dec!(1000),
            end: dec!(9000),
            equations: vec![Equation { back: dec!(5000), ahead: dec!(4900) }],
        }],
        lanes: vec![
            LaneWords { name: "NB-1".into(), also: vec!["inside".into()], alignment: 0 },
            LaneWords { name: "NB-2".into(), also: vec![], alignment: 0 },
        ],
        items: vec![
            ItemWords { number: "401".into(), unit: Unit::SquareYard },
            ItemWords { number: "604".into(), unit: Unit::Each },
        ],
        materials: vec![],
        mixes: vec![],
        sheets: vec![],
        set_aside: vec![],
        through: day("2031-05-31"),
        caps: Caps::default(),
    }
}

fn rule(file: &str) -> SheetRule {
    SheetRule {
        file: file.into(),
        sheet: None,
        kind: None,
        heading_row: None,
        columns: std::collections::BTreeMap::new(),
        units: std::collections::BTreeMap::new(),
        every_row: std::collections::BTreeMap::new(),
        line: 40,
    }
}

/// Cells of a row written with bars: plain figures are numbers, `@45000` is a day by its number format, `~x` is struck
/// out, the rest is text.
fn cells(row: u32, text: &str) -> Vec<RawCell> {
    let mut cells = Vec::new();
    for (column, piece) in (0..).zip(text.split('|').map(str::trim)) {
        let (struck, piece) = piece.strip_prefix('~').map_or((false, piece), |p| (true, p));
        let value = match piece {
            "" => continue,
            "#unstored" => RawValue::Unstored,
            p if p.starts_with('#') && p.ends_with('!') => RawValue::Error(p.into()),
            p => match (p.strip_prefix('@').and_then(|n| n.parse().ok()), p.parse::<f64>()) {
                (Some(days), _) => RawValue::Moment(days),
                (None, Ok(n)) => RawValue::Number(n),
                (None, Err(_)) => RawValue::Text(p.trim_matches('\'').replace("\\n", "\r\n").into()),
            },
        };
        cells.push(RawCell { row, column, value, struck });
    }
    cells
}

fn sheet(file: &str, name: &str, rows: &[&str]) -> RawSheet {
    RawSheet {
        id: SheetId(0),
        file: format!("field/{file}"),
        name: Some(name.into()),
        cells: (0..).zip(rows).flat_map(|(row, text)| cells(row, text)).collect(),
        merged: vec![],
        hidden_rows: vec![],
        hidden: false,
        grid: true,
        semicolons: false,
    }
}

fn read_with(setting: &Setting, sheets: Vec<RawSheet>) -> Intake {
    let intake = understand(sheets, setting);
    for sheet in &intake.sheets {
        assert!(sheet.rows.closes(), "{:?}", sheet.rows);
    }
    intake
}

fn read_rows(rows: &[&str]) -> Intake {
    read_with(&setting(), vec![sheet("book.xlsx", "Sheet1", rows)])
}

fn codes(intake: &Intake) -> Vec<Code> {
    intake.findings.iter().map(|f| f.code).collect()
}

fn only(intake: &Intake, code: Code) -> &Finding {
    let all: Vec<&Finding> = intake.findings.iter().filter(|f| f.code == code).collect();
    assert_eq!(all.len(), 1, "{code}: {:#?}", intake.findings);
    all[0]
}

/// 2031-05-14 by number format.
const DAY: &str = "@47982";

#[test]
fn a_plants_tickets_with_a_title_block_and_a_right_total() {
    let intake = read_rows(&[
        "Ready-mix delivery record",
        "Job no | 31-07 | Printed | @48000",
        "",
        "Ticket # | Date | Batch\\nTime | Truck | Qty CY | Remarks",
        &format!("88213 | {DAY} | 7:05 | T-9 | 8 | "),
        "88214 | 5/14/2031 | 7:25 AM | T-11 | 8.25 | REJECTED slump",
        "Total | | | | 16.25",
    ]);
    assert_eq!(codes(&intake), []);
    let loads = &intake.records.loads;
    assert_eq!(loads.len(), 2);
    assert_eq!(
        (&*loads[0].ticket.value, loads[0].volume.value, loads[0].date.value),
        ("88213", dec!(8), day("2031-05-14"))
    );
    assert_eq!(loads[0].volume.at.address(), "E5");
    assert_eq!(loads[1].outcome, Outcome::Rejected);
    assert_eq!(loads[1].date.typed.as_deref(), Some("5/14/2031"));
    let rows = intake.sheets[0].rows;
    assert_eq!((rows.seen, rows.used, rows.blank, rows.heading, rows.total), (7, 2, 1, 3, 1));
    assert_eq!(intake.unused[0].reason, "total, agrees with its rows");
}

#[test]
fn a_wrong_total_is_a_conflict_with_expected_found_and_difference() {
    let intake = read_rows(&[
        "Ticket | Date | Volume (CY)",
        &format!("1 | {DAY} | 8"),
        "Day total | | 8",
        &format!("2 | {DAY} | 9"),
        "Day total | | 10",
        "Grand total | | 17",
    ]);
    let finding = only(&intake, Code::TotalMismatch);
    assert_eq!(finding.message, "'Volume (CY)': the total says 10, its rows come to 9: 1 over");
    assert_eq!(intake.sheets[0].rows.total, 3);
    assert_eq!(intake.records.loads.len(), 2);
}

#[test]
fn a_total_may_leave_out_void_and_rejected_rows_or_not() {
    for total in ["8", "17", "26"] {
        let intake = read_rows(&[
            "Ticket | Date | CY | Status",
            &format!("1 | {DAY} | 8 | ok"),
            &format!("2 | {DAY} | 9 | rejected"),
            &format!("3 | {DAY} | 9 | VOID"),
            &format!("Total | | {total}"),
        ]);
        assert_eq!(codes(&intake), [], "{total}");
    }
}

#[test]
fn struck_out_and_void_tickets_are_set_aside() {
    let intake = read_rows(&[
        "Ticket | Date | CY | Remarks",
        &format!("~1 | {DAY} | ~8 | "),
        &format!("2 | {DAY} | 9 | VOID - reprinted"),
        &format!("3 | {DAY} | 9 | void in the form was filled"),
    ]);
    assert_eq!(intake.records.loads.len(), 1);
    assert_eq!(intake.unused.iter().map(|u| u.why).collect::<Vec<_>>(), [Unused::Void, Unused::Void]);
}

#[test]
fn cores_in_inches_and_in_millimetres_under_the_same_heading() {
    let inches = sheet(
        "a.xlsx",
        "x",
        &[
            "Core No. | Date | Lane | Station | Length",
            " | | | | (in)",
            &format!("C-1 | {DAY} | NB-1 | 12+34.5 | 9 3/4"),
        ],
    );
    let millimetres = sheet(
        "b.xlsx",
        "x",
        &[
            "Core No. | Date | Lane | Station | Length",
            " | | | | (mm)",
            &format!("C-2 | {DAY} | inside | Sta 12+40 Rt 6.0 | 228.6"),
        ],
    );
    let neither = sheet(
        "c.xlsx",
        "x",
        &[
            "Core No. | Date | Lane | Station | Length",
            &format!("C-3 | {DAY} | NB-1 | 12+50 | 228.6"),
            &format!("C-4 | {DAY} | NB-1 | 12+60 | 9.1 in"),
        ],
    );
    let intake = read_with(&setting(), vec![neither, millimetres, inches]);
    let cores = &intake.records.cores;
    assert_eq!(cores.iter().map(|c| c.readings[0].value).collect::<Vec<_>>(), [dec!(9.75), dec!(9), dec!(9.1)]);
    assert_eq!(cores[0].readings[0].typed.as_deref(), Some("9 3/4"));
    assert_eq!(cores[1].readings[0].typed.as_deref(), Some("228.6 mm"));
    assert_eq!(cores[1].offset.as_ref().map(|o| &*o.value), Some("Rt 6.0"));
    let finding = only(&intake, Code::UnitUnknown);
    assert!(finding.remedy.contains("units = { length = \"in\" }   # or \"mm\""), "{}", finding.remedy);
    assert!(finding.remedy.contains("file = \"c.xlsx\""));
    assert_eq!(intake.sheets[2].rows.refused, 1);
}

#[test]
fn the_contract_file_says_the_unit() {
    let mut setting = setting();
    let mut said = rule("*.xlsx");
    said.units.insert("length".into(), Unit::Millimetre);
    setting.sheets.push(said);
    let intake = read_with(
        &setting,
        vec![sheet(
            "c.xlsx",
            "x",
            &["Core | Date | Lane | Station | Thickness", &format!("C-3 | {DAY} | NB-1 | 12+50 | 254")],
        )],
    );
    assert_eq!(intake.records.cores[0].readings[0].value, dec!(10));
}

#[test]
fn nine_readings_under_a_merged_heading_and_an_average_that_is_left_out() {
    let mut sheet = sheet(
        "cores.xlsx",
        "Lab",
        &[
            "Core | Date | Lane | Station | Length readings (in) | | | Average (in)",
            " | | | | 1 | 2 | 3 | ",
            &format!("C-1 | {DAY} | NB-1 | 12+34 | 9.1 | 9.2 | 9.3 | 9.2"),
        ],
    );
    sheet.merged = vec![(0, 4, 0, 6), (0, 0, 1, 0), (0, 1, 1, 1)];
    let intake = read_with(&setting(), vec![sheet]);
    let values: Vec<Decimal> = intake.records.cores[0].readings.iter().map(|r| r.value).collect();
    assert_eq!(values, [dec!(9.1), dec!(9.2), dec!(9.3)]);
    assert_eq!(intake.sheets[0].rows.heading, 2);
    assert!(only(&intake, Code::ColumnUnused).message.contains("'Average (in)'"));
}

#[test]
fn placements_under_a_group_heading_and_lanes_placed_together() {
    let mut sheet = sheet(
        "crew.xlsx",
        "May",
        &[
            "Pour | Date | Lane | Station | | Mix",
            " | | | From | To | ",
            &format!("P-1 | {DAY} | NB-1 & NB-2 | 12+00 | 14+50 | A"),
            "P-2 | | NB-1 | 14+50 | 13+00.5 bk | A",
        ],
    );
    sheet.merged = vec![(0, 3, 0, 4), (2, 1, 3, 1)];
    let intake = read_with(&setting(), vec![sheet]);
    assert_eq!(codes(&intake), []);
    let placements = &intake.records.placements;
    assert_eq!(placements[0].lanes.value, [LaneId(0), LaneId(1)]);
    assert_eq!((placements[0].from.value.label, placements[0].to.value.label), (dec!(1200), dec!(1450)));
    assert_eq!(placements[1].date.value, day("2031-05-14"), "the day is merged over both rows");
}

#[test]
fn a_stretch_in_one_cell_with_lane_and_day_in_the_title() {
    let intake = read_rows(&[
        "Paving report",
        "Lane: NB-2 | | Date | @47982",
        "Station | Mix | Remarks",
        "12+00 to 14+50 | A | ",
        "14+50 - 16+00 | A | ",
    ]);
    assert_eq!(codes(&intake), []);
    let placements = &intake.records.placements;
    assert_eq!(placements.len(), 2);
    assert_eq!(placements[0].lanes.value, [LaneId(1)]);
    assert_eq!(placements[0].date.at.address(), "D2");
    assert_eq!(&*placements[1].number.value, "2031-05-14, row 5");
}

#[test]
fn a_label_that_stands_twice_at_an_equation_is_refused_with_both_readings() {
    let intake = read_rows(&[
        "Core | Date | Lane | Station | Length (in)",
        &format!("C-1 | {DAY} | NB-1 | 49+50 | 9"),
        &format!("C-2 | {DAY} | NB-1 | 49+50 AH | 9"),
        &format!("C-3 | {DAY} | NB-1 | 99+00 | 9"),
        &format!("C-4 | {DAY} | NB-1 | 4950 | 9"),
    ]);
    let messages: Vec<&str> =
        intake.findings.iter().filter(|f| f.code == Code::StationUnplaced).map(|f| &*f.message).collect();
    assert_eq!(messages.len(), 2);
    assert!(messages[0].contains("3950") && messages[0].contains("4050"), "{}", messages[0]);
    assert!(only(&intake, Code::UnitUnknown).remedy.contains("station = \"ft\""));
    assert_eq!(intake.records.cores.len(), 1);
    assert_eq!(intake.records.cores[0].station.value.along, dec!(4050));
}

#[test]
fn bare_stations_are_read_where_the_heading_says_feet() {
    let intake =
        read_rows(&["Core | Date | Lane | Station (ft) | Length (in)", &format!("C-1 | {DAY} | NB-1 | 1234.5 | 9")]);
    assert_eq!(intake.records.cores[0].station.value.label, dec!(1234.5));
}

#[test]
fn two_tables_on_a_sheet_and_headings_again_at_a_page_break() {
    let intake = read_rows(&[
        "Ticket | Date | CY",
        &format!("1 | {DAY} | 8"),
        "Page 2 of the record",
        "Ticket | Date | CY",
        &format!("2 | {DAY} | 8"),
        "Total | | 16",
        "",
        "Set | Date cast | Age (days) | Date tested | Load (lb) | Diameter (in) | Strength, psi",
        &format!("14 | {DAY} | 7 | 5/21/2031 | 113,100 | 6.00 | 4,000"),
        &format!("14 | {DAY} | 28 | 6/11/2031 | 141,000 | 6.00 | 4,990"),
    ]);
    assert_eq!(codes(&intake), []);
    assert_eq!(intake.sheets[0].kinds, ["loads", "specimens"]);
    assert_eq!(intake.records.loads.len(), 2);
    let specimens = &intake.records.specimens;
    assert_eq!(specimens[0].strength.as_ref().map(|s| s.value), Some(dec!(4000)));
    assert_eq!(specimens[0].load.as_ref().map(|s| s.value), Some(dec!(113100)));
    assert!(specimens[1].strength.is_none(), "broken after the cut-off: outstanding on that day");
    assert!(specimens[1].tested.is_none());
    assert_eq!(intake.sheets[0].rows.heading, 4);
}

#[test]
fn all_faults_of_a_row_are_told_with_cell_heading_and_value() {
    let intake = read_rows(&[
        "Ticket | Date | Batch time | CY | Plant",
        "9 | 25/12/2031 | 25:10 | 6.0+ | #REF!",
        "10 | 5/14/41 | | | ",
    ]);
    let of = |row: u32| -> Vec<(Code, String)> {
        intake
            .findings
            .iter()
            .filter_map(|f| match f.place {
                Place::Cell(at) if at.row == row => Some((f.code, f.message.clone())),
                _ => None,
            })
            .collect()
    };
    assert_eq!(of(1), [
        (Code::DateAmbiguous, "'Date': '25/12/2031' is no day in the contract's order (month-day-year); in the other order it would be 2031-12-25".into()),
        (Code::CellUnreadable, "'Batch time': '25:10' is not a time of day".into()),
        (Code::CellError, "'Plant': #REF! is a spreadsheet error".into()),
            (Code::CellUnreadable, "'CY': '6.0+' is a limit or an estimate, not a measured number".into()),
    ]);
    assert_eq!(of(2).iter().map(|f| f.0).collect::<Vec<_>>(), [Code::DateAmbiguous, Code::CellMissing]);
    assert_eq!(intake.unused.len(), 2);
    assert_eq!(intake.unused[0].cells, ["9", "25/12/2031", "25:10", "6.0+", "#REF!"]);
}

#[test]
fn errors_and_formulas_that_were_never_computed_are_refused() {
    let intake = read_rows(&[
        "Ticket | Date | CY",
        &format!("1 | {DAY} | #DIV/0!"),
        &format!("2 | {DAY} | #unstored"),
        "3 | 47982 | 8",
    ]);
    assert_eq!(codes(&intake), [Code::CellError, Code::FormulaUnstored, Code::DateAmbiguous]);
    assert!(intake.findings[2].message.contains("2031-05-14"));
}

#[test]
fn values_are_not_carried_down() {
    let intake = read_rows(&["Ticket | Date | CY", &format!("1 | {DAY} | 8"), "2 | | 8", "3 | '\"' | 8"]);
    assert!(only(&intake, Code::CellMissing).remedy.contains("not carried down"));
    assert_eq!(intake.sheets[0].rows.refused, 2);
}

#[test]
fn the_same_ticket_in_two_files_counts_once() {
    let plant = sheet(
        "a.csv",
        "x",
        &["Ticket | Date | Plant | CY", &format!("1 | {DAY} | B | 8"), &format!("2 | {DAY} | B | 8")],
    );
    let inspector = sheet(
        "b.csv",
        "x",
        &["Ticket | Date | CY | Wasted CY", &format!("1 | {DAY} | 8 | "), &format!("2 | {DAY} | 8.5 | 1")],
    );
    let intake = read_with(&setting(), vec![inspector, plant]);
    assert_eq!(intake.records.loads.len(), 2);
    assert_eq!(codes(&intake), [Code::Repeated, Code::Duplicate]);
    let conflict = only(&intake, Code::Duplicate);
    assert!(
        conflict.message.contains("volume: 8 in field/a.csv, x!D3, 8.5 in field/b.csv, x!C3"),
        "{}",
        conflict.message
    );
    assert!(conflict.message.contains("wasted: not stated"));
    assert_eq!(intake.sheets[1].rows.set_aside, 2);
    assert_eq!(intake.sheets[1].rows.used, 0);
}

#[test]
fn other_plants_and_other_days_are_other_loads() {
    let intake = read_rows(&[
        "Ticket | Date | Plant | CY",
        &format!("1 | {DAY} | A | 8"),
        &format!("1 | {DAY} | B | 8"),
        "1 | @47981 | A | 8",
    ]);
    assert_eq!(intake.records.loads.len(), 3);
}

#[test]
fn headings_that_fit_two_kinds_are_refused_with_both() {
    let intake = read_rows(&["No. | Date | Lane | Station | Depth (in)", &format!("1 | {DAY} | NB-1 | 12+00 | 9")]);
    let finding = only(&intake, Code::SheetUnrecognised);
    assert!(finding.message.contains("cores and probes"), "{}", finding.message);
    assert!(finding.remedy.contains("kind = \"cores\"   # or \"probes\""), "{}", finding.remedy);
    assert_eq!(intake.sheets[0].rows.refused, 1);
    let mut setting = setting();
    setting.sheets.push(SheetRule { kind: Some("probes".into()), ..rule("book.xlsx") });
    let intake = read_with(
        &setting,
        vec![sheet(
            "book.xlsx",
            "S",
            &["No. | Date | Lane | Station | Depth (in)", &format!("1 | {DAY} | NB-1 | 12+00 | 9")],
        )],
    );
    assert_eq!(intake.records.probes.len(), 1);
}

#[test]
fn loads_with_tests_beside_them_are_not_taken_for_either() {
    let intake =
        read_rows(&["Ticket | Date | CY | Slump (in) | Air % | Temp F", &format!("1 | {DAY} | 8 | 1.5 | 6 | 70")]);
    assert!(only(&intake, Code::SheetUnrecognised).message.contains("fresh and loads"));
}

#[test]
fn a_sheet_nobody_knows_is_refused_with_the_lines_that_settle_it() {
    let intake = read_rows(&[
        "Core | Date | Lane | Where | Len-ish",
        &format!("1 | {DAY} | NB-1 | 12+00 | 9"),
        &format!("2 | {DAY} | NB-1 | 12+00 | 9"),
    ]);
    let finding = only(&intake, Code::SheetUnrecognised);
    assert!(finding.message.contains("nearest to cores"), "{}", finding.message);
    assert!(
        finding.remedy.contains("kind = \"cores\"") && finding.remedy.contains("\"Where\" = \"station\""),
        "{}",
        finding.remedy
    );
    assert_eq!(intake.sheets[0].rows.refused, 3);
    assert_eq!(intake.unused.len(), 3);
}

#[test]
fn the_contract_file_names_columns_and_the_heading_row() {
    let mut setting = setting();
    let mut said = SheetRule { kind: Some("cores".into()), heading_row: Some(2), ..rule("*") };
    said.columns.insert("Len-ish".into(), "length".into());
    said.units.insert("length".into(), Unit::Inch);
    said.every_row.insert("lane".into(), "NB-2".into());
    setting.sheets.push(said);
    let intake = read_with(
        &setting,
        vec![sheet(
            "x.xlsx",
            "S",
            &["Core | Date | Station | made up", "Core | Date | Station | Len-ish", &format!("1 | {DAY} | 12+00 | 9")],
        )],
    );
    let core = &intake.records.cores[0];
    assert_eq!((core.lane.value, core.readings[0].value), (LaneId(1), dec!(9)));
    assert_eq!(core.lane.typed.as_deref(), Some("NB-2 (contract.toml, line 40)"));
}

#[test]
fn notes_and_empty_sheets_are_no_findings() {
    let mut chart = sheet("n.xlsx", "Chart", &[]);
    chart.grid = false;
    let intake = read_with(
        &setting(),
        vec![chart, sheet("n.xlsx", "Cover", &["County of nowhere", "", "Contract | 31", "Prepared by the lab"])],
    );
    assert_eq!(codes(&intake), []);
    assert_eq!(intake.sheets.len(), 2);
    assert_eq!(intake.sheets[1].rows.heading, 3);
}

#[test]
fn nothing_says_the_lane_is_one_finding_for_the_table() {
    let intake = read_rows(&[
        "Core | Date | Station | Length (in)",
        &format!("1 | {DAY} | 12+00 | 9"),
        &format!("2 | {DAY} | 13+00 | 9"),
    ]);
    let finding = only(&intake, Code::CellMissing);
    assert!(finding.remedy.contains("every_row = { lane = \"NB-1\" }"), "{}", finding.remedy);
    assert_eq!(intake.sheets[0].rows.refused, 2);
    let named = read_with(
        &setting(),
        vec![sheet("x.xlsx", "NB-2", &["Core | Date | Station | Length (in)", &format!("1 | {DAY} | 12+00 | 9")])],
    );
    assert_eq!(named.records.cores[0].lane.value, LaneId(1));
}

#[test]
fn rows_after_the_cut_off_and_rows_the_contract_sets_aside() {
    let mut setting = setting();
    setting.set_aside.push(SetAside {
        file: "book.xlsx".into(),
        sheet: None,
        rows: vec![3],
        reason: "see the letter".into(),
    });
    let intake = read_with(
        &setting,
        vec![sheet("book.xlsx", "S", &["Ticket | Date | CY", "1 | 6/1/2031 | 8", &format!("2 | {DAY} | 8")])],
    );
    assert_eq!(intake.unused.iter().map(|u| u.why).collect::<Vec<_>>(), [Unused::AfterCutOff, Unused::SetAside]);
    assert_eq!(intake.unused[1].reason, "see the letter");
    assert_eq!(codes(&intake), [Code::SetAside]);
}

#[test]
fn hidden_rows_are_read_and_said() {
    let mut sheet = sheet("book.xlsx", "S", &["Ticket | Date | CY", &format!("2 | {DAY} | 8")]);
    sheet.hidden_rows = vec![1, 9];
    let intake = read_with(&setting(), vec![sheet]);
    assert_eq!(intake.records.loads.len(), 1);
    assert!(only(&intake, Code::HiddenRows).message.starts_with("1 row is"));
}

#[test]
fn hand_measured_quantities_in_the_items_unit() {
    let intake = read_rows(&[
        "Item | Date | Location | Length (ft) | Width (ft) | No. of pieces | Quantity | Unit | Measured by",
        &format!("401 | {DAY} | 12 Harrow Road | 18 | 10 | | | | JD"),
        &format!("401 | {DAY} | 14 Harrow Road | | | | 90 | SF | JD"),
        &format!("604 | {DAY} | MH-3 | | | 1 | | | JD"),
        &format!("604 | {DAY} | MH-4 | | | | 2 | LF | JD"),
        &format!("999 | {DAY} | MH-5 | | | 1 | | | JD"),
    ]);
    let measured = &intake.records.measured;
    assert_eq!(measured.len(), 3);
    assert_eq!(measured[1].quantity.as_ref().map(|q| (q.value, q.typed.as_deref())), Some((dec!(10), Some("90 ft2"))));
    assert_eq!(codes(&intake), [Code::QuantityUnitWrong, Code::ItemUnknown]);
}

#[test]
fn beams_are_known_by_their_headings_and_sets_by_their_numbers() {
    let intake = read_rows(&[
        "Beam No. | Cast | Age | Modulus of rupture (psi)",
        &format!("14-A | {DAY} | 7 | 640"),
        &format!("14-B | {DAY} | 7 | "),
    ]);
    let beams = &intake.records.specimens;
    assert!(beams.iter().all(|b| b.shape == Shape::Beam && &*b.set.value == "14"));
    assert!(beams[1].strength.is_none());
}

#[test]
fn fresh_tests_of_an_si_contract() {
    let mut setting = setting();
    setting.system = System::Si;
    let intake = read_with(
        &setting,
        vec![sheet(
            "f.csv",
            "x",
            &[
                "Ticket | Date | Slump (mm) | Air | Temp | Unit Wt (kg/m3)",
                &format!("7 | {DAY} | 40 | 6.5% | 21 | 2350"),
                &format!("8 | {DAY} | n/a | | | "),
            ],
        )],
    );
    let fresh = &intake.records.fresh[0];
    assert_eq!(fresh.slump.as_ref().map(|s| s.value), Some(dec!(40)));
    assert_eq!(fresh.air.as_ref().map(|s| s.value), Some(dec!(6.5)));
    assert_eq!(&*fresh.number.value, "ticket 7");
    assert_eq!(codes(&intake), [Code::CellUnreadable]);
}

#[test]
fn the_order_in_which_sheets_come_does_not_matter() {
    let a = sheet("a.xlsx", "1", &["Ticket | Date | CY", &format!("1 | {DAY} | 8")]);
    let b = sheet("b.xlsx", "1", &["Ticket | Date | CY", &format!("1 | {DAY} | 9")]);
    assert_eq!(read_with(&setting(), vec![a.clone(), b.clone()]), read_with(&setting(), vec![b, a]));
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    fn row() -> impl Strategy<Value = String> {
        prop_oneof![
            Just(String::new()),
            Just("Ticket | Date | CY | Remarks".to_string()),
            Just("Core | Date | Lane | Station | Length (in)".to_string()),
            Just("Item | Quantity".to_string()),
            Just("Core | Date | Lane | Station | Length (in) | Purpose | Tested by | Remarks".to_string()),
            Just("Segment | Date | Lane | From | To | LWP IRI (in/mi) | RWP IRI (in/mi)".to_string()),
            Just("Spot | Date | Lane | Station | Deviation (in) | Direction".to_string()),
            Just("No. | Date | Lane | Station | Depth (in)".to_string()),
            Just("Total | | 16".to_string()),
            Just("a remark on the weather".to_string()),
            Just("Lane: NB-1".to_string()),
            Just("(in) | (ft) | psi".to_string()),
            (0..9_u32, 0..3_u32).prop_map(|(t, v)| format!("{t} | @47982 | {v}")),
            (0..9_u32).prop_map(|t| format!("{t} | @48982 | 8")),
            (0..9_u32).prop_map(|t| format!("~{t} | @47982 | 8 | void")),
            (0..9_u32).prop_map(|t| format!("C-{t} | @47982 | NB-1 | 12+00 | 9")),
            (0..9_u32, "(void|lot|QC|check|low base)?", "(VOID|low base|split|lost)?").prop_map(
                |(t, purpose, words)| format!("C-{t} | @47982 | NB-1 | 12+00 | 9 | {purpose} | QA | {words}")
            ),
            (0..9_u32).prop_map(|t| format!("{t} | @47982 | NB-1 | 12+00 | 17+28 | {t} | 63")),
            (0..9_u32, "[TLQ]?").prop_map(|(t, d)| format!("{t} | @47982 | NB-1 | 12+00 | 0.{t} | {d}")),
            "[ -~]{0,40}",
        ]
    }

    proptest! {
        #[test]
        fn every_row_is_counted_once(rows in prop::collection::vec(row(), 0..30), aside in prop::collection::vec(1..30_u32, 0..3)) {
            let mut setting = setting();
            setting.set_aside.push(SetAside { file: "*".into(), sheet: None, rows: if aside.is_empty() { vec![99] } else { aside }, reason: "x".into() });
            let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
            let intake = understand(vec![sheet("a.xlsx", "1", &rows), sheet("b.xlsx", "1", &rows)], &setting);
            let records = &intake.records;
            let kept = [
                records.loads.len(),
                records.cores.len(),
                records.measured.len(),
                records.probes.len(),
                records.profiles.len(),
                records.straightedge.len(),
            ]
            .into_iter()
            .sum::<usize>();
            let used: u32 = intake.sheets.iter().map(|s| s.rows.used).sum();
            prop_assert_eq!(kept + records.placements.len(), used as usize);
            for sheet in &intake.sheets {
                prop_assert!(sheet.rows.closes(), "{:?}", sheet.rows);
                let unused = u32::try_from(intake.unused.iter().filter(|u| u.at.sheet == sheet.id).count()).unwrap();
                prop_assert_eq!(unused, sheet.rows.refused + sheet.rows.set_aside + sheet.rows.total);
            }
        }
    }
}

#[test]
fn headings_in_joined_words_and_a_group_with_its_unit_over_nine_readings() {
    let loads = read_rows(&[
        "TicketNo | DateBatched | BatchTime | Truck/Unit | CuYds",
        &format!("1001 | {DAY} | 7:05 | 7 | 8.5"),
    ]);
    assert_eq!(loads.records.loads.len(), 1, "{:#?}", loads.findings);
    let mut cores = sheet(
        "cores.xlsx",
        "May",
        &[
            "Core | | Location | | Length (in) | | | ",
            "ID | Date cored | Lane | Sta | L1 | L2 | L3 | L4",
            &format!("C1 | {DAY} | NB-1 | 11+20 | 9 | 9.1 | 9 | 9.2"),
        ],
    );
    cores.merged = vec![(0, 2, 0, 3), (0, 4, 0, 7)];
    let cores = read_with(&setting(), vec![cores]);
    assert_eq!(cores.records.cores.len(), 1, "{:#?}", cores.findings);
}

#[test]
fn a_text_file_of_notes_is_passed_over_and_a_table_in_one_is_not() {
    let notes =
        sheet("notes.txt", "", &["Called the lab on Monday | no answer.", "The 12th was wet | stopped | at noon."]);
    let intake = read_with(&setting(), vec![notes]);
    assert_eq!(codes(&intake), [Code::FilePassedOver]);
    let table = sheet("table.txt", "", &["Zug | Woog | Flim", "1 | 33 | 8", "2 | 34 | 9"]);
    assert_eq!(codes(&read_with(&setting(), vec![table])), [Code::SheetUnrecognised]);
}

#[test]
fn a_decimal_comma_counts_where_semicolons_separate_and_two_readings_are_refused() {
    let rows = ["Docket No | Date | Volume (CY)", "1 | 5/14/2031 | 7,5", "2 | 5/14/2031 | 9,500"];
    let mut loads = sheet("loads.csv", "", &rows);
    loads.semicolons = true;
    let intake = read_with(&setting(), vec![loads]);
    assert_eq!(intake.records.loads.iter().map(|l| l.volume.value).collect::<Vec<_>>(), [dec!(7.5)]);
    assert!(only(&intake, Code::CellUnreadable).message.contains("9500 or 9.500"));
    assert_eq!(read_with(&setting(), vec![sheet("loads.csv", "", &rows)]).records.loads.len(), 1);
}

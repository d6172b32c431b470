//! Refused rows and the lists that correct them.

use super::*;

const CORES: &[&str] = &[
    "Core | Date | Lane | Station | Length (in)",
    "C1 | 5/14/2031 | NB-1 | 20+00 | about 9",
    "C2 | 5/14/2031 | NB-1 | 21+00 | 9.5",
    "C3 | 5/14/2031 | outside | 22+00 | 9,4",
];

/// A list with the lines of refused cells of a first reading, each filled in as told: value, by whom, on which day.
fn list(first: &Intake, filled: &[(&str, &str, &str)]) -> RawSheet {
    let mut rows = vec!["a title".to_string(), CORRECTION_HEADINGS.join(" | ")];
    for (fault, (value, by, on)) in first.refused.iter().zip(filled) {
        let source = first.sources.sheet(fault.at.sheet).unwrap();
        let (file, sheet) = (&source.file, source.sheet.as_deref().unwrap_or(""));
        let cell = fault.at.address();
        rows.push(format!(
            "1 | {file} | {sheet} | {cell} | {} | | | | {value} | {by} | {on} | {}",
            fault.heading, fault.mark
        ));
    }
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    sheet("refused.xlsx", "Rows to correct", &rows)
}

fn read(sheets: Vec<RawSheet>) -> Intake {
    read_with(&setting(), sheets)
}

fn cores(rows: &[&str]) -> RawSheet {
    sheet("cores.xlsx", "Cores", rows)
}

fn refusals(intake: &Intake) -> Vec<String> {
    let of = |f: &&Finding| f.code != Code::RowCorrected;
    intake.findings.iter().filter(of).map(|f| format!("{}: {}", f.code, f.message)).collect()
}

fn lengths(intake: &Intake) -> Vec<(String, String)> {
    let core = |c: &Core| (c.number.value.to_string(), c.readings.iter().map(|l| l.value.to_string()).collect());
    intake.records.cores.iter().map(core).collect()
}

#[test]
fn refused_rows_are_kept_whole_with_each_cell_that_is_wrong() {
    let first = read(vec![cores(CORES)]);
    let told: Vec<(String, &str, &str)> =
        first.refused.iter().map(|f| (f.at.address(), f.heading.as_str(), f.received.as_str())).collect();
    assert_eq!(
        told,
        [
            ("E2".into(), "Length (in)", "about 9"),
            ("C4".into(), "Lane", "outside"),
            ("E4".into(), "Length (in)", "9,4")
        ]
    );
    assert_eq!(first.refused[1].row[2], (2, "outside".into()));
    assert_eq!(first.sheets[0].rows.refused, 2);
}

#[test]
fn a_corrected_row_is_read_and_both_values_stay() {
    let first = read(vec![cores(CORES)]);
    let filled = [("9.1", "A. Moss", "6/3/2031"), ("NB-2", "A. Moss", "6/3/2031"), ("9.4", "A. Moss", "2031-06-04")];
    let second = read(vec![cores(CORES), list(&first, &filled)]);
    assert_eq!(refusals(&second), [""; 0]);
    let read: Vec<(String, String)> =
        [("C1", "9.1"), ("C2", "9.5"), ("C3", "9.4")].map(|(a, b)| (a.to_string(), b.to_string())).to_vec();
    assert_eq!(lengths(&second), read);
    assert_eq!(second.records.cores[2].lane.value, LaneId(1));
    let length = &second.records.cores[0].readings[0];
    assert_eq!(second.sources.cell(length.at), "field/cores.xlsx, Cores!E2");
    assert_eq!(
        length.typed.as_deref(),
        Some("9.1 in place of 'about 9', corrected by A. Moss on 2031-06-03 (field/refused.xlsx, Rows to correct!I3)")
    );
    let told = &second.corrected[2];
    assert_eq!((told.received.as_str(), told.value.as_str(), told.by.as_str()), ("9,4", "9.4", "A. Moss"));
    assert_eq!((told.on, told.reads), (day("2031-06-04"), true));
    assert!(told.reason.contains("comma"), "{}", told.reason);
    let rows = second.sheets[1].rows;
    assert_eq!((rows.used, rows.heading, rows.refused, rows.set_aside), (3, 2, 0, 0));
    assert!(second.refused.is_empty());
}

#[test]
fn a_row_half_corrected_is_refused_as_it_was_received() {
    let first = read(vec![cores(CORES)]);
    let filled = [("", "", ""), ("NB-2", "A. Moss", "6/3/2031"), ("", "", "")];
    let second = read(vec![cores(CORES), list(&first, &filled)]);
    let left = &second.refused[1];
    assert_eq!((left.mark.as_str(), second.refused.len()), (first.refused[1].mark.as_str(), 2));
    assert_eq!((left.at.address(), left.row[2].1.as_str()), ("E4".into(), "outside"));
    assert!(!second.corrected[0].reads);
    assert_eq!(second.sheets[1].rows.set_aside, 2);
    // The next list corrects the rest, beside the first.
    let mut next = list(&second, &[("9.1", "B. Ash", "6/5/2031"), ("9.4", "B. Ash", "6/5/2031")]);
    next.file = "field/refused-2.xlsx".into();
    let third = read(vec![cores(CORES), list(&first, &filled), next]);
    assert_eq!(lengths(&third).len(), 3);
    assert_eq!(refusals(&third), [""; 0]);
}

#[test]
fn a_correction_follows_its_row_and_no_other() {
    let first = read(vec![cores(CORES)]);
    let filled = [("9.1", "A. Moss", "6/3/2031"), ("NB-2", "A. Moss", "6/3/2031"), ("9.4", "A. Moss", "6/3/2031")];
    let made = list(&first, &filled);
    // A row put in above moves both refused rows down.
    let moved = [CORES[0], "C0 | 5/14/2031 | NB-1 | 19+00 | 9.2", CORES[1], CORES[2], CORES[3]];
    assert_eq!(lengths(&read(vec![cores(&moved), made.clone()])).len(), 4);
    // A row edited since then is not what was corrected.
    let edited = [CORES[0], "C1 | 5/14/2031 | NB-1 | 20+00 | about 8", CORES[2], CORES[3]];
    let after = read(vec![cores(&edited), made.clone()]);
    assert_eq!(lengths(&after).len(), 2);
    assert!(refusals(&after)[1].contains("its row says something else by now, or is gone"), "{:?}", refusals(&after));
    // Two rows alike, neither at the old place: which one was meant cannot be told.
    let twice = [CORES[0], CORES[2], CORES[1], CORES[1], CORES[3]];
    let torn = read(vec![cores(&twice), made]);
    assert!(refusals(&torn).iter().any(|f| f.contains("can mean more than one row: 3, 4")), "{:?}", refusals(&torn));
}

#[test]
fn a_row_that_reads_is_never_replaced() {
    let first = read(vec![cores(CORES)]);
    let mut made = list(&first, &[("9.1", "A. Moss", "6/3/2031")]);
    // The same line, bound to the sound row of core C2.
    let sound = correction::mark(refused::line(&cores(CORES), 2));
    for cell in made.cells.iter_mut().filter(|c| c.row == 2) {
        match cell.column {
            3 => cell.value = RawValue::Text("E3".into()),
            11 => cell.value = RawValue::Text(sound.as_str().into()),
            _ => {}
        }
    }
    let second = read(vec![cores(CORES), made]);
    assert_eq!(lengths(&second), [("C2".to_string(), "9.5".to_string())]);
    assert!(
        refusals(&second).iter().any(|f| f.contains("its cell stands in the way of no record")),
        "{:?}",
        refusals(&second)
    );
}

#[test]
fn an_incomplete_or_contradicted_correction_is_refused() {
    let first = read(vec![cores(CORES)]);
    for (filled, told) in [
        (("9.1", "", "6/3/2031"), "nobody is named"),
        (("9.1", "A. Moss", ""), "without the day"),
        (("9.1", "A. Moss", "June"), "'June' is not a date"),
        (("", "A. Moss", "6/3/2031"), "no corrected value is given"),
    ] {
        let second = read(vec![cores(CORES), list(&first, &[filled])]);
        assert!(second.corrected.is_empty());
        assert!(refusals(&second).iter().any(|f| f.starts_with("correction-unfit") && f.contains(told)), "{told}");
        assert_eq!(second.sheets[1].rows.refused, 1);
    }
    let both = |b: (&str, &str, &str)| {
        let mut later = list(&first, &[b]);
        later.file = "field/refused-2.xlsx".into();
        read(vec![cores(CORES), list(&first, &[("9.1", "A. Moss", "6/3/2031")]), later])
    };
    let differing = both(("9.2", "B. Ash", "6/3/2031"));
    assert_eq!(lengths(&differing).len(), 1);
    assert_eq!(
        refusals(&differing).iter().filter(|f| f.contains("two corrections of one day differ: 9.1 and 9.2")).count(),
        2
    );
    let later = both(("9.2", "B. Ash", "6/4/2031"));
    assert_eq!(lengths(&later)[0].1, "9.2");
    // By name, the second list stands before the first.
    assert_eq!((later.sheets[1].rows.used, later.sheets[2].rows.set_aside), (1, 1));
}

#[test]
fn a_list_under_another_name_or_for_another_file_is_refused() {
    let first = read(vec![cores(CORES)]);
    let mut made = list(&first, &[("9.1", "A. Moss", "6/3/2031")]);
    made.file = "field/july.xlsx".into();
    let renamed = read(vec![cores(CORES), made.clone()]);
    assert!(
        refusals(&renamed).iter().any(|f| f.contains("its name does not hold 'refused'")),
        "{:?}",
        refusals(&renamed)
    );
    assert_eq!(renamed.sheets[1].rows.refused, 3);
    made.file = "field/refused.xlsx".into();
    let alone = read(vec![made]);
    assert!(refusals(&alone)[0].contains("no field/cores.xlsx with such a sheet was read"), "{:?}", refusals(&alone));
}

#[test]
fn a_fault_that_shows_only_once_another_is_corrected_is_corrected_too() {
    // The station cannot be placed before the lane is known; then it lies beyond the line.
    let rows = [CORES[0], "C1 | 5/14/2031 | outside | 190+00 | 9.1"];
    let first = read(vec![cores(&rows)]);
    let lane = list(&first, &[("NB-1", "A. Moss", "6/3/2031")]);
    let second = read(vec![cores(&rows), lane.clone()]);
    assert_eq!(second.refused[0].at.address(), "D2");
    let mut station = list(&second, &[("19+00", "A. Moss", "6/4/2031")]);
    station.file = "field/refused-2.xlsx".into();
    let third = read(vec![cores(&rows), lane, station]);
    assert_eq!((refusals(&third), third.corrected.len(), third.records.cores.len()), (vec![], 2, 1));
}

#[test]
fn a_form_on_its_side_and_tables_side_by_side_are_corrected_too() {
    let turned = [
        "Core No. | C-1 | C-2 | C-3",
        "Date | 5/14/2031 | 5/14/2031 | 5/14/2031",
        "Lane | NB-1 | NB-1 | NB-1",
        "Station | 20+00 | 21+00 | 22+00",
        "Length (in) | 9.1 | about 9 | 9.3",
    ];
    let first = read(vec![cores(&turned)]);
    assert_eq!((first.records.cores.len(), first.refused[0].at.address()), (2, "C5".into()));
    let second = read(vec![cores(&turned), list(&first, &[("9.2", "A. Moss", "6/3/2031")])]);
    assert_eq!((refusals(&second), second.records.cores.len(), second.corrected[0].reads), (vec![], 3, true));
    let beside = [
        "Ticket | Date | CY | | Ticket | Date | CY",
        "1 | 5/14/2031 | 8.5 | | 11 | 5/14/2031 | 8 or 9",
        "2 | 5/14/2031 | 8.5 | | 12 | 5/14/2031 | 8.5",
    ];
    let first = read(vec![cores(&beside)]);
    assert_eq!((first.records.loads.len(), first.refused[0].at.address()), (3, "G2".into()));
    let second = read(vec![cores(&beside), list(&first, &[("8", "A. Moss", "6/3/2031")])]);
    assert_eq!((refusals(&second), second.records.loads.len()), (vec![], 4));
}

#[test]
fn a_blank_cell_can_be_filled_and_a_struck_one_replaced() {
    let rows = [CORES[0], "C1 | 5/14/2031 | | 20+00 | 9.1", "C2 | 5/14/2031 | NB-1 | 21+00 | ~9.5"];
    let first = read(vec![cores(&rows)]);
    let filled = [("NB-1", "A. Moss", "6/3/2031"), ("9.6", "A. Moss", "6/3/2031")];
    let second = read(vec![cores(&rows), list(&first, &filled)]);
    assert_eq!(refusals(&second), [""; 0]);
    assert_eq!(lengths(&second).len(), 2);
    assert!(second.findings.iter().any(|f| f.message.starts_with("NB-1 is read in place of a blank")));
}

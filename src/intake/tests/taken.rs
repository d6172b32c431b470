//! What sheets say of cores and samples beyond their numbers: what a core was drilled for, which party took a sample,
//! whether it was split, what a referee settles, water-cement ratios and cores tested for strength.

use super::*;

/// Cores under some headings, all on one day in one lane; rows hold number, length and what the headings name.
fn cores(headings: &str, rows: &[&str]) -> Intake {
    let mut sheet = vec![format!("Core No. | Date | Lane | Station | Length (in) | {headings}")];
    for (station, row) in (12..).zip(rows) {
        let (number, rest) = row.split_once('|').unwrap();
        sheet.push(format!("{number} | {DAY} | NB-1 | {station}+00 | {rest}"));
    }
    let sheet: Vec<&str> = sheet.iter().map(String::as_str).collect();
    read_rows(&sheet)
}

fn purposes(intake: &Intake) -> Vec<Purpose> {
    intake.records.cores.iter().map(|c| c.purpose).collect()
}

#[test]
fn a_column_says_what_each_core_was_drilled_for() {
    use Purpose::{Check, Exploratory, Lot, Void};
    let intake = cores(
        "Purpose | Remarks",
        &[
            "C-1 | 9.1 | acceptance | ",
            "C-2 | 9.1 |  | ",
            "C-3 | 8.6 | Exploratory | north of C-2",
            "C-4 | 9.0 | check core | checks C-1",
            "C-5 | 6.2 | void | broke in the barrel",
            "C-6 | 10.9 | Low base | ",
            "C-7 | 10.4 | base fill | measured to the filter cloth",
            "C-8 | 9.2 | random | ",
            "C-9 | 9.2 | QC check | ",
        ],
    );
    assert_eq!(purposes(&intake), [Lot, Lot, Exploratory, Check, Void, Void, Void, Lot, Check]);
    let reason = |i: usize| intake.records.cores[i].remarks.as_ref().map(|r| r.value.to_string());
    assert_eq!(reason(4).as_deref(), Some("broke in the barrel"));
    assert_eq!(reason(5).as_deref(), Some("Low base"));
    assert_eq!(reason(6).as_deref(), Some("base fill; measured to the filter cloth"));
    assert_eq!(codes(&intake), [Code::CoreVoid, Code::CoreVoid, Code::CoreVoid], "void cores are said");
    assert!(intake.findings[0].message.contains("C-5") && intake.findings[0].message.contains("broke"));
}

#[test]
fn yes_under_a_heading_means_what_the_heading_says() {
    use Purpose::{Check, Exploratory, Lot, Void};
    let intake = cores("Exploratory? | Notes", &["C-1 | 9 | no | ", "C-2 | 9 | Y | ", "C-3 | 9 | x | "]);
    assert_eq!(purposes(&intake), [Lot, Exploratory, Exploratory]);
    let intake = cores("Check core | Notes", &["C-1 | 9 | no | ", "C-2 | 9 | yes | "]);
    assert_eq!(purposes(&intake), [Lot, Check]);
    let intake = cores("Void | Notes", &["C-1 | 9 | no | ", "C-2 | 9 | yes | hit a dowel", "C-3 | 9 | | "]);
    assert_eq!(purposes(&intake), [Lot, Void, Lot]);
    let intake = cores("Purpose | Notes", &["C-1 | 9 | yes | "]);
    assert!(only(&intake, Code::CellUnreadable).message.contains("does not say what the core is for"));
}

#[test]
fn a_void_core_without_a_reason_is_refused() {
    let intake = cores("Purpose | Remarks", &["C-1 | 8.2 | void | ", "C-2 | 8.2 | | VOID", "C-3 | 9.2 | | "]);
    assert_eq!(codes(&intake), [Code::CellMissing, Code::CellMissing]);
    assert_eq!(intake.findings[0].message, "core C-1 is marked void, and nothing says why");
    assert_eq!(intake.records.cores.len(), 1);
    assert_eq!(intake.sheets[0].rows.refused, 2);
}

#[test]
fn without_a_column_the_remarks_say_it() {
    use Purpose::{Exploratory, Lot, Void};
    let intake = cores(
        "Remarks",
        &[
            "C-1 | 9.1 | exploratory, south",
            "C-2 | 8.1 | VOID - broke along a joint",
            "C-3 | 10.8 | low subgrade here, filled with concrete",
            "C-4 | 9.1 | not exploratory",
            "C-5 | 9.1 | no low base found",
            "C-6 | 9.1 | void in the mortar near the bottom",
        ],
    );
    assert_eq!(purposes(&intake), [Exploratory, Void, Void, Lot, Lot, Lot]);
    assert_eq!(codes(&intake), [Code::CoreVoid, Code::CoreVoid]);
}

#[test]
fn remarks_that_speak_of_exploratory_cores_are_refused_unless_a_column_says_it() {
    let remark = "exploratory cores C-4 and C-5 both ways";
    let intake = cores("Remarks", &[&format!("C-3 | 8.2 | {remark}"), "C-6 | 9 | check core for C-3"]);
    assert!(only(&intake, Code::CorePurpose).message.contains("may be exploratory or not"));
    assert_eq!(purposes(&intake), [Purpose::Check]);
    let stated = cores("Purpose | Remarks", &[&format!("C-3 | 8.2 | lot | {remark}")]);
    assert_eq!((codes(&stated), purposes(&stated)), (vec![], vec![Purpose::Lot]));
}

#[test]
fn remarks_that_contradict_the_column_are_a_conflict() {
    let intake = cores(
        "Purpose | Remarks",
        &[
            "C-1 | 10.8 | lot | low base, filled with slab concrete",
            "C-2 | 9.0 | acceptance | exploratory",
            "C-3 | 9.0 | exploratory | void - broken",
            "C-4 | 9.0 | check | beside exploratory core C-3",
        ],
    );
    assert_eq!(codes(&intake), [Code::CorePurpose; 3]);
    assert_eq!(purposes(&intake), [Purpose::Check], "neither reading is taken");
    let conflict = &intake.findings[0];
    assert!(conflict.message.contains("'lot'") && conflict.message.contains("low base"), "{}", conflict.message);
    assert!(conflict.open);
    assert_eq!(conflict.related.len(), 1, "both cells are named");
}

#[test]
fn a_void_core_that_was_never_measured_is_set_aside() {
    let intake = cores("Type | Remarks", &["C-1 |  | void | fell apart", "C-2 |  |  | VOID: lost", "C-3 | 9 | | "]);
    assert_eq!(codes(&intake), []);
    assert_eq!(intake.unused.iter().map(|u| u.why).collect::<Vec<_>>(), [Unused::Void, Unused::Void]);
    assert!(intake.unused[0].reason.contains("fell apart"), "{}", intake.unused[0].reason);
}

#[test]
fn parties_from_a_column_and_a_persons_name_says_nothing() {
    use TakenBy::{Agency, Assurance, Contractor, Referee, Unstated};
    for heading in ["Tested by", "QC/QA", "Party", "Cored by", "Sample type"] {
        let intake = cores(
            heading,
            &[
                "C-1 | 9 | QC",
                "C-2 | 9 | Contractor",
                "C-3 | 9 | QA verification",
                "C-4 | 9 | Independent assurance",
                "C-5 | 9 | Referee",
                "C-6 | 9 | J. Doe",
                "C-7 | 9 | ",
                "C-8 | 9 | owner",
            ],
        );
        assert_eq!(codes(&intake), [], "{heading}");
        let parties: Vec<TakenBy> = intake.records.cores.iter().map(|c| c.taken_by).collect();
        assert_eq!(
            parties,
            [Contractor, Contractor, Agency, Assurance, Referee, Unstated, Unstated, Agency],
            "{heading}"
        );
        assert_eq!(intake.records.cores[5].by.as_ref().map(|b| &*b.value), Some("J. Doe"));
    }
}

#[test]
fn a_cell_that_names_two_parties_is_refused_with_both() {
    let intake = cores("Tested by", &["C-1 | 9 | contractor for owner"]);
    let finding = only(&intake, Code::CellUnreadable);
    assert!(finding.message.contains("contractor and agency"), "{}", finding.message);
}

#[test]
fn a_type_column_may_say_the_party_instead() {
    let intake =
        cores("Type", &["C-1 | 9 | QC", "C-2 | 9 | QA exploratory", "C-3 | 9 | acceptance", "C-4 | 9 | referee"]);
    assert_eq!(codes(&intake), []);
    assert_eq!(purposes(&intake), [Purpose::Lot, Purpose::Exploratory, Purpose::Lot, Purpose::Lot]);
    let parties: Vec<TakenBy> = intake.records.cores.iter().map(|c| c.taken_by).collect();
    assert_eq!(parties, [TakenBy::Contractor, TakenBy::Agency, TakenBy::Unstated, TakenBy::Referee]);
}

#[test]
fn split_and_independent_samples_and_what_a_referee_settles() {
    let intake = cores(
        "Party | Split/Independent | Referee for",
        &["C-1 | 9 | QC | split | ", "C-2 | 9 | QA | Independent | ", "C-3 | 9 | Referee | | C-1"],
    );
    assert_eq!(codes(&intake), []);
    let cores = &intake.records.cores;
    assert_eq!(
        cores.iter().map(|c| c.sampling).collect::<Vec<_>>(),
        [Sampling::Split, Sampling::Independent, Sampling::Unstated]
    );
    assert_eq!(cores[2].settles.as_ref().map(|s| &*s.value), Some("C-1"));
    assert_eq!(cores[2].settles.as_ref().map(|s| s.at.address()).as_deref(), Some("H4"));
}

#[test]
fn a_column_sample_says_the_number_or_beside_one_the_sampling() {
    let numbers = read_rows(&["Sample | Date | Lane | Sta | Length (in)", &format!("S-1 | {DAY} | NB-1 | 12+00 | 9")]);
    assert_eq!(&*numbers.records.cores[0].number.value, "S-1");
    let beside = cores("Sample", &["C-1 | 9 | split", "C-2 | 9 | independent", "C-3 | 9 | S-14"]);
    assert_eq!(codes(&beside), []);
    assert_eq!(
        beside.records.cores.iter().map(|c| c.sampling).collect::<Vec<_>>(),
        [Sampling::Split, Sampling::Independent, Sampling::Unstated]
    );
    let alone = read_rows(&["Sample | Date | Slump (in)", &format!("split | {DAY} | 2")]);
    assert!(only(&alone, Code::CellUnreadable).remedy.contains("columns = { \"Sample\" = \"sampling\" }"));
}

#[test]
fn both_halves_of_a_split_sample_stand_under_one_number() {
    let intake = read_rows(&[
        "Test No. | Date | Air (%) | Slump (in) | By | Split",
        &format!("14 | {DAY} | 6.1 | 2 | QC | yes"),
        &format!("14 | {DAY} | 6.6 | 2 | QA | yes"),
        &format!("14 | {DAY} | 6.6 | 2 | QA | yes"),
    ]);
    assert_eq!(codes(&intake), [Code::Repeated], "only the same party's row is the same test");
    let fresh = &intake.records.fresh;
    assert_eq!(
        fresh.iter().map(|f| (f.taken_by, f.sampling)).collect::<Vec<_>>(),
        [(TakenBy::Contractor, Sampling::Split), (TakenBy::Agency, Sampling::Split)]
    );
}

#[test]
fn the_same_core_measured_by_two_parties_is_one_core() {
    let intake = cores("Party", &["C-1 | 9 | QC", "C-1 | 9 | QA"]);
    assert_eq!(intake.records.cores.len(), 1);
    assert!(only(&intake, Code::Duplicate).message.contains("party: contractor"));
}

#[test]
fn water_cement_ratios_under_the_trades_headings() {
    for heading in ["w/c", "W/CM", "w/c ratio", "Water-cement ratio", "Water/cementitious", "w/cm (lb/lb)"] {
        let intake = read_rows(&[&format!("Ticket | Date | Air (%) | {heading}"), &format!("7 | {DAY} | 6 | 0.42")]);
        assert_eq!(codes(&intake), [], "{heading}");
        let ratio = intake.records.fresh[0].water_cement.as_ref();
        assert_eq!(ratio.map(|r| (r.value, r.at.address())), Some((dec!(0.42), "D2".into())), "{heading}");
    }
    let alone = read_rows(&["Ticket | Date | w/c", &format!("7 | {DAY} | 0.42")]);
    assert_eq!(alone.records.fresh.len(), 1);
    let percent = read_rows(&["Ticket | Date | w/c", &format!("7 | {DAY} | 42%")]);
    assert!(only(&percent, Code::CellUnreadable).message.contains("cannot be made a ratio"));
}

#[test]
fn a_plants_list_with_a_ratio_column_stays_a_list_of_loads() {
    let intake = read_rows(&["Ticket | Date | CY | w/cm", &format!("7 | {DAY} | 8 | 0.42")]);
    assert_eq!(intake.records.loads.len(), 1);
    assert!(only(&intake, Code::ColumnUnused).message.contains("'w/cm'"));
}

#[test]
fn cores_tested_for_strength_are_specimens_of_their_own_shape() {
    let intake = read_rows(&[
        "Core No. | Date placed | Date tested | Age (days) | Diameter (in) | Compressive strength (psi) | Tested by",
        &format!("S-1 | {DAY} | 5/28/2031 | 14 | 4 | 3,900 | Agency lab"),
    ]);
    assert_eq!(codes(&intake), []);
    let core = &intake.records.specimens[0];
    assert_eq!((core.shape, core.taken_by), (Shape::Core, TakenBy::Agency));
    let mixed = read_rows(&[
        "Specimen | Type | Cast | Age | Strength (psi)",
        &format!("1 | cylinder | {DAY} | 7 | 4000"),
        &format!("2 | drilled core | {DAY} | 7 | 3900"),
        &format!("3 | QC | {DAY} | 7 | 4100"),
        &format!("4 | cube | {DAY} | 7 | 4100"),
    ]);
    let shapes: Vec<Shape> = mixed.records.specimens.iter().map(|s| s.shape).collect();
    assert_eq!(shapes, [Shape::Cylinder, Shape::Core, Shape::Cylinder]);
    assert!(only(&mixed, Code::CellUnreadable).message.contains("nor a core"));
}

#[test]
fn a_sheet_of_core_lengths_with_a_strength_column_stays_a_sheet_of_cores() {
    let intake = cores("Strength (psi)", &["C-1 | 9 | 4100"]);
    assert_eq!(intake.records.cores.len(), 1);
    assert!(only(&intake, Code::ColumnUnused).message.contains("'Strength (psi)'"));
}

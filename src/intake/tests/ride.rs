//! Smoothness as profilers and crews write it down: segments with an index for each wheel path or pass, and straightedge
//! deviations.

use super::*;

fn readings(profile: &Profile) -> Vec<Decimal> {
    profile.readings.iter().map(|r| r.value).collect()
}

#[test]
fn roughness_of_segments_in_two_wheel_paths_with_their_average_left_out() {
    let intake = read_rows(&[
        "Smoothness, tenth-mile segments",
        "Segment | Date tested | Lane | From station | To station | LWP | RWP | MRI | Remarks",
        " | | | | | in/mi | in/mi | in/mi | ",
        &format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | 58.2 | 63.4 | 60.8 | "),
        &format!("2 | {DAY} | NB-1 | 17+28 | 20+00 | 71 | 69 | 70 | short"),
    ]);
    assert_eq!(codes(&intake), [Code::ColumnUnused]);
    assert!(intake.findings[0].message.contains("'MRI'"));
    let profiles = &intake.records.profiles;
    assert_eq!(intake.sheets[0].kinds, ["profiles"]);
    assert_eq!(readings(&profiles[0]), [dec!(58.2), dec!(63.4)]);
    assert_eq!(profiles[0].measure, RideIndex::Roughness);
    assert_eq!((profiles[1].from.value.label, profiles[1].to.value.label), (dec!(1728), dec!(2000)));
    assert_eq!(profiles[1].remarks.as_ref().map(|r| &*r.value), Some("short"));
}

#[test]
fn one_index_alone_is_the_reading() {
    for (heading, measure) in [
        ("IRI (in/mi)", RideIndex::Roughness),
        ("MRI in/mi", RideIndex::Roughness),
        ("IRI, in/mile", RideIndex::Roughness),
        ("Average IRI (inches per mile)", RideIndex::Roughness),
        ("PI (in/mi)", RideIndex::Profile),
        ("Profile index, in/mi", RideIndex::Profile),
    ] {
        let intake = read_rows(&[
            &format!("Date | Lane | Stations | {heading}"),
            &format!("{DAY} | NB-1 | 12+00 to 17+28 | 61"),
        ]);
        assert_eq!(codes(&intake), [], "{heading}");
        let profile = &intake.records.profiles[0];
        assert_eq!((readings(profile), profile.measure), (vec![dec!(61)], measure), "{heading}");
        assert_eq!(&*profile.number.value, "NB-1 12+00 to 17+28");
    }
}

#[test]
fn passes_under_a_group_heading_with_its_unit() {
    let mut sheet = sheet(
        "profilograph.xlsx",
        "x",
        &[
            "Seg | Date | Lane | Station | | PI (in/mi) | | | Average",
            " | | | From | To | Pass 1 | Pass 2 | Pass 3 | ",
            &format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | 4 | 5 | 0 | 3"),
        ],
    );
    sheet.merged = vec![(0, 3, 0, 4), (0, 5, 0, 7)];
    let intake = read_with(&setting(), vec![sheet]);
    let profile = &intake.records.profiles[0];
    assert_eq!((readings(profile), profile.measure), (vec![dec!(4), dec!(5), dec!(0)], RideIndex::Profile));
}

#[test]
fn metric_indices_are_kept_in_metres_per_kilometre_and_never_made_inches_per_mile() {
    let rows = |unit: &str| {
        [
            format!("Segment | Date | Lane | From | To | IRI left ({unit}) | IRI right ({unit})"),
            format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | 950 | 1010"),
        ]
    };
    let read = |setting: &Setting, unit: &str| {
        let rows = rows(unit);
        read_with(setting, vec![sheet("iri.csv", "x", &[&rows[0], &rows[1]])])
    };
    let mut si = setting();
    si.system = System::Si;
    let intake = read(&si, "mm/km");
    assert_eq!(readings(&intake.records.profiles[0]), [dec!(0.95), dec!(1.01)]);
    assert_eq!(intake.records.profiles[0].readings[0].typed.as_deref(), Some("950 mm/km"));
    let intake = read(&setting(), "m/km");
    assert!(intake.records.profiles.is_empty());
    assert!(intake.findings[0].message.contains("is in m/km, which cannot be made in/mi"), "{:?}", intake.findings);
}

#[test]
fn an_index_without_its_unit_is_refused_with_the_units_it_may_have() {
    let intake =
        read_rows(&["Segment | Date | Lane | From | To | IRI", &format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | 61")]);
    assert!(only(&intake, Code::UnitUnknown).remedy.contains("units = { reading = \"in/mi\" }   # or \"m/km\""));
}

#[test]
fn which_index_it_is_comes_from_the_row_the_headings_or_the_title_and_is_never_guessed() {
    let row = format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | 6 | 7");
    let head = "Segment | Date | Lane | From | To | Left (in/mi) | Right (in/mi)";
    let titled = read_rows(&["Profile index by profilograph", head, &row]);
    assert_eq!(titled.records.profiles[0].measure, RideIndex::Profile);
    let untold = read_rows(&["Smoothness record", head, &row]);
    let finding = only(&untold, Code::CellMissing);
    assert!(finding.message.contains("nothing says whether the readings are a roughness index"), "{}", finding.message);
    assert!(finding.remedy.contains("every_row = { index = \"IRI\" }"), "{}", finding.remedy);
    assert!(untold.records.profiles.is_empty());
    let mut said = setting();
    said.sheets.push(SheetRule { every_row: [("index".into(), "IRI".into())].into(), ..rule("book.xlsx") });
    let told = read_with(&said, vec![sheet("book.xlsx", "Sheet1", &["Smoothness record", head, &row])]);
    assert_eq!(told.records.profiles[0].measure, RideIndex::Roughness);
    let by_row = read_rows(&[&format!("{head} | Index"), &format!("{row} | PI"), &format!("{row} | ride number")]);
    assert_eq!(by_row.records.profiles[0].measure, RideIndex::Profile);
    assert!(only(&by_row, Code::CellUnreadable).message.contains("'ride number' is neither"));
}

#[test]
fn one_wheel_path_beside_an_average_is_not_the_whole_of_it() {
    let intake = read_rows(&[
        "Segment | Date | Lane | From | To | LWP (in/mi) | Other path (in/mi) | MRI (in/mi)",
        &format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | 58 | 64 | 61"),
    ]);
    assert_eq!(readings(&intake.records.profiles[0]), [dec!(61)]);
    assert!(only(&intake, Code::ColumnUnused).message.contains("'LWP (in/mi)'"));
}

#[test]
fn two_indices_of_one_segment_in_a_row_are_refused_with_both() {
    let row = format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | 58 | 4");
    let head = "Segment | Date | Lane | From | To | IRI (in/mi) | PI (in/mi)";
    let intake = read_rows(&[head, &row]);
    let finding = only(&intake, Code::CellMissing);
    assert!(finding.message.contains("both 'IRI (in/mi)' and 'PI (in/mi)' can be the reading"), "{}", finding.message);
    assert!(intake.records.profiles.is_empty());
    let mut said = setting();
    said.sheets.push(SheetRule { columns: [("PI (in/mi)".into(), "reading".into())].into(), ..rule("book.xlsx") });
    let told = read_with(&said, vec![sheet("book.xlsx", "Sheet1", &[head, &row])]);
    assert_eq!(
        (readings(&told.records.profiles[0]), told.records.profiles[0].measure),
        (vec![dec!(4)], RideIndex::Profile)
    );
}

#[test]
fn a_row_for_each_pass_is_a_conflict_and_never_half_a_segment_unsaid() {
    let row = |pass: &str, index: &str| format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | {pass} | {index}");
    let intake =
        read_rows(&["Segment | Date | Lane | From | To | Pass | IRI (in/mi)", &row("1", "58"), &row("2", "64")]);
    assert_eq!(codes(&intake), [Code::ColumnUnused, Code::Duplicate]);
}

#[test]
fn a_crews_sheet_with_a_pass_is_still_a_sheet_of_placements() {
    let intake = read_rows(&[
        "Placement | Date | Lane | From | To | Pass",
        &format!("P-1 | {DAY} | NB-1 | 12+00 | 17+28 | left"),
    ]);
    assert_eq!(intake.records.placements.len(), 1);
    assert_eq!(codes(&intake), [Code::ColumnUnused]);
}

#[test]
fn a_segment_measured_twice_with_other_values_is_a_conflict() {
    let row = |left: &str| format!("1 | {DAY} | NB-1 | 12+00 | 17+28 | {left} | 63");
    let intake = read_rows(&[
        "Segment | Date | Lane | From | To | LWP IRI (in/mi) | RWP IRI (in/mi)",
        &row("58"),
        &row("58"),
        &row("85"),
    ]);
    assert_eq!(intake.records.profiles.len(), 1);
    assert_eq!(codes(&intake), [Code::Repeated, Code::Duplicate]);
}

#[test]
fn straightedge_deviations_along_and_across() {
    let intake = read_rows(&[
        "Spot No. | Date checked | Lane | Station | Deviation (in) | Direction | Remarks",
        &format!("1 | {DAY} | NB-1 | 12+00 | 3/16 | longitudinal | "),
        &format!("2 | {DAY} | NB-1 | 12+10 | 1/4 | T | at the header"),
        &format!("3 | {DAY} | NB-1 | 12+20 | 0 | | "),
        &format!("4 | {DAY} | NB-1 | 12+30 | 0.1 | slantwise | "),
    ]);
    let all = &intake.records.straightedge;
    let shown: Vec<(Decimal, bool)> = all.iter().map(|s| (s.deviation.value, s.across)).collect();
    assert_eq!(shown, [(dec!(0.1875), false), (dec!(0.25), true), (dec!(0), false)]);
    assert_eq!(all[0].deviation.typed.as_deref(), Some("3/16"));
    assert!(only(&intake, Code::CellUnreadable).message.contains("does not say how the straightedge lay"));
}

#[test]
fn a_straightedge_sheet_in_millimetres_that_says_across_in_its_title() {
    let intake = read_rows(&[
        "Transverse straightedge checks",
        "Date | Lane | Station | Straightedge deviation (mm)",
        &format!("{DAY} | NB-1 | 12+00 | 5.08"),
    ]);
    let only = &intake.records.straightedge[0];
    assert_eq!((only.deviation.value, only.across), (dec!(0.2), true));
    assert_eq!(&*only.number.value, "NB-1 12+00");
    let column = read_rows(&[
        "Date | Lane | Station | Deviation (in) | Transverse",
        &format!("{DAY} | NB-1 | 12+00 | 0.2 | yes"),
        &format!("{DAY} | NB-1 | 13+00 | 0.2 | no"),
        &format!("{DAY} | NB-1 | 14+00 | 0.2 | "),
    ]);
    assert_eq!(column.records.straightedge.iter().map(|s| s.across).collect::<Vec<_>>(), [true, false, false]);
}

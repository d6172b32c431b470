//! Blank forms: every field has its column or a reason, every heading is read as the field it stands for, and what is the
//! form's own is no data.

use std::collections::BTreeSet;

use super::super::form_layout::LAYOUTS;
use super::super::grid::Grid;
use super::super::heading::{self, Sought};
use super::super::kind::{Field, KINDS, kind_named};
use super::*;

const SYSTEMS: [System; 2] = [System::Customary, System::Si];

/// The headings of a form as a sheet, below its mark or without it.
fn headings(form: &Form, marked: bool) -> RawSheet {
    let row = form.columns.iter().map(|c| c.heading.as_str()).collect::<Vec<_>>().join("|");
    let rows = if marked { vec![form.mark.as_str(), &row] } else { vec!["", row.as_str()] };
    sheet("form.xlsx", "Sheet1", &rows)
}

#[test]
fn every_field_of_every_kind_has_a_column_or_a_reason() {
    assert_eq!(
        LAYOUTS.iter().map(|l| l.kind).collect::<Vec<_>>(),
        kind_words(),
        "one form for each kind, in their order"
    );
    for layout in LAYOUTS {
        let kind = kind_named(layout.kind).unwrap();
        let known: BTreeSet<Field> = kind.fields.iter().map(|f| f.field).filter(|f| *f != Field::Elsewhere).collect();
        let asked: BTreeSet<Field> = layout.printed.iter().chain(layout.beyond).map(|a| a.field).collect();
        let left: BTreeSet<Field> = layout.left_out.iter().map(|(f, _)| *f).collect();
        assert!(asked.is_disjoint(&left), "{}: {:?}", layout.kind, asked.intersection(&left));
        let all: BTreeSet<Field> = asked.union(&left).copied().collect();
        assert_eq!(all, known, "{}", layout.kind);
        assert!(layout.printed.len() <= 14, "{}: {} columns", layout.kind, layout.printed.len());
    }
}

#[test]
fn every_heading_is_read_as_its_field_in_its_unit() {
    for (system, marked) in SYSTEMS.into_iter().flat_map(|s| [(s, true), (s, false)]) {
        let setting = Setting { system, ..setting() };
        let all = forms(system);
        assert_eq!(all.len(), KINDS.len());
        for form in all {
            let raw = headings(&form, marked);
            let grid = Grid::of(&raw, &setting, None);
            let Sought::Found(found) = heading::at_line(&grid, 0, system, &|_, _| false) else {
                panic!("{} is not recognised ({marked})", form.kind);
            };
            assert_eq!(found.kind.word, form.kind);
            assert_eq!((&found.unused, &found.twice), (&vec![], &None), "{}", form.kind);
            assert!(found.lacking.is_empty(), "{}: {:?}", form.kind, found.lacking);
            assert_eq!(found.columns.len(), form.columns.len(), "{}", form.kind);
            for (column, asked) in found.columns.iter().zip(&form.columns) {
                assert_eq!(column.field.word(), asked.field, "{}: {}", form.kind, asked.heading);
                let kept = column.holds.measure().and_then(|m| m.kept_in(system)).filter(|u| *u != Unit::One);
                assert!(column.unit == kept || column.unit == Some(Unit::Day), "{}: {}", form.kind, asked.heading);
                assert_eq!(column.stated, None, "{}: {}", form.kind, asked.heading);
            }
        }
    }
}

#[test]
fn what_a_form_prints_about_its_entries_is_never_heard() {
    // Above ordinary headings these words would name a step, a surface and a day.
    let rows = [
        "Contract: base course, saw cuts",
        "Date: 2031-05-02",
        "slabtally field form: probes",
        "Probe no|Date probed *|Lane *|Station *|Depth (in) *|Remarks",
        "Example, not read|@47982|NB-1|10+00|9.6",
        "D-1|@47982|NB-1|11+00|9.4",
    ];
    let intake = read_rows(&rows);
    assert_eq!(codes(&intake), []);
    assert_eq!(intake.records.probes.len(), 1);
    assert_eq!(&*intake.records.probes[0].number.value, "D-1");
    assert_eq!(intake.sheets[0].rows, RowCount { seen: 6, used: 1, heading: 5, ..RowCount::default() });
}

#[test]
fn a_day_in_the_title_block_of_a_form_is_given_to_no_row() {
    let rows = [
        "Date: 2031-05-02",
        "slabtally field form: probes",
        "Probe no|Date *|Lane *|Station *|Depth (in) *",
        "D-1||NB-1|11+00|9.4",
    ];
    assert_eq!(
        only(&read_rows(&rows), Code::CellMissing).message,
        "'Date *' is blank; a depth probe cannot be without it"
    );
}

#[test]
fn a_copy_of_the_example_that_was_filled_in_is_refused_not_dropped() {
    let rows = [
        "slabtally field form: probes",
        "Probe no|Date probed *|Lane *|Station *|Depth (in) *|Remarks",
        "Example, not read|@47982|NB-1|10+00|9.6",
        "D-1|@47982|NB-1|11+00|9.4",
        "Example, not read|@47982|NB-1|12+00|9.5",
    ];
    let intake = read_rows(&rows);
    let finding = only(&intake, Code::CellUnreadable);
    assert_eq!(
        finding.message,
        "'Example, not read' stands in a row below the form's own example; the row is not counted"
    );
    assert_eq!((intake.sheets[0].rows.used, intake.sheets[0].rows.refused), (1, 1));
}

#[test]
fn rows_that_somebody_put_above_a_form_are_read() {
    let rows = [
        "Probe no|Date|Lane|Station|Depth (in)",
        "D-0|@47982|NB-1|10+50|9.5",
        "slabtally field form: probes",
        "Probe no|Date probed *|Lane *|Station *|Depth (in) *|Remarks",
        "D-1|@47982|NB-1|11+00|9.4",
    ];
    let intake = read_rows(&rows);
    assert_eq!((codes(&intake), intake.records.probes.len()), (vec![], 2));
}

#[test]
fn a_title_block_that_was_filled_in_gives_nothing() {
    let rows = [
        "Depth probed in fresh concrete",
        "Recorded by|27|Begun on|@47982",
        "Sheet no|1|Of sheets|2",
        "slabtally field form: probes",
        "Probe no|Date probed *|Lane *|Station *|Depth (in) *|Remarks",
        "D-1|@47982|NB-1|11+00|9.4",
    ];
    let intake = read_rows(&rows);
    assert_eq!((codes(&intake), intake.records.probes.len(), intake.sheets[0].rows.heading), (vec![], 1, 5));
}

#[test]
fn the_lists_of_a_form_are_not_read() {
    let rows = [LISTS, "Ticket no|Date|Volume (yd3)", "1|@47982|9.5", "2|@47982|9.5"];
    let intake = read_rows(&rows);
    assert_eq!(codes(&intake), []);
    assert_eq!(intake.sheets[0].rows, RowCount { seen: 4, heading: 4, ..RowCount::default() });
}

#[test]
fn a_form_whose_own_rows_were_deleted_is_read_by_its_headings() {
    for form in forms(System::Customary) {
        let raw = headings(&form, false);
        assert_eq!(codes(&read_with(&setting(), vec![raw])), [], "{}", form.kind);
    }
}

//! Small jobs laid on the line, against geometry.

use rust_decimal::{Decimal, dec};

use super::fixture::{self, NB_1, NB_2, NB_S, read};
use super::{Line, lay, lots, mark_lots, placed_within, within};
use crate::contract::Contract;
use crate::figure::{Book, FigureId, TableId, check_dimensions};
use crate::finding::{Code, Finding};
use crate::intake::{Fresh, Outcome, Placement, Profile, Purpose, Records, RideIndex, Sampling, Straightedge, TakenBy};
use crate::rules::{Leftover, LotBy, LotRule, RuleNumber};
use crate::units::Unit;
fn value(book: &Book, id: FigureId) -> Decimal {
    book[id].value.decimal().unwrap()
}

fn laid(contract: &Contract, placements: Vec<Placement>) -> (Line, Book, Vec<Finding>) {
    let mut book = fixture::book();
    let mut records = fixture::records(placements, vec![]);
    let (line, findings) = lay(contract, &mut records, &mut book);
    for (_, figure) in book.figures() {
        assert_eq!(check_dimensions(&book, figure), Ok(()), "{}", figure.key);
    }
    let findings = findings.into_iter().filter(|f| f.code != Code::PlacementWithoutLoads).collect();
    (line, book, findings)
}

/// Geometry: 1,000 ft x 24 ft x 10 in are 2,666.67 yd2 and 740.74 yd3.
#[test]
fn two_lanes_of_a_thousand_feet() {
    let contract = fixture::contract();
    let paved = fixture::placement(&contract, "14", "2031-07-01", &[NB_1, NB_2], "20+00", "30+00");
    let (line, book, findings) = laid(&contract, vec![paved]);
    assert!(findings.is_empty());
    assert_eq!(line.stretches.len(), 2);
    let placed = &line.placements[0];
    assert_eq!(value(&book, placed.area.unwrap()), dec!(2666.66), "twice 1,333.33, each rounded as printed");
    assert_eq!(value(&book, placed.volume.unwrap()), dec!(740.74));
    assert_eq!(value(&book, book.by_key("placement-14.nb-1.length").unwrap()), dec!(1000.0));
}

/// Geometry, as above, in one lane of 24 ft.
#[test]
fn one_lane_of_twenty_four_feet() {
    let mut contract = fixture::contract();
    contract.lanes[0].widths[0].width.value = dec!(24);
    let paved = fixture::placement(&contract, "14", "2031-07-01", &[NB_1], "20+00", "30+00");
    let (line, book, _) = laid(&contract, vec![paved]);
    assert_eq!(value(&book, line.stretches[0].area), dec!(2666.67));
    assert_eq!(value(&book, line.stretches[0].volume), dec!(740.74));
}

/// Geometry: 500 m x 3.6 m x 250 mm are 1,800 m2 and 450 m3.
#[test]
fn metres_and_millimetres() {
    let contract = fixture::si_contract();
    let paved = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "0+250.000", "0+750.000");
    let (line, book, _) = laid(&contract, vec![paved]);
    assert_eq!(value(&book, line.stretches[0].area), dec!(1800));
    assert_eq!(value(&book, line.stretches[0].volume), dec!(450));
}

/// Geometry: 20+00 back = 22+50 ahead skips 250 ft of labels, 20+00 back = 19+00 ahead repeats 100 ft.
#[test]
fn lengths_cross_station_equations() {
    for (ahead, to, length) in [(dec!(2250), "24+00", dec!(350)), (dec!(1900), "24+00", dec!(700))] {
        let contract = fixture::contract_with(&[(dec!(2000), ahead)]);
        let paved = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "18+00", to);
        let (line, book, _) = laid(&contract, vec![paved]);
        assert_eq!(value(&book, line.stretches[0].length), length);
    }
}

#[test]
fn what_is_covered_twice_counts_once_and_is_said() {
    let contract = fixture::contract();
    let first = fixture::placement(&contract, "9", "2031-07-01", &[NB_1], "10+00", "12+00");
    let second = fixture::placement(&contract, "10", "2031-07-01", &[NB_1], "11+50", "14+00");
    let (line, book, findings) = laid(&contract, vec![second, first]);
    let lengths: Vec<Decimal> = line.stretches.iter().map(|s| value(&book, s.length)).collect();
    assert_eq!(lengths, [dec!(200), dec!(200)]);
    assert_eq!(line.overlaps.len(), 1);
    assert_eq!(
        findings[0].message,
        "placements 9 and 10 both cover lane NB-1 from 11+50 to 12+00 (50 ft); it is counted once, for placement 9 \
         of 2031-07-01"
    );
}

#[test]
fn a_gap_is_between_placements_only() {
    let contract = fixture::contract();
    let first = fixture::placement(&contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", "12+00");
    let second = fixture::placement(&contract, "2", "2031-07-02", &[NB_1], "13+00", "14+00");
    let (line, _, findings) = laid(&contract, vec![first, second]);
    assert_eq!(line.unplaced.len(), 1);
    assert_eq!((findings[0].code, findings[0].open), (Code::NotPlaced, false));
    assert_eq!(
        findings[0].message,
        "lane NB-1 has no placement from 12+00 to 13+00 (100 ft), with placements on both sides"
    );
}

#[test]
fn a_placement_without_length_or_section_is_said() {
    let mut contract = fixture::contract();
    contract.sections[0].to = fixture::station(&contract, NB_1, "12+00");
    let beyond = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "11+00", "13+00");
    let empty = fixture::placement(&contract, "2", "2031-07-01", &[NB_1], "11+00", "11+00");
    let (line, book, findings) = laid(&contract, vec![beyond, empty]);
    assert_eq!(value(&book, line.placements[0].area.unwrap()), dec!(133.33));
    assert_eq!(line.placements[1].area, None);
    assert_eq!(findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::PlacedNowhere; 2]);
}

#[test]
fn loads_stand_by_placement_day_and_ticket() {
    let contract = fixture::contract();
    let placements = ["1", "2"].map(|n| fixture::placement(&contract, n, "2031-07-01", &[NB_1], "10+00", "12+00"));
    let load = |ticket, placement| fixture::load(ticket, "2031-07-01", dec!(8), placement);
    let mut rejected = load(10, Some("1"));
    rejected.outcome = Outcome::Rejected;
    let loads = vec![load(7, Some("2")), rejected, load(8, None), load(9, Some("1")), load(2, Some("2"))];
    let mut records = fixture::records(placements.to_vec(), loads);
    let mut book = fixture::book();
    let (line, findings) = lay(&contract, &mut records, &mut book);
    let tickets: Vec<&str> = records.loads.iter().map(|l| &*l.ticket.value).collect();
    assert_eq!(tickets, ["9", "10", "2", "7", "8"]);
    let table = book.table(line.ledger.loads);
    assert_eq!((0..5).map(|r| table.row_name(r)).collect::<Vec<_>>(), tickets);
    assert_eq!(line.placements.iter().map(|p| p.loads).collect::<Vec<_>>(), [(0, 2), (2, 4)]);
    assert_eq!(line.loose_loads, (4, 5));
    assert_eq!(findings.iter().filter(|f| f.code == Code::LoadWithoutPlacement).count(), 1);
}

#[test]
fn the_placed_part_of_lots_is_all_that_is_placed() {
    let contract = fixture::contract();
    let placements = vec![
        fixture::placement(&contract, "1", "2031-07-01", &[NB_S], "10+30", "16+00"),
        fixture::placement(&contract, "2", "2031-07-02", &[NB_S], "16+00", "28+12.5"),
    ];
    let (line, mut book, _) = laid(&contract, placements);
    let size = RuleNumber {
        value: dec!(250),
        unit: Unit::SquareYard,
        written: "250 yd2".into(),
        set: "example".into(),
        key: "lot.size".into(),
        clause: String::new(),
    };
    let rule = LotRule { by: LotBy::Area(size), leftover: Leftover::Own };
    mark_lots(&contract, &rule, &mut book);
    let mut area = Decimal::ZERO;
    for lot in lots(&contract, &Records::default(), &line, &rule).iter().filter(|l| l.section == 1) {
        if let Some(placed) = placed_within(&line, &contract, &mut book, &lot.places, &lot.key, &lot.name) {
            area += value(&book, placed.area);
        }
    }
    let whole: Decimal = line.stretches.iter().map(|s| value(&book, s.area)).sum();
    assert!((area - whole).abs() < dec!(0.6), "{area} against {whole}: each length is rounded to 0.1 ft");
    assert!(!book.givens().any(|(_, g)| g.label == "station, along the line"), "every cut has its proof");
}

#[test]
fn a_cut_at_a_core_points_at_the_core() {
    let contract = fixture::contract();
    let mut records =
        fixture::records(vec![fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "20+00")], vec![]);
    records.cores = vec![
        fixture::core(&contract, "C-1", NB_1, "12+00", &[dec!(9.5)]),
        fixture::core(&contract, "C-2", NB_1, "14+00", &[dec!(9.5)]),
    ];
    let mut book = fixture::book();
    let (line, _) = lay(&contract, &mut records, &mut book);
    let places = [(NB_1, fixture::station(&contract, NB_1, "12+00"), fixture::station(&contract, NB_1, "13+00"))];
    let placed = placed_within(&line, &contract, &mut book, &places, "zone", "zone").unwrap();
    let calculation = crate::figure::hand(&book, placed.length);
    assert_eq!(calculation.formula, "(12+00 + 14+00) / 2 - 12+00");
    assert_eq!(calculation.numbers, "(200.0 + 400.0) / 2 - 200.0");
    let core = book.by_key("core-c-2.station").unwrap();
    assert_eq!(book[core].expr, line.ledger.core_along(1).into());
    assert_eq!(value(&book, placed.length), dec!(100.0));
    assert!(within(&line, NB_2, places[0].1, places[0].2).is_empty());
}

fn headings(book: &Book, table: TableId) -> Vec<&'static str> {
    book.table(table).columns.iter().map(|c| c.heading).collect()
}

#[test]
fn who_took_a_core_stands_behind_its_readings_where_any_sheet_says_it() {
    let contract = fixture::contract();
    let core = |n: &str, readings: &[Decimal]| fixture::core(&contract, n, NB_1, "12+00", readings);
    let mut silent = Records { cores: vec![core("C-1", &[dec!(9), dec!(9.5)])], ..Records::default() };
    let mut book = fixture::book();
    let (line, _) = lay(&contract, &mut silent, &mut book);
    let plain = headings(&book, line.ledger.cores);
    assert_eq!(plain.last(), Some(&"Reading 2"), "nothing is added where no sheet says it");

    let mut check = core("C-2", &[dec!(9.25)]);
    check.purpose = Purpose::Check;
    check.taken_by = TakenBy::Agency;
    check.by = Some(fixture::read("QA verification".into(), 2, 2, 9));
    check.settles = Some(fixture::read("C-1".into(), 2, 2, 10));
    let mut said = Records { cores: vec![core("C-1", &[dec!(9), dec!(9.5)]), check], ..Records::default() };
    let mut book = fixture::book();
    let (line, _) = lay(&contract, &mut said, &mut book);
    let with = headings(&book, line.ledger.cores);
    assert_eq!(with, [plain, vec!["Taken by", "Settles"]].concat(), "no column for what nobody says");
    let row: Vec<String> =
        book.table(line.ledger.cores).rows().nth(1).unwrap()[6..].iter().map(|cell| cell.value.to_string()).collect();
    assert_eq!(row, ["check", "", "9.25", "", "agency", "C-1"]);
    let taken = book.table(line.ledger.cores).cell(1, 10).unwrap();
    assert_eq!(taken.typed.as_deref(), Some("QA verification"));
    assert_eq!(book.table(line.ledger.cores).number(1, line.ledger.core_reading(1, 0).column), Some(dec!(9.25)));
}

#[test]
fn ratios_segments_and_deviations_stand_where_the_ledger_says() {
    let contract = fixture::contract();
    let station = |at: &str| read(fixture::station(&contract, NB_1, at), 3, 1, 3);
    let fresh = Fresh {
        number: read("F-1".into(), 3, 1, 0),
        date: read(fixture::day("2031-07-01"), 3, 1, 1),
        ticket: None,
        placement: None,
        lane: None,
        station: None,
        slump: None,
        air: Some(read(dec!(6), 3, 1, 4)),
        temperature: None,
        density: None,
        water_cement: Some(read(dec!(0.42), 3, 1, 5)),
        taken_by: TakenBy::Contractor,
        by: None,
        sampling: Sampling::Split,
        settles: None,
        remarks: None,
    };
    let profile = Profile {
        number: read("1".into(), 3, 1, 0),
        date: read(fixture::day("2031-07-01"), 3, 1, 1),
        lane: read(NB_1, 3, 1, 2),
        from: station("12+00"),
        to: station("17+28"),
        readings: vec![read(dec!(58.2), 3, 1, 5), read(dec!(63.4), 3, 1, 6)],
        measure: RideIndex::Roughness,
        remarks: None,
    };
    let deviation = Straightedge {
        number: read("1".into(), 3, 1, 0),
        date: read(fixture::day("2031-07-01"), 3, 1, 1),
        lane: read(NB_1, 3, 1, 2),
        station: station("12+50"),
        deviation: read(dec!(0.1875), 3, 1, 5),
        across: true,
        remarks: None,
    };
    let mut records =
        Records { fresh: vec![fresh], profiles: vec![profile], straightedge: vec![deviation], ..Records::default() };
    let mut book = fixture::book();
    let (line, _) = lay(&contract, &mut records, &mut book);
    let ledger = line.ledger;
    let number = |cell: crate::figure::CellId| book.table(cell.table).number(cell.row, cell.column);
    assert_eq!(number(ledger.fresh_water_cement(0)), Some(dec!(0.42)));
    assert_eq!((number(ledger.profile_from(0)), number(ledger.profile_to(0))), (Some(dec!(200)), Some(dec!(728))));
    assert_eq!(number(ledger.profile_reading(0, 1)), Some(dec!(63.4)));
    assert_eq!(number(ledger.straightedge_along(0)), Some(dec!(250)));
    assert_eq!(number(ledger.straightedge_deviation(0)), Some(dec!(0.1875)));
    let column = |cell: crate::figure::CellId| book.table(cell.table).columns[usize::from(cell.column)].unit;
    assert_eq!(column(ledger.profile_reading(0, 0)), Unit::InchPerMile);
    assert_eq!(column(ledger.straightedge_deviation(0)), Unit::Inch);
    assert_eq!(headings(&book, ledger.fresh)[11..], ["Water-cement", "Taken by", "Sample"]);
}

//! A small contract and its records, built by hand for the tests of this rank and below.
//!
//! `NB` runs from 10+00 to 40+00: lanes `NB-1` and `NB-2` of 12 ft, 10 in thick and 4,000 psi at 28 days as section
//! `NB mainline`, and `NB-S`, 8 ft wide to 15+00, tapering to 11 ft at 16+50, as section `NB shoulder`, 8 in thick.
//! Every value stands in a cell of its own kind of sheet.

use chrono::{NaiveDate, NaiveTime};
use rust_decimal::{Decimal, RoundingStrategy, dec};

use crate::contract::{
    Batching, Choices, Contract, Entered, FreshLimits, Lane, Parties, Period, Roundings, RuleChoice, Section, Width,
    Yields,
};
use crate::figure::Book;
use crate::intake::{
    Batch, Billed, Charge, Core, DateOrder, Fresh, Ingredient, LaneId, Level, Load, Outcome, Placement, Read, Records,
    Specimen, Surface,
};
use crate::source::{CellRef, SheetId, Sources};
use crate::units::{Alignment, Equation, Side, Station, StationLabel, System, Unit};

/// `NB-1`, `NB-2` and `NB-S` of [`contract`].
pub(crate) const NB_1: LaneId = LaneId(0);
pub(crate) const NB_2: LaneId = LaneId(1);
pub(crate) const NB_S: LaneId = LaneId(2);

/// A contract value on a line of the file.
pub(crate) fn entered(value: Decimal, unit: Unit, line: u32, key: &str) -> Entered {
    Entered { value, unit, written: format!("{value} {unit}"), line, key: key.into() }
}

/// A US customary contract; see the top of the file.
pub(crate) fn contract() -> Contract {
    contract_with(&[])
}

/// The same with station equations, back and ahead.
pub(crate) fn contract_with(equations: &[(Decimal, Decimal)]) -> Contract {
    let alignment = Alignment {
        name: "NB".into(),
        full_station: dec!(100),
        begin: dec!(1000),
        end: dec!(4000),
        equations: equations.iter().map(|&(back, ahead)| Equation { back, ahead }).collect(),
    };
    let (begin, end) = (alignment.at(dec!(0)), alignment.at(alignment.length()));
    let at = |along| alignment.at(along);
    let widths = |lane: usize, all: &[(Decimal, Decimal)]| -> Vec<Width> {
        let width = |(k, &(along, ft)): (usize, &(Decimal, Decimal))| Width {
            at: at(along),
            width: entered(ft, Unit::Foot, 30, &format!("lanes[{lane}].width[{k}].width")),
        };
        all.iter().enumerate().map(width).collect()
    };
    let lane = |name: &str, widths| Lane { name: name.into(), also: vec![], alignment: 0, side: Side::Right, widths };
    let section = |i: u32, name: &str, lanes: &[LaneId], inches, strength| Section {
        name: name.into(),
        from: begin,
        to: end,
        lines: (50 + 10 * i, 51 + 10 * i),
        lanes: lanes.to_vec(),
        thickness: entered(inches, Unit::Inch, 52 + 10 * i, &format!("sections[{i}].thickness")),
        strength,
        flexural: false,
    };
    let strength = Some((
        entered(dec!(4000), Unit::Psi, 53, "sections[0].strength"),
        entered(dec!(28), Unit::Day, 54, "sections[0].strength_age"),
    ));
    Contract {
        lanes: vec![
            lane("NB-1", widths(0, &[(dec!(0), dec!(12))])),
            lane("NB-2", widths(1, &[(dec!(0), dec!(12))])),
            lane("NB-S", widths(2, &[(dec!(0), dec!(8)), (dec!(500), dec!(8)), (dec!(650), dec!(11))])),
        ],
        sections: vec![
            section(0, "NB mainline", &[NB_1, NB_2], dec!(10), strength),
            section(1, "NB shoulder", &[NB_S], dec!(8), None),
        ],
        ..bare(System::Customary, vec![alignment])
    }
}

/// An SI contract: `M` from 0+000 to 2+000, one lane `M-1` of 3.6 m, 250 mm thick.
pub(crate) fn si_contract() -> Contract {
    let alignment =
        Alignment { name: "M".into(), full_station: dec!(1000), begin: dec!(0), end: dec!(2000), equations: vec![] };
    let (begin, end) = (alignment.at(dec!(0)), alignment.at(dec!(2000)));
    let width = entered(dec!(3.6), Unit::Metre, 30, "lanes[0].width");
    Contract {
        lanes: vec![Lane {
            name: "M-1".into(),
            also: vec![],
            alignment: 0,
            side: Side::Right,
            widths: vec![Width { at: begin, width }],
        }],
        sections: vec![Section {
            name: "main".into(),
            from: begin,
            to: end,
            lines: (50, 51),
            lanes: vec![LaneId(0)],
            thickness: entered(dec!(250), Unit::Millimetre, 52, "sections[0].thickness"),
            strength: None,
            flexural: false,
        }],
        ..bare(System::Si, vec![alignment])
    }
}

fn bare(system: System, alignments: Vec<Alignment>) -> Contract {
    let rounding = |text: &str| text.parse().unwrap();
    Contract {
        number: "T-1".into(),
        title: "Test road".into(),
        notice: String::new(),
        parties: Parties::default(),
        system,
        date_order: DateOrder::MonthDayYear,
        currency: "$".into(),
        alignments,
        lanes: vec![],
        sections: vec![],
        driveways: vec![],
        items: vec![],
        rules: RuleChoice::default(),
        choices: Choices::default(),
        roundings: Roundings {
            length: rounding("0.1 half up"),
            area: rounding("0.01 half up"),
            volume: rounding("0.01 half up"),
            money: rounding("0.01 half up"),
        },
        periods: vec![Period { number: 1, through: day("2031-07-31") }],
        payment: crate::contract::Payment::default(),
        yields: Yields { warn_over: Some(entered(dec!(5), Unit::Percent, 90, "yield.warn_over")), ..Yields::default() },
        mixes: vec![],
        batching: Batching::default(),
        tickets: None,
        supply: None,
        materials: vec![],
        fresh: FreshLimits::default(),
        draw: None,
        sheets: vec![],
        checking: false,
        papers: vec![],
        set_aside: vec![],
        text: String::new(),
        sha256: String::new(),
    }
}

/// `2031-07-01`.
pub(crate) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// The station of a label such as `12+50` on the alignment of a lane.
pub(crate) fn station(contract: &Contract, lane: LaneId, label: &str) -> Station {
    let alignment = contract.alignment(lane);
    alignment.place(StationLabel::read(label, alignment.full_station).unwrap().0).unwrap()
}

/// An empty book over one sheet for each kind of record.
pub(crate) fn book() -> Book {
    let mut sources = Sources::default();
    for file in ["placements", "loads", "cores", "specimens", "invoices"] {
        sources.add(format!("field/{file}.csv"), None);
    }
    Book::new(sources)
}

/// A value in a cell.
pub(crate) fn read<T>(value: T, sheet: u16, row: u32, column: u16) -> Read<T> {
    Read { value, at: CellRef::new(SheetId(sheet), row, column), typed: None }
}

/// A placement; `row` is its row on the sheet.
pub(crate) fn placement(
    contract: &Contract,
    number: &str,
    date: &str,
    lanes: &[LaneId],
    from: &str,
    to: &str,
) -> Placement {
    let row = number.parse().unwrap_or(0);
    Placement {
        number: read(number.into(), 0, row, 0),
        date: read(day(date), 0, row, 1),
        lanes: read(lanes.to_vec(), 0, row, 2),
        from: read(station(contract, lanes[0], from), 0, row, 3),
        to: read(station(contract, lanes[0], to), 0, row, 4),
        width: None,
        mix: Some(read("P-4000".into(), 0, row, 5)),
        crew: None,
        times: (None, None),
        by: None,
        checked_by: None,
        remarks: None,
    }
}

/// A load that went into the work.
pub(crate) fn load(ticket: u32, date: &str, volume: Decimal, placement: Option<&str>) -> Load {
    Load {
        ticket: read(ticket.to_string().into(), 1, ticket, 0),
        date: read(day(date), 1, ticket, 1),
        batched: None,
        arrived: None,
        discharged: None,
        plant: None,
        truck: None,
        mix: None,
        volume: read(volume, 1, ticket, 2),
        placement: placement.map(|p| read(p.into(), 1, ticket, 3)),
        lane: None,
        outcome: Outcome::Placed,
        wasted: None,
        returned: None,
        washed: None,
        elsewhere: None,
        water: None,
        withheld: None,
        revolutions: None,
        remarks: None,
    }
}

/// A line of an invoice that bills a ticket's concrete at a price.
pub(crate) fn billed(row: u32, invoice: &str, date: &str, ticket: u32, (volume, price): (Decimal, Decimal)) -> Billed {
    Billed {
        invoice: read(invoice.into(), 4, row, 0),
        date: read(day(date), 4, row, 1),
        ticket: Some(read(ticket.to_string().into(), 4, row, 2)),
        charge: Charge::Concrete,
        described: None,
        mix: None,
        volume: Some(read(volume, 4, row, 4)),
        minutes: None,
        price: Some(read(price, 4, row, 6)),
        amount: read((volume * price).round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero), 4, row, 7),
        remarks: None,
    }
}

/// A time on a load or placement.
pub(crate) fn time(text: &str) -> Read<NaiveTime> {
    read(NaiveTime::parse_from_str(text, "%H:%M").unwrap(), 1, 0, 4)
}

/// A core with its length readings.
pub(crate) fn core(contract: &Contract, number: &str, lane: LaneId, at: &str, readings: &[Decimal]) -> Core {
    let row = number.trim_start_matches("C-").parse().unwrap_or(0);
    Core {
        number: read(number.into(), 2, row, 0),
        date: read(day("2031-07-20"), 2, row, 1),
        lane: read(lane, 2, row, 2),
        station: read(station(contract, lane, at), 2, row, 3),
        offset: None,
        readings: (4..).zip(readings).map(|(column, &inches)| read(inches, 2, row, column)).collect(),
        purpose: crate::intake::Purpose::Lot,
        taken_by: crate::intake::TakenBy::Unstated,
        by: None,
        sampling: crate::intake::Sampling::Unstated,
        settles: None,
        remarks: None,
    }
}

/// A cylinder of 6 in, broken at 28 days under `load` where there is one.
pub(crate) fn cylinder(row: u32, set: &str, cast: &str, placement: &str, load: Option<Decimal>) -> Specimen {
    let cast = day(cast);
    Specimen {
        number: read(format!("{set}-{row}").into(), 3, row, 0),
        set: read(set.into(), 3, row, 1),
        shape: crate::intake::Shape::Cylinder,
        cast: read(cast, 3, row, 2),
        tested: load.map(|_| read(cast + chrono::Days::new(28), 3, row, 3)),
        age: Some(read(dec!(28), 3, row, 4)),
        diameter: Some(read(dec!(6), 3, row, 5)),
        load: load.map(|lbf| read(lbf, 3, row, 6)),
        strength: None,
        placement: Some(read(placement.into(), 3, row, 7)),
        lane: None,
        station: None,
        mix: None,
        taken_by: crate::intake::TakenBy::Unstated,
        by: None,
        sampling: crate::intake::Sampling::Unstated,
        settles: None,
        remarks: None,
    }
}

/// A density measured on a load.
pub(crate) fn density(row: u32, date: &str, ticket: u32, density: Decimal) -> Fresh {
    Fresh {
        number: read(format!("F-{row}").into(), 3, row, 0),
        date: read(day(date), 3, row, 1),
        ticket: Some(read(ticket.to_string().into(), 3, row, 2)),
        placement: None,
        lane: None,
        station: None,
        slump: None,
        air: None,
        temperature: None,
        density: Some(read(density, 3, row, 3)),
        water_cement: None,
        taken_by: crate::intake::TakenBy::Unstated,
        by: None,
        sampling: crate::intake::Sampling::Unstated,
        settles: None,
        remarks: None,
    }
}

/// Batch weights of a load.
pub(crate) fn batch(ticket: u32, date: &str, weights: &[(Ingredient, Decimal)]) -> Batch {
    let weights = (4..).zip(weights).map(|(column, &(of, mass))| (of, read(mass, 1, ticket, column)));
    Batch {
        ticket: read(ticket.to_string().into(), 1, ticket, 0),
        date: read(day(date), 1, ticket, 1),
        plant: None,
        mix: None,
        weights: weights.collect(),
        moistures: std::collections::BTreeMap::new(),
        total: None,
        remarks: None,
    }
}

/// A level of a surface: by design and as measured.
pub(crate) fn level(
    contract: &Contract,
    (row, surface): (u32, Surface),
    lane: LaneId,
    at: &str,
    (design, measured): (Decimal, Decimal),
) -> Level {
    Level {
        number: read(format!("L-{row}").into(), 2, row, 0),
        date: read(day("2031-06-30"), 2, row, 1),
        lane: read(lane, 2, row, 2),
        station: read(station(contract, lane, at), 2, row, 3),
        offset: None,
        surface,
        design: Some(read(design, 2, row, 4)),
        measured: read(measured, 2, row, 5),
        remarks: None,
    }
}

/// Placements and loads as records.
pub(crate) fn records(placements: Vec<Placement>, loads: Vec<Load>) -> Records {
    Records { placements, loads, ..Records::default() }
}

//! Where a distance along the line comes from: the station cell of a record, the contract's own station, or a figure.
//!
//! A formula never starts from a bare number, so every end of a stretch is given as the leaf that proves it.

use rust_decimal::Decimal;

use super::names::slug;
use super::{Line, Proof};
use crate::contract::Contract;
use crate::figure::{Book, CellId, Expr, Figure, FigureId, Given, GivenId, Origin, whole};
use crate::intake::{LaneId, Purpose, Records};
use crate::units::{Rounding, Station, plain};

impl Proof {
    /// The distance along the line.
    pub(super) fn leaf(
        self,
        contract: &Contract,
        ledger: &super::Ledger,
        book: &mut Book,
        end: (LaneId, Station),
    ) -> Expr {
        match self {
            Proof::PlacementFrom(p) => placement_end(contract, book, ledger.placement_from(p), "from", end).into(),
            Proof::PlacementTo(p) => placement_end(contract, book, ledger.placement_to(p), "to", end).into(),
            Proof::SectionFrom(s) => section_end(contract, book, s, false).into(),
            Proof::SectionTo(s) => section_end(contract, book, s, true).into(),
        }
    }
}

fn placement_end(contract: &Contract, book: &mut Book, cell: CellId, word: &str, end: (LaneId, Station)) -> FigureId {
    let number = book.table(cell.table).row_name(cell.row);
    let key = format!("placement-{}.{word}", slug(&number));
    at_cell(contract, book, cell, (&key, &format!("placement {number}, {word}, along the line")), end)
}

fn core_station(contract: &Contract, book: &mut Book, cell: CellId, end: (LaneId, Station)) -> FigureId {
    let number = book.table(cell.table).row_name(cell.row);
    let key = format!("core-{}.station", slug(&number));
    at_cell(contract, book, cell, (&key, &format!("core {number}, along the line")), end)
}

/// The station in a cell as a figure whose letter is the station as painted, so that a length reads `16+00 - 10+30`. Taken
/// up once for each cell; records of the same number get their own.
fn at_cell(
    contract: &Contract,
    book: &mut Book,
    cell: CellId,
    (key, label): (&str, &str),
    (lane, station): (LaneId, Station),
) -> FigureId {
    let mut known = book.by_key(key);
    let mut n = 2;
    while let Some(id) = known {
        if book[id].expr == Expr::Cell(cell) {
            return id;
        }
        known = book.by_key(&format!("{key}-{n}"));
        n += 1;
    }
    let painted = contract.station(lane, station);
    let own = u8::try_from(station.along.normalize().scale()).unwrap_or(u8::MAX);
    let decimals = own.clamp(contract.roundings.length.decimals(), 6.max(contract.roundings.length.decimals()));
    book.add(Figure::new(key, label, painted, contract.system.length(), cell).shown(decimals))
}

/// The beginning or end of a section, along the line, as a given value of the contract.
pub(super) fn section_end(contract: &Contract, book: &mut Book, s: usize, end: bool) -> GivenId {
    let section = &contract.sections[s];
    let (word, station, line) =
        if end { ("to", section.to, section.lines.1) } else { ("from", section.from, section.lines.0) };
    let what = if end { "end" } else { "beginning" };
    let written = section.lanes.first().map_or_else(String::new, |&lane| contract.station(lane, station));
    book.given(Given {
        label: format!("{what} of {}, along the line", section.name),
        symbol: written.clone(),
        value: station.along,
        unit: contract.system.length(),
        written,
        origin: Origin::Contract { line, key: format!("sections[{s}].{word}") },
    })
}

/// Key under which a computed station of an alignment stands in the book.
fn key(contract: &Contract, lane: LaneId, station: Station) -> String {
    format!("station.{}.{}", slug(&contract.alignment(lane).name), station.along.normalize())
}

/// Takes up how a station was obtained (a lot's end, half way between cores), so that figures that end there can say so.
///
/// `expr` is the distance along the line; `rounded` is how it was rounded. Taken up once for each point.
pub fn mark_station(
    contract: &Contract,
    book: &mut Book,
    (lane, station): (LaneId, Station),
    expr: impl Into<Expr>,
    (label, clause, rounded): (&str, &str, Option<Rounding>),
) -> FigureId {
    let key = key(contract, lane, station);
    if let Some(known) = book.by_key(&key) {
        return known;
    }
    let painted = contract.station(lane, station);
    let figure = Figure::new(key, format!("{label}, along the line"), painted, contract.system.length(), expr)
        .under(clause)
        .shown(2);
    book.add(match rounded {
        Some(rounding) => figure.rounded(rounding),
        None => figure,
    })
}

/// The leaf for a station at which somebody cuts a stretch: a figure taken up for it, a section's end, a core, the middle
/// between two cores of the lane; otherwise it stands as entered.
pub(super) fn cut(line: &Line, contract: &Contract, book: &mut Book, lane: LaneId, station: Station) -> Expr {
    if let Some(figure) = book.by_key(&key(contract, lane, station)) {
        return figure.into();
    }
    for (s, section) in contract.sections.iter().enumerate().filter(|(_, s)| s.lanes.contains(&lane)) {
        if section.from == station {
            return section_end(contract, book, s, false).into();
        }
        if section.to == station {
            return section_end(contract, book, s, true).into();
        }
    }
    at_cores(line, contract, book, lane, station).unwrap_or_else(|| {
        let given = Given {
            label: "station, along the line".into(),
            symbol: contract.station(lane, station),
            value: station.along,
            unit: contract.system.length(),
            written: contract.station(lane, station),
            origin: Origin::Entry { what: format!("station {}", contract.station(lane, station)) },
        };
        book.given(given).into()
    })
}

/// A core at the station, or two it lies half way between, the nearest first.
fn at_cores(line: &Line, contract: &Contract, book: &mut Book, lane: LaneId, station: Station) -> Option<Expr> {
    let cores = &line.cores_along;
    let here = |along: Decimal| cores.iter().find(|&&(l, a, _)| l == lane && a == along).map(|&(_, _, core)| core);
    let mut figure = |core: usize, along: Decimal| {
        let end = (lane, contract.alignment(lane).at(along));
        core_station(contract, book, line.ledger.core_along(core), end)
    };
    if let Some(core) = here(station.along) {
        return Some(figure(core, station.along).into());
    }
    let behind = cores.iter().filter(|&&(l, a, _)| l == lane && a < station.along).rev();
    let (core, a, beyond, b) = behind.into_iter().find_map(|&(_, a, core)| {
        let b = station.along + (station.along - a);
        here(b).map(|beyond| (core, a, beyond, b))
    })?;
    Some((figure(core, a) + figure(beyond, b)) / whole(2))
}

/// Where a core stands, as a figure.
pub fn station_of_core(
    line: &Line,
    contract: &Contract,
    book: &mut Book,
    core: usize,
    at: (LaneId, Station),
) -> FigureId {
    core_station(contract, book, line.ledger.core_along(core), at)
}

/// Cores by lane and distance along the line; void ones bound nothing.
pub(super) fn cores_along(records: &Records) -> Vec<(LaneId, Decimal, usize)> {
    let counting = records.cores.iter().enumerate().filter(|(_, c)| c.purpose != Purpose::Void);
    let mut cores: Vec<_> = counting.map(|(i, c)| (c.lane.value, c.station.value.along, i)).collect();
    cores.sort();
    cores
}

/// `12+00 to 13+50 (150 ft)`.
pub(super) fn stretch_words(contract: &Contract, lane: LaneId, from: Station, to: Station) -> String {
    format!(
        "{} to {} ({} {})",
        contract.station(lane, from),
        contract.station(lane, to),
        plain(to.along - from.along),
        contract.system.length()
    )
}

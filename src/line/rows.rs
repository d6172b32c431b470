//! Records as rows of the book's tables, every value with its cell and what was typed there.

use chrono::NaiveTime;
use rust_decimal::Decimal;

use super::Ledger;
use super::ledger::{self, load};
use super::taken::TakenColumns;
use crate::contract::Contract;
use crate::figure::{Book, CellValue, Table, TableCell, TableId};
use crate::intake::{
    Core, Fresh, LaneId, Load, Measured, Outcome, Placement, Probe, Profile, Read, Records, Shape, Specimen,
    Straightedge,
};
use crate::units::{Station, Unit};

/// Takes all records up into the book. `goes_to` says for each load which placement it went to.
pub(super) fn take_up(contract: &Contract, records: &Records, goes_to: &[Option<usize>], book: &mut Book) -> Ledger {
    let write = Write { contract, records };
    let system = contract.system;
    let readings = records.cores.iter().map(|c| c.readings.len()).max().unwrap_or(1);
    let passes = records.profiles.iter().map(|p| p.readings.len()).max().unwrap_or(1);
    let ratios = records.fresh.iter().any(|f| f.water_cement.is_some());
    let (of_cores, of_specimens) = (TakenColumns::of(&records.cores), TakenColumns::of(&records.specimens));
    let of_fresh = TakenColumns::of(&records.fresh);
    let cores = records.cores.iter().map(|c| write.core(c, readings, of_cores));
    let specimens = records.specimens.iter().map(|s| write.specimen(s, of_specimens));
    let fresh = records.fresh.iter().map(|f| write.fresh(f, ratios, of_fresh));
    let profiles = records.profiles.iter().map(|p| write.profile(p));
    let straightedge = records.straightedge.iter().map(|s| write.straightedge(s));
    let mut units: Vec<Unit> = contract.items.iter().map(|i| i.unit).collect();
    units.sort();
    units.dedup();
    let loads = records.loads.iter().zip(goes_to).map(|(l, &to)| write.load(l, to));
    let measured = records.measured.iter().map(|m| write.measured(m, &units));
    Ledger {
        placements: fill(book, ledger::placements(system), records.placements.iter().map(|p| write.placement(p))),
        loads: fill(book, ledger::loads(system), loads),
        cores: fill(book, ledger::cores(system, readings, of_cores.columns()), cores),
        probes: fill(book, ledger::probes(system), records.probes.iter().map(|p| write.probe(p))),
        specimens: fill(book, ledger::specimens(system, of_specimens.columns()), specimens),
        fresh: fill(book, ledger::fresh(system, ratios, of_fresh.columns()), fresh),
        profiles: fill(book, ledger::profiles(system, passes), profiles),
        straightedge: fill(book, ledger::straightedge(system), straightedge),
        measured: fill(book, ledger::measured(system, &units), measured),
    }
}

fn fill(book: &mut Book, mut table: Table, rows: impl Iterator<Item = Vec<TableCell>>) -> TableId {
    for row in rows {
        table.push(row);
    }
    align(&mut table);
    book.add_table(table)
}

/// As many decimals as a column's numbers have, up to four, so that the points stand under each other.
fn align(table: &mut Table) {
    let mut decimals: Vec<Option<u32>> = vec![None; table.columns.len()];
    for row in table.rows() {
        for (most, cell) in decimals.iter_mut().zip(row) {
            if let CellValue::Number(n) = cell.value {
                *most = Some(n.normalize().scale().max(most.unwrap_or(0)));
            }
        }
    }
    for (column, most) in table.columns.iter_mut().zip(decimals) {
        column.decimals = most.and_then(|d| u8::try_from(d.min(4)).ok());
    }
}

fn with<T>(read: &Read<T>, value: CellValue) -> TableCell {
    TableCell { value, at: Some(read.at), typed: read.typed.clone() }
}

pub(super) fn word(read: &Read<Box<str>>) -> TableCell {
    with(read, CellValue::Text(read.value.clone()))
}

fn maybe<T>(read: Option<&Read<T>>, cell: impl Fn(&Read<T>) -> TableCell) -> TableCell {
    read.map_or_else(TableCell::blank, cell)
}

fn words(read: Option<&Read<Box<str>>>) -> TableCell {
    maybe(read, word)
}

fn number(read: Option<&Read<Decimal>>) -> TableCell {
    maybe(read, |r| with(r, CellValue::Number(r.value)))
}

fn day(read: &Read<chrono::NaiveDate>) -> TableCell {
    with(read, CellValue::Date(read.value))
}

fn time(read: Option<&Read<NaiveTime>>) -> TableCell {
    maybe(read, |r| with(r, CellValue::Time(r.value)))
}

/// Writes rows in the words of a contract.
struct Write<'c> {
    contract: &'c Contract,
    records: &'c Records,
}

impl Write<'_> {
    fn lane(&self, read: &Read<LaneId>) -> TableCell {
        with(read, CellValue::Text(self.contract.lane(read.value).name.as_str().into()))
    }

    fn lanes(&self, read: &Read<Vec<LaneId>>) -> TableCell {
        let names: Vec<&str> = read.value.iter().map(|&l| self.contract.lane(l).name.as_str()).collect();
        with(read, CellValue::Text(names.join(", ").into()))
    }

    /// The label as painted; without a lane, as in the first alignment.
    fn painted(&self, lane: Option<LaneId>, station: Station) -> String {
        match (lane, self.contract.alignments.first()) {
            (Some(lane), _) => self.contract.station(lane, station),
            (None, Some(alignment)) => alignment.write(station.label),
            (None, None) => station.label.to_string(),
        }
    }

    fn station(&self, lane: Option<LaneId>, read: &Read<Station>) -> TableCell {
        with(read, CellValue::Text(self.painted(lane, read.value).into()))
    }

    /// Distance along, under the cell and the text of the station.
    fn along(&self, lane: Option<LaneId>, read: &Read<Station>) -> TableCell {
        let typed = read.typed.clone().unwrap_or_else(|| self.painted(lane, read.value).into());
        TableCell { value: CellValue::Number(read.value.along), at: Some(read.at), typed: Some(typed) }
    }

    fn placement(&self, p: &Placement) -> Vec<TableCell> {
        let lane = p.lanes.value.first().copied();
        vec![
            word(&p.number),
            day(&p.date),
            self.lanes(&p.lanes),
            self.station(lane, &p.from),
            self.station(lane, &p.to),
            self.along(lane, &p.from),
            self.along(lane, &p.to),
            words(p.mix.as_ref()),
            words(p.crew.as_ref()),
            time(p.times.0.as_ref()),
            time(p.times.1.as_ref()),
            words(p.remarks.as_ref()),
        ]
    }

    fn load(&self, l: &Load, goes_to: Option<usize>) -> Vec<TableCell> {
        let placement = goes_to.and_then(|p| self.records.placements.get(p));
        let number = |p: &Placement| TableCell::derived(CellValue::Text(p.number.value.clone()));
        let outcome = match l.outcome {
            Outcome::Placed => load::PLACED,
            Outcome::Rejected => load::REJECTED,
        };
        vec![
            word(&l.ticket),
            day(&l.date),
            placement.map_or_else(TableCell::blank, number),
            self::number(Some(&l.volume)),
            TableCell::derived(CellValue::Word(outcome)),
            self::number(l.wasted.as_ref()),
            self::number(l.returned.as_ref()),
            time(l.batched.as_ref()),
            time(l.discharged.as_ref()),
            words(l.plant.as_ref()),
            words(l.truck.as_ref()),
            words(l.mix.as_ref()),
            words(l.placement.as_ref()),
            maybe(l.lane.as_ref(), |r| self.lane(r)),
            words(l.water.as_ref()),
            words(l.remarks.as_ref()),
        ]
    }

    fn core(&self, c: &Core, readings: usize, taken: TakenColumns) -> Vec<TableCell> {
        let lane = Some(c.lane.value);
        let mut row = vec![
            word(&c.number),
            day(&c.date),
            self.lane(&c.lane),
            self.station(lane, &c.station),
            self.along(lane, &c.station),
            words(c.offset.as_ref()),
            TableCell::derived(CellValue::Word(c.purpose.word())),
            words(c.remarks.as_ref()),
        ];
        row.extend(c.readings.iter().map(|r| number(Some(r))));
        let taken = taken.cells(c);
        if !taken.is_empty() {
            row.extend((c.readings.len()..readings).map(|_| TableCell::blank()));
            row.extend(taken);
        }
        row
    }

    fn probe(&self, p: &Probe) -> Vec<TableCell> {
        let lane = Some(p.lane.value);
        vec![
            word(&p.number),
            day(&p.date),
            self.lane(&p.lane),
            self.station(lane, &p.station),
            self.along(lane, &p.station),
            number(Some(&p.depth)),
            words(p.remarks.as_ref()),
        ]
    }

    fn specimen(&self, s: &Specimen, taken: TakenColumns) -> Vec<TableCell> {
        let lane = s.lane.as_ref().map(|l| l.value);
        let shape = match s.shape {
            Shape::Cylinder => "cylinder",
            Shape::Beam => "beam",
            Shape::Core => "core",
        };
        let mut row = vec![
            word(&s.number),
            word(&s.set),
            TableCell::derived(CellValue::Word(shape)),
            day(&s.cast),
            maybe(s.tested.as_ref(), day),
            number(s.age.as_ref()),
            number(s.diameter.as_ref()),
            number(s.load.as_ref()),
            number(s.strength.as_ref()),
            words(s.placement.as_ref()),
            maybe(s.lane.as_ref(), |r| self.lane(r)),
            maybe(s.station.as_ref(), |r| self.station(lane, r)),
            words(s.mix.as_ref()),
            words(s.remarks.as_ref()),
        ];
        row.extend(taken.cells(s));
        row
    }

    fn fresh(&self, f: &Fresh, ratios: bool, taken: TakenColumns) -> Vec<TableCell> {
        let lane = f.lane.as_ref().map(|l| l.value);
        let mut row = vec![
            word(&f.number),
            day(&f.date),
            words(f.ticket.as_ref()),
            words(f.placement.as_ref()),
            maybe(f.lane.as_ref(), |r| self.lane(r)),
            maybe(f.station.as_ref(), |r| self.station(lane, r)),
            number(f.slump.as_ref()),
            number(f.air.as_ref()),
            number(f.temperature.as_ref()),
            number(f.density.as_ref()),
            words(f.remarks.as_ref()),
        ];
        row.extend(ratios.then(|| number(f.water_cement.as_ref())));
        row.extend(taken.cells(f));
        row
    }

    fn profile(&self, p: &Profile) -> Vec<TableCell> {
        let lane = Some(p.lane.value);
        let mut row = vec![
            word(&p.number),
            day(&p.date),
            self.lane(&p.lane),
            self.station(lane, &p.from),
            self.station(lane, &p.to),
            self.along(lane, &p.from),
            self.along(lane, &p.to),
            TableCell::derived(CellValue::Word(p.measure.word())),
            words(p.remarks.as_ref()),
        ];
        row.extend(p.readings.iter().map(|r| number(Some(r))));
        row
    }

    fn straightedge(&self, s: &Straightedge) -> Vec<TableCell> {
        let lane = Some(s.lane.value);
        vec![
            word(&s.number),
            day(&s.date),
            self.lane(&s.lane),
            self.station(lane, &s.station),
            self.along(lane, &s.station),
            TableCell::derived(CellValue::Word(if s.across { "across" } else { "along" })),
            number(Some(&s.deviation)),
            words(s.remarks.as_ref()),
        ]
    }

    fn measured(&self, m: &Measured, units: &[Unit]) -> Vec<TableCell> {
        let item = self.contract.items.get(m.item.value);
        let item_number = item.map_or("", |i| i.number.as_str());
        let entry = m.location.as_ref().map_or_else(|| format!("row {}", m.item.at.row + 1), |l| l.value.to_string());
        let mut row = vec![
            TableCell::derived(CellValue::Text(entry.into())),
            with(&m.item, CellValue::Text(item_number.into())),
            day(&m.date),
            words(m.location.as_ref()),
            number(m.length.as_ref()),
            number(m.width.as_ref()),
            number(m.depth.as_ref()),
            number(m.count.as_ref()),
            words(m.by.as_ref()),
            words(m.remarks.as_ref()),
        ];
        let own = |unit: &Unit| item.is_some_and(|i| i.unit == *unit);
        row.extend(units.iter().map(|u| if own(u) { number(m.quantity.as_ref()) } else { TableCell::blank() }));
        row
    }
}

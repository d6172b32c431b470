//! Records as rows of the book's tables, every value with its cell and what was typed there.

use chrono::{NaiveTime, Timelike};
use rust_decimal::Decimal;

use super::Ledger;
use super::ledger::{self, LoadColumns, PersonColumns, load};
use super::stepped;
use super::taken::TakenColumns;
use crate::contract::{Contract, Item};
use crate::figure::{Book, CellValue, Table, TableCell, TableId};
use crate::intake::{
    Batch, Billed, Charge, Core, Delivered, Fresh, Ingredient, LaneId, Level, Load, Measured, Outcome, Placement,
    Probe, Profile, Read, Records, Shape, Specimen, Straightedge,
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
    let mut units: Vec<Unit> = contract.items.iter().map(Item::entered_in).collect();
    units.sort();
    units.dedup();
    let load_columns = LoadColumns::of(contract, &records.loads);
    let loads = records.loads.iter().zip(goes_to).map(|(l, &to)| write.load(l, to, load_columns));
    let of_measured = PersonColumns { by: false, checked: records.measured.iter().any(|m| m.checked_by.is_some()) };
    let measured = records.measured.iter().map(|m| write.measured(m, &units, of_measured));
    let widths = records.placements.iter().any(|p| p.width.is_some());
    let ended = ledger::ended(widths, records);
    let of_placements = PersonColumns {
        by: records.placements.iter().any(|p| p.by.is_some()),
        checked: records.placements.iter().any(|p| p.checked_by.is_some()),
    };
    let placements = records.placements.iter().map(|p| write.placement(p, (widths, ended.is_some()), of_placements));
    let mut of_materials: Vec<Unit> = contract.materials.iter().map(|m| m.unit).collect();
    of_materials.sort();
    of_materials.dedup();
    let delivered = records.delivered.iter().map(|d| write.delivered(d, &of_materials));
    Ledger {
        placements: fill(book, ledger::placements(system, widths, ended.is_some(), of_placements), placements),
        loads: fill(book, ledger::loads(system, load_columns), loads),
        cores: fill(book, ledger::cores(system, readings, of_cores.columns()), cores),
        probes: fill(book, ledger::probes(system), records.probes.iter().map(|p| write.probe(p))),
        specimens: fill(book, ledger::specimens(system, of_specimens.columns()), specimens),
        fresh: fill(book, ledger::fresh(system, ratios, of_fresh.columns()), fresh),
        profiles: fill(book, ledger::profiles(system, passes), profiles),
        straightedge: fill(book, ledger::straightedge(system), straightedge),
        measured: fill(book, ledger::measured(system, &units, of_measured), measured),
        batches: fill(book, ledger::batches(system), records.batches.iter().map(Write::batch)),
        levels: fill(book, ledger::levels(system), records.levels.iter().map(|l| write.level(l))),
        delivered: fill(book, ledger::delivered(system, &of_materials), delivered),
        billed: fill(book, ledger::billed(system), records.billed.iter().map(Write::billed)),
        steps: stepped::take_up(&write, book),
        load_columns,
        ended,
    }
}

pub(super) fn fill(book: &mut Book, mut table: Table, rows: impl Iterator<Item = Vec<TableCell>>) -> TableId {
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

pub(super) fn with<T>(read: &Read<T>, value: CellValue) -> TableCell {
    TableCell { value, at: Some(read.at), typed: read.typed.clone() }
}

pub(super) fn word(read: &Read<Box<str>>) -> TableCell {
    with(read, CellValue::Text(read.value.clone()))
}

pub(super) fn maybe<T>(read: Option<&Read<T>>, cell: impl Fn(&Read<T>) -> TableCell) -> TableCell {
    read.map_or_else(TableCell::blank, cell)
}

pub(super) fn words(read: Option<&Read<Box<str>>>) -> TableCell {
    maybe(read, word)
}

pub(super) fn number(read: Option<&Read<Decimal>>) -> TableCell {
    maybe(read, |r| with(r, CellValue::Number(r.value)))
}

pub(super) fn day(read: &Read<chrono::NaiveDate>) -> TableCell {
    with(read, CellValue::Date(read.value))
}

/// Minutes since midnight, under the cell and the text of the time.
fn minute_of_day(read: &Read<NaiveTime>) -> TableCell {
    of_day(read, 60)
}

/// Hours since midnight, likewise.
pub(super) fn hour_of_day(read: &Read<NaiveTime>) -> TableCell {
    of_day(read, 3600)
}

fn of_day(read: &Read<NaiveTime>, seconds_each: u32) -> TableCell {
    let seconds = Decimal::from(read.value.num_seconds_from_midnight());
    let typed = read.typed.clone().unwrap_or_else(|| read.value.format("%H:%M").to_string().into());
    let value = CellValue::Number(seconds / Decimal::from(seconds_each));
    TableCell { value, at: Some(read.at), typed: Some(typed) }
}

pub(super) fn time(read: Option<&Read<NaiveTime>>) -> TableCell {
    maybe(read, |r| with(r, CellValue::Time(r.value)))
}

/// Writes rows in the words of a contract.
pub(super) struct Write<'c> {
    pub(super) contract: &'c Contract,
    pub(super) records: &'c Records,
}

impl Write<'_> {
    pub(super) fn lane(&self, read: &Read<LaneId>) -> TableCell {
        with(read, CellValue::Text(self.contract.lane(read.value).name.as_str().into()))
    }

    pub(super) fn lanes(&self, read: &Read<Vec<LaneId>>) -> TableCell {
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

    pub(super) fn station(&self, lane: Option<LaneId>, read: &Read<Station>) -> TableCell {
        with(read, CellValue::Text(self.painted(lane, read.value).into()))
    }

    /// Distance along, under the cell and the text of the station.
    pub(super) fn along(&self, lane: Option<LaneId>, read: &Read<Station>) -> TableCell {
        let typed = read.typed.clone().unwrap_or_else(|| self.painted(lane, read.value).into());
        TableCell { value: CellValue::Number(read.value.along), at: Some(read.at), typed: Some(typed) }
    }

    fn placement(&self, p: &Placement, (widths, ended): (bool, bool), persons: PersonColumns) -> Vec<TableCell> {
        let lane = p.lanes.value.first().copied();
        let mut row = vec![
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
        ];
        row.extend(widths.then(|| number(p.width.as_ref())));
        row.extend(ended.then(|| maybe(p.times.1.as_ref(), hour_of_day)));
        row.extend(persons.by.then(|| words(p.by.as_ref())));
        row.extend(persons.checked.then(|| words(p.checked_by.as_ref())));
        row
    }

    fn load(&self, l: &Load, goes_to: Option<usize>, more: LoadColumns) -> Vec<TableCell> {
        let placement = goes_to.and_then(|p| self.records.placements.get(p));
        let number = |p: &Placement| TableCell::derived(CellValue::Text(p.number.value.clone()));
        let outcome = match l.outcome {
            Outcome::Placed => load::PLACED,
            Outcome::Rejected => load::REJECTED,
        };
        let mut row = vec![
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
            self::number(l.water.as_ref()),
            words(l.remarks.as_ref()),
        ];
        let mut add = |column: Option<u16>, cell: &dyn Fn() -> TableCell| row.extend(column.map(|_| cell()));
        add(more.washed, &|| self::number(l.washed.as_ref()));
        add(more.elsewhere, &|| self::number(l.elsewhere.as_ref()));
        add(more.withheld, &|| self::number(l.withheld.as_ref()));
        add(more.revolutions, &|| self::number(l.revolutions.as_ref()));
        add(more.arrived, &|| time(l.arrived.as_ref()));
        for (column, at) in more.minutes.into_iter().zip([&l.batched, &l.arrived, &l.discharged]) {
            add(column, &|| maybe(at.as_ref(), minute_of_day));
        }
        row
    }

    fn batch(b: &Batch) -> Vec<TableCell> {
        let mut row = vec![word(&b.ticket), day(&b.date), words(b.plant.as_ref()), words(b.mix.as_ref())];
        row.extend(Ingredient::ALL.iter().map(|i| number(b.weights.get(i))));
        row.push(number(b.total.as_ref()));
        row.extend(Ingredient::ALL.iter().filter(|i| i.is_aggregate()).map(|i| number(b.moistures.get(i))));
        row.push(words(b.remarks.as_ref()));
        row
    }

    fn level(&self, l: &Level) -> Vec<TableCell> {
        let lane = Some(l.lane.value);
        vec![
            word(&l.number),
            day(&l.date),
            self.lane(&l.lane),
            self.station(lane, &l.station),
            self.along(lane, &l.station),
            words(l.offset.as_ref()),
            TableCell::derived(CellValue::Word(l.surface.word())),
            number(l.design.as_ref()),
            number(Some(&l.measured)),
            words(l.remarks.as_ref()),
        ]
    }

    fn delivered(&self, d: &Delivered, units: &[Unit]) -> Vec<TableCell> {
        let material = self.contract.materials.get(d.material.value);
        let entry = d.ticket.as_ref().map_or_else(|| format!("row {}", d.material.at.row + 1), |t| t.value.to_string());
        let lane = d.lanes.as_ref().and_then(|l| l.value.first().copied());
        let (from, to) = d.between.as_ref().map_or((None, None), |(from, to)| (Some(from), Some(to)));
        let mut row = vec![
            TableCell {
                value: CellValue::Text(entry.into()),
                at: d.ticket.as_ref().map(|t| t.at),
                typed: d.ticket.as_ref().and_then(|t| t.typed.clone()),
            },
            with(&d.material, CellValue::Text(material.map_or("", |m| m.name.as_str()).into())),
            day(&d.date),
            maybe(d.lanes.as_ref(), |r| self.lanes(r)),
            maybe(from, |r| self.station(lane, r)),
            maybe(to, |r| self.station(lane, r)),
            maybe(from, |r| self.along(lane, r)),
            maybe(to, |r| self.along(lane, r)),
            number(d.moisture.as_ref()),
            words(d.remarks.as_ref()),
        ];
        let own = |unit: &Unit| material.is_some_and(|m| m.unit == *unit);
        row.extend(units.iter().map(|u| if own(u) { number(Some(&d.quantity)) } else { TableCell::blank() }));
        row.extend(units.iter().map(|u| if own(u) { number(d.wasted.as_ref()) } else { TableCell::blank() }));
        row
    }

    fn billed(b: &Billed) -> Vec<TableCell> {
        let price = |of: &[Charge]| if of.contains(&b.charge) { number(b.price.as_ref()) } else { TableCell::blank() };
        vec![
            word(&b.invoice),
            day(&b.date),
            words(b.ticket.as_ref()),
            TableCell::derived(CellValue::Word(b.charge.word())),
            words(b.described.as_ref()),
            words(b.mix.as_ref()),
            number(b.volume.as_ref()),
            number(b.minutes.as_ref()),
            price(&[Charge::Concrete]),
            price(&[Charge::Waiting]),
            price(&[Charge::ShortLoad, Charge::Other]),
            number(Some(&b.amount)),
            words(b.remarks.as_ref()),
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

    fn measured(&self, m: &Measured, units: &[Unit], persons: PersonColumns) -> Vec<TableCell> {
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
        let own = |unit: &Unit| item.is_some_and(|i| i.entered_in() == *unit);
        row.extend(units.iter().map(|u| if own(u) { number(m.quantity.as_ref()) } else { TableCell::blank() }));
        row.extend(persons.checked.then(|| words(m.checked_by.as_ref())));
        row
    }
}

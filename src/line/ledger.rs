//! The record tables of the book: one for each kind, its columns in one place, and the cells that formulas start from.
//!
//! The first column names the record in calculations. A station is there twice: as painted, and as its distance along
//! the line, which points at the same cell and shows the same text. Rows are written in `rows`.

use crate::figure::{Book, CellId, Column, Table, TableId};
use crate::units::{System, Unit};

use super::Ledger;
use crate::contract::Contract;
use crate::intake::{Ingredient, Load, Records, Step};

/// Columns of placements.
pub mod placement {
    /// From, along the line.
    pub const FROM_ALONG: u16 = 5;
    /// To, along the line.
    pub const TO_ALONG: u16 = 6;
    /// Width as measured, where any placement has one.
    pub const WIDTH: u16 = 12;
}

/// Columns of loads.
pub mod load {
    /// Volume batched.
    pub const VOLUME: u16 = 3;
    /// The word for how it ended: [`PLACED`] or [`REJECTED`].
    pub const OUTCOME: u16 = 4;
    /// Wasted at the site.
    pub const WASTED: u16 = 5;
    /// Returned to the plant.
    pub const RETURNED: u16 = 6;
    /// Water added at the site.
    pub const WATER: u16 = 14;
    /// Went into the work.
    pub const PLACED: &str = "placed";
    /// Refused at the site.
    pub const REJECTED: &str = "rejected";
}

/// Columns of batch weights.
pub mod batch {
    /// The first mass; the others follow in the order of [`crate::intake::Ingredient::ALL`].
    pub const WEIGHT: u16 = 4;
    /// Total mass.
    pub const TOTAL: u16 = 12;
    /// The first free moisture: fine, intermediate, coarse.
    pub const MOISTURE: u16 = 13;
}

/// Columns of levels.
pub mod level {
    /// Station, along the line.
    pub const ALONG: u16 = 4;
    /// Elevation by design.
    pub const DESIGN: u16 = 7;
    /// Elevation as measured.
    pub const MEASURED: u16 = 8;
}

/// Columns of deliveries of materials.
pub mod delivered {
    /// From, along the line.
    pub const FROM_ALONG: u16 = 6;
    /// To, along the line.
    pub const TO_ALONG: u16 = 7;
    /// Moisture.
    pub const MOISTURE: u16 = 8;
    /// The first column of quantities: one for each unit that materials have, then as many of what was wasted.
    pub const QUANTITY: u16 = 10;
}

/// Columns of invoice lines.
pub mod billed {
    /// Volume billed.
    pub const VOLUME: u16 = 6;
    /// Minutes billed.
    pub const MINUTES: u16 = 7;
    /// Price of one unit of volume.
    pub const PRICE: u16 = 8;
    /// Price of a minute.
    pub const RATE: u16 = 9;
    /// Price of anything else.
    pub const PRICE_EACH: u16 = 10;
    /// Amount.
    pub const AMOUNT: u16 = 11;
}

/// Columns of cores.
pub mod core {
    /// Station, along the line.
    pub const ALONG: u16 = 4;
    /// The first reading; the others follow.
    pub const READING: u16 = 8;
}

/// Columns of depth probes.
pub mod probe {
    /// Station, along the line.
    pub const ALONG: u16 = 4;
    /// Depth.
    pub const DEPTH: u16 = 5;
}

/// Columns of specimens.
pub mod specimen {
    /// Age in days it is meant to be broken at.
    pub const AGE: u16 = 5;
    /// Diameter or width.
    pub const DIAMETER: u16 = 6;
    /// Load at failure.
    pub const LOAD: u16 = 7;
    /// Strength as reported.
    pub const STRENGTH: u16 = 8;
}

/// Columns of fresh-concrete tests.
pub mod fresh {
    /// Slump.
    pub const SLUMP: u16 = 6;
    /// Air content.
    pub const AIR: u16 = 7;
    /// Concrete temperature.
    pub const TEMPERATURE: u16 = 8;
    /// Density.
    pub const DENSITY: u16 = 9;
    /// The place of the water-cement ratio, where any test has one.
    pub const WATER_CEMENT: u16 = 11;
}

/// Columns of smoothness segments.
pub mod profile {
    /// From, along the line.
    pub const FROM_ALONG: u16 = 5;
    /// To, along the line.
    pub const TO_ALONG: u16 = 6;
    /// The first reading; the others follow.
    pub const READING: u16 = 9;
}

/// Columns of straightedge deviations.
pub mod straightedge {
    /// Station, along the line.
    pub const ALONG: u16 = 4;
    /// Deviation.
    pub const DEVIATION: u16 = 6;
}

/// Columns of hand-measured quantities.
pub mod measured {
    /// Length.
    pub const LENGTH: u16 = 4;
    /// Width.
    pub const WIDTH: u16 = 5;
    /// Depth.
    pub const DEPTH: u16 = 6;
    /// How many alike.
    pub const COUNT: u16 = 7;
    /// The first column of quantities; there is one for each unit that items have.
    pub const QUANTITY: u16 = 10;
}

/// Where the columns of loads stand that are there only if any load has such a value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LoadColumns {
    /// Washed out of the drum.
    pub washed: Option<u16>,
    /// Used elsewhere.
    pub elsewhere: Option<u16>,
    /// Water held back at the plant.
    pub withheld: Option<u16>,
    /// Turns of the drum.
    pub revolutions: Option<u16>,
    /// Time it came to the site.
    pub arrived: Option<u16>,
    /// Minutes of the day at which it was batched, came to the site and was discharged; where the contract has limits or
    /// prices for them.
    pub minutes: [Option<u16>; 3],
}

impl LoadColumns {
    /// The first of them, behind those that are always there.
    const FIRST: u16 = 16;

    pub(super) fn of(contract: &Contract, loads: &[Load]) -> Self {
        let mut next = Self::FIRST;
        let mut column = |there: bool| {
            there.then(|| {
                next += 1;
                next - 1
            })
        };
        let any = |has: fn(&Load) -> bool| loads.iter().any(has);
        let timed = contract.tickets.is_some() || contract.supply.is_some();
        Self {
            washed: column(any(|l| l.washed.is_some())),
            elsewhere: column(any(|l| l.elsewhere.is_some())),
            withheld: column(any(|l| l.withheld.is_some())),
            revolutions: column(any(|l| l.revolutions.is_some())),
            arrived: column(any(|l| l.arrived.is_some())),
            minutes: [
                column(timed && any(|l| l.batched.is_some())),
                column(timed && any(|l| l.arrived.is_some())),
                column(timed && any(|l| l.discharged.is_some())),
            ],
        }
    }
}

/// Where the hour of a placement's last concrete stands: there only if a step is on record that is held against it.
pub(super) fn ended(widths: bool, records: &Records) -> Option<u16> {
    let timed = records.works.iter().any(|w| matches!(w.step, Step::Cure | Step::Saw));
    timed.then_some(placement::WIDTH + u16::from(widths))
}

/// Row of a record; no table has more rows than its type counts, since sheets are capped well below.
fn row(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}

pub(super) fn cell(table: TableId, of: usize, column: u16) -> CellId {
    CellId { table, row: row(of), column }
}

/// Cells of the record tables, by place of the record in [`crate::intake::Records`] after laying.
impl Ledger {
    /// Where a placement begins, along the line.
    #[must_use]
    pub fn placement_from(&self, placement: usize) -> CellId {
        cell(self.placements, placement, placement::FROM_ALONG)
    }

    /// Where a placement ends, along the line.
    #[must_use]
    pub fn placement_to(&self, placement: usize) -> CellId {
        cell(self.placements, placement, placement::TO_ALONG)
    }

    /// Volume of a load.
    #[must_use]
    pub fn load_volume(&self, load: usize) -> CellId {
        cell(self.loads, load, load::VOLUME)
    }

    /// Water added to a load at the site.
    #[must_use]
    pub fn load_water(&self, load: usize) -> CellId {
        cell(self.loads, load, load::WATER)
    }

    /// A cell of a load in one of the columns that may be missing.
    #[must_use]
    pub fn load_cell(&self, load: usize, column: Option<u16>) -> Option<CellId> {
        column.map(|column| cell(self.loads, load, column))
    }

    /// Width as measured of a placement, where any has one.
    #[must_use]
    pub fn placement_width(&self, placement: usize) -> CellId {
        cell(self.placements, placement, placement::WIDTH)
    }

    /// Hour of the day of a placement's last concrete, where steps are held against it.
    #[must_use]
    pub fn placement_ended(&self, placement: usize) -> Option<CellId> {
        self.ended.map(|column| cell(self.placements, placement, column))
    }

    /// Mass of an ingredient in a batch.
    #[must_use]
    pub fn batch_weight(&self, batch: usize, of: Ingredient) -> CellId {
        let place = Ingredient::ALL.iter().position(|i| *i == of).and_then(|p| u16::try_from(p).ok()).unwrap_or(0);
        cell(self.batches, batch, batch::WEIGHT + place)
    }

    /// Total mass of a batch, as the sheet gives it.
    #[must_use]
    pub fn batch_total(&self, batch: usize) -> CellId {
        cell(self.batches, batch, batch::TOTAL)
    }

    /// Free moisture of an aggregate in a batch; `None` of what is no aggregate.
    #[must_use]
    pub fn batch_moisture(&self, batch: usize, of: Ingredient) -> Option<CellId> {
        let place = Ingredient::ALL.into_iter().filter(|i| i.is_aggregate()).position(|i| i == of)?;
        Some(cell(self.batches, batch, batch::MOISTURE.saturating_add(u16::try_from(place).ok()?)))
    }

    /// Station of a level, along the line.
    #[must_use]
    pub fn level_along(&self, level: usize) -> CellId {
        cell(self.levels, level, level::ALONG)
    }

    /// Elevation by design of a level.
    #[must_use]
    pub fn level_design(&self, level: usize) -> CellId {
        cell(self.levels, level, level::DESIGN)
    }

    /// Elevation as measured of a level.
    #[must_use]
    pub fn level_measured(&self, level: usize) -> CellId {
        cell(self.levels, level, level::MEASURED)
    }

    /// Where a delivery of a material begins, along the line.
    #[must_use]
    pub fn delivered_from(&self, delivery: usize) -> CellId {
        cell(self.delivered, delivery, delivered::FROM_ALONG)
    }

    /// Where a delivery of a material ends, along the line.
    #[must_use]
    pub fn delivered_to(&self, delivery: usize) -> CellId {
        cell(self.delivered, delivery, delivered::TO_ALONG)
    }

    /// Moisture of a delivery.
    #[must_use]
    pub fn delivered_moisture(&self, delivery: usize) -> CellId {
        cell(self.delivered, delivery, delivered::MOISTURE)
    }

    /// The columns of quantities and of what was wasted in a unit; `None` where no material of the contract has it.
    #[must_use]
    pub fn delivered_columns(&self, book: &Book, unit: Unit) -> Option<(u16, u16)> {
        let columns = &book.table(self.delivered).columns;
        let of_quantities = (delivered::QUANTITY..).zip(columns.iter().skip(usize::from(delivered::QUANTITY)));
        let mut found = of_quantities.into_iter().filter(|(_, c)| c.unit == unit).map(|(at, _)| at);
        Some((found.next()?, found.next()?))
    }

    /// A cell of a delivery.
    #[must_use]
    pub fn delivered_cell(&self, delivery: usize, column: u16) -> CellId {
        cell(self.delivered, delivery, column)
    }

    /// A cell of an invoice line, by the constants of [`billed`].
    #[must_use]
    pub fn billed_cell(&self, line: usize, column: u16) -> CellId {
        cell(self.billed, line, column)
    }

    /// Station of a core, along the line.
    #[must_use]
    pub fn core_along(&self, core: usize) -> CellId {
        cell(self.cores, core, core::ALONG)
    }

    /// Reading `k` of a core, from 0.
    #[must_use]
    pub fn core_reading(&self, core: usize, k: usize) -> CellId {
        cell(self.cores, core, core::READING.saturating_add(u16::try_from(k).unwrap_or(u16::MAX)))
    }

    /// Station of a depth probe, along the line.
    #[must_use]
    pub fn probe_along(&self, probe: usize) -> CellId {
        cell(self.probes, probe, probe::ALONG)
    }

    /// Depth of a probe.
    #[must_use]
    pub fn probe_depth(&self, probe: usize) -> CellId {
        cell(self.probes, probe, probe::DEPTH)
    }

    /// Age in days at which a specimen is meant to be broken.
    #[must_use]
    pub fn specimen_age(&self, specimen: usize) -> CellId {
        cell(self.specimens, specimen, specimen::AGE)
    }

    /// Diameter of a cylinder, or width of a beam.
    #[must_use]
    pub fn specimen_diameter(&self, specimen: usize) -> CellId {
        cell(self.specimens, specimen, specimen::DIAMETER)
    }

    /// Load at which a specimen failed.
    #[must_use]
    pub fn specimen_load(&self, specimen: usize) -> CellId {
        cell(self.specimens, specimen, specimen::LOAD)
    }

    /// Strength of a specimen as reported.
    #[must_use]
    pub fn specimen_strength(&self, specimen: usize) -> CellId {
        cell(self.specimens, specimen, specimen::STRENGTH)
    }

    /// Slump.
    #[must_use]
    pub fn fresh_slump(&self, test: usize) -> CellId {
        cell(self.fresh, test, fresh::SLUMP)
    }

    /// Air content.
    #[must_use]
    pub fn fresh_air(&self, test: usize) -> CellId {
        cell(self.fresh, test, fresh::AIR)
    }

    /// Concrete temperature.
    #[must_use]
    pub fn fresh_temperature(&self, test: usize) -> CellId {
        cell(self.fresh, test, fresh::TEMPERATURE)
    }

    /// Density of fresh concrete.
    #[must_use]
    pub fn fresh_density(&self, test: usize) -> CellId {
        cell(self.fresh, test, fresh::DENSITY)
    }

    /// Water-cement ratio of fresh concrete.
    #[must_use]
    pub fn fresh_water_cement(&self, test: usize) -> CellId {
        cell(self.fresh, test, fresh::WATER_CEMENT)
    }

    /// Where a smoothness segment begins, along the line.
    #[must_use]
    pub fn profile_from(&self, segment: usize) -> CellId {
        cell(self.profiles, segment, profile::FROM_ALONG)
    }

    /// Where a smoothness segment ends, along the line.
    #[must_use]
    pub fn profile_to(&self, segment: usize) -> CellId {
        cell(self.profiles, segment, profile::TO_ALONG)
    }

    /// Reading `k` of a smoothness segment, from 0.
    #[must_use]
    pub fn profile_reading(&self, segment: usize, k: usize) -> CellId {
        cell(self.profiles, segment, profile::READING.saturating_add(u16::try_from(k).unwrap_or(u16::MAX)))
    }

    /// Station of a straightedge deviation, along the line.
    #[must_use]
    pub fn straightedge_along(&self, deviation: usize) -> CellId {
        cell(self.straightedge, deviation, straightedge::ALONG)
    }

    /// A straightedge deviation.
    #[must_use]
    pub fn straightedge_deviation(&self, deviation: usize) -> CellId {
        cell(self.straightedge, deviation, straightedge::DEVIATION)
    }

    /// Length measured by hand.
    #[must_use]
    pub fn measured_length(&self, measured: usize) -> CellId {
        cell(self.measured, measured, measured::LENGTH)
    }

    /// Width measured by hand.
    #[must_use]
    pub fn measured_width(&self, measured: usize) -> CellId {
        cell(self.measured, measured, measured::WIDTH)
    }

    /// Depth measured by hand.
    #[must_use]
    pub fn measured_depth(&self, measured: usize) -> CellId {
        cell(self.measured, measured, measured::DEPTH)
    }

    /// How many alike.
    #[must_use]
    pub fn measured_count(&self, measured: usize) -> CellId {
        cell(self.measured, measured, measured::COUNT)
    }

    /// The quantity itself, in the unit of its item; `None` where no item of the contract has that unit.
    #[must_use]
    pub fn measured_quantity(&self, book: &Book, measured: usize, unit: Unit) -> Option<CellId> {
        let columns = &book.table(self.measured).columns;
        let column = (measured::QUANTITY..).zip(columns.iter().skip(usize::from(measured::QUANTITY)));
        column.into_iter().find(|(_, c)| c.unit == unit).map(|(at, _)| cell(self.measured, measured, at))
    }
}

pub(super) fn text(heading: &'static str) -> Column {
    Column { heading, unit: Unit::One, decimals: None }
}

pub(super) fn number(heading: &'static str, unit: Unit) -> Column {
    Column { heading, unit, decimals: None }
}

/// Which columns of persons stand behind the others: only where any sheet says it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct PersonColumns {
    /// Who measured; of hand-measured rows it stands in its own place.
    pub(super) by: bool,
    /// Who checked.
    pub(super) checked: bool,
}

impl PersonColumns {
    fn columns(self) -> impl Iterator<Item = Column> {
        let all = [(self.by, "Measured by"), (self.checked, "Checked by")];
        all.into_iter().filter(|(is, _)| *is).map(|(_, heading)| text(heading))
    }
}

/// `widths` where any placement has a measured one.
pub(super) fn placements(system: System, widths: bool, ended: bool, persons: PersonColumns) -> Table {
    let along = |heading| number(heading, system.length());
    let mut columns = vec![
        text("Placement"),
        text("Date"),
        text("Lanes"),
        text("From"),
        text("To"),
        along("From along"),
        along("To along"),
        text("Mix"),
        text("Crew"),
        text("First concrete"),
        text("Last concrete"),
        text("Remarks"),
    ];
    columns.extend(widths.then(|| along("Width")));
    columns.extend(ended.then(|| number("Last concrete, hour", Unit::Hour)));
    columns.extend(persons.columns());
    Table::new("Placements", columns)
}

pub(super) fn loads(system: System, more: LoadColumns) -> Table {
    let volume = |heading| number(heading, system.volume());
    let mut columns = vec![
        text("Ticket"),
        text("Date"),
        text("Goes to placement"),
        volume("Volume"),
        text("Outcome"),
        volume("Wasted"),
        volume("Returned"),
        text("Batched"),
        text("Discharged"),
        text("Plant"),
        text("Truck"),
        text("Mix"),
        text("Placement as stated"),
        text("Lane"),
        number("Water added", system.liquid()),
        text("Remarks"),
    ];
    columns.extend(more.washed.map(|_| volume("Washed out")));
    columns.extend(more.elsewhere.map(|_| volume("Used elsewhere")));
    columns.extend(more.withheld.map(|_| number("Water withheld", system.liquid())));
    columns.extend(more.revolutions.map(|_| number("Revolutions", Unit::One)));
    columns.extend(more.arrived.map(|_| text("Arrived")));
    let of_day = ["Batched, minute of day", "Arrived, minute of day", "Discharged, minute of day"];
    columns
        .extend(more.minutes.iter().zip(of_day).filter_map(|(at, heading)| at.map(|_| number(heading, Unit::Minute))));
    Table::new("Loads", columns)
}

pub(super) fn batches(system: System) -> Table {
    let mass = |heading| number(heading, system.mass());
    Table::new(
        "Batch weights",
        vec![
            text("Ticket"),
            text("Date"),
            text("Plant"),
            text("Mix"),
            mass("Cement"),
            mass("Fly ash"),
            mass("Slag"),
            mass("Fine"),
            mass("Intermediate"),
            mass("Coarse"),
            mass("Water"),
            mass("Admixture"),
            mass("Total"),
            number("Moisture, fine", Unit::Percent),
            number("Moisture, intermediate", Unit::Percent),
            number("Moisture, coarse", Unit::Percent),
            text("Remarks"),
        ],
    )
}

pub(super) fn levels(system: System) -> Table {
    Table::new(
        "Levels",
        vec![
            text("Level"),
            text("Date"),
            text("Lane"),
            text("Station"),
            number("Along", system.length()),
            text("Offset"),
            text("Surface"),
            number("Design", system.length()),
            number("Measured", system.length()),
            text("Remarks"),
        ],
    )
}

/// `units` are those of the contract's materials, each once.
pub(super) fn delivered(system: System, units: &[Unit]) -> Table {
    let mut columns = vec![
        text("Delivery"),
        text("Material"),
        text("Date"),
        text("Lanes"),
        text("From"),
        text("To"),
        number("From along", system.length()),
        number("To along", system.length()),
        number("Moisture", Unit::Percent),
        text("Remarks"),
    ];
    columns.extend(units.iter().map(|&unit| number("Quantity", unit)));
    columns.extend(units.iter().map(|&unit| number("Wasted", unit)));
    Table::new("Materials", columns)
}

pub(super) fn billed(system: System) -> Table {
    let price = |heading, of: Unit| number(heading, of.price().unwrap_or(Unit::Money));
    Table::new(
        "Invoice lines",
        vec![
            text("Invoice"),
            text("Date"),
            text("Ticket"),
            text("For"),
            text("As billed"),
            text("Mix"),
            number("Volume", system.volume()),
            number("Minutes", Unit::Minute),
            price("Price", system.volume()),
            price("Price a minute", Unit::Minute),
            price("Price each", Unit::Each),
            number("Amount", Unit::Money),
            text("Remarks"),
        ],
    )
}

/// Headings of readings; a record with more has them all, under the last heading.
const READINGS: [&str; 10] = [
    "Reading 1",
    "Reading 2",
    "Reading 3",
    "Reading 4",
    "Reading 5",
    "Reading 6",
    "Reading 7",
    "Reading 8",
    "Reading 9",
    "Further reading",
];

pub(super) fn cores(system: System, readings: usize, more: Vec<Column>) -> Table {
    let mut columns = vec![
        text("Core"),
        text("Date"),
        text("Lane"),
        text("Station"),
        number("Along", system.length()),
        text("Offset"),
        text("Use"),
        text("Remarks"),
    ];
    let last = READINGS.len() - 1;
    columns.extend((0..readings).map(|k| number(READINGS[k.min(last)], system.depth())));
    columns.extend(more);
    Table::new("Cores", columns)
}

pub(super) fn probes(system: System) -> Table {
    Table::new(
        "Depth probes",
        vec![
            text("Probe"),
            text("Date"),
            text("Lane"),
            text("Station"),
            number("Along", system.length()),
            number("Depth", system.depth()),
            text("Remarks"),
        ],
    )
}

pub(super) fn specimens(system: System, more: Vec<Column>) -> Table {
    let mut columns = vec![
        text("Specimen"),
        text("Set"),
        text("Shape"),
        text("Cast"),
        text("Tested"),
        number("Age", Unit::Day),
        number("Diameter", system.depth()),
        number("Load", system.force()),
        number("Strength", system.strength()),
        text("Placement"),
        text("Lane"),
        text("Station"),
        text("Mix"),
        text("Remarks"),
    ];
    columns.extend(more);
    Table::new("Specimens", columns)
}

/// `ratios` where any test has a water-cement ratio.
pub(super) fn fresh(system: System, ratios: bool, more: Vec<Column>) -> Table {
    let mut columns = vec![
        text("Test"),
        text("Date"),
        text("Ticket"),
        text("Placement"),
        text("Lane"),
        text("Station"),
        number("Slump", system.depth()),
        number("Air", Unit::Percent),
        number("Temperature", system.temperature()),
        number("Density", system.density()),
        text("Remarks"),
    ];
    columns.extend(ratios.then(|| number("Water-cement", Unit::One)));
    columns.extend(more);
    Table::new("Fresh tests", columns)
}

pub(super) fn profiles(system: System, readings: usize) -> Table {
    let mut columns = vec![
        text("Segment"),
        text("Date"),
        text("Lane"),
        text("From"),
        text("To"),
        number("From along", system.length()),
        number("To along", system.length()),
        text("Index"),
        text("Remarks"),
    ];
    let last = READINGS.len() - 1;
    columns.extend((0..readings).map(|k| number(READINGS[k.min(last)], system.roughness())));
    Table::new("Smoothness segments", columns)
}

pub(super) fn straightedge(system: System) -> Table {
    Table::new(
        "Straightedge deviations",
        vec![
            text("Deviation at"),
            text("Date"),
            text("Lane"),
            text("Station"),
            number("Along", system.length()),
            text("Laid"),
            number("Deviation", system.depth()),
            text("Remarks"),
        ],
    )
}

/// `units` are those of the contract's items, each once.
pub(super) fn measured(system: System, units: &[Unit], persons: PersonColumns) -> Table {
    let mut columns = vec![
        text("Entry"),
        text("Item"),
        text("Date"),
        text("Location"),
        number("Length", system.length()),
        number("Width", system.length()),
        number("Depth", system.depth()),
        number("Count", Unit::One),
        text("Measured by"),
        text("Remarks"),
    ];
    columns.extend(units.iter().map(|&unit| number("Quantity", unit)));
    columns.extend(persons.columns());
    Table::new("Measured", columns)
}

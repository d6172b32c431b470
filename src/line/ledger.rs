//! The record tables of the book: one for each kind, its columns in one place, and the cells that formulas start from.
//!
//! The first column names the record in calculations. A station is there twice: as painted, and as its distance along
//! the line, which points at the same cell and shows the same text. Rows are written in `rows`.

use crate::figure::{Book, CellId, Column, Table, TableId};
use crate::units::{System, Unit};

use super::Ledger;

/// Columns of placements.
pub mod placement {
    /// From, along the line.
    pub const FROM_ALONG: u16 = 5;
    /// To, along the line.
    pub const TO_ALONG: u16 = 6;
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
    /// Went into the work.
    pub const PLACED: &str = "placed";
    /// Refused at the site.
    pub const REJECTED: &str = "rejected";
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

/// Row of a record; no table has more rows than its type counts, since sheets are capped well below.
fn row(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}

fn cell(table: TableId, of: usize, column: u16) -> CellId {
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

fn number(heading: &'static str, unit: Unit) -> Column {
    Column { heading, unit, decimals: None }
}

pub(super) fn placements(system: System) -> Table {
    let along = |heading| number(heading, system.length());
    Table::new(
        "Placements",
        vec![
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
        ],
    )
}

pub(super) fn loads(system: System) -> Table {
    let volume = |heading| number(heading, system.volume());
    Table::new(
        "Loads",
        vec![
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
            text("Water added"),
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
pub(super) fn measured(system: System, units: &[Unit]) -> Table {
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
    Table::new("Measured", columns)
}

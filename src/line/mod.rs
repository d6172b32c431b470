//! Rank 7. Records laid on the stationing: what exists between which stations of which lane.
//!
//! Placed stretches are counted once, whatever overlaps; gaps and overlaps are findings. Money never enters here.

mod across;
mod directory;
mod extent;
mod faults;
#[cfg(test)]
pub(crate) mod fixture;
mod lay;
pub mod ledger;
mod lot;
mod matching;
mod measure;
mod names;
mod proof;
mod rows;
pub mod stepped;
mod taken;
#[cfg(test)]
mod tests;
mod width;
mod within;

pub use across::{beside, lanes_across};
pub use directory::Directory;
pub use extent::in_order;
pub use lay::lay;
pub use lot::{add_place, lots, mark_lots, reached, staked};
pub use measure::{ground, thickness, total};
pub use names::{counted, folded, slug};
pub use proof::{mark_station, station_of_core};
pub use width::{length_by_width, width};
pub use within::{Clip, PlacedWithin, placed_within, stretch_at, within};

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::contract::Contract;
use crate::figure::{FigureId, TableId};
use crate::intake::{LaneId, Placement};
use crate::units::Station;

/// The record tables of the book; rows of each stand in the order of the records, loads sorted by placement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ledger {
    /// Placements.
    pub placements: TableId,
    /// Loads, those of one placement together.
    pub loads: TableId,
    /// Cores.
    pub cores: TableId,
    /// Depth probes.
    pub probes: TableId,
    /// Specimens.
    pub specimens: TableId,
    /// Fresh-concrete tests.
    pub fresh: TableId,
    /// Smoothness segments.
    pub profiles: TableId,
    /// Straightedge deviations.
    pub straightedge: TableId,
    /// Hand-measured quantities.
    pub measured: TableId,
    /// Batch weights.
    pub batches: TableId,
    /// Surveyed levels.
    pub levels: TableId,
    /// Deliveries of materials, those of one material together, in order of day.
    pub delivered: TableId,
    /// Invoice lines, those of one invoice together, in order of day.
    pub billed: TableId,
    /// Columns of loads that are there only if any load has such a value.
    pub load_columns: ledger::LoadColumns,
    /// The steps below, in and after the slab.
    pub steps: stepped::StepTables,
    /// Column of placements with the hour of the last concrete, where steps are held against it.
    pub ended: Option<u16>,
}

/// What an end of a stretch is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// The `from` of a placement, by place in the records.
    PlacementFrom(usize),
    /// The `to` of a placement.
    PlacementTo(usize),
    /// The beginning of a section, by place in the contract.
    SectionFrom(usize),
    /// The end of a section.
    SectionTo(usize),
}

/// A piece of one lane inside one section, placed in one go; no two overlap.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Lane.
    pub lane: LaneId,
    /// Section, by place in the contract.
    pub section: usize,
    /// From.
    pub from: Station,
    /// To, beyond `from`.
    pub to: Station,
    /// What its two ends are taken from.
    pub proof: (Proof, Proof),
    /// Placement that counts for it, by place in the records.
    pub placement: usize,
    /// Day it was placed.
    pub date: NaiveDate,
    /// Length along the line, unit [`crate::units::System::length`].
    pub length: FigureId,
    /// Area, unit [`crate::units::System::area`].
    pub area: FigureId,
    /// Area times design thickness, unit [`crate::units::System::volume`].
    pub volume: FigureId,
}

/// A placement on the line.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacementOnLine {
    /// Its stretches, by place in [`Line::stretches`].
    pub stretches: Vec<usize>,
    /// Area of its stretches; `None` where it lies outside every section.
    pub area: Option<FigureId>,
    /// Theoretical volume of its stretches: area times design thickness.
    pub volume: Option<FigureId>,
    /// Its rows in the table of loads: first and after the last.
    pub loads: (u32, u32),
}

/// A stretch of a section's lane that lies between placements and has none.
#[derive(Clone, Debug, PartialEq)]
pub struct Unplaced {
    /// Lane.
    pub lane: LaneId,
    /// Section.
    pub section: usize,
    /// From.
    pub from: Station,
    /// To.
    pub to: Station,
}

/// A stretch covered by two placements.
#[derive(Clone, Debug, PartialEq)]
pub struct Overlap {
    /// Lane.
    pub lane: LaneId,
    /// From.
    pub from: Station,
    /// To.
    pub to: Station,
    /// The placement that counts and the one that does not.
    pub placements: (usize, usize),
}

/// The as-built line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Record tables.
    pub ledger: Ledger,
    /// Stretches, by lane and station.
    pub stretches: Vec<Stretch>,
    /// Placements, in the order of the records.
    pub placements: Vec<PlacementOnLine>,
    /// Gaps between placements.
    pub unplaced: Vec<Unplaced>,
    /// Overlaps.
    pub overlaps: Vec<Overlap>,
    /// Loads that fit no placement: rows in the table of loads.
    pub loose_loads: (u32, u32),
    /// Cores by lane and distance along the line, with their place in the records.
    pub cores_along: Vec<(LaneId, Decimal, usize)>,
    /// Placements by number and day, loads by the tickets of tests.
    pub directory: Directory,
}

/// A lot on the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct LotSpan {
    /// `NB mainline lot 7`; unique.
    pub name: String,
    /// `nb-mainline.lot-7`; for figure keys.
    pub key: String,
    /// Section.
    pub section: usize,
    /// Its stretches, by lane and station; no two of a lane touch or overlap.
    pub places: Vec<(LaneId, Station, Station)>,
}

/// Lanes and stations of a placement: `NB-1, NB-2, 10+00 to 12+00`.
#[must_use]
pub fn span(contract: &Contract, placement: &Placement) -> String {
    let lanes: Vec<&str> = placement.lanes.value.iter().map(|&l| contract.lane(l).name.as_str()).collect();
    let station = |s| placement.lanes.value.first().map_or_else(String::new, |&lane| contract.station(lane, s));
    format!("{}, {} to {}", lanes.join(", "), station(placement.from.value), station(placement.to.value))
}

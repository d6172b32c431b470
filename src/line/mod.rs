//! Rank 6. Records laid on the stationing: what exists between which stations of which lane.
//!
//! Placed stretches are counted once, whatever overlaps; gaps and overlaps are findings. Money never enters here.

#[cfg(test)]
pub(crate) mod fixture;

use chrono::NaiveDate;

use crate::figure::{FigureId, TableId};
use crate::intake::LaneId;
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
    /// Hand-measured quantities.
    pub measured: TableId,
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
    /// Theoretical volume of its stretches.
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
}

/// A lot on the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct LotSpan {
    /// `mainline NB lot 7`; unique.
    pub name: String,
    /// `lot-nb-7`; for figure keys.
    pub key: String,
    /// Section.
    pub section: usize,
    /// Lanes.
    pub lanes: Vec<LaneId>,
    /// From.
    pub from: Station,
    /// To.
    pub to: Station,
}

//! What the field sheets say, typed: one struct per kind of record, every value with its cell.
//!
//! Numbers are in the contract's unit system ([`crate::units::System`]): lengths ft or m, depths in or mm, volumes yd3 or
//! m3, strengths psi or MPa, loads lbf or kN, temperatures F or C, densities lb/ft3 or kg/m3. What was typed, in the unit
//! it was typed in, stays beside it.

use chrono::{NaiveDate, NaiveTime};
use rust_decimal::Decimal;

use crate::source::CellRef;
use crate::units::Station;

/// Which lane of the contract, by its place there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LaneId(pub u16);

/// A value with where it stood and what was typed there.
#[derive(Clone, Debug, PartialEq)]
pub struct Read<T> {
    /// As understood.
    pub value: T,
    /// Its cell.
    pub at: CellRef,
    /// What was typed, where it differs from the value written plainly: `9 3/4`, `228 mm`.
    pub typed: Option<Box<str>>,
}

/// A piece of pavement placed in one go.
#[derive(Clone, Debug, PartialEq)]
pub struct Placement {
    /// Its number or name on the sheet; when the sheet has none, the date and row stand for it.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Lanes placed together, of one alignment.
    pub lanes: Read<Vec<LaneId>>,
    /// One end.
    pub from: Read<Station>,
    /// The other end; may be behind `from` where paving ran down station.
    pub to: Read<Station>,
    /// Mix.
    pub mix: Option<Read<Box<str>>>,
    /// Crew or paver.
    pub crew: Option<Read<Box<str>>>,
    /// First and last concrete.
    pub times: (Option<Read<NaiveTime>>, Option<Read<NaiveTime>>),
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// How a load ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// Went into the work, less what is noted as wasted or returned.
    Placed,
    /// Refused at the site, as a whole.
    Rejected,
}

/// A truckload.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Ticket number.
    pub ticket: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Time batched.
    pub batched: Option<Read<NaiveTime>>,
    /// Time discharged.
    pub discharged: Option<Read<NaiveTime>>,
    /// Plant.
    pub plant: Option<Read<Box<str>>>,
    /// Truck.
    pub truck: Option<Read<Box<str>>>,
    /// Mix.
    pub mix: Option<Read<Box<str>>>,
    /// Volume batched.
    pub volume: Read<Decimal>,
    /// Placement it says it went to.
    pub placement: Option<Read<Box<str>>>,
    /// Lane it says it went to.
    pub lane: Option<Read<LaneId>>,
    /// How it ended.
    pub outcome: Outcome,
    /// Volume wasted at the site.
    pub wasted: Option<Read<Decimal>>,
    /// Volume sent back.
    pub returned: Option<Read<Decimal>>,
    /// Water added at the site, in the unit typed; kept for its text.
    pub water: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A drilled core.
#[derive(Clone, Debug, PartialEq)]
pub struct Core {
    /// Its number.
    pub number: Read<Box<str>>,
    /// Day drilled.
    pub date: Read<NaiveDate>,
    /// Lane.
    pub lane: Read<LaneId>,
    /// Station.
    pub station: Read<Station>,
    /// Offset as typed.
    pub offset: Option<Read<Box<str>>>,
    /// Length readings, at least one.
    pub readings: Vec<Read<Decimal>>,
    /// True where the sheet says that it is not to be averaged (exploratory), with its words in `remarks`.
    pub exploratory: bool,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A depth measured by probe or rod in fresh concrete, or at an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Probe {
    /// Its number; when the sheet has none, lane and station stand for it.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Lane.
    pub lane: Read<LaneId>,
    /// Station.
    pub station: Read<Station>,
    /// Depth.
    pub depth: Read<Decimal>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// What was cast.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Shape {
    /// Compressive.
    Cylinder,
    /// Flexural.
    Beam,
}

/// A strength specimen, broken or still waiting.
#[derive(Clone, Debug, PartialEq)]
pub struct Specimen {
    /// Its number.
    pub number: Read<Box<str>>,
    /// The set it was cast in: specimens of one set and age make one test.
    pub set: Read<Box<str>>,
    /// Cylinder or beam.
    pub shape: Shape,
    /// Day cast.
    pub cast: Read<NaiveDate>,
    /// Day broken.
    pub tested: Option<Read<NaiveDate>>,
    /// Age in days it is meant to be broken at.
    pub age: Option<Read<Decimal>>,
    /// Diameter of a cylinder, or width of a beam.
    pub diameter: Option<Read<Decimal>>,
    /// Load at failure.
    pub load: Option<Read<Decimal>>,
    /// Strength as reported.
    pub strength: Option<Read<Decimal>>,
    /// Placement it stands for.
    pub placement: Option<Read<Box<str>>>,
    /// Lane.
    pub lane: Option<Read<LaneId>>,
    /// Station.
    pub station: Option<Read<Station>>,
    /// Mix.
    pub mix: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// Tests on fresh concrete.
#[derive(Clone, Debug, PartialEq)]
pub struct Fresh {
    /// Its number; when the sheet has none, ticket or date and row stand for it.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Ticket of the load.
    pub ticket: Option<Read<Box<str>>>,
    /// Placement.
    pub placement: Option<Read<Box<str>>>,
    /// Lane.
    pub lane: Option<Read<LaneId>>,
    /// Station.
    pub station: Option<Read<Station>>,
    /// Slump.
    pub slump: Option<Read<Decimal>>,
    /// Air content, percent.
    pub air: Option<Read<Decimal>>,
    /// Concrete temperature.
    pub temperature: Option<Read<Decimal>>,
    /// Density (unit weight).
    pub density: Option<Read<Decimal>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A quantity measured by hand for a contract item.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Item of the contract, by its place there.
    pub item: Read<usize>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Where.
    pub location: Option<Read<Box<str>>>,
    /// Length.
    pub length: Option<Read<Decimal>>,
    /// Width.
    pub width: Option<Read<Decimal>>,
    /// Depth.
    pub depth: Option<Read<Decimal>>,
    /// How many alike.
    pub count: Option<Read<Decimal>>,
    /// The quantity itself, in the item's unit.
    pub quantity: Option<Read<Decimal>>,
    /// Who measured.
    pub by: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// All records of a contract folder, each kind in the order of source (file name, sheet, row).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Records {
    /// Placements.
    pub placements: Vec<Placement>,
    /// Loads.
    pub loads: Vec<Load>,
    /// Cores.
    pub cores: Vec<Core>,
    /// Depth probes.
    pub probes: Vec<Probe>,
    /// Strength specimens.
    pub specimens: Vec<Specimen>,
    /// Fresh-concrete tests.
    pub fresh: Vec<Fresh>,
    /// Hand-measured quantities.
    pub measured: Vec<Measured>,
}

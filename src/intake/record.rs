//! What the field sheets say, typed: one struct per kind of record, every value with its cell.
//!
//! Numbers are in the contract's unit system ([`crate::units::System`]): lengths ft or m, depths in or mm, volumes yd3 or
//! m3, strengths psi or MPa, loads lbf or kN, temperatures F or C, densities lb/ft3 or kg/m3, smoothness in/mi or m/km.
//! What was typed, in the unit it was typed in, stays beside it.

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

/// What a core was drilled for, and so what it counts for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// Counts in its lot.
    #[default]
    Lot,
    /// Shows how far a thin place reaches: bounds, never averaged.
    Exploratory,
    /// Drilled to check another core or a probe: bounds like an exploratory one, never averaged.
    Check,
    /// Counts nowhere; the reason stands in the remarks.
    Void,
}

impl Purpose {
    /// Whether it may enter an average.
    #[must_use]
    pub fn is_averaged(self) -> bool {
        self == Purpose::Lot
    }

    /// The word in tables and messages.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Purpose::Lot => "acceptance",
            Purpose::Exploratory => "exploratory",
            Purpose::Check => "check",
            Purpose::Void => "void",
        }
    }
}

/// Who took a core or sample, or made a test. The words are those of quality-assurance programmes in common practice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum TakenBy {
    /// The sheet does not say, or names a person.
    #[default]
    Unstated,
    /// The contractor: quality control.
    Contractor,
    /// The agency or owner: verification, acceptance.
    Agency,
    /// Independent assurance.
    Assurance,
    /// A third party, called to settle a dispute.
    Referee,
}

impl TakenBy {
    /// The word in tables and messages; empty where unstated.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            TakenBy::Unstated => "",
            TakenBy::Contractor => "contractor",
            TakenBy::Agency => "agency",
            TakenBy::Assurance => "assurance",
            TakenBy::Referee => "referee",
        }
    }
}

/// Whether a sample was taken by itself or is a part of another party's.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Sampling {
    /// The sheet does not say.
    #[default]
    Unstated,
    /// Taken by itself.
    Independent,
    /// A part of a sample that another party tests too.
    Split,
}

impl Sampling {
    /// The word in tables and messages; empty where unstated.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Sampling::Unstated => "",
            Sampling::Independent => "independent",
            Sampling::Split => "split",
        }
    }
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
    /// What it was drilled for; a void one has its reason in `remarks`.
    pub purpose: Purpose,
    /// Which party took it.
    pub taken_by: TakenBy,
    /// The words for who took it, as typed: a party, or a person's name.
    pub by: Option<Read<Box<str>>>,
    /// Taken by itself or split.
    pub sampling: Sampling,
    /// The core or test set that it was called to settle, by number.
    pub settles: Option<Read<Box<str>>>,
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

/// What was cast or drilled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shape {
    /// Compressive, cast.
    Cylinder,
    /// Flexural, cast.
    Beam,
    /// Compressive, drilled from the pavement; the laboratory's report accounts for its length.
    Core,
}

/// A strength specimen, broken or still waiting.
#[derive(Clone, Debug, PartialEq)]
pub struct Specimen {
    /// Its number.
    pub number: Read<Box<str>>,
    /// The set it was cast in: specimens of one set and age make one test.
    pub set: Read<Box<str>>,
    /// Cylinder, beam or core.
    pub shape: Shape,
    /// Day cast.
    pub cast: Read<NaiveDate>,
    /// Day broken.
    pub tested: Option<Read<NaiveDate>>,
    /// Age in days it is meant to be broken at.
    pub age: Option<Read<Decimal>>,
    /// Diameter of a cylinder or core, or width of a beam.
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
    /// Which party took it.
    pub taken_by: TakenBy,
    /// The words for who took it, as typed: a party, or a person's name.
    pub by: Option<Read<Box<str>>>,
    /// Taken by itself or split.
    pub sampling: Sampling,
    /// The core or test set that it was called to settle, by number.
    pub settles: Option<Read<Box<str>>>,
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
    /// Ratio of water to cement or cementitious material, by mass.
    pub water_cement: Option<Read<Decimal>>,
    /// Which party took it.
    pub taken_by: TakenBy,
    /// The words for who took it, as typed: a party, or a person's name.
    pub by: Option<Read<Box<str>>>,
    /// Taken by itself or split.
    pub sampling: Sampling,
    /// The core or test set that it was called to settle, by number.
    pub settles: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// Which index of smoothness.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RideIndex {
    /// International roughness index (IRI), or its mean over the wheel paths (MRI).
    Roughness,
    /// Profile index (PI) of a profilograph trace.
    Profile,
}

impl RideIndex {
    /// The words in tables and messages.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            RideIndex::Roughness => "roughness index",
            RideIndex::Profile => "profile index",
        }
    }
}

/// The smoothness of one segment of a lane.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Its number; when the sheet has none, lane and stations stand for it.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Lane.
    pub lane: Read<LaneId>,
    /// One end.
    pub from: Read<Station>,
    /// The other end; may be behind `from` where the run went down station.
    pub to: Read<Station>,
    /// One reading for each wheel path or pass, at least one; the sheet's average only where it has nothing else.
    pub readings: Vec<Read<Decimal>>,
    /// Which index they are.
    pub measure: RideIndex,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A deviation measured under a straightedge.
#[derive(Clone, Debug, PartialEq)]
pub struct Straightedge {
    /// Its number; when the sheet has none, lane and station stand for it.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Lane.
    pub lane: Read<LaneId>,
    /// Station.
    pub station: Read<Station>,
    /// Deviation, a depth; may be zero.
    pub deviation: Read<Decimal>,
    /// Laid across the lane instead of along it.
    pub across: bool,
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
    /// Smoothness of segments.
    pub profiles: Vec<Profile>,
    /// Straightedge deviations.
    pub straightedge: Vec<Straightedge>,
    /// Hand-measured quantities.
    pub measured: Vec<Measured>,
}

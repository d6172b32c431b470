//! What the field sheets say, typed: one struct per kind of record, every value with its cell.
//!
//! Numbers are in the contract's unit system ([`crate::units::System`]): lengths ft or m, depths in or mm, volumes yd3 or
//! m3, strengths psi or MPa, loads lbf or kN, temperatures F or C, densities lb/ft3 or kg/m3, smoothness in/mi or m/km,
//! batch weights lb or kg, water added gal or L, elevations ft or m, money in the contract's currency.
//! What was typed, in the unit it was typed in, stays beside it.

use std::collections::BTreeMap;

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
    /// Width as measured over all its lanes together.
    pub width: Option<Read<Decimal>>,
    /// Mix.
    pub mix: Option<Read<Box<str>>>,
    /// Crew or paver.
    pub crew: Option<Read<Box<str>>>,
    /// First and last concrete.
    pub times: (Option<Read<NaiveTime>>, Option<Read<NaiveTime>>),
    /// Who measured it.
    pub by: Option<Read<Box<str>>>,
    /// Who checked it.
    pub checked_by: Option<Read<Box<str>>>,
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
    /// Time it came to the site.
    pub arrived: Option<Read<NaiveTime>>,
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
    /// Volume washed out of the drum.
    pub washed: Option<Read<Decimal>>,
    /// Volume used for other work than the placement.
    pub elsewhere: Option<Read<Decimal>>,
    /// Water added at the site.
    pub water: Option<Read<Decimal>>,
    /// Water held back at the plant, that may be added at the site.
    pub withheld: Option<Read<Decimal>>,
    /// Turns of the drum until discharge.
    pub revolutions: Option<Read<Decimal>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// What concrete is batched of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ingredient {
    /// Portland or blended cement.
    Cement,
    /// Fly ash.
    FlyAsh,
    /// Slag cement.
    Slag,
    /// Fine aggregate.
    Fine,
    /// Aggregate between fine and coarse.
    Intermediate,
    /// Coarse aggregate.
    Coarse,
    /// Water put in at the plant, the moisture of the aggregates not counted.
    Water,
    /// Admixtures, where they are weighed.
    Admixture,
}

impl Ingredient {
    /// All of them, in the order of a ticket.
    pub const ALL: [Self; 8] = [
        Ingredient::Cement,
        Ingredient::FlyAsh,
        Ingredient::Slag,
        Ingredient::Fine,
        Ingredient::Intermediate,
        Ingredient::Coarse,
        Ingredient::Water,
        Ingredient::Admixture,
    ];

    /// The word in tables, messages and `contract.toml`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Ingredient::Cement => "cement",
            Ingredient::FlyAsh => "fly_ash",
            Ingredient::Slag => "slag",
            Ingredient::Fine => "fine",
            Ingredient::Intermediate => "intermediate",
            Ingredient::Coarse => "coarse",
            Ingredient::Water => "water",
            Ingredient::Admixture => "admixture",
        }
    }

    /// In running words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Ingredient::FlyAsh => "fly ash",
            Ingredient::Fine => "fine aggregate",
            Ingredient::Intermediate => "intermediate aggregate",
            Ingredient::Coarse => "coarse aggregate",
            other => other.word(),
        }
    }

    /// Whether it counts as cementitious in the ratio of water to it.
    #[must_use]
    pub fn is_cementitious(self) -> bool {
        matches!(self, Ingredient::Cement | Ingredient::FlyAsh | Ingredient::Slag)
    }

    /// Whether it carries moisture of its own.
    #[must_use]
    pub fn is_aggregate(self) -> bool {
        matches!(self, Ingredient::Fine | Ingredient::Intermediate | Ingredient::Coarse)
    }
}

/// What the scales of the plant say was batched for one load.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// Ticket of the load.
    pub ticket: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Plant.
    pub plant: Option<Read<Box<str>>>,
    /// Mix.
    pub mix: Option<Read<Box<str>>>,
    /// Mass of each ingredient, aggregates as they were weighed, moist.
    pub weights: BTreeMap<Ingredient, Read<Decimal>>,
    /// Free moisture of each aggregate: above saturated surface-dry, in percent of that.
    pub moistures: BTreeMap<Ingredient, Read<Decimal>>,
    /// Total mass, where the sheet gives it.
    pub total: Option<Read<Decimal>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// Which surface was levelled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Surface {
    /// The trimmed subgrade, under the base.
    Subgrade,
    /// The trimmed base, under the slab.
    Base,
    /// The pavement.
    Top,
}

impl Surface {
    /// The word in tables and messages.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Surface::Subgrade => "subgrade",
            Surface::Base => "base",
            Surface::Top => "pavement",
        }
    }
}

/// A surveyed level.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Its number; when the sheet has none, surface, lane and station stand for it.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Lane.
    pub lane: Read<LaneId>,
    /// Station.
    pub station: Read<Station>,
    /// Offset as typed.
    pub offset: Option<Read<Box<str>>>,
    /// Which surface.
    pub surface: Surface,
    /// Elevation by design.
    pub design: Option<Read<Decimal>>,
    /// Elevation as measured.
    pub measured: Read<Decimal>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A delivery or use of a material that the contract keeps an account of: base, curing compound, baskets, bars, sealant.
#[derive(Clone, Debug, PartialEq)]
pub struct Delivered {
    /// Material of the contract, by its place there.
    pub material: Read<usize>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Ticket.
    pub ticket: Option<Read<Box<str>>>,
    /// Quantity, in the material's unit.
    pub quantity: Read<Decimal>,
    /// Moisture, in percent of the dry mass.
    pub moisture: Option<Read<Decimal>>,
    /// How much of it was wasted or taken back, in the material's unit.
    pub wasted: Option<Read<Decimal>>,
    /// Lanes it went to.
    pub lanes: Option<Read<Vec<LaneId>>>,
    /// Between these stations of them.
    pub between: Option<(Read<Station>, Read<Station>)>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// What a line of an invoice bills for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Charge {
    /// Concrete by volume.
    Concrete,
    /// A load below full size.
    ShortLoad,
    /// Time a truck waited.
    Waiting,
    /// Anything else.
    Other,
}

impl Charge {
    /// The word in tables and messages.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Charge::Concrete => "concrete",
            Charge::ShortLoad => "short load",
            Charge::Waiting => "waiting",
            Charge::Other => "other",
        }
    }
}

/// A line of a supplier's invoice.
#[derive(Clone, Debug, PartialEq)]
pub struct Billed {
    /// Invoice number.
    pub invoice: Read<Box<str>>,
    /// Day of the delivery, or of the invoice.
    pub date: Read<NaiveDate>,
    /// Ticket it bills.
    pub ticket: Option<Read<Box<str>>>,
    /// What for.
    pub charge: Charge,
    /// The words for it, as typed.
    pub described: Option<Read<Box<str>>>,
    /// Mix.
    pub mix: Option<Read<Box<str>>>,
    /// Volume billed, of concrete.
    pub volume: Option<Read<Decimal>>,
    /// Minutes billed, of waiting.
    pub minutes: Option<Read<Decimal>>,
    /// Price for one of it.
    pub price: Option<Read<Decimal>>,
    /// Amount.
    pub amount: Read<Decimal>,
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
    /// Who checked it.
    pub checked_by: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A step of the work on a stretch, in the order in which the work goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// The grade tilled and mixed.
    Reclaim,
    /// The grade compacted.
    Compact,
    /// The grade trimmed.
    Trim,
    /// Base placed, rolled and trimmed.
    Base,
    /// Dowel baskets set.
    Baskets,
    /// Tie bars set.
    Ties,
    /// Surface finished and textured.
    Texture,
    /// Curing compound sprayed, or covered.
    Cure,
    /// Joints sawn.
    Saw,
    /// Joints sealed.
    Seal,
    /// Opened to traffic.
    Open,
    /// Closed to traffic again.
    Close,
}

impl Step {
    /// All of them, in order.
    pub const ALL: [Self; 12] = [
        Step::Reclaim,
        Step::Compact,
        Step::Trim,
        Step::Base,
        Step::Baskets,
        Step::Ties,
        Step::Texture,
        Step::Cure,
        Step::Saw,
        Step::Seal,
        Step::Open,
        Step::Close,
    ];

    /// The word in `contract.toml`, rule sets and figure keys.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Step::Reclaim => "reclaim",
            Step::Compact => "compact",
            Step::Trim => "trim",
            Step::Base => "base",
            Step::Baskets => "baskets",
            Step::Ties => "ties",
            Step::Texture => "texture",
            Step::Cure => "cure",
            Step::Saw => "saw",
            Step::Seal => "seal",
            Step::Open => "open",
            Step::Close => "close",
        }
    }

    /// The step of a word.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|step| step.word() == word)
    }

    /// What was done, in running words: `base placed`.
    #[must_use]
    pub fn done(self) -> &'static str {
        match self {
            Step::Reclaim => "grade reclaimed and mixed",
            Step::Compact => "grade compacted",
            Step::Trim => "grade trimmed",
            Step::Base => "base placed",
            Step::Baskets => "dowel baskets set",
            Step::Ties => "tie bars set",
            Step::Texture => "finished and textured",
            Step::Cure => "cured",
            Step::Saw => "joints sawn",
            Step::Seal => "joints sealed",
            Step::Open => "opened",
            Step::Close => "closed",
        }
    }
}

/// One step done on a stretch of some lanes, or at one joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// Its number; when the sheet has none, step, day and stations stand for it.
    pub number: Read<Box<str>>,
    /// Which step.
    pub step: Step,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Begun and ended.
    pub times: (Option<Read<NaiveTime>>, Option<Read<NaiveTime>>),
    /// Lanes, of one alignment.
    pub lanes: Read<Vec<LaneId>>,
    /// One end; of a single joint, its station.
    pub from: Read<Station>,
    /// The other end; equal to `from` where the row is a single joint. May be behind `from`.
    pub to: Read<Station>,
    /// Depth: of mixing, of base, of a saw cut.
    pub depth: Option<Read<Decimal>>,
    /// Area that one unit of curing compound covered.
    pub rate: Option<Read<Decimal>>,
    /// Pieces: baskets, bars.
    pub count: Option<Read<Decimal>>,
    /// With what: material, product; of an opening, for whom.
    pub material: Option<Read<Box<str>>>,
    /// Day on which it was accepted.
    pub accepted: Option<Read<NaiveDate>>,
    /// Whether it passed when it was looked at; `None` where the sheet does not say.
    pub passed: Option<bool>,
    /// Crew or inspector.
    pub by: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A density and moisture test of grade or base.
#[derive(Clone, Debug, PartialEq)]
pub struct Density {
    /// Its number.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Lanes it stands for: those of its cell, else all lanes of the contract's only alignment.
    pub lanes: Read<Vec<LaneId>>,
    /// Station.
    pub station: Read<Station>,
    /// Offset as typed.
    pub offset: Option<Read<Box<str>>>,
    /// Which layer.
    pub layer: Surface,
    /// Material or number of the laboratory's compaction curve.
    pub material: Option<Read<Box<str>>>,
    /// Lift, as typed.
    pub lift: Option<Read<Box<str>>>,
    /// Gauge, sand cone, as typed.
    pub method: Option<Read<Box<str>>>,
    /// Wet density.
    pub wet: Option<Read<Decimal>>,
    /// Dry density.
    pub dry: Option<Read<Decimal>>,
    /// Moisture, in percent of the dry mass.
    pub moisture: Option<Read<Decimal>>,
    /// Maximum dry density of the material.
    pub maximum: Option<Read<Decimal>>,
    /// Optimum moisture of the material.
    pub optimum: Option<Read<Decimal>>,
    /// Percent of the maximum, as the sheet prints it.
    pub percent: Option<Read<Decimal>>,
    /// The failed test that this one repeats.
    pub retest_of: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// What the laboratory found of a material: how dense it can be made, and at which moisture.
#[derive(Clone, Debug, PartialEq)]
pub struct Compaction {
    /// Material or number of the curve.
    pub material: Read<Box<str>>,
    /// Maximum dry density.
    pub maximum: Read<Decimal>,
    /// Optimum moisture.
    pub optimum: Read<Decimal>,
    /// Specific gravity of its solids.
    pub gravity: Option<Read<Decimal>>,
    /// Day of the report.
    pub date: Option<Read<NaiveDate>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// Which bar at a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Bar {
    /// Across a transverse joint, to carry load.
    Dowel,
    /// Across a longitudinal joint, to hold it closed.
    Tie,
}

impl Bar {
    /// The word in rule sets, tables and messages.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Bar::Dowel => "dowel",
            Bar::Tie => "tie bar",
        }
    }
}

/// Where a bar lies, as measured before or after the concrete was placed. Deviations may be below zero.
#[derive(Clone, Debug, PartialEq)]
pub struct BarCheck {
    /// Its number; when the sheet has none, lane, station and bar stand for it.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Lane.
    pub lane: Read<LaneId>,
    /// Station of the joint.
    pub station: Read<Station>,
    /// Dowel or tie bar.
    pub bar: Bar,
    /// Which bar of the joint, as typed.
    pub place: Option<Read<Box<str>>>,
    /// Depth of its middle below the surface.
    pub depth: Option<Read<Decimal>>,
    /// How far its middle is off the joint, along the bar.
    pub side: Option<Read<Decimal>>,
    /// How far it is tilted, end to end, up or down.
    pub tilt: Option<Read<Decimal>>,
    /// How far it is turned, end to end, sideways.
    pub skew: Option<Read<Decimal>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// Weather and concrete as they were at a time of day.
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    /// Day.
    pub date: Read<NaiveDate>,
    /// Time of day.
    pub time: Option<Read<NaiveTime>>,
    /// Lane.
    pub lane: Option<Read<LaneId>>,
    /// Station.
    pub station: Option<Read<Station>>,
    /// Air temperature.
    pub air: Option<Read<Decimal>>,
    /// Relative humidity, in percent.
    pub humidity: Option<Read<Decimal>>,
    /// Wind speed.
    pub wind: Option<Read<Decimal>>,
    /// Temperature of the concrete.
    pub concrete: Option<Read<Decimal>>,
    /// Rate of evaporation as the sheet prints it.
    pub evaporation: Option<Read<Decimal>>,
    /// Who.
    pub by: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A reading of a temperature logger in the slab.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// Logger or sensor.
    pub sensor: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Time of day.
    pub time: Read<NaiveTime>,
    /// Temperature of the concrete.
    pub temperature: Read<Decimal>,
    /// Lane.
    pub lane: Option<Read<LaneId>>,
    /// Station.
    pub station: Option<Read<Station>>,
    /// Placement it lies in.
    pub placement: Option<Read<Box<str>>>,
    /// Mix.
    pub mix: Option<Read<Box<str>>>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A specimen of a mix's strength-maturity curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibrated {
    /// Its number; when the sheet has none, mix and maturity stand for it.
    pub number: Read<Box<str>>,
    /// Day it was tested.
    pub date: Option<Read<NaiveDate>>,
    /// Mix; `None` where the contract has one only.
    pub mix: Option<Read<Box<str>>>,
    /// Maturity when it was tested: temperature-time factor.
    pub factor: Option<Read<Decimal>>,
    /// Maturity when it was tested: equivalent age, in hours.
    pub age: Option<Read<Decimal>>,
    /// Its strength.
    pub strength: Read<Decimal>,
    /// Remarks.
    pub remarks: Option<Read<Box<str>>>,
}

/// A photograph or paper that is referred to.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// Its number or the name of its file.
    pub number: Read<Box<str>>,
    /// Day.
    pub date: Read<NaiveDate>,
    /// Photograph, certificate, letter, as typed.
    pub what: Option<Read<Box<str>>>,
    /// What it shows or says.
    pub about: Option<Read<Box<str>>>,
    /// Lanes.
    pub lanes: Option<Read<Vec<LaneId>>>,
    /// Between these stations, the same where it is one.
    pub between: Option<(Read<Station>, Read<Station>)>,
    /// Who took or wrote it.
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
    /// Batch weights.
    pub batches: Vec<Batch>,
    /// Surveyed levels.
    pub levels: Vec<Level>,
    /// Deliveries of materials that the contract keeps an account of.
    pub delivered: Vec<Delivered>,
    /// Lines of suppliers' invoices.
    pub billed: Vec<Billed>,
    /// Steps of the work.
    pub works: Vec<Work>,
    /// Density tests of grade and base.
    pub densities: Vec<Density>,
    /// Compaction curves of materials.
    pub compactions: Vec<Compaction>,
    /// Where bars lie.
    pub bars: Vec<BarCheck>,
    /// Weather.
    pub weather: Vec<Weather>,
    /// Readings of temperature loggers.
    pub logged: Vec<Logged>,
    /// Specimens of strength-maturity curves.
    pub calibrated: Vec<Calibrated>,
    /// Photographs and papers.
    pub documents: Vec<Document>,
}

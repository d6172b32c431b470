//! The contract as the engine sees it. Every number keeps its line and text, so that figures can point at it.

use std::collections::BTreeMap;

use chrono::{NaiveDate, NaiveTime};
use rust_decimal::Decimal;

use super::names::folded;
use super::payment::{Payment, Terms};
use crate::figure::{Given, Origin};
use crate::intake::{DateOrder, Ingredient, LaneId, SetAside, SheetRule};
use crate::rules::{Proof, Property};
use crate::units::{Alignment, Rounding, Side, Station, System, Unit};

/// A number of the contract file.
#[derive(Clone, Debug, PartialEq)]
pub struct Entered {
    /// In `unit`, which is one of the contract's system.
    pub value: Decimal,
    /// Unit.
    pub unit: Unit,
    /// As written: `9.5 in`.
    pub written: String,
    /// Line from 1.
    pub line: u32,
    /// `sections[0].thickness`.
    pub key: String,
}

impl Entered {
    /// As a leaf for formulas.
    #[must_use]
    pub fn given(&self, label: impl Into<String>, symbol: impl Into<String>) -> Given {
        Given {
            label: label.into(),
            symbol: symbol.into(),
            value: self.value,
            unit: self.unit,
            written: self.written.clone(),
            origin: Origin::Contract { line: self.line, key: self.key.clone() },
        }
    }
}

/// Who is party to the contract.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parties {
    /// Who pays.
    pub owner: String,
    /// Who builds.
    pub contractor: String,
    /// Who certifies.
    pub engineer: String,
}

/// A width at a station; between two of them the width tapers evenly.
#[derive(Clone, Debug, PartialEq)]
pub struct Width {
    /// From here on.
    pub at: Station,
    /// Width.
    pub width: Entered,
}

/// A lane.
#[derive(Clone, Debug, PartialEq)]
pub struct Lane {
    /// Name.
    pub name: String,
    /// What sheets call it.
    pub also: Vec<String>,
    /// Place in [`Contract::alignments`].
    pub alignment: usize,
    /// Side of the alignment.
    pub side: Side,
    /// At least one; in order along the line. The first holds before itself, the last beyond itself.
    pub widths: Vec<Width>,
}

/// A stretch of some lanes with one design.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Name.
    pub name: String,
    /// From.
    pub from: Station,
    /// To, beyond `from`.
    pub to: Station,
    /// Lines of the contract file on which `from` and `to` stand, from 1.
    pub lines: (u32, u32),
    /// Lanes, all of one alignment.
    pub lanes: Vec<LaneId>,
    /// Design thickness.
    pub thickness: Entered,
    /// Specified strength and the age in days it is due at.
    pub strength: Option<(Entered, Entered)>,
    /// True where the specified strength is flexural (beams).
    pub flexural: bool,
}

/// A stretch of lanes that is opened by itself: a driveway, a cross street.
#[derive(Clone, Debug, PartialEq)]
pub struct Driveway {
    /// Name.
    pub name: String,
    /// Lanes that it crosses, all of one alignment.
    pub lanes: Vec<LaneId>,
    /// From.
    pub from: Station,
    /// To, beyond `from`.
    pub to: Station,
}

/// How an item's quantity is measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Measurement {
    /// Area of pavement placed in the named sections.
    PlacedArea(Vec<usize>),
    /// Plan volume under the pavement placed in the named sections: area times design thickness.
    PlacedVolume(Vec<usize>),
    /// Volume delivered to the placements of the named sections, less rejected, wasted and returned.
    DeliveredVolume(Vec<usize>),
    /// Length of lane placed in the named sections.
    PlacedLength(Vec<usize>),
    /// By hand: the rows of hand-measured sheets that name the item.
    ByHand,
    /// Percent complete, by hand: the last row by date holds.
    ByPercent,
    /// By steps as other work is earned.
    BySchedule,
    /// Days or months from one day to another.
    ByCalendar,
}

impl Measurement {
    /// Sections the item is measured in, by place in [`Contract::sections`]; none where not measured on the line.
    #[must_use]
    pub fn sections(&self) -> &[usize] {
        match self {
            Measurement::PlacedArea(sections)
            | Measurement::PlacedVolume(sections)
            | Measurement::DeliveredVolume(sections)
            | Measurement::PlacedLength(sections) => sections,
            Measurement::ByHand | Measurement::ByPercent | Measurement::BySchedule | Measurement::ByCalendar => &[],
        }
    }
}

/// A contract item.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Number.
    pub number: String,
    /// Description.
    pub description: String,
    /// Unit of its quantity.
    pub unit: Unit,
    /// Plan quantity.
    pub quantity: Entered,
    /// Unit price.
    pub price: Entered,
    /// How its quantity is measured.
    pub measured: Measurement,
    /// Rounding of its quantity on the estimate.
    pub rounding: Rounding,
    /// Properties whose rules adjust its pay.
    pub adjusted_by: Vec<Property>,
    /// What has to be proved before the ground it was measured on is paid.
    pub waits_for: Vec<Proof>,
    /// How it is paid where not by quantity times price alone.
    pub terms: Terms,
    /// Line in the contract file.
    pub line: u32,
}

impl Item {
    /// The unit in which rows measured by hand say it: percent where it is paid by percent complete.
    #[must_use]
    pub fn entered_in(&self) -> Unit {
        if self.measured == Measurement::ByPercent { Unit::Percent } else { self.unit }
    }
}

/// The rule set chosen for each property, by id, with the line it is chosen on.
pub type RuleChoice = BTreeMap<Property, (String, u32)>;

/// Roundings that the contract names; none is ever implicit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Roundings {
    /// Of lengths along the line.
    pub length: Rounding,
    /// Of areas.
    pub area: Rounding,
    /// Of volumes.
    pub volume: Rounding,
    /// Of money.
    pub money: Rounding,
}

/// A pay period.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Period {
    /// Number.
    pub number: u32,
    /// Last day in it.
    pub through: NaiveDate,
}

/// Limits on fresh concrete that the contract states.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FreshLimits {
    /// Air, lowest and highest.
    pub air: (Option<Entered>, Option<Entered>),
    /// Slump, lowest and highest.
    pub slump: (Option<Entered>, Option<Entered>),
    /// Concrete temperature, lowest and highest.
    pub temperature: (Option<Entered>, Option<Entered>),
    /// Water-cement ratio, lowest and highest.
    pub water_cement: (Option<Entered>, Option<Entered>),
}

/// What the depth of the slab is taken from when concrete is accounted for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DepthBy {
    /// Cores and depth probes together.
    #[default]
    CoresAndProbes,
    /// Cores.
    Cores,
    /// Depth probes.
    Probes,
    /// Surveyed levels of base and pavement.
    Levels,
}

impl DepthBy {
    /// The word in `contract.toml` and on pages.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            DepthBy::CoresAndProbes => "cores and probes",
            DepthBy::Cores => "cores",
            DepthBy::Probes => "probes",
            DepthBy::Levels => "levels",
        }
    }
}

/// Limits and allowances of the yield account. Shares are percents of the theoretical volume.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Yields {
    /// Overrun above which a reader is warned.
    pub warn_over: Option<Entered>,
    /// Overrun above which something must be done.
    pub act_over: Option<Entered>,
    /// Underrun above which something must be done; any underrun is a warning.
    pub act_under: Option<Entered>,
    /// Allowed for loss of air and settlement.
    pub allowance: Option<Entered>,
    /// What the depth of the slab is taken from.
    pub depth_by: DepthBy,
    /// How far below design grade a level may lie before it is pointed at, a depth.
    pub low_grade: Option<Entered>,
    /// Value of one unit of concrete where its mix has no price.
    pub price: Option<Entered>,
}

/// A mix of the contract.
#[derive(Clone, Debug, PartialEq)]
pub struct Mix {
    /// Name.
    pub name: String,
    /// What sheets call it.
    pub also: Vec<String>,
    /// Sections it may be placed in; empty for any.
    pub sections: Vec<usize>,
    /// Agreed price for one unit of volume.
    pub price: Option<Entered>,
    /// Design mass of each ingredient in one unit of volume, aggregates saturated surface-dry; unit
    /// [`crate::units::System::content`].
    pub design: BTreeMap<Ingredient, Entered>,
    /// Highest ratio of water to cementitious material.
    pub water_cement: Option<Entered>,
    /// Line in the contract file.
    pub line: u32,
}

/// How far batch weights may be off their target: below (a percent below zero) and above.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Batching {
    /// By ingredient.
    pub tolerances: BTreeMap<Ingredient, (Option<Entered>, Option<Entered>)>,
}

/// A limit that does not hold for one load.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waived {
    /// Ticket.
    pub ticket: String,
    /// Why.
    pub reason: String,
}

/// Limits on loads that the contract states.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TicketRules {
    /// Longest time from batching to the end of discharge.
    pub time_limit: Option<Entered>,
    /// Most turns of the drum until discharge.
    pub revolutions: Option<Entered>,
    /// Loads for which time and turns were waived.
    pub waived: Vec<Waived>,
    /// Least time between two batchings of one truck: haul, discharge, return.
    pub shortest_round: Option<Entered>,
    /// First and last time of day at which concrete is batched.
    pub day: (Option<NaiveTime>, Option<NaiveTime>),
    /// Plants whose tickets are numbered through for this contract alone, so that a gap is a missing ticket.
    pub numbered: Vec<String>,
    /// Chance, in percent, below which digits and repeats are said to look copied.
    pub copied: Option<Entered>,
    /// Line in the contract file.
    pub line: u32,
}

/// What was agreed with the supplier of concrete, besides the price of each mix.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Supply {
    /// Loads below this volume may be charged as short.
    pub short_load_below: Option<Entered>,
    /// What a short load is charged.
    pub short_load_charge: Option<Entered>,
    /// Minutes on the site that are free.
    pub free_time: Option<Entered>,
    /// Price of a minute beyond.
    pub waiting_price: Option<Entered>,
    /// Line in the contract file.
    pub line: u32,
}

/// How much of a material is needed.
#[derive(Clone, Debug, PartialEq)]
pub enum Need {
    /// Area times depth times density: base.
    Volume {
        /// Depth.
        depth: Entered,
        /// Density, dry.
        density: Entered,
        /// How far it reaches beyond each edge of the lanes placed together; `None` for not at all.
        beyond_edges: Option<Entered>,
    },
    /// Area over coverage: curing compound.
    Area {
        /// Area that one unit of it covers.
        covers: Entered,
        /// Depth of the edges that are covered too; `None` for none.
        edges: Option<Entered>,
    },
    /// At every transverse joint: baskets by piece, sealant by length.
    TransverseJoints {
        /// Distance between joints.
        spacing: Entered,
        /// Pieces at each joint of a lane; `None` where it is measured by length, which is then the lane's width.
        pieces: Option<Entered>,
    },
    /// Along the joints between pairs of lanes: tie bars by piece, sealant by length.
    LongitudinalJoints {
        /// Pairs of lanes.
        joints: Vec<(LaneId, LaneId)>,
        /// Distance between pieces; `None` where it is measured by length.
        spacing: Option<Entered>,
    },
    /// So many lengths of it along each lane: continuous reinforcement.
    AlongLanes {
        /// How many beside each other.
        count: Entered,
    },
}

/// A material that an account is kept of.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Name.
    pub name: String,
    /// What sheets call it.
    pub also: Vec<String>,
    /// Unit of its quantities.
    pub unit: Unit,
    /// Sections it is needed in.
    pub sections: Vec<usize>,
    /// How much is needed.
    pub need: Need,
    /// Price of one unit.
    pub price: Option<Entered>,
    /// Used over needed, in percent of what is needed, above which a reader is warned.
    pub warn_over: Option<Entered>,
    /// Used under needed, in percent of it, above which a reader is warned.
    pub warn_under: Option<Entered>,
    /// Line in the contract file.
    pub line: u32,
}

/// What the parties chose where a rule leaves them a choice.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choices {
    /// Sections and lots, as written, whose thick cores the contractor has dropped; `all` for every one.
    pub drop_thick_cores: Vec<String>,
    /// Line of the file on which they stand, from 1.
    pub line: u32,
}

/// What offsets across a lane are measured from, looking ahead along the line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum OffsetFrom {
    /// The lane's left edge, to the right.
    #[default]
    LeftEdge,
    /// The lane's right edge, to the left.
    RightEdge,
    /// The middle of the lane, to the left or right.
    LaneCentre,
}

impl OffsetFrom {
    /// In words, as a heading says it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            OffsetFrom::LeftEdge => "left edge",
            OffsetFrom::RightEdge => "right edge",
            OffsetFrom::LaneCentre => "lane centre",
        }
    }
}

/// How test locations are drawn, and how near to them tests must be taken.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawRule {
    /// Seed, as printed and as hashed.
    pub seed: String,
    /// Line of the file on which the seed stands, from 1.
    pub line: u32,
    /// Distance from the edges of a lane within which nothing is drawn.
    pub clear_of_edge: Entered,
    /// Distance from a lot's ends in a lane within which nothing is drawn.
    pub clear_of_ends: Option<Entered>,
    /// Distance along the line that a core may be off its drawn location.
    pub tolerance: Entered,
    /// Distance across the lane that it may be off.
    pub tolerance_across: Option<Entered>,
    /// What offsets are measured from.
    pub offset_from: OffsetFrom,
    /// Days after a lot's last placing by which its cores are due.
    pub within_days: Option<u32>,
}

/// When a paper is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaperDue {
    /// So many days after the first quantity of its items.
    AfterFirst(u32),
    /// On a day, whatever was placed.
    On(NaiveDate),
    /// On a day, or so many days after the first quantity of its items, whichever is later.
    Later(NaiveDate, u32),
}

/// A paper that pay depends on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// What it is.
    pub paper: String,
    /// Items it is for, by place in the contract.
    pub items: Vec<usize>,
    /// Who issues it.
    pub from: Option<String>,
    /// When it is due.
    pub due: PaperDue,
    /// Whether what its items earned is held until it comes.
    pub holds: bool,
    /// Line of the file, from 1.
    pub line: u32,
}

/// The whole contract.
#[derive(Clone, Debug, PartialEq)]
pub struct Contract {
    /// Number; also the name of the output folder.
    pub number: String,
    /// Title.
    pub title: String,
    /// A line printed on every page, such as that the data are invented; empty for none.
    pub notice: String,
    /// Parties.
    pub parties: Parties,
    /// Unit system.
    pub system: System,
    /// Order of dates written as text.
    pub date_order: DateOrder,
    /// Currency sign before amounts: `$`.
    pub currency: String,
    /// Alignments.
    pub alignments: Vec<Alignment>,
    /// Lanes; a lane's place is its [`LaneId`].
    pub lanes: Vec<Lane>,
    /// Sections.
    pub sections: Vec<Section>,
    /// Driveways and cross streets.
    pub driveways: Vec<Driveway>,
    /// Items.
    pub items: Vec<Item>,
    /// Rule sets chosen.
    pub rules: RuleChoice,
    /// What was chosen where a rule leaves a choice.
    pub choices: Choices,
    /// Roundings.
    pub roundings: Roundings,
    /// Periods, in order.
    pub periods: Vec<Period>,
    /// How the work is paid beyond quantity times price.
    pub payment: Payment,
    /// Limits and allowances of the yield account.
    pub yields: Yields,
    /// Mixes.
    pub mixes: Vec<Mix>,
    /// How far batch weights may be off.
    pub batching: Batching,
    /// Limits on loads; `None` where the contract does not say.
    pub tickets: Option<TicketRules>,
    /// What was agreed with the supplier; `None` where the contract does not say.
    pub supply: Option<Supply>,
    /// Materials besides concrete that an account is kept of.
    pub materials: Vec<Material>,
    /// Limits on fresh concrete.
    pub fresh: FreshLimits,
    /// How test locations are drawn; `None` where the contract does not say.
    pub draw: Option<DrawRule>,
    /// Whether a quantity that no second person checked keeps the reports open.
    pub checking: bool,
    /// Papers that pay depends on.
    pub papers: Vec<Paper>,
    /// What is said outright about sheets.
    pub sheets: Vec<SheetRule>,
    /// What is set aside.
    pub set_aside: Vec<SetAside>,
    /// The file.
    pub text: String,
    /// SHA-256 of it.
    pub sha256: String,
}

impl Contract {
    /// A lane. Ids come from this contract, so it is there.
    #[must_use]
    pub fn lane(&self, id: LaneId) -> &Lane {
        &self.lanes[usize::from(id.0)]
    }

    /// The alignment of a lane.
    #[must_use]
    pub fn alignment(&self, id: LaneId) -> &Alignment {
        &self.alignments[self.lane(id).alignment]
    }

    /// A station of a lane as painted.
    #[must_use]
    pub fn station(&self, lane: LaneId, station: Station) -> String {
        self.alignment(lane).write(station.label)
    }

    /// The mix that a sheet names, by place; case, blanks and punctuation do not tell names apart.
    #[must_use]
    pub fn mix(&self, name: &str) -> Option<usize> {
        let asked = folded(name);
        self.mixes.iter().position(|m| folded(&m.name) == asked || m.also.iter().any(|also| folded(also) == asked))
    }

    /// What one unit of concrete of a mix is worth: its agreed price, else the one that holds for all.
    #[must_use]
    pub fn price_of(&self, mix: Option<usize>) -> Option<&Entered> {
        mix.and_then(|mix| self.mixes.get(mix)?.price.as_ref()).or(self.yields.price.as_ref())
    }
}

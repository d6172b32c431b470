//! Rank 10. Quantities by item, adjustments, the period's estimate.
//!
//! Every amount is a figure; every quantity is a sum of lines, each with the record that supports it; every total is the
//! sum of the lines printed above it. Formats never enter here.

mod adjustment;
mod against;
mod amounts;
pub mod audit;
mod authorized;
mod checking;
mod column;
mod correction;
mod delay;
mod entered;
mod estimate;
mod held;
mod indexed;
mod item;
mod papers;
mod parting;
mod quantity;
mod retained;
mod schedule;
mod settle;
mod split;
mod stepwise;
mod stored;
#[cfg(test)]
mod tests;
mod varied;

pub use adjustment::worth;
pub use against::AgainstPlan;
pub use authorized::Authorized;
pub use checking::{Persons, Unchecked};
pub use correction::Correction;
pub use delay::Delay;
pub use entered::EntryLine;
pub use estimate::period_of;
pub use indexed::Indexed;
pub use retained::Retained;
pub use settle::{PayLine, Role, Settlement};
pub use split::{Parts, SplitLine};
pub use stored::{OnHand, StoredLine};
pub use varied::Varied;

use chrono::NaiveDate;

use crate::accept::Judged;
use crate::closing::Closing;
use crate::contract::{Contract, Period};
use crate::figure::{Book, FigureId};
use crate::finding::Finding;
use crate::intake::{LaneId, Records};
use crate::line::Line;
use crate::reconcile::Yield;
use crate::rules::{Proof, Property};
use crate::source::CellRef;
use crate::units::Station;
use crate::works::{Stands, Works};

/// A to-date amount and its two parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amounts {
    /// All through the as-of date.
    pub to_date: FigureId,
    /// As the last closing says, else through the end of the period before.
    pub previous: FigureId,
    /// The difference.
    pub this: FigureId,
}

/// One measured quantity of an item.
#[derive(Clone, Debug, PartialEq)]
pub struct QuantityLine {
    /// Day.
    pub date: NaiveDate,
    /// What and where, in words.
    pub what: String,
    /// Quantity in the item's unit.
    pub quantity: FigureId,
    /// The record that supports it.
    pub record: Option<CellRef>,
    /// Who measured and checked it.
    pub persons: Persons,
}

/// An item of the estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemPay {
    /// Place in the contract.
    pub item: usize,
    /// Unit price.
    pub price: FigureId,
    /// Plan quantity.
    pub plan: FigureId,
    /// Measured quantities, by date.
    pub lines: Vec<QuantityLine>,
    /// Quantities.
    pub quantity: Amounts,
    /// Money.
    pub amount: Amounts,
}

/// A change of pay that follows from an outcome.
#[derive(Clone, Debug, PartialEq)]
pub struct AdjustmentLine {
    /// Item it changes, by place in the contract.
    pub item: usize,
    /// Outcome, by place in [`Judged::outcomes`].
    pub outcome: usize,
    /// Property judged.
    pub property: Property,
    /// Day it was decided by the last record.
    pub decided: NaiveDate,
    /// Area or volume it applies to.
    pub quantity: FigureId,
    /// What it is made at: percent paid, money for each unit of area, volume beside the plan, or money outright.
    pub rate: FigureId,
    /// Amount, negative for a deduction.
    pub amount: FigureId,
    /// True where the amount is held until the engineer decides.
    pub held: bool,
    /// True where it belongs to this period.
    pub this_period: bool,
}

/// Ground of an item that waits for proof.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldLine {
    /// Item, by place in the contract.
    pub item: usize,
    /// What is to be proved.
    pub proof: Proof,
    /// Name of the piece of pavement.
    pub piece: String,
    /// Missing or failed.
    pub stands: Stands,
    /// Its ground.
    pub places: Vec<(LaneId, Station, Station)>,
    /// Day from which the proof is due.
    pub since: NaiveDate,
    /// Quantity, in the item's unit.
    pub quantity: FigureId,
    /// Amount, negative.
    pub amount: FigureId,
    /// True where it was held at the end of the period before, false where it is held now.
    pub previous: bool,
}

/// How a paper stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PaperStands {
    /// Paper, by place in the contract.
    pub paper: usize,
    /// Day it is due; `None` while nothing makes it due.
    pub due: Option<NaiveDate>,
    /// The first document that is it, by place in the records.
    pub received: Option<usize>,
    /// Whether it is due and has not come.
    pub missing: bool,
}

/// An item that waits for papers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperLine {
    /// Item, by place in the contract.
    pub item: usize,
    /// The papers, by place in the contract.
    pub papers: Vec<usize>,
    /// Day from which the first of them is missing.
    pub since: NaiveDate,
    /// Amount, negative.
    pub amount: FigureId,
    /// True where it was held at the end of the period before, false where it is held now.
    pub previous: bool,
}

/// What exploratory cores can still change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ExploredLine {
    /// Section, by place in [`Judged::explorations`].
    pub exploration: usize,
    /// Item, by place in the contract.
    pub item: usize,
    /// Its adjustment now.
    pub now: FigureId,
    /// Its adjustment if the next cores are good.
    pub if_good: FigureId,
}

/// The estimate of a period.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The period.
    pub period: Period,
    /// Last day before it: of the last closing, else of the period before.
    pub before: Option<NaiveDate>,
    /// Items in the contract's order.
    pub items: Vec<ItemPay>,
    /// Adjustments, by item and date.
    pub adjustments: Vec<AdjustmentLine>,
    /// What exploratory cores can still change.
    pub explored: Vec<ExploredLine>,
    /// What waits for proof: now, and at the end of the period before.
    pub held_lines: Vec<HeldLine>,
    /// Quantities built against those agreed; empty before the final period.
    pub against_plan: Vec<AgainstPlan>,
    /// Lines of closed periods that are not what they were.
    pub corrections: Vec<Correction>,
    /// Quantities that no second person checked.
    pub unchecked: Vec<Unchecked>,
    /// How each paper stands, in the contract's order.
    pub papers: Vec<PaperStands>,
    /// What waits for papers: now, and at the end of the period before.
    pub paper_lines: Vec<PaperLine>,
    /// Sum of the items.
    pub work: Amounts,
    /// Sum of the adjustments.
    pub adjusted: Amounts,
    /// From the work done to what is due.
    pub settlement: Settlement,
    /// Who pays which share, or where it is charged.
    pub splits: Vec<Parts>,
}

impl Estimate {
    /// What is earned.
    #[must_use]
    pub fn earned(&self) -> Amounts {
        self.settlement.line("earned").copied().unwrap_or(self.work)
    }

    /// What is due: `this` in this period.
    #[must_use]
    pub fn due(&self) -> Amounts {
        self.settlement.lines.last().map_or(self.work, |line| line.amounts)
    }
}

/// What pay is computed from.
#[derive(Clone, Copy)]
pub struct Inputs<'a> {
    /// Contract.
    pub contract: &'a Contract,
    /// Records through the as-of date.
    pub records: &'a Records,
    /// As-built line.
    pub line: &'a Line,
    /// Acceptance.
    pub judged: &'a Judged,
    /// Yield account.
    pub account: &'a Yield,
    /// The steps and their proof.
    pub works: &'a Works,
    /// The last closing before this period; `None` where none is closed.
    pub closed: Option<&'a Closing>,
    /// As-of date.
    pub through: NaiveDate,
}

/// The estimate as of a day, in the first period of the contract that the day falls in.
///
/// # Errors
/// When the day is after the last period.
pub fn estimate(inputs: Inputs<'_>, book: &mut Book) -> Result<(Estimate, Vec<Finding>), String> {
    estimate::estimate(inputs, book)
}

//! Rank 9. Quantities by item, adjustments, the period's estimate.
//!
//! Every amount is a figure; every quantity is a sum of lines, each with the record that supports it; every total is the
//! sum of the lines printed above it. Formats never enter here.

mod adjustment;
mod estimate;
mod held;
mod quantity;
#[cfg(test)]
mod tests;

pub use adjustment::worth;
pub use estimate::period_of;

use chrono::NaiveDate;

use crate::accept::Judged;
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
    /// Through the end of the period before.
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
    /// Last day of the period before.
    pub before: Option<NaiveDate>,
    /// Items in the contract's order.
    pub items: Vec<ItemPay>,
    /// Adjustments, by item and date.
    pub adjustments: Vec<AdjustmentLine>,
    /// What exploratory cores can still change.
    pub explored: Vec<ExploredLine>,
    /// What waits for proof: now, and at the end of the period before.
    pub held_lines: Vec<HeldLine>,
    /// Sum of the items.
    pub work: Amounts,
    /// Sum of the adjustments.
    pub adjusted: Amounts,
    /// Sum of what waits for proof, negative; `None` where no item waits for any.
    pub held: Option<Amounts>,
    /// Work and adjustments, less what waits for proof.
    pub earned: Amounts,
    /// Retained; `None` where the contract retains nothing.
    pub retained: Option<Amounts>,
    /// Earned less retained: `this` is what is due.
    pub due: Amounts,
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

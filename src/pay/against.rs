//! The final estimate: what was built of each item against what the plan and its changes say.
//!
//! ```text
//! difference = quantity to date - quantity agreed        percent = 100 x difference / quantity agreed
//! ```
//!
//! The quantity agreed is that of the contract with its change orders. Why it differs is the contract's to say
//! (`differs_because`); where the contract asks for reasons beyond a share and gives none, that is a gap.

use super::authorized::Authorized;
use super::column::Column;
use super::{Inputs, ItemPay};
use crate::contract::Entered;
use crate::figure::{Book, Expr, Figure, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::units::{Unit, conversions};

/// An item's quantity to date against the one agreed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AgainstPlan {
    /// Item, by place in the contract.
    pub item: usize,
    /// Quantity agreed: plan and change orders.
    pub agreed: FigureId,
    /// To date less agreed.
    pub difference: FigureId,
    /// That in percent of what was agreed; `None` where nothing was.
    pub percent: Option<FigureId>,
    /// What the difference is worth at the unit price.
    pub worth: FigureId,
}

/// Every item in the final period; nothing in any other.
pub(super) fn against_plan(
    inputs: Inputs<'_>,
    (column, authorized): (Column, Option<&Authorized>),
    items: &[ItemPay],
    book: &mut Book,
) -> (Vec<AgainstPlan>, Vec<Finding>) {
    if !column.is_final {
        return Default::default();
    }
    let agreed = |pay: &ItemPay| authorized.map_or(pay.plan, |authorized| authorized.quantities[pay.item][column.at]);
    let lines: Vec<AgainstPlan> = items.iter().map(|pay| one(inputs, pay, agreed(pay), book)).collect();
    let limit = inputs.contract.payment.reasons_beyond.as_ref();
    let without = lines.iter().filter_map(|line| unexplained(inputs, line, limit?, book));
    let found = without.collect();
    (lines, found)
}

fn one(inputs: Inputs<'_>, pay: &ItemPay, agreed: FigureId, book: &mut Book) -> AgainstPlan {
    let item = &inputs.contract.items[pay.item];
    let key = format!("item-{}.against-plan", slug(&item.number));
    let name = format!("item {}, built against agreed", item.number);
    let some_agreed = book[agreed].value.decimal().is_some_and(|quantity| !quantity.is_zero());
    let mut add = |part: &str, symbol: &str, unit: Unit, expr: Expr| {
        let figure = Figure::new(format!("{key}.{part}"), format!("{name}, {part}"), symbol, unit, expr);
        book.add(match part {
            "difference" => figure.rounded(item.rounding),
            "percent" => figure.shown(1),
            _ => figure.rounded(inputs.contract.roundings.money),
        })
    };
    let difference = add("difference", "d", item.unit, pay.quantity.to_date - agreed);
    let worth = add("worth", "A", Unit::Money, difference * pay.price);
    let percent = some_agreed
        .then(|| add("percent", "v", Unit::Percent, (difference / agreed).to(conversions::RATIO_TO_PERCENT)));
    AgainstPlan { item: pay.item, agreed, difference, percent, worth }
}

fn unexplained(inputs: Inputs<'_>, line: &AgainstPlan, limit: &Entered, book: &Book) -> Option<Finding> {
    let item = &inputs.contract.items[line.item];
    let difference = book[line.difference].value.decimal()?;
    let percent = line.percent.and_then(|id| book[id].value.decimal());
    // Something built of which nothing was agreed is beyond any share.
    let beyond = percent.map_or(!difference.is_zero(), |percent| percent.abs() > limit.value);
    if !beyond || item.terms.differs_because.is_some() {
        return None;
    }
    let side = if difference.is_sign_negative() { "less" } else { "more" };
    let message = format!(
        "{} {} {side} than agreed was built of item {}, {}, beyond the {} that are passed without a reason",
        difference.abs().normalize(),
        item.unit,
        item.number,
        item.description,
        limit.written
    );
    let remedy = "add differs_because to the item in contract.toml, in words that a reader years later can follow";
    Some(Finding::new(Code::ReasonMissing, Place::Named(format!("item {}", item.number)), message, remedy))
}

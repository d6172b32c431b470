//! What the contract comes to: the quantity and amount of each item, and their sum, as bid and as changed.
//!
//! ```text
//! amount of an item = plan quantity x unit price, rounded;  contract amount = their sum
//! ```

use super::{Inputs, ItemPay};
use crate::contract::Contract;
use crate::figure::{Book, Expr, Figure, FigureId};
use crate::line::slug;
use crate::units::Unit;

/// What was agreed, by the columns of the estimate: to date, and before this period.
#[derive(Clone, Debug, PartialEq)]
pub struct Authorized {
    /// Contract amount as bid.
    pub original: FigureId,
    /// Contract amount as changed.
    pub contract: [FigureId; 2],
    /// Amount of each item.
    pub amounts: Vec<[FigureId; 2]>,
}

/// Whether anything is measured against it.
fn is_needed(contract: &Contract) -> bool {
    let payment = &contract.payment;
    payment.retainage.as_ref().is_some_and(|rule| !rule.steps.is_empty() || rule.most.is_some())
}

/// What was agreed; `None` where nothing is measured against it.
pub(super) fn authorized(inputs: Inputs<'_>, items: &[ItemPay], book: &mut Book) -> Option<Authorized> {
    let contract = inputs.contract;
    if !is_needed(contract) {
        return None;
    }
    let bid: Vec<FigureId> = items.iter().map(|pay| bid(contract, pay, book)).collect();
    let figure = Figure::new("contract.original", "contract amount as bid", "C", Unit::Money, Expr::Whole(0));
    let original = book.add_sum(figure.shown(2), bid.iter().map(|&id| id.into()).collect());
    Some(Authorized { original, contract: [original; 2], amounts: bid.into_iter().map(|id| [id; 2]).collect() })
}

fn bid(contract: &Contract, pay: &ItemPay, book: &mut Book) -> FigureId {
    let item = &contract.items[pay.item];
    let (key, label) = (format!("item-{}.bid", slug(&item.number)), format!("item {}, amount bid", item.number));
    book.add(Figure::new(key, label, "B", Unit::Money, pay.plan * pay.price).rounded(contract.roundings.money))
}

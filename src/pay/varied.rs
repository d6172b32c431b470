//! Quantities that end far from what was bid: the agreed price for what lies beyond, or for all of it.
//!
//! ```text
//! Q > over x P:    (Q - over x P) x (price agreed - price bid)
//! Q < under x P:   Q x price agreed, no more than most x P x price bid, less  Q x price bid
//! ```
//!
//! It is reckoned in the final period only. Where no price is agreed, either side may ask for one: that is a note.

use super::amounts::Maker;
use super::authorized::Authorized;
use super::column::{Column, by_column};
use super::{Amounts, Inputs, ItemPay};
use crate::contract::{Entered, Variation};
use crate::figure::{Book, Comparison, Expr, FigureId, compare, either, max, min, whole};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::units::conversions;

/// What variation comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Varied {
    /// Items with a price agreed: place in the contract, and its columns.
    pub items: Vec<(usize, Amounts)>,
    /// All of them.
    pub all: Amounts,
}

/// What is added or taken off for variation; `None` where the contract has no such clause or no price agreed.
pub(super) fn varied(
    inputs: Inputs<'_>,
    own: (Maker<'_>, [Column; 2]),
    (items, authorized): (&[ItemPay], Option<&Authorized>),
    book: &mut Book,
) -> Option<Varied> {
    let rule = inputs.contract.payment.variation.as_ref()?;
    let agreed = |pay: &&ItemPay| {
        let terms = &inputs.contract.items[pay.item].terms;
        terms.over_price.is_some() || terms.under_price.is_some()
    };
    let found = items.iter().filter(agreed).map(|pay| {
        let number = &inputs.contract.items[pay.item].number;
        let (key, label) =
            (format!("item-{}.variation", slug(number)), format!("item {number}, variation of quantity"));
        let amounts = by_column(own.0, book, (&key, &label), own.1, |book, column| {
            if column.is_final { of_item(inputs, rule, (pay, column, authorized), book) } else { Vec::new() }
        });
        (pay.item, amounts)
    });
    let found: Vec<(usize, Amounts)> = found.collect();
    if found.is_empty() {
        return None;
    }
    let all = own.0.sums(book, "variation", "variation of quantities", |pick| {
        found.iter().map(|(_, amounts)| pick(amounts).into()).collect()
    });
    Some(Varied { items: found, all })
}

/// The quantity that variation is measured on.
fn planned(rule: &Variation, pay: &ItemPay, authorized: Option<&Authorized>) -> FigureId {
    authorized.filter(|_| !rule.of_bid).map_or(pay.plan, |authorized| authorized.quantities[pay.item][0])
}

fn of_item(
    inputs: Inputs<'_>,
    rule: &Variation,
    (pay, column, authorized): (&ItemPay, Column, Option<&Authorized>),
    book: &mut Book,
) -> Vec<Expr> {
    let item = &inputs.contract.items[pay.item];
    let (placed, plan) = ((column.pick)(&pay.quantity), planned(rule, pay, authorized));
    let share = |value: &Entered, what: &str, book: &mut Book| {
        Expr::from(book.given(value.given(what, "v"))).to(conversions::PERCENT_TO_RATIO) * plan
    };
    let mut parts = Vec::new();
    if let Some(price) = &item.terms.over_price {
        let beyond = max([whole(0), placed - share(&rule.over, "upper share of variation", book)]);
        let price = book.given(price.given(format!("price agreed of item {} beyond", item.number), "p'"));
        parts.push(beyond * (price - pay.price));
    }
    if let Some(price) = &item.terms.under_price {
        let under = compare(placed, Comparison::Below, share(&rule.under, "lower share of variation", book));
        let price = book.given(price.given(format!("price agreed of item {} under", item.number), "p''"));
        let mut paid = vec![placed * price];
        if let Some(most) = &rule.under_most {
            paid.push(share(most, "most of the amount under", book) * pay.price);
        }
        parts.push(either(under, min(paid) - placed * pay.price, whole(0)));
    }
    parts
}

/// Items whose quantity lies outside the shares and that have no price agreed for it.
pub(super) fn outside(
    inputs: Inputs<'_>,
    column: Column,
    (items, authorized): (&[ItemPay], Option<&Authorized>),
    book: &Book,
) -> Vec<Finding> {
    let Some(rule) = &inputs.contract.payment.variation else { return Vec::new() };
    let said = |pay: &ItemPay| {
        let item = &inputs.contract.items[pay.item];
        let (placed, plan) =
            (book[pay.quantity.to_date].value.decimal()?, book[planned(rule, pay, authorized)].value.decimal()?);
        let hundred = rust_decimal::Decimal::from(100);
        let percent = placed.checked_mul(hundred)?.checked_div(plan)?;
        let (limit, side) = if percent > rule.over.value && item.terms.over_price.is_none() {
            (&rule.over, "above")
        } else if column.is_final && percent < rule.under.value && item.terms.under_price.is_none() {
            (&rule.under, "below")
        } else {
            return None;
        };
        let message = format!(
            "item {}: {placed} {} is {} percent of the {} planned, {side} {}, and no price is agreed",
            item.number,
            item.unit,
            percent.round_dp(1),
            plan.normalize(),
            limit.written
        );
        let remedy =
            "either side may ask for another price; once agreed, add it to the item as 'over_price' or 'under_price'";
        Some(Finding::new(Code::QuantityVaries, Place::Named(format!("item {}", item.number)), message, remedy))
    };
    items.iter().filter_map(said).collect()
}

//! Retainage: what is held back of what is earned, and what is given back of it.
//!
//! ```text
//! retained = r B,  B = earned less the items that carry no retainage
//! a step of all that is earned, once reached:   r' B
//! a step of what is earned after T:             retained(T) + r' (B - T)
//! never more than the most that the contract holds back
//! ```
//!
//! A step by day is reached on its day, a step by amount once B reaches its share of the contract amount as changed
//! through the day of the column. What is given back is a share of B, rounded by itself, and no more than was held back.

use super::amounts::Maker;
use super::authorized::Authorized;
use super::column::{Column, by_column};
use super::{Amounts, Inputs, ItemPay};
use crate::contract::{Entered, Retainage, RetainageStep, Since};
use crate::figure::{Book, Comparison, Expr, compare, either, min};
use crate::units::{Unit, conversions};

/// What retainage comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Retained {
    /// What it is reckoned on, where some items carry none; otherwise it is what is earned.
    pub base: Option<Amounts>,
    /// Held back.
    pub retained: Amounts,
    /// Given back of it; `None` where the contract gives nothing back before it is paid out by a step.
    pub released: Option<Amounts>,
}

/// Held back and given back; `None` where the contract retains nothing.
pub(super) fn retained(
    inputs: Inputs<'_>,
    (maker, columns): (Maker<'_>, [Column; 2]),
    (items, earned): (&[ItemPay], &Amounts),
    authorized: Option<&Authorized>,
    book: &mut Book,
) -> Option<Retained> {
    let rule = inputs.contract.payment.retainage.as_ref()?;
    let free: Vec<&ItemPay> =
        items.iter().filter(|pay| inputs.contract.items[pay.item].terms.free_of_retainage).collect();
    let base = (!free.is_empty()).then(|| {
        maker.of(book, "retainage-base", "earned less items that carry no retainage", |pick| {
            free.iter().fold(Expr::from(pick(earned)), |left, pay| left - pick(&pay.amount))
        })
    });
    let on = base.as_ref().unwrap_or(earned);
    let retained = if rule.steps.is_empty() && rule.most.is_none() {
        let share = ratio(&rule.percent, book);
        maker.of(book, "retained", "retained", |pick| Expr::from(pick(on)) * share.clone())
    } else {
        by_column(maker, book, ("retained", "retained"), columns, |book, column| {
            vec![held_back(rule, column, (column.pick)(on).into(), authorized, book)]
        })
    };
    let released = released(rule, (maker, columns), (on, &retained), book);
    Some(Retained { base, retained, released })
}

fn ratio(percent: &Entered, book: &mut Book) -> Expr {
    Expr::from(book.given(percent.given("retainage", "r"))).to(conversions::PERCENT_TO_RATIO)
}

/// What is held back of a base as of a column, by the steps reached and the most that is held.
fn held_back(rule: &Retainage, column: Column, base: Expr, authorized: Option<&Authorized>, book: &mut Book) -> Expr {
    let reached = rule.steps.iter().filter(|step| match step.since {
        Since::Date(from) => column.holds(from),
        Since::Earned(_) => true,
    });
    let steps: Vec<&RetainageStep> = reached.collect();
    let by_steps = stepped(rule, &steps, base, (column, authorized), book);
    match rule.most.as_ref().and_then(|most| of_contract(most, (column, authorized), book)) {
        Some(most) => min([by_steps, most]),
        None => by_steps,
    }
}

/// By the last of the steps, or those before it where it is not reached.
fn stepped(
    rule: &Retainage,
    steps: &[&RetainageStep],
    base: Expr,
    at: (Column, Option<&Authorized>),
    book: &mut Book,
) -> Expr {
    let Some((last, before)) = steps.split_last() else { return base * ratio(&rule.percent, book) };
    let share = ratio(&last.percent, book);
    let threshold = match &last.since {
        Since::Earned(of) => of_contract(of, at, book),
        Since::Date(_) => None,
    };
    let Some(threshold) = threshold else { return base * share };
    let not_reached = stepped(rule, before, base.clone(), at, book);
    let reached = if last.after_only {
        stepped(rule, before, threshold.clone(), at, book) + (base.clone() - threshold.clone()) * share
    } else {
        base.clone() * share
    };
    either(compare(base, Comparison::AtLeast, threshold), reached, not_reached)
}

/// An amount, or a share of the contract amount as changed.
fn of_contract(value: &Entered, (column, authorized): (Column, Option<&Authorized>), book: &mut Book) -> Option<Expr> {
    let given = book.given(value.given("share or most", "m"));
    if value.unit == Unit::Money {
        return Some(given.into());
    }
    Some(Expr::from(given).to(conversions::PERCENT_TO_RATIO) * authorized?.contract[column.at])
}

/// What is given back: shares from their days on, all of it in the final period.
fn released(
    rule: &Retainage,
    (maker, columns): (Maker<'_>, [Column; 2]),
    (on, retained): (&Amounts, &Amounts),
    book: &mut Book,
) -> Option<Amounts> {
    if rule.release.is_empty() && !rule.released_at_final {
        return None;
    }
    Some(by_column(maker, book, ("released", "retainage given back"), columns, |book, column| {
        let (base, held) = ((column.pick)(on), (column.pick)(retained));
        if rule.released_at_final && column.is_final {
            return vec![held.into()];
        }
        let parts = rule.release.iter().filter(|part| column.holds(part.from));
        let parts: Vec<Expr> = parts
            .map(|part| {
                let share = book.given(part.percent.given("share given back", "r"));
                (base * Expr::from(share).to(conversions::PERCENT_TO_RATIO)).rounded(maker.rounding)
            })
            .collect();
        if parts.is_empty() { parts } else { vec![min([crate::figure::sum(parts), held.into()])] }
    }))
}

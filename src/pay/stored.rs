//! Materials on hand: what is paid for what is delivered and not in the work yet.
//!
//! ```text
//! allowance of an item = lesser of  sum of rate x invoice  and  most x amount agreed
//!                        x (1 - quantity placed / quantity agreed), not below zero
//! ```
//!
//! Nothing is paid where the contract is under its least award. An invoice that is not paid in time stays in the sum and is
//! a gap.

use super::amounts::Maker;
use super::authorized::Authorized;
use super::column::{Column, by_column};
use super::{Amounts, Inputs, ItemPay};
use crate::contract::{FILE, Stored, StoredMaterial};
use crate::figure::{Book, Comparison, Expr, Figure, FigureId, compare, either, max, min, sum, whole};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::units::{Unit, conversions};

/// A stored material through the as-of date.
#[derive(Clone, Debug, PartialEq)]
pub struct StoredLine {
    /// Place in [`Stored::materials`].
    pub material: usize,
    /// Amount of the invoice.
    pub invoice: FigureId,
    /// What its rate makes of it.
    pub at_rate: FigureId,
}

/// What is paid for stored materials.
#[derive(Clone, Debug, PartialEq)]
pub struct OnHand {
    /// The materials, in the order of the file.
    pub lines: Vec<StoredLine>,
    /// Allowance of each item that has any: place in the contract, and its columns.
    pub items: Vec<(usize, Amounts)>,
    /// All of them.
    pub all: Amounts,
}

/// What is paid for stored materials; `None` where the contract pays nothing for them.
pub(super) fn on_hand(
    inputs: Inputs<'_>,
    own: (Maker<'_>, [Column; 2]),
    (items, authorized): (&[ItemPay], Option<&Authorized>),
    book: &mut Book,
) -> Option<OnHand> {
    let rule = inputs.contract.payment.stored.as_ref()?;
    let authorized = authorized?;
    let lines: Vec<StoredLine> = (0..rule.materials.len())
        .filter(|&place| own.1[0].holds(rule.materials[place].date))
        .map(|place| line(inputs, rule, place, book))
        .collect();
    let of_item = |pay: &&ItemPay| lines.iter().any(|line| rule.materials[line.material].item == pay.item);
    let found = items.iter().filter(of_item).map(|pay| {
        let label = format!("item {}, materials on hand", inputs.contract.items[pay.item].number);
        let key = format!("item-{}.stored", slug(&inputs.contract.items[pay.item].number));
        let amounts = by_column(own.0, book, (&key, &label), own.1, |book, column| {
            allowance((rule, &lines), pay, (column, authorized), book).into_iter().collect()
        });
        (pay.item, amounts)
    });
    let found: Vec<(usize, Amounts)> = found.collect();
    let all = own.0.sums(book, "stored", "materials on hand", |pick| {
        found.iter().map(|(_, amounts)| pick(amounts).into()).collect()
    });
    Some(OnHand { lines, items: found, all })
}

fn line(inputs: Inputs<'_>, rule: &Stored, place: usize, book: &mut Book) -> StoredLine {
    let of = &rule.materials[place];
    let key = format!("stored-{}.{}", slug(&inputs.contract.items[of.item].number), slug(&of.invoice));
    let label = format!("invoice {}, {}", of.invoice, of.material);
    let invoice = book.given(of.amount.given(label.clone(), "i"));
    let invoice = book.add(Figure::new(format!("{key}.invoice"), label.clone(), "i", Unit::Money, invoice).shown(2));
    let rate = if of.on_site { Some(&rule.on_site) } else { rule.elsewhere.as_ref() };
    let paid = match rate {
        Some(rate) => {
            let words =
                if of.on_site { "rate of what is stored on the site" } else { "rate of what is stored elsewhere" };
            Expr::from(book.given(rate.given(words, "r"))).to(conversions::PERCENT_TO_RATIO) * invoice
        }
        None => whole(0),
    };
    let figure = Figure::new(format!("{key}.at-rate"), format!("{label}, at its rate"), "s", Unit::Money, paid);
    StoredLine { material: place, invoice, at_rate: book.add(figure.rounded(inputs.contract.roundings.money)) }
}

/// The allowance of an item as of a column.
fn allowance(
    (rule, lines): (&Stored, &[StoredLine]),
    pay: &ItemPay,
    (column, authorized): (Column, &Authorized),
    book: &mut Book,
) -> Option<Expr> {
    let of = |material: &StoredMaterial| material.item == pay.item && column.holds(material.date);
    let stored: Vec<FigureId> =
        lines.iter().filter(|line| of(&rule.materials[line.material])).map(|line| line.at_rate).collect();
    if stored.is_empty() {
        return None;
    }
    let most = Expr::from(book.given(rule.most.given("most of an item", "m"))).to(conversions::PERCENT_TO_RATIO);
    let allowed = min([sum(stored), most * authorized.amounts[pay.item][column.at]]);
    let agreed = authorized.quantities[pay.item][column.at];
    let has_quantity = book[agreed].value.decimal().is_some_and(|quantity| quantity > rust_decimal::Decimal::ZERO);
    let left = if rule.drawn_down && has_quantity {
        allowed * max([whole(0), whole(1) - (column.pick)(&pay.quantity) / agreed])
    } else {
        allowed
    };
    Some(match &rule.least_award {
        Some(least) => {
            let least = book.given(least.given("least award", "l"));
            either(compare(authorized.original, Comparison::AtLeast, least), left, whole(0))
        }
        None => left,
    })
}

/// Invoices that are not paid in time.
pub(super) fn unpaid(inputs: Inputs<'_>) -> Vec<Finding> {
    let Some(rule) = &inputs.contract.payment.stored else { return Vec::new() };
    let Some(within) = rule.replace_within.as_ref().and_then(|days| u64::try_from(days.value).ok()) else {
        return Vec::new();
    };
    let late = |of: &&StoredMaterial| {
        let due = of.date.checked_add_days(chrono::Days::new(within));
        due.is_some_and(|due| due < inputs.through) && of.paid.is_none_or(|paid| paid > inputs.through)
    };
    let said = |of: &StoredMaterial| {
        let message = format!(
            "invoice {}, {}, stored since {}: no paid invoice within {within} days",
            of.invoice, of.material, of.date
        );
        let place = Place::Line { file: FILE.into(), line: of.line, column: 1 };
        Finding::new(Code::StoredUnpaid, place, message, "add 'paid' with its day, or take the material out")
    };
    rule.materials.iter().filter(late).map(said).collect()
}

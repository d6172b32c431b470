//! What the contract comes to: quantity and amount of each item and their sum, as bid and as changed.
//!
//! ```text
//! amount of an item = plan quantity x unit price, rounded;  contract amount as bid = their sum, without items added later
//! a change = quantities added x their price + amounts agreed + the items that it adds
//! contract amount as changed = as bid + the changes through the day
//! ```

use super::column::Column;
use super::{Inputs, ItemPay};
use crate::contract::{Change, ChangeLine, Contract, Entered, Item};
use crate::figure::{Book, Expr, Figure, FigureId, sum};
use crate::line::slug;
use crate::units::Unit;

/// What was agreed, by the columns of the estimate: to date, and before this period.
#[derive(Clone, Debug, PartialEq)]
pub struct Authorized {
    /// Contract amount as bid.
    pub original: FigureId,
    /// Contract amount as changed.
    pub contract: [FigureId; 2],
    /// Amount of each item as changed.
    pub amounts: Vec<[FigureId; 2]>,
    /// Quantity of each item as changed.
    pub quantities: Vec<[FigureId; 2]>,
    /// What each change comes to, by place in the contract.
    pub changes: Vec<FigureId>,
}

/// Unit price, plan quantity and amount bid of an item.
#[derive(Clone, Copy)]
pub(super) struct Priced {
    pub(super) price: FigureId,
    pub(super) plan: FigureId,
}

/// Price and plan of every item.
pub(super) fn priced(contract: &Contract, book: &mut Book) -> Vec<Priced> {
    let mut given = |item: &Item, entered: &Entered, what: &str, symbol: &str| {
        let leaf = book.given(entered.given(format!("{what} of item {}", item.number), symbol));
        let key = format!("item-{}.{}", slug(&item.number), slug(what));
        book.add(Figure::new(key, format!("item {}, {what}", item.number), symbol, entered.unit, leaf).shown(2))
    };
    let mut of = |item: &Item| Priced {
        price: given(item, &item.price, "unit price", "p"),
        plan: given(item, &item.quantity, "plan quantity", "P"),
    };
    contract.items.iter().map(&mut of).collect()
}

/// Whether anything is measured against it.
fn is_needed(contract: &Contract) -> bool {
    let payment = &contract.payment;
    let agreed = |item: &Item| item.terms.schedule.is_some() || item.terms.until_final.is_some();
    payment.retainage.as_ref().is_some_and(|rule| !rule.steps.is_empty() || rule.most.is_some())
        || !payment.changes.is_empty()
        || payment.stored.is_some()
        || payment.variation.as_ref().is_some_and(|rule| !rule.of_bid)
        || contract.items.iter().any(agreed)
}

/// What was agreed; `None` where nothing is measured against it.
pub(super) fn authorized(
    inputs: Inputs<'_>,
    priced: &[Priced],
    columns: [Column; 2],
    book: &mut Book,
) -> Option<Authorized> {
    let contract = inputs.contract;
    if !is_needed(contract) {
        return None;
    }
    let bid: Vec<FigureId> =
        contract.items.iter().zip(priced).map(|(item, priced)| bid(contract, (item, priced), book)).collect();
    let first = contract.items.iter().zip(&bid).filter(|(item, _)| item.terms.added_by.is_none());
    let parts = first.map(|(_, &id)| id.into()).collect();
    let figure = Figure::new("contract.original", "contract amount as bid", "C", Unit::Money, Expr::Whole(0));
    let original = book.add_sum(figure.shown(2), parts);
    let mut changed = Changed { contract, priced, bid: &bid, lines: Vec::new() };
    let changes: Vec<FigureId> = contract.payment.changes.iter().map(|change| changed.change(change, book)).collect();
    let with = |column: Column, book: &mut Book| changed.contract_amount((original, &changes), column, book);
    let whole = columns.map(|column| with(column, book));
    let items = 0..contract.items.len();
    let amounts = items.clone().map(|item| columns.map(|column| changed.amount(item, column, book))).collect();
    let quantities = items.map(|item| columns.map(|column| changed.quantity(item, column, book))).collect();
    Some(Authorized { original, contract: whole, amounts, quantities, changes })
}

fn bid(contract: &Contract, (item, priced): (&Item, &Priced), book: &mut Book) -> FigureId {
    let (key, label) = (format!("item-{}.bid", slug(&item.number)), format!("item {}, amount bid", item.number));
    book.add(Figure::new(key, label, "B", Unit::Money, priced.plan * priced.price).rounded(contract.roundings.money))
}

/// The changes and what their lines come to.
struct Changed<'a> {
    contract: &'a Contract,
    priced: &'a [Priced],
    bid: &'a [FigureId],
    /// Day, item, amount of each line.
    lines: Vec<(chrono::NaiveDate, usize, FigureId)>,
}

impl Changed<'_> {
    fn change(&mut self, change: &Change, book: &mut Book) -> FigureId {
        let key = format!("change-{}", slug(&change.number));
        if let Some(days) = &change.days {
            let label = format!("days added by change {}", change.number);
            let given = book.given(days.given(label.clone(), "N"));
            book.add(Figure::new(format!("{key}.days"), label, "N", Unit::Day, given));
        }
        let mut parts: Vec<Expr> = Vec::new();
        for (n, line) in (1..).zip(&change.lines) {
            let Some(amount) = self.line(change, line, book) else { continue };
            let label = format!("change {}, item {}", change.number, self.contract.items[line.item].number);
            let figure = Figure::new(format!("{key}.line-{n}"), label, "c", Unit::Money, amount);
            let amount = book.add(figure.rounded(self.contract.roundings.money));
            self.lines.push((change.date, line.item, amount));
            parts.push(amount.into());
        }
        let number = |item: &Item| item.terms.added_by.map(|at| self.contract.payment.changes[at].number.as_str());
        let new = self.contract.items.iter().zip(self.bid).filter(|(item, _)| number(item) == Some(&change.number));
        parts.extend(new.map(|(_, &id)| Expr::from(id)));
        let figure =
            Figure::new(format!("{key}.amount"), format!("change {}", change.number), "X", Unit::Money, Expr::Whole(0));
        book.add_sum(figure.shown(2), parts)
    }

    /// What a line comes to: the amount agreed, else its quantity at its price, or at the price in force.
    fn line(&self, change: &Change, line: &ChangeLine, book: &mut Book) -> Option<Expr> {
        let item = &self.contract.items[line.item];
        if let Some(amount) = &line.amount {
            return Some(book.given(amount.given(format!("change {}, amount", change.number), "c")).into());
        }
        let quantity = line.quantity.as_ref()?;
        let quantity =
            book.given(quantity.given(format!("change {}, quantity of item {}", change.number, item.number), "q"));
        let spans = prices(self.contract, line.item);
        let price = spans.iter().rev().find(|span| span.from.is_none_or(|from| from <= change.date));
        Some(match price.and_then(|span| span.by) {
            Some((price, number)) => quantity * given_price(item, (price, number), book),
            None => quantity * self.priced[line.item].price,
        })
    }

    fn contract_amount(
        &self,
        (original, changes): (FigureId, &[FigureId]),
        column: Column,
        book: &mut Book,
    ) -> FigureId {
        let through = self.contract.payment.changes.iter().zip(changes).filter(|(change, _)| column.holds(change.date));
        let parts: Vec<FigureId> = through.map(|(_, &id)| id).collect();
        if parts.is_empty() {
            return original;
        }
        let key = format!("contract.revised.{}", column.mark);
        let label = format!("contract amount as changed {}", column.words);
        book.add(Figure::new(key, label, "C'", Unit::Money, sum(std::iter::once(original).chain(parts))).shown(2))
    }

    fn amount(&self, item: usize, column: Column, book: &mut Book) -> FigureId {
        let of = self.lines.iter().filter(|(day, of, _)| *of == item && column.holds(*day));
        let parts: Vec<FigureId> = of.map(|(_, _, amount)| *amount).collect();
        if parts.is_empty() {
            return self.bid[item];
        }
        let number = &self.contract.items[item].number;
        let key = format!("item-{}.agreed.{}", slug(number), column.mark);
        let label = format!("item {number}, amount as changed {}", column.words);
        book.add(Figure::new(key, label, "B'", Unit::Money, sum(std::iter::once(self.bid[item]).chain(parts))).shown(2))
    }

    fn quantity(&self, item: usize, column: Column, book: &mut Book) -> FigureId {
        let row = &self.contract.items[item];
        let changes = self.contract.payment.changes.iter().filter(|change| column.holds(change.date));
        let lines = changes.flat_map(|change| change.lines.iter().map(move |line| (change, line)));
        let added: Vec<Expr> = lines
            .filter(|(_, line)| line.item == item)
            .filter_map(|(change, line)| {
                let label = format!("change {}, quantity of item {}", change.number, row.number);
                Some(book.given(line.quantity.as_ref()?.given(label, "q")).into())
            })
            .collect();
        let plan = self.priced[item].plan;
        if added.is_empty() {
            return plan;
        }
        let key = format!("item-{}.agreed-quantity.{}", slug(&row.number), column.mark);
        let label = format!("item {}, quantity as changed {}", row.number, column.words);
        book.add(Figure::new(key, label, "P'", row.unit, sum(std::iter::once(plan.into()).chain(added))).shown(2))
    }
}

/// A unit price of an item.
#[derive(Clone, Copy)]
pub(super) struct Price<'a> {
    /// Day from which it holds; `None` from the start.
    pub(super) from: Option<chrono::NaiveDate>,
    /// The price and the number of its change; `None` for the price bid.
    pub(super) by: Option<(&'a Entered, &'a str)>,
}

/// The prices of an item, in order.
pub(super) fn prices(contract: &Contract, item: usize) -> Vec<Price<'_>> {
    let changes = contract.payment.changes.iter();
    let lines = changes.flat_map(|change| change.lines.iter().map(move |line| (change, line)));
    let of = lines.filter(|(_, line)| line.item == item).filter_map(|(change, line)| {
        Some(Price { from: Some(change.date), by: Some((line.price.as_ref()?, change.number.as_str())) })
    });
    std::iter::once(Price { from: None, by: None }).chain(of).collect()
}

/// The unit price of an item on a day.
pub(super) fn price_on(contract: &Contract, pay: &ItemPay, day: chrono::NaiveDate, book: &mut Book) -> Expr {
    let prices = prices(contract, pay.item);
    let of_day = prices.iter().rev().find(|price| price.from.is_none_or(|from| day >= from));
    match of_day.and_then(|price| price.by) {
        Some(by) => given_price(&contract.items[pay.item], by, book),
        None => pay.price.into(),
    }
}

/// The price of a change as a leaf.
pub(super) fn given_price(item: &Item, (price, change): (&Entered, &str), book: &mut Book) -> Expr {
    Expr::from(book.given(price.given(format!("unit price of item {} by change {change}", item.number), "p'")))
}

/// Days that changes add to the time of the contract, through the day of a column.
pub(super) fn days_added(inputs: Inputs<'_>, column: Column, book: &mut Book) -> Vec<Expr> {
    let changes = inputs.contract.payment.changes.iter().filter(|change| column.holds(change.date));
    let days = changes.filter_map(|change| Some((change, change.days.as_ref()?)));
    days.map(|(change, days)| book.given(days.given(format!("days added by change {}", change.number), "N")).into())
        .collect()
}

/// Lines of an item that lie before the change which adds it.
pub(super) fn before_its_change(contract: &Contract, pay: &ItemPay) -> Option<crate::finding::Finding> {
    use crate::finding::{Code, Finding, Place};
    let item = &contract.items[pay.item];
    let change = &contract.payment.changes[item.terms.added_by?];
    let mut early = pay.lines.iter().filter(|line| line.date < change.date);
    let first = early.next()?;
    let place = first.record.map_or_else(|| Place::Named(format!("item {}", item.number)), Place::Row);
    let message = format!(
        "item {} is added by change {} from {} on, but was measured on {}; it is paid",
        item.number, change.number, change.date, first.date
    );
    let remedy =
        "correct the day of the row or of the change; work before a change is agreed is a matter for the engineer";
    Some(
        Finding::new(Code::BeforeChange, place, message, remedy)
            .with(early.filter_map(|line| line.record.map(Place::Row))),
    )
}

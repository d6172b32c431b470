//! What an item is paid: its quantity at its price, or by its schedule, and no more than its most before the end.
//!
//! ```text
//! amount = quantity x unit price, each part of the quantity at the price of its day
//! before the final period, where the contract has a most:  lesser of that and  share x amount agreed (or earned)
//! ```

use chrono::NaiveDate;

use super::amounts::Maker;
use super::authorized::{Authorized, Priced, before_its_change, given_price, prices};
use super::column::{Column, by_column};
use super::{Amounts, Inputs, ItemPay, QuantityLine, quantity, schedule};
use crate::contract::{Contract, Item, Measurement};
use crate::figure::{Book, Expr, FigureId, min};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::units::{Unit, conversions};

/// What items are paid from.
#[derive(Clone, Copy)]
pub(super) struct Terms<'a> {
    pub(super) inputs: Inputs<'a>,
    pub(super) before: Option<NaiveDate>,
    pub(super) columns: [Column; 2],
    pub(super) priced: &'a [Priced],
    pub(super) authorized: Option<&'a Authorized>,
}

/// All items in the contract's order; those by schedule are reckoned once the others are.
pub(super) fn items(terms: Terms<'_>, book: &mut Book) -> (Vec<ItemPay>, Vec<Finding>) {
    let contract = terms.inputs.contract;
    let by_schedule = |&item: &usize| contract.items[item].measured == Measurement::BySchedule;
    let (mut paid, mut findings) = (Vec::new(), Vec::new());
    for item in (0..contract.items.len()).filter(|item| !by_schedule(item)) {
        let (pay, found) = measured(terms, item, book);
        findings.extend(found);
        findings.extend(before_its_change(contract, &pay));
        paid.push(pay);
    }
    let others = paid.len();
    for item in (0..contract.items.len()).filter(by_schedule) {
        let pay = scheduled(terms, item, &paid[..others], book);
        paid.extend(pay);
    }
    paid.sort_by_key(|pay| pay.item);
    (paid, findings)
}

fn measured(terms: Terms<'_>, item: usize, book: &mut Book) -> (ItemPay, Vec<Finding>) {
    let inputs = terms.inputs;
    let row = &inputs.contract.items[item];
    let Priced { price, plan } = terms.priced[item];
    let (lines, mut findings) = quantity::lines(inputs, (item, plan), book);
    let maker = Maker { unit: row.unit, rounding: row.rounding, closed: inputs.closed };
    let (key, label) = (format!("item-{}.quantity", slug(&row.number)), format!("item {}, quantity", row.number));
    let quantity = summed(maker, (&key, &label), &lines, terms.before, book);
    let amount = amount(terms, (item, maker), (&lines, &quantity), book);
    if lines.is_empty() && row.measured != Measurement::ByCalendar {
        findings.push(Finding::new(
            Code::ItemWithoutRecords,
            Place::Named(format!("item {}", row.number)),
            format!("no record through {} supports item {}, {}", inputs.through, row.number, row.description),
            "nothing is paid for it; if work was done, its records are missing from field/",
        ));
    }
    (ItemPay { item, price, plan, lines, quantity, amount }, findings)
}

fn summed<'l>(
    maker: Maker<'_>,
    (key, label): (&str, &str),
    lines: impl IntoIterator<Item = &'l QuantityLine>,
    before: Option<NaiveDate>,
    book: &mut Book,
) -> Amounts {
    let lines: Vec<&QuantityLine> = lines.into_iter().collect();
    let earlier = lines.iter().filter(|line| quantity::is_before(line.date, before));
    let earlier = earlier.map(|line| line.quantity.into()).collect();
    maker.split(book, key, label, lines.iter().map(|line| line.quantity.into()).collect(), earlier)
}

/// The amount of a measured item, with its most before the final period.
fn amount(
    terms: Terms<'_>,
    (item, maker): (usize, Maker<'_>),
    (lines, quantity): (&[QuantityLine], &Amounts),
    book: &mut Book,
) -> Amounts {
    let row = &terms.inputs.contract.items[item];
    let slug = slug(&row.number);
    let (key, label) = (format!("item-{slug}.amount"), format!("item {}, amount", row.number));
    if row.terms.until_final.is_none() {
        return in_full(terms, (item, maker), (&key, &label), (lines, quantity), book);
    }
    let (whole, said) = (format!("item-{slug}.in-full"), format!("item {}, amount in full", row.number));
    let full = in_full(terms, (item, maker), (&whole, &said), (lines, quantity), book);
    by_column(money(terms.inputs), book, (&key, &label), terms.columns, |book, column| {
        vec![at_most(terms, item, (column, (column.pick)(&full)), book)]
    })
}

fn money(inputs: Inputs<'_>) -> Maker<'_> {
    Maker { unit: Unit::Money, rounding: inputs.contract.roundings.money, closed: inputs.closed }
}

fn at_most(terms: Terms<'_>, item: usize, (column, full): (Column, FigureId), book: &mut Book) -> Expr {
    let row = &terms.inputs.contract.items[item];
    let (Some(rule), false) = (&row.terms.until_final, column.is_final) else { return full.into() };
    let share = book.given(rule.percent.given(format!("most of item {} before the final period", row.number), "u"));
    let share = Expr::from(share).to(conversions::PERCENT_TO_RATIO);
    let agreed = terms.authorized.map(|authorized| authorized.amounts[item][column.at]);
    match agreed.filter(|_| rule.of_plan) {
        Some(agreed) => min([full.into(), share * agreed]),
        None => share * full,
    }
}

/// Quantity times price, each part of it at the price of its day.
fn in_full(
    terms: Terms<'_>,
    (item, maker): (usize, Maker<'_>),
    (key, label): (&str, &str),
    (lines, quantity): (&[QuantityLine], &Amounts),
    book: &mut Book,
) -> Amounts {
    let contract = terms.inputs.contract;
    let price = terms.priced[item].price;
    let spans = spans(contract, item);
    if spans.len() == 1 {
        return money(terms.inputs).of(book, key, label, |pick| pick(quantity) * price);
    }
    let row = &contract.items[item];
    let mut parts: Vec<(Amounts, Expr)> = Vec::new();
    for (n, span) in (1..).zip(&spans) {
        let own = (format!("item-{}.quantity-at-price-{n}", slug(&row.number)), span.words(row));
        let within = lines.iter().filter(|line| span.holds(line.date));
        let part = summed(maker, (&own.0, &own.1), within, terms.before, book);
        let price = span.price.map_or_else(|| price.into(), |by| given_price(row, by, book));
        parts.push((part, price));
    }
    money(terms.inputs)
        .of(book, key, label, |pick| crate::figure::sum(parts.iter().map(|(part, price)| pick(part) * price.clone())))
}

/// The days of one price.
struct Span<'a> {
    from: Option<NaiveDate>,
    until: Option<NaiveDate>,
    price: Option<(&'a crate::contract::Entered, &'a str)>,
}

impl Span<'_> {
    fn holds(&self, day: NaiveDate) -> bool {
        self.from.is_none_or(|from| day >= from) && self.until.is_none_or(|until| day < until)
    }

    fn words(&self, item: &Item) -> String {
        match self.price {
            Some((_, change)) => format!("item {}, quantity at the price of change {change}", item.number),
            None => format!("item {}, quantity at the price bid", item.number),
        }
    }
}

fn spans(contract: &Contract, item: usize) -> Vec<Span<'_>> {
    let prices = prices(contract, item);
    let ends = prices.iter().skip(1).map(|price| price.from).chain([None]);
    prices.iter().zip(ends).map(|(of, until)| Span { from: of.from, until, price: of.by }).collect()
}

/// An item by schedule: its amount, and the part of the lump sum that this is.
fn scheduled(terms: Terms<'_>, item: usize, others: &[ItemPay], book: &mut Book) -> Option<ItemPay> {
    let row = &terms.inputs.contract.items[item];
    let Priced { price, plan } = terms.priced[item];
    let own = (money(terms.inputs), terms.columns);
    let amount = schedule::amounts(terms.inputs, item, own, (others, terms.authorized?), book);
    let maker = Maker { unit: row.unit, rounding: row.rounding, closed: terms.inputs.closed };
    let (key, label) = (format!("item-{}.quantity", slug(&row.number)), format!("item {}, quantity", row.number));
    let quantity = maker.of(book, &key, &label, |pick| pick(&amount) / price);
    Some(ItemPay { item, price, plan, lines: Vec::new(), quantity, amount })
}

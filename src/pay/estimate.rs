//! The estimate: quantities times prices, adjustments, retainage, what is due.
//!
//! To date is everything through the as-of date; previous is what the last closing says, or where there is none everything
//! through the last day of the period before; this period is the difference, so that the three columns foot in every line.

use chrono::NaiveDate;

use super::amounts::Maker;
use super::settle::{Done, settle};
use super::{Estimate, Inputs, ItemPay, adjustment, correction, held, quantity};
use crate::contract::{Entered, Period};
use crate::figure::{Book, Figure};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::units::Unit;

pub(super) fn estimate(inputs: Inputs<'_>, book: &mut Book) -> Result<(Estimate, Vec<Finding>), String> {
    let (period, before) = period_of(inputs)?;
    let mut findings = Vec::new();
    let mut items = Vec::new();
    for item in 0..inputs.contract.items.len() {
        let (pay, found) = item_pay(inputs, item, before, book);
        findings.extend(found);
        items.push(pay);
    }
    let adjustments = adjustment::lines(inputs, &items, before, book);
    findings.extend(adjustment::untaken(inputs, &adjustments));
    let explored = adjustment::explored(inputs, &items, &adjustments, book);
    let money = inputs.contract.roundings.money;
    let maker = Maker { unit: Unit::Money, rounding: money, closed: inputs.closed };
    let work = maker.sums(book, "work", "work done", |pick| items.iter().map(|i| pick(&i.amount).into()).collect());
    let adjusted = maker.split(
        book,
        "adjustments",
        "adjustments",
        adjustments.iter().map(|a| a.amount.into()).collect(),
        adjustments.iter().filter(|a| !a.this_period).map(|a| a.amount.into()).collect(),
    );
    let held_lines = held::lines(inputs, &items, before, book);
    let waits = inputs.contract.items.iter().any(|i| !i.waits_for.is_empty());
    let held = waits.then(|| {
        let of = |previous: bool| held_lines.iter().filter(move |l| l.previous == previous).map(|l| l.amount.into());
        maker.split(book, "held", "held for proof", of(false).collect(), of(true).collect())
    });
    let done = Done { items: &items, work, adjusted, held };
    let settlement = settle(inputs, before, maker, &done, book);
    let corrections = correction::lines(inputs, &items, &adjustments, book);
    let estimate =
        Estimate { period, before, items, adjustments, explored, held_lines, corrections, work, adjusted, settlement };
    Ok((estimate, findings))
}

/// The period that the as-of date falls in, and the last day before it: of the last closing, else of the period before.
fn period_of(inputs: Inputs<'_>) -> Result<(Period, Option<NaiveDate>), String> {
    let periods = &inputs.contract.periods;
    let at = periods.iter().position(|p| inputs.through <= p.through).ok_or_else(|| {
        let last = periods.last().map_or_else(|| "none".into(), |p| p.through.to_string());
        format!("{} is after the last period of contract.toml, which ends {last}", inputs.through)
    })?;
    let before = at.checked_sub(1).map(|i| periods[i].through);
    Ok((periods[at].clone(), inputs.closed.map(|closing| closing.through).or(before)))
}

fn item_pay(inputs: Inputs<'_>, item: usize, before: Option<NaiveDate>, book: &mut Book) -> (ItemPay, Vec<Finding>) {
    let row = &inputs.contract.items[item];
    let (lines, mut findings) = quantity::lines(inputs, item, book);
    let key = format!("item-{}", slug(&row.number));
    let maker = Maker { unit: row.unit, rounding: row.rounding, closed: inputs.closed };
    let quantity = maker.split(
        book,
        &format!("{key}.quantity"),
        &format!("item {}, quantity", row.number),
        lines.iter().map(|l| l.quantity.into()).collect(),
        lines.iter().filter(|l| quantity::is_before(l.date, before)).map(|l| l.quantity.into()).collect(),
    );
    let given = |book: &mut Book, entered: &Entered, what: &str, symbol: &str| {
        let leaf = book.given(entered.given(format!("{what} of item {}", row.number), symbol));
        let key = format!("{key}.{}", slug(what));
        book.add(Figure::new(key, format!("item {}, {what}", row.number), symbol, entered.unit, leaf).shown(2))
    };
    let price = given(book, &row.price, "unit price", "p");
    let plan = given(book, &row.quantity, "plan quantity", "P");
    let money = Maker { unit: Unit::Money, rounding: inputs.contract.roundings.money, closed: inputs.closed };
    let amount = money
        .of(book, &format!("{key}.amount"), &format!("item {}, amount", row.number), |pick| pick(&quantity) * price);
    if lines.is_empty() {
        findings.push(Finding::new(
            Code::ItemWithoutRecords,
            Place::Named(format!("item {}", row.number)),
            format!("no record through {} supports item {}, {}", inputs.through, row.number, row.description),
            "nothing is paid for it; if work was done, its records are missing from field/",
        ));
    }
    (ItemPay { item, price, plan, lines, quantity, amount }, findings)
}

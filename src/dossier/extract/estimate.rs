//! The estimate and the quantities behind it, row by row.

use super::{Datum, Field, Finished, Holds, exact, field, key, text, words};
use crate::figure::FigureId;
use crate::pay::{Amounts, ItemPay, QuantityLine};

pub(super) const ESTIMATE: &[Field] = &[
    field("nothing_open", Holds::Truth, "true where nothing is open that could change the amount due"),
    text("currency", "sign of the currency"),
    text(
        "line",
        "`item`; or a line between the work and what is due, by its key: `work`, `adjustments`, `held`, `earned`, `retained`, `due` and others that the contract has",
    ),
    text("item", "number of the item"),
    text("description", "its description"),
    text("unit", "its unit"),
    field("price", Holds::Exact(4), "unit price"),
    field("plan_quantity", Holds::Exact(4), "plan quantity"),
    field("quantity_before", Holds::Exact(4), "quantity before this period"),
    field("quantity_this_period", Holds::Exact(4), "quantity this period"),
    field("quantity_to_date", Holds::Exact(4), "quantity to date"),
    field("amount_before", Holds::Exact(2), "amount before this period"),
    field("amount_this_period", Holds::Exact(2), "amount this period"),
    field("amount_to_date", Holds::Exact(2), "amount to date"),
    text("figure", "key of the amount to date"),
];

pub(super) const QUANTITIES: &[Field] = &[
    text("item", "number of the item"),
    text("description", "its description"),
    text("unit", "its unit"),
    field("day", Holds::Day, "day of the work"),
    text("what", "what and where"),
    field("quantity", Holds::Exact(4), "quantity"),
    field("this_period", Holds::Truth, "true where it belongs to this period"),
    text("record", "the record that supports it: file, sheet, row"),
    text("figure", "key of the quantity"),
];

/// Items, then sums, in the order of the printed estimate.
pub(super) fn estimate(finished: Finished<'_>) -> Vec<Vec<Datum>> {
    let estimate = finished.estimate;
    let items = estimate.items.iter().map(|pay| (item(finished, pay), "item", &pay.amount));
    let sums = estimate.settlement.lines.iter().map(|line| (vec![Datum::Nothing; 8], line.key, &line.amounts));
    items.chain(sums).map(|(what, word, amount)| line(finished, word, what, amount)).collect()
}

fn line(finished: Finished<'_>, word: &str, what: Vec<Datum>, amount: &Amounts) -> Vec<Datum> {
    let open = finished.findings.keep_open();
    let mut row = vec![Datum::Truth(!open), words(&finished.contract.currency), words(word)];
    row.extend(what);
    row.extend(columns(finished, amount));
    row.push(key(finished, amount.to_date));
    row
}

fn item(finished: Finished<'_>, pay: &ItemPay) -> Vec<Datum> {
    let item = &finished.contract.items[pay.item];
    let of = |id: FigureId| exact(finished, id);
    let mut cells = vec![words(&item.number), words(&item.description), words(item.unit.to_string())];
    cells.extend([of(pay.price), of(pay.plan)]);
    cells.extend(columns(finished, &pay.quantity));
    cells
}

fn columns(finished: Finished<'_>, amounts: &Amounts) -> [Datum; 3] {
    [amounts.previous, amounts.this, amounts.to_date].map(|id| exact(finished, id))
}

pub(super) fn quantities(finished: Finished<'_>) -> Vec<Vec<Datum>> {
    let lines = finished.estimate.items.iter().flat_map(|pay| pay.lines.iter().map(move |line| (pay, line)));
    lines.map(|(pay, line)| quantity(finished, pay, line)).collect()
}

fn quantity(finished: Finished<'_>, pay: &ItemPay, line: &QuantityLine) -> Vec<Datum> {
    let item = &finished.contract.items[pay.item];
    let before = finished.estimate.before.is_some_and(|last| line.date <= last);
    vec![
        words(&item.number),
        words(&item.description),
        words(item.unit.to_string()),
        Datum::Day(line.date),
        words(&line.what),
        exact(finished, line.quantity),
        Datum::Truth(!before),
        line.record.map_or(Datum::Nothing, |at| words(finished.intake.sources.row(at))),
        key(finished, line.quantity),
    ]
}

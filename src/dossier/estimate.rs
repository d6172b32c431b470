//! The estimate by item, and the measured quantities behind it.

use super::layout::{line, money, numbers, subtotal, text, total, unit, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::pay::{Amounts, ItemPay, PayLine, Role};

pub(super) fn page(finished: Finished<'_>) -> Page {
    let parties = &finished.contract.parties;
    Page {
        id: "estimate",
        title: "Estimate",
        question: "What is each item worth, before this period, in it, and to date?",
        blocks: vec![
            Block::Table(items(finished)),
            Block::Signatures(vec![
                ("Prepared for the contractor".into(), parties.contractor.clone()),
                ("Recommended by the engineer".into(), parties.engineer.clone()),
                ("Approved for the owner".into(), parties.owner.clone()),
            ]),
        ],
    }
}

fn items(finished: Finished<'_>) -> Table {
    let estimate = finished.estimate;
    let mut rows: Vec<Row> = estimate.items.iter().map(|i| item_row(finished, i)).collect();
    rows.extend(estimate.settlement.lines.iter().map(|of| settled(of, sums(&in_full(of), &of.amounts))));
    let currency = &finished.contract.currency;
    Table {
        id: "estimate-items".into(),
        title: format!("Estimate, period {}", estimate.period.number),
        columns: vec![
            words("item", 7),
            words("description", 34),
            words("unit", 6),
            money("price", currency, 10),
            numbers("plan quantity", "", 13),
            numbers("quantity before", "", 13),
            numbers("quantity this period", "", 13),
            numbers("quantity to date", "", 13),
            money("amount before", currency, 15),
            money("amount this period", currency, 15),
            money("amount to date", currency, 15),
        ],
        rows,
        note: "Amount to date = quantity to date x price, rounded as contract.toml says; this period = to date less before.".into(),
    }
}

/// A line from the work done to what is due, as the row that it is.
pub(super) fn settled(of: &PayLine, cells: Vec<Shown>) -> Row {
    match of.role {
        Role::Added | Role::Less => line(cells),
        Role::Sum => subtotal(cells),
        Role::Due => total(cells),
    }
}

fn in_full(of: &PayLine) -> String {
    if of.detail.is_empty() { of.label.into() } else { format!("{}, {}", of.label, of.detail) }
}

fn item_row(finished: Finished<'_>, pay: &ItemPay) -> Row {
    let item = &finished.contract.items[pay.item];
    let figures = [
        pay.quantity.previous,
        pay.quantity.this,
        pay.quantity.to_date,
        pay.amount.previous,
        pay.amount.this,
        pay.amount.to_date,
    ];
    let mut cells = vec![
        text(item.number.clone()),
        text(item.description.clone()),
        text(unit(item.unit)),
        Shown::Figure(pay.price),
        Shown::Figure(pay.plan),
    ];
    cells.extend(figures.map(Shown::Figure));
    line(cells)
}

fn sums(label: &str, amounts: &Amounts) -> Vec<Shown> {
    let mut cells = vec![Shown::Blank; 11];
    cells[1] = text(label);
    cells[8] = Shown::Figure(amounts.previous);
    cells[9] = Shown::Figure(amounts.this);
    cells[10] = Shown::Figure(amounts.to_date);
    cells
}

/// Every measured quantity with the record that supports it.
pub(super) fn quantities(finished: Finished<'_>) -> Page {
    let blocks = finished
        .estimate
        .items
        .iter()
        .filter(|item| !item.lines.is_empty())
        .map(|item| Block::Table(item_lines(finished, item)))
        .collect();
    Page { id: "quantities", title: "Quantities", question: "Which records support the quantity of each item?", blocks }
}

fn item_lines(finished: Finished<'_>, pay: &ItemPay) -> Table {
    let item = &finished.contract.items[pay.item];
    let mut rows: Vec<Row> = pay
        .lines
        .iter()
        .map(|l| {
            let record = l.record.map_or_else(String::new, |at| finished.intake.sources.row(at));
            line(vec![Shown::Date(l.date), text(l.what.clone()), Shown::Figure(l.quantity), text(record)])
        })
        .collect();
    rows.push(total(vec![Shown::Blank, text("to date"), Shown::Figure(pay.quantity.to_date), Shown::Blank]));
    Table {
        id: "quantity-lines".into(),
        title: format!("Item {}, {}", item.number, item.description),
        columns: vec![
            words("day", 11),
            words("what and where", 46),
            numbers("quantity", unit(item.unit), 14),
            words("record", 46),
        ],
        rows,
        note: String::new(),
    }
}

//! The estimate by item, and the measured quantities behind it.

use super::layout::{line, money, numbers, subtotal, text, total, unit, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::pay::{Amounts, ItemPay, PayLine, Persons, QuantityLine, Role, Unchecked};

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

/// Every measured quantity with the record that supports it, and who stands behind it.
pub(super) fn quantities(finished: Finished<'_>) -> Page {
    let items = finished.estimate.items.iter().filter(|item| !item.lines.is_empty());
    let mut blocks: Vec<Block> = items.map(|item| Block::Table(item_lines(finished, item))).collect();
    blocks.extend(unchecked(finished));
    Page { id: "quantities", title: "Quantities", question: "Which records support the quantity of each item?", blocks }
}

/// Whether any line of an item names who measured it, and who checked it.
fn persons(pay: &ItemPay) -> [bool; 2] {
    let any = |of: fn(&Persons) -> &Option<String>| pay.lines.iter().any(|line| of(&line.persons).is_some());
    [any(|p| &p.measured_by), any(|p| &p.checked_by)]
}

fn item_lines(finished: Finished<'_>, pay: &ItemPay) -> Table {
    let item = &finished.contract.items[pay.item];
    let [measured, checked] = persons(pay);
    let named = |name: &Option<String>| text(name.clone().unwrap_or_default());
    let row = |l: &QuantityLine| {
        let record = l.record.map_or_else(String::new, |at| finished.intake.sources.row(at));
        let mut cells = vec![Shown::Date(l.date), text(l.what.clone()), Shown::Figure(l.quantity), text(record)];
        cells.extend(measured.then(|| named(&l.persons.measured_by)));
        cells.extend(checked.then(|| named(&l.persons.checked_by)));
        line(cells)
    };
    let mut rows: Vec<Row> = pay.lines.iter().map(row).collect();
    let mut last = vec![Shown::Blank, text("to date"), Shown::Figure(pay.quantity.to_date)];
    last.resize(4 + usize::from(measured) + usize::from(checked), Shown::Blank);
    rows.push(total(last));
    let mut columns = vec![
        words("day", 11),
        words("what and where", 46),
        numbers("quantity", unit(item.unit), 14),
        words("record", 46),
    ];
    columns.extend(measured.then(|| words("measured by", 14)));
    columns.extend(checked.then(|| words("checked by", 14)));
    Table {
        id: "quantity-lines".into(),
        title: format!("Item {}, {}", item.number, item.description),
        columns,
        rows,
        note: if measured || checked { calculated() } else { String::new() },
    }
}

fn calculated() -> String {
    format!("Calculated by slabtally {}.", env!("CARGO_PKG_VERSION"))
}

/// What no second person checked; a sentence where no sheet names anybody who did.
fn unchecked(finished: Finished<'_>) -> Option<Block> {
    let estimate = finished.estimate;
    let any = |of: fn(&Persons) -> bool| estimate.items.iter().flat_map(|i| &i.lines).any(|l| of(&l.persons));
    if !finished.contract.checking && !any(|p| p.checked_by.is_some()) {
        let says = "Not checked by a second person: all of these quantities; no sheet names who checked them.";
        return any(|_| true).then(|| Block::Text(says.into()));
    }
    let row = |u: &Unchecked| {
        let (item, of) = (&finished.contract.items[u.item], &estimate.items[u.item].lines[u.line]);
        line(vec![
            text(item.number.clone()),
            Shown::Date(of.date),
            text(of.what.clone()),
            Shown::Figure(of.quantity),
            text(unit(item.unit)),
            Shown::Figure(u.amount),
            text(of.persons.measured_by.clone().unwrap_or_default()),
            text(if of.persons.alone() { "checked by the same" } else { "" }),
        ])
    };
    let mut rows: Vec<Row> = estimate.unchecked.iter().map(row).collect();
    if rows.is_empty() {
        let mut cells = vec![Shown::Blank; 8];
        cells[2] = text("none: each was checked");
        rows.push(line(cells));
    }
    Some(Block::Table(Table {
        id: "quantity-unchecked".into(),
        title: "Not checked by a second person".into(),
        columns: vec![
            words("item", 8),
            words("day", 11),
            words("what and where", 40),
            numbers("quantity", "", 12),
            words("unit", 6),
            money("amount", &finished.contract.currency, 14),
            words("measured by", 14),
            words("remark", 20),
        ],
        rows,
        note: if finished.contract.checking {
            "The contract wants each of them checked.".into()
        } else {
            "Listed only; the contract does not ask for it.".into()
        },
    }))
}

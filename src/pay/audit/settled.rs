//! What moves money of an item besides measured quantities and adjustments: lump sums by schedule, shares kept back before
//! the final period, variation, price indices, materials on hand. Entries, retainage and damages are lines of the estimate
//! itself and are not drawn from.

use super::super::{Amounts, Estimate};
use super::population::{MoneyLine, Moves};
use crate::contract::Contract;
use crate::figure::{Book, Figure, FigureId};
use crate::line::slug;
use crate::units::Unit;

/// The lines to date, by item.
pub(super) fn lines(contract: &Contract, estimate: &Estimate, book: &mut Book) -> Vec<MoneyLine> {
    let mut found = Vec::new();
    let line = |moves, item: usize, what: &str, amount: FigureId| MoneyLine {
        moves,
        item,
        date: estimate.period.through,
        name: format!("item {}, {what}", contract.items[item].number),
        record: None,
        quantity: estimate.items[item].quantity.to_date,
        rate: estimate.items[item].price,
        amount,
    };
    for pay in &estimate.items {
        let moved = book[pay.amount.to_date].value.decimal().is_some_and(|amount| !amount.is_zero());
        if pay.lines.is_empty() && moved {
            found.push(line(Moves::Quantity, pay.item, "by schedule", pay.amount.to_date));
        }
        if let Some(kept) = kept_back(contract, (pay.item, &pay.amount), book) {
            found.push(line(Moves::Quantity, pay.item, "kept back before the final period", kept));
        }
    }
    let settlement = &estimate.settlement;
    let varied = settlement.varied.iter().flat_map(|varied| &varied.items);
    found.extend(varied.map(|(item, of)| line(Moves::Price, *item, "variation of quantity", of.to_date)));
    let indexed = settlement.indexed.iter().flat_map(|indexed| &indexed.items);
    found.extend(
        indexed.map(|(index, item, of)| line(Moves::Price, *item, &contract.payment.indices[*index].name, of.to_date)),
    );
    let on_hand = settlement.on_hand.iter().flat_map(|on_hand| &on_hand.items);
    found.extend(on_hand.map(|(item, of)| line(Moves::Stored, *item, "materials on hand", of.to_date)));
    found
}

/// What of an item is not paid before the final period, below zero; `None` where all of it is.
fn kept_back(contract: &Contract, (item, amount): (usize, &Amounts), book: &mut Book) -> Option<FigureId> {
    let number = &contract.items[item].number;
    let full = book.by_key(&format!("item-{}.in-full.to-date", slug(number)))?;
    let key = format!("audit.item-{}.kept-back", slug(number));
    let label = format!("item {number}, kept back before the final period");
    Some(book.add(Figure::new(key, label, "k", Unit::Money, amount.to_date - full).shown(2)))
}

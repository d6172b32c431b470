//! What outcomes do to pay: each change its own line, with the quantity it covers and the rate it is made at.
//!
//! Adjustments of different properties on the same area are separate lines, each against the full unit price (they add
//! up), unless a rule combines them.

use super::{AdjustmentLine, ExploredLine, Inputs, ItemPay, quantity::is_before};
use crate::accept::{Adjustment, Effect, Outcome, Verdict};
use crate::contract::{Contract, Item, Measurement};
use crate::figure::{Book, Expr, Figure, FigureId, whole};
use crate::line::slug;
use crate::units::{Unit, conversions};

/// Adjustments of all items, by item and outcome.
pub(super) fn lines(
    inputs: Inputs<'_>,
    items: &[ItemPay],
    before: Option<chrono::NaiveDate>,
    book: &mut Book,
) -> Vec<AdjustmentLine> {
    let mut lines = Vec::new();
    for (item, row) in inputs.contract.items.iter().enumerate() {
        for (index, outcome) in inputs.judged.outcomes.iter().enumerate() {
            if !row.adjusted_by.contains(&outcome.property) || !covers(row, outcome.section) {
                continue;
            }
            for adjustment in &outcome.adjustments {
                let Some((quantity, amount)) = amount(row, items[item].price, adjustment) else { continue };
                let figure =
                    Figure::new(key(row, outcome), format!("adjustment, {}", outcome.name), "a", Unit::Money, amount)
                        .rounded(inputs.contract.roundings.money)
                        .under(outcome.clause.clone());
                lines.push(AdjustmentLine {
                    item,
                    outcome: index,
                    property: outcome.property,
                    decided: adjustment.decided,
                    quantity,
                    rate: adjustment.effect.figure(),
                    amount: book.add(figure),
                    held: outcome.verdict == Verdict::Undecided,
                    this_period: !is_before(adjustment.decided, before),
                });
            }
        }
    }
    lines
}

fn key(item: &Item, outcome: &Outcome) -> String {
    format!("item-{}.{}.{}", slug(&item.number), outcome.property.word(), slug(&outcome.name))
}

/// What the sections being explored would come to if their next cores are good, beside what they come to now.
pub(super) fn explored(
    inputs: Inputs<'_>,
    items: &[ItemPay],
    lines: &[AdjustmentLine],
    book: &mut Book,
) -> Vec<ExploredLine> {
    let mut found = Vec::new();
    for (place, exploration) in inputs.judged.explorations.iter().enumerate() {
        let Some((area, volume)) = exploration.if_good else { continue };
        let outcome = &inputs.judged.outcomes[exploration.outcome];
        for line in lines.iter().filter(|line| line.outcome == exploration.outcome) {
            let row = &inputs.contract.items[line.item];
            let then = outcome.adjustments.first().map(|now| Adjustment { area, volume, ..now.clone() });
            let Some((_, amount)) = then.and_then(|then| amount(row, items[line.item].price, &then)) else { continue };
            let label = format!("adjustment if the next cores are good, {}", outcome.name);
            let key = format!("{}.if-good", key(row, outcome));
            let figure = Figure::new(key, label, "a'", Unit::Money, amount);
            let figure = figure.rounded(inputs.contract.roundings.money).under(outcome.clause.clone());
            let if_good = book.add(figure);
            found.push(ExploredLine { exploration: place, item: line.item, now: line.amount, if_good });
        }
    }
    found
}

/// What an outcome's adjustments come to on each item that is measured by its area or volume, whether or not the contract
/// lets the property adjust it: place of the item, and amount.
pub fn worth(contract: &Contract, outcome: &Outcome, book: &mut Book) -> Vec<(usize, FigureId)> {
    let mut found = Vec::new();
    for (place, item) in contract.items.iter().enumerate().filter(|(_, item)| covers(item, outcome.section)) {
        let price = book.given(item.price.given("unit price", "p"));
        let price =
            book.add(Figure::new(format!("{}.price", key(item, outcome)), "unit price", "p", item.price.unit, price));
        for adjustment in &outcome.adjustments {
            let Some((_, amount)) = amount(item, price, adjustment) else { continue };
            let figure =
                Figure::new(key(item, outcome), format!("adjustment, {}", outcome.name), "a", Unit::Money, amount);
            found.push((place, book.add(figure.rounded(contract.roundings.money).under(outcome.clause.clone()))));
        }
    }
    found
}

/// The quantity a change is made on and what it comes to; `None` where it does not touch an item so measured.
fn amount(item: &Item, price: FigureId, adjustment: &Adjustment) -> Option<(FigureId, Expr)> {
    let by_volume = matches!(item.measured, Measurement::PlacedVolume(_) | Measurement::DeliveredVolume(_));
    let Adjustment { area, volume, .. } = *adjustment;
    Some(match adjustment.effect {
        Effect::Percent(pay) => {
            let off = Expr::from(pay).to(conversions::PERCENT_TO_RATIO) - whole(1);
            match adjustment.price {
                Some(own) if !by_volume => (volume, off * volume * own),
                _ if by_volume => (volume, off * volume * price),
                _ => (area, off * area * price),
            }
        }
        Effect::PerArea(rate) => (area, rate * area),
        Effect::Volume(more) if by_volume => (more, more * price),
        Effect::Volume(_) => return None,
        Effect::Amount(amount) => (area, amount.into()),
    })
}

fn covers(item: &Item, section: usize) -> bool {
    match &item.measured {
        Measurement::PlacedArea(sections)
        | Measurement::PlacedVolume(sections)
        | Measurement::DeliveredVolume(sections) => sections.contains(&section),
        Measurement::PlacedLength(_) | Measurement::ByHand => false,
    }
}

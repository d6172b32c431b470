//! What outcomes do to pay: each change its own line, with the quantity it covers and the rate it is made at.
//!
//! Adjustments of different properties on the same area are separate lines, each against the full unit price (they add
//! up), unless a rule combines them.

use super::{AdjustmentLine, ExploredLine, Inputs, ItemPay, quantity::is_before};
use crate::accept::{Adjustment, CombinedJudged, Effect, Outcome, Verdict};
use crate::contract::{Contract, Item, Measurement};
use crate::figure::{Book, Expr, Figure, FigureId, whole};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::rules::Property;
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
                let amount = book.add(figure);
                lines.push(AdjustmentLine {
                    item,
                    outcome: index,
                    property: outcome.property,
                    decided: adjustment.decided,
                    quantity,
                    rate: adjustment.effect.figure(),
                    amount,
                    held: outcome.verdict == Verdict::Undecided,
                    this_period: match inputs.closed {
                        Some(closing) => !closing.has_adjustment(&book[amount]),
                        None => !is_before(adjustment.decided, before),
                    },
                });
            }
        }
    }
    lines
}

/// For each property, what was judged other than full pay and no item takes, by itself or combined. A rule may be there for
/// the record only, so this keeps nothing open.
pub(super) fn untaken(inputs: Inputs<'_>, lines: &[AdjustmentLine]) -> Vec<Finding> {
    let outcomes = &inputs.judged.outcomes;
    let combines = |item: &Item, outcome: &Outcome| {
        let of = |piece: &CombinedJudged| piece.members.iter().any(|(property, _)| *property == outcome.property);
        let here = |piece: &&CombinedJudged| outcomes[piece.outcome].section == outcome.section;
        item.adjusted_by.contains(&Property::Combined)
            && covers(item, outcome.section)
            && inputs.judged.combined.iter().filter(here).any(of)
    };
    let taken = |(place, outcome): &(usize, &Outcome)| {
        lines.iter().any(|line| line.outcome == *place)
            || inputs.contract.items.iter().any(|item| combines(item, outcome))
    };
    let of = |property: Property| {
        let all = outcomes.iter().enumerate();
        let judged = all.filter(move |(_, o)| o.property == property && !o.adjustments.is_empty());
        judged.filter(|one| !taken(one)).map(|(_, outcome)| outcome).collect::<Vec<_>>()
    };
    let one = |property: Property| not_adjusted(inputs.contract, property, &of(property));
    Property::ALL.into_iter().filter_map(one).collect()
}

fn not_adjusted(contract: &Contract, property: Property, outcomes: &[&Outcome]) -> Option<Finding> {
    let (first, others) = outcomes.split_first()?;
    let word = property.word();
    let message = match others.len() {
        0 => format!(
            "its pay by {word} is not the full price, but no item over it takes that: nothing is added or taken off"
        ),
        n => format!(
            "its pay by {word} is not the full price, nor that of {n} more, but no item over them takes that: \
             nothing is added or taken off"
        ),
    };
    let asked = contract.items.iter().any(|item| item.adjusted_by.contains(&property) && covers(item, first.section));
    let remedy = if asked {
        "the rule pays the volume measured, which changes only items paid by volume; choose another rule set, or leave it \
         if it is for the record only"
            .to_string()
    } else {
        format!("add \"{word}\" to 'adjusted_by' of the item it is to change; leave it if it is for the record only")
    };
    let place = |outcome: &Outcome| Place::Named(outcome.name.clone());
    Some(Finding::new(Code::NotAdjusted, place(first), message, remedy).with(others.iter().map(|o| place(o))))
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
        _ => false,
    }
}

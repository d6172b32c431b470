//! What outcomes do to pay: each deduction its own line, with the area it covers and the price it is taken from.
//!
//! Adjustments of different properties on the same area are separate lines, each against the full unit price (they add
//! up); a rule set that combines them otherwise is not among the shapes yet.

use super::{AdjustmentLine, Inputs, ItemPay, quantity::is_before};
use crate::accept::Verdict;
use crate::contract::{Item, Measurement};
use crate::figure::{Book, Expr, Figure, whole};
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
            let Some(adjustment) = &outcome.adjustment else { continue };
            if !row.adjusted_by.contains(&outcome.property) || !covers(row, outcome.section) {
                continue;
            }
            let by_volume = matches!(row.measured, Measurement::PlacedVolume(_) | Measurement::DeliveredVolume(_));
            let quantity = if by_volume { adjustment.volume } else { adjustment.area };
            let figure = Figure::new(
                format!("item-{}.{}.{}", slug(&row.number), word(outcome.property), slug(&outcome.name)),
                format!("adjustment, {}", outcome.name),
                "a",
                Unit::Money,
                (Expr::from(adjustment.pay).to(conversions::PERCENT_TO_RATIO) - whole(1))
                    * quantity
                    * items[item].price,
            )
            .rounded(inputs.contract.roundings.money)
            .under(outcome.clause.clone());
            lines.push(AdjustmentLine {
                item,
                outcome: index,
                property: outcome.property,
                decided: adjustment.decided,
                quantity,
                pay: adjustment.pay,
                amount: book.add(figure),
                held: outcome.verdict == Verdict::Undecided,
                this_period: !is_before(adjustment.decided, before),
            });
        }
    }
    lines
}

fn word(property: Property) -> &'static str {
    match property {
        Property::Thickness => "thickness",
        Property::Strength => "strength",
    }
}

fn covers(item: &Item, section: usize) -> bool {
    match &item.measured {
        Measurement::PlacedArea(sections)
        | Measurement::PlacedVolume(sections)
        | Measurement::DeliveredVolume(sections) => sections.contains(&section),
        Measurement::PlacedLength(_) | Measurement::ByHand => false,
    }
}

//! What the pages of properties have in common: the columns of what entered a pay table, and of what it gave.

use super::layout::{figure, numbers, text, unit, words};
use super::{Column, Finished, Shown};
use crate::accept::Outcome;
use crate::rules::{Gives, Measure, Property, RuleSet, Shape};
use crate::units::Unit;

/// The rule set that judges a property.
pub(super) fn rule(finished: Finished<'_>, property: Property) -> Option<&RuleSet> {
    finished.rules.iter().find(|rule| rule.property == property)
}

/// Outcomes of a property, in the order they were judged.
pub(super) fn outcomes(finished: Finished<'_>, property: Property) -> impl Iterator<Item = &Outcome> {
    finished.judged.outcomes.iter().filter(move |o| o.property == property)
}

/// Unit in which a rule for thickness judges.
pub(super) fn depth(finished: Finished<'_>) -> Unit {
    match rule(finished, Property::Thickness).map(|rule| &rule.shape) {
        Some(Shape::Thickness(rule)) => rule.depth,
        _ => finished.contract.system.depth(),
    }
}

/// The column of what entered the pay table, for values measured in `unit`.
pub(super) fn entered(set: &RuleSet, of: Unit) -> Column {
    match set.measure() {
        Some(Measure::Deficiency { in_percent: true, .. }) => numbers("deficiency", "%", 10),
        Some(Measure::Index { .. }) => numbers("index", unit(of), 10),
        Some(Measure::Within(_)) => numbers("within limits", "%", 10),
        Some(Measure::Deficiency { in_percent: false, .. }) | None => numbers("deficiency", unit(of), 10),
    }
}

/// The column of what the table gave, and where that is money its unit.
pub(super) fn paid(set: &RuleSet) -> Vec<Column> {
    if in_percent(set) { vec![numbers("paid", "%", 7)] } else { vec![numbers("rate", "", 8), words("in", 8)] }
}

/// Its cells.
pub(super) fn paid_cells(finished: Finished<'_>, set: &RuleSet, outcome: &Outcome) -> Vec<Shown> {
    let rate = figure(outcome.pay);
    if in_percent(set) {
        return vec![rate];
    }
    let of = outcome.pay.map_or(Shown::Blank, |pay| text(unit(finished.book[pay].unit)));
    vec![rate, of]
}

fn in_percent(set: &RuleSet) -> bool {
    set.pay().is_none_or(|pay| pay.gives == Gives::Percent)
}

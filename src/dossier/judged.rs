//! What the pages of properties have in common: the columns of what entered a pay table, and of what it gave.

use super::layout::{figure, line, numbers, text, unit, words};
use super::{Block, Column, Finished, Row, Shown, Table};
use crate::accept::Outcome;
use crate::figure::{Book, FigureId};
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

/// The columns of what adjustments are made at, which can be percents, money or volume: the rate and its unit.
pub(super) fn rate_columns() -> [Column; 2] {
    [numbers("rate", "", 8), words("in", 7)]
}

/// Their cells.
pub(super) fn rate_cells(book: &Book, rate: FigureId) -> [Shown; 2] {
    [Shown::Figure(rate), text(unit(book[rate].unit))]
}

/// The column of what the table gave, and where that is money its unit.
pub(super) fn paid(set: &RuleSet) -> Vec<Column> {
    if in_percent(set) { vec![numbers("paid", "%", 7)] } else { rate_columns().to_vec() }
}

/// Its cells.
pub(super) fn paid_cells(finished: Finished<'_>, set: &RuleSet, outcome: &Outcome) -> Vec<Shown> {
    match outcome.pay {
        Some(pay) if !in_percent(set) => rate_cells(finished.book, pay).to_vec(),
        pay if in_percent(set) => vec![figure(pay)],
        _ => vec![Shown::Blank; 2],
    }
}

/// What other results of the lots would be paid, where that is not what these are; nothing where no lot has such a range.
pub(super) fn luck(finished: Finished<'_>, set: &RuleSet, id: &str) -> Option<Block> {
    let of_property = |ranged: &&super::Ranged| ranged.property == set.property;
    let ranged: Vec<_> = finished.ranges.iter().filter(of_property).collect();
    if ranged.is_empty() {
        return None;
    }
    let rows: Vec<Row> = ranged
        .into_iter()
        .filter_map(|ranged| {
            let outcome = outcomes(finished, set.property).find(|o| o.name == ranged.outcome)?;
            let value = |id: FigureId| finished.book[id].value.decimal();
            let (from, to) = ranged.range;
            let alike = value(from) == value(to) && outcome.pay.and_then(value) == value(from);
            let cells = [figure(outcome.average), figure(outcome.pay), Shown::Figure(from), Shown::Figure(to)];
            (!alike).then(|| line([text(outcome.name.clone())].into_iter().chain(cells).collect()))
        })
        .collect();
    if rows.is_empty() {
        let same = "If each lot truly is as its results say, other results of it would be paid the same nine times in ten \
                    (drawn lots; slabtally risk says more).";
        return Some(Block::Text(same.into()));
    }
    let percent = if in_percent(set) { "%" } else { "" };
    let average =
        if set.property == Property::Strength { finished.contract.system.strength() } else { depth(finished) };
    Some(Block::Table(Table {
        id: id.into(),
        title: "What other results of these lots would be paid".into(),
        columns: vec![
            words("lot", 42),
            numbers("average", unit(average), 9),
            numbers("paid", percent, 8),
            numbers("others from", percent, 9),
            numbers("others to", percent, 9),
        ],
        rows,
        note: "If the lot truly is as its results say, other results of it would be paid in this range nine times in ten \
               (drawn lots, see the figure's trace; slabtally risk says more). It changes no pay. Lots not listed would be \
               paid the same."
            .into(),
    }))
}

fn in_percent(set: &RuleSet) -> bool {
    set.pay().is_none_or(|pay| pay.gives == Gives::Percent)
}

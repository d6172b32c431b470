//! Several percents made one, and what of it is paid.
//!
//! ```text
//! combined   c = by the rule; no more than 100 while a property is not judged
//! paid       f = c, no less than the least and no more than the most; what the rule rejects waits at its own percent
//! ```

use super::member::full;
use crate::figure::{Book, Comparison, Expr, Figure, FigureId, GivenId, compare, either, max, min, sum};
use crate::rules::{CombinedRule, How};
use crate::units::{Unit, conversions};

/// Percents of one piece, in the order of the rule's properties.
pub(super) struct Percents<'p> {
    /// Beginning of the figures' keys.
    pub(super) key: &'p str,
    /// Behind the labels, where a piece was paid before: `, as judged by 2031-07-20`.
    pub(super) when: &'p str,
    pub(super) all: &'p [FigureId],
    /// True where every property is judged.
    pub(super) complete: bool,
    /// True where a property waits for the engineer.
    pub(super) undecided: bool,
}

/// What they come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Together {
    /// By the rule.
    pub(super) combined: FigureId,
    /// What is paid; the same figure where the rule has no bounds.
    pub(super) pay: FigureId,
    /// True where the rule rejects it.
    pub(super) rejected: bool,
}

/// The combined percent and what is paid; `None` only of no percents at all.
pub(super) fn together(book: &mut Book, rule: &CombinedRule, percents: &Percents) -> Option<Together> {
    let weights = rule.of.iter().zip(&rule.weights);
    let weights: Vec<GivenId> = weights
        .map(|(property, weight)| {
            let word = property.word();
            book.given(weight.given(format!("weight of {word}"), format!("w({word})")))
        })
        .collect();
    let expr = combination(rule.how, percents.all, &weights)?;
    let expr = if percents.complete { expr } else { min([expr, full()]) };
    let label = format!("combined{}", percents.when);
    let figure = Figure::new(format!("{}.combined", percents.key), label, "c", Unit::Percent, expr);
    let figure = match rule.round {
        Some(round) => figure.rounded(round),
        None => figure.shown(decimals(book, rule.how, percents.all)),
    };
    let combined = book.add(figure.under(&rule.clause));
    let bounded = bounded(book, rule, combined, percents.undecided);
    let Some((expr, clause)) = rejected(book, rule, combined, bounded) else {
        return Some(Together { combined, pay: combined, rejected: false });
    };
    let rejected = rule.rejects.as_ref().is_some_and(|rejects| {
        let below = book.given(rejects.below.given("least that is accepted", "cmin"));
        book.evaluate(&compare(combined, Comparison::Below, below)).holds()
    });
    let shown = book[combined].decimals;
    let figure =
        Figure::new(format!("{}.pay", percents.key), format!("pay{}", percents.when), "f", Unit::Percent, expr);
    Some(Together { combined, pay: book.add(figure.shown(shown).under(clause)), rejected })
}

/// No more than the most, no less than the least unless a property waits for the engineer; `None` without either.
fn bounded(book: &mut Book, rule: &CombinedRule, combined: FigureId, undecided: bool) -> Option<(Expr, String)> {
    let mut expr = None;
    let mut clause = None;
    if let Some(most) = &rule.most {
        let most_given = book.given(most.given("most that is paid", "fmax"));
        expr = Some(min([Expr::from(combined), most_given.into()]));
        clause = Some(most.clause.clone());
    }
    if let Some(least) = rule.least.as_ref().filter(|_| !undecided) {
        let least_given = book.given(least.given("least that is paid", "fmin"));
        expr = Some(max([expr.unwrap_or_else(|| combined.into()), least_given.into()]));
        clause = clause.or_else(|| Some(least.clause.clone()));
    }
    Some((expr?, clause?))
}

/// What is paid of it, and by which clause: bounded, or the percent until the engineer decides where the rule rejects it.
fn rejected(
    book: &mut Book,
    rule: &CombinedRule,
    combined: FigureId,
    bounded: Option<(Expr, String)>,
) -> Option<(Expr, String)> {
    let Some(rejects) = &rule.rejects else { return bounded };
    let below = book.given(rejects.below.given("least that is accepted", "cmin"));
    let until = book.given(rejects.until.given("pay until the engineer decides", "fu"));
    let accepted = bounded.map_or_else(|| combined.into(), |(expr, _)| expr);
    let expr = either(compare(combined, Comparison::Below, below), until, accepted);
    Some((expr, rejects.below.clause.clone()))
}

/// The percents by the rule's way; `None` of none, or of another number than the way or its weights ask for.
fn combination(how: How, all: &[FigureId], weights: &[GivenId]) -> Option<Expr> {
    let (&first, rest) = all.split_first()?;
    match (how, rest) {
        (How::Lowest, _) => Some(min(all.iter().copied())),
        (How::Product, _) => Some(product(first, rest)),
        (How::Sum, _) => {
            let differences = all.iter().map(|&f| f - full());
            Some(max([Expr::Whole(0), full() + sum(differences)]))
        }
        (How::Weighted, _) if weights.len() == all.len() => {
            let parts = all.iter().zip(weights).map(|(&f, &w)| w * f);
            Some(sum(parts) / sum(weights.iter().copied()))
        }
        (How::HigherIfBothFull, &[second]) => {
            let is_full = |f: FigureId| compare(f, Comparison::AtLeast, full());
            let one = || product(first, rest);
            let both = || max([first, second]);
            let neither = || min([first, second]);
            Some(either(
                is_full(first),
                either(is_full(second), both(), one()),
                either(is_full(second), one(), neither()),
            ))
        }
        _ => None,
    }
}

fn product(first: FigureId, rest: &[FigureId]) -> Expr {
    let share = |f: &FigureId| Expr::from(*f).to(conversions::PERCENT_TO_RATIO);
    rest.iter().fold(first.into(), |product, f| product * share(f))
}

/// Decimals shown: those of the percents, or enough for a product or an average of them.
fn decimals(book: &Book, how: How, all: &[FigureId]) -> u8 {
    let own = all.iter().map(|&f| book[f].decimals).max().unwrap_or(0);
    match how {
        How::Lowest | How::Sum => own,
        How::Product | How::Weighted | How::HigherIfBothFull => own.saturating_add(2).min(4).max(own),
    }
}

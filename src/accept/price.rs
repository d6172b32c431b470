//! What a pay table gives for what was measured: one look-up for every property.
//!
//! A step that is left to a decision waits for the engineer; until then what it says is paid. In a table of money such a
//! step pays nothing of the price until then.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::ground::{CAUTION, in_words};
use super::measure::Entering;
use super::{Adjustment, Effect, Verdict};
use crate::contract::Contract;
use crate::figure::{Book, Expr, Figure, FigureId, Given, Origin, Step, Steps, max, min, straight_line};
use crate::rules::{EnteredWith, Gives, Pay, PayForm, RuleSet};
use crate::units::{Unit, conversions, written};

/// What a table pays.
#[derive(Clone, Debug)]
pub(super) struct Priced {
    /// What it gives.
    pub(super) pay: FigureId,
    /// What that does to pay.
    pub(super) effect: Effect,
    /// How the lot stands by it.
    pub(super) verdict: Verdict,
    /// The word beside the step; empty where there is none.
    pub(super) note: String,
}

/// What the table gives for what was measured; `None` only for an empty table.
pub(super) fn priced(book: &mut Book, set: &RuleSet, pay: &Pay, key: &str, entering: &Entering) -> Option<Priced> {
    let entry = match pay.entered_with {
        EnteredWith::Measure => entering.entered,
        EnteredWith::Tests => entering.tests,
    };
    let Some(row) = book[entry].value.decimal().and_then(|value| pay.steps.find(value)) else {
        let until = until_decided(book, set, pay, key)?;
        return Some(Priced { note: "the table has no step for this value".into(), ..until });
    };
    let step = pay.steps.rows.get(row)?;
    if step.open && pay.gives != Gives::Percent {
        return until_decided(book, set, pay, key);
    }
    let columns = columns(book, pay);
    let expr = bounded(book, pay, formula(&columns, pay, entry, entering), step.open);
    let decimals = if pay.form == PayForm::Step { decimals(&pay.steps) } else { decimals(&pay.steps).max(2) };
    let figure = Figure::new(format!("{key}.pay"), "pay", "f", gives(pay), expr);
    let figure = match pay.round {
        Some(round) => figure.rounded(round),
        None => figure.shown(decimals),
    };
    let note = format!("{} {}", pay.steps.span(row), pay.steps.entered_in);
    let id = book.add(figure.under(&pay.steps.clause).note(note.trim_end()));
    Some(Priced { pay: id, effect: effect(pay, id), verdict: verdict(book, pay, step, id), note: step.word.clone() })
}

/// What a table's effect does to pay over an area and its volume, at the table's own price where it has one.
pub(super) fn adjustment(
    book: &mut Book,
    pay: Option<&Pay>,
    effect: Effect,
    (area, volume): (FigureId, FigureId),
    decided: NaiveDate,
) -> Adjustment {
    let price = pay.and_then(|pay| pay.price.as_ref());
    let price = price.map(|price| book.given(price.given("price of the rule for each unit of volume", "UP")));
    Adjustment { area, volume, effect, price, decided }
}

/// The same in words, over areas in words: `pays 72 % of the unit price for 2,000.00 yd2`.
pub(super) fn pays(book: &Book, contract: &Contract, effect: Effect, areas: &str) -> String {
    if let Effect::Percent(pay) = effect {
        return format!("pays {} of the unit price for {areas}", in_words(book, pay));
    }
    let figure = &book[effect.figure()];
    let less = figure.value.decimal().is_some_and(|value| value.is_sign_negative());
    let size = figure.text().trim_start_matches('-').to_string();
    let how = if less { "takes off" } else { "adds" };
    match effect {
        Effect::PerArea(_) => {
            format!("{how} {}{size} for each {} of {areas}", contract.currency, contract.system.area())
        }
        Effect::Volume(_) => format!("{how} {size} {} for {areas}", figure.unit),
        _ => format!("{how} {}{size} for {areas}", contract.currency),
    }
}

fn effect(pay: &Pay, id: FigureId) -> Effect {
    match pay.gives {
        Gives::Percent => Effect::Percent(id),
        Gives::MoneyPerArea => Effect::PerArea(id),
        Gives::MoneyPerSegment => Effect::Amount(id),
    }
}

/// Unit of what the table gives, once ratios are percents again.
fn gives(pay: &Pay) -> Unit {
    if pay.gives == Gives::Percent { Unit::Percent } else { pay.steps.gives }
}

fn verdict(book: &Book, pay: &Pay, step: &Step, id: FigureId) -> Verdict {
    let full = if pay.gives == Gives::Percent { Decimal::ONE_HUNDRED } else { Decimal::ZERO };
    match book[id].value.decimal() {
        _ if step.open => Verdict::Undecided,
        None => Verdict::Undecided,
        Some(value) if value == full => Verdict::Sound,
        Some(value) if value > full => Verdict::Raised,
        Some(_) => Verdict::Adjusted,
    }
}

/// The columns of a pay table, taken up in the book.
struct Columns {
    base: crate::figure::StepsId,
    others: Vec<Option<crate::figure::StepsId>>,
}

fn columns(book: &mut Book, pay: &Pay) -> Columns {
    let base = book.steps(pay.steps.clone());
    let others: Vec<Option<&Steps>> = match &pay.form {
        PayForm::Step => Vec::new(),
        PayForm::Formula { times, squared, power, most, .. } => {
            let (share, exponent) =
                power.as_ref().map_or((None, None), |(share, exponent)| (Some(share), Some(exponent)));
            vec![times.as_ref(), squared.as_ref(), share, exponent, most.as_ref()]
        }
        PayForm::Points(points) => points.iter().map(Some).collect(),
    };
    Columns { base, others: others.into_iter().map(|steps| steps.map(|steps| book.steps(steps.clone()))).collect() }
}

/// The pay by the form of the table, each coefficient looked up by `entry`.
fn formula(columns: &Columns, pay: &Pay, entry: FigureId, entering: &Entering) -> Expr {
    let look = |steps| Expr::from(entry).in_steps(steps);
    let base = look(columns.base);
    match (&pay.form, columns.others.as_slice()) {
        (PayForm::Formula { in_ratios, .. }, [times, squared, share, exponent, most]) => {
            let x = || {
                let x = Expr::from(entering.entered);
                if *in_ratios { x.to(conversions::PERCENT_TO_RATIO) } else { x }
            };
            let mut expr = base;
            if let Some(times) = times {
                expr = expr + look(*times) * x();
            }
            if let Some(squared) = squared {
                expr = expr + look(*squared) * x().power(crate::figure::whole(2));
            }
            if let (Some(share), Some(exponent), Some(ratio)) = (share, exponent, entering.ratio) {
                expr = expr + look(*share) * Expr::from(ratio).power(look(*exponent));
            }
            if let Some(most) = most {
                expr = min([expr, look(*most)]);
            }
            if *in_ratios { expr.to(conversions::RATIO_TO_PERCENT) } else { expr }
        }
        (PayForm::Points(_), [Some(from), Some(at_from), Some(to), Some(at_to)]) => {
            straight_line(entry, (look(*from), look(*at_from)), (look(*to), look(*at_to)))
        }
        _ if pay.steps.gives == Unit::One => base.to(conversions::RATIO_TO_PERCENT),
        _ => base,
    }
}

/// No more than the table's most, and no less than its least unless the engineer decides.
fn bounded(book: &mut Book, pay: &Pay, expr: Expr, open: bool) -> Expr {
    let expr = match &pay.most {
        Some(most) => min([expr, book.given(most.given("most that is paid", "fmax")).into()]),
        None => expr,
    };
    match pay.least.as_ref().filter(|_| !open) {
        Some(least) => max([expr, book.given(least.given("least that is paid", "fmin")).into()]),
        None => expr,
    }
}

/// What is paid until the engineer decides: what the step left to a decision says, the last such of the table.
pub(super) fn until_decided(book: &mut Book, set: &RuleSet, pay: &Pay, key: &str) -> Option<Priced> {
    let step = pay.steps.rows.iter().rev().find(|step| step.open).or(pay.steps.rows.last())?;
    let word = if step.word.is_empty() { CAUTION } else { &step.word };
    let value = match (pay.gives, pay.steps.gives) {
        (Gives::Percent, Unit::One) => step.value * Decimal::ONE_HUNDRED,
        (Gives::Percent, _) => step.value,
        _ => Decimal::ZERO,
    };
    let given = book.given(Given {
        label: "pay until the engineer decides".into(),
        symbol: "f".into(),
        value,
        unit: Unit::Percent,
        written: format!("{} {}", written(value, decimals(&pay.steps)), Unit::Percent),
        origin: Origin::Rule {
            set: set.id.clone(),
            key: format!("the step of {} that is left to a decision", pay.steps.title),
            clause: pay.steps.clause.clone(),
        },
    });
    let figure = Figure::new(format!("{key}.pay"), "pay until the engineer decides", "f", Unit::Percent, given);
    let id = book.add(figure.shown(decimals(&pay.steps)).under(&pay.steps.clause).note(word));
    Some(Priced { pay: id, effect: Effect::Percent(id), verdict: Verdict::Undecided, note: word.to_string() })
}

/// Decimals with which the values of a table are written.
fn decimals(table: &Steps) -> u8 {
    table.rows.iter().filter_map(|row| row.value.normalize().scale().to_u8()).max().unwrap_or(0)
}

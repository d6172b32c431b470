//! The estimate: quantities times prices, adjustments, retainage, what is due.
//!
//! To date is everything through the as-of date; previous is what the last closing says, or where there is none everything
//! through the last day of the period before; this period is the difference, so that the three columns foot in every line.

use chrono::NaiveDate;

use super::amounts::Maker;
use super::authorized::{authorized, priced};
use super::column::columns;
use super::item::{self, Terms};
use super::settle::{Done, settle};
use super::split::{Whole, parts};
use super::{Estimate, Inputs, adjustment, against, checking, correction, held, papers};
use crate::contract::{Contract, Period};
use crate::figure::Book;
use crate::finding::Finding;
use crate::units::Unit;

pub(super) fn estimate(inputs: Inputs<'_>, book: &mut Book) -> Result<(Estimate, Vec<Finding>), String> {
    let (period, before) = period_of(inputs.contract, inputs.through)?;
    let before = inputs.closed.map(|closing| closing.through).or(before);
    let columns = columns(inputs, before);
    let priced = priced(inputs.contract, book);
    let authorized = authorized(inputs, &priced, columns, book);
    let terms = Terms { inputs, before, columns, priced: &priced, authorized: authorized.as_ref() };
    let (items, mut findings) = item::items(terms, book);
    let adjustments = adjustment::lines(inputs, &items, before, book);
    findings.extend(adjustment::untaken(inputs, &adjustments));
    let explored = adjustment::explored(inputs, &items, &adjustments, book);
    let money = inputs.contract.roundings.money;
    let maker = Maker { unit: Unit::Money, rounding: money, closed: inputs.closed };
    let work = maker.sums(book, "work", "work done", |pick| items.iter().map(|i| pick(&i.amount).into()).collect());
    let adjusted = maker.split(
        book,
        "adjustments",
        "adjustments",
        adjustments.iter().map(|a| a.amount.into()).collect(),
        adjustments.iter().filter(|a| !a.this_period).map(|a| a.amount.into()).collect(),
    );
    let held_lines = held::lines(inputs, &items, before, book);
    let waits = inputs.contract.items.iter().any(|i| !i.waits_for.is_empty());
    let held = waits.then(|| {
        let of = |previous: bool| held_lines.iter().filter(move |l| l.previous == previous).map(|l| l.amount.into());
        maker.split(book, "held", "held for proof", of(false).collect(), of(true).collect())
    });
    let stood = papers::stands(inputs, &items, inputs.through);
    findings.extend(papers::findings(inputs, &stood));
    let mut paper_lines = papers::lines(inputs, &items, (&adjustments, &held_lines), &stood, false, book);
    if let Some(last) = before.filter(|_| inputs.closed.is_none()) {
        let then = papers::stands(inputs, &items, last);
        paper_lines.extend(papers::lines(inputs, &items, (&adjustments, &held_lines), &then, true, book));
    }
    let held_for_papers = inputs.contract.papers.iter().any(|paper| paper.holds).then(|| {
        let of = |previous: bool| paper_lines.iter().filter(move |l| l.previous == previous).map(|l| l.amount.into());
        maker.split(book, "held-for-papers", "held for papers", of(false).collect(), of(true).collect())
    });
    let (unchecked, found) = checking::unchecked(inputs, &items, book);
    findings.extend(found);
    let done = Done { items: &items, work, adjusted, held, held_for_papers, authorized };
    let (settlement, found) = settle(inputs, (maker, columns), done, book);
    findings.extend(found);
    let whole = Whole {
        items: &items,
        adjustments: &adjustments,
        held: &held_lines,
        papers: &paper_lines,
        settlement: &settlement,
    };
    let splits = parts(inputs, maker, &whole, book);
    let agreed = (columns[0], settlement.authorized.as_ref());
    let (against_plan, found) = against::against_plan(inputs, agreed, &items, book);
    findings.extend(found);
    let corrections = correction::lines(inputs, &items, &adjustments, book);
    let estimate = Estimate {
        period,
        before,
        items,
        adjustments,
        explored,
        held_lines,
        unchecked,
        papers: stood,
        paper_lines,
        against_plan,
        corrections,
        work,
        adjusted,
        settlement,
        splits,
    };
    Ok((estimate, findings))
}

/// The period that a day falls in, and the last day of the one before.
///
/// # Errors
/// When the day is after the last period.
pub fn period_of(contract: &Contract, day: NaiveDate) -> Result<(Period, Option<NaiveDate>), String> {
    let periods = &contract.periods;
    let at = periods.iter().position(|p| day <= p.through).ok_or_else(|| {
        let last = periods.last().map_or_else(|| "none".into(), |p| p.through.to_string());
        format!("{day} is after the last period of contract.toml, which ends {last}")
    })?;
    let before = at.checked_sub(1).map(|i| periods[i].through);
    Ok((periods[at].clone(), before))
}

//! Curing and sawing against the concrete they follow: how soon, how thick, how deep.
//!
//! ```text
//! after     h = 24 D + t - f        t hour it was begun (curing) or ended (sawing), f hour of the last concrete, D days between
//! cut       c = 100 d / T           d depth of the cut, T design thickness
//! ```
//!
//! A placement whose sheet gives no last hour, or a step whose sheet gives none, is not checked for time; pages count them.

use super::Works;
use super::check::{Check, Finds};
use super::site::{Site, Span, days, row, touch};
use crate::figure::{Book, CellId, Expr, Figure, FigureId};
use crate::finding::{Code, Finding};
use crate::intake::Step;
use crate::line::{slug, stepped};
use crate::rules::{Proof, RuleNumber};
use crate::units::{Unit, conversions, plain};

/// Sawing of one placement by one record.
#[derive(Clone, Debug, PartialEq)]
pub struct SawJudged {
    /// Step, by place in the records.
    pub work: usize,
    /// Placement, by place in the records; `None` where it lies on no placed pavement.
    pub placement: Option<usize>,
    /// Hours after the last concrete; `None` where a time is not on record.
    pub after: Option<FigureId>,
    /// Depth of the cut.
    pub depth: Option<CellId>,
    /// Depth in percent of the design thickness.
    pub cut: Option<FigureId>,
    /// How time and depth stand.
    pub finds: (Finds, Finds),
}

/// Curing of one placement by one record.
#[derive(Clone, Debug, PartialEq)]
pub struct CureJudged {
    /// Step, by place in the records.
    pub work: usize,
    /// Placement, by place in the records; `None` where it lies on no placed pavement.
    pub placement: Option<usize>,
    /// Minutes after the last concrete; `None` where a time is not on record.
    pub after: Option<FigureId>,
    /// Area that one unit covered.
    pub rate: Option<CellId>,
    /// How time and rate stand.
    pub finds: (Finds, Finds),
}

/// Judges every record of sawing and curing.
pub(super) fn judge(site: &Site<'_>, book: &mut Book, works: &mut Works, findings: &mut Vec<Finding>) {
    for (i, work) in site.inputs.records.works.iter().enumerate() {
        let spans = site.spans(work);
        match work.step {
            Step::Saw => saw(site, book, (i, &spans), works, findings),
            Step::Cure => cure(site, book, (i, &spans), works, findings),
            _ => {}
        }
    }
}

/// Placements under a record, or the one `None` where there are none.
fn under(site: &Site<'_>, spans: &[Span]) -> Vec<Option<usize>> {
    let found: Vec<Option<usize>> = site.placements(spans).into_iter().map(Some).collect();
    if found.is_empty() { vec![None] } else { found }
}

/// Hours from the last concrete of a placement to an hour of a step.
fn after(
    site: &Site<'_>,
    book: &mut Book,
    (work, placement): (usize, usize),
    column: u16,
    what: &str,
) -> Option<FigureId> {
    let (records, ledger) = (site.inputs.records, &site.inputs.line.ledger);
    let (step, placed) = (&records.works[work], &records.placements[placement]);
    let told = if column == stepped::work::BEGUN { step.times.0.is_some() } else { step.times.1.is_some() };
    placed.times.1.as_ref().filter(|_| told)?;
    let ended = ledger.placement_ended(placement)?;
    let between = days(book, (placed.date.value, step.date.value));
    let hours = Expr::from(between).to(conversions::DAY_TO_HOUR) + ledger.work_cell(work, column) - ended;
    let (key, number) = (slug(&placed.number.value), &placed.number.value);
    let (expr, unit) = match step.step {
        Step::Cure => (hours.to(conversions::HOUR_TO_MINUTE), Unit::Minute),
        _ => (hours, Unit::Hour),
    };
    let label = format!("placement {number}, {what} after the last concrete");
    Some(book.add(Figure::new(format!("works.placement-{key}.{}", slug(what)), label, "h", unit, expr)))
}

/// The hour at which a step was ended, else begun.
fn last_hour(site: &Site<'_>, work: usize) -> u16 {
    if site.inputs.records.works[work].times.1.is_some() { stepped::work::ENDED } else { stepped::work::BEGUN }
}

fn first_hour(site: &Site<'_>, work: usize) -> u16 {
    if site.inputs.records.works[work].times.0.is_some() { stepped::work::BEGUN } else { stepped::work::ENDED }
}

fn saw(site: &Site<'_>, book: &mut Book, (i, spans): (usize, &[Span]), works: &mut Works, findings: &mut Vec<Finding>) {
    let work = &site.inputs.records.works[i];
    let rule = site.rule.saw.as_ref();
    let depth = work.depth.as_ref().map(|_| site.inputs.line.ledger.work_cell(i, stepped::work::DEPTH));
    let mut worst = Finds::NotJudged;
    for placement in under(site, spans) {
        let after = placement.and_then(|p| after(site, book, (i, p), last_hour(site, i), "sawn"));
        let late = held(book, after, rule.and_then(|r| r.within.as_ref()), |hours, limit| hours <= limit);
        let cut = placement.and_then(|p| cut(site, book, (i, p), spans));
        let shallow = held(book, cut, rule.and_then(|r| r.least.as_ref()), |cut, limit| cut >= limit);
        if let (Finds::Failed, Some(p), Some(limit)) = (late, placement, rule.and_then(|r| r.within.as_ref())) {
            findings.push(late_by(site, book, (Code::SawLate, i, p), after, limit));
        }
        if let (Finds::Failed, Some(limit)) = (shallow, rule.and_then(|r| r.least.as_ref())) {
            findings.push(shallow_by(site, book, i, cut, limit));
        }
        worst = worst_of(worst, shallow);
        works.sawing.push(SawJudged { work: i, placement, after, depth, cut, finds: (late, shallow) });
    }
    works.checks.extend(depth.map(|_| Check {
        proof: Proof::SawDepth,
        number: work.number.value.to_string(),
        at: work.number.at,
        date: work.date.value,
        places: spans.to_vec(),
        finds: worst,
        text: if worst == Finds::Failed {
            work.depth.as_ref().map_or(String::new(), |d| plain(d.value))
        } else {
            String::new()
        },
    }));
}

fn worst_of(a: Finds, b: Finds) -> Finds {
    match (a, b) {
        (Finds::Failed, _) | (_, Finds::Failed) => Finds::Failed,
        (Finds::Passed, _) | (_, Finds::Passed) => Finds::Passed,
        _ => a,
    }
}

fn held(
    book: &Book,
    figure: Option<FigureId>,
    limit: Option<&RuleNumber>,
    holds: impl Fn(rust_decimal::Decimal, rust_decimal::Decimal) -> bool,
) -> Finds {
    match (figure.and_then(|id| book[id].value.decimal()), limit) {
        (Some(value), Some(limit)) => Finds::of(holds(value, limit.value)),
        _ => Finds::NotJudged,
    }
}

/// The cut in percent of the thickest slab it lies on under that placement.
fn cut(site: &Site<'_>, book: &mut Book, (i, placement): (usize, usize), spans: &[Span]) -> Option<FigureId> {
    let record = &site.inputs.records.works[i];
    record.depth.as_ref()?;
    let line = site.inputs.line;
    let sections = line.placements[placement]
        .stretches
        .iter()
        .map(|&s| &line.stretches[s])
        .filter(|s| spans.iter().any(|span| touch(span, &(s.lane, s.from, s.to))))
        .map(|s| s.section);
    let section = sections.max_by_key(|&s| site.inputs.contract.sections[s].thickness.value)?;
    let thickness = site.thickness(book, section);
    let depth = line.ledger.work_cell(i, stepped::work::DEPTH);
    let expr = (depth / thickness).to(conversions::RATIO_TO_PERCENT);
    let number = &site.inputs.records.placements[placement].number.value;
    let key = format!("works.placement-{}.cut", slug(number));
    let figure = Figure::new(key, format!("placement {number}, depth of cut over thickness"), "c", Unit::Percent, expr);
    let figure = match site.rule.saw.as_ref().and_then(|r| r.round) {
        Some(round) => site.compared(figure, round),
        None => figure.shown(1),
    };
    Some(book.add(figure))
}

fn late_by(
    site: &Site<'_>,
    book: &Book,
    (code, i, placement): (Code, usize, usize),
    after: Option<FigureId>,
    limit: &RuleNumber,
) -> Finding {
    let work = &site.inputs.records.works[i];
    let placed = &site.inputs.records.placements[placement];
    let (what, remedy) = match code {
        Code::CureLate => ("curing began", "look at the slab for plastic shrinkage cracks; the engineer decides"),
        _ => ("joints were sawn", "look at the slab for cracks between the joints; the engineer decides"),
    };
    let message = format!(
        "placement {} at {}: {what} {} {} after the last concrete, allowed {} ({})",
        placed.number.value,
        site.stretch(work),
        after.map(|id| book[id].text()).unwrap_or_default(),
        after.map_or(Unit::Hour, |id| book[id].unit),
        limit.written,
        limit.clause
    );
    Finding::new(code, row(work.number.at), message, remedy).with([row(placed.number.at)])
}

fn shallow_by(site: &Site<'_>, book: &Book, i: usize, cut: Option<FigureId>, limit: &RuleNumber) -> Finding {
    let work = &site.inputs.records.works[i];
    let (at, depth) = work.depth.as_ref().map_or((work.number.at, String::new()), |d| (d.at, plain(d.value)));
    let message = format!(
        "saw cut at {}: {depth} {} deep, {} % of the design thickness, asked {} ({})",
        site.stretch(work),
        site.inputs.contract.system.depth(),
        cut.map(|id| book[id].text()).unwrap_or_default(),
        limit.written,
        limit.clause
    );
    let remedy = "measure again; saw deeper while that still helps, or look for cracks; the engineer decides";
    Finding::new(Code::SawShallow, row(at), message, remedy)
}

fn cure(
    site: &Site<'_>,
    book: &mut Book,
    (i, spans): (usize, &[Span]),
    works: &mut Works,
    findings: &mut Vec<Finding>,
) {
    let work = &site.inputs.records.works[i];
    let rule = site.rule.cure.as_ref();
    let rate = work.rate.as_ref().map(|_| site.inputs.line.ledger.work_cell(i, stepped::work::RATE));
    let thin = match (&work.rate, rule.and_then(|r| r.covers.as_ref())) {
        (Some(rate), Some(limit)) => Finds::of(rate.value <= limit.value),
        _ => Finds::NotJudged,
    };
    if let (Finds::Failed, Some(limit)) = (thin, rule.and_then(|r| r.covers.as_ref())) {
        findings.push(too_thin(site, i, limit));
    }
    for placement in under(site, spans) {
        let after = placement.and_then(|p| after(site, book, (i, p), first_hour(site, i), "cured"));
        let late = held(book, after, rule.and_then(|r| r.within.as_ref()), |minutes, limit| minutes <= limit);
        if let (Finds::Failed, Some(p), Some(limit)) = (late, placement, rule.and_then(|r| r.within.as_ref())) {
            findings.push(late_by(site, book, (Code::CureLate, i, p), after, limit));
        }
        works.curing.push(CureJudged { work: i, placement, after, rate, finds: (late, thin) });
    }
}

fn too_thin(site: &Site<'_>, i: usize, limit: &RuleNumber) -> Finding {
    let work = &site.inputs.records.works[i];
    let (at, rate) = work.rate.as_ref().map_or((work.number.at, String::new()), |r| (r.at, plain(r.value)));
    let message = format!(
        "curing at {}: one {} covered {rate} {}, allowed at most {} ({})",
        site.stretch(work),
        site.inputs.contract.system.liquid(),
        limit.unit,
        limit.written,
        limit.clause
    );
    Finding::new(Code::CureThin, row(at), message, "spray again while the film can still help; the engineer decides")
}

//! When pavement may be opened by the records: old enough and strong enough, or either, as the rule says; and when it was.
//!
//! Strength is a test's that was broken, or a logger's through its mix's own curve. The day is the first on which what the rule
//! asks stands on record. Whether traffic is let on is decided by the licensed engineer under the contract and local code.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};
use rust_decimal::prelude::ToPrimitive;

use super::Works;
use super::check::ground_of;
use super::site::{Along, Site, Span, row, touch};
use crate::figure::{Book, FigureId};
use crate::finding::{Code, Finding};
use crate::intake::Step;
use crate::rules::OpeningRule;

/// What shows that pavement is strong enough.
#[derive(Clone, Debug, PartialEq)]
pub struct Strong {
    /// `test S-14, 3 d`, `logger SB-1 7`.
    pub by: String,
    /// Strength.
    pub strength: FigureId,
    /// Day.
    pub day: NaiveDate,
}

/// A placement and its opening.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningLine {
    /// Placement, by place in the records.
    pub placement: usize,
    /// Day on which it is old enough; `None` where the rule asks no age.
    pub old_enough: Option<NaiveDate>,
    /// What first shows it strong enough.
    pub strong: Option<Strong>,
    /// The strongest result so far, where none is strong enough.
    pub best: Option<Strong>,
    /// First day on which the records bear out the rule.
    pub may: Option<NaiveDate>,
    /// The opening on record: step, by place in the records.
    pub opened: Option<usize>,
    /// A closure after it.
    pub closed: Option<usize>,
    /// What is missing, in words; empty where nothing is.
    pub missing: String,
    /// True where it was opened before the records bear it out.
    pub early: bool,
}

/// A driveway and its opening: as soon as all pavement under it may be.
#[derive(Clone, Debug, PartialEq)]
pub struct DriveLine {
    /// Place in the contract.
    pub driveway: usize,
    /// Placements under it, by place in the records.
    pub placements: Vec<usize>,
    /// True where all of it is placed.
    pub whole: bool,
    /// First day on which the records bear out the rule for all of it.
    pub may: Option<NaiveDate>,
    /// The opening on record.
    pub opened: Option<usize>,
    /// What is missing, in words.
    pub missing: String,
}

/// Tells when each placement and each driveway may be opened.
pub(super) fn tell(site: &Site<'_>, book: &Book, works: &mut Works, findings: &mut Vec<Finding>) {
    let Some(rule) = &site.rule.opening else { return };
    let events = Events::of(site);
    let placed =
        (0..site.inputs.records.placements.len()).filter(|&p| !site.inputs.line.placements[p].stretches.is_empty());
    works.openings = placed.map(|p| line(site, book, (works, &events), rule, p)).collect();
    works.openings.sort_by_key(|l| (site.inputs.records.placements[l.placement].date.value, l.placement));
    findings.extend(works.openings.iter().filter(|l| l.early).filter_map(|l| early(site, book, rule, l)));
    works.drives = (0..site.inputs.contract.driveways.len()).map(|d| drive(site, works, d)).collect();
}

/// Openings and closures by where they lie.
struct Events {
    opened: Along,
    closed: Along,
}

impl Events {
    fn of(site: &Site<'_>) -> Self {
        let of = |step: Step| {
            let own = site.inputs.records.works.iter().enumerate().filter(move |(_, w)| w.step == step);
            Along::of(own.flat_map(|(i, w)| site.spans(w).into_iter().map(move |s| (s, i))))
        };
        Self { opened: of(Step::Open), closed: of(Step::Close) }
    }
}

fn line(site: &Site<'_>, book: &Book, (works, events): (&Works, &Events), rule: &OpeningRule, p: usize) -> OpeningLine {
    let date = site.inputs.records.placements[p].date.value;
    let old_enough = rule.age.as_ref().and_then(|age| date.checked_add_days(Days::new(age.value.ceil().to_u64()?)));
    let (strong, best) = strong(book, works, rule, p);
    let by_strength = strong.as_ref().map(|s| s.day);
    let may = match (&rule.strength, rule.age.is_some()) {
        (Some(_), true) if rule.both => by_strength.zip(old_enough).map(|(a, b)| a.max(b)),
        (Some(_), true) => [by_strength, old_enough].into_iter().flatten().min(),
        (Some(_), false) => by_strength,
        (None, _) => old_enough,
    };
    let ground = ground_of(site, p);
    let date_of = |i: &usize| site.inputs.records.works[*i].date.value;
    let opened = on(site, &events.opened, &ground).into_iter().min_by_key(date_of);
    let closed = opened.and_then(|o| {
        on(site, &events.closed, &ground).into_iter().filter(|c| date_of(c) >= date_of(&o)).max_by_key(date_of)
    });
    let missing = missing(site, book, rule, (may, strong.is_some(), best.as_ref()));
    let early = opened.is_some_and(|o| may.is_none_or(|may| site.inputs.records.works[o].date.value < may));
    OpeningLine { placement: p, old_enough, strong, best, may, opened, closed, missing, early }
}

/// The first result that is strong enough, else the strongest.
fn strong(book: &Book, works: &Works, rule: &OpeningRule, p: usize) -> (Option<Strong>, Option<Strong>) {
    let Some(wanted) = &rule.strength else { return (None, None) };
    let tests = works.early.iter().filter(|e| e.placement == p && e.flexural == rule.flexural).map(|e| Strong {
        by: format!("test {}", e.name),
        strength: e.strength,
        day: e.broken,
    });
    let loggers = works
        .loggers
        .iter()
        .filter(|l| l.placement == Some(p) && !rule.flexural)
        .filter_map(|l| Some(Strong { by: format!("logger {}", l.sensor), strength: l.strength?, day: l.day() }));
    let all: Vec<Strong> = tests.chain(loggers).collect();
    let value = |s: &Strong| book[s.strength].value.decimal();
    let enough = all.iter().filter(|s| value(s).is_some_and(|v| v >= wanted.value)).min_by_key(|s| s.day);
    let best = all.iter().max_by_key(|s| value(s));
    (enough.cloned(), best.filter(|_| enough.is_none()).cloned())
}

/// The events that share ground with some, in order of the records.
fn on(site: &Site<'_>, events: &Along, ground: &[Span]) -> Vec<usize> {
    let near: BTreeSet<usize> = ground.iter().flat_map(|g| events.touching(g)).collect();
    let works = &site.inputs.records.works;
    let shares = |i: &usize| site.spans(&works[*i]).iter().any(|span| ground.iter().any(|g| overlap(span, g)));
    near.into_iter().filter(shares).collect()
}

fn overlap(a: &Span, b: &Span) -> bool {
    a.0 == b.0 && a.1.along.max(b.1.along) < a.2.along.min(b.2.along)
}

fn missing(
    site: &Site<'_>,
    book: &Book,
    rule: &OpeningRule,
    (may, strong, best): (Option<NaiveDate>, bool, Option<&Strong>),
) -> String {
    let mut words = Vec::new();
    if let (Some(wanted), false) = (&rule.strength, strong)
        && may.is_none()
    {
        let so_far = best.map_or("no strength on record".to_string(), |b| {
            format!("{} {} by {} on {}", book[b.strength].text(), book[b.strength].unit, b.by, b.day)
        });
        words.push(format!("strength of {}: {so_far}", wanted.written));
    }
    if may.is_some_and(|day| day > site.inputs.through) {
        words.push("age".to_string());
    }
    words.join("; ")
}

fn early(site: &Site<'_>, book: &Book, rule: &OpeningRule, line: &OpeningLine) -> Option<Finding> {
    let records = site.inputs.records;
    let (work, placed) = (&records.works[line.opened?], &records.placements[line.placement]);
    let asked: Vec<String> = [&rule.strength, &rule.age].into_iter().flatten().map(|n| n.written.clone()).collect();
    let when = match (line.may, &line.strong, &line.best) {
        (Some(day), ..) => format!("the records bear that out from {day} on"),
        (None, _, Some(best)) => format!(
            "the strongest on record is {} {} by {} on {}",
            book[best.strength].text(),
            book[best.strength].unit,
            best.by,
            best.day
        ),
        _ => "no strength is on record".to_string(),
    };
    let clause = rule.strength.as_ref().or(rule.age.as_ref()).map(|n| n.clause.clone()).unwrap_or_default();
    let message = format!(
        "placement {}, placed {}, was opened on {}, {} days old; asked {} ({clause}); {when}",
        placed.number.value,
        placed.date.value,
        work.date.value,
        (work.date.value - placed.date.value).num_days(),
        asked.join(if rule.both { " and " } else { " or " }),
    );
    let remedy = "look at the slab and at what was let on it; opening is decided by the licensed engineer";
    Some(Finding::new(Code::OpenedEarly, row(work.number.at), message, remedy).with([row(placed.number.at)]))
}

fn drive(site: &Site<'_>, works: &Works, d: usize) -> DriveLine {
    let driveway = &site.inputs.contract.driveways[d];
    let spans: Vec<Span> = driveway.lanes.iter().map(|&lane| (lane, driveway.from, driveway.to)).collect();
    let placements = site.placements(&spans);
    let whole = spans.iter().all(|&(lane, from, to)| {
        let placed: rust_decimal::Decimal =
            crate::line::within(site.inputs.line, lane, from, to).iter().map(|c| c.to.along - c.from.along).sum();
        placed >= to.along - from.along
    });
    let lines: Vec<&OpeningLine> = works.openings.iter().filter(|l| placements.contains(&l.placement)).collect();
    let days: Option<Vec<NaiveDate>> = lines.iter().map(|l| l.may).collect();
    let may = days.filter(|_| whole).and_then(|days| days.into_iter().max());
    let mut missing: Vec<String> = lines
        .iter()
        .filter(|l| !l.missing.is_empty())
        .map(|l| format!("{}: {}", site.inputs.records.placements[l.placement].number.value, l.missing))
        .collect();
    if !whole {
        missing.insert(0, "not wholly placed".into());
    }
    let works_on = &site.inputs.records.works;
    let opened = works_on
        .iter()
        .enumerate()
        .filter(|(_, w)| w.step == Step::Open && site.spans(w).iter().any(|s| spans.iter().any(|own| touch(s, own))))
        .min_by_key(|(_, w)| w.date.value)
        .map(|(i, _)| i);
    DriveLine { driveway: d, placements, whole, may, opened, missing: missing.join("; ") }
}

//! Order and completeness: a step before the one it needs, ground covered before it was tested or accepted, and steps that are
//! on record for some of the pavement and not for all of it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Works;
use super::check::ground_of;
use super::site::{Along, Site, Span, row};
use crate::finding::{Code, Finding, Place};
use crate::intake::{LaneId, Step};
use crate::rules::Proof;
use crate::source::CellRef;
use crate::units::{between, plain};

/// A step, or the concrete itself, on some ground.
struct Done {
    /// In the order of the work; concrete stands between bars and texture.
    rank: u8,
    what: String,
    date: NaiveDate,
    at: CellRef,
    spans: Vec<Span>,
}

/// What has to come before what: ranks of the earlier and the later.
const BEFORE: [(u8, u8); 11] = [
    (RECLAIM, TRIM),
    (TRIM, BASE),
    (BASE, BASKETS),
    (BASE, CONCRETE),
    (BASKETS, CONCRETE),
    (CONCRETE, TEXTURE),
    (CONCRETE, CURE),
    (CONCRETE, SAW),
    (CONCRETE, OPEN),
    (SAW, SEAL),
    (CONCRETE, SEAL),
];
const RECLAIM: u8 = 0;
const TRIM: u8 = 2;
const BASE: u8 = 3;
const BASKETS: u8 = 4;
const CONCRETE: u8 = 6;
const TEXTURE: u8 = 7;
const CURE: u8 = 8;
const SAW: u8 = 9;
const SEAL: u8 = 10;
const OPEN: u8 = 11;

fn rank(step: Step) -> u8 {
    match step {
        Step::Reclaim => RECLAIM,
        Step::Compact => 1,
        Step::Trim => TRIM,
        Step::Base => BASE,
        Step::Baskets => BASKETS,
        Step::Ties => 5,
        Step::Texture => TEXTURE,
        Step::Cure => CURE,
        Step::Saw => SAW,
        Step::Seal => SEAL,
        Step::Open => OPEN,
        Step::Close => 12,
    }
}

/// Everything that is wrong with order and completeness.
pub(super) fn hold(site: &Site<'_>, works: &Works, findings: &mut Vec<Finding>) {
    let done = done(site);
    findings.extend(BEFORE.iter().flat_map(|&pair| out_of_order(site, &done, pair)));
    findings.extend(accepted_late(site));
    findings.extend(tested_late(&done, works));
    findings.extend(site.rule.steps.iter().flat_map(|(step, clause)| lacking(site, &done, *step, clause)));
    if works.ruled {
        findings
            .extend(STEADY.iter().filter(|s| !site.is_required(**s)).flat_map(|&step| broken_off(site, &done, step)));
    }
    findings.extend(baskets(site));
    findings.extend(joints(site));
}

fn done(site: &Site<'_>) -> Vec<Done> {
    let records = site.inputs.records;
    let works = records.works.iter().map(|w| Done {
        rank: rank(w.step),
        what: w.step.done().to_string(),
        date: w.date.value,
        at: w.number.at,
        spans: site.spans(w),
    });
    let placed = records.placements.iter().enumerate().map(|(p, placement)| Done {
        rank: CONCRETE,
        what: format!("concrete placed ({})", placement.number.value),
        date: placement.date.value,
        at: placement.number.at,
        spans: ground_of(site, p),
    });
    works.chain(placed).collect()
}

/// The ground that two share, each lane by itself.
fn shared(a: &[Span], b: &[Span]) -> Vec<(LaneId, Decimal, Decimal)> {
    let pairs = a.iter().flat_map(|x| b.iter().map(move |y| (x, y))).filter(|(x, y)| x.0 == y.0);
    pairs
        .map(|(x, y)| (x.0, x.1.along.max(y.1.along), x.2.along.min(y.2.along)))
        .filter(|(_, from, to)| from < to)
        .collect()
}

/// Whether some of the ground lies under none of the others.
fn bare(ground: &[(LaneId, Decimal, Decimal)], others: &[&Done]) -> bool {
    ground.iter().any(|&(lane, from, to)| {
        let mut covers: Vec<(Decimal, Decimal)> =
            others.iter().flat_map(|o| &o.spans).filter(|s| s.0 == lane).map(|s| (s.1.along, s.2.along)).collect();
        covers.sort();
        let mut reached = from;
        for (a, b) in covers {
            if a <= reached {
                reached = reached.max(b);
            }
        }
        reached < to
    })
}

/// Later steps whose ground saw the earlier one only afterwards.
fn out_of_order(site: &Site<'_>, done: &[Done], (before, after): (u8, u8)) -> Vec<Finding> {
    let earlier: Vec<&Done> = done.iter().filter(|d| d.rank == before).collect();
    let along = Along::of(earlier.iter().enumerate().flat_map(|(i, one)| one.spans.iter().map(move |s| (*s, i))));
    let mut findings = Vec::new();
    for later in done.iter().filter(|d| d.rank == after) {
        let near: BTreeSet<usize> = later.spans.iter().flat_map(|s| along.touching(s)).collect();
        let near = near.into_iter().map(|i| earlier[i]);
        let (in_time, late): (Vec<&Done>, Vec<&Done>) = near.partition(|d| d.date <= later.date);
        for one in late {
            let ground = shared(&one.spans, &later.spans);
            if !ground.is_empty() && bare(&ground, &in_time) {
                findings.push(reversed(site, one, later, &ground));
            }
        }
    }
    findings
}

fn reversed(site: &Site<'_>, one: &Done, later: &Done, ground: &[(LaneId, Decimal, Decimal)]) -> Finding {
    let message =
        format!("{}: {} on {}, and {} only on {}", place(site, ground), later.what, later.date, one.what, one.date);
    let remedy = "correct the day of one of them, or set it aside with a reason in contract.toml";
    Finding::new(Code::StepOutOfOrder, row(later.at), message, remedy).with([row(one.at)])
}

fn place(site: &Site<'_>, ground: &[(LaneId, Decimal, Decimal)]) -> String {
    let contract = site.inputs.contract;
    let spans: Vec<Span> = ground
        .iter()
        .map(|&(lane, from, to)| (lane, contract.alignment(lane).at(from), contract.alignment(lane).at(to)))
        .collect();
    site.place(&spans)
}

/// Concrete on base that was accepted afterwards, or that no record accepts where the others are accepted.
fn accepted_late(site: &Site<'_>) -> Vec<Finding> {
    let records = site.inputs.records;
    let bases: Vec<usize> = (0..records.works.len()).filter(|&i| records.works[i].step == Step::Base).collect();
    let kept = bases.iter().any(|&i| records.works[i].accepted.is_some());
    let mut findings = Vec::new();
    for i in bases {
        let work = &records.works[i];
        let placements = site.placements(&site.spans(work));
        let covered = |p: &&usize| {
            let paved = records.placements[**p].date.value;
            match &work.accepted {
                Some(day) => day.value > paved,
                None => (kept || work.passed == Some(false)) && paved >= work.date.value,
            }
        };
        let late: Vec<&usize> = placements.iter().filter(covered).collect();
        let Some(&&first) = late.first() else { continue };
        let when = match (&work.accepted, work.passed) {
            (Some(day), _) => format!("accepted on {}", day.value),
            (None, Some(false)) => "which did not pass".to_string(),
            (None, _) => "which no record accepts".to_string(),
        };
        let each: Vec<String> = late
            .iter()
            .map(|&&p| format!("{} on {}", records.placements[p].number.value, records.placements[p].date.value))
            .collect();
        let message = format!("base at {}, {when}, was paved before: {}", site.stretch(work), each.join(", "));
        let remedy =
            "add the day it was accepted, or what proves it; whether the slab stays is the engineer's decision";
        let others = late.iter().skip(1).map(|&&p| row(records.placements[p].number.at));
        findings.push(
            Finding::new(Code::CoveredUntested, row(work.number.at), message, remedy)
                .with([row(records.placements[first].number.at)])
                .with(others),
        );
    }
    findings
}

/// Tests of a layer that were taken after the next one lay on it, where none before them passed there.
fn tested_late(done: &[Done], works: &Works) -> Vec<Finding> {
    let mut findings = Vec::new();
    for covered in &works.covered {
        let over = match covered.proof {
            Proof::SubgradeDensity | Proof::SubgradeLevel => BASE,
            Proof::BaseDensity | Proof::BaseLevel | Proof::BaseDepth => CONCRETE,
            _ => continue,
        };
        let laid: Vec<&Done> = done.iter().filter(|d| d.rank == over).collect();
        let along = Along::of(laid.iter().enumerate().flat_map(|(i, d)| d.spans.iter().map(move |s| (*s, i))));
        for piece in &covered.pieces {
            let Some(&first) = piece.tests.iter().find(|&&c| works.checks[c].finds.proves()) else { continue };
            let check = &works.checks[first];
            let near: BTreeSet<usize> = check.places.iter().flat_map(|p| along.touching(p)).collect();
            let on = near.into_iter().map(|i| laid[i]).filter(|d| !shared(&d.spans, &piece.places).is_empty());
            let Some(under) = on.filter(|d| d.date < check.date).min_by_key(|d| d.date) else { continue };
            let message = format!(
                "{} of {}: the first test that proves it is of {}, and {} on {}",
                covered.proof.words(),
                piece.name,
                check.date,
                under.what,
                under.date
            );
            let remedy =
                "correct the day of one of them; ground that was covered before its test is the engineer's decision";
            findings.push(Finding::new(Code::CoveredUntested, row(check.at), message, remedy).with([row(under.at)]));
        }
    }
    findings
}

/// Steps that a section has from end to end or not at all; sealing and opening follow piece by piece.
const STEADY: [Step; 8] =
    [Step::Reclaim, Step::Compact, Step::Trim, Step::Base, Step::Baskets, Step::Texture, Step::Cure, Step::Saw];

/// The same of a step that no rule asks for: where it is on record for other pavement of the section.
fn broken_off(site: &Site<'_>, done: &[Done], step: Step) -> Vec<Finding> {
    let line = site.inputs.line;
    let along = Along::of(
        done.iter().filter(|d| d.rank == rank(step)).flat_map(|d| &d.spans).enumerate().map(|(i, span)| (*span, i)),
    );
    let begun: BTreeSet<usize> = line
        .stretches
        .iter()
        .filter(|s| !along.touching(&(s.lane, s.from, s.to)).is_empty())
        .map(|s| s.section)
        .collect();
    let all = lacking(site, done, step, "it is on record for other pavement of the section");
    let in_begun = |f: &Finding| {
        let names = begun.iter().map(|&s| format!("{}, {}", site.inputs.contract.sections[s].name, step.done()));
        names.into_iter().any(|name| f.place == Place::Named(name))
    };
    all.into_iter().filter(in_begun).collect()
}

/// Placed pavement for which a step is not on record, section by section.
fn lacking(site: &Site<'_>, done: &[Done], step: Step, clause: &str) -> Vec<Finding> {
    let line = site.inputs.line;
    let of_step: Vec<&Done> = done.iter().filter(|d| d.rank == rank(step)).collect();
    let mut by_section: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for gap in gaps(site, &of_step) {
        let section = line.stretches[gap.stretch].section;
        by_section.entry(section).or_default().push(place(site, &[(gap.lane, gap.from, gap.to)]));
    }
    let finding = |(section, each): (usize, Vec<String>)| {
        let more = each.len().checked_sub(5).filter(|n| *n > 0).map_or(String::new(), |n| format!("; and {n} more"));
        let shown: Vec<&str> = each.iter().take(5).map(String::as_str).collect();
        let name = format!("{}, {}", site.inputs.contract.sections[section].name, step.done());
        let message = format!("nothing on record says '{}' ({clause}) at {}{more}", step.done(), shown.join("; "));
        Finding::new(
            Code::StepMissing,
            Place::Named(name),
            message,
            "add the sheet that says when it was done, or have it looked at",
        )
    };
    by_section.into_iter().map(finding).collect()
}

/// A placed piece without a step.
struct Gap {
    stretch: usize,
    lane: LaneId,
    from: Decimal,
    to: Decimal,
}

/// Placed pavement that none of the steps covers, by lane and station.
fn gaps(site: &Site<'_>, of_step: &[&Done]) -> Vec<Gap> {
    let mut by_lane: BTreeMap<LaneId, Vec<(Decimal, Decimal)>> = BTreeMap::new();
    for span in of_step.iter().flat_map(|d| &d.spans) {
        by_lane.entry(span.0).or_default().push((span.1.along, span.2.along));
    }
    for own in by_lane.values_mut() {
        own.sort_unstable();
    }
    let mut gaps: Vec<Gap> = Vec::new();
    for (s, stretch) in site.inputs.line.stretches.iter().enumerate() {
        let (from, to) = (stretch.from.along, stretch.to.along);
        let mut reached = from;
        for &(a, b) in by_lane.get(&stretch.lane).into_iter().flatten().filter(|c| c.1 > from && c.0 < to) {
            if a > reached {
                add(&mut gaps, s, stretch.lane, (reached, a));
            }
            reached = reached.max(b);
        }
        if reached < to {
            add(&mut gaps, s, stretch.lane, (reached, to));
        }
    }
    gaps
}

/// One more gap, joined to the last where it goes on from there.
fn add(gaps: &mut Vec<Gap>, stretch: usize, lane: LaneId, (from, to): (Decimal, Decimal)) {
    match gaps.last_mut() {
        Some(last) if last.lane == lane && last.to == from => last.to = to,
        _ => gaps.push(Gap { stretch, lane, from, to }),
    }
}

/// Stretches on which fewer baskets were set than they have joints at the planned distance.
fn baskets(site: &Site<'_>) -> Vec<Finding> {
    let Some(rule) = &site.rule.joints else { return Vec::new() };
    let works = site.inputs.records.works.iter().filter(|w| w.step == Step::Baskets);
    works
        .filter_map(|work| {
            let set = work.count.as_ref()?;
            let length = (work.from.value.along - work.to.value.along).abs();
            let joints = (length / rule.spacing.value).floor() * Decimal::from(work.lanes.value.len().to_u32()?);
            (set.value < joints).then(|| {
                let message = format!(
                    "{}: {} baskets on record, and at {} apart it has {joints} joints ({})",
                    site.stretch(work),
                    plain(set.value),
                    rule.spacing.written,
                    rule.spacing.clause
                );
                Finding::new(
                    Code::BasketsShort,
                    row(set.at),
                    message,
                    "correct the count or the stations, or look for joints without a basket",
                )
            })
        })
        .collect()
}

/// Sections whose planned joints are farther apart than their thickness allows.
fn joints(site: &Site<'_>) -> Vec<Finding> {
    let Some((rule, most)) = site.rule.joints.as_ref().and_then(|j| Some((j, j.most_thicknesses.as_ref()?))) else {
        return Vec::new();
    };
    let system = site.inputs.contract.system;
    let sections = site.inputs.contract.sections.iter();
    sections
        .filter_map(|section| {
            let spacing = between(rule.spacing.value, rule.spacing.unit, system.depth())?;
            let allowed = section.thickness.value.checked_mul(most.value)?;
            (spacing > allowed).then(|| {
                let message = format!(
                    "{}: joints {} apart, and {} times its thickness of {} is {} {} ({})",
                    section.name,
                    rule.spacing.written,
                    plain(most.value),
                    section.thickness.written,
                    plain(allowed),
                    system.depth(),
                    most.clause
                );
                let place = Place::Named(section.name.clone());
                Finding::new(
                    Code::JointSpacing,
                    place,
                    message,
                    "look at the jointing plan; long slabs crack between the joints",
                )
            })
        })
        .collect()
}

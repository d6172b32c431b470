//! Required tests against those done, piece by piece of the pavement that is placed.
//!
//! Each requirement cuts the pavement into pieces as lots are cut. A piece of which anything is placed needs so many tests that
//! prove something; one that failed without a retest makes it fail. Strength is due at the specified age; everything else on the
//! day of placing. Bars are required where the contract keeps an account of them or any record of them lies.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Works;
use super::check::{Check, Finds};
use super::site::{Site, Span};
use crate::contract::Need;
use crate::finding::{Code, Finding, Place};
use crate::intake::{LaneId, Step};
use crate::line::{LotSpan, lots, within};
use crate::rules::{Proof, Required};
use crate::units::{Station, Unit};

/// A requirement and its pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Covered {
    /// What is to be proved.
    pub proof: Proof,
    /// Tests that each piece needs.
    pub tests: Decimal,
    /// Where that is written.
    pub clause: String,
    /// Its pieces of placed pavement, in order of sections, lanes and stations.
    pub pieces: Vec<Piece>,
}

/// How a piece stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stands {
    /// As many tests as it needs, and none failed.
    Proved,
    /// Not due yet.
    NotDue,
    /// Tests are missing.
    Missing,
    /// A test failed and no retest passed, or waits for somebody to look.
    Failed,
}

impl Stands {
    /// The word a page prints.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Stands::Proved => "proved",
            Stands::NotDue => "not due yet",
            Stands::Missing => "proof missing",
            Stands::Failed => "failed",
        }
    }
}

/// A piece of placed pavement.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// `NB mainline lot 7`.
    pub name: String,
    /// `nb-mainline.lot-7`; for figure keys.
    pub key: String,
    /// Section.
    pub section: usize,
    /// Its placed stretches, each lane by itself.
    pub places: Vec<Span>,
    /// First day on which anything of it was placed.
    pub placed: NaiveDate,
    /// Day from which the proof is due.
    pub since: NaiveDate,
    /// Tests on it, by place in [`Works::checks`].
    pub tests: Vec<usize>,
    /// How many of them prove something.
    pub done: usize,
    /// Day on which it had as many as it needs.
    pub proved: Option<NaiveDate>,
    /// How it stands.
    pub stands: Stands,
}

/// Holds every requirement against the tests.
pub(super) fn hold(site: &Site<'_>, works: &mut Works, findings: &mut Vec<Finding>) {
    works.covered = site.rule.required.iter().map(|r| covered(site, &works.checks, r)).collect();
    findings.extend(works.covered.iter().flat_map(|c| missing(site, c)));
}

fn covered(site: &Site<'_>, checks: &[Check], required: &Required) -> Covered {
    let inputs = &site.inputs;
    let asked = sections(site, checks, required.proof);
    let spans = lots(inputs.contract, inputs.records, inputs.line, &required.lot);
    let mut pieces: Vec<Piece> =
        spans.iter().filter(|l| asked.contains(&l.section)).filter_map(|l| piece(site, required, l)).collect();
    let mut by_lane: BTreeMap<LaneId, Vec<(Decimal, Decimal, usize)>> = BTreeMap::new();
    for (p, piece) in pieces.iter().enumerate() {
        for &(lane, from, to) in &piece.places {
            by_lane.entry(lane).or_default().push((from.along, to.along, p));
        }
    }
    for own in by_lane.values_mut() {
        own.sort_unstable();
    }
    let of_proof = checks.iter().enumerate().filter(|(_, c)| c.proof == required.proof);
    for (c, check) in of_proof {
        let mut on: BTreeSet<usize> = BTreeSet::new();
        for span in &check.places {
            on.extend(pieces_under(by_lane.get(&span.0).map_or(&[], Vec::as_slice), span));
        }
        for p in on {
            pieces[p].tests.push(c);
        }
    }
    let needed = required.tests.value.to_usize().unwrap_or(1);
    for piece in &mut pieces {
        settle(site, checks, needed, piece);
    }
    Covered { proof: required.proof, tests: required.tests.value, clause: required.tests.clause.clone(), pieces }
}

/// Pieces that a span touches; a point on a joint of two belongs to the one ahead, at the far end to the one behind.
fn pieces_under(own: &[(Decimal, Decimal, usize)], span: &Span) -> Vec<usize> {
    let (from, to) = (span.1.along, span.2.along);
    let first = own.partition_point(|o| o.1 < from);
    let touched = own[first..].iter().take_while(|o| o.0 <= to);
    if from < to {
        return touched.filter(|o| o.0 < to && from < o.1).map(|o| o.2).collect();
    }
    let at: Vec<&(Decimal, Decimal, usize)> = touched.collect();
    let ahead = at.iter().find(|o| from < o.1).or(at.last());
    ahead.map(|o| o.2).into_iter().collect()
}

/// The sections in which something has to be proved.
fn sections(site: &Site<'_>, checks: &[Check], proof: Proof) -> BTreeSet<usize> {
    let contract = site.inputs.contract;
    let all = 0..contract.sections.len();
    let with_records = |step: Step, s: usize| {
        let section = &contract.sections[s];
        let inside = |lane: &LaneId, a: Station, b: Station| {
            section.lanes.contains(lane) && a.along < section.to.along && section.from.along < b.along
        };
        let works = site.inputs.records.works.iter().filter(|w| w.step == step);
        works.into_iter().any(|w| {
            let (a, b) = (w.from.value.min(w.to.value), w.from.value.max(w.to.value));
            w.lanes.value.iter().any(|l| inside(l, a, b))
        }) || checks.iter().filter(|c| c.proof == proof).any(|c| c.places.iter().any(|p| inside(&p.0, p.1, p.2)))
    };
    let account = |of: fn(&Need) -> bool| -> BTreeSet<usize> {
        contract
            .materials
            .iter()
            .filter(|m| m.unit == Unit::Each && of(&m.need))
            .flat_map(|m| m.sections.clone())
            .collect()
    };
    match proof {
        Proof::Dowels => {
            let kept = account(|n| matches!(n, Need::TransverseJoints { .. }));
            all.filter(|&s| kept.contains(&s) || with_records(Step::Baskets, s)).collect()
        }
        Proof::Ties => {
            let kept = account(|n| matches!(n, Need::LongitudinalJoints { .. }));
            all.filter(|&s| kept.contains(&s) || with_records(Step::Ties, s)).collect()
        }
        Proof::Strength => all.filter(|&s| contract.sections[s].strength.is_some()).collect(),
        _ => all.collect(),
    }
}

/// What is placed of a lot; `None` where nothing is.
fn piece(site: &Site<'_>, required: &Required, lot: &LotSpan) -> Option<Piece> {
    let line = site.inputs.line;
    let mut places: Vec<Span> = Vec::new();
    let (mut placed, mut last): (Option<NaiveDate>, Option<NaiveDate>) = (None, None);
    for &(lane, from, to) in &lot.places {
        for clip in within(line, lane, from, to) {
            let date = line.stretches[clip.stretch].date;
            placed = Some(placed.map_or(date, |d| d.min(date)));
            last = last.max(Some(date));
            crate::line::add_place(&mut places, (lane, clip.from, clip.to));
        }
    }
    let (placed, last) = (placed?, last?);
    Some(Piece {
        name: lot.name.clone(),
        key: lot.key.clone(),
        section: lot.section,
        places,
        placed,
        since: since(site, required.proof, lot.section, (placed, last)),
        tests: Vec::new(),
        done: 0,
        proved: None,
        stands: Stands::Missing,
    })
}

/// From when a proof is due: what is under the slab and in it at once, what needs age at its age.
fn since(site: &Site<'_>, proof: Proof, section: usize, (placed, last): (NaiveDate, NaiveDate)) -> NaiveDate {
    let age = site.inputs.contract.sections[section].strength.as_ref().and_then(|(_, age)| age.value.ceil().to_u64());
    match proof {
        Proof::Strength => age.and_then(|days| placed.checked_add_days(Days::new(days))).unwrap_or(placed),
        Proof::SawDepth => placed.succ_opt().unwrap_or(placed),
        Proof::Thickness | Proof::Smoothness => last,
        _ => placed,
    }
}

fn settle(site: &Site<'_>, checks: &[Check], needed: usize, piece: &mut Piece) {
    piece.tests.sort_by_key(|&c| (checks[c].date, checks[c].at));
    let proving: Vec<NaiveDate> =
        piece.tests.iter().map(|&c| &checks[c]).filter(|c| c.finds.proves()).map(|c| c.date).collect();
    let bad = piece.tests.iter().any(|&c| matches!(checks[c].finds, Finds::Failed | Finds::Open));
    piece.done = proving.len();
    piece.proved = needed.checked_sub(1).and_then(|n| proving.get(n)).copied().filter(|_| !bad);
    piece.stands = match (bad, piece.proved) {
        (true, _) => Stands::Failed,
        (false, Some(_)) => Stands::Proved,
        (false, None) if piece.since > site.inputs.through => Stands::NotDue,
        (false, None) => Stands::Missing,
    };
}

/// One finding for each section that lacks tests.
fn missing(site: &Site<'_>, covered: &Covered) -> Vec<Finding> {
    let mut by: BTreeMap<usize, Vec<&Piece>> = BTreeMap::new();
    for piece in covered.pieces.iter().filter(|p| p.stands == Stands::Missing) {
        by.entry(piece.section).or_default().push(piece);
    }
    let finding = |(section, own): (usize, Vec<&Piece>)| {
        let all = covered.pieces.iter().filter(|p| p.section == section).count();
        let each: Vec<String> =
            own.iter().take(5).map(|p| format!("{} (due since {})", site.place(&p.places), p.since)).collect();
        let more = own.len().checked_sub(5).filter(|n| *n > 0).map_or(String::new(), |n| format!("; and {n} more"));
        let message = format!(
            "{} of {all} placed pieces lack proof, {} asked of each ({}): {}{more}",
            own.len(),
            if covered.tests == Decimal::ONE {
                "1 test".to_string()
            } else {
                format!("{} tests", covered.tests.normalize())
            },
            covered.clause,
            each.join("; "),
        );
        let name = format!("{}, {}", site.inputs.contract.sections[section].name, covered.proof.words());
        let remedy = "add the sheets that hold the tests, or test; the page As built lists every piece";
        Finding::new(Code::ProofMissing, Place::Named(name), message, remedy)
    };
    by.into_iter().map(finding).collect()
}

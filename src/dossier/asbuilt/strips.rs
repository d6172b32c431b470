//! The drawing: for each lane a strip of bands, one for each step, grade lowest as on the ground, with tests, cores, loggers and
//! photographs as marks. A mark bears its number and result only where it is not good: the page lists the others.

use super::super::placed::ticks;
use super::super::{Finished, LaneBand, Mark, MarkShape, Piece, State, Strip};
use crate::intake::LaneId;
use crate::line::slug;
use crate::rules::Proof;
use crate::works::{Band, BandState, Check, Finds, LaneBands};

/// One strip for each lane of a section.
pub(super) fn strips(finished: Finished<'_>) -> Vec<Strip> {
    finished.works.bands.iter().filter_map(|bands| strip(finished, bands)).collect()
}

fn strip(finished: Finished<'_>, bands: &LaneBands) -> Option<Strip> {
    let contract = finished.contract;
    let name = &contract.lane(bands.lane).name;
    let pieces = || bands.bands.iter().flat_map(|(_, pieces)| pieces);
    let from = pieces().map(|p| p.0).min()?;
    let to = pieces().map(|p| p.1).max()?;
    Some(Strip {
        id: format!("as-built-{}", slug(name)),
        group: name.clone(),
        steps: true,
        title: format!("Lane {name} as built, as of {}", finished.through),
        from,
        to,
        ticks: ticks(contract.alignment(bands.lane), from, to),
        lanes: bands.bands.iter().rev().map(|(band, pieces)| lane_band(finished, bands.lane, *band, pieces)).collect(),
    })
}

fn lane_band(finished: Finished<'_>, lane: LaneId, band: Band, pieces: &crate::works::Pieces) -> LaneBand {
    let piece = |&(from, to, state): &(_, _, BandState)| Piece { from, to, state: drawn(state) };
    LaneBand {
        name: band.word().into(),
        pieces: pieces.iter().map(piece).collect(),
        marks: marks(finished, lane, band),
    }
}

fn drawn(state: BandState) -> State {
    match state {
        BandState::Proved => State::Proved,
        BandState::Unproved => State::Unproved,
        BandState::Failed => State::Failed,
        BandState::Missing => State::Missing,
        BandState::NotPlaced => State::NotPlaced,
        BandState::MayOpen => State::MayOpen,
        BandState::NotYet => State::NotYet,
    }
}

fn marks(finished: Finished<'_>, lane: LaneId, band: Band) -> Vec<Mark> {
    let checks = finished.works.checks.iter().filter(|c| band.proofs().contains(&c.proof));
    let mut marks: Vec<Mark> = checks.filter_map(|c| mark(lane, c)).collect();
    for mark in marks.iter_mut().filter(|m| m.deficient && m.shape == MarkShape::Core) {
        mark.text = length(finished, &mark.number);
    }
    match band {
        Band::Strength => marks.extend(loggers(finished, lane)),
        Band::Concrete => marks.extend(photos(finished, lane)),
        _ => {}
    }
    marks.sort_by_key(|m| m.along);
    marks
}

/// The length of a core, as printed beside its mark.
fn length(finished: Finished<'_>, number: &str) -> String {
    let cores = &finished.intake.records.cores;
    let judged = finished.judged.cores.iter().find(|c| *cores[c.core].number.value == *number);
    judged.map_or_else(String::new, |c| {
        format!("{} {}", finished.book[c.length].text(), finished.contract.system.depth())
    })
}

/// A test at a point; levels are many, so only those that fail are marked.
fn mark(lane: LaneId, check: &Check) -> Option<Mark> {
    let bad = matches!(check.finds, Finds::Failed | Finds::Open);
    let level = matches!(check.proof, Proof::SubgradeLevel | Proof::BaseLevel);
    let point = check.places.iter().find(|p| p.0 == lane && p.1.along == p.2.along)?;
    (bad || !level).then(|| Mark {
        number: if bad { check.number.clone() } else { String::new() },
        along: point.1.along,
        text: if bad { check.text.clone() } else { String::new() },
        deficient: bad,
        shape: if check.proof == Proof::Thickness { MarkShape::Core } else { MarkShape::Test },
    })
}

/// Loggers whose station is on record.
fn loggers(finished: Finished<'_>, lane: LaneId) -> Vec<Mark> {
    let logged = &finished.intake.records.logged;
    let one = |l: &crate::works::Logger| {
        let own = &logged[l.readings.0..l.readings.1];
        let at = own.iter().find(|r| r.station.is_some() && r.lane.as_ref().is_some_and(|of| of.value == lane))?;
        Some(Mark {
            number: l.sensor.clone(),
            along: at.station.as_ref()?.value.along,
            text: String::new(),
            deficient: false,
            shape: MarkShape::Logger,
        })
    };
    finished.works.loggers.iter().filter_map(one).collect()
}

/// Photographs and papers of one station of the lane.
fn photos(finished: Finished<'_>, lane: LaneId) -> Vec<Mark> {
    let documents = finished.intake.records.documents.iter();
    let here = documents.filter(|d| d.lanes.as_ref().is_some_and(|l| l.value.contains(&lane)));
    here.filter_map(|d| {
        let (a, b) = d.between.as_ref()?;
        (a.value.along == b.value.along).then(|| Mark {
            number: String::new(),
            along: a.value.along,
            text: String::new(),
            deficient: false,
            shape: MarkShape::Photo,
        })
    })
    .collect()
}

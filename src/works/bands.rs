//! Bands of a lane for the drawing: for each step from the ground up, what the records show from station to station.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::Works;
use super::check::Finds;
use super::coverage::Stands;
use super::site::{Site, Span};
use crate::accept::Verdict;
use crate::intake::{LaneId, Step};
use crate::rules::{Proof, Property};

/// A band of the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Band {
    /// Reclaimed, compacted, trimmed; density and levels of the subgrade.
    Grade,
    /// Base; its density, levels, depth.
    Base,
    /// Baskets and bars.
    Bars,
    /// Concrete; its thickness, air, temperature.
    Concrete,
    /// Strength.
    Strength,
    /// Curing.
    Curing,
    /// Sawing.
    Sawing,
    /// Sealing.
    Sealing,
    /// Opening.
    Opening,
}

impl Band {
    /// All of them, from the ground up.
    pub const ALL: [Self; 9] = [
        Band::Grade,
        Band::Base,
        Band::Bars,
        Band::Concrete,
        Band::Strength,
        Band::Curing,
        Band::Sawing,
        Band::Sealing,
        Band::Opening,
    ];

    /// Its name beside the drawing.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Band::Grade => "grade",
            Band::Base => "base",
            Band::Bars => "baskets, bars",
            Band::Concrete => "concrete",
            Band::Strength => "strength",
            Band::Curing => "curing",
            Band::Sawing => "sawing",
            Band::Sealing => "sealing",
            Band::Opening => "opening",
        }
    }

    /// Steps that it shows.
    fn steps(self) -> &'static [Step] {
        match self {
            Band::Grade => &[Step::Reclaim, Step::Compact, Step::Trim],
            Band::Base => &[Step::Base],
            Band::Bars => &[Step::Baskets, Step::Ties],
            Band::Concrete | Band::Strength => &[],
            Band::Curing => &[Step::Cure],
            Band::Sawing => &[Step::Saw],
            Band::Sealing => &[Step::Seal],
            Band::Opening => &[Step::Open],
        }
    }

    /// What proves it.
    #[must_use]
    pub fn proofs(self) -> &'static [Proof] {
        match self {
            Band::Grade => &[Proof::SubgradeDensity, Proof::SubgradeLevel],
            Band::Base => &[Proof::BaseDensity, Proof::BaseLevel, Proof::BaseDepth],
            Band::Bars => &[Proof::Dowels, Proof::Ties],
            Band::Concrete => &[Proof::Thickness, Proof::Air, Proof::Temperature, Proof::Smoothness],
            Band::Strength => &[Proof::Strength],
            Band::Sawing => &[Proof::SawDepth],
            Band::Curing | Band::Sealing | Band::Opening => &[],
        }
    }
}

/// What the records show of a piece of a band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BandState {
    /// Done, and nothing asked of it is missing.
    Proved,
    /// Done, and proof is missing.
    Unproved,
    /// A test failed.
    Failed,
    /// The concrete lies there, and the step is not on record.
    Missing,
    /// Nothing is there yet.
    NotPlaced,
    /// May be opened by the records, or was.
    MayOpen,
    /// May not be opened yet.
    NotYet,
}

/// A band's pieces along the line: from, to, state.
pub type Pieces = Vec<(Decimal, Decimal, BandState)>;

/// The bands of a lane.
#[derive(Clone, Debug, PartialEq)]
pub struct LaneBands {
    /// Lane.
    pub lane: LaneId,
    /// Each band with its pieces.
    pub bands: Vec<(Band, Pieces)>,
}

/// Draws the bands of every lane that has a section.
pub(super) fn draw(site: &Site<'_>, works: &mut Works) {
    let contract = site.inputs.contract;
    let shown: Vec<Band> = Band::ALL.into_iter().filter(|&b| is_shown(site, works, b)).collect();
    let lanes = (0..contract.lanes.len()).filter_map(|l| u16::try_from(l).ok()).map(LaneId);
    works.bands = lanes
        .filter(|lane| contract.sections.iter().any(|s| s.lanes.contains(lane)))
        .map(|lane| {
            let bands = shown.iter().map(|&b| (b, pieces(site, works, lane, b)));
            let empty = |p: &Pieces| p.iter().all(|piece| piece.2 == BandState::NotPlaced);
            LaneBands { lane, bands: bands.filter(|(b, p)| !(*b == Band::Bars && empty(p))).collect() }
        })
        .collect();
}

/// Bands of which nothing is asked and nothing on record are left out.
fn is_shown(site: &Site<'_>, works: &Works, band: Band) -> bool {
    match band {
        Band::Concrete => true,
        Band::Strength => works.checks.iter().any(|c| c.proof == Proof::Strength) || asked(works, band),
        Band::Opening => site.rule.opening.is_some() || on_record(site, band),
        _ => on_record(site, band) || asked(works, band) || band.steps().iter().any(|s| site.is_required(*s)),
    }
}

fn on_record(site: &Site<'_>, band: Band) -> bool {
    site.inputs.records.works.iter().any(|w| band.steps().contains(&w.step))
}

fn asked(works: &Works, band: Band) -> bool {
    works.covered.iter().any(|c| band.proofs().contains(&c.proof))
}

/// The band cut wherever its state can change.
fn pieces(site: &Site<'_>, works: &Works, lane: LaneId, band: Band) -> Pieces {
    let contract = site.inputs.contract;
    let facts = Facts::of(site, works, lane, band);
    let sections: Vec<(Decimal, Decimal)> =
        contract.sections.iter().filter(|s| s.lanes.contains(&lane)).map(|s| (s.from.along, s.to.along)).collect();
    let mut cuts: BTreeSet<Decimal> = sections.iter().flat_map(|s| [s.0, s.1]).collect();
    facts.all().for_each(|(from, to)| cuts.extend([from, to]));
    let cuts: Vec<Decimal> = cuts.into_iter().collect();
    let mut pieces: Pieces = Vec::new();
    for pair in cuts.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        if !sections.iter().any(|s| s.0 <= from && to <= s.1) {
            continue;
        }
        let state = facts.state(site, band, (from, to));
        match pieces.last_mut() {
            Some(last) if last.2 == state && last.1 == from => last.1 = to,
            _ => pieces.push((from, to, state)),
        }
    }
    pieces
}

/// A run of the line.
type Run = (Decimal, Decimal);

/// Where what holds in a lane, for one band.
#[derive(Default)]
struct Facts {
    placed: Vec<Run>,
    done: Vec<Run>,
    failed: Vec<Run>,
    missing: Vec<Run>,
    may: Vec<Run>,
}

fn runs(lane: LaneId, spans: impl IntoIterator<Item = Span>) -> Vec<Run> {
    let own = spans.into_iter().filter(|s| s.0 == lane && s.1.along < s.2.along).map(|s| (s.1.along, s.2.along));
    merged(own.collect())
}

/// Runs in order, those that touch or overlap made one.
fn merged(mut runs: Vec<Run>) -> Vec<Run> {
    runs.sort_unstable();
    let mut out: Vec<Run> = Vec::with_capacity(runs.len());
    for (from, to) in runs {
        match out.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out
}

impl Facts {
    fn of(site: &Site<'_>, works: &Works, lane: LaneId, band: Band) -> Self {
        let line = site.inputs.line;
        let placed: Vec<Span> = line.stretches.iter().map(|s| (s.lane, s.from, s.to)).collect();
        let records = site.inputs.records.works.iter().filter(|w| band.steps().contains(&w.step));
        let pieces = |stands: Stands| {
            let of = works.covered.iter().filter(|c| band.proofs().contains(&c.proof)).flat_map(|c| &c.pieces);
            of.filter(move |p| p.stands == stands).flat_map(|p| p.places.clone())
        };
        let mut facts = Self {
            placed: runs(lane, placed),
            done: runs(lane, records.flat_map(|w| site.spans(w))),
            failed: runs(lane, pieces(Stands::Failed)),
            missing: runs(lane, pieces(Stands::Missing)),
            may: Vec::new(),
        };
        facts.failed.extend(runs(lane, failed_ground(site, works, band)));
        facts.failed = merged(facts.failed);
        if band == Band::Opening {
            let open = works.openings.iter().filter(|o| o.may.is_some_and(|day| day <= site.inputs.through));
            facts.may = runs(lane, open.flat_map(|o| super::check::ground_of(site, o.placement)));
        }
        facts
    }

    fn all(&self) -> impl Iterator<Item = Run> + '_ {
        [&self.placed, &self.done, &self.failed, &self.missing, &self.may].into_iter().flatten().copied()
    }

    fn state(&self, site: &Site<'_>, band: Band, (from, to): Run) -> BandState {
        let within = |runs: &[Run]| {
            let at = runs.partition_point(|r| r.1 < to);
            runs.get(at).is_some_and(|r| r.0 <= from)
        };
        let placed = within(&self.placed);
        if band == Band::Opening {
            return match (placed, within(&self.may)) {
                (false, _) => BandState::NotPlaced,
                (true, true) => BandState::MayOpen,
                (true, false) => BandState::NotYet,
            };
        }
        let done = match band {
            Band::Concrete | Band::Strength => placed,
            _ => within(&self.done),
        };
        if within(&self.failed) {
            BandState::Failed
        } else if within(&self.missing) {
            if done || band.steps().is_empty() { BandState::Unproved } else { BandState::Missing }
        } else if done {
            BandState::Proved
        } else if placed && !(optional(site, band) && (band == Band::Sealing || self.done.is_empty())) {
            BandState::Missing
        } else {
            BandState::NotPlaced
        }
    }
}

/// Sealing follows later, and bars are not in every lane: where a lane has none on record and none are required, nothing is missing.
fn optional(site: &Site<'_>, band: Band) -> bool {
    matches!(band, Band::Sealing | Band::Bars) && !band.steps().iter().any(|s| site.is_required(*s))
}

/// Ground that failed by its own record, whether or not a test of it is required: late, thin, deficient.
fn failed_ground(site: &Site<'_>, works: &Works, band: Band) -> Vec<Span> {
    let records = &site.inputs.records.works;
    let bad = |finds: &(Finds, Finds)| finds.0 == Finds::Failed || finds.1 == Finds::Failed;
    match band {
        Band::Curing => {
            works.curing.iter().filter(|c| bad(&c.finds)).flat_map(|c| site.spans(&records[c.work])).collect()
        }
        Band::Sawing => {
            works.sawing.iter().filter(|c| bad(&c.finds)).flat_map(|c| site.spans(&records[c.work])).collect()
        }
        Band::Base => works
            .depths
            .iter()
            .filter(|d| d.finds == Finds::Failed)
            .flat_map(|d| site.spans(&records[d.work]))
            .collect(),
        Band::Concrete | Band::Strength => {
            let property = if band == Band::Concrete { Property::Thickness } else { Property::Strength };
            let outcomes =
                site.inputs.judged.outcomes.iter().filter(move |o| {
                    o.property == property && matches!(o.verdict, Verdict::Adjusted | Verdict::Undecided)
                });
            outcomes.flat_map(|o| o.places.clone()).collect()
        }
        _ => Vec::new(),
    }
}

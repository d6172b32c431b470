//! A test on the ground, whatever it tested: what coverage counts and the drawing marks.

use chrono::NaiveDate;

use super::Works;
use super::site::{Site, Span};
use crate::intake::{Fresh, each_ticket};
use crate::line::stretch_at;
use crate::rules::Proof;
use crate::source::CellRef;

/// What a test found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Finds {
    /// Within its limits.
    Passed,
    /// Outside them.
    Failed,
    /// Outside them, and a later test of the same place passed.
    Settled,
    /// It turns on the last digit, or cannot be true: it proves nothing until somebody looks.
    Open,
    /// No rule judges it.
    NotJudged,
}

impl Finds {
    /// The word a page prints.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Finds::Passed => "passes",
            Finds::Failed => "fails",
            Finds::Settled => "failed, retest passes",
            Finds::Open => "to be looked at",
            Finds::NotJudged => "not judged",
        }
    }

    /// Passed where all hold.
    pub(super) fn of(holds: bool) -> Self {
        if holds { Finds::Passed } else { Finds::Failed }
    }

    /// Whether it proves anything.
    #[must_use]
    pub fn proves(self) -> bool {
        matches!(self, Finds::Passed | Finds::NotJudged)
    }
}

/// A test on the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// What it proves.
    pub proof: Proof,
    /// Its number.
    pub number: String,
    /// Its row.
    pub at: CellRef,
    /// Day.
    pub date: NaiveDate,
    /// Where, each lane by itself; a point where both ends are one.
    pub places: Vec<Span>,
    /// What it found.
    pub finds: Finds,
    /// Its result as printed beside a mark; empty where it does not matter.
    pub text: String,
}

/// Tests that other stages judge: cores, strength, fresh concrete, smoothness. Here they count as done, and as failed where
/// their own stage says so of the test itself.
pub(super) fn of_other_records(site: &Site<'_>, works: &mut Works) {
    cores(site, works);
    strengths(site, works);
    fresh(site, works);
    rides(site, works);
}

fn cores(site: &Site<'_>, works: &mut Works) {
    for judged in &site.inputs.judged.cores {
        let core = &site.inputs.records.cores[judged.core];
        let counts = core.purpose.is_averaged();
        works.checks.extend(counts.then(|| Check {
            proof: Proof::Thickness,
            number: core.number.value.to_string(),
            at: core.number.at,
            date: core.date.value,
            places: vec![(core.lane.value, core.station.value, core.station.value)],
            finds: if judged.deficient { Finds::Failed } else { Finds::Passed },
            text: String::new(),
        }));
    }
}

/// A strength test at the age at which it counts stands for its placement.
fn strengths(site: &Site<'_>, works: &mut Works) {
    let records = site.inputs.records;
    for test in site.inputs.judged.tests.iter().filter(|t| t.strength.is_some() && t.counts) {
        let (Some(placement), Some(first)) = (test.placement, test.specimens.first()) else { continue };
        let specimens = test.specimens.iter().map(|&s| &records.specimens[s]);
        let broken = specimens.filter_map(|s| s.tested.as_ref()).map(|t| t.value).max();
        works.checks.push(Check {
            proof: Proof::Strength,
            number: test.name.clone(),
            at: records.specimens[*first].number.at,
            date: broken.unwrap_or(test.cast),
            places: ground_of(site, placement),
            finds: Finds::of(test.passes),
            text: String::new(),
        });
    }
}

/// What counts of a placement.
pub(super) fn ground_of(site: &Site<'_>, placement: usize) -> Vec<Span> {
    let line = site.inputs.line;
    line.placements[placement]
        .stretches
        .iter()
        .map(|&s| (line.stretches[s].lane, line.stretches[s].from, line.stretches[s].to))
        .collect()
}

/// A fresh test stands for its placement where one can be told, else for its point.
fn fresh(site: &Site<'_>, works: &mut Works) {
    let records = site.inputs.records;
    for test in &records.fresh {
        let places = places_of_fresh(site, test);
        let result = |proof: Proof, there: bool, outside: bool| {
            there.then(|| Check {
                proof,
                number: test.number.value.to_string(),
                at: test.number.at,
                date: test.date.value,
                places: places.clone(),
                finds: Finds::of(!outside),
                text: String::new(),
            })
        };
        let limits = &site.inputs.contract.fresh;
        let beyond =
            |value: Option<rust_decimal::Decimal>,
             ends: &(Option<crate::contract::Entered>, Option<crate::contract::Entered>)| {
                value.is_some_and(|v| {
                    ends.0.as_ref().is_some_and(|low| v < low.value)
                        || ends.1.as_ref().is_some_and(|high| v > high.value)
                })
            };
        let (air, temperature) = (test.air.as_ref().map(|r| r.value), test.temperature.as_ref().map(|r| r.value));
        works.checks.extend(result(Proof::Air, air.is_some(), beyond(air, &limits.air)));
        works.checks.extend(result(
            Proof::Temperature,
            temperature.is_some(),
            beyond(temperature, &limits.temperature),
        ));
    }
}

fn places_of_fresh(site: &Site<'_>, test: &Fresh) -> Vec<Span> {
    let line = site.inputs.line;
    if let Some(p) = test.placement.as_ref().and_then(|p| site.numbered(&p.value)) {
        return ground_of(site, p);
    }
    if let (Some(lane), Some(station)) = (&test.lane, &test.station)
        && let Some(stretch) = stretch_at(line, lane.value, station.value)
    {
        return ground_of(site, line.stretches[stretch].placement);
    }
    let of_day = |&&load: &&usize| site.inputs.records.loads[load].date.value == test.date.value;
    let of_ticket = |ticket: &str| {
        let load = line.directory.loads_of(ticket).iter().rfind(of_day);
        load.and_then(|&load| line.placement_of_load(load))
    };
    let Some(ticket) = &test.ticket else { return Vec::new() };
    let placements: Vec<Option<usize>> = match of_ticket(&ticket.value) {
        Some(whole) => vec![Some(whole)],
        None => each_ticket(&ticket.value).into_iter().map(of_ticket).collect(),
    };
    match placements.as_slice() {
        [Some(first), others @ ..] if others.iter().all(|o| *o == Some(*first)) => ground_of(site, *first),
        _ => Vec::new(),
    }
}

fn rides(site: &Site<'_>, works: &mut Works) {
    let records = site.inputs.records;
    let check = |number: &str, at, date, place| Check {
        proof: Proof::Smoothness,
        number: number.to_string(),
        at,
        date,
        places: vec![place],
        finds: Finds::NotJudged,
        text: String::new(),
    };
    for run in &records.profiles {
        let (a, b) = (run.from.value, run.to.value);
        let (from, to) = if a.along <= b.along { (a, b) } else { (b, a) };
        works.checks.push(check(&run.number.value, run.number.at, run.date.value, (run.lane.value, from, to)));
    }
    for one in &records.straightedge {
        let place = (one.lane.value, one.station.value, one.station.value);
        works.checks.push(check(&one.number.value, one.number.at, one.date.value, place));
    }
}

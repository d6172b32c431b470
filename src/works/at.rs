//! All that is known at one place of a lane, in order of time: every record that covers it or lies near it, with its cell.

use chrono::{NaiveDate, NaiveTime};
use rust_decimal::Decimal;

use super::site::{Site, Span, touch};
use super::{Inputs, Works};
use crate::figure::Book;
use crate::intake::{LaneId, Step};
use crate::line::folded;
use crate::rules::{ConstructionRule, Proof, Shape};
use crate::source::CellRef;
use crate::units::{Station, plain};

/// One thing that is known.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Known {
    /// Day.
    pub date: NaiveDate,
    /// Its place in the order of the work, for what bears no time.
    pub order: u8,
    /// Time of day, where it is on record.
    pub time: Option<NaiveTime>,
    /// What was done or found.
    pub what: String,
    /// Where its row stands.
    pub at: CellRef,
}

/// Everything known at a point of a lane, and tests within `near` of it along the line, in order of time.
#[must_use]
pub fn known_at(
    inputs: Inputs<'_>,
    works: &Works,
    book: &Book,
    (lane, at): (LaneId, Station),
    near: Decimal,
) -> Vec<Known> {
    let none = ConstructionRule::default();
    let chosen = inputs.rules.iter().find_map(|set| match &set.shape {
        Shape::Construction(rule) => Some((set, rule)),
        _ => None,
    });
    let site = Site::new(inputs, chosen.map(|c| c.0), chosen.map_or(&none, |c| c.1));
    let look = Look { site: &site, works, book, here: (lane, at, at), near };
    let mut known = look.steps();
    known.extend(look.placed());
    known.extend(look.tests());
    known.extend(look.documents());
    known.sort();
    known.dedup();
    known
}

struct Look<'a> {
    site: &'a Site<'a>,
    works: &'a Works,
    book: &'a Book,
    here: Span,
    near: Decimal,
}

impl Look<'_> {
    fn steps(&self) -> Vec<Known> {
        let records = &self.site.inputs.records.works;
        let here = records.iter().filter(|w| self.site.spans(w).iter().any(|s| touch(s, &self.here)));
        let unit = self.site.inputs.contract.system;
        here.map(|w| {
            let depth = w.depth.as_ref().map(|d| format!("{} {} deep", plain(d.value), unit.depth()));
            let rate = w.rate.as_ref().map(|r| format!("{} {}", plain(r.value), unit.coverage()));
            let material = w.material.as_ref().map(|m| m.value.to_string());
            let accepted = w.accepted.as_ref().map(|a| format!("accepted {}", a.value));
            let passed = w.passed.map(|p| if p { "passed".to_string() } else { "did not pass".to_string() });
            let by = w.by.as_ref().map(|b| format!("by {}", b.value));
            let more: Vec<String> = [depth, rate, material, accepted, passed, by].into_iter().flatten().collect();
            let time = w.times.0.as_ref().or(w.times.1.as_ref()).map(|t| t.value);
            let what = join(format!("{}, {}", w.step.done(), self.site.stretch(w)), &more);
            Known { date: w.date.value, order: order_of(w.step), time, what, at: w.number.at }
        })
        .collect()
    }

    /// The placement that counts here, its loads by number, and its strength.
    fn placed(&self) -> Vec<Known> {
        let (records, line) = (self.site.inputs.records, self.site.inputs.line);
        let mut known = Vec::new();
        for p in self.site.placements(&[self.here]) {
            let placement = &records.placements[p];
            let loads = line.placements[p].loads;
            let mix = placement.mix.as_ref().map_or(String::new(), |m| format!(", mix {}", m.value));
            let what = format!(
                "placement {}{mix}, {}, {} loads",
                placement.number.value,
                crate::line::span(self.site.inputs.contract, placement),
                loads.1 - loads.0
            );
            let time = placement.times.0.as_ref().map(|t| t.value);
            known.push(Known { date: placement.date.value, order: PLACED, time, what, at: placement.number.at });
            for early in self.works.early.iter().filter(|e| e.placement == p) {
                let figure = &self.book[early.strength];
                let what = format!("strength test {}: {} {}", early.name, figure.text(), figure.unit);
                let at = early.specimens.first().map_or(placement.number.at, |&s| records.specimens[s].number.at);
                known.push(Known { date: early.broken, order: TESTED, time: None, what, at });
            }
            for logger in self.works.loggers.iter().filter(|l| l.placement == Some(p)) {
                known.extend(self.logger(logger));
            }
        }
        known
    }

    fn logger(&self, logger: &super::Logger) -> Option<Known> {
        let strength = logger.strength.map(|s| &self.book[s])?;
        let reached = if logger.reached { "reached" } else { "has" };
        let what = format!("logger {} {reached} {} {}", logger.sensor, strength.text(), strength.unit);
        let at = self.site.inputs.records.logged.get(logger.readings.0)?.sensor.at;
        Some(Known { date: logger.day(), order: TESTED, time: Some(logger.when.time()), what, at })
    }

    /// Tests that lie near, or whose ground covers the point.
    fn tests(&self) -> Vec<Known> {
        let contract = self.site.inputs.contract;
        let (lane, at, _) = self.here;
        let near = |p: &Span| p.0 == lane && p.1.along - self.near <= at.along && at.along <= p.2.along + self.near;
        let checks = self.works.checks.iter().filter_map(|c| Some((c, c.places.iter().find(|p| near(p))?)));
        checks
            .map(|(check, place)| {
                let text = if check.text.is_empty() { String::new() } else { format!(", {}", check.text) };
                let off = if place.1.along == place.2.along && place.1.along != at.along {
                    format!(" at {}", contract.station(lane, place.1))
                } else {
                    String::new()
                };
                // Depths are read off the row of their step, which has no number of its own.
                let own = matches!(check.proof, Proof::BaseDepth | Proof::SawDepth);
                let number = if own { String::new() } else { format!(" {}", check.number) };
                let what = format!("{}{number}{off}: {}{text}", check.proof.words(), check.finds.word());
                Known { date: check.date, order: order_of_proof(check.proof), time: None, what, at: check.at }
            })
            .collect()
    }

    fn documents(&self) -> Vec<Known> {
        let (lane, at, _) = self.here;
        let documents = self.site.inputs.records.documents.iter();
        documents
            .filter(|d| {
                let lanes = d.lanes.as_ref().is_none_or(|l| l.value.contains(&lane));
                let there = d.between.as_ref().is_some_and(|(a, b)| {
                    let (from, to) = (a.value.along.min(b.value.along), a.value.along.max(b.value.along));
                    from - self.near <= at.along && at.along <= to + self.near
                });
                lanes && there
            })
            .map(|d| {
                let what = d.what.as_ref().map_or("document".to_string(), |w| folded(&w.value));
                let about = d.about.as_ref().map_or(String::new(), |a| format!(": {}", a.value));
                Known {
                    date: d.date.value,
                    order: u8::MAX,
                    time: None,
                    what: format!("{what} {}{about}", d.number.value),
                    at: d.number.at,
                }
            })
            .collect()
    }
}

/// Placing and strength in the order of the work.
const PLACED: u8 = 50;
const TESTED: u8 = 85;

fn order_of(step: Step) -> u8 {
    match step {
        Step::Reclaim => 0,
        Step::Compact => 10,
        Step::Trim => 20,
        Step::Base => 30,
        Step::Baskets => 40,
        Step::Ties => 42,
        Step::Texture => 60,
        Step::Cure => 65,
        Step::Saw => 70,
        Step::Seal => 80,
        Step::Open => 90,
        Step::Close => 95,
    }
}

fn order_of_proof(proof: Proof) -> u8 {
    match proof {
        Proof::SubgradeDensity | Proof::SubgradeLevel => 15,
        Proof::BaseDensity | Proof::BaseLevel | Proof::BaseDepth => 35,
        Proof::Dowels | Proof::Ties => 45,
        Proof::Air | Proof::Temperature => 55,
        Proof::SawDepth => 72,
        Proof::Strength => TESTED,
        Proof::Thickness | Proof::Smoothness => 86,
    }
}

fn join(first: String, more: &[String]) -> String {
    if more.is_empty() { first } else { format!("{first}: {}", more.join(", ")) }
}

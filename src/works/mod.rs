//! Rank 9. The steps below, in and after the slab: was each done, in order, and what proves it?
//!
//! One file per question. Records and a rule for construction in; checks, coverage, bands for the drawing and the opening
//! table out, every number a figure. Money never enters here, nor any literal limit: every number comes from the rule set.
//! Whether pavement may be opened or left in place is the licensed engineer's decision; this says what the records show.

mod at;
mod bands;
mod bars;
mod check;
mod coverage;
mod curve;
mod cut;
mod density;
mod depth;
mod early;
mod level;
mod maturity;
mod opening;
mod order;
mod site;
#[cfg(test)]
mod tests;
mod weather;

pub use at::{Known, known_at};
pub use bands::{Band, BandState, LaneBands, Pieces};
pub use bars::BarJudged;
pub use check::{Check, Finds};
pub use coverage::{Covered, Piece, Stands};
pub use curve::Curve;
pub use cut::{CureJudged, SawJudged};
pub use density::DensityJudged;
pub use depth::DepthJudged;
pub use early::Early;
pub use level::LevelJudged;
pub use maturity::Logger;
pub use opening::{DriveLine, OpeningLine, Strong};
pub use weather::WeatherJudged;

use chrono::NaiveDate;

use self::site::Site;
use crate::accept::Judged;
use crate::contract::Contract;
use crate::figure::Book;
use crate::finding::Finding;
use crate::intake::Records;
use crate::line::Line;
use crate::rules::{ConstructionRule, RuleSet, Shape};

/// Everything that is known of the steps.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Works {
    /// Density tests, in the order of the records.
    pub densities: Vec<DensityJudged>,
    /// Levels with a design, in the order of the records.
    pub levels: Vec<LevelJudged>,
    /// Depths of base and mixed grade.
    pub depths: Vec<DepthJudged>,
    /// Bar positions.
    pub bars: Vec<BarJudged>,
    /// Sawing, for each placement that a saw record reaches.
    pub sawing: Vec<SawJudged>,
    /// Curing, likewise.
    pub curing: Vec<CureJudged>,
    /// Weather.
    pub weather: Vec<WeatherJudged>,
    /// Strength-maturity curves by mix.
    pub curves: Vec<Curve>,
    /// Temperature loggers.
    pub loggers: Vec<Logger>,
    /// Strength tests at any age, by placement.
    pub early: Vec<Early>,
    /// When each placement may be opened by the records.
    pub openings: Vec<OpeningLine>,
    /// The same for driveways.
    pub drives: Vec<DriveLine>,
    /// Every test on the ground.
    pub checks: Vec<Check>,
    /// Required against done, by piece of pavement.
    pub covered: Vec<Covered>,
    /// Bands of each lane, for the drawing.
    pub bands: Vec<LaneBands>,
    /// True where the contract chooses a rule set for construction.
    pub ruled: bool,
}

impl Works {
    /// Whether there is anything to say: a rule, or any record of a step.
    #[must_use]
    pub fn is_any(&self, records: &Records) -> bool {
        self.ruled
            || !(records.works.is_empty()
                && records.densities.is_empty()
                && records.bars.is_empty()
                && records.weather.is_empty()
                && records.logged.is_empty()
                && records.documents.is_empty())
    }
}

/// What the steps are judged on.
#[derive(Clone, Copy)]
pub struct Inputs<'a> {
    /// Contract.
    pub contract: &'a Contract,
    /// Records through the as-of date.
    pub records: &'a Records,
    /// As-built line.
    pub line: &'a Line,
    /// Acceptance.
    pub judged: &'a Judged,
    /// Rule sets in use.
    pub rules: &'a [RuleSet],
    /// As-of date.
    pub through: NaiveDate,
}

/// Holds every step against the rule for construction, and against the steps before it.
pub fn examine(inputs: Inputs<'_>, book: &mut Book) -> (Works, Vec<Finding>) {
    let none = ConstructionRule::default();
    let chosen = inputs.rules.iter().find_map(|set| match &set.shape {
        Shape::Construction(rule) => Some((set, rule)),
        _ => None,
    });
    let site = Site::new(inputs, chosen.map(|c| c.0), chosen.map_or(&none, |c| c.1));
    let (mut works, mut findings) = (Works { ruled: chosen.is_some(), ..Works::default() }, Vec::new());
    check::of_other_records(&site, &mut works);
    if !works.is_any(inputs.records) {
        return (works, findings);
    }
    density::judge(&site, book, &mut works, &mut findings);
    level::judge(&site, book, &mut works, &mut findings);
    depth::judge(&site, book, &mut works, &mut findings);
    bars::judge(&site, book, &mut works, &mut findings);
    cut::judge(&site, book, &mut works, &mut findings);
    weather::judge(&site, book, &mut works, &mut findings);
    curve::fit(&site, book, &mut works, &mut findings);
    maturity::read(&site, book, &mut works, &mut findings);
    early::tests(&site, book, &mut works);
    coverage::hold(&site, &mut works, &mut findings);
    opening::tell(&site, book, &mut works, &mut findings);
    order::hold(&site, &works, &mut findings);
    bands::draw(&site, &mut works);
    (works, findings)
}

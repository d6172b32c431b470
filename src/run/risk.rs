//! Risk: what other results of judged lots would be paid, and the operating curve of a plan.

use super::{Computed, Stop, named};
use crate::accept::{Judged, SampleJudged};
use crate::contract::Contract;
use crate::dossier::Ranged;
use crate::figure::Book;
use crate::finding::{Code, Finding, Place};
use crate::risk::{
    self, Curve, Luck, Observed, Plan, curve, interval, others_as_figures, told_curve, told_interval, told_lots,
};
use crate::rules::{RuleSet, Shape};

/// Share of samples that a range holds.
const WITHIN: f64 = 0.90;

/// Lots drawn for the ranges of a report.
const DRAWS: usize = 4_000;

/// How the numbers are drawn, and what is acceptable and rejectable; `None` for what is usual.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Odds {
    /// Seed; else that of the contract.
    pub seed: Option<String>,
    /// Lots drawn.
    pub draws: Option<usize>,
    /// Acceptable quality, in the measure of the plan.
    pub acceptable: Option<f64>,
    /// Rejectable quality.
    pub rejectable: Option<f64>,
}

/// A plan that need not stand for any lot.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Rule set.
    pub rule: String,
    /// Results in a lot.
    pub n: usize,
    /// Design thickness or specified strength, in the unit of the rule set.
    pub target: f64,
    /// Standard deviation of results.
    pub spread: f64,
}

/// Ranges of pay of every lot with three results or more, as figures.
pub(super) fn ranges(contract: &Contract, rules: &[RuleSet], judged: &Judged, book: &mut Book) -> Vec<Ranged> {
    let mut luck = Luck::new(seed(contract), DRAWS);
    let samples: Vec<(Plan, &SampleJudged, Observed)> =
        judged.samples.iter().filter_map(|sample| planned(contract, rules, sample, book).ok()).collect();
    let mut found = Vec::new();
    for (plan, sample, observed) in samples {
        let lot = (sample.property.word(), sample.outcome.as_str());
        let range = others_as_figures(book, lot, (&plan, observed), WITHIN, &mut luck);
        found.extend(range.map(|range| Ranged { property: sample.property, outcome: sample.outcome.clone(), range }));
    }
    found
}

/// The seed of a contract's draw; without one, its number.
pub(super) fn seed(contract: &Contract) -> String {
    contract.draw.as_ref().map_or_else(|| contract.number.clone(), |draw| draw.seed.clone())
}

/// The plan of a lot and what its results say.
fn planned<'s>(
    contract: &Contract,
    rules: &[RuleSet],
    sample: &'s SampleJudged,
    book: &Book,
) -> Result<(Plan, &'s SampleJudged, Observed), String> {
    let set = rules.iter().find(|set| set.property == sample.property).ok_or("no rule set judges it")?;
    let target = book[sample.target].value.real().ok_or("its target is not computed")?;
    let plan = Plan::of(set, target, contract.system.strength())?;
    let results: Vec<f64> = sample.results.iter().filter_map(|&id| book[id].value.real()).collect();
    let observed = Observed::of(&results).ok_or_else(|| match results.len() {
        0..=2 => format!("{} results say nothing of their spread", results.len()),
        _ => "all its results are alike".to_string(),
    })?;
    Ok((plan, sample, observed))
}

impl Computed {
    /// The ranges of all judged lots, or those of one with its operating curve.
    ///
    /// # Errors
    /// Where no lot, or more than one, has that name, or nothing can be said of it.
    pub fn risk(&self, lot: Option<&str>, odds: &Odds) -> Result<String, Stop> {
        let mut luck = luck(odds, seed(&self.contract));
        let Some(wanted) = lot else { return Ok(self.all_lots(&mut luck)) };
        let names: Vec<&str> = self.judged.samples.iter().map(|s| s.outcome.as_str()).collect();
        let sample = &self.judged.samples[named::lot(wanted, &names, "no lot has results that entered a pay table")?];
        let (plan, _, observed) =
            planned(&self.contract, &self.rules, sample, &self.book).map_err(|why| nothing(wanted, &why))?;
        let lot = self.told(sample, plan, observed, &mut luck);
        let qualities = (odds.acceptable, odds.rejectable);
        let found = curve(&lot.plan, observed.n, observed.spread, qualities, &mut luck);
        let curve: Curve = found.map_err(|why| nothing(wanted, &why))?;
        Ok(format!("{}\n{}", told_interval(&lot, &luck), told_curve(&lot.plan, &curve, &luck)))
    }

    fn all_lots(&self, luck: &mut Luck) -> String {
        let (mut lots, mut left) = (Vec::new(), Vec::new());
        for sample in &self.judged.samples {
            match planned(&self.contract, &self.rules, sample, &self.book) {
                Ok((plan, _, observed)) => lots.push(self.told(sample, plan, observed, luck)),
                Err(why) => left.push((sample.outcome.clone(), why)),
            }
        }
        told_lots(&lots, &left, luck)
    }

    fn told(&self, sample: &SampleJudged, plan: Plan, observed: Observed, luck: &mut Luck) -> risk::Judged {
        let outcome = self.judged.outcomes.iter().find(|o| o.property == sample.property && o.name == sample.outcome);
        let pay = outcome.and_then(|o| o.pay).map_or_else(String::new, |id| self.book[id].text());
        let interval = interval(&plan, observed, WITHIN, luck);
        risk::Judged { name: sample.outcome.clone(), observed, pay, plan, interval }
    }
}

/// The operating curve of a rule set for lots of its own target, number of results and spread.
///
/// # Errors
/// Where there is no such rule set, or it has no such plan.
pub fn curve_of(asked: &Asked, catalogue: &[RuleSet], odds: &Odds) -> Result<String, Stop> {
    let Some(set) = catalogue.iter().find(|set| set.id == asked.rule) else {
        let ids: Vec<&str> = catalogue
            .iter()
            .filter(|set| matches!(set.shape, Shape::Thickness(_) | Shape::Strength(_)))
            .map(|set| set.id.as_str())
            .collect();
        let remedy = format!("there are {}", ids.join(", "));
        return Err(Finding::new(
            Code::RuleInvalid,
            Place::Named(asked.rule.clone()),
            "no rule set has this id",
            remedy,
        )
        .into());
    };
    let plan = Plan::of(set, asked.target, set.system.strength()).map_err(|why| nothing(&asked.rule, &why))?;
    let mut luck = luck(odds, "1".into());
    let found = curve(&plan, asked.n, asked.spread, (odds.acceptable, odds.rejectable), &mut luck);
    let curve = found.map_err(|why| nothing(&asked.rule, &why))?;
    Ok(told_curve(&plan, &curve, &luck))
}

fn luck(odds: &Odds, seed: String) -> Luck {
    Luck::new(odds.seed.clone().unwrap_or(seed), odds.draws.unwrap_or(DRAWS))
}

fn nothing(what: &str, why: &str) -> Stop {
    let message = format!("no risk can be computed: {why}");
    let remedy =
        "a lot needs three results that differ, and a rule set that prices their average or percent within limits";
    Finding::new(Code::FigureUnknown, Place::Named(what.into()), message, remedy).into()
}

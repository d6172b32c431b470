//! Rank 8. One file per property: a lot and a rule in, an outcome with its figures out.
//!
//! Spreadsheets never enter here, nor any literal limit: every number comes from the rule set or the contract.

mod band;
mod combined;
#[cfg(test)]
pub(crate) mod fixture;
mod fresh;
mod ground;
mod measure;
mod price;
mod quality;
mod ride;
mod said;
mod straightedge;
mod strength;
#[cfg(test)]
mod tests;
mod thickness;

pub use self::thickness::{Exploration, NextCore};

use chrono::NaiveDate;

use self::ground::Ground;
use crate::contract::Contract;
use crate::figure::{Book, FigureId, GivenId};
use crate::finding::{Code, Finding, Place};
use crate::intake::{LaneId, Records};
use crate::line::{Line, LotSpan};
use crate::rules::{Property, RuleSet, Shape};
use crate::units::Station;

/// How a lot stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Meets the rule.
    Sound,
    /// Paid at a reduced price.
    Adjusted,
    /// Paid at a raised price.
    Raised,
    /// Nothing is paid until the engineer decides.
    Undecided,
    /// Not enough tests to judge.
    NotTested,
}

impl Verdict {
    /// The word a page prints.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Sound => "sound",
            Verdict::Adjusted => "deficient, price adjusted",
            Verdict::Raised => "better than full pay",
            Verdict::Undecided => "deficient, engineer decides",
            Verdict::NotTested => "not tested",
        }
    }
}

/// Stretches of lanes.
type Places = Vec<(LaneId, Station, Station)>;

/// One lot, or one deficient section in it, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Property.
    pub property: Property,
    /// `mainline NB lot 7`, `deficient section, NB-2, 141+12 to 142+60`.
    pub name: String,
    /// Where on the ground; strength lots may have several stretches.
    pub places: Vec<(LaneId, Station, Station)>,
    /// Section of the contract.
    pub section: usize,
    /// How it stands.
    pub verdict: Verdict,
    /// The average that was judged (thickness or strength); `None` where nothing could be averaged.
    pub average: Option<FigureId>,
    /// What entered the pay table: a deficiency, an index, a percent within limits.
    pub entered: Option<FigureId>,
    /// What the table gives: percent of the unit price, or money; `None` where not judged or where the rule has no table.
    pub pay: Option<FigureId>,
    /// Placed area it covers, where something is placed.
    pub area: Option<FigureId>,
    /// The calculation, in the order a checker follows it.
    pub steps: Vec<FigureId>,
    /// Day of the last record that the judgement follows from; `None` while it is not judged.
    pub decided: Option<NaiveDate>,
    /// What pay needs; none where pay is not changed.
    pub adjustments: Vec<Adjustment>,
    /// Rule set id and citation, as printed.
    pub clause: String,
    /// What a reader should know beside it.
    pub note: String,
}

impl Outcome {
    /// Not judged yet.
    fn unjudged(set: &RuleSet, name: String, section: usize, places: Places) -> Self {
        Self {
            property: set.property,
            name,
            places,
            section,
            verdict: Verdict::NotTested,
            average: None,
            entered: None,
            pay: None,
            area: None,
            steps: Vec::new(),
            decided: None,
            adjustments: Vec::new(),
            clause: clause(set),
            note: String::new(),
        }
    }
}

/// What an outcome does to pay.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjustment {
    /// Placed area it applies to, in the contract's unit of area.
    pub area: FigureId,
    /// Volume of that area, for items paid by volume: of the plan, or as measured where the rule pays that.
    pub volume: FigureId,
    /// What changes.
    pub effect: Effect,
    /// The rule's own price per unit of volume, for items that are not paid by volume.
    pub price: Option<GivenId>,
    /// Day of the last record that it follows from: the period it belongs to.
    pub decided: NaiveDate,
}

/// What changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// So many percent of the unit price are paid.
    Percent(FigureId),
    /// So much money for each unit of area, taken off where negative.
    PerArea(FigureId),
    /// So much more volume is paid than planned, less where negative; only for items paid by volume.
    Volume(FigureId),
    /// So much money.
    Amount(FigureId),
}

impl Effect {
    /// Its figure.
    #[must_use]
    pub fn figure(self) -> FigureId {
        match self {
            Effect::Percent(id) | Effect::PerArea(id) | Effect::Volume(id) | Effect::Amount(id) => id,
        }
    }
}

/// A core as judged.
#[derive(Clone, Debug, PartialEq)]
pub struct CoreJudged {
    /// Place in the records.
    pub core: usize,
    /// Section it stands in.
    pub section: usize,
    /// Lot, by name; empty for exploratory cores.
    pub lot: String,
    /// Length: the mean of its readings, rounded by the rule.
    pub length: FigureId,
    /// Design thickness, as a figure.
    pub design: FigureId,
    /// Design thickness less the rule's tolerance: the least length that is good.
    pub least: FigureId,
    /// True where the length is below `least` and no other core settles it.
    pub deficient: bool,
    /// Design thickness less length.
    pub deficiency: FigureId,
    /// As counted in the average: capped, or `None` where left out.
    pub counted: Option<FigureId>,
    /// How it counts, where that is not plain: `settled by R-1`, `outlier, counts`.
    pub standing: String,
}

/// A strength test as judged.
#[derive(Clone, Debug, PartialEq)]
pub struct TestJudged {
    /// Set and age: `S-14, 28 d`.
    pub name: String,
    /// Day cast.
    pub cast: NaiveDate,
    /// Section.
    pub section: usize,
    /// Placement, by place in the records.
    pub placement: Option<usize>,
    /// Specimens, by place in the records.
    pub specimens: Vec<usize>,
    /// Age in days at which it counts.
    pub age: u32,
    /// Average of its specimens; `None` while outstanding.
    pub strength: Option<FigureId>,
    /// Average of this test and the ones before it, once there are enough.
    pub running: Option<FigureId>,
    /// When an outstanding test is due.
    pub due: Option<NaiveDate>,
    /// True where both criteria hold so far.
    pub passes: bool,
    /// False where it counts nowhere: settled by another, not verified, assurance.
    pub counts: bool,
    /// How it counts, where that is not plain: `settled by R-1`, `outlier, counts`.
    pub standing: String,
}

/// A smoothness segment as judged; one that lies in two sections is there once for each.
#[derive(Clone, Debug, PartialEq)]
pub struct SegmentJudged {
    /// Place in the records.
    pub profile: usize,
    /// Lane.
    pub lane: LaneId,
    /// From and to, up station.
    pub ends: (Station, Station),
    /// Its length.
    pub length: FigureId,
    /// The mean of its passes; `None` where there are fewer than the rule needs.
    pub index: Option<FigureId>,
    /// Its outcome, by place in [`Judged::outcomes`]: its own, or that of the lot it stands for.
    pub outcome: usize,
    /// Why it is not judged, or what it is spared; empty where nothing is to say.
    pub note: String,
}

/// A piece of pavement whose properties pay together.
#[derive(Clone, Debug, PartialEq)]
pub struct CombinedJudged {
    /// Its outcome, by place in [`Judged::outcomes`].
    pub outcome: usize,
    /// What each property pays of it, in the order of the rule; `None` while it is not judged.
    pub members: Vec<(Property, Option<FigureId>)>,
}

/// One result of a fresh-concrete test as judged.
#[derive(Clone, Debug, PartialEq)]
pub struct FreshJudged {
    /// Place in the records.
    pub test: usize,
    /// Air, slump or water-cement ratio.
    pub property: Property,
    /// What it stands for: `load 88213 of 2031-07-01`.
    pub stands_for: String,
    /// The outcomes of what it stands for, by place in [`Judged::outcomes`]: one for each section it lies in.
    pub outcomes: Vec<usize>,
    /// Result, as it is compared.
    pub result: FigureId,
    /// Lowest and highest that the rule judges by.
    pub limits: (Option<FigureId>, Option<FigureId>),
    /// How far it lies beyond its limit, or the mean of its ground does; `None` where nothing of it was placed.
    pub deviation: Option<FigureId>,
    /// What it pays, or the mean of its ground does.
    pub pay: Option<FigureId>,
    /// What a reader should know beside it.
    pub note: String,
}

/// The results that a lot was judged by.
#[derive(Clone, Debug, PartialEq)]
pub struct SampleJudged {
    /// Property.
    pub property: Property,
    /// Name of its outcome.
    pub outcome: String,
    /// The results that count, before any cap.
    pub results: Vec<FigureId>,
    /// What their average is held against.
    pub target: FigureId,
}

/// Everything judged.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Judged {
    /// Lots and sections; a section that is settled apart from its lot stands before it.
    pub outcomes: Vec<Outcome>,
    /// Cores.
    pub cores: Vec<CoreJudged>,
    /// Strength tests that count for acceptance, in the order cast.
    pub tests: Vec<TestJudged>,
    /// Results of fresh-concrete tests that a rule judges, property by property, in the order of the records.
    pub fresh: Vec<FreshJudged>,
    /// What stands behind the averages of lots that entered a pay table.
    pub samples: Vec<SampleJudged>,
    /// Exploratory cores to drill next, by section.
    pub explorations: Vec<Exploration>,
    /// Smoothness segments that are judged, by lane and station.
    pub segments: Vec<SegmentJudged>,
    /// Pieces of which several properties pay together.
    pub combined: Vec<CombinedJudged>,
}

/// Judges each property by the rule set chosen for it, and fresh concrete without one by the contract's limits.
///
/// A property without a rule set is not judged; what several pay together comes after all of them. `as_of` tells outstanding tests from overdue ones.
pub fn judge(
    contract: &Contract,
    sets: &[&RuleSet],
    records: &Records,
    line: &Line,
    as_of: NaiveDate,
    book: &mut Book,
) -> (Judged, Vec<Finding>) {
    let ground = Ground { contract, records, line, as_of, only: None };
    let (mut judged, mut findings) = (Judged::default(), Vec::new());
    let (combining, judging): (Vec<&RuleSet>, Vec<&RuleSet>) =
        sets.iter().copied().partition(|set| set.property == Property::Combined);
    for set in judging.iter().chain(&combining) {
        judge_by(ground, (set, sets), book, &mut judged, &mut findings);
    }
    findings.extend(thickness::unasked(contract, sets));
    findings.extend(fresh::judge(ground, &judged.fresh, book));
    (judged, findings)
}

/// Judges one stretch of pavement as a single lot by a rule set, whatever lots that would cut.
pub fn judge_on(
    (contract, records, line): (&Contract, &Records, &Line),
    set: &RuleSet,
    only: &LotSpan,
    as_of: NaiveDate,
    book: &mut Book,
) -> Judged {
    let ground = Ground { contract, records, line, as_of, only: Some(only) };
    let mut judged = Judged::default();
    judge_by(ground, (set, &[set]), book, &mut judged, &mut Vec::new());
    judged
}

fn judge_by(
    ground: Ground,
    (set, sets): (&RuleSet, &[&RuleSet]),
    book: &mut Book,
    judged: &mut Judged,
    findings: &mut Vec<Finding>,
) {
    match unfit(ground.contract, set) {
        Some(finding) => findings.push(finding),
        None => match &set.shape {
            Shape::Thickness(rule) => thickness::judge(ground, (set, rule), book, judged, findings),
            Shape::Strength(rule) => strength::judge(ground, (set, rule), book, judged, findings),
            Shape::Band(rule) => band::judge(ground, (set, rule), book, judged, findings),
            Shape::Ride(rule) => ride::judge(ground, (set, rule), book, judged, findings),
            Shape::Straightedge(rule) => straightedge::judge(ground, (set, rule), book, judged, findings),
            // Judged on the as-built line, in `works`: it makes no outcomes and changes no pay.
            Shape::Construction(_) => {}
            Shape::Combined(rule) => combined::judge(ground, (set, rule), sets, book, judged, findings),
        },
    }
}

/// Rule set and citation, as printed beside an outcome.
fn clause(set: &RuleSet) -> String {
    format!("{}: {}", set.id, set.citation)
}

/// Why a rule set cannot judge this contract at all.
fn unfit(contract: &Contract, set: &RuleSet) -> Option<Finding> {
    let empty = set.pay().is_some_and(|pay| pay.steps.rows.is_empty());
    let why = match (set.fits(contract.system), empty) {
        (false, _) => "is not in the contract's unit system; nothing is judged by it",
        (_, true) => "has a pay table without steps; nothing is judged by it",
        _ => return None,
    };
    let message = format!("rule set {} {why}", set.id);
    Some(Finding::new(Code::RuleInvalid, Place::Named(set.id.clone()), message, "choose or complete the rule set"))
}

//! Rank 7. One file per property: a lot and a rule in, an outcome with its figures out.
//!
//! Spreadsheets never enter here, nor any literal limit: every number comes from the rule set or the contract.

use chrono::NaiveDate;

use crate::figure::FigureId;
use crate::intake::LaneId;
use crate::rules::Property;
use crate::units::Station;

/// How a lot stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Meets the rule.
    Sound,
    /// Paid at a changed price.
    Adjusted,
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
            Verdict::Undecided => "deficient, engineer decides",
            Verdict::NotTested => "not tested",
        }
    }
}

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
    /// How much it is short, rounded as it entered the table (thickness: depth; strength: percent of specified).
    pub deficiency: Option<FigureId>,
    /// Percent of the unit price paid; `None` where not judged or where the rule has no table.
    pub pay: Option<FigureId>,
    /// Placed area it covers, where something is placed.
    pub area: Option<FigureId>,
    /// The calculation, in the order a checker follows it.
    pub steps: Vec<FigureId>,
    /// What pay needs; `None` where pay is not changed.
    pub adjustment: Option<Adjustment>,
    /// Rule set id and citation, as printed.
    pub clause: String,
    /// What a reader should know beside it.
    pub note: String,
}

/// What an outcome does to pay.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjustment {
    /// Placed area it applies to, in the contract's unit of area.
    pub area: FigureId,
    /// Plan volume of that area, for items paid by volume.
    pub volume: FigureId,
    /// Percent of the unit price that is paid.
    pub pay: FigureId,
    /// Day of the last record that it follows from: the period it belongs to.
    pub decided: NaiveDate,
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
    /// True where the length is below `least`.
    pub deficient: bool,
    /// Design thickness less length.
    pub deficiency: FigureId,
    /// As counted in the average: capped, or `None` where left out.
    pub counted: Option<FigureId>,
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
}

/// Everything judged.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Judged {
    /// Lots and sections.
    pub outcomes: Vec<Outcome>,
    /// Cores.
    pub cores: Vec<CoreJudged>,
    /// Strength tests that count for acceptance, in the order cast.
    pub tests: Vec<TestJudged>,
}

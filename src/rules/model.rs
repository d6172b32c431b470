//! A rule set as the engine sees it. Every number keeps its key and clause, so that figures can point at it.

use rust_decimal::Decimal;

use crate::figure::{Clause, Given, Origin, Steps};
use crate::units::{Rounding, System, Unit};

/// A property that is judged and can change pay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Property {
    /// Thickness.
    Thickness,
    /// Strength.
    Strength,
}

/// How a rule set came to us; printed wherever it is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// The publication was read.
    Transcribed,
    /// Written from memory; not to be relied on as the agency's current rule.
    FromMemory,
    /// An example of a shape; no agency's rule.
    Example,
}

/// A number of a rule set.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleNumber {
    /// Value.
    pub value: Decimal,
    /// Unit.
    pub unit: Unit,
    /// As written.
    pub written: String,
    /// Rule set id.
    pub set: String,
    /// Key in the file.
    pub key: String,
    /// Document, section, year.
    pub clause: Clause,
}

impl RuleNumber {
    /// As a leaf for formulas.
    #[must_use]
    pub fn given(&self, label: impl Into<String>, symbol: impl Into<String>) -> Given {
        Given {
            label: label.into(),
            symbol: symbol.into(),
            value: self.value,
            unit: self.unit,
            written: self.written.clone(),
            origin: Origin::Rule { set: self.set.clone(), key: self.key.clone(), clause: self.clause.clone() },
        }
    }
}

/// A rule set.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleSet {
    /// Id by which a contract chooses it.
    pub id: String,
    /// Title.
    pub title: String,
    /// Document, section, year, as printed.
    pub citation: Clause,
    /// How it came to us.
    pub status: Status,
    /// What is open or inferred about it.
    pub notes: Vec<String>,
    /// Unit system its numbers are in; a contract in the other system cannot use it.
    pub system: System,
    /// Property it judges.
    pub property: Property,
    /// The rule.
    pub shape: Shape,
    /// SHA-256 of the file.
    pub sha256: String,
}

/// The shapes of rule.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Stepped table on the deficiency of an average thickness.
    Thickness(ThicknessRule),
    /// Running average, single floor, and a stepped pay table on the lot's average.
    Strength(StrengthRule),
}

/// What a lot is measured by.
#[derive(Clone, Debug, PartialEq)]
pub enum LotBy {
    /// All lanes of a section together, so much area each.
    Area(RuleNumber),
    /// Each lane by itself, so much length each.
    Length(RuleNumber),
}

/// What becomes of the piece left over at a section's end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leftover {
    /// Half a lot or more is a lot; less joins the lot before.
    HalfJoins,
    /// Always its own lot.
    Own,
    /// Always joins the lot before.
    Joins,
}

/// How lots are cut.
#[derive(Clone, Debug, PartialEq)]
pub struct LotRule {
    /// Measure.
    pub by: LotBy,
    /// Left over.
    pub leftover: Leftover,
}

/// What an average is taken over, and priced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judged {
    /// The whole lot; very thin cores are left out of its average and their section is settled apart.
    Lot,
    /// The deficient section around thin cores; the rest of the lot is paid in full.
    Section,
}

/// How far a bad core reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// To the neighbouring good core in the same lane, or the lot's end.
    ToGoodCore,
    /// Half way to it, or the lot's end.
    HalfWay,
}

/// Thickness: stepped table on the deficiency of an average.
#[derive(Clone, Debug, PartialEq)]
pub struct ThicknessRule {
    /// Lots.
    pub lot: LotRule,
    /// Cores a lot needs.
    pub cores_per_lot: RuleNumber,
    /// Rounding of a core's length, the mean of its readings.
    pub core: Rounding,
    /// Rounding of the average.
    pub average: Rounding,
    /// Rounding of the deficiency before it enters the table.
    pub deficiency: Rounding,
    /// A core thicker than design plus this counts as design plus this.
    pub thick_cap: Option<RuleNumber>,
    /// A core deficient by more than this is left out of the average and needs exploratory cores.
    pub thin_exclusion: Option<RuleNumber>,
    /// What is averaged and priced.
    pub judged: Judged,
    /// For [`Judged::Section`]: a core deficient by more than this starts a section, one within it is good. For
    /// [`Judged::Lot`] the thin exclusion does.
    pub tolerance: RuleNumber,
    /// How far a bad core reaches.
    pub reach: Reach,
    /// Deficiency to percent of the unit price.
    pub steps: Steps,
}

/// What specimens of a strength rule are lotted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StrengthLot {
    /// All tests of one section cast on one day.
    Day,
    /// All tests of one placement.
    Placement,
}

/// How far below the specified strength a single test may be.
#[derive(Clone, Debug, PartialEq)]
pub struct Floor {
    /// So much below, where the specified strength is at most `up_to`.
    pub amount: RuleNumber,
    /// Specified strength up to which `amount` holds.
    pub up_to: RuleNumber,
    /// Above it, so many percent of the specified strength below.
    pub percent: RuleNumber,
}

/// Strength: two-rule criterion and a stepped pay table.
#[derive(Clone, Debug, PartialEq)]
pub struct StrengthRule {
    /// Lots.
    pub lot: StrengthLot,
    /// Specimens a test needs.
    pub specimens_per_test: RuleNumber,
    /// Rounding of a test, the average of unrounded specimen strengths.
    pub test: Rounding,
    /// Consecutive tests averaged for the running criterion.
    pub running: RuleNumber,
    /// Rounding of the running average.
    pub running_average: Rounding,
    /// Single-test floor.
    pub floor: Floor,
    /// Rounding of a lot's average before its deficiency enters the table.
    pub lot_average: Rounding,
    /// Deficiency of the lot's average, in percent of the specified strength, rounded thus.
    pub deficiency: Rounding,
    /// Deficiency to percent of the unit price; `None` where strength does not change pay.
    pub steps: Option<Steps>,
}

impl RuleSet {
    /// `title (status)`, as printed beside a figure.
    #[must_use]
    pub fn named(&self) -> String {
        match self.status {
            Status::Transcribed => self.title.clone(),
            Status::FromMemory => format!("{} (from memory)", self.title),
            Status::Example => format!("{} (example)", self.title),
        }
    }
}

//! A rule set as the engine sees it. Every number keeps its key and clause, so that figures can point at it.

use rust_decimal::Decimal;

use super::band::BandRule;
use super::combined::CombinedRule;
use super::construction::ConstructionRule;
use super::measure::Measure;
use super::pay::Pay;
use super::ride::RideRule;
use super::straightedge::StraightedgeRule;
use super::strength::StrengthRule;
use super::thickness::ThicknessRule;
use crate::figure::{Clause, Figure, Given, Origin};
use crate::units::{Rounding, System, Unit};

/// A property that is judged and can change pay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Property {
    /// Thickness.
    Thickness,
    /// Strength.
    Strength,
    /// Air content of fresh concrete.
    Air,
    /// Slump.
    Slump,
    /// Water-cement ratio of fresh concrete.
    WaterCement,
    /// Smoothness by a roughness or profile index.
    Smoothness,
    /// Smoothness by straightedge deviations.
    Straightedge,
    /// The steps below, in and after the slab; changes no pay, an item may wait for its proof.
    Construction,
    /// What several of the others pay together; last, because they are judged first.
    Combined,
}

impl Property {
    /// All there are, in the order in which they are judged.
    pub const ALL: [Property; 9] = [
        Property::Thickness,
        Property::Strength,
        Property::Air,
        Property::Slump,
        Property::WaterCement,
        Property::Smoothness,
        Property::Straightedge,
        Property::Construction,
        Property::Combined,
    ];

    /// The word in files and figure keys.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Property::Thickness => "thickness",
            Property::Strength => "strength",
            Property::Air => "air",
            Property::Slump => "slump",
            Property::WaterCement => "water-cement",
            Property::Smoothness => "smoothness",
            Property::Straightedge => "straightedge",
            Property::Construction => "construction",
            Property::Combined => "combined",
        }
    }

    /// The property of a word.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|property| property.word() == word)
    }
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

/// How a computed value is held against a limit or a table: the two methods of ASTM E29.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Compares {
    /// Rounded first, each value as its `round` says.
    Rounded,
    /// As computed; `round` is only what is shown.
    Absolute,
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
    /// How values are compared.
    pub compares: Compares,
    /// Property it judges.
    pub property: Property,
    /// The rule.
    pub shape: Shape,
    /// The file.
    pub text: String,
    /// SHA-256 of it.
    pub sha256: String,
}

/// The shapes of rule.
#[expect(clippy::large_enum_variant, reason = "there are a few rule sets, and boxes would be in the way")]
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Cores of a lot or section, measured against the design thickness.
    Thickness(ThicknessRule),
    /// Criteria on single tests, and a lot's tests measured against the specified strength.
    Strength(StrengthRule),
    /// Tests of fresh concrete, held against limits with a table on each side.
    Band(BandRule),
    /// Segments of a lane and their index, the mean of the passes.
    Ride(RideRule),
    /// Straightedge deviations of a lot and how many exceed the tolerance.
    Straightedge(StraightedgeRule),
    /// What is asked of the steps below, in and after the slab.
    Construction(ConstructionRule),
    /// The percents of other properties, made one.
    Combined(CombinedRule),
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

    /// A figure that is compared with a limit or enters a table, rounded where the rule set rounds before comparing.
    #[must_use]
    pub fn compared(&self, figure: Figure, rounding: Rounding) -> Figure {
        match self.compares {
            Compares::Rounded => figure.rounded(rounding),
            Compares::Absolute => figure.shown(rounding.decimals()),
        }
    }

    /// Whether its numbers can be used in a contract of that unit system: percents can in any.
    #[must_use]
    pub fn fits(&self, system: System) -> bool {
        self.system == system || matches!(self.shape, Shape::Combined(_))
    }

    /// What of a lot enters its pay table, where that is measured on an average.
    #[must_use]
    pub fn measure(&self) -> Option<&Measure> {
        match &self.shape {
            Shape::Thickness(rule) => Some(&rule.measure),
            Shape::Strength(rule) => Some(&rule.measure),
            _ => None,
        }
    }

    /// All its pay tables: the one of [`RuleSet::pay`], that above a band, that of cores in place of tests.
    #[must_use]
    pub fn tables(&self) -> Vec<&Pay> {
        let other = match &self.shape {
            Shape::Band(rule) => rule.above.as_ref().filter(|_| rule.below.is_some()),
            Shape::Strength(rule) => rule.cores.as_ref().and_then(|cores| cores.pay.as_ref()),
            _ => None,
        };
        [self.pay(), other].into_iter().flatten().collect()
    }

    /// The pay table, the lower where there are two; `None` where the property changes no pay by itself.
    #[must_use]
    pub fn pay(&self) -> Option<&Pay> {
        match &self.shape {
            Shape::Thickness(rule) => Some(&rule.pay),
            Shape::Strength(rule) => rule.pay.as_ref(),
            Shape::Band(rule) => rule.below.as_ref().or(rule.above.as_ref()),
            Shape::Ride(rule) => rule.pay.as_ref(),
            Shape::Straightedge(rule) => rule.pay.as_ref(),
            Shape::Construction(_) | Shape::Combined(_) => None,
        }
    }
}

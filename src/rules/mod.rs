//! Rank 5. Acceptance and pay rules as dated, cited data.
//!
//! A rule set is a TOML file: citation, status, and the numbers of one property's rule. No limit, factor or tolerance
//! stands in Rust. Job data and the clock never enter here.

mod band;
mod catalogue;
mod combined;
mod construction;
mod described;
mod explain;
mod keys;
mod load;
mod lotting;
mod measure;
mod model;
mod pay;
mod quality;
#[cfg(test)]
mod refusals;
mod ride;
mod source;
mod steps;
mod straightedge;
mod strength;
#[cfg(test)]
mod tests;
mod thickness;

pub use band::{BandLimits, BandRule, Represents, Several};
pub use catalogue::{catalogue, shipped};
pub use combined::{CombinedRule, How, Rejects};
pub use construction::{
    BarRule, ConstructionRule, CureRule, DensityRule, DepthRule, JointRule, LevelRule, Maturity, MaturityRule,
    OpeningRule, Proof, Required, SawRule, WeatherRule,
};
pub use described::keys_markdown;
pub use explain::{explain, list};
pub use load::load;
pub use lotting::{Leftover, LotBy, LotRule};
pub use measure::{LimitFrom, LookUp, Measure, QualityColumn, WithinBy, WithinRule};
pub use model::{Compares, Property, RuleNumber, RuleSet, Shape, Status};
pub use pay::{EnteredWith, Gives, Pay, PayForm};
pub use quality::{Outliers, Verification};
pub use ride::{Partial, RideRule, ShortPieces, Spared};
pub use straightedge::StraightedgeRule;
pub use strength::{CoreTests, Floor, Running, StrengthRule};
pub use thickness::{Across, Apart, Exploring, Judged, Reach, Taken, ThickOption, ThicknessRule};

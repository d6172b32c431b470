//! Rank 4. Acceptance and pay rules as dated, cited data.
//!
//! A rule set is a TOML file: citation, status, and the numbers of one property's rule. No limit, factor or tolerance
//! stands in Rust. Job data and the clock never enter here.

mod catalogue;
mod explain;
mod keys;
mod load;
mod model;
mod steps;
#[cfg(test)]
mod tests;

pub use catalogue::{catalogue, shipped};
pub use explain::explain;
pub use load::{keys_markdown, load};
pub use model::{
    Floor, Judged, Leftover, LotBy, LotRule, Property, Reach, RuleNumber, RuleSet, Shape, Status, StrengthLot,
    StrengthRule, ThicknessRule,
};

//! Rank 8. Where the tests of a lot are taken: drawn by lot, so that nobody chose the spot, and drawn again by anyone.
//!
//! ASTM D3665 in spirit: a lot is cut into as many strata as it has tests, of equal plan area along the line, all its lanes
//! together; each stratum gets one location, uniform over its area. Numbers come from the seed of the contract and the
//! lot's name ([`crate::statistics::Draws`]), so a lot keeps its locations whatever is added elsewhere. The same locations
//! are held against the cores that were taken: a core moved to another spot is a finding.
//!
//! What a rule demands of a lot (how large, how many cores) is the rule set's; nothing here judges a core.

mod list;
mod locate;
mod offset;
mod pairing;
mod taken;
#[cfg(test)]
mod tests;

pub use list::{csv, text};
pub use locate::{DrawnLot, Location, locations};
pub use taken::{CoreDrawn, LotCore, compare};

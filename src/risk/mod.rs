//! Rank 8. What a sample says of its lot, and what a plan risks: how much of a pay factor is luck of the draw.
//!
//! A few cores are drawn from a lot, and pay follows from them. Other cores of the same lot would have paid otherwise. Here
//! a lot, or any true quality, is a normal population; samples of it go through the plan (`Plan`, the rule as a pure
//! function), by the exact distribution where there is one and else by lots drawn from a printed seed. Out come the range of
//! pay nine times in ten, and the operating curve: the chance of full pay, of less, and of a decision, against true quality.
//!
//! Sources: percent within limits by TRB Circular E-C074; its estimate is unbiased, so that a straight pay equation (0.004
//! PWL - 0.360, FHWA-HRT-12-027) has an expected pay on the same straight line: a test holds that. Nothing here changes pay.

mod curve;
mod figures;
mod interval;
mod plan;
mod prospect;
mod table;
#[cfg(test)]
mod tests;
mod told;

pub use curve::{Curve, Level, Risks, curve};
pub use figures::others_as_figures;
pub use interval::{Interval, Observed, interval};
pub use plan::Plan;
pub use prospect::{How, Luck};
pub use table::Paid;
pub use told::{Judged, told_curve, told_interval, told_lots};

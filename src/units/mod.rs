//! Rank 0. What a number is measured in, where a point stands on the stationing, and how a number is rounded.
//!
//! Nothing here knows the crate: units with their exact conversions, stations with station equations, rounding, and the
//! way numbers are written for a reader.

mod conversion;
mod rounding;
mod station;
mod system;
mod unit;
mod written;

pub use conversion::{Conversion, between, conversions};
pub use rounding::{Mode, Rounding};
pub use station::{Alignment, Equation, Side, Station, StationError, StationLabel};
pub use system::System;
pub use unit::{Dimension, Unit};
pub use written::{decimal_of, plain, thousands, written};

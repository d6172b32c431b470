//! Rank 0. What the tables at the back of a specification print, computed: the percent of a lot within a limit, critical
//! values of Student's t and Fisher's F, the outlier test's, the normal curve, the noncentral t, and random numbers and
//! samples that anyone can draw again.
//!
//! Plain numbers in, plain numbers out; nothing here knows the crate. A value that does not exist (a percent within limits from
//! two tests, a tail of zero) is `None`. Everything is floating point: rounding is the caller's.

mod counts;
mod critical;
mod draws;
mod limits;
mod noncentral;
mod normal;
mod sample;

pub use counts::{at_least, chi_square_beyond};
pub use critical::{fisher, outlier_critical, student};
pub use draws::Draws;
pub use limits::within_limits;
pub use noncentral::NoncentralT;
pub use normal::{normal_at, normal_below};
pub use sample::{largest, number, six, smallest};

//! As-built and pay-quantity reports for concrete pavement, from the field spreadsheets as received.
//!
//! Data runs one way, down this list; a module imports only from those above its own rank (`tests/house.rs` holds it).
//! DEVELOPERS.md says what lives where, and why.
//!
//! What the program reports is what the records show under the named rules. It is not the engineer's decision.

// 0
pub mod fingerprint;
pub mod legible;
pub mod statistics;
pub mod units;
pub mod wrapping;
// 1
pub mod source;
// 2
pub mod figure;
pub mod finding;
// 3
pub mod closing;
// 4
pub mod intake;
pub mod keyed;
// 5
pub mod rules;
// 6
pub mod contract;
// 7
pub mod line;
// 8
pub mod accept;
pub mod draw;
pub mod reconcile;
pub mod risk;
// 9
pub mod works;
// 10
pub mod pay;
// 11
pub mod dossier;
// 12
pub mod render;
// 13
pub mod outbox;
// 14
pub mod run;
// 15
pub mod cli;

//! Tests of the whole program, one topic a file. What needs only Rust is here; the independent recalculation and the
//! second computation are under `tests/independent` and are started by `tests/all`.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::cast_precision_loss)]

mod agency;
mod asbuilt;
mod built;

mod closings;
mod command;
mod contracts;
mod corrected;
mod distributions;
mod explained;
mod findings;
mod forms;
mod golden;
mod hostile;
mod house;
mod many;
mod pasted;
mod paths;
mod payment;
mod planted;
mod published;
mod readme;
mod reports;

//! A rule for straightedge deviations: how many of a lot's measurements exceed the tolerance, and what that is paid.
//!
//! ```text
//! percent over   P = 100 x measurements of the lot above their tolerance / all measurements of the lot
//! ```
//!
//! Deviations along and across the lane have their own tolerances and count together (UFGS 02753: percent of all
//! measurements in a lot). One that is greater than the must-grind limit needs correction whatever the percent.

use super::keys::{CLAUSE, OWN_CLAUSE, alone, is, number_of};
use super::lotting::{LotRule, lot};
use super::model::{Compares, RuleNumber};
use super::pay::{Fed, Pay, pay};
use super::source::Source;
use crate::keyed::{Form, Group, Key, Measure as Kind, Need, Reader};
use crate::units::{Rounding, Unit};

/// A rule for straightedge deviations.
#[derive(Clone, Debug, PartialEq)]
pub struct StraightedgeRule {
    /// Lots.
    pub lot: LotRule,
    /// Greatest deviation along the lane that is within tolerance; `None`: such measurements do not count.
    pub along: Option<RuleNumber>,
    /// The same across the lane.
    pub across: Option<RuleNumber>,
    /// A deviation above this needs correction whatever the percent.
    pub must_grind: Option<RuleNumber>,
    /// Rounding of the percent over; `None`: carried as computed.
    pub round: Option<Rounding>,
    /// What is paid; `None` where deviations change no pay.
    pub pay: Option<Pay>,
}

pub(super) const TOLERANCE: &[Key] = &[
    Key::optional("along", number_of(&DEPTH, &DEPTH_ALONE), "\"0.125 in\"", "greatest deviation along the lane")
        .need(Need::Depends("at least one of the two")),
    Key::optional("across", number_of(&DEPTH, &DEPTH_ALONE), "\"0.25 in\"", "greatest deviation across the lane")
        .need(Need::Depends("at least one of the two")),
    Key::optional(
        "must_grind",
        number_of(&DEPTH, &DEPTH_ALONE),
        "\"0.25 in\"",
        "a deviation above this needs correction, however few exceed the tolerance",
    ),
    CLAUSE,
];

pub(super) const OVER: &[Key] = &[
    Key::optional(
        "round",
        Form::Rounding,
        "\"0.1 half up\"",
        "rounding of the percent of measurements over their tolerance; else carried as computed",
    ),
    CLAUSE,
];

const DEPTH: Form = Form::Quantity(Kind::Depth);
const DEPTH_ALONE: Form = alone(&[is(DEPTH, "\"0.125 in\""), OWN_CLAUSE]);

/// The rule of a file; `None` once its mistakes are reported.
pub(super) fn straightedge(
    reader: &mut Reader<'_>,
    root: &Group,
    source: &Source,
    compares: Compares,
) -> Option<StraightedgeRule> {
    let lot = root.group("lot").and_then(|table| lot(reader, table, source, false));
    let round = root.group("over").and_then(|table| table.rounding("round")).map(|found| found.value);
    let fed = Fed {
        unit: Unit::Percent,
        rounding: round.filter(|_| compares == Compares::Rounded),
        signed: false,
        has_ratio: false,
        has_segment: false,
    };
    let table = match root.group("pay") {
        Some(table) => Some(pay(reader, table, source, fed)?),
        None => None,
    };
    let tolerance = root.group("tolerance")?;
    let number = |key: &str| source.number(tolerance, key);
    if !tolerance.has("along") && !tolerance.has("across") {
        reader.mistake(tolerance.at, "[tolerance] says nothing", "write 'along', 'across' or both");
        return None;
    }
    Some(StraightedgeRule {
        lot: lot?,
        along: number("along"),
        across: number("across"),
        must_grind: number("must_grind"),
        round,
        pay: table,
    })
}

//! Whose tests count, and which stand out: outliers, and the comparison of the contractor's tests with the agency's.

use super::keys::CLAUSE;
use super::model::RuleNumber;
use super::source::Source;
use crate::keyed::{Form, Group, Key, Measure};

/// Outliers of a lot: ASTM E178, one-sided, on the value farthest from the mean.
#[derive(Clone, Debug, PartialEq)]
pub struct Outliers {
    /// Level of significance.
    pub level: RuleNumber,
    /// True where the rule drops an outlier; otherwise it is flagged and stays.
    pub drop: bool,
}

/// When the contractor's tests count beside the agency's: two samples that differ by no more than chance.
#[derive(Clone, Debug, PartialEq)]
pub struct Verification {
    /// Level of significance of the F test of the variances and the t test of the means, both two-sided.
    pub level: RuleNumber,
}

pub(super) const OUTLIERS: &[Key] = &[
    Key::required(
        "level",
        Form::Quantity(Measure::Percent),
        "\"5 percent\"",
        "level of significance, one-sided (ASTM E178)",
    ),
    Key::required(
        "then",
        Form::Choice(&["flag", "drop"]),
        "\"flag\"",
        "what happens to it: it is flagged and counts, or it is dropped from the average",
    ),
    CLAUSE,
];

pub(super) const VERIFICATION: &[Key] = &[
    Key::required(
        "level",
        Form::Quantity(Measure::Percent),
        "\"1 percent\"",
        "level of significance of the F test and of the t test, both two-sided; where either tells the contractor's \
         tests from the agency's, only the agency's count",
    ),
    CLAUSE,
];

pub(super) fn outliers(root: &Group, source: &Source) -> Option<Outliers> {
    let table = root.group("outliers")?;
    Some(Outliers { level: source.number(table, "level")?, drop: table.text("then")?.value == "drop" })
}

pub(super) fn verification(root: &Group, source: &Source) -> Option<Verification> {
    let table = root.group("verification")?;
    Some(Verification { level: source.number(table, "level")? })
}

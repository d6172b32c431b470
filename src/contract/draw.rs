//! How the contract has test locations drawn: the seed, what is kept clear, and how far off a core may be.

use super::ground::entered;
use super::model::{DrawRule, Entered, OffsetFrom};
use crate::keyed::Group;

/// The rule of `[draw]`, where there is one; `None` too where its mistakes are reported.
pub(super) fn rule(root: &Group) -> Option<DrawRule> {
    let group = root.group("draw")?;
    let seed = group.text("seed")?;
    let length = |key: &str| -> Option<Entered> { group.quantity(key).as_ref().map(entered) };
    Some(DrawRule {
        seed: seed.value.trim().to_string(),
        line: seed.at.line,
        clear_of_edge: length("clear_of_edge")?,
        clear_of_ends: length("clear_of_ends"),
        tolerance: length("tolerance")?,
        tolerance_across: length("tolerance_across"),
        offset_from: match group.text("offset_from").as_ref().map(|word| word.value.as_str()) {
            Some("right edge") => OffsetFrom::RightEdge,
            Some("lane centre") => OffsetFrom::LaneCentre,
            _ => OffsetFrom::LeftEdge,
        },
        within_days: group.count("within_days").map(|days| days.value),
    })
}

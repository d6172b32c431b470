//! `[time]`: the days allowed, how they are counted, and what a day late or early is worth.

use super::model::Time;
use crate::contract::Entered;
use crate::contract::money::{amount, numbered};
use crate::keyed::{Found, Group, Reader};
use crate::units::Unit;

/// Time; `None` within where the contract reckons nothing by it.
#[allow(clippy::option_option)] // mistaken, absent, there
pub(super) fn time(reader: &mut Reader<'_>, root: &Group) -> Option<Option<Time>> {
    let Some(group) = root.group("time") else { return (!root.has("time")).then_some(None) };
    let price = |reader: &mut Reader<'_>, key: &str| Some(numbered(&amount(reader, group, key)?, Unit::Day.price()?));
    let (damages, incentive) = (price(reader, "damages"), price(reader, "incentive"));
    let most = amount(reader, group, "incentive_most").map(|found| numbered(&found, Unit::Money));
    let working = group.text("count")?.value == "working days";
    if group.has("holidays") && !working {
        let message = "holidays are left out of working days only; every calendar day counts";
        reader.mistake(group.at("holidays"), message, "take 'holidays' out, or count working days");
    }
    let (start, completed) = (group.date("start")?, group.date("completed"));
    if let Some(done) = completed.as_ref().filter(|done| done.value < start.value) {
        let message = format!("the work is completed on {}, before it starts on {}", done.value, start.value);
        reader.mistake_with(done.at, start.at, message, "correct one of the two days");
    }
    Some(Some(Time {
        start: start.value,
        days: days(&group.count("days")?),
        working,
        holidays: group
            .dates("holidays")
            .map(|list| list.value.into_iter().map(|day| day.value).collect())
            .unwrap_or_default(),
        completed: completed.map(|found| found.value),
        damages,
        incentive,
        incentive_days: group.count("incentive_days").as_ref().map(days),
        incentive_most: most,
        line: start.at.line,
    }))
}

/// A number of days.
pub(super) fn days(found: &Found<u32>) -> Entered {
    numbered(&found.with(found.value.into()), Unit::Day)
}

//! `[retainage]`: what is held back, from when another share holds, and when it is given back.

use rust_decimal::Decimal;

use super::model::{Release, Retainage, RetainageStep, Since};
use super::share;
use crate::keyed::{Found, Group, Reader};
use crate::units::Unit;

/// Retainage; `None` within where the contract holds back nothing.
#[allow(clippy::option_option)] // mistaken, absent, there
pub(super) fn retainage(reader: &mut Reader<'_>, root: &Group) -> Option<Option<Retainage>> {
    let Some(group) = root.group("retainage") else { return (!root.has("retainage")).then_some(None) };
    let percent = share(reader, group, "percent");
    let steps: Vec<Option<RetainageStep>> = group.groups("steps").iter().map(|step| self::step(reader, step)).collect();
    rising(reader, group.groups("steps"));
    let release: Vec<Option<Release>> = group.groups("release").iter().map(|part| given_back(reader, part)).collect();
    let most = group.quantity("most");
    if let Some(most) = most.as_ref().filter(|most| most.value.1 == Unit::Percent) {
        crate::contract::money::at_most_all(reader, most);
    }
    Some(Some(Retainage {
        percent: percent?,
        steps: steps.into_iter().collect::<Option<Vec<_>>>()?,
        most: most.as_ref().map(crate::contract::ground::entered),
        release: release.into_iter().collect::<Option<Vec<_>>>()?,
        released_at_final: group.flag("released_at_final").is_some_and(|found| found.value),
    }))
}

fn step(reader: &mut Reader<'_>, group: &Group) -> Option<RetainageStep> {
    let percent = share(reader, group, "percent");
    let earned = share(reader, group, "earned");
    let after_only = group.text("of")?.value == "earned after";
    if group.has("from") == group.has("earned") {
        let message = format!("'{}' holds from a day or from an amount earned, one of them", group.key);
        reader.mistake(group.at, message, "write 'from' or 'earned', not both");
        return None;
    }
    if after_only && group.has("from") {
        let message = format!("'{}' is of what is earned after a day; no estimate is struck on that day", group.key);
        let remedy = "write of = \"all earned\", or let the step hold from 'earned' on";
        reader.mistake(group.at("of"), message, remedy);
    }
    let since = match group.date("from") {
        Some(day) => Since::Date(day.value),
        None => Since::Earned(earned?),
    };
    Some(RetainageStep { since, percent: percent?, after_only })
}

/// Steps of a kind come in order, so that the last that is reached is the one that holds.
fn rising(reader: &mut Reader<'_>, steps: &[Group]) {
    fn not_after<T: PartialOrd>(a: &Found<T>, b: &Found<T>) -> bool {
        b.value <= a.value
    }
    let days: Vec<_> = steps.iter().filter_map(|step| step.date("from")).collect();
    let shares: Vec<Found<Decimal>> =
        steps.iter().filter_map(|s| s.quantity("earned").map(|f| f.with(f.value.0))).collect();
    let late = days.windows(2).filter(|two| not_after(&two[0], &two[1])).map(|two| (two[1].at, two[0].at));
    let small = shares.windows(2).filter(|two| not_after(&two[0], &two[1])).map(|two| (two[1].at, two[0].at));
    for (at, before) in late.chain(small).collect::<Vec<_>>() {
        let message = format!("this step does not come after the one on line {}", before.line);
        reader.mistake_with(at, before, message, "list the steps in the order in which they are reached");
    }
}

fn given_back(reader: &mut Reader<'_>, group: &Group) -> Option<Release> {
    let percent = share(reader, group, "percent");
    Some(Release { from: group.date("from")?.value, percent: percent? })
}

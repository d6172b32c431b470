//! Items that are not paid by what is measured of them: lump sums by percent or schedule, items by the calendar, and the
//! most that is paid before the final period.

use super::model::{Calendar, Schedule, ScheduleStep, Terms, UntilFinal};
use super::share;
use crate::contract::money::{amount, numbered};
use crate::contract::{Entered, Measurement};
use crate::keyed::{Found, Group, Reader};
use crate::units::Unit;

/// How an item is paid where not by quantity times price alone.
pub(in crate::contract) fn terms(
    reader: &mut Reader<'_>,
    group: &Group,
    measured: Option<&Measurement>,
) -> Option<Terms> {
    only(reader, group, measured, ("schedule", &Measurement::BySchedule, "by schedule"));
    only(reader, group, measured, ("from", &Measurement::ByCalendar, "by calendar"));
    only(reader, group, measured, ("to", &Measurement::ByCalendar, "by calendar"));
    let schedule = match measured {
        Some(Measurement::BySchedule) => Some(schedule(reader, group)?),
        _ => None,
    };
    let calendar = match measured {
        Some(Measurement::ByCalendar) => Some(calendar(reader, group)?),
        _ => None,
    };
    let until_final = match group.group("until_final") {
        Some(table) => Some(until_final(reader, table)?),
        None => None,
    };
    Some(Terms {
        free_of_retainage: group.flag("retained").is_some_and(|found| !found.value),
        schedule,
        calendar,
        until_final,
        added_by: None,
        over_price: priced(reader, group, "over_price"),
        under_price: priced(reader, group, "under_price"),
        differs_because: group.text("differs_because").map(|found| found.value),
    })
}

/// A price of one unit of the item.
fn priced(reader: &mut Reader<'_>, group: &Group, key: &str) -> Option<Entered> {
    let found = amount(reader, group, key)?;
    Some(numbered(&found, group.unit("unit")?.value.price()?))
}

/// Reports a key that belongs to items measured another way, or that is missing.
fn only(
    reader: &mut Reader<'_>,
    group: &Group,
    measured: Option<&Measurement>,
    (key, of, words): (&str, &Measurement, &str),
) {
    let Some(measured) = measured else { return };
    let wanted = measured == of;
    if wanted && !group.has(key) {
        let message = format!("an item measured {words} needs '{key}'");
        reader.mistake(group.at("measured"), message, "add it, as the table of keys shows it");
    }
    if !wanted && group.has(key) {
        let message = format!("'{key}' is of items measured {words}");
        reader.mistake(group.at(key), message, "take it out, or change how the item is measured");
    }
}

fn schedule(reader: &mut Reader<'_>, item: &Group) -> Option<Schedule> {
    let group = item.group("schedule")?;
    let groups = group.groups("steps");
    let steps: Vec<Option<ScheduleStep>> = groups.iter().map(|step| self::step(reader, step)).collect();
    let steps = steps.into_iter().collect::<Option<Vec<_>>>()?;
    for (n, pair) in steps.windows(2).enumerate() {
        if pair[1].earned.value <= pair[0].earned.value || pair[1].item.value < pair[0].item.value {
            let message = "this step does not come after the one before it";
            let remedy = "list the steps by what is earned, each paying no less than the one before";
            reader.mistake_with(groups[n + 1].at, groups[n].at, message, remedy);
        }
    }
    let lump = |found: Option<Found<Unit>>| found.filter(|unit| unit.value != Unit::LumpSum);
    if let Some(unit) = lump(item.unit("unit")) {
        let message = format!("'{}' says \"{}\", and only a lump sum is paid by schedule", unit.key, unit.written);
        reader.mistake(unit.at, message, "write \"LS\", or change how the item is measured");
    }
    if let Some(price) = item.number("price").filter(|price| price.value.is_zero()) {
        reader.mistake(price.at, "a lump sum of zero has no schedule", "give the price, or measure the item by hand");
    }
    Some(Schedule {
        of_all: group.text("of")?.value == "all items",
        at_is_enough: group.text("reached")?.value == "at",
        from: group.date("from").map(|found| found.value),
        steps,
    })
}

fn step(reader: &mut Reader<'_>, group: &Group) -> Option<ScheduleStep> {
    let (earned, item) = (share(reader, group, "earned"), share(reader, group, "item"));
    let contract = share(reader, group, "contract");
    let least = amount(reader, group, "least").map(|found| numbered(&found, Unit::Money));
    Some(ScheduleStep { earned: earned?, item: item?, contract, least })
}

fn calendar(reader: &mut Reader<'_>, group: &Group) -> Option<Calendar> {
    if let Some(unit) = group.unit("unit").filter(|unit| !matches!(unit.value, Unit::Day | Unit::Month)) {
        let message = format!("'{}' says \"{}\", and the calendar counts days or months", unit.key, unit.written);
        reader.mistake(unit.at, message, "write \"day\" or \"month\", or change how the item is measured");
    }
    let (from, to) = (group.date("from")?, group.date("to")?);
    if to.value < from.value {
        let message = format!("'to' is {}, before 'from', {}", to.value, from.value);
        reader.mistake_with(to.at, from.at, message, "correct one of the two days");
    }
    Some(Calendar { from: from.value, to: to.value, line: from.at.line, key: from.key })
}

fn until_final(reader: &mut Reader<'_>, group: &Group) -> Option<UntilFinal> {
    let percent = share(reader, group, "percent");
    Some(UntilFinal { percent: percent?, of_plan: group.text("of")?.value == "plan" })
}

//! Limits on loads, and what was agreed with the supplier of concrete.

use chrono::NaiveTime;

use super::ground::entered;
use super::model::{Entered, Supply, TicketRules, Waived};
use super::money::{amount, numbered};
use crate::keyed::{Found, Group, Reader};
use crate::units::Unit;

/// Limits on loads; nothing within where the contract states none.
#[allow(clippy::option_option)] // mistaken, absent, there
pub(super) fn tickets(reader: &mut Reader<'_>, root: &Group) -> Option<Option<TicketRules>> {
    let Some(group) = root.group("tickets") else { return (!root.has("tickets")).then_some(None) };
    let time = |key: &str| group.quantity(key).as_ref().map(entered);
    let revolutions = amount(reader, group, "revolutions").map(|found| numbered(&found, Unit::One));
    let (first, last) = (time_of_day(reader, group, "first_batch"), time_of_day(reader, group, "last_batch"));
    let waived = group
        .groups("waived")
        .iter()
        .map(|waived| Some(Waived { ticket: waived.text("ticket")?.value, reason: waived.text("reason")?.value }));
    Some(Some(TicketRules {
        time_limit: time("time_limit"),
        revolutions,
        waived: waived.collect::<Option<Vec<_>>>()?,
        shortest_round: time("shortest_round"),
        day: (first, last),
        numbered: group.texts("numbered").map(|list| plain(list.value)).unwrap_or_default(),
        copied: group.quantity("copied").as_ref().map(entered),
        line: group.at.line,
    }))
}

fn plain(list: Vec<Found<String>>) -> Vec<String> {
    list.into_iter().map(|word| word.value).collect()
}

fn time_of_day(reader: &mut Reader<'_>, group: &Group, key: &str) -> Option<NaiveTime> {
    let found = group.text(key)?;
    let time = NaiveTime::parse_from_str(found.value.trim(), "%H:%M").ok();
    if time.is_none() {
        let message = format!("'{}' says \"{}\", which is not a time of day", found.key, found.value);
        reader.mistake(found.at, message, "write hours and minutes of the day, such as \"05:30\"");
    }
    time
}

/// What was agreed with the supplier; nothing within where the contract does not say.
#[allow(clippy::option_option)] // mistaken, absent, there
pub(super) fn supply(reader: &mut Reader<'_>, root: &Group) -> Option<Option<Supply>> {
    let Some(group) = root.group("supply") else { return (!root.has("supply")).then_some(None) };
    let money = |reader: &mut Reader<'_>, key: &str, unit: Option<Unit>| -> Option<Entered> {
        Some(numbered(&amount(reader, group, key)?, unit?))
    };
    let charge = money(reader, "short_load_charge", Some(Unit::Money));
    let waiting = money(reader, "waiting_price", Unit::Minute.price());
    let quantity = |key: &str| group.quantity(key).as_ref().map(entered);
    Some(Some(Supply {
        short_load_below: quantity("short_load_below"),
        short_load_charge: charge,
        free_time: quantity("free_time"),
        waiting_price: waiting,
        line: group.at.line,
    }))
}

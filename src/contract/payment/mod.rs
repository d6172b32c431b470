//! How the work is paid beyond quantity times price: retainage, entries, time, stored materials, changes, and the rest.
//!
//! Each part of the contract that speaks of it has a file here; what is left out changes nothing.

mod changes;
mod entries;
mod indices;
pub(super) mod keys;
mod model;
mod retainage;
mod schedule;
mod splits;
mod stored;
mod time;
mod variation;

pub(super) use changes::added_by;
pub use model::{
    Calendar, Change, ChangeLine, Entry, IndexValue, Payment, PriceIndex, Release, Retainage, RetainageStep, Schedule,
    ScheduleStep, Since, Split, SplitRule, Stored, StoredMaterial, Terms, Time, UntilFinal, Variation,
};
pub(super) use schedule::terms;

use super::ground::entered;
use super::money::share;
use super::names::Names;
use crate::keyed::{Group, Reader};

/// Everything the contract says of payment. The items are told apart by the names of `items`.
pub(super) fn payment(reader: &mut Reader<'_>, root: &Group) -> Option<Payment> {
    let items = Names::known(root.groups("items"), "number", "item");
    let sections = Names::known(root.groups("sections"), "name", "section");
    let retainage = retainage::retainage(reader, root);
    let entries = entries::entries(reader, root, &items);
    let time = time::time(reader, root);
    let changes = changes::changes(reader, root, &items);
    let stored = stored::stored(reader, root, &items);
    let variation = variation::variation(reader, root);
    let indices = indices::indices(reader, root, &items);
    let splits = splits::splits(reader, root, (&items, &sections));
    let last_is_final = last_is_final(reader, root);
    Some(Payment {
        retainage: retainage?,
        entries: entries?,
        changes: changes?,
        time: time?,
        stored: stored?,
        variation: variation?,
        indices: indices?,
        splits: splits?,
        carried: variation::carries(root),
        last_is_final,
        reasons_beyond: root.group("final").and_then(|group| group.quantity("reasons_beyond")).as_ref().map(entered),
    })
}

/// Whether the last period is the final one; no other can be.
fn last_is_final(reader: &mut Reader<'_>, root: &Group) -> bool {
    let groups = root.groups("periods");
    let is_final = |group: &Group| group.flag("final").is_some_and(|found| found.value);
    for group in groups.iter().rev().skip(1).filter(|group| is_final(group)) {
        let message = "a period is final, and another comes after it";
        reader.mistake(group.at("final"), message, "say it of the last period only");
    }
    groups.last().is_some_and(is_final)
}

//! How the work is paid beyond quantity times price: retainage, entries, time, stored materials, changes, and the rest.
//!
//! Each part of the contract that speaks of it has a file here; what is left out changes nothing.

mod entries;
pub(super) mod keys;
mod model;
mod retainage;

pub use model::{Entry, Payment, Release, Retainage, RetainageStep, Since, Terms};

use super::money::share;
use super::names::Names;
use crate::keyed::{Group, Reader};

/// Everything the contract says of payment. The items are told apart by the names of `items`.
pub(super) fn payment(reader: &mut Reader<'_>, root: &Group) -> Option<Payment> {
    let items = Names::known(root.groups("items"), "number", "item");
    let retainage = retainage::retainage(reader, root);
    let entries = entries::entries(reader, root, &items);
    Some(Payment { retainage: retainage?, entries: entries?, last_is_final: last_is_final(reader, root) })
}

/// How an item is paid where not by quantity times price alone.
pub(super) fn terms(group: &Group) -> Option<Terms> {
    Some(Terms { free_of_retainage: group.flag("retained").is_some_and(|found| !found.value) })
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

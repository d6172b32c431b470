//! `[[entries]]`: signed amounts entered by hand. An entry is never edited: a later one reverses it, in part or whole.

use rust_decimal::Decimal;

use super::model::Entry;
use crate::contract::money::numbered;
use crate::contract::names::Names;
use crate::keyed::{Found, Group, Reader};
use crate::units::Unit;

/// The entries, each reversal within what it reverses.
pub(super) fn entries(reader: &mut Reader<'_>, root: &Group, items: &Names) -> Option<Vec<Entry>> {
    let groups = root.groups("entries");
    let names = Names::read(reader, groups, "id", "entry");
    let entries: Vec<Option<Entry>> = groups.iter().map(|group| entry(reader, group, &names, items)).collect();
    let entries = entries.into_iter().collect::<Option<Vec<_>>>()?;
    for place in 0..entries.len() {
        within_what_is_left(reader, groups, &entries, place);
    }
    Some(entries)
}

fn entry(reader: &mut Reader<'_>, group: &Group, names: &Names, items: &Names) -> Option<Entry> {
    let reversed = group.text("reverses").map(|name| names.find(reader, &name));
    let item = group.text("item").map(|number| items.find(reader, &number));
    let amount: Found<Decimal> = group.number("amount")?;
    if amount.value.is_zero() {
        reader.mistake(amount.at, format!("'{}' is zero", amount.key), "write the amount, or take the entry out");
    }
    Some(Entry {
        id: group.text("id")?.value,
        date: group.date("date")?.value,
        reason: group.text("reason")?.value,
        amount: numbered(&amount, Unit::Money),
        reverses: match reversed {
            Some(found) => Some(found?),
            None => None,
        },
        item: match item {
            Some(found) => Some(found?),
            None => None,
        },
        earned: group.text("counts").is_some_and(|word| word.value == "as earned"),
    })
}

/// A reversal comes no earlier than what it reverses, has the other sign, counts where it counts, and leaves no less than
/// nothing.
fn within_what_is_left(reader: &mut Reader<'_>, groups: &[Group], entries: &[Entry], place: usize) {
    let entry = &entries[place];
    let Some(of) = entry.reverses else { return };
    let (at, first) = (groups[place].at("reverses"), groups[of].at);
    let reversed = &entries[of];
    let mut wrong = |message: String, remedy: &str| reader.mistake_with(at, first, message, remedy);
    if of == place || reversed.date > entry.date {
        let message = format!("entry {} reverses {}, which does not come before it", entry.id, reversed.id);
        wrong(message, "reverse an earlier entry");
        return;
    }
    if reversed.amount.value.is_sign_negative() == entry.amount.value.is_sign_negative() {
        let message = format!("entry {} has the sign of {}, which it reverses", entry.id, reversed.id);
        wrong(message, "give the amount the other sign, or take 'reverses' out");
        return;
    }
    if entry.earned != reversed.earned || entry.item != reversed.item {
        let message =
            format!("entry {} counts otherwise, or on another item, than {}, which it reverses", entry.id, reversed.id);
        wrong(message, "give both the same 'counts' and 'item'");
    }
    let so_far =
        entries.iter().enumerate().filter(|(n, e)| e.reverses == Some(of) && (e.date, *n) <= (entry.date, place));
    let taken: Decimal = so_far.map(|(_, e)| e.amount.value).sum();
    let left = reversed.amount.value + taken;
    if !left.is_zero() && left.is_sign_negative() != reversed.amount.value.is_sign_negative() {
        let before = left - entry.amount.value;
        let message = format!(
            "entry {} reverses {} of {}, of which {before} is left",
            entry.id, entry.amount.written, reversed.id
        );
        wrong(message, "reverse no more than is left, and enter the rest as an entry of its own");
    }
}

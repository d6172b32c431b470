//! `[[changes]]`: change orders. Quantities added or taken away, unit prices from a day on, items that are new, days added.

use rust_decimal::Decimal;

use super::model::{Change, ChangeLine};
use super::time::days;
use crate::contract::money::{amount, numbered};
use crate::contract::names::Names;
use crate::keyed::{Found, Group, Reader};
use crate::units::Unit;

/// The changes, in the order of the file, which is that of their days.
pub(super) fn changes(reader: &mut Reader<'_>, root: &Group, items: &Names) -> Option<Vec<Change>> {
    let groups = root.groups("changes");
    Names::read(reader, groups, "number", "change");
    let units: Vec<Option<Unit>> =
        root.groups("items").iter().map(|item| item.unit("unit").map(|unit| unit.value)).collect();
    let changes: Vec<Option<Change>> = groups.iter().map(|group| change(reader, group, (items, &units))).collect();
    for pair in groups.windows(2) {
        if let (Some(first), Some(second)) = (pair[0].date("date"), pair[1].date("date"))
            && second.value < first.value
        {
            let message = format!("this change is of {}, before the one above it, of {}", second.value, first.value);
            reader.mistake_with(second.at, first.at, message, "list the changes in the order of their days");
        }
    }
    changes.into_iter().collect()
}

fn change(reader: &mut Reader<'_>, group: &Group, of: (&Names, &[Option<Unit>])) -> Option<Change> {
    let lines: Vec<Option<ChangeLine>> = group.groups("items").iter().map(|item| line(reader, item, of)).collect();
    Some(Change {
        number: group.text("number")?.value,
        date: group.date("date")?.value,
        reason: group.text("reason")?.value,
        lines: lines.into_iter().collect::<Option<Vec<_>>>()?,
        days: group.count("days").as_ref().map(days),
    })
}

fn line(reader: &mut Reader<'_>, group: &Group, (items, units): (&Names, &[Option<Unit>])) -> Option<ChangeLine> {
    let price = amount(reader, group, "price");
    let quantity: Option<Found<Decimal>> = group.number("quantity");
    if !group.has("quantity") && !group.has("price") && !group.has("amount") {
        let message = format!("'{}' changes neither quantity nor price nor amount", group.key);
        reader.mistake(group.at, message, "add 'quantity', 'price' or 'amount', or take the line out");
    }
    let item = items.find(reader, &group.text("item")?)?;
    let unit = units.get(item).copied().flatten()?;
    Some(ChangeLine {
        item,
        quantity: quantity.map(|found| numbered(&found, unit)),
        price: match price {
            Some(found) => Some(numbered(&found, unit.price()?)),
            None => None,
        },
        amount: group.number("amount").map(|found| numbered(&found, Unit::Money)),
    })
}

/// The change that adds each item, by place; `None` for items that were bid.
pub(in crate::contract) fn added_by(reader: &mut Reader<'_>, root: &Group) -> Option<Vec<Option<usize>>> {
    let names = Names::known(root.groups("changes"), "number", "change");
    let of = |item: &Group, reader: &mut Reader<'_>| match item.text("added_by") {
        Some(number) => names.find(reader, &number).map(Some),
        None => (!item.has("added_by")).then_some(None),
    };
    let found: Vec<Option<Option<usize>>> = root.groups("items").iter().map(|item| of(item, reader)).collect();
    found.into_iter().collect()
}

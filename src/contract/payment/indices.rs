//! `[[indices]]`: prices of fuel, cement and the like by month, and how the pay of items follows them.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::model::{IndexValue, PriceIndex};
use super::share;
use crate::contract::money::{amount, numbered};
use crate::contract::names::Names;
use crate::keyed::{Found, Group, Reader};
use crate::units::Unit;

/// The indices.
pub(super) fn indices(reader: &mut Reader<'_>, root: &Group, items: &Names) -> Option<Vec<PriceIndex>> {
    let groups = root.groups("indices");
    Names::read(reader, groups, "name", "index");
    let found: Vec<Option<PriceIndex>> = groups.iter().map(|group| index(reader, group, items)).collect();
    found.into_iter().collect()
}

fn index(reader: &mut Reader<'_>, group: &Group, items: &Names) -> Option<PriceIndex> {
    let (base, trigger) = (amount(reader, group, "base"), share(reader, group, "trigger"));
    if let Some(base) = base.as_ref().filter(|base| base.value.is_zero()) {
        reader.mistake(base.at, format!("'{}' is zero", base.key), "write the price that the bid rests on");
    }
    let values: Vec<Option<IndexValue>> = group.groups("values").iter().map(|value| month(reader, value)).collect();
    let values = values.into_iter().collect::<Option<Vec<_>>>();
    let mut seen = BTreeSet::new();
    for (of, value) in group.groups("values").iter().zip(values.iter().flatten()) {
        if !seen.insert((value.year, value.month)) {
            let message = format!("the month {} stands twice", of.text("month").map_or_else(String::new, |m| m.value));
            reader.mistake(of.at, message, "give each month one value");
        }
    }
    let uses: Vec<Option<(usize, crate::contract::Entered)>> =
        group.groups("items").iter().map(|of| used(reader, of, items)).collect();
    Some(PriceIndex {
        name: group.text("name")?.value,
        base: numbered(&base?, Unit::Money),
        trigger: trigger?,
        whole: group.text("counts")?.value == "whole change",
        values: values?,
        items: uses.into_iter().collect::<Option<Vec<_>>>()?,
    })
}

fn month(reader: &mut Reader<'_>, group: &Group) -> Option<IndexValue> {
    let value: Option<Found<Decimal>> = amount(reader, group, "value");
    let word = group.text("month")?;
    let read = word.value.split_once('-').and_then(|(year, month)| Some((year.parse().ok()?, month.parse().ok()?)));
    let Some((year, month)) = read.filter(|(year, month)| (1900..=2999).contains(year) && (1..=12).contains(month))
    else {
        let message = format!("'{}' says \"{}\", which is not a month", word.key, word.value);
        reader.mistake(word.at, message, "write year and month, such as \"2031-05\"");
        return None;
    };
    Some(IndexValue { year, month, value: numbered(&value?, Unit::Money), source: group.text("source")?.value })
}

fn used(reader: &mut Reader<'_>, group: &Group, items: &Names) -> Option<(usize, crate::contract::Entered)> {
    let amount = amount(reader, group, "use");
    let item = items.find(reader, &group.text("item")?)?;
    Some((item, numbered(&amount?, Unit::One)))
}

//! Concrete: limits and allowances of its account, the mixes, and how far their batches may be off.

use rust_decimal::Decimal;

use super::ground::{Ground, also_clash, entered};
use super::model::{Batching, DepthBy, Entered, Mix, Yields};
use super::money::{amount, numbered};
use super::names::Names;
use crate::intake::Ingredient;
use crate::keyed::{Group, Reader};

/// Limits and allowances of the account; `None` where any is mistaken.
pub(super) fn yields(reader: &mut Reader<'_>, root: &Group) -> Option<Yields> {
    let Some(group) = root.group("yield") else { return (!root.has("yield")).then(Yields::default) };
    let share = |key: &str| group.quantity(key).as_ref().map(entered);
    let (warn_over, act_over) = (share("warn_over"), share("act_over"));
    if let (Some(warn), Some(act)) = (&warn_over, &act_over)
        && act.value <= warn.value
    {
        let message = format!("'yield.act_over' is {}, not above 'yield.warn_over', {}", act.written, warn.written);
        reader.mistake(group.at("act_over"), message, "let the limit to act lie above the limit to warn");
    }
    Some(Yields {
        warn_over,
        act_over,
        act_under: share("act_under"),
        allowance: share("allowance"),
        depth_by: match group.text("depth_by").as_ref().map(|word| word.value.as_str()) {
            Some("cores") => DepthBy::Cores,
            Some("probes") => DepthBy::Probes,
            Some("levels") => DepthBy::Levels,
            _ => DepthBy::CoresAndProbes,
        },
        low_grade: share("low_grade"),
        price: price(reader, group)?,
    })
}

/// The price of one unit of concrete under `price`; `None` within where there is none.
#[allow(clippy::option_option)] // mistaken, absent, there
fn price(reader: &mut Reader<'_>, group: &Group) -> Option<Option<Entered>> {
    if !group.has("price") {
        return Some(None);
    }
    let found = amount(reader, group, "price");
    let unit = reader.system()?.volume().price()?;
    Some(Some(numbered(&found?, unit)))
}

/// The mixes.
pub(super) fn mixes(reader: &mut Reader<'_>, root: &Group, ground: &Ground) -> Option<Vec<Mix>> {
    let groups = root.groups("mixes");
    Names::read(reader, groups, "name", "mix");
    also_clash(reader, groups, "mix");
    let mixes: Vec<Option<Mix>> = groups.iter().map(|group| mix(reader, group, ground)).collect();
    mixes.into_iter().collect()
}

fn mix(reader: &mut Reader<'_>, group: &Group, ground: &Ground) -> Option<Mix> {
    let sections = sections(reader, group, ground);
    let price = price(reader, group);
    let design = group.group("design");
    let masses = Ingredient::ALL.iter().filter_map(|&of| Some((of, entered(&design?.quantity(of.word())?))));
    Some(Mix {
        name: group.text("name")?.value,
        also: also(group),
        sections: sections?,
        price: price?,
        design: masses.collect(),
        water_cement: group.quantity("water_cement").as_ref().map(entered),
        line: group.at.line,
    })
}

/// What sheets call it besides its name.
pub(super) fn also(group: &Group) -> Vec<String> {
    group.texts("also").map(|list| list.value.into_iter().map(|word| word.value).collect()).unwrap_or_default()
}

/// The sections that are named; none where the key is left out.
pub(super) fn sections(reader: &mut Reader<'_>, group: &Group, ground: &Ground) -> Option<Vec<usize>> {
    if !group.has("sections") {
        return Some(Vec::new());
    }
    let listed = group.texts("sections")?;
    ground.section_names.find_all(reader, &listed.value)
}

/// How far batch weights may be off: below zero for what is missing, above for what is too much.
pub(super) fn batching(reader: &mut Reader<'_>, root: &Group) -> Batching {
    let mut batching = Batching::default();
    let Some(group) = root.group("batching") else { return batching };
    for of in Ingredient::ALL {
        let Some(found) = group.limits(of.word()) else { continue };
        let [low, high] = &found.value;
        let wrong = |end: &Option<crate::keyed::Found<(Decimal, _)>>, bad: fn(Decimal) -> bool| {
            end.as_ref().is_some_and(|end| bad(end.value.0))
        };
        if wrong(low, |v| v > Decimal::ZERO) || wrong(high, |v| v < Decimal::ZERO) {
            let message = format!("'{}' does not hold the target itself between its ends", found.key);
            reader.mistake(
                found.at,
                message,
                "write below the target with a minus, such as [\"-1 percent\", \"5 percent\"]",
            );
        }
        batching.tolerances.insert(of, (low.as_ref().map(entered), high.as_ref().map(entered)));
    }
    batching
}

//! `[stored]` and `[[stored_materials]]`: what is paid for materials that are not in the work yet.

use super::model::{Stored, StoredMaterial};
use super::share;
use super::time::days;
use crate::contract::money::{amount, numbered};
use crate::contract::names::Names;
use crate::keyed::{Group, Reader};
use crate::units::Unit;

/// Rates and materials; `None` within where the contract pays for none.
#[allow(clippy::option_option)] // mistaken, absent, there
pub(super) fn stored(reader: &mut Reader<'_>, root: &Group, items: &Names) -> Option<Option<Stored>> {
    let groups = root.groups("stored_materials");
    let Some(group) = root.group("stored") else {
        if let Some(first) = groups.first().filter(|_| !root.has("stored")) {
            let message = "materials are stored, and the contract does not say at what rates they are paid";
            reader.mistake(first.at, message, "add [stored] with its rates, or take them out");
        }
        return (!root.has("stored")).then_some(None);
    };
    let (on_site, elsewhere) = (share(reader, group, "on_site"), share(reader, group, "elsewhere"));
    let most = share(reader, group, "most");
    let least_award = amount(reader, group, "least_award").map(|found| numbered(&found, Unit::Money));
    let materials: Vec<Option<StoredMaterial>> = groups.iter().map(|of| material(reader, of, items)).collect();
    Some(Some(Stored {
        on_site: on_site?,
        elsewhere,
        most: most?,
        drawn_down: group.text("drawn_down")?.value == "as placed",
        least_award,
        replace_within: group.count("replace_within").as_ref().map(days),
        materials: allowed_elsewhere(reader, group, groups, materials)?,
    }))
}

/// Materials elsewhere need a rate.
fn allowed_elsewhere(
    reader: &mut Reader<'_>,
    rates: &Group,
    groups: &[Group],
    materials: Vec<Option<StoredMaterial>>,
) -> Option<Vec<StoredMaterial>> {
    for (group, material) in groups.iter().zip(&materials) {
        if material.as_ref().is_some_and(|of| !of.on_site) && !rates.has("elsewhere") {
            let message = "this material is stored elsewhere, and [stored] has no rate for that";
            reader.mistake(group.at("place"), message, "add 'elsewhere' to [stored], or take the material out");
        }
    }
    materials.into_iter().collect()
}

fn material(reader: &mut Reader<'_>, group: &Group, items: &Names) -> Option<StoredMaterial> {
    let invoiced = amount(reader, group, "amount");
    let item = group.text("item").and_then(|number| items.find(reader, &number));
    if let (Some(paid), Some(date)) = (group.date("paid"), group.date("date"))
        && paid.value < date.value
    {
        let message = format!("the invoice is paid on {}, before the material came on {}", paid.value, date.value);
        reader.mistake_with(paid.at, date.at, message, "correct one of the two days");
    }
    Some(StoredMaterial {
        date: group.date("date")?.value,
        item: item?,
        material: group.text("material")?.value,
        invoice: group.text("invoice")?.value,
        amount: numbered(&invoiced?, Unit::Money),
        on_site: group.text("place")?.value == "on site",
        evidence: group.text("evidence")?.value,
        paid: group.date("paid").map(|found| found.value),
        line: group.at.line,
    })
}

//! Materials besides concrete: what they are, and how much of each is needed.

use super::ground::{Ground, also_clash, entered};
use super::mixes::{also, sections};
use super::model::{Entered, Material, Need};
use super::money::{amount, numbered, payable};
use super::names::Names;
use crate::intake::LaneId;
use crate::keyed::{Found, Group, Reader};
use crate::units::{System, Unit};

/// The keys that each way of reckoning uses: those it needs, and those it may have.
fn keys_of(needed: &str) -> (&'static [&'static str], &'static [&'static str]) {
    match needed {
        "by volume" => (&["depth", "density"], &["beyond_edges"]),
        "by area" => (&["covers"], &["edges"]),
        "at transverse joints" => (&["spacing"], &["pieces"]),
        "along longitudinal joints" => (&["joints"], &["spacing"]),
        _ => (&["count"], &[]),
    }
}

const NEED_KEYS: [&str; 9] =
    ["depth", "density", "beyond_edges", "covers", "edges", "spacing", "pieces", "joints", "count"];

/// The materials.
pub(super) fn materials(reader: &mut Reader<'_>, root: &Group, ground: &Ground) -> Option<Vec<Material>> {
    let groups = root.groups("materials");
    Names::read(reader, groups, "name", "material");
    also_clash(reader, groups, "material");
    let materials: Vec<Option<Material>> = groups.iter().map(|group| material(reader, group, ground)).collect();
    materials.into_iter().collect()
}

fn material(reader: &mut Reader<'_>, group: &Group, ground: &Ground) -> Option<Material> {
    let unit = group.unit("unit").filter(|unit| payable(reader, unit));
    let own = sections(reader, group, ground);
    let needed = group.text("needed");
    if let Some(needed) = &needed {
        keys_fit(reader, group, needed);
    }
    let need = needed.as_ref().and_then(|needed| need(reader, group, ground, needed));
    if let (Some(unit), Some(need)) = (&unit, &need) {
        fits(reader, unit, need);
    }
    let price = amount(reader, group, "price");
    let share = |key: &str| group.quantity(key).as_ref().map(entered);
    let (unit, own) = (unit?.value, own?);
    let all = || (0..ground.sections.len()).collect();
    Some(Material {
        name: group.text("name")?.value,
        also: also(group),
        unit,
        sections: if own.is_empty() { all() } else { own },
        need: need?,
        price: price.and_then(|price| Some(numbered(&price, unit.price()?))),
        warn_over: share("warn_over"),
        warn_under: share("warn_under"),
        line: group.at.line,
    })
}

/// Reports keys that the way of reckoning lacks, and those that mean nothing with it.
fn keys_fit(reader: &mut Reader<'_>, group: &Group, needed: &Found<String>) {
    let (must, may) = keys_of(&needed.value);
    for key in must.iter().filter(|key| !group.has(key)) {
        let message = format!("'{}' is needed {}, which takes '{key}'", group.key, needed.value);
        reader.mistake(needed.at, message, format!("add '{key}' to the material"));
    }
    for key in NEED_KEYS.iter().filter(|key| group.has(key) && !must.contains(key) && !may.contains(key)) {
        let message = format!("'{}.{key}' says nothing of a material that is needed {}", group.key, needed.value);
        reader.mistake(group.at(key), message, "take it out, or change how much is needed");
    }
}

fn need(reader: &mut Reader<'_>, group: &Group, ground: &Ground, needed: &Found<String>) -> Option<Need> {
    let quantity = |reader: &mut Reader<'_>, key: &str| -> Option<Entered> {
        let found = group.quantity(key)?;
        if found.value.0.is_zero() {
            reader.mistake(found.at, format!("'{}' is zero", found.key), "write the size it has");
            return None;
        }
        Some(entered(&found))
    };
    let number =
        |reader: &mut Reader<'_>, key: &str| amount(reader, group, key).map(|found| numbered(&found, Unit::One));
    Some(match needed.value.as_str() {
        "by volume" => Need::Volume {
            depth: quantity(reader, "depth")?,
            density: quantity(reader, "density")?,
            beyond_edges: quantity(reader, "beyond_edges"),
        },
        "by area" => Need::Area { covers: quantity(reader, "covers")?, edges: quantity(reader, "edges") },
        "at transverse joints" => {
            Need::TransverseJoints { spacing: quantity(reader, "spacing")?, pieces: number(reader, "pieces") }
        }
        "along longitudinal joints" => {
            Need::LongitudinalJoints { joints: joints(reader, group, ground)?, spacing: quantity(reader, "spacing") }
        }
        _ => Need::AlongLanes { count: number(reader, "count")? },
    })
}

/// Pairs of lanes of one alignment.
fn joints(reader: &mut Reader<'_>, group: &Group, ground: &Ground) -> Option<Vec<(LaneId, LaneId)>> {
    let pairs: Vec<Option<(LaneId, LaneId)>> =
        group.groups("joints").iter().map(|pair| joint(reader, pair, ground)).collect();
    pairs.into_iter().collect()
}

fn joint(reader: &mut Reader<'_>, pair: &Group, ground: &Ground) -> Option<(LaneId, LaneId)> {
    let mut lane = |key: &str| pair.text(key).and_then(|name| ground.lane_names.find(reader, &name));
    let (left, right) = (lane("left"), lane("right"));
    let (left, right) = (left?, right?);
    let of = |lane: usize| ground.lanes.get(lane).and_then(Option::as_ref).map(|lane| lane.alignment);
    if left == right || of(left) != of(right) {
        let message = format!("'{}' names no two lanes of one alignment, so they have no joint", pair.key);
        reader.mistake(pair.at, message, "name the two lanes that the joint lies between");
        return None;
    }
    Some((LaneId(u16::try_from(left).ok()?), LaneId(u16::try_from(right).ok()?)))
}

/// Whether the unit can hold what is needed.
fn fits(reader: &mut Reader<'_>, unit: &Found<Unit>, need: &Need) {
    let Some(system) = reader.system() else { return };
    let (kept, what) = kept_in(system, need);
    if !kept.contains(&unit.value) {
        let message = format!("'{}' says \"{}\", but the material is needed as {what}", unit.key, unit.written);
        let units: Vec<String> = kept.iter().map(ToString::to_string).collect();
        reader.mistake(unit.at, message, format!("write {}, or change how much is needed", units.join(" or ")));
    }
}

fn kept_in(system: System, need: &Need) -> (Vec<Unit>, &'static str) {
    match need {
        Need::Volume { .. } => (vec![system.bulk(), system.volume()], "a mass or a volume"),
        Need::Area { .. } => (vec![system.liquid()], "a liquid"),
        Need::TransverseJoints { pieces: Some(_), .. } | Need::LongitudinalJoints { spacing: Some(_), .. } => {
            (vec![Unit::Each], "pieces")
        }
        Need::TransverseJoints { .. } | Need::LongitudinalJoints { .. } | Need::AlongLanes { .. } => {
            (vec![system.length()], "a length")
        }
    }
}

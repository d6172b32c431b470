//! What the contract says about field sheets and fresh concrete.

use std::collections::BTreeSet;

use super::ground::entered;
use super::model::{Entered, FreshLimits};
use crate::intake::{SetAside, SheetRule, field_words, kind_words};
use crate::keyed::{At, Found, Group, Reader};

/// Limits on fresh concrete; `None` where mistaken.
pub(super) fn fresh(root: &Group) -> Option<FreshLimits> {
    let Some(group) = root.group("fresh") else {
        return (!root.has("fresh")).then(FreshLimits::default);
    };
    Some(FreshLimits {
        air: ends(group, "air")?,
        slump: ends(group, "slump")?,
        temperature: ends(group, "temperature")?,
        water_cement: ends(group, "water_cement")?,
    })
}

fn ends(group: &Group, key: &str) -> Option<(Option<Entered>, Option<Entered>)> {
    if !group.has(key) {
        return Some((None, None));
    }
    let [low, high] = group.limits(key)?.value;
    Some((low.as_ref().map(entered), high.as_ref().map(entered)))
}

/// What is said outright about sheets.
pub(super) fn sheets(reader: &mut Reader<'_>, root: &Group) -> Option<Vec<SheetRule>> {
    let rules: Vec<Option<SheetRule>> = root.groups("sheets").iter().map(|group| sheet(reader, group)).collect();
    rules.into_iter().collect()
}

fn sheet(reader: &mut Reader<'_>, group: &Group) -> Option<SheetRule> {
    let file = inside_field(reader, &group.text("file")?);
    if group.present_but(&["file", "sheet"]).is_empty() {
        reader.mistake(
            group.at,
            format!("'{}' says nothing about the sheet", group.key),
            "say its kind, heading_row, columns, units or every_row, or take it out",
        );
    }
    check_words(reader, group);
    Some(SheetRule {
        file: file?,
        sheet: group.text("sheet").map(|found| found.value),
        kind: group.text("kind").map(|found| found.value),
        heading_row: group.count("heading_row").map(|found| found.value),
        columns: plain(group.text_pairs("columns")),
        units: plain(group.unit_pairs("units")),
        every_row: plain(group.text_pairs("every_row")),
        line: group.at.line,
    })
}

/// Kinds and field words that intake does not know are refused with those it knows.
fn check_words(reader: &mut Reader<'_>, group: &Group) {
    let kind = group.text("kind");
    if let Some(kind) = kind.as_ref().filter(|k| !kind_words().contains(&k.value.as_str())) {
        let known = kind_words().join(", ");
        reader.mistake(
            kind.at,
            format!("'{}' says \"{}\", which is no kind of record", kind.key, kind.value),
            format!("write one of: {known}"),
        );
        return;
    }
    let kinds = kind.map_or_else(kind_words, |k| kind_words().into_iter().filter(|w| *w == k.value).collect());
    let known: BTreeSet<&str> = kinds.iter().filter_map(|k| field_words(k)).flatten().collect();
    let mut said: Vec<(At, String)> = Vec::new();
    let columns = group.text_pairs("columns").map(|f| f.value).unwrap_or_default();
    said.extend(columns.into_values().map(|f| (f.at, f.value)));
    let every = group.text_pairs("every_row").map(|f| f.value).unwrap_or_default();
    said.extend(every.into_iter().map(|(word, f)| (f.at, word)));
    let units = group.unit_pairs("units").map(|f| f.value).unwrap_or_default();
    said.extend(units.into_iter().map(|(word, f)| (f.at, word)));
    for (at, word) in said.into_iter().filter(|(_, word)| !known.contains(word.as_str())) {
        let known: Vec<&str> = known.iter().copied().collect();
        reader.mistake(
            at,
            format!("\"{word}\" is no field of {}", kinds.join(", ")),
            format!("write one of: {}", known.join(", ")),
        );
    }
}

fn plain<T>(
    found: Option<Found<std::collections::BTreeMap<String, Found<T>>>>,
) -> std::collections::BTreeMap<String, T> {
    found.map(|found| found.value.into_iter().map(|(key, value)| (key, value.value)).collect()).unwrap_or_default()
}

/// What is set aside.
pub(super) fn set_aside(reader: &mut Reader<'_>, root: &Group) -> Option<Vec<SetAside>> {
    let all: Vec<Option<SetAside>> = root.groups("set_aside").iter().map(|group| aside(reader, group)).collect();
    all.into_iter().collect()
}

fn aside(reader: &mut Reader<'_>, group: &Group) -> Option<SetAside> {
    let file = inside_field(reader, &group.text("file")?);
    Some(SetAside {
        file: file?,
        sheet: group.text("sheet").map(|found| found.value),
        rows: group.counts("rows").map(|found| found.value).unwrap_or_default(),
        reason: group.text("reason")?.value,
    })
}

/// Paths are given inside `field/`, with forward slashes.
fn inside_field(reader: &mut Reader<'_>, file: &Found<String>) -> Option<String> {
    let path = file.value.as_str();
    let remedy = if let Some(inside) = path.strip_prefix("field/").or_else(|| path.strip_prefix("./")) {
        format!("leave the front out: \"{inside}\"")
    } else if path.contains('\\') {
        format!("write it with forward slashes: \"{}\"", path.replace('\\', "/"))
    } else if path.starts_with('/') || path.split('/').any(|part| part == "..") || path.contains(':') {
        "write the path as it is inside the folder 'field', such as \"lab/cores.xlsx\"".to_string()
    } else {
        return Some(file.value.clone());
    };
    reader.mistake(
        file.at,
        format!("'{}' says \"{path}\"; paths are those inside the folder 'field'", file.key),
        remedy,
    );
    None
}

//! What the contract says about field sheets and fresh concrete.

use super::ground::entered;
use super::model::{Entered, FreshLimits};
use crate::intake::{SetAside, SheetRule};
use crate::keyed::{Found, Group, Reader};

/// Limits on fresh concrete; `None` where mistaken.
pub(super) fn fresh(root: &Group) -> Option<FreshLimits> {
    let Some(group) = root.group("fresh") else {
        return (!root.has("fresh")).then(FreshLimits::default);
    };
    Some(FreshLimits {
        air: ends(group, "air")?,
        slump: ends(group, "slump")?,
        temperature: ends(group, "temperature")?,
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

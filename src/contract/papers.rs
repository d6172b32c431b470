//! Papers that pay depends on, and whether a second person has to check what is paid.

use super::model::{Paper, PaperDue};
use crate::keyed::{Found, Group, Reader};

/// Whether a quantity that no second person checked keeps the reports open.
pub(super) fn checking(root: &Group) -> bool {
    root.group("checking").and_then(|group| group.flag("required")).is_some_and(|required| required.value)
}

/// The papers.
pub(super) fn papers(reader: &mut Reader<'_>, root: &Group) -> Option<Vec<Paper>> {
    let papers: Vec<Option<Paper>> = root.groups("papers").iter().map(|group| paper(reader, root, group)).collect();
    papers.into_iter().collect()
}

fn paper(reader: &mut Reader<'_>, root: &Group, group: &Group) -> Option<Paper> {
    let (on, within) = (group.date("due_on"), group.count("due_within_days"));
    let due = match (on.map(|day| day.value), within.map(|days| days.value)) {
        (Some(day), Some(days)) => PaperDue::Later(day, days),
        (Some(day), None) => PaperDue::On(day),
        (None, days) => PaperDue::AfterFirst(days.unwrap_or(0)),
    };
    let items: Vec<Option<usize>> =
        group.texts("items")?.value.iter().map(|number| item(reader, root, number)).collect();
    Some(Paper {
        paper: group.text("paper")?.value,
        items: items.into_iter().collect::<Option<Vec<_>>>()?,
        from: group.text("from").map(|from| from.value),
        due,
        holds: group.flag("holds").is_some_and(|holds| holds.value),
        line: group.at.line,
    })
}

fn item(reader: &mut Reader<'_>, root: &Group, number: &Found<String>) -> Option<usize> {
    let numbers: Vec<String> =
        root.groups("items").iter().filter_map(|item| Some(item.text("number")?.value)).collect();
    let place = numbers.iter().position(|known| *known == number.value);
    if place.is_none() {
        let message = format!("'{}' names item \"{}\", which the contract does not have", number.key, number.value);
        reader.mistake(number.at, message, format!("name one of: {}", numbers.join(", ")));
    }
    place
}

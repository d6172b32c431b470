//! Names of one kind in a contract: no two alike, and what refers to one finds it.

use crate::keyed::{At, Found, Group, Reader, nearest};

/// The names of one kind of thing, in the order of the file; `None` where one is missing.
pub(super) struct Names {
    what: &'static str,
    names: Vec<Option<Found<String>>>,
}

impl Names {
    /// Reads the name of each table and reports those that stand twice.
    pub(super) fn read(reader: &mut Reader<'_>, groups: &[Group], key: &str, what: &'static str) -> Self {
        let names: Vec<Option<Found<String>>> = groups.iter().map(|group| group.text(key)).collect();
        for (i, name) in names.iter().enumerate() {
            let Some(name) = name else { continue };
            let before = names[..i].iter().flatten().find(|b| folded(&b.value) == folded(&name.value));
            if let Some(before) = before {
                twice(reader, what, name, before.at);
            }
        }
        Self { what, names }
    }

    /// The same where what stands twice is reported elsewhere.
    pub(super) fn known(groups: &[Group], key: &str, what: &'static str) -> Self {
        Self { what, names: groups.iter().map(|group| group.text(key)).collect() }
    }

    /// The place of the thing that is meant; reports a name that nothing has.
    pub(super) fn find(&self, reader: &mut Reader<'_>, name: &Found<String>) -> Option<usize> {
        let place = self.names.iter().position(|n| n.as_ref().is_some_and(|n| n.value == name.value));
        if place.is_none() {
            let known: Vec<&str> = self.names.iter().flatten().map(|n| n.value.as_str()).collect();
            let remedy = match nearest(&name.value, known.iter().copied()) {
                Some(near) => format!("write \"{near}\" if that is meant"),
                None => format!("name one of: {}", known.join(", ")),
            };
            reader.mistake(
                name.at,
                format!("'{}' names the {} \"{}\", which is not in this file", name.key, self.what, name.value),
                remedy,
            );
        }
        place
    }

    /// The places of all that are meant; reports one that is named twice. `None` where any is not found.
    pub(super) fn find_all(&self, reader: &mut Reader<'_>, names: &[Found<String>]) -> Option<Vec<usize>> {
        let mut places = Vec::with_capacity(names.len());
        for (i, name) in names.iter().enumerate() {
            places.push(self.find(reader, name));
            if let Some(before) = names[..i].iter().find(|b| b.value == name.value) {
                twice(reader, self.what, name, before.at);
            }
        }
        places.into_iter().collect()
    }

    /// The name at a place; `this` word of what it is where it has none.
    pub(super) fn at(&self, place: usize) -> &str {
        self.names.get(place).and_then(Option::as_ref).map_or(self.what, |name| name.value.as_str())
    }
}

fn twice(reader: &mut Reader<'_>, what: &str, name: &Found<String>, before: At) {
    let message = format!("the {what} \"{}\" stands on line {} already", name.value, before.line);
    reader.mistake_with(name.at, before, message, format!("give each {what} its own name, once"));
}

/// Names that differ only in case, blanks and punctuation are read as one on a field sheet.
pub(super) fn folded(name: &str) -> String {
    let letters: String = name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    if letters.is_empty() { name.trim().to_string() } else { letters }
}

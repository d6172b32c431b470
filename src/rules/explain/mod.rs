//! A rule set in plain words, 100 columns wide, for whoever has to check that it is the agency's.

mod band;
mod combined;
mod construction;
mod page;
mod parts;
mod ride;
mod straightedge;
mod strength;
mod thickness;

use self::page::Page;
use super::model::{Compares, Property, RuleSet, Shape, Status};
use crate::units::System;

/// The rule in plain words, with its tables.
#[must_use]
pub fn explain(set: &RuleSet) -> String {
    let mut page = Page::default();
    page.titled(&set.title, &set.id, set.compares);
    let system = match set.system {
        System::Customary => "US customary",
        System::Si => "SI",
    };
    let combines = matches!(set.shape, Shape::Combined(_));
    if !combines {
        page.says("judges", &format!("{}, in {system} units", set.property.word()));
    }
    page.says("citation", &set.citation);
    page.says("status", status(set.status));
    set.notes.iter().for_each(|note| page.says("note", note));
    if !combines {
        page.says("compares", compares(set.compares));
    }
    page.line("");
    match &set.shape {
        Shape::Thickness(rule) => thickness::thickness(&mut page, rule),
        Shape::Strength(rule) => strength::strength(&mut page, rule, set.system.strength()),
        Shape::Band(rule) => band::band(&mut page, rule, set.property.word()),
        Shape::Ride(rule) => ride::ride(&mut page, rule),
        Shape::Straightedge(rule) => straightedge::straightedge(&mut page, rule),
        Shape::Construction(rule) => construction::construction(&mut page, rule),
        Shape::Combined(rule) => combined::combined(&mut page, rule),
    }
    page.text()
}

fn compares(compares: Compares) -> &'static str {
    match compares {
        Compares::Rounded => "values are rounded before they are compared (rounding method of ASTM E29)",
        Compares::Absolute => {
            "values are compared as computed (absolute method of ASTM E29); roundings are only what is shown"
        }
    }
}

/// Rule sets by property: id, status, title, and the citation under it.
#[must_use]
pub fn list(sets: &[RuleSet]) -> String {
    let mut page = Page::default();
    let column = sets.iter().map(|set| set.id.chars().count()).max().unwrap_or(0) + 2;
    for property in Property::ALL {
        let of: Vec<&RuleSet> = sets.iter().filter(|set| set.property == property).collect();
        if of.is_empty() {
            continue;
        }
        page.line(property.word());
        page.rule();
        for set in of {
            let head = format!("{:<column$}{:<13}", set.id, short(set.status));
            page.hanging(&head, &set.title);
            page.hanging(&" ".repeat(head.chars().count()), &set.citation);
        }
        page.line("");
    }
    for status in [Status::Transcribed, Status::FromMemory, Status::Example] {
        page.line(self::status(status));
    }
    page.text()
}

/// The status in a column.
fn short(status: Status) -> &'static str {
    match status {
        Status::Transcribed => "transcribed",
        Status::FromMemory => "from memory",
        Status::Example => "example",
    }
}

fn status(status: Status) -> &'static str {
    match status {
        Status::Transcribed => "transcribed: the rule's text was read",
        Status::FromMemory => "from memory: not to be relied on as the agency's current rule",
        Status::Example => "example: the shape of a rule, no agency's rule",
    }
}

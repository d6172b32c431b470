//! A rule set in plain words, 100 columns wide, for whoever has to check that it is the agency's.

mod band;
mod combined;
mod page;
mod parts;
mod ride;
mod straightedge;
mod strength;
mod thickness;

use self::page::Page;
use super::model::{Compares, RuleSet, Shape, Status};
use crate::units::System;

/// The rule in plain words, with its tables.
#[must_use]
pub fn explain(set: &RuleSet) -> String {
    let mut page = Page::default();
    page.line(&format!("{}   ({})", set.title, set.id));
    page.rule();
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
        Shape::Strength(rule) => strength::strength(&mut page, rule),
        Shape::Band(rule) => band::band(&mut page, rule, set.property.word()),
        Shape::Ride(rule) => ride::ride(&mut page, rule),
        Shape::Straightedge(rule) => straightedge::straightedge(&mut page, rule),
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

fn status(status: Status) -> &'static str {
    match status {
        Status::Transcribed => "transcribed: the rule's text was read",
        Status::FromMemory => "from memory: not to be relied on as the agency's current rule",
        Status::Example => "example: the shape of a rule, no agency's rule",
    }
}

//! From the text of a rule set to the rule, or to every mistake in it.

use super::band::band;
use super::combined::combined;
use super::construction::construction;
use super::keys::{AIR, COMBINED, CONSTRUCTION, SLUMP, SMOOTHNESS, STRAIGHTEDGE, STRENGTH, THICKNESS, WATER_CEMENT};
use super::model::{Compares, Property, RuleSet, Shape, Status};
use super::ride::ride;
use super::source::Source;
use super::straightedge::straightedge;
use super::strength::strength;
use super::thickness::thickness;
use crate::figure::Clause;
use crate::finding::{Code, Finding};
use crate::fingerprint::fingerprint;
use crate::keyed::{Found, Group, Key, Reader, Terms};

/// The rule set that a file describes; `file` is its name, as findings print it.
///
/// # Errors
/// Every mistake in the file at once, in its order, each with line, column and remedy.
pub fn load(file: &str, text: &str) -> Result<RuleSet, Vec<Finding>> {
    let terms = Terms { code: Code::RuleInvalid, file, keys: keys(property_in(text)), converts: false };
    let (mut reader, root) = Reader::open(terms, text);
    let built = root.and_then(|root| rule_set(&mut reader, &root, text));
    reader.finish(built)
}

/// The keys of a property's rule set.
pub(super) fn keys(property: Property) -> &'static [Key] {
    match property {
        Property::Thickness => THICKNESS,
        Property::Strength => STRENGTH,
        Property::Air => AIR,
        Property::Slump => SLUMP,
        Property::WaterCement => WATER_CEMENT,
        Property::Smoothness => SMOOTHNESS,
        Property::Straightedge => STRAIGHTEDGE,
        Property::Construction => CONSTRUCTION,
        Property::Combined => COMBINED,
    }
}

/// The property whose keys the file follows; thickness where it names none.
fn property_in(text: &str) -> Property {
    let (table, _) = toml::de::DeTable::parse_recoverable(text);
    let word = table.get_ref().get("property").and_then(|value| value.get_ref().as_str().map(ToString::to_string));
    word.and_then(|word| Property::named(&word)).unwrap_or(Property::Thickness)
}

/// Every part is read before any is given up, so that all mistakes are found. Where a mistake is reported, what is
/// returned no longer matters: the rule set is refused.
fn rule_set(reader: &mut Reader<'_>, root: &Group, text: &str) -> Option<RuleSet> {
    let id = root.text("id").filter(|id| well_named(reader, id)).map(|id| id.value);
    let (title, status, citation) = (root.text("title").map(|t| t.value), status(root), citation(root));
    let source = Source {
        id: id.clone().unwrap_or_default(),
        title: title.clone().unwrap_or_default(),
        citation: citation.clone().unwrap_or_default(),
        status,
    };
    let property = Property::named(&root.text("property")?.value)?;
    let absolute = root.text("compares").is_some_and(|word| word.value == "absolute");
    let compares = if absolute { Compares::Absolute } else { Compares::Rounded };
    let shape = match property {
        Property::Thickness => thickness(reader, root, &source, compares).map(Shape::Thickness),
        Property::Strength => strength(reader, root, &source, compares).map(Shape::Strength),
        Property::Air | Property::Slump | Property::WaterCement => {
            band(reader, root, &source, (property, compares)).map(Shape::Band)
        }
        Property::Smoothness => ride(reader, root, &source, compares).map(Shape::Ride),
        Property::Straightedge => straightedge(reader, root, &source, compares).map(Shape::Straightedge),
        Property::Construction => construction(reader, root, &source).map(Shape::Construction),
        Property::Combined => combined(reader, root, &source).map(Shape::Combined),
    };
    Some(RuleSet {
        id: id?,
        title: title?,
        citation: citation?,
        status: status?,
        notes: root.texts("notes").into_iter().flat_map(|list| list.value).map(|note| note.value).collect(),
        system: reader.system()?,
        compares,
        property,
        shape: shape?,
        text: text.into(),
        sha256: fingerprint(text),
    })
}

fn status(root: &Group) -> Option<Status> {
    Some(match root.text("status")?.value.as_str() {
        "transcribed" => Status::Transcribed,
        "from-memory" => Status::FromMemory,
        _ => Status::Example,
    })
}

/// The citation, with the day it takes effect where that is given.
fn citation(root: &Group) -> Option<Clause> {
    let citation = root.text("citation")?.value;
    Some(root.date("effective").map_or_else(|| citation.clone(), |day| format!("{citation}, effective {}", day.value)))
}

/// A contract writes the id, so it is one plain word.
fn well_named(reader: &mut Reader<'_>, id: &Found<String>) -> bool {
    let sound = id.value.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if !sound {
        let message = format!("'{}' is \"{}\"; an id is one word", id.key, id.value);
        reader.mistake(id.at, message, "use small letters, digits and '-', such as \"our-agency-thickness-2031\"");
    }
    sound
}

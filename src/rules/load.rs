//! From the text of a rule set to the rule, or to every mistake in it.

use rust_decimal::Decimal;

use super::keys::{STRENGTH, THICKNESS};
use super::model::{
    Floor, Judged, Leftover, LotBy, LotRule, Property, Reach, RuleNumber, RuleSet, Shape, Status, StrengthLot,
    StrengthRule, ThicknessRule,
};
use super::steps::steps;
use crate::figure::Clause;
use crate::finding::{Code, Finding};
use crate::keyed::{Found, Group, Reader, Terms, fingerprint, markdown};
use crate::units::{Rounding, Unit};

/// The rule set that a file describes; `file` is its name, as findings print it.
///
/// # Errors
/// Every mistake in the file at once, in its order, each with line, column and remedy.
pub fn load(file: &str, text: &str) -> Result<RuleSet, Vec<Finding>> {
    let keys = if judges_strength(text) { STRENGTH } else { THICKNESS };
    let terms = Terms { code: Code::RuleInvalid, file, keys, converts: false };
    let (mut reader, root) = Reader::open(terms, text);
    let built = root.and_then(|root| rule_set(&mut reader, &root, text));
    reader.finish(built)
}

/// Every key of a rule set in Markdown tables: for thickness, then for strength.
#[must_use]
pub fn keys_markdown() -> String {
    format!("## Thickness\n\n{}\n## Strength\n\n{}", markdown(THICKNESS), markdown(STRENGTH))
}

/// Which table of keys the file follows.
fn judges_strength(text: &str) -> bool {
    let (table, _) = toml::de::DeTable::parse_recoverable(text);
    table.get_ref().get("property").is_some_and(|value| value.get_ref().as_str() == Some("strength"))
}

/// What every number of a rule set carries.
pub(super) struct Source {
    /// Id.
    pub(super) id: String,
    /// Citation, with the day it takes effect.
    pub(super) citation: Clause,
    /// Title of the rule set.
    pub(super) title: String,
    /// Status.
    pub(super) status: Option<Status>,
}

impl Source {
    /// The clause of a table: its own, or the citation.
    pub(super) fn clause(&self, table: &Group) -> Clause {
        table.text("clause").map_or_else(|| self.citation.clone(), |found| found.value)
    }

    /// A quantity with or without a clause of its own.
    fn number(&self, table: &Group, key: &str) -> Option<RuleNumber> {
        self.given(table, key, Group::quantity)
    }

    /// A count with or without a clause of its own.
    fn count(&self, table: &Group, key: &str) -> Option<RuleNumber> {
        self.given(table, key, |group, key| group.count(key).map(|n| n.with((Decimal::from(n.value), Unit::One))))
    }

    fn given(
        &self,
        table: &Group,
        key: &str,
        pick: impl Fn(&Group, &str) -> Option<Found<(Decimal, Unit)>>,
    ) -> Option<RuleNumber> {
        let (found, clause) = match table.group(key) {
            Some(alone) => (pick(alone, "is")?, self.clause(alone)),
            None => (pick(table, key)?, self.clause(table)),
        };
        Some(RuleNumber {
            value: found.value.0,
            unit: found.value.1,
            written: found.written,
            set: self.id.clone(),
            key: found.key,
            clause,
        })
    }
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
    let property = property(root)?;
    let shape = match property {
        Property::Thickness => thickness(reader, root, &source).map(Shape::Thickness),
        Property::Strength => strength(reader, root, &source).map(Shape::Strength),
    };
    Some(RuleSet {
        id: id?,
        title: title?,
        citation: citation?,
        status: status?,
        notes: root.texts("notes").into_iter().flat_map(|list| list.value).map(|note| note.value).collect(),
        system: reader.system()?,
        property,
        shape: shape?,
        sha256: fingerprint(text),
    })
}

fn property(root: &Group) -> Option<Property> {
    Some(if root.text("property")?.value == "strength" { Property::Strength } else { Property::Thickness })
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

fn round(root: &Group, table: &str) -> Option<Rounding> {
    Some(root.group(table)?.rounding("round")?.value)
}

fn thickness(reader: &mut Reader<'_>, root: &Group, source: &Source) -> Option<ThicknessRule> {
    let lot = root.group("lot").and_then(|table| lot(reader, table, source));
    let deficiency = round(root, "deficiency");
    let steps = root.group("pay").and_then(|table| steps(reader, table, source, deficiency, reader.system()?.depth()));
    let (cores, average) = (root.group("cores")?, root.group("average")?);
    Some(ThicknessRule {
        lot: lot?,
        cores_per_lot: source.count(cores, "per_lot")?,
        core: round(root, "cores")?,
        average: round(root, "average")?,
        deficiency: deficiency?,
        thick_cap: source.number(cores, "thick_cap"),
        thin_exclusion: source.number(cores, "thin_exclusion"),
        judged: if average.text("judged")?.value == "section" { Judged::Section } else { Judged::Lot },
        tolerance: source.number(average, "tolerance")?,
        reach: if average.text("reach")?.value == "half way" { Reach::HalfWay } else { Reach::ToGoodCore },
        steps: steps?,
    })
}

fn lot(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<LotRule> {
    let by = match (table.has("area"), table.has("length")) {
        (true, false) => source.number(table, "area").map(LotBy::Area),
        (false, true) => source.number(table, "length").map(LotBy::Length),
        (has_both, _) => {
            let message = if has_both { "a lot is given by area and by length" } else { "a lot lacks its size" };
            reader.mistake(
                table.at,
                message,
                "write either 'area' (all lanes together) or 'length' (each lane by itself)",
            );
            None
        }
    };
    let leftover = match table.text("left_over")?.value.as_str() {
        "half joins" => Leftover::HalfJoins,
        "own" => Leftover::Own,
        _ => Leftover::Joins,
    };
    let by = by?;
    let (LotBy::Area(size) | LotBy::Length(size)) = &by;
    if size.value.is_zero() {
        reader.mistake(table.at, "a lot has no size", "give its area or length");
        return None;
    }
    Some(LotRule { by, leftover })
}

fn strength(reader: &mut Reader<'_>, root: &Group, source: &Source) -> Option<StrengthRule> {
    let deficiency = round(root, "deficiency");
    let steps = root.group("pay").and_then(|table| steps(reader, table, source, deficiency, Unit::Percent));
    let (test, running, floor) = (root.group("test")?, root.group("running")?, root.group("floor")?);
    Some(StrengthRule {
        lot: if root.group("lot")?.text("by")?.value == "placement" {
            StrengthLot::Placement
        } else {
            StrengthLot::Day
        },
        specimens_per_test: source.count(test, "specimens")?,
        test: round(root, "test")?,
        running: source.count(running, "tests")?,
        running_average: round(root, "running")?,
        floor: Floor {
            amount: source.number(floor, "below")?,
            up_to: source.number(floor, "up_to")?,
            percent: source.number(floor, "percent_above")?,
        },
        lot_average: round(root, "lot_average")?,
        deficiency: deficiency?,
        steps,
    })
}

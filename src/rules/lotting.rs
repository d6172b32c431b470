//! How pavement is cut into lots: by its size, by what was placed together, or by the number of tests.

use super::keys::{CLAUSE, count_of, number_of};
use super::model::RuleNumber;
use super::source::Source;
use crate::keyed::{Form, Group, Key, Measure, Need, Reader};

/// What a lot is measured by.
#[derive(Clone, Debug, PartialEq)]
pub enum LotBy {
    /// All lanes of a section together, so much plan area each.
    Area(RuleNumber),
    /// Each lane by itself, so much length each.
    Length(RuleNumber),
    /// All lanes of a section together, so much plan volume each.
    Volume(RuleNumber),
    /// So many consecutive tests each, with the placements they stand for. Strength only.
    Tests(RuleNumber),
    /// What was placed of a section on one day.
    Day,
    /// One placement's part of a section.
    Placement,
    /// A whole section.
    Section,
}

/// What becomes of the piece left over at a section's end, or of the tests left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leftover {
    /// Half a lot or more is a lot; less joins the lot before.
    HalfJoins,
    /// Always its own lot.
    Own,
    /// Always joins the lot before.
    Joins,
}

/// How lots are cut.
#[derive(Clone, Debug, PartialEq)]
pub struct LotRule {
    /// Measure.
    pub by: LotBy,
    /// Left over.
    pub leftover: Leftover,
}

const SIZES: [&str; 5] = ["area", "length", "volume", "tests", "by"];

pub(super) const LOT: &[Key] = &[
    Key::optional("area", number_of(&AREA, &AREA_ALONE), "\"2000 yd2\"", "size over all lanes of a section together")
        .need(Need::Depends(ONE_SIZE)),
    Key::optional("length", number_of(&LENGTH, &LENGTH_ALONE), "\"1000 ft\"", "length of each lane by itself")
        .need(Need::Depends(ONE_SIZE)),
    Key::optional(
        "volume",
        number_of(&VOLUME, &VOLUME_ALONE),
        "\"500 yd3\"",
        "size over all lanes of a section together, at the design thickness",
    )
    .need(Need::Depends(ONE_SIZE)),
    Key::optional("tests", count_of(), "3", "consecutive tests that make a lot, with the placements they stand for")
        .need(Need::Depends("one of the sizes; strength only")),
    Key::optional(
        "by",
        Form::Choice(&["day", "placement", "section"]),
        "\"day\"",
        "what was placed of a section on one day, one placement's part of a section, or the whole section",
    )
    .need(Need::Depends(ONE_SIZE)),
    Key::optional(
        "left_over",
        Form::Choice(&["half joins", "own", "joins"]),
        "\"half joins\"",
        "what is left at a section's end: its own lot from half a lot on and else part of the lot before, \
         always its own, or always part of the lot before",
    )
    .need(Need::Depends("with a size")),
    CLAUSE,
];

const ONE_SIZE: &str = "one of `area`, `length`, `volume`, `tests`, `by`";

const AREA: Form = Form::Quantity(Measure::Area);
const LENGTH: Form = Form::Quantity(Measure::Length);
const VOLUME: Form = Form::Quantity(Measure::Volume);
const AREA_ALONE: Form = super::keys::alone(&[super::keys::is(AREA, "\"2000 yd2\""), super::keys::OWN_CLAUSE]);
const LENGTH_ALONE: Form = super::keys::alone(&[super::keys::is(LENGTH, "\"1000 ft\""), super::keys::OWN_CLAUSE]);
const VOLUME_ALONE: Form = super::keys::alone(&[super::keys::is(VOLUME, "\"500 yd3\""), super::keys::OWN_CLAUSE]);

/// The lots that a table describes; `None` once its mistakes are reported. `with_tests` says whether a lot may be so many
/// tests.
pub(super) fn lot(reader: &mut Reader<'_>, table: &Group, source: &Source, with_tests: bool) -> Option<LotRule> {
    let sizes: Vec<&str> = SIZES.into_iter().filter(|key| table.has(key)).collect();
    let [only] = sizes.as_slice() else {
        let message = match sizes.split_last() {
            Some((last, first)) => format!("a lot is given by {} and by {last}", first.join(", by ")),
            None => "a lot lacks its size".to_string(),
        };
        reader.mistake(table.at, message, format!("write one of: {}", SIZES.map(|key| format!("'{key}'")).join(", ")));
        return None;
    };
    let by = match *only {
        "area" => LotBy::Area(source.number(table, "area")?),
        "length" => LotBy::Length(source.number(table, "length")?),
        "volume" => LotBy::Volume(source.number(table, "volume")?),
        "tests" => LotBy::Tests(source.count(table, "tests")?),
        _ => match table.text("by")?.value.as_str() {
            "day" => LotBy::Day,
            "placement" => LotBy::Placement,
            _ => LotBy::Section,
        },
    };
    let leftover = leftover(reader, table, &by)?;
    let size = match &by {
        LotBy::Area(size) | LotBy::Length(size) | LotBy::Volume(size) => Some(size),
        LotBy::Tests(_) | LotBy::Day | LotBy::Placement | LotBy::Section => None,
    };
    if size.is_some_and(|size| size.value.is_zero()) {
        reader.mistake(table.at(only), "a lot has no size", "give its area, length or volume");
        return None;
    }
    if matches!(by, LotBy::Tests(_)) && !with_tests {
        reader.mistake(
            table.at("tests"),
            "only lots of strength are so many tests",
            "give the lot's area, length, volume or 'by'",
        );
        return None;
    }
    Some(LotRule { by, leftover })
}

/// A lot of a size leaves something over; the others do not.
fn leftover(reader: &mut Reader<'_>, table: &Group, by: &LotBy) -> Option<Leftover> {
    let sized = !matches!(by, LotBy::Day | LotBy::Placement | LotBy::Section);
    match table.text("left_over").as_ref().map(|word| word.value.as_str()) {
        _ if table.has("left_over") && !sized => {
            let message = "nothing is left over where lots have no size";
            reader.mistake(table.at("left_over"), message, "take 'left_over' out");
            None
        }
        None if !sized => Some(Leftover::Own),
        Some("half joins") => Some(Leftover::HalfJoins),
        Some("own") => Some(Leftover::Own),
        Some(_) => Some(Leftover::Joins),
        None if table.has("left_over") => None,
        None => {
            let message = "a lot of a size lacks 'left_over'";
            reader.mistake(table.at, message, "write \"half joins\", \"own\" or \"joins\"");
            None
        }
    }
}

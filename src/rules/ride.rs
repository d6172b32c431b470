//! A rule for smoothness by an index: segments of a lane, the passes over each, and what their index is paid.
//!
//! ```text
//! index of a segment   I = (p1 + p2 + ... + pn) / n       its passes or wheel paths
//! index of a lot       I = (L1 I1 + L2 I2 + ...) / (L1 + L2 + ...)
//! money                a = pay for a whole segment x L / standard length
//! ```
//!
//! A segment that is longer or shorter than the standard is paid in proportion (UFGS 02753: unequal lengths are scaled to
//! a tenth of a mile), or like a whole one: the file says which. A percent or money per area needs no proportion, since
//! it holds for the area that the segment covers. Numbers stay in the unit system they were published in: the two columns
//! of an agency's table are two rule sets, because they are seldom exact twins.

use super::keys::{CLAUSE, OWN_CLAUSE, alone, count_of, is, number_of};
use super::lotting::{LotBy, LotRule, lot};
use super::model::{Compares, RuleNumber};
use super::pay::{Fed, Gives, Pay, pay};
use super::source::Source;
use crate::intake::RideIndex;
use crate::keyed::{Form, Group, Key, Measure as Kind, Need, Reader};
use crate::units::Rounding;

/// What money a segment of another length than the standard takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Partial {
    /// In proportion to its length.
    Prorated,
    /// That of a whole segment.
    Whole,
}

/// What a short piece is spared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spared {
    /// It is not judged at all.
    Judgement,
    /// It is priced, and never needs correction.
    Correction,
}

/// Pieces too short for the whole rule.
#[derive(Clone, Debug, PartialEq)]
pub struct ShortPieces {
    /// Shorter than this.
    pub under: RuleNumber,
    /// What they are spared.
    pub spared: Spared,
}

/// A rule for smoothness.
#[derive(Clone, Debug, PartialEq)]
pub struct RideRule {
    /// Lots whose measured segments stand for all of the lot; `None`: each segment by itself.
    pub lot: Option<LotRule>,
    /// Length of a whole segment.
    pub length: RuleNumber,
    /// Which index is judged.
    pub index: RideIndex,
    /// What another length is paid.
    pub partial: Partial,
    /// Short pieces.
    pub short: Option<ShortPieces>,
    /// Passes a segment needs.
    pub passes: RuleNumber,
    /// Rounding of the mean of the passes.
    pub round: Rounding,
    /// Above this index a segment needs correction.
    pub correct_above: Option<RuleNumber>,
    /// What is paid; `None` where the index changes no pay.
    pub pay: Option<Pay>,
}

pub(super) const SEGMENT: &[Key] = &[
    Key::required("length", number_of(&LENGTH, &LENGTH_ALONE), "\"528 ft\"", "length of a whole segment"),
    Key::required(
        "index",
        Form::Choice(&["roughness index", "profile index"]),
        "\"profile index\"",
        "which index is judged: roughness (IRI, MRI) or profile index (PI); segments with the other are not judged",
    ),
    Key::optional(
        "partial",
        Form::Choice(&["prorated", "whole"]),
        "\"prorated\"",
        "what a segment of another length takes of money per segment: so much in proportion to its length, or that of a \
         whole one",
    )
    .need(Need::Depends("with `pay_in = \"money per segment\"`")),
    Key::optional(
        "short_under",
        number_of(&LENGTH, &LENGTH_ALONE),
        "\"100 ft\"",
        "a piece shorter than this is spared what `short` says",
    )
    .need(Need::With("short")),
    Key::optional(
        "short",
        Form::Choice(&["not judged", "no correction"]),
        "\"no correction\"",
        "a short piece is not judged at all, or is priced in proportion and never needs correction",
    )
    .need(Need::With("short_under")),
    CLAUSE,
];

pub(super) const PASSES: &[Key] = &[
    Key::optional("least", count_of(), "3", "passes or wheel paths that a segment needs; else one"),
    Key::required("round", Form::Rounding, "\"0.1 half up\"", "rounding of their mean, the segment's index"),
    CLAUSE,
];

pub(super) const CORRECT: &[Key] = &[
    Key::required("above", number_of(&INDEX, &INDEX_ALONE), "\"7 in/mi\"", "a segment above this needs correction"),
    CLAUSE,
];

const LENGTH: Form = Form::Quantity(Kind::Length);
const LENGTH_ALONE: Form = alone(&[is(LENGTH, "\"528 ft\""), OWN_CLAUSE]);
const INDEX: Form = Form::Quantity(Kind::Roughness);
const INDEX_ALONE: Form = alone(&[is(INDEX, "\"7 in/mi\""), OWN_CLAUSE]);

/// The rule of a file; `None` once its mistakes are reported.
pub(super) fn ride(reader: &mut Reader<'_>, root: &Group, source: &Source, compares: Compares) -> Option<RideRule> {
    let lot = match root.group("lot") {
        Some(table) => {
            let rule = lot(reader, table, source, false)?;
            Some(on_the_ground(reader, table, rule)?)
        }
        None => None,
    };
    let passes = root.group("passes")?;
    let round = passes.rounding("round")?.value;
    let fed = Fed {
        unit: reader.system()?.roughness(),
        rounding: (compares == Compares::Rounded).then_some(round),
        signed: false,
        has_ratio: false,
        has_segment: true,
    };
    let table = match root.group("pay") {
        Some(table) => Some(pay(reader, table, source, fed)?),
        None => None,
    };
    let correct_above = match root.group("correct") {
        Some(table) => Some(source.number(table, "above")?),
        None => None,
    };
    if table.is_none() && correct_above.is_none() {
        reader.mistake(root.at, "the rule set neither pays nor corrects", "write [pay], [correct] or both");
        return None;
    }
    let segment = root.group("segment")?;
    let least = if passes.has("least") { source.count(passes, "least")? } else { source.one(passes, "passes.least") };
    Some(RideRule {
        lot,
        length: length(reader, segment, source)?,
        index: if segment.text("index")?.value == "roughness index" {
            RideIndex::Roughness
        } else {
            RideIndex::Profile
        },
        partial: partial(reader, segment, table.as_ref())?,
        short: short(segment, source)?,
        passes: least,
        round,
        correct_above,
        pay: table,
    })
}

/// The measured segments of a lot stand on the ground, so it is cut there.
fn on_the_ground(reader: &mut Reader<'_>, table: &Group, rule: LotRule) -> Option<LotRule> {
    if matches!(rule.by, LotBy::Area(_) | LotBy::Length(_) | LotBy::Volume(_) | LotBy::Section) {
        return Some(rule);
    }
    let message = "a segment can lie in the placements of several days, so its lot cannot be a day or a placement";
    reader.mistake(table.at, message, "give the lot's length or area, or take [lot] out");
    None
}

fn length(reader: &mut Reader<'_>, segment: &Group, source: &Source) -> Option<RuleNumber> {
    let length = source.number(segment, "length")?;
    if length.value.is_zero() {
        reader.mistake(segment.at("length"), "a segment has no length", "give the length of a whole segment");
        return None;
    }
    Some(length)
}

fn partial(reader: &mut Reader<'_>, segment: &Group, pay: Option<&Pay>) -> Option<Partial> {
    let by_segment = pay.is_some_and(|pay| pay.gives == Gives::MoneyPerSegment);
    match segment.text("partial").as_ref().map(|word| word.value.as_str()) {
        Some(_) if !by_segment => {
            let message = "'partial' is for money per segment, and this rule pays none";
            reader.mistake(
                segment.at("partial"),
                message,
                "take it out: a percent or a rate holds for the area covered",
            );
            None
        }
        Some("whole") => Some(Partial::Whole),
        None if segment.has("partial") => None,
        None if by_segment => {
            let message = "[segment] does not say what a segment of another length is paid";
            reader.mistake(segment.at, message, "write partial = \"prorated\" or \"whole\"");
            None
        }
        _ => Some(Partial::Prorated),
    }
}

/// `Some(None)` where the rule does not speak of short pieces.
#[expect(clippy::option_option, reason = "a mistake, nothing said, something said")]
fn short(segment: &Group, source: &Source) -> Option<Option<ShortPieces>> {
    if !segment.has("short_under") && !segment.has("short") {
        return Some(None);
    }
    let spared = if segment.text("short")?.value == "not judged" { Spared::Judgement } else { Spared::Correction };
    Some(Some(ShortPieces { under: source.number(segment, "short_under")?, spared }))
}

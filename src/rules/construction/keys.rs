//! The keys of a rule for construction.

use super::Proof;
use crate::keyed::{Form, Key, Measure as Kind, Need};
use crate::rules::keys::{CLAUSE, OWN_CLAUSE, alone, count_of, is, number_of, plain_of};
use crate::rules::lotting::LOT;

const ONE: Need = Need::Depends("at least one of them");

pub(in crate::rules) const STEPS: Key = Key::optional(
    "steps",
    Form::Texts,
    "[\"base\", \"cure\"]",
    "steps that must be on record for every placed stretch",
);

pub(in crate::rules) const DENSITIES: &[Key] = &[
    Key::required("layer", Form::Choice(&["subgrade", "base"]), "\"subgrade\"", "which layer"),
    Key::required("least", PERCENT, "\"95 percent\"", "lowest percent of the maximum dry density; it passes itself"),
    Key::optional("most", PERCENT, "\"105 percent\"", "highest percent; it passes itself"),
    Key::optional("moisture_least", POINTS, "\"-2 percent\"", "driest, in points against the optimum moisture"),
    Key::optional("moisture_most", POINTS, "\"2 percent\"", "wettest, in points against the optimum moisture"),
    Key::optional(
        "dry_round",
        Form::Rounding,
        "\"0.1 half up\"",
        "rounding of a dry density computed from a wet one, before its percent is taken; else carried as computed",
    ),
    Key::required("round", Form::Rounding, "\"0.1 half up\"", "rounding of the percent before it is compared"),
    Key::required(
        "printed_within",
        PERCENT,
        "\"0.1 percent\"",
        "how far a printed percent may be from the recomputed one; a verdict that turns within it is open",
    ),
    Key::optional(
        "retest_within",
        LENGTH,
        "\"25 ft\"",
        "how far along the line a retest may lie from the test that it repeats; anywhere in its lane where left out",
    ),
    Key::optional(
        "gravity",
        NUMBER,
        "2.68",
        "specific gravity of the solids for the zero-air-voids line, where the laboratory gives none",
    ),
    CLAUSE,
];

pub(in crate::rules) const LEVELS: &[Key] = &[
    Key::required("surface", Form::Choice(&["subgrade", "base", "pavement"]), "\"subgrade\"", "which surface"),
    Key::required("below", DEPTH, "\"0.5 in\"", "how far below design it may be; that far passes itself"),
    Key::required("above", DEPTH, "\"0 in\"", "how far above design it may be; that far passes itself"),
    CLAUSE,
];

pub(in crate::rules) const DEPTHS: &[Key] = &[
    Key::required("step", Form::Choice(&["reclaim", "base"]), "\"base\"", "which step: mixing of the grade, or base"),
    Key::required("least", DEPTH, "\"4 in\"", "lowest depth; it passes itself"),
    Key::optional("most", DEPTH, "\"6 in\"", "greatest depth; it passes itself"),
    CLAUSE,
];

pub(in crate::rules) const BARS: &[Key] = &[
    Key::required("bar", Form::Choice(&["dowel", "tie bar"]), "\"dowel\"", "which bar"),
    Key::optional("depth", DEPTH, "\"1 in\"", "greatest deviation up or down from the middle of the design thickness")
        .need(ONE),
    Key::optional("side", DEPTH, "\"1 in\"", "greatest deviation of the bar's middle from the joint").need(ONE),
    Key::optional("tilt", DEPTH, "\"0.5 in\"", "greatest tilt, end to end").need(ONE),
    Key::optional("skew", DEPTH, "\"0.5 in\"", "greatest turn, end to end").need(ONE),
    CLAUSE,
];

pub(in crate::rules) const JOINTS: &[Key] = &[
    Key::required("spacing", LENGTH, "\"15 ft\"", "planned distance of transverse joints"),
    Key::optional("most_thicknesses", NUMBER, "24", "how many design thicknesses apart they may be at most"),
    CLAUSE,
];

pub(in crate::rules) const SAW: &[Key] = &[
    Key::optional(
        "within",
        HOURS,
        "\"24 h\"",
        "longest time from the last concrete of a placement to the end of sawing; it passes itself",
    )
    .need(ONE),
    Key::optional(
        "least",
        PERCENT,
        "\"33 percent\"",
        "shallowest cut, in percent of the design thickness; it passes itself",
    )
    .need(ONE),
    Key::optional("round", Form::Rounding, "\"1 half up\"", "rounding of that percent before it is compared")
        .need(Need::With("least")),
    CLAUSE,
];

pub(in crate::rules) const CURE: &[Key] = &[
    Key::optional(
        "within",
        number_of(&Form::Quantity(Kind::Time), &MINUTES_ALONE),
        "\"30 min\"",
        "longest time from the last concrete of a placement until curing begins; it passes itself",
    )
    .need(ONE),
    Key::optional(
        "covers",
        number_of(&Form::Quantity(Kind::Coverage), &COVERAGE_ALONE),
        "\"150 ft2/gal\"",
        "largest area that one unit of compound may cover; it passes itself",
    )
    .need(ONE),
    CLAUSE,
];

pub(in crate::rules) const WEATHER: &[Key] = &[
    Key::optional("concrete_least", DEGREES, "\"50 F\"", "coolest concrete; it passes itself").need(ONE),
    Key::optional("concrete_most", DEGREES, "\"90 F\"", "warmest concrete; it passes itself").need(ONE),
    Key::optional("air_least", DEGREES, "\"40 F\"", "coolest air while concrete is placed; it passes itself").need(ONE),
    Key::optional("air_most", DEGREES, "\"95 F\"", "warmest air while concrete is placed; it passes itself").need(ONE),
    Key::optional(
        "evaporation",
        number_of(&Form::Quantity(Kind::Evaporation), &EVAPORATION_ALONE),
        "\"0.20 lb/ft2/h\"",
        "rate of evaporation at which, itself included, precautions against plastic shrinkage are due",
    )
    .need(ONE),
    Key::optional("round", Form::Rounding, "\"0.01 half up\"", "rounding of that rate before it is compared")
        .need(Need::With("evaporation")),
    CLAUSE,
];

pub(in crate::rules) const MATURITY: &[Key] = &[
    Key::required(
        "by",
        Form::Choice(&["factor", "age"]),
        "\"factor\"",
        "temperature-time factor above a datum, or equivalent age at a reference temperature",
    ),
    Key::optional("datum", DEGREES, "\"14 F\"", "temperature at and below which concrete gains nothing")
        .need(Need::Depends("with `by = \"factor\"`")),
    Key::optional("q", NUMBER, "5000", "activation energy over the gas constant, in kelvins")
        .need(Need::Depends("with `by = \"age\"`")),
    Key::optional("reference", DEGREES, "\"68 F\"", "reference temperature of the equivalent age")
        .need(Need::Depends("with `by = \"age\"`")),
    Key::required("least_specimens", count_of(), "5", "fewest specimens of a mix's curve"),
    Key::optional(
        "lower",
        PERCENT,
        "\"10 percent\"",
        "the lower end of the curve's prediction interval counts, at this chance of less; else the curve itself",
    ),
    Key::required("longest_gap", HOURS, "\"2 h\"", "longest time between two readings that is still reckoned through"),
    Key::required("round", Form::Rounding, "\"10 half up\"", "rounding of the strength before it is compared"),
    CLAUSE,
];

pub(in crate::rules) const OPENING: &[Key] = &[
    Key::optional(
        "strength",
        number_of(&Form::Quantity(Kind::Strength), &STRENGTH_ALONE),
        "\"3500 psi\"",
        "least strength; it passes itself",
    )
    .need(ONE),
    Key::optional("test", Form::Choice(&["cylinder", "beam"]), "\"cylinder\"", "compressive or flexural strength")
        .need(Need::With("strength")),
    Key::optional("age", number_of(&Form::Quantity(Kind::Age), &AGE_ALONE), "\"5 day\"", "least age; it passes itself")
        .need(ONE),
    Key::optional("needs", Form::Choice(&["both", "either"]), "\"both\"", "whether both are needed or either will do")
        .need(Need::Depends("with both `strength` and `age`")),
    CLAUSE,
];

pub(in crate::rules) const REQUIRED: &[Key] = &[
    Key::required("proof", Form::Choice(&PROOFS), "\"base-density\"", "what is to be proved"),
    Key::required("tests", count_of(), "1", "how many tests each piece needs at least"),
    Key::required(
        "lot",
        Form::Table(LOT),
        "{ length = \"1000 ft\", left_over = \"own\" }",
        "the pieces of pavement; a lot of so many tests is refused",
    ),
    CLAUSE,
];

/// The words of all proofs.
const PROOFS: [&str; Proof::ALL.len()] = {
    let mut words = [""; Proof::ALL.len()];
    let mut i = 0;
    while i < words.len() {
        words[i] = Proof::ALL[i].word();
        i += 1;
    }
    words
};

const PERCENT: Form = number_of(&Form::Quantity(Kind::Percent), &PERCENT_ALONE);
const POINTS: Form = number_of(&Form::Quantity(Kind::SignedPercent), &POINTS_ALONE);
const DEPTH: Form = number_of(&Form::Quantity(Kind::Depth), &DEPTH_ALONE);
const LENGTH: Form = number_of(&Form::Quantity(Kind::Length), &LENGTH_ALONE);
const HOURS: Form = number_of(&Form::Quantity(Kind::Hours), &HOURS_ALONE);
const DEGREES: Form = number_of(&Form::Quantity(Kind::Temperature), &DEGREES_ALONE);
const NUMBER: Form = plain_of(&NUMBER_ALONE);

const PERCENT_ALONE: Form = alone(&[is(Form::Quantity(Kind::Percent), "\"95 percent\""), OWN_CLAUSE]);
const POINTS_ALONE: Form = alone(&[is(Form::Quantity(Kind::SignedPercent), "\"-2 percent\""), OWN_CLAUSE]);
const DEPTH_ALONE: Form = alone(&[is(Form::Quantity(Kind::Depth), "\"1 in\""), OWN_CLAUSE]);
const LENGTH_ALONE: Form = alone(&[is(Form::Quantity(Kind::Length), "\"15 ft\""), OWN_CLAUSE]);
const HOURS_ALONE: Form = alone(&[is(Form::Quantity(Kind::Hours), "\"24 h\""), OWN_CLAUSE]);
const MINUTES_ALONE: Form = alone(&[is(Form::Quantity(Kind::Time), "\"30 min\""), OWN_CLAUSE]);
const COVERAGE_ALONE: Form = alone(&[is(Form::Quantity(Kind::Coverage), "\"150 ft2/gal\""), OWN_CLAUSE]);
const DEGREES_ALONE: Form = alone(&[is(Form::Quantity(Kind::Temperature), "\"50 F\""), OWN_CLAUSE]);
const EVAPORATION_ALONE: Form = alone(&[is(Form::Quantity(Kind::Evaporation), "\"0.20 lb/ft2/h\""), OWN_CLAUSE]);
const STRENGTH_ALONE: Form = alone(&[is(Form::Quantity(Kind::Strength), "\"3500 psi\""), OWN_CLAUSE]);
const AGE_ALONE: Form = alone(&[is(Form::Quantity(Kind::Age), "\"5 day\""), OWN_CLAUSE]);
const NUMBER_ALONE: Form = alone(&[is(Form::Number, "24"), OWN_CLAUSE]);

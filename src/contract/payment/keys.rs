//! The keys of `contract.toml` that speak of payment.

use crate::keyed::{Form, Key, Measure, Need};

use Form::{Choice, Date, Flag, Number, Quantity, Tables, Text};

pub(in crate::contract) const RETAINAGE: &[Key] = &[
    Key::required("percent", Quantity(Measure::Percent), "\"5 percent\"", "share of what is earned that is held back"),
    Key::optional(
        "steps",
        Tables(RETAINAGE_STEP),
        "[{ earned = \"50 percent\", percent = \"2.5 percent\", of = \"earned after\" }]",
        "other shares from a day or an amount on, in order; the last that is reached holds",
    ),
    Key::optional(
        "most",
        Quantity(Measure::ShareOrMoney),
        "\"5 percent\"",
        "most that is held back: an amount, or a percentage of the contract amount as changed",
    ),
    Key::optional(
        "release",
        Tables(RELEASE),
        "[{ from = 2031-07-01, percent = \"2.5 percent\" }]",
        "what is given back before the end, each rounded by itself; never more than was held back",
    ),
    Key::optional(
        "released_at_final",
        Flag,
        "true",
        "whether all of it is given back in the final period; not where left out",
    ),
];

/// What a step of retainage holds for.
const STEP_OF: &[&str] = &["all earned", "earned after"];

const RETAINAGE_STEP: &[Key] = &[
    Key::optional("from", Date, "2031-07-01", "first day on which it holds")
        .need(Need::Depends("this or `earned`")),
    Key::optional(
        "earned",
        Quantity(Measure::Percent),
        "\"50 percent\"",
        "share of the contract amount as changed, from which on it holds once so much is earned (reached is enough); measured on what \
         retainage is reckoned on",
    )
    .need(Need::Depends("this or `from`")),
    Key::required("percent", Quantity(Measure::Percent), "\"2.5 percent\"", "share held back"),
    Key::required(
        "of",
        Choice(STEP_OF),
        "\"all earned\"",
        "what it is taken of: all that is earned, or, with `earned`, what is earned after",
    ),
];

const RELEASE: &[Key] = &[
    Key::required("from", Date, "2031-07-01", "first day on which it is given back"),
    Key::required("percent", Quantity(Measure::Percent), "\"2.5 percent\"", "share of what retainage is reckoned on"),
];

/// Where an entry counts.
const COUNTS: &[&str] = &["as earned", "after retainage"];

pub(in crate::contract) const ENTRY: &[Key] = &[
    Key::required("id", Text, "\"D-1\"", "its own name, by which later entries reverse it"),
    Key::required("date", Date, "2031-05-31", "its day"),
    Key::required("reason", Text, "\"payroll documents missing\"", "why"),
    Key::required(
        "amount",
        Number,
        "\"-2,000.00\"",
        "amount, below zero for a deduction; never edited later, but reversed by another entry",
    ),
    Key::optional(
        "reverses",
        Text,
        "\"D-0\"",
        "the earlier entry that it gives back or takes back, in part or whole; of the other sign",
    )
    .need(Need::Depends("no; only of an earlier entry")),
    Key::optional("item", Text, "\"401\"", "the item it concerns"),
    Key::optional(
        "counts",
        Choice(COUNTS),
        "\"after retainage\"",
        "whether it counts as earned, so that retainage is taken of it, or after retainage, also where left out",
    ),
];

//! Every key of a rule set. One table for each property, since each has its own shape.
//!
//! Any table may carry a `clause`: document and section its numbers come from. Where it has none, the citation of the
//! rule set holds. A single number with a clause of its own is written `{ is = "0.20 in", clause = "..." }`.

use crate::keyed::{Form, Key, Measure, Need, UNITS};

use Form::{Choice, Count, Date, Either, Number, Quantity, Rounding, Table, Tables, Text, Texts};

const ID: Key = Key::required("id", Text, "\"example-stepped-average\"", "the id by which a contract chooses it");
const TITLE: Key =
    Key::required("title", Text, "\"Example: stepped table on a lot's average\"", "its title, as printed");
/// The key that tells which of the two tables a file follows.
pub(super) const PROPERTY: Key =
    Key::required("property", Choice(&["thickness", "strength"]), "\"thickness\"", "the property it judges");
const STATUS: Key = Key::required(
    "status",
    Choice(&["transcribed", "from-memory", "example"]),
    "\"example\"",
    "how it came here: the publication was read, it was written from memory, or it is an example of a shape",
);
const CITATION: Key =
    Key::required("citation", Text, "\"section 501.23, 1969\"", "document, section and year, as printed");
const EFFECTIVE: Key =
    Key::optional("effective", Date, "1969-01-01", "the day it takes effect; printed with the citation");
const NOTES: Key =
    Key::optional("notes", Texts, "[\"the percents are an example\"]", "what is open or inferred about it");
const CLAUSE: Key =
    Key::optional("clause", Text, "\"501.23(b)\"", "where the numbers of this table stand; else the citation");

/// A rule set for thickness.
pub(super) const THICKNESS: &[Key] = &[
    ID,
    TITLE,
    PROPERTY,
    STATUS,
    CITATION,
    EFFECTIVE,
    UNITS,
    NOTES,
    Key::required("lot", Table(AREA_LOT), "", "how the pavement is cut into lots"),
    Key::required("cores", Table(CORES), "", "how a core counts"),
    Key::required("average", Table(AVERAGE), "", "what is averaged and priced"),
    Key::required("deficiency", Table(DEFICIENCY), "", "the deficiency that enters the pay table"),
    Key::required("pay", Table(PAY), "", "deficiency to percent of the unit price"),
];

/// A rule set for strength.
pub(super) const STRENGTH: &[Key] = &[
    ID,
    TITLE,
    PROPERTY,
    STATUS,
    CITATION,
    EFFECTIVE,
    UNITS,
    NOTES,
    Key::required("lot", Table(STRENGTH_LOT), "", "which tests are judged together"),
    Key::required("test", Table(TEST), "", "how specimens make a test"),
    Key::required("running", Table(RUNNING), "", "the average of consecutive tests"),
    Key::required("floor", Table(FLOOR), "", "how far below the specified strength a single test may be"),
    Key::required("lot_average", Table(LOT_AVERAGE), "", "the average of a lot's tests"),
    Key::required(
        "deficiency",
        Table(DEFICIENCY),
        "",
        "what the average falls short, in percent of the specified strength",
    ),
    Key::optional(
        "pay",
        Table(PAY),
        "",
        "deficiency to percent of the unit price; without it strength does not change pay",
    ),
];

const AREA_LOT: &[Key] = &[
    Key::optional(
        "area",
        number_of(&AREA, &AREA_ALONE),
        "\"2000 yd2\"",
        "size of a lot over all lanes of a section together",
    )
    .need(Need::Depends("this or `length`")),
    Key::optional("length", number_of(&LENGTH, &LENGTH_ALONE), "\"1000 ft\"", "length of a lot of each lane by itself")
        .need(Need::Depends("this or `area`")),
    Key::required(
        "left_over",
        Choice(&["half joins", "own", "joins"]),
        "\"half joins\"",
        "the piece left at a section's end: its own lot from half a lot on and else part of the lot before, \
         always its own, or always part of the lot before",
    ),
    CLAUSE,
];

const CORES: &[Key] = &[
    Key::required("per_lot", count_of(), "3", "cores a lot needs"),
    Key::required("round", Rounding, "\"0.01 half up\"", "rounding of a core's length, the mean of its readings"),
    Key::optional(
        "thick_cap",
        number_of(&DEPTH, &DEPTH_ALONE),
        "\"0.20 in\"",
        "a core thicker than design by more than this counts as design plus this",
    ),
    Key::optional(
        "thin_exclusion",
        number_of(&DEPTH, &DEPTH_ALONE),
        "\"1.00 in\"",
        "a core deficient by more than this is left out of the average and needs exploratory cores",
    ),
    CLAUSE,
];

const AVERAGE: &[Key] = &[
    Key::required(
        "judged",
        Choice(&["lot", "section"]),
        "\"lot\"",
        "what is averaged and priced: the whole lot, or the deficient section around thin cores",
    ),
    Key::required(
        "tolerance",
        number_of(&DEPTH, &DEPTH_ALONE),
        "\"0.20 in\"",
        "a core deficient by no more than this is good",
    ),
    Key::required(
        "reach",
        Choice(&["to the good core", "half way"]),
        "\"to the good core\"",
        "how far a deficient section reaches toward the neighbouring good core of its lane",
    ),
    Key::required("round", Rounding, "\"0.01 half up\"", "rounding of the average"),
    CLAUSE,
];

const DEFICIENCY: &[Key] = &[
    Key::required("round", Rounding, "\"0.01 half up\"", "rounding of the deficiency before it enters the pay table"),
    CLAUSE,
];

const STRENGTH_LOT: &[Key] = &[
    Key::required(
        "by",
        Choice(&["day", "placement"]),
        "\"day\"",
        "all tests of a section cast on one day, or all tests of one placement",
    ),
    CLAUSE,
];

const TEST: &[Key] = &[
    Key::required("specimens", count_of(), "2", "specimens a test needs"),
    Key::required(
        "round",
        Rounding,
        "\"10 half up\"",
        "rounding of a test, the average of unrounded specimen strengths",
    ),
    CLAUSE,
];

const RUNNING: &[Key] = &[
    Key::required(
        "tests",
        count_of(),
        "3",
        "consecutive tests averaged; no such average may be below the specified strength",
    ),
    Key::required("round", Rounding, "\"10 half up\"", "rounding of that average"),
    CLAUSE,
];

const FLOOR: &[Key] = &[
    Key::required(
        "below",
        number_of(&STRENGTH_VALUE, &STRENGTH_ALONE),
        "\"500 psi\"",
        "a test may be no more than this below, where the specified strength is at most `up_to`",
    ),
    Key::required(
        "up_to",
        number_of(&STRENGTH_VALUE, &STRENGTH_ALONE),
        "\"5000 psi\"",
        "specified strength up to which `below` holds",
    ),
    Key::required(
        "percent_above",
        number_of(&PERCENT, &PERCENT_ALONE),
        "\"10 percent\"",
        "above `up_to`, a test may be no more than this share of the specified strength below",
    ),
    CLAUSE,
];

const LOT_AVERAGE: &[Key] =
    &[Key::required("round", Rounding, "\"10 half up\"", "rounding of the average of a lot's tests"), CLAUSE];

const PAY: &[Key] = &[
    Key::required("title", Text, "\"table 1\"", "the table's title, as printed"),
    Key::required("deficiency_in", Form::Unit, "\"in\"", "unit of `from` and `to`"),
    Key::required("pay_in", Choice(&["percent"]), "\"percent\"", "unit of `pay`: percent of the unit price"),
    Key::required(
        "ends",
        Choice(&["both", "lower", "upper"]),
        "\"both\"",
        "which ends belong to a step: both (0.21 to 0.30, then 0.31 to 0.40, on the grid of the deficiency's rounding), \
         only the lower, or only the upper (each step then begins where the one before ends)",
    ),
    Key::required(
        "steps",
        Tables(STEP),
        "[{ to = 0.20, pay = 100 }, { from = 0.21, pay = 0 }]",
        "the steps, in ascending order; the first begins at 0 or has no `from`, the last has no `to`: every deficiency has its step",
    ),
    CLAUSE,
];

const STEP: &[Key] = &[
    Key::optional("from", Number, "0.21", "lower end").need(Need::Depends("yes; the first step may lack it")),
    Key::optional("to", Number, "0.30", "upper end").need(Need::Depends("yes, but never in the last step")),
    Key::required("pay", Number, "80", "what is paid"),
    Key::optional("word", Text, "\"engineer decides\"", "what the publication says beside the number"),
];

const AREA: Form = Quantity(Measure::Area);
const LENGTH: Form = Quantity(Measure::Length);
const DEPTH: Form = Quantity(Measure::Depth);
const STRENGTH_VALUE: Form = Quantity(Measure::Strength);
const PERCENT: Form = Quantity(Measure::Percent);

const AREA_ALONE: Form = Table(&[is(AREA, "\"2000 yd2\""), OWN_CLAUSE]);
const LENGTH_ALONE: Form = Table(&[is(LENGTH, "\"1000 ft\""), OWN_CLAUSE]);
const DEPTH_ALONE: Form = Table(&[is(DEPTH, "\"0.20 in\""), OWN_CLAUSE]);
const STRENGTH_ALONE: Form = Table(&[is(STRENGTH_VALUE, "\"500 psi\""), OWN_CLAUSE]);
const PERCENT_ALONE: Form = Table(&[is(PERCENT, "\"10 percent\""), OWN_CLAUSE]);
const COUNT_ALONE: Form = Table(&[is(Count, "3"), OWN_CLAUSE]);

const OWN_CLAUSE: Key = Key::required("clause", Text, "\"501.23(b)\"", "where this number stands");

const fn is(form: Form, example: &'static str) -> Key {
    Key::required("is", form, example, "the number")
}

/// A number by itself, or with a clause of its own.
const fn number_of(plain: &'static Form, alone: &'static Form) -> Form {
    Either(plain, alone)
}

const fn count_of() -> Form {
    Either(&Count, &COUNT_ALONE)
}

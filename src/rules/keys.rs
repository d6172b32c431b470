//! Every key of a rule set. One list of tables for each property, since each has its own shape.
//!
//! Any table may carry a `clause`: document and section its numbers come from. Where it has none, the citation of the
//! rule set holds. A single number with a clause of its own is written `{ is = "0.20 in", clause = "..." }`.

use super::band::{ABOVE, AIR_LIMITS, BELOW, DEVIATION, RATIO_LIMITS, REPRESENTS, SLUMP_LIMITS, TEST_RESULT};
use super::combined::COMBINE;
use super::construction::{
    BARS, CURE, DENSITIES, DEPTHS, JOINTS, LEVELS, MATURITY, OPENING, REQUIRED, SAW, STEPS, WEATHER,
};
use super::lotting::LOT;
use super::measure::{DEFICIENCY, INDEX};
use super::pay::PAY;
use super::quality::{OUTLIERS, VERIFICATION};
use super::ride::{CORRECT, PASSES, SEGMENT};
use super::straightedge::{OVER, TOLERANCE};
use super::strength::{CORE_TESTS, FLOOR, LOT_AVERAGE, RUNNING, TEST, WITHIN_STRENGTH};
use super::thickness::{AVERAGE, CORES, EXPLORE, VOLUME, WITHIN_DEPTH};
use crate::keyed::{Form, Key, Need, UNITS};

use Form::{Choice, Count, Date, Either, Table, Tables, Text, Texts};

const ID: Key = Key::required("id", Text, "\"example-stepped-average\"", "the id by which a contract chooses it");
const TITLE: Key =
    Key::required("title", Text, "\"Example: stepped table on a lot's average\"", "its title, as printed");
/// The key that tells which list of tables a file follows.
const PROPERTY: Key = Key::required("property", Choice(PROPERTIES), "\"thickness\"", "the property it judges");
const PROPERTIES: &[&str] = &[
    "thickness",
    "strength",
    "air",
    "slump",
    "water-cement",
    "smoothness",
    "straightedge",
    "construction",
    "combined",
];
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
const COMPARES: Key = Key::optional(
    "compares",
    Choice(&["rounded", "absolute"]),
    "\"absolute\"",
    "the method of ASTM E29: values are rounded before they are compared, or compared as computed and `round` is only \
     what is shown; else rounded",
);
/// A clause for the numbers of one table.
pub(super) const CLAUSE: Key =
    Key::optional("clause", Text, "\"501.23(b)\"", "where the numbers of this table stand; else the citation");

const LOT_TABLE: Key = Key::required("lot", Table(LOT), "", "how the pavement is cut into lots");
const DEFICIENCY_TABLE: Key =
    Key::optional("deficiency", Table(DEFICIENCY), "", "what the average falls short of its target").need(ONE_MEASURE);
const INDEX_TABLE: Key =
    Key::optional("index", Table(INDEX), "", "average less standard deviation, less the target").need(ONE_MEASURE);
const ONE_MEASURE: Need = Need::Depends("one of `deficiency`, `index`, `within`");
const OUTLIERS_TABLE: Key =
    Key::optional("outliers", Table(OUTLIERS), "", "results that stand apart from the others of their lot");
const VERIFICATION_TABLE: Key =
    Key::optional("verification", Table(VERIFICATION), "", "when the contractor's tests count beside the agency's");

/// What every rule set that judges begins with, and its own tables.
macro_rules! rule_set {
    ($($own:expr),+ $(,)?) => { [ID, TITLE, PROPERTY, STATUS, CITATION, EFFECTIVE, UNITS, COMPARES, NOTES, $($own),+] };
}

/// A rule set for thickness.
pub(super) const THICKNESS: &[Key] = &rule_set![
    LOT_TABLE,
    Key::required("cores", Table(CORES), "", "how a core counts"),
    Key::required("average", Table(AVERAGE), "", "what is averaged and priced"),
    DEFICIENCY_TABLE,
    INDEX_TABLE,
    Key::optional("within", Table(WITHIN_DEPTH), "", "percent of the lot within limits").need(ONE_MEASURE),
    Key::optional("volume", Table(VOLUME), "", "pay by the volume measured"),
    OUTLIERS_TABLE,
    VERIFICATION_TABLE,
    Key::optional("explore", Table(EXPLORE), "", "exploratory cores around a core left out or a deficient one"),
    Key::required("pay", Table(PAY), "", "what is paid"),
];

/// A rule set for strength.
pub(super) const STRENGTH: &[Key] = &rule_set![
    LOT_TABLE,
    Key::required("test", Table(TEST), "", "how specimens make a test"),
    Key::optional("running", Table(RUNNING), "", "the average of consecutive tests"),
    Key::optional("floor", Table(FLOOR), "", "how far below the specified strength a single test may be"),
    Key::optional("core_tests", Table(CORE_TESTS), "", "drilled cores in place of the tests they settle"),
    Key::required("lot_average", Table(LOT_AVERAGE), "", "the average of a lot's tests"),
    DEFICIENCY_TABLE,
    INDEX_TABLE,
    Key::optional("within", Table(WITHIN_STRENGTH), "", "percent of the lot within limits").need(ONE_MEASURE),
    OUTLIERS_TABLE,
    VERIFICATION_TABLE,
    Key::optional("pay", Table(PAY), "", "what is paid; without it strength does not change pay"),
];

/// A rule set for a test of fresh concrete with limits of one kind.
const fn fresh(limits: &'static [Key]) -> [Key; 15] {
    rule_set![
        Key::required("limits", Table(limits), "", "between which limits a result is paid in full"),
        Key::required("test", Table(TEST_RESULT), "", "how a result is held against them"),
        Key::required("represents", Table(REPRESENTS), "", "what ground a test stands for"),
        Key::required("deviation", Table(DEVIATION), "", "how far a result lies beyond its limit"),
        BELOW,
        ABOVE,
    ]
}

/// A rule set for air content.
pub(super) const AIR: &[Key] = &fresh(AIR_LIMITS);
/// A rule set for slump.
pub(super) const SLUMP: &[Key] = &fresh(SLUMP_LIMITS);
/// A rule set for the water-cement ratio.
pub(super) const WATER_CEMENT: &[Key] = &fresh(RATIO_LIMITS);

/// A rule set for what several properties pay together.
pub(super) const COMBINED: &[Key] = &[
    ID,
    TITLE,
    PROPERTY,
    STATUS,
    CITATION,
    EFFECTIVE,
    UNITS,
    NOTES,
    Key::required("combine", Table(COMBINE), "", "which properties pay together, and how"),
];

/// A rule set for smoothness by an index.
pub(super) const SMOOTHNESS: &[Key] = &rule_set![
    Key::optional(
        "lot",
        Table(LOT),
        "",
        "lots whose measured segments stand for all of the lot; without it each segment is judged by itself",
    ),
    Key::required("segment", Table(SEGMENT), "", "what a segment is"),
    Key::required("passes", Table(PASSES), "", "how passes make a segment's index"),
    Key::optional("correct", Table(CORRECT), "", "when a segment needs correction").need(PAYS_OR_CORRECTS),
    Key::optional("pay", Table(PAY), "", "what is paid; without it the index does not change pay")
        .need(PAYS_OR_CORRECTS),
];
const PAYS_OR_CORRECTS: Need = Need::Depends("`correct`, `pay` or both");

/// A rule set for straightedge deviations.
pub(super) const STRAIGHTEDGE: &[Key] = &rule_set![
    LOT_TABLE,
    Key::required("tolerance", Table(TOLERANCE), "", "how great a deviation may be"),
    Key::optional("over", Table(OVER), "", "the percent of a lot's measurements over their tolerance"),
    Key::optional("pay", Table(PAY), "", "what is paid; without it deviations do not change pay"),
];

/// A rule set for the steps below, in and after the slab.
pub(super) const CONSTRUCTION: &[Key] = &rule_set![
    STEPS.need(SAYS),
    Key::optional("densities", Tables(DENSITIES), "", "density and moisture of a layer, once for each").need(SAYS),
    Key::optional("levels", Tables(LEVELS), "", "elevation of a surface against its design, once for each").need(SAYS),
    Key::optional("depths", Tables(DEPTHS), "", "depth of mixing and of the base, once for each").need(SAYS),
    Key::optional("bars", Tables(BARS), "", "where bars lie, once for each kind").need(SAYS),
    Key::optional("joints", Table(JOINTS), "", "transverse joints").need(SAYS),
    Key::optional("saw", Table(SAW), "", "how soon and how deep joints are sawn").need(SAYS),
    Key::optional("cure", Table(CURE), "", "how soon curing begins and how far its compound goes").need(SAYS),
    Key::optional("weather", Table(WEATHER), "", "temperatures and evaporation while concrete is placed").need(SAYS),
    Key::optional("maturity", Table(MATURITY), "", "strength by maturity (ASTM C1074)").need(SAYS),
    Key::optional("opening", Table(OPENING), "", "when the numbers for opening to traffic are reached").need(SAYS),
    Key::optional("required", Tables(REQUIRED), "", "how often something is to be proved, once for each").need(SAYS),
];
const SAYS: Need = Need::Depends("at least one of `steps` and the tables");

/// The clause of one number.
pub(super) const OWN_CLAUSE: Key = Key::required("clause", Text, "\"501.23(b)\"", "where this number stands");

/// The number itself, where it has a clause of its own.
pub(super) const fn is(form: Form, example: &'static str) -> Key {
    Key::required("is", form, example, "the number")
}

/// A number with a clause of its own.
pub(super) const fn alone(keys: &'static [Key]) -> Form {
    Table(keys)
}

/// A number by itself, or with a clause of its own.
pub(super) const fn number_of(plain: &'static Form, alone: &'static Form) -> Form {
    Either(plain, alone)
}

const COUNT_ALONE: Form = Table(&[is(Count, "3"), OWN_CLAUSE]);

/// A plain number by itself, or with a clause of its own.
pub(super) const fn plain_of(alone: &'static Form) -> Form {
    Either(&Form::Number, alone)
}

/// A count by itself, or with a clause of its own.
pub(super) const fn count_of() -> Form {
    Either(&Count, &COUNT_ALONE)
}

//! A rule for strength: how specimens make a test, the criteria on single tests, and what a lot's tests are paid.

use super::keys::{CLAUSE, OWN_CLAUSE, alone, count_of, is, number_of};
use super::lotting::{LotRule, lot};
use super::measure::{Measure, measure, within};
use super::model::{Compares, RuleNumber};
use super::pay::{Fed, Pay, pay};
use super::quality::{Outliers, Verification, outliers, verification};
use super::source::Source;
use crate::keyed::{Form, Group, Key, Measure as Kind, Need, Reader};
use crate::units::Rounding;

/// How far below the specified strength a single test may be.
#[derive(Clone, Debug, PartialEq)]
pub enum Floor {
    /// An amount.
    Amount(RuleNumber),
    /// A percentage of the specified strength.
    Percent(RuleNumber),
    /// An amount or a percentage, whichever allows less.
    Lesser {
        /// Amount.
        amount: RuleNumber,
        /// Percentage.
        percent: RuleNumber,
    },
    /// An amount up to some specified strength, above it a percentage.
    UpTo {
        /// So much below, where the specified strength is at most `up_to`.
        amount: RuleNumber,
        /// Specified strength up to which `amount` holds.
        up_to: RuleNumber,
        /// Above it, so many percent of the specified strength below.
        percent: RuleNumber,
    },
}

/// The average of consecutive tests.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    /// How many.
    pub tests: RuleNumber,
    /// Its rounding.
    pub round: Rounding,
}

/// Drilled cores in place of the tests they settle.
#[derive(Clone, Debug, PartialEq)]
pub struct CoreTests {
    /// A core counts as its strength divided by this percentage.
    pub share: RuleNumber,
    /// Pay of a lot with such cores; `None`: the rule's own.
    pub pay: Option<Pay>,
}

/// A rule for strength.
#[derive(Clone, Debug, PartialEq)]
pub struct StrengthRule {
    /// Lots.
    pub lot: LotRule,
    /// Specimens a test needs.
    pub specimens_per_test: RuleNumber,
    /// Rounding of a test, the average of unrounded specimen strengths.
    pub test: Rounding,
    /// Consecutive tests averaged.
    pub running: Option<Running>,
    /// Single-test floor.
    pub floor: Option<Floor>,
    /// Cores in place of tests.
    pub cores: Option<CoreTests>,
    /// Tests a lot needs.
    pub tests_per_lot: Option<RuleNumber>,
    /// Rounding of a lot's average.
    pub lot_average: Rounding,
    /// Flagging of outliers.
    pub outliers: Option<Outliers>,
    /// When the contractor's tests count.
    pub verification: Option<Verification>,
    /// What enters the pay table.
    pub measure: Measure,
    /// What is paid; `None` where strength does not change pay.
    pub pay: Option<Pay>,
}

pub(super) const TEST: &[Key] = &[
    Key::required("specimens", count_of(), "2", "specimens a test needs"),
    Key::optional("per_lot", count_of(), "4", "tests a lot needs; else one"),
    Key::required(
        "round",
        Form::Rounding,
        "\"10 half up\"",
        "rounding of a test, the average of unrounded specimen strengths",
    ),
    CLAUSE,
];

pub(super) const RUNNING: &[Key] = &[
    Key::required(
        "tests",
        count_of(),
        "3",
        "consecutive tests averaged; no such average may be below the specified strength",
    ),
    Key::required("round", Form::Rounding, "\"10 half up\"", "rounding of that average"),
    CLAUSE,
];

pub(super) const FLOOR: &[Key] = &[
    Key::optional(
        "below",
        number_of(&STRENGTH, &STRENGTH_ALONE),
        "\"500 psi\"",
        "a test may be no more than this below",
    )
    .need(Need::Depends("this, `percent`, or both")),
    Key::optional(
        "percent",
        number_of(&PERCENT, &PERCENT_ALONE),
        "\"12.5 percent\"",
        "a test may be no more than this share of the specified strength below; with `below` and without `up_to`, \
         whichever allows less",
    )
    .need(Need::Depends("this, `below`, or both")),
    Key::optional(
        "up_to",
        number_of(&STRENGTH, &STRENGTH_ALONE),
        "\"5000 psi\"",
        "specified strength up to which `below` holds, and above which `percent` does",
    )
    .need(Need::Depends("only with `below` and `percent`")),
    CLAUSE,
];

pub(super) const CORE_TESTS: &[Key] = &[
    Key::required(
        "share",
        number_of(&PERCENT, &PERCENT_ALONE),
        "\"85 percent\"",
        "a drilled core that settles a test counts as its strength divided by this",
    ),
    Key::optional(
        "pay",
        Form::Table(super::pay::PAY),
        "{ title = \"cores\", steps = [] }",
        "pay of a lot with such cores; else as without",
    ),
    CLAUSE,
];

pub(super) const LOT_AVERAGE: &[Key] =
    &[Key::required("round", Form::Rounding, "\"10 half up\"", "rounding of the average of a lot's tests"), CLAUSE];

pub(super) const WITHIN_STRENGTH: &[Key] = &within(&STRENGTH, &STRENGTH_ALONE);

const STRENGTH: Form = Form::Quantity(Kind::Strength);
const PERCENT: Form = Form::Quantity(Kind::Percent);
const STRENGTH_ALONE: Form = alone(&[is(STRENGTH, "\"500 psi\""), OWN_CLAUSE]);
const PERCENT_ALONE: Form = alone(&[is(PERCENT, "\"10 percent\""), OWN_CLAUSE]);

/// The rule of a file; `None` once its mistakes are reported.
pub(super) fn strength(
    reader: &mut Reader<'_>,
    root: &Group,
    source: &Source,
    compares: Compares,
) -> Option<StrengthRule> {
    let lot = root.group("lot").and_then(|table| lot(reader, table, source, true));
    let measure = measure(reader, root, source, true);
    let unit = reader.system()?.strength();
    let fed = measure.as_ref().map(|measure| {
        let (unit, rounding) = measure.fed(unit, compares);
        let signed = matches!(measure, Measure::Index { .. });
        Fed { unit, rounding, signed, has_ratio: matches!(measure, Measure::Deficiency { .. }), has_segment: false }
    });
    let table = match root.group("pay") {
        Some(table) => Some(pay(reader, table, source, fed?)?),
        None => None,
    };
    let floor = match root.group("floor") {
        Some(table) => Some(floor(reader, table, source)?),
        None => None,
    };
    let cores = match root.group("core_tests") {
        Some(group) => {
            let own = match group.group("pay") {
                Some(table) => Some(pay(reader, table, source, fed?)?),
                None => None,
            };
            Some(CoreTests { share: source.number(group, "share")?, pay: own })
        }
        None => None,
    };
    let test = root.group("test")?;
    Some(StrengthRule {
        lot: lot?,
        specimens_per_test: source.count(test, "specimens")?,
        test: test.rounding("round")?.value,
        running: root.group("running").and_then(|table| {
            Some(Running { tests: source.count(table, "tests")?, round: table.rounding("round")?.value })
        }),
        floor,
        cores,
        tests_per_lot: source.count(test, "per_lot"),
        lot_average: root.group("lot_average")?.rounding("round")?.value,
        outliers: outliers(root, source),
        verification: verification(root, source),
        measure: measure?,
        pay: table,
    })
}

fn floor(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<Floor> {
    let number = |key: &str| source.number(table, key);
    match (table.has("below"), table.has("percent"), table.has("up_to")) {
        (true, false, false) => Some(Floor::Amount(number("below")?)),
        (false, true, false) => Some(Floor::Percent(number("percent")?)),
        (true, true, false) => Some(Floor::Lesser { amount: number("below")?, percent: number("percent")? }),
        (true, true, true) => {
            Some(Floor::UpTo { amount: number("below")?, up_to: number("up_to")?, percent: number("percent")? })
        }
        (false, false, false) => {
            reader.mistake(table.at, "[floor] says nothing", "write 'below', 'percent' or both");
            None
        }
        _ => {
            let message = "'up_to' says where 'below' ends and 'percent' begins, and one of them is missing";
            reader.mistake(table.at("up_to"), message, "write both, or take 'up_to' out");
            None
        }
    }
}

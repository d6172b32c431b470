//! A rule for fresh concrete: what a result pays that lies outside its limits, with a table of its own on each side.
//!
//! ```text
//! deviation     d = L - r below the lowest, r - U above the highest; else 0
//! ```
//!
//! The two sides seldom pay alike: too little air costs more than too much. Published tables are written in the digits of
//! the test (0.1 percent of air, 0.001 of water-cement ratio), so the result is rounded before it is held against its
//! limits. The limits are the contract's, or the rule's own.

use super::keys::{CLAUSE, OWN_CLAUSE, alone, is, number_of};
use super::model::{Compares, Property, RuleNumber};
use super::pay::{Fed, PAY, Pay, pay};
use super::source::Source;
use crate::keyed::{Form, Group, Key, Measure as Kind, Need, Reader};
use crate::units::{Rounding, System, Unit};

/// Where the limits come from.
#[expect(clippy::large_enum_variant, reason = "there are a few rule sets, and boxes would be in the way")]
#[derive(Clone, Debug, PartialEq)]
pub enum BandLimits {
    /// The contract's `[fresh]`.
    Contract,
    /// The rule's own; a side without one is open.
    Own {
        /// Lowest.
        lowest: Option<RuleNumber>,
        /// Highest.
        highest: Option<RuleNumber>,
    },
}

/// The ground a test stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Represents {
    /// Its load's share of what was placed with it.
    Load,
    /// Its placement.
    Placement,
    /// What was placed of its section that day.
    Day,
}

/// What holds where several tests stand for one ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Several {
    /// The test that pays least.
    Worst,
    /// The mean of their results.
    Mean,
}

/// A rule for air content, slump or water-cement ratio.
#[derive(Clone, Debug, PartialEq)]
pub struct BandRule {
    /// Limits.
    pub limits: BandLimits,
    /// Rounding of a result before it is held against its limits.
    pub test: Rounding,
    /// Rounding of a deviation before it enters its table.
    pub deviation: Rounding,
    /// What a test stands for.
    pub represents: Represents,
    /// Several tests on one ground.
    pub several: Several,
    /// What is paid below the lowest; `None` where that side is open.
    pub below: Option<Pay>,
    /// What is paid above the highest; `None` where that side is open.
    pub above: Option<Pay>,
}

pub(super) const TEST_RESULT: &[Key] = &[
    Key::required(
        "round",
        Form::Rounding,
        "\"0.1 half up\"",
        "rounding of a result, or of the mean of several, before it is held against its limits",
    ),
    CLAUSE,
];

pub(super) const REPRESENTS: &[Key] = &[
    Key::required(
        "by",
        Form::Choice(&["load", "placement", "day"]),
        "\"load\"",
        "the ground a test stands for: its load's share of its placement's area by volume, its placement, or what was \
         placed of its section that day",
    ),
    Key::required(
        "several",
        Form::Choice(&["worst", "mean"]),
        "\"worst\"",
        "what holds where several tests stand for one ground: the one that pays least, or the mean of their results",
    ),
    CLAUSE,
];

pub(super) const DEVIATION: &[Key] = &[
    Key::required("round", Form::Rounding, "\"0.1 half up\"", "rounding of a deviation before it enters its table"),
    CLAUSE,
];

pub(super) const BELOW: Key = side("below", "what is paid below the lowest limit; without it `open` says so");
pub(super) const ABOVE: Key = side("above", "what is paid above the highest limit; without it `open` says so");

const fn side(name: &'static str, meaning: &'static str) -> Key {
    Key::optional(name, Form::Table(PAY), "", meaning).need(Need::Depends("unless that side is open"))
}

/// Keys of `[limits]`, for limits of one kind.
const fn limits(plain: &'static Form, alone: &'static Form, examples: [&'static str; 2]) -> [Key; 5] {
    let own = "yes, unless taken from the contract or open";
    [
        Key::optional(
            "from",
            Form::Choice(&["contract"]),
            "\"contract\"",
            "the limits are those of the contract's `[fresh]`; without it they are written here",
        ),
        Key::optional("lowest", number_of(plain, alone), examples[0], "lowest that pays in full")
            .need(Need::Depends(own)),
        Key::optional("highest", number_of(plain, alone), examples[1], "highest that pays in full")
            .need(Need::Depends(own)),
        Key::optional(
            "open",
            Form::Choice(&["below", "above"]),
            "\"below\"",
            "the side that this rule does not judge, such as a low water-cement ratio",
        ),
        CLAUSE,
    ]
}

pub(super) const AIR_LIMITS: &[Key] = &limits(&PERCENT, &PERCENT_ALONE, ["\"5 percent\"", "\"8 percent\""]);
pub(super) const SLUMP_LIMITS: &[Key] = &limits(&DEPTH, &DEPTH_ALONE, ["\"1 in\"", "\"3 in\""]);
pub(super) const RATIO_LIMITS: &[Key] = &limits(&RATIO, &RATIO_ALONE, ["\"0.40\"", "\"0.45\""]);

const PERCENT: Form = Form::Quantity(Kind::Percent);
const DEPTH: Form = Form::Quantity(Kind::Depth);
const RATIO: Form = Form::Quantity(Kind::Ratio);
const PERCENT_ALONE: Form = alone(&[is(PERCENT, "\"5 percent\""), OWN_CLAUSE]);
const DEPTH_ALONE: Form = alone(&[is(DEPTH, "\"3 in\""), OWN_CLAUSE]);
const RATIO_ALONE: Form = alone(&[is(RATIO, "\"0.45\""), OWN_CLAUSE]);

/// The rule of a file; `None` once its mistakes are reported.
pub(super) fn band(
    reader: &mut Reader<'_>,
    root: &Group,
    source: &Source,
    (property, compares): (Property, Compares),
) -> Option<BandRule> {
    let table = root.group("limits");
    let limits = table.and_then(|table| band_limits(reader, table, source));
    let deviation = root.group("deviation").and_then(|table| table.rounding("round")).map(|found| found.value);
    let fed = Fed {
        unit: unit(property, reader.system()?),
        rounding: deviation.filter(|_| compares == Compares::Rounded),
        signed: false,
        has_ratio: false,
        has_segment: false,
    };
    let open = table.and_then(|table| table.text("open")).map(|word| word.value);
    let mut side = |key: &str| one_side(reader, root, source, (key, open.as_deref()), fed);
    let (below, above) = (side("below"), side("above"));
    if let (Ok(Some(low)), Ok(Some(high))) = (&below, &above)
        && low.gives != high.gives
    {
        let message = "[below] and [above] do not give the same: one pays a percent, the other takes off money";
        reader.mistake(
            root.group("above").map_or(root.at, |table| table.at("pay_in")),
            message,
            "let both say the same 'pay_in'",
        );
    }
    let represents = root.group("represents")?;
    Some(BandRule {
        limits: limits?,
        test: root.group("test")?.rounding("round")?.value,
        deviation: deviation?,
        represents: match represents.text("by")?.value.as_str() {
            "load" => Represents::Load,
            "placement" => Represents::Placement,
            _ => Represents::Day,
        },
        several: if represents.text("several")?.value == "worst" { Several::Worst } else { Several::Mean },
        below: below.ok()?,
        above: above.ok()?,
    })
}

/// Unit of a property's results.
fn unit(property: Property, system: System) -> Unit {
    match property {
        Property::Slump => system.depth(),
        Property::WaterCement => Unit::One,
        _ => Unit::Percent,
    }
}

/// The limits: the contract's, or one of the rule's own on each side that is not open.
fn band_limits(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<BandLimits> {
    let open = table.text("open").map(|word| word.value);
    let mut sound = true;
    for (key, side) in [("lowest", "below"), ("highest", "above")] {
        let wanted = !table.has("from") && open.as_deref() != Some(side);
        let (message, remedy) = match (table.has(key), wanted) {
            (true, false) if table.has("from") => {
                (format!("'limits.{key}' stands beside 'from', which takes the contract's"), "keep one of the two")
            }
            (true, false) => {
                (format!("'limits.{key}' stands beside 'open', which judges nothing {side}"), "keep one of the two")
            }
            (false, true) => (
                format!("[limits] has no '{key}'"),
                "write the limit, write from = \"contract\", or say that the side is open",
            ),
            _ => continue,
        };
        reader.mistake(table.at(key), message, remedy);
        sound = false;
    }
    if !sound {
        return None;
    }
    if table.has("from") {
        return Some(BandLimits::Contract);
    }
    let (lowest, highest) = (source.number(table, "lowest"), source.number(table, "highest"));
    if let (Some(low), Some(high)) = (&lowest, &highest)
        && low.value > high.value
    {
        let message = format!("the lowest, {}, is above the highest, {}", low.written, high.written);
        reader.mistake(table.at("lowest"), message, "write the lesser as 'lowest'");
        return None;
    }
    Some(BandLimits::Own { lowest, highest })
}

/// A mistake is reported.
struct Refused;

/// The table of a side, or nothing where the file says that it is open.
fn one_side(
    reader: &mut Reader<'_>,
    root: &Group,
    source: &Source,
    (key, open): (&str, Option<&str>),
    fed: Fed,
) -> Result<Option<Pay>, Refused> {
    match (root.group(key), open == Some(key)) {
        (Some(table), false) if table.text("entered_with").is_some_and(|word| word.value == "tests") => {
            let message = format!("[{key}] is entered with the number of tests, but a deviation enters it");
            reader.mistake(table.at("entered_with"), message, "take 'entered_with' out");
            Err(Refused)
        }
        (Some(table), false) => pay(reader, table, source, fed).map(Some).ok_or(Refused),
        (None, true) => Ok(None),
        (Some(table), true) => {
            let message = format!("[{key}] is a table for the side that [limits] calls open");
            reader.mistake(table.at, message, "take one of the two out");
            Err(Refused)
        }
        (None, false) if root.has(key) => Err(Refused),
        (None, false) => {
            let message = format!("nothing says what is paid {key} the limits");
            reader.mistake(root.at, message, format!("add [{key}], or write open = \"{key}\" under [limits]"));
            Err(Refused)
        }
    }
}

#[cfg(test)]
mod tests {
    use rust_decimal::dec;

    use super::*;
    use crate::rules::{Shape, load};

    const AIR: &str = include_str!("sets/iowa-2-34-air.toml");
    const RATIO: &str = include_str!("sets/iowa-2-34-water-cement.toml");
    const OWN: &str = include_str!("sets/example-air-band-si.toml");

    /// What is said once `from` has become `to`.
    #[track_caller]
    fn says(text: &str, from: &str, to: &str, expected: &str) {
        assert_eq!(text.matches(from).count(), 1, "'{from}' should stand once");
        let said = load("ours.toml", &text.replace(from, to)).unwrap_err();
        assert_eq!(said.iter().map(|f| f.message.as_str()).collect::<Vec<_>>(), [expected]);
    }

    #[test]
    fn a_side_without_a_table_is_open_only_by_word() {
        let Shape::Band(rule) = load("ours.toml", RATIO).unwrap().shape else { panic!("not a band") };
        assert_eq!((rule.below.is_none(), rule.above.is_some()), (true, true));
        says(RATIO, "open = \"below\"\n", "", "nothing says what is paid below the limits");
        let both = AIR.replace("from = \"contract\"", "from = \"contract\"\nopen = \"below\"");
        assert_eq!(
            load("ours.toml", &both).unwrap_err()[0].message,
            "[below] is a table for the side that [limits] calls open"
        );
    }

    #[test]
    fn limits_are_the_contracts_or_the_rules_never_both() {
        let Shape::Band(rule) = load("ours.toml", OWN).unwrap().shape else { panic!("not a band") };
        let BandLimits::Own { lowest, highest } = rule.limits else { panic!("own limits") };
        assert_eq!((lowest.unwrap().value, highest.unwrap().value), (dec!(4.5), dec!(7.5)));
        says(OWN, "highest = \"7.5 percent\"\n", "", "[limits] has no 'highest'");
        says(OWN, "\"7.5 percent\"", "\"4 percent\"", "the lowest, 4.5 percent, is above the highest, 4 percent");
        says(
            AIR,
            "from = \"contract\"",
            "from = \"contract\"\nlowest = \"5 percent\"",
            "'limits.lowest' stands beside 'from', which takes the contract's",
        );
    }

    #[test]
    fn tables_are_entered_with_the_deviation_in_its_unit() {
        says(
            RATIO,
            "entered_in = \"ratio\"",
            "entered_in = \"percent\"",
            "'above.entered_in' is \"percent\", but what enters the table is in ratio",
        );
        says(
            RATIO,
            "pay_in     = \"percent\"",
            "pay_in     = \"percent\"\nentered_with = \"tests\"",
            "[above] is entered with the number of tests, but a deviation enters it",
        );
        says(
            OWN,
            "points = [{ at = 0.0, pay = 100 }, { at = 2.0, pay = 70 }]",
            "points = [{ at = 2.0, pay = 100 }, { at = 0.0, pay = 70 }]",
            "the point at 0.0 does not come after the one at 2.0",
        );
        // A table in tenths with a deviation rounded to hundredths leaves 0.05 in no step.
        let finer = AIR.replace("[deviation]\nround = \"0.1 half up\"", "[deviation]\nround = \"0.01 half up\"");
        assert!(load("ours.toml", &finer).is_err());
    }
}

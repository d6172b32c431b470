//! What of a lot enters its pay table: a deficiency, an index that rewards uniformity, or a percent within limits.
//!
//! ```text
//! deficiency       D = larger of 0 and T - t               as a depth or strength, or in percent of T
//! index            I = (t - s) - T
//! within limits    QL = (t - L) / s, QU = (U - t) / s      P = PL + PU - 100
//! ```
//!
//! t is the average, T the target (design thickness, specified strength), s the standard deviation with n - 1. FHWA
//! "Percent Within Limits" (TRB Circular E-C074); P of Q by the symmetric beta distribution, or by a published table.
//! Between two values of such a table agencies look up, down, to the nearest, or interpolate, and pay differs: the file
//! says which.

use rust_decimal::Decimal;

use super::keys::{CLAUSE, number_of};
use super::model::{Compares, RuleNumber};
use super::source::Source;
use crate::figure::{Ends, Step, Steps};
use crate::keyed::{Form, Group, Key, Measure as Kind, Need, Reader};
use crate::units::{Rounding, Unit};

/// What enters the pay table.
#[expect(clippy::large_enum_variant, reason = "there are a few rule sets, and boxes would be in the way")]
#[derive(Clone, Debug, PartialEq)]
pub enum Measure {
    /// What the average is short of the target, in its unit or in percent of it.
    Deficiency {
        /// In percent of the target.
        in_percent: bool,
        /// Rounding before the table.
        round: Rounding,
    },
    /// Average less standard deviation, less the target.
    Index {
        /// Rounding of the standard deviation.
        spread: Rounding,
        /// Rounding before the table.
        round: Rounding,
    },
    /// Percent within limits.
    Within(WithinRule),
}

/// A limit, from the target.
#[derive(Clone, Debug, PartialEq)]
pub enum LimitFrom {
    /// So much below or above the target.
    By(RuleNumber),
    /// So many percent of the target.
    Percent(RuleNumber),
}

/// Between two values of a published table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LookUp {
    /// To the next greater percent.
    Up,
    /// To the next lesser percent.
    Down,
    /// To the nearest printed quality index; exactly half way goes up.
    Nearest,
    /// On the straight line between the two.
    Between,
}

/// How percent follows from a quality index.
#[derive(Clone, Debug, PartialEq)]
pub enum WithinBy {
    /// The symmetric beta distribution, exactly.
    Formula,
    /// A published table.
    Table {
        /// What happens between two values.
        look_up: LookUp,
        /// For so many tests from, to: the steps, and for [`LookUp::Between`] the columns of the line.
        columns: Vec<QualityColumn>,
    },
}

/// One column of a published table: for `from` to `to` tests.
#[derive(Clone, Debug, PartialEq)]
pub struct QualityColumn {
    /// Tests, from.
    pub from: u32,
    /// Tests, to.
    pub to: u32,
    /// Quality index and percent, as printed.
    pub printed: Vec<(Decimal, Decimal)>,
    /// Percent by quality index (not negative).
    pub percent: Steps,
    /// For interpolation: index from, percent there, index to, percent there.
    pub line: Option<Box<[Steps; 4]>>,
}

/// Percent within limits.
#[derive(Clone, Debug, PartialEq)]
pub struct WithinRule {
    /// Lower limit.
    pub lower: Option<LimitFrom>,
    /// Upper limit.
    pub upper: Option<LimitFrom>,
    /// How percent follows.
    pub by: WithinBy,
    /// Rounding of the standard deviation; `None`: carried as computed.
    pub spread: Option<Rounding>,
    /// Rounding of a quality index; `None`: carried as computed.
    pub index: Option<Rounding>,
    /// Rounding of the percent within limits; `None`: carried as computed.
    pub round: Option<Rounding>,
}

impl Measure {
    /// Unit and rounding of what enters the pay table, for a target in `unit`.
    pub(super) fn fed(&self, unit: Unit, compares: Compares) -> (Unit, Option<Rounding>) {
        let rounded = |round: Rounding| (compares == Compares::Rounded).then_some(round);
        match self {
            Measure::Deficiency { in_percent, round } => {
                (if *in_percent { Unit::Percent } else { unit }, rounded(*round))
            }
            Measure::Index { round, .. } => (unit, rounded(*round)),
            Measure::Within(rule) => (Unit::Percent, rule.round),
        }
    }
}

pub(super) const DEFICIENCY: &[Key] = &[
    Key::optional(
        "as",
        Form::Choice(&["value", "percent"]),
        "\"percent\"",
        "as it is measured (a depth, a strength) or in percent of the target; \
         else a thickness as it is measured and a strength in percent",
    ),
    Key::required(
        "round",
        Form::Rounding,
        "\"0.01 half up\"",
        "rounding of the deficiency before it enters the pay table",
    ),
    CLAUSE,
];

pub(super) const INDEX: &[Key] = &[
    Key::required("spread", Form::Rounding, "\"0.01 half up\"", "rounding of the standard deviation"),
    Key::required("round", Form::Rounding, "\"0.01 half up\"", "rounding of the index before it enters the pay table"),
    CLAUSE,
];

pub(super) const fn within(by: &'static Form, alone: &'static Form) -> [Key; 10] {
    [
        Key::optional("lower", number_of(by, alone), "\"0.50 in\"", "lower limit: so much below the target")
            .need(Need::Depends("at least one limit")),
        Key::optional(
            "lower_percent",
            number_of(&PERCENT, &PERCENT_ALONE),
            "\"93 percent\"",
            "lower limit: so many percent of the target",
        )
        .need(Need::Depends("at least one limit")),
        Key::optional("upper", number_of(by, alone), "\"0.75 in\"", "upper limit: so much above the target")
            .need(Need::Depends("at least one limit")),
        Key::optional(
            "upper_percent",
            number_of(&PERCENT, &PERCENT_ALONE),
            "\"130 percent\"",
            "upper limit: so many percent of the target",
        )
        .need(Need::Depends("at least one limit")),
        Key::required(
            "look_up",
            Form::Choice(&["formula", "up", "down", "nearest", "between"]),
            "\"formula\"",
            "percent of a quality index: by the beta distribution, or by the table, there to the next greater or next \
             lesser percent, to the nearest index, or on the straight line between two",
        ),
        Key::optional(
            "table",
            Form::Tables(QUALITY),
            "[{ tests = \"4\", percent = \"100 99 98\", index = \"1.50 1.47 1.44\" }]",
            "the published table, one entry for each number of tests",
        )
        .need(Need::Depends("unless `look_up` is \"formula\"")),
        Key::optional(
            "spread",
            Form::Rounding,
            "\"0.01 half up\"",
            "rounding of the standard deviation; else carried as computed",
        ),
        Key::optional(
            "index",
            Form::Rounding,
            "\"0.01 half up\"",
            "rounding of the quality index; else carried as computed",
        ),
        Key::optional(
            "round",
            Form::Rounding,
            "\"1 half up\"",
            "rounding of the percent within limits; else carried as computed",
        ),
        CLAUSE,
    ]
}

pub(super) const QUALITY: &[Key] = &[
    Key::required("tests", Form::Text, "\"10-11\"", "number of tests, or the first and last of a group"),
    Key::required("percent", Form::Text, "\"100 99 98\"", "percents, from the greatest down"),
    Key::required("index", Form::Text, "\"1.50 1.47 1.44\"", "quality index of each percent, as printed"),
];

const PERCENT: Form = Form::Quantity(Kind::Percent);
const PERCENT_ALONE: Form = super::keys::alone(&[super::keys::is(PERCENT, "\"93 percent\""), super::keys::OWN_CLAUSE]);

/// The one measure that a rule set gives; `None` once its mistakes are reported. `in_percent` is what a deficiency is in
/// where the file does not say.
pub(super) fn measure(reader: &mut Reader<'_>, root: &Group, source: &Source, in_percent: bool) -> Option<Measure> {
    const WAYS: [&str; 3] = ["deficiency", "index", "within"];
    let given: Vec<&str> = WAYS.into_iter().filter(|key| root.has(key)).collect();
    let [only] = given.as_slice() else {
        let message = match given.split_last() {
            Some((last, first)) => format!("the rule set measures by [{}] and by [{last}]", first.join("] and [")),
            None => "the rule set does not say what enters its pay table".to_string(),
        };
        reader.mistake(root.at, message, "write one of the tables [deficiency], [index], [within]");
        return None;
    };
    let table = root.group(only)?;
    match *only {
        "deficiency" => Some(Measure::Deficiency {
            in_percent: table.text("as").map_or(in_percent, |word| word.value == "percent"),
            round: table.rounding("round")?.value,
        }),
        "index" => {
            Some(Measure::Index { spread: table.rounding("spread")?.value, round: table.rounding("round")?.value })
        }
        _ => within_rule(reader, table, source).map(Measure::Within),
    }
}

fn within_rule(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<WithinRule> {
    let lower = limit(reader, table, source, ["lower", "lower_percent"])?;
    let upper = limit(reader, table, source, ["upper", "upper_percent"])?;
    if lower.is_none() && upper.is_none() {
        reader.mistake(table.at, "[within] has no limit", "write 'lower', 'upper' or both");
        return None;
    }
    let round = |key: &str| table.rounding(key).map(|found| found.value);
    Some(WithinRule {
        lower,
        upper,
        by: within_by(reader, table, source)?,
        spread: round("spread"),
        index: round("index"),
        round: round("round"),
    })
}

/// `Some(None)` where neither key is there.
#[expect(clippy::option_option, reason = "a mistake, no limit, a limit")]
fn limit(
    reader: &mut Reader<'_>,
    table: &Group,
    source: &Source,
    [by, percent]: [&str; 2],
) -> Option<Option<LimitFrom>> {
    match (table.has(by), table.has(percent)) {
        (false, false) => Some(None),
        (true, false) => source.number(table, by).map(|n| Some(LimitFrom::By(n))),
        (false, true) => source.number(table, percent).map(|n| Some(LimitFrom::Percent(n))),
        (true, true) => {
            let message = format!("the limit is given as '{by}' and as '{percent}'");
            reader.mistake(table.at(percent), message, "keep one of the two");
            None
        }
    }
}

fn within_by(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<WithinBy> {
    let look_up = match table.text("look_up")?.value.as_str() {
        "formula" if table.has("table") => {
            reader.mistake(
                table.at("table"),
                "'look_up' is \"formula\", so the table is not used",
                "take one of the two out",
            );
            return None;
        }
        "formula" => return Some(WithinBy::Formula),
        "up" => LookUp::Up,
        "down" => LookUp::Down,
        "nearest" => LookUp::Nearest,
        _ => LookUp::Between,
    };
    if !table.has("table") {
        reader.mistake(table.at("look_up"), "there is no table to look up in", "add 'table', or write \"formula\"");
        return None;
    }
    let columns: Option<Vec<QualityColumn>> =
        table.groups("table").iter().map(|group| column(reader, table, group, source, look_up)).collect();
    let mut columns = columns?;
    columns.sort_by_key(|c| c.from);
    if let Some(pair) = columns.windows(2).find(|pair| pair[0].to >= pair[1].from) {
        let message = format!("{} tests stand in two entries of the table", pair[1].from);
        reader.mistake(table.at("table"), message, "give each number of tests once");
        return None;
    }
    Some(WithinBy::Table { look_up, columns })
}

fn column(
    reader: &mut Reader<'_>,
    table: &Group,
    group: &Group,
    source: &Source,
    look_up: LookUp,
) -> Option<QualityColumn> {
    let tests = group.text("tests")?;
    let (from, to) = tests.value.split_once('-').unwrap_or((&tests.value, &tests.value));
    let (Ok(from), Ok(to)) = (from.trim().parse::<u32>(), to.trim().parse::<u32>()) else {
        reader.mistake(
            tests.at,
            format!("'{}' is \"{}\"", tests.key, tests.written),
            "write a number of tests, or \"10-11\"",
        );
        return None;
    };
    let percents = numbers(reader, group, "percent")?;
    let indexes = numbers(reader, group, "index")?;
    let falling = |values: &[Decimal]| values.windows(2).all(|pair| pair[0] > pair[1]);
    let sound = percents.len() == indexes.len()
        && percents.len() > 1
        && falling(&percents)
        && indexes.windows(2).all(|pair| pair[0] >= pair[1])
        && indexes.iter().all(|q| !q.is_sign_negative() || q.is_zero());
    if !sound || from < 2 || to < from {
        let message = format!(
            "the entry for {} tests has {} percents and {} indexes, or they do not run downward",
            tests.value,
            percents.len(),
            indexes.len()
        );
        reader.mistake(
            group.at,
            message,
            "give one index for each percent, both from the greatest down; negative indexes are mirrored",
        );
        return None;
    }
    let printed: Vec<Cell> = indexes.iter().copied().zip(percents.iter().copied()).collect();
    // Printed cells that stand twice (1.16 for 100 and 99) belong to the greater percent.
    let mut cells: Vec<(Decimal, Decimal)> = indexes.into_iter().zip(percents).collect();
    cells.dedup_by(|later, earlier| later.0 == earlier.0);
    cells.reverse();
    let title = format!("{}, quality index, {} tests", source.title, tests.value);
    let make = |what: &str, gives: Unit, ends: Ends, rows: Vec<Step>| {
        Some(Steps {
            title: if what.is_empty() { title.clone() } else { format!("{title}, {what}") },
            clause: source.honest_clause(table)?,
            set: source.id.clone(),
            entered_in: Unit::One,
            gives,
            ends,
            rows,
        })
    };
    let (ends, rows) = steps(&cells, look_up)?;
    let line = if look_up == LookUp::Between {
        let part = |what: &str, gives: Unit, pick: Pick| make(what, gives, Ends::Lower, line_rows(&cells, pick));
        Some(Box::new([
            part("index from", Unit::One, &|pair| pair[0].0)?,
            part("percent there", Unit::Percent, &|pair| pair[0].1)?,
            part("index to", Unit::One, &|pair| pair[1].0)?,
            part("percent at its end", Unit::Percent, &|pair| pair[1].1)?,
        ]))
    } else {
        None
    };
    Some(QualityColumn { from, to, printed, percent: make("", Unit::Percent, ends, rows)?, line })
}

fn numbers(reader: &mut Reader<'_>, group: &Group, key: &str) -> Option<Vec<Decimal>> {
    let text = group.text(key)?;
    let read: Result<Vec<Decimal>, &str> =
        text.value.split_whitespace().map(|word| word.parse::<Decimal>().map_err(|_| word)).collect();
    read.map_err(|word| {
        let message = format!("'{}' has \"{word}\" in it, which is not a number", text.key);
        reader.mistake(text.at, message, "write numbers with blanks between them");
    })
    .ok()
}

/// A cell of a printed table: quality index and percent.
type Cell = (Decimal, Decimal);

/// What a column has of two cells next to each other.
type Pick<'p> = &'p dyn Fn(&[Cell]) -> Decimal;

/// Steps from cells in ascending order of index.
fn steps(cells: &[Cell], look_up: LookUp) -> Option<(Ends, Vec<Step>)> {
    let step = |from, to, value| Step { from, to, value, open: false, word: String::new() };
    let (first, last) = (cells.first()?, cells.last()?);
    let mut rows = Vec::new();
    match look_up {
        // Up to and with a printed index: its percent; beyond the last, the last.
        LookUp::Up => {
            let mut from = None;
            for (index, percent) in cells {
                rows.push(step(from, Some(*index), *percent));
                from = Some(*index);
            }
            rows.push(step(from, None, last.1));
            Some((Ends::Upper, rows))
        }
        LookUp::Down | LookUp::Between => {
            rows.push(step(None, Some(first.0), first.1));
            for pair in cells.windows(2) {
                rows.push(step(Some(pair[0].0), Some(pair[1].0), pair[0].1));
            }
            rows.push(step(Some(last.0), None, last.1));
            Some((Ends::Lower, rows))
        }
        LookUp::Nearest => {
            let mut from = None;
            for pair in cells.windows(2) {
                let middle = (pair[0].0 + pair[1].0) / Decimal::TWO;
                rows.push(step(from, Some(middle), pair[0].1));
                from = Some(middle);
            }
            rows.push(step(from, None, last.1));
            Some((Ends::Lower, rows))
        }
    }
}

/// The columns of the line: below the first and above the last cell it is level.
fn line_rows(cells: &[Cell], pick: Pick<'_>) -> Vec<Step> {
    let step = |from, to, value| Step { from, to, value, open: false, word: String::new() };
    let (Some(first), Some(last)) = (cells.first(), cells.last()) else { return Vec::new() };
    let level = |(index, percent): &(Decimal, Decimal)| [(*index, *percent), (index + Decimal::ONE, *percent)];
    let mut rows = vec![step(None, Some(first.0), pick(&level(first)))];
    rows.extend(cells.windows(2).map(|pair| step(Some(pair[0].0), Some(pair[1].0), pick(pair))));
    rows.push(step(Some(last.0), None, pick(&level(last))));
    rows
}

//! What a rule pays for what was measured: steps, straight lines, curves and powers, all as one table of steps.
//!
//! ```text
//! step      pay
//! line      plus + times x + squared x^2                     x and the pay in percent
//! power     100 percent x (average / target)^power
//! points    straight line between two points of the table
//! curve     plus + times x + squared x^2, by the number of tests
//! ```
//!
//! The step that a value falls into is looked up; each coefficient is a column of that table, so that one formula holds
//! for all steps. A step with a decision leaves it to the engineer, and pays so much until then.

use rust_decimal::Decimal;

use super::keys::{CLAUSE, number_of};
use super::model::RuleNumber;
use super::source::Source;
use super::steps::{Grid, Row, rows_in_order};
use crate::figure::{Ends, Step, Steps};
use crate::keyed::{Form, Group, Key, Measure, Need, Reader};
use crate::units::{Rounding, System, Unit};

/// What a pay table gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gives {
    /// Percent of the unit price that is paid.
    Percent,
    /// Money for each unit of area, taken off the price where negative.
    MoneyPerArea,
    /// Money for a whole segment, a part of it in proportion.
    MoneyPerSegment,
}

/// How the pay follows from the step.
#[expect(clippy::large_enum_variant, reason = "there are a few rule sets, and boxes would be in the way")]
#[derive(Clone, Debug, PartialEq)]
pub enum PayForm {
    /// What the step says.
    Step,
    /// [`Pay::steps`] + `times` x + `squared` x^2 + `share` (average / target)^`power`; columns that no step has are left
    /// out.
    Formula {
        /// Coefficient of x.
        times: Option<Steps>,
        /// Coefficient of x^2.
        squared: Option<Steps>,
        /// Percent before the power, and its exponent.
        power: Option<(Steps, Steps)>,
        /// True where x and the pay are taken as ratios (0.90 for 90 percent).
        in_ratios: bool,
        /// Most that is paid, by step.
        most: Option<Steps>,
    },
    /// Straight between two points: `from`, `at_from`, `to`, `at_to`.
    Points(Box<[Steps; 4]>),
}

/// What a pay table is entered with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EnteredWith {
    /// What was measured: a deficiency, an index, a percent within limits.
    Measure,
    /// The number of tests; what was measured is the x of the formula.
    Tests,
}

/// A pay table.
#[derive(Clone, Debug, PartialEq)]
pub struct Pay {
    /// What it gives.
    pub gives: Gives,
    /// The steps, with what each pays outright and what it leaves to a decision.
    pub steps: Steps,
    /// How the pay follows.
    pub form: PayForm,
    /// What enters it.
    pub entered_with: EnteredWith,
    /// Most that is paid.
    pub most: Option<RuleNumber>,
    /// Least that is paid, unless a step leaves it to a decision.
    pub least: Option<RuleNumber>,
    /// Rounding of what is paid; `None`: carried as computed.
    pub round: Option<Rounding>,
    /// Money per unit of volume by which an item is priced that is not paid by volume.
    pub price: Option<RuleNumber>,
}

/// What a rule feeds into its pay table.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fed {
    /// Unit of what enters.
    pub(super) unit: Unit,
    /// Its rounding; `None` where it enters as computed.
    pub(super) rounding: Option<Rounding>,
    /// Whether it can be below zero.
    pub(super) signed: bool,
    /// Whether there is an average over a target, so that powers of it can be taken.
    pub(super) has_ratio: bool,
    /// Whether there is a segment that money can be paid for.
    pub(super) has_segment: bool,
}

pub(super) const PAY: &[Key] = &[
    Key::required("title", Form::Text, "\"table 1\"", "the table's title, as printed"),
    Key::required(
        "entered_in",
        Form::Unit,
        "\"in\"",
        "unit of `from`, `to` and `at`; \"each\" where they are a number of tests",
    ),
    Key::optional(
        "entered_with",
        Form::Choice(&["measure", "tests"]),
        "\"tests\"",
        "what `from` and `to` are: what was measured, or the number of tests; else what was measured",
    ),
    Key::required(
        "pay_in",
        Form::Choice(&["percent", "ratio", "money per area", "money per segment"]),
        "\"percent\"",
        "what the table gives: percent of the unit price; the same as a ratio (coefficients then take ratios too); \
         money for each unit of area, or for a whole segment (minus for a deduction)",
    ),
    Key::required(
        "ends",
        Form::Choice(&["both", "lower", "upper"]),
        "\"both\"",
        "which ends belong to a step: both (0.21 to 0.30, then 0.31 to 0.40, on the grid of the rounding before it), \
         only the lower, or only the upper (each step then begins where the one before ends)",
    ),
    Key::optional(
        "steps",
        Form::Tables(STEP),
        "[{ to = 0.20, pay = 100 }, { from = 0.21, pay = 0 }]",
        "the steps, in ascending order; the first has no `from` or begins at zero, the last has no `to`",
    )
    .need(Need::Depends("this or `points`")),
    Key::optional(
        "points",
        Form::Tables(POINT),
        "[{ at = 35, pay = 105 }, { at = 60, pay = 100 }]",
        "points in ascending order, with straight lines between them; beyond the first and the last their pay holds",
    )
    .need(Need::Depends("this or `steps`")),
    Key::optional(
        "beyond",
        Form::Table(BEYOND),
        "{ pay = 0, decision = \"rejected\" }",
        "what holds above the last point",
    )
    .need(Need::Beside("points")),
    Key::optional("most", number_of(&PERCENT, &PERCENT_ALONE), "\"106 percent\"", "no more than this is paid"),
    Key::optional("least", number_of(&PERCENT, &PERCENT_ALONE), "\"50 percent\"", "no less than this is paid"),
    Key::optional("round", Form::Rounding, "\"0.1 half up\"", "rounding of what is paid; else carried as computed"),
    Key::optional(
        "price_per_volume",
        Form::Number,
        "300",
        "the price in the contract's currency for each unit of volume, where the item is not paid by volume",
    ),
    CLAUSE,
];

const STEP: &[Key] = &[
    Key::optional("from", Form::Number, "0.21", "lower end").need(Need::Depends("yes; the first step may lack it")),
    Key::optional("to", Form::Number, "0.30", "upper end").need(Need::Depends("yes, but never in the last step")),
    Key::optional("pay", Form::Number, "80", "what is paid")
        .need(Need::Depends("this, `power`, or `plus` and `times`")),
    Key::optional("power", Form::Count, "2", "what is paid: 100 percent times this power of average over target"),
    Key::optional("plus", Form::Number, "55", "what is paid: this plus `times` what was measured")
        .need(Need::With("times")),
    Key::optional("times", Form::Number, "0.5", "see `plus`").need(Need::With("plus")),
    Key::optional("squared", Form::Number, "-0.0065", "and this times its square").need(Need::Beside("times")),
    Key::optional("most", Form::Number, "103", "and no more than this").need(Need::Beside("times")),
    Key::optional("word", Form::Text, "\"applies to ramps too\"", "what the publication says beside the number"),
    Key::optional(
        "decision",
        Form::Text,
        "\"remove and replace, or leave in place without payment\"",
        "what the engineer decides here; until then the step's pay holds",
    ),
];

const POINT: &[Key] = &[
    Key::required("at", Form::Number, "35", "what was measured"),
    Key::required("pay", Form::Number, "105", "what is paid there"),
];

const BEYOND: &[Key] = &[
    Key::required("pay", Form::Number, "0", "what is paid"),
    Key::optional("decision", Form::Text, "\"rejected\"", "what the engineer decides"),
];

const PERCENT: Form = Form::Quantity(Measure::Percent);
const PERCENT_ALONE: Form = super::keys::alone(&[super::keys::is(PERCENT, "\"106 percent\""), super::keys::OWN_CLAUSE]);

/// The pay table; `None` once its mistakes are reported.
pub(super) fn pay(reader: &mut Reader<'_>, table: &Group, source: &Source, fed: Fed) -> Option<Pay> {
    let entered_with = match table.text("entered_with") {
        Some(word) if word.value == "tests" => EnteredWith::Tests,
        _ => EnteredWith::Measure,
    };
    let gives = gives(reader, table, fed);
    let unit = entered_in(reader, table, entered_with, fed);
    let in_ratios = table.text("pay_in").is_some_and(|word| word.value == "ratio");
    let made = Maker { table, source, entered_in: unit?, gives: gives_unit(gives?, reader.system()?) };
    if !all_used(reader, table, gives?, in_ratios) {
        return None;
    }
    let (steps, form) = match (table.has("steps"), table.has("points")) {
        (true, false) => made.by_steps(reader, entered_with, fed, in_ratios)?,
        (false, true) => made.by_points(reader)?,
        _ => {
            reader.mistake(table.at, "a pay table has either steps or points", "write 'steps' or 'points'");
            return None;
        }
    };
    Some(Pay {
        gives: gives?,
        steps,
        form,
        entered_with,
        most: source.number(table, "most"),
        least: source.number(table, "least"),
        round: table.rounding("round").map(|found| found.value),
        price: source.plain(table, "price_per_volume", price_unit(reader.system()?)),
    })
}

/// Nothing stands in the table that what it gives would pass over.
fn all_used(reader: &mut Reader<'_>, table: &Group, gives: Gives, in_ratios: bool) -> bool {
    let mut sound = true;
    for key in ["most", "least", "price_per_volume"].into_iter().filter(|key| gives != Gives::Percent && table.has(key))
    {
        let message = format!("'{key}' is for percents of a price, and this table gives money");
        reader.mistake(table.at(key), message, "take it out, or write pay_in = \"percent\"");
        sound = false;
    }
    let power = table.groups("steps").iter().any(|step| step.has("power"));
    if in_ratios && (table.has("points") || power) {
        let message = "'pay_in' is \"ratio\", and points and powers pay in percent";
        reader.mistake(table.at("pay_in"), message, "write \"percent\", and points in percent");
        sound = false;
    }
    sound
}

fn gives(reader: &mut Reader<'_>, table: &Group, fed: Fed) -> Option<Gives> {
    Some(match table.text("pay_in")?.value.as_str() {
        "money per area" => Gives::MoneyPerArea,
        "money per segment" if fed.has_segment => Gives::MoneyPerSegment,
        "money per segment" => {
            let message = "'pay_in' is \"money per segment\", but this rule judges no segments";
            reader.mistake(table.at("pay_in"), message, "write \"percent\" or \"money per area\"");
            return None;
        }
        _ => Gives::Percent,
    })
}

fn gives_unit(gives: Gives, system: System) -> Unit {
    match (gives, system) {
        (Gives::Percent, _) => Unit::Percent,
        (Gives::MoneyPerSegment, _) => Unit::Money,
        (Gives::MoneyPerArea, System::Customary) => Unit::MoneyPer(&Unit::SquareYard),
        (Gives::MoneyPerArea, System::Si) => Unit::MoneyPer(&Unit::SquareMetre),
    }
}

fn price_unit(system: System) -> Unit {
    match system {
        System::Customary => Unit::MoneyPer(&Unit::CubicYard),
        System::Si => Unit::MoneyPer(&Unit::CubicMetre),
    }
}

/// The table is written in the unit of what enters it.
fn entered_in(reader: &mut Reader<'_>, table: &Group, with: EnteredWith, fed: Fed) -> Option<Unit> {
    let wanted = if with == EnteredWith::Tests { Unit::Each } else { fed.unit };
    let unit = table.unit("entered_in")?;
    if unit.value == wanted {
        return Some(if with == EnteredWith::Tests { Unit::One } else { wanted });
    }
    let words = if wanted == Unit::One { "ratio".to_string() } else { wanted.to_string() };
    let message = format!("'{}' is \"{}\", but what enters the table is in {words}", unit.key, unit.written);
    reader.mistake(unit.at, message, format!("write the table in {words}"));
    None
}

/// Makes the columns of a pay table.
struct Maker<'a> {
    table: &'a Group,
    source: &'a Source,
    entered_in: Unit,
    gives: Unit,
}

/// Where only some steps have a most, the others are bounded by more than they can pay.
pub(super) const UNBOUNDED: Decimal = Decimal::ONE_THOUSAND;

/// One column: a value for each step.
type Column = Vec<Decimal>;

impl Maker<'_> {
    fn ends(&self) -> Option<Ends> {
        Some(match self.table.text("ends")?.value.as_str() {
            "both" => Ends::Both,
            "lower" => Ends::Lower,
            _ => Ends::Upper,
        })
    }

    fn column(&self, rows: &[Row], ends: Ends, what: &str, gives: Unit, values: Column) -> Option<Steps> {
        let title = self.table.text("title")?.value;
        let title = if what.is_empty() { title } else { format!("{title}, {what}") };
        Some(Steps {
            title: format!("{}, {title}", self.source.title),
            clause: self.source.honest_clause(self.table)?,
            set: self.source.id.clone(),
            entered_in: self.entered_in,
            gives,
            ends,
            rows: rows.iter().zip(values).map(|(row, value)| Step { value, ..row.step.clone() }).collect(),
        })
    }

    fn by_steps(
        &self,
        reader: &mut Reader<'_>,
        with: EnteredWith,
        fed: Fed,
        in_ratios: bool,
    ) -> Option<(Steps, PayForm)> {
        let groups = self.table.groups("steps");
        let rows: Option<Vec<Row>> = groups.iter().map(|group| self.row(reader, group, fed)).collect();
        let rows = rows.filter(|rows| !rows.is_empty())?;
        let ends = self.ends()?;
        let grid = if with == EnteredWith::Tests { Some(Rounding::to_decimals(0)) } else { fed.rounding };
        rows_in_order(
            reader,
            &rows,
            ends,
            &Grid { rounding: grid, signed: fed.signed && with == EnteredWith::Measure, at: self.table.at("ends") },
        )
        .then_some(())?;
        let of = |key: &str| groups.iter().map(|g| g.number(key).map(|n| n.value)).collect::<Vec<_>>();
        let any = |values: &[Option<Decimal>]| values.iter().any(Option::is_some);
        let (plus, pays, times, squared, most) = (of("plus"), of("pay"), of("times"), of("squared"), of("most"));
        let powers: Vec<Option<Decimal>> =
            groups.iter().map(|g| g.count("power").map(|n| Decimal::from(n.value))).collect();
        let base = pays.iter().zip(&plus).map(|(a, b)| a.or(*b).unwrap_or_default()).collect();
        let main = self.column(&rows, ends, "", if in_ratios { Unit::One } else { self.gives }, base)?;
        if !any(&times) && !any(&powers) {
            return Some((main, PayForm::Step));
        }
        if any(&times) && fed.unit != Unit::Percent {
            let message = format!("'times' is for what is measured in percent, and this enters in {}", fed.unit);
            reader.mistake(self.table.at("steps"), message, "write the line as 'points'");
            return None;
        }
        if any(&squared) && !in_ratios {
            let message = "'squared' is for ratios";
            reader.mistake(self.table.at("steps"), message, "write pay_in = \"ratio\" and the coefficients for ratios");
            return None;
        }
        let or_zero = |values: &[Option<Decimal>]| values.iter().map(|v| v.unwrap_or_default()).collect::<Column>();
        let optional = |what: &str, gives: Unit, values: &[Option<Decimal>]| {
            if any(values) { self.column(&rows, ends, what, gives, or_zero(values)).map(Some) } else { Some(None) }
        };
        let power = if any(&powers) {
            let share = powers.iter().map(|p| if p.is_some() { Decimal::ONE_HUNDRED } else { Decimal::ZERO }).collect();
            let share = self.column(&rows, ends, "percent before the power", Unit::Percent, share)?;
            Some((share, self.column(&rows, ends, "power", Unit::One, or_zero(&powers))?))
        } else {
            None
        };
        let most = if any(&most) {
            let values = most.iter().map(|v| v.unwrap_or(UNBOUNDED)).collect();
            Some(self.column(&rows, ends, "most", if in_ratios { Unit::One } else { self.gives }, values)?)
        } else {
            None
        };
        let form = PayForm::Formula {
            times: optional("times", Unit::One, &times)?,
            squared: optional("squared", Unit::One, &squared)?,
            power,
            in_ratios,
            most,
        };
        Some((main, form))
    }

    fn row(&self, reader: &mut Reader<'_>, group: &Group, fed: Fed) -> Option<Row> {
        let (from, to) = (group.number("from"), group.number("to"));
        let ways = ["pay", "power", "plus"].into_iter().filter(|key| group.has(key)).count();
        if ways != 1 {
            let message = "a step says what it pays in one way";
            reader.mistake(group.at, message, "write 'pay', 'power', or 'plus' and 'times'");
            return None;
        }
        if let Some(pay) = group.number("pay").filter(|pay| pay.value < Decimal::ZERO && self.gives == Unit::Percent) {
            let message = format!("'{}' is {}, below zero", pay.key, pay.written);
            reader.mistake(pay.at, message, "write what is paid, from 0 percent");
            return None;
        }
        if group.has("power") && !fed.has_ratio {
            let message = "this rule has no average over a target, of which a power could be taken";
            reader.mistake(group.at("power"), message, "write 'pay', or 'plus' and 'times'");
            return None;
        }
        if (group.has("from") && from.is_none()) || (group.has("to") && to.is_none()) {
            return None;
        }
        let text = |key| group.text(key).map(|word| word.value);
        let decision = text("decision");
        Some(Row {
            step: Step {
                from: from.map(|n| n.value),
                to: to.map(|n| n.value),
                value: Decimal::ZERO,
                open: decision.is_some(),
                word: decision.or(text("word")).unwrap_or_default(),
            },
            at: group.at,
        })
    }

    /// Points are steps from each to the next, with the two ends of the line as columns.
    fn by_points(&self, reader: &mut Reader<'_>) -> Option<(Steps, PayForm)> {
        let groups = self.table.groups("points");
        let point = |g: &Group| Some((g.number("at")?.value, g.number("pay")?.value, g.at));
        let points: Vec<_> = groups.iter().map(point).collect::<Option<_>>()?;
        let ends = self.ends()?;
        if ends == Ends::Both {
            let message = "points have no grid, so no value can belong to two steps";
            reader.mistake(self.table.at("ends"), message, "write \"upper\" or \"lower\"");
            return None;
        }
        if let Some(pair) = points.windows(2).find(|pair| pair[0].0 >= pair[1].0) {
            let message = format!("the point at {} does not come after the one at {}", pair[1].0, pair[0].0);
            reader.mistake_with(pair[1].2, pair[0].2, message, "write the points in ascending order");
            return None;
        }
        let (first, last) = (*points.first()?, *points.last()?);
        let beyond = self.table.group("beyond");
        let after = beyond.and_then(|g| g.number("pay")).map_or(last.1, |n| n.value);
        let decision = beyond.and_then(|g| g.text("decision")).map(|word| word.value);
        let step = |from, to, open: bool, word: String| Row {
            step: Step { from, to, value: Decimal::ZERO, open, word },
            at: self.table.at,
        };
        // The line of the first and the last step is level: any second point of the same pay will do.
        let mut rows = vec![step(None, Some(first.0), false, String::new())];
        let mut columns: [Column; 4] = [vec![first.0 - Decimal::ONE], vec![first.1], vec![first.0], vec![first.1]];
        for pair in points.windows(2) {
            rows.push(step(Some(pair[0].0), Some(pair[1].0), false, String::new()));
            for (column, value) in columns.iter_mut().zip([pair[0].0, pair[0].1, pair[1].0, pair[1].1]) {
                column.push(value);
            }
        }
        rows.push(step(Some(last.0), None, decision.is_some(), decision.unwrap_or_default()));
        for (column, value) in columns.iter_mut().zip([last.0, after, last.0 + Decimal::ONE, after]) {
            column.push(value);
        }
        let [x0, y0, x1, y1] = columns;
        let main = self.column(&rows, ends, "", self.gives, y0.clone())?;
        let points = [
            self.column(&rows, ends, "from", self.entered_in, x0)?,
            self.column(&rows, ends, "pay there", self.gives, y0)?,
            self.column(&rows, ends, "to", self.entered_in, x1)?,
            self.column(&rows, ends, "pay at its end", self.gives, y1)?,
        ];
        Some((main, PayForm::Points(Box::new(points))))
    }
}

//! Rule sets built by hand, and a judged road, for the tests of this rank and below.
//!
//! The numbers stand beside the tests that use them, with their source; none is an agency's current table.

use rust_decimal::{Decimal, dec};

use super::{Judged, Outcome, judge};
use crate::contract::Contract;
use crate::figure::{Book, Ends, FigureId, Step, Steps};
use crate::finding::{Code, Finding};
use crate::intake::Records;
use crate::line::{fixture, lay};
use crate::rules::{
    Across, CombinedRule, Compares, EnteredWith, Floor, Gives, How, Judged as Judges, Leftover, LotBy, LotRule,
    Measure, Pay, PayForm, Property, Reach, RuleNumber, RuleSet, Running, Shape, Status, StrengthRule, Taken,
    ThicknessRule,
};
use crate::units::{System, Unit};

const CLAUSE: &str = "example rule, section 5";

pub(crate) fn number(value: Decimal, unit: Unit, key: &str) -> RuleNumber {
    let (set, clause) = ("example".into(), CLAUSE.into());
    RuleNumber { value, unit, written: format!("{value} {unit}"), set, key: key.into(), clause }
}

fn set(property: Property, shape: Shape) -> RuleSet {
    RuleSet {
        id: "example".into(),
        title: "Example".into(),
        citation: CLAUSE.into(),
        status: Status::Example,
        notes: vec![],
        system: System::Customary,
        compares: Compares::Rounded,
        property,
        shape,
        text: String::new(),
        sha256: String::new(),
    }
}

/// A pay table of steps; a step with a word is left to a decision.
pub(crate) fn steps(entered_in: Unit, ends: Ends, rows: &[(Option<Decimal>, Option<Decimal>, Decimal, &str)]) -> Pay {
    let row = |&(from, to, value, word): &(_, _, _, &str)| Step {
        from,
        to,
        value,
        word: word.into(),
        open: !word.is_empty(),
    };
    let steps = Steps {
        title: "table 1".into(),
        clause: CLAUSE.into(),
        set: "example".into(),
        entered_in,
        gives: Unit::Percent,
        ends,
        rows: rows.iter().map(row).collect(),
    };
    Pay {
        gives: Gives::Percent,
        steps,
        form: PayForm::Step,
        entered_with: EnteredWith::Measure,
        most: None,
        least: None,
        round: None,
        price: None,
    }
}

/// A thickness rule of the classic shape: lots of 1,000 ft of lane, one core each unless changed, cap T + 0.2 in,
/// exclusion beyond T - 1.0 in, table to 0.01 in.
pub(crate) fn thickness(change: impl Fn(&mut ThicknessRule)) -> RuleSet {
    let hundredth = "0.01 half up".parse().unwrap();
    let row = |from, to, pay| (Some(from), Some(to), pay, "");
    let mut rule = ThicknessRule {
        lot: LotRule { by: LotBy::Length(number(dec!(1000), Unit::Foot, "lot.by")), leftover: Leftover::HalfJoins },
        depth: Unit::Inch,
        cores_per_lot: number(dec!(1), Unit::One, "cores_per_lot"),
        core: hundredth,
        average: hundredth,
        thick_cap: Some(number(dec!(0.2), Unit::Inch, "thick_cap")),
        thin_exclusion: Some(number(dec!(1.0), Unit::Inch, "thin_exclusion")),
        thick_option: None,
        cores_if_deficient: None,
        apart: crate::rules::Apart::Decision,
        outliers: None,
        verification: None,
        exploring: None,
        judged: Judges::Lot,
        taken: Taken::Mean,
        tolerance: number(dec!(0.20), Unit::Inch, "tolerance"),
        reach: Reach::ToGoodCore,
        across: Across::Lane,
        measure: Measure::Deficiency { in_percent: false, round: hundredth },
        volume_credit: None,
        pay: steps(
            Unit::Inch,
            Ends::Both,
            &[
                row(dec!(0.00), dec!(0.20), dec!(100)),
                row(dec!(0.21), dec!(0.30), dec!(80)),
                row(dec!(0.31), dec!(0.40), dec!(72)),
                row(dec!(0.41), dec!(0.50), dec!(68)),
                row(dec!(0.51), dec!(0.75), dec!(57)),
                row(dec!(0.76), dec!(1.00), dec!(50)),
                (Some(dec!(1.01)), None, dec!(0), "the engineer decides: remove and replace, or leave unpaid"),
            ],
        ),
    };
    change(&mut rule);
    set(Property::Thickness, Shape::Thickness(rule))
}

/// A strength rule with the two criteria of ACI 318-19, 26.12.3.1, two cylinders a test, and a pay table of our own.
pub(crate) fn strength(change: impl Fn(&mut StrengthRule)) -> RuleSet {
    let ten = "10 half up".parse().unwrap();
    let mut rule = StrengthRule {
        lot: LotRule { by: LotBy::Placement, leftover: Leftover::Own },
        specimens_per_test: number(dec!(2), Unit::One, "specimens_per_test"),
        test: ten,
        running: Some(Running { tests: number(dec!(3), Unit::One, "running"), round: ten }),
        floor: Some(Floor::UpTo {
            amount: number(dec!(500), Unit::Psi, "floor.amount"),
            up_to: number(dec!(5000), Unit::Psi, "floor.up_to"),
            percent: number(dec!(10), Unit::Percent, "floor.percent"),
        }),
        cores: None,
        tests_per_lot: None,
        lot_average: ten,
        outliers: None,
        verification: None,
        measure: Measure::Deficiency { in_percent: true, round: "0.1 half up".parse().unwrap() },
        pay: Some(steps(
            Unit::Percent,
            Ends::Both,
            &[
                (Some(dec!(0)), Some(dec!(0)), dec!(100), ""),
                (Some(dec!(0.1)), Some(dec!(5.0)), dec!(95), ""),
                (Some(dec!(5.1)), Some(dec!(10.0)), dec!(80), ""),
                (Some(dec!(10.1)), None, dec!(0), "the engineer decides"),
            ],
        )),
    };
    change(&mut rule);
    set(Property::Strength, Shape::Strength(rule))
}

/// A rule that combines thickness and strength, without bounds.
pub(crate) fn combined(how: How, change: impl Fn(&mut CombinedRule)) -> RuleSet {
    let mut rule = CombinedRule {
        of: vec![Property::Thickness, Property::Strength],
        how,
        weights: vec![],
        round: None,
        most: None,
        least: None,
        rejects: None,
        clause: CLAUSE.into(),
    };
    change(&mut rule);
    set(Property::Combined, Shape::Combined(rule))
}

/// A percentage or weight of a rule.
pub(crate) fn rule_number(value: Decimal, unit: Unit, key: &str) -> RuleNumber {
    number(value, unit, key)
}

/// What judging came to.
pub(crate) struct Run {
    pub(crate) judged: Judged,
    pub(crate) findings: Vec<Finding>,
    pub(crate) book: Book,
}

/// Lays the records and judges them as of a day.
pub(crate) fn run(
    contract: &Contract,
    thickness: Option<&RuleSet>,
    strength: Option<&RuleSet>,
    records: Records,
    as_of: &str,
) -> Run {
    let sets: Vec<&RuleSet> = thickness.into_iter().chain(strength).collect();
    run_sets(contract, &sets, records, as_of)
}

/// Lays the records and judges them by any rule sets as of a day.
pub(crate) fn run_sets(contract: &Contract, sets: &[&RuleSet], mut records: Records, as_of: &str) -> Run {
    let mut book = fixture::book();
    let (line, _) = lay(contract, &mut records, &mut book);
    let as_of = fixture::day(as_of);
    let (judged, findings) = judge(contract, sets, &records, &line, as_of, &mut book);
    Run { judged, findings, book }
}

impl Run {
    /// The outcome of a name.
    pub(crate) fn outcome(&self, name: &str) -> &Outcome {
        let names = || self.judged.outcomes.iter().map(|o| o.name.as_str()).collect::<Vec<_>>().join("\n");
        self.judged
            .outcomes
            .iter()
            .find(|o| o.name == name)
            .unwrap_or_else(|| panic!("{name} is not among\n{}", names()))
    }

    /// A figure's value.
    pub(crate) fn value(&self, id: FigureId) -> Decimal {
        self.book[id].value.decimal().unwrap().normalize()
    }

    /// Average, what entered the table, and pay of an outcome.
    pub(crate) fn calculation(&self, outcome: &Outcome) -> (Decimal, Decimal, Decimal) {
        let value = |id: Option<FigureId>| self.value(id.unwrap());
        (value(outcome.average), value(outcome.entered), value(outcome.pay))
    }

    /// Findings of a code.
    pub(crate) fn of(&self, code: Code) -> Vec<&Finding> {
        self.findings.iter().filter(|f| f.code == code).collect()
    }
}

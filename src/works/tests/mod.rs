//! The steps on a small contract: published cases of density, moisture, evaporation and maturity, and planted faults.

mod density;
mod maturity;
mod order;
mod weather;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::{Inputs, Works, examine};
use crate::accept::Judged;
use crate::contract::Contract;
use crate::figure::{Book, FigureId, check_dimensions};
use crate::finding::{Code, Finding};
use crate::intake::{LaneId, Records, Step, Work};
use crate::line::{Line, fixture, lay};
use crate::rules::{Compares, ConstructionRule, Property, RuleNumber, RuleSet, Shape, Status};
use crate::units::{System, Unit};

/// What an examination came to.
struct Seen {
    book: Book,
    works: Works,
    findings: Vec<Finding>,
    records: Records,
    line: Line,
}

impl Seen {
    fn text(&self, id: Option<FigureId>) -> String {
        id.map_or_else(|| "none".into(), |id| self.book[id].text())
    }

    fn codes(&self) -> Vec<Code> {
        let mut codes: Vec<Code> = self.findings.iter().map(|f| f.code).collect();
        codes.sort();
        codes.dedup();
        codes
    }

    fn message(&self, code: Code) -> &str {
        &self.findings.iter().find(|f| f.code == code).expect("the finding").message
    }
}

/// Examines records under a rule; every figure must be in its unit.
fn see(contract: &Contract, mut records: Records, rule: ConstructionRule, through: &str) -> Seen {
    let mut book = fixture::book();
    let (line, _) = lay(contract, &mut records, &mut book);
    let rules = [set(rule, contract.system)];
    let judged = Judged::default();
    let through: NaiveDate = fixture::day(through);
    let inputs = Inputs { contract, records: &records, line: &line, judged: &judged, rules: &rules, through };
    let (works, findings) = examine(inputs, &mut book);
    for (_, figure) in book.figures() {
        assert_eq!(check_dimensions(&book, figure), Ok(()), "{}", figure.key);
    }
    Seen { book, works, findings, records, line }
}

fn set(rule: ConstructionRule, system: System) -> RuleSet {
    RuleSet {
        id: "t".into(),
        title: "test rule".into(),
        citation: "section 9".into(),
        status: Status::Example,
        notes: vec![],
        system,
        compares: Compares::Rounded,
        property: Property::Construction,
        shape: Shape::Construction(rule),
        text: String::new(),
        sha256: String::new(),
    }
}

/// A number of the rule.
fn number(value: Decimal, unit: Unit) -> RuleNumber {
    RuleNumber {
        value,
        unit,
        written: format!("{value} {unit}").trim_end().to_string(),
        set: "t".into(),
        key: "k".into(),
        clause: "section 9.1".into(),
    }
}

/// A step on a stretch.
fn work(contract: &Contract, row: u32, (step, date): (Step, &str), lanes: &[LaneId], (from, to): (&str, &str)) -> Work {
    Work {
        number: fixture::read(format!("{} {row}", step.word()).into(), 0, row, 0),
        step,
        date: fixture::read(fixture::day(date), 0, row, 1),
        times: (None, None),
        lanes: fixture::read(lanes.to_vec(), 0, row, 2),
        from: fixture::read(fixture::station(contract, lanes[0], from), 0, row, 3),
        to: fixture::read(fixture::station(contract, lanes[0], to), 0, row, 4),
        depth: None,
        rate: None,
        count: None,
        material: None,
        accepted: None,
        passed: None,
        by: None,
        remarks: None,
    }
}

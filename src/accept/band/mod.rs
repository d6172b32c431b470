//! Fresh concrete that a rule prices: air content, slump or water-cement ratio outside its limits.
//!
//! ```text
//! deviation    d = larger of 0, L - r and r - U, looked up in the table of its side; within the limits 100 percent
//! load         A = A(placement) v / V         v of the load, V of all loads that went into the placement
//! ```
//!
//! A test stands for its load, its placement or its day, as the rule says; which one that is must follow from the sheets.
//! A result on its limit is within. Whose tests count: [`counting`].

mod counting;
mod ground;
mod held;
mod stands;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use self::counting::Aside;
use self::held::{Held, Limits};
use self::stands::Stands;
use super::ground::Ground;
use super::{FreshJudged, Judged};
use crate::figure::{Book, CellId, FigureId, mean};
use crate::finding::{Code, Finding, Place};
use crate::intake::{Fresh, LaneId, Read};
use crate::line::{Ledger, slug};
use crate::rules::{BandRule, Property, RuleSet, Several};
use crate::units::Station;

/// Everything at hand while a property of fresh concrete is judged.
struct Bench<'a> {
    ground: Ground<'a>,
    set: &'a RuleSet,
    rule: &'a BandRule,
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
    limits: Limits,
}

/// Judges every result of the rule's property.
pub(super) fn judge<'a>(
    ground: Ground<'a>,
    (set, rule): (&'a RuleSet, &'a BandRule),
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
) {
    let limits = Limits::of(ground.contract, (set, rule), book);
    if limits.figures() == (None, None) {
        return;
    }
    let mut bench = Bench { ground, set, rule, book, judged, findings, limits };
    let from = bench.judged.fresh.len();
    let placed = bench.placed();
    let aside = bench.aside(&placed);
    let mut grounds: BTreeMap<Stands, Vec<usize>> = BTreeMap::new();
    for (test, all) in placed {
        for stands in all {
            grounds.entry(stands).or_default().push(test);
        }
    }
    for (stands, tests) in bench.wanted(grounds) {
        bench.ground_of(&stands, &tests, &aside);
    }
    bench.judged.fresh[from..].sort_by_key(|fresh| fresh.test);
}

impl<'a> Bench<'a> {
    /// All grounds, or those in the only lot to judge: the one of its name, else all that meet it.
    fn wanted(&self, mut grounds: BTreeMap<Stands, Vec<usize>>) -> BTreeMap<Stands, Vec<usize>> {
        let Some(only) = self.ground.only else { return grounds };
        let meets = |stands: &Stands| {
            let own = stands.ground(self.ground).into_iter().filter(|(section, _)| *section == only.section);
            own.flat_map(|(_, places)| places).any(|(lane, from, to)| {
                let meet =
                    |&(of, a, b): &(LaneId, Station, Station)| of == lane && a.along < to.along && from.along < b.along;
                only.places.iter().any(meet)
            })
        };
        grounds.retain(|stands, _| meets(stands));
        let named = |stands: &Stands| only.name.starts_with(&self.name(stands));
        if grounds.keys().any(named) {
            grounds.retain(|stands, _| named(stands));
        }
        grounds
    }

    /// The tests of one ground, and what those that count do to it.
    fn ground_of(&mut self, stands: &Stands, tests: &[usize], aside: &Aside) {
        if !stands.went_in(self.ground) {
            for &test in tests {
                self.unjudged(test, stands, "nothing of its load went into the work", false);
            }
            return;
        }
        let parted = self.parted(tests, aside);
        for (test, why) in &parted.beside {
            self.unjudged(*test, stands, why, aside.contains_key(test));
        }
        let tests = &parted.counting;
        let results: Vec<FigureId> = tests.iter().map(|&test| self.result(test)).collect();
        let (held, note, all) = match (self.rule.several, results.as_slice()) {
            (_, []) => return,
            (_, [only]) => (self.hold(&self.key_of(tests[0]), *only), String::new(), None),
            (Several::Mean, _) => self.mean_of(stands, tests),
            (Several::Worst, _) => self.worst_of(tests, &results),
        };
        let beside: Vec<&str> = [&*note, &*parted.note].into_iter().filter(|note| !note.is_empty()).collect();
        let outcomes = self.conclude(stands, tests, &held, &beside.join("; "));
        for (n, (&test, &result)) in tests.iter().zip(&results).enumerate() {
            let own = all.as_ref().map_or(&held, |all| &all[n]);
            let row = FreshJudged { outcomes: outcomes.clone(), ..self.row((test, result), stands, Some(own), &note) };
            self.judged.fresh.push(row);
        }
    }

    /// A test that does nothing to pay. One whose place another result took is held against the limits for the record, so
    /// that it raises no finding of its own.
    fn unjudged(&mut self, test: usize, stands: &Stands, why: &str, settled: bool) {
        let result = self.result(test);
        let deviation = settled.then(|| self.deviation(&self.key_of(test), result));
        let row = FreshJudged { deviation, ..self.row((test, result), stands, None, why) };
        self.judged.fresh.push(row);
    }

    /// The mean of the tests, held as one result; every test of the ground has its deviation and pay.
    fn mean_of(&mut self, stands: &Stands, tests: &[usize]) -> (Held, String, Option<Vec<Held>>) {
        let cells = tests.iter().map(|&test| cell(&self.ground.line.ledger, self.set.property, test));
        let mean = mean(cells);
        let name = self.name(stands);
        let result = self.compared(&slug(&name), &format!("{name}, mean"), mean);
        let held = self.hold(&slug(&name), result);
        let said = crate::accept::ground::in_words(self.book, result);
        let note = format!("mean of {}: {said}", self.numbers(tests).join(", "));
        (held, note, None)
    }

    /// The test that pays least, and all of them.
    fn worst_of(&mut self, tests: &[usize], results: &[FigureId]) -> (Held, String, Option<Vec<Held>>) {
        let all: Vec<Held> =
            tests.iter().zip(results).map(|(&test, &result)| self.hold(&self.key_of(test), result)).collect();
        let least = (0..all.len()).min_by_key(|&n| all[n].rank(self.book)).unwrap_or_default();
        let note = format!(
            "{} pays least of {}",
            self.numbers(&tests[least..=least]).join(""),
            self.numbers(tests).join(", ")
        );
        (all[least].clone(), note, Some(all))
    }

    fn row(&self, (test, result): (usize, FigureId), stands: &Stands, held: Option<&Held>, note: &str) -> FreshJudged {
        let word = held.map(|held| held.note.as_str()).unwrap_or_default();
        let notes: Vec<&str> = [word, note].into_iter().filter(|note| !note.is_empty()).collect();
        FreshJudged {
            test,
            property: self.set.property,
            stands_for: stands.name(self.ground),
            outcomes: Vec::new(),
            result,
            limits: self.limits.figures(),
            deviation: held.map(|held| held.deviation),
            pay: held.and_then(|held| held.pay),
            note: notes.join("; "),
        }
    }

    /// The result of a test, as it is compared.
    fn result(&mut self, test: usize) -> FigureId {
        let number = &self.ground.records.fresh[test].number.value;
        let label = format!("{}, test {number}", what(self.set.property));
        let cell = cell(&self.ground.line.ledger, self.set.property, test);
        self.compared(&self.key_of(test), &label, cell.into())
    }

    /// `fresh-f-3.air`.
    fn key_of(&self, test: usize) -> String {
        let number = &self.ground.records.fresh[test].number.value;
        format!("fresh-{}.{}", slug(number), self.set.property.word())
    }

    /// `air content, load 88213 of 2031-07-01`.
    fn name(&self, stands: &Stands) -> String {
        format!("{}, {}", what(self.set.property), stands.name(self.ground))
    }

    /// Numbers of tests.
    fn numbers(&self, tests: &[usize]) -> Vec<&'a str> {
        let all = &self.ground.records.fresh;
        tests.iter().map(|&test| &*all[test].number.value).collect()
    }

    /// The cells of tests.
    fn cells(&self, tests: &[usize]) -> Vec<Place> {
        let read = |&test: &usize| reading(self.set.property, &self.ground.records.fresh[test]);
        tests.iter().filter_map(read).map(|read| Place::Cell(read.at)).collect()
    }
}

/// A property in words.
pub(super) fn what(property: Property) -> &'static str {
    match property {
        Property::Air => "air content",
        Property::WaterCement => "water-cement ratio",
        other => other.word(),
    }
}

/// A test's result of a property.
fn reading(property: Property, test: &Fresh) -> Option<&Read<Decimal>> {
    match property {
        Property::Air => test.air.as_ref(),
        Property::Slump => test.slump.as_ref(),
        Property::WaterCement => test.water_cement.as_ref(),
        _ => None,
    }
}

fn cell(ledger: &Ledger, property: Property, test: usize) -> CellId {
    match property {
        Property::Slump => ledger.fresh_slump(test),
        Property::WaterCement => ledger.fresh_water_cement(test),
        _ => ledger.fresh_air(test),
    }
}

fn unplaced(property: Property, test: &Fresh, read: &Read<Decimal>, why: &str) -> Finding {
    let (number, day) = (&test.number.value, test.date.value);
    Finding::new(
        Code::FreshUnplaced,
        Place::Cell(read.at),
        format!("the {} of test {number} of {day} is not judged: {why}", what(property)),
        "write the load's ticket or the placement's number on the test's row, or lane and station",
    )
}

//! Specimens to tests: the average of the specimens of one set at the acceptance age.
//!
//! ```text
//! cylinder   f = P / (pi d^2 / 4)           not rounded
//! test       f = (f1 + f2) / 2              rounded once
//! ```
//!
//! A test is the average of its specimens' *unrounded* strengths, rounded once by the rule: laboratories' printed averages
//! are reproduced only so. Where no load or diameter is given, and for beams always, the reported strength counts. ACI
//! 318-19, 26.12.3.1 (a test is the average of the specimens of one sample at the acceptance age). Results at other ages
//! are never taken for it.

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::drilled;
use super::set::{Set, sets};
use crate::accept::TestJudged;
use crate::accept::ground::{Ground, in_words};
use crate::accept::said::Said;
use crate::figure::{Book, Expr, Figure, FigureId, circle_area, mean};
use crate::finding::{Code, Finding, Place};
use crate::intake::{LaneId, Sampling, Shape, Specimen, TakenBy};
use crate::line::{folded, slug};
use crate::rules::{RuleSet, StrengthRule};
use crate::units::{Station, written};

/// A test with what its lot needs.
#[derive(Clone, Debug)]
pub(super) struct Test {
    pub(super) judged: TestJudged,
    /// Sections it stands for, all of one specified strength; the first is `judged.section`.
    pub(super) sections: Vec<usize>,
    /// Placement it stands for.
    pub(super) placement: usize,
    /// Where it was cast, where the sheets say so.
    pub(super) point: Option<(LaneId, Station)>,
    /// Mix, folded; empty where nothing says it.
    pub(super) mix: String,
    /// Figures of its specimens, in the order of the records.
    pub(super) steps: Vec<FigureId>,
    /// Last day broken.
    pub(super) decided: Option<NaiveDate>,
    /// What a reader should know beside it.
    pub(super) notes: Vec<String>,
    /// Number of its set, folded.
    pub(super) set: String,
    /// Who took it, and whether as a part of another's sample.
    pub(super) taken: (TakenBy, Sampling),
    /// True where it is of drilled cores that settle another test.
    pub(super) drilled: bool,
}

impl Test {
    /// Whether its lot waits for it.
    pub(super) fn is_awaited(&self) -> bool {
        self.judged.strength.is_none() && self.taken.0 != TakenBy::Assurance
    }
}

/// How a specimen's age stands to the acceptance age.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Age {
    /// Broken at the acceptance age.
    Accepts,
    /// Meant for it, not broken yet.
    Waits,
    /// Broken or meant for another.
    Other,
    /// Meant for one and broken at the other.
    Contradicts,
    /// Has a result, and nothing says at what age.
    Untold,
}

/// Every test of the specimens, in the order cast; what settles another stands behind it.
pub(super) fn tests(
    ground: Ground,
    (set, rule): (&RuleSet, &StrengthRule),
    book: &mut Book,
    findings: &mut Vec<Finding>,
) -> Vec<Test> {
    let maker = Maker { ground, set, rule };
    let sets = sets(ground, rule, findings);
    let mut made: Vec<Option<Test>> = Vec::new();
    for set in &sets {
        let test = match set.root.map(|root| made.get(root).and_then(Option::as_ref)) {
            None => maker.test(set, book, findings),
            Some(Some(settled)) => Ok(maker.in_place_of(set, settled, book, findings)),
            Some(None) => Err("what it is to settle is not used".to_string()),
        };
        made.push(test.map_err(|why| findings.push(unplaced(ground, set, &why))).ok());
    }
    made.into_iter().flatten().collect()
}

/// Makes tests of sets.
pub(super) struct Maker<'a> {
    pub(super) ground: Ground<'a>,
    pub(super) set: &'a RuleSet,
    pub(super) rule: &'a StrengthRule,
}

impl Maker<'_> {
    fn test(&self, set: &Set, book: &mut Book, findings: &mut Vec<Finding>) -> Result<Test, String> {
        let all = &self.ground.records.specimens;
        let members: Vec<&Specimen> = set.members.iter().map(|&i| &all[i]).collect();
        let said = Said::by(&members, set.cast)?;
        let placement = said.placement(self.ground)?;
        let sections = said.sections(self.ground, placement)?;
        let first = *sections.first().ok_or("it lies in no section")?;
        let age = self.age(set, first)?;
        let mut test = Test {
            judged: TestJudged {
                name: format!("{}, {age} d", set.title),
                cast: set.cast,
                section: first,
                placement: Some(placement),
                specimens: Vec::new(),
                age,
                strength: None,
                running: None,
                due: None,
                passes: true,
                counts: set.stands,
                standing: set.standing.clone(),
            },
            sections,
            placement,
            point: said.point(),
            mix: self.mix(&members, placement),
            steps: Vec::new(),
            decided: None,
            notes: Vec::new(),
            set: folded(set.name),
            taken: set.taken,
            drilled: false,
        };
        self.take_specimens(set, &mut test, book, findings);
        self.average(set, &mut test, book, findings);
        Ok(test)
    }

    /// The test that stands in place of another: where and when that was cast, whatever its own rows say.
    fn in_place_of(&self, set: &Set, settled: &Test, book: &mut Book, findings: &mut Vec<Finding>) -> Test {
        let drilled = set.shape == Shape::Core;
        let name =
            if drilled { format!("{}, cores", set.title) } else { format!("{}, {} d", set.title, settled.judged.age) };
        let mut test = Test {
            judged: TestJudged {
                name,
                specimens: Vec::new(),
                strength: None,
                running: None,
                due: None,
                passes: true,
                counts: set.stands,
                standing: set.standing.clone(),
                ..settled.judged.clone()
            },
            steps: Vec::new(),
            decided: None,
            notes: vec![format!("test {} {}", set.title, set.standing)],
            set: folded(set.name),
            taken: set.taken,
            drilled,
            ..settled.clone()
        };
        if drilled {
            drilled::strength(self, set, &mut test, book, findings);
        } else {
            self.take_specimens(set, &mut test, book, findings);
            self.average(set, &mut test, book, findings);
        }
        test
    }

    /// Acceptance age in days of the section; the kind of specimen must be the one its strength is specified for.
    fn age(&self, set: &Set, section: usize) -> Result<u32, String> {
        let section = &self.ground.contract.sections[section];
        let none = || format!("section {} has no specified strength", section.name);
        let (_, age) = section.strength.as_ref().ok_or_else(none)?;
        let kind = |beams: bool| if beams { "beams" } else { "cylinders" };
        let these = match set.shape {
            Shape::Cylinder => "cylinders",
            Shape::Beam => "beams",
            Shape::Core => "cores",
        };
        if section.flexural != (set.shape == Shape::Beam) {
            return Err(format!(
                "section {} specifies its strength by {}, and these are {}",
                section.name,
                kind(section.flexural),
                these
            ));
        }
        age.value
            .to_u32()
            .ok_or_else(|| format!("the age '{}' of section {} is not in days", age.written, section.name))
    }

    fn mix(&self, members: &[&Specimen], placement: usize) -> String {
        let of_set = members.iter().find_map(|s| s.mix.as_ref());
        let mix = of_set.or(self.ground.records.placements[placement].mix.as_ref());
        mix.map(|mix| folded(&mix.value)).unwrap_or_default()
    }

    /// Sorts the specimens by age and computes those broken at the acceptance age.
    fn take_specimens(&self, set: &Set, test: &mut Test, book: &mut Book, findings: &mut Vec<Finding>) {
        for &i in &set.members {
            let specimen = &self.ground.records.specimens[i];
            match age_of(specimen, test.judged.age) {
                Age::Other => {}
                Age::Contradicts => findings.push(contradicts(specimen)),
                Age::Untold => findings.push(untold(specimen)),
                Age::Waits => test.judged.specimens.push(i),
                Age::Accepts => {
                    test.judged.specimens.push(i);
                    let figure = self.strength(i, test, book);
                    test.steps.extend(figure);
                    if figure.is_some() {
                        let broken = specimen.tested.as_ref().map(|day| day.value);
                        test.decided = test.decided.max(broken.or(due(set.cast, test.judged.age)));
                    }
                }
            }
        }
    }

    /// f = P / (pi d^2 / 4) of a cylinder, else the strength as reported.
    pub(super) fn strength(&self, i: usize, test: &mut Test, book: &mut Book) -> Option<FigureId> {
        let specimen = &self.ground.records.specimens[i];
        let (ledger, system) = (&self.ground.line.ledger, self.ground.contract.system);
        let number = &specimen.number.value;
        let by_load = specimen.load.is_some() && specimen.diameter.is_some() && specimen.shape == Shape::Cylinder;
        let expr: Expr = if by_load {
            (ledger.specimen_load(i) / circle_area(ledger.specimen_diameter(i))).to(system.to_strength())
        } else if specimen.strength.is_some() {
            ledger.specimen_strength(i).into()
        } else {
            test.notes.push(format!("specimen {number} was broken, but {}", missing(specimen)));
            return None;
        };
        let unit = system.strength();
        let key = format!("specimen-{}.strength", slug(number));
        let note = if by_load { "" } else { "as reported" };
        let figure = Figure::new(key, format!("specimen {number}"), format!("f({number})"), unit, expr);
        let figure = book.add(figure.shown(unit.decimals() + 1).note(note));
        if !test.drilled {
            test.notes.extend(late(specimen, test.judged.age));
        }
        if let (true, Some(reported)) = (by_load, &specimen.strength) {
            test.notes.extend(self.against_report(book, figure, reported.value, number));
        }
        Some(figure)
    }

    /// A note where the strength by the load is further from the reported one than the rounding of reports explains.
    fn against_report(&self, book: &Book, figure: FigureId, reported: Decimal, number: &str) -> Option<String> {
        let computed = book[figure].value.decimal()?;
        let unit = book[figure].unit;
        ((computed - reported).abs() > self.rule.test.to()).then(|| {
            format!(
                "specimen {number} is reported as {} {unit}, but its load gives {}; the load counts",
                written(reported, unit.decimals()),
                in_words(book, figure)
            )
        })
    }

    /// The test's own figure, or the finding that it is outstanding.
    fn average(&self, set: &Set, test: &mut Test, book: &mut Book, findings: &mut Vec<Finding>) {
        let needed = self.rule.specimens_per_test.value;
        if Decimal::from(test.steps.len()) < needed || test.steps.is_empty() {
            test.judged.due = due(set.cast, test.judged.age);
            findings.push(self.outstanding(set, test));
            return;
        }
        let figure = Figure::new(
            format!("test-{}.strength", slug(set.name)),
            format!("test {}", test.judged.name),
            format!("f({})", set.name),
            self.ground.contract.system.strength(),
            mean(test.steps.iter().copied()),
        );
        let figure = self.set.compared(figure, self.rule.test).under(&self.set.citation).note(test.notes.join("; "));
        test.judged.strength = Some(book.add(figure));
    }

    fn outstanding(&self, set: &Set, test: &Test) -> Finding {
        let due = test.judged.due.unwrap_or(set.cast);
        let overdue = self.ground.as_of >= due;
        let (code, was) =
            if overdue { (Code::StrengthOverdue, "was due on") } else { (Code::StrengthMissing, "is due on") };
        let more = if test.notes.is_empty() { String::new() } else { format!("; {}", test.notes.join("; ")) };
        let message = format!(
            "set {}, cast on {}: {} of the {} specimens of its {}-day test are broken; it {was} {due}{more}",
            set.name,
            set.cast,
            test.steps.len(),
            self.rule.specimens_per_test.value.normalize(),
            test.judged.age
        );
        let remedy = if overdue {
            "add the laboratory's result; if the set was not cast for acceptance, set its rows aside in contract.toml with the reason"
        } else {
            "add the laboratory's result when it is there; the lot is judged then"
        };
        let first = set.members.first().map(|&i| self.ground.records.specimens[i].number.at);
        let place = first.map_or_else(|| Place::Named(test.judged.name.clone()), Place::Row);
        Finding::new(code, place, message, remedy)
    }
}

fn missing(specimen: &Specimen) -> &'static str {
    match (specimen.shape, specimen.load.is_some()) {
        (Shape::Beam, true) => "its modulus of rupture is not reported",
        (Shape::Core, true) => "its strength is not reported",
        (Shape::Cylinder, true) => "its diameter is not given",
        (_, false) => "neither its load nor its strength is given",
    }
}

/// A day before or after its age still counts, and is said.
fn late(specimen: &Specimen, wanted: u32) -> Option<String> {
    let days = days_between(specimen)?;
    (days != i64::from(wanted)).then(|| format!("specimen {} was broken at {days} days", specimen.number.value))
}

/// Days between casting and breaking, where it is broken.
pub(super) fn days_between(specimen: &Specimen) -> Option<i64> {
    specimen.tested.as_ref().map(|tested| (tested.value - specimen.cast.value).num_days())
}

/// The days of the records carry no hours, so a specimen broken a day before or after its day was broken at its age.
fn age_of(specimen: &Specimen, wanted: u32) -> Age {
    let wanted = i64::from(wanted);
    let meant = specimen.age.as_ref().map(|age| age.value == Decimal::from(wanted));
    let broken = days_between(specimen).map(|days| (days - wanted).abs() <= 1);
    let has_result = specimen.strength.is_some() || specimen.load.is_some();
    match (broken, meant) {
        (Some(true), Some(false)) | (Some(false), Some(true)) => Age::Contradicts,
        (Some(true), _) => Age::Accepts,
        (Some(false), _) | (None, Some(false)) => Age::Other,
        (None, Some(true)) if has_result => Age::Accepts,
        (None, None) if has_result => Age::Untold,
        (None, _) => Age::Waits,
    }
}

fn due(cast: NaiveDate, age: u32) -> Option<NaiveDate> {
    cast.checked_add_days(Days::new(age.into()))
}

fn contradicts(specimen: &Specimen) -> Finding {
    let meant = specimen.age.as_ref().map(|age| age.value.normalize()).unwrap_or_default();
    Finding::new(
        Code::StrengthAge,
        Place::Row(specimen.number.at),
        format!(
            "specimen {} is meant for {meant} days and was broken at {}; its result is not used",
            specimen.number.value,
            days_between(specimen).unwrap_or_default()
        ),
        "correct the age, the day cast or the day broken",
    )
}

pub(super) fn untold(specimen: &Specimen) -> Finding {
    Finding::new(
        Code::StrengthAge,
        Place::Row(specimen.number.at),
        format!(
            "specimen {} has a result, but neither its age nor the day it was broken; its result is not used",
            specimen.number.value
        ),
        "add the day broken, or the age",
    )
}

fn unplaced(ground: Ground, set: &Set, why: &str) -> Finding {
    let rows = || set.members.iter().map(|&i| Place::Row(ground.records.specimens[i].number.at));
    let place = rows().next().unwrap_or_else(|| Place::Named(set.name.to_string()));
    Finding::new(
        Code::StrengthUnplaced,
        place,
        format!("set {}, cast on {}, is not used: {why}", set.name, set.cast),
        "write the placement's number, or lane and station, on the specimens' rows; or give the section its specified strength",
    )
    .with(rows().skip(1))
}

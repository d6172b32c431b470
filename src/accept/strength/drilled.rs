//! Drilled cores in place of the test they settle: each set its average, over the share that a core need reach.
//!
//! ```text
//! cores   fcore = (f1 + ... + fn) / n        not rounded
//! test    f = fcore / share                  rounded as a test is
//! ```
//!
//! A core of 85 percent of the specified strength so counts as the specified strength (the share is the rule's own; ACI 318-19,
//! 26.12.4.1, has 85 percent for the average and 75 percent for each core, from memory: the second is not judged here). The
//! laboratory's report accounts for a core's length. Cores broken before the acceptance age are not used.

use rust_decimal::Decimal;

use super::set::Set;
use super::test::{Maker, Test, days_between, untold};
use crate::figure::{Book, Expr, Figure, mean};
use crate::finding::{Code, Finding, Place};
use crate::intake::Specimen;
use crate::line::slug;
use crate::units::conversions;

/// The strength that a set of cores stands for; none while one of them is not broken.
pub(super) fn strength(maker: &Maker, set: &Set, test: &mut Test, book: &mut Book, findings: &mut Vec<Finding>) {
    let Some(rule) = &maker.rule.cores else { return };
    for &i in &set.members {
        let specimen = &maker.ground.records.specimens[i];
        match aged(specimen, test.judged.age) {
            Aged::Young => findings.push(young(specimen, test.judged.age)),
            Aged::Untold => findings.push(untold(specimen)),
            Aged::Waits => test.judged.specimens.push(i),
            Aged::Accepts => {
                test.judged.specimens.push(i);
                let figure = maker.strength(i, test, book);
                test.steps.extend(figure);
                let broken = specimen.tested.as_ref().map(|day| day.value);
                test.decided = test.decided.max(broken).max(Some(set.cast));
            }
        }
    }
    if test.steps.is_empty() || test.steps.len() < test.judged.specimens.len() {
        findings.push(outstanding(maker, set, test));
        return;
    }
    let unit = maker.ground.contract.system.strength();
    let key = |part: &str| format!("test-{}.{part}", slug(set.name));
    let cores = mean(test.steps.iter().copied());
    let cores = Figure::new(key("cores"), format!("cores of {}", set.title), format!("fc({})", set.name), unit, cores);
    let cores = book.add(cores.shown(unit.decimals() + 1).under(&rule.share.clause));
    let share = book.given(rule.share.given("share of the specified strength that a core reaches", "k"));
    let counts = cores / Expr::from(share).to(conversions::PERCENT_TO_RATIO);
    let name = format!("test {}, {}", test.judged.name, test.judged.standing);
    let figure = Figure::new(key("strength"), name, format!("f({})", set.name), unit, counts);
    let figure = figure.rounded(maker.rule.test).under(&rule.share.clause).note(test.notes.join("; "));
    test.steps.push(cores);
    test.judged.strength = Some(book.add(figure));
}

/// How a core's age stands to the acceptance age.
enum Aged {
    Accepts,
    Waits,
    Young,
    Untold,
}

/// The days of the records carry no hours, so a day before the acceptance age was that age.
fn aged(specimen: &Specimen, wanted: u32) -> Aged {
    let meant = specimen.age.as_ref().map(|age| age.value);
    let has_result = specimen.strength.is_some() || specimen.load.is_some();
    let old = days_between(specimen).map(|days| Decimal::from(days) + Decimal::ONE >= Decimal::from(wanted));
    match (old.or(meant.map(|age| age >= Decimal::from(wanted))), has_result) {
        (Some(true), true) => Aged::Accepts,
        (Some(false), true) => Aged::Young,
        (None, true) => Aged::Untold,
        (_, false) => Aged::Waits,
    }
}

fn young(specimen: &Specimen, wanted: u32) -> Finding {
    Finding::new(
        Code::StrengthAge,
        Place::Row(specimen.number.at),
        format!(
            "core {} was broken before the {wanted} days at which the strength counts; its result is not used",
            specimen.number.value
        ),
        "correct the age, the day cast or the day broken, or have a core broken at the age",
    )
}

fn outstanding(maker: &Maker, set: &Set, test: &Test) -> Finding {
    let first = set.members.first().map(|&i| maker.ground.records.specimens[i].number.at);
    let place = first.map_or_else(|| Place::Named(test.judged.name.clone()), Place::Row);
    let (have, of) = (test.steps.len(), set.members.len());
    let message = format!(
        "cores of set {}: {have} of {of} have a result that counts, and it {}, so its lot waits",
        set.title, test.judged.standing
    );
    Finding::new(Code::StrengthMissing, place, message, "add the laboratory's results of the cores")
}

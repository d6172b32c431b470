//! Strength: tests to the two criteria, and lots to what the rule pays.
//!
//! ```text
//! running average   every average of so many consecutive tests is at least f'c
//! floor             no test is below f'c by MORE than the rule allows (exactly that much passes)
//! lot               D = larger of 0 and (f'c - average) / f'c, in percent; looked up where strength changes pay
//! ```
//!
//! ACI 318-19, 26.12.3.1: every average of three consecutive tests reaches f'c, and no test is below it by more than 500
//! psi (f'c of 5,000 psi and less) or 10 percent (above). The numbers are the rule set's. A lot is judged once all tests
//! cast for it have results.

mod counting;
mod criteria;
mod drilled;
mod lot;
mod represented;
mod set;
mod test;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use self::test::{Test, tests};
use super::Judged;
use super::ground::Ground;
use crate::figure::{Book, Comparison, Expr, Figure, FigureId, compare, either, max};
use crate::finding::{Finding, Place};
use crate::line::slug;
use crate::rules::{Floor, RuleNumber, RuleSet, StrengthRule};
use crate::units::conversions;

/// Everything at hand while strength is judged.
struct Bench<'a> {
    ground: Ground<'a>,
    set: &'a RuleSet,
    rule: &'a StrengthRule,
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
    /// By section, of those that specify a strength.
    demands: BTreeMap<usize, Demand>,
}

/// What a section demands of its concrete.
#[derive(Clone, Copy)]
struct Demand {
    /// f'c.
    specified: FigureId,
    /// Lowest single test, where the rule has a floor.
    floor: Option<FigureId>,
}

/// Judges every test, and every lot that has placed pavement.
pub(super) fn judge<'a>(
    ground: Ground<'a>,
    (set, rule): (&'a RuleSet, &'a StrengthRule),
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
) {
    let mut tests = tests(ground, (set, rule), book, findings);
    let mut bench = Bench { ground, set, rule, book, judged, findings, demands: BTreeMap::new() };
    bench.demand();
    let mut lots = bench.lots(&tests);
    bench.who_counts(&mut lots, &mut tests);
    bench.two_criteria(&mut tests);
    for lot in &lots {
        bench.lot(lot, &tests);
    }
    bench.judged.tests = tests.into_iter().map(|test| test.judged).collect();
}

impl Bench<'_> {
    /// f'c and the floor under single tests.
    fn demand(&mut self) {
        for (at, section) in self.ground.contract.sections.iter().enumerate() {
            let Some((strength, _)) = &section.strength else { continue };
            let (key, unit) = (slug(&section.name), strength.unit);
            let given = self.book.given(strength.given("specified strength", "f'c"));
            let figure = Figure::new(format!("{key}.strength"), "specified strength", "f'c", unit, given);
            let specified = self.book.add(figure);
            let floor = self.rule.floor.as_ref().map(|floor| {
                let (lowest, clause) = self.lowest(specified, floor);
                let figure = Figure::new(format!("{key}.strength-floor"), "lowest single test", "fmin", unit, lowest);
                self.book.add(figure.under(clause))
            });
            self.demands.insert(at, Demand { specified, floor });
        }
    }

    /// f'c less an amount, a percentage of it, whichever allows less, or the one or the other by its size.
    fn lowest<'r>(&mut self, specified: FigureId, floor: &'r Floor) -> (Expr, &'r str) {
        let mut less =
            |amount: &RuleNumber| specified - self.book.given(amount.given("largest shortfall of a single test", "a"));
        match floor {
            Floor::Amount(amount) => (less(amount), &amount.clause),
            Floor::Percent(percent) => {
                let label = "largest shortfall of a single test";
                (self.less_percent(specified, percent, label), &percent.clause)
            }
            Floor::Lesser { amount, percent } => {
                let by_amount = less(amount);
                let by_percent = self.less_percent(specified, percent, "largest shortfall of a single test");
                (max([by_amount, by_percent]), &amount.clause)
            }
            Floor::UpTo { amount, up_to, percent } => {
                let by_amount = less(amount);
                let up_to = self.book.given(up_to.given("specified strength up to which it holds", "fmax"));
                let by_percent = self.less_percent(specified, percent, "largest shortfall of a single test, above it");
                (either(compare(specified, Comparison::AtMost, up_to), by_amount, by_percent), &amount.clause)
            }
        }
    }

    fn less_percent(&mut self, specified: FigureId, percent: &RuleNumber, label: &str) -> Expr {
        let percent = self.book.given(percent.given(label, "r"));
        specified - specified * Expr::from(percent).to(conversions::PERCENT_TO_RATIO)
    }

    /// The rows that the specimens of tests stand on.
    fn rows(&self, tests: &[&Test]) -> Vec<Place> {
        let specimens = tests.iter().flat_map(|test| &test.judged.specimens);
        specimens.map(|&i| Place::Row(self.ground.records.specimens[i].number.at)).collect()
    }
}

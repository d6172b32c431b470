//! The two criteria on single tests: a running average, and a floor.
//!
//! Tests are consecutive in the order cast, within one specified strength, age and mix. A test on the floor, or a running
//! average on the specified strength, passes. While a test is outstanding, no average runs over it. A test that was settled
//! is judged by what settled it; one that counts nowhere is not judged.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::test::Test;
use super::{Bench, Demand};
use crate::accept::ground::{CAUTION, in_words};
use crate::figure::{Comparison, Figure, FigureId, compare, mean};
use crate::finding::{Code, Finding, Place};

/// What consecutive tests have in common: specified strength and age, beams or cylinders, mix.
type Series = (String, String, bool, String);

impl Bench<'_> {
    /// Both criteria on every test, in the order cast.
    pub(super) fn two_criteria(&mut self, tests: &mut [Test]) {
        let mut series: BTreeMap<Series, Vec<Option<FigureId>>> = BTreeMap::new();
        for test in tests.iter_mut().filter(|test| test.judged.counts) {
            let Some(like) = self.series(test) else { continue };
            let results = series.entry(like).or_default();
            results.push(test.judged.strength);
            test.judged.running = self.running(results, test);
            self.criteria(test);
        }
    }

    fn series(&self, test: &Test) -> Option<Series> {
        let section = &self.ground.contract.sections[test.judged.section];
        let (strength, age) = section.strength.as_ref()?;
        let plain = |value: rust_decimal::Decimal| value.normalize().to_string();
        Some((plain(strength.value), plain(age.value), section.flexural, test.mix.clone()))
    }

    /// Average of a test and those before it; `None` while there are too few, or one of them is outstanding.
    fn running(&mut self, results: &[Option<FigureId>], test: &Test) -> Option<FigureId> {
        let rule = self.rule.running.as_ref()?;
        let n = rule.tests.value.to_usize().filter(|n| *n > 0)?;
        let last: Vec<FigureId> = results[results.len().checked_sub(n)?..].iter().copied().collect::<Option<_>>()?;
        let strength = test.judged.strength?;
        let figure = Figure::new(
            self.book[strength].key.replace(".strength", ".running"),
            format!("test {} and the {} before it", test.judged.name, n - 1),
            format!("f{n}"),
            self.book[strength].unit,
            mean(last),
        );
        Some(self.book.add(self.set.compared(figure, rule.round).under(&rule.tests.clause)))
    }

    /// Whether a test meets both, and a finding that names the one it fails.
    fn criteria(&mut self, test: &mut Test) {
        let Some(demand) = self.demands.get(&test.judged.section).copied() else { return };
        let failed = self.failed(test, demand);
        test.judged.passes = failed.is_empty();
        if test.judged.passes {
            return;
        }
        let finding = Finding::new(
            Code::StrengthLow,
            Place::Named(format!("test {}", test.judged.name)),
            format!("{} ({}); {CAUTION}", failed.join("; and "), self.set.named()),
            "have the strength in place investigated (cores), and enter the engineer's decision",
        );
        let finding = finding.with(self.rows(&[&*test]));
        self.findings.push(finding);
    }

    /// The criteria that a test fails, with the numbers.
    fn failed(&self, test: &Test, Demand { specified, floor }: Demand) -> Vec<String> {
        let below = |a: &FigureId, b| self.book.evaluate(&compare(*a, Comparison::Below, b)).holds();
        let said = |id| in_words(self.book, id);
        let strength = test.judged.strength.zip(floor).filter(|(strength, floor)| below(strength, *floor));
        let single = strength.map(|(strength, floor)| {
            format!(
                "the test is {}, below {}, the lowest that a single test may be where {} is specified",
                said(strength),
                said(floor),
                said(specified)
            )
        });
        let running = test.judged.running.filter(|running| below(running, specified)).map(|running| {
            let n = self.rule.running.as_ref().map_or(Decimal::ONE, |rule| rule.tests.value.normalize());
            format!(
                "the average of {n} consecutive tests is {}, below the specified {}",
                said(running),
                said(specified)
            )
        });
        single.into_iter().chain(running).collect()
    }
}

//! Lots of strength: the tests of one day, or of one placement, averaged and priced.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::test::Test;
use super::{Bench, Demand};
use crate::accept::ground::{CAUTION, Ground, add_note, in_words};
use crate::accept::price::{Priced, priced};
use crate::accept::{Adjustment, Outcome, Verdict, clause};
use crate::figure::{Figure, FigureId, max, mean, whole};
use crate::finding::{Code, Finding, Place};
use crate::line::{PlacedWithin, Stretch, placed_within, slug};
use crate::rules::{Property, StrengthLot};
use crate::units::{Unit, conversions};

/// The stretches of one section that go together.
pub(super) struct Lot<'a> {
    section: usize,
    name: String,
    key: String,
    stretches: Vec<&'a Stretch>,
}

impl<'a> Bench<'a> {
    /// Stretches of sections with a specified strength, by section and day or placement, in the order placed.
    pub(super) fn lots(&self) -> Vec<Lot<'a>> {
        let Ground { contract, records, line, .. } = self.ground;
        let mut lots: BTreeMap<(usize, NaiveDate, usize), Lot> = BTreeMap::new();
        for stretch in line.stretches.iter().filter(|s| self.demands.contains_key(&s.section)) {
            let section = &contract.sections[stretch.section].name;
            let number = &records.placements[stretch.placement].number.value;
            let (by, what) = match self.rule.lot {
                StrengthLot::Day => (0, stretch.date.to_string()),
                StrengthLot::Placement => (stretch.placement, format!("placement {number}")),
            };
            let lot = lots.entry((stretch.section, stretch.date, by)).or_insert_with(|| Lot {
                section: stretch.section,
                name: format!("strength, {section}, {what}"),
                key: format!("{}.strength-{}", slug(section), slug(&what)),
                stretches: Vec::new(),
            });
            lot.stretches.push(stretch);
        }
        lots.into_values().collect()
    }

    pub(super) fn lot(&mut self, lot: &Lot, tests: &[Test]) {
        let own: Vec<&Test> = tests.iter().filter(|test| self.stands_for(test, lot)).collect();
        let mut outcome = self.outcome(lot, &own);
        let Ground { contract, line, .. } = self.ground;
        let Some(placed) = placed_within(line, contract, self.book, &outcome.places, &lot.key, &lot.name) else {
            return;
        };
        outcome.area = Some(placed.area);
        let waits: Vec<&Test> = own.iter().copied().filter(|test| test.judged.strength.is_none()).collect();
        if own.is_empty() {
            self.without_tests(lot, &mut outcome);
        } else if waits.is_empty() {
            self.judge_lot(lot, &own, placed, &mut outcome);
        } else {
            let due = |test: &&Test| Some(format!("{} is due on {}", test.judged.name, test.judged.due?));
            add_note(&mut outcome, &waits.iter().filter_map(due).collect::<Vec<_>>().join(", "));
        }
        self.judged.outcomes.push(outcome);
    }

    fn stands_for(&self, test: &Test, lot: &Lot) -> bool {
        let day = self.ground.records.placements[test.placement].date.value;
        let of_lot = |stretch: &&Stretch| match self.rule.lot {
            StrengthLot::Placement => stretch.placement == test.placement,
            StrengthLot::Day => stretch.date == day,
        };
        test.sections.contains(&lot.section) && lot.stretches.iter().any(of_lot)
    }

    /// The outcome of a lot with its specimens and tests, not judged yet.
    fn outcome(&self, lot: &Lot, own: &[&Test]) -> Outcome {
        let steps = |test: &&Test| {
            let single = test.steps.iter().copied();
            single.chain(test.judged.strength).chain(test.judged.running).collect::<Vec<_>>()
        };
        let notes: Vec<&str> = own.iter().flat_map(|test| test.notes.iter().map(String::as_str)).collect();
        Outcome {
            property: Property::Strength,
            name: lot.name.clone(),
            places: lot.stretches.iter().map(|s| (s.lane, s.from, s.to)).collect(),
            section: lot.section,
            verdict: Verdict::NotTested,
            average: None,
            deficiency: None,
            pay: None,
            area: None,
            steps: own.iter().flat_map(steps).collect(),
            adjustment: None,
            clause: clause(self.set),
            note: notes.join("; "),
        }
    }

    /// Placed, and nothing cast for it.
    fn without_tests(&mut self, lot: &Lot, outcome: &mut Outcome) {
        outcome.note = "no strength test stands for it".into();
        let spans: Vec<String> = lot.stretches.iter().map(|s| self.ground.span(s.lane, s.from, s.to)).collect();
        self.findings.push(Finding::new(
            Code::StrengthMissing,
            Place::Named(lot.name.clone()),
            format!("no strength test stands for it ({})", spans.join("; ")),
            "add the sheet that holds its specimens, or record why none were cast",
        ));
    }

    /// Average of the lot, its deficiency in percent of f'c, and what the table pays.
    fn judge_lot(&mut self, lot: &Lot, own: &[&Test], placed: PlacedWithin, outcome: &mut Outcome) {
        let Some(Demand { specified, floor }) = self.demands.get(&lot.section).copied() else { return };
        let results: Vec<FigureId> = own.iter().filter_map(|test| test.judged.strength).collect();
        let (average, deficiency) = self.short(lot, specified, &results);
        outcome.steps.extend([specified, floor, average, deficiency]);
        (outcome.average, outcome.deficiency) = (Some(average), Some(deficiency));
        let failing: Vec<&str> = own.iter().filter(|t| !t.judged.passes).map(|t| t.judged.name.as_str()).collect();
        outcome.verdict = if failing.is_empty() { Verdict::Sound } else { Verdict::Undecided };
        if !failing.is_empty() {
            add_note(outcome, &format!("a criterion fails at {}; {CAUTION}", failing.join(", ")));
        }
        let Some(table) = &self.rule.steps else { return };
        let Some(priced) = priced(self.book, self.set, table, &lot.key, deficiency) else { return };
        outcome.pay = Some(priced.pay);
        outcome.steps.extend([priced.pay, placed.length, placed.area]);
        add_note(outcome, &priced.note);
        self.conclude((average, deficiency), &priced, placed, own, outcome);
    }

    /// f = mean of the tests; D = larger of 0 and (f'c - f) / f'c, in percent; each rounded.
    fn short(&mut self, lot: &Lot, specified: FigureId, results: &[FigureId]) -> (FigureId, FigureId) {
        let (key, unit) = (&lot.key, self.ground.contract.system.strength());
        let average = mean(results.iter().copied());
        let average = Figure::new(format!("{key}.average"), "average of the lot", "f", unit, average);
        let average = self.book.add(average.rounded(self.rule.lot_average).under(&self.set.citation));
        let short = ((specified - average) / specified).to(conversions::RATIO_TO_PERCENT);
        let deficiency =
            Figure::new(format!("{key}.deficiency"), "deficiency", "D", Unit::Percent, max([whole(0), short]));
        (average, self.book.add(deficiency.rounded(self.rule.deficiency).under(&self.set.citation)))
    }

    /// Verdict, adjustment and finding where the table pays less than the full price.
    fn conclude(
        &mut self,
        (average, deficiency): (FigureId, FigureId),
        priced: &Priced,
        over: PlacedWithin,
        own: &[&Test],
        outcome: &mut Outcome,
    ) {
        let Some(decided) = own.iter().filter_map(|test| test.decided).max() else { return };
        if priced.verdict == Verdict::Sound {
            return;
        }
        outcome.verdict = priced.verdict;
        let (area, volume, pay) = (over.area, over.volume, priced.pay);
        outcome.adjustment = Some(Adjustment { area, volume, pay, decided });
        let said = |id| in_words(self.book, id);
        let message = format!(
            "the lot's average of {} is {} under the specified strength; {} pays {} of the unit price for {}, and {CAUTION}",
            said(average),
            said(deficiency),
            self.set.named(),
            said(pay),
            said(area)
        );
        let finding = Finding::new(
            Code::StrengthLow,
            Place::Named(outcome.name.clone()),
            message,
            "compare the results with the laboratory's reports; the adjustment stands as its own line of the estimate",
        );
        let finding = finding.with(self.rows(own));
        self.findings.push(finding);
    }
}

//! Lots of strength: the tests of a lot, averaged, measured against the specified strength and priced.
//!
//! A test stands for the lot that its placement lies in; where a lot has a size, for the one its station lies in. A lot of
//! so many tests is those tests in the order cast, with the placements they stand for; the tests of one placement are
//! never parted.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::counting::Counting;
use super::test::Test;
use super::{Bench, Demand};
use crate::accept::ground::{CAUTION, Ground, add_note, in_words};
use crate::accept::measure::{Entering, Sample, average, entering};
use crate::accept::price::{Priced, adjustment, pays, priced};
use crate::accept::{Outcome, SampleJudged, Verdict};
use crate::figure::{FigureId, mean};
use crate::finding::{Code, Finding, Place};
use crate::line::{LotSpan, PlacedWithin, add_place, placed_within, slug};
use crate::rules::{Leftover, LotBy, Measure, Pay, Property};

/// A lot with its tests.
pub(super) struct Lot {
    span: LotSpan,
    pub(super) name: String,
    pub(super) key: String,
    /// By place among the tests.
    pub(super) tests: Vec<usize>,
    pub(super) counting: Counting,
}

impl Lot {
    fn new(span: LotSpan, tests: Vec<usize>) -> Self {
        let (name, key) = (format!("strength, {}", span.name), format!("{}.strength", span.key));
        Self { name, key, span, tests, counting: Counting::default() }
    }
}

impl Bench<'_> {
    /// The lots of sections with a specified strength.
    pub(super) fn lots(&mut self, tests: &[Test]) -> Vec<Lot> {
        if let (LotBy::Tests(size), None) = (&self.rule.lot.by, self.ground.only) {
            let size = size.value.to_usize().unwrap_or(usize::MAX);
            return self.demands.keys().flat_map(|&section| self.lots_of(section, size, tests)).collect();
        }
        let spans = self.ground.lots(&self.rule.lot);
        let spans: Vec<LotSpan> = spans.into_iter().filter(|lot| self.demands.contains_key(&lot.section)).collect();
        let mut members = vec![Vec::new(); spans.len()];
        for (i, test) in tests.iter().enumerate().filter(|(_, test)| test.judged.counts) {
            for &section in &test.sections {
                match self.lot_of(test, section, &spans) {
                    Ok(Some(lot)) => members[lot].push(i),
                    Ok(None) => {}
                    Err(why) => {
                        let finding = self.unlotted(test, &why);
                        self.findings.push(finding);
                    }
                }
            }
        }
        spans.into_iter().zip(members).map(|(span, tests)| Lot::new(span, tests)).collect()
    }

    /// The lot of a section that a test stands for.
    ///
    /// # Errors
    /// In words, where it could be more than one.
    fn lot_of(&self, test: &Test, section: usize, spans: &[LotSpan]) -> Result<Option<usize>, String> {
        let sized = matches!(self.rule.lot.by, LotBy::Area(_) | LotBy::Length(_) | LotBy::Volume(_));
        if let Some((lane, at)) = test.point.filter(|_| sized) {
            return Ok(self.ground.lot_at(spans, lane, at).filter(|&lot| spans[lot].section == section));
        }
        let placement = self.ground.line.placements.get(test.placement);
        let stretches = placement.into_iter().flat_map(|p| &p.stretches).map(|&s| &self.ground.line.stretches[s]);
        let mut found: Vec<usize> = stretches
            .filter(|s| s.section == section)
            .flat_map(|s| {
                let meets = move |(lane, from, to): &(_, crate::units::Station, crate::units::Station)| {
                    *lane == s.lane && from.along < s.to.along && s.from.along < to.along
                };
                let of = spans.iter().enumerate();
                of.filter(move |(_, lot)| lot.section == section && lot.places.iter().any(meets)).map(|(i, _)| i)
            })
            .collect();
        found.sort_unstable();
        found.dedup();
        match found.as_slice() {
            [] => Ok(None),
            [only] => Ok(Some(*only)),
            many => Err(format!(
                "its placement lies in {}, and nothing says in which it was cast",
                many.iter().map(|&lot| spans[lot].name.as_str()).collect::<Vec<_>>().join(" and ")
            )),
        }
    }

    fn unlotted(&self, test: &Test, why: &str) -> Finding {
        let rows = self.rows(&[test]);
        let place = rows.first().cloned().unwrap_or_else(|| Place::Named(test.judged.name.clone()));
        let message = format!("test {} is in no lot: {why}", test.judged.name);
        Finding::new(Code::StrengthUnplaced, place, message, "write lane and station on the specimens' rows")
            .with(rows.into_iter().skip(1))
    }

    /// Lots of so many consecutive tests of a section.
    fn lots_of(&self, section: usize, size: usize, tests: &[Test]) -> Vec<Lot> {
        let of_section = tests.iter().enumerate();
        let of_section = of_section.filter(|(_, test)| test.judged.counts && test.sections.contains(&section));
        let mut groups: Vec<Vec<usize>> = Vec::new();
        let mut placements: Vec<usize> = Vec::new();
        for (i, test) in of_section {
            let goes_on = placements.last() == Some(&test.placement);
            match groups.last_mut() {
                Some(group) if goes_on || group.len() < size => group.push(i),
                _ => groups.push(vec![i]),
            }
            placements.push(test.placement);
        }
        let left = groups.last().map_or(0, Vec::len);
        let joins = left < size
            && groups.len() > 1
            && match self.rule.lot.leftover {
                Leftover::Own => false,
                Leftover::Joins => true,
                Leftover::HalfJoins => left * 2 < size,
            };
        if joins && let Some(last) = groups.pop() {
            groups.last_mut().into_iter().for_each(|group| group.extend(&last));
        }
        let mut taken: Vec<usize> = Vec::new();
        (1..).zip(groups).map(|(n, group)| self.lot_of_tests(section, n, group, tests, &mut taken)).collect()
    }

    /// The ground of consecutive tests: their placements, each with the first lot it has a test in.
    fn lot_of_tests(&self, section: usize, n: usize, group: Vec<usize>, tests: &[Test], taken: &mut Vec<usize>) -> Lot {
        let Ground { contract, line, .. } = self.ground;
        let mut places = Vec::new();
        let mut own: Vec<usize> = group.iter().map(|&i| tests[i].placement).filter(|p| !taken.contains(p)).collect();
        own.sort_unstable();
        own.dedup();
        for stretch in line.stretches.iter().filter(|s| s.section == section && own.contains(&s.placement)) {
            add_place(&mut places, (stretch.lane, stretch.from, stretch.to));
        }
        taken.extend(own);
        let name = &contract.sections[section].name;
        let key = format!("{}.tests-lot-{n}", slug(name));
        Lot::new(LotSpan { name: format!("{name}, tests lot {n}"), key, section, places }, group)
    }

    pub(super) fn lot(&mut self, lot: &Lot, tests: &[Test]) {
        let own: Vec<&Test> = lot.tests.iter().map(|&i| &tests[i]).collect();
        let mut outcome = self.outcome(lot, &own);
        let Ground { contract, line, .. } = self.ground;
        let Some(placed) = placed_within(line, contract, self.book, &outcome.places, &lot.key, &lot.name) else {
            return;
        };
        outcome.area = Some(placed.area);
        let waits: Vec<&Test> = own.iter().copied().filter(|test| test.is_awaited()).collect();
        let counting: Vec<(usize, &Test)> =
            lot.tests.iter().copied().zip(own).filter(|(i, _)| !lot.counting.out.contains(i)).collect();
        if lot.tests.is_empty() {
            self.without_tests(lot, &mut outcome);
        } else if !waits.is_empty() {
            let due = |test: &&Test| match test.judged.due {
                Some(due) => format!("{} is due on {due}", test.judged.name),
                None => format!("{} is outstanding", test.judged.name),
            };
            add_note(&mut outcome, &waits.iter().map(due).collect::<Vec<_>>().join(", "));
        } else if counting.is_empty() && lot.counting.waits {
            add_note(&mut outcome, "its strength is not judged");
        } else if counting.is_empty() {
            self.not_judged(lot, "none of its tests counts", &mut outcome);
        } else {
            self.judge_lot(lot, &counting, placed, &mut outcome);
        }
        lot.counting.notes.iter().for_each(|note| add_note(&mut outcome, note));
        self.judged.outcomes.push(outcome);
    }

    /// The outcome of a lot with its specimens and tests, not judged yet.
    fn outcome(&self, lot: &Lot, own: &[&Test]) -> Outcome {
        let steps = |test: &&Test| {
            let single = test.steps.iter().copied();
            single.chain(test.judged.strength).chain(test.judged.running).collect::<Vec<_>>()
        };
        let notes: Vec<&str> = own.iter().flat_map(|test| test.notes.iter().map(String::as_str)).collect();
        Outcome {
            steps: own.iter().flat_map(steps).chain(lot.counting.steps.iter().copied()).collect(),
            note: notes.join("; "),
            ..Outcome::unjudged(self.set, lot.name.clone(), lot.span.section, lot.span.places.clone())
        }
    }

    /// Placed, and nothing cast for it.
    fn without_tests(&mut self, lot: &Lot, outcome: &mut Outcome) {
        outcome.note = "no strength test stands for it".into();
        let spans: Vec<String> =
            lot.span.places.iter().map(|&(lane, from, to)| self.ground.span(lane, from, to)).collect();
        self.findings.push(Finding::new(
            Code::StrengthMissing,
            Place::Named(lot.name.clone()),
            format!("no strength test stands for it ({})", spans.join("; ")),
            "add the sheet that holds its specimens, or record why none were cast",
        ));
    }

    /// The lot's tests averaged, measured against f'c, and what the table pays.
    fn judge_lot(&mut self, lot: &Lot, counting: &[(usize, &Test)], placed: PlacedWithin, outcome: &mut Outcome) {
        let Some(Demand { specified, floor }) = self.demands.get(&lot.span.section).copied() else { return };
        if let Some(why) = self.too_few(counting.len()) {
            return self.not_judged(lot, &why, outcome);
        }
        let own: Vec<&Test> = counting.iter().map(|(_, test)| *test).collect();
        let averaged = counting.iter().filter(|(i, _)| lot.counting.dropped != Some(*i));
        let results: Vec<FigureId> = averaged.filter_map(|(_, test)| test.judged.strength).collect();
        let what = (mean(results.iter().copied()), self.ground.contract.system.strength(), self.rule.lot_average);
        let average = average(self.book, self.set, (&lot.key, "average of the lot", "f"), what, "");
        outcome.average = Some(average);
        let sample = Sample { key: &lot.key, values: &results, average, target: specified };
        let entering = match entering(self.book, self.set, &self.rule.measure, &sample) {
            Ok(entering) => entering,
            Err(why) => return self.not_judged(lot, &why, outcome),
        };
        outcome.steps.push(specified);
        outcome.steps.extend(floor);
        outcome.steps.push(average);
        outcome.steps.extend(&entering.steps);
        outcome.entered = Some(entering.entered);
        outcome.decided = own.iter().filter_map(|test| test.decided).max();
        let failing: Vec<&str> = own.iter().filter(|t| !t.judged.passes).map(|t| t.judged.name.as_str()).collect();
        outcome.verdict = if failing.is_empty() { Verdict::Sound } else { Verdict::Undecided };
        if !failing.is_empty() {
            add_note(outcome, &format!("a criterion fails at {}; {CAUTION}", failing.join(", ")));
        }
        let rule = self.rule;
        let drilled = own.iter().any(|test| test.drilled);
        let of_cores = rule.cores.as_ref().and_then(|cores| cores.pay.as_ref()).filter(|_| drilled);
        let Some(table) = of_cores.or(rule.pay.as_ref()) else { return };
        let Some(priced) = priced(self.book, self.set, table, &lot.key, &entering) else { return };
        if of_cores.is_none() {
            let (property, outcome) = (Property::Strength, outcome.name.clone());
            self.judged.samples.push(SampleJudged { property, outcome, results, target: specified });
        }
        outcome.pay = Some(priced.pay);
        outcome.steps.extend([priced.pay, placed.length, placed.area]);
        add_note(outcome, &priced.note);
        self.conclude((average, &entering), (table, &priced), placed, &own, outcome);
    }

    /// Fewer tests than the rule wants in a lot.
    fn too_few(&self, found: usize) -> Option<String> {
        let needed = self.rule.tests_per_lot.as_ref()?.value;
        (Decimal::from(found) < needed)
            .then(|| format!("{found} of the {} tests that the lot needs are there", needed.normalize()))
    }

    fn not_judged(&mut self, lot: &Lot, why: &str, outcome: &mut Outcome) {
        add_note(outcome, why);
        let message = format!("{why}; its strength is not judged");
        let remedy = "add the missing tests, or choose a rule set that judges so few";
        self.findings.push(Finding::new(Code::StrengthMissing, Place::Named(lot.name.clone()), message, remedy));
    }

    /// Verdict, adjustment and finding where the table pays other than the full price.
    fn conclude(
        &mut self,
        (average, entering): (FigureId, &Entering),
        (table, priced): (&Pay, &Priced),
        over: PlacedWithin,
        own: &[&Test],
        outcome: &mut Outcome,
    ) {
        let Some(decided) = outcome.decided else { return };
        if priced.verdict == Verdict::Sound {
            return;
        }
        if priced.verdict != Verdict::Raised || outcome.verdict == Verdict::Sound {
            outcome.verdict = priced.verdict;
        }
        let whole = (over.area, over.volume);
        outcome.adjustments.push(adjustment(self.book, Some(table), priced.effect, whole, decided));
        if priced.verdict == Verdict::Raised {
            return;
        }
        let said = |id| in_words(self.book, id);
        let (average, entered) = (said(average), said(entering.entered));
        let standing = match &self.rule.measure {
            Measure::Deficiency { .. } => {
                format!("the lot's average of {average} is {entered} under the specified strength")
            }
            Measure::Index { .. } => {
                format!("the lot's average of {average} and its spread make an index of {entered}")
            }
            Measure::Within(_) => format!("with an average of {average}, {entered} of the lot is within limits"),
        };
        let pays = pays(self.book, self.ground.contract, priced.effect, &said(over.area));
        let message = format!("{standing}; {} {pays}, and {CAUTION}", self.set.named());
        let finding = Finding::new(
            Code::StrengthLow,
            Place::Named(outcome.name.clone()),
            message,
            "compare the results with the laboratory's reports; page Adjustments says what it does to pay",
        );
        let finding = finding.with(self.rows(own));
        self.findings.push(finding);
    }
}

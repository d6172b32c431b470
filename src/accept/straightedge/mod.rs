//! Straightedge deviations: how many of a lot's measurements exceed the tolerance, and what the rule's table pays.
//!
//! ```text
//! percent over   P = 100 x k / n        k measurements above their tolerance, n all of the lot
//! ```
//!
//! UFGS 02753: the percent of *all* measurements in a lot, so a sheet has to hold the good ones too. A deviation above the
//! must-grind limit is a finding of its own, with its place. Nothing here decides whether it is ground.

#[cfg(test)]
mod tests;

use super::ground::{CAUTION, Ground, add_note, in_words};
use super::measure::Entering;
use super::price::{adjustment, pays, priced};
use super::{Judged, Outcome, Verdict};
use crate::figure::{Book, CellId, Comparison, Expr, Figure, FigureId, compare, count, either, sum, whole};
use crate::finding::{Code, Finding, Place};
use crate::intake::Straightedge;
use crate::line::{LotSpan, PlacedWithin, mark_lots, placed_within};
use crate::rules::{RuleNumber, RuleSet, StraightedgeRule};
use crate::units::{Unit, conversions, plain};

/// Parts of a count that are written in one formula.
const PARTS: usize = 100;

/// Everything at hand while deviations are judged.
struct Bench<'a> {
    ground: Ground<'a>,
    set: &'a RuleSet,
    rule: &'a StraightedgeRule,
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
}

/// Judges every lot that has placed pavement.
pub(super) fn judge<'a>(
    ground: Ground<'a>,
    (set, rule): (&'a RuleSet, &'a StraightedgeRule),
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
) {
    let lots = ground.lots(&rule.lot);
    mark_lots(ground.contract, &rule.lot, book);
    let mut bench = Bench { ground, set, rule, book, judged, findings };
    let members = bench.members(&lots);
    for (lot, own) in lots.iter().zip(&members) {
        bench.lot(lot, own);
    }
}

impl Bench<'_> {
    /// The measurements of each lot, by place in the records.
    fn members(&mut self, lots: &[LotSpan]) -> Vec<Vec<usize>> {
        let mut members = vec![Vec::new(); lots.len()];
        for (i, one) in self.ground.records.straightedge.iter().enumerate() {
            match self.ground.lot_at(lots, one.lane.value, one.station.value) {
                Some(lot) => members[lot].push(i),
                None => self.findings.push(self.unplaced(one)),
            }
        }
        members
    }

    fn record(&self, i: usize) -> &Straightedge {
        &self.ground.records.straightedge[i]
    }

    /// The tolerance that a measurement is held against.
    fn tolerance(&self, i: usize) -> Option<&RuleNumber> {
        if self.record(i).across { self.rule.across.as_ref() } else { self.rule.along.as_ref() }
    }

    fn is_over(&self, i: usize) -> bool {
        self.tolerance(i).is_some_and(|limit| self.record(i).deviation.value > limit.value)
    }

    fn lot(&mut self, lot: &LotSpan, own: &[usize]) {
        let (contract, line, key) = (self.ground.contract, self.ground.line, format!("{}.straightedge", lot.key));
        let name = format!("straightedge, {}", lot.name);
        let Some(placed) = placed_within(line, contract, self.book, &lot.places, &key, &name) else { return };
        let mut outcome = self.outcome(lot, name);
        outcome.area = Some(placed.area);
        let counting: Vec<usize> = own.iter().copied().filter(|&i| self.tolerance(i).is_some()).collect();
        if counting.len() < own.len() {
            let left = own.len() - counting.len();
            outcome.note = format!("the rule has no tolerance for {left} of its {} measurements", own.len());
        }
        if counting.is_empty() {
            self.not_measured(lot, &mut outcome);
        } else {
            self.measured(&key, &counting, placed, &mut outcome);
        }
        self.judged.outcomes.push(outcome);
    }

    fn outcome(&self, lot: &LotSpan, name: String) -> Outcome {
        Outcome::unjudged(self.set, name, lot.section, lot.places.clone())
    }

    fn not_measured(&mut self, lot: &LotSpan, outcome: &mut Outcome) {
        add_note(outcome, "no measurement counts for it");
        if !self.ground.wholly_placed(lot) {
            return;
        }
        self.findings.push(Finding::new(
            Code::StraightedgeMissing,
            Place::Named(outcome.name.clone()),
            "it is wholly placed, and no straightedge measurement counts for it",
            "add the sheet that holds its measurements, those within tolerance too",
        ));
    }

    fn measured(&mut self, key: &str, own: &[usize], placed: PlacedWithin, outcome: &mut Outcome) {
        let (n, percent) = self.percent_over(key, own, outcome);
        (outcome.entered, outcome.verdict) = (Some(percent), Verdict::Sound);
        outcome.decided = own.iter().map(|&i| self.record(i).date.value).max();
        let pays = self.pays(key, (n, percent), placed, outcome);
        if let Some(pays) = pays {
            let finding = self.over(&outcome.name, percent, own, &pays);
            self.findings.push(finding);
        }
        let grind: Vec<usize> = own.iter().copied().filter(|&i| self.must_grind(i)).collect();
        if !grind.is_empty() {
            outcome.verdict = Verdict::Undecided;
            let place = |&i: &usize| self.at(i);
            add_note(
                outcome,
                &format!("needs correction at {}", grind.iter().map(place).collect::<Vec<_>>().join(", ")),
            );
        }
        for i in grind {
            let finding = self.too_great(i);
            self.findings.extend(finding);
        }
    }

    /// P = 100 k / n, with k and n.
    fn percent_over(&mut self, key: &str, own: &[usize], outcome: &mut Outcome) -> (FigureId, FigureId) {
        let ledger = &self.ground.line.ledger;
        let cells: Vec<CellId> = own.iter().map(|&i| ledger.straightedge_deviation(i)).collect();
        let all: Vec<Expr> = cells.chunks(PARTS).map(|part| count(part.iter().copied())).collect();
        let all = if let [only] = all.as_slice() { only.clone() } else { sum(all) };
        let n = Figure::new(format!("{key}.measurements"), "measurements of the lot", "n", Unit::One, all);
        let n = self.book.add(n.shown(0));
        let mut over = Vec::with_capacity(own.len());
        for (&i, cell) in own.iter().zip(cells) {
            let Some(limit) = self.tolerance(i) else { continue };
            let (side, letter) = if self.record(i).across { ("across", "dT") } else { ("along", "dL") };
            let limit = self.book.given(limit.given(format!("tolerance {side} the lane"), letter));
            over.push(either(compare(cell, Comparison::Above, limit), whole(1), whole(0)));
        }
        let k = Figure::new(format!("{key}.over"), "measurements over tolerance", "k", Unit::One, whole(0)).shown(0);
        let k = self.book.add_sum(k, over);
        let percent = (k / n).to(conversions::RATIO_TO_PERCENT);
        let figure = Figure::new(format!("{key}.percent"), "percent over tolerance", "P", Unit::Percent, percent);
        let figure = match self.rule.round {
            Some(round) => self.set.compared(figure, round),
            None => figure.shown(2),
        };
        let percent = self.book.add(figure.under(&self.set.citation));
        outcome.steps.extend([n, k, percent]);
        (n, percent)
    }

    /// Looks the percent up and notes what it changes; what is deducted, in words.
    fn pays(
        &mut self,
        key: &str,
        (tests, entered): (FigureId, FigureId),
        placed: PlacedWithin,
        outcome: &mut Outcome,
    ) -> Option<String> {
        let rule = self.rule;
        let table = rule.pay.as_ref()?;
        let entering = Entering { entered, tests, ratio: None, steps: Vec::new() };
        let priced = priced(self.book, self.set, table, key, &entering)?;
        outcome.steps.extend([priced.pay, placed.length, placed.area]);
        (outcome.pay, outcome.verdict) = (Some(priced.pay), priced.verdict);
        add_note(outcome, &priced.note);
        if priced.verdict == Verdict::Sound {
            return None;
        }
        let decided = outcome.decided?;
        let over = (placed.area, placed.volume);
        outcome.adjustments.push(adjustment(self.book, Some(table), priced.effect, over, decided));
        let pays = pays(self.book, self.ground.contract, priced.effect, &in_words(self.book, placed.area));
        (priced.verdict != Verdict::Raised).then_some(pays)
    }

    fn must_grind(&self, i: usize) -> bool {
        self.rule.must_grind.as_ref().is_some_and(|limit| self.record(i).deviation.value > limit.value)
    }

    /// `NB-1 14+20`.
    fn at(&self, i: usize) -> String {
        let one = self.record(i);
        let contract = self.ground.contract;
        format!("{} {}", contract.lane(one.lane.value).name, contract.station(one.lane.value, one.station.value))
    }

    fn over(&self, name: &str, percent: FigureId, own: &[usize], pays: &str) -> Finding {
        let over: Vec<usize> = own.iter().copied().filter(|&i| self.is_over(i)).collect();
        let message = format!(
            "{} of its measurements ({} of {}) over tolerance; {} {pays}, and {CAUTION}",
            in_words(self.book, percent),
            over.len(),
            own.len(),
            self.set.named()
        );
        let remedy = "see that the sheet holds all measurements of the lot; page Adjustments says what it does to pay";
        let rows = over.iter().map(|&i| Place::Row(self.record(i).deviation.at));
        Finding::new(Code::StraightedgeOver, Place::Named(name.to_string()), message, remedy).with(rows)
    }

    fn too_great(&self, i: usize) -> Option<Finding> {
        let limit = self.rule.must_grind.as_ref()?;
        let one = self.record(i);
        let message = format!(
            "the deviation of {} {} at {} is above {}, so it needs correction however few there are ({})",
            plain(one.deviation.value),
            limit.unit,
            self.at(i),
            limit.written,
            limit.clause
        );
        let remedy = "correct it and measure again; set the earlier measurement aside in contract.toml once the new one is there";
        Some(Finding::new(Code::StraightedgeOver, Place::Cell(one.deviation.at), message, remedy))
    }

    fn unplaced(&self, one: &Straightedge) -> Finding {
        Finding::new(
            Code::SmoothnessUnplaced,
            Place::Row(one.deviation.at),
            format!(
                "the straightedge deviation at {} in lane {} lies where nothing was placed; it is not used",
                self.ground.contract.station(one.lane.value, one.station.value),
                self.ground.contract.lane(one.lane.value).name
            ),
            "correct its lane or its station, or add the missing placement",
        )
    }
}

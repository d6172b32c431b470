//! What is paid for a piece: its index, whether it needs correction, and the table's pay in proportion to its length.

use super::segment::Segment;
use super::{Bench, Piece};
use crate::accept::ground::{CAUTION, add_note, in_words};
use crate::accept::measure::Entering;
use crate::accept::price::{adjustment, pays, priced};
use crate::accept::{Effect, Outcome, Verdict};
use crate::figure::{Figure, FigureId, count, sum};
use crate::finding::{Code, Finding, Place};
use crate::line::{PlacedWithin, placed_within};
use crate::rules::{Partial, Spared};
use crate::units::Unit;

impl Bench<'_> {
    /// Judges a piece by the segments that stand for it.
    pub(super) fn piece(&mut self, piece: &Piece, segments: &[&Segment]) {
        let (contract, line) = (self.ground.contract, self.ground.line);
        let Some(placed) = placed_within(line, contract, self.book, &piece.places, &piece.key, &piece.name) else {
            return;
        };
        self.list(segments);
        let judged: Vec<&Segment> =
            segments.iter().copied().filter(|s| s.index.is_some() && !self.spares(s, Spared::Judgement)).collect();
        let indexes: Vec<FigureId> = judged.iter().filter_map(|s| s.index).collect();
        let mut outcome = self.outcome(piece, indexes.clone());
        outcome.area = Some(placed.area);
        match segments {
            [] => outcome.note = "no segment was measured in it".into(),
            [only] => outcome.note.clone_from(&only.note),
            _ => {}
        }
        if let Some(index) = self.index_of(piece, &judged, &indexes, &mut outcome) {
            self.price(piece, (index, &judged), placed, &mut outcome);
        }
        self.judged.outcomes.push(outcome);
    }

    /// The index of the piece: its segment's own, or that of several by their lengths.
    fn index_of(
        &mut self,
        piece: &Piece,
        judged: &[&Segment],
        indexes: &[FigureId],
        outcome: &mut Outcome,
    ) -> Option<FigureId> {
        if let [] | [_] = indexes {
            return indexes.first().copied();
        }
        let weighted = sum(judged.iter().zip(indexes).map(|(segment, &index)| segment.length * index));
        let lengths = sum(judged.iter().map(|segment| segment.length));
        let unit = self.ground.contract.system.roughness();
        let label = format!("{} by lengths", self.rule.index.word());
        let figure = Figure::new(format!("{}.average", piece.key), label, "I", unit, weighted / lengths);
        let figure = self.set.compared(figure, self.rule.round).under(&self.set.citation);
        let id = self.book.add(figure);
        outcome.steps.push(id);
        Some(id)
    }

    fn price(
        &mut self,
        piece: &Piece,
        (index, judged): (FigureId, &[&Segment]),
        placed: PlacedWithin,
        outcome: &mut Outcome,
    ) {
        (outcome.average, outcome.entered, outcome.verdict) = (Some(index), Some(index), Verdict::Sound);
        outcome.decided = judged.iter().map(|s| s.date).max();
        let rough: Vec<&Segment> = judged.iter().copied().filter(|s| self.needs_correction(s)).collect();
        let pays = self.pays(piece, index, judged, placed, outcome);
        if !rough.is_empty() {
            outcome.verdict = Verdict::Undecided;
            let word = if pays.is_some() {
                "needs correction; until it is measured again this is paid"
            } else {
                "needs correction"
            };
            add_note(outcome, word);
        }
        if pays.is_some() || !rough.is_empty() {
            let finding = self.rough(piece, (index, judged), &rough, pays);
            self.findings.push(finding);
        }
    }

    /// Above the limit, and not spared for being short.
    fn needs_correction(&self, segment: &Segment) -> bool {
        let Some(limit) = &self.rule.correct_above else { return false };
        let value = segment.index.and_then(|id| self.book[id].value.decimal());
        value.is_some_and(|value| value > limit.value) && !self.spares(segment, Spared::Correction)
    }

    /// Looks the index up and notes what it changes; what is deducted, in words.
    fn pays(
        &mut self,
        piece: &Piece,
        index: FigureId,
        judged: &[&Segment],
        placed: PlacedWithin,
        outcome: &mut Outcome,
    ) -> Option<String> {
        let rule = self.rule;
        let table = rule.pay.as_ref()?;
        let n = Figure::new(
            format!("{}.segments", piece.key),
            "segments",
            "n",
            Unit::One,
            count(judged.iter().filter_map(|s| s.index)),
        );
        let tests = self.book.add(n.shown(0));
        let entering = Entering { entered: index, tests, ratio: None, steps: Vec::new() };
        let priced = priced(self.book, self.set, table, &piece.key, &entering)?;
        let effect = self.prorated(piece, priced.effect, placed.length, outcome);
        outcome.steps.extend([placed.length, placed.area]);
        (outcome.pay, outcome.verdict) = (Some(priced.pay), priced.verdict);
        add_note(outcome, &priced.note);
        if priced.verdict == Verdict::Sound {
            return None;
        }
        let decided = outcome.decided?;
        let over = (placed.area, placed.volume);
        outcome.adjustments.push(adjustment(self.book, Some(table), effect, over, decided));
        let areas = in_words(self.book, placed.area);
        (priced.verdict != Verdict::Raised).then(|| pays(self.book, self.ground.contract, effect, &areas))
    }

    /// Money for a whole segment in proportion to what is placed of the piece; other pay as it is.
    fn prorated(&mut self, piece: &Piece, effect: Effect, length: FigureId, outcome: &mut Outcome) -> Effect {
        outcome.steps.push(effect.figure());
        let Effect::Amount(whole) = effect else { return effect };
        if self.rule.partial == Partial::Whole {
            return effect;
        }
        let standard = self.book.given(self.rule.length.given("length of a whole segment", "L0"));
        let share =
            Figure::new(format!("{}.share", piece.key), "share of a whole segment", "k", Unit::One, length / standard);
        let share = self.book.add(share.shown(4).under(&self.rule.length.clause));
        let money = Figure::new(format!("{}.money", piece.key), "pay for the piece", "a", Unit::Money, share * whole);
        let money = self.book.add(money.rounded(self.ground.contract.roundings.money).under(&self.set.citation));
        outcome.steps.extend([share, money]);
        Effect::Amount(money)
    }

    fn rough(
        &self,
        piece: &Piece,
        (index, judged): (FigureId, &[&Segment]),
        rough: &[&Segment],
        pays: Option<String>,
    ) -> Finding {
        let mut said = vec![format!("the {} is {}", self.rule.index.word(), in_words(self.book, index))];
        if let Some(limit) = self.rule.correct_above.as_ref().filter(|_| !rough.is_empty()) {
            let names: Vec<&str> = rough.iter().map(|s| s.name.as_str()).collect();
            let which = if judged.len() > 1 { format!("{} needs", names.join(" and ")) } else { "it needs".into() };
            said.push(format!("above {} {which} correction ({})", limit.written, limit.clause));
        }
        said.extend(pays.map(|pays| format!("{} {pays}", self.set.named())));
        let message = format!("{}, and {CAUTION}", said.join("; "));
        let remedy = if rough.is_empty() {
            "compare the readings with the profiler's report; page Adjustments says what it does to pay"
        } else {
            "correct the segment and measure it again; set the earlier run aside in contract.toml once the new one is there"
        };
        let finding = Finding::new(Code::SmoothnessRough, Place::Named(piece.name.clone()), message, remedy);
        finding.with(judged.iter().map(|segment| self.row(segment)))
    }
}

//! Several properties of one piece of pavement, paid by one percent.
//!
//! The properties are judged first, each by its own rule set and in its own lots. Here the placed pavement is parted where
//! any of those lots ends, and each piece with the same outcomes is paid as the rule combines their percents. A property
//! that is not judged yet counts as full, and the piece is paid no more than full until it is. What was combined in an
//! earlier period with fewer judgements stays, and the judgements of a later one change it by the difference, so that
//! nothing is taken off twice.

mod member;
mod percent;
mod pieces;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use self::member::{Member, full};
use self::percent::{Percents, Together, together};
use self::pieces::{Piece, pieces};
use super::ground::{Ground, add_note, in_words};
use super::{Adjustment, CombinedJudged, Effect, Judged, Outcome, Verdict};
use crate::figure::{Book, Comparison, Expr, Figure, FigureId, compare};
use crate::finding::{Code, Finding, Place};
use crate::line::{PlacedWithin, placed_within, slug};
use crate::rules::{CombinedRule, Property, RuleSet};
use crate::units::Unit;

/// Everything at hand while properties are combined.
struct Bench<'a> {
    ground: Ground<'a>,
    set: &'a RuleSet,
    rule: &'a CombinedRule,
    book: &'a mut Book,
    findings: &'a mut Vec<Finding>,
}

/// What each property pays of a piece; `None` while it is not judged.
type Shares = Vec<(Property, Option<FigureId>)>;

/// What a piece has paid, judgement by judgement.
struct Paid {
    adjustments: Vec<Adjustment>,
    steps: Vec<FigureId>,
    last: Option<Together>,
    /// What each property paid of it at last, in the rule's order.
    percents: Vec<FigureId>,
}

/// Combines what `judged` holds of the rule's properties; `sets` are the rule sets they were judged by.
pub(super) fn judge(
    ground: Ground,
    (set, rule): (&RuleSet, &CombinedRule),
    sets: &[&RuleSet],
    book: &mut Book,
    judged: &mut Judged,
    findings: &mut Vec<Finding>,
) {
    if let Some(why) = rule.of.iter().find_map(|&property| unfit(property, sets)) {
        let message = format!("rule set {} combines {why}; nothing is combined", set.id);
        let place = Place::Named(set.id.clone());
        findings.push(Finding::new(Code::RuleInvalid, place, message, "choose rule sets that can be combined"));
        return;
    }
    let pieces = pieces(ground.contract, ground.line, &judged.outcomes, &rule.of);
    let names = names(ground, &pieces, &judged.outcomes);
    let mut bench = Bench { ground, set, rule, book, findings };
    let first = judged.outcomes.len();
    let mut found = Vec::new();
    for (piece, name) in pieces.iter().zip(names) {
        found.extend(bench.piece(piece, name, &judged.outcomes));
    }
    for (n, (outcome, members)) in found.into_iter().enumerate() {
        judged.combined.push(CombinedJudged { outcome: first + n, members });
        judged.outcomes.push(outcome);
    }
}

/// Why a property cannot be combined.
fn unfit(property: Property, sets: &[&RuleSet]) -> Option<String> {
    let word = property.word();
    match sets.iter().find(|set| set.property == property) {
        None => Some(format!("{word}, for which no rule set is chosen")),
        Some(set) => set.cannot_combine().map(|why| format!("{word}, but rule set {} {why}", set.id)),
    }
}

/// A piece is called after a lot that lies in no other piece; otherwise after its stretch.
fn names(ground: Ground, pieces: &[Piece], outcomes: &[Outcome]) -> Vec<String> {
    let mut uses: BTreeMap<usize, usize> = BTreeMap::new();
    for outcome in pieces.iter().flat_map(|piece| piece.members.iter().flatten()) {
        *uses.entry(*outcome).or_default() += 1;
    }
    let name = |piece: &Piece| {
        let whole = piece.members.iter().flatten().find(|outcome| uses.get(outcome) == Some(&1));
        let stretch = || {
            let (first, more) = piece.places.split_first()?;
            let more = if more.is_empty() { String::new() } else { format!(" and {} more", more.len()) };
            Some(format!("{}{more}", ground.span(first.0, first.1, first.2)))
        };
        let words = whole.map(|&outcome| outcomes[outcome].name.clone()).or_else(stretch);
        format!("combined, {}", words.unwrap_or_default())
    };
    pieces.iter().map(name).collect()
}

impl Bench<'_> {
    /// The outcome of a piece, and what each property pays of it.
    fn piece(&mut self, piece: &Piece, name: String, outcomes: &[Outcome]) -> Option<(Outcome, Shares)> {
        let Ground { contract, line, as_of, .. } = self.ground;
        let key = slug(&name);
        let placed = placed_within(line, contract, self.book, &piece.places, &key, &name)?;
        let of = self.rule.of.iter().zip(&piece.members);
        let members: Vec<Member> =
            of.map(|(&property, &at)| Member::new(self.book, property, at.map(|at| &outcomes[at]), as_of)).collect();
        let mut outcome = self.outcome(piece, name, placed);
        for &at in piece.members.iter().flatten() {
            add_steps(&mut outcome, &outcomes[at].steps);
        }
        let paid = self.pay(&key, &members, placed);
        let percents = members.iter().enumerate().map(|(i, member)| {
            let percent = paid.percents.get(i).copied().filter(|_| member.paid.is_some());
            (member.property, percent)
        });
        let percents = percents.collect();
        self.conclude(&members, paid, placed, &mut outcome);
        Some((outcome, percents))
    }

    /// An outcome without a judgement.
    fn outcome(&self, piece: &Piece, name: String, placed: PlacedWithin) -> Outcome {
        let unjudged = Outcome::unjudged(self.set, name, piece.section, piece.places.clone());
        Outcome { area: Some(placed.area), ..unjudged }
    }

    /// The period of the contract that a day falls in.
    fn period(&self, day: NaiveDate) -> usize {
        let periods = &self.ground.contract.periods;
        periods.iter().position(|period| day <= period.through).unwrap_or(periods.len())
    }

    /// What is paid by the judgements up to each period in which one was made; later ones by their difference.
    fn pay(&mut self, key: &str, members: &[Member], placed: PlacedWithin) -> Paid {
        let days = || members.iter().filter_map(|member| Some(member.paid.as_ref()?.1));
        let stages: BTreeSet<usize> = days().map(|day| self.period(day)).collect();
        let last_stage = stages.last().copied();
        let mut paid = Paid { adjustments: Vec::new(), steps: Vec::new(), last: None, percents: Vec::new() };
        for &stage in &stages {
            let until = |day: &NaiveDate| self.period(*day) <= stage;
            let Some(decided) = days().filter(until).max() else { continue };
            let when = if Some(stage) == last_stage { String::new() } else { format!(", as judged by {decided}") };
            let key = if when.is_empty() { key.to_string() } else { format!("{key}.by-{decided}") };
            let Some(now) = self.stage((&key, &when), members, stage, &mut paid) else { continue };
            let before = paid.last.replace(now).map(|before| before.pay);
            if let Some(pay) = self.change(&key, before, now.pay, &mut paid.steps) {
                let (area, volume) = (placed.area, placed.volume);
                paid.adjustments.push(Adjustment { area, volume, effect: Effect::Percent(pay), price: None, decided });
            }
        }
        paid
    }

    /// Combined and paid percent by the judgements up to a period.
    fn stage(
        &mut self,
        (key, when): (&str, &str),
        members: &[Member],
        stage: usize,
        paid: &mut Paid,
    ) -> Option<Together> {
        let by_then: Vec<bool> = members
            .iter()
            .map(|member| member.paid.as_ref().is_some_and(|(_, day)| self.period(*day) <= stage))
            .collect();
        let of = members.iter().zip(&by_then);
        let all: Vec<FigureId> = of.map(|(member, &judged)| member.percent(self.book, key, judged)).collect();
        let undecided = members.iter().zip(&by_then).any(|(member, &judged)| judged && member.undecided());
        let complete = by_then.iter().all(|&judged| judged);
        let percents = Percents { key, when, all: &all, complete, undecided };
        let now = together(self.book, self.rule, &percents)?;
        paid.steps.extend(&all);
        paid.steps.push(now.combined);
        if now.pay != now.combined {
            paid.steps.push(now.pay);
        }
        paid.percents = all;
        Some(now)
    }

    /// The percent by which pay changes: the pay itself, or beside what was paid before; `None` where nothing changes.
    fn change(
        &mut self,
        key: &str,
        before: Option<FigureId>,
        now: FigureId,
        steps: &mut Vec<FigureId>,
    ) -> Option<FigureId> {
        let same = |book: &Book, other: Expr| {
            let test = |how| book.evaluate(&compare(now, how, other.clone())).holds();
            test(Comparison::AtLeast) && test(Comparison::AtMost)
        };
        let Some(before) = before.filter(|&before| !self.is_full(before)) else {
            return (!same(self.book, full())).then_some(now);
        };
        if same(self.book, before.into()) {
            return None;
        }
        let decimals = self.book[now].decimals.max(self.book[before].decimals);
        let figure = Figure::new(
            format!("{key}.change"),
            "pay beside what was paid before",
            "df",
            Unit::Percent,
            full() + (now - before),
        );
        let change = self.book.add(figure.shown(decimals).note("100 and the change since"));
        steps.push(change);
        Some(change)
    }

    fn is_full(&self, pay: FigureId) -> bool {
        let test = |how| self.book.evaluate(&compare(pay, how, full())).holds();
        test(Comparison::AtLeast) && test(Comparison::AtMost)
    }

    /// Verdict, adjustments, notes and, where the rule rejects it, the finding.
    fn conclude(&mut self, members: &[Member], paid: Paid, placed: PlacedWithin, outcome: &mut Outcome) {
        let Paid { adjustments, steps, last, .. } = paid;
        add_steps(outcome, &steps);
        add_steps(outcome, &[placed.length, placed.area]);
        outcome.adjustments = adjustments;
        outcome.decided = members.iter().filter_map(|member| Some(member.paid.as_ref()?.1)).max();
        outcome.entered = last.map(|last| last.combined);
        outcome.pay = last.map(|last| last.pay);
        let rejected = last.filter(|last| last.rejected);
        let undecided = rejected.is_some() || members.iter().any(Member::undecided);
        outcome.verdict = match outcome.pay {
            _ if undecided => Verdict::Undecided,
            None => Verdict::NotTested,
            Some(pay) if self.is_full(pay) => Verdict::Sound,
            Some(pay) if self.book.evaluate(&compare(pay, Comparison::Above, full())).holds() => Verdict::Raised,
            Some(_) => Verdict::Adjusted,
        };
        for member in members {
            add_note(outcome, &member.note());
        }
        if let Some(Together { combined, pay, .. }) = rejected {
            self.reject(combined, pay, placed, outcome);
        }
    }

    fn reject(&mut self, combined: FigureId, pay: FigureId, placed: PlacedWithin, outcome: &mut Outcome) {
        let Some(rejects) = &self.rule.rejects else { return };
        let said = |id| in_words(self.book, id);
        let message = format!(
            "{} together pay {}, and {} accepts nothing below {} at a price; {} is paid for {} until the engineer decides",
            words(&self.rule.of),
            said(combined),
            self.set.named(),
            rejects.below.written,
            said(pay),
            said(placed.area)
        );
        add_note(outcome, &format!("below {}: the engineer decides", rejects.below.written));
        let remedy = "compare the percents with the lots they come from, and enter the engineer's decision";
        self.findings.push(Finding::new(Code::CombinedRejected, Place::Named(outcome.name.clone()), message, remedy));
    }
}

/// `thickness, strength and air`.
fn words(of: &[Property]) -> String {
    let words: Vec<&str> = of.iter().map(|property| property.word()).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

/// More of the calculation; what stands there already is not repeated.
fn add_steps(outcome: &mut Outcome, steps: &[FigureId]) {
    for &step in steps {
        if !outcome.steps.contains(&step) {
            outcome.steps.push(step);
        }
    }
}

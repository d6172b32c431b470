//! Which tests of a ground count, by who took them and what a referee settled.
//!
//! The referee's test counts in place of the one it settles. Independent assurance never counts. Where any test of the
//! agency's or a referee's stands for the same ground, the contractor's do not count beside it: a rule for single results
//! has no comparison that could admit them. What nobody states to be the contractor's, the agency's or assurance counts.

use std::collections::BTreeMap;

use super::stands::Stands;
use super::{Bench, reading};
use crate::accept::quality::{Claim, settled};
use crate::finding::Place;
use crate::intake::TakenBy;
use crate::line::folded;

/// Tests, by place in the records, that count nowhere, and why.
pub(super) type Aside = BTreeMap<usize, String>;

/// The tests of one ground.
pub(super) struct Parted {
    /// Those that count.
    pub(super) counting: Vec<usize>,
    /// Those that do not, and why.
    pub(super) beside: Vec<(usize, String)>,
    /// What a reader should know beside the ground; empty where nothing is to say.
    pub(super) note: String,
}

impl Bench<'_> {
    /// What is settled by a referee, and what was to settle something and cannot.
    pub(super) fn aside(&mut self, placed: &[(usize, Vec<Stands>)]) -> Aside {
        let all = &self.ground.records.fresh;
        let claim = |(test, _): &(usize, Vec<Stands>)| Claim {
            number: &all[*test].number.value,
            by: all[*test].taken_by,
            settles: all[*test].settles.as_ref().map(|number| &*number.value),
            rows: vec![Place::Row(all[*test].number.at)],
        };
        let claims: Vec<Claim> = placed.iter().map(claim).collect();
        let is_claim = |i: usize| placed.iter().any(|(test, _)| *test == i);
        let others = all.iter().enumerate().filter(|(i, _)| !is_claim(*i));
        let others: Vec<String> = others.map(|(_, test)| folded(&test.number.value)).collect();
        let together = |one: usize, other: usize| {
            let shared = placed[one].1.iter().any(|stands| placed[other].1.contains(stands));
            shared.then_some(()).ok_or_else(|| {
                let name = |at: usize| placed[at].1.first().map_or_else(String::new, |stands| stands.name(self.ground));
                format!("it stands for {}, and what it is to settle for {}", name(one), name(other))
            })
        };
        let mut found = Vec::new();
        let standing = settled("test", &claims, &others, together, &mut found);
        // One row may hold several properties, and what is wrong with it is said once.
        found.retain(|finding| !self.findings.contains(finding));
        self.findings.extend(found);
        let word = |(at, one): (usize, &crate::accept::quality::Settlement)| {
            let why = match one.by {
                Some(by) => format!("settled by {}", claims[by].number),
                None if one.refused => "counts nowhere: what it settles cannot be told".into(),
                None => return None,
            };
            Some((placed[at].0, why))
        };
        standing.iter().enumerate().filter_map(word).collect()
    }

    /// Which tests of a ground count.
    pub(super) fn parted(&self, tests: &[usize], aside: &Aside) -> Parted {
        let by = |test: usize| self.ground.records.fresh[test].taken_by;
        let stands = |test: &&usize| !aside.contains_key(*test);
        let owners = tests.iter().filter(stands).any(|&t| matches!(by(t), TakenBy::Agency | TakenBy::Referee));
        let why = |test: usize| match (aside.get(&test), by(test)) {
            (Some(why), _) => Some(why.clone()),
            (None, TakenBy::Assurance) => Some("independent assurance, does not count".into()),
            (None, TakenBy::Contractor) if owners => Some("contractor's, the agency's counts".into()),
            _ => None,
        };
        let mut parted = Parted { counting: Vec::new(), beside: Vec::new(), note: String::new() };
        for &test in tests {
            match why(test) {
                Some(why) => parted.beside.push((test, why)),
                None => parted.counting.push(test),
            }
        }
        let words = parted.beside.iter().map(|(test, why)| format!("{} {why}", self.numbers(&[*test]).join("")));
        parted.note = words.collect::<Vec<_>>().join("; ");
        parted
    }

    /// Tests with a result of the property, and what each stands for; one that stands for nothing is said.
    pub(super) fn placed(&mut self) -> Vec<(usize, Vec<Stands>)> {
        let mut placed = Vec::new();
        for (i, test) in self.ground.records.fresh.iter().enumerate() {
            let Some(read) = reading(self.set.property, test) else { continue };
            match Stands::of(self.ground, self.rule.represents, test) {
                Ok(all) => placed.push((i, all)),
                Err(why) => self.findings.push(super::unplaced(self.set.property, test, read, &why)),
            }
        }
        placed
    }
}

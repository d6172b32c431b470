//! Specimens to sets: those of one set, cast on one day, of one kind and one party; and which set settles which.
//!
//! The parts of a split sample have one set number and two parties. Rows that name no party go with the only one that the
//! set names. A set of cores under a rule that takes cores must settle another.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::accept::ground::Ground;
use crate::accept::quality::{Claim, Settlement, settled};
use crate::finding::{Code, Finding, Place};
use crate::intake::{Sampling, Shape, Specimen, TakenBy};
use crate::line::folded;
use crate::rules::StrengthRule;

/// The specimens of one set, cast on one day.
#[derive(Debug)]
pub(super) struct Set<'r> {
    pub(super) name: &'r str,
    /// The name, with the party where the number alone does not tell two sets apart.
    pub(super) title: String,
    pub(super) cast: NaiveDate,
    pub(super) shape: Shape,
    pub(super) taken: (TakenBy, Sampling),
    /// Places in the records.
    pub(super) members: Vec<usize>,
    /// The set that it stands in place of in the end, by place among the sets.
    pub(super) root: Option<usize>,
    /// False where another settles it, or it settles nothing that can be told.
    pub(super) stands: bool,
    /// How it counts, in words; empty where that is plain.
    pub(super) standing: String,
}

/// All sets in the order cast, each behind the one that it settles.
pub(super) fn sets<'r>(ground: Ground<'r>, rule: &StrengthRule, findings: &mut Vec<Finding>) -> Vec<Set<'r>> {
    let specimens = &ground.records.specimens;
    let mut sets = grouped(specimens);
    let settles = |set: &Set| -> Vec<&'r str> {
        let named = set.members.iter().filter_map(|&i| specimens[i].settles.as_ref());
        let mut named: Vec<&str> = named.map(|read| read.value.trim()).collect();
        named.dedup_by_key(|name| folded(name));
        named
    };
    sets.retain(|set| match refusal(rule, set, &settles(set)) {
        Some(why) => {
            findings.push(refused(specimens, set, why));
            false
        }
        None => true,
    });
    let claims: Vec<Claim> = sets
        .iter()
        .map(|set| Claim {
            number: set.name,
            by: set.taken.0,
            settles: settles(set).first().copied(),
            rows: rows(specimens, set).collect(),
        })
        .collect();
    let all = settled("set", &claims, &[], |_, _| Ok(()), findings);
    for at in 0..sets.len() {
        let standing = standing(&sets, &all, at);
        (sets[at].stands, sets[at].standing) = (all[at].stands(), standing);
    }
    ordered(sets, &all)
}

/// Why a set cannot be used at all.
fn refusal(rule: &StrengthRule, set: &Set, settles: &[&str]) -> Option<&'static str> {
    match (set.shape == Shape::Core, rule.cores.is_some(), settles.len()) {
        (_, _, 2..) => Some("its specimens are to settle different sets"),
        (true, false, 1) => Some("the rule does not say at what share of the specified strength a core counts"),
        (true, true, 0) => Some("it is of drilled cores, and nothing says which set they settle"),
        _ => None,
    }
}

fn refused(specimens: &[Specimen], set: &Set, why: &str) -> Finding {
    let mut rows = rows(specimens, set);
    let place = rows.next().unwrap_or_else(|| Place::Named(set.name.to_string()));
    let message = format!("set {} counts nowhere: {why}", set.title);
    let remedy =
        "write the number of the set in dispute under 'settles', and choose a rule set with [core_tests] for cores";
    Finding::new(Code::SettlesUnknown, place, message, remedy).with(rows)
}

fn rows(specimens: &[Specimen], set: &Set) -> impl Iterator<Item = Place> {
    set.members.iter().map(|&i| Place::Row(specimens[i].number.at)).collect::<Vec<_>>().into_iter()
}

fn standing(sets: &[Set], all: &[Settlement], at: usize) -> String {
    match (&all[at], all[at].settles.first()) {
        (one, _) if one.refused => "settles nothing that can be told: does not count".into(),
        (Settlement { by: Some(by), .. }, _) => format!("settled by {}", sets[*by].title),
        (_, Some(&target)) => format!("settles {}", sets[target].title),
        _ => String::new(),
    }
}

/// By the day cast; what settles another directly behind it, and with its place.
fn ordered<'r>(sets: Vec<Set<'r>>, all: &[Settlement]) -> Vec<Set<'r>> {
    let root = |at: usize| {
        let (mut first, mut depth) = (at, 0_usize);
        while let Some(&target) = all[first].settles.first() {
            (first, depth) = (target, depth + 1);
        }
        (first, depth)
    };
    let mut order: Vec<(usize, usize, usize)> = (0..sets.len()).map(|at| (root(at).0, root(at).1, at)).collect();
    order.sort_by_key(|&(root, depth, at)| (sets[root].cast, sets[root].members.first(), depth, at));
    let place = |of: usize| order.iter().position(|&(.., at)| at == of);
    let mut placed: Vec<(Option<usize>, Option<usize>, Set)> = sets
        .into_iter()
        .enumerate()
        .map(|(at, set)| (place(at), place(root(at).0).filter(|_| root(at).0 != at), set))
        .collect();
    placed.sort_by_key(|(place, ..)| *place);
    placed.into_iter().map(|(_, root, set)| Set { root, ..set }).collect()
}

fn grouped(specimens: &[Specimen]) -> Vec<Set<'_>> {
    type Key = (String, NaiveDate, Shape);
    let key = |s: &Specimen| -> Key { (folded(&s.set.value), s.cast.value, s.shape) };
    let mut parties: BTreeMap<Key, Vec<TakenBy>> = BTreeMap::new();
    for specimen in specimens {
        let known = parties.entry(key(specimen)).or_default();
        if specimen.taken_by != TakenBy::Unstated && !known.contains(&specimen.taken_by) {
            known.push(specimen.taken_by);
        }
    }
    let mut sets: Vec<Set> = Vec::new();
    let mut known: BTreeMap<(Key, &str), usize> = BTreeMap::new();
    for (i, specimen) in specimens.iter().enumerate() {
        let key = key(specimen);
        let named = parties.get(&key).map_or(&[][..], Vec::as_slice);
        let by = if let [only] = named { *only } else { specimen.taken_by };
        let at = *known.entry((key, by.word())).or_insert(sets.len());
        if at == sets.len() {
            let name = specimen.set.value.trim();
            let title = match (named.len() > 1, by.word()) {
                (false, _) => name.to_string(),
                (true, "") => format!("{name} (no party named)"),
                (true, party) => format!("{name} ({party})"),
            };
            let (cast, shape, taken) = (specimen.cast.value, specimen.shape, (by, specimen.sampling));
            let (root, stands, standing) = (None, true, String::new());
            sets.push(Set { name, title, cast, shape, taken, members: Vec::new(), root, stands, standing });
        }
        sets[at].members.push(i);
    }
    sets
}

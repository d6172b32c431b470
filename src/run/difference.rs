//! Two results side by side: which amounts changed, by how much, and because of which records, values and settings.
//!
//! A result is a package, a closing, or a contract folder, which is then computed. From an amount that changed the tree of
//! figures is followed down, through what changed only, to the cells, given values and records that began it.

mod side;
mod told;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use rust_decimal::Decimal;
use serde::Serialize;

use super::{Stop, Tick};
use crate::closing::{self, Change, ChangeTold};
use side::{Below, Number, Side};

/// Two results and what differs between them.
#[derive(Clone, Debug, Serialize)]
pub struct Difference {
    /// The first result, in words.
    pub first: String,
    /// The second.
    pub second: String,
    /// Amounts that differ, in the order of the second result.
    pub amounts: Vec<AmountChange>,
    /// How many other figures differ, came or went.
    pub other_figures: usize,
    /// Records that differ.
    pub records: Vec<ChangeTold>,
    /// False where a result has no file of its records, so that they could not be compared.
    pub records_known: bool,
    /// Findings of the first result that the second does not have.
    pub settled: Vec<String>,
    /// Findings of the second that the first does not have.
    pub arisen: Vec<String>,
}

/// An amount or quantity that differs.
#[derive(Clone, Debug, Serialize)]
pub struct AmountChange {
    /// Key of its figure.
    pub key: String,
    /// What it is.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// In the first result; null where it is not there or could not be computed.
    pub first: Option<Decimal>,
    /// In the second.
    pub second: Option<Decimal>,
    /// Second less first, what is not there taken as nothing.
    pub by: Decimal,
    /// What began it.
    pub because: Vec<String>,
}

/// Compares two results.
///
/// # Errors
/// Where one of them is neither a package, a closing nor a contract folder, or cannot be read.
pub fn compare(first: &Path, second: &Path, tick: Tick<'_>) -> Result<Difference, Stop> {
    let (first, second) = (side::read(first, tick)?, side::read(second, tick)?);
    let known = first.records.as_ref().zip(second.records.as_ref());
    let changes = known.map(|(first, second)| closing::changes(first, second)).unwrap_or_default();
    let differs = |key: &str| !same(first.figures.get(key), second.figures.get(key));
    let keys: Vec<&String> =
        second.order.iter().chain(first.order.iter().filter(|k| !second.figures.contains_key(*k))).collect();
    let (amounts, others): (Vec<&String>, Vec<&String>) = keys
        .into_iter()
        .filter(|key| differs(key))
        .partition(|key| key.ends_with(".to-date") || key.ends_with(".this-period"));
    let because = Because { first: &first, second: &second, changes: &changes };
    Ok(Difference {
        amounts: amounts.into_iter().map(|key| because.amount(key)).collect(),
        other_figures: others.len(),
        records: changes.iter().filter_map(Change::told).collect(),
        records_known: known.is_some(),
        settled: first.findings.difference(&second.findings).cloned().collect(),
        arisen: second.findings.difference(&first.findings).cloned().collect(),
        first: first.name,
        second: second.name,
    })
}

/// Values are compared as numbers, so that 8.0 and 8.00 are the same.
fn same(first: Option<&Number>, second: Option<&Number>) -> bool {
    match (first, second) {
        (Some(a), Some(b)) => a.number() == b.number() && (a.number().is_some() || a.value == b.value),
        _ => false,
    }
}

/// Follows an amount down to what began its change.
struct Because<'a> {
    first: &'a Side,
    second: &'a Side,
    changes: &'a [Change],
}

impl Because<'_> {
    fn amount(&self, key: &str) -> AmountChange {
        let (first, second) = (self.first.figures.get(key), self.second.figures.get(key));
        let either = second.or(first);
        let number = |figure: Option<&Number>| figure.and_then(Number::number);
        let (mut seen, mut because) = (BTreeSet::new(), Vec::new());
        if !self.told_to_date(key) {
            self.follow(key, &mut seen, &mut because);
        }
        AmountChange {
            key: key.into(),
            label: either.map_or_else(String::new, |f| f.label.clone()),
            unit: either.map_or_else(String::new, |f| f.unit.clone()),
            first: number(first),
            second: number(second),
            by: number(second).unwrap_or_default() - number(first).unwrap_or_default(),
            because,
        }
    }

    /// Whether an amount of this period differs because the one to date does, where the reasons stand.
    fn told_to_date(&self, key: &str) -> bool {
        key.strip_suffix(".this-period").is_some_and(|line| {
            let to_date = format!("{line}.to-date");
            let (first, second) = (self.first.figures.get(&to_date), self.second.figures.get(&to_date));
            (first.is_some() || second.is_some()) && !same(first, second)
        })
    }

    fn follow(&self, key: &str, seen: &mut BTreeSet<String>, because: &mut Vec<String>) {
        if !seen.insert(key.into()) {
            return;
        }
        let (first, second) = (self.first.figures.get(key), self.second.figures.get(key));
        if same(first, second) {
            return;
        }
        match (first, second) {
            (Some(a), Some(b)) => self.below(a, b, seen, because),
            (None, Some(b)) => alone(b, "new", &self.second.figures, seen, because),
            (Some(a), None) => alone(a, "gone", &self.first.figures, seen, because),
            (None, None) => {}
        }
    }

    /// What differs one step below a figure that both have.
    fn below(&self, a: &Number, b: &Number, seen: &mut BTreeSet<String>, because: &mut Vec<String>) {
        for below in b.below.iter().chain(a.below.iter().filter(|below| !b.below.contains(below))) {
            match below {
                Below::Figure(key) => self.follow(key, seen, because),
                Below::Cell(said) | Below::Given(said) => {
                    let word = match (a.below.contains(below), b.below.contains(below)) {
                        (true, false) => "first",
                        (false, true) => "second",
                        _ => continue,
                    };
                    because.push(format!("{word}: {said}"));
                }
                Below::Records(table) => self.of_table(table, seen, because),
            }
        }
    }

    /// A total over records: those of its table that changed.
    fn of_table(&self, table: &str, seen: &mut BTreeSet<String>, because: &mut Vec<String>) {
        if !seen.insert(format!("records of {table}")) {
            return;
        }
        let of = self.changes.iter().filter(|change| change.record().is_some_and(|record| *record.table == *table));
        because.extend(of.filter_map(Change::told).map(|told| told.line()));
    }
}

/// A figure that only one result has: a line that came or went.
fn alone(
    figure: &Number,
    word: &str,
    figures: &BTreeMap<String, Number>,
    seen: &mut BTreeSet<String>,
    because: &mut Vec<String>,
) {
    let places = figure.places(figures);
    let from = if places.is_empty() { String::new() } else { format!(" ({})", places.join("; ")) };
    let value = figure.value.clone().unwrap_or_else(|| "not computed".into());
    because.push(format!("{word}: {} {value} {}{from}", figure.label, figure.unit));
    seen.extend(figure.keys_below(figures));
}

//! A reviewer's sample of the lines that move money, and each chosen line computed again from its leaves.
//!
//! ```text
//! size        the amount of a line without its sign
//! largest     by size, until they reach the share asked for of the size of all
//! drawn       so many more of the rest, by the number that the seed gives their name (statistics/sample.rs)
//! for item    of an item with lines and none among these, the one with the smallest number
//! coverage    size of the lines chosen / size of all lines
//! ```
//!
//! A line whose amount could not be computed is looked at first. That the population is whole is shown beside it: its lines
//! add up to the estimate, but for the rounding of each line by itself.

mod coverage;
mod population;
mod settled;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use rust_decimal::Decimal;

pub use self::coverage::{Coverage, ItemCoverage, Tie};
pub use self::population::{MoneyLine, Moves};
use super::Estimate;
use crate::accept::Judged;
use crate::contract::Contract;
use crate::figure::{Again, Agreement, Below, Book, Figure, FigureId, Given, Origin, Value, below};
use crate::statistics::{largest, number, smallest};
use crate::units::Unit;

/// How the sample is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct SampleRule {
    /// Seed, as printed and as hashed.
    pub seed: String,
    /// Share of the size of all lines that the largest are to reach, in percent from 0 to 100.
    pub share: Decimal,
    /// How many more are drawn.
    pub random: usize,
}

/// Why a line was chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chosen {
    /// Its amount could not be computed.
    NoAmount,
    /// Among the largest, and its place among them from 1.
    Largest(usize),
    /// Drawn, and its place among those drawn from 1.
    Drawn(usize),
    /// Its item had no other.
    ForItem,
}

/// A chosen line.
#[derive(Clone, Debug, PartialEq)]
pub struct Sampled {
    /// Line, by place in [`Audit::lines`].
    pub line: usize,
    /// Why.
    pub chosen: Chosen,
    /// All that its amount rests on.
    pub below: Below,
    /// What the second computation of each step says, in the same order.
    pub again: Vec<Agreement>,
}

impl Sampled {
    /// Whether every step came out again.
    #[must_use]
    pub fn equal(&self) -> bool {
        self.again.iter().all(|a| matches!(a, Agreement::Equal | Agreement::Neither))
    }
}

/// A sample and what it was drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct Audit {
    /// How it was drawn.
    pub rule: SampleRule,
    /// Every line that moves money.
    pub lines: Vec<MoneyLine>,
    /// The number of each line, in the same order.
    pub numbers: Vec<FigureId>,
    /// The chosen lines, in the order they were chosen.
    pub sample: Vec<Sampled>,
    /// Items without any line, by place in the contract.
    pub without: Vec<usize>,
    /// How much of all is covered.
    pub coverage: Coverage,
}

/// Draws a sample of an estimate's lines and computes each again.
pub fn audit(contract: &Contract, judged: &Judged, estimate: &Estimate, rule: SampleRule, book: &mut Book) -> Audit {
    let lines = population::lines(contract, judged, estimate, book);
    let drawn: Vec<Decimal> = lines.iter().map(|line| number(&rule.seed, &line.name)).collect();
    let numbers = lines.iter().zip(&drawn).map(|(line, &n)| number_figure(&rule.seed, line, n, book)).collect();
    let chosen = choose(&lines, &drawn, &rule, book);
    let coverage = coverage::coverage(contract, estimate, &lines, &chosen, &rule, book);
    let without = (0..contract.items.len()).filter(|&item| lines.iter().all(|line| line.item != item)).collect();
    let mut again = Again::new(book);
    let sample = chosen.into_iter().map(|(line, chosen)| {
        let below = below(book, lines[line].amount);
        let again = below.steps.iter().map(|&step| again.agrees(step)).collect();
        Sampled { line, chosen, below, again }
    });
    Audit { sample: sample.collect(), rule, lines, numbers, without, coverage }
}

fn number_figure(seed: &str, line: &MoneyLine, number: Decimal, book: &mut Book) -> FigureId {
    let given = book.given(Given {
        label: "number drawn".into(),
        symbol: "u".into(),
        value: number,
        unit: Unit::One,
        written: number.to_string(),
        origin: Origin::Drawn {
            seed: seed.into(),
            how: format!("the first number of '{}', cut to six decimals", line.name),
        },
    });
    let key = format!("{}.number", book[line.amount].key);
    book.add(Figure::new(key, format!("number drawn for {}", line.name), "u", Unit::One, given).shown(6))
}

/// The chosen lines by place, in the order they are chosen.
fn choose(lines: &[MoneyLine], numbers: &[Decimal], rule: &SampleRule, book: &Book) -> Vec<(usize, Chosen)> {
    let (known, unknown): (Vec<usize>, Vec<usize>) = (0..lines.len()).partition(|&l| size(book, &lines[l]).is_some());
    let mut chosen: Vec<(usize, Chosen)> = unknown.into_iter().map(|line| (line, Chosen::NoAmount)).collect();
    let sizes: Vec<(Decimal, &str)> =
        known.iter().map(|&l| (size(book, &lines[l]).unwrap_or_default(), lines[l].name.as_str())).collect();
    let ranked = (1..).zip(largest(&sizes, rule.share));
    chosen.extend(ranked.map(|(rank, place)| (known[place], Chosen::Largest(rank))));
    let numbered: Vec<(Decimal, &str)> =
        lines.iter().zip(numbers).map(|(line, &number)| (number, line.name.as_str())).collect();
    let taken = |chosen: &[(usize, Chosen)]| chosen.iter().map(|(line, _)| *line).collect::<BTreeSet<usize>>();
    let drawn = smallest(&numbered, &taken(&chosen), rule.random);
    chosen.extend((1..).zip(drawn).map(|(rank, line)| (line, Chosen::Drawn(rank))));
    let items: BTreeSet<usize> = lines.iter().map(|line| line.item).collect();
    let covered: BTreeSet<usize> = chosen.iter().map(|(line, _)| lines[*line].item).collect();
    for item in items.difference(&covered) {
        let others = (0..lines.len()).filter(|&line| lines[line].item != *item).collect();
        chosen.extend(smallest(&numbered, &others, 1).into_iter().map(|line| (line, Chosen::ForItem)));
    }
    chosen
}

/// The amount of a line without its sign; `None` where it could not be computed.
fn size(book: &Book, line: &MoneyLine) -> Option<Decimal> {
    match &book[line.amount].value {
        Value::Not(_) => None,
        value => value.decimal().map(|amount| amount.abs()),
    }
}

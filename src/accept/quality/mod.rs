//! Whose results of a lot count, and which stand apart from the others: one reading for cores and strength tests.
//!
//! Independent assurance checks the others' equipment and people and is never averaged. A split sample is one sample: where
//! both parties tested it, the agency's part counts. The contractor's results count beside the agency's where the rule's
//! comparison ([`verify`]) allows it; a rule without one takes them as they are, and the outcome says so. What nobody
//! states to be the contractor's, the agency's or assurance counts.

mod outlier;
mod settle;
#[cfg(test)]
mod tests;
mod verify;

pub(super) use outlier::apart;
pub(super) use settle::{Claim, Settlement, settled};

use crate::figure::{Book, Figure, FigureId, mean};
use crate::finding::{Finding, Place};
use crate::intake::{Sampling, TakenBy};
use crate::rules::Verification;

/// One result of a lot.
pub(super) struct Tested {
    /// `core C-4`, `test S-4, 28 d`.
    pub(super) name: String,
    /// Number of the core or set, folded: the two parts of a split sample have the same.
    pub(super) number: String,
    pub(super) value: FigureId,
    pub(super) by: TakenBy,
    pub(super) sampling: Sampling,
    /// The rows it stands on.
    pub(super) rows: Vec<Place>,
}

/// What results are compared with, and where findings go.
pub(super) struct Desk<'a> {
    pub(super) book: &'a mut Book,
    pub(super) findings: &'a mut Vec<Finding>,
    /// Beginning of the figures' keys.
    pub(super) key: &'a str,
    /// Name of the lot.
    pub(super) lot: &'a str,
    /// True where no more results are to come.
    pub(super) complete: bool,
}

/// How a result stands in its lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// Counts.
    Counts,
    /// The contractor's, and nothing verifies it.
    Unverified,
    /// The contractor's, and the comparison tells it from the agency's.
    Differs,
    /// The contractor's part of a split sample whose other part counts.
    OtherPart,
    /// Independent assurance.
    Assurance,
}

impl Standing {
    /// Whether it counts.
    pub(super) fn counts(self) -> bool {
        self == Standing::Counts
    }

    /// The words beside the result; empty where it counts.
    pub(super) fn word(self) -> &'static str {
        match self {
            Standing::Counts => "",
            Standing::Unverified => "contractor's, not verified: does not count",
            Standing::Differs => "contractor's, differs from the agency's: does not count",
            Standing::OtherPart => "split sample, the agency's part counts",
            Standing::Assurance => "independent assurance, not averaged",
        }
    }
}

/// How the results of a lot stand.
#[derive(Clone, Debug, Default)]
pub(super) struct Sifted {
    /// By place among the results.
    pub(super) standing: Vec<Standing>,
    /// The figures of the comparison, in order.
    pub(super) steps: Vec<FigureId>,
    /// What a reader should know beside the lot.
    pub(super) notes: Vec<String>,
    /// True where a finding says that the contractor's results wait for the agency's.
    pub(super) waits: bool,
}

/// How the results of a lot stand, by who took them.
pub(super) fn sift(desk: &mut Desk, verification: Option<&Verification>, results: &[Tested]) -> Sifted {
    let mut sifted =
        Sifted { standing: results.iter().map(|result| alone(result, results)).collect(), ..Sifted::default() };
    let contractor = results.iter().filter(|result| result.by == TakenBy::Contractor).count();
    match verification {
        Some(rule) if contractor > 0 => verify::verify(desk, rule, results, &mut sifted),
        None if contractor > 0 => sifted.notes.push(format!(
            "{contractor} of the {} results {} the contractor's; the rule does not compare them with the agency's",
            results.len(),
            if contractor == 1 { "is" } else { "are" }
        )),
        _ => {}
    }
    assurance(desk, results, &mut sifted);
    sifted
}

/// How a result stands before any comparison.
fn alone(result: &Tested, results: &[Tested]) -> Standing {
    match result.by {
        TakenBy::Assurance => Standing::Assurance,
        TakenBy::Contractor if other_part(result, results).is_some() => Standing::OtherPart,
        _ => Standing::Counts,
    }
}

/// The agency's part of a split sample, where the contractor's part is this one.
fn other_part<'r>(result: &Tested, results: &'r [Tested]) -> Option<&'r Tested> {
    let split = |other: &Tested| other.sampling == Sampling::Split && other.number == result.number;
    let mut parts = results.iter().filter(|other| other.by == TakenBy::Agency && split(other));
    let only = parts.next().filter(|_| split(result))?;
    parts.next().is_none().then_some(only)
}

/// What assurance found beside the mean of what counts.
fn assurance(desk: &mut Desk, results: &[Tested], sifted: &mut Sifted) {
    let of = |standing| results.iter().zip(&sifted.standing).filter(move |(_, s)| **s == standing).map(|(r, _)| r);
    let taken: Vec<&Tested> = of(Standing::Assurance).collect();
    let counting: Vec<FigureId> = of(Standing::Counts).map(|result| result.value).collect();
    let Some(first) = taken.first() else { return };
    let names: Vec<&str> = taken.iter().map(|result| result.name.as_str()).collect();
    sifted.notes.push(format!("independent assurance, not averaged: {}", names.join(", ")));
    if counting.is_empty() {
        return;
    }
    let (unit, decimals) = (desk.book[first.value].unit, desk.book[first.value].decimals);
    let difference = mean(taken.iter().map(|result| result.value)) - mean(counting);
    let label = "mean of independent assurance less the mean of the results that count";
    let figure = Figure::new(format!("{}.assurance-difference", desk.key), label, "dA", unit, difference);
    sifted.steps.push(desk.book.add(figure.shown(decimals)));
}

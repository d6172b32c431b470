//! Credits of one ticket: each clears a line of the opposite amount, and what clears none is set against what is disputed.
//!
//! Of several lines of that amount the last is cleared, so that a line billed twice leaves the first. A credit that is
//! billed under another charge (`Credit for ticket 88213`) may clear any line of its ticket. Common practice.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::intake::{Billed, Charge};

/// The lines of one ticket, by place in the records.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Sorted {
    /// What is billed, in order, less what was cleared.
    pub debits: Vec<usize>,
    /// Credits that clear no line.
    pub credits: Vec<usize>,
    /// A credit and the line it clears.
    pub cleared: Vec<(usize, usize)>,
}

/// Lines billed at an amount, in order.
type ByAmount = BTreeMap<(Decimal, Charge), Vec<usize>>;

/// Sorts the lines of one ticket.
pub(super) fn sorted(billed: &[Billed], lines: &[usize]) -> Sorted {
    let (credits, debits): (Vec<usize>, Vec<usize>) =
        lines.iter().copied().partition(|&line| billed[line].amount.value < Decimal::ZERO);
    let mut by_amount = ByAmount::new();
    for &line in &debits {
        by_amount.entry((billed[line].amount.value, billed[line].charge)).or_default().push(line);
    }
    let mut cleared = Vec::new();
    let credits = clear(billed, credits, &mut by_amount, &mut cleared, |credit| vec![credit.charge]);
    let credits = clear(billed, credits, &mut by_amount, &mut cleared, |credit| match credit.charge {
        Charge::Other => vec![Charge::Concrete, Charge::ShortLoad, Charge::Waiting],
        _ => Vec::new(),
    });
    let mut debits: Vec<usize> = by_amount.into_values().flatten().collect();
    debits.sort_unstable();
    Sorted { debits, credits, cleared }
}

/// Pairs credits with lines of the opposite amount and one of the charges; returns those that found none.
fn clear(
    billed: &[Billed],
    credits: Vec<usize>,
    by_amount: &mut ByAmount,
    cleared: &mut Vec<(usize, usize)>,
    charges: impl Fn(&Billed) -> Vec<Charge>,
) -> Vec<usize> {
    let mut take = |credit: usize| {
        let amount = -billed[credit].amount.value;
        let line = charges(&billed[credit]).into_iter().find_map(|charge| by_amount.get_mut(&(amount, charge))?.pop());
        cleared.extend(line.map(|line| (credit, line)));
        line.is_none()
    };
    credits.into_iter().filter(|&credit| take(credit)).collect()
}

//! All invoice lines by the ticket they bill, judged, and what credits settle of their faults.
//!
//! Credits of a ticket that clear no line settle its faults where they cover all that is disputed on it; otherwise they are
//! set against it. A credit above that is the supplier's own and taken as it is.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::credits;
use super::judge::{Judge, Judged};
use super::tickets::Found;
use super::{Credit, NotAgreed, Unchecked};
use crate::intake::Charge;

/// All lines, judged.
#[derive(Debug, Default)]
pub(super) struct Checked {
    /// Lines with a fault that no credit settles, and what of credits is set against them.
    pub faults: Vec<(Judged, Decimal)>,
    /// Credits set against what is disputed.
    pub against: Vec<usize>,
    pub credits: Vec<Credit>,
    pub unchecked: Vec<Unchecked>,
    not_agreed: BTreeMap<String, u64>,
    /// For each load, whether a line bills it that no credit clears.
    pub billed: Vec<bool>,
    /// Whether a line for concrete names no ticket.
    pub unnamed: bool,
}

/// A ticket as lines are gathered by it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Ticket {
    Load(usize),
    Unknown(String),
}

impl Checked {
    pub(super) fn of(mut judge: Judge<'_>) -> Self {
        let records = judge.records;
        let mut checked = Self { billed: vec![false; records.loads.len()], ..Self::default() };
        let mut by_ticket: BTreeMap<Ticket, Vec<usize>> = BTreeMap::new();
        for (line, billed) in records.billed.iter().enumerate() {
            match judge.tickets.find(billed) {
                Found::Load(load) => by_ticket.entry(Ticket::Load(load)).or_default().push(line),
                Found::Unknown(number) => by_ticket.entry(Ticket::Unknown(number)).or_default().push(line),
                Found::Unnamed => checked.without_ticket(&mut judge, line, "it names no ticket"),
                Found::Several(loads) => {
                    for &load in &loads {
                        checked.billed[load] = true;
                    }
                    checked.without_ticket(&mut judge, line, &format!("{} loads bear its ticket", loads.len()));
                }
            }
        }
        for (ticket, lines) in by_ticket {
            checked.ticket(&mut judge, &ticket, &lines);
        }
        checked.faults.sort_by_key(|(judged, _)| judged.line);
        checked.against.sort_unstable();
        checked.credits.sort_by_key(|credit| credit.line);
        checked.unchecked.sort_by_key(|unchecked| unchecked.line);
        checked
    }

    /// A line whose load cannot be told is held against what is agreed alone.
    fn without_ticket(&mut self, judge: &mut Judge<'_>, line: usize, why: &str) {
        let billed = &judge.records.billed[line];
        if billed.amount.value < Decimal::ZERO {
            self.credits.push(Credit { line, does: format!("{why}, so it is set against nothing") });
            return;
        }
        self.unnamed |= billed.charge == Charge::Concrete && billed.ticket.is_none();
        if billed.charge != Charge::Other {
            self.unchecked.push(Unchecked { line, why: format!("{why}, so it is held against the agreement alone") });
        }
        let judged = judge.line_alone(line);
        self.take(judged, Decimal::ZERO);
    }

    /// The lines of one ticket. What credits leave of the faults is to dispute; nothing where they cover all of it.
    fn ticket(&mut self, judge: &mut Judge<'_>, ticket: &Ticket, lines: &[usize]) {
        let records = judge.records;
        let load = match ticket {
            Ticket::Load(load) => Some(*load),
            Ticket::Unknown(_) => None,
        };
        let sorted = credits::sorted(&records.billed, lines);
        for &(credit, line) in &sorted.cleared {
            let invoice = &records.billed[line].invoice.value;
            self.credits.push(Credit { line: credit, does: format!("clears the same amount on invoice {invoice}") });
        }
        let of_concrete = |&line: &usize| records.billed[line].charge == Charge::Concrete;
        if let Some(load) = load.filter(|_| sorted.debits.iter().any(of_concrete)) {
            self.billed[load] = true;
        }
        let judged = judge.of_ticket(&sorted.debits, load);
        let amount = |line: usize| records.billed[line].amount.value;
        let disputed: Decimal = judged.iter().map(|j| amount(j.line) - judge.payable(j)).sum();
        let credited: Decimal = sorted.credits.iter().map(|&line| -amount(line)).sum();
        let settled = disputed > Decimal::ZERO && credited >= disputed;
        for line in sorted.credits {
            let does = match (settled, disputed > Decimal::ZERO) {
                (true, _) => "settles what would be to dispute on its ticket",
                (_, true) => "set against what is to dispute on its ticket",
                (_, false) => "nothing is to dispute on its ticket",
            };
            self.credits.push(Credit { line, does: does.into() });
            self.against.extend((disputed > Decimal::ZERO && !settled).then_some(line));
        }
        for mut one in judged {
            if settled && amount(one.line) > judge.payable(&one) {
                one.why.clear();
            }
            self.take(one, credited);
        }
    }

    fn take(&mut self, mut judged: Judged, credited: Decimal) {
        let line = judged.line;
        self.unchecked.extend(judged.unchecked.drain(..).map(|why| Unchecked { line, why }));
        for what in judged.not_agreed.drain(..) {
            *self.not_agreed.entry(what).or_default() += 1;
        }
        if !judged.why.is_empty() {
            self.faults.push((judged, credited));
        }
    }

    pub(super) fn not_agreed(&self) -> Vec<NotAgreed> {
        self.not_agreed.iter().map(|(what, &lines)| NotAgreed { what: what.clone(), lines }).collect()
    }
}

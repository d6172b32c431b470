//! One invoice line held against its ticket and what was agreed: what does not agree, and what is then payable.
//!
//! Lines of one ticket and charge are taken in order of invoice, day and row. A line that fits into what those before it
//! leave of the ticket is a part of it; one that does not is the ticket billed again, and nothing of it is payable. Where
//! nothing is recorded that parts could add up to, only the same amount is the ticket billed again.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Reason;
use super::agreed::Agreed;
use super::due::{self, Due};
use super::tickets::Tickets;
use super::words::{Words, ticket};
use crate::contract::{Contract, Entered};
use crate::figure::Book;
use crate::intake::{Billed, Charge, Load, Outcome, Read, Records};
use crate::line::Ledger;
use crate::line::ledger::billed::AMOUNT;

/// What does not agree, in words that stand in a finding and on the page.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Why {
    pub reason: Reason,
    pub words: String,
    /// Another invoice line concerned.
    pub line: Option<usize>,
    /// Line of the contract file that the limit stands on.
    pub agreed: Option<u32>,
}

/// What became of a line.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Judged {
    pub line: usize,
    pub load: Option<usize>,
    pub why: Vec<Why>,
    pub due: Due,
    /// What could not be checked of this line.
    pub unchecked: Vec<String>,
    /// What could not be checked because the contract, or the folder, says nothing of it.
    pub not_agreed: Vec<String>,
}

impl Judged {
    pub(super) fn sound(line: usize, load: Option<usize>) -> Self {
        Self { line, load, why: vec![], due: Due::AsBilled, unchecked: vec![], not_agreed: vec![] }
    }

    pub(super) fn because(&mut self, reason: Reason, words: String) {
        self.why.push(Why { reason, words, line: None, agreed: None });
    }

    /// By a limit of the contract.
    pub(super) fn against(&mut self, limit: &Entered, reason: Reason, words: String) {
        self.why.push(Why { reason, words, line: None, agreed: Some(limit.line) });
    }
}

/// What lines are held against.
pub(super) struct Judge<'a> {
    pub contract: &'a Contract,
    pub records: &'a Records,
    pub ledger: &'a Ledger,
    pub tickets: &'a Tickets<'a>,
    pub agreed: &'a Agreed<'a>,
    pub book: &'a mut Book,
}

/// What the lines of one charge on one ticket have billed of it so far.
struct Before {
    first: usize,
    /// Whether anything is recorded that they could be parts of.
    recorded: bool,
    /// What they leave of it; `None` where that cannot be told.
    left: Option<Decimal>,
}

/// A number above zero; a line that bills something cannot do so by a number that is not.
pub(super) fn stated(number: Option<&Read<Decimal>>) -> Option<Decimal> {
    number.map(|n| n.value).filter(|n| *n > Decimal::ZERO)
}

impl Judge<'_> {
    /// Lines of one ticket in order, credits not among them.
    pub(super) fn of_ticket(&mut self, lines: &[usize], load: Option<usize>) -> Vec<Judged> {
        let mut before: BTreeMap<Charge, Before> = BTreeMap::new();
        lines.iter().map(|&line| self.next(line, load, &mut before)).collect()
    }

    fn next(&mut self, line: usize, load: Option<usize>, before: &mut BTreeMap<Charge, Before>) -> Judged {
        let billed = &self.records.billed[line];
        let again = before.get(&billed.charge).filter(|b| self.is_again(billed, b)).map(|b| b.first);
        let judged = self.line(line, load, again);
        if billed.charge != Charge::Other && !billed.amount.value.is_zero() && again.is_none() {
            let all = self.recorded(billed.charge, load);
            let of = before.entry(billed.charge).or_insert(Before { first: line, recorded: all.is_some(), left: all });
            of.left = of.left.and_then(|left| Some((left - quantity(billed)?).max(Decimal::ZERO)));
        }
        judged
    }

    /// What the lines of a charge on one ticket may bill in all.
    fn recorded(&mut self, charge: Charge, load: Option<usize>) -> Option<Decimal> {
        match charge {
            Charge::Concrete => load.map(|load| self.records.loads[load].volume.value),
            Charge::Waiting => self.waited(load?).ok()?.payable,
            Charge::ShortLoad | Charge::Other => None,
        }
    }

    fn is_again(&self, billed: &Billed, before: &Before) -> bool {
        let amount = billed.amount.value;
        if amount.is_zero() {
            return false;
        }
        match (before.left, quantity(billed)) {
            (Some(left), Some(billed)) => billed > left,
            _ if before.recorded || billed.charge == Charge::ShortLoad => true,
            _ => amount == self.records.billed[before.first].amount.value,
        }
    }

    /// A line of a ticket; `again` is the line that billed it before.
    fn line(&mut self, line: usize, load: Option<usize>, again: Option<usize>) -> Judged {
        let mut judged = Judged::sound(line, load);
        if self.records.billed[line].charge != Charge::Other {
            self.nothing_is_payable(&mut judged, again);
        }
        if judged.why.is_empty() { self.against_agreement(judged) } else { judged }
    }

    /// A line whose load cannot be told.
    pub(super) fn line_alone(&mut self, line: usize) -> Judged {
        self.against_agreement(Judged::sound(line, None))
    }

    fn against_agreement(&mut self, mut judged: Judged) -> Judged {
        let billed = &self.records.billed[judged.line];
        match billed.charge {
            Charge::Concrete => self.concrete(&mut judged),
            Charge::ShortLoad => self.short_load(&mut judged),
            Charge::Waiting => self.waiting(&mut judged),
            Charge::Other => judged.unchecked.push(other(billed)),
        }
        if self.records.loads.is_empty() && billed.charge != Charge::Other {
            judged.not_agreed.push("no load sheets were read, so no line is held against its ticket".into());
        }
        judged
    }

    /// Billed again, not received, rejected: then nothing else matters.
    fn nothing_is_payable(&self, judged: &mut Judged, again: Option<usize>) {
        let billed = &self.records.billed[judged.line];
        if let Some(first) = again {
            let earlier = &self.records.billed[first];
            let amount = Words(self.contract).money(earlier.amount.value);
            let words = format!("{} is billed on invoice {} already ({amount})", ticket(billed), earlier.invoice.value);
            judged.why.push(Why { reason: Reason::Twice, words, line: Some(first), agreed: None });
        }
        match judged.load.map(|load| &self.records.loads[load]) {
            None if billed.ticket.is_some() && !self.records.loads.is_empty() => {
                let day = billed.date.value;
                let none =
                    if self.tickets.any_on(day) { String::new() } else { format!(", and no load of {day} does") };
                judged.because(Reason::NotReceived, format!("{} stands on no load sheet{none}", ticket(billed)));
            }
            Some(Load { outcome: Outcome::Rejected, .. }) => {
                judged.because(Reason::Rejected, format!("{} was rejected at the site", ticket(billed)));
            }
            _ => {}
        }
        if !judged.why.is_empty() {
            judged.due = Due::Nothing;
        }
    }

    /// What is payable of a line as judged, without a figure.
    pub(super) fn payable(&self, judged: &Judged) -> Decimal {
        let amount = self.records.billed[judged.line].amount.value;
        let cell = self.ledger.billed_cell(judged.line, AMOUNT);
        due::payable(self.book, &judged.due, cell, self.contract.roundings.money).unwrap_or(amount)
    }

    /// The arithmetic of a line: quantity times price, where it states both. Where nothing else explains it, an amount
    /// above what is payable is not borne out either. An amount that was cut off instead of rounded is no fault.
    pub(super) fn arithmetic(&self, judged: &mut Judged, (quantity, written): (Option<Decimal>, String)) {
        let billed = &self.records.billed[judged.line];
        let (words, amount, money) = (Words(self.contract), billed.amount.value, self.contract.roundings.money);
        let price = stated(billed.price.as_ref());
        let exact = quantity.zip(price).and_then(|(q, p)| q.checked_mul(p));
        let cut_off = exact.is_some_and(|exact| amount <= exact && exact - amount < money.to());
        if let (Some(product), Some(price)) = (exact.and_then(|exact| money.apply(exact)), price)
            && product != amount
            && !cut_off
        {
            let (is, off) = (words.money(product), words.difference(amount, product));
            let billed = words.money(amount);
            judged.because(
                Reason::Amount,
                format!("{billed} billed, but {written} x {} is {is}: {off}", words.money(price)),
            );
        }
        let payable = self.payable(judged);
        if judged.why.is_empty() && amount > payable {
            let (billed, is) = (words.money(amount), words.money(payable));
            let off = words.difference(amount, payable);
            let reason = if self.records.billed[judged.line].charge == Charge::Waiting {
                Reason::Waiting
            } else {
                Reason::Amount
            };
            judged.because(reason, format!("{billed} billed, {is} by the ticket and the agreed price: {off}"));
        }
    }
}

/// What a line bills of its ticket.
fn quantity(billed: &Billed) -> Option<Decimal> {
    match billed.charge {
        Charge::Concrete => stated(billed.volume.as_ref()),
        Charge::Waiting => stated(billed.minutes.as_ref()),
        Charge::ShortLoad | Charge::Other => None,
    }
}

fn other(billed: &Billed) -> String {
    match &billed.described {
        Some(words) => format!("'{}' is held against nothing", words.value),
        None => "the line does not say what it is for".into(),
    }
}

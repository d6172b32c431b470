//! Every line that moves money to date: what a reviewer's sample is drawn from.
//!
//! A measured quantity moves its quantity times the unit price, rounded as money; an adjustment and what is held move what they
//! come to. Each line has a name of its own in plain words, by which it is drawn.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::super::Estimate;
use super::super::checking::line_amount;
use super::settled;
use crate::accept::Judged;
use crate::contract::Contract;
use crate::figure::{Book, FigureId};
use crate::source::CellRef;

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Moves {
    /// A measured quantity.
    Quantity,
    /// A price adjustment.
    Adjustment,
    /// Held for proof.
    Held,
    /// Held for papers.
    HeldForPapers,
    /// A change of price: variation of quantity, price index.
    Price,
    /// Materials on hand.
    Stored,
}

impl Moves {
    /// As printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Moves::Quantity => "quantity",
            Moves::Adjustment => "adjustment",
            Moves::Held => "held",
            Moves::HeldForPapers => "held for papers",
            Moves::Price => "change of price",
            Moves::Stored => "material on hand",
        }
    }
}

/// A line that moves money.
#[derive(Clone, Debug, PartialEq)]
pub struct MoneyLine {
    /// What it is.
    pub moves: Moves,
    /// Item, by place in the contract.
    pub item: usize,
    /// Day it belongs to.
    pub date: NaiveDate,
    /// Its own name: `item 401, 2031-06-09, placement P-21, SB-1, 89+25 to 82+30`.
    pub name: String,
    /// The record that supports it, where it is one.
    pub record: Option<CellRef>,
    /// Quantity it is made on.
    pub quantity: FigureId,
    /// What it is made at: the unit price, or the rate of an adjustment.
    pub rate: FigureId,
    /// Amount, negative where money is taken off.
    pub amount: FigureId,
}

/// Every line to date: quantities by item and day, then adjustments, then what is held now.
pub(super) fn lines(contract: &Contract, judged: &Judged, estimate: &Estimate, book: &mut Book) -> Vec<MoneyLine> {
    let mut lines = quantities(contract, estimate, book);
    let number = |item: usize| contract.items[item].number.as_str();
    lines.extend(estimate.adjustments.iter().map(|a| MoneyLine {
        moves: Moves::Adjustment,
        item: a.item,
        date: a.decided,
        name: format!("item {}, {}, {}", number(a.item), a.property.word(), judged.outcomes[a.outcome].name),
        record: None,
        quantity: a.quantity,
        rate: a.rate,
        amount: a.amount,
    }));
    lines.extend(estimate.held_lines.iter().filter(|l| !l.previous).map(|l| MoneyLine {
        moves: Moves::Held,
        item: l.item,
        date: l.since,
        name: format!("item {}, held for {}, {}", number(l.item), l.proof.words(), l.piece),
        record: None,
        quantity: l.quantity,
        rate: estimate.items[l.item].price,
        amount: l.amount,
    }));
    lines.extend(estimate.paper_lines.iter().filter(|l| !l.previous).map(|l| MoneyLine {
        moves: Moves::HeldForPapers,
        item: l.item,
        date: l.since,
        name: format!("item {}, held for papers", number(l.item)),
        record: None,
        quantity: estimate.items[l.item].quantity.to_date,
        rate: estimate.items[l.item].price,
        amount: l.amount,
    }));
    lines.extend(settled::lines(contract, estimate, book));
    named_apart(&mut lines);
    lines
}

fn quantities(contract: &Contract, estimate: &Estimate, book: &mut Book) -> Vec<MoneyLine> {
    let mut lines = Vec::new();
    for pay in &estimate.items {
        let number = &contract.items[pay.item].number;
        for line in &pay.lines {
            let name = format!("item {number}, {}, {}", line.date, line.what);
            let amount = line_amount(contract, pay, line, book);
            lines.push(MoneyLine {
                moves: Moves::Quantity,
                item: pay.item,
                date: line.date,
                record: line.record,
                quantity: line.quantity,
                rate: pay.price,
                amount,
                name,
            });
        }
    }
    lines
}

/// Lines that would read alike are numbered in their order.
fn named_apart(lines: &mut [MoneyLine]) {
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    for line in lines {
        let times = seen.entry(line.name.clone()).or_default();
        *times += 1;
        if *times > 1 {
            line.name = format!("{} ({times})", line.name);
        }
    }
}

//! Who pays which share of the estimate, or where it is charged: every line parted by the contract's shares.
//!
//! ```text
//! part = share x line, rounded;  the last part of a line = line - the other parts
//! ```
//!
//! A line of an item follows the first rule that covers the item; what no rule covers is a part of its own. What belongs to
//! no item (retainage, damages, entries without an item) is parted as what is earned: by each part's share of it, or, where
//! nothing is earned, wholly to the last part. So the parts of every line add up to the line, and those of all lines to
//! what is due.

use super::amounts::Maker;
use super::parting::Make;
use super::settle::{Role, Settlement};
use super::{AdjustmentLine, Amounts, HeldLine, Inputs, ItemPay, PaperLine};
use crate::contract::{Contract, Split, SplitRule};
use crate::figure::{Book, Expr};
use crate::line::slug;

/// What no rule covers.
pub(super) const NOT_ASSIGNED: &str = "not assigned";

/// A line of the estimate and its parts.
#[derive(Clone, Debug, PartialEq)]
pub struct SplitLine {
    /// In words.
    pub label: String,
    /// True where it is taken off.
    pub less: bool,
    /// True where it is a sum of the lines above.
    pub sum: bool,
    /// The whole line.
    pub whole: Amounts,
    /// Its parts, one for each of [`Parts::names`]; `None` where it has no share.
    pub parts: Vec<Option<Amounts>>,
}

/// A split of the whole estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct Parts {
    /// Place in [`crate::contract::Payment::splits`].
    pub split: usize,
    /// Names of the parts.
    pub names: Vec<String>,
    /// Lines in the order of the estimate; the last is what is due.
    pub lines: Vec<SplitLine>,
}

/// What is parted.
pub(super) struct Whole<'a> {
    pub(super) items: &'a [ItemPay],
    pub(super) adjustments: &'a [AdjustmentLine],
    pub(super) held: &'a [HeldLine],
    pub(super) papers: &'a [PaperLine],
    pub(super) settlement: &'a Settlement,
}

/// The splits of the contract.
pub(super) fn parts(inputs: Inputs<'_>, maker: Maker<'_>, whole: &Whole<'_>, book: &mut Book) -> Vec<Parts> {
    let splits = inputs.contract.payment.splits.iter().enumerate();
    splits.map(|(place, split)| parted(inputs, (place, split), maker, whole, book)).collect()
}

/// The names of the parts, in the order of the rules.
fn names(contract: &Contract, split: &Split) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (part, _) in split.rules.iter().flat_map(|rule| &rule.shares) {
        if !names.contains(part) {
            names.push(part.clone());
        }
    }
    if (0..contract.items.len()).any(|item| rule_of(contract, split, item).is_none()) {
        names.push(NOT_ASSIGNED.into());
    }
    names
}

/// The first rule that covers an item.
pub(super) fn rule_of<'s>(contract: &Contract, split: &'s Split, item: usize) -> Option<&'s SplitRule> {
    let sections = contract.items[item].measured.sections();
    split.rules.iter().find(|rule| {
        let all = rule.items.is_empty() && rule.sections.is_empty();
        let within = !sections.is_empty() && sections.iter().all(|section| rule.sections.contains(section));
        all || rule.items.contains(&item) || within
    })
}

/// The line of an item, before it is parted.
pub(super) struct Owned {
    pub(super) label: String,
    pub(super) key: String,
    pub(super) item: usize,
    pub(super) amounts: Amounts,
}

fn parted(
    inputs: Inputs<'_>,
    (place, split): (usize, &Split),
    maker: Maker<'_>,
    whole: &Whole<'_>,
    book: &mut Book,
) -> Parts {
    let names = names(inputs.contract, split);
    let make = Make { contract: inputs.contract, split, names: &names, maker };
    let mut lines: Vec<SplitLine> = Vec::new();
    for owned in owned(inputs, maker, whole, book) {
        lines.push(make.of_item(&owned, book));
    }
    let settled = &whole.settlement.lines;
    let earned = settled.iter().position(|line| line.key == "earned").unwrap_or(0);
    for line in settled[..earned].iter().filter(|line| line.key == "entries-earned") {
        let so_far = make.so_far(&lines, book);
        lines.extend(make.entries((inputs, whole.settlement), (line, true), &so_far, book));
    }
    let sum = make.sum(("earned", "earned"), &settled[earned].amounts, &lines, book);
    lines.push(sum.clone());
    for line in settled[earned + 1..].iter().filter(|line| matches!(line.role, Role::Added | Role::Less)) {
        if line.key == "entries" {
            lines.extend(make.entries((inputs, whole.settlement), (line, false), &sum, book));
        } else {
            lines.push(make.as_earned(line, &sum, book));
        }
    }
    let after: Vec<SplitLine> = lines[lines.iter().position(|line| line.sum).unwrap_or(0)..].to_vec();
    let due = settled.last().map_or(sum.whole, |line| line.amounts);
    lines.push(make.sum(("due", "due"), &due, &after, book));
    Parts { split: place, names, lines }
}

/// Every line that belongs to an item: work, adjustments, held, variation, indices, materials on hand.
fn owned(inputs: Inputs<'_>, maker: Maker<'_>, whole: &Whole<'_>, book: &mut Book) -> Vec<Owned> {
    let mut found = Vec::new();
    for pay in whole.items {
        let number = &inputs.contract.items[pay.item].number;
        let mut put = |what: &str, amounts: Amounts| {
            let label = if what.is_empty() { format!("item {number}") } else { format!("item {number}, {what}") };
            found.push(Owned { label, key: format!("item-{}.{}", slug(number), slug(what)), item: pay.item, amounts });
        };
        put("", pay.amount);
        let adjusted: Vec<&AdjustmentLine> = whole.adjustments.iter().filter(|line| line.item == pay.item).collect();
        if !adjusted.is_empty() || is_adjusted(inputs.contract, pay.item) {
            let all = adjusted.iter().map(|line| line.amount.into()).collect();
            let before = adjusted.iter().filter(|line| !line.this_period).map(|line| line.amount.into()).collect();
            let named = (format!("item-{}.adjustments", slug(number)), format!("item {number}, adjustments"));
            put("adjustments", maker.split(book, &named.0, &named.1, all, before));
        }
        if !inputs.contract.items[pay.item].waits_for.is_empty() {
            let of = |previous: bool| {
                let own = whole.held.iter().filter(move |line| line.item == pay.item && line.previous == previous);
                own.map(|line| Expr::from(line.amount)).collect::<Vec<_>>()
            };
            let named = (format!("item-{}.held", slug(number)), format!("item {number}, held for proof"));
            put("held for proof", maker.split(book, &named.0, &named.1, of(false), of(true)));
        }
        if inputs.contract.papers.iter().any(|paper| paper.holds && paper.items.contains(&pay.item)) {
            let of = |previous: bool| {
                let own = whole.papers.iter().filter(move |line| line.item == pay.item && line.previous == previous);
                own.map(|line| Expr::from(line.amount)).collect::<Vec<_>>()
            };
            let named = (format!("item-{}.held-for-papers", slug(number)), format!("item {number}, held for papers"));
            put("held for papers", maker.split(book, &named.0, &named.1, of(false), of(true)));
        }
        let settlement = whole.settlement;
        let own = |items: &[(usize, Amounts)]| items.iter().find(|(item, _)| *item == pay.item).map(|(_, a)| *a);
        if let Some(amounts) = settlement.varied.as_ref().and_then(|varied| own(&varied.items)) {
            put("variation of quantity", amounts);
        }
        let indexed = settlement.indexed.iter().flat_map(|indexed| &indexed.items);
        for (index, _, amounts) in indexed.filter(|(_, item, _)| *item == pay.item) {
            put(&inputs.contract.payment.indices[*index].name, *amounts);
        }
        if let Some(amounts) = settlement.on_hand.as_ref().and_then(|stored| own(&stored.items)) {
            put("materials on hand", amounts);
        }
    }
    found
}

fn is_adjusted(contract: &Contract, item: usize) -> bool {
    !contract.items[item].adjusted_by.is_empty()
}

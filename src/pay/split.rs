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
use super::settle::{PayLine, Role, Settlement};
use super::{AdjustmentLine, Amounts, HeldLine, Inputs, ItemPay};
use crate::contract::{Contract, Entered, Split, SplitRule};
use crate::figure::{Book, Comparison, Expr, compare, either, whole};
use crate::line::slug;
use crate::units::conversions;

/// What no rule covers.
const NOT_ASSIGNED: &str = "not assigned";

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
fn rule_of<'s>(contract: &Contract, split: &'s Split, item: usize) -> Option<&'s SplitRule> {
    let sections = contract.items[item].measured.sections();
    split.rules.iter().find(|rule| {
        let all = rule.items.is_empty() && rule.sections.is_empty();
        let within = !sections.is_empty() && sections.iter().all(|section| rule.sections.contains(section));
        all || rule.items.contains(&item) || within
    })
}

/// The line of an item, before it is parted.
struct Owned {
    label: String,
    key: String,
    item: usize,
    amounts: Amounts,
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

/// Makes the parts of lines.
struct Make<'a> {
    contract: &'a Contract,
    split: &'a Split,
    names: &'a [String],
    maker: Maker<'a>,
}

impl Make<'_> {
    fn key(&self, line: &str, part: usize) -> String {
        format!("split-{}.{}.{}", slug(&self.split.name), line.trim_end_matches('.'), slug(&self.names[part]))
    }

    fn label(&self, line: &str, part: usize) -> String {
        format!("{line}, {}", self.names[part])
    }

    /// The line of an item, by the shares of its rule.
    fn of_item(&self, owned: &Owned, book: &mut Book) -> SplitLine {
        let mut parts: Vec<Option<Amounts>> = vec![None; self.names.len()];
        let shares: Vec<(usize, Option<&Entered>)> = match rule_of(self.contract, self.split, owned.item) {
            Some(rule) => {
                rule.shares.iter().filter_map(|(name, share)| Some((self.place(name)?, Some(share)))).collect()
            }
            None => self.place(NOT_ASSIGNED).map(|place| (place, None)).into_iter().collect(),
        };
        let (last, first) = shares.split_last().map_or((None, &[][..]), |(last, first)| (Some(last.0), first));
        for &(part, share) in first {
            let Some(share) = share else { continue };
            let share = book.given(share.given(format!("share of {}", self.names[part]), "f"));
            let (key, label) = (self.key(&owned.key, part), self.label(&owned.label, part));
            parts[part] = Some(self.maker.of(book, &key, &label, |pick| {
                Expr::from(share).to(conversions::PERCENT_TO_RATIO) * pick(&owned.amounts)
            }));
        }
        self.rest((&owned.key, &owned.label), &owned.amounts, last, &mut parts, book);
        SplitLine { label: owned.label.clone(), less: false, sum: false, whole: owned.amounts, parts }
    }

    fn place(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|known| known == name)
    }

    /// The last part of a line: what the others leave.
    fn rest(
        &self,
        (key, label): (&str, &str),
        whole: &Amounts,
        last: Option<usize>,
        parts: &mut [Option<Amounts>],
        book: &mut Book,
    ) {
        let Some(last) = last else { return };
        let others: Vec<Amounts> = parts.iter().flatten().copied().collect();
        let (key, label) = (self.key(key, last), self.label(label, last));
        parts[last] = Some(self.maker.of(book, &key, &label, |pick| {
            others.iter().fold(Expr::from(pick(whole)), |left, other| left - pick(other))
        }));
    }

    /// The lines of all items so far, and their sum.
    fn so_far(&self, lines: &[SplitLine], book: &mut Book) -> SplitLine {
        let key = format!("split-{}.items", slug(&self.split.name));
        let whole = self
            .maker
            .sums(book, &key, "lines of items", |pick| lines.iter().map(|line| pick(&line.whole).into()).collect());
        self.sum(("items", "lines of items"), &whole, lines, book)
    }

    /// Entries: those of an item by its rule, the others as what is earned.
    fn entries(
        &self,
        (inputs, settlement): (Inputs<'_>, &Settlement),
        (line, earned): (&PayLine, bool),
        as_earned: &SplitLine,
        book: &mut Book,
    ) -> Vec<SplitLine> {
        let all = &inputs.contract.payment.entries;
        let mut items: Vec<Option<usize>> = all.iter().filter(|e| e.earned == earned).map(|e| e.item).collect();
        items.sort_unstable();
        items.dedup();
        let mut found = Vec::new();
        for item in items {
            let own = |this_too: bool| {
                let of = settlement.entries.iter().filter(move |of| this_too || !of.this_period);
                let of = of.filter(|of| all[of.entry].earned == earned && all[of.entry].item == item);
                of.map(|of| Expr::from(of.amount)).collect::<Vec<_>>()
            };
            let of = item.map_or_else(String::new, |item| format!("item {}, ", self.contract.items[item].number));
            let label = format!("{of}{}", line.label);
            let key = match item {
                Some(item) => format!("item-{}.{}", slug(&self.contract.items[item].number), line.key),
                None => format!("{}.without-item", line.key),
            };
            let amounts = self.maker.split(book, &key, &label, own(true), own(false));
            found.push(match item {
                Some(item) => self.of_item(&Owned { label, key, item, amounts }, book),
                None => self.as_earned(&PayLine { amounts, ..line.clone() }, as_earned, book),
            });
        }
        found
    }

    /// A line that belongs to no item, parted as what is earned.
    fn as_earned(&self, line: &PayLine, earned: &SplitLine, book: &mut Book) -> SplitLine {
        let mut parts: Vec<Option<Amounts>> = vec![None; self.names.len()];
        let last = self.names.len().checked_sub(1);
        for (part, own) in earned.parts.iter().enumerate().take(last.unwrap_or(0)) {
            let Some(own) = *own else { continue };
            let (key, label) = (self.key(line.key, part), self.label(line.label, part));
            parts[part] = Some(self.maker.of(book, &key, &label, |pick| {
                let all = pick(&earned.whole);
                let share = pick(&line.amounts) * pick(&own) / all;
                either(compare(all, Comparison::Above, whole(0)), share, whole(0))
            }));
        }
        self.rest((line.key, line.label), &line.amounts, last, &mut parts, book);
        SplitLine { label: line.label.into(), less: line.role == Role::Less, sum: false, whole: line.amounts, parts }
    }

    /// The sum of lines, part by part.
    fn sum(&self, (key, label): (&str, &str), all: &Amounts, lines: &[SplitLine], book: &mut Book) -> SplitLine {
        let part = |part: usize, book: &mut Book| {
            let of: Vec<(bool, Amounts)> =
                lines.iter().filter_map(|line| Some((line.less, line.parts[part]?))).collect();
            let (key, label) = (self.key(key, part), self.label(label, part));
            let sum = |pick: fn(&Amounts) -> crate::figure::FigureId| {
                let signed = |(less, amounts): &(bool, Amounts)| {
                    if *less { whole(0) - pick(amounts) } else { pick(amounts).into() }
                };
                of.iter().map(signed).collect::<Vec<Expr>>()
            };
            Some(self.maker.sums(book, &key, &label, sum))
        };
        let parts = (0..self.names.len()).map(|place| part(place, book)).collect();
        SplitLine { label: label.into(), less: false, sum: true, whole: *all, parts }
    }
}

//! The parts of one line of the estimate: by the shares of its item's rule, or as what is earned.

use super::amounts::Maker;
use super::settle::{PayLine, Role, Settlement};
use super::split::{NOT_ASSIGNED, Owned, SplitLine, rule_of};
use super::{Amounts, Inputs};
use crate::contract::{Contract, Entered, Split};
use crate::figure::{Book, Comparison, Expr, compare, either, whole};
use crate::line::slug;
use crate::units::conversions;

/// Makes the parts of lines.
pub(super) struct Make<'a> {
    pub(super) contract: &'a Contract,
    pub(super) split: &'a Split,
    pub(super) names: &'a [String],
    pub(super) maker: Maker<'a>,
}

impl Make<'_> {
    fn key(&self, line: &str, part: usize) -> String {
        format!("split-{}.{}.{}", slug(&self.split.name), line.trim_end_matches('.'), slug(&self.names[part]))
    }

    fn label(&self, line: &str, part: usize) -> String {
        format!("{line}, {}", self.names[part])
    }

    /// The line of an item, by the shares of its rule.
    pub(super) fn of_item(&self, owned: &Owned, book: &mut Book) -> SplitLine {
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
    pub(super) fn so_far(&self, lines: &[SplitLine], book: &mut Book) -> SplitLine {
        let key = format!("split-{}.items", slug(&self.split.name));
        let whole = self
            .maker
            .sums(book, &key, "lines of items", |pick| lines.iter().map(|line| pick(&line.whole).into()).collect());
        self.sum(("items", "lines of items"), &whole, lines, book)
    }

    /// Entries: those of an item by its rule, the others as what is earned.
    pub(super) fn entries(
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
    pub(super) fn as_earned(&self, line: &PayLine, earned: &SplitLine, book: &mut Book) -> SplitLine {
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
    pub(super) fn sum(
        &self,
        (key, label): (&str, &str),
        all: &Amounts,
        lines: &[SplitLine],
        book: &mut Book,
    ) -> SplitLine {
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

//! From the work done to what is due, in the order in which the estimate prints it.
//!
//! ```text
//!   work done + adjustments + held for proof + entries counted as earned
//! + variation of quantities + price indices + materials on hand
//! = earned
//! - retained + given back of it + entries after retainage + liquidated damages + incentive
//! = payable
//! + carried to later estimates, where an estimate below zero is carried
//! = due
//! ```
//!
//! A line is there only where the contract has it. Each has its three columns, and every sum is that of the lines above it.

use super::amounts::Maker;
use super::authorized::Authorized;
use super::column::Column;
use super::delay::{Delay, delay};
use super::entered::{self, EntryLine};
use super::indexed::{Indexed, indexed};
use super::retained::{Retained, retained};
use super::stored::{OnHand, on_hand, unpaid};
use super::varied::{Varied, outside, varied};
use super::{Amounts, Inputs, ItemPay};
use crate::figure::{Book, Expr, Figure, max, whole};
use crate::finding::Finding;
use crate::units::Unit;

/// What a line of the settlement is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Added.
    Added,
    /// Taken off.
    Less,
    /// A sum of the lines above it.
    Sum,
    /// What is due.
    Due,
}

/// A line from the work done to what is due.
#[derive(Clone, Debug, PartialEq)]
pub struct PayLine {
    /// Its key: `retained`.
    pub key: &'static str,
    /// In words.
    pub label: &'static str,
    /// What else the page of the estimate says of it; empty for nothing.
    pub detail: String,
    /// What it is.
    pub role: Role,
    /// Its three columns.
    pub amounts: Amounts,
}

/// From the work done to what is due.
#[derive(Clone, Debug, PartialEq)]
pub struct Settlement {
    /// The lines in their order.
    pub lines: Vec<PayLine>,
    /// What the contract comes to; `None` where nothing is measured against it.
    pub authorized: Option<Authorized>,
    /// Retainage; `None` where the contract retains nothing.
    pub retained: Option<Retained>,
    /// The entries, by day.
    pub entries: Vec<EntryLine>,
    /// Days used; `None` where nothing is reckoned by them.
    pub delay: Option<Delay>,
    /// Variation of quantities; `None` where no price is agreed for any.
    pub varied: Option<Varied>,
    /// Price indices; `None` where the contract has none.
    pub indexed: Option<Indexed>,
    /// Materials on hand; `None` where nothing is paid for them.
    pub on_hand: Option<OnHand>,
}

impl Settlement {
    /// The columns of a line by its key.
    #[must_use]
    pub fn line(&self, key: &str) -> Option<&Amounts> {
        self.lines.iter().find(|line| line.key == key).map(|line| &line.amounts)
    }
}

/// What was done, before it is settled.
pub(super) struct Done<'a> {
    pub items: &'a [ItemPay],
    pub work: Amounts,
    pub adjusted: Amounts,
    pub held: Option<Amounts>,
    pub held_for_papers: Option<Amounts>,
    pub authorized: Option<Authorized>,
}

/// The lines so far.
struct Lines<'a> {
    lines: Vec<PayLine>,
    maker: Maker<'a>,
}

impl Lines<'_> {
    fn put(
        &mut self,
        (key, label): (&'static str, &'static str),
        detail: impl Into<String>,
        role: Role,
        amounts: Amounts,
    ) {
        self.lines.push(PayLine { key, label, detail: detail.into(), role, amounts });
    }

    fn put_some(&mut self, named: (&'static str, &'static str), detail: &str, role: Role, amounts: Option<Amounts>) {
        if let Some(amounts) = amounts {
            self.put(named, detail, role, amounts);
        }
    }

    /// The sum of the lines from a place on.
    fn sum(&mut self, from: usize, (key, label): (&'static str, &'static str), role: Role, book: &mut Book) -> Amounts {
        let of: Vec<(Role, Amounts)> = self.lines[from..].iter().map(|line| (line.role, line.amounts)).collect();
        let amounts = self.maker.of(book, key, label, |pick| {
            let mut parts = of.iter();
            let first = parts.next().map_or(Expr::Whole(0), |(_, amounts)| pick(amounts).into());
            parts.fold(
                first,
                |sum, (role, amounts)| if *role == Role::Less { sum - pick(amounts) } else { sum + pick(amounts) },
            )
        });
        self.put((key, label), "", role, amounts);
        amounts
    }
}

/// Settles what was done.
pub(super) fn settle(
    inputs: Inputs<'_>,
    (maker, columns): (Maker<'_>, [Column; 2]),
    done: Done<'_>,
    book: &mut Book,
) -> (Settlement, Vec<Finding>) {
    let entries = entered::lines(inputs, columns, book);
    let mut lines = Lines { lines: Vec::new(), maker };
    lines.put(("work", "work done at contract prices"), "", Role::Sum, done.work);
    lines.put(("adjustments", "adjustments"), "listed on the page Adjustments", Role::Added, done.adjusted);
    lines.put_some(("held", "held for proof"), "listed on the page As built", Role::Added, done.held);
    let papers = ("held-for-papers", "held for papers");
    lines.put_some(papers, "listed on the page Papers", Role::Added, done.held_for_papers);
    let own = (maker, columns);
    let counted = entered::line(inputs, own, &entries, true, book);
    lines.put_some(("entries-earned", "entries counted as earned"), ON_PAYMENT, Role::Added, counted);
    let of = (done.items, done.authorized.as_ref());
    let varied = varied(inputs, own, of, book);
    lines.put_some(("variation", "variation of quantities"), ON_PAYMENT, Role::Added, varied.as_ref().map(|v| v.all));
    let (indexed, mut findings) = indexed(inputs, own, done.items, book);
    lines.put_some(("index", "price indices"), ON_PAYMENT, Role::Added, indexed.as_ref().map(|i| i.all));
    let on_hand = on_hand(inputs, own, of, book);
    lines.put_some(("stored", "materials on hand"), ON_PAYMENT, Role::Added, on_hand.as_ref().map(|s| s.all));
    findings.extend(outside(inputs, columns[0], of, book));
    findings.extend(unpaid(inputs));
    let earned = lines.sum(0, ("earned", "earned"), Role::Sum, book);
    let last = lines.lines.len() - 1;
    let retained = retained(inputs, own, (done.items, &earned), done.authorized.as_ref(), book);
    less_retained(inputs, &mut lines, retained);
    let after = entered::line(inputs, own, &entries, false, book);
    lines.put_some(("entries", "entries after retainage"), ON_PAYMENT, Role::Added, after);
    let delay = delay(inputs, own, book);
    let by_days = |pick: fn(&Delay) -> Option<Amounts>| delay.as_ref().and_then(pick);
    lines.put_some(("damages", "liquidated damages"), ON_PAYMENT, Role::Added, by_days(|delay| delay.damages));
    lines.put_some(("incentive", "incentive"), ON_PAYMENT, Role::Added, by_days(|delay| delay.incentive));
    if inputs.contract.payment.carried {
        carried(&mut lines, last, book);
    } else {
        lines.sum(last, ("due", "due"), Role::Due, book);
    }
    let (lines, authorized) = (lines.lines, done.authorized);
    (Settlement { lines, authorized, retained, entries, delay, varied, indexed, on_hand }, findings)
}

/// What is due where an estimate below zero is carried: never less to date than was paid before.
fn carried(lines: &mut Lines<'_>, last: usize, book: &mut Book) {
    let payable = lines.sum(last, ("payable", "payable to date"), Role::Sum, book);
    let maker = lines.maker;
    let before = match maker.closed {
        Some(closing) => book.given(closing.given("due.to-date", "due", "D", Unit::Money)).into(),
        None => max([whole(0), payable.previous.into()]),
    };
    let paid = Figure::new("paid-before", "paid before this period", "D", Unit::Money, before).rounded(maker.rounding);
    let paid = book.add(paid);
    let now = max([Expr::from(payable.to_date), paid.into()]);
    let due = maker.split(book, "due", "due", vec![now], vec![paid.into()]);
    let carried = maker.of(book, "carried", "carried to later estimates", |pick| pick(&due) - pick(&payable));
    lines.put(("carried", "carried to later estimates"), "", Role::Added, carried);
    let detail = if maker.closed.is_some() { "never less to date than was paid before" } else { NOT_CLOSED };
    lines.put(("due", "due"), detail, Role::Due, due);
}

const NOT_CLOSED: &str = "never less to date than before; no period is closed, so only the one before is looked at";

const ON_PAYMENT: &str = "listed on the page Payment";

fn less_retained(inputs: Inputs<'_>, lines: &mut Lines<'_>, retained: Option<Retained>) {
    let (Some(retained), Some(rule)) = (retained, &inputs.contract.payment.retainage) else { return };
    let of = match retained.base {
        Some(_) => "earned without the items that carry none",
        None => "earned",
    };
    let stepped = !rule.steps.is_empty() || rule.most.is_some();
    let by = if stepped { ", with its steps on the page Payment" } else { "" };
    let detail = format!("{} of {of}{by}", rule.percent.written);
    lines.put(("retained", "less retained"), detail, Role::Less, retained.retained);
    lines.put_some(("released", "given back of it"), ON_PAYMENT, Role::Added, retained.released);
}

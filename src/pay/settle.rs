//! From the work done to what is due, in the order in which the estimate prints it.
//!
//! ```text
//!   work done + adjustments + held for proof + entries counted as earned
//! = earned
//! - retained + given back of it + entries after retainage
//! = due
//! ```
//!
//! A line is there only where the contract has it. Each has its three columns, and every sum is that of the lines above it.

use super::amounts::Maker;
use super::authorized::{Authorized, authorized};
use super::column::columns;
use super::entered::{self, EntryLine};
use super::retained::{Retained, retained};
use super::{Amounts, Inputs, ItemPay};
use crate::figure::{Book, Expr};

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
    before: Option<chrono::NaiveDate>,
    maker: Maker<'_>,
    done: &Done<'_>,
    book: &mut Book,
) -> Settlement {
    let columns = columns(inputs, before);
    let authorized = authorized(inputs, done.items, book);
    let entries = entered::lines(inputs, columns, book);
    let mut lines = Lines { lines: Vec::new(), maker };
    lines.put(("work", "work done at contract prices"), "", Role::Sum, done.work);
    lines.put(("adjustments", "adjustments"), "listed on the page Adjustments", Role::Added, done.adjusted);
    lines.put_some(("held", "held for proof"), "listed on the page As built", Role::Added, done.held);
    let own = (maker, columns);
    let counted = entered::line(inputs, own, &entries, true, book);
    lines.put_some(("entries-earned", "entries counted as earned"), ON_PAYMENT, Role::Added, counted);
    let earned = lines.sum(0, ("earned", "earned"), Role::Sum, book);
    let last = lines.lines.len() - 1;
    let retained = retained(inputs, own, (done.items, &earned), authorized.as_ref(), book);
    less_retained(inputs, &mut lines, retained);
    let after = entered::line(inputs, own, &entries, false, book);
    lines.put_some(("entries", "entries after retainage"), ON_PAYMENT, Role::Added, after);
    lines.sum(last, ("due", "due"), Role::Due, book);
    Settlement { lines: lines.lines, authorized, retained, entries }
}

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

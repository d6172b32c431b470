//! The second person: who measured a quantity, who checked it, and what nobody has checked.
//!
//! A quantity is checked where its record names somebody else than whoever measured it; case, blanks and punctuation make no
//! difference between names. Where no sheet names who measured, any name counts. The program itself calculates every quantity
//! and checks none.

use super::authorized::price_on;
use super::{Inputs, ItemPay, QuantityLine};
use crate::contract::Contract;
use crate::figure::{Book, Figure, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::intake::Read;
use crate::units::Unit;

/// Who stands behind a quantity, as the sheets say it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Persons {
    /// Who measured.
    pub measured_by: Option<String>,
    /// Who checked.
    pub checked_by: Option<String>,
}

impl Persons {
    pub(super) fn of(measured: Option<&Read<Box<str>>>, checked: Option<&Read<Box<str>>>) -> Self {
        let name = |read: &Read<Box<str>>| read.value.to_string();
        Self { measured_by: measured.map(name), checked_by: checked.map(name) }
    }

    /// Whether the one who checked is the one who measured.
    #[must_use]
    pub fn alone(&self) -> bool {
        let folded = |name: &Option<String>| name.as_deref().map(folded).filter(|name| !name.is_empty());
        folded(&self.checked_by).is_some() && folded(&self.checked_by) == folded(&self.measured_by)
    }

    /// Whether a second person checked.
    #[must_use]
    pub fn checked(&self) -> bool {
        self.checked_by.as_deref().is_some_and(|name| !folded(name).is_empty()) && !self.alone()
    }
}

fn folded(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// A quantity that no second person checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unchecked {
    /// Item, by place in the contract.
    pub item: usize,
    /// Its line, by place among the item's.
    pub line: usize,
    /// Its amount at the unit price.
    pub amount: FigureId,
}

/// What nobody checked, and what there is to say of it. Where no sheet names a checker and the contract asks for none, nothing
/// is listed: it would be everything.
pub(super) fn unchecked(inputs: Inputs<'_>, items: &[ItemPay], book: &mut Book) -> (Vec<Unchecked>, Vec<Finding>) {
    let lines = || items.iter().flat_map(|pay| pay.lines.iter().map(move |line| (pay, line)));
    let mut findings: Vec<Finding> =
        lines().filter(|(_, line)| line.persons.alone()).map(|(pay, line)| alone(inputs.contract, pay, line)).collect();
    let mut found = Vec::new();
    if inputs.contract.checking || lines().any(|(_, line)| line.persons.checked_by.is_some()) {
        for pay in items {
            for (place, line) in
                pay.lines.iter().enumerate().filter(|(_, line)| line.record.is_some() && !line.persons.checked())
            {
                let amount = line_amount(inputs.contract, pay, line, book);
                found.push(Unchecked { item: pay.item, line: place, amount });
            }
            findings.extend(inputs.contract.checking.then(|| gap(inputs.contract, pay)).flatten());
        }
    }
    (found, findings)
}

fn place(contract: &Contract, pay: &ItemPay, line: &QuantityLine) -> Place {
    line.record.map_or_else(|| Place::Named(format!("item {}", contract.items[pay.item].number)), Place::Row)
}

fn alone(contract: &Contract, pay: &ItemPay, line: &QuantityLine) -> Finding {
    let name = line.persons.checked_by.as_deref().unwrap_or_default();
    Finding::new(
        Code::CheckedBySelf,
        place(contract, pay, line),
        format!(
            "item {}, {}: checked by \"{name}\", who also measured it; it counts as not checked",
            contract.items[pay.item].number, line.what
        ),
        "let a second person check the quantity, and name that person in the row",
    )
}

/// What of an item nobody checked, where the contract wants it.
fn gap(contract: &Contract, pay: &ItemPay) -> Option<Finding> {
    let unchecked: Vec<&QuantityLine> =
        pay.lines.iter().filter(|line| line.record.is_some() && !line.persons.checked()).collect();
    let n = unchecked.len();
    (n > 0).then(|| {
        let number = &contract.items[pay.item].number;
        Finding::new(
            Code::QuantityUnchecked,
            Place::Named(format!("item {number}")),
            format!("not checked by a second person: {n} of {} quantities", pay.lines.len()),
            "name who checked each in a column 'Checked by' of its sheet, or set [checking] required = false in contract.toml",
        )
        .with(unchecked.iter().map(|line| place(contract, pay, line)))
    })
}

/// A quantity at the unit price, rounded as money; computed once.
pub(super) fn line_amount(contract: &Contract, pay: &ItemPay, line: &QuantityLine, book: &mut Book) -> FigureId {
    let key = format!("{}.amount", book[line.quantity].key);
    if let Some(known) = book.by_key(&key) {
        return known;
    }
    let number = &contract.items[pay.item].number;
    let label = format!("item {number}, {}, {}, at the unit price", line.date, line.what);
    let price = price_on(contract, pay, line.date, book);
    let amount = Figure::new(key, label, "a", Unit::Money, line.quantity * price);
    book.add(amount.rounded(contract.roundings.money))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn persons(measured: Option<&str>, checked: Option<&str>) -> Persons {
        Persons { measured_by: measured.map(Into::into), checked_by: checked.map(Into::into) }
    }

    #[test]
    fn nobody_checks_his_own_measurement_however_he_writes_his_name() {
        let twice = persons(Some("J. Roe"), Some("j roe"));
        assert!(twice.alone() && !twice.checked());
        assert!(persons(Some("J. Roe"), Some("M. Poe")).checked());
        assert!(persons(None, Some("MP")).checked(), "any name is a second one where no first is named");
        assert!(!persons(Some("J. Roe"), None).checked());
        assert!(!persons(Some("J. Roe"), Some("-")).checked(), "a dash is nobody");
    }
}

//! Prices that pay follows month by month: fuel, cement and the like.
//!
//! ```text
//! change = price of the month - base,  once it is more than the trigger of the base; or only what lies beyond the trigger
//! adjustment = quantity of the month x use per unit x change, rounded
//! ```
//!
//! The month is that of the day of each measured line. A month without a published price is a gap, and nothing is guessed.

use std::collections::BTreeSet;

use chrono::{Datelike, NaiveDate};

use super::amounts::Maker;
use super::column::{Column, by_column};
use super::{Amounts, Inputs, ItemPay};
use crate::contract::{IndexValue, PriceIndex};
use crate::figure::{Book, Comparison, Expr, Figure, FigureId, compare, either, whole};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::units::{Conversion, Unit, conversions};

/// A month.
type Month = (i32, u32);

/// What the indices come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Indexed {
    /// Index and item by their places in the contract, and the columns.
    pub items: Vec<(usize, usize, Amounts)>,
    /// Change of each month that counts: index, year and month, change for one unit used.
    pub changes: Vec<(usize, Month, FigureId)>,
    /// All of them.
    pub all: Amounts,
}

/// What is added or taken off by the indices, and the months that lack a price; `None` where the contract has no index.
pub(super) fn indexed(
    inputs: Inputs<'_>,
    own: (Maker<'_>, [Column; 2]),
    items: &[ItemPay],
    book: &mut Book,
) -> (Option<Indexed>, Vec<Finding>) {
    let indices = &inputs.contract.payment.indices;
    if indices.is_empty() {
        return (None, Vec::new());
    }
    let (mut found, mut changes, mut findings) = (Vec::new(), Vec::new(), Vec::new());
    for (place, index) in indices.iter().enumerate() {
        let of = Of { index, place, items };
        let months = of.months();
        let own_changes: Vec<(usize, Month, FigureId)> =
            months.iter().filter_map(|&month| Some((place, month, of.change(month, book)?))).collect();
        findings.extend(months.iter().filter(|&&month| of.value(month).is_none()).map(|&month| of.missing(month)));
        for (item, used) in &index.items {
            let Some(pay) = items.iter().find(|pay| pay.item == *item) else { continue };
            let number = &inputs.contract.items[*item].number;
            let key = format!("item-{}.index-{}", slug(number), slug(&index.name));
            let label = format!("item {number}, {}", index.name);
            let uses = book.given(used.given(format!("{}, use of item {number}", index.name), "u"));
            let amounts = by_column(own.0, book, (&key, &label), own.1, |book, column| {
                let of_month = |&(_, month, change): &(usize, Month, FigureId)| {
                    let unit = inputs.contract.items[*item].unit;
                    let quantity = quantity((&key, unit), pay, (month, column), book)?;
                    let bare = Expr::from(quantity).to(Conversion::number_of(unit)?);
                    Some((bare * uses * change).rounded(own.0.rounding))
                };
                own_changes.iter().filter_map(of_month).collect()
            });
            found.push((place, *item, amounts));
        }
        changes.extend(own_changes);
    }
    let all = own.0.sums(book, "index", "price indices", |pick| {
        found.iter().map(|(_, _, amounts)| pick(amounts).into()).collect()
    });
    (Some(Indexed { items: found, changes, all }), findings)
}

/// An index and what follows it.
struct Of<'a> {
    index: &'a PriceIndex,
    place: usize,
    items: &'a [ItemPay],
}

impl Of<'_> {
    /// The months in which anything was measured of its items.
    fn months(&self) -> BTreeSet<Month> {
        let own = |pay: &&ItemPay| self.index.items.iter().any(|(item, _)| *item == pay.item);
        self.items.iter().filter(own).flat_map(|pay| &pay.lines).map(|line| month_of(line.date)).collect()
    }

    fn value(&self, (year, month): Month) -> Option<&IndexValue> {
        self.index.values.iter().find(|value| (value.year, value.month) == (year, month))
    }

    fn missing(&self, month: Month) -> Finding {
        let message =
            format!("{}: no price for {}; nothing is adjusted for that month", self.index.name, written(month));
        let place = Place::Named(format!("index {}", self.index.name));
        Finding::new(Code::IndexMissing, place, message, "add the published price of the month to its 'values'")
    }

    /// The change of a month that counts, for one unit used.
    fn change(&self, month: Month, book: &mut Book) -> Option<FigureId> {
        let (index, value) = (self.index, self.value(month)?);
        let name = &index.name;
        let price = book.given(value.value.given(format!("{name}, price of {}", written(month)), "V"));
        let base = book.given(index.base.given(format!("{name}, base"), "B"));
        let trigger = book.given(index.trigger.given(format!("{name}, trigger"), "t"));
        let apart = Expr::from(trigger).to(conversions::PERCENT_TO_RATIO) * base;
        let (high, low) = (base + apart.clone(), base - apart);
        let (up, down) =
            if index.whole { (price - base, price - base) } else { (price - high.clone(), price - low.clone()) };
        let down = either(compare(price, Comparison::Below, low), down, whole(0));
        let change = either(compare(price, Comparison::Above, high), up, down);
        let key = format!("index-{}-{}.{}", self.place + 1, slug(name), written(month));
        let label = format!("{name}, change that counts in {}", written(month));
        Some(book.add(
            Figure::new(key, label, "c", Unit::Money, change).shown(4).note(format!("price from {}", value.source)),
        ))
    }
}

/// The quantity of an item in a month through the day of a column; `None` for none.
fn quantity(
    (key, unit): (&str, Unit),
    pay: &ItemPay,
    (month, column): (Month, Column),
    book: &mut Book,
) -> Option<FigureId> {
    let lines = pay.lines.iter().filter(|line| month_of(line.date) == month && column.holds(line.date));
    let parts: Vec<Expr> = lines.map(|line| line.quantity.into()).collect();
    if parts.is_empty() {
        return None;
    }
    let key = format!("{key}.{}.{}", written(month), column.mark);
    let label = format!("quantity of {} {}", written(month), column.words);
    Some(book.add_sum(Figure::new(key, label, "q", unit, whole(0)).shown(unit.decimals()), parts))
}

fn month_of(day: NaiveDate) -> Month {
    (day.year(), day.month())
}

/// `2031-05`.
fn written((year, month): Month) -> String {
    format!("{year}-{month:02}")
}

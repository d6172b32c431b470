//! What a closed month would be paid today: lines that came in late, changed, or went away since it was closed.
//!
//! ```text
//! correction = quantity now - quantity as closed        amount = correction x unit price
//! ```
//!
//! A line is found again if it says the same of the same day; else by the name of its placement or outcome; else by where its
//! record stands. What is left over came in late or went away. Nothing is paid here: corrections are the part of this
//! period's quantities that belongs to earlier ones.

use std::collections::VecDeque;

use chrono::NaiveDate;

use super::authorized::price_on;
use super::{AdjustmentLine, Inputs, ItemPay};
use crate::closing::{Changed, Closing, Line};
use crate::figure::{Book, Expr, Figure, FigureId, Given, Origin, whole};
use crate::line::slug;
use crate::source::CellRef;
use crate::units::Unit;

/// A line of a closed period that is not what it was.
#[derive(Clone, Debug, PartialEq)]
pub struct Correction {
    /// Item, by place in the contract.
    pub item: usize,
    /// Number of the period that the line belongs to; `None` where it lies before the first.
    pub period: Option<u32>,
    /// Late, changed or gone.
    pub kind: Changed,
    /// True where it is an adjustment of pay, false where it is a quantity.
    pub adjustment: bool,
    /// Day of the line.
    pub day: NaiveDate,
    /// What and where, in words.
    pub what: String,
    /// As closed; `None` where it was not there.
    pub before: Option<FigureId>,
    /// Now; `None` where it is not there any more.
    pub now: Option<FigureId>,
    /// Now less as closed.
    pub difference: FigureId,
    /// What that is worth.
    pub amount: FigureId,
    /// The record then, in words; empty where there was none.
    pub record_before: String,
    /// The record now.
    pub record_now: Option<CellRef>,
}

/// A line as it is now.
struct Now {
    key: String,
    day: NaiveDate,
    what: String,
    value: FigureId,
    record: Option<CellRef>,
}

/// A line then and now; one of them where it came or went.
type Pair<'c> = (Option<&'c Line>, Option<Now>);

/// Corrections of all items against the last closing, by item and day: quantities, then adjustments.
pub(super) fn lines(
    inputs: Inputs<'_>,
    items: &[ItemPay],
    adjustments: &[AdjustmentLine],
    book: &mut Book,
) -> Vec<Correction> {
    let Some(closing) = inputs.closed else { return Vec::new() };
    let mut found = Vec::new();
    for pay in items {
        let number = &inputs.contract.items[pay.item].number;
        let now = pay.lines.iter().map(|line| Now {
            key: book[line.quantity].key.clone(),
            day: line.date,
            what: line.what.clone(),
            value: line.quantity,
            record: line.record,
        });
        let pairs = paired((&closing.quantities, number), now.collect(), book);
        found.extend(of_item(inputs, closing, pay, (pairs, false), book));
        let now = adjustments.iter().filter(|line| line.item == pay.item).map(|line| Now {
            key: book[line.amount].key.clone(),
            day: line.decided,
            what: inputs.judged.outcomes[line.outcome].name.clone(),
            value: line.amount,
            record: None,
        });
        let pairs = paired((&closing.adjustments, number), now.collect(), book);
        found.extend(of_item(inputs, closing, pay, (pairs, true), book));
    }
    found
}

/// Lines of one item then and now that do not say the same.
fn paired<'c>((then, item): (&'c [Line], &str), mut now: VecDeque<Now>, book: &Book) -> Vec<Pair<'c>> {
    let mut then: Vec<&Line> = then.iter().filter(|line| line.item == item).collect();
    let equal = |line: &Line, other: &Now| book[other.value].value.decimal() == Some(line.value);
    take(&mut then, &mut now, |line, other| {
        equal(line, other) && line.day == other.day && (line.what == other.what || line.key == other.key)
    });
    let mut pairs = take(&mut then, &mut now, |line, other| line.key == other.key);
    pairs.extend(take(&mut then, &mut now, |line, other| line.what == other.what && line.day == other.day));
    pairs.extend(take(&mut then, &mut now, |line, other| {
        other.record.is_some_and(|at| book.sources.row(at) == line.record)
    }));
    let mut found: Vec<Pair<'_>> = pairs.into_iter().map(|(a, b)| (Some(a), Some(b))).collect();
    found.extend(then.into_iter().map(|line| (Some(line), None)));
    found.extend(now.into_iter().map(|line| (None, Some(line))));
    found
}

/// Takes out the pairs that fit, each line once.
fn take<'c>(
    then: &mut Vec<&'c Line>,
    now: &mut VecDeque<Now>,
    fits: impl Fn(&Line, &Now) -> bool,
) -> Vec<(&'c Line, Now)> {
    let mut pairs = Vec::new();
    then.retain(|&line| match now.iter().position(|other| fits(line, other)) {
        Some(at) => {
            pairs.extend(now.remove(at).map(|other| (line, other)));
            false
        }
        None => true,
    });
    pairs
}

fn of_item(
    inputs: Inputs<'_>,
    closing: &Closing,
    pay: &ItemPay,
    (pairs, adjustment): (Vec<Pair<'_>>, bool),
    book: &mut Book,
) -> Vec<Correction> {
    let row = &inputs.contract.items[pay.item];
    let unit = if adjustment { Unit::Money } else { row.unit };
    let mut found: Vec<Correction> = Vec::new();
    for (n, (then, now)) in (1..).zip(pairs) {
        let day = match (then, &now) {
            (Some(line), Some(now)) => line.day.min(now.day),
            (Some(line), None) => line.day,
            (None, Some(now)) if now.day <= closing.through => now.day,
            _ => continue,
        };
        let word = if adjustment { "adjustment" } else { "quantity" };
        let key = format!("item-{}.correction.{word}-{n}", slug(&row.number));
        let what = now.as_ref().map_or_else(|| then.map_or_else(String::new, |l| l.what.clone()), |l| l.what.clone());
        let before = then.map(|line| as_closed(closing, line, (&key, unit), book));
        let value = now.as_ref().map(|line| line.value);
        let of = |id: Option<FigureId>| id.map_or_else(|| whole(0), Expr::from);
        let difference = match (value, before) {
            (Some(now), None) => now.into(),
            _ => of(value) - of(before),
        };
        let rounding = if adjustment { inputs.contract.roundings.money } else { row.rounding };
        let figure = Figure::new(format!("{key}.difference"), format!("correction, {what}"), "c", unit, difference);
        let difference = book.add(figure.rounded(rounding));
        let price = price_on(inputs.contract, pay, day, book);
        let amount = if adjustment { difference.into() } else { difference * price };
        let figure = Figure::new(format!("{key}.amount"), format!("correction, {what}"), "A", Unit::Money, amount);
        found.push(Correction {
            item: pay.item,
            period: inputs.contract.periods.iter().find(|p| day <= p.through).map(|p| p.number),
            kind: match (then, &now) {
                (None, _) => Changed::New,
                (Some(_), Some(_)) => Changed::Differs,
                (Some(_), None) => Changed::Gone,
            },
            adjustment,
            day,
            what,
            before,
            now: value,
            difference,
            amount: book.add(figure.rounded(inputs.contract.roundings.money)),
            record_before: then.map_or_else(String::new, |line| line.record.clone()),
            record_now: now.and_then(|line| line.record),
        });
    }
    found.sort_by(|a, b| (a.day, &a.what).cmp(&(b.day, &b.what)));
    found
}

/// The value of a line as it was closed.
fn as_closed(closing: &Closing, line: &Line, (key, unit): (&str, Unit), book: &mut Book) -> FigureId {
    let given = book.given(Given {
        label: format!("{}, closed in period {}", line.what, closing.period),
        symbol: format!("q{}", closing.period),
        value: line.value,
        unit,
        written: line.value.to_string(),
        origin: Origin::Closing { period: closing.period, key: line.key.clone() },
    });
    book.add(Figure::new(format!("{key}.before"), format!("as closed, {}", line.what), "q", unit, given).shown(2))
}

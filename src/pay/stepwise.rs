//! Quantities that are not measured piece by piece: percent complete by hand, and days or months by the calendar.
//!
//! ```text
//! done = percent complete x plan quantity, rounded;     a row pays what is done more than at the row before it
//! months = days paid / days of the month, added up and rounded;   days = days paid
//! ```
//!
//! What each line pays is a difference of rounded sums, so that the lines add up to the last of them without a remainder.
//! Of two rows on one day the later in the sheets holds.

use chrono::{Datelike, NaiveDate};

use super::{Inputs, Persons, QuantityLine};
use crate::contract::{Calendar, Contract, Item};
use crate::figure::{Book, Expr, Figure, FigureId, Given, Origin, sum};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::units::{Unit, conversions};

/// Lines of an item paid by percent complete, and the rows that say less than one before them.
pub(super) fn by_percent(
    inputs: Inputs<'_>,
    item: usize,
    plan: FigureId,
    book: &mut Book,
) -> (Vec<QuantityLine>, Vec<Finding>) {
    let row = &inputs.contract.items[item];
    let mut rows: Vec<usize> = (0..inputs.records.measured.len()).collect();
    rows.retain(|&index| inputs.records.measured[index].item.value == item);
    rows.sort_by_key(|&index| inputs.records.measured[index].date.value);
    let (mut lines, mut findings, mut before): (Vec<QuantityLine>, Vec<Finding>, Option<(FigureId, usize)>) =
        Default::default();
    for index in rows {
        let measured = &inputs.records.measured[index];
        let cell = inputs.line.ledger.measured_quantity(book, index, Unit::Percent);
        let Some((cell, said)) = cell.zip(measured.quantity.as_ref()) else {
            findings.push(without_percent(row, Place::Row(measured.item.at)));
            continue;
        };
        let key = format!("item-{}.percent-{}", slug(&row.number), measured.date.value);
        let label = format!("item {}, done by {}", row.number, measured.date.value);
        let done = Expr::from(cell).to(conversions::PERCENT_TO_RATIO) * plan;
        let done = book.add(Figure::new(format!("{key}.done"), label, "d", row.unit, done).rounded(row.rounding));
        findings.extend(before.and_then(|(_, last)| falls(inputs, row, (last, index))));
        let more = before.map_or_else(|| Expr::from(done), |(last, _)| done - last);
        let persons = Persons::of(measured.by.as_ref(), measured.checked_by.as_ref());
        let what = format!("{} percent complete", said.value.normalize());
        lines.push(line(row, (&key, measured.date.value), what, more, (Some(measured.item.at), persons), book));
        before = Some((done, index));
    }
    (lines, findings)
}

fn without_percent(item: &Item, place: Place) -> Finding {
    let message = format!(
        "item {} is paid by percent complete, but the row gives no quantity in percent; the row is not paid",
        item.number
    );
    Finding::new(Code::QuantityUnitWrong, place, message, "enter the percent complete to date, such as 35 %")
}

fn falls(inputs: Inputs<'_>, item: &Item, (last, index): (usize, usize)) -> Option<Finding> {
    let (before, now) = (&inputs.records.measured[last], &inputs.records.measured[index]);
    let (then, is) = (before.quantity.as_ref()?, now.quantity.as_ref()?);
    (is.value < then.value).then(|| {
        let message = format!(
            "item {} is {} percent complete on {}, after {} percent on {}; the later row is paid",
            item.number,
            is.value.normalize(),
            now.date.value,
            then.value.normalize(),
            before.date.value
        );
        let remedy = "correct the row that is wrong; percent complete is to date, not since the row before";
        Finding::new(Code::PercentFalls, Place::Cell(is.at), message, remedy).with([Place::Cell(then.at)])
    })
}

fn line(
    item: &Item,
    (key, date): (&str, NaiveDate),
    what: String,
    quantity: Expr,
    (record, persons): (Option<crate::source::CellRef>, Persons),
    book: &mut Book,
) -> QuantityLine {
    let label = format!("item {}, {what}", item.number);
    let quantity = book.add(Figure::new(key, label, "q", item.unit, quantity).rounded(item.rounding));
    QuantityLine { date, what, quantity, record, persons }
}

/// Lines of an item paid by the calendar: one for each part of a month that lies in one period.
pub(super) fn by_calendar(inputs: Inputs<'_>, item: usize, book: &mut Book) -> Vec<QuantityLine> {
    let row = &inputs.contract.items[item];
    let Some(calendar) = &row.terms.calendar else { return Vec::new() };
    let (mut lines, mut parts, mut before): (Vec<QuantityLine>, Vec<Expr>, Option<FigureId>) = Default::default();
    for (from, to) in stretches(inputs.contract, calendar, inputs.through) {
        let key = format!("item-{}.days-from-{from}", slug(&row.number));
        let what = format!("{from} through {to}");
        parts.push(share(row, calendar, (from, to), book));
        let label = format!("item {}, through {to}", row.number);
        let done = Figure::new(format!("{key}.done"), label, "d", row.unit, sum(parts.clone())).rounded(row.rounding);
        let done = book.add(done);
        let more = before.map_or_else(|| Expr::from(done), |last| done - last);
        lines.push(line(row, (&key, to), what, more, (None, Persons::default()), book));
        before = Some(done);
    }
    lines
}

/// The stretches of days through a day, parted where months and periods end.
fn stretches(contract: &Contract, calendar: &Calendar, through: NaiveDate) -> Vec<(NaiveDate, NaiveDate)> {
    let (mut from, last) = (calendar.from, calendar.to.min(through));
    let mut found = Vec::new();
    while from <= last {
        let period = contract.periods.iter().map(|period| period.through).find(|&end| end >= from);
        let to = [end_of_month(from), period.unwrap_or(last), last].into_iter().min().unwrap_or(last);
        found.push((from, to));
        let Some(next) = to.succ_opt() else { break };
        from = next;
    }
    found
}

fn end_of_month(day: NaiveDate) -> NaiveDate {
    let days = day.num_days_in_month();
    day.with_day(days.into()).unwrap_or(day)
}

/// A stretch in the item's unit: its days, or its days over those of the month.
fn share(item: &Item, calendar: &Calendar, (from, to): (NaiveDate, NaiveDate), book: &mut Book) -> Expr {
    let mut given = |label: String, symbol: &str, days: i64| {
        book.given(Given {
            label,
            symbol: symbol.into(),
            value: days.into(),
            unit: Unit::Day,
            written: format!("{} through {}", calendar.from, calendar.to),
            origin: Origin::Contract { line: calendar.line, key: calendar.key.clone() },
        })
    };
    let days = Expr::from(given(format!("days from {from} through {to}"), "n", (to - from).num_days() + 1));
    match item.unit {
        Unit::Month => {
            let month = given(format!("days of {}", from.format("%Y-%m")), "m", i64::from(from.num_days_in_month()));
            (days / month).to(conversions::RATIO_TO_MONTH)
        }
        _ => days,
    }
}

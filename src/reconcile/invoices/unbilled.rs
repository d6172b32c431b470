//! Loads that were received and stand on no invoice: nothing to dispute, but an amount to expect.
//!
//! ```text
//! expected = volume of the ticket x agreed price, rounded as money
//! ```
//!
//! Judged only where concrete is invoiced at all, and for days up to the last one that a line for concrete bears; not where
//! such a line names no ticket, since it may bill any load. A load whose lines were all cleared by credits is not billed.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::agreed::Agreed;
use super::words::Words;
use super::{Unbilled, UnbilledLoad};
use crate::contract::Contract;
use crate::figure::{Book, Figure, FigureId, whole};
use crate::finding::{Code, Finding, Place};
use crate::intake::{Charge, Outcome, Records};
use crate::line::{Ledger, counted, slug, total};
use crate::units::Unit;

/// Takes up what is received and not billed; `billed` says for each load whether a line bills it.
pub(super) fn unbilled(
    (contract, records, ledger): (&Contract, &Records, &Ledger),
    agreed: &Agreed<'_>,
    billed: &[bool],
    book: &mut Book,
) -> (Option<Unbilled>, Vec<Finding>) {
    let of_concrete = records.billed.iter().filter(|line| line.charge == Charge::Concrete);
    let Some(through) = of_concrete.map(|line| line.date.value).max() else { return (None, Vec::new()) };
    let days = by_day(records, billed, through);
    let mut findings = Vec::new();
    let mut loads = Vec::new();
    for (day, places) in days {
        let own: Vec<UnbilledLoad> =
            places.into_iter().map(|load| expected((contract, records, ledger), agreed, load, book)).collect();
        findings.extend(finding((contract, records, ledger), day, &own, book));
        loads.extend(own);
    }
    let volume = volume(ledger, contract, book, "unbilled.volume", &loads);
    let amount = amount(book, "unbilled.expected", &loads);
    (Some(Unbilled { through, loads, volume, expected: amount }), findings)
}

fn by_day(records: &Records, billed: &[bool], through: NaiveDate) -> BTreeMap<NaiveDate, Vec<usize>> {
    let mut days: BTreeMap<NaiveDate, Vec<usize>> = BTreeMap::new();
    for (place, load) in records.loads.iter().enumerate() {
        let is_billed = billed.get(place).copied().unwrap_or_default();
        if !is_billed && load.outcome == Outcome::Placed && load.date.value <= through {
            days.entry(load.date.value).or_default().push(place);
        }
    }
    for loads in days.values_mut() {
        loads.sort_by(|&a, &b| counted(&records.loads[a].ticket.value, &records.loads[b].ticket.value));
    }
    days
}

fn expected(
    (contract, records, ledger): (&Contract, &Records, &Ledger),
    agreed: &Agreed<'_>,
    load: usize,
    book: &mut Book,
) -> UnbilledLoad {
    let ticket = &records.loads[load];
    let price = agreed.price(ticket.mix.as_ref().map(|mix| &*mix.value));
    let expected = price.map(|(price, mix)| {
        let price = book.given(price.given(format!("agreed price of {mix}"), "p"));
        let figure = Figure::new(
            format!("unbilled.ticket-{}", slug(&ticket.ticket.value)),
            format!("ticket {}, amount to expect", ticket.ticket.value),
            "E",
            Unit::Money,
            ledger.load_volume(load) * price,
        );
        book.add(figure.rounded(contract.roundings.money))
    });
    UnbilledLoad { load, expected }
}

fn amount(book: &mut Book, key: &str, loads: &[UnbilledLoad]) -> Option<FigureId> {
    let parts: Vec<FigureId> = loads.iter().filter_map(|load| load.expected).collect();
    total(book, key, "received and not billed, amount to expect", "E", &parts)
}

fn volume(
    ledger: &Ledger,
    contract: &Contract,
    book: &mut Book,
    key: &str,
    loads: &[UnbilledLoad],
) -> Option<FigureId> {
    let unit = contract.system.volume();
    let figure = Figure::new(key, "received and not billed, volume", "V", unit, whole(0));
    let parts = loads.iter().map(|load| ledger.load_volume(load.load).into()).collect();
    (!loads.is_empty()).then(|| book.add_sum(figure, parts))
}

/// One finding a day, since a day of which the invoice has not come yet is one thing to ask for.
fn finding(
    (contract, records, ledger): (&Contract, &Records, &Ledger),
    day: NaiveDate,
    loads: &[UnbilledLoad],
    book: &mut Book,
) -> Option<Finding> {
    let (first, others) = loads.split_first()?;
    let key = format!("unbilled.day-{day}");
    let volume = volume(ledger, contract, book, &format!("{key}.volume"), loads)?;
    let expected = amount(book, &format!("{key}.expected"), loads);
    let number = |load: &UnbilledLoad| &records.loads[load.load].ticket.value;
    let which = match others.last() {
        None => format!("ticket {} of {day} stands", number(first)),
        Some(last) => format!("{} tickets of {day} ({} to {}) stand", loads.len(), number(first), number(last)),
    };
    let amount = expected.and_then(|id| book[id].value.decimal()).map(|amount| Words(contract).money(amount));
    let unpriced = loads.iter().filter(|load| load.expected.is_none()).count();
    let received = format!("{} {}", book[volume].text(), book[volume].unit);
    Some(
        Finding::new(
            Code::ReceivedNotBilled,
            Place::Row(records.loads[first.load].ticket.at),
            format!("{which} on no invoice: {}", to_expect(&received, amount.as_deref(), unpriced)),
            "keep the amount ready, and look for the invoice",
        )
        .with(others.iter().map(|load| Place::Row(records.loads[load.load].ticket.at))),
    )
}

fn to_expect(volume: &str, amount: Option<&str>, unpriced: usize) -> String {
    match (amount, unpriced) {
        (None, _) => format!("{volume} to expect, at a price that is not agreed"),
        (Some(amount), 0) => format!("{volume}, {amount} at the agreed price, to expect"),
        (Some(amount), n) => {
            format!("{volume}, {amount} at the agreed price, to expect; for {n} of them none is agreed")
        }
    }
}

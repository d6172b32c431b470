//! A truck at two places: batched again before it had discharged, or sooner than the shortest round that the contract states.
//!
//! Trucks are told apart by plant, because plants may number theirs alike. Loads that are said to be one on two tickets are
//! taken once.

use std::collections::{BTreeMap, BTreeSet};

use super::{Desk, TicketRemark, minute};
use crate::contract::Entered;
use crate::figure::Expr;
use crate::finding::Code;
use crate::line::folded;
use crate::units::Unit;

/// A load of a truck: minute batched, minute discharged, place in the records.
type Trip = (i64, Option<i64>, usize);

pub(super) fn check(desk: &mut Desk<'_, '_>) {
    let before = desk.audit.remarks.len();
    let again: BTreeSet<usize> = desk
        .audit
        .remarks
        .iter()
        .filter(|r| r.code == Code::LoadTwice)
        .flat_map(|r| r.loads.iter().skip(1).copied())
        .collect();
    let (mut trucks, mut unable) = (BTreeMap::<_, Vec<Trip>>::new(), 0);
    for (i, load) in desk.loads().iter().enumerate().filter(|(i, _)| !again.contains(i)) {
        let (Some(truck), Some(batched)) = (&load.truck, &load.batched) else {
            unable += 1;
            continue;
        };
        let from = minute(load.date.value, batched.value);
        let to = load.discharged.as_ref().map(|d| minute(load.date.value, d.value)).map(|to| past_midnight(from, to));
        let plant = load.plant.as_ref().map(|p| folded(&p.value));
        trucks.entry((plant, folded(&truck.value))).or_default().push((from, to, i));
    }
    let round = desk.ground.contract.tickets.as_ref().and_then(|t| t.shortest_round.clone());
    if round.is_none() {
        desk.audit.unlimited.push("shortest round of a truck");
    }
    for mut trips in trucks.into_values() {
        trips.sort_unstable();
        for pair in trips.windows(2) {
            one_after_another(desk, pair[0], pair[1], round.as_ref());
        }
    }
    let limit = round.as_ref().map_or("", |r| r.written.as_str());
    desk.checked("a truck at two places", limit, (desk.loads().len() - unable, unable), before);
}

/// A discharge that is earlier on the clock than batching is on the next day.
fn past_midnight(from: i64, to: i64) -> i64 {
    if to < from { to + super::MINUTES_OF_DAY } else { to }
}

fn one_after_another(desk: &mut Desk<'_, '_>, a: Trip, b: Trip, round: Option<&Entered>) {
    let (first, second) = (desk.ticket(a.2), desk.ticket(b.2));
    let truck = desk.load(a.2).truck.as_ref().map_or("", |t| &*t.value);
    let clock = |desk: &Desk<'_, '_>, i: usize, batched: bool| {
        let load = desk.load(i);
        let time = if batched { &load.batched } else { &load.discharged };
        time.as_ref().map_or_else(String::new, |t| t.value.format("%H:%M").to_string())
    };
    let day = desk.load(b.2).date.value;
    if b.0 == a.0 || a.1.is_some_and(|discharged| b.0 < discharged) {
        let until = if a.1.is_some() {
            format!("was discharged at {}", clock(desk, a.2, false))
        } else {
            format!("was batched at {} too", clock(desk, a.2, true))
        };
        let message = format!(
            "truck {truck} was batched for ticket {second} at {} on {day}, but with ticket {first} it {until}: it cannot have \
             been at both places",
            clock(desk, b.2, true)
        );
        let words = format!("truck {truck} batched again before ticket {first} was discharged");
        let remark = TicketRemark { code: Code::TruckOverlap, loads: vec![b.2, a.2], words, value: None, limit: None };
        desk.remark(remark, message, "see which time or truck is wrong; if neither, one of the two loads did not come");
        return;
    }
    let Some(round) = round.filter(|round| rust_decimal::Decimal::from(b.0 - a.0) < round.value) else { return };
    let column = desk.ground.line.ledger.load_columns.minutes[0];
    let ledger = desk.ground.line.ledger;
    let cells = (ledger.load_cell(b.2, column), ledger.load_cell(a.2, column));
    let (Some(later), Some(earlier)) = cells else { return };
    let mut expr: Expr = later - earlier;
    if desk.load(a.2).date.value < day {
        expr = expr + desk.day();
    }
    let value = desk.figure((b.2, "since the batching before"), "t", (Unit::Minute, 0), expr);
    let limit = desk.limit(round, "shortest round");
    let message = format!(
        "truck {truck} was batched for ticket {second} at {} on {day}, {} after ticket {first}; the contract's shortest round is {}",
        clock(desk, b.2, true),
        desk.written(value),
        round.written
    );
    let words = format!("truck {truck} back too soon after ticket {first}");
    let remark = TicketRemark {
        code: Code::RoundTooShort,
        loads: vec![b.2, a.2],
        words,
        value: Some(value),
        limit: Some(limit),
    };
    desk.remark(remark, message, "see which time or truck is wrong; if neither, ask whether both loads came");
}

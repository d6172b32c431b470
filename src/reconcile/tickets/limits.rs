//! Time from batching to discharge, and turns of the drum, against the limits that the contract states.
//!
//! ASTM C94/C94M had 90 minutes and 300 turns before 2013; since then purchaser or producer state them, so here the contract
//! does. A load for which they were waived is listed with the reason.

use rust_decimal::Decimal;

use super::{Desk, TicketRemark, minute};
use crate::contract::Entered;
use crate::figure::Expr;
use crate::finding::Code;
use crate::line::folded;
use crate::units::Unit;

pub(super) fn check(desk: &mut Desk<'_, '_>) {
    let rules = desk.ground.contract.tickets.clone().unwrap_or_default();
    match &rules.time_limit {
        Some(limit) => times(desk, limit),
        None => desk.audit.unlimited.push("time from batching to discharge"),
    }
    match &rules.revolutions {
        Some(limit) => turns(desk, limit),
        None => desk.audit.unlimited.push("turns of the drum"),
    }
}

/// The reason for which the limits do not hold for a load.
fn waived(desk: &Desk<'_, '_>, i: usize) -> Option<String> {
    let ticket = folded(desk.ticket(i));
    let waived = &desk.ground.contract.tickets.as_ref()?.waived;
    waived.iter().find(|w| folded(&w.ticket) == ticket).map(|w| w.reason.clone())
}

fn over(desk: &mut Desk<'_, '_>, remark: TicketRemark, message: String, remedy: &str) {
    let Some(&i) = remark.loads.first() else { return };
    match waived(desk, i) {
        Some(reason) => desk.audit.waived.push((i, reason)),
        None => desk.remark(remark, message, remedy),
    }
}

fn times(desk: &mut Desk<'_, '_>, limit: &Entered) {
    let before = desk.audit.remarks.len();
    let mut unable = 0;
    for (i, load) in desk.loads().iter().enumerate() {
        let (Some(batched), Some(discharged)) = (&load.batched, &load.discharged) else {
            unable += 1;
            continue;
        };
        let (from, to) = (minute(load.date.value, batched.value), minute(load.date.value, discharged.value));
        let next_day = to < from;
        let took = if next_day { to + super::MINUTES_OF_DAY - from } else { to - from };
        if Decimal::from(took) <= limit.value {
            continue;
        }
        let ledger = desk.ground.line.ledger;
        let columns = ledger.load_columns.minutes;
        let (Some(start), Some(end)) = (ledger.load_cell(i, columns[0]), ledger.load_cell(i, columns[2])) else {
            continue;
        };
        let mut expr: Expr = end - start;
        if next_day {
            expr = expr + desk.day();
        }
        let value = desk.figure((i, "batching to discharge"), "t", (Unit::Minute, 0), expr);
        let bound = desk.limit(limit, "longest time from batching to discharge");
        let past = if next_day { ", past midnight" } else { "" };
        let message = format!(
            "ticket {} was batched at {} and discharged at {}{past}, {} later; the contract's limit is {}",
            load.ticket.value,
            batched.value.format("%H:%M"),
            discharged.value.format("%H:%M"),
            desk.written(value),
            limit.written
        );
        let words = "discharged later than the limit after batching".to_string();
        let remark =
            TicketRemark { code: Code::DischargeLate, loads: vec![i], words, value: Some(value), limit: Some(bound) };
        over(
            desk,
            remark,
            message,
            "see the inspector's note on the load; if the limit was waived for it, say so in contract.toml",
        );
    }
    desk.checked("time from batching to discharge", &limit.written, (desk.loads().len() - unable, unable), before);
}

fn turns(desk: &mut Desk<'_, '_>, limit: &Entered) {
    let before = desk.audit.remarks.len();
    let mut unable = 0;
    for (i, load) in desk.loads().iter().enumerate() {
        let Some(turns) = &load.revolutions else {
            unable += 1;
            continue;
        };
        if turns.value <= limit.value {
            continue;
        }
        let column = desk.ground.line.ledger.load_columns.revolutions;
        let Some(cell) = desk.ground.line.ledger.load_cell(i, column) else { continue };
        let value = desk.figure((i, "turns of the drum"), "n", (Unit::One, 0), cell.into());
        let bound = desk.limit(limit, "most turns of the drum");
        let message = format!(
            "the drum of ticket {} had turned {} times at discharge; the contract's limit is {}",
            load.ticket.value,
            desk.written(value),
            limit.written
        );
        let words = "more turns of the drum than the limit".to_string();
        let remark =
            TicketRemark { code: Code::RevolutionsOver, loads: vec![i], words, value: Some(value), limit: Some(bound) };
        over(
            desk,
            remark,
            message,
            "see the inspector's note on the load; if the limit was waived for it, say so in contract.toml",
        );
    }
    desk.checked("turns of the drum", &limit.written, (desk.loads().len() - unable, unable), before);
}

//! Gaps in ticket numbers, of plants whose tickets the contract says are numbered through for it alone.
//!
//! A ticket that stands on a row which became no record (void, set aside, refused) is no gap.

use std::collections::{BTreeMap, BTreeSet};

use super::{Desk, TicketRemark};
use crate::finding::Code;
use crate::intake::UnusedRow;
use crate::line::folded;

/// Letters in front of a number, and the number.
type Numbered = (String, u64);

pub(super) fn check(desk: &mut Desk<'_, '_>, unused: &[UnusedRow]) {
    let plants = desk.ground.contract.tickets.as_ref().map(|t| t.numbered.clone()).unwrap_or_default();
    if plants.is_empty() {
        desk.audit.unlimited.push("plants whose tickets are numbered through");
        return;
    }
    let before = desk.audit.remarks.len();
    let seen: BTreeSet<Numbered> = unused.iter().flat_map(|row| &row.cells).filter_map(|cell| numbered(cell)).collect();
    let (mut checked, mut unable) = (0, 0);
    for plant in &plants {
        let mut tickets: BTreeMap<Numbered, usize> = BTreeMap::new();
        for (i, load) in desk.loads().iter().enumerate() {
            if load.plant.as_ref().is_none_or(|p| folded(&p.value) != folded(plant)) {
                continue;
            }
            match numbered(&load.ticket.value) {
                Some(number) => {
                    checked += 1;
                    tickets.insert(number, i);
                }
                None => unable += 1,
            }
        }
        let tickets: Vec<(Numbered, usize)> = tickets.into_iter().collect();
        for pair in tickets.windows(2) {
            gap(desk, plant, &pair[0], &pair[1], &seen);
        }
    }
    desk.checked("gaps in ticket numbers", &plants.join(", "), (checked, unable), before);
}

/// `B-0417` as its letters and its number.
fn numbered(ticket: &str) -> Option<Numbered> {
    let ticket = ticket.trim();
    let digits = ticket.len() - ticket.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let (front, number) = ticket.split_at(ticket.len() - digits);
    Some((front.to_lowercase(), number.parse().ok()?))
}

fn gap(
    desk: &mut Desk<'_, '_>,
    plant: &str,
    ((front, first), before): &(Numbered, usize),
    ((other, next), after): &(Numbered, usize),
    seen: &BTreeSet<Numbered>,
) {
    if front != other || next - first < 2 {
        return;
    }
    let accounted = seen.range((front.clone(), first + 1)..(front.clone(), *next)).count();
    let missing = usize::try_from(next - first - 1).unwrap_or(usize::MAX).saturating_sub(accounted);
    if missing == 0 {
        return;
    }
    let message = format!(
        "between tickets {} and {} of {plant}, {missing} number{} {} on no sheet",
        desk.ticket(*before),
        desk.ticket(*after),
        if missing == 1 { "" } else { "s" },
        if missing == 1 { "stands" } else { "stand" }
    );
    let words = format!("{missing} ticket numbers of {plant} missing before this one");
    let remark = TicketRemark { code: Code::TicketGap, loads: vec![*after, *before], words, value: None, limit: None };
    desk.remark(remark, message, "ask the plant for the tickets; a void one belongs into field/ too, marked void");
}

//! One load on two tickets: the same truck, batched at the same time on the same day with the same volume.
//!
//! Plants may number their trucks alike, so that over two plants the time of discharge must be the same too. The same ticket
//! twice is found when the sheets are read.

use std::collections::BTreeMap;

use super::{Desk, TicketRemark, named};
use crate::figure::sum;
use crate::finding::Code;
use crate::line::folded;

pub(super) fn check(desk: &mut Desk<'_, '_>) {
    let before = desk.audit.remarks.len();
    let (mut groups, mut unable) = (BTreeMap::<_, Vec<usize>>::new(), 0);
    for (i, load) in desk.loads().iter().enumerate() {
        match (&load.truck, &load.batched) {
            (Some(truck), Some(batched)) => {
                let key = (load.date.value, folded(&truck.value), batched.value, load.volume.value.normalize());
                groups.entry(key).or_default().push(i);
            }
            _ => unable += 1,
        }
    }
    for group in groups.into_values().filter(|group| group.len() > 1) {
        remark(desk, &group);
    }
    desk.checked("one load on two tickets", "", (desk.loads().len() - unable, unable), before);
}

/// Whether two loads that are alike are one.
fn same(desk: &Desk<'_, '_>, a: usize, b: usize) -> bool {
    let (a, b) = (desk.load(a), desk.load(b));
    let plants = match (&a.plant, &b.plant) {
        (Some(a), Some(b)) => folded(&a.value) == folded(&b.value),
        _ => true,
    };
    plants || matches!((&a.discharged, &b.discharged), (Some(a), Some(b)) if a.value == b.value)
}

fn remark(desk: &mut Desk<'_, '_>, group: &[usize]) {
    let Some((&first, others)) = group.split_first() else { return };
    let again: Vec<usize> = others.iter().copied().filter(|&other| same(desk, first, other)).collect();
    if again.is_empty() {
        return;
    }
    let volumes: Vec<_> = again.iter().map(|&i| desk.ground.line.ledger.load_volume(i)).collect();
    let unit = desk.ground.contract.system.volume();
    let value = desk.figure((first, "counted again"), "V", (unit, 2), sum(volumes));
    let worth = desk.worth(first, value);
    let load = desk.load(first);
    let loads: Vec<usize> = std::iter::once(first).chain(again).collect();
    let names: Vec<&str> = loads.iter().map(|&i| desk.ticket(i)).collect();
    let truck = load.truck.as_ref().map_or("", |t| &*t.value);
    let at = load.batched.as_ref().map_or_else(String::new, |t| t.value.format("%H:%M").to_string());
    let message = format!(
        "tickets {} say the same load: truck {truck}, batched at {at} on {}, {} {unit}; {} are counted again{worth}",
        named(&names),
        load.date.value,
        crate::units::plain(load.volume.value),
        desk.written(value)
    );
    let words = format!("same truck {truck} and time {at} on tickets {}", named(&names));
    let remark = TicketRemark { code: Code::LoadTwice, loads, words, value: Some(value), limit: None };
    desk.remark(
        remark,
        message,
        "see which ticket is the load's, and set the other aside with a reason in contract.toml",
    );
}

//! Loads batched outside the working day of the contract. A day whose last time is before its first passes midnight.

use chrono::NaiveTime;

use super::{Desk, TicketRemark};
use crate::finding::Code;

pub(super) fn check(desk: &mut Desk<'_, '_>) {
    let day = desk.ground.contract.tickets.as_ref().map(|t| t.day).unwrap_or_default();
    if day == (None, None) {
        desk.audit.unlimited.push("working day");
        return;
    }
    let before = desk.audit.remarks.len();
    let written = |time: Option<NaiveTime>| time.map(|t| t.format("%H:%M").to_string());
    let limit = match (written(day.0), written(day.1)) {
        (Some(first), Some(last)) => format!("{first} to {last}"),
        (Some(first), None) => format!("from {first}"),
        (_, last) => format!("until {}", last.unwrap_or_default()),
    };
    let mut unable = 0;
    for (i, load) in desk.loads().iter().enumerate() {
        let Some(batched) = &load.batched else {
            unable += 1;
            continue;
        };
        if is_within(batched.value, day) {
            continue;
        }
        let at = batched.value.format("%H:%M");
        let message = format!(
            "ticket {} was batched at {at} on {}, outside the contract's working day, {limit}",
            load.ticket.value, load.date.value
        );
        let words = format!("batched at {at}, outside the working day");
        let remark = TicketRemark { code: Code::LoadHours, loads: vec![i], words, value: None, limit: None };
        desk.remark(
            remark,
            message,
            "see whether the time is read right (AM, PM), and whether anyone was placing then",
        );
    }
    desk.checked("working day", &limit, (desk.loads().len() - unable, unable), before);
}

fn is_within(at: NaiveTime, (first, last): (Option<NaiveTime>, Option<NaiveTime>)) -> bool {
    let (after, before) = (first.is_none_or(|first| first <= at), last.is_none_or(|last| at <= last));
    match (first, last) {
        (Some(first), Some(last)) if last < first => after || before,
        _ => after && before,
    }
}

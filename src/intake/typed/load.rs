//! A truckload: ticket, day, volume, and how it ended.

use super::{VOID, begins, first_word};
use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::record::{Load, Outcome};
use crate::intake::row::Row;
use crate::units::Unit;

/// Words for a load that went into the work.
const PLACED: &[&str] = &["accepted", "accept", "acc", "ok", "okay", "placed", "good", "used", "yes", "y"];
/// Words for a load that was refused as a whole.
const REJECTED: &[&str] = &["rejected", "reject", "rej", "refused"];

pub(super) fn read(row: &mut Row<'_>) -> Option<Load> {
    let ticket = row.need(Field::Ticket, Row::text);
    let date = row.need(Field::Date, Row::date);
    let batched = row.time(Field::Batched);
    let arrived = row.time(Field::Arrived);
    let discharged = row.time(Field::Discharged);
    let plant = row.text(Field::Plant);
    let truck = row.text(Field::Truck);
    let mix = row.text(Field::Mix);
    let volume = row.need(Field::Volume, |r, f| r.measure(f, Measure::Volume));
    let placement = row.text(Field::Placement);
    let lane = row.first_lane(Field::Lane);
    let wasted = row.measure(Field::Wasted, Measure::Volume);
    let returned = row.measure(Field::Returned, Measure::Volume);
    let washed = row.measure(Field::Washed, Measure::Volume);
    let elsewhere = row.measure(Field::UsedElsewhere, Measure::Volume);
    let water = row.measure(Field::Water, Measure::Liquid);
    let withheld = row.measure(Field::Withheld, Measure::Liquid);
    let revolutions = row.bare(Field::Revolutions, Unit::One);
    let remarks = row.text(Field::Remarks);
    let outcome = outcome(row, remarks.as_ref().map(|r| &*r.value))?;
    Some(Load {
        ticket: ticket?,
        date: date?,
        batched,
        arrived,
        discharged,
        plant,
        truck,
        mix,
        volume: volume?,
        placement,
        lane,
        outcome,
        wasted,
        returned,
        washed,
        elsewhere,
        water,
        withheld,
        revolutions,
        remarks,
    })
}

/// Placed, unless the status or the beginning of the remarks says that it was rejected.
fn outcome(row: &mut Row<'_>, remarks: Option<&str>) -> Option<Outcome> {
    let remarked = remarks.is_some_and(|r| begins(r, REJECTED));
    let Some(found) = row.find(Field::Status) else {
        return Some(if remarked { Outcome::Rejected } else { Outcome::Placed });
    };
    let text = row.worded(&found)?;
    let word = first_word(&text);
    if REJECTED.contains(&word.as_str()) {
        return Some(Outcome::Rejected);
    }
    if !PLACED.contains(&word.as_str()) {
        let what = format!("is not a status this program knows ({}; {}; {})", PLACED[0], REJECTED[0], VOID[0]);
        row.refuse(
            Code::CellUnreadable,
            &found,
            &what,
            "write accepted, ok or placed; rejected or refused; void or cancelled",
        );
        return None;
    }
    if remarked {
        row.refuse(
            Code::CellUnreadable,
            &found,
            "says one thing and the remarks another (rejected)",
            "settle which holds",
        );
        return None;
    }
    Some(Outcome::Placed)
}

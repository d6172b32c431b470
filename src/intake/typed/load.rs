//! A truckload: ticket, day, volume, and how it ended.

use rust_decimal::Decimal;

use super::{VOID, batch, begins, first_word};
use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::raw::RawValue;
use crate::intake::record::{Batch, Load, Outcome, Read};
use crate::intake::row::Row;
use crate::intake::tickets::{each_ticket, ticket_run};
use crate::intake::wording::fold;
use crate::units::Unit;

/// Words for a load that went into the work.
const PLACED: &[&str] = &["accepted", "accept", "acc", "ok", "okay", "placed", "good", "used", "yes", "y"];
/// Words for a load that was refused as a whole.
const REJECTED: &[&str] = &["rejected", "reject", "rej", "refused"];

/// Words for no water.
const NO_WATER: &[&str] = &["none", "nil", "no", "n", "na", "zero"];

/// A load, and the batch weights that stand beside it.
pub(super) fn read(row: &mut Row<'_>) -> Option<(Load, Option<Batch>)> {
    let ticket = row.need(Field::Ticket, one_ticket);
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
    let weights = batch::weights(row);
    let added = if batch::is_plant_water(row) { None } else { water(row, Field::Water) };
    let withheld = water(row, Field::Withheld);
    let revolutions = row.bare(Field::Revolutions, Unit::One);
    let remarks = row.text(Field::Remarks);
    let outcome = outcome(row, remarks.as_ref().map(|r| &*r.value))?;
    let load = Load {
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
        water: added,
        withheld,
        revolutions,
        remarks,
    };
    let batch = weights.of_load(&load);
    Some((load, batch))
}

/// The ticket of one load: the volume of each of several is not known.
pub(super) fn one_ticket(row: &mut Row<'_>, field: Field) -> Option<Read<Box<str>>> {
    let ticket = row.text(field)?;
    let each = each_ticket(&ticket.value);
    let what = if each.len() > 1 {
        format!("names {} tickets ({}), and the volume of each is not known", each.len(), each.join(", "))
    } else if let Some((first, last)) = ticket_run(&ticket.value) {
        format!("can be one ticket, or the tickets from {first} to {last}")
    } else {
        return Some(ticket);
    };
    let found = row.find(field)?;
    row.refuse(Code::CellUnreadable, &found, &what, "write one row for each load, with its own ticket and volume");
    None
}

/// Water in gallons or litres; a word for none, or a dash, is none.
fn water(row: &mut Row<'_>, field: Field) -> Option<Read<Decimal>> {
    let found = row.find(field)?;
    if let RawValue::Text(text) = found.value {
        let word = fold(text);
        if word.is_empty() || NO_WATER.contains(&word.as_str()) || word == "n a" {
            return None;
        }
    }
    row.measure(field, Measure::Liquid)
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

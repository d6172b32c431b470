//! A photograph or paper that is referred to: its number, day, and what it shows or is.

use super::placement::one_alignment;
use crate::intake::kind::Field;
use crate::intake::record::{Document, LaneId, Read};
use crate::intake::row::Row;
use crate::units::Station;

pub(super) fn read(row: &mut Row<'_>) -> Option<Document> {
    let number = row.need(Field::Number, Row::text);
    let date = row.need(Field::Date, Row::date);
    let (what, about) = (row.text(Field::What), row.text(Field::About));
    let lanes = if row.find(Field::Lane).is_some() { one_alignment(row, Field::Lane) } else { None };
    let lane = lanes.as_ref().and_then(|l| l.value.first().copied());
    let between = lane.and_then(|lane| between(row, lane));
    let by = row.text(Field::By);
    let remarks = row.text(Field::Remarks);
    Some(Document { number: number?, date: date?, what, about, lanes, between, by, remarks })
}

/// Both ends of what it shows, or its one station.
fn between(row: &mut Row<'_>, lane: LaneId) -> Option<(Read<Station>, Read<Station>)> {
    if row.find(Field::Station).is_some() {
        let (station, _) = row.station(Field::Station, lane)?;
        return Some((station.clone(), station));
    }
    let said = row.find(Field::From).is_some() || row.find(Field::Stations).is_some();
    if said { super::placement::ends(row, lane, "so it shows nothing") } else { None }
}

//! A reading of a temperature logger: which, day, time, temperature, and where it lies.

use crate::intake::kind::{Field, Measure};
use crate::intake::record::Logged;
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Logged> {
    let sensor = row.need(Field::Sensor, Row::text);
    let (date, time) = if row.table.column(Field::Moment).is_some() {
        (row.need(Field::Moment, Row::date), row.need(Field::Moment, Row::time_of_moment))
    } else {
        (row.need(Field::Date, Row::date), row.need(Field::Time, Row::time))
    };
    let temperature = row.need(Field::Temperature, |r, f| r.measure(f, Measure::Temperature));
    let lane = row.first_lane(Field::Lane);
    let station = lane.as_ref().and_then(|l| row.station(Field::Station, l.value)).map(|s| s.0);
    let (placement, mix) = (row.text(Field::Placement), row.text(Field::Mix));
    let remarks = row.text(Field::Remarks);
    Some(Logged {
        sensor: sensor?,
        date: date?,
        time: time?,
        temperature: temperature?,
        lane,
        station,
        placement,
        mix,
        remarks,
    })
}

//! Weather at a time of day: day, air temperature, and at least humidity or wind.

use crate::intake::kind::{Field, Measure};
use crate::intake::record::Weather;
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Weather> {
    let date = row.need(Field::Date, Row::date);
    let time = row.time(Field::Time);
    let lane = row.first_lane(Field::Lane);
    let station = lane.as_ref().and_then(|l| row.station(Field::Station, l.value)).map(|s| s.0);
    let air = row.need(Field::AirTemperature, |r, f| r.measure(f, Measure::Temperature));
    let humidity = row.measure(Field::Humidity, Measure::Percent);
    let wind = row.measure(Field::Wind, Measure::Speed);
    let concrete = row.measure(Field::Temperature, Measure::Temperature);
    let evaporation = row.measure(Field::Evaporation, Measure::Evaporation);
    let by = row.text(Field::By);
    let remarks = row.text(Field::Remarks);
    air.as_ref()?;
    Some(Weather { date: date?, time, lane, station, air, humidity, wind, concrete, evaporation, by, remarks })
}

//! A depth probe: day, lane, station and depth.

use crate::intake::kind::{Field, Measure};
use crate::intake::record::Probe;
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Probe> {
    let number = row.text(Field::Number);
    let date = row.need(Field::Date, Row::date);
    let lane = row.need(Field::Lane, Row::lane);
    let station = lane.as_ref().and_then(|l| row.need(Field::Station, |r, f| r.station(f, l.value)));
    let depth = row.need(Field::Depth, |r, f| r.measure(f, Measure::Depth));
    let remarks = row.text(Field::Remarks);
    let (lane, (station, _)) = (lane?, station?);
    let number = number.unwrap_or_else(|| {
        let name = crate::intake::lane::lane_names(row.words.setting, &[lane.value]);
        let label = row.alignment(lane.value).map_or_else(String::new, |a| a.write(station.value.label));
        super::stand_in(row, &format!("{name} {label}"))
    });
    Some(Probe { number, date: date?, lane, station, depth: depth?, remarks })
}

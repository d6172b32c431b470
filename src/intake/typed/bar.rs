//! Where a dowel or tie bar lies: day, lane, joint, and at least one of depth, shift, tilt and turn.

use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::lane::lane_names;
use crate::intake::record::{Bar, BarCheck};
use crate::intake::row::Row;
use crate::intake::stepped;

const MEASURES: [Field; 4] = [Field::Depth, Field::Side, Field::Tilt, Field::Skew];

pub(super) fn read(row: &mut Row<'_>) -> Option<BarCheck> {
    let number = row.text(Field::Number);
    let date = row.need(Field::Date, Row::date);
    let lane = row.need(Field::Lane, Row::lane);
    let station = lane.as_ref().and_then(|l| row.need(Field::Station, |r, f| r.station(f, l.value)));
    let bar = bar(row);
    let place = row.text(Field::Place);
    let before = row.faults.len() + row.unitless.len();
    let depth = row.measure(Field::Depth, Measure::Depth);
    let side = row.measure(Field::Side, Measure::SignedDepth);
    let tilt = row.measure(Field::Tilt, Measure::SignedDepth);
    let skew = row.measure(Field::Skew, Measure::SignedDepth);
    let none = [&depth, &side, &tilt, &skew].iter().all(|m| m.is_none());
    if none && row.faults.len() + row.unitless.len() == before {
        let there: Vec<Field> = MEASURES.into_iter().filter(|f| row.table.column(*f).is_some()).collect();
        row.missing(&there);
        return None;
    }
    let remarks = row.text(Field::Remarks);
    let (date, lane, (station, _), bar) = (date?, lane?, station?, bar?);
    let number = number.unwrap_or_else(|| {
        let name = lane_names(row.words.setting, &[lane.value]);
        let label = row.alignment(lane.value).map_or_else(String::new, |a| a.write(station.value.label));
        let place = place.as_ref().map_or_else(String::new, |p| format!(" {}", p.value));
        super::stand_in(row, &format!("{} {name} {label}{place}", bar.word()))
    });
    Some(BarCheck { number, date, lane, station, bar, place, depth, side, tilt, skew, remarks })
}

/// Dowel or tie bar, by the row or by the table.
fn bar(row: &mut Row<'_>) -> Option<Bar> {
    let Some(found) = row.find(Field::Bar) else {
        if row.table.bar.is_none() {
            row.missing(&[Field::Bar]);
        }
        return row.table.bar;
    };
    let text = row.worded(&found)?;
    let bar = stepped::bar(&text);
    if bar.is_none() {
        row.refuse(Code::CellUnreadable, &found, "is no bar this program knows", "write dowel or tie bar");
    }
    bar
}

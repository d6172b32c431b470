//! A drilled core: number, day, lane, station and length readings.

use rust_decimal::Decimal;

use super::first_word;
use crate::finding::Code;
use crate::intake::kind::{Field, Holds, Measure};
use crate::intake::record::{Core, Read};
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Core> {
    let number = row.need(Field::Number, Row::text);
    let date = row.need(Field::Date, Row::date);
    let lane = row.need(Field::Lane, Row::lane);
    let station = lane.as_ref().and_then(|l| row.need(Field::Station, |r, f| r.station(f, l.value)));
    let offset = row.text(Field::Offset);
    let readings = readings(row);
    let remarks = row.text(Field::Remarks);
    let exploratory = exploratory(row, remarks.as_ref().map(|r| &*r.value))?;
    let (station, behind) = station?;
    let offset = offset.or_else(|| behind.map(|text| Read { value: text, at: station.at, typed: None }));
    Some(Core { number: number?, date: date?, lane: lane?, station, offset, readings: readings?, exploratory, remarks })
}

/// All readings of a core, or its average where the sheet has only that.
fn readings(row: &mut Row<'_>) -> Option<Vec<Read<Decimal>>> {
    let own = row.unit_column().ok()?;
    let before = row.faults.len() + row.unitless.len();
    let mut readings = Vec::new();
    let table = row.table;
    for column in table.heading.columns.iter().filter(|c| c.holds == Holds::Readings || c.field == Field::Average) {
        if let Ok(Some(found)) = row.in_column(column) {
            readings.extend(row.measured(&found, Measure::Depth, own));
        }
    }
    if readings.is_empty() && row.faults.len() + row.unitless.len() == before {
        row.missing(&[if table.column(Field::Length).is_some() { Field::Length } else { Field::Average }]);
        return None;
    }
    (!readings.is_empty()).then_some(readings)
}

/// Exploratory where a column or the remarks say so.
fn exploratory(row: &mut Row<'_>, remarks: Option<&str>) -> Option<bool> {
    let remarked = remarks.is_some_and(|r| r.to_lowercase().contains("exploratory"));
    let Some(found) = row.find(Field::Purpose) else { return Some(remarked) };
    let text = row.worded(&found)?;
    match first_word(&text).as_str() {
        "exploratory" | "exp" | "expl" | "yes" | "y" | "x" => Some(true),
        "no" | "n" | "lot" | "acceptance" | "regular" | "random" | "standard" | "initial" | "primary" | "original"
        | "" => Some(remarked),
        _ => {
            let what = "does not say whether the core is exploratory";
            row.refuse(Code::CellUnreadable, &found, what, "write exploratory or acceptance");
            None
        }
    }
}

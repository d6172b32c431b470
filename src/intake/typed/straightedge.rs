//! A straightedge deviation: day, lane, station, how much, and whether the straightedge lay across the lane.

use super::first_word;
use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::record::Straightedge;
use crate::intake::row::Row;
use crate::intake::wording::fold;

pub(super) fn read(row: &mut Row<'_>) -> Option<Straightedge> {
    let number = row.text(Field::Number);
    let date = row.need(Field::Date, Row::date);
    let lane = row.need(Field::Lane, Row::lane);
    let station = lane.as_ref().and_then(|l| row.need(Field::Station, |r, f| r.station(f, l.value)));
    let deviation = row.need(Field::Deviation, |r, f| r.measure(f, Measure::Deviation));
    let across = across(row);
    let remarks = row.text(Field::Remarks);
    let (lane, (station, _)) = (lane?, station?);
    let number = number.unwrap_or_else(|| {
        let name = crate::intake::lane::lane_names(row.words.setting, &[lane.value]);
        let label = row.alignment(lane.value).map_or_else(String::new, |a| a.write(station.value.label));
        super::stand_in(row, &format!("{name} {label}"))
    });
    Some(Straightedge { number, date: date?, lane, station, deviation: deviation?, across: across?, remarks })
}

/// Across the lane where the row or the sheet says so; else along it.
fn across(row: &mut Row<'_>) -> Option<bool> {
    let Some(found) = row.find(Field::Direction) else { return Some(row.table.across) };
    let text = row.worded(&found)?;
    let heading = fold(found.heading);
    let heads = |word: &str| heading.split(' ').any(|w| w == word);
    let one = heads("transverse") != heads("longitudinal");
    match first_word(&text).as_str() {
        "transverse" | "transversely" | "trans" | "t" | "across" | "crosswise" => Some(true),
        "longitudinal" | "longitudinally" | "long" | "l" | "along" | "lengthwise" | "parallel" => Some(false),
        "yes" | "y" | "x" if one => Some(heads("transverse")),
        "no" | "n" if one => Some(!heads("transverse")),
        _ => {
            let what = "does not say how the straightedge lay";
            row.refuse(Code::CellUnreadable, &found, what, "write transverse or longitudinal");
            None
        }
    }
}

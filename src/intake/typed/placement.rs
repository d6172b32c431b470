//! A placement: day, lanes, and the stretch from one station to another.

use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::record::{LaneId, Placement, Read};
use crate::intake::row::Row;
use crate::units::Station;

pub(super) fn read(row: &mut Row<'_>) -> Option<Placement> {
    let number = row.text(Field::Number);
    let date = row.need(Field::Date, Row::date);
    let lanes = row.need(Field::Lane, one_alignment);
    let ends = lanes.as_ref().and_then(|l| l.value.first()).and_then(|lane| ends(row, *lane, "so nothing was placed"));
    let width = row.measure(Field::Width, Measure::Length);
    let mix = row.text(Field::Mix);
    let crew = row.text(Field::Crew);
    let times = (row.time(Field::Start), row.time(Field::Finish));
    let (by, checked_by) = (row.text(Field::By), row.text(Field::CheckedBy));
    let remarks = row.text(Field::Remarks);
    let (date, lanes, (from, to)) = (date?, lanes?, ends?);
    let number = number.unwrap_or_else(|| super::stand_in(row, &format!("{}, row {}", date.value, row.line.row + 1)));
    Some(Placement { number, date, lanes, from, to, width, mix, crew, times, by, checked_by, remarks })
}

/// Lanes placed together lie on one alignment.
pub(super) fn one_alignment(row: &mut Row<'_>, field: Field) -> Option<Read<Vec<LaneId>>> {
    let lanes = row.lanes(field)?;
    let setting = row.words.setting;
    let of = |l: &LaneId| setting.lanes.get(usize::from(l.0)).map(|w| w.alignment);
    let first = lanes.value.first().and_then(of);
    if lanes.value.iter().any(|l| of(l) != first) {
        let found = row.find(field)?;
        row.refuse(
            Code::LaneUnknown,
            &found,
            "names lanes of more than one alignment, whose stations are not the same",
            "write one row for each alignment",
        );
        return None;
    }
    Some(lanes)
}

/// From and to, in two cells or in one; `so` is what it means that they are the same.
pub(super) fn ends(row: &mut Row<'_>, lane: LaneId, so: &str) -> Option<(Read<Station>, Read<Station>)> {
    let apart = row.table.column(Field::From).is_some() && row.table.column(Field::To).is_some();
    let (from, to) = if apart {
        let from = row.need(Field::From, |r, f| r.station(f, lane)).map(|s| s.0);
        let to = row.need(Field::To, |r, f| r.station(f, lane)).map(|s| s.0);
        (from?, to?)
    } else {
        row.need(Field::Stations, |r, f| r.stretch(f, lane))?
    };
    if from.value.along == to.value.along {
        let found = row.find(if apart { Field::To } else { Field::Stations })?;
        row.refuse(Code::CellUnreadable, &found, &format!("ends where it begins, {so}"), "correct the stations");
        return None;
    }
    Some((from, to))
}

//! A density and moisture test: day, lanes, station, which layer, and at least a dry density or a wet one with its moisture.

use super::placement::one_alignment;
use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::record::{Density, LaneId, Read, Surface};
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Density> {
    let number = row.text(Field::Number);
    let date = row.need(Field::Date, Row::date);
    let lanes = lanes(row);
    let lane = lanes.as_ref().and_then(|l| l.value.first().copied());
    let station = lane.and_then(|lane| row.need(Field::Station, |r, f| r.station(f, lane)));
    let offset = row.text(Field::Offset);
    let layer = super::level::surface(row).filter(|s| is_tested(row, *s));
    let (material, lift, method) = (row.text(Field::Material), row.text(Field::Lift), row.text(Field::Method));
    let before = row.faults.len() + row.unitless.len();
    let wet = row.measure(Field::Wet, Measure::Density);
    let dry = row.measure(Field::Dry, Measure::Density);
    let moisture = row.measure(Field::Moisture, Measure::Percent);
    if dry.is_none() && (wet.is_none() || moisture.is_none()) && row.faults.len() + row.unitless.len() == before {
        row.missing(&[Field::Dry]);
    }
    let maximum = row.measure(Field::Maximum, Measure::Density);
    let optimum = row.measure(Field::Optimum, Measure::Percent);
    let percent = row.measure(Field::PercentOf, Measure::Percent);
    let retest_of = row.text(Field::RetestOf);
    let remarks = row.text(Field::Remarks);
    let (date, lanes, (station, behind), layer) = (date?, lanes?, station?, layer?);
    let offset = offset.or_else(|| behind.map(|b| Read { value: b, at: station.at, typed: None }));
    let number = number.unwrap_or_else(|| super::stand_in(row, &format!("{}, row {}", date.value, row.line.row + 1)));
    Some(Density {
        number,
        date,
        lanes,
        station,
        offset,
        layer,
        material,
        lift,
        method,
        wet,
        dry,
        moisture,
        maximum,
        optimum,
        percent,
        retest_of,
        remarks,
    })
}

/// The lanes of its cell; where the sheet has none and the contract has one alignment only, all of them: grade is tested
/// before there are lanes.
fn lanes(row: &mut Row<'_>) -> Option<Read<Vec<LaneId>>> {
    if row.find(Field::Lane).is_some() || row.words.setting.alignments.len() != 1 {
        return row.need(Field::Lane, one_alignment);
    }
    let all = (0..row.words.setting.lanes.len()).filter_map(|l| u16::try_from(l).ok()).map(LaneId).collect();
    Some(Read { value: all, at: row.own_cell(), typed: Some("not stated: all lanes of the one alignment".into()) })
}

/// Concrete has no such test.
fn is_tested(row: &mut Row<'_>, layer: Surface) -> bool {
    if layer != Surface::Top {
        return true;
    }
    if let Some(found) = row.find(Field::Surface) {
        row.refuse(Code::CellUnreadable, &found, "is not tested for compaction", "write subgrade or base");
    } else {
        row.missing(&[Field::Surface]);
    }
    false
}

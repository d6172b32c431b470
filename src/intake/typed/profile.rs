//! The smoothness of a segment: day, lane, both ends, and an index for each wheel path or pass.

use super::placement::ends;
use crate::finding::Code;
use crate::intake::kind::{Field, Holds, Measure};
use crate::intake::record::{Profile, RideIndex};
use crate::intake::ride;
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Profile> {
    let number = row.text(Field::Number);
    let date = row.need(Field::Date, Row::date);
    let lane = row.need(Field::Lane, Row::lane);
    let ends = lane.as_ref().and_then(|l| ends(row, l.value, "so it has no length"));
    let readings = super::readings(row, (Holds::Passes, Field::Reading), Measure::Smoothness);
    let measure = index(row);
    let remarks = row.text(Field::Remarks);
    let (lane, (from, to)) = (lane?, ends?);
    let number = number.unwrap_or_else(|| {
        let name = crate::intake::lane::lane_names(row.words.setting, &[lane.value]);
        let painted = |s| row.alignment(lane.value).map_or_else(String::new, |a| a.write(s));
        super::stand_in(row, &format!("{name} {} to {}", painted(from.value.label), painted(to.value.label)))
    });
    Some(Profile { number, date: date?, lane, from, to, readings: readings?, measure: measure?, remarks })
}

/// Roughness or profile index, by the row or by the table.
fn index(row: &mut Row<'_>) -> Option<RideIndex> {
    let Some(found) = row.find(Field::Index) else {
        if row.table.ride.is_none() {
            row.missing(&[Field::Index]);
        }
        return row.table.ride;
    };
    let text = row.worded(&found)?;
    let index = ride::index(&text);
    if index.is_none() {
        let what = "is neither a roughness index nor a profile index";
        row.refuse(Code::CellUnreadable, &found, what, "write IRI, MRI or PI");
    }
    index
}

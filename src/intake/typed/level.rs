//! A surveyed level: day, lane, station, which surface, its elevation by design and as measured.

use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::levelled;
use crate::intake::record::{Level, Surface};
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Level> {
    let number = row.text(Field::Number);
    let date = row.need(Field::Date, Row::date);
    let lane = row.need(Field::Lane, Row::lane);
    let station = lane.as_ref().and_then(|l| row.need(Field::Station, |r, f| r.station(f, l.value)));
    let offset = row.text(Field::Offset);
    let surface = surface(row);
    let design = row.measure(Field::Design, Measure::Elevation);
    let measured = row.need(Field::Measured, |r, f| r.measure(f, Measure::Elevation));
    let remarks = row.text(Field::Remarks);
    let (lane, (station, _), surface) = (lane?, station?, surface?);
    let number = number.unwrap_or_else(|| {
        let name = crate::intake::lane::lane_names(row.words.setting, &[lane.value]);
        let label = row.alignment(lane.value).map_or_else(String::new, |a| a.write(station.value.label));
        let at = offset.as_ref().map(|o| format!(" {}", o.value)).unwrap_or_default();
        super::stand_in(row, &format!("{} {name} {label}{at}", surface.word()))
    });
    Some(Level { number, date: date?, lane, station, offset, surface, design, measured: measured?, remarks })
}

/// Which surface, by the row or by the table.
pub(super) fn surface(row: &mut Row<'_>) -> Option<Surface> {
    let Some(found) = row.find(Field::Surface) else {
        if row.table.surface.is_none() {
            row.missing(&[Field::Surface]);
        }
        return row.table.surface;
    };
    let text = row.worded(&found)?;
    let surface = levelled::surface(&text);
    if surface.is_none() {
        let what = "is no surface this program knows (subgrade, base, pavement)";
        row.refuse(Code::CellUnreadable, &found, what, "write subgrade, base or pavement");
    }
    surface
}

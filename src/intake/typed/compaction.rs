//! A laboratory's compaction curve: material, maximum dry density, optimum moisture.

use crate::intake::kind::{Field, Measure};
use crate::intake::record::Compaction;
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Compaction> {
    let material = row.need(Field::Material, Row::text);
    let maximum = row.need(Field::Maximum, |r, f| r.measure(f, Measure::Density));
    let optimum = row.need(Field::Optimum, |r, f| r.measure(f, Measure::Percent));
    let gravity = row.measure(Field::Gravity, Measure::Ratio);
    let date = row.date(Field::Date);
    let remarks = row.text(Field::Remarks);
    Some(Compaction { material: material?, maximum: maximum?, optimum: optimum?, gravity, date, remarks })
}

//! A specimen of a mix's strength-maturity curve: strength, and maturity as a temperature-time factor or an equivalent age.

use crate::intake::kind::{Field, Measure};
use crate::intake::record::Calibrated;
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Calibrated> {
    let number = row.text(Field::Number);
    let date = row.date(Field::Date);
    let mix = row.text(Field::Mix);
    let before = row.faults.len() + row.unitless.len();
    let factor = row.measure(Field::Factor, Measure::Maturity);
    let age = row.measure(Field::EquivalentAge, Measure::Hours);
    if factor.is_none() && age.is_none() && row.faults.len() + row.unitless.len() == before {
        row.missing(&[if row.table.column(Field::Factor).is_some() { Field::Factor } else { Field::EquivalentAge }]);
    }
    let strength = row.need(Field::Strength, |r, f| r.measure(f, Measure::Strength));
    let remarks = row.text(Field::Remarks);
    let number = number.unwrap_or_else(|| {
        let mix = mix.as_ref().map_or("mix", |m| &m.value);
        super::stand_in(row, &format!("{mix}, row {}", row.line.row + 1))
    });
    Some(Calibrated { number, date, mix, factor, age, strength: strength?, remarks })
}

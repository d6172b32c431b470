//! Tests on fresh concrete: day, and at least one of slump, air, temperature, density and water-cement ratio.

use super::who::{Who, who};
use crate::intake::kind::{Field, Measure};
use crate::intake::record::Fresh;
use crate::intake::row::Row;

const TESTS: [Field; 5] = [Field::Slump, Field::Air, Field::Temperature, Field::Density, Field::WaterCement];

pub(super) fn read(row: &mut Row<'_>) -> Option<Fresh> {
    let number = row.text(Field::Number);
    let date = row.need(Field::Date, Row::date);
    let ticket = row.text(Field::Ticket);
    let placement = row.text(Field::Placement);
    let lane = row.first_lane(Field::Lane);
    let station = lane.as_ref().and_then(|l| row.station(Field::Station, l.value)).map(|s| s.0);
    let before = row.faults.len() + row.unitless.len();
    let slump = row.measure(Field::Slump, Measure::Depth);
    let air = row.measure(Field::Air, Measure::Percent);
    let temperature = row.measure(Field::Temperature, Measure::Temperature);
    let density = row.measure(Field::Density, Measure::Density);
    let water_cement = row.measure(Field::WaterCement, Measure::Ratio);
    let tests = [&slump, &air, &temperature, &density, &water_cement];
    let none = tests.iter().all(|t| t.is_none());
    if none && row.faults.len() + row.unitless.len() == before {
        let there: Vec<Field> = TESTS.into_iter().filter(|f| row.table.column(*f).is_some()).collect();
        row.missing(&there);
    }
    let remarks = row.text(Field::Remarks);
    let Who { taken_by, by, sampling, settles } = who(row, None);
    let date = date?;
    let number = number.unwrap_or_else(|| {
        let words = match &ticket {
            Some(ticket) => format!("ticket {}", ticket.value),
            None => format!("{}, row {}", date.value, row.line.row + 1),
        };
        super::stand_in(row, &words)
    });
    Some(Fresh {
        number,
        date,
        ticket,
        placement,
        lane,
        station,
        slump,
        air,
        temperature,
        density,
        water_cement,
        taken_by,
        by,
        sampling,
        settles,
        remarks,
    })
}

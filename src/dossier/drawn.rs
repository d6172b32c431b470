//! Drawn and taken: each location that was drawn, beside the core taken for it.

use super::layout::{figure, line, numbers, text, unit, words};
use super::{Finished, Row, Shown, Table};
use crate::draw::CoreDrawn;

/// Nothing where the contract does not draw, or nothing is placed yet.
pub(super) fn table(finished: Finished<'_>) -> Option<Table> {
    let rule = finished.contract.draw.as_ref().filter(|_| !finished.drawn.is_empty())?;
    let length = finished.contract.system.length();
    let within = rule.within_days.map_or_else(String::new, |days| {
        format!(" Due: {days} days after the lot's last placing; blank until it is wholly placed.")
    });
    let across = rule.tolerance_across.as_ref().map_or_else(
        || " Offsets are not compared.".to_string(),
        |most| format!(" Across the lane {} are allowed, where the sheet's offset can be read one way.", most.written),
    );
    Some(Table {
        id: "thickness-drawn".into(),
        title: "Drawn and taken".into(),
        columns: vec![
            words("lot", 26),
            words("drawn in lane", 8),
            words("at", 12),
            numbers("along", unit(length), 10),
            numbers(&format!("from {}", rule.offset_from.word()), unit(length), 8),
            words("core", 9),
            words("taken in lane", 8),
            words("at", 12),
            words("offset as typed", 12),
            numbers("ahead of drawn", unit(length), 10),
            words("drilled", 11),
            words("due", 11),
        ],
        rows: finished.drawn.iter().map(|one| row(finished, one)).collect(),
        note: format!(
            "Drawn with seed {}; 'slabtally draw' prints the numbers and how to draw them again. Along the line {} are \
             allowed.{across}{within}",
            rule.seed, rule.tolerance.written
        ),
    })
}

fn row(finished: Finished<'_>, one: &CoreDrawn) -> Row {
    let core = one.core.map(|core| &finished.intake.records.cores[core]);
    let drawn = one.drawn.as_ref();
    let day = |day: Option<chrono::NaiveDate>| day.map_or(Shown::Blank, Shown::Date);
    let taken = |what: &dyn Fn(&crate::intake::Core) -> String| text(core.map_or_else(String::new, what));
    line(vec![
        text(one.lot.clone()),
        text(drawn.map_or_else(String::new, |d| d.lane.clone())),
        text(drawn.map_or_else(String::new, |d| d.station.clone())),
        figure(drawn.map(|d| d.along)),
        figure(drawn.map(|d| d.offset)),
        taken(&|c| c.number.value.to_string()),
        taken(&|c| finished.contract.lane(c.lane.value).name.clone()),
        taken(&|c| finished.contract.station(c.lane.value, c.station.value)),
        taken(&|c| c.offset.as_ref().map_or_else(String::new, |o| o.value.to_string())),
        figure(one.off),
        day(core.map(|c| c.date.value)),
        day(one.due),
    ])
}

//! Opening: which stretch may be opened when by the records, driveway by driveway, and the strength behind it.

use super::super::layout::{figure, line, numbers, text, unit, words};
use super::super::{Block, Chart, ChartForm, Finished, Page, Row, Series, SeriesStyle, Shown, Table};
use super::{number_of, place};
use crate::works::{Curve, DriveLine, OpeningLine};

const CAUTION: &str = "Opening is decided by the licensed engineer under the contract and local code, and not by this table: it says \
from which day on the records bear out the named rule. Concrete opened too early is damaged out of sight and can hurt those who use it.";

pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let works = finished.works;
    let any = !(works.openings.is_empty() && works.loggers.is_empty() && works.curves.is_empty());
    let mut blocks = vec![Block::Caution(CAUTION.into())];
    if !works.openings.is_empty() {
        blocks.push(Block::Table(placements(finished)));
    }
    if !works.drives.is_empty() {
        blocks.push(Block::Table(driveways(finished)));
    }
    if !works.loggers.is_empty() {
        blocks.push(Block::Table(loggers(finished)));
    }
    blocks.extend(works.curves.iter().enumerate().flat_map(|(k, c)| curve(finished, k, c)));
    any.then_some(Page {
        id: "opening",
        title: "Opening",
        question: "Which stretch may be opened when by the records, and what is missing?",
        blocks,
    })
}

fn placements(finished: Finished<'_>) -> Table {
    let strength = finished.contract.system.strength();
    Table {
        id: "opening-placements".into(),
        title: format!("Opening by placement, as of {}", finished.through),
        columns: vec![
            words("placement", 10),
            words("lanes and stations", 34),
            words("placed", 11),
            words("old enough", 11),
            words("shown strong by", 20),
            words("on", 11),
            numbers("strength", unit(strength), 9),
            words("by the records from", 12),
            words("opened", 11),
            words("what is missing", 46),
        ],
        rows: finished.works.openings.iter().map(|o| placement_row(finished, o)).collect(),
        note: "Old enough: the day of placing plus the age that the rule asks. Opened: the first opening on record that touches it.".into(),
    }
}

fn placement_row(finished: Finished<'_>, opening: &OpeningLine) -> Row {
    let records = &finished.intake.records;
    let placed = &records.placements[opening.placement];
    let day = |day: Option<chrono::NaiveDate>| day.map_or(Shown::Blank, Shown::Date);
    let shown = opening.strong.as_ref().or(opening.best.as_ref());
    let opened = opening.opened.map(|w| records.works[w].date.value);
    let mut missing = opening.missing.clone();
    if opening.early {
        missing = ["OPENED BEFORE THE RECORDS BEAR IT OUT".to_string(), missing]
            .into_iter()
            .filter(|m| !m.is_empty())
            .collect::<Vec<_>>()
            .join("; ");
    }
    if let Some(closed) = opening.closed {
        missing = [missing, format!("closed again {}", records.works[closed].date.value)]
            .into_iter()
            .filter(|m| !m.is_empty())
            .collect::<Vec<_>>()
            .join("; ");
    }
    line(vec![
        text(placed.number.value.to_string()),
        text(crate::line::span(finished.contract, placed)),
        Shown::Date(placed.date.value),
        day(opening.old_enough),
        text(shown.map_or_else(String::new, |s| s.by.clone())),
        day(shown.map(|s| s.day)),
        figure(shown.map(|s| s.strength)),
        day(opening.may),
        day(opened),
        text(missing),
    ])
}

fn driveways(finished: Finished<'_>) -> Table {
    Table {
        id: "opening-driveways".into(),
        title: "Driveways and cross streets".into(),
        columns: vec![
            words("name", 20),
            words("lanes and stations", 34),
            words("placements", 20),
            words("by the records from", 12),
            words("opened", 11),
            words("what is missing", 60),
        ],
        rows: finished.works.drives.iter().map(|d| drive_row(finished, d)).collect(),
        note: "A driveway may be opened once all pavement under it may.".into(),
    }
}

fn drive_row(finished: Finished<'_>, drive: &DriveLine) -> Row {
    let driveway = &finished.contract.driveways[drive.driveway];
    let records = &finished.intake.records;
    let places: Vec<_> = driveway.lanes.iter().map(|&lane| (lane, driveway.from, driveway.to)).collect();
    let numbers: Vec<String> = drive.placements.iter().map(|&p| number_of(finished, Some(p))).collect();
    line(vec![
        text(driveway.name.clone()),
        text(place(finished, &places)),
        text(numbers.join(", ")),
        drive.may.map_or(Shown::Blank, Shown::Date),
        drive.opened.map_or(Shown::Blank, |w| Shown::Date(records.works[w].date.value)),
        text(drive.missing.clone()),
    ])
}

fn loggers(finished: Finished<'_>) -> Table {
    let strength = finished.contract.system.strength();
    let maturity = finished.works.loggers.iter().find_map(|l| l.maturity).map(|m| unit(finished.book[m].unit));
    let row = |l: &crate::works::Logger| {
        line(vec![
            text(l.sensor.clone()),
            text(number_of(finished, l.placement)),
            Shown::Count((l.readings.1 - l.readings.0) as u64),
            text(if l.reached { "strength first reached" } else { "last reading" }),
            text(l.when.format("%Y-%m-%d %H:%M").to_string()),
            figure(l.maturity),
            figure(l.estimate),
            figure(l.strength),
            text(l.note.clone()),
        ])
    };
    Table {
        id: "opening-loggers".into(),
        title: "Temperature loggers".into(),
        columns: vec![
            words("logger", 12),
            words("placement", 10),
            numbers("readings", "", 9),
            words("taken at", 20),
            words("time", 16),
            numbers("maturity", maturity.unwrap_or_default(), 10),
            numbers("by the curve", unit(strength), 10),
            numbers("held against the rule", unit(strength), 10),
            words("note", 40),
        ],
        rows: finished.works.loggers.iter().map(row).collect(),
        note: "Maturity from the logger's first reading (ASTM C1074, from memory). Held against the rule: the lower end of the curve's \
               prediction interval where the rule asks for it."
            .into(),
    }
}

/// A curve: its numbers, its specimens and their picture.
fn curve(finished: Finished<'_>, k: usize, curve: &Curve) -> Vec<Block> {
    let (ledger, records) = (&finished.line.ledger, &finished.intake.records);
    let strength = finished.contract.system.strength();
    let id = format!("opening-curve-{}", k + 1);
    let name = if curve.mix.is_empty() { "the mix".to_string() } else { format!("mix {}", curve.mix) };
    let rows = curve.specimens.iter().zip(&curve.logarithms).map(|(&s, &x)| {
        let specimen = &records.calibrated[s];
        line(vec![
            text(specimen.number.value.to_string()),
            Shown::Figure(x),
            Shown::Cell(ledger.calibrated_cell(s, crate::line::stepped::calibrated::STRENGTH)),
        ])
    });
    let table = Table {
        id: id.clone(),
        title: format!("Specimens of the strength-maturity curve of {name}"),
        columns: vec![
            words("specimen", 20),
            numbers("logarithm of maturity", "", 14),
            numbers("strength", unit(strength), 12),
        ],
        rows: rows.collect(),
        note: "The curve is the straight line through them (least squares).".into(),
    };
    let calculation = Block::Calculation {
        title: format!("Strength-maturity curve of {name}"),
        figures: vec![
            curve.n,
            curve.centre,
            curve.squares,
            curve.slope,
            curve.intercept,
            curve.spread,
            curve.ends.0,
            curve.ends.1,
        ],
        remark: "S = a + b ln M between the least and the greatest maturity; nothing is extrapolated.".into(),
    };
    let chart = Chart {
        title: format!("Strength against maturity, {name}"),
        form: ChartForm::Lines,
        table: id,
        along: 1,
        numeric: true,
        series: vec![Series { name: "specimens".into(), column: 2, style: SeriesStyle::Points }],
        x_title: "logarithm of maturity".into(),
        y_title: format!("strength, {strength}"),
    };
    vec![calculation, Block::Table(table), Block::Chart(chart)]
}

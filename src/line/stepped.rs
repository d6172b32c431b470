//! The record tables of the steps below, in and after the slab: their columns, their rows, and the cells that formulas
//! start from. The other tables stand in `ledger` and `rows`; what both share is used from there.

use chrono::NaiveTime;
use rust_decimal::Decimal;

use super::Ledger;
use super::ledger::{cell, number as numbers, text};
use super::rows::{Write, day, fill, hour_of_day, maybe, number, time, word, words};
use crate::figure::{Book, CellId, CellValue, Table, TableCell, TableId};
use crate::intake::{BarCheck, Calibrated, Compaction, Density, Document, Logged, Read, Weather, Work};
use crate::units::{System, Unit};

/// Columns of steps of the work.
pub mod work {
    /// From, along the line.
    pub const FROM_ALONG: u16 = 6;
    /// To, along the line.
    pub const TO_ALONG: u16 = 7;
    /// Hour of the day at which it was begun.
    pub const BEGUN: u16 = 8;
    /// Hour of the day at which it was ended.
    pub const ENDED: u16 = 9;
    /// Depth.
    pub const DEPTH: u16 = 10;
    /// Area that one unit of curing compound covered.
    pub const RATE: u16 = 11;
    /// Pieces.
    pub const COUNT: u16 = 12;
}

/// Columns of density tests.
pub mod density {
    /// Station, along the line.
    pub const ALONG: u16 = 4;
    /// Wet density.
    pub const WET: u16 = 9;
    /// Dry density.
    pub const DRY: u16 = 10;
    /// Moisture.
    pub const MOISTURE: u16 = 11;
    /// Maximum dry density.
    pub const MAXIMUM: u16 = 12;
    /// Optimum moisture.
    pub const OPTIMUM: u16 = 13;
    /// Percent as printed.
    pub const PERCENT: u16 = 14;
}

/// Columns of compaction curves.
pub mod compaction {
    /// Maximum dry density.
    pub const MAXIMUM: u16 = 1;
    /// Optimum moisture.
    pub const OPTIMUM: u16 = 2;
    /// Specific gravity.
    pub const GRAVITY: u16 = 3;
}

/// Columns of bar positions.
pub mod bar {
    /// Station, along the line.
    pub const ALONG: u16 = 4;
    /// Depth of the middle.
    pub const DEPTH: u16 = 7;
    /// Off the joint, along the bar.
    pub const SIDE: u16 = 8;
    /// Tilt.
    pub const TILT: u16 = 9;
    /// Turn.
    pub const SKEW: u16 = 10;
}

/// Columns of weather.
pub mod weather {
    /// Air temperature.
    pub const AIR: u16 = 5;
    /// Relative humidity.
    pub const HUMIDITY: u16 = 6;
    /// Wind.
    pub const WIND: u16 = 7;
    /// Concrete temperature.
    pub const CONCRETE: u16 = 8;
    /// Evaporation as printed.
    pub const EVAPORATION: u16 = 9;
}

/// Columns of logger readings.
pub mod logged {
    /// Hours since the first reading of its logger.
    pub const HOURS: u16 = 3;
    /// Temperature.
    pub const TEMPERATURE: u16 = 4;
}

/// Columns of a strength-maturity curve.
pub mod calibrated {
    /// Temperature-time factor.
    pub const FACTOR: u16 = 3;
    /// Equivalent age.
    pub const AGE: u16 = 4;
    /// Strength.
    pub const STRENGTH: u16 = 5;
}

/// The tables of the steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StepTables {
    /// Steps of the work.
    pub works: TableId,
    /// Density tests.
    pub densities: TableId,
    /// Compaction curves.
    pub compactions: TableId,
    /// Bar positions.
    pub bars: TableId,
    /// Weather.
    pub weather: TableId,
    /// Logger readings; those of one logger together, in order of time.
    pub logged: TableId,
    /// Strength-maturity specimens.
    pub calibrated: TableId,
    /// Photographs and papers.
    pub documents: TableId,
}

impl StepTables {
    /// All of them, in the order in which they are listed.
    #[must_use]
    pub fn all(&self) -> [TableId; 8] {
        [
            self.works,
            self.densities,
            self.compactions,
            self.bars,
            self.weather,
            self.logged,
            self.calibrated,
            self.documents,
        ]
    }
}

impl Ledger {
    /// A cell of a step, by the constants of [`work`].
    #[must_use]
    pub fn work_cell(&self, of: usize, column: u16) -> CellId {
        cell(self.steps.works, of, column)
    }

    /// A cell of a density test, by the constants of [`density`].
    #[must_use]
    pub fn density_cell(&self, of: usize, column: u16) -> CellId {
        cell(self.steps.densities, of, column)
    }

    /// A cell of a compaction curve, by the constants of [`compaction`].
    #[must_use]
    pub fn compaction_cell(&self, of: usize, column: u16) -> CellId {
        cell(self.steps.compactions, of, column)
    }

    /// A cell of a bar position, by the constants of [`bar`].
    #[must_use]
    pub fn bar_cell(&self, of: usize, column: u16) -> CellId {
        cell(self.steps.bars, of, column)
    }

    /// A cell of a weather row, by the constants of [`weather`].
    #[must_use]
    pub fn weather_cell(&self, of: usize, column: u16) -> CellId {
        cell(self.steps.weather, of, column)
    }

    /// A cell of a logger reading, by the constants of [`logged`].
    #[must_use]
    pub fn logged_cell(&self, of: usize, column: u16) -> CellId {
        cell(self.steps.logged, of, column)
    }

    /// A cell of a strength-maturity specimen, by the constants of [`calibrated`].
    #[must_use]
    pub fn calibrated_cell(&self, of: usize, column: u16) -> CellId {
        cell(self.steps.calibrated, of, column)
    }
}

/// Takes the records up into the book.
pub(super) fn take_up(write: &Write<'_>, book: &mut Book) -> StepTables {
    let (system, records) = (write.contract.system, write.records);
    StepTables {
        works: fill(book, works(system), records.works.iter().map(|w| write.work(w))),
        densities: fill(book, densities(system), records.densities.iter().map(|d| write.density(d))),
        compactions: fill(book, compactions(system), records.compactions.iter().map(compacted)),
        bars: fill(book, bars(system), records.bars.iter().map(|b| write.bar(b))),
        weather: fill(book, weathers(system), records.weather.iter().map(|w| write.weather(w))),
        logged: fill(book, readings(system), write.readings()),
        calibrated: fill(book, curves(system), records.calibrated.iter().map(specimen)),
        documents: fill(book, documents(), records.documents.iter().map(|d| write.document(d))),
    }
}

fn works(system: System) -> Table {
    let along = |heading| numbers(heading, system.length());
    Table::new(
        "Steps",
        vec![
            text("Entry"),
            text("Step"),
            text("Date"),
            text("Lanes"),
            text("From"),
            text("To"),
            along("From along"),
            along("To along"),
            numbers("Begun", Unit::Hour),
            numbers("Ended", Unit::Hour),
            numbers("Depth", system.depth()),
            numbers("Coverage", system.coverage()),
            numbers("Pieces", Unit::Each),
            text("With"),
            text("Accepted"),
            text("Passed"),
            text("By"),
            text("Remarks"),
        ],
    )
}

fn densities(system: System) -> Table {
    Table::new(
        "Density tests",
        vec![
            text("Test"),
            text("Date"),
            text("Lanes"),
            text("Station"),
            numbers("Along", system.length()),
            text("Offset"),
            text("Layer"),
            text("Material"),
            text("Lift"),
            numbers("Wet density", system.density()),
            numbers("Dry density", system.density()),
            numbers("Moisture", Unit::Percent),
            numbers("Maximum", system.density()),
            numbers("Optimum", Unit::Percent),
            numbers("As printed", Unit::Percent),
            text("Retest of"),
            text("Method"),
            text("Remarks"),
        ],
    )
}

fn compactions(system: System) -> Table {
    Table::new(
        "Compaction curves",
        vec![
            text("Material"),
            numbers("Maximum", system.density()),
            numbers("Optimum", Unit::Percent),
            numbers("Specific gravity", Unit::One),
            text("Date"),
            text("Remarks"),
        ],
    )
}

fn bars(system: System) -> Table {
    let depth = |heading| numbers(heading, system.depth());
    Table::new(
        "Bar positions",
        vec![
            text("Check"),
            text("Date"),
            text("Lane"),
            text("Station"),
            numbers("Along", system.length()),
            text("Bar"),
            text("Place"),
            depth("Depth"),
            depth("Side"),
            depth("Tilt"),
            depth("Skew"),
            text("Remarks"),
        ],
    )
}

fn weathers(system: System) -> Table {
    Table::new(
        "Weather readings",
        vec![
            text("Entry"),
            text("Date"),
            text("Time"),
            text("Lane"),
            text("Station"),
            numbers("Air", system.temperature()),
            numbers("Humidity", Unit::Percent),
            numbers("Wind", system.speed()),
            numbers("Concrete", system.temperature()),
            numbers("Evaporation", system.evaporation()),
            text("By"),
            text("Remarks"),
        ],
    )
}

fn readings(system: System) -> Table {
    Table::new(
        "Logger readings",
        vec![
            text("Logger"),
            text("Date"),
            text("Time"),
            numbers("Since its first", Unit::Hour),
            numbers("Temperature", system.temperature()),
            text("Lane"),
            text("Station"),
            text("Placement"),
            text("Mix"),
            text("Remarks"),
        ],
    )
}

fn curves(system: System) -> Table {
    Table::new(
        "Maturity specimens",
        vec![
            text("Specimen"),
            text("Date"),
            text("Mix"),
            numbers("Maturity", system.maturity()),
            numbers("Equivalent age", Unit::Hour),
            numbers("Strength", system.strength()),
            text("Remarks"),
        ],
    )
}

fn documents() -> Table {
    Table::new(
        "Photographs and papers",
        vec![
            text("Number"),
            text("Date"),
            text("What"),
            text("About"),
            text("Lanes"),
            text("From"),
            text("To"),
            text("By"),
            text("Remarks"),
        ],
    )
}

impl Write<'_> {
    fn work(&self, w: &Work) -> Vec<TableCell> {
        let lane = w.lanes.value.first().copied();
        let passed = match w.passed {
            Some(true) => TableCell::derived(CellValue::Word("yes")),
            Some(false) => TableCell::derived(CellValue::Word("no")),
            None => TableCell::blank(),
        };
        vec![
            word(&w.number),
            TableCell::derived(CellValue::Word(w.step.done())),
            day(&w.date),
            self.lanes(&w.lanes),
            self.station(lane, &w.from),
            self.station(lane, &w.to),
            self.along(lane, &w.from),
            self.along(lane, &w.to),
            maybe(w.times.0.as_ref(), hour_of_day),
            maybe(w.times.1.as_ref(), hour_of_day),
            number(w.depth.as_ref()),
            number(w.rate.as_ref()),
            number(w.count.as_ref()),
            words(w.material.as_ref()),
            maybe(w.accepted.as_ref(), day),
            passed,
            words(w.by.as_ref()),
            words(w.remarks.as_ref()),
        ]
    }

    fn density(&self, d: &Density) -> Vec<TableCell> {
        let lane = d.lanes.value.first().copied();
        vec![
            word(&d.number),
            day(&d.date),
            self.lanes(&d.lanes),
            self.station(lane, &d.station),
            self.along(lane, &d.station),
            words(d.offset.as_ref()),
            TableCell::derived(CellValue::Word(d.layer.word())),
            words(d.material.as_ref()),
            words(d.lift.as_ref()),
            number(d.wet.as_ref()),
            number(d.dry.as_ref()),
            number(d.moisture.as_ref()),
            number(d.maximum.as_ref()),
            number(d.optimum.as_ref()),
            number(d.percent.as_ref()),
            words(d.retest_of.as_ref()),
            words(d.method.as_ref()),
            words(d.remarks.as_ref()),
        ]
    }

    fn bar(&self, b: &BarCheck) -> Vec<TableCell> {
        let lane = Some(b.lane.value);
        vec![
            word(&b.number),
            day(&b.date),
            self.lane(&b.lane),
            self.station(lane, &b.station),
            self.along(lane, &b.station),
            TableCell::derived(CellValue::Word(b.bar.word())),
            words(b.place.as_ref()),
            number(b.depth.as_ref()),
            number(b.side.as_ref()),
            number(b.tilt.as_ref()),
            number(b.skew.as_ref()),
            words(b.remarks.as_ref()),
        ]
    }

    fn weather(&self, w: &Weather) -> Vec<TableCell> {
        let at = w.time.as_ref().map_or_else(String::new, |t| t.value.format(" %H:%M").to_string());
        let lane = w.lane.as_ref().map(|l| l.value);
        vec![
            TableCell::derived(CellValue::Text(format!("weather {}{at}", w.date.value).into())),
            day(&w.date),
            time(w.time.as_ref()),
            maybe(w.lane.as_ref(), |r| self.lane(r)),
            maybe(w.station.as_ref(), |r| self.station(lane, r)),
            number(w.air.as_ref()),
            number(w.humidity.as_ref()),
            number(w.wind.as_ref()),
            number(w.concrete.as_ref()),
            number(w.evaporation.as_ref()),
            words(w.by.as_ref()),
            words(w.remarks.as_ref()),
        ]
    }

    /// Readings with the hours since the first of their logger; they stand sorted by logger and time.
    fn readings(&self) -> impl Iterator<Item = Vec<TableCell>> {
        let mut first: Option<&Logged> = None;
        self.records.logged.iter().map(move |l| {
            let begins = first.filter(|f| f.sensor.value == l.sensor.value).unwrap_or(l);
            first = Some(begins);
            let seconds =
                (l.date.value.and_time(l.time.value) - begins.date.value.and_time(begins.time.value)).num_seconds();
            let lane = l.lane.as_ref().map(|l| l.value);
            vec![
                word(&l.sensor),
                day(&l.date),
                time(Some(&l.time)),
                TableCell {
                    value: CellValue::Number(Decimal::from(seconds) / Decimal::from(3600)),
                    at: Some(l.time.at),
                    typed: Some(moment(&l.time)),
                },
                number(Some(&l.temperature)),
                maybe(l.lane.as_ref(), |r| self.lane(r)),
                maybe(l.station.as_ref(), |r| self.station(lane, r)),
                words(l.placement.as_ref()),
                words(l.mix.as_ref()),
                words(l.remarks.as_ref()),
            ]
        })
    }

    fn document(&self, d: &Document) -> Vec<TableCell> {
        let lane = d.lanes.as_ref().and_then(|l| l.value.first().copied());
        let (from, to) = d.between.as_ref().map_or((None, None), |(from, to)| (Some(from), Some(to)));
        vec![
            word(&d.number),
            day(&d.date),
            words(d.what.as_ref()),
            words(d.about.as_ref()),
            maybe(d.lanes.as_ref(), |r| self.lanes(r)),
            maybe(from, |r| self.station(lane, r)),
            maybe(to, |r| self.station(lane, r)),
            words(d.by.as_ref()),
            words(d.remarks.as_ref()),
        ]
    }
}

fn moment(time: &Read<NaiveTime>) -> Box<str> {
    time.typed.clone().unwrap_or_else(|| time.value.format("%H:%M").to_string().into())
}

fn compacted(c: &Compaction) -> Vec<TableCell> {
    vec![
        word(&c.material),
        number(Some(&c.maximum)),
        number(Some(&c.optimum)),
        number(c.gravity.as_ref()),
        maybe(c.date.as_ref(), day),
        words(c.remarks.as_ref()),
    ]
}

fn specimen(c: &Calibrated) -> Vec<TableCell> {
    vec![
        word(&c.number),
        maybe(c.date.as_ref(), day),
        words(c.mix.as_ref()),
        number(c.factor.as_ref()),
        number(c.age.as_ref()),
        number(Some(&c.strength)),
        words(c.remarks.as_ref()),
    ]
}

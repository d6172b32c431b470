//! The same record in two places: the first in order of file, sheet and row counts.
//!
//! A plant's list and an inspector's list name the same load, a laboratory sends a report twice. Where both say the same,
//! the later is set aside with a note; where they contradict each other, it is set aside with a conflict that names both
//! cells. A value that one of them leaves out contradicts nothing, but what only the later says of waste, returns and
//! rejection does: it would change a quantity.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::fmt::{Debug, Display};

use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;

use super::record::{
    BarCheck, Batch, Billed, Calibrated, Compaction, Core, Delivered, Density, Document, Fresh, Ingredient, Level,
    Load, Logged, Measured, Outcome, Placement, Probe, Profile, Purpose, Read, Records, Sampling, Specimen,
    Straightedge, TakenBy, Weather, Work,
};
use crate::finding::{Code, Finding, Place};
use crate::source::{CellRef, Sources};
use crate::units::plain;

/// A field on which two records differ: its word, and both values with their cells.
struct Difference {
    field: &'static str,
    first: (String, CellRef),
    later: (String, CellRef),
}

/// Collects the fields on which two records differ.
struct Compare {
    at: (CellRef, CellRef),
    differences: Vec<Difference>,
}

impl Compare {
    fn of(first: CellRef, later: CellRef) -> Self {
        Self { at: (first, later), differences: Vec::new() }
    }

    /// Both values, where both are there.
    fn read<T: PartialEq>(
        mut self,
        field: &'static str,
        a: &Read<T>,
        b: &Read<T>,
        shown: impl Fn(&T) -> String,
    ) -> Self {
        if a.value != b.value {
            self.differences.push(Difference { field, first: (shown(&a.value), a.at), later: (shown(&b.value), b.at) });
        }
        self
    }

    fn text(self, field: &'static str, a: Option<&Read<Box<str>>>, b: Option<&Read<Box<str>>>) -> Self {
        match (a, b) {
            (Some(a), Some(b)) if !a.value.eq_ignore_ascii_case(&b.value) => {
                self.read(field, a, b, ToString::to_string)
            }
            _ => self,
        }
    }

    fn number(self, field: &'static str, a: Option<&Read<Decimal>>, b: Option<&Read<Decimal>>) -> Self {
        match (a, b) {
            (Some(a), Some(b)) => self.read(field, a, b, |d| plain(*d)),
            _ => self,
        }
    }

    /// Numbers that are missing in the first and would change a quantity.
    fn weighty(mut self, field: &'static str, a: Option<&Read<Decimal>>, b: Option<&Read<Decimal>>) -> Self {
        match (a, b) {
            (None, Some(b)) => {
                let first = (String::from("not stated"), self.at.0);
                self.differences.push(Difference { field, first, later: (plain(b.value), b.at) });
                self
            }
            _ => self.number(field, a, b),
        }
    }

    fn any<T: PartialEq + Copy + Debug>(
        self,
        field: &'static str,
        a: Option<&Read<T>>,
        b: Option<&Read<T>>,
        shown: impl Fn(&T) -> String,
    ) -> Self {
        match (a, b) {
            (Some(a), Some(b)) => self.read(field, a, b, shown),
            _ => self,
        }
    }

    fn date(self, field: &'static str, a: &Read<NaiveDate>, b: &Read<NaiveDate>) -> Self {
        self.read(field, a, b, ToString::to_string)
    }

    /// Parties, where both say one.
    fn party(self, a: TakenBy, b: TakenBy) -> Self {
        if a == TakenBy::Unstated || b == TakenBy::Unstated {
            return self;
        }
        self.plain("party", &a, &b, |p| p.word().into())
    }

    /// Split or independent, where both say it.
    fn sampling(self, a: Sampling, b: Sampling) -> Self {
        if a == Sampling::Unstated || b == Sampling::Unstated {
            return self;
        }
        self.plain("sampling", &a, &b, |s| s.word().into())
    }

    fn plain<T: PartialEq>(mut self, field: &'static str, a: &T, b: &T, shown: impl Fn(&T) -> String) -> Self {
        if a != b {
            let (first, later) = self.at;
            self.differences.push(Difference { field, first: (shown(a), first), later: (shown(b), later) });
        }
        self
    }
}

fn word<T: Debug>(value: &T) -> String {
    format!("{value:?}").to_lowercase()
}

/// A kind of record that can stand twice.
trait Twice {
    /// One of them, in a sentence.
    const NOUN: &'static str;
    /// Whether what stands several times within a sheet is so many records: the second of a sheet is the second of another.
    const COUNTED: bool = false;
    /// Equal where two may be the same record.
    fn key(&self) -> String;
    /// What names it.
    fn name(&self) -> String;
    /// Its first cell.
    fn at(&self) -> CellRef;
    /// Whether two with the same key are the same record.
    fn same(&self, _: &Self) -> bool {
        true
    }
    /// Where they differ.
    fn compare(&self, later: &Self) -> Compare;
}

/// Whether two samples may be of one party: the halves of a split sample often bear one number.
fn one_party(a: TakenBy, b: TakenBy) -> bool {
    a == b || a == TakenBy::Unstated || b == TakenBy::Unstated
}

fn folded(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}

fn joined(parts: &[&dyn Display]) -> String {
    let mut out = String::new();
    for part in parts {
        out.push_str(&format!("{part}\u{1f}"));
    }
    out
}

impl Twice for Load {
    const NOUN: &'static str = "load";
    fn key(&self) -> String {
        let mut key = folded(&self.ticket.value);
        key.push('\u{1f}');
        key.push_str(&self.date.value.num_days_from_ce().to_string());
        key
    }
    fn name(&self) -> String {
        format!("ticket {} of {}", self.ticket.value, self.date.value)
    }
    fn at(&self) -> CellRef {
        self.ticket.at
    }
    fn same(&self, later: &Self) -> bool {
        match (&self.plant, &later.plant) {
            (Some(a), Some(b)) => folded(&a.value) == folded(&b.value),
            _ => true,
        }
    }
    fn compare(&self, b: &Self) -> Compare {
        let outcome = |o: &Outcome| word(o);
        Compare::of(self.at(), b.at())
            .read("volume", &self.volume, &b.volume, |d| plain(*d))
            .plain("status", &self.outcome, &b.outcome, outcome)
            .weighty("wasted", self.wasted.as_ref(), b.wasted.as_ref())
            .weighty("returned", self.returned.as_ref(), b.returned.as_ref())
            .any("lane", self.lane.as_ref(), b.lane.as_ref(), |l| format!("lane {} of the contract", l.0 + 1))
            .text("placement", self.placement.as_ref(), b.placement.as_ref())
            .text("mix", self.mix.as_ref(), b.mix.as_ref())
            .text("truck", self.truck.as_ref(), b.truck.as_ref())
            .any("batched", self.batched.as_ref(), b.batched.as_ref(), ToString::to_string)
    }
}

impl Twice for Core {
    const NOUN: &'static str = "core";
    fn key(&self) -> String {
        folded(&self.number.value)
    }
    fn name(&self) -> String {
        format!("core {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        let lengths = |c: &Self| Read {
            value: c.readings.iter().map(|r| r.value).collect::<Vec<_>>(),
            at: c.readings.first().map_or(c.at(), |r| r.at),
            typed: None,
        };
        let shown = |v: &Vec<Decimal>| v.iter().map(|d| plain(d.round_dp(4))).collect::<Vec<_>>().join(", ");
        Compare::of(self.at(), b.at())
            .date("date", &self.date, &b.date)
            .read("lane", &self.lane, &b.lane, |l| format!("lane {} of the contract", l.0 + 1))
            .read("station", &self.station, &b.station, |s| plain(s.label))
            .read("length", &lengths(self), &lengths(b), shown)
            .plain("purpose", &self.purpose, &b.purpose, |p: &Purpose| p.word().into())
            .party(self.taken_by, b.taken_by)
            .sampling(self.sampling, b.sampling)
            .text("settles", self.settles.as_ref(), b.settles.as_ref())
    }
}

impl Twice for Specimen {
    const NOUN: &'static str = "specimen";
    fn key(&self) -> String {
        folded(&self.number.value)
    }
    fn name(&self) -> String {
        format!("specimen {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn same(&self, later: &Self) -> bool {
        let ages = match (&self.age, &later.age) {
            (Some(a), Some(b)) => a.value == b.value,
            _ => true,
        };
        ages && one_party(self.taken_by, later.taken_by)
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .text("set", Some(&self.set), Some(&b.set))
            .date("cast", &self.cast, &b.cast)
            .any("tested", self.tested.as_ref(), b.tested.as_ref(), ToString::to_string)
            .plain("shape", &self.shape, &b.shape, word)
            .number("diameter", self.diameter.as_ref(), b.diameter.as_ref())
            .weighty("load", self.load.as_ref(), b.load.as_ref())
            .weighty("strength", self.strength.as_ref(), b.strength.as_ref())
            .sampling(self.sampling, b.sampling)
            .text("settles", self.settles.as_ref(), b.settles.as_ref())
    }
}

impl Twice for Placement {
    const NOUN: &'static str = "placement";
    fn key(&self) -> String {
        if self.is_named() {
            return folded(&self.number.value);
        }
        let (from, to) = (self.from.value.along.normalize(), self.to.value.along.normalize());
        joined(&[&self.date.value, &word(&self.lanes.value), &from.min(to), &from.max(to)])
    }
    fn name(&self) -> String {
        format!("placement {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .date("date", &self.date, &b.date)
            .read("lane", &self.lanes, &b.lanes, |l| {
                l.iter().map(|l| format!("lane {} of the contract", l.0 + 1)).collect::<Vec<_>>().join(" and ")
            })
            .read("from", &self.from, &b.from, |s| plain(s.label))
            .read("to", &self.to, &b.to, |s| plain(s.label))
            .text("mix", self.mix.as_ref(), b.mix.as_ref())
    }
}

impl Placement {
    /// Whether its number stands on the sheet: a made-up one begins with the day.
    fn is_named(&self) -> bool {
        !self.number.value.starts_with(&format!("{}, row ", self.date.value))
    }
}

impl Twice for Probe {
    const NOUN: &'static str = "depth probe";
    fn key(&self) -> String {
        joined(&[
            &folded(&self.number.value),
            &self.date.value,
            &self.lane.value.0,
            &self.station.value.along.normalize(),
        ])
    }
    fn name(&self) -> String {
        format!("probe {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at()).read("depth", &self.depth, &b.depth, |d| plain(*d))
    }
}

impl Twice for Batch {
    const NOUN: &'static str = "batch";
    fn key(&self) -> String {
        joined(&[&folded(&self.ticket.value), &self.date.value])
    }
    fn name(&self) -> String {
        format!("batch of ticket {} of {}", self.ticket.value, self.date.value)
    }
    fn at(&self) -> CellRef {
        self.ticket.at
    }
    fn same(&self, later: &Self) -> bool {
        match (&self.plant, &later.plant) {
            (Some(a), Some(b)) => folded(&a.value) == folded(&b.value),
            _ => true,
        }
    }
    fn compare(&self, b: &Self) -> Compare {
        let compare = Compare::of(self.at(), b.at());
        let each =
            |compare: Compare, of: &Ingredient| compare.number(of.word(), self.weights.get(of), b.weights.get(of));
        Ingredient::ALL.iter().fold(compare, each).number("total_mass", self.total.as_ref(), b.total.as_ref())
    }
}

impl Twice for Delivered {
    const NOUN: &'static str = "delivery";
    fn key(&self) -> String {
        let place = self.between.as_ref().map(|(from, to)| (from.value.along.normalize(), to.value.along.normalize()));
        let quantity = self.quantity.value.normalize();
        match &self.ticket {
            Some(ticket) => joined(&[&self.material.value, &folded(&ticket.value), &self.date.value]),
            None => joined(&[
                &self.material.value,
                &self.date.value,
                &quantity,
                &format!("{place:?}"),
                &self.lanes.as_ref().map_or_else(String::new, |l| format!("{:?}", l.value)),
            ]),
        }
    }
    fn name(&self) -> String {
        let ticket = self.ticket.as_ref().map(|t| format!(", ticket {}", t.value)).unwrap_or_default();
        format!("delivery of {}{ticket}", self.date.value)
    }
    fn at(&self) -> CellRef {
        self.material.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .read("quantity", &self.quantity, &b.quantity, |d| plain(*d))
            .number("moisture", self.moisture.as_ref(), b.moisture.as_ref())
            .weighty("wasted", self.wasted.as_ref(), b.wasted.as_ref())
    }
}

/// An invoice sent twice is billed once; a line that stands twice within one sheet is billed twice.
impl Twice for Billed {
    const NOUN: &'static str = "invoice line";
    const COUNTED: bool = true;
    fn key(&self) -> String {
        let number =
            |n: &Option<Read<Decimal>>| n.as_ref().map_or_else(String::new, |n| n.value.normalize().to_string());
        let text = |t: &Option<Read<Box<str>>>| t.as_ref().map_or_else(String::new, |t| folded(&t.value));
        joined(&[
            &folded(&self.invoice.value),
            &self.date.value,
            &text(&self.ticket),
            &self.charge.word(),
            &text(&self.described),
            &text(&self.mix),
            &number(&self.volume),
            &number(&self.minutes),
            &number(&self.price),
            &self.amount.value.normalize(),
        ])
    }
    fn name(&self) -> String {
        let ticket = self.ticket.as_ref().map(|t| format!(", ticket {}", t.value)).unwrap_or_default();
        format!("line of invoice {}{ticket}", self.invoice.value)
    }
    fn at(&self) -> CellRef {
        self.invoice.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
    }
}

impl Twice for Level {
    const NOUN: &'static str = "level";
    fn key(&self) -> String {
        joined(&[
            &self.surface.word(),
            &self.date.value,
            &self.lane.value.0,
            &self.station.value.along.normalize(),
            &self.offset.as_ref().map_or_else(String::new, |o| folded(&o.value)),
        ])
    }
    fn name(&self) -> String {
        format!("level {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at()).number("design", self.design.as_ref(), b.design.as_ref()).read(
            "measured",
            &self.measured,
            &b.measured,
            |d| plain(*d),
        )
    }
}

impl Twice for Fresh {
    const NOUN: &'static str = "fresh-concrete test";
    fn key(&self) -> String {
        joined(&[&folded(&self.number.value), &self.date.value])
    }
    fn name(&self) -> String {
        format!("test {} of {}", self.number.value, self.date.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn same(&self, later: &Self) -> bool {
        let tickets = match (&self.ticket, &later.ticket) {
            (Some(a), Some(b)) => folded(&a.value) == folded(&b.value),
            _ => true,
        };
        tickets && one_party(self.taken_by, later.taken_by)
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .number("slump", self.slump.as_ref(), b.slump.as_ref())
            .number("air", self.air.as_ref(), b.air.as_ref())
            .number("temperature", self.temperature.as_ref(), b.temperature.as_ref())
            .number("density", self.density.as_ref(), b.density.as_ref())
            .number("water_cement", self.water_cement.as_ref(), b.water_cement.as_ref())
            .sampling(self.sampling, b.sampling)
            .text("settles", self.settles.as_ref(), b.settles.as_ref())
    }
}

impl Twice for Profile {
    const NOUN: &'static str = "smoothness segment";
    fn key(&self) -> String {
        let (from, to) = (self.from.value.along.normalize(), self.to.value.along.normalize());
        joined(&[&self.date.value, &self.lane.value.0, &from.min(to), &from.max(to), &self.measure.word()])
    }
    fn name(&self) -> String {
        format!("segment {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        let readings = |p: &Self| Read {
            value: p.readings.iter().map(|r| r.value).collect::<Vec<_>>(),
            at: p.readings.first().map_or(p.at(), |r| r.at),
            typed: None,
        };
        let shown = |v: &Vec<Decimal>| v.iter().map(|d| plain(d.round_dp(4))).collect::<Vec<_>>().join(", ");
        Compare::of(self.at(), b.at()).read("reading", &readings(self), &readings(b), shown)
    }
}

impl Twice for Straightedge {
    const NOUN: &'static str = "straightedge deviation";
    fn key(&self) -> String {
        joined(&[
            &folded(&self.number.value),
            &self.date.value,
            &self.lane.value.0,
            &self.station.value.along.normalize(),
            &self.across,
        ])
    }
    fn name(&self) -> String {
        format!("straightedge deviation {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at()).read("deviation", &self.deviation, &b.deviation, |d| plain(*d))
    }
}

impl Twice for Measured {
    const NOUN: &'static str = "measured quantity";
    fn key(&self) -> String {
        let number =
            |n: &Option<Read<Decimal>>| n.as_ref().map_or_else(String::new, |n| n.value.normalize().to_string());
        joined(&[
            &self.item.value,
            &self.date.value,
            &self.location.as_ref().map_or_else(String::new, |l| folded(&l.value)),
            &number(&self.length),
            &number(&self.width),
            &number(&self.depth),
            &number(&self.count),
            &number(&self.quantity),
        ])
    }
    fn name(&self) -> String {
        let place = self.location.as_ref().map_or_else(String::new, |l| format!(" at {}", l.value));
        format!("measurement of {}{place}", self.date.value)
    }
    fn at(&self) -> CellRef {
        self.item.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
    }
}

impl Twice for Work {
    const NOUN: &'static str = "step";
    fn key(&self) -> String {
        let (from, to) = (self.from.value.along.normalize(), self.to.value.along.normalize());
        let start = self.times.0.as_ref().map_or_else(String::new, |t| t.value.to_string());
        joined(&[&self.step.word(), &self.date.value, &word(&self.lanes.value), &from.min(to), &from.max(to), &start])
    }
    fn name(&self) -> String {
        format!("{} of {}", self.number.value, self.date.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .weighty("depth", self.depth.as_ref(), b.depth.as_ref())
            .number("coverage", self.rate.as_ref(), b.rate.as_ref())
            .number("count", self.count.as_ref(), b.count.as_ref())
            .any("accepted", self.accepted.as_ref(), b.accepted.as_ref(), ToString::to_string)
            .plain("result", &self.passed, &b.passed, word)
    }
}

impl Twice for Density {
    const NOUN: &'static str = "density test";
    fn key(&self) -> String {
        joined(&[&folded(&self.number.value), &self.date.value, &self.layer.word()])
    }
    fn name(&self) -> String {
        format!("density test {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .read("station", &self.station, &b.station, |s| plain(s.label))
            .weighty("wet density", self.wet.as_ref(), b.wet.as_ref())
            .weighty("dry density", self.dry.as_ref(), b.dry.as_ref())
            .number("moisture", self.moisture.as_ref(), b.moisture.as_ref())
            .number("maximum", self.maximum.as_ref(), b.maximum.as_ref())
            .number("optimum", self.optimum.as_ref(), b.optimum.as_ref())
            .number("percent", self.percent.as_ref(), b.percent.as_ref())
            .text("material", self.material.as_ref(), b.material.as_ref())
    }
}

impl Twice for Compaction {
    const NOUN: &'static str = "compaction curve";
    fn key(&self) -> String {
        folded(&self.material.value)
    }
    fn name(&self) -> String {
        format!("compaction curve {}", self.material.value)
    }
    fn at(&self) -> CellRef {
        self.material.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .read("maximum", &self.maximum, &b.maximum, |d| plain(*d))
            .read("optimum", &self.optimum, &b.optimum, |d| plain(*d))
            .number("specific gravity", self.gravity.as_ref(), b.gravity.as_ref())
    }
}

impl Twice for BarCheck {
    const NOUN: &'static str = "bar position";
    fn key(&self) -> String {
        let place = self.place.as_ref().map_or_else(String::new, |p| folded(&p.value));
        joined(&[
            &folded(&self.number.value),
            &self.bar.word(),
            &self.date.value,
            &self.lane.value.0,
            &self.station.value.along.normalize(),
            &place,
        ])
    }
    fn name(&self) -> String {
        self.number.value.to_string()
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .weighty("depth", self.depth.as_ref(), b.depth.as_ref())
            .number("side", self.side.as_ref(), b.side.as_ref())
            .number("tilt", self.tilt.as_ref(), b.tilt.as_ref())
            .number("skew", self.skew.as_ref(), b.skew.as_ref())
    }
}

impl Twice for Weather {
    const NOUN: &'static str = "weather reading";
    fn key(&self) -> String {
        let time = self.time.as_ref().map_or_else(String::new, |t| t.value.to_string());
        let station = self.station.as_ref().map_or_else(String::new, |s| s.value.along.normalize().to_string());
        joined(&[&self.date.value, &time, &station])
    }
    fn name(&self) -> String {
        let time = self.time.as_ref().map_or_else(String::new, |t| format!(" {}", t.value.format("%H:%M")));
        format!("weather of {}{time}", self.date.value)
    }
    fn at(&self) -> CellRef {
        self.date.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
            .number("air", self.air.as_ref(), b.air.as_ref())
            .number("humidity", self.humidity.as_ref(), b.humidity.as_ref())
            .number("wind", self.wind.as_ref(), b.wind.as_ref())
            .number("concrete", self.concrete.as_ref(), b.concrete.as_ref())
    }
}

impl Twice for Logged {
    const NOUN: &'static str = "logger reading";
    fn key(&self) -> String {
        joined(&[&folded(&self.sensor.value), &self.date.value, &self.time.value])
    }
    fn name(&self) -> String {
        format!("reading of {} on {} {}", self.sensor.value, self.date.value, self.time.value.format("%H:%M"))
    }
    fn at(&self) -> CellRef {
        self.sensor.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at()).read("temperature", &self.temperature, &b.temperature, |d| plain(*d))
    }
}

impl Twice for Calibrated {
    const NOUN: &'static str = "maturity specimen";
    const COUNTED: bool = true;
    fn key(&self) -> String {
        let number =
            |n: &Option<Read<Decimal>>| n.as_ref().map_or_else(String::new, |n| n.value.normalize().to_string());
        let mix = self.mix.as_ref().map_or_else(String::new, |m| folded(&m.value));
        joined(&[&mix, &number(&self.factor), &number(&self.age), &self.strength.value.normalize()])
    }
    fn name(&self) -> String {
        format!("maturity specimen {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at())
    }
}

impl Twice for Document {
    const NOUN: &'static str = "document";
    fn key(&self) -> String {
        joined(&[&folded(&self.number.value), &self.date.value])
    }
    fn name(&self) -> String {
        format!("document {}", self.number.value)
    }
    fn at(&self) -> CellRef {
        self.number.at
    }
    fn compare(&self, b: &Self) -> Compare {
        Compare::of(self.at(), b.at()).text("about", self.about.as_ref(), b.about.as_ref())
    }
}

/// A row that stands again, and what is to be said of it.
pub(super) struct Again {
    pub(super) at: CellRef,
    pub(super) reason: String,
    pub(super) finding: Finding,
}

/// By key, the place of the first record and those of others that share it.
type Places = HashMap<String, (usize, Vec<usize>)>;

/// Places of the records taken so far, by key.
#[derive(Debug, Default)]
pub(super) struct Seen {
    placements: Places,
    loads: Places,
    cores: Places,
    probes: Places,
    specimens: Places,
    fresh: Places,
    profiles: Places,
    straightedge: Places,
    measured: Places,
    levels: Places,
    batches: Places,
    delivered: Places,
    billed: Places,
    works: Places,
    densities: Places,
    compactions: Places,
    bars: Places,
    weather: Places,
    logged: Places,
    calibrated: Places,
    documents: Places,
}

impl Seen {
    /// Takes up the records of a sheet, in order; returns those that stand again.
    pub(super) fn take(&mut self, all: &mut Records, sheet: Records, sources: &Sources) -> Vec<Again> {
        let mut again = Vec::new();
        merge(&mut self.placements, &mut all.placements, sheet.placements, sources, &mut again);
        merge(&mut self.loads, &mut all.loads, sheet.loads, sources, &mut again);
        merge(&mut self.cores, &mut all.cores, sheet.cores, sources, &mut again);
        merge(&mut self.probes, &mut all.probes, sheet.probes, sources, &mut again);
        merge(&mut self.specimens, &mut all.specimens, sheet.specimens, sources, &mut again);
        merge(&mut self.fresh, &mut all.fresh, sheet.fresh, sources, &mut again);
        merge(&mut self.profiles, &mut all.profiles, sheet.profiles, sources, &mut again);
        merge(&mut self.straightedge, &mut all.straightedge, sheet.straightedge, sources, &mut again);
        merge(&mut self.measured, &mut all.measured, sheet.measured, sources, &mut again);
        merge(&mut self.levels, &mut all.levels, sheet.levels, sources, &mut again);
        merge(&mut self.batches, &mut all.batches, sheet.batches, sources, &mut again);
        merge(&mut self.delivered, &mut all.delivered, sheet.delivered, sources, &mut again);
        merge(&mut self.billed, &mut all.billed, sheet.billed, sources, &mut again);
        merge(&mut self.works, &mut all.works, sheet.works, sources, &mut again);
        merge(&mut self.densities, &mut all.densities, sheet.densities, sources, &mut again);
        merge(&mut self.compactions, &mut all.compactions, sheet.compactions, sources, &mut again);
        merge(&mut self.bars, &mut all.bars, sheet.bars, sources, &mut again);
        merge(&mut self.weather, &mut all.weather, sheet.weather, sources, &mut again);
        merge(&mut self.logged, &mut all.logged, sheet.logged, sources, &mut again);
        merge(&mut self.calibrated, &mut all.calibrated, sheet.calibrated, sources, &mut again);
        merge(&mut self.documents, &mut all.documents, sheet.documents, sources, &mut again);
        again
    }
}

fn merge<T: Twice>(seen: &mut Places, all: &mut Vec<T>, sheet: Vec<T>, sources: &Sources, again: &mut Vec<Again>) {
    all.reserve(sheet.len());
    seen.reserve(sheet.len());
    let mut counts: HashMap<String, usize> = HashMap::new();
    for record in sheet {
        let mut key = record.key();
        if T::COUNTED {
            let count = counts.entry(key.clone()).or_default();
            *count += 1;
            key.push_str(&count.to_string());
        }
        match seen.entry(key) {
            Entry::Vacant(free) => {
                free.insert((all.len(), Vec::new()));
                all.push(record);
            }
            Entry::Occupied(mut taken) => {
                let (first, others) = taken.get_mut();
                if let Some(place) = std::iter::once(&*first).chain(&*others).find(|p| all[**p].same(&record)) {
                    again.push(twice(&all[*place], &record, sources));
                } else {
                    others.push(all.len());
                    all.push(record);
                }
            }
        }
    }
}

fn twice<T: Twice>(first: &T, later: &T, sources: &Sources) -> Again {
    let differences = first.compare(later).differences;
    let place = Place::Cell(later.at());
    let stands = sources.cell(first.at());
    let related = [Place::Cell(first.at())];
    if differences.is_empty() {
        let message = format!("{} stands already in {stands}, with the same values; counted once", later.name());
        let finding = Finding::new(Code::Repeated, place, message, "nothing").with(related);
        return Again { at: later.at(), reason: format!("the same {} stands in {stands}", T::NOUN), finding };
    }
    let words: Vec<String> = differences
        .iter()
        .map(|d| {
            format!(
                "{}: {} in {}, {} in {}",
                d.field,
                d.first.0,
                sources.cell(d.first.1),
                d.later.0,
                sources.cell(d.later.1)
            )
        })
        .collect();
    let message = format!("{} stands twice with different values; {}", later.name(), words.join("; "));
    let cells = differences.iter().flat_map(|d| [Place::Cell(d.first.1), Place::Cell(d.later.1)]);
    let remedy =
        format!("the first ({stands}) is counted; correct one, or set one aside with a reason in contract.toml");
    let mut related: Vec<Place> = related.into_iter().chain(cells).filter(|p| *p != place).collect();
    related.sort();
    related.dedup();
    let finding = Finding::new(Code::Duplicate, place, message, remedy).with(related);
    Again { at: later.at(), reason: format!("stands in {stands} with different values"), finding }
}

//! Weather against limits, and how fast water could leave the fresh slab.
//!
//! ```text
//! E = (Tc^2.5 - r Ta^2.5) (1 + 0.4 V) / 1,000,000      lb/ft2/h; F and mph, r relative humidity as a share
//! ```
//!
//! Menzel's equation as ACI 305 prints it (its own form from memory; its exact metric twin was read in an instrument maker's
//! note and agrees to four decimals). Metric readings are put into it in F and mph, so there is one form only: the rounded
//! metric one gives about 4 percent less.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::{Decimal, dec};

use super::Works;
use super::check::{Check, Finds};
use super::site::{Site, Span, constant, row};
use crate::figure::{Book, Expr, Figure, FigureId, whole};
use crate::finding::{Code, Finding};
use crate::intake::Weather;
use crate::line::stepped;
use crate::rules::{Proof, RuleNumber, WeatherRule};
use crate::source::CellRef;
use crate::units::{System, Unit, conversions, plain};

/// A row of a weather sheet as judged.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherJudged {
    /// Place in the records.
    pub weather: usize,
    /// Rate of evaporation; `None` where a reading is missing.
    pub evaporation: Option<FigureId>,
    /// How the temperatures stand.
    pub temperatures: Finds,
    /// How the evaporation stands.
    pub evaporates: Finds,
}

/// Judges every row of the weather sheets on whose day concrete was placed; the others are listed.
pub(super) fn judge(site: &Site<'_>, book: &mut Book, works: &mut Works, findings: &mut Vec<Finding>) {
    let mut days: BTreeMap<NaiveDate, Vec<Span>> = BTreeMap::new();
    for s in &site.inputs.line.stretches {
        days.entry(s.date).or_default().push((s.lane, s.from, s.to));
    }
    let none = WeatherRule::default();
    let rule = site.rule.weather.as_ref().unwrap_or(&none);
    for (i, weather) in site.inputs.records.weather.iter().enumerate() {
        let evaporation = evaporation(site, book, i);
        let mut judged =
            WeatherJudged { weather: i, evaporation, temperatures: Finds::NotJudged, evaporates: Finds::NotJudged };
        if let Some(placed) = days.get(&weather.date.value) {
            judged.temperatures = temperatures(site, weather, rule, findings);
            judged.evaporates = evaporates(site, book, &judged, rule, findings);
            works.checks.extend(check(weather, placed, judged.temperatures));
        }
        works.weather.push(judged);
    }
}

/// The rate of evaporation of a row.
fn evaporation(site: &Site<'_>, book: &mut Book, i: usize) -> Option<FigureId> {
    let weather = &site.inputs.records.weather[i];
    let all =
        weather.air.is_some() && weather.humidity.is_some() && weather.wind.is_some() && weather.concrete.is_some();
    if !all {
        return None;
    }
    let (ledger, system) = (&site.inputs.line.ledger, site.inputs.contract.system);
    let cell = |column| Expr::from(ledger.weather_cell(i, column));
    let exponent = || whole(5) / whole(2);
    let concrete = degrees(book, cell(stepped::weather::CONCRETE), system).power(exponent());
    let air = degrees(book, cell(stepped::weather::AIR), system).power(exponent());
    let humidity = cell(stepped::weather::HUMIDITY).to(conversions::PERCENT_TO_RATIO);
    let wind = match system {
        System::Customary => cell(stepped::weather::WIND),
        System::Si => cell(stepped::weather::WIND).to(conversions::KMH_TO_MPH),
    }
    .to(conversions::MPH_NUMBER);
    let gust = whole(1) + wind * whole(2) / whole(5);
    let rate = ((concrete - humidity * air) * gust).to(conversions::MILLIONTHS_TO_EVAPORATION);
    let rate = match system {
        System::Customary => rate,
        System::Si => rate.to(conversions::EVAPORATION_TO_SI),
    };
    let when = when(weather);
    let key = format!("works.weather-{}.evaporation", crate::line::slug(&when));
    let figure = Figure::new(key, format!("evaporation, {when}"), "E", system.evaporation(), rate)
        .note("Menzel's equation, ACI 305 (from memory)");
    let figure = match site.rule.weather.as_ref().and_then(|r| r.round) {
        Some(round) => site.compared(figure, round),
        None => figure.shown(3),
    };
    Some(book.add(figure))
}

/// A temperature as the number of its degrees Fahrenheit.
fn degrees(book: &mut Book, cell: Expr, system: System) -> Expr {
    let fahrenheit = match system {
        System::Customary => cell,
        System::Si => {
            let zero = constant(book, ("freezing point", "T0"), dec!(32), Unit::Fahrenheit, "definition: 0 C are 32 F");
            cell.to(conversions::CELSIUS_TO_FAHRENHEIT) + zero
        }
    };
    fahrenheit.to(conversions::FAHRENHEIT_DEGREES)
}

/// `2031-07-08 14:00`.
fn when(weather: &Weather) -> String {
    let time = weather.time.as_ref().map_or_else(String::new, |t| t.value.format(" %H:%M").to_string());
    format!("{}{time}", weather.date.value)
}

fn temperatures(site: &Site<'_>, weather: &Weather, rule: &WeatherRule, findings: &mut Vec<Finding>) -> Finds {
    let unit = site.inputs.contract.system.temperature();
    let mut judged = None;
    for (what, read, ends) in [("concrete", &weather.concrete, &rule.concrete), ("air", &weather.air, &rule.air)] {
        let Some(read) = read else { continue };
        let beyond = |limit: &Option<RuleNumber>, out: fn(Decimal, Decimal) -> bool| {
            limit.clone().filter(|limit| out(read.value, limit.value))
        };
        let any = ends.0.is_some() || ends.1.is_some();
        let out = beyond(&ends.0, |v, l| v < l).or_else(|| beyond(&ends.1, |v, l| v > l));
        judged = judged.or(any.then_some(true)).map(|ok| ok && out.is_none());
        if let Some(limit) = out {
            let message = format!(
                "{what} at {} {unit} on {}, limit {} ({})",
                plain(read.value),
                when(weather),
                limit.written,
                limit.clause
            );
            let remedy =
                "protect the concrete, or stop and start as the contract says; the engineer decides what was placed";
            findings.push(Finding::new(Code::TemperatureOutside, cell(read.at), message, remedy));
        }
    }
    judged.map_or(Finds::NotJudged, Finds::of)
}

fn cell(at: CellRef) -> crate::finding::Place {
    crate::finding::Place::Cell(at)
}

/// At the limit precautions are due, so the limit itself is over.
fn evaporates(
    site: &Site<'_>,
    book: &Book,
    judged: &WeatherJudged,
    rule: &WeatherRule,
    findings: &mut Vec<Finding>,
) -> Finds {
    let weather = &site.inputs.records.weather[judged.weather];
    let Some(limit) = &rule.evaporation else { return Finds::NotJudged };
    let printed = weather.evaporation.as_ref();
    let computed = judged.evaporation.and_then(|id| book[id].value.decimal());
    let Some(rate) = computed.or(printed.map(|p| p.value)) else { return Finds::NotJudged };
    if let (Some(printed), Some(computed)) = (printed, computed)
        && (printed.value >= limit.value) != (computed >= limit.value)
    {
        findings.push(turns(site, weather, (printed.value, computed), limit));
    }
    if rate >= limit.value {
        findings.push(high(site, weather, rate, limit));
    }
    Finds::of(rate < limit.value)
}

fn high(site: &Site<'_>, weather: &Weather, rate: Decimal, limit: &RuleNumber) -> Finding {
    let unit = site.inputs.contract.system.evaporation();
    let (placements, of_day) = (&site.inputs.records.placements, site.inputs.line.directory.on(weather.date.value));
    let placed: Vec<String> = of_day.iter().map(|&p| placements[p].number.value.to_string()).collect();
    let message = format!(
        "evaporation of {} {unit} on {}, precautions are due from {} ({}); placed that day: {}",
        plain(rate),
        when(weather),
        limit.written,
        limit.clause,
        placed.join(", ")
    );
    let remedy = "plastic shrinkage cracks are likely: look for them, and say what was done (fog, evaporation reducer, earlier curing)";
    Finding::new(Code::EvaporationHigh, row(weather.date.at), message, remedy)
}

fn turns(site: &Site<'_>, weather: &Weather, (printed, computed): (Decimal, Decimal), limit: &RuleNumber) -> Finding {
    let unit = site.inputs.contract.system.evaporation();
    let message = format!(
        "evaporation on {}: the sheet prints {} {unit}, its own readings make {} {unit}, and the limit {} lies between",
        when(weather),
        plain(printed),
        plain(computed.round_dp(4)),
        limit.written
    );
    let remedy = "look at the readings; charts and rounded formulas give a few percent less than the equation";
    Finding::new(Code::EvaporationPrinted, row(weather.date.at), message, remedy)
}

/// A concrete temperature is proof of that day's placements.
fn check(weather: &Weather, placed: &[Span], finds: Finds) -> Option<Check> {
    let concrete = weather.concrete.as_ref()?;
    let places = match (&weather.lane, &weather.station) {
        (Some(lane), Some(station)) => vec![(lane.value, station.value, station.value)],
        _ => placed.to_vec(),
    };
    Some(Check {
        proof: Proof::Temperature,
        number: when(weather),
        at: weather.date.at,
        date: weather.date.value,
        places,
        finds,
        text: if finds == Finds::Failed { plain(concrete.value) } else { String::new() },
    })
}

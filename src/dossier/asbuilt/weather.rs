//! Weather: temperatures and how fast water could leave the fresh slab.

use super::super::layout::{figure, line, numbers, text, unit, words};
use super::super::{Block, Finished, Page, Shown, Table};
use crate::line::stepped;
use crate::works::Finds;

const CAUTION: &str = "Where water leaves a fresh slab faster than it rises, the slab can crack before it sets: fog, windbreaks, an \
evaporation reducer or earlier curing are for the crew to decide on the spot, under the contract.";

pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    (!finished.works.weather.is_empty()).then(|| Page {
        id: "weather",
        title: "Weather",
        question: "Was it too cold, too hot or too dry for the concrete that was placed?",
        blocks: vec![Block::Caution(CAUTION.into()), Block::Table(rows(finished))],
    })
}

fn rows(finished: Finished<'_>) -> Table {
    let (ledger, system) = (&finished.line.ledger, finished.contract.system);
    let row = |w: &crate::works::WeatherJudged| {
        let weather = &finished.intake.records.weather[w.weather];
        let cell = |there: bool, column| {
            if there { Shown::Cell(ledger.weather_cell(w.weather, column)) } else { Shown::Blank }
        };
        let result = match (w.temperatures, w.evaporates) {
            (Finds::Failed, Finds::Failed) => "temperature outside, evaporation high",
            (Finds::Failed, _) => "temperature outside",
            (_, Finds::Failed) => "evaporation high",
            (Finds::NotJudged, Finds::NotJudged) => "not judged",
            _ => "within limits",
        };
        line(vec![
            Shown::Date(weather.date.value),
            text(weather.time.as_ref().map_or_else(String::new, |t| t.value.format("%H:%M").to_string())),
            cell(weather.air.is_some(), stepped::weather::AIR),
            cell(weather.humidity.is_some(), stepped::weather::HUMIDITY),
            cell(weather.wind.is_some(), stepped::weather::WIND),
            cell(weather.concrete.is_some(), stepped::weather::CONCRETE),
            figure(w.evaporation),
            cell(weather.evaporation.is_some(), stepped::weather::EVAPORATION),
            text(result),
        ])
    };
    Table {
        id: "weather-rows".into(),
        title: "Weather and concrete".into(),
        columns: vec![
            words("day", 11),
            words("time", 7),
            numbers("air", unit(system.temperature()), 8),
            numbers("humidity", "%", 9),
            numbers("wind", unit(system.speed()), 8),
            numbers("concrete", unit(system.temperature()), 9),
            numbers("evaporation", unit(system.evaporation()), 12),
            numbers("as printed", unit(system.evaporation()), 12),
            words("result", 36),
        ],
        rows: finished.works.weather.iter().map(row).collect(),
        note: "Evaporation by Menzel's equation as ACI 305 prints it (from memory), in its own form; the rounded metric form and charts \
               give a few percent less. Days on which nothing was placed are not judged."
            .into(),
    }
}

//! What the name of a sheet or file says of every row: one sheet per day (`2031-07-03`, `Jul 3 2031`), one workbook per
//! placement (`loads NB-1 placement 12.xlsx`).
//!
//! Only in full: a date with its year (or a day and month that the contract's periods leave one year for), a lane's own
//! name, a placement with its number behind the word. A name that says two of a sort says nothing.

use chrono::{Datelike, NaiveDate};

use super::date;
use super::kind::{Field, Kind, KindSpec};
use super::raw::{RawSheet, RawValue};
use super::row::Words;

/// Kinds whose records are of the day for which their workbook is kept. Laboratories date theirs by the report.
pub(super) const DAILY: &[Kind] = &[
    Kind::Placements,
    Kind::Loads,
    Kind::Batches,
    Kind::Fresh,
    Kind::Probes,
    Kind::Work,
    Kind::Bars,
    Kind::Weather,
    Kind::Measured,
    Kind::Materials,
];

/// The value that the names of sheet and file give for a field, and where it stands, in words.
pub(super) fn given(
    raw: &RawSheet,
    kind: &KindSpec,
    field: Field,
    words: Words<'_>,
    any: bool,
) -> Option<(RawValue, &'static str)> {
    let sheet = raw.name.as_deref().and_then(|name| said(name, kind, field, words));
    if let Some(value) = sheet {
        return Some((value, "name of the sheet"));
    }
    let file = raw.file.rsplit('/').next().unwrap_or(&raw.file);
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let of_file = any || field != Field::Date || DAILY.contains(&kind.kind);
    said(stem, kind, field, words).filter(|_| of_file).map(|value| (value, "name of the file"))
}

fn said(name: &str, kind: &KindSpec, field: Field, words: Words<'_>) -> Option<RawValue> {
    let text = |text: String| RawValue::Text(text.into());
    match field {
        Field::Lane if kind.needs(field) || kind.kind == Kind::Loads => lane(name, words).map(text),
        Field::Date if kind.needs(field) => day(name, words).map(|d| text(d.to_string())),
        Field::Placement if matches!(kind.kind, Kind::Loads | Kind::Fresh | Kind::Specimens) => {
            placement(name).map(text)
        }
        _ => None,
    }
}

/// Words of a name, and runs of up to four of them.
fn runs(name: &str) -> Vec<String> {
    let pieces: Vec<&str> = name
        .split(|c: char| c.is_whitespace() || matches!(c, '_' | ',' | '(' | ')'))
        .filter(|p| !p.is_empty())
        .collect();
    let mut runs = Vec::new();
    for from in 0..pieces.len().min(40) {
        for to in from + 1..=(from + 4).min(pieces.len()) {
            runs.push(pieces[from..to].join(" "));
        }
    }
    runs
}

/// The only one of some values.
fn only<T: PartialEq>(found: impl Iterator<Item = T>) -> Option<T> {
    let mut first: Option<T> = None;
    for value in found {
        match &first {
            Some(known) if *known != value => return None,
            _ => first = Some(value),
        }
    }
    first
}

fn day(name: &str, words: Words<'_>) -> Option<NaiveDate> {
    let dates = words.setting.dates();
    let runs = runs(name);
    let full: Vec<NaiveDate> = runs.iter().filter_map(|r| date::of_text(r, dates).ok()).map(|(d, _)| d).collect();
    if !full.is_empty() {
        return only(full.into_iter());
    }
    let (first, last) = words.setting.window?;
    let years = |run: &String| {
        let year = |y: i32| date::of_text(&format!("{run} {y}"), dates).ok().map(|(d, _)| d);
        let named = run.split(' ').count() == 2 && run.contains(char::is_alphabetic);
        let days = (first.year()..=last.year()).filter_map(year).filter(|d| (first..=last).contains(d));
        if named { days.collect() } else { Vec::new() }
    };
    only(runs.iter().flat_map(years))
}

/// A lane by its own name; a word that is only a figure or a letter names none here.
fn lane(name: &str, words: Words<'_>) -> Option<String> {
    if words.names.lane(name).is_ok() {
        return Some(name.to_string());
    }
    let own = |run: &&String| {
        let id = words.names.lane(run).ok();
        let lane = id.and_then(|id| words.setting.lanes.get(usize::from(id.0)));
        let telling = run.len() >= 2 && run.contains(char::is_alphabetic);
        lane.is_some_and(|l| {
            telling && (l.name.eq_ignore_ascii_case(run) || run.contains(|c: char| c.is_ascii_digit()))
        })
    };
    let runs = runs(name);
    let found: Vec<&String> = runs.iter().filter(own).collect();
    let ids = found.iter().filter_map(|r| words.names.lane(r).ok());
    only(ids).and_then(|_| found.first().map(|r| (*r).clone()))
}

/// The number behind the word for a placement.
fn placement(name: &str) -> Option<String> {
    let pieces: Vec<&str> = name.split(|c: char| c.is_whitespace() || c == '_').filter(|p| !p.is_empty()).collect();
    let word = |w: &str| ["placement", "pour"].iter().any(|p| p.eq_ignore_ascii_case(w.trim_end_matches('.')));
    let no = |w: &str| ["no", "nr", "#", "number"].iter().any(|n| n.eq_ignore_ascii_case(w.trim_end_matches('.')));
    let behind = |i: usize| {
        let at = if pieces.get(i + 1).is_some_and(|w| no(w)) { i + 2 } else { i + 1 };
        let number = pieces.get(at)?.trim_matches([',', '#']);
        number.contains(|c: char| c.is_ascii_digit()).then(|| number.to_string())
    };
    only((0..pieces.len()).filter(|&i| word(pieces[i])).filter_map(behind))
}

//! A title that names a lane or a day by itself, without a label: `Lane NB-1`, `NB-1 loads`, `July 3, 2031`.
//!
//! Only a cell that stands alone in its row, and only where nothing else is said in it than the lane or the full date
//! and the name of what follows.

use super::date;
use super::grid::Line;
use super::raw::RawValue;
use super::row::Words;

/// Words that may stand beside the lane or day of a title.
const BESIDE: &[&str] = &[
    "lane",
    "date",
    "dated",
    "day",
    "loads",
    "load",
    "tickets",
    "deliveries",
    "cores",
    "core",
    "cylinders",
    "breaks",
    "specimens",
    "tests",
    "placements",
    "pours",
    "probes",
    "for",
    "on",
    "of",
    "record",
    "log",
    "list",
];

/// What a text says by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Said {
    Lane,
    Day,
}

/// The label under which a day is kept that stands alone above the headings: on a laboratory's report it may be the day
/// of the report.
pub(super) const DAY_ABOVE: &str = "a day alone above the headings";
/// The same between the rows of a table.
pub(super) const DAY_BETWEEN: &str = "a day alone between the rows";

impl Said {
    /// The label under which it is kept.
    pub(super) fn label(self, above: bool) -> &'static str {
        match self {
            Said::Lane => "lane",
            Said::Day if above => DAY_ABOVE,
            Said::Day => DAY_BETWEEN,
        }
    }
}

/// The lane or the full date that a text names, as the text that names it.
pub(super) fn of_text(text: &str, words: Words<'_>) -> Option<(Said, String)> {
    let text = text.trim();
    if text.is_empty() || text.len() > 60 {
        return None;
    }
    if words.names.lane(text).is_ok() {
        return Some((Said::Lane, text.to_string()));
    }
    let beside = |word: &&str| {
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        !bare.is_empty() && !BESIDE.contains(&bare.as_str()) || word.contains('&')
    };
    let kept: Vec<&str> = text.split_whitespace().filter(beside).collect();
    let rest = kept.join(" ");
    let rest = rest.trim_matches([':', '-', '–', ' ']);
    if rest.is_empty() {
        return None;
    }
    if words.names.lane(rest).is_ok() {
        return Some((Said::Lane, rest.to_string()));
    }
    date::of_text(rest, words.setting.dates()).ok().map(|_| (Said::Day, rest.to_string()))
}

/// What the only cell of a row says by itself.
pub(super) fn alone(line: Line<'_>, words: Words<'_>) -> Option<(Said, RawValue, u16)> {
    let mut cells = line.filled();
    let (cell, None) = (cells.next()?, cells.next()) else { return None };
    match &cell.value {
        RawValue::Text(text) if !cell.struck => {
            of_text(text, words).map(|(said, text)| (said, RawValue::Text(text.into()), cell.column))
        }
        RawValue::Moment(days) if date::of_moment(*days).is_ok() => Some((Said::Day, cell.value.clone(), cell.column)),
        _ => None,
    }
}

//! One cell of a sound row is replaced: a number, a day, a time, a station, a stretch, lanes, or a value of any type.

use std::sync::OnceLock;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use slabtally::contract;
use slabtally::intake::{Intake, LaneWords, RawCell, RawSheet, RawValue, Setting, understand};
use slabtally::source::SheetId;
use slabtally::units::StationLabel;

use crate::{Outcome, Target, independent, sound};

/// What the smallest contract tells intake, with a second lane.
pub(crate) fn setting() -> &'static Setting {
    static SETTING: OnceLock<Setting> = OnceLock::new();
    SETTING.get_or_init(|| {
        let contract = contract::load(include_str!("../findings/base/contract.toml")).unwrap();
        let mut setting = contract.setting(NaiveDate::from_ymd_opt(2199, 12, 31).unwrap());
        setting.lanes.push(LaneWords { name: "L2".into(), also: vec!["outside".into()], alignment: 0 });
        setting
    })
}

const CORES: (&[&str], &[&str]) =
    (&["Core", "Date", "Lane", "Station", "Length (in)"], &["C1", "6/20/2031", "L1", "1+00", "9.1"]);
const LOADS: (&[&str], &[&str]) =
    (&["Ticket", "Date", "Discharged", "Volume (CY)"], &["100", "6/2/2031", "7:05", "8.5"]);
const PLACED: (&[&str], &[&str]) =
    (&["Placement", "Date", "Lane", "Stations"], &["P1", "6/2/2031", "L1", "0+00 to 5+00"]);

pub(crate) fn sheet(file: &str, place: u16, rows: &[Vec<RawValue>]) -> RawSheet {
    let mut cells = Vec::new();
    for (row, values) in (0..).zip(rows) {
        for (column, value) in (0..).zip(values) {
            if *value != RawValue::Text("".into()) {
                cells.push(RawCell { row, column, value: value.clone(), struck: false });
            }
        }
    }
    RawSheet {
        id: SheetId(place),
        file: file.into(),
        name: None,
        cells,
        merged: vec![],
        hidden_rows: vec![],
        hidden: false,
        grid: true,
        semicolons: false,
    }
}

pub(crate) fn texts(texts: &[&str]) -> Vec<RawValue> {
    texts.iter().map(|text| RawValue::Text((*text).into())).collect()
}

/// The sound sheet with one value replaced, read.
fn with((headings, row): (&[&str], &[&str]), column: usize, value: RawValue) -> Result<Intake, String> {
    let mut row = texts(row);
    row[column] = value;
    let intake = understand(vec![sheet("field/a.csv", 0, &[texts(headings), row])], setting());
    sound::intake(&intake)?;
    if intake.sheets[0].kinds.is_empty() {
        return Err("the sheet was not recognised".into());
    }
    Ok(intake)
}

/// As every reader of files hands text on: legible.
fn text(input: &[u8]) -> String {
    slabtally::legible::legible(&String::from_utf8_lossy(input)).into_owned()
}

fn typed(input: &[u8], kind: (&[&str], &[&str]), column: usize) -> Result<(String, Intake), String> {
    let text = text(input);
    let intake = with(kind, column, RawValue::Text(text.as_str().into()))?;
    Ok((text, intake))
}

/// What was read must be what a second reading says; where that is sure and `must` says so, it must be read.
fn agree<T: PartialEq + std::fmt::Debug>(
    text: &str,
    read: Option<&T>,
    sure: Option<&T>,
    must: bool,
) -> Result<(), String> {
    match (read, sure) {
        (Some(read), Some(sure)) if read != sure => Err(format!("{text:?} was read as {read:?} and is {sure:?}")),
        (None, Some(sure)) if must => Err(format!("{text:?} was refused and is {sure:?}")),
        _ => Ok(()),
    }
}

fn told<T>(intake: &Intake, read: Option<&T>) -> Vec<String> {
    let mut words = sound::shape(&intake.findings);
    words.push(format!("read {}", read.is_some()));
    words
}

fn number(input: &[u8]) -> Outcome {
    let (text, intake) = typed(input, CORES, 4)?;
    let read = intake.records.cores.first().map(|core| core.readings[0].value);
    let sure = independent::inches(&text);
    let usual = sure.is_some_and(|it| it > Decimal::ONE && it < Decimal::ONE_HUNDRED);
    agree(&text, read.as_ref(), sure.as_ref(), usual)?;
    if read.is_some() && !text.contains(|c: char| c.is_numeric()) {
        return Err(format!("{text:?} holds no figure and was read as {read:?}"));
    }
    Ok(told(&intake, read.as_ref()))
}

fn date(input: &[u8]) -> Outcome {
    let (text, intake) = typed(input, CORES, 1)?;
    let read = intake.records.cores.first().map(|core| core.date.value);
    let sure = independent::day(&text);
    agree(&text, read.as_ref(), sure.as_ref(), sure.is_some_and(|it| it.to_string().starts_with("203")))?;
    Ok(told(&intake, read.as_ref()))
}

fn time(input: &[u8]) -> Outcome {
    let (text, intake) = typed(input, LOADS, 2)?;
    let read = intake.records.loads.first().and_then(|load| load.discharged.as_ref()).map(|it| it.value);
    agree(&text, read.as_ref(), independent::time(&text).as_ref(), true)?;
    Ok(told(&intake, read.as_ref()))
}

fn station(input: &[u8]) -> Outcome {
    let (text, intake) = typed(input, CORES, 3)?;
    let line = &setting().alignments[0];
    let read = intake.records.cores.first().map(|core| core.station.value.label);
    let sure = independent::station(&text);
    let on_line = sure.is_some_and(|it| line.begin <= it && it <= line.end);
    agree(&text, read.as_ref(), sure.as_ref(), on_line)?;
    if sure.is_some() && !on_line && read.is_some() {
        return Err(format!("{text:?} is not on the line and was read"));
    }
    for full in [line.full_station, Decimal::ONE_THOUSAND] {
        if let Ok((label, _)) = StationLabel::read(&text, full) {
            let other = slabtally::units::Alignment { full_station: full, ..line.clone() };
            let written = other.write(label.value);
            let again = StationLabel::read(&written, full).map(|(again, rest)| (again.value, rest.is_empty()));
            if again != Ok((label.value, true)) {
                return Err(format!("{text:?} is written {written:?}, which reads as {again:?}"));
            }
        }
    }
    Ok(told(&intake, read.as_ref()))
}

fn stretch(input: &[u8]) -> Outcome {
    let (text, intake) = typed(input, PLACED, 3)?;
    let read = intake.records.placements.first().map(|it| (it.from.value.label, it.to.value.label));
    let line = &setting().alignments[0];
    let sure = independent::stretch(&text);
    let on_line = sure.is_some_and(|(from, to)| from != to && from <= line.end && to <= line.end);
    agree(&text, read.as_ref(), sure.as_ref(), on_line)?;
    Ok(told(&intake, read.as_ref()))
}

fn lanes(input: &[u8]) -> Outcome {
    let (text, intake) = typed(input, PLACED, 2)?;
    let read = intake.records.placements.first().map(|it| it.lanes.value.clone());
    if read.as_ref().is_some_and(|lanes| lanes.is_empty() || lanes.windows(2).any(|pair| pair[0] >= pair[1])) {
        return Err(format!("{text:?} was read as {read:?}"));
    }
    let named = |word: &str| text.to_lowercase().contains(word);
    if read.is_some() && !["l1", "l2", "outside", "l", "1", "2"].into_iter().any(named) {
        return Err(format!("{text:?} names no lane and was read as {read:?}"));
    }
    Ok(told(&intake, read.as_ref()))
}

/// `number 1e308`, `moment 60`, `span -0.01`, `truth`, `error #N/A`, `unstored`.
fn value(input: &[u8]) -> Option<RawValue> {
    let text = text(input);
    let (word, rest) = text.split_once(' ').unwrap_or((text.as_str(), ""));
    Some(match word {
        "number" => RawValue::Number(rest.parse().ok()?),
        "moment" => RawValue::Moment(rest.parse().ok()?),
        "span" => RawValue::Span(rest.parse().ok()?),
        "truth" => RawValue::Truth(rest == "yes"),
        "error" => RawValue::Error(rest.into()),
        "unstored" => RawValue::Unstored,
        _ => return None,
    })
}

fn values(input: &[u8]) -> Outcome {
    let Some(value) = value(input) else { return Ok(Vec::new()) };
    let mut words = Vec::new();
    for kind in [CORES, LOADS, PLACED] {
        for column in 0..kind.0.len() {
            let intake = with(kind, column, value.clone())?;
            words.extend(sound::shape(&intake.findings).into_iter().map(|word| format!("{column} {word}")));
            let length = intake.records.cores.first().filter(|_| column == 4).map(|core| core.readings[0].value);
            if let (Some(length), RawValue::Number(real)) = (length, &value)
                && format!("{:.13e}", length.to_f64().unwrap_or(f64::NAN)) != format!("{real:.13e}")
            {
                return Err(format!("{real} was read as {length}"));
            }
        }
    }
    Ok(words)
}

const FIGURES: &[&str] = &[
    "0",
    "1",
    "9",
    "9.25",
    "-",
    "+",
    ".",
    ",",
    "1,140.25",
    "3/4",
    "9 3/4",
    "½",
    "¾",
    "⅛",
    " ",
    "\u{a0}",
    "\u{202f}",
    "in",
    "in.",
    "\"",
    "mm",
    "cm",
    "ft",
    "'",
    "CY",
    "%",
    "psi",
    "e3",
    "E-7",
    "e99",
    "1e308",
    "−",
    "⁄",
    "<",
    "~",
    "±",
    "(",
    ")",
    "n/a",
    "ditto",
    "٣",
    "９",
    "NaN",
    "inf",
    "\u{200b}",
    "\u{202e}",
    "\u{1b}[31m",
    "\0",
    "=1+1",
    "@SUM(A1)",
    "79228162514264337593543950335",
    "000",
];

const DAYS: &[&str] = &[
    "5/14/2031",
    "2031-05-14",
    "14.5.2031",
    "5/14/31",
    "'31",
    "’31",
    "31",
    "May",
    "14-May-2031",
    "Sept",
    "Wed,",
    "Wednesday",
    "th",
    "/",
    "-",
    ".",
    " ",
    "–",
    "T07:12:00",
    "Z",
    "7:12 AM",
    "0",
    "00",
    "29",
    "2/29/2032",
    "2/29/2031",
    "1900",
    "2000",
    "9999",
    "99",
    "12",
    "13",
    "20310514",
    "\u{a0}",
    "\u{1b}[2J",
    "Mai",
    "MAY",
    "juneau",
    "1st",
    "１",
];

const TIMES: &[&str] = &[
    "7:05",
    "07:05:30",
    "PM",
    "am",
    "a.m.",
    "p.m.",
    "0705",
    "12:00",
    "24:00",
    "23:59:60",
    ":",
    ".",
    " ",
    "12",
    "0",
    "noon",
    "5/14/2031",
    "T",
    "Z",
    "m",
    "é",
];

const STATIONS: &[&str] = &[
    "12+34.5",
    "0+00",
    "20+00",
    "Sta.",
    "Sta",
    "STATION",
    "km",
    "1+234.500",
    "+",
    "-",
    ".",
    "00",
    "99",
    "100",
    "Lt",
    "Rt",
    "6.0 Rt",
    "CL",
    "BK",
    "back",
    "AH",
    "ahead",
    " ",
    "to",
    "thru",
    "through",
    "until",
    "--",
    "–",
    "→",
    "/",
    ",",
    "&",
    "\n",
    "\r\n",
    "(",
    ")",
    "é",
    "\u{a0}",
    "9",
    "999999999999",
    "7922816251426433759354395033",
    "\u{202e}",
];

const LANES: &[&str] = &[
    "L1",
    "L2",
    "outside",
    "l1",
    "L 1",
    "L-1",
    "&",
    "and",
    " and ",
    ",",
    ";",
    "/",
    "+",
    "\n",
    "1",
    "2",
    "Lane",
    " ",
    "\u{1b}[1m",
    "é",
    "all",
];

const VALUES: &[&str] = &[
    "number ",
    "moment ",
    "span ",
    "truth",
    "error ",
    "unstored",
    "#N/A",
    "1e308",
    "-0",
    "NaN",
    "inf",
    "-inf",
    "60",
    "0",
    "0.5",
    "47982.5",
    "2958465",
    "2958466",
    "1e-320",
    "-1",
    "9.25",
    ".",
    "9007199254740993",
    "0.1",
    "1e15",
    "-0.01",
];

pub(crate) fn targets() -> Vec<Target> {
    let target = |name, words, try_one| Target { name, words, seeds: Vec::new(), try_one, change: None };
    vec![
        target("number", FIGURES, number as fn(&[u8]) -> Outcome),
        target("date", DAYS, date),
        target("time", TIMES, time),
        target("station", STATIONS, station),
        target("stretch", STATIONS, stretch),
        target("lanes", LANES, lanes),
        target("values", VALUES, values),
    ]
}

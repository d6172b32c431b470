//! A grid of words goes through the recognition of headings and then row by row: two sheets, a line each row, bars between
//! cells, `===` between the sheets. What is figures is a number, as in a workbook.

use std::fs;

use slabtally::intake::{RawSheet, RawValue, SheetRead, understand};

use crate::cells::{setting, sheet};
use crate::{Outcome, Target, sound};

fn rows(text: &str) -> Vec<Vec<RawValue>> {
    let value = |cell: &str| match cell.trim().parse::<f64>() {
        Ok(number) if number.is_finite() => RawValue::Number(number),
        _ => RawValue::Text(cell.into()),
    };
    text.lines().map(|line| line.split('|').take(300).map(value).collect()).collect()
}

fn grid(input: &[u8]) -> Outcome {
    let text = String::from_utf8_lossy(input).into_owned();
    let text: Vec<String> = text.lines().map(|line| slabtally::legible::legible(line).into_owned()).collect();
    let text = text.join("\n");
    let (first, second) = text.split_once("===\n").unwrap_or((text.as_str(), ""));
    let sheets = || vec![sheet("field/a.csv", 0, &rows(first)), sheet("field/b.csv", 1, &rows(second))];
    let intake = understand(sheets(), setting());
    sound::intake(&intake)?;
    let turned = understand(sheets().into_iter().rev().collect(), setting());
    if turned != intake {
        return Err("the order in which sheets come changes what is read".into());
    }
    for (raw, (id, _)) in sheets().iter().zip(intake.sources.iter()) {
        every_row_is_seen(raw, intake.sheets.iter().filter(|read| read.id == id))?;
    }
    let kinds =
        intake.sheets.iter().flat_map(|it| it.kinds.iter().map(|kind| format!("kind {kind} {}", it.rows.used.min(3))));
    Ok(sound::shape(&intake.findings).into_iter().chain(kinds).collect())
}

/// The rows of a sheet are seen to the last filled one, by the tables side by side on it together. A form on its side
/// counts its columns, or its forms, of which there are no more than cells.
fn every_row_is_seen<'r>(raw: &RawSheet, read: impl Iterator<Item = &'r SheetRead>) -> Result<(), String> {
    let last = raw.cells.last().map_or(0, |cell| cell.row + 1);
    let cells = u32::try_from(raw.cells.len()).unwrap_or(u32::MAX);
    let widest = raw.cells.iter().map(|cell| u32::from(cell.column) + 1).max().unwrap_or(0);
    let (mut seen, mut turned) = (0, false);
    for one in read {
        turned |= one.counts != "rows";
        seen = seen.max(one.rows.seen);
    }
    let most = widest.max(cells).max(last);
    match turned {
        false if seen != last => Err(format!("{seen} rows were seen, and the last filled one is {last}")),
        true if seen == 0 || seen > most => Err(format!("{seen} of a form on its side were seen, with {cells} cells")),
        _ => Ok(()),
    }
}

/// The small sheets of the catalogue of findings, first rows only.
fn seeds() -> Vec<Vec<u8>> {
    let mut paths: Vec<_> = fs::read_dir("tests/findings")
        .unwrap()
        .filter_map(|case| fs::read_dir(case.unwrap().path().join("field")).ok())
        .flat_map(|field| field.map(|entry| entry.unwrap().path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .collect();
    paths.sort();
    let first = |text: String| text.lines().take(4).map(|line| line.replace(',', "|")).collect::<Vec<_>>().join("\n");
    let mut seeds: Vec<Vec<u8>> =
        paths.iter().filter_map(|path| fs::read_to_string(path).ok()).map(|text| first(text).into_bytes()).collect();
    seeds.sort();
    seeds.dedup();
    seeds
}

const WORDS: &[&str] = &[
    "|",
    "\n",
    "===\n",
    "Core",
    "Date",
    "Lane",
    "Station",
    "Length (in)",
    "Length",
    "Thickness",
    "Depth (mm)",
    "From",
    "To",
    "From station",
    "To station",
    "Stations",
    "Ticket",
    "Ticket No.",
    "Volume (CY)",
    "Volume",
    "m3",
    "in",
    "ft",
    "psi",
    "Placement",
    "Mix",
    "Remarks",
    "Total",
    "Subtotal",
    "Sum",
    "Item",
    "Width (ft)",
    "Specimen",
    "Set",
    "Cast date",
    "Test date",
    "Age (days)",
    "Diameter (in)",
    "Load (lb)",
    "Air (%)",
    "Slump (in)",
    "Temperature (F)",
    "Truck",
    "Plant",
    "Batched",
    "Discharged",
    "Invoice",
    "Amount",
    "Price",
    "Wind",
    "Humidity",
    "C1",
    "100",
    "6/20/2031",
    "L1",
    "L2",
    "1+00",
    "5+00",
    "9.1",
    "9 3/4",
    "void",
    "VOID",
    "P1",
    "Daily report",
    "Sheet 1 of 2",
    "8.5",
    "-8.5",
    "17",
    "4000",
    "Roughness",
    "Elevation",
    "Bar",
    "Sensor",
    "Reading 1",
    "Reading 2",
    "Average",
    "\u{202e}",
    "\u{1b}]0;x\u{7}",
    "=cmd|' /C calc'!A0",
];

pub(crate) fn targets() -> Vec<Target> {
    vec![Target { name: "headings", words: WORDS, seeds: seeds(), try_one: grid, change: None }]
}

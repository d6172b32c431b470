//! One of two results to be compared: its figures, findings and records, from wherever it lies.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use rust_decimal::Decimal;
use serde_json::Value;

use super::super::{Stop, Tick, closing::past, compute};
use crate::closing::{CONTRACT, RECORDS, Record, STATEMENT, records, told};
use crate::finding::{Code, Finding, Place};
use crate::intake;
use crate::render;

/// The file of a package that is read.
const RESULT: &str = "result.json";
/// How many places of a line are named.
const PLACES: usize = 3;

pub(super) struct Side {
    pub(super) name: String,
    pub(super) figures: BTreeMap<String, Number>,
    /// Keys in the order they were computed.
    pub(super) order: Vec<String>,
    pub(super) findings: BTreeSet<String>,
    pub(super) records: Option<Vec<Record>>,
}

/// A figure of a result.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Number {
    pub(super) label: String,
    pub(super) unit: String,
    pub(super) value: Option<String>,
    pub(super) below: Vec<Below>,
}

/// What a figure is computed from, one step down.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Below {
    /// Key of another figure.
    Figure(String),
    /// A cell, in words with its place.
    Cell(String),
    /// A given value, in words with its place.
    Given(String),
    /// A total over records of a table.
    Records(String),
}

impl Number {
    pub(super) fn number(&self) -> Option<Decimal> {
        self.value.as_ref()?.parse().ok()
    }

    /// The first cells it rests on.
    pub(super) fn places(&self, figures: &BTreeMap<String, Number>) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        let mut left: Vec<&Below> = self.below.iter().rev().collect();
        while let Some(below) = left.pop() {
            match below {
                Below::Cell(cell) if !found.contains(cell) => found.push(cell.clone()),
                Below::Figure(key) => {
                    left.extend(figures.get(key).into_iter().flat_map(|f| f.below.iter().rev()));
                }
                _ => {}
            }
            if found.len() == PLACES {
                break;
            }
        }
        found
    }

    /// Keys of all figures it rests on.
    pub(super) fn keys_below(&self, figures: &BTreeMap<String, Number>) -> BTreeSet<String> {
        let mut found = BTreeSet::new();
        let mut left: Vec<&Below> = self.below.iter().collect();
        while let Some(below) = left.pop() {
            let Below::Figure(key) = below else { continue };
            if found.insert(key.clone()) {
                left.extend(figures.get(key).into_iter().flat_map(|f| &f.below));
            }
        }
        found
    }
}

/// Reads a result: a contract folder is computed; of a closing the records follow from those before it.
pub(super) fn read(at: &Path, tick: Tick<'_>) -> Result<Side, Stop> {
    let folder = if at.ends_with(RESULT) { at.parent().unwrap_or(at) } else { at };
    let has = |name: &str| intake::has(folder, name);
    if has(STATEMENT) {
        let root = folder.join("../..");
        let (past, _) = past(&root, false)?;
        let text = intake::long_text(folder, RESULT)?;
        let period = period(&text);
        let records = period.map(|period| past.records(period)).transpose()?;
        return side(&text, records, folder);
    }
    if has(RESULT) {
        let text = intake::long_text(folder, RESULT)?;
        let records = if has(RECORDS) {
            let lines = intake::long_text(folder, RECORDS)?;
            Some(told(lines.as_bytes()).map_err(|why| unreadable(folder, &format!("{RECORDS}, {why}")))?)
        } else {
            None
        };
        return side(&text, records, folder);
    }
    if has(CONTRACT) {
        let computed = compute(folder, None, tick)?;
        let text =
            render::json(&computed.dossier(), &computed.book).map_err(|why| unreadable(folder, &why.to_string()))?;
        return side(&text, Some(records(&computed.book)), folder);
    }
    Err(unreadable(folder, "it holds neither result.json nor contract.toml"))
}

fn unreadable(at: &Path, why: &str) -> Stop {
    let remedy = "name a package (out/CONTRACT-PERIOD), a closing (CONTRACT_DIR/closed/NN) or a contract folder";
    Finding::new(Code::FileUnreadable, Place::File(at.display().to_string()), why, remedy).into()
}

/// The period of a result: `period 3`.
fn period(text: &str) -> Option<u32> {
    let value: Value = serde_json::from_str(text).ok()?;
    value["contract"]["period"].as_str()?.rsplit(' ').next()?.parse().ok()
}

fn side(text: &str, records: Option<Vec<Record>>, at: &Path) -> Result<Side, Stop> {
    let value: Value = serde_json::from_str(text).map_err(|why| unreadable(at, &format!("{RESULT}: {why}")))?;
    let said = |value: &Value| value.as_str().unwrap_or_default().to_string();
    let Some(listed) = value["figures"].as_array() else {
        return Err(unreadable(at, &format!("{RESULT} lists no figures")));
    };
    let (mut figures, mut order) = (BTreeMap::new(), Vec::new());
    for figure in listed {
        let below = figure["sources"].as_array().into_iter().flatten().filter_map(below).collect();
        let number = Number {
            label: said(&figure["label"]),
            unit: said(&figure["unit"]),
            value: figure["value"].as_str().map(String::from),
            below,
        };
        order.push(said(&figure["key"]));
        figures.insert(said(&figure["key"]), number);
    }
    let findings = value["findings"].as_array().into_iter().flatten();
    let contract = &value["contract"];
    Ok(Side {
        name: format!(
            "{} {}, through {} ({})",
            said(&contract["number"]),
            said(&contract["period"]),
            said(&contract["through"]),
            at.display()
        ),
        figures,
        order,
        findings: findings
            .map(|f| format!("{}: {}: {}", said(&f["code"]), said(&f["place"]), said(&f["message"])))
            .collect(),
        records,
    })
}

fn below(source: &Value) -> Option<Below> {
    let said = |value: &Value| value.as_str().unwrap_or_default().to_string();
    if let Some(key) = source["figure"].as_str() {
        return Some(Below::Figure(key.into()));
    }
    let (cell, given, records) = (&source["cell"], &source["given"], &source["records"]);
    if cell.is_object() {
        let words = format!("{}, {} {}", said(&cell["record"]), said(&cell["column"]), said(&cell["value"]));
        let place = cell["place"].as_str().map_or_else(String::new, |place| format!(" ({place})"));
        return Some(Below::Cell(words + &place));
    }
    if given.is_object() {
        let words = format!("{} {} {}", said(&given["label"]), said(&given["value"]), said(&given["unit"]));
        return Some(Below::Given(format!("{} ({})", words.trim_end(), said(&given["place"]))));
    }
    records.is_object().then(|| Below::Records(said(&records["table"])))
}

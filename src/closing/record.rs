//! The records behind a closing, and what became of them since.
//!
//! Each closing keeps only what is new, changed or gone since the closing before, one line of JSON for each record, so that
//! all closings together hold every record once and each correction once. A record is found again by its table and its
//! name; where several bear one name, those that say the same are paired first.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::figure::{Book, CellValue, Table, TableCell};

/// A record as it was used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// Table: `Loads`.
    pub table: Arc<str>,
    /// Its name in that table: a ticket, a core number.
    pub name: String,
    /// Its day; none where its table has none.
    pub day: Option<NaiveDate>,
    /// File, sheet and row, in words.
    pub place: String,
    /// Headings of the table.
    pub(super) columns: Arc<[String]>,
    /// Its cells under them, empty where blank or put there by the program.
    pub(super) values: Vec<String>,
}

impl Record {
    /// What it says: heading and value, blanks left out.
    pub fn said(&self) -> impl Iterator<Item = (&str, &str)> {
        let cells = self.columns.iter().zip(&self.values);
        cells.filter(|(_, value)| !value.is_empty()).map(|(heading, value)| (heading.as_str(), value.as_str()))
    }

    /// `Volume 8, Mix P-4000`: what it says, or of it what differs from another.
    #[must_use]
    pub fn words(&self, unlike: Option<&Record>) -> String {
        let differs = |(heading, value): &(&str, &str)| unlike.is_none_or(|other| other.value(heading) != Some(*value));
        let mut words: Vec<String> = self.said().filter(differs).map(|(h, v)| format!("{h} {v}")).collect();
        if let Some(other) = unlike {
            let blank = other.said().filter(|(heading, _)| self.value(heading).is_none());
            words.extend(blank.map(|(heading, _)| format!("{heading} blank")));
        }
        words.join(", ")
    }

    fn value(&self, heading: &str) -> Option<&str> {
        self.said().find(|(h, _)| *h == heading).map(|(_, value)| value)
    }

    /// Whether it says all that another does.
    fn completes(&self, other: &Record) -> bool {
        other.said().all(|(heading, value)| self.value(heading) == Some(value))
    }

    fn same(&self, other: &Record) -> bool {
        self.said().eq(other.said())
    }
}

/// How a record stands against what a closing knew.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Changed {
    /// It was not there.
    New,
    /// It said the same, and less: what it lacked came in.
    Filled,
    /// It said something else.
    Differs,
    /// It is no longer counted.
    Gone,
}

/// One difference between what a closing knew and what is known now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The record then.
    pub before: Option<Record>,
    /// The record now.
    pub now: Option<Record>,
}

impl Change {
    /// Which difference it is.
    #[must_use]
    pub fn kind(&self) -> Changed {
        match (&self.before, &self.now) {
            (None, _) => Changed::New,
            (Some(before), Some(now)) if now.completes(before) => Changed::Filled,
            (Some(_), Some(_)) => Changed::Differs,
            (Some(_), None) => Changed::Gone,
        }
    }

    /// In words, for reports and for machines.
    #[must_use]
    pub fn told(&self) -> Option<ChangeTold> {
        let record = self.record()?;
        let said = |one: &Option<Record>, other: &Option<Record>| {
            one.as_ref().map_or_else(String::new, |record| record.words(other.as_ref()))
        };
        Some(ChangeTold {
            record: format!("{} {}", record.table, record.name),
            is: match self.kind() {
                Changed::New => "new",
                Changed::Filled => "completed",
                Changed::Differs => "changed",
                Changed::Gone => "gone",
            },
            day: self.day(),
            before: said(&self.before, &self.now),
            now: said(&self.now, &self.before),
            place: record.place.clone(),
        })
    }

    /// The record, as it is now or last was.
    #[must_use]
    pub fn record(&self) -> Option<&Record> {
        self.now.as_ref().or(self.before.as_ref())
    }

    /// The earliest day that it concerns.
    #[must_use]
    pub fn day(&self) -> Option<NaiveDate> {
        [&self.before, &self.now].into_iter().flatten().filter_map(|record| record.day).min()
    }
}

/// A change as reports say it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ChangeTold {
    /// Table and name.
    pub record: String,
    /// `new`, `completed`, `changed` or `gone`.
    pub is: &'static str,
    /// Its day.
    pub day: Option<NaiveDate>,
    /// What of it differed before; empty where it was not there.
    pub before: String,
    /// What of it differs now; empty where it is not there.
    pub now: String,
    /// Where it stands, or stood.
    pub place: String,
}

impl ChangeTold {
    /// `changed: Loads 88213 of 2031-06-16 (field/loads.csv, row 5): Volume 7.5, now Volume 7`.
    #[must_use]
    pub fn line(&self) -> String {
        let day = self.day.map_or_else(String::new, |day| format!(" of {day}"));
        let said = match (self.before.as_str(), self.now.as_str()) {
            ("", only) | (only, "") => only.to_string(),
            (before, now) => format!("{before}, now {now}"),
        };
        format!("{}: {}{day} ({}): {said}", self.is, self.record, self.place)
    }
}

/// A change of the records of closed periods, with the period its day lies in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordChange {
    /// Period that the record belongs to; `None` where it has no day, or one after the last period.
    pub period: Option<u32>,
    /// Then and now.
    pub change: Change,
}

/// Every record of a book that stands on a field sheet, in the order of tables and rows.
#[must_use]
pub fn records(book: &Book) -> Vec<Record> {
    book.tables().flat_map(|(_, table)| of_table(book, table)).collect()
}

fn of_table(book: &Book, table: &Table) -> Vec<Record> {
    let name: Arc<str> = table.name.into();
    let columns: Arc<[String]> = table.columns.iter().map(|c| c.heading.to_string()).collect();
    let one = |(row, cells): (u32, &[TableCell])| {
        let at = cells.iter().find_map(|cell| cell.at)?;
        let said = |cell: &TableCell| cell.at.map_or_else(String::new, |_| cell.value.to_string());
        Some(Record {
            table: Arc::clone(&name),
            name: table.row_name(row),
            day: cells.iter().find_map(|cell| if let CellValue::Date(day) = cell.value { Some(day) } else { None }),
            place: book.sources.row(at),
            columns: Arc::clone(&columns),
            values: cells.iter().map(said).collect(),
        })
    };
    (0..).zip(table.rows()).filter_map(one).collect()
}

/// What differs between the records of a closing and those of now, by table and name.
#[must_use]
pub fn changes(before: &[Record], now: &[Record]) -> Vec<Change> {
    let mut named: BTreeMap<(&str, &str), [Vec<&Record>; 2]> = BTreeMap::new();
    for (side, records) in [before, now].into_iter().enumerate() {
        for record in records {
            named.entry((&record.table, &record.name)).or_default()[side].push(record);
        }
    }
    named.into_values().flat_map(|[before, now]| of_one_name(before, now)).collect()
}

fn of_one_name(mut before: Vec<&Record>, mut now: Vec<&Record>) -> Vec<Change> {
    now.retain(|record| {
        let same = before.iter().position(|other| other.same(record));
        if let Some(at) = same {
            before.remove(at);
        }
        same.is_none()
    });
    let pairs = before.len().max(now.len());
    let change = |i: usize| Change { before: before.get(i).copied().cloned(), now: now.get(i).copied().cloned() };
    (0..pairs).map(change).collect()
}

/// A line of the file of records.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, untagged)]
enum Line {
    /// The lines below it are of this table.
    Table { table: String, columns: Vec<String> },
    /// A record that is new, or was there and is not.
    One { is: Is, record: String, day: Option<NaiveDate>, place: String, values: Vec<String> },
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Is {
    /// From this closing on.
    There,
    /// No longer, from this closing on.
    Gone,
}

/// The same, written without taking the records over.
#[derive(Serialize)]
#[serde(untagged)]
enum Written<'a> {
    Table { table: &'a str, columns: &'a [String] },
    One { is: Is, record: &'a str, day: Option<NaiveDate>, place: &'a str, values: &'a [String] },
}

/// The file of records of a closing: what changed since the closing before. A record that differs goes and comes.
///
/// # Errors
/// Where a record cannot be written as JSON.
pub fn written(changes: &[Change]) -> Result<Vec<u8>, String> {
    let lines =
        changes.iter().flat_map(|change| [(Is::Gone, change.before.as_ref()), (Is::There, change.now.as_ref())]);
    lines_of(lines.filter_map(|(is, record)| Some((is, record?))))
}

/// The file of all records of a package.
///
/// # Errors
/// Where a record cannot be written as JSON.
pub fn listed(records: &[Record]) -> Result<Vec<u8>, String> {
    lines_of(records.iter().map(|record| (Is::There, record)))
}

fn lines_of<'r>(records: impl Iterator<Item = (Is, &'r Record)>) -> Result<Vec<u8>, String> {
    let mut text = Vec::new();
    let mut under: Option<&Record> = None;
    for (is, record) in records {
        let same = under.is_some_and(|last| last.table == record.table && last.columns == record.columns);
        if !same {
            push(&mut text, &Written::Table { table: &record.table, columns: &record.columns })?;
            under = Some(record);
        }
        let Record { name, day, place, values, .. } = record;
        push(&mut text, &Written::One { is, record: name, day: *day, place, values })?;
    }
    Ok(text)
}

fn push(text: &mut Vec<u8>, line: &Written<'_>) -> Result<(), String> {
    serde_json::to_writer(&mut *text, line).map_err(|why| why.to_string())?;
    text.push(b'\n');
    Ok(())
}

/// The records that a file of records makes by itself.
///
/// # Errors
/// Where a line cannot be read, with its number.
pub fn told(bytes: &[u8]) -> Result<Vec<Record>, String> {
    let mut ledger = Ledger::default();
    ledger.take(bytes)?;
    Ok(ledger.records())
}

/// Records by table and name.
#[derive(Clone, Debug, Default)]
pub(super) struct Ledger(BTreeMap<(Arc<str>, String), Vec<Record>>);

impl Ledger {
    /// Takes up what a closing holds.
    pub(super) fn take(&mut self, bytes: &[u8]) -> Result<(), String> {
        let mut under: Option<(Arc<str>, Arc<[String]>)> = None;
        for (n, line) in bytes.split(|byte| *byte == b'\n').enumerate().filter(|(_, line)| !line.is_empty()) {
            let wrong = |why: String| format!("line {}: {why}", n + 1);
            match serde_json::from_slice(line).map_err(|why| wrong(why.to_string()))? {
                Line::Table { table, columns } => under = Some((table.into(), columns.into())),
                Line::One { is, record, day, place, values } => {
                    let (table, columns) = under.clone().ok_or_else(|| wrong("a record of no table".into()))?;
                    self.one(is, Record { table, name: record, day, place, columns, values }).map_err(wrong)?;
                }
            }
        }
        Ok(())
    }

    fn one(&mut self, is: Is, record: Record) -> Result<(), String> {
        let named = self.0.entry((Arc::clone(&record.table), record.name.clone())).or_default();
        if is == Is::There {
            named.push(record);
            return Ok(());
        }
        let at = named.iter().position(|other| other.same(&record));
        at.map(|at| drop(named.remove(at))).ok_or_else(|| format!("{} {} was not there", record.table, record.name))
    }

    /// All of them, by table and name.
    pub(super) fn records(self) -> Vec<Record> {
        self.0.into_values().flatten().collect()
    }
}

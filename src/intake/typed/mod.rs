//! One file per kind of record: a row under its headings to a record, or to everything that is wrong with it.

mod bar;
mod batch;
mod billed;
mod calibrated;
mod compaction;
mod core;
mod delivered;
mod density;
mod document;
mod fresh;
mod level;
mod load;
mod logged;
mod measured;
mod placement;
mod probe;
mod profile;
mod specimen;
mod straightedge;
mod weather;
mod who;
mod work;

use super::kind::{Field, Holds, Kind, Measure};
use super::record::{
    BarCheck, Batch, Billed, Calibrated, Compaction, Core, Delivered, Density, Document, Fresh, Level, Load, Logged,
    Measured, Placement, Probe, Profile, Read, Specimen, Straightedge, Weather, Work,
};
use super::row::Row;
use super::wording::fold;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// A record of any kind.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Record {
    Placement(Placement),
    /// With the batch weights that stand beside it.
    Load(Load, Option<Box<Batch>>),
    Core(Core),
    Probe(Probe),
    Specimen(Specimen),
    Fresh(Fresh),
    Profile(Profile),
    Straightedge(Straightedge),
    Measured(Measured),
    Level(Level),
    Batch(Batch),
    Delivered(Delivered),
    Billed(Billed),
    Work(Work),
    Density(Density),
    Compaction(Compaction),
    Bar(BarCheck),
    Weather(Weather),
    Logged(Logged),
    Calibrated(Calibrated),
    Document(Document),
}

impl Record {
    /// The day that decides whether it falls before the cut-off; what bears none is always before it.
    pub(super) fn day(&self) -> NaiveDate {
        match self {
            Record::Work(r) => r.date.value,
            Record::Density(r) => r.date.value,
            Record::Compaction(r) => r.date.as_ref().map_or(NaiveDate::MIN, |d| d.value),
            Record::Bar(r) => r.date.value,
            Record::Weather(r) => r.date.value,
            Record::Logged(r) => r.date.value,
            Record::Calibrated(r) => r.date.as_ref().map_or(NaiveDate::MIN, |d| d.value),
            Record::Document(r) => r.date.value,
            Record::Placement(r) => r.date.value,
            Record::Load(r, _) => r.date.value,
            Record::Core(r) => r.date.value,
            Record::Probe(r) => r.date.value,
            Record::Specimen(r) => r.cast.value,
            Record::Fresh(r) => r.date.value,
            Record::Profile(r) => r.date.value,
            Record::Straightedge(r) => r.date.value,
            Record::Measured(r) => r.date.value,
            Record::Level(r) => r.date.value,
            Record::Batch(r) => r.date.value,
            Record::Delivered(r) => r.date.value,
            Record::Billed(r) => r.date.value,
        }
    }
}

/// Reads a row as a record of its table's kind; `None` where it has faults.
pub(super) fn record(row: &mut Row<'_>) -> Option<Record> {
    let record = match row.table.kind.kind {
        Kind::Placements => placement::read(row).map(Record::Placement),
        Kind::Loads => load::read(row).map(|(load, batch)| Record::Load(load, batch.map(Box::new))),
        Kind::Cores => core::read(row).map(Record::Core),
        Kind::Probes => probe::read(row).map(Record::Probe),
        Kind::Specimens => specimen::read(row).map(Record::Specimen),
        Kind::Fresh => fresh::read(row).map(Record::Fresh),
        Kind::Profiles => profile::read(row).map(Record::Profile),
        Kind::Straightedge => straightedge::read(row).map(Record::Straightedge),
        Kind::Measured => measured::read(row).map(Record::Measured),
        Kind::Levels => level::read(row).map(Record::Level),
        Kind::Batches => batch::read(row).map(Record::Batch),
        Kind::Materials => delivered::read(row).map(Record::Delivered),
        Kind::Invoices => billed::read(row).map(Record::Billed),
        Kind::Work => work::read(row).map(Record::Work),
        Kind::Density => density::read(row).map(Record::Density),
        Kind::Compaction => compaction::read(row).map(Record::Compaction),
        Kind::Bars => bar::read(row).map(Record::Bar),
        Kind::Weather => weather::read(row).map(Record::Weather),
        Kind::Logger => logged::read(row).map(Record::Logged),
        Kind::Calibration => calibrated::read(row).map(Record::Calibrated),
        Kind::Documents => document::read(row).map(Record::Document),
    };
    record.filter(|_| row.faults.is_empty() && row.unitless.is_empty())
}

/// A name made up for a record whose sheet gives it none.
fn stand_in(row: &Row<'_>, words: &str) -> Read<Box<str>> {
    Read { value: words.into(), at: row.own_cell(), typed: None }
}

/// What the first word of a cell says, in small letters.
fn first_word(text: &str) -> String {
    text.trim_start().chars().take_while(|c| c.is_alphabetic()).flat_map(char::to_lowercase).collect()
}

/// Whether remarks begin with one of some words, standing by itself or in capitals.
pub(super) fn begins(text: &str, words: &[&str]) -> bool {
    let word = first_word(text);
    let rest = text.trim_start().get(word.len()..).unwrap_or("");
    let capitals = text.trim_start().chars().take_while(|c| c.is_alphabetic()).all(char::is_uppercase);
    words.contains(&word.as_str())
        && (capitals || !rest.starts_with(' ') || rest.trim_start().starts_with(['-', '–', '(', ':']))
}

/// Words that void a row.
pub(super) const VOID: &[&str] = &["void", "voided", "cancelled", "canceled"];

/// How remarks begin that void a row, folded.
const VOIDING: &[&str] = &[
    "do not use",
    "do not count",
    "do not pay",
    "not to be used",
    "disregard",
    "superseded",
    "replaced by",
    "see revised",
    "see corrected",
    "entered in error",
    "entry error",
    "error do not use",
    "recorded in error",
    "made in error",
    "deleted",
    "struck out",
];

/// How remarks begin that void what can only be once; a test may have a duplicate.
const TWICE: &[&str] = &["duplicate entry", "duplicate row", "duplicate of", "duplicate ticket", "entered twice"];

/// Whether a remark or status says outright that its row is void: `superseded by 88219`, `88213 VOID`; not `voids in
/// base`, not `avoid`.
pub(super) fn says_void(text: &str, once: bool) -> bool {
    let folded = fold(text);
    let begins_so = |phrase: &&&str| folded == **phrase || folded.starts_with(&format!("{phrase} "));
    let last = text.split_whitespace().last().map(|w| w.trim_matches(|c: char| !c.is_alphanumeric()));
    VOIDING.iter().any(|p| begins_so(&p))
        || (once && (folded == "duplicate" || TWICE.iter().any(|p| begins_so(&p))))
        || matches!(last, Some("VOID" | "VOIDED"))
}

/// All readings of a row in columns that hold `many`, or its average where the sheet has only that.
fn readings(row: &mut Row<'_>, (many, field): (Holds, Field), measure: Measure) -> Option<Vec<Read<Decimal>>> {
    let own = row.unit_column().ok()?;
    let before = row.faults.len() + row.unitless.len();
    let mut readings = Vec::new();
    let table = row.table;
    for column in table.heading.columns.iter().filter(|c| c.holds == many || c.field == Field::Average) {
        if let Ok(Some(found)) = row.in_column(column) {
            readings.extend(row.measured(&found, measure, own));
        }
    }
    if readings.is_empty() && row.faults.len() + row.unitless.len() == before {
        row.missing(&[if table.column(field).is_some() { field } else { Field::Average }]);
        return None;
    }
    (!readings.is_empty()).then_some(readings)
}

/// Why a core that could not be read whole is void all the same.
pub(super) fn void_core(row: &Row<'_>) -> Option<String> {
    (row.table.kind.kind == Kind::Cores).then(|| core::is_void(row)).flatten()
}

/// Whether a status or remark voids the row. Void cores are records, with their reason.
pub(super) fn is_void(row: &Row<'_>) -> bool {
    if row.table.kind.kind == Kind::Cores {
        return false;
    }
    let text = |field: Field| row.words_of(field);
    let status = row.table.kind.spec(Field::Status).and_then(|_| text(Field::Status));
    let once = matches!(
        row.table.kind.kind,
        Kind::Loads | Kind::Placements | Kind::Batches | Kind::Materials | Kind::Measured | Kind::Invoices
    );
    status.is_some_and(|s| VOID.contains(&first_word(s).as_str()) || says_void(s, once))
        || text(Field::Remarks).is_some_and(|r| begins(r, VOID) || says_void(r, once))
}

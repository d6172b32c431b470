//! The result as plain tables for databases: a few tables of typed columns that many contracts and periods share.
//!
//! A page is read by a person; these are asked by a program over many contracts at once. Column names and types stay the
//! same whatever a contract has. Numbers are those of the figures, with the key that traces them; nothing is computed.

mod estimate;
mod findings;
mod lots;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::Finished;
use crate::figure::FigureId;

/// What a column holds. Any column may be empty in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Words.
    Text,
    /// A day.
    Day,
    /// A whole number.
    Whole,
    /// Yes or no.
    Truth,
    /// An exact number with so many decimals; with more where a value of the table has more.
    Exact(u8),
    /// A floating-point number.
    Real,
}

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field {
    /// Name, in lower case with `_`.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// What it means.
    pub means: &'static str,
}

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub enum Datum {
    /// Nothing.
    Nothing,
    /// Words.
    Text(String),
    /// A day.
    Day(NaiveDate),
    /// A whole number.
    Whole(i64),
    /// Yes or no.
    Truth(bool),
    /// An exact number.
    Exact(Decimal),
    /// A floating-point number.
    Real(f64),
}

/// A table.
#[derive(Clone, Debug, PartialEq)]
pub struct Extract {
    /// Name: `estimate`.
    pub name: &'static str,
    /// Columns.
    pub fields: Vec<Field>,
    /// Rows, one value for each column.
    pub rows: Vec<Vec<Datum>>,
}

/// What the tables are, for the documentation: name, what a row is, columns.
pub const EXTRACTS: [(&str, &str, &[Field]); 6] = [
    ("estimate", "A row for each item of the estimate, and for each of its sums.", estimate::ESTIMATE),
    ("quantities", "A row for each measured quantity of an item.", estimate::QUANTITIES),
    ("adjustments", "A row for each change of pay, and for ground that is held for proof now.", lots::ADJUSTMENTS),
    ("lots", "A row for each lot or section that a rule judged, property by property.", lots::LOTS),
    ("findings", "A row for each finding.", findings::FINDINGS),
    ("figures", "A row for each computed number.", findings::FIGURES),
];

/// Columns that every table begins with.
pub const EVERY: &[Field] = &[
    text("contract_number", "number of the contract, as written"),
    text("contract_title", "its title"),
    field("through", Holds::Day, "as-of date"),
];

const fn field(name: &'static str, holds: Holds, means: &'static str) -> Field {
    Field { name, holds, means }
}

const fn text(name: &'static str, means: &'static str) -> Field {
    field(name, Holds::Text, means)
}

/// The tables of a finished result.
#[must_use]
pub fn extracts(finished: Finished<'_>) -> Vec<Extract> {
    let rows = [
        estimate::estimate(finished),
        estimate::quantities(finished),
        lots::adjustments(finished),
        lots::lots(finished),
        findings::findings(finished),
        findings::figures(finished),
    ];
    let tables = EXTRACTS.iter().zip(rows);
    tables.map(|((name, _, fields), rows)| table(finished, name, fields, rows)).collect()
}

fn table(finished: Finished<'_>, name: &'static str, fields: &[Field], rows: Vec<Vec<Datum>>) -> Extract {
    let contract = finished.contract;
    let every = [words(&contract.number), words(&contract.title), Datum::Day(finished.through)];
    let rows = rows.into_iter().map(|row| every.iter().cloned().chain(row).collect()).collect();
    Extract { name, fields: [EVERY, fields].concat(), rows }
}

/// The tables and their columns in Markdown.
#[must_use]
pub fn extracts_markdown() -> String {
    let mut out = String::from("Every table begins with:\n\n");
    out.push_str(&columns(EVERY));
    for (name, row, fields) in EXTRACTS {
        out.push_str(&format!("\n`{name}.parquet`: {row}\n\n{}", columns(fields)));
    }
    out
}

fn columns(fields: &[Field]) -> String {
    let rows = fields.iter().map(|f| format!("| `{}` | {} | {} |\n", f.name, f.holds.word(), f.means));
    format!("| column | type | holds |\n| --- | --- | --- |\n{}", rows.collect::<String>())
}

impl Holds {
    /// The type in the words of SQL.
    #[must_use]
    pub fn word(self) -> String {
        match self {
            Holds::Text => "VARCHAR".into(),
            Holds::Day => "DATE".into(),
            Holds::Whole => "BIGINT".into(),
            Holds::Truth => "BOOLEAN".into(),
            Holds::Exact(decimals) => format!("DECIMAL(18,{decimals})"),
            Holds::Real => "DOUBLE".into(),
        }
    }
}

fn words(text: impl AsRef<str>) -> Datum {
    let text = text.as_ref();
    if text.is_empty() { Datum::Nothing } else { Datum::Text(text.into()) }
}

/// The exact value of a figure; nothing where it was not computed.
fn exact(finished: Finished<'_>, id: FigureId) -> Datum {
    finished.book[id].value.decimal().map_or(Datum::Nothing, Datum::Exact)
}

/// A figure that may be missing, and its unit.
fn real(finished: Finished<'_>, id: Option<FigureId>) -> [Datum; 2] {
    let figure = id.map(|id| &finished.book[id]);
    let value = figure.and_then(|figure| figure.value.real()).map_or(Datum::Nothing, Datum::Real);
    [value, figure.map_or(Datum::Nothing, |figure| words(figure.unit.to_string()))]
}

/// The key of a figure.
fn key(finished: Finished<'_>, id: FigureId) -> Datum {
    words(&finished.book[id].key)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn names_are_plain_and_stand_once_in_a_table() {
        for (table, _, fields) in EXTRACTS {
            let names: Vec<&str> = [EVERY, fields].concat().iter().map(|f| f.name).collect();
            assert_eq!(names.iter().collect::<BTreeSet<_>>().len(), names.len(), "{table}");
            assert!(!names.contains(&"contract") && !names.contains(&"period"), "{table}: these name the folders");
            let plain = |name: &&str| name.chars().all(|c| c.is_ascii_lowercase() || c == '_');
            assert!(names.iter().all(plain), "{names:?}");
        }
    }
}

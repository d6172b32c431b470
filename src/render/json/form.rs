//! The form of `result.json`: what each key holds. The JSON Schema that users can print is made from these types.

use schemars::JsonSchema;
use serde::Serialize;

/// Version of the form of `result.json`; it rises when a program that reads the file would have to change.
pub(super) const SCHEMA: &str = "2";

/// `result.json`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "slabtally result", deny_unknown_fields)]
pub(in crate::render) struct Output {
    /// Version of this form.
    pub schema: &'static str,
    /// Program and version.
    pub program: String,
    pub contract: Contract,
    /// True where nothing is open that could change the amount due.
    pub closed: bool,
    /// Why the reports are not final; null where nothing is open.
    pub not_final: Option<String>,
    /// The figures that lead, such as `due`.
    pub leading: Vec<Leading>,
    pub pages: Vec<Page>,
    /// Every computed number, in the order it was computed.
    pub figures: Vec<FigureOut>,
    pub findings: Vec<Finding>,
    /// Rows that did not become records.
    pub unused: Vec<Unused>,
    /// Tables of records: how many rows each has.
    pub records: Vec<Records>,
    pub files: Vec<File>,
    pub sheets: Vec<Sheet>,
    pub rules: Vec<Rule>,
    pub settings: Vec<Setting>,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Contract {
    pub number: String,
    pub title: String,
    pub notice: String,
    pub owner: String,
    pub contractor: String,
    pub engineer: String,
    pub period: String,
    /// First day; null for the first period.
    pub from: Option<String>,
    /// As-of date.
    pub through: String,
    pub currency: String,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Leading {
    pub name: String,
    /// Key of the figure.
    pub figure: String,
    /// Decimal number as text; null where it could not be computed.
    pub value: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Page {
    pub id: String,
    pub title: String,
    pub question: String,
    pub tables: Vec<Table>,
    pub calculations: Vec<Calculation>,
    pub cautions: Vec<String>,
    pub drawings: Vec<Drawing>,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Table {
    pub id: String,
    pub title: String,
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
    pub note: String,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Column {
    pub heading: String,
    pub unit: String,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Row {
    /// `line`, `subtotal` or `total`.
    pub kind: &'static str,
    pub cells: Vec<Cell>,
}

/// What a cell of a page shows, and where it comes from.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Cell {
    /// As printed.
    pub shown: String,
    /// Key of the figure it shows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub figure: Option<String>,
    /// File, sheet and cell it was read from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Calculation {
    pub title: String,
    /// Keys of its figures, in order.
    pub figures: Vec<String>,
    pub remark: String,
}

/// Lanes along the line, or the steps of one lane.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Drawing {
    pub id: String,
    /// What all its bands belong to, such as a lane; empty where they are lanes themselves.
    pub group: String,
    /// True where its bands are the steps of one lane.
    pub steps: bool,
    pub title: String,
    pub from: String,
    pub to: String,
    pub lanes: Vec<Lane>,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Lane {
    pub name: String,
    pub pieces: Vec<Piece>,
    pub marks: Vec<Mark>,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Piece {
    pub from: String,
    pub to: String,
    /// Of lanes `sound`, `not tested`, `deficient` or `not placed`; of steps `done and proved`, `done, proof missing`,
    /// `failed`, `not on record`, `not placed`, `may open` or `not yet`.
    pub state: &'static str,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Mark {
    /// `core`, `test`, `specimen`, `logger` or `photo`.
    pub shape: &'static str,
    pub number: String,
    pub along: String,
    /// What is printed beside its number; empty where it does not matter.
    pub text: String,
    pub deficient: bool,
}

/// A computed number.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct FigureOut {
    /// Its name everywhere: `lot-7.pay`.
    pub key: String,
    pub label: String,
    pub symbol: String,
    pub unit: String,
    /// Decimal number as text, `yes` or `no`; null where it could not be computed.
    pub value: Option<String>,
    /// As printed.
    pub shown: String,
    /// Why it could not be computed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_not: Option<String>,
    /// `0.01 half up`; null where it is not rounded.
    pub rounding: Option<String>,
    /// The rule it follows.
    pub clause: String,
    pub note: String,
    /// With letters.
    pub formula: String,
    /// With the numbers put in.
    pub numbers: String,
    /// What it is computed from, one step down.
    pub sources: Vec<Source>,
}

/// What a figure is computed from.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum Source {
    /// Key of another figure.
    Figure(String),
    /// A cell of a field sheet.
    Cell(ReadCell),
    /// A value of the contract, of a rule set, or entered.
    Given(GivenOut),
    /// A column of records.
    Records(RecordRows),
    /// A stepped table of a rule set.
    Steps(String),
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct ReadCell {
    pub record: String,
    pub column: String,
    pub value: String,
    /// File, sheet and cell; null where the program derived it.
    pub place: Option<String>,
    /// The text as typed.
    pub typed: String,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct GivenOut {
    pub label: String,
    pub value: String,
    pub unit: String,
    /// As written where it comes from.
    pub written: String,
    pub place: String,
}

/// Rows of one column of a table of records.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct RecordRows {
    pub table: String,
    pub column: String,
    /// First row, from 1.
    pub first: u32,
    /// Last row.
    pub last: u32,
    /// Only rows with this word in another column.
    pub only: Option<String>,
    /// `sum` or `count`.
    pub of: &'static str,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Finding {
    pub code: String,
    /// `reject`, `conflict`, `deficiency`, `gap` or `note`.
    pub kind: String,
    pub place: String,
    pub message: String,
    pub remedy: String,
    pub related: Vec<String>,
    /// Keeps the reports from being final.
    pub open: bool,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Unused {
    pub place: String,
    pub why: String,
    pub reason: String,
    pub cells: Vec<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Records {
    pub name: String,
    pub rows: u32,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct File {
    #[serde(rename = "file")]
    pub path: String,
    pub sha256: String,
    pub bytes: u64,
}

/// Seen = used + blank + heading + total + refused + set aside.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Sheet {
    pub file: String,
    #[serde(rename = "sheet")]
    pub name: String,
    pub kinds: String,
    pub seen: u32,
    pub used: u32,
    pub blank: u32,
    pub heading: u32,
    pub total: u32,
    pub refused: u32,
    pub set_aside: u32,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Rule {
    pub id: String,
    pub title: String,
    pub used_for: String,
    pub citation: String,
    /// `transcribed`, `from memory` or `example`.
    pub status: String,
    pub notes: Vec<String>,
    pub sha256: String,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Setting {
    pub name: String,
    pub value: String,
}

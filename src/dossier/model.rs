//! What a page is made of.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Serialize;

use super::WorkSheet;
use crate::figure::{CellId, FigureId, TableId};
use crate::finding::{Code, Kind};
use crate::intake::RowCount;

/// The whole result, ready to be rendered.
#[derive(Clone, Debug)]
pub struct Dossier {
    /// Title block.
    pub head: Head,
    /// Pages in reading order.
    pub pages: Vec<Page>,
    /// Sheets on which a reviewer computes lines again; none but in an audit.
    pub work_sheets: Vec<WorkSheet>,
    /// Findings, worst first.
    pub findings: Vec<FindingLine>,
    /// Rows that did not become records.
    pub unused: Vec<UnusedLine>,
    /// Record tables to be listed, in order.
    pub records: Vec<TableId>,
    /// Input files.
    pub files: Vec<BasisFile>,
    /// Sheets and their row counts.
    pub sheets: Vec<BasisSheet>,
    /// Rule sets in use.
    pub rules: Vec<BasisRule>,
    /// Settings in force: name and value, defaults filled in.
    pub settings: Vec<(String, String)>,
    /// Figures that lead: name for machines (`due`) and figure.
    pub leading: Vec<(&'static str, FigureId)>,
}

/// Title block.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Head {
    /// Contract number.
    pub number: String,
    /// Title.
    pub title: String,
    /// Printed on every page; empty for none.
    pub notice: String,
    /// Owner.
    pub owner: String,
    /// Contractor.
    pub contractor: String,
    /// Engineer.
    pub engineer: String,
    /// `period 3`.
    pub period: String,
    /// First day; `None` for the first period.
    pub from: Option<NaiveDate>,
    /// As-of date.
    pub through: NaiveDate,
    /// `FINAL` is never said; `None` where nothing is open, otherwise `NOT FINAL: 4 rows refused, 1 conflict`.
    pub not_final: Option<String>,
    /// Currency sign.
    pub currency: String,
    /// Program and version.
    pub program: String,
    /// Printed on letter paper (contracts in US customary units); otherwise on A4.
    pub letter: bool,
}

/// A page: one question answered.
#[derive(Clone, Debug)]
pub struct Page {
    /// `estimate`: for machines, sheet order and templates.
    pub id: &'static str,
    /// Sheet name and heading, at most 31 characters.
    pub title: &'static str,
    /// The question it answers, as a line under the heading.
    pub question: &'static str,
    /// Blocks.
    pub blocks: Vec<Block>,
}

/// A part of a page.
#[derive(Clone, Debug)]
pub enum Block {
    /// A heading inside the page.
    Heading(String),
    /// Plain text.
    Text(String),
    /// A caution: one sentence where the decision is made.
    Caution(String),
    /// A table.
    Table(Table),
    /// A hand calculation: title, figures in order, remark under it.
    Calculation {
        /// Title.
        title: String,
        /// Figures.
        figures: Vec<FigureId>,
        /// Remark.
        remark: String,
    },
    /// Lines to sign: role and name of the party.
    Signatures(Vec<(String, String)>),
    /// A chart over a table of this page.
    Chart(Chart),
    /// A drawing of the lanes along the line.
    Strip(Strip),
}

/// Where a column's text stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A table that reads down.
#[derive(Clone, Debug)]
pub struct Table {
    /// For machines and charts, unique on its page: `thickness-cores-2`.
    pub id: String,
    /// Title.
    pub title: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows.
    pub rows: Vec<Row>,
    /// Note under it; empty for none.
    pub note: String,
}

/// A column.
#[derive(Clone, Debug, Serialize)]
pub struct Column {
    /// Heading.
    pub heading: String,
    /// Unit under the heading; empty for none.
    pub unit: String,
    /// Alignment.
    pub align: Align,
    /// Relative width, about the number of characters.
    pub width: u8,
}

/// What a row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RowKind {
    /// Of the list.
    Line,
    /// A subtotal.
    Subtotal,
    /// The total.
    Total,
}

/// A row.
#[derive(Clone, Debug)]
pub struct Row {
    /// What it is.
    pub kind: RowKind,
    /// One per column.
    pub cells: Vec<Shown>,
}

/// What a cell of a page shows.
#[derive(Clone, Debug, PartialEq)]
pub enum Shown {
    /// Nothing.
    Blank,
    /// Words; never a computed number.
    Text(String),
    /// A day.
    Date(NaiveDate),
    /// A computed number.
    Figure(FigureId),
    /// A record's value.
    Cell(CellId),
    /// A count of rows or findings, a period's or line's number.
    Count(u64),
    /// Leads to a work sheet: its place in the dossier, and its name.
    Sheet {
        /// Place from 0.
        place: usize,
        /// Name.
        words: String,
    },
}

/// One line or set of points of a chart.
#[derive(Clone, Debug, Serialize)]
pub struct Series {
    /// Name in the legend.
    pub name: String,
    /// Column of its values in the table.
    pub column: usize,
    /// How it is drawn.
    pub style: SeriesStyle,
}

/// How a series is drawn. A chart with a `Joined` series or a limit is a control chart: its lines bear their names at
/// their ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SeriesStyle {
    /// A mark at each point; over names or days in the workbook, a column.
    Points,
    /// A plain line: a design value, a mean, a centre line.
    Line,
    /// Marks joined by a thin line: results in their order.
    Joined,
    /// A limit worked out from the results, such as a control limit: a dashed line.
    Limit,
    /// A limit that the contract states: a heavier line, dashed otherwise.
    ContractLimit,
    /// A large open mark around each value of the column; the rows that are not to be marked are blank there.
    Outside,
}

impl SeriesStyle {
    /// True where it belongs to a control chart.
    #[must_use]
    pub fn of_control(self) -> bool {
        matches!(self, Self::Joined | Self::Limit | Self::ContractLimit)
    }
}

/// How a chart is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ChartForm {
    /// Lines and marks.
    #[default]
    Lines,
    /// Bars that read as an account from left to right: a row that is a total stands on zero, any other begins where the
    /// one before it ends and goes up or down by its value. The one series gives the column of values.
    Waterfall,
}

/// A chart over one table of the page.
#[derive(Clone, Debug, Serialize)]
pub struct Chart {
    /// Title.
    pub title: String,
    /// How it is drawn.
    pub form: ChartForm,
    /// Table id.
    pub table: String,
    /// Column along the bottom.
    pub along: usize,
    /// True where `along` holds numbers (a scatter), false where it holds names or days.
    pub numeric: bool,
    /// Series.
    pub series: Vec<Series>,
    /// Title of the bottom axis with its unit.
    pub x_title: String,
    /// Title of the side axis with its unit.
    pub y_title: String,
}

/// State of a piece of pavement; each has a tone, a hatch and a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Placed, judged, sound.
    Sound,
    /// Placed, not yet judged.
    NotTested,
    /// Deficient.
    Deficient,
    /// Not placed.
    NotPlaced,
    /// A step that is done, and whose proof is on record.
    Proved,
    /// Done; the record that would prove it is missing.
    Unproved,
    /// Done, and its proof says no.
    Failed,
    /// Nothing is on record.
    Missing,
    /// May be opened to traffic.
    MayOpen,
    /// May not be opened yet.
    NotYet,
}

impl State {
    /// The word in the legend.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            State::Sound => "sound",
            State::NotTested => "not tested",
            State::Deficient => "deficient",
            State::NotPlaced => "not placed",
            State::Proved => "done, nothing missing",
            State::Unproved => "done, proof missing",
            State::Failed => "failed",
            State::Missing => "not on record",
            State::MayOpen => "may open",
            State::NotYet => "not yet",
        }
    }
}

/// A drawing against stations: of the lanes of a line, or of the steps of one lane. Distances are along the line, in the
/// contract's unit of length.
#[derive(Clone, Debug, Serialize)]
pub struct Strip {
    /// For machines, file names and anchors; unique in the dossier: `thickness-a`.
    pub id: String,
    /// What all bands belong to, such as a lane; empty where they are lanes themselves.
    pub group: String,
    /// True where the bands are the steps of one lane from the ground up: lower bands, more of the line in a row.
    pub steps: bool,
    /// Title: alignment and what is shown.
    pub title: String,
    /// Distance at the left edge.
    pub from: Decimal,
    /// Distance at the right edge.
    pub to: Decimal,
    /// Full stations to mark: distance and label.
    pub ticks: Vec<Tick>,
    /// Lanes from left of the line to right, as seen looking ahead, top to bottom; or steps, in the order they are drawn.
    pub lanes: Vec<LaneBand>,
}

/// A mark on the scale.
#[derive(Clone, Debug, Serialize)]
pub struct Tick {
    /// Distance along.
    pub along: Decimal,
    /// Label.
    pub label: String,
}

/// A lane, or a step of one, in a drawing.
#[derive(Clone, Debug, Serialize)]
pub struct LaneBand {
    /// Name.
    pub name: String,
    /// Pieces in order.
    pub pieces: Vec<Piece>,
    /// Cores, tests and other records at a point of it.
    pub marks: Vec<Mark>,
}

/// A piece of a lane in one state.
#[derive(Clone, Debug, Serialize)]
pub struct Piece {
    /// From.
    pub from: Decimal,
    /// To.
    pub to: Decimal,
    /// State.
    pub state: State,
}

/// A record at a point of a band.
#[derive(Clone, Debug, Serialize)]
pub struct Mark {
    /// Number.
    pub number: String,
    /// Distance along.
    pub along: Decimal,
    /// What is printed beside its number, such as a core's length; empty where it does not matter.
    pub text: String,
    /// True where it is deficient.
    pub deficient: bool,
    /// Which record it is of.
    pub shape: MarkShape,
}

/// What a mark is of; each has a shape and a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkShape {
    /// A core: a circle.
    Core,
    /// A density, a depth, a bar, a level: a diamond.
    Test,
    /// A specimen of concrete: a square.
    Specimen,
    /// A logger in the slab: a triangle.
    Logger,
    /// A photo: a small flag.
    Photo,
}

impl MarkShape {
    /// The word in the legend.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            MarkShape::Core => "core",
            MarkShape::Test => "test",
            MarkShape::Specimen => "specimen",
            MarkShape::Logger => "logger",
            MarkShape::Photo => "photo",
        }
    }
}

/// A finding as printed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FindingLine {
    /// Code.
    pub code: Code,
    /// Kind.
    pub kind: Kind,
    /// Place in words.
    pub place: String,
    /// Message.
    pub message: String,
    /// Remedy.
    pub remedy: String,
    /// Other records, in words.
    pub related: Vec<String>,
    /// Keeps the reports from being final.
    pub open: bool,
}

/// A row that did not become a record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct UnusedLine {
    /// File, sheet, row in words.
    pub place: String,
    /// Why, in a word.
    pub why: String,
    /// The reason.
    pub reason: String,
    /// Its cells.
    pub cells: Vec<String>,
}

/// An input file.
#[derive(Clone, Debug, Serialize)]
pub struct BasisFile {
    /// Path.
    pub file: String,
    /// Hash.
    pub sha256: String,
    /// Bytes.
    pub bytes: u64,
}

/// A sheet and its rows.
#[derive(Clone, Debug, Serialize)]
pub struct BasisSheet {
    /// File.
    pub file: String,
    /// Sheet; empty for CSV.
    pub sheet: String,
    /// Kinds of record.
    pub kinds: String,
    /// Rows.
    pub rows: RowCount,
}

/// A rule set in use.
#[derive(Clone, Debug, Serialize)]
pub struct BasisRule {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// What it is used for.
    pub used_for: String,
    /// Citation.
    pub citation: String,
    /// Status.
    pub status: String,
    /// Notes.
    pub notes: Vec<String>,
    /// Hash of the file.
    pub sha256: String,
}

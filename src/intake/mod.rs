//! Rank 4. Spreadsheets and CSV to typed records.
//!
//! Nothing is dropped: for every sheet, rows seen = used + blank + heading + total + refused + set aside. Nothing is
//! guessed: what can be read two ways is refused with both readings. Limits and pay never enter here.

mod carried;
mod cell;
mod contracts;
mod corrected;
mod correction;
mod date;
mod ditto;
mod duplicate;
mod explained;
mod folder;
mod form;
mod form_layout;
mod grid;
mod heading;
mod kind;
mod kind_steps;
mod lane;
mod levelled;
mod listed;
mod named;
mod open;
mod prepared;
mod proposed;
mod raw;
mod record;
mod refused;
mod regions;
mod ride;
mod row;
mod setting;
mod sheet;
mod shelf;
mod sides;
mod stepped;
mod table;
mod tickets;
mod titled;
mod total;
mod turned;
mod typed;
mod understand;
mod unmet;
mod unrecognised;
mod wording;

pub use contracts::{ContractFolder, ContractFolders, contract_folders};
pub use corrected::CorrectedCell;
pub use correction::{CORRECTION_HEADINGS, REFUSED, SETTLE_HEADINGS};
pub use explained::{ColumnRead, GivenRead, TableRead, UnitFrom};
pub use folder::{has, long_text, text, texts};
pub use form::{Danger, EXAMPLE, Entry, Form, FormColumn, LABELS, LISTS, Needed, Sample, forms};
pub use kind::{field_words, kind_words};
pub use listed::filled_in;
pub use raw::{RawCell, RawSheet, RawValue};
pub use record::{
    Bar, BarCheck, Batch, Billed, Calibrated, Charge, Compaction, Core, Delivered, Density, Document, Fresh,
    Ingredient, LaneId, Level, Load, Logged, Measured, Outcome, Placement, Probe, Profile, Purpose, Read, Records,
    RideIndex, Sampling, Shape, Specimen, Step, Straightedge, Surface, TakenBy, Weather, Work,
};
pub use refused::RefusedCell;
pub use setting::{Caps, DateOrder, Dates, ItemWords, LaneWords, MaterialWords, SetAside, Setting, SheetRule};
pub use shelf::shelf;
pub use tickets::{each_ticket, ticket_run};
pub use understand::{ReadError, read, understand};

use crate::finding::Finding;
use crate::source::{CellRef, SheetId, Sources};

/// How the rows of one sheet were accounted for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub struct RowCount {
    /// Rows up to the last filled one.
    pub seen: u32,
    /// Became records.
    pub used: u32,
    /// Hold nothing.
    pub blank: u32,
    /// Titles, headings, remarks between tables.
    pub heading: u32,
    /// Subtotals and totals, checked and not counted.
    pub total: u32,
    /// Could not be read; each has a finding.
    pub refused: u32,
    /// After the cut-off, void, duplicate, or set aside by the contract file.
    pub set_aside: u32,
}

impl RowCount {
    /// Whether every row is accounted for once.
    #[must_use]
    pub fn closes(&self) -> bool {
        self.seen == self.used + self.blank + self.heading + self.total + self.refused + self.set_aside
    }
}

/// A file of the field folder.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct FileRead {
    /// Path inside the contract folder, with `/`.
    pub file: String,
    /// SHA-256 of its bytes, hexadecimal.
    pub sha256: String,
    /// Size.
    pub bytes: u64,
}

/// A sheet, what it was taken for, and its rows.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct SheetRead {
    /// Which.
    pub id: SheetId,
    /// The columns it stands in, where a sheet holds tables side by side: each is accounted for by itself.
    pub columns: Option<(u16, u16)>,
    /// Kinds of record recognised on it, by word (`cores`); empty where none.
    pub kinds: Vec<&'static str>,
    /// Its tables, as they were understood.
    pub tables: Vec<TableRead>,
    /// What its count counts: `rows`; `columns` or `forms` where it is a form on its side.
    pub counts: &'static str,
    /// Its rows.
    pub rows: RowCount,
}

/// Why a row did not become a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Unused {
    /// Refused; a finding says why.
    Refused,
    /// Later than the cut-off.
    AfterCutOff,
    /// Void or struck out.
    Void,
    /// The same record stands elsewhere.
    Duplicate,
    /// Set aside by the contract file.
    SetAside,
    /// A total, checked against its rows.
    Total,
}

/// A row that did not become a record, kept whole.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct UnusedRow {
    /// Sheet, row and first filled column.
    pub at: CellRef,
    /// Why.
    pub why: Unused,
    /// The reason in words.
    pub reason: String,
    /// The row's cells as they stand, in order.
    pub cells: Vec<String>,
}

/// Everything that was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Intake {
    /// Sheets by id.
    pub sources: Sources,
    /// Files, in order of name.
    pub files: Vec<FileRead>,
    /// Sheets, in order of file and place.
    pub sheets: Vec<SheetRead>,
    /// Typed records.
    pub records: Records,
    /// Rows that did not become records (blank rows and headings are only counted).
    pub unused: Vec<UnusedRow>,
    /// The cells for which rows were refused, where a corrected value would settle it.
    pub refused: Vec<RefusedCell>,
    /// Cells of refused rows that were corrected.
    pub corrected: Vec<CorrectedCell>,
    /// What a reader must see.
    pub findings: Vec<Finding>,
}

#[cfg(test)]
mod tests;

//! What intake must be told before it can read: the words of the contract, and what its file says about sheets.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::units::{Alignment, System, Unit};

/// Order of day, month and year in dates written as text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DateOrder {
    /// 7/31/2031.
    MonthDayYear,
    /// 31/7/2031.
    DayMonthYear,
    /// 2031/7/31.
    YearMonthDay,
}

/// How dates written as text are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dates {
    /// Order of day, month and year.
    pub order: DateOrder,
    /// First and last year in which a year of two digits may lie; `None` where such a year is never read.
    pub years: Option<(i32, i32)>,
}

/// A lane's names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaneWords {
    /// As the contract names it.
    pub name: String,
    /// What sheets call it.
    pub also: Vec<String>,
    /// Its alignment, by place in [`Setting::alignments`].
    pub alignment: usize,
}

/// An item's number and unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemWords {
    /// Number.
    pub number: String,
    /// Unit its quantities are in.
    pub unit: Unit,
}

/// A material's names and unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MaterialWords {
    /// As the contract names it.
    pub name: String,
    /// What sheets call it.
    pub also: Vec<String>,
    /// Unit its quantities are in.
    pub unit: Unit,
}

/// What the contract file says outright about a sheet: it wins over recognition.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetRule {
    /// Path inside `field/`; `*` stands for any run of characters.
    pub file: String,
    /// Sheet name, `*` allowed; `None` for every sheet.
    pub sheet: Option<String>,
    /// Kind of record, by its word (`cores`).
    pub kind: Option<String>,
    /// Row of the headings, from 1.
    pub heading_row: Option<u32>,
    /// Heading as written, to field word (`length`).
    pub columns: BTreeMap<String, String>,
    /// Field word to the unit its column is in.
    pub units: BTreeMap<String, Unit>,
    /// Field word to a value that holds for every row (`lane = "NB-1"`).
    pub every_row: BTreeMap<String, String>,
    /// Where it stands in the contract file, line from 1.
    pub line: u32,
}

/// Rows, sheets or files not to be used, with the reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    /// Path inside `field/`, `*` allowed.
    pub file: String,
    /// Sheet name; `None` for all.
    pub sheet: Option<String>,
    /// Rows from 1; empty for all.
    pub rows: Vec<u32>,
    /// Why.
    pub reason: String,
}

/// Sizes beyond which a file is refused rather than read. Reading never takes more than 8 GB, whatever lies in the field
/// folder: four files are open at once, each with its bytes, its list of shared texts, 32 bytes for a cell (half as
/// many again while there come more) and the texts of its cells, less than 1 GB; and a folder's filled cells come to less
/// than 4.6 GB of rows and findings where every row is refused, which is the worst.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caps {
    /// Bytes of one file as it lies.
    pub file_bytes: u64,
    /// Bytes of one file unpacked.
    pub unpacked_bytes: u64,
    /// Bytes of the texts of one file: those of its cells together, and its list of shared ones.
    pub text_bytes: u64,
    /// Rows of a sheet.
    pub rows: u32,
    /// Columns of a sheet.
    pub columns: u16,
    /// Filled cells of a file.
    pub cells: u64,
    /// Filled cells of all files together.
    pub folder_cells: u64,
    /// Sheets of all files together.
    pub sheets: usize,
    /// Characters of one cell.
    pub text: usize,
}

impl Default for Caps {
    fn default() -> Self {
        Self {
            file_bytes: 128 << 20,
            unpacked_bytes: 512 << 20,
            text_bytes: 128 << 20,
            rows: 1_048_576,
            columns: 16_384,
            cells: 4_000_000,
            folder_cells: 8_000_000,
            sheets: 10_000,
            text: 32_767,
        }
    }
}

/// Everything intake is told.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Unit system of the contract.
    pub system: System,
    /// Order of dates written as text.
    pub date_order: DateOrder,
    /// First and last year in which a year of two digits may lie.
    pub years: Option<(i32, i32)>,
    /// Alignments.
    pub alignments: Vec<Alignment>,
    /// Lanes, in the contract's order: a lane's place is its [`super::LaneId`].
    pub lanes: Vec<LaneWords>,
    /// Items, in the contract's order.
    pub items: Vec<ItemWords>,
    /// Materials, in the contract's order.
    pub materials: Vec<MaterialWords>,
    /// What mixes are called, all of them.
    pub mixes: Vec<String>,
    /// What is said outright about sheets.
    pub sheets: Vec<SheetRule>,
    /// What is set aside.
    pub set_aside: Vec<SetAside>,
    /// Days among which one without its year is sought, where the contract has periods: from a quarter before the end
    /// of the first to the end of the last.
    pub window: Option<(NaiveDate, NaiveDate)>,
    /// Records after this day are set aside.
    pub through: NaiveDate,
    /// Sizes.
    pub caps: Caps,
}

impl Setting {
    /// How dates written as text are read.
    #[must_use]
    pub fn dates(&self) -> Dates {
        Dates { order: self.date_order, years: self.years }
    }
}

//! Rank 3. What a closed period holds, and whether anybody has touched it since.
//!
//! A closing is the folder `closed/NN`: the package as it was delivered, the contract and the rule sets it was computed by,
//! the records that are new since the closing before, and `closing.json`, which names each of these files and each input
//! with its SHA-256. `closing.json` bears its own seal (its SHA-256 with the digits of the seal taken as zeros) and the
//! seal of the closing before, so that no byte of any closing can change without one of them failing.
//!
//! Nothing is read from or written to a disk here.

mod record;
mod seal;
mod shelf;
#[cfg(test)]
mod tests;

pub use record::{Change, ChangeTold, Changed, Record, RecordChange, changes, listed, records, told, written};
pub use seal::sealed;
pub use shelf::{Folder, Past, Shelf, checked};

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use crate::figure::{Figure, Given, Origin};
use crate::fingerprint::fingerprint;
use crate::units::Unit;

/// The folder of closed periods inside a contract folder.
pub const SHELF: &str = "closed";
/// The file of a closing that names all others.
pub const STATEMENT: &str = "closing.json";
/// The file of a closing that holds the records new since the closing before.
pub const RECORDS: &str = "records.jsonl";
/// The file of a closing that holds the contract as it was.
pub const CONTRACT: &str = "contract.toml";
/// Version of the form of `closing.json`.
const FORM: &str = "1";

/// A file with what proves that it is the same.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hashed {
    /// Name inside its folder, or path inside the contract folder, with `/`.
    pub file: String,
    /// SHA-256, hexadecimal.
    pub sha256: String,
    /// Size.
    pub bytes: u64,
}

impl Hashed {
    /// The hash of some bytes.
    #[must_use]
    pub fn of(file: impl Into<String>, bytes: &[u8]) -> Self {
        Self { file: file.into(), sha256: fingerprint(bytes), bytes: bytes.len() as u64 }
    }
}

/// The closing before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Link {
    /// Its period.
    pub period: u32,
    /// Its seal.
    pub seal: String,
}

/// Why a period was closed although something was open.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Despite {
    /// The reason, as given.
    pub reason: String,
    /// What was open, each in a line.
    pub open: Vec<String>,
}

/// An amount or quantity to date.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Amount {
    /// Key of its figure, such as `item-401.quantity.to-date`.
    pub key: String,
    /// What it is, in words.
    pub label: String,
    /// Symbol of its unit.
    pub unit: String,
    /// Its value.
    #[serde(with = "rust_decimal::serde::str")]
    pub value: Decimal,
}

/// A line that an amount to date was made of: a measured quantity of an item, or an adjustment of its pay.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// Number of the item.
    pub item: String,
    /// Key of its figure.
    pub key: String,
    /// Day it belongs to.
    pub day: NaiveDate,
    /// What and where, in words.
    pub what: String,
    /// Symbol of its unit.
    pub unit: String,
    /// Quantity of a measured line, amount of an adjustment.
    #[serde(with = "rust_decimal::serde::str")]
    pub value: Decimal,
    /// The record that supports it, in words; empty where there is none.
    pub record: String,
}

/// A closed period, as `closing.json` holds it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Closing {
    /// Version of this form.
    pub form: String,
    /// SHA-256 of this file with these 64 digits taken as zeros.
    pub seal: String,
    /// Number of the contract.
    pub contract: String,
    /// Number of the period.
    pub period: u32,
    /// Last day in it.
    pub through: NaiveDate,
    /// Program and version.
    pub program: String,
    /// The closing before; none for the first.
    pub before: Option<Link>,
    /// Why it was closed although something was open; none where nothing was.
    pub despite: Option<Despite>,
    /// The other files of this folder.
    pub files: Vec<Hashed>,
    /// What it was computed from: contract, rule sets, field sheets.
    pub inputs: Vec<Hashed>,
    /// Every amount and quantity to date.
    pub amounts: Vec<Amount>,
    /// Measured quantities.
    pub quantities: Vec<Line>,
    /// Adjustments of pay.
    pub adjustments: Vec<Line>,
}

/// What a closing is made from, before it is sealed.
#[derive(Clone, Debug)]
pub struct Draft {
    /// Number of the contract.
    pub contract: String,
    /// Number of the period.
    pub period: u32,
    /// Last day in it.
    pub through: NaiveDate,
    /// Program and version.
    pub program: String,
    /// Why it is closed although something is open.
    pub despite: Option<Despite>,
    /// What it was computed from.
    pub inputs: Vec<Hashed>,
    /// Every amount and quantity to date.
    pub amounts: Vec<Amount>,
    /// Measured quantities.
    pub quantities: Vec<Line>,
    /// Adjustments of pay.
    pub adjustments: Vec<Line>,
}

impl Closing {
    /// The folder of a period: `closed/02`.
    #[must_use]
    pub fn folder(period: u32) -> String {
        format!("{SHELF}/{period:02}")
    }

    /// Where its statement stands: `closed/02/closing.json`.
    #[must_use]
    pub fn place(&self) -> String {
        format!("{}/{STATEMENT}", Self::folder(self.period))
    }

    /// Whether an adjustment was there with this very amount.
    #[must_use]
    pub fn has_adjustment(&self, figure: &Figure) -> bool {
        let value = figure.value.decimal();
        self.adjustments.iter().any(|line| line.key == figure.key && Some(line.value) == value)
    }

    /// An amount to date, as a leaf for formulas. What a closing does not hold was nothing then.
    #[must_use]
    pub fn given(&self, key: &str, label: &str, symbol: &str, unit: Unit) -> Given {
        let held = self.amounts.iter().find(|a| a.key == key);
        let value = held.map_or(Decimal::ZERO, |a| a.value);
        Given {
            label: format!("{label}, closed in period {}", self.period),
            symbol: format!("{symbol}{}", self.period),
            value,
            unit,
            written: held.map_or_else(|| "not there".into(), |a| a.value.to_string()),
            origin: Origin::Closing { period: self.period, key: key.into() },
        }
    }
}

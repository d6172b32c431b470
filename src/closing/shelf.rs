//! The shelf of closings: the folder `closed/`, checked from the first period to the last.
//!
//! Every fault is found and named, not only the first: a file altered, missing or added, a seal that does not hold, a link
//! that leads to another closing than the one before it.

use super::record::Ledger;
use super::{Closing, Hashed, RECORDS, Record, SHELF, STATEMENT, seal};
use crate::finding::{Code, Finding, Place};

/// A folder of closings, or what else lies on the shelf.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Folder {
    /// Its name: `02`.
    pub name: String,
    /// Its files, by name. Those that were not read have no bytes.
    pub files: Vec<(String, Option<Vec<u8>>)>,
}

/// What lies in `closed/`, in order of name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shelf {
    /// Folders.
    pub folders: Vec<Folder>,
    /// Anything else: its name.
    pub others: Vec<String>,
}

/// What a closing leaves behind where it is interrupted begins so.
const UNFINISHED: &str = ".slabtally-";

/// The closings of a contract and the records they hold.
#[derive(Clone, Debug, Default)]
pub struct Past {
    /// Closings in order.
    pub closings: Vec<Closing>,
    /// The file of records of each closing, by place among the closings.
    records: Vec<Vec<u8>>,
}

impl Past {
    /// The last closing before a period.
    #[must_use]
    pub fn before(&self, period: u32) -> Option<&Closing> {
        self.closings.iter().rev().find(|closing| closing.period < period)
    }

    /// The closing of a period.
    #[must_use]
    pub fn of(&self, period: u32) -> Option<&Closing> {
        self.closings.iter().find(|closing| closing.period == period)
    }

    /// All records that a closing knew.
    ///
    /// # Errors
    /// Where the records of a closing do not follow from each other.
    pub fn records(&self, period: u32) -> Result<Vec<Record>, Finding> {
        let mut ledger = Ledger::default();
        for (closing, bytes) in self.closings.iter().zip(&self.records).take_while(|(c, _)| c.period <= period) {
            let place = format!("{}/{RECORDS}", Closing::folder(closing.period));
            ledger.take(bytes).map_err(|why| altered(&place, &why))?;
        }
        Ok(ledger.records())
    }
}

/// Checks a shelf: the closings, and every fault. Notes of interrupted closings are among them.
#[must_use]
pub fn checked(shelf: Shelf) -> (Past, Vec<Finding>) {
    let (mut past, mut findings) = (Past::default(), Vec::new());
    for other in &shelf.others {
        findings.push(stray(&format!("{SHELF}/{other}"), "is no closing"));
    }
    for folder in shelf.folders {
        if folder.name.starts_with(UNFINISHED) {
            findings.push(interrupted(&folder.name));
            continue;
        }
        let place = format!("{SHELF}/{}", folder.name);
        let statement = folder.files.iter().find(|(name, _)| name == STATEMENT).and_then(|(_, bytes)| bytes.as_deref());
        let Some(statement) = statement else {
            findings.push(altered(&format!("{place}/{STATEMENT}"), "is missing"));
            continue;
        };
        match seal::opened(statement) {
            Err(why) => findings.push(altered(&format!("{place}/{STATEMENT}"), &why)),
            Ok(closing) => {
                findings.extend(misplaced(&folder.name, &closing, past.closings.last()));
                findings.extend(files_of(&place, &folder, &closing));
                let records = folder.files.into_iter().find(|(name, _)| name == RECORDS);
                past.records.push(records.and_then(|(_, bytes)| bytes).unwrap_or_default());
                past.closings.push(closing);
            }
        }
    }
    (past, findings)
}

/// Whether a closing lies in its own folder and follows the one before.
fn misplaced(name: &str, closing: &Closing, before: Option<&Closing>) -> Vec<Finding> {
    let mut found = Vec::new();
    if Closing::folder(closing.period) != format!("{SHELF}/{name}") {
        let why = format!("is the closing of period {}, not of this folder", closing.period);
        found.push(altered(&format!("{SHELF}/{name}/{STATEMENT}"), &why));
    }
    let link = closing.before.as_ref().map(|link| (link.period, link.seal.as_str()));
    let last = before.map(|closing| (closing.period, closing.seal.as_str()));
    if link != last {
        let named = |of: Option<(u32, &str)>| {
            of.map_or_else(
                || "none".into(),
                |(period, seal)| format!("period {period} with seal {}...", &seal[..12.min(seal.len())]),
            )
        };
        let why = format!("follows {}, but before it stands {}", named(link), named(last));
        found.push(altered(&format!("{SHELF}/{name}/{STATEMENT}"), &why));
    }
    found
}

/// Holds the files of a folder against what its statement says of them.
fn files_of(place: &str, folder: &Folder, closing: &Closing) -> Vec<Finding> {
    let mut found = Vec::new();
    for said in &closing.files {
        let file = format!("{place}/{}", said.file);
        match folder.files.iter().find(|(name, _)| *name == said.file) {
            None => found.push(altered(&file, "is missing")),
            Some((_, Some(bytes))) if Hashed::of(said.file.clone(), bytes) != *said => {
                found.push(altered(&file, "differs from what was closed: its SHA-256 is another"));
            }
            Some(_) => {}
        }
    }
    let named = |name: &str| name == STATEMENT || closing.files.iter().any(|said| said.file == name);
    let strays = folder.files.iter().filter(|(name, _)| !named(name));
    found.extend(strays.map(|(name, _)| stray(&format!("{place}/{name}"), "was not there when the period was closed")));
    found
}

pub(super) fn altered(file: &str, why: &str) -> Finding {
    let remedy = "restore closed/ from a copy made when the period was closed; what was closed is never edited";
    Finding::new(Code::ClosingAltered, Place::File(file.into()), format!("{file} {why}"), remedy)
}

fn stray(file: &str, why: &str) -> Finding {
    let remedy = "move it out of closed/, which holds nothing but closings";
    Finding::new(Code::ClosingStray, Place::File(file.into()), format!("{file} {why}"), remedy)
}

fn interrupted(name: &str) -> Finding {
    let message = "a closing was interrupted before it was complete; the period is as it was before";
    let remedy = "close the period again; remove this folder when nobody is closing";
    Finding::new(Code::ClosingInterrupted, Place::File(format!("{SHELF}/{name}")), message, remedy)
}

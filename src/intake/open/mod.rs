//! Opens one field file safely and lays its filled cells out sheet by sheet.
//!
//! A file is read once into memory and everything after works on those bytes: what it is, its checksum, its cells. What
//! it is comes from its content and must agree with its name. A file that cannot be read whole is refused whole, with
//! one finding in plain words: numbers from half a file would set pay. Nothing here asks what a cell means.

mod archive;
mod biff;
mod compound;
mod csv;
mod folder;
mod kind;
mod marks;
mod ods;
mod ods_styles;
mod ods_text;
mod ods_value;
mod package;
mod received;
mod struck_texts;
mod xls;
mod xlsx;
mod xml;

use std::fs::{self, File};
use std::io::Read;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::SystemTime;

use self::kind::Kind;
use self::received::Received;
use super::raw::RawSheet;
use super::setting::Caps;
use crate::finding::Finding;
use crate::fingerprint::fingerprint;

pub(super) use self::folder::{Listed, list};

/// A file that was read whole.
#[derive(Debug)]
pub(super) struct Opened {
    /// SHA-256 of its bytes, hexadecimal.
    pub(super) sha256: String,
    /// Size.
    pub(super) bytes: u64,
    /// Its sheets in their order; all carry sheet id 0 until the caller numbers them.
    pub(super) sheets: Vec<RawSheet>,
    /// What a reader should know though the file was read.
    pub(super) notes: Vec<Finding>,
}

/// Reads the file at `path`, which messages call `shown` (`field/july/cores.xlsx`).
pub(super) fn open(path: &Path, shown: &str, caps: &Caps) -> Result<Opened, Finding> {
    let bytes = whole(path, shown, caps)?;
    read(&bytes, shown, caps)
}

/// Reads bytes already in memory.
fn read(bytes: &[u8], shown: &str, caps: &Caps) -> Result<Opened, Finding> {
    let received = Received { shown, bytes, caps };
    // The readers for .xlsx and .xls are not ours and meet damaged files: should one of them panic, the file is refused
    // like any other that cannot be read, and the rest of the folder is still read.
    let (sheets, notes) = catch_unwind(AssertUnwindSafe(|| sheets(&received))).unwrap_or_else(|_| {
        Err(received.refuse(
            "the file is damaged in a way that stopped its reading",
            "open it in a spreadsheet program and save it again, or ask for it anew",
        ))
    })?;
    Ok(Opened { sha256: fingerprint(bytes), bytes: u64::try_from(bytes.len()).unwrap_or(u64::MAX), sheets, notes })
}

fn sheets(received: &Received<'_>) -> Result<(Vec<RawSheet>, Vec<Finding>), Finding> {
    match kind::agreed(received)? {
        Kind::Xlsx => Ok((xlsx::read(received)?, Vec::new())),
        Kind::Ods => Ok((ods::read(received)?, Vec::new())),
        Kind::Xls => Ok((xls::read(received)?, Vec::new())),
        Kind::Csv => csv::read(received).map(|(sheet, notes)| (vec![sheet], notes)),
    }
}

/// The whole file, or a refusal where it is larger than allowed, cannot be read, or was changed meanwhile.
fn whole(path: &Path, shown: &str, caps: &Caps) -> Result<Vec<u8>, Finding> {
    let received = Received { shown, bytes: &[], caps };
    let failed = |error: std::io::Error| {
        received.refuse(format!("the file could not be read: {error}"), "see that the file is there and may be read")
    };
    let before = Stand::of(path).map_err(failed)?;
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(failed)?;
    file.take(caps.file_bytes.saturating_add(1)).read_to_end(&mut bytes).map_err(failed)?;
    let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
    if length > caps.file_bytes {
        return Err(received.refuse(
            format!("the file is larger than {}", received::size(caps.file_bytes)),
            "split it into smaller files, or take pictures out of it",
        ));
    }
    before.still_holds(path, length).map_err(failed)?.then_some(bytes).ok_or_else(|| {
        received.refuse(
            "the file was changed while it was read",
            "wait until nobody writes to it (a copy or a synchronisation may still run), and run again",
        )
    })
}

/// What tells whether a file was written to: its length, the time of its last change, and that it is a plain file.
#[derive(Debug, PartialEq, Eq)]
struct Stand {
    is_file: bool,
    length: u64,
    changed: Option<SystemTime>,
}

impl Stand {
    fn of(path: &Path) -> std::io::Result<Self> {
        let found = fs::symlink_metadata(path)?;
        Ok(Self { is_file: found.is_file(), length: found.len(), changed: found.modified().ok() })
    }

    /// Whether the file stands as before, and as many bytes were read as it has.
    fn still_holds(&self, path: &Path, length: u64) -> std::io::Result<bool> {
        Ok(self.is_file && self.length == length && *self == Self::of(path)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_written_to_meanwhile_does_not_stand_as_before() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("loads.csv");
        fs::write(&path, "Ticket,Volume\n").unwrap();
        let before = Stand::of(&path).unwrap();
        assert!(before.still_holds(&path, 14).unwrap());
        assert!(!before.still_holds(&path, 13).unwrap());
        fs::write(&path, "Ticket,Volume\n1,8.5\n").unwrap();
        assert!(!before.still_holds(&path, 14).unwrap());
        fs::remove_file(&path).unwrap();
        assert!(before.still_holds(&path, 14).is_err());
    }
}

#[cfg(test)]
mod samples;

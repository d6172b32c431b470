//! The folder of closed periods, as it lies on the disk. What it holds is judged elsewhere.

use std::fs::{self, DirEntry};
use std::io;
use std::path::Path;

use crate::closing::{Folder, RECORDS, SHELF, STATEMENT, Shelf};
use crate::finding::{Code, Finding, Place};

/// Reads `closed/`: every byte of it where `whole`, else the statements and records that later periods rest on. Empty where
/// there is no such folder.
///
/// # Errors
/// Where the folder or a file of it cannot be read.
pub fn shelf(root: &Path, whole: bool) -> Result<Shelf, Finding> {
    let at = root.join(SHELF);
    let mut shelf = Shelf::default();
    for entry in listed(&at).map_err(|why| unreadable(SHELF, &why))? {
        let name = entry.file_name().to_string_lossy().into_owned();
        match entry.file_type() {
            Ok(kind) if kind.is_dir() => shelf.folders.push(folder(&at, name, whole)?),
            _ => shelf.others.push(name),
        }
    }
    Ok(shelf)
}

fn folder(at: &Path, name: String, whole: bool) -> Result<Folder, Finding> {
    let mut folder = Folder { name, files: Vec::new() };
    let inside = at.join(&folder.name);
    for entry in listed(&inside).map_err(|why| unreadable(&folder.name, &why))? {
        let name = entry.file_name().to_string_lossy().into_owned();
        let plain = entry.file_type().is_ok_and(|kind| kind.is_file());
        let wanted = plain && (whole || name == STATEMENT || name == RECORDS);
        let bytes = if wanted { Some(fs::read(entry.path()).map_err(|why| unreadable(&name, &why))?) } else { None };
        folder.files.push((name, bytes));
    }
    Ok(folder)
}

/// The entries of a folder by name; none where there is no such folder.
fn listed(at: &Path) -> io::Result<Vec<DirEntry>> {
    let entries = match fs::read_dir(at) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    let mut entries = entries.collect::<io::Result<Vec<DirEntry>>>()?;
    entries.sort_by_key(DirEntry::file_name);
    Ok(entries)
}

fn unreadable(name: &str, why: &io::Error) -> Finding {
    let message = format!("{name} cannot be read: {why}");
    Finding::new(Code::FileUnreadable, Place::File(name.into()), message, "check the permissions of closed/")
}

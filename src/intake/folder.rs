//! The plain text files of a contract folder: the contract, and rule sets and templates of its own.

use std::fs;
use std::path::Path;

use crate::finding::{Code, Finding, Place};

/// A text file larger than this is not a contract, a rule set or a template.
const TEXT_CAP: u64 = 4 << 20;

/// A result larger than this is none that this program wrote.
const RESULT_CAP: u64 = 4 << 30;

/// Whether a folder holds a file of this name.
#[must_use]
pub fn has(root: &Path, name: &str) -> bool {
    root.join(name).is_file()
}

/// A text file of the contract folder.
///
/// # Errors
/// One finding where the file is missing, too large, or not UTF-8.
pub fn text(root: &Path, name: &str) -> Result<String, Finding> {
    capped(root, name, TEXT_CAP)
}

/// A file of results, which may be long.
///
/// # Errors
/// As [`text`].
pub fn long_text(root: &Path, name: &str) -> Result<String, Finding> {
    capped(root, name, RESULT_CAP)
}

fn capped(root: &Path, name: &str, cap: u64) -> Result<String, Finding> {
    let path = root.join(name);
    let refuse =
        |what: String, remedy: &str| Finding::new(Code::FileUnreadable, Place::File(name.into()), what, remedy);
    let found = fs::metadata(&path).map_err(|e| {
        refuse(format!("{name} cannot be opened in {}: {e}", root.display()), "point at the folder that holds it")
    })?;
    if !found.is_file() {
        return Err(refuse(format!("{name} is no file"), "put the file itself there"));
    }
    let size = found.len();
    if size > cap {
        return Err(refuse(
            format!("{name} has {size} bytes, more than the {cap} that it may have"),
            "check that it is the right file",
        ));
    }
    let bytes =
        fs::read(&path).map_err(|e| refuse(format!("{name} cannot be read: {e}"), "check the file's permissions"))?;
    let text = String::from_utf8(bytes).map_err(|e| {
        refuse(format!("{name} is not UTF-8 text (byte {})", e.utf8_error().valid_up_to() + 1), "save it as UTF-8")
    })?;
    Ok(text.strip_prefix('\u{feff}').map(str::to_string).unwrap_or(text))
}

/// The text files with one of the endings in a subfolder, by name; none where there is no such subfolder.
///
/// # Errors
/// A finding for each file that cannot be read.
pub fn texts(root: &Path, folder: &str, endings: &[&str]) -> Result<Vec<(String, String)>, Vec<Finding>> {
    let Ok(entries) = fs::read_dir(root.join(folder)) else { return Ok(Vec::new()) };
    let mut names: Vec<String> = entries
        .filter_map(Result::ok)
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| Path::new(name).extension().is_some_and(|e| endings.iter().any(|wanted| e == *wanted)))
        .collect();
    names.sort();
    let (mut texts, mut findings) = (Vec::new(), Vec::new());
    for name in names {
        match text(root, &format!("{folder}/{name}")) {
            Ok(content) => texts.push((name, content)),
            Err(finding) => findings.push(finding),
        }
    }
    if findings.is_empty() { Ok(texts) } else { Err(findings) }
}

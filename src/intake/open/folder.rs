//! What lies in the field folder: every file, in subfolders too, in order of name. What is not opened is said.

use std::fs;
use std::path::{Path, PathBuf};

use super::kind::Kind;
use crate::finding::{Code, Finding, Place};
use crate::legible::legible;

/// A file of the field folder.
#[derive(Clone, Debug)]
pub(in crate::intake) enum Listed {
    /// To be opened.
    Sheet {
        /// Where it lies.
        path: PathBuf,
        /// `field/july/cores.xlsx`, with `/` on every system.
        shown: String,
    },
    /// Not opened, with the reason.
    PassedOver(Finding),
}

impl Listed {
    /// The name of a file that is to be opened.
    pub(in crate::intake) fn shown(&self) -> Option<&str> {
        match self {
            Self::Sheet { shown, .. } => Some(shown),
            Self::PassedOver(_) => None,
        }
    }

    fn name(&self) -> &str {
        match self {
            Self::Sheet { shown, .. } | Self::PassedOver(Finding { place: Place::File(shown), .. }) => shown,
            Self::PassedOver(_) => "",
        }
    }
}

/// Folders in folders beyond this depth are refused: real ones are two or three deep.
const DEEPEST: usize = 32;

/// Everything below `root/field`, sorted by the name shown. Links are not followed.
pub(in crate::intake) fn list(root: &Path) -> Result<Vec<Listed>, Finding> {
    let field = root.join("field");
    if !fs::symlink_metadata(&field).is_ok_and(|it| it.is_dir()) {
        return Err(refuse(
            "field",
            "there is no folder named field",
            "put the spreadsheets into a folder named field",
        ));
    }
    let mut listed = Vec::new();
    let mut folders = vec![(field, String::from("field"), 0)];
    while let Some((folder, shown, depth)) = folders.pop() {
        for (path, shown, kind) in entries(&folder, &shown)? {
            if shown.contains(NO_LETTER) {
                listed.push(Listed::PassedOver(refuse(
                    &shown,
                    "its name holds characters that are no letters: they cannot be shown, or are not UTF-8",
                    "give it a name of letters, digits and blanks",
                )));
            } else if kind.is_dir() && depth < DEEPEST {
                folders.push((path, shown, depth + 1));
            } else {
                listed.push(sort_out(path, shown, kind));
            }
        }
    }
    listed.sort_by(|a, b| a.name().cmp(b.name()));
    Ok(listed)
}

/// Stands in a name for what is no letter: no file is opened by such a name, as another one could be shown the same.
const NO_LETTER: char = '\u{fffd}';

/// Whether a letter is the picture of a control character.
fn is_picture(letter: char) -> bool {
    ('\u{2400}'..='\u{2421}').contains(&letter)
}

fn entries(folder: &Path, shown: &str) -> Result<Vec<(PathBuf, String, fs::FileType)>, Finding> {
    let failed = |error: std::io::Error| {
        refuse(shown, format!("the folder could not be listed: {error}"), "see that the folder may be read")
    };
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let name = legible(&entry.file_name().to_string_lossy()).replace(char::is_control, &NO_LETTER.to_string());
        let name: String = name.chars().map(|c| if is_picture(c) { NO_LETTER } else { c }).collect();
        found.push((entry.path(), format!("{shown}/{name}"), entry.file_type().map_err(failed)?));
    }
    Ok(found)
}

fn sort_out(path: PathBuf, shown: String, kind: fs::FileType) -> Listed {
    let name = shown.rsplit('/').next().unwrap_or(&shown);
    if kind.is_symlink() {
        return Listed::PassedOver(refuse(&shown, "this is a link to another place", "put the file itself here"));
    }
    if kind.is_dir() {
        return Listed::PassedOver(refuse(&shown, "folders lie too deep in folders", "bring its files further up"));
    }
    if !kind.is_file() {
        return Listed::PassedOver(refuse(&shown, "this is a device, not a file", "remove it from the field folder"));
    }
    if is_lock(name) {
        return Listed::PassedOver(pass_over(
            &shown,
            "a lock file: somebody may have the spreadsheet beside it open, with changes not yet saved",
            "close the spreadsheet, saving it, and run again",
        ));
    }
    match Kind::by_name(name) {
        Some(_) if !name.starts_with('.') => Listed::Sheet { path, shown },
        _ if is_other_spreadsheet(name) => Listed::PassedOver(refuse(
            &shown,
            "a spreadsheet of a kind that this program does not read",
            "save it as an .xlsx workbook",
        )),
        _ => Listed::PassedOver(pass_over(
            &shown,
            "not a spreadsheet by its name, so it was not opened",
            "nothing, unless it holds records: then save them as an .xlsx workbook or .csv",
        )),
    }
}

/// Files that spreadsheet programs lay beside one that is open.
fn is_lock(name: &str) -> bool {
    name.starts_with("~$") || name.starts_with(".~lock.")
}

const OTHER_SPREADSHEETS: &[&str] =
    &["xlsb", "xltx", "xltm", "xlt", "xlw", "ots", "fods", "sxc", "numbers", "gsheet", "dif", "slk", "wk1", "123"];

fn is_other_spreadsheet(name: &str) -> bool {
    let ending = name.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase()).unwrap_or_default();
    OTHER_SPREADSHEETS.contains(&ending.as_str())
}

fn refuse(shown: &str, message: impl Into<String>, remedy: &str) -> Finding {
    Finding::new(Code::FileUnreadable, Place::File(shown.to_owned()), message, remedy)
}

fn pass_over(shown: &str, message: &str, remedy: &str) -> Finding {
    Finding::new(Code::FilePassedOver, Place::File(shown.to_owned()), message, remedy)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_file_is_listed_or_said_in_order_of_name() {
        let root = tempfile::tempdir().unwrap();
        let field = root.path().join("field");
        fs::create_dir_all(field.join("july")).unwrap();
        for name in [
            "july/plant-b.csv",
            "cores.xlsx",
            "~$cores.xlsx",
            ".~lock.cores.ods#",
            "map.pdf",
            "old.xlsb",
            ".hidden.csv",
        ] {
            fs::write(field.join(name), "x").unwrap();
        }
        let listed: Vec<String> = list(root.path()).unwrap().iter().map(said).collect();
        assert_eq!(
            listed,
            [
                "field/.hidden.csv file-passed-over",
                "field/.~lock.cores.ods# file-passed-over",
                "field/cores.xlsx",
                "field/july/plant-b.csv",
                "field/map.pdf file-passed-over",
                "field/old.xlsb file-unreadable",
                "field/~$cores.xlsx file-passed-over",
            ]
        );
    }

    fn said(it: &Listed) -> String {
        match it {
            Listed::Sheet { shown, .. } => shown.clone(),
            Listed::PassedOver(finding) => format!("{} {}", it.name(), finding.code),
        }
    }

    #[cfg(unix)]
    #[test]
    fn links_are_not_followed() {
        let root = tempfile::tempdir().unwrap();
        fs::create_dir(root.path().join("field")).unwrap();
        std::os::unix::fs::symlink("/etc/hostname", root.path().join("field/loads.csv")).unwrap();
        let listed = list(root.path()).unwrap();
        assert_eq!(listed.iter().map(said).collect::<Vec<_>>(), ["field/loads.csv file-unreadable"]);
    }

    #[test]
    fn a_folder_without_field_is_refused() {
        let root = tempfile::tempdir().unwrap();
        assert_eq!(list(root.path()).unwrap_err().message, "there is no folder named field");
    }
}

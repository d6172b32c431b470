//! The contract folders below a folder: every one that holds a contract.toml, at any depth, in order of path.
//!
//! Folders named `field`, `closed` and `out` are not looked into: they hold what a contract received and what was made of
//! it. Links are not followed; one that leads to a folder, or is named contract.toml, is said.

use std::fs::{self, FileType};
use std::path::{Path, PathBuf};

use crate::finding::{Code, Finding, Place};

/// A contract folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ContractFolder {
    /// Where it lies.
    pub path: PathBuf,
    /// The same from the folder that was searched, with `/` on every system; `.` for that folder itself.
    pub shown: String,
}

/// What a search came to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ContractFolders {
    /// Contract folders, in order of path.
    pub found: Vec<ContractFolder>,
    /// Links that were not followed.
    pub links: Vec<Finding>,
    /// Folders that could not be looked into.
    pub unsearched: Vec<Finding>,
}

const CONTRACT: &str = "contract.toml";

/// Folders of a contract in which no other contract lies.
const CLOSED_TO_SEARCH: [&str; 3] = ["field", "closed", "out"];

/// Folders in folders beyond this depth are refused: real ones are a few deep.
const DEEPEST: usize = 32;

/// Every contract folder at or below `root`.
#[must_use]
pub fn contract_folders(root: &Path) -> ContractFolders {
    let mut folders = ContractFolders::default();
    let mut open = vec![(root.to_path_buf(), String::from("."), 0)];
    while let Some((path, shown, depth)) = open.pop() {
        let entries = if depth > DEEPEST { Err("folders lie too deep in folders".into()) } else { entries(&path) };
        let entries = match entries {
            Ok(entries) => entries,
            Err(why) => {
                folders.unsearched.push(unsearched(&shown, &why));
                continue;
            }
        };
        for (name, kind) in entries {
            let at = path.join(&name);
            let below = if shown == "." { name.clone() } else { format!("{shown}/{name}") };
            if kind.is_symlink() && (name == CONTRACT || at.is_dir()) {
                folders.links.push(link(&below));
            } else if kind.is_file() && name == CONTRACT {
                folders.found.push(ContractFolder { path: path.clone(), shown: shown.clone() });
            } else if kind.is_dir() && !CLOSED_TO_SEARCH.contains(&name.as_str()) {
                open.push((at, below, depth + 1));
            }
        }
    }
    folders.found.sort_by(|a, b| a.path.cmp(&b.path));
    folders.links.sort_by(|a, b| a.place.cmp(&b.place));
    folders.unsearched.sort_by(|a, b| a.place.cmp(&b.place));
    folders
}

fn entries(folder: &Path) -> Result<Vec<(String, FileType)>, String> {
    let failed = |error: std::io::Error| format!("the folder could not be listed: {error}");
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let kind = entry.file_type().map_err(failed)?;
        match entry.file_name().into_string() {
            Ok(name) => found.push((name, kind)),
            Err(name) if kind.is_dir() => {
                return Err(format!("the name of a folder in it is not text: {}", name.to_string_lossy()));
            }
            Err(_) => {}
        }
    }
    Ok(found)
}

fn unsearched(shown: &str, why: &str) -> Finding {
    let remedy = "see that the folder may be read and has a plain name, or bring its contracts further up";
    Finding::new(Code::FileUnreadable, Place::File(shown.into()), why, remedy)
}

fn link(shown: &str) -> Finding {
    let message = "this is a link to another place; it was not followed";
    let remedy = "if contracts lie there, put them here, or run on the place that the link leads to";
    Finding::new(Code::FileUnreadable, Place::File(shown.into()), message, remedy)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(paths: &[&str]) -> tempfile::TempDir {
        let root = tempfile::tempdir().unwrap();
        for path in paths {
            fs::create_dir_all(root.path().join(path)).unwrap();
            fs::write(root.path().join(path).join(CONTRACT), "").unwrap();
        }
        root
    }

    fn shown(folders: &ContractFolders) -> Vec<&str> {
        folders.found.iter().map(|folder| folder.shown.as_str()).collect()
    }

    #[test]
    fn contracts_are_found_at_any_depth_in_order_of_path() {
        let root = with(&["b", "a/north/9", "a/north/10", "a", "a/field/old", "a/closed/1", "out/b-01", "b/out"]);
        assert_eq!(shown(&contract_folders(root.path())), ["a", "a/north/10", "a/north/9", "b"]);
        assert_eq!(shown(&contract_folders(&root.path().join("b"))), ["."]);
    }

    #[test]
    fn a_folder_named_contract_toml_is_no_contract() {
        let root = with(&["a"]);
        fs::create_dir_all(root.path().join("b").join(CONTRACT)).unwrap();
        assert_eq!(shown(&contract_folders(root.path())), ["a"]);
    }

    #[test]
    fn a_place_that_is_not_there_is_said() {
        let root = with(&[]);
        let folders = contract_folders(&root.path().join("nowhere"));
        assert!(folders.found.is_empty());
        assert!(folders.unsearched[0].message.starts_with("the folder could not be listed"));
    }

    #[cfg(unix)]
    #[test]
    fn links_are_said_and_not_followed() {
        let root = with(&["a"]);
        let link = std::os::unix::fs::symlink::<PathBuf, PathBuf>;
        link(root.path().join("a"), root.path().join("b")).unwrap();
        link(root.path().to_path_buf(), root.path().join("a/round")).unwrap();
        link(root.path().join("nothing"), root.path().join("loose")).unwrap();
        let folders = contract_folders(root.path());
        assert_eq!(shown(&folders), ["a"]);
        let places: Vec<_> = folders.links.iter().map(|l| &l.place).collect();
        assert_eq!(places, [&Place::File("a/round".into()), &Place::File("b".into())]);
    }
}

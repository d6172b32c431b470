//! Rank 13. Finished files into their folder, all of them or none.
//!
//! Everything is written into a hidden folder beside the wanted one, read back and compared, and only then moved into
//! place by renaming. A folder that stands there already is kept unless replacing it was asked for, and then only where
//! it holds nothing but files of the same report. If the machine stops half way, the old folder or the new one is whole
//! under its name; in the instant between two renames both stand, whole, in the hidden folder.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::TempDir;

/// Why nothing was delivered, unless the message says otherwise.
#[derive(Debug, thiserror::Error)]
pub enum OutboxError {
    /// A folder stands there already.
    #[error("{} exists already; nothing was written. Choose another folder with --out, or add --replace", .0.display())]
    Exists(PathBuf),
    /// Something that is not a folder of reports stands there.
    #[error("{} is not a folder that can be replaced ({why}); nothing was written. Choose another with --out", .dir.display())]
    NotReplaceable {
        /// The folder.
        dir: PathBuf,
        /// What stands in the way.
        why: String,
    },
    /// A name that is not a plain file name.
    #[error("'{0}' is not a plain file name; nothing was written")]
    Name(String),
    /// The disk did not do what was asked.
    #[error("{what} {}: {source}; nothing was delivered", .path.display())]
    Disk {
        /// What was tried.
        what: &'static str,
        /// With which file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// What was read back is not what was written.
    #[error("{} does not read back as it was written; nothing was delivered. Check the disk", .0.display())]
    Differs(PathBuf),
    /// The old folder could not be put back.
    #[error("the new folder could not be moved to {}, nor the old one back; the old one is kept as {}", .dir.display(), .kept.display())]
    Stranded {
        /// Where it should stand.
        dir: PathBuf,
        /// Where the old one is.
        kept: PathBuf,
    },
}

/// Writes `files` (name and bytes) as the folder `dir`: all of them or none. With `replace`, a report that stands there
/// already gives way.
///
/// # Errors
/// Where `dir` exists and `replace` is false, where it holds something else than a report, where a name is not plain, or
/// where the disk fails. What stood there before is then still there.
pub fn deliver(dir: &Path, files: &[(String, Vec<u8>)], replace: bool) -> Result<(), OutboxError> {
    check_names(files)?;
    let standing = standing(dir, files, replace)?;
    let parent = match dir.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    fs::create_dir_all(parent).map_err(disk("could not make", parent))?;
    let stage = tempfile::Builder::new().prefix(".slabtally-").tempdir_in(parent);
    let stage = stage.map_err(disk("could not write in", parent))?;
    let made = stage.path().join("new");
    write_all(&made, files)?;
    if standing {
        swap(stage, &made, dir)?;
    } else {
        fs::rename(&made, dir).map_err(disk("could not make", dir))?;
    }
    settle(parent);
    Ok(())
}

fn disk<'a>(what: &'static str, path: &'a Path) -> impl FnOnce(io::Error) -> OutboxError + 'a {
    move |source| OutboxError::Disk { what, path: path.to_path_buf(), source }
}

/// Every name is one plain file name, and no two are the same on a disk that ignores case.
fn check_names(files: &[(String, Vec<u8>)]) -> Result<(), OutboxError> {
    let mut taken = BTreeSet::new();
    for (name, _) in files {
        let plain = !name.starts_with('.') && !name.contains(['/', '\\', ':']) && !name.contains(char::is_control);
        if name.is_empty() || !plain || !taken.insert(name.to_lowercase()) {
            return Err(OutboxError::Name(name.clone()));
        }
    }
    Ok(())
}

/// Whether a report that may be replaced stands at `dir`.
fn standing(dir: &Path, files: &[(String, Vec<u8>)], replace: bool) -> Result<bool, OutboxError> {
    let kind = match fs::symlink_metadata(dir) {
        Ok(found) => found.file_type(),
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(false),
        Err(e) => return Err(disk("could not look at", dir)(e)),
    };
    if !replace {
        return Err(OutboxError::Exists(dir.to_path_buf()));
    }
    let refuse = |why: String| OutboxError::NotReplaceable { dir: dir.to_path_buf(), why };
    if !kind.is_dir() {
        return Err(refuse("it is a file or a link".into()));
    }
    let ours: BTreeSet<OsString> = files.iter().filter_map(|(name, _)| stem(Path::new(name))).collect();
    for entry in fs::read_dir(dir).map_err(disk("could not look into", dir))? {
        let entry = entry.map_err(disk("could not look into", dir))?;
        let file = entry.file_type().map_err(disk("could not look into", dir))?.is_file();
        if !file || !stem(&entry.path()).is_some_and(|s| ours.contains(&s)) {
            let name = entry.file_name();
            return Err(refuse(format!("it holds '{}', which is not part of this report", name.to_string_lossy())));
        }
    }
    Ok(true)
}

/// `package` of `package.pdf` and of `package.typ`: files of one report.
fn stem(path: &Path) -> Option<OsString> {
    path.file_stem().map(OsString::from)
}

/// Writes each file, makes sure that it is on the disk, and compares what is read back.
fn write_all(dir: &Path, files: &[(String, Vec<u8>)]) -> Result<(), OutboxError> {
    fs::create_dir(dir).map_err(disk("could not make", dir))?;
    for (name, bytes) in files {
        let path = dir.join(name);
        let mut file = File::create_new(&path).map_err(disk("could not write", &path))?;
        file.write_all(bytes).and_then(|()| file.sync_all()).map_err(disk("could not write", &path))?;
        drop(file);
        if fs::read(&path).map_err(disk("could not read back", &path))? != *bytes {
            return Err(OutboxError::Differs(path));
        }
    }
    settle(dir);
    Ok(())
}

/// The old folder aside, the new one into its place; the old one back if that fails.
fn swap(stage: TempDir, made: &Path, dir: &Path) -> Result<(), OutboxError> {
    let aside = stage.path().join("old");
    fs::rename(dir, &aside).map_err(disk("could not replace", dir))?;
    if let Err(error) = fs::rename(made, dir) {
        if fs::rename(&aside, dir).is_err() {
            let kept = stage.keep().join("old");
            return Err(OutboxError::Stranded { dir: dir.to_path_buf(), kept });
        }
        return Err(disk("could not replace", dir)(error));
    }
    Ok(())
}

/// Asks the system to put a folder's entries on the disk. Some systems cannot; the files themselves are there already.
fn settle(dir: &Path) {
    if let Ok(folder) = File::open(dir) {
        let _ = folder.sync_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(of: &[(&str, &str)]) -> Vec<(String, Vec<u8>)> {
        of.iter().map(|(name, text)| ((*name).into(), text.as_bytes().to_vec())).collect()
    }

    fn names(dir: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(dir).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_report_arrives_whole_and_leaves_nothing_beside_it() {
        let place = tempfile::tempdir().unwrap();
        let dir = place.path().join("out/period-3");
        deliver(&dir, &files(&[("estimate.txt", "due"), ("result.json", "{}")]), false).unwrap();
        assert_eq!(names(&dir), ["estimate.txt", "result.json"]);
        assert_eq!(fs::read(dir.join("estimate.txt")).unwrap(), b"due");
        assert_eq!(names(&place.path().join("out")), ["period-3"]);
    }

    #[test]
    fn a_report_that_stands_there_is_kept_unless_it_may_be_replaced() {
        let place = tempfile::tempdir().unwrap();
        let dir = place.path().join("period-3");
        deliver(&dir, &files(&[("package.pdf", "old"), ("package.typ", "old")]), false).unwrap();
        let refused = deliver(&dir, &files(&[("package.pdf", "new")]), false).unwrap_err();
        assert!(refused.to_string().contains("--replace"), "{refused}");
        assert_eq!(fs::read(dir.join("package.pdf")).unwrap(), b"old");
        deliver(&dir, &files(&[("package.pdf", "new")]), true).unwrap();
        assert_eq!(names(&dir), ["package.pdf"]);
        assert_eq!(fs::read(dir.join("package.pdf")).unwrap(), b"new");
        assert_eq!(names(place.path()), ["period-3"]);
    }

    #[test]
    fn a_folder_with_other_things_in_it_is_never_replaced() {
        let place = tempfile::tempdir().unwrap();
        let dir = place.path().join("letters");
        fs::create_dir(&dir).unwrap();
        fs::write(dir.join("to-the-owner.txt"), "dear owner").unwrap();
        let refused = deliver(&dir, &files(&[("package.pdf", "new")]), true).unwrap_err();
        assert!(refused.to_string().contains("it holds 'to-the-owner.txt'"), "{refused}");
        assert_eq!(names(&dir), ["to-the-owner.txt"]);
        assert_eq!(names(place.path()), ["letters"]);
    }

    #[test]
    fn a_name_that_leads_elsewhere_is_refused_before_anything_is_written() {
        let place = tempfile::tempdir().unwrap();
        for name in ["", "../estimate.txt", "a/b", "a\\b", ".hidden", "..", "c:x", "line\nend"] {
            let refused = deliver(&place.path().join("out"), &files(&[("fine.txt", ""), (name, "")]), false);
            assert!(matches!(refused, Err(OutboxError::Name(_))), "{name}");
        }
        let twice = deliver(&place.path().join("out"), &files(&[("a.txt", ""), ("A.txt", "")]), false);
        assert!(matches!(twice, Err(OutboxError::Name(_))));
        assert_eq!(names(place.path()), [""; 0]);
    }

    #[cfg(unix)]
    #[test]
    fn the_folder_can_be_read_by_whoever_may_read_its_neighbours() {
        use std::os::unix::fs::PermissionsExt;
        let place = tempfile::tempdir().unwrap();
        let (neighbour, dir) = (place.path().join("neighbour"), place.path().join("out"));
        fs::create_dir(&neighbour).unwrap();
        deliver(&dir, &files(&[("a.txt", "")]), false).unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
        assert_eq!(mode(&dir), mode(&neighbour));
    }
}

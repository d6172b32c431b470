//! Rank 13. Finished files into their folders, all of them or none.
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

/// Files that a report holds at times only.
const SOMETIMES: &[&str] = &["as-built.svg", "refused.xlsx", "changes.txt"];

/// Files by name.
pub type Files = [(String, Vec<u8>)];

/// Writes `files` (name and bytes) as the folder `dir`: all of them or none. With `replace`, a report that stands there
/// already gives way.
///
/// # Errors
/// Where `dir` exists and `replace` is false, where it holds something else than a report, where a name is not plain, or
/// where the disk fails. What stood there before is then still there.
pub fn deliver(dir: &Path, files: &Files, replace: bool) -> Result<(), OutboxError> {
    deliver_all(&[(dir, files)], replace)
}

/// The same for several folders, all of them or none.
///
/// # Errors
/// As of [`deliver`], for any of them.
pub fn deliver_all(folders: &[(&Path, &Files)], replace: bool) -> Result<(), OutboxError> {
    let mut staged = Vec::new();
    for (dir, files) in folders {
        staged.push(Staged::new(dir, files, replace)?);
    }
    let mut placed: Vec<Staged> = Vec::new();
    for one in staged {
        match one.place() {
            Ok(one) => placed.push(one),
            Err(error) => {
                placed.iter().rev().try_for_each(Staged::take_back)?;
                return Err(error);
            }
        }
    }
    for one in &placed {
        settle(parent(&one.dir));
    }
    Ok(())
}

/// Writes files beside what else a folder holds, each whole. With `replace`, files of the same names give way.
///
/// # Errors
/// As of [`free`], or where the disk fails.
pub fn add(dir: &Path, files: &Files, replace: bool) -> Result<(), OutboxError> {
    check_names(files)?;
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    free(dir, &names, replace)?;
    fs::create_dir_all(dir).map_err(disk("could not make", dir))?;
    let stage = tempfile::Builder::new().prefix(".slabtally-").tempdir_in(dir);
    let stage = stage.map_err(disk("could not write in", dir))?;
    let made = stage.path().join("new");
    write_all(&made, files)?;
    for (name, _) in files {
        let path = dir.join(name);
        fs::rename(made.join(name), &path).map_err(disk("could not make", &path))?;
    }
    settle(dir);
    Ok(())
}

/// Whether files may be written into a folder under these names.
///
/// # Errors
/// Where one is there already and `replace` is false, or is a folder or a link.
pub fn free(dir: &Path, names: &[&str], replace: bool) -> Result<(), OutboxError> {
    for path in names.iter().map(|name| dir.join(name)) {
        match fs::symlink_metadata(&path) {
            Err(e) if matches!(e.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory) => {}
            Err(e) => return Err(disk("could not look at", &path)(e)),
            Ok(found) if !found.is_file() => {
                return Err(OutboxError::NotReplaceable { dir: path, why: "it is a folder or a link".into() });
            }
            Ok(_) if !replace => return Err(OutboxError::Exists(path)),
            Ok(_) => {}
        }
    }
    Ok(())
}

/// A folder that is finished beside its place.
struct Staged {
    stage: TempDir,
    dir: PathBuf,
    /// Whether another stands in its place.
    standing: bool,
}

impl Staged {
    fn new(dir: &Path, files: &Files, replace: bool) -> Result<Self, OutboxError> {
        check_names(files)?;
        let standing = standing(dir, files, replace)?;
        let parent = parent(dir);
        fs::create_dir_all(parent).map_err(disk("could not make", parent))?;
        let stage = tempfile::Builder::new().prefix(".slabtally-").tempdir_in(parent);
        let stage = stage.map_err(disk("could not write in", parent))?;
        write_all(&stage.path().join("new"), files)?;
        Ok(Self { stage, dir: dir.to_path_buf(), standing })
    }

    /// Moves it into its place, what stood there aside; the old folder back if that fails.
    fn place(self) -> Result<Self, OutboxError> {
        let (made, aside) = (self.stage.path().join("new"), self.stage.path().join("old"));
        if self.standing {
            fs::rename(&self.dir, &aside).map_err(disk("could not replace", &self.dir))?;
        }
        if let Err(error) = fs::rename(&made, &self.dir) {
            if self.standing && fs::rename(&aside, &self.dir).is_err() {
                return Err(OutboxError::Stranded { dir: self.dir, kept: self.stage.keep().join("old") });
            }
            let what = if self.standing { "could not replace" } else { "could not make" };
            return Err(disk(what, &self.dir)(error));
        }
        Ok(self)
    }

    /// Moves it out of its place again, what stood there back.
    fn take_back(&self) -> Result<(), OutboxError> {
        let (made, aside) = (self.stage.path().join("new"), self.stage.path().join("old"));
        let back = fs::rename(&self.dir, &made);
        let back = back.and_then(|()| if self.standing { fs::rename(&aside, &self.dir) } else { Ok(()) });
        back.map_err(disk("could not put back", &self.dir))
    }
}

fn parent(dir: &Path) -> &Path {
    dir.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

fn disk<'a>(what: &'static str, path: &'a Path) -> impl FnOnce(io::Error) -> OutboxError + 'a {
    move |source| OutboxError::Disk { what, path: path.to_path_buf(), source }
}

/// Every name is one plain file name, and no two are the same on a disk that ignores case.
fn check_names(files: &Files) -> Result<(), OutboxError> {
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
fn standing(dir: &Path, files: &Files, replace: bool) -> Result<bool, OutboxError> {
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
    let named = files.iter().map(|(name, _)| name.as_str()).chain(SOMETIMES.iter().copied());
    let ours: BTreeSet<OsString> = named.filter_map(|name| stem(Path::new(name))).collect();
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
fn write_all(dir: &Path, files: &Files) -> Result<(), OutboxError> {
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

    #[test]
    fn of_several_folders_none_is_left_where_one_cannot_be_made() {
        let place = tempfile::tempdir().unwrap();
        let (first, second) = (place.path().join("first"), place.path().join("second"));
        deliver(&first, &files(&[("a.txt", "old")]), false).unwrap();
        // The second passes every check, but a folder with something in it stands in its place by the time it is moved.
        let staged = [Staged::new(&first, &files(&[("a.txt", "new")]), true).unwrap()];
        let placed: Vec<Staged> = staged.into_iter().map(|one| one.place().unwrap()).collect();
        assert_eq!(fs::read(first.join("a.txt")).unwrap(), b"new");
        let late = Staged::new(&second, &files(&[("b.txt", "")]), false).unwrap();
        fs::create_dir(&second).unwrap();
        fs::write(second.join("mine.txt"), "mine").unwrap();
        assert!(late.place().is_err());
        placed[0].take_back().unwrap();
        drop(placed);
        assert_eq!(fs::read(first.join("a.txt")).unwrap(), b"old");
        assert_eq!(names(&second), ["mine.txt"]);
        assert_eq!(names(place.path()), ["first", "second"]);
        // One that is refused at once keeps all from being written.
        let (new, taken) = (files(&[("a.txt", "new")]), files(&[("b.txt", "")]));
        let third = place.path().join("third");
        assert!(deliver_all(&[(&third, &new), (&second, &taken)], true).is_err());
        assert_eq!(names(place.path()), ["first", "second"]);
    }

    #[test]
    fn files_are_added_beside_others_and_replaced_only_when_told() {
        let place = tempfile::tempdir().unwrap();
        let out = place.path().join("out");
        deliver(&out.join("period-1"), &files(&[("a.txt", "")]), false).unwrap();
        add(&out, &files(&[("summary.txt", "old")]), false).unwrap();
        assert!(matches!(add(&out, &files(&[("summary.txt", "new")]), false), Err(OutboxError::Exists(_))));
        assert_eq!(fs::read(out.join("summary.txt")).unwrap(), b"old");
        add(&out, &files(&[("summary.txt", "new")]), true).unwrap();
        assert_eq!(fs::read(out.join("summary.txt")).unwrap(), b"new");
        assert_eq!(names(&out), ["period-1", "summary.txt"]);
        assert!(matches!(free(&out, &["period-1"], true), Err(OutboxError::NotReplaceable { .. })));
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

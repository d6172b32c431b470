//! `check --explain FILE`: how one field file was read. FILE is a path, or the file's path inside `field/`.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::{OPEN, compute, print};
use crate::finding::{Code, Finding, Place};
use crate::run::{Stop, printable};

pub(super) fn explain(dir: Option<&Path>, file: &Path, through: Option<NaiveDate>) -> Result<u8, Stop> {
    let dir = match dir {
        Some(dir) => dir.to_path_buf(),
        None => contract_above(file)?,
    };
    let computed = compute(&dir, through)?;
    let text = computed.explain(&inside_field(&dir, file))?;
    print(&text.lines().map(|line| printable(line) + "\n").collect::<String>())?;
    Ok(if computed.findings.keep_open() { OPEN } else { 0 })
}

/// The nearest folder above a file that holds a contract.
fn contract_above(file: &Path) -> Result<PathBuf, Stop> {
    let full = std::path::absolute(file).unwrap_or_else(|_| file.to_path_buf());
    let above = full.ancestors().skip(1).find(|at| at.join("contract.toml").is_file());
    above.map(Path::to_path_buf).ok_or_else(|| {
        let what = "no folder above it has a contract.toml";
        let remedy = "name the contract folder before --explain, or the file by its path";
        Finding::new(Code::FileUnreadable, Place::File(file.display().to_string()), what, remedy).into()
    })
}

/// A file's path inside `field/`, with `/`.
fn inside_field(dir: &Path, file: &Path) -> String {
    let field = dir.join("field");
    let real = |path: &Path| std::fs::canonicalize(path).ok();
    let inside = file
        .is_file()
        .then(|| Some(real(file)?.strip_prefix(real(&field)?).ok()?.to_path_buf()))
        .flatten()
        .unwrap_or_else(|| file.to_path_buf());
    inside.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/")
}

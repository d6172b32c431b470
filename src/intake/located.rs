//! Where a field file lies: in which contract folder, and under which name reports show it.

use std::fs;
use std::path::{Path, PathBuf};

use crate::finding::{Code, Finding, Place};

/// The contract folder of a field file, and the file as reports name it (`field/lab/cores.ods`). `file` may be a path on
/// the disk or, where the contract folder is given, a path inside its `field/`.
///
/// # Errors
/// Where no contract folder is given and none lies above the file, or the file is not below its `field/`.
pub fn located(file: &Path, folder: Option<&Path>) -> Result<(PathBuf, String), Finding> {
    let there = fs::canonicalize(file).ok();
    let Some(folder) = folder.map(Path::to_path_buf).or_else(|| folder_above(there.as_deref()?)) else {
        let message = "there is no such file below a folder with contract.toml and field/";
        return Err(refuse(file, message, "give the contract folder too: check DIR --explain FILE"));
    };
    let field = fs::canonicalize(folder.join("field")).unwrap_or_else(|_| folder.join("field"));
    let inside = there.as_deref().and_then(|there| there.strip_prefix(&field).ok());
    let inside = inside.map_or_else(|| file.to_path_buf(), Path::to_path_buf);
    let shown = inside.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/");
    let shown = shown.strip_prefix("field/").unwrap_or(&shown);
    Ok((folder, format!("field/{shown}")))
}

/// The nearest folder above a file that holds a contract.
fn folder_above(file: &Path) -> Option<PathBuf> {
    let above = file.ancestors().skip(1).find(|folder| folder.join("contract.toml").is_file())?;
    Some(above.to_path_buf())
}

fn refuse(file: &Path, message: &str, remedy: &str) -> Finding {
    Finding::new(Code::FileUnreadable, Place::File(file.display().to_string()), message, remedy)
}

//! The list of refused rows, beside the package or by itself, and never over one that somebody has begun to fill in.

use std::path::{Path, PathBuf};

use super::package::{failed, not_delivered};
use super::{Computed, Stop};
use crate::dossier;
use crate::finding::{Code, Finding, Place};
use crate::intake::{self, REFUSED};
use crate::outbox;
use crate::render;

impl Computed {
    /// The workbook of refused rows, by name; none where no row was refused.
    ///
    /// # Errors
    /// What could not be rendered, in words.
    pub fn refused(&self) -> Result<Option<(String, Vec<u8>)>, Stop> {
        let Some(list) = dossier::refused(self.finished()) else { return Ok(None) };
        let bytes = render::refused(&list).map_err(|e| failed(&e))?;
        Ok(Some((list.file, bytes)))
    }

    /// Writes the list of refused rows by itself, as `<contract>-<period>-refused.xlsx`; none where no row was refused.
    ///
    /// # Errors
    /// Where it cannot be written, or one with entries that were not read stands there.
    pub fn list_refused(&self, out: &Path) -> Result<Option<PathBuf>, Stop> {
        let Some((_, bytes)) = self.refused()? else { return Ok(None) };
        let name = format!("{}-{REFUSED}.xlsx", self.folder());
        self.spare(&out.join(&name))?;
        let path = out.join(&name);
        outbox::add(out, &[(name, bytes)], true).map_err(|e| not_delivered(&path, &e.to_string()))?;
        Ok(Some(path))
    }

    /// Refuses to replace a list that holds entries which this run has not read.
    ///
    /// # Errors
    /// Where it does.
    pub(super) fn spare(&self, path: &Path) -> Result<(), Stop> {
        let Some(filled) = intake::filled_in(path) else { return Ok(()) };
        if self.intake.files.iter().any(|file| file.sha256 == filled) {
            return Ok(());
        }
        let message = format!("{} holds corrections that were not read; it was not replaced", path.display());
        let remedy = "put it into field/, so that they are read, or move it away";
        Err(Finding::new(Code::NotWritten, Place::File(path.display().to_string()), message, remedy).into())
    }
}

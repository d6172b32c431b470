//! The package: every file rendered in memory from the one dossier, then delivered whole.

use std::path::Path;
use std::thread;

use super::{Computed, Stop};
use crate::closing;
use crate::dossier::Dossier;
use crate::finding::{Code, Finding, Place};
use crate::line;
use crate::outbox;
use crate::render::{self, RenderError};

impl Computed {
    /// Every file of the package, by name, finished in memory.
    ///
    /// # Errors
    /// What could not be rendered, in words.
    pub fn package(&self, keep_typ: bool) -> Result<Vec<(String, Vec<u8>)>, Stop> {
        let dossier = self.dossier();
        // The workbook takes about as long as all the rest. The rest stays on this thread: typesetting needs its stack.
        let (workbook, rest) = thread::scope(|scope| {
            let workbook = scope.spawn(|| render::workbook(&dossier, &self.book));
            let rest = self.papers(&dossier, keep_typ);
            (workbook.join().unwrap_or_else(|_| Err(RenderError::Workbook("its thread ended early".into()))), rest)
        });
        let mut files = vec![("estimate.xlsx".to_string(), workbook.map_err(|e| failed(&e))?)];
        files.extend(rest.map_err(|e| failed(&e))?);
        Ok(files)
    }

    /// Text reports, PDF and result.
    fn papers(&self, dossier: &Dossier, keep_typ: bool) -> Result<Vec<(String, Vec<u8>)>, RenderError> {
        let mut files = Vec::new();
        for name in render::text_reports(dossier) {
            files.push((name.to_string(), render::text(&self.templates, dossier, &self.book, name)?.into_bytes()));
        }
        let source = render::typst_source(&self.templates, dossier, &self.book)?;
        files.push(("package.pdf".into(), render::pdf(&source, &dossier.head)?));
        if keep_typ {
            files.push(("package.typ".into(), source.into_bytes()));
        }
        if let Some(drawing) = render::svg(dossier) {
            files.push(("as-built.svg".into(), drawing.into_bytes()));
        }
        files.push(("result.json".into(), render::json(dossier, &self.book)?.into_bytes()));
        let records = closing::written(&closing::changes(&[], &closing::records(&self.book)));
        files.push((closing::RECORDS.into(), records.map_err(RenderError::Written)?));
        Ok(files)
    }

    /// Writes a finished package into a folder, whole or not at all.
    ///
    /// # Errors
    /// Where the folder is there already and is not to be replaced, or cannot be written.
    pub fn deliver(&self, to: &Path, package: &[(String, Vec<u8>)], replace: bool) -> Result<(), Stop> {
        outbox::deliver(to, package, replace).map_err(|e| {
            let place = Place::File(to.display().to_string());
            let remedy = "give another folder with --out, or --replace to replace this one";
            Finding::new(Code::NotWritten, place, e.to_string(), remedy).into()
        })
    }

    /// `hr-31-07-03`: the folder the package is written to, unless another is named.
    #[must_use]
    pub fn folder(&self) -> String {
        format!("{}-{:02}", line::slug(&self.contract.number), self.estimate.period.number)
    }
}

pub(super) fn failed(why: &RenderError) -> Stop {
    let remedy =
        "if templates/ holds a template of your own, correct it; otherwise report this with the contract folder";
    Finding::new(Code::RenderFailed, Place::File("reports".into()), why.to_string(), remedy).into()
}

//! The package: every file rendered in memory from the one dossier, then delivered whole.

use std::path::{Path, PathBuf};
use std::thread;

use chrono::NaiveDate;

use super::contracts::folder_of;
use super::{Computed, Stop};
use crate::closing;
use crate::dossier::{self, Dossier, Extract};
use crate::finding::{Code, Finding, Place};
use crate::line;
use crate::outbox;
use crate::render::{self, RenderError};

/// What is to be written, and how.
#[derive(Clone, Copy, Debug, Default)]
pub struct Writing<'a> {
    /// As-of date; `None` for the end of the last period.
    pub through: Option<NaiveDate>,
    /// Whether a folder that is there already gives way.
    pub replace: bool,
    /// Whether the PDF's source stays beside it.
    pub keep_typ: bool,
    /// Where the tables for databases go.
    pub parquet: Option<&'a Path>,
}

/// A folder that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// The folder.
    pub folder: PathBuf,
    /// Names of the files in it.
    pub files: Vec<String>,
}

impl Computed {
    /// Renders everything, then writes it: all of it or none.
    ///
    /// # Errors
    /// What could not be rendered, or where it cannot be written.
    pub fn write(&self, to: &Path, writing: &Writing<'_>) -> Result<Vec<Written>, Stop> {
        let mut folders = vec![(to.to_path_buf(), self.package(writing.keep_typ)?)];
        if let Some(store) = writing.parquet {
            folders.push((store.join(self.partition()), self.extracts()?));
        }
        let all: Vec<(&Path, &outbox::Files)> = folders.iter().map(|(dir, f)| (dir.as_path(), f.as_slice())).collect();
        outbox::deliver_all(&all, writing.replace).map_err(|e| not_delivered(to, &e.to_string()))?;
        let names = |files: Vec<(String, Vec<u8>)>| files.into_iter().map(|(name, _)| name).collect();
        Ok(folders.into_iter().map(|(folder, files)| Written { folder, files: names(files) }).collect())
    }

    /// The tables for databases, by name, finished in memory.
    ///
    /// # Errors
    /// What could not be rendered, in words.
    pub fn extracts(&self) -> Result<Vec<(String, Vec<u8>)>, Stop> {
        let finished = self.finished();
        let program = dossier::program();
        let file = |extract: &Extract| Ok((format!("{}.parquet", extract.name), render::parquet(extract, &program)?));
        dossier::extracts(finished).iter().map(file).collect::<Result<_, RenderError>>().map_err(|e| failed(&e))
    }

    /// `contract=hr-31-07/period=03`: where the tables of this contract and period stand among others.
    fn partition(&self) -> PathBuf {
        let contract = format!("contract={}", line::slug(&self.contract.number));
        Path::new(&contract).join(format!("period={:02}", self.estimate.period.number))
    }

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
        let records = closing::listed(&closing::records(&self.book));
        files.push((closing::RECORDS.into(), records.map_err(RenderError::Written)?));
        Ok(files)
    }

    /// Writes a finished package into a folder, whole or not at all.
    ///
    /// # Errors
    /// Where the folder is there already and is not to be replaced, or cannot be written.
    pub fn deliver(&self, to: &Path, package: &[(String, Vec<u8>)], replace: bool) -> Result<(), Stop> {
        outbox::deliver(to, package, replace).map_err(|e| not_delivered(to, &e.to_string()))
    }

    /// `hr-31-07-03`: the folder the package is written to, unless another is named.
    #[must_use]
    pub fn folder(&self) -> String {
        folder_of(&self.contract, self.estimate.period.number)
    }
}

pub(super) fn not_delivered(to: &Path, why: &str) -> Stop {
    let place = Place::File(to.display().to_string());
    let remedy = "give another folder with --out, or --replace to replace this one";
    Finding::new(Code::NotWritten, place, why, remedy).into()
}

pub(super) fn failed(why: &RenderError) -> Stop {
    let remedy =
        "if templates/ holds a template of your own, correct it; otherwise report this with the contract folder";
    Finding::new(Code::RenderFailed, Place::File("reports".into()), why.to_string(), remedy).into()
}

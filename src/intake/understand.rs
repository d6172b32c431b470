//! From sheets to everything that was read: sheets typed each by itself, then taken up in the order of file and place,
//! so that the result is the same whatever the order they came in.

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::cell::shown;
use super::duplicate::Seen;
use super::grid::Line;
use super::lane::Names;
use super::open::{self, Listed, Opened};
use super::raw::RawSheet;
use super::row::Words;
use super::setting::Setting;
use super::sheet::{self, TypedSheet};
use super::{FileRead, Intake, SheetRead, Unused};
use crate::finding::Finding;

/// Takes up sheets one after the other.
pub(super) struct Taking<'a> {
    setting: &'a Setting,
    names: Names,
    intake: Intake,
    seen: Seen,
}

impl<'a> Taking<'a> {
    pub(super) fn new(setting: &'a Setting) -> Self {
        Self { setting, names: Names::of(setting), intake: Intake::default(), seen: Seen::default() }
    }

    /// Gives a sheet its place among the sources.
    pub(super) fn place(&mut self, raw: &mut RawSheet) {
        raw.id = self.intake.sources.add(raw.file.clone(), raw.name.clone());
    }

    /// Types a placed sheet: one for each of the tables side by side on it.
    pub(super) fn typed(&self, raw: &RawSheet) -> Vec<TypedSheet> {
        sheet::read(raw, Words { setting: self.setting, names: &self.names })
    }

    /// Takes up files opened together, in their order: their sheets are typed side by side.
    fn files(&mut self, files: Vec<Result<(String, Opened), Finding>>) {
        let mut sheets = Vec::new();
        for file in files {
            match file {
                Ok((file, opened)) => {
                    self.intake.files.push(FileRead { file, sha256: opened.sha256, bytes: opened.bytes });
                    self.intake.findings.extend(opened.notes);
                    sheets.extend(opened.sheets);
                }
                Err(finding) => self.intake.findings.push(finding),
            }
        }
        for raw in &mut sheets {
            self.place(raw);
        }
        let typed: Vec<(RawSheet, Vec<TypedSheet>)> = sheets
            .into_par_iter()
            .map(|raw| {
                let typed = self.typed(&raw);
                (raw, typed)
            })
            .collect();
        for (raw, parts) in typed {
            for typed in parts {
                self.take(&raw, typed);
            }
        }
    }

    /// Takes up a typed sheet; records that stand already are set aside.
    pub(super) fn take(&mut self, raw: &RawSheet, typed: TypedSheet) {
        let TypedSheet { region, origin, kinds, tables, mut rows, records, mut unused, findings } = typed;
        self.intake.findings.extend(findings);
        for again in self.seen.take(&mut self.intake.records, records, &self.intake.sources) {
            rows.used = rows.used.saturating_sub(1);
            rows.set_aside += 1;
            self.intake.findings.push(again.finding);
            let start = raw.cells.partition_point(|c| c.row < again.at.row);
            let end = raw.cells.partition_point(|c| c.row <= again.at.row);
            let line = Line { row: again.at.row, cells: &raw.cells[start..end] };
            let line = region.as_ref().map_or(line, |r| r.part(line));
            let mut row = sheet::unused_row(again.at, line, Unused::Duplicate, again.reason);
            if origin.is_some() {
                let own = raw.cells.iter().filter(|c| c.column == again.at.column);
                row.cells = own.map(|c| shown(&c.value)).collect();
            }
            unused.push(row);
        }
        unused.sort_by_key(|u| u.at);
        self.intake.unused.extend(unused);
        let counts = origin.as_ref().map_or("rows", |o| o.counts());
        let columns = region.filter(|_| origin.is_none()).map(|r| (r.first, r.last));
        self.intake.sheets.push(SheetRead { id: raw.id, columns, kinds, tables, counts, rows });
    }

    /// Everything taken up.
    pub(super) fn done(self) -> Intake {
        self.intake
    }
}

/// Why a contract folder's field sheets could not be read at all.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", .0.message)]
pub struct ReadError(pub Finding);

/// Reads every file of the field folder below `root`. A row, sheet or file that cannot be read is a finding; `tick` is
/// told how many files are done, of how many. As many files are held open at once as there are threads.
///
/// # Errors
/// Where there is no field folder, or it cannot be listed.
pub fn read(root: &Path, setting: &Setting, tick: &(dyn Fn(usize, usize) + Sync)) -> Result<Intake, ReadError> {
    let listed = open::list(root).map_err(ReadError)?;
    let count = listed.len();
    let done = AtomicUsize::new(0);
    let mut taking = Taking::new(setting);
    let mut rest = listed.into_iter();
    loop {
        let batch: Vec<Listed> = rest.by_ref().take(rayon::current_num_threads().max(1)).collect();
        if batch.is_empty() {
            return Ok(taking.done());
        }
        let opened = batch
            .into_par_iter()
            .map(|file| {
                let opened = match file {
                    Listed::Sheet { path, shown } => open::open(&path, &shown, &setting.caps).map(|o| (shown, o)),
                    Listed::PassedOver(finding) => Err(finding),
                };
                tick(done.fetch_add(1, Ordering::Relaxed) + 1, count);
                opened
            })
            .collect();
        taking.files(opened);
    }
}

/// Reads sheets already opened: the pure part of [`read`].
#[must_use]
pub fn understand(mut sheets: Vec<RawSheet>, setting: &Setting) -> Intake {
    sheets.sort_by(|a, b| (&a.file, a.id).cmp(&(&b.file, b.id)));
    let mut taking = Taking::new(setting);
    for mut raw in sheets {
        taking.place(&mut raw);
        for typed in taking.typed(&raw) {
            taking.take(&raw, typed);
        }
    }
    taking.done()
}

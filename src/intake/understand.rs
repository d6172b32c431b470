//! From sheets to everything that was read: sheets typed each by itself, then taken up in the order of file and place,
//! so that the result is the same whatever the order they came in.

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::duplicate::Seen;
use super::grid::Line;
use super::lane::Names;
use super::open::{self, Listed, Opened};
use super::raw::RawSheet;
use super::row::Words;
use super::setting::{Caps, Setting};
use super::sheet::{self, TypedSheet};
use super::{FileRead, Intake, SheetRead, Unused};
use crate::finding::{Code, Finding, Place};

/// Takes up sheets one after the other.
pub(super) struct Taking<'a> {
    setting: &'a Setting,
    names: Names,
    intake: Intake,
    seen: Seen,
    /// Filled cells of the files taken up.
    cells: u64,
}

/// Files opened side by side; each may take what the caps allow.
const MOST_AT_ONCE: usize = 4;

fn cells_of(opened: &Opened) -> u64 {
    opened.sheets.iter().map(|sheet| u64::try_from(sheet.cells.len()).unwrap_or(u64::MAX)).sum()
}

fn no_room(file: String, caps: &Caps) -> Finding {
    Finding::new(
        Code::FileUnreadable,
        Place::File(file),
        format!(
            "with this file the field folder holds more than {} filled cells or {} sheets, so it was not read",
            caps.folder_cells, caps.sheets
        ),
        "take files out that hold no records of this contract",
    )
}

impl<'a> Taking<'a> {
    pub(super) fn new(setting: &'a Setting) -> Self {
        Self { setting, names: Names::of(setting), intake: Intake::default(), seen: Seen::default(), cells: 0 }
    }

    /// Gives a sheet its place among the sources.
    pub(super) fn place(&mut self, raw: &mut RawSheet) {
        raw.id = self.intake.sources.add(raw.file.clone(), raw.name.clone());
    }

    /// Types a placed sheet.
    pub(super) fn typed(&self, raw: &RawSheet) -> TypedSheet {
        sheet::read(raw, Words { setting: self.setting, names: &self.names })
    }

    /// Takes up files opened together, in their order: their sheets are typed side by side.
    fn files(&mut self, files: Vec<Result<(String, Opened), Finding>>) {
        let mut sheets = Vec::new();
        for file in files {
            match file {
                Ok((file, opened)) if !self.has_room(&opened, sheets.len()) => {
                    self.intake.findings.push(no_room(file, &self.setting.caps));
                }
                Ok((file, opened)) => {
                    self.cells += cells_of(&opened);
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
        let typed: Vec<(RawSheet, TypedSheet)> = sheets
            .into_par_iter()
            .map(|raw| {
                let typed = self.typed(&raw);
                (raw, typed)
            })
            .collect();
        for (raw, typed) in typed {
            self.take(&raw, typed);
        }
    }

    /// Whether a file's sheets and cells still fit into the caps of the folder.
    fn has_room(&self, opened: &Opened, waiting: usize) -> bool {
        let caps = &self.setting.caps;
        self.cells + cells_of(opened) <= caps.folder_cells
            && self.intake.sheets.len() + waiting + opened.sheets.len() <= caps.sheets
    }

    /// Takes up a typed sheet; records that stand already are set aside.
    pub(super) fn take(&mut self, raw: &RawSheet, typed: TypedSheet) {
        let TypedSheet { kinds, mut rows, records, mut unused, findings } = typed;
        self.intake.findings.extend(findings);
        for again in self.seen.take(&mut self.intake.records, records, &self.intake.sources) {
            rows.used = rows.used.saturating_sub(1);
            rows.set_aside += 1;
            self.intake.findings.push(again.finding);
            let start = raw.cells.partition_point(|c| c.row < again.at.row);
            let end = raw.cells.partition_point(|c| c.row <= again.at.row);
            let line = Line { row: again.at.row, cells: &raw.cells[start..end] };
            unused.push(sheet::unused_row(raw, line, Unused::Duplicate, again.reason));
        }
        unused.sort_by_key(|u| u.at);
        self.intake.unused.extend(unused);
        self.intake.sheets.push(SheetRead { id: raw.id, kinds, rows });
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
/// told how many files are done, of how many. As many files are held open at once as there are threads, four at most.
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
        let batch: Vec<Listed> = rest.by_ref().take(rayon::current_num_threads().clamp(1, MOST_AT_ONCE)).collect();
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
        let typed = taking.typed(&raw);
        taking.take(&raw, typed);
    }
    taking.done()
}

//! From sheets to everything that was read: sheets typed each by itself, then taken up in the order of file and place,
//! so that the result is the same whatever the order they came in.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::cell::shown;
use super::corrected::{CorrectedCell, Corrections, Fate, Notes, Round};
use super::correction;
use super::duplicate::Seen;
use super::lane::Names;
use super::listed;
use super::open::{self, Listed, Opened};
use super::raw::RawSheet;
use super::refused;
use super::row::Words;
use super::setting::{Caps, Setting};
use super::sheet::{self, TypedSheet};
use super::unmet;
use super::{FileRead, Intake, SheetRead, Unused};
use crate::finding::{Code, Finding, Place};

/// Takes up sheets one after the other.
pub(super) struct Taking<'a> {
    setting: &'a Setting,
    names: Names,
    intake: Intake,
    seen: Seen,
    corrections: Corrections,
    /// Lists of corrections, each with its place among the sheets read: their rows are accounted for at the end.
    lists: Vec<(RawSheet, usize)>,
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

/// A sheet as it reads with the corrections of its rows, and what became of these.
pub(super) type Reading = (Vec<TypedSheet>, Vec<((usize, usize), Fate)>);

impl<'a> Taking<'a> {
    pub(super) fn new(setting: &'a Setting, corrections: Corrections) -> Self {
        let (names, seen) = (Names::of(setting), Seen::default());
        Self { setting, names, intake: Intake::default(), seen, corrections, lists: Vec::new(), cells: 0 }
    }

    /// Gives a sheet its place among the sources.
    pub(super) fn place(&mut self, raw: &mut RawSheet) {
        raw.id = self.intake.sources.add(raw.file.clone(), raw.name.clone());
    }

    fn read(&self, raw: &RawSheet, notes: &Notes) -> Vec<TypedSheet> {
        sheet::read(raw, Words { setting: self.setting, names: &self.names, notes })
    }

    /// Types a placed sheet, one for each of the tables side by side on it, with the corrections of its rows.
    pub(super) fn typed(&self, raw: &RawSheet) -> Reading {
        if correction::is_list(raw) {
            return Reading::default();
        }
        let plain = self.read(raw, &Notes::new());
        if self.corrections.for_sheet(raw).is_empty() {
            return (plain, Vec::new());
        }
        // A fault may show only once another is corrected; each round settles at least one, or is the last.
        let mut round = Round::of(raw);
        let mut parts = plain;
        while self.corrections.apply(&mut round, &parts) {
            parts = self.read(&round.sheet, &round.notes);
        }
        let fates = self.corrections.fates(round, &parts);
        (parts, fates)
    }

    /// Takes up files opened together, in their order: their sheets are typed side by side.
    fn files(&mut self, files: Vec<File>) {
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
                Err(finding) => {
                    let aside = unmet::file_aside(&finding, self.setting);
                    self.intake.findings.push(aside.unwrap_or(finding));
                }
            }
        }
        for raw in &mut sheets {
            self.place(raw);
        }
        let typed: Vec<(RawSheet, Reading)> = sheets
            .into_par_iter()
            .map(|raw| {
                let typed = self.typed(&raw);
                (raw, typed)
            })
            .collect();
        for (raw, reading) in typed {
            self.take(raw, reading);
        }
    }

    /// Whether a file's sheets and cells still fit into the caps of the folder.
    fn has_room(&self, opened: &Opened, waiting: usize) -> bool {
        let caps = &self.setting.caps;
        self.cells + cells_of(opened) <= caps.folder_cells
            && self.intake.sheets.len() + waiting + opened.sheets.len() <= caps.sheets
    }

    /// Takes up a typed sheet; records that stand already are set aside.
    pub(super) fn take(&mut self, raw: RawSheet, (parts, fates): Reading) {
        if correction::is_list(&raw) {
            self.lists.push((raw, self.intake.sheets.len()));
            return;
        }
        self.corrections.keep(fates);
        for typed in parts {
            self.take_part(&raw, typed);
        }
    }

    fn take_part(&mut self, raw: &RawSheet, typed: TypedSheet) {
        self.intake.refused.extend(refused::cells(raw, &typed));
        let TypedSheet { region, origin, kinds, tables, mut rows, records, mut unused, findings } = typed;
        self.intake.findings.extend(findings);
        for again in self.seen.take(&mut self.intake.records, records, &self.intake.sources) {
            rows.used = rows.used.saturating_sub(1);
            rows.set_aside += 1;
            self.intake.findings.push(again.finding);
            let line = refused::line(raw, again.at.row);
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
    pub(super) fn done(mut self) -> Intake {
        let lists = std::mem::take(&mut self.lists);
        let places: Vec<Option<usize>> = lists.iter().map(|(raw, _)| self.corrections.stands(raw)).collect();
        for ((raw, before), place) in lists.into_iter().zip(places).rev() {
            let list = listed::read(&raw, place, &self.corrections, self.setting);
            self.intake.sheets.insert(before, list.sheet(&raw));
            self.intake.findings.extend(list.findings);
            self.intake.unused.extend(list.unused);
        }
        self.intake.unused.sort_by_key(|row| row.at);
        self.intake.corrected = self.corrections.corrected();
        self.intake.findings.extend(self.intake.corrected.iter().map(CorrectedCell::note));
        self.intake.findings.extend(unmet::findings(self.setting, &self.intake));
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
    let mut lists = lists(&listed, setting);
    let of_lists = lists.values().flatten().flat_map(|(_, opened)| &opened.sheets);
    let mut taking = Taking::new(setting, Corrections::of(of_lists, setting.dates()));
    let mut rest = listed.into_iter();
    loop {
        let batch: Vec<Listed> = rest.by_ref().take(rayon::current_num_threads().clamp(1, MOST_AT_ONCE)).collect();
        if batch.is_empty() {
            return Ok(taking.done());
        }
        let batch: Vec<(Listed, Option<File>)> = batch
            .into_iter()
            .map(|file| (file.shown().and_then(|s| lists.remove(s)), file))
            .map(|(o, f)| (f, o))
            .collect();
        let opened = batch
            .into_par_iter()
            .map(|(file, list)| {
                let opened = list.unwrap_or_else(|| opened(file, setting));
                tick(done.fetch_add(1, Ordering::Relaxed) + 1, count);
                opened
            })
            .collect();
        taking.files(opened);
    }
}

/// A file opened, or why it cannot be.
type File = Result<(String, Opened), Finding>;

fn opened(file: Listed, setting: &Setting) -> File {
    match file {
        Listed::Sheet { path, shown } => open::open(&path, &shown, &setting.caps).map(|opened| (shown, opened)),
        Listed::PassedOver(finding) => Err(finding),
    }
}

/// The files that may hold corrections, opened before all others, which they say how to read.
fn lists(listed: &[Listed], setting: &Setting) -> BTreeMap<String, File> {
    let mut cells = 0;
    let mut lists = BTreeMap::new();
    for file in listed.iter().filter(|file| file.shown().is_some_and(correction::may_hold)) {
        // What is no list is let go again, so that only lists are held beside the files of a batch.
        if let Ok((shown, list)) = opened(file.clone(), setting)
            && list.sheets.iter().any(correction::is_list)
            && cells + cells_of(&list) <= setting.caps.folder_cells
        {
            cells += cells_of(&list);
            lists.insert(shown.clone(), Ok((shown, list)));
        }
    }
    lists
}

/// Reads sheets already opened: the pure part of [`read`].
#[must_use]
pub fn understand(mut sheets: Vec<RawSheet>, setting: &Setting) -> Intake {
    sheets.sort_by(|a, b| (&a.file, a.id).cmp(&(&b.file, b.id)));
    let mut taking = Taking::new(setting, Corrections::of(&sheets, setting.dates()));
    for mut raw in sheets {
        taking.place(&mut raw);
        let typed = taking.typed(&raw);
        taking.take(raw, typed);
    }
    taking.done()
}

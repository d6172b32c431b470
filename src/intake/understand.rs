//! From sheets to everything that was read: sheets typed each by itself, then taken up in the order of file and place,
//! so that the result is the same whatever the order they came in.

use super::duplicate::Seen;
use super::grid::Line;
use super::lane::Names;
use super::raw::RawSheet;
use super::row::Words;
use super::setting::Setting;
use super::sheet::{self, TypedSheet};
use super::{Intake, SheetRead, Unused};

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

    /// Types a placed sheet.
    pub(super) fn typed(&self, raw: &RawSheet) -> TypedSheet {
        sheet::read(raw, Words { setting: self.setting, names: &self.names })
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

/// Reads sheets already opened: the pure part of [`super::read`].
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

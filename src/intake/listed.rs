//! A list of corrections among the sheets read: each of its rows is used, empty, set aside or refused, like any other.

use std::path::Path;

use super::corrected::{Account, Corrections};
use super::correction::{self, Entry, REFUSED};
use super::grid::{Grid, Line, applies};
use super::open;
use super::raw::RawSheet;
use super::refused;
use super::setting::{Caps, DateOrder, Dates, Setting};
use super::{RowCount, SheetRead, Unused, UnusedRow, sheet};
use crate::finding::{Code, Finding, Place};
use crate::source::CellRef;

/// What kind of record such a list holds, in a word.
pub(super) const CORRECTIONS: &str = "corrections";

/// What a list came to.
#[derive(Debug, Default)]
pub(super) struct ListRead {
    pub(super) unused: Vec<UnusedRow>,
    pub(super) findings: Vec<Finding>,
    pub(super) rows: RowCount,
}

/// Accounts for the rows of a list, the `place`th of all; one without a place has not the name that such a file must have.
pub(super) fn read(raw: &RawSheet, place: Option<usize>, corrections: &Corrections, setting: &Setting) -> ListRead {
    let grid = Grid::of(raw, setting, None);
    let filled = u32::try_from(grid.lines.len()).unwrap_or(u32::MAX);
    let rows = RowCount { seen: grid.seen(), blank: grid.seen().saturating_sub(filled), ..RowCount::default() };
    let mut list = ListRead { rows, ..ListRead::default() };
    let Some(place) = place else {
        return list.unnamed(raw, &grid);
    };
    for (row, account) in corrections.accounts(place) {
        let aside = set_aside(raw, row, setting).map_or(account, |why| Account::Aside(why.into()));
        list.count(raw, row, aside);
    }
    list
}

impl ListRead {
    fn unnamed(mut self, raw: &RawSheet, grid: &Grid<'_>) -> Self {
        let message = format!("the file holds corrections of refused rows, but its name does not hold '{REFUSED}'");
        self.findings.push(Finding::new(
            Code::CorrectionUnfit,
            Place::File(grid.title()),
            message.clone(),
            format!("name it so that it does, such as {REFUSED}-july.xlsx"),
        ));
        for line in &grid.lines {
            self.rows.refused += 1;
            self.unused.push(unused_row(raw, *line, Unused::Refused, message.clone()));
        }
        self
    }

    fn count(&mut self, raw: &RawSheet, row: u32, account: Account) {
        let (why, reason) = match account {
            Account::Heading => {
                self.rows.heading += 1;
                return;
            }
            Account::Used => {
                self.rows.used += 1;
                return;
            }
            Account::Aside(reason) => (Unused::SetAside, reason),
            Account::Refused(finding) => {
                let reason = finding.message.clone();
                self.findings.push(finding);
                (Unused::Refused, reason)
            }
        };
        match why {
            Unused::Refused => self.rows.refused += 1,
            _ => self.rows.set_aside += 1,
        }
        self.unused.push(unused_row(raw, refused::line(raw, row), why, reason));
    }

    /// The sheet with its rows.
    pub(super) fn sheet(&self, raw: &RawSheet) -> SheetRead {
        SheetRead {
            id: raw.id,
            columns: None,
            kinds: vec![CORRECTIONS],
            tables: Vec::new(),
            counts: "rows",
            rows: self.rows,
        }
    }
}

fn unused_row(raw: &RawSheet, line: Line<'_>, why: Unused, reason: String) -> UnusedRow {
    let column = line.first().map_or(0, |cell| cell.column);
    sheet::unused_row(CellRef::new(raw.id, line.row, column), line, why, reason)
}

/// Whether the file at `path` is a list of refused rows that somebody has begun to fill in: its fingerprint.
#[must_use]
pub fn filled_in(path: &Path) -> Option<String> {
    let opened = path.is_file().then(|| open::open(path, &path.to_string_lossy(), &Caps::default()).ok()).flatten()?;
    let filled = |raw: &RawSheet| {
        let list = correction::read(raw, Dates { order: DateOrder::YearMonthDay, years: None });
        list.is_some_and(|list| list.entries.iter().any(|(_, e)| !matches!(e, Entry::Heading | Entry::Empty)))
    };
    opened.sheets.iter().any(filled).then_some(opened.sha256)
}

/// Why the contract file sets a row of a list aside.
fn set_aside<'s>(raw: &RawSheet, row: u32, setting: &'s Setting) -> Option<&'s str> {
    let rule = setting.set_aside.iter().find(|rule| {
        applies(&rule.file, rule.sheet.as_deref(), raw) && (rule.rows.is_empty() || rule.rows.contains(&(row + 1)))
    })?;
    Some(&rule.reason)
}

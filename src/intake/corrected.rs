//! Corrections brought to the rows they belong to, and what became of each line of their lists.
//!
//! A correction replaces one cell of a row that cannot be read without it. The sheet itself stays as it is: what it said,
//! what is read in its place, who said so and when stand in the evidence. A correction whose row reads without it, says
//! something else by now, or is gone, is refused. Of two corrections of one cell the one of the later day holds; two of
//! one day that differ are refused both.

use std::collections::{BTreeMap, BTreeSet};

use super::cell::shown;
use super::correction::{self, Correction, Entry, List};
use super::grid::lines;
use super::raw::{RawCell, RawSheet};
use super::refused;
use super::setting::Dates;
use super::sheet::TypedSheet;
use super::{Unused, UnusedRow};
use crate::finding::{Code, Finding, Place};
use crate::source::{CellRef, SheetId};

/// A refused cell that was corrected.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct CorrectedCell {
    /// The cell.
    pub at: CellRef,
    /// What stands there; empty where nothing does.
    pub received: String,
    /// What is read in its place.
    pub value: String,
    /// Who corrected it.
    pub by: String,
    /// On which day.
    pub on: chrono::NaiveDate,
    /// Where the corrected value stands.
    pub from: CellRef,
    /// Why the row was refused.
    pub reason: String,
    /// Whether the row could be read with it.
    pub reads: bool,
}

impl CorrectedCell {
    /// What a reader must see of it.
    pub(super) fn note(&self) -> Finding {
        let Self { received, value, by, on, reads, .. } = self;
        let still = if *reads { "" } else { "; the row cannot be read all the same" };
        let message =
            format!("{value} is read in place of {}, corrected by {by} on {on}{still}", blank_or_quoted(received));
        let remedy = "nothing, while the correction stands; what was received stays on record";
        Finding::new(Code::RowCorrected, Place::Cell(self.at), message, remedy).with([Place::Cell(self.from)])
    }
}

/// What stood in a cell, in a sentence.
fn blank_or_quoted(received: &str) -> String {
    if received.is_empty() { "a blank".into() } else { format!("'{received}'") }
}

/// What corrected cells of a sheet hold beside their values, by row and column.
pub(super) type Notes = BTreeMap<(u32, u16), Box<str>>;

/// What became of a correction at its sheet.
#[derive(Debug)]
pub(super) enum Fate {
    Applied { at: CellRef, received: String, reason: String, reads: bool },
    Unfit(String),
}

/// A sheet while corrections are put into it.
#[derive(Debug)]
pub(super) struct Round<'r> {
    /// As it was received.
    raw: &'r RawSheet,
    /// With the corrections in place.
    pub(super) sheet: RawSheet,
    /// What is kept beside the corrected cells.
    pub(super) notes: Notes,
    applied: BTreeMap<Which, Fate>,
    /// Rows by their mark, as received.
    marks: BTreeMap<String, Vec<u32>>,
}

impl<'r> Round<'r> {
    /// A sheet as it was received.
    pub(super) fn of(raw: &'r RawSheet) -> Self {
        let mut marks: BTreeMap<String, Vec<u32>> = BTreeMap::new();
        for line in lines(raw) {
            marks.entry(correction::mark(line)).or_default().push(line.row);
        }
        Self { raw, sheet: raw.clone(), notes: Notes::new(), applied: BTreeMap::new(), marks }
    }

    /// The row a correction belongs to.
    fn row_of(&self, correction: &Correction) -> Result<u32, String> {
        let rows = self.marks.get(&correction.mark).map_or(&[][..], Vec::as_slice);
        match rows {
            [] => Err("its row says something else by now, or is gone".into()),
            _ if rows.contains(&correction.row) => Ok(correction.row),
            [only] => Ok(*only),
            several => {
                let rows: Vec<String> = several.iter().map(|row| (row + 1).to_string()).collect();
                Err(format!("it can mean more than one row: {}", rows.join(", ")))
            }
        }
    }
}

/// A correction by its list and its place in it.
type Which = (usize, usize);

/// A cell to be corrected: file, sheet, mark of its row, row and column.
type CellOf = (String, Option<String>, String, (u32, u16));

/// All lists, with what became of their lines.
#[derive(Debug, Default)]
pub(super) struct Corrections {
    lists: Vec<(List, Option<SheetId>)>,
    /// By file and sheet, those that are to be applied.
    by_sheet: BTreeMap<(String, Option<String>), Vec<Which>>,
    fates: BTreeMap<Which, Fate>,
}

impl Corrections {
    /// Reads the lists among some sheets.
    pub(super) fn of<'s>(sheets: impl IntoIterator<Item = &'s RawSheet>, dates: Dates) -> Self {
        let named = sheets.into_iter().filter(|raw| correction::may_hold(&raw.file));
        let lists = named.filter_map(|raw| correction::read(raw, dates)).map(|list| (list, None)).collect();
        let mut all = Self { lists, ..Self::default() };
        all.settle();
        all
    }

    /// Of several corrections of one cell, finds the one that holds. Repeats and those of earlier days get no fate: they
    /// are set aside.
    fn settle(&mut self) {
        let mut by_cell: BTreeMap<CellOf, Vec<(&Correction, Which)>> = BTreeMap::new();
        for (which, c) in self.all() {
            let cell = (c.file.clone(), c.sheet.clone(), c.mark.clone(), (c.row, c.column));
            by_cell.entry(cell).or_default().push((c, which));
        }
        let (mut fates, mut by_sheet) = (BTreeMap::new(), BTreeMap::<_, Vec<Which>>::new());
        for ((file, sheet, ..), mut several) in by_cell {
            let latest = several.iter().map(|(c, _)| c.on).max();
            several.retain(|(c, _)| Some(c.on) == latest);
            let values: BTreeSet<String> = several.iter().map(|(c, _)| shown(&c.value)).collect();
            if values.len() > 1 {
                let values: Vec<String> = values.into_iter().collect();
                let why = format!("two corrections of one day differ: {}", values.join(" and "));
                fates.extend(several.iter().map(|(_, which)| (*which, Fate::Unfit(why.clone()))));
            } else if let Some((_, first)) = several.first() {
                by_sheet.entry((file, sheet)).or_default().push(*first);
            }
        }
        self.fates = fates;
        self.by_sheet = by_sheet;
    }

    /// Every complete correction, in the order of the lists.
    fn all(&self) -> impl Iterator<Item = (Which, &Correction)> {
        let of_list =
            |(l, (list, _)): (usize, &'_ (List, Option<SheetId>))| (0..list.entries.len()).map(move |e| (l, e));
        let which: Vec<Which> = self.lists.iter().enumerate().flat_map(of_list).collect();
        which.into_iter().filter_map(|which| Some((which, self.sound(which)?)))
    }

    fn sound(&self, (list, entry): Which) -> Option<&Correction> {
        match &self.lists.get(list)?.0.entries.get(entry)?.1 {
            Entry::Sound(correction) => Some(correction),
            _ => None,
        }
    }

    /// The corrections of a sheet.
    pub(super) fn for_sheet(&self, raw: &RawSheet) -> &[Which] {
        if self.by_sheet.is_empty() {
            return &[];
        }
        self.by_sheet.get(&(raw.file.clone(), raw.name.clone())).map_or(&[], Vec::as_slice)
    }

    /// Puts into a sheet those corrections whose cells stand in the way of a record as it reads now; whether there were any.
    pub(super) fn apply(&self, round: &mut Round<'_>, parts: &[TypedSheet]) -> bool {
        let faults: BTreeMap<(u32, u16), &str> = parts
            .iter()
            .flat_map(refused::faults)
            .map(|(at, _, finding)| ((at.row, at.column), finding.message.as_str()))
            .collect();
        let before = round.applied.len();
        for which in self.for_sheet(round.raw) {
            let Some(correction) = self.sound(*which).filter(|_| !round.applied.contains_key(which)) else { continue };
            let Ok(row) = round.row_of(correction) else { continue };
            let Some(reason) = faults.get(&(row, correction.column)) else { continue };
            let received = replace(&mut round.sheet, row, correction);
            round.notes.insert((row, correction.column), self.note(*which, correction, &received));
            let at = CellRef::new(round.raw.id, row, correction.column);
            let reason = (*reason).to_string();
            round.applied.insert(*which, Fate::Applied { at, received, reason, reads: false });
        }
        round.applied.len() > before
    }

    /// What became of each correction of a sheet, once it reads as it does.
    pub(super) fn fates(&self, round: Round<'_>, parts: &[TypedSheet]) -> Vec<(Which, Fate)> {
        let refused = |at: &CellRef| {
            let of_part = |part: &TypedSheet| {
                let origin = part.origin.as_ref();
                let own = refused::record(origin, *at);
                refused(&part.unused).any(|u| refused::record(origin, u.at) == own)
            };
            parts.iter().any(of_part)
        };
        let unfit = |which: &Which| {
            let correction = self.sound(*which).filter(|_| !round.applied.contains_key(which))?;
            let why = match round.row_of(correction) {
                Err(why) => why,
                Ok(_) => "its cell stands in the way of no record".into(),
            };
            Some((*which, Fate::Unfit(why)))
        };
        let mut fates: Vec<(Which, Fate)> = self.for_sheet(round.raw).iter().filter_map(unfit).collect();
        fates.extend(round.applied.into_iter().map(|(which, mut fate)| {
            if let Fate::Applied { at, reads, .. } = &mut fate {
                *reads = !refused(at);
            }
            (which, fate)
        }));
        fates
    }

    /// `9.5 in place of '9,5', corrected by A. Moss on 2031-07-03 (field/refused.xlsx, Rows to correct!I7)`.
    fn note(&self, which: Which, correction: &Correction, received: &str) -> Box<str> {
        let Correction { value, by, on, .. } = correction;
        let (value, received, place) = (shown(value), blank_or_quoted(received), self.place(which));
        format!("{value} in place of {received}, corrected by {by} on {on} ({place})").into()
    }

    fn place(&self, (list, entry): Which) -> String {
        let Some((list, _)) = self.lists.get(list) else { return String::new() };
        list.source.cell(list.entries.get(entry).map_or(0, |(row, _)| *row), list.value)
    }

    /// Keeps what became of a sheet's corrections.
    pub(super) fn keep(&mut self, fates: Vec<(Which, Fate)>) {
        self.fates.extend(fates);
    }

    /// Says under which id a list's sheet stands among the sources; the list's place.
    pub(super) fn stands(&mut self, raw: &RawSheet) -> Option<usize> {
        let place = self.lists.iter().position(|(l, _)| l.source.file == raw.file && l.source.sheet == raw.name)?;
        self.lists[place].1 = Some(raw.id);
        Some(place)
    }

    /// What was corrected, in the order of the lists.
    pub(super) fn corrected(&self) -> Vec<CorrectedCell> {
        let cell = |(which, fate): (&Which, &Fate)| {
            let Fate::Applied { at, received, reason, reads } = fate else { return None };
            let (correction, (list, id)) = (self.sound(*which)?, self.lists.get(which.0)?);
            Some(CorrectedCell {
                at: *at,
                received: received.clone(),
                value: shown(&correction.value),
                by: correction.by.clone(),
                on: correction.on,
                from: CellRef::new((*id)?, list.entries.get(which.1)?.0, list.value),
                reason: reason.clone(),
                reads: *reads,
            })
        };
        self.fates.iter().filter_map(cell).collect()
    }

    /// How each filled row of a list counts, with what is to be said of it.
    pub(super) fn accounts(&self, place: usize) -> Vec<(u32, Account)> {
        let Some((list, Some(id))) = self.lists.get(place) else { return Vec::new() };
        let entry = |(e, (row, entry)): (usize, &(u32, Entry))| (*row, self.account(*id, (place, e), *row, entry));
        list.entries.iter().enumerate().map(entry).collect()
    }

    fn account(&self, id: SheetId, which: Which, row: u32, entry: &Entry) -> Account {
        let value = self.lists.get(which.0).map_or(0, |(list, _)| list.value);
        match (entry, self.fates.get(&which)) {
            (Entry::Heading, _) => Account::Heading,
            (Entry::Empty, _) => Account::Aside("no correction entered".into()),
            (Entry::Fault(column, message, remedy), _) => {
                Account::Refused(fault(CellRef::new(id, row, *column), message, remedy))
            }
            (Entry::Sound(_), Some(Fate::Applied { .. })) => Account::Used,
            (Entry::Sound(_), Some(Fate::Unfit(why))) => Account::Refused(unfit(CellRef::new(id, row, value), why)),
            (Entry::Sound(c), None) if self.holds(which) => {
                let file = if c.sheet.is_some() { format!("{} with such a sheet", c.file) } else { c.file.clone() };
                let why = format!("no {file} was read");
                Account::Refused(unfit(CellRef::new(id, row, value), &why))
            }
            (Entry::Sound(_), None) => Account::Aside("another correction of the same cell holds".into()),
        }
    }

    /// Whether a correction is the one that holds for its cell.
    fn holds(&self, which: Which) -> bool {
        self.by_sheet.values().flatten().any(|taken| *taken == which)
    }
}

/// How a row of a list counts.
pub(super) enum Account {
    Heading,
    Used,
    Aside(String),
    Refused(Finding),
}

fn fault(at: CellRef, message: &str, remedy: &str) -> Finding {
    Finding::new(Code::CorrectionUnfit, Place::Cell(at), message, remedy)
}

fn unfit(at: CellRef, why: &str) -> Finding {
    let remedy = "correct the row from the list of the newest run; to leave a row out that reads, set it aside with a \
                  reason in contract.toml";
    fault(at, &format!("the correction was not taken: {why}"), remedy)
}

fn refused(unused: &[UnusedRow]) -> impl Iterator<Item = &UnusedRow> {
    unused.iter().filter(|u| u.why == Unused::Refused)
}

/// Puts the corrected value into a row; returns what stood there.
fn replace(sheet: &mut RawSheet, row: u32, correction: &Correction) -> String {
    let (column, value) = (correction.column, correction.value.clone());
    match sheet.cells.binary_search_by_key(&(row, column), |c| (c.row, c.column)) {
        Ok(place) => {
            let cell = &mut sheet.cells[place];
            cell.struck = false;
            shown(&std::mem::replace(&mut cell.value, value))
        }
        Err(place) => {
            sheet.cells.insert(place, RawCell { row, column, value, struck: false });
            String::new()
        }
    }
}

//! Who took a core, specimen or sample, as columns at the end of its table: a column that would be blank in all rows is
//! left out, so that sheets that say nothing of it print as they are.

use super::ledger::text;
use crate::figure::{CellValue, Column, TableCell};
use crate::intake::{Core, Fresh, Read, Sampling, Specimen, TakenBy};

/// What a record says of who took it.
#[derive(Clone, Copy)]
pub(super) struct Taken<'r> {
    by: (TakenBy, Option<&'r Read<Box<str>>>),
    sampling: Sampling,
    settles: Option<&'r Read<Box<str>>>,
}

impl<'r> From<&'r Core> for Taken<'r> {
    fn from(c: &'r Core) -> Self {
        Self { by: (c.taken_by, c.by.as_ref()), sampling: c.sampling, settles: c.settles.as_ref() }
    }
}

impl<'r> From<&'r Specimen> for Taken<'r> {
    fn from(s: &'r Specimen) -> Self {
        Self { by: (s.taken_by, s.by.as_ref()), sampling: s.sampling, settles: s.settles.as_ref() }
    }
}

impl<'r> From<&'r Fresh> for Taken<'r> {
    fn from(f: &'r Fresh) -> Self {
        Self { by: (f.taken_by, f.by.as_ref()), sampling: f.sampling, settles: f.settles.as_ref() }
    }
}

/// Which of the columns any record fills.
#[derive(Clone, Copy, Default)]
pub(super) struct TakenColumns {
    by: bool,
    sampling: bool,
    settles: bool,
}

impl TakenColumns {
    pub(super) fn of<'r, T>(records: &'r [T]) -> Self
    where
        Taken<'r>: From<&'r T>,
    {
        records.iter().map(Taken::from).fold(Self::default(), |c, t| Self {
            by: c.by || t.by.1.is_some() || t.by.0 != TakenBy::Unstated,
            sampling: c.sampling || t.sampling != Sampling::Unstated,
            settles: c.settles || t.settles.is_some(),
        })
    }

    /// Their headings.
    pub(super) fn columns(self) -> Vec<Column> {
        let all = [(self.by, "Taken by"), (self.sampling, "Sample"), (self.settles, "Settles")];
        all.into_iter().filter(|(is, _)| *is).map(|(_, heading)| text(heading)).collect()
    }

    /// Their cells.
    pub(super) fn cells<'r>(self, taken: impl Into<Taken<'r>>) -> Vec<TableCell> {
        let taken = taken.into();
        let sampling = match taken.sampling {
            Sampling::Unstated => TableCell::blank(),
            said => TableCell::derived(CellValue::Word(said.word())),
        };
        let settles = taken.settles.map_or_else(TableCell::blank, super::rows::word);
        let all = [(self.by, by(taken.by)), (self.sampling, sampling), (self.settles, settles)];
        all.into_iter().filter(|(is, _)| *is).map(|(_, cell)| cell).collect()
    }
}

/// The party under the words that say it; words that name none stand as they are.
fn by((party, words): (TakenBy, Option<&Read<Box<str>>>)) -> TableCell {
    match (party, words) {
        (TakenBy::Unstated, words) => words.map_or_else(TableCell::blank, super::rows::word),
        (party, None) => TableCell::derived(CellValue::Word(party.word())),
        (party, Some(words)) => {
            let typed = (*words.value != *party.word()).then(|| words.value.clone());
            TableCell { value: CellValue::Word(party.word()), at: Some(words.at), typed }
        }
    }
}

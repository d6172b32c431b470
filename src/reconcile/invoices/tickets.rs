//! Which load an invoice line bills: by its ticket's number, and where several loads bear it, by day and then by mix.
//!
//! Exactly one must be left; nothing is guessed. The day of a line may be that of the invoice, so it only tells loads apart.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::intake::{Billed, Load, Records};
use crate::line::folded;

/// The loads, by ticket.
pub(super) struct Tickets<'r> {
    loads: &'r [Load],
    by_number: BTreeMap<String, Vec<usize>>,
    days: BTreeSet<NaiveDate>,
}

/// What a line's ticket stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Found {
    /// The line names no ticket.
    Unnamed,
    /// One load, by place in the records.
    Load(usize),
    /// A ticket that no load bears.
    Unknown(String),
    /// Several loads, by place in the records.
    Several(Vec<usize>),
}

impl<'r> Tickets<'r> {
    pub(super) fn of(records: &'r Records) -> Self {
        let mut by_number: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (place, load) in records.loads.iter().enumerate() {
            by_number.entry(folded(&load.ticket.value)).or_default().push(place);
        }
        let days = records.loads.iter().map(|load| load.date.value).collect();
        Self { loads: &records.loads, by_number, days }
    }

    pub(super) fn find(&self, billed: &Billed) -> Found {
        let Some(ticket) = &billed.ticket else { return Found::Unnamed };
        let number = folded(&ticket.value);
        match self.by_number.get(&number).map(Vec::as_slice) {
            None | Some([]) => Found::Unknown(number),
            Some([only]) => Found::Load(*only),
            Some(several) => self.one_of(several, billed),
        }
    }

    fn one_of(&self, several: &[usize], billed: &Billed) -> Found {
        let same_day = |&load: &usize| self.loads[load].date.value == billed.date.value;
        let on_day: Vec<usize> = several.iter().copied().filter(same_day).collect();
        let of_mix: Vec<usize> = on_day.iter().copied().filter(|&load| self.states_its_mix(load, billed)).collect();
        match (on_day.as_slice(), of_mix.as_slice()) {
            ([only], _) | (_, [only]) => Found::Load(*only),
            ([], _) => Found::Several(several.to_vec()),
            _ => Found::Several(on_day),
        }
    }

    fn states_its_mix(&self, load: usize, billed: &Billed) -> bool {
        let (own, other) = (&self.loads[load].mix, &billed.mix);
        own.as_ref().zip(other.as_ref()).is_some_and(|(own, other)| folded(&own.value) == folded(&other.value))
    }

    /// Whether any load of that day was received or rejected.
    pub(super) fn any_on(&self, day: NaiveDate) -> bool {
        self.days.contains(&day)
    }
}

//! What the contract says of payment, as the engine sees it.

use chrono::NaiveDate;

use crate::contract::Entered;

/// Everything beyond quantity times price.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Payment {
    /// What is held back; `None` for nothing.
    pub retainage: Option<Retainage>,
    /// Deductions and what is given back, by hand, in the order of the file.
    pub entries: Vec<Entry>,
    /// True where the last period of the contract is the final one.
    pub last_is_final: bool,
}

/// How an item is paid where not by quantity times price alone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Terms {
    /// True where nothing is retained of it.
    pub free_of_retainage: bool,
}

/// What is held back of what is earned.
#[derive(Clone, Debug, PartialEq)]
pub struct Retainage {
    /// Share from the start.
    pub percent: Entered,
    /// Other shares from a day or from an amount on, in order.
    pub steps: Vec<RetainageStep>,
    /// Most that is ever held back: an amount, or a share of the contract amount as changed.
    pub most: Option<Entered>,
    /// What is given back before the end, in order.
    pub release: Vec<Release>,
    /// True where the final period gives all of it back.
    pub released_at_final: bool,
}

/// From when a share of retainage holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Since {
    /// From this day on.
    Date(NaiveDate),
    /// Once this share of the contract amount, as changed, is earned.
    Earned(Entered),
}

/// Another share of retainage.
#[derive(Clone, Debug, PartialEq)]
pub struct RetainageStep {
    /// From when.
    pub since: Since,
    /// Share.
    pub percent: Entered,
    /// True where it holds for what is earned after only, false where for all that is earned.
    pub after_only: bool,
}

/// A part of the retainage that is given back.
#[derive(Clone, Debug, PartialEq)]
pub struct Release {
    /// First day on which it is.
    pub from: NaiveDate,
    /// Share of what retainage is reckoned on.
    pub percent: Entered,
}

/// A signed amount entered by hand: a deduction below zero, or what is given back.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its own name, by which later entries reverse it.
    pub id: String,
    /// Day.
    pub date: NaiveDate,
    /// Why.
    pub reason: String,
    /// Signed amount.
    pub amount: Entered,
    /// The entry that it reverses in part or whole, by place in [`Payment::entries`].
    pub reverses: Option<usize>,
    /// Item it concerns, by place in the contract.
    pub item: Option<usize>,
    /// True where it counts as earned, before retainage; false where it stands after it.
    pub earned: bool,
}

impl Payment {
    /// What is left of an entry once the entries that reverse it by a day are taken off.
    #[must_use]
    pub fn reversed_by(&self, entry: usize, day: NaiveDate) -> Vec<usize> {
        let of = |e: &Entry| e.reverses == Some(entry) && e.date <= day;
        self.entries.iter().enumerate().filter(|(_, e)| of(e)).map(|(place, _)| place).collect()
    }
}

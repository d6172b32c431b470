//! What was read: values by key, each with where it stands and how it was written.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::reader::At;
use crate::units::{Rounding, StationLabel, Unit};

/// A value with where it stands and how it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Found<T> {
    /// As understood.
    pub value: T,
    /// As written, without quotation marks.
    pub written: String,
    /// Where it stands.
    pub at: At,
    /// The key from the top: `sections[0].thickness`.
    pub key: String,
}

impl<T> Found<T> {
    /// Another value read from the same place.
    #[must_use]
    pub fn with<U>(&self, value: U) -> Found<U> {
        Found { value, written: self.written.clone(), at: self.at, key: self.key.clone() }
    }
}

/// A value by its form.
#[derive(Clone, Debug, PartialEq)]
pub enum Taken {
    /// Text, or the word chosen.
    Text(String),
    /// A number.
    Number(Decimal),
    /// A whole number from 1.
    Count(u32),
    /// A number and its unit, in the unit the file's system keeps it in.
    Quantity((Decimal, Unit)),
    /// Lowest and highest.
    Limits([Option<Found<(Decimal, Unit)>>; 2]),
    /// A rounding.
    Rounding(Rounding),
    /// A unit.
    Unit(Unit),
    /// A station as written.
    Station(StationLabel),
    /// A day.
    Date(NaiveDate),
    /// A list of days.
    Dates(Vec<Found<NaiveDate>>),
    /// True or false.
    Flag(bool),
    /// A list of text.
    Texts(Vec<Found<String>>),
    /// A list of whole numbers.
    Counts(Vec<u32>),
    /// Text by the user's own keys.
    TextPairs(BTreeMap<String, Found<String>>),
    /// Numbers by the user's own keys.
    NumberPairs(BTreeMap<String, Found<Decimal>>),
    /// Units by the user's own keys.
    UnitPairs(BTreeMap<String, Found<Unit>>),
    /// A table.
    Group(Group),
    /// Tables one after another.
    Groups(Vec<Group>),
}

/// One table of the file. A key that was mistaken is present without a value; its mistake has been reported.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// Where the table stands.
    pub at: At,
    /// The key from the top: `sections[0]`; empty for the file itself.
    pub key: String,
    pub(super) values: BTreeMap<&'static str, Found<Taken>>,
    pub(super) present: BTreeSet<&'static str>,
}

macro_rules! picks {
    ($($(#[$doc:meta])* $name:ident $variant:ident $of:ty;)*) => {
        impl Group {
            $(
                $(#[$doc])*
                #[must_use]
                pub fn $name(&self, key: &str) -> Option<Found<$of>> {
                    let found = self.values.get(key)?;
                    match &found.value {
                        Taken::$variant(value) => Some(found.with(value.clone())),
                        _ => None,
                    }
                }
            )*
        }
    };
}

picks! {
    /// The text under a key.
    text Text String;
    /// The number under a key.
    number Number Decimal;
    /// The whole number under a key.
    count Count u32;
    /// The quantity under a key.
    quantity Quantity (Decimal, Unit);
    /// The limits under a key.
    limits Limits [Option<Found<(Decimal, Unit)>>; 2];
    /// The rounding under a key.
    rounding Rounding Rounding;
    /// The unit under a key.
    unit Unit Unit;
    /// The station under a key.
    station Station StationLabel;
    /// The day under a key.
    date Date NaiveDate;
    /// The list of days under a key.
    dates Dates Vec<Found<NaiveDate>>;
    /// True or false under a key.
    flag Flag bool;
    /// The list of text under a key.
    texts Texts Vec<Found<String>>;
    /// The list of whole numbers under a key.
    counts Counts Vec<u32>;
    /// The text under each of the user's own keys.
    text_pairs TextPairs BTreeMap<String, Found<String>>;
    /// The number under each of the user's own keys.
    number_pairs NumberPairs BTreeMap<String, Found<Decimal>>;
    /// The unit under each of the user's own keys.
    unit_pairs UnitPairs BTreeMap<String, Found<Unit>>;
}

impl Group {
    /// Whether the key stands in the file, mistaken or not.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.present.contains(key)
    }

    /// The keys that stand in the file, other than these.
    #[must_use]
    pub fn present_but(&self, others: &[&str]) -> Vec<&'static str> {
        self.present.iter().copied().filter(|key| !others.contains(key)).collect()
    }

    /// Where the value under a key stands; where the table stands if it has none.
    #[must_use]
    pub fn at(&self, key: &str) -> At {
        self.values.get(key).map_or(self.at, |found| found.at)
    }

    /// The table under a key.
    #[must_use]
    pub fn group(&self, key: &str) -> Option<&Group> {
        match &self.values.get(key)?.value {
            Taken::Group(group) => Some(group),
            _ => None,
        }
    }

    /// The tables under a key; none where the key is absent or mistaken.
    #[must_use]
    pub fn groups(&self, key: &str) -> &[Group] {
        match self.values.get(key).map(|found| &found.value) {
            Some(Taken::Groups(groups)) => groups,
            _ => &[],
        }
    }
}

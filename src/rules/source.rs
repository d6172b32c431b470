//! What every number of a rule set carries: the rule set, its key and its clause.

use rust_decimal::Decimal;

use super::model::{RuleNumber, Status};
use crate::figure::Clause;
use crate::keyed::{Found, Group};
use crate::units::Unit;

/// Where the numbers of a file come from.
pub(super) struct Source {
    /// Id.
    pub(super) id: String,
    /// Citation, with the day it takes effect.
    pub(super) citation: Clause,
    /// Title of the rule set.
    pub(super) title: String,
    /// Status.
    pub(super) status: Option<Status>,
}

impl Source {
    /// The clause of a table: its own, or the citation.
    pub(super) fn clause(&self, table: &Group) -> Clause {
        table.text("clause").map_or_else(|| self.citation.clone(), |found| found.value)
    }

    /// The clause with the status behind it, where the publication was not read.
    pub(super) fn honest_clause(&self, table: &Group) -> Option<Clause> {
        let status = match self.status? {
            Status::Transcribed => "",
            Status::FromMemory => " (from memory)",
            Status::Example => " (example)",
        };
        Some(format!("{}{status}", self.clause(table)))
    }

    /// A quantity with or without a clause of its own.
    pub(super) fn number(&self, table: &Group, key: &str) -> Option<RuleNumber> {
        self.given(table, key, Group::quantity)
    }

    /// A number without a unit, in the unit that its key says.
    pub(super) fn plain(&self, table: &Group, key: &str, unit: Unit) -> Option<RuleNumber> {
        self.given(table, key, |group, key| group.number(key).map(|n| n.with((n.value, unit))))
    }

    /// A count with or without a clause of its own.
    pub(super) fn count(&self, table: &Group, key: &str) -> Option<RuleNumber> {
        self.given(table, key, |group, key| group.count(key).map(|n| n.with((Decimal::from(n.value), Unit::One))))
    }

    /// The number one, where a file leaves a count out.
    pub(super) fn one(&self, table: &Group, key: &str) -> RuleNumber {
        RuleNumber {
            value: Decimal::ONE,
            unit: Unit::One,
            written: "1".into(),
            set: self.id.clone(),
            key: format!("{key}, left out"),
            clause: self.clause(table),
        }
    }

    fn given(
        &self,
        table: &Group,
        key: &str,
        pick: impl Fn(&Group, &str) -> Option<Found<(Decimal, Unit)>>,
    ) -> Option<RuleNumber> {
        let (found, clause) = match table.group(key) {
            Some(alone) => (pick(alone, "is")?, self.clause(alone)),
            None => (pick(table, key)?, self.clause(table)),
        };
        Some(RuleNumber {
            value: found.value.0,
            unit: found.value.1,
            written: found.written,
            set: self.id.clone(),
            key: found.key,
            clause,
        })
    }
}

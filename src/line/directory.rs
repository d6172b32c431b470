//! Where to look a placement or a load up, so that a test finds its own without going through all of them.

use std::collections::{BTreeMap, HashMap, HashSet};

use chrono::NaiveDate;

use super::Line;
use super::names::folded;
use crate::intake::{Placement, Records, each_ticket};

/// Placements by number and by day, and the loads of the tickets that fresh tests name; all by place in the records.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Directory {
    numbered: HashMap<String, Vec<usize>>,
    of_day: BTreeMap<NaiveDate, Vec<usize>>,
    of_ticket: HashMap<String, Vec<usize>>,
}

impl Directory {
    /// Of placements alone.
    pub(super) fn of(placements: &[Placement]) -> Self {
        let mut directory = Self::default();
        for (i, placement) in placements.iter().enumerate() {
            directory.numbered.entry(folded(&placement.number.value)).or_default().push(i);
            directory.of_day.entry(placement.date.value).or_default().push(i);
        }
        directory
    }

    /// With the loads of the tickets that fresh tests name. The loads must stand in their final order.
    pub(super) fn with_loads(mut self, records: &Records) -> Self {
        let tickets = records.fresh.iter().filter_map(|test| test.ticket.as_ref()).map(|ticket| &*ticket.value);
        let named: HashSet<String> = tickets.flat_map(|t| each_ticket(t).into_iter().chain([t])).map(folded).collect();
        if named.is_empty() {
            return self;
        }
        for (i, load) in records.loads.iter().enumerate() {
            let ticket = folded(&load.ticket.value);
            if named.contains(&ticket) {
                self.of_ticket.entry(ticket).or_default().push(i);
            }
        }
        self
    }

    /// Placements of a number, in the order of the records.
    #[must_use]
    pub fn numbered(&self, number: &str) -> &[usize] {
        self.numbered.get(&folded(number)).map_or(&[], Vec::as_slice)
    }

    /// Placements of a day, in the order of the records.
    #[must_use]
    pub fn on(&self, day: NaiveDate) -> &[usize] {
        self.of_day.get(&day).map_or(&[], Vec::as_slice)
    }

    /// Loads of a ticket that a fresh test names, in the order of the records; none for any other ticket.
    #[must_use]
    pub fn loads_of(&self, ticket: &str) -> &[usize] {
        self.of_ticket.get(&folded(ticket)).map_or(&[], Vec::as_slice)
    }
}

impl Line {
    /// The placement that a load counts for, by its row in the table of loads, which stands in the order of placements.
    #[must_use]
    pub fn placement_of_load(&self, load: usize) -> Option<usize> {
        let row = u32::try_from(load).ok()?;
        let placement = self.placements.partition_point(|p| p.loads.1 <= row);
        self.placements.get(placement).filter(|p| p.loads.0 <= row).map(|_| placement)
    }
}

#[cfg(test)]
mod tests {
    use rust_decimal::dec;

    use super::super::fixture::{self, NB_1};
    use super::*;

    #[test]
    fn placements_are_found_by_number_and_day_and_loads_by_the_tickets_of_tests() {
        let contract = fixture::contract();
        let placement = |number: &str, day: &str| fixture::placement(&contract, number, day, &[NB_1], "10+00", "12+00");
        let placements =
            vec![placement("P-1", "2031-07-01"), placement("07", "2031-07-02"), placement("p-1", "2031-07-02")];
        let loads =
            vec![fixture::load(501, "2031-07-01", dec!(8), None), fixture::load(502, "2031-07-01", dec!(8), None)];
        let records = fixture::records(placements, loads);
        let directory = Directory::of(&records.placements).with_loads(&records);
        assert_eq!(directory.numbered("#P-1"), [0, 2]);
        assert_eq!(directory.numbered("7"), [1]);
        assert!(directory.numbered("8").is_empty());
        assert_eq!(directory.on(fixture::day("2031-07-02")), [1, 2]);
        assert!(directory.loads_of("501").is_empty(), "no test names it");
    }
}

//! What a reader must see in the account: a placement that took less than its plan volume, which is a warning of thin
//! pavement and not a saving, and one that took more than the contract's limit.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::YieldLine;
use crate::contract::Contract;
use crate::figure::{Book, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::intake::Records;
use crate::line::{Line, span};
use crate::units::conversions::RATIO_TO_PERCENT;

pub(super) fn warnings(
    contract: &Contract,
    records: &Records,
    line: &Line,
    book: &Book,
    placements: &[YieldLine],
) -> Vec<Finding> {
    let words = Words { contract, records, line, book };
    placements.iter().filter_map(|y| Some((y, y.placement?))).filter_map(|(y, p)| words.warning(y, p)).collect()
}

struct Words<'a> {
    contract: &'a Contract,
    records: &'a Records,
    line: &'a Line,
    book: &'a Book,
}

impl Words<'_> {
    fn warning(&self, y: &YieldLine, p: usize) -> Option<Finding> {
        let (over, theoretical) = (self.number(y.over)?, self.number(y.theoretical)?);
        let limit = self.contract.yields.warn_over.as_ref();
        if theoretical <= Decimal::ZERO {
            return None;
        }
        if over < Decimal::ZERO {
            return Some(self.under(y, p));
        }
        let percent = RATIO_TO_PERCENT.apply(over.checked_div(theoretical)?)?;
        limit.filter(|l| percent > l.value).map(|l| self.above(y, p, &l.written))
    }

    fn under(&self, y: &YieldLine, p: usize) -> Finding {
        let depth = y.depth.map_or_else(String::new, |depth| {
            format!("; over its area the net volume makes {}, of {} designed", self.written(depth), self.designed(p))
        });
        Finding::new(
            Code::PlacedUnderTheory,
            Place::Row(self.records.placements[p].number.at),
            format!("{} ({} %){depth}", self.against(y, p, "less"), self.book[y.percent].text()),
            "core here before it is taken as full thickness; check that every ticket is there and what is noted as wasted",
        )
    }

    fn above(&self, y: &YieldLine, p: usize, limit: &str) -> Finding {
        let percent = self.book[y.percent].text();
        Finding::new(
            Code::OverLimit,
            Place::Row(self.records.placements[p].number.at),
            format!("{} ({percent} %), above the contract's limit of {limit}", self.against(y, p, "more")),
            "look for low grade, edge slump, waste or returned concrete not noted, and a stretch measured short",
        )
    }

    /// `placement 14 of 2031-07-01 (NB-1, 10+00 to 12+00) took 880.00 yd3 net for a plan volume of 888.89 yd3, 8.89 less`.
    fn against(&self, y: &YieldLine, p: usize, more_or_less: &str) -> String {
        let placement = &self.records.placements[p];
        let difference = self.book[y.over].text();
        format!(
            "placement {} of {} ({}) took {} net for a plan volume of {}, {} {more_or_less}",
            placement.number.value,
            placement.date.value,
            span(self.contract, placement),
            self.written(y.net),
            self.written(y.theoretical),
            difference.trim_start_matches('-'),
        )
    }

    /// Design thickness of the sections a placement lies in: `10 in`, `8 in and 10 in`.
    fn designed(&self, p: usize) -> String {
        let sections: BTreeSet<usize> =
            self.line.placements[p].stretches.iter().map(|&s| self.line.stretches[s].section).collect();
        let mut written: Vec<&str> =
            sections.iter().map(|&s| self.contract.sections[s].thickness.written.as_str()).collect();
        written.sort_unstable();
        written.dedup();
        written.join(" and ")
    }

    fn number(&self, id: FigureId) -> Option<Decimal> {
        self.book[id].value.decimal()
    }

    fn written(&self, id: FigureId) -> String {
        format!("{} {}", self.book[id].text(), self.book[id].unit)
    }
}

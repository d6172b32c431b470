//! Rank 7. Placed against theoretical: where the concrete went, by placement, day, lane and mix, and as a whole.
//!
//! Theoretical is area times design thickness; net is batched less rejected, wasted and returned; a rejected load counts
//! whole, whatever is noted on it as wasted or returned. A placement without loads is left out (its finding says so),
//! loads without a placement are their own line, and every table adds up to the contract's line: lanes share a
//! placement's net volume by theoretical volume, and its last lane takes what rounding leaves. Common practice.
//! Acceptance never enters here.

mod amounts;
mod invoices;
mod lines;
mod materials;
mod tickets;
mod warnings;

pub use invoices::{
    Credit, Dispute, InvoiceAmounts, InvoiceAudit, InvoiceTotal, NotAgreed, Reason, Unbilled, UnbilledLoad, Unchecked,
    invoices,
};
pub use materials::{MaterialAccount, materials};
pub use tickets::{TicketAudit, tickets};

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::contract::Contract;
use crate::figure::{Book, FigureId};
use crate::finding::Finding;
use crate::intake::{LaneId, Records};
use crate::line::{Line, counted, in_order, slug};

use amounts::{Amounts, Share, of_placement, shares};
use lines::Lines;

/// One line of the yield account: a placement, a day, a lane, a mix, or the contract.
#[derive(Clone, Debug, PartialEq)]
pub struct YieldLine {
    /// What it is for: `placement 14`, `NB-2`, `P-4000`.
    pub name: String,
    /// Day, for placements and days.
    pub date: Option<NaiveDate>,
    /// The placement, by place in the records, where it is one.
    pub placement: Option<usize>,
    /// Plan volume of what was placed: zero for what lies in no section.
    pub theoretical: FigureId,
    /// Batched by ticket.
    pub batched: Option<FigureId>,
    /// Rejected.
    pub rejected: Option<FigureId>,
    /// Wasted at the site.
    pub wasted: Option<FigureId>,
    /// Returned to the plant.
    pub returned: Option<FigureId>,
    /// Batched less rejected, wasted and returned.
    pub net: FigureId,
    /// Net less theoretical.
    pub over: FigureId,
    /// The same in percent of theoretical.
    pub percent: FigureId,
    /// Depth the net volume makes over the placed area.
    pub depth: Option<FigureId>,
}

/// The yield account.
#[derive(Clone, Debug, PartialEq)]
pub struct Yield {
    /// By placement, in order of date and number; those without loads are not among them.
    pub placements: Vec<YieldLine>,
    /// By day.
    pub days: Vec<YieldLine>,
    /// By lane, in the contract's order; a placement's net volume is shared by theoretical volume. What lies in no section
    /// is the last line, so that the lines add up.
    pub lanes: Vec<YieldLine>,
    /// By mix.
    pub mixes: Vec<YieldLine>,
    /// The whole contract; `None` where nothing was placed.
    pub contract: Option<YieldLine>,
    /// Volume batched on loads that fit no placement; `None` where there are none.
    pub loose: Option<FigureId>,
    /// Net volume of each stretch whose placement has loads, by place in [`Line::stretches`].
    pub shares: BTreeMap<usize, FigureId>,
}

/// The name of what lies in no section.
const NOWHERE: &str = "in no section";

/// The yield account of what was placed, with its figures in the book, and what in it a reader must see.
pub fn account(contract: &Contract, records: &Records, line: &Line, book: &mut Book) -> (Yield, Vec<Finding>) {
    let with_loads = |&p: &usize| line.placements[p].loads.0 < line.placements[p].loads.1;
    let order: Vec<usize> = in_order(&records.placements).into_iter().filter(with_loads).collect();
    let amounts: Vec<(usize, Amounts)> =
        order.iter().map(|&p| (p, of_placement(contract, records, line, book, p))).collect();
    let shares: Vec<Share> = amounts.iter().flat_map(|(p, a)| shares(contract, records, line, book, *p, a)).collect();
    let mut lines = Lines { contract, book };
    let account = Yield {
        placements: by_placement(records, &mut lines, &amounts),
        days: by_day(records, &mut lines, &amounts),
        lanes: by_lane(contract, line, &mut lines, &shares),
        mixes: by_mix(records, line, &mut lines, &amounts),
        contract: lines.sum("contract", "whole contract", &amounts.iter().map(|(_, a)| *a).collect::<Vec<_>>()),
        loose: amounts::loose(contract, line, book),
        shares: shares.iter().filter_map(|s| s.stretch.map(|stretch| (stretch, s.amounts.net))).collect(),
    };
    let findings = warnings::warnings(contract, records, line, book, &account.placements);
    (account, findings)
}

fn by_placement(records: &Records, lines: &mut Lines<'_>, amounts: &[(usize, Amounts)]) -> Vec<YieldLine> {
    let line = |&(p, amounts): &(usize, Amounts)| {
        let placement = &records.placements[p];
        let number = &placement.number.value;
        let line = lines.line(&format!("placement-{}", slug(number)), &format!("placement {number}"), amounts);
        YieldLine { date: Some(placement.date.value), placement: Some(p), ..line }
    };
    amounts.iter().map(line).collect()
}

fn by_day(records: &Records, lines: &mut Lines<'_>, amounts: &[(usize, Amounts)]) -> Vec<YieldLine> {
    let mut days: BTreeMap<NaiveDate, Vec<Amounts>> = BTreeMap::new();
    for &(p, amounts) in amounts {
        days.entry(records.placements[p].date.value).or_default().push(amounts);
    }
    let line = |(day, amounts): (NaiveDate, Vec<Amounts>)| {
        let line = lines.sum(&format!("day-{day}"), &day.to_string(), &amounts)?;
        Some(YieldLine { date: Some(day), ..line })
    };
    days.into_iter().filter_map(line).collect()
}

fn by_lane(contract: &Contract, line: &Line, lines: &mut Lines<'_>, shares: &[Share]) -> Vec<YieldLine> {
    let mut lanes: BTreeMap<(bool, Option<LaneId>), Vec<Amounts>> = BTreeMap::new();
    for share in shares {
        let lane = share.stretch.map(|s| line.stretches[s].lane);
        lanes.entry((lane.is_none(), lane)).or_default().push(share.amounts);
    }
    let line = |((_, lane), amounts): ((bool, Option<LaneId>), Vec<Amounts>)| {
        let name = lane.map_or(NOWHERE, |l| &contract.lane(l).name);
        lines.sum(&format!("lane-{}", slug(name)), name, &amounts)
    };
    lanes.into_iter().filter_map(line).collect()
}

fn by_mix(records: &Records, line: &Line, lines: &mut Lines<'_>, amounts: &[(usize, Amounts)]) -> Vec<YieldLine> {
    let mut mixes: Vec<(String, Vec<Amounts>)> = Vec::new();
    for &(p, amounts) in amounts {
        let mix = amounts::mix(records, line, p);
        match mixes.iter_mut().find(|(name, _)| crate::line::folded(name) == crate::line::folded(&mix)) {
            Some((_, all)) => all.push(amounts),
            None => mixes.push((mix, vec![amounts])),
        }
    }
    mixes.sort_by(|a, b| counted(&a.0, &b.0));
    mixes.iter().filter_map(|(mix, all)| lines.sum(&format!("mix-{}", slug(mix)), mix, all)).collect()
}

#[cfg(test)]
mod tests;

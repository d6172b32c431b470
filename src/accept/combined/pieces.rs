//! The placed pavement in pieces: of each, every property has one outcome from end to end.
//!
//! Every stretch is cut at all ends of the properties' lots and sections; pieces with the same outcomes are one. What is
//! placed is in exactly one piece, so nothing is paid twice and nothing is lost.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::accept::Outcome;
use crate::contract::Contract;
use crate::intake::LaneId;
use crate::line::{Line, add_place};
use crate::rules::Property;
use crate::units::Station;

/// Pavement of which each property has one outcome.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece {
    /// Section of the contract.
    pub(super) section: usize,
    /// For each property the outcome that holds, by place among the outcomes; `None` where it has none here.
    pub(super) members: Vec<Option<usize>>,
    /// Where, by lane and station; placed throughout.
    pub(super) places: Vec<(LaneId, Station, Station)>,
}

/// A stretch of a lane in which an outcome holds.
struct Reach {
    from: Decimal,
    to: Decimal,
    outcome: usize,
}

/// Where the outcomes of one property hold, by lane, in the order of the outcomes.
type Reaches = BTreeMap<LaneId, Vec<Reach>>;

/// The pieces, by section, lane and station of their beginnings.
pub(super) fn pieces(contract: &Contract, line: &Line, outcomes: &[Outcome], of: &[Property]) -> Vec<Piece> {
    let reaches: Vec<Reaches> = of.iter().map(|&property| reaches(outcomes, property)).collect();
    let mut found: Vec<Piece> = Vec::new();
    let mut known: BTreeMap<(usize, Vec<Option<usize>>), usize> = BTreeMap::new();
    for stretch in &line.stretches {
        let lane = stretch.lane;
        let mut from = stretch.from;
        for to in cuts(contract, &reaches, lane, (stretch.from, stretch.to)) {
            let members: Vec<Option<usize>> = reaches.iter().map(|all| holding(all, lane, from, to)).collect();
            let at = *known.entry((stretch.section, members.clone())).or_insert_with(|| {
                found.push(Piece { section: stretch.section, members, places: Vec::new() });
                found.len() - 1
            });
            add_place(&mut found[at].places, (lane, from, to));
            from = to;
        }
    }
    found.sort_by_key(|piece| piece.section);
    found
}

fn reaches(outcomes: &[Outcome], property: Property) -> Reaches {
    let mut by_lane = Reaches::new();
    for (outcome, judged) in outcomes.iter().enumerate().filter(|(_, o)| o.property == property) {
        for &(lane, from, to) in &judged.places {
            by_lane.entry(lane).or_default().push(Reach { from: from.along, to: to.along, outcome });
        }
    }
    by_lane
}

/// The ends of the pieces of a stretch, in order; the last is the stretch's own.
fn cuts(contract: &Contract, reaches: &[Reaches], lane: LaneId, (from, to): (Station, Station)) -> Vec<Station> {
    let of_lane = reaches.iter().filter_map(|all| all.get(&lane)).flatten();
    let inside = |along: &Decimal| from.along < *along && *along < to.along;
    let mut cuts: Vec<Decimal> = of_lane.flat_map(|reach| [reach.from, reach.to]).filter(inside).collect();
    cuts.sort_unstable();
    cuts.dedup();
    cuts.into_iter().map(|along| contract.alignment(lane).at(along)).chain([to]).collect()
}

/// The outcome that holds from end to end: a section settled apart stands before the lot it lies in.
fn holding(all: &Reaches, lane: LaneId, from: Station, to: Station) -> Option<usize> {
    let holds = |reach: &&Reach| reach.from <= from.along && to.along <= reach.to;
    all.get(&lane)?.iter().find(holds).map(|reach| reach.outcome)
}

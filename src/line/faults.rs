//! What a reader must see on the line: stretches missing, placed twice or outside every section, placements without loads.

use std::collections::BTreeMap;

use super::extent::Covered;
use super::proof::stretch_words;
use super::{Overlap, PlacementOnLine, Unplaced, span};
use crate::contract::Contract;
use crate::finding::{Code, Finding, Place};
use crate::intake::Records;
use crate::units::Station;

pub(super) fn not_placed(contract: &Contract, gap: &Unplaced) -> Finding {
    let lane = &contract.lane(gap.lane).name;
    let at = stretch_words(contract, gap.lane, gap.from, gap.to);
    Finding::new(
        Code::NotPlaced,
        Place::Named(format!("{lane}, {at}")),
        format!("lane {lane} has no placement from {at}, with placements on both sides"),
        "add the missing placement; where the stretch was left out for later, nothing is to be done",
    )
}

pub(super) fn without_loads<'r>(
    contract: &'r Contract,
    records: &'r Records,
    placements: &'r [PlacementOnLine],
) -> impl Iterator<Item = Finding> + 'r {
    records.placements.iter().zip(placements).filter(|(_, on_line)| on_line.loads.0 == on_line.loads.1).map(
        |(placement, _)| {
            Finding::new(
                Code::PlacementWithoutLoads,
                Place::Row(placement.number.at),
                format!(
                    "placement {} of {} ({}) has no loads, so its yield is not known and the yield account leaves it out",
                    placement.number.value,
                    placement.date.value,
                    span(contract, placement)
                ),
                "add its load tickets, or write its number on the loads that went there",
            )
        },
    )
}

/// One finding for each pair of placements and lane, however many pieces they share.
pub(super) fn twice<'r>(
    contract: &'r Contract,
    records: &'r Records,
    overlaps: &[Overlap],
) -> impl Iterator<Item = Finding> + 'r {
    let mut pairs: BTreeMap<_, Vec<(Station, Station)>> = BTreeMap::new();
    for overlap in overlaps {
        pairs.entry((overlap.placements, overlap.lane)).or_default().push((overlap.from, overlap.to));
    }
    pairs.into_iter().map(move |(((first, second), lane), pieces)| {
        let (a, b) = (&records.placements[first], &records.placements[second]);
        let at: Vec<String> = pieces.iter().map(|&(from, to)| stretch_words(contract, lane, from, to)).collect();
        Finding::new(
            Code::PlacedTwice,
            Place::Row(b.number.at),
            format!(
                "placements {} and {} both cover lane {} from {}; it is counted once, for placement {} of {}",
                a.number.value,
                b.number.value,
                contract.lane(lane).name,
                at.join(" and "),
                a.number.value,
                a.date.value
            ),
            "correct the stations or the lane of one of them",
        )
        .with([Place::Row(a.number.at)])
    })
}

pub(super) fn nowhere<'r>(
    contract: &'r Contract,
    records: &'r Records,
    covered: &'r Covered,
) -> impl Iterator<Item = Finding> + 'r {
    let finding = |p: usize, message: String| {
        let number = &records.placements[p].number;
        Finding::new(
            Code::PlacedNowhere,
            Place::Row(number.at),
            format!("placement {} {message}", number.value),
            "correct its stations or its lane, or add the section to contract.toml",
        )
    };
    let outside = covered.nowhere.iter().map(move |piece| {
        let at = stretch_words(contract, piece.lane, piece.from.station, piece.to.station);
        let lane = &contract.lane(piece.lane).name;
        finding(piece.placement, format!("lies in no section from {at} of lane {lane}; nothing is counted there"))
    });
    let empty = covered.empty.iter().map(move |&p| {
        let placement = &records.placements[p];
        let typed = placement.from.typed.as_deref().unwrap_or("the same station");
        finding(p, format!("begins and ends at {typed}, so it covers nothing ({})", span(contract, placement)))
    });
    outside.chain(empty).collect::<Vec<_>>().into_iter()
}

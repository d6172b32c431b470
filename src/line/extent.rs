//! What each placement covers of each lane, counted once.
//!
//! The earlier placement (day, then number) counts where two cover the same stretch; the later loses the overlapped
//! piece. Pieces are cut where sections end. What lies in no section stays visible as such.

use super::names::counted;
use super::{Overlap, Proof};
use crate::contract::Contract;
use crate::intake::{LaneId, Placement};
use crate::units::Station;

/// An end of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct End {
    pub station: Station,
    pub proof: Proof,
}

/// A piece of a lane covered by one placement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    pub lane: LaneId,
    pub placement: usize,
    pub from: End,
    pub to: End,
}

/// All lanes covered.
#[derive(Debug, Default)]
pub(super) struct Covered {
    /// Inside a section, by lane and station.
    pub pieces: Vec<(usize, Piece)>,
    /// In no section.
    pub nowhere: Vec<Piece>,
    /// Placements that cover no length.
    pub empty: Vec<usize>,
    /// Covered twice.
    pub overlaps: Vec<Overlap>,
}

/// Placements in the order they count: day, number, row.
#[must_use]
pub fn in_order(placements: &[Placement]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..placements.len()).collect();
    order.sort_by(|&a, &b| {
        let (pa, pb) = (&placements[a], &placements[b]);
        pa.date
            .value
            .cmp(&pb.date.value)
            .then_with(|| counted(&pa.number.value, &pb.number.value))
            .then_with(|| pa.number.at.cmp(&pb.number.at))
    });
    order
}

/// Lays the placements on their lanes.
pub(super) fn cover(contract: &Contract, placements: &[Placement]) -> Covered {
    let mut covered = Covered::default();
    let mut lanes: Vec<Vec<Piece>> = vec![Vec::new(); contract.lanes.len()];
    for i in in_order(placements) {
        let (from, to) = ends(i, &placements[i]);
        if from.station.along == to.station.along {
            covered.empty.push(i);
            continue;
        }
        for &lane in &placements[i].lanes.value {
            if let Some(taken) = lanes.get_mut(usize::from(lane.0)) {
                lay_down(taken, Piece { lane, placement: i, from, to }, &mut covered.overlaps);
            }
        }
    }
    for piece in lanes.into_iter().flatten() {
        cut_by_sections(contract, piece, &mut covered);
    }
    covered.pieces.sort_by_key(|(_, p)| (p.lane, p.from.station.along));
    covered
}

/// The ends of a placement up station, whichever way it was paved.
fn ends(i: usize, placement: &Placement) -> (End, End) {
    let a = End { station: placement.from.value, proof: Proof::PlacementFrom(i) };
    let b = End { station: placement.to.value, proof: Proof::PlacementTo(i) };
    if a.station.along <= b.station.along { (a, b) } else { (b, a) }
}

/// Adds what of `new` is still free to `taken`, which stays in order and without overlap.
fn lay_down(taken: &mut Vec<Piece>, new: Piece, overlaps: &mut Vec<Overlap>) {
    let mut free = Vec::new();
    let mut rest = Some(new);
    for old in taken.iter() {
        let Some(piece) = rest else { break };
        let (from, to) = (piece.from.station.along, piece.to.station.along);
        let (old_from, old_to) = (old.from.station.along, old.to.station.along);
        if old_to <= from || to <= old_from {
            continue;
        }
        if old.placement != new.placement {
            overlaps.push(Overlap {
                lane: new.lane,
                from: if old_from > from { old.from.station } else { piece.from.station },
                to: if old_to < to { old.to.station } else { piece.to.station },
                placements: (old.placement, new.placement),
            });
        }
        if from < old_from {
            free.push(Piece { to: old.from, ..piece });
        }
        rest = (old_to < to).then_some(Piece { from: old.to, ..piece });
    }
    free.extend(rest);
    taken.extend(free);
    taken.sort_by_key(|p| p.from.station.along);
}

/// The part of a piece in each section of its lane, and what is in none.
fn cut_by_sections(contract: &Contract, piece: Piece, covered: &mut Covered) {
    let mut sections: Vec<usize> =
        (0..contract.sections.len()).filter(|&s| contract.sections[s].lanes.contains(&piece.lane)).collect();
    sections.sort_by_key(|&s| contract.sections[s].from.along);
    let mut rest = Some(piece);
    for s in sections {
        let Some(left) = rest else { break };
        let section = &contract.sections[s];
        let (begin, end) = (section.from.along, section.to.along);
        if end <= left.from.station.along || left.to.station.along <= begin {
            continue;
        }
        let begins = End { station: section.from, proof: Proof::SectionFrom(s) };
        let ends = End { station: section.to, proof: Proof::SectionTo(s) };
        let from = if left.from.station.along < begin { begins } else { left.from };
        if left.from.station.along < begin {
            covered.nowhere.push(Piece { to: begins, ..left });
        }
        let beyond = end < left.to.station.along;
        covered.pieces.push((s, Piece { from, to: if beyond { ends } else { left.to }, ..left }));
        rest = beyond.then_some(Piece { from: ends, ..left });
    }
    covered.nowhere.extend(rest);
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{self, NB_1};
    use super::*;
    use proptest::prelude::*;
    use rust_decimal::Decimal;

    /// The union of intervals, the plain way: sort and sweep.
    fn union(mut extents: Vec<(u32, u32)>) -> u32 {
        extents.sort_unstable();
        let mut reach = 0;
        extents.iter().fold(0, |sum, &(from, to)| {
            let from = from.max(reach);
            reach = reach.max(to);
            sum + to.saturating_sub(from)
        })
    }

    proptest! {
        #[test]
        fn every_foot_is_counted_once(extents in prop::collection::vec((0u32..3000, 0u32..3000), 1..12)) {
            let contract = fixture::contract();
            let placements: Vec<Placement> = extents
                .iter()
                .enumerate()
                .map(|(i, &(a, b))| {
                    let mut p = fixture::placement(&contract, &i.to_string(), "2031-07-01", &[NB_1], "10+00", "11+00");
                    p.from.value = contract.alignments[0].at(Decimal::from(a));
                    p.to.value = contract.alignments[0].at(Decimal::from(b));
                    p
                })
                .collect();
            let covered = cover(&contract, &placements);
            let counted: Decimal =
                covered.pieces.iter().map(|(_, p)| p.to.station.along - p.from.station.along).sum();
            let expected = union(extents.iter().map(|&(a, b)| (a.min(b), a.max(b))).collect());
            prop_assert_eq!(counted, Decimal::from(expected));
            for pair in covered.pieces.windows(2) {
                prop_assert!(pair[0].1.to.station.along <= pair[1].1.from.station.along);
            }
        }
    }

    #[test]
    fn the_earlier_day_counts_whatever_the_order_of_rows() {
        let contract = fixture::contract();
        let late = fixture::placement(&contract, "1", "2031-07-02", &[NB_1], "10+00", "20+00");
        let early = fixture::placement(&contract, "2", "2031-07-01", &[NB_1], "13+00", "12+00");
        let covered = cover(&contract, &[late, early]);
        let spans: Vec<_> =
            covered.pieces.iter().map(|(_, p)| (p.placement, p.from.station.label, p.to.station.label)).collect();
        let ft = Decimal::from;
        assert_eq!(spans, [(0, ft(1000), ft(1200)), (1, ft(1200), ft(1300)), (0, ft(1300), ft(2000))]);
        assert_eq!(covered.overlaps.len(), 1);
        assert_eq!(covered.overlaps[0].placements, (1, 0));
    }

    #[test]
    fn pieces_beyond_the_section_are_kept_apart() {
        let mut contract = fixture::contract();
        contract.sections[0].from = fixture::station(&contract, NB_1, "12+00");
        contract.sections[0].to = fixture::station(&contract, NB_1, "14+00");
        let p = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "20+00");
        let covered = cover(&contract, &[p]);
        assert_eq!(covered.pieces.len(), 1);
        assert_eq!(covered.pieces[0].1.from.proof, Proof::SectionFrom(0));
        assert_eq!(covered.nowhere.len(), 2);
    }
}

//! Which lane lies beside which: looking ahead, left lanes first; on each side the order of the contract runs outward.

use crate::contract::Contract;
use crate::intake::LaneId;
use crate::units::Side;

/// The lanes of an alignment from left to right, looking ahead.
#[must_use]
pub fn lanes_across(contract: &Contract, alignment: usize) -> Vec<LaneId> {
    let of = |side: Side| {
        let lanes = contract.lanes.iter().enumerate();
        let own = lanes.filter(move |(_, lane)| lane.alignment == alignment && lane.side == side);
        own.filter_map(|(i, _)| u16::try_from(i).ok().map(LaneId)).collect::<Vec<_>>()
    };
    of(Side::Left).into_iter().rev().chain(of(Side::Right)).collect()
}

/// The lanes to the left and right of a lane.
#[must_use]
pub fn beside(contract: &Contract, lane: LaneId) -> [Option<LaneId>; 2] {
    let across = lanes_across(contract, contract.lane(lane).alignment);
    let at = across.iter().position(|l| *l == lane);
    let left = at.and_then(|at| at.checked_sub(1)).and_then(|at| across.get(at).copied());
    [left, at.and_then(|at| across.get(at + 1).copied())]
}

//! The ground that a material lies on: where the deliveries say, each piece once; else the pavement placed in its sections.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::figure::{Book, Expr, FigureId};
use crate::intake::{Delivered, LaneId};
use crate::line;
use crate::reconcile::Ground;
use crate::units::Station;

/// A piece of a lane.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub lane: LaneId,
    pub from: Station,
    pub to: Station,
    pub length: FigureId,
    pub area: FigureId,
    /// The stretch it is, where it is one.
    pub stretch: Option<usize>,
}

/// The ground of a material.
#[derive(Debug)]
pub(super) enum Covered {
    /// Where its deliveries say.
    Deliveries(Vec<Piece>),
    /// The pavement placed.
    Placed(Vec<Piece>),
}

impl Covered {
    pub(super) fn pieces(&self) -> &[Piece] {
        match self {
            Covered::Deliveries(pieces) | Covered::Placed(pieces) => pieces,
        }
    }

    /// Pieces that touch, put together: runs of one lane.
    pub(super) fn runs(&self) -> Vec<Vec<Piece>> {
        let mut runs: Vec<Vec<Piece>> = Vec::new();
        for piece in self.pieces() {
            let touches = |run: &Vec<Piece>| {
                run.last().is_some_and(|last| last.lane == piece.lane && last.to.along == piece.from.along)
            };
            match runs.last_mut().filter(|run| touches(run)) {
                Some(run) => run.push(*piece),
                None => runs.push(vec![*piece]),
            }
        }
        runs
    }
}

/// The ground of a material, by lane and along the line.
pub(super) fn covered(ground: Ground<'_>, book: &mut Book, (material, key): (usize, &str)) -> Covered {
    let stated = stated(ground, material, None);
    if stated.is_empty() {
        return Covered::Placed(placed(ground, material));
    }
    let mut pieces = Vec::new();
    for (lane, ends) in stated {
        for (from, to) in joined(ends) {
            pieces.push(piece(ground, book, (lane, from, to), key));
        }
    }
    Covered::Deliveries(pieces)
}

/// The ground that the deliveries of one day say they went to.
pub(super) fn covered_on(
    ground: Ground<'_>,
    book: &mut Book,
    (material, key): (usize, &str),
    day: NaiveDate,
) -> Covered {
    let stated = stated(ground, material, Some(day));
    let mut pieces = Vec::new();
    for (lane, ends) in stated {
        pieces.extend(joined(ends).into_iter().map(|(from, to)| piece(ground, book, (lane, from, to), key)));
    }
    Covered::Deliveries(pieces)
}

fn placed(ground: Ground<'_>, material: usize) -> Vec<Piece> {
    let sections = &ground.contract.materials[material].sections;
    let own = ground.line.stretches.iter().enumerate().filter(|(_, s)| sections.contains(&s.section));
    own.map(|(i, s)| Piece { lane: s.lane, from: s.from, to: s.to, length: s.length, area: s.area, stretch: Some(i) })
        .collect()
}

/// An end of what a delivery says it covers, and the cell that says it.
type End = (Station, Expr);

/// What the deliveries, or those of one day, say they cover, by lane.
fn stated(ground: Ground<'_>, material: usize, day: Option<NaiveDate>) -> BTreeMap<LaneId, Vec<(End, End)>> {
    let mut found: BTreeMap<LaneId, Vec<(End, End)>> = BTreeMap::new();
    let ledger = &ground.line.ledger;
    let own = |d: &Delivered| d.material.value == material && day.is_none_or(|day| d.date.value == day);
    for (i, delivery) in ground.records.delivered.iter().enumerate().filter(|(_, d)| own(d)) {
        let (Some(lanes), Some((from, to))) = (&delivery.lanes, &delivery.between) else { continue };
        let a: End = (from.value, ledger.delivered_from(i).into());
        let b: End = (to.value, ledger.delivered_to(i).into());
        let ends = if a.0.along <= b.0.along { (a, b) } else { (b, a) };
        for &lane in &lanes.value {
            found.entry(lane).or_default().push(ends.clone());
        }
    }
    found
}

/// Pieces that overlap or touch, put together.
fn joined(mut ends: Vec<(End, End)>) -> Vec<(End, End)> {
    ends.sort_by_key(|(from, to)| (from.0.along, to.0.along));
    let mut joined: Vec<(End, End)> = Vec::new();
    for (from, to) in ends {
        match joined.last_mut().filter(|(_, last)| from.0.along <= last.0.along) {
            Some((_, last)) if last.0.along < to.0.along => *last = to,
            Some(_) => {}
            None => joined.push((from, to)),
        }
    }
    joined
}

fn piece(ground: Ground<'_>, book: &mut Book, (lane, from, to): (LaneId, End, End), key: &str) -> Piece {
    let contract = ground.contract;
    let name = &contract.lane(lane).name;
    let label = format!("{name}, {} to {}", contract.station(lane, from.0), contract.station(lane, to.0));
    let key = format!("{key}.{}", line::slug(&label));
    let (start, end) = (from.0, to.0);
    let (length, area) = line::ground(contract, book, lane, (from, to), (&key, &label));
    Piece { lane, from: start, to: end, length, area, stretch: None }
}

/// The sides on which no lane of the contract lies beside a lane.
pub(super) fn outer_sides(ground: Ground<'_>, lane: LaneId) -> i64 {
    line::beside(ground.contract, lane).iter().map(|beside| i64::from(beside.is_none())).sum()
}

/// The sides of a placed stretch that were free when it was placed: no lane there, or none placed before or with it along the
/// whole of it.
pub(super) fn free_sides(ground: Ground<'_>, stretch: usize) -> i64 {
    let (own, line) = (&ground.line.stretches[stretch], ground.line);
    let order = |p: usize| (ground.records.placements[p].date.value, ground.records.placements[p].number.at);
    let held = |lane: LaneId| {
        let pieces = line::within(line, lane, own.from, own.to);
        let before = |s: usize| order(line.stretches[s].placement) <= order(own.placement);
        let covered: Decimal = pieces.iter().filter(|c| before(c.stretch)).map(|c| c.to.along - c.from.along).sum();
        covered >= own.to.along - own.from.along
    };
    line::beside(ground.contract, own.lane).into_iter().map(|beside| i64::from(!beside.is_some_and(held))).sum()
}

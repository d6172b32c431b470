//! The ground that a material lies on: where all its deliveries say, each piece once; else the pavement placed in its sections.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use rust_decimal::Decimal;

use crate::contract::Need;
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

/// The ground of a material, by lane and along the line: what its deliveries say where each of them does, else the pavement
/// placed. Of ground that only some deliveries say, nobody knows what the others went to.
pub(super) fn covered(
    ground: Ground<'_>,
    book: &mut Book,
    (material, key): (usize, &str),
    delivered: &[Range<usize>],
) -> Covered {
    let rows = all(delivered);
    let by_sheets = !between_lanes(ground, material) && without_ground(ground, rows.clone()) == 0;
    let stated = if by_sheets { stated(ground, rows) } else { Stated::new() };
    if stated.is_empty() {
        return Covered::Placed(placed(ground, material));
    }
    Covered::Deliveries(pieces(ground, book, stated, key))
}

/// The ground of each day whose deliveries all say theirs and share none with another day's: what is needed on it is needed of
/// that day. Empty for other days.
pub(super) fn covered_by_day(
    ground: Ground<'_>,
    book: &mut Book,
    delivered: &[Range<usize>],
    key: impl Fn(usize) -> String,
) -> Vec<Covered> {
    let days: Vec<Stated> = delivered.iter().map(|rows| stated(ground, rows.clone())).collect();
    let shared = shared(&days);
    let alone = |day: usize| !shared.contains(&day) && without_ground(ground, delivered[day].clone()) == 0;
    let mut covered = Vec::new();
    for (day, stated) in days.into_iter().enumerate() {
        let own = if alone(day) { pieces(ground, book, stated, &key(day)) } else { Vec::new() };
        covered.push(Covered::Deliveries(own));
    }
    covered
}

/// How many deliveries do not say where they went. What was wasted or taken back whole went nowhere.
fn without_ground(ground: Ground<'_>, rows: Range<usize>) -> usize {
    let went = |d: &&Delivered| d.wasted.as_ref().is_none_or(|wasted| wasted.value < d.quantity.value);
    let silent = |d: &&Delivered| d.lanes.is_none() || d.between.is_none();
    ground.records.delivered[rows].iter().filter(went).filter(silent).count()
}

/// How many deliveries do not say where they went, where others of the material do and it matters.
pub(super) fn silent_among_others(ground: Ground<'_>, material: usize, delivered: &[Range<usize>]) -> usize {
    let rows = all(delivered);
    let none_matters = between_lanes(ground, material) || stated(ground, rows.clone()).is_empty();
    if none_matters { 0 } else { without_ground(ground, rows) }
}

/// Whether it lies between lanes: where both are placed, whatever its sheets say.
fn between_lanes(ground: Ground<'_>, material: usize) -> bool {
    matches!(ground.contract.materials[material].need, Need::LongitudinalJoints { .. })
}

/// The rows of all days: a material's deliveries follow each other.
fn all(days: &[Range<usize>]) -> Range<usize> {
    match (days.first(), days.last()) {
        (Some(first), Some(last)) => first.start..last.end,
        _ => 0..0,
    }
}

fn placed(ground: Ground<'_>, material: usize) -> Vec<Piece> {
    let sections = &ground.contract.materials[material].sections;
    let own = ground.line.stretches.iter().enumerate().filter(|(_, s)| sections.contains(&s.section));
    own.map(|(i, s)| Piece { lane: s.lane, from: s.from, to: s.to, length: s.length, area: s.area, stretch: Some(i) })
        .collect()
}

/// An end of what a delivery says it covers, and the cell that says it.
type End = (Station, Expr);

/// What deliveries say they cover, by lane, each piece once.
type Stated = BTreeMap<LaneId, Vec<(End, End)>>;

fn stated(ground: Ground<'_>, rows: Range<usize>) -> Stated {
    let mut found = Stated::new();
    let ledger = &ground.line.ledger;
    for i in rows {
        let delivery = &ground.records.delivered[i];
        let (Some(lanes), Some((from, to))) = (&delivery.lanes, &delivery.between) else { continue };
        let a: End = (from.value, ledger.delivered_from(i).into());
        let b: End = (to.value, ledger.delivered_to(i).into());
        let ends = if a.0.along <= b.0.along { (a, b) } else { (b, a) };
        for &lane in &lanes.value {
            found.entry(lane).or_default().push(ends.clone());
        }
    }
    found.into_iter().map(|(lane, ends)| (lane, joined(ends))).collect()
}

/// Days of which a piece lies on ground of another day.
fn shared(days: &[Stated]) -> BTreeSet<usize> {
    let mut all: Vec<(LaneId, Decimal, Decimal, usize)> = Vec::new();
    for (day, stated) in days.iter().enumerate() {
        for (&lane, ends) in stated {
            all.extend(ends.iter().map(|(from, to)| (lane, from.0.along, to.0.along, day)));
        }
    }
    all.sort();
    let mut shared = BTreeSet::new();
    // Of all that begin before a piece, the one that reaches farthest overlaps it if any does.
    let mut farthest: Option<(LaneId, Decimal, usize)> = None;
    for (lane, from, to, day) in all {
        let before = farthest.filter(|(on, _, _)| *on == lane);
        if let Some((_, reach, other)) = before
            && from < reach
        {
            shared.extend([day, other]);
        }
        if before.is_none_or(|(_, reach, _)| reach < to) {
            farthest = Some((lane, to, day));
        }
    }
    shared
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

fn pieces(ground: Ground<'_>, book: &mut Book, stated: Stated, key: &str) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for (lane, ends) in stated {
        pieces.extend(ends.into_iter().map(|(from, to)| piece(ground, book, (lane, from, to), key)));
    }
    pieces
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

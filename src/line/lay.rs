//! Lays the records on the line: tables first, then loads to their placements, then each lane covered once.

use std::collections::BTreeMap;

use super::extent::{Covered, Piece, cover};
use super::measure::{Run, measure, total};
use super::names::{counted, folded, slug};
use super::proof::cores_along;
use super::{Directory, Ledger, Line, PlacementOnLine, Stretch, Unplaced, faults, matching, rows};
use crate::contract::Contract;
use crate::figure::Book;
use crate::finding::Finding;
use crate::intake::{Billed, LaneId, Load, Records};

/// The as-built line of the records, with its record tables and figures in the book. Loads are put in the order of their
/// placements (then day, ticket), those that fit none last, so that row i of the table of loads is `records.loads[i]`;
/// deliveries and invoice lines are put in the order of their materials and invoices, readings in that of their loggers.
pub fn lay(contract: &Contract, records: &mut Records, book: &mut Book) -> (Line, Vec<Finding>) {
    let directory = Directory::of(&records.placements);
    let (mut goes_to, mut findings) = matching::matched(contract, records, &directory);
    sort_loads(&mut records.loads, &mut goes_to);
    records.delivered.sort_by_key(|d| (d.material.value, d.date.value, d.material.at));
    sort_billed(&mut records.billed);
    records.logged.sort_by(|a, b| {
        counted(&a.sensor.value, &b.sensor.value)
            .then_with(|| (a.date.value, a.time.value).cmp(&(b.date.value, b.time.value)))
    });
    let ledger = rows::take_up(contract, records, &goes_to, book);
    let covered = cover(contract, &records.placements);
    let stretches = stretches(contract, records, ledger, book, &covered);
    let placements = placements(records, book, &stretches, &goes_to);
    let unplaced = gaps(&stretches);
    findings.extend(faults::without_loads(contract, records, &placements));
    findings.extend(faults::twice(contract, records, &covered.overlaps));
    findings.extend(faults::nowhere(contract, records, &covered));
    findings.extend(unplaced.iter().map(|gap| faults::not_placed(contract, gap)));
    let loose = goes_to.partition_point(Option::is_some);
    let line = Line {
        ledger,
        stretches,
        placements,
        unplaced,
        overlaps: covered.overlaps,
        loose_loads: (row(loose), row(goes_to.len())),
        cores_along: cores_along(records),
        directory: directory.with_loads(records),
    };
    (line, findings)
}

fn row(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

/// Sorts invoice lines by invoice, in the order people count in, then day and row.
fn sort_billed(billed: &mut [Billed]) {
    let number = |b: &Billed| folded(&b.invoice.value);
    let mut numbers: Vec<String> = billed.iter().map(number).collect();
    numbers.sort_by(|a, b| counted(a, b));
    numbers.dedup();
    let places: BTreeMap<String, usize> = numbers.into_iter().zip(0..).collect();
    billed.sort_by_cached_key(|b| (places.get(&number(b)).copied(), b.date.value, b.invoice.at));
}

/// Sorts the loads, and what says where they go along with them, in place.
fn sort_loads(loads: &mut [Load], goes_to: &mut [Option<usize>]) {
    let mut order: Vec<usize> = (0..loads.len()).collect();
    order.sort_by(|&a, &b| {
        let group = |i: usize| goes_to[i].map_or((true, 0), |p| (false, p));
        let (la, lb) = (&loads[a], &loads[b]);
        (group(a), la.date.value)
            .cmp(&(group(b), lb.date.value))
            .then_with(|| counted(&la.ticket.value, &lb.ticket.value))
            .then_with(|| la.ticket.at.cmp(&lb.ticket.at))
    });
    let mut moves_to = vec![0; order.len()];
    for (to, &from) in order.iter().enumerate() {
        moves_to[from] = to;
    }
    for i in 0..moves_to.len() {
        while moves_to[i] != i {
            let to = moves_to[i];
            loads.swap(i, to);
            goes_to.swap(i, to);
            moves_to.swap(i, to);
        }
    }
}

fn stretches(
    contract: &Contract,
    records: &Records,
    ledger: Ledger,
    book: &mut Book,
    covered: &Covered,
) -> Vec<Stretch> {
    let mut pieces: BTreeMap<(usize, LaneId), usize> = BTreeMap::new();
    for (_, piece) in &covered.pieces {
        *pieces.entry((piece.placement, piece.lane)).or_default() += 1;
    }
    let mut seen: BTreeMap<(usize, LaneId), usize> = BTreeMap::new();
    let mut stretches = Vec::with_capacity(covered.pieces.len());
    for &(section, piece) in &covered.pieces {
        let of = (piece.placement, piece.lane);
        let n = seen.entry(of).or_default();
        *n += 1;
        let nth = if pieces.get(&of) == Some(&1) { None } else { Some(*n) };
        stretches.push(stretch(contract, records, ledger, book, (section, piece, nth)));
    }
    stretches
}

/// A piece with its figures; `nth` tells the pieces of one placement in one lane apart.
fn stretch(
    contract: &Contract,
    records: &Records,
    ledger: Ledger,
    book: &mut Book,
    (section, piece, nth): (usize, Piece, Option<usize>),
) -> Stretch {
    let placement = &records.placements[piece.placement];
    let (number, lane) = (&placement.number.value, &contract.lane(piece.lane).name);
    let (part, part_key) = nth.map_or_else(Default::default, |n| (format!(", piece {n}"), format!(".piece-{n}")));
    let run = Run {
        lane: piece.lane,
        section,
        from: (piece.from.station, piece.from.proof.leaf(contract, &ledger, book, (piece.lane, piece.from.station))),
        to: (piece.to.station, piece.to.proof.leaf(contract, &ledger, book, (piece.lane, piece.to.station))),
        label: format!("placement {number}, {lane}{part}"),
        key: format!("placement-{}.{}{part_key}", slug(number), slug(lane)),
    };
    let [length, area, volume] = measure(contract, book, &run);
    Stretch {
        lane: piece.lane,
        section,
        from: piece.from.station,
        to: piece.to.station,
        proof: (piece.from.proof, piece.to.proof),
        placement: piece.placement,
        date: placement.date.value,
        length,
        area,
        volume,
    }
}

fn placements(
    records: &Records,
    book: &mut Book,
    stretches: &[Stretch],
    goes_to: &[Option<usize>],
) -> Vec<PlacementOnLine> {
    let mut of: Vec<Vec<usize>> = vec![Vec::new(); records.placements.len()];
    for (i, stretch) in stretches.iter().enumerate() {
        of[stretch.placement].push(i);
    }
    of.into_iter()
        .enumerate()
        .map(|(p, own)| {
            let number = &records.placements[p].number.value;
            let (key, label) = (format!("placement-{}", slug(number)), format!("placement {number}"));
            let figures = |of: fn(&Stretch) -> crate::figure::FigureId| -> Vec<_> {
                own.iter().map(|&i| of(&stretches[i])).collect()
            };
            let area = total(book, &format!("{key}.area"), &format!("{label}, area"), "A_total", &figures(|s| s.area));
            let volume = total(
                book,
                &format!("{key}.volume"),
                &format!("{label}, plan volume"),
                "V_total",
                &figures(|s| s.volume),
            );
            let rank = |to: &Option<usize>| to.unwrap_or(usize::MAX);
            let first = goes_to.partition_point(|to| rank(to) < p);
            let after = goes_to.partition_point(|to| rank(to) <= p);
            PlacementOnLine { stretches: own, area, volume, loads: (row(first), row(after)) }
        })
        .collect()
}

/// What lies between two stretches of one section's lane. Before the first and beyond the last, work is still to come.
fn gaps(stretches: &[Stretch]) -> Vec<Unplaced> {
    let pairs = stretches.iter().zip(stretches.iter().skip(1));
    pairs
        .filter(|(a, b)| (a.lane, a.section) == (b.lane, b.section) && a.to.along < b.from.along)
        .map(|(a, b)| Unplaced { lane: a.lane, section: a.section, from: a.to, to: b.from })
        .collect()
}

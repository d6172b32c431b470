//! The placed part of a stretch: what of a lot, a deficient section or an item lies under concrete.

use super::measure::{Run, measure, total};
use super::names::slug;
use super::{Line, proof};
use crate::contract::Contract;
use crate::figure::{Book, FigureId};
use crate::intake::LaneId;
use crate::units::Station;

/// A placed stretch, or the part of it that lies within what was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clip {
    /// By place in [`Line::stretches`].
    pub stretch: usize,
    /// From.
    pub from: Station,
    /// To, beyond `from`.
    pub to: Station,
    /// True where it is the whole stretch.
    pub whole: bool,
}

/// What was placed in some stretches, as figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlacedWithin {
    /// Length of lane, unit [`crate::units::System::length`].
    pub length: FigureId,
    /// Area, unit [`crate::units::System::area`].
    pub area: FigureId,
    /// Area times design thickness, unit [`crate::units::System::volume`].
    pub volume: FigureId,
}

/// The stretch that a point of a lane lies on, by place in [`Line::stretches`]. Where two meet, the one ahead; at the far end
/// of what is placed, the one behind.
#[must_use]
pub fn stretch_at(line: &Line, lane: LaneId, at: Station) -> Option<usize> {
    let at = at.along;
    let ahead = line.stretches.partition_point(|s| (s.lane, s.to.along) <= (lane, at));
    let of_lane = |i: &usize| line.stretches.get(*i).is_some_and(|s| s.lane == lane);
    let behind = || ahead.checked_sub(1).filter(of_lane).filter(|&i| line.stretches[i].to.along == at);
    Some(ahead).filter(of_lane).filter(|&i| line.stretches[i].from.along <= at).or_else(behind)
}

/// What is placed in a lane between two stations, in order along the line.
#[must_use]
pub fn within(line: &Line, lane: LaneId, from: Station, to: Station) -> Vec<Clip> {
    let first = line.stretches.partition_point(|s| (s.lane, s.to.along) <= (lane, from.along));
    line.stretches[first..]
        .iter()
        .enumerate()
        .take_while(|(_, s)| s.lane == lane && s.from.along < to.along)
        .map(|(i, s)| Clip {
            stretch: first + i,
            from: if s.from.along < from.along { from } else { s.from },
            to: if s.to.along > to.along { to } else { s.to },
            whole: s.from.along >= from.along && s.to.along <= to.along,
        })
        .collect()
}

/// The placed part of some stretches of lanes as figures, under `key.length`, `key.area` and `key.volume`; `None` where
/// nothing is placed there. One piece alone is measured under that key; of several, a stretch that lies wholly within
/// counts with its own figures, and a cut one is measured under `key` and its lane. The places must not overlap.
pub fn placed_within(
    line: &Line,
    contract: &Contract,
    book: &mut Book,
    places: &[(LaneId, Station, Station)],
    key: &str,
    label: &str,
) -> Option<PlacedWithin> {
    let clips: Vec<Clip> = places.iter().flat_map(|&(lane, from, to)| within(line, lane, from, to)).collect();
    if let [only] = clips.as_slice() {
        let [length, area, volume] = measured(line, contract, book, *only, (key.into(), label.into()));
        return Some(PlacedWithin { length, area, volume });
    }
    let mut figures: [Vec<FigureId>; 3] = Default::default();
    for clip in clips {
        let found = part(line, contract, book, clip, key, label);
        figures.iter_mut().zip(found).for_each(|(all, one)| all.push(one));
    }
    let [length, area, volume] = figures;
    let mut add = |part: &str, symbol: &str, parts: &[FigureId]| {
        total(book, &format!("{key}.{part}"), &format!("{label}, {part} placed"), symbol, parts)
    };
    Some(PlacedWithin {
        length: add("length", "L", &length)?,
        area: add("area", "A", &area)?,
        volume: add("volume", "V", &volume)?,
    })
}

/// Length, area and volume of one piece of several.
fn part(line: &Line, contract: &Contract, book: &mut Book, clip: Clip, key: &str, label: &str) -> [FigureId; 3] {
    let stretch = &line.stretches[clip.stretch];
    if clip.whole {
        return [stretch.length, stretch.area, stretch.volume];
    }
    let name = &contract.lane(stretch.lane).name;
    measured(line, contract, book, clip, (format!("{key}.{}", slug(name)), format!("{label}, {name}")))
}

/// Measures a clip under a key and a label of its own.
fn measured(
    line: &Line,
    contract: &Contract,
    book: &mut Book,
    clip: Clip,
    (key, label): (String, String),
) -> [FigureId; 3] {
    let stretch = &line.stretches[clip.stretch];
    let lane = stretch.lane;
    let mut end = |asked: Station, own: Station, proof: super::Proof| {
        let leaf = if asked == own {
            proof.leaf(contract, &line.ledger, book, (lane, asked))
        } else {
            proof::cut(line, contract, book, lane, asked)
        };
        (asked, leaf)
    };
    let from = end(clip.from, stretch.from, stretch.proof.0);
    let to = end(clip.to, stretch.to, stretch.proof.1);
    measure(contract, book, &Run { lane, section: stretch.section, from, to, label, key })
}

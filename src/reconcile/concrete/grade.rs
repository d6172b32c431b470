//! Low stretches of the surface under the slab: where, how low, and the concrete that lies in them.
//!
//! A level stands for the ground half way to its neighbours in the lane. Levels of one station are averaged. A stretch is low
//! where it is farther below design than the contract lets pass; without such a limit none is pointed at. Common practice.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::YieldLine;
use super::levels::Low;
use super::split::{ByStretch, value};
use crate::figure::{Book, Expr, Figure, FigureId, mean, whole};
use crate::intake::LaneId;
use crate::line::{mark_station, placed_within, within};
use crate::reconcile::Ground;
use crate::units::Station;

/// A low stretch of the surface under the slab.
#[derive(Clone, Debug, PartialEq)]
pub struct LowGrade {
    /// Lane.
    pub lane: LaneId,
    /// From.
    pub from: Station,
    /// To.
    pub to: Station,
    /// Levels in it, by place in the records.
    pub levels: Vec<usize>,
    /// Mean of what they lie below design.
    pub low: FigureId,
    /// Placed area over it.
    pub area: FigureId,
    /// Concrete in it beyond the plan volume.
    pub volume: FigureId,
    /// Its value.
    pub money: Option<FigureId>,
}

/// Levels by the stretch placed on them.
pub(super) fn by_stretch(lows: &[Low]) -> ByStretch {
    let mut by: ByStretch = BTreeMap::new();
    for low in lows {
        if let Some(stretch) = low.stretch {
            by.entry(stretch).or_default().push(low.below);
        }
    }
    by
}

/// The levels of one station of a lane.
struct At {
    station: Station,
    levels: Vec<usize>,
    lows: Vec<FigureId>,
    too_low: bool,
}

/// Low stretches, by lane and along the line.
pub(super) fn low_grade(ground: Ground<'_>, book: &mut Book, lows: &[Low], whole: Option<&YieldLine>) -> Vec<LowGrade> {
    let Some(limit) = ground.contract.yields.low_grade.as_ref().map(|limit| limit.value) else { return Vec::new() };
    let mut lanes: BTreeMap<LaneId, BTreeMap<Decimal, At>> = BTreeMap::new();
    for low in lows.iter().filter(|low| low.stretch.is_some()) {
        let level = &ground.records.levels[low.level];
        let at = lanes.entry(level.lane.value).or_default().entry(level.station.value.along).or_insert_with(|| At {
            station: level.station.value,
            levels: Vec::new(),
            lows: Vec::new(),
            too_low: false,
        });
        at.levels.push(low.level);
        at.lows.push(low.below);
    }
    let mut found = Vec::new();
    for (lane, stations) in lanes {
        let mut stations: Vec<At> = stations.into_values().collect();
        for at in &mut stations {
            let low = book.evaluate(&mean(at.lows.clone())).decimal();
            at.too_low = low.is_some_and(|low| low.round_dp(9) > limit);
        }
        for (first, last) in runs(&stations) {
            let name = format!("low grade {}", found.len() + 1);
            found.extend(stretch(ground, book, (lane, &stations, first, last), &name, whole));
        }
    }
    found
}

/// First and last of each run of stations that are too low.
fn runs(stations: &[At]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (i, _) in stations.iter().enumerate().filter(|(_, at)| at.too_low) {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == i => *last = i,
            _ => runs.push((i, i)),
        }
    }
    runs
}

fn stretch(
    ground: Ground<'_>,
    book: &mut Book,
    (lane, stations, first, last): (LaneId, &[At], usize, usize),
    name: &str,
    whole: Option<&YieldLine>,
) -> Option<LowGrade> {
    let before = first.checked_sub(1).and_then(|i| stations.get(i));
    let from = end(ground, book, lane, (stations.get(first)?, before));
    let to = end(ground, book, lane, (stations.get(last)?, stations.get(last + 1)));
    let pieces = within(ground.line, lane, from, to);
    let (from, to) = (pieces.first()?.from, pieces.last()?.to);
    let key = format!("yield.{}", crate::line::slug(name));
    let label = format!(
        "{name}, {} {} to {}",
        ground.contract.lane(lane).name,
        ground.contract.station(lane, from),
        ground.contract.station(lane, to)
    );
    let placed = placed_within(ground.line, ground.contract, book, &[(lane, from, to)], &key, &label)?;
    let own = stations.get(first..=last)?;
    let lows: Vec<FigureId> = own.iter().flat_map(|at| at.lows.clone()).collect();
    let system = ground.contract.system;
    let low = Figure::new(format!("{key}.low"), format!("{label}, mean below design"), "g", system.depth(), mean(lows));
    let low = book.add(low.shown(system.depth().decimals() + 1));
    let volume = Figure::new(
        format!("{key}.concrete"),
        format!("{label}, concrete beyond plan"),
        "V_g",
        system.volume(),
        (placed.area * low).to(system.to_volume()),
    );
    let volume = book.add(volume.rounded(ground.contract.roundings.volume));
    let price = whole.and_then(|whole| whole.split.as_ref()?.price.as_ref());
    let money = price.map(|price| {
        let names = (format!("{key}.value"), format!("{label}, value"));
        value(ground.contract, book, (&names.0, &names.1), volume, price)
    });
    let levels = own.iter().flat_map(|at| at.levels.clone()).collect();
    Some(LowGrade { lane, from, to, levels, low, area: placed.area, volume, money })
}

/// Half way from a level to its neighbour, or the level itself where there is none.
fn end(ground: Ground<'_>, book: &mut Book, lane: LaneId, (own, neighbour): (&At, Option<&At>)) -> Station {
    let ledger = &ground.line.ledger;
    let cell = |at: &At| at.levels.first().map(|&level| Expr::from(ledger.level_along(level)));
    let Some(other) = neighbour else {
        if let Some(expr) = cell(own) {
            mark_station(ground.contract, book, (lane, own.station), expr, ("level", "", None));
        }
        return own.station;
    };
    let middle = ground.contract.alignment(lane).at((own.station.along + other.station.along) / Decimal::TWO);
    if let (Some(a), Some(b)) = (cell(own), cell(other)) {
        mark_station(
            ground.contract,
            book,
            (lane, middle),
            (a + b) / whole(2),
            ("half way between two levels", "", None),
        );
    }
    middle
}

//! The slab as surveyed: prisms between stations at which base and pavement were both levelled.
//!
//! ```text
//! d = pavement - base            mean of the offsets at a station
//! V = A (d1 + d2) / 2            A the placed area between two such stations of a lane, tapers and equations with it
//! ```
//!
//! Average depth by area (common practice in earthwork: average end areas, with the width that is there).

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::levels::Levels;
use crate::figure::{Book, Expr, Figure, FigureId, mean, whole};
use crate::intake::{LaneId, Surface};
use crate::line::{mark_station, placed_within, slug, total};
use crate::reconcile::Ground;
use crate::units::{Rounding, Station};

/// The slab between two surveyed stations of a lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prism {
    /// Lane.
    pub lane: LaneId,
    /// From.
    pub from: Station,
    /// To.
    pub to: Station,
    /// Depth at both.
    pub depths: (FigureId, FigureId),
    /// Placed area between.
    pub area: FigureId,
    /// Volume.
    pub volume: FigureId,
}

/// The slab as surveyed.
#[derive(Clone, Debug, PartialEq)]
pub struct Surveyed {
    /// Prisms, by lane and along the line.
    pub prisms: Vec<Prism>,
    /// Placed area between them.
    pub area: FigureId,
    /// Volume.
    pub volume: FigureId,
    /// Volume over area.
    pub depth: FigureId,
    /// Plan volume of the same ground.
    pub plan: FigureId,
    /// Volume less that of the plan.
    pub over: FigureId,
}

/// Stations of each lane with the depth there.
type Stations = BTreeMap<LaneId, BTreeMap<Decimal, (Station, FigureId)>>;

/// The slab as surveyed; `None` where no two stations of a lane were.
pub(super) fn surveyed(ground: Ground<'_>, book: &mut Book, levels: &Levels) -> Option<Surveyed> {
    let mut prisms = Vec::new();
    let mut plans = Vec::new();
    for (lane, stations) in stations(ground, book, levels) {
        let stations: Vec<(Station, FigureId)> = stations.into_values().collect();
        for pair in stations.windows(2) {
            let Some((prism, plan)) = prism(ground, book, lane, (pair[0], pair[1])) else { continue };
            prisms.push(prism);
            plans.push(plan);
        }
    }
    let mut add = |word: &str, parts: Vec<FigureId>, symbol: &str| {
        total(book, &format!("yield.surveyed.{word}"), &format!("surveyed slab, {word}"), symbol, &parts)
    };
    let area = add("area", prisms.iter().map(|p| p.area).collect(), "A")?;
    let volume = add("volume", prisms.iter().map(|p| p.volume).collect(), "V")?;
    let plan = add("plan volume", plans, "V_p")?;
    let system = ground.contract.system;
    let depth = Figure::new(
        "yield.surveyed.depth",
        "surveyed slab, mean depth by area",
        "d",
        system.depth(),
        (volume / area).to(system.to_depth()),
    );
    let depth = book.add(depth.rounded(Rounding::to_decimals(system.depth().decimals())));
    let over =
        Figure::new("yield.surveyed.over", "surveyed slab, beyond plan volume", "D", system.volume(), volume - plan);
    let over = book.add(over.rounded(ground.contract.roundings.volume));
    Some(Surveyed { prisms, area, volume, depth, plan, over })
}

fn stations(ground: Ground<'_>, book: &mut Book, levels: &Levels) -> Stations {
    let ledger = &ground.line.ledger;
    let mut pairs: BTreeMap<(LaneId, Decimal), Vec<(usize, usize)>> = BTreeMap::new();
    for (base, top) in levels.pairs(ground, Surface::Base, Surface::Top) {
        let level = &ground.records.levels[base];
        pairs.entry((level.lane.value, level.station.value.along)).or_default().push((base, top));
    }
    let mut stations: Stations = BTreeMap::new();
    for ((lane, along), pairs) in pairs {
        let Some(&(base, _)) = pairs.first() else { continue };
        let station = ground.records.levels[base].station.value;
        let name = format!("{} {}", ground.contract.lane(lane).name, ground.contract.station(lane, station));
        mark_station(ground.contract, book, (lane, station), ledger.level_along(base), ("level", "", None));
        let depths: Vec<Expr> =
            pairs.iter().map(|&(base, top)| ledger.level_measured(top) - ledger.level_measured(base)).collect();
        let system = ground.contract.system;
        let figure = Figure::new(
            format!("yield.surveyed.{}.depth", slug(&name)),
            format!("{name}, surveyed depth"),
            "d",
            system.depth(),
            mean(depths).to(system.length_to_depth()),
        );
        let depth = book.add(figure.shown(system.depth().decimals() + 1));
        stations.entry(lane).or_default().insert(along, (station, depth));
    }
    stations
}

/// The slab between two stations, and its plan volume; `None` where nothing is placed between.
fn prism(
    ground: Ground<'_>,
    book: &mut Book,
    lane: LaneId,
    ((from, first), (to, second)): ((Station, FigureId), (Station, FigureId)),
) -> Option<(Prism, FigureId)> {
    let contract = ground.contract;
    let name = &contract.lane(lane).name;
    let label = format!("surveyed {name}, {} to {}", contract.station(lane, from), contract.station(lane, to));
    let key = format!("yield.{}", slug(&label));
    let placed = placed_within(ground.line, contract, book, &[(lane, from, to)], &key, &label)?;
    let figure = Figure::new(
        format!("{key}.prism"),
        format!("{label}, volume"),
        "V",
        contract.system.volume(),
        (placed.area * ((first + second) / whole(2))).to(contract.system.to_volume()),
    );
    let volume = book.add(figure.rounded(contract.roundings.volume));
    Some((Prism { lane, from, to, depths: (first, second), area: placed.area, volume }, placed.volume))
}

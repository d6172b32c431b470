//! How thick the slab is, wherever something says so: cores, depth probes, or levels of base and pavement at one point.
//!
//! Each is compared with the design thickness where it stands. Cores that were drilled because the slab was thin (exploratory
//! ones) say nothing of the rest, so only those of lots count; void ones count nowhere. Common practice.

use std::collections::BTreeMap;

use super::levels::Levels;
use crate::contract::DepthBy;
use crate::figure::{Book, Expr, Figure, FigureId, mean};
use crate::intake::{LaneId, Surface};
use crate::line::{slug, stretch_at, thickness};
use crate::reconcile::Ground;
use crate::units::Station;

/// By how much the slab is thicker than designed, by the stretch it was measured on.
#[derive(Debug, Default)]
pub(super) struct Depths {
    pub by_stretch: BTreeMap<usize, Vec<FigureId>>,
}

/// Everything that the contract takes the depth from.
pub(super) fn depths(ground: Ground<'_>, book: &mut Book, levels: &Levels) -> Depths {
    let mut found = Depths::default();
    let by = ground.contract.yields.depth_by;
    if matches!(by, DepthBy::Cores | DepthBy::CoresAndProbes) {
        cores(ground, book, &mut found);
    }
    if matches!(by, DepthBy::Probes | DepthBy::CoresAndProbes) {
        probes(ground, book, &mut found);
    }
    if by == DepthBy::Levels {
        points(ground, book, levels, &mut found);
    }
    found
}

fn cores(ground: Ground<'_>, book: &mut Book, found: &mut Depths) {
    for (i, core) in ground.records.cores.iter().enumerate().filter(|(_, c)| c.purpose.is_averaged()) {
        let readings = (0..core.readings.len()).map(|k| ground.line.ledger.core_reading(i, k));
        let depth = mean(readings.collect::<Vec<_>>());
        let name = format!("core {}", core.number.value);
        found.take(ground, book, &name, (core.lane.value, core.station.value), depth);
    }
}

fn probes(ground: Ground<'_>, book: &mut Book, found: &mut Depths) {
    for (i, probe) in ground.records.probes.iter().enumerate() {
        let name = format!("probe {}", probe.number.value);
        let depth = ground.line.ledger.probe_depth(i).into();
        found.take(ground, book, &name, (probe.lane.value, probe.station.value), depth);
    }
}

/// Levels of pavement and base at one point of a lane: station and offset.
fn points(ground: Ground<'_>, book: &mut Book, levels: &Levels, found: &mut Depths) {
    let ledger = &ground.line.ledger;
    for (base, top) in levels.pairs(ground, Surface::Base, Surface::Top) {
        let level = &ground.records.levels[base];
        let depth =
            (ledger.level_measured(top) - ledger.level_measured(base)).to(ground.contract.system.length_to_depth());
        let offset = level.offset.as_ref().map(|o| format!(" at {}", o.value)).unwrap_or_default();
        let name = format!("levels {}{offset}", ground.contract.station(level.lane.value, level.station.value));
        found.take(ground, book, &name, (level.lane.value, level.station.value), depth);
    }
}

impl Depths {
    /// Takes up a depth, unless it stands where nothing was placed.
    fn take(&mut self, ground: Ground<'_>, book: &mut Book, name: &str, at: (LaneId, Station), depth: Expr) {
        let Some(stretch) = stretch_at(ground.line, at.0, at.1) else { return };
        let design = thickness(ground.contract, book, ground.line.stretches[stretch].section);
        let figure = Figure::new(
            format!("yield.{}", slug(name)),
            format!("{name}, thicker than designed"),
            "e",
            ground.contract.system.depth(),
            depth - design,
        );
        let decimals = ground.contract.system.depth().decimals() + 1;
        self.by_stretch.entry(stretch).or_default().push(book.add(figure.shown(decimals)));
    }
}

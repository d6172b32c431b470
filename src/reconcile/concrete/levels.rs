//! What was levelled: the surface under the slab against its design, and the slab between two surfaces.
//!
//! Under the slab lies the base; where no base was levelled anywhere, the subgrade. A level below design is concrete that the
//! plan volume does not have.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::figure::{Book, Figure, FigureId};
use crate::intake::{LaneId, Level, Surface};
use crate::line::{folded, slug, stretch_at};
use crate::reconcile::Ground;

/// A point of a lane that was levelled: lane, distance along the line, offset.
type Point = (LaneId, Decimal, String);

/// Levels by surface and point.
#[derive(Debug, Default)]
pub(super) struct Levels {
    at: BTreeMap<(Surface, Point), Vec<usize>>,
}

/// How low the surface under the slab lies at a point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Low {
    /// Level, by place in the records.
    pub level: usize,
    /// Stretch that was placed on it; `None` where nothing is placed yet.
    pub stretch: Option<usize>,
    /// Design less measured, a depth: above zero where it is low.
    pub below: FigureId,
}

fn point(level: &Level) -> Point {
    let offset = level.offset.as_ref().map(|o| folded(&o.value)).unwrap_or_default();
    (level.lane.value, level.station.value.along.normalize(), offset)
}

impl Levels {
    pub(super) fn of(ground: Ground<'_>) -> Self {
        let mut levels = Self::default();
        for (i, level) in ground.records.levels.iter().enumerate() {
            levels.at.entry((level.surface, point(level))).or_default().push(i);
        }
        levels
    }

    /// Points at which both surfaces were levelled, the last level of each: lower one and upper one.
    pub(super) fn pairs(&self, ground: Ground<'_>, lower: Surface, upper: Surface) -> Vec<(usize, usize)> {
        let last = |of: &Vec<usize>| {
            of.iter()
                .copied()
                .max_by_key(|&i| (ground.records.levels[i].date.value, ground.records.levels[i].number.at))
        };
        let under = self.at.iter().filter(|((surface, _), _)| *surface == lower);
        under.filter_map(|((_, point), of)| Some((last(of)?, last(self.at.get(&(upper, point.clone()))?)?))).collect()
    }

    /// The surface that the slab lies on, as far as it was levelled.
    fn under_slab(&self) -> Surface {
        let any_base = self.at.keys().any(|(surface, _)| *surface == Surface::Base);
        if any_base { Surface::Base } else { Surface::Subgrade }
    }

    /// How low the surface under the slab lies, at each point the last level that has a design, by lane and along the line.
    pub(super) fn lows(&self, ground: Ground<'_>, book: &mut Book) -> Vec<Low> {
        let surface = self.under_slab();
        let of_surface = self.at.iter().filter(|((of, _), _)| *of == surface);
        let designed = |i: &&usize| ground.records.levels[**i].design.is_some();
        let latest = |i: &&usize| (ground.records.levels[**i].date.value, ground.records.levels[**i].number.at);
        of_surface
            .filter_map(|(_, of)| of.iter().filter(designed).max_by_key(latest).copied())
            .map(|level| low(ground, book, level))
            .collect()
    }
}

fn low(ground: Ground<'_>, book: &mut Book, i: usize) -> Low {
    let (level, ledger) = (&ground.records.levels[i], &ground.line.ledger);
    let name = format!("level {}", level.number.value);
    let figure = Figure::new(
        format!("yield.{}.low", slug(&name)),
        format!("{name}, below design"),
        "g",
        ground.contract.system.depth(),
        (ledger.level_design(i) - ledger.level_measured(i)).to(ground.contract.system.length_to_depth()),
    );
    let decimals = ground.contract.system.depth().decimals();
    let below = book.add(figure.shown(decimals));
    Low { level: i, stretch: stretch_at(ground.line, level.lane.value, level.station.value), below }
}

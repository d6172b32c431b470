//! The steps below, in and after the slab: the drawing and what lacks proof, then one page for each group of steps.

mod coverage;
mod ground;
mod opening;
mod slab;
mod strips;
mod weather;

use super::{Finished, Page};
use crate::intake::LaneId;
use crate::units::Station;

/// The pages; none where no rule asks and no record says anything of a step.
pub(super) fn pages(finished: Finished<'_>) -> Vec<Page> {
    if !finished.works.is_any(&finished.intake.records) {
        return Vec::new();
    }
    let all = [
        Some(coverage::page(finished)),
        opening::page(finished),
        ground::page(finished),
        slab::page(finished),
        weather::page(finished),
    ];
    all.into_iter().flatten().collect()
}

/// Lanes, from and to of some ground: the lanes that go the same way together.
fn place(finished: Finished<'_>, places: &[(LaneId, Station, Station)]) -> String {
    let contract = finished.contract;
    let mut groups: Vec<(Vec<&str>, String)> = Vec::new();
    for &(lane, from, to) in places {
        let begin = contract.station(lane, from);
        let stretch = if from.along == to.along { begin } else { format!("{begin} to {}", contract.station(lane, to)) };
        let name = contract.lane(lane).name.as_str();
        match groups.iter_mut().find(|g| g.1 == stretch) {
            Some(group) => group.0.push(name),
            None => groups.push((vec![name], stretch)),
        }
    }
    groups.into_iter().map(|(lanes, stretch)| format!("{} {stretch}", lanes.join(", "))).collect::<Vec<_>>().join("; ")
}

/// The stretch of a step as its sheet gives it.
fn stretch(finished: Finished<'_>, work: usize) -> String {
    let work = &finished.intake.records.works[work];
    let (from, to) = (work.from.value.min(work.to.value), work.from.value.max(work.to.value));
    let places: Vec<_> = work.lanes.value.iter().map(|&lane| (lane, from, to)).collect();
    place(finished, &places)
}

fn number_of(finished: Finished<'_>, placement: Option<usize>) -> String {
    placement.map_or_else(String::new, |p| finished.intake.records.placements[p].number.value.to_string())
}

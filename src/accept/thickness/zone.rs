//! How far bad cores reach: the stretch of pavement around a run of them.
//!
//! Bad cores next to each other in a lane are one run. It reaches to the neighbouring good core on each side, half way to
//! it, to the lot's ends, or a stated length, as the rule says, but never beyond the lot, nor beyond what is placed; and
//! across its lane, or all lanes that were placed with it. Stretches that meet are one. Exploratory cores bound a run like
//! any other. FHWA standard specifications of the 1969 era, section 501 (exploratory cores parallel to the centreline both
//! ways until one is good); that 'how far a bad core reaches' differs between agencies is common practice.

use rust_decimal::Decimal;

use super::measured::MeasuredCore;
use crate::accept::ground::Ground;
use crate::intake::LaneId;
use crate::line::LotSpan;
use crate::rules::{Across, Reach, ThicknessRule};
use crate::units::Station;

/// A stretch around bad cores of a lot.
#[derive(Clone, Debug)]
pub(super) struct Zone<'c> {
    /// Its lane; of several, the first with a bad core.
    pub(super) lane: LaneId,
    pub(super) from: Station,
    pub(super) to: Station,
    /// Lanes it takes in.
    pub(super) lanes: Vec<LaneId>,
    /// Its bad cores, by lane and in order along the line.
    pub(super) cores: Vec<&'c MeasuredCore>,
    /// What it ends at, back and ahead: `good core C-41`, `the end of the lot`.
    pub(super) ends: [String; 2],
}

/// A part of a lane in a lot.
type Place = (LaneId, Station, Station);

/// The stretches around bad cores in a lot, by lane and station. `cores` are all cores, by lane and station.
pub(super) fn zones<'c>(
    ground: Ground,
    (at, lot): (usize, &LotSpan),
    cores: &'c [MeasuredCore],
    bad: impl Fn(&MeasuredCore) -> bool,
    rule: &ThicknessRule,
) -> Vec<Zone<'c>> {
    let mut zones = Vec::new();
    // Most lots have no bad core, and nothing to look for along their lanes.
    if !cores.iter().any(|core| core.lot == at && bad(core)) {
        return zones;
    }
    for &place in &lot.places {
        let along = bounding(cores, (place.0, lot.section), &bad);
        let within = |core: &MeasuredCore| place.1.along <= core.at.along && core.at.along <= place.2.along;
        let mut k = 0;
        while k < along.len() {
            let run = along[k..].iter().take_while(|core| core.lot == at && within(core) && bad(core)).count();
            if run > 0 {
                let back = k.checked_sub(1).map(|before| along[before]);
                let ahead = along.get(k + run).copied();
                zones.extend(zone(ground, place, &along[k..k + run], [back, ahead], &bad, rule));
            }
            k += run.max(1);
        }
    }
    joined(zones)
}

/// Stretches that have a lane in common and meet are one.
fn joined(zones: Vec<Zone<'_>>) -> Vec<Zone<'_>> {
    let mut kept: Vec<Zone> = Vec::new();
    for mut zone in zones {
        while let Some(other) = kept.iter().position(|other| meets(other, &zone)) {
            zone = join(kept.remove(other), zone);
        }
        kept.push(zone);
    }
    kept.sort_by_key(|zone| (zone.lane, zone.from));
    kept
}

fn meets(a: &Zone, b: &Zone) -> bool {
    let share = a.lanes.iter().any(|lane| b.lanes.contains(lane));
    share && a.from.along < b.to.along && b.from.along < a.to.along
}

fn join<'c>(a: Zone<'c>, b: Zone<'c>) -> Zone<'c> {
    let (from, back) = if b.from.along < a.from.along { (b.from, &b.ends[0]) } else { (a.from, &a.ends[0]) };
    let (to, ahead) = if b.to.along > a.to.along { (b.to, &b.ends[1]) } else { (a.to, &a.ends[1]) };
    let ends = [back.clone(), ahead.clone()];
    let mut lanes = a.lanes;
    lanes.extend(b.lanes);
    lanes.sort_unstable();
    lanes.dedup();
    let mut cores = a.cores;
    cores.extend(b.cores);
    cores.sort_by_key(|core| (core.lane, core.at, core.core));
    Zone { lane: a.lane.min(b.lane), from, to, lanes, cores, ends }
}

/// Cores of a lane and section in order; a good core beside a bad one, at its very station, bounds nothing.
fn bounding(
    cores: &[MeasuredCore],
    (lane, section): (LaneId, usize),
    bad: impl Fn(&MeasuredCore) -> bool,
) -> Vec<&MeasuredCore> {
    let of_lane: Vec<&MeasuredCore> = cores.iter().filter(|c| c.lane == lane && c.section == section).collect();
    let at_one_station = of_lane.chunk_by(|a, b| a.at.along == b.at.along);
    let kept = at_one_station.flat_map(|beside| {
        let any_bad = beside.iter().any(|core| bad(core));
        beside.iter().copied().filter(|core| bad(core) || !any_bad).collect::<Vec<_>>()
    });
    kept.collect()
}

fn zone<'c>(
    ground: Ground,
    (lane, begin, end): Place,
    run: &[&'c MeasuredCore],
    [back, ahead]: [Option<&MeasuredCore>; 2],
    bad: impl Fn(&MeasuredCore) -> bool,
    rule: &ThicknessRule,
) -> Option<Zone<'c>> {
    let (first, last) = (run.first()?, run.last()?);
    let good = |core: Option<&MeasuredCore>, from: &MeasuredCore, ahead: bool| {
        limit(ground, from, core.filter(|core| !bad(core)), ahead, &rule.reach)
    };
    let (from, back) =
        good(back, first, false).filter(|(at, _)| at.along > begin.along).unwrap_or((begin, LOT_END.into()));
    let (to, ahead) = good(ahead, last, true).filter(|(at, _)| at.along < end.along).unwrap_or((end, LOT_END.into()));
    let placed = ground.placed_ends(lane, from, to)?;
    let ends = [
        if placed.0.along > from.along { PLACED_END.into() } else { back },
        if placed.1.along < to.along { PLACED_END.into() } else { ahead },
    ];
    let lanes = match rule.across {
        Across::Lane => vec![lane],
        Across::Placed => placed_with(ground, run),
    };
    Some(Zone { lane, from: placed.0, to: placed.1, lanes, cores: run.to_vec(), ends })
}

/// The lanes that were placed with the pavement around some cores.
fn placed_with(ground: Ground, run: &[&MeasuredCore]) -> Vec<LaneId> {
    let placements = run.iter().filter_map(|core| ground.stretch_at(core.lane, core.at)).map(|s| s.placement);
    let mut lanes: Vec<LaneId> = placements.flat_map(|p| ground.records.placements[p].lanes.value.clone()).collect();
    lanes.sort_unstable();
    lanes.dedup();
    lanes
}

const LOT_END: &str = "the end of the lot";
const PLACED_END: &str = "the end of what is placed";

/// Where a run ends on one side; `None` at the lot's end.
fn limit(
    ground: Ground,
    bad: &MeasuredCore,
    good: Option<&MeasuredCore>,
    ahead: bool,
    reach: &Reach,
) -> Option<(Station, String)> {
    match (reach, good) {
        (Reach::ToGoodCore, Some(good)) => Some((good.at, format!("good core {}", good.number))),
        (Reach::HalfWay, Some(good)) => {
            let middle = (bad.at.along + good.at.along) / Decimal::TWO;
            let at = ground.contract.alignment(good.lane).at(middle);
            Some((at, format!("half way to good core {}", good.number)))
        }
        (Reach::Length(length), _) => {
            let along = if ahead { bad.at.along + length.value } else { bad.at.along - length.value };
            let at = ground.contract.alignment(bad.lane).at(along);
            Some((at, format!("{} from core {}", length.written, bad.number)))
        }
        (Reach::ToGoodCore | Reach::HalfWay, None) | (Reach::LotEnd, _) => None,
    }
}

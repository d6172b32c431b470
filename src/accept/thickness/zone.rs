//! How far bad cores reach: the stretch of lane around a run of them.
//!
//! Bad cores next to each other in a lane are one run. It reaches to the neighbouring good core on each side, or half way
//! to it, as the rule says, but never beyond the lot, nor beyond what is placed. Exploratory cores bound a run like any
//! other. FHWA standard specifications of the 1969 era, section 501 (exploratory cores parallel to the centreline both
//! ways until one is good); that 'how far a bad core reaches' differs between agencies is common practice.

use rust_decimal::Decimal;

use super::measured::MeasuredCore;
use crate::accept::ground::Ground;
use crate::intake::LaneId;
use crate::line::LotSpan;
use crate::rules::Reach;
use crate::units::Station;

/// A run of bad cores in one lane of a lot.
#[derive(Clone, Debug)]
pub(super) struct Zone<'c> {
    pub(super) lane: LaneId,
    pub(super) from: Station,
    pub(super) to: Station,
    /// Its cores, in order along the line.
    pub(super) cores: Vec<&'c MeasuredCore>,
    /// What it ends at, back and ahead: `good core C-41`, `the end of the lot`.
    pub(super) ends: [String; 2],
}

/// The runs of bad cores in a lot, by lane and station. `cores` are all cores, by lane and station.
pub(super) fn zones<'c>(
    ground: Ground,
    (at, lot): (usize, &LotSpan),
    cores: &'c [MeasuredCore],
    bad: impl Fn(&MeasuredCore) -> bool,
    reach: Reach,
) -> Vec<Zone<'c>> {
    let mut zones = Vec::new();
    for &lane in &lot.lanes {
        let along = bounding(cores, (lane, lot.section), &bad);
        let mut k = 0;
        while k < along.len() {
            let run = along[k..].iter().take_while(|core| core.lot == at && bad(core)).count();
            if run > 0 {
                let back = k.checked_sub(1).map(|before| along[before]);
                let ahead = along.get(k + run).copied();
                zones.extend(zone(ground, lot, &along[k..k + run], [back, ahead], &bad, reach));
            }
            k += run.max(1);
        }
    }
    zones
}

/// Cores of a lane and section in order; a good core beside a bad one, at its very station, bounds nothing.
fn bounding(
    cores: &[MeasuredCore],
    (lane, section): (LaneId, usize),
    bad: impl Fn(&MeasuredCore) -> bool,
) -> Vec<&MeasuredCore> {
    let of_lane: Vec<&MeasuredCore> = cores.iter().filter(|c| c.lane == lane && c.section == section).collect();
    let beside_bad = |core: &MeasuredCore| of_lane.iter().any(|other| other.at.along == core.at.along && bad(other));
    of_lane.iter().copied().filter(|core| bad(core) || !beside_bad(core)).collect()
}

fn zone<'c>(
    ground: Ground,
    lot: &LotSpan,
    run: &[&'c MeasuredCore],
    [back, ahead]: [Option<&MeasuredCore>; 2],
    bad: impl Fn(&MeasuredCore) -> bool,
    reach: Reach,
) -> Option<Zone<'c>> {
    let (first, last) = (run.first()?, run.last()?);
    let lane = first.lane;
    let good = |core: Option<&MeasuredCore>, from: &MeasuredCore| {
        core.filter(|core| !bad(core)).map(|core| limit(ground, from, core, reach))
    };
    let (from, back) =
        good(back, first).filter(|(at, _)| at.along > lot.from.along).unwrap_or((lot.from, LOT_END.into()));
    let (to, ahead) = good(ahead, last).filter(|(at, _)| at.along < lot.to.along).unwrap_or((lot.to, LOT_END.into()));
    let placed = ground.placed_ends(lane, from, to)?;
    let ends = [
        if placed.0.along > from.along { PLACED_END.into() } else { back },
        if placed.1.along < to.along { PLACED_END.into() } else { ahead },
    ];
    Some(Zone { lane, from: placed.0, to: placed.1, cores: run.to_vec(), ends })
}

const LOT_END: &str = "the end of the lot";
const PLACED_END: &str = "the end of what is placed";

/// Where a run ends on the side of a good core.
fn limit(ground: Ground, bad: &MeasuredCore, good: &MeasuredCore, reach: Reach) -> (Station, String) {
    match reach {
        Reach::ToGoodCore => (good.at, format!("good core {}", good.number)),
        Reach::HalfWay => {
            let middle = (bad.at.along + good.at.along) / Decimal::TWO;
            (ground.contract.alignment(good.lane).at(middle), format!("half way to good core {}", good.number))
        }
    }
}

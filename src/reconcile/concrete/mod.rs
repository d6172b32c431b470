//! The account of concrete: from what was batched to what the plan volume needs, by placement, day, lane, mix and crew, and as
//! a whole.
//!
//! Theoretical is area times design thickness; net is batched less rejected, wasted, returned, washed out and used elsewhere; a
//! rejected load counts whole, whatever is noted on it. A placement without loads is left out (its finding says so), loads
//! without a placement are their own line, and every table adds up to the contract's line: lanes share a placement's net
//! volume by theoretical volume, and its last lane takes what rounding leaves. Common practice.

mod amounts;
mod density;
mod depth;
mod grade;
mod levels;
mod lines;
mod running;
mod split;
mod steps;
mod survey;
mod warnings;

use std::collections::BTreeMap;

use chrono::NaiveDate;

pub use density::{MixYield, Short, SingleYield};
pub use grade::LowGrade;
pub use running::{Excess, Running, RunningRow};
pub use split::{Cause, Evidence, Part, Split};
pub use steps::Step;
pub use survey::{Prism, Surveyed};

use crate::contract::{Contract, Entered};
use crate::figure::{Book, FigureId};
use crate::finding::Finding;
use crate::intake::{LaneId, Records};
use crate::line::{Line, counted, folded, in_order, slug};
use crate::reconcile::Ground;

use amounts::{Amounts, Share, of_placement, shares};
use levels::Levels;
use lines::{Lines, Piece};
use split::Measured;

/// One line of the yield account: a placement, a day, a lane, a mix, a crew, or the contract.
#[derive(Clone, Debug, PartialEq)]
pub struct YieldLine {
    /// What it is for: `placement 14`, `NB-2`, `P-4000`.
    pub name: String,
    /// Day, for placements and days.
    pub date: Option<NaiveDate>,
    /// The placement, by place in the records, where it is one.
    pub placement: Option<usize>,
    /// Plan volume of what was placed: zero for what lies in no section.
    pub theoretical: FigureId,
    /// Batched by ticket.
    pub batched: Option<FigureId>,
    /// Rejected.
    pub rejected: Option<FigureId>,
    /// Wasted at the site.
    pub wasted: Option<FigureId>,
    /// Returned to the plant.
    pub returned: Option<FigureId>,
    /// Washed out of the drums.
    pub washed: Option<FigureId>,
    /// Used for other work.
    pub elsewhere: Option<FigureId>,
    /// Batched less all of these.
    pub net: FigureId,
    /// Net less theoretical.
    pub over: FigureId,
    /// The same in percent of theoretical.
    pub percent: FigureId,
    /// Depth the net volume makes over the placed area.
    pub depth: Option<FigureId>,
    /// Where the difference went; `None` of what lies in no section.
    pub split: Option<Split>,
}

impl YieldLine {
    fn of(
        name: &str,
        amounts: Amounts,
        (over, percent, depth): (FigureId, FigureId, Option<FigureId>),
        split: Option<Split>,
    ) -> Self {
        let Amounts { theoretical, batched, rejected, wasted, returned, washed, elsewhere, net, .. } = amounts;
        let name = name.into();
        Self {
            name,
            date: None,
            placement: None,
            theoretical,
            batched,
            rejected,
            wasted,
            returned,
            washed,
            elsewhere,
            net,
            over,
            percent,
            depth,
            split,
        }
    }
}

/// The yield account.
#[derive(Clone, Debug, PartialEq)]
pub struct Yield {
    /// By placement, in order of date and number; those without loads are not among them.
    pub placements: Vec<YieldLine>,
    /// By day.
    pub days: Vec<YieldLine>,
    /// By lane, in the contract's order; a placement's net volume is shared by theoretical volume. What lies in no section
    /// is the last line, so that the lines add up.
    pub lanes: Vec<YieldLine>,
    /// By mix.
    pub mixes: Vec<YieldLine>,
    /// By crew; empty where no sheet names any.
    pub crews: Vec<YieldLine>,
    /// The whole contract; `None` where nothing was placed.
    pub contract: Option<YieldLine>,
    /// The whole contract from batched to plan volume, read from top to bottom; empty where nothing was placed.
    pub steps: Vec<Step>,
    /// Plan volume and what the slab was measured thicker; `None` where nothing was measured.
    pub as_built: Option<FigureId>,
    /// Volume batched on loads that fit no placement; `None` where there are none.
    pub loose: Option<FigureId>,
    /// Net volume of each stretch whose placement has loads, by place in [`Line::stretches`].
    pub shares: BTreeMap<usize, FigureId>,
    /// Yield by density, by mix.
    pub densities: Vec<MixYield>,
    /// Densities that could not be used: their ticket, its volume or its mass is not known.
    pub unused_densities: usize,
    /// Stretches of grade below design by more than the contract lets pass.
    pub low_grade: Vec<LowGrade>,
    /// What was surveyed between base and pavement; `None` where nothing was.
    pub surveyed: Option<Surveyed>,
    /// Placement after placement.
    pub running: Running,
}

/// The name of what lies in no section.
const NOWHERE: &str = "in no section";
/// The name of what no crew stands for.
const NO_CREW: &str = "crew not stated";

/// The yield account of what was placed, with its figures in the book, and what in it a reader must see.
pub fn account(contract: &Contract, records: &Records, line: &Line, book: &mut Book) -> (Yield, Vec<Finding>) {
    let ground = Ground { contract, records, line };
    let levels = Levels::of(ground);
    let lows = levels.lows(ground, book);
    let by_stretch = grade::by_stretch(&lows);
    let measured = Measured { depths: depth::depths(ground, book, &levels).by_stretch, lows: by_stretch };
    let mut densities = density::yields(ground, book);
    let with_loads = |&p: &usize| line.placements[p].loads.0 < line.placements[p].loads.1;
    let order: Vec<usize> = in_order(&records.placements).into_iter().filter(with_loads).collect();
    let amounts: Vec<(usize, Amounts)> =
        order.iter().map(|&p| (p, of_placement(ground, book, &densities, p))).collect();
    let shares: Vec<Share> = amounts.iter().flat_map(|(p, a)| shares(ground, book, *p, a)).collect();
    let mut groups = Groups {
        pieces: amounts.iter().map(|&(p, amounts)| (p, Piece { amounts, price: price(ground, p) })).collect(),
        lines: Lines { ground, book, measured: &measured },
        shares: &shares,
    };
    let (placements, days, lanes) = (groups.by_placement(), groups.by_day(), groups.by_lane());
    let (mixes, crews, whole) = (groups.by_mix(), groups.by_crew(), groups.whole());
    let loose = amounts::loose(contract, line, book);
    density::shorts(ground, book, &mut densities, &mixes);
    let steps = whole.as_ref().map(|whole| steps::steps(ground, book, whole, loose)).unwrap_or_default();
    let low_grade = grade::low_grade(ground, book, &lows, whole.as_ref());
    let as_built = whole.as_ref().and_then(|whole| steps::as_built(ground, book, whole));
    let running = running::running(ground, book, &placements);
    let account = Yield {
        placements,
        days,
        lanes,
        mixes,
        crews,
        contract: whole,
        steps,
        as_built,
        loose,
        shares: shares.iter().filter_map(|s| s.stretch.map(|stretch| (stretch, s.amounts.net))).collect(),
        densities: densities.mixes,
        unused_densities: densities.unused,
        low_grade,
        surveyed: survey::surveyed(ground, book, &levels),
        running,
    };
    let findings = warnings::warnings(ground, book, &account);
    (account, findings)
}

/// The price of the concrete of a placement.
fn price(ground: Ground<'_>, p: usize) -> Option<&Entered> {
    let mix = amounts::mix(ground.records, ground.line, p);
    ground.contract.price_of(ground.contract.mix(&mix))
}

/// What a line is made of, and the stretches it lies on.
type Group<'a> = (Vec<Piece<'a>>, Vec<usize>);

/// Placements put together to the lines of each table.
struct Groups<'a> {
    pieces: Vec<(usize, Piece<'a>)>,
    lines: Lines<'a>,
    shares: &'a [Share],
}

impl<'a> Groups<'a> {
    fn stretches(&self, p: usize) -> &'a [usize] {
        &self.lines.ground.line.placements[p].stretches
    }

    fn by_placement(&mut self) -> Vec<YieldLine> {
        let pieces = self.pieces.clone();
        let line = |(p, piece): (usize, Piece<'a>)| {
            let placement = &self.lines.ground.records.placements[p];
            let number = &placement.number.value;
            let stretches = self.stretches(p);
            let price = piece.price.map(|price| lines::given(self.lines.book, price).into());
            let names = (format!("placement-{}", slug(number)), format!("placement {number}"));
            let line = self.lines.line((&names.0, &names.1), piece.amounts, price, stretches, false);
            YieldLine { date: Some(placement.date.value), placement: Some(p), ..line }
        };
        pieces.into_iter().map(line).collect()
    }

    /// Placements put together by what they have in common.
    fn grouped<K: Ord>(&self, common: impl Fn(usize) -> K) -> BTreeMap<K, Group<'a>> {
        let mut groups: BTreeMap<K, Group<'a>> = BTreeMap::new();
        for &(p, piece) in &self.pieces {
            let (pieces, stretches) = groups.entry(common(p)).or_default();
            pieces.push(piece);
            stretches.extend_from_slice(self.stretches(p));
        }
        groups
    }

    fn by_day(&mut self) -> Vec<YieldLine> {
        let records = self.lines.ground.records;
        let days = self.grouped(|p| records.placements[p].date.value);
        let line = |(day, (pieces, stretches)): (NaiveDate, Group<'a>)| {
            let names = (format!("day-{day}"), day.to_string());
            let line = self.lines.sum((&names.0, &names.1), &pieces, &stretches, false)?;
            Some(YieldLine { date: Some(day), ..line })
        };
        days.into_iter().filter_map(line).collect()
    }

    fn by_lane(&mut self) -> Vec<YieldLine> {
        let ground = self.lines.ground;
        let price: BTreeMap<usize, Option<&'a Entered>> =
            self.pieces.iter().map(|(p, piece)| (*p, piece.price)).collect();
        let mut lanes: BTreeMap<(bool, Option<LaneId>), Group<'a>> = BTreeMap::new();
        for share in self.shares {
            let lane = share.stretch.map(|s| ground.line.stretches[s].lane);
            let (pieces, stretches) = lanes.entry((lane.is_none(), lane)).or_default();
            pieces.push(Piece { amounts: share.amounts, price: price.get(&share.placement).copied().flatten() });
            stretches.extend(share.stretch);
        }
        let mut found = Vec::with_capacity(lanes.len());
        for ((_, lane), (pieces, stretches)) in lanes {
            let name = lane.map_or(NOWHERE, |l| &ground.contract.lane(l).name);
            found.extend(self.lines.sum((&format!("lane-{}", slug(name)), name), &pieces, &stretches, false));
        }
        found
    }

    fn by_mix(&mut self) -> Vec<YieldLine> {
        let ground = self.lines.ground;
        self.by_name("mix", |p| amounts::mix(ground.records, ground.line, p))
    }

    fn by_crew(&mut self) -> Vec<YieldLine> {
        let placements = &self.lines.ground.records.placements;
        if self.pieces.iter().all(|(p, _)| placements[*p].crew.is_none()) {
            return Vec::new();
        }
        self.by_name("crew", |p| placements[p].crew.as_ref().map_or_else(|| NO_CREW.into(), |c| c.value.to_string()))
    }

    /// By a name that sheets write in several ways; the first of them is shown.
    fn by_name(&mut self, word: &str, name: impl Fn(usize) -> String) -> Vec<YieldLine> {
        let mut shown: BTreeMap<String, String> = BTreeMap::new();
        for (p, _) in &self.pieces {
            shown.entry(folded(&name(*p))).or_insert_with(|| name(*p));
        }
        let groups = self.grouped(|p| folded(&name(p)));
        let mut named: Vec<_> = groups.into_iter().filter_map(|(key, group)| Some((shown.get(&key)?, group))).collect();
        named.sort_by(|a, b| counted(a.0, b.0));
        let line = |(name, (pieces, stretches)): (&String, Group<'a>)| {
            self.lines.sum((&format!("{word}-{}", slug(name)), name), &pieces, &stretches, false)
        };
        named.into_iter().filter_map(line).collect()
    }

    fn whole(&mut self) -> Option<YieldLine> {
        let all = self.grouped(|_| ());
        let (pieces, stretches) = all.into_values().next()?;
        self.lines.sum(("contract", "whole contract"), &pieces, &stretches, true)
    }
}

#[cfg(test)]
mod tests;

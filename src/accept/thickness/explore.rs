//! Where the next exploratory cores are drilled around bad ones, and what the section would be if they are good.
//!
//! ```text
//! each way from a bad core   at the rule's distances, then every so far, until a core is good
//! across                     where what was placed is wider than the rule says: half way to the farther edge
//! ```
//!
//! The next core of a side is the first such place beyond the outermost bad core and short of the good core, lot end or
//! end of placing that bounds the section now; a side without such a place is settled.

use rust_decimal::Decimal;

use super::zone::Zone;
use super::{Bench, MeasuredCore};
use crate::accept::ground::Ground;
use crate::figure::{Expr, FigureId};
use crate::intake::LaneId;
use crate::line::{LotSpan, PlacedWithin, mark_station, placed_within, station_of_core, width};
use crate::rules::{Exploring, Reach, RuleNumber};
use crate::units::Station;

/// The next exploratory cores around one section, and what it would be if they are good.
#[derive(Clone, Debug, PartialEq)]
pub struct Exploration {
    /// The section, by place in the outcomes.
    pub outcome: usize,
    /// Cores to drill next, by lane and station.
    pub next: Vec<NextCore>,
    /// Area now.
    pub area: FigureId,
    /// Area and plan volume if all next cores are good; `None` where that changes nothing.
    pub if_good: Option<(FigureId, FigureId)>,
}

/// A core to drill next.
#[derive(Clone, Debug, PartialEq)]
pub struct NextCore {
    /// Lane.
    pub lane: LaneId,
    /// Station.
    pub at: Station,
    /// Its distance along the line, as a figure.
    pub along: FigureId,
    /// In words: `5 ft ahead of core C-7`.
    pub why: String,
}

/// A side of a section in one lane.
struct End<'c> {
    lane: LaneId,
    ahead: bool,
    /// Core that distances are counted from: the outermost bad one that counts in its lot.
    origin: &'c MeasuredCore,
    /// Outermost bad core.
    last: &'c MeasuredCore,
}

impl Bench<'_> {
    /// Notes the next exploratory cores of a section whose outcome was just pushed.
    pub(super) fn explore(
        &mut self,
        lot: &LotSpan,
        key: &str,
        zone: &Zone,
        placed: PlacedWithin,
        cores: &[MeasuredCore],
    ) {
        let Some(rule) = &self.rule.exploring else { return };
        let Some(outcome) = self.judged.outcomes.len().checked_sub(1) else { return };
        let mut ends = [(zone.from, false), (zone.to, true)];
        let mut next = Vec::new();
        for side in sides(zone) {
            let Some((at, distance)) = self.next_core(rule, zone, &side, cores) else { continue };
            let along = self.mark(&side, at, &distance);
            next.push(NextCore { lane: side.lane, at, along, why: why(&side, &distance) });
            if side.lane == zone.lane && zone.lanes.len() == 1 {
                ends[usize::from(side.ahead)].0 = self.bound(side.last, at);
            }
        }
        next.extend(self.cores_across(rule, zone));
        next.sort_by_key(|core| (core.lane, core.at));
        if next.is_empty() {
            return;
        }
        let [(from, _), (to, _)] = ends;
        let changes = (from, to) != (zone.from, zone.to) && from.along < to.along;
        let if_good = if changes { self.if_good(lot, key, zone.lane, (from, to)) } else { None };
        self.judged.explorations.push(Exploration { outcome, next, area: placed.area, if_good });
    }

    /// The first place of the rule's sequence beyond the outermost bad core and short of what bounds the section.
    fn next_core(
        &self,
        rule: &Exploring,
        zone: &Zone,
        side: &End,
        cores: &[MeasuredCore],
    ) -> Option<(Station, RuleNumber)> {
        let origin = side.origin.at.along;
        let beyond = |along: Decimal| if side.ahead { along - origin } else { origin - along };
        let bound = self.bounded_at(zone, side, cores);
        let (last, bound) = (beyond(side.last.at.along), beyond(bound));
        let distance = places(rule).take_while(|place| place.value < bound).find(|place| place.value > last)?;
        let along = if side.ahead { origin + distance.value } else { origin - distance.value };
        Some((self.ground.contract.alignment(side.lane).at(along), distance))
    }

    /// What bounds the section on a side: the next core that is not in it, else the end of its lot or of placing.
    fn bounded_at(&self, zone: &Zone, side: &End, cores: &[MeasuredCore]) -> Decimal {
        let last = side.last.at.along;
        let good = cores
            .iter()
            .filter(|core| core.lane == side.lane && core.section == side.last.section)
            .map(|core| core.at.along)
            .filter(|&along| if side.ahead { along > last } else { along < last });
        let good = if side.ahead { good.min() } else { good.max() };
        let end = if side.ahead { zone.to.along } else { zone.from.along };
        let far = matches!(self.rule.reach, Reach::HalfWay);
        match good {
            // Half way to a good core the section ends before it, but the core is what bounds the search.
            Some(good) if far => good,
            Some(good) if side.ahead => good.min(end),
            Some(good) => good.max(end),
            None => end,
        }
    }

    /// Where the section would end if the next core is good.
    fn bound(&self, last: &MeasuredCore, good: Station) -> Station {
        match self.rule.reach {
            Reach::ToGoodCore => good,
            Reach::HalfWay => {
                let middle = (last.at.along + good.along) / Decimal::TWO;
                self.ground.contract.alignment(last.lane).at(middle)
            }
            Reach::LotEnd | Reach::Length(_) => last.at,
        }
    }

    /// Takes up where the next core stands: its origin and the rule's distance.
    fn mark(&mut self, side: &End, at: Station, distance: &RuleNumber) -> FigureId {
        let origin = self.ground.line.ledger.core_along(side.origin.core);
        let given = self.book.given(distance.given("distance of the next exploratory core", "e"));
        let expr: Expr = if side.ahead { origin + given } else { origin - given };
        let label =
            format!("next core, {} core {}", if side.ahead { "ahead of" } else { "back of" }, side.origin.number);
        mark_station(self.ground.contract, self.book, (side.lane, at), expr, (&label, &distance.clause, None))
    }

    fn if_good(
        &mut self,
        lot: &LotSpan,
        key: &str,
        lane: LaneId,
        (from, to): (Station, Station),
    ) -> Option<(FigureId, FigureId)> {
        if matches!(self.rule.reach, Reach::LotEnd | Reach::Length(_)) {
            return None;
        }
        let (key, label) = (format!("{key}.if-good"), format!("{}, section if the next cores are good", lot.name));
        let (line, contract) = (self.ground.line, self.ground.contract);
        let placed = placed_within(line, contract, self.book, &[(lane, from, to)], &key, &label)?;
        Some((placed.area, placed.volume))
    }

    /// Where more is placed side by side than the rule says: a core across from each bad one that counts.
    fn cores_across(&mut self, rule: &Exploring, zone: &Zone) -> Vec<NextCore> {
        let Some(limit) = &rule.across_beyond else { return Vec::new() };
        let mut found = Vec::new();
        for core in zone.cores.iter().filter(|core| core.is_averaged()) {
            if self.placed_width(core) <= limit.value {
                continue;
            }
            let Ground { line, contract, .. } = self.ground;
            let id = station_of_core(line, contract, self.book, core.core, (core.lane, core.at));
            let why =
                format!("across from core {}, half way to the farther edge of what was placed with it", core.number);
            found.push(NextCore { lane: core.lane, at: core.at, along: id, why });
        }
        found
    }

    /// Width of everything placed together at a core.
    fn placed_width(&self, core: &MeasuredCore) -> Decimal {
        let Some(stretch) = self.ground.stretch_at(core.lane, core.at) else { return Decimal::ZERO };
        let lanes = &self.ground.records.placements[stretch.placement].lanes.value;
        let placed = lanes.iter().filter(|&&lane| {
            self.ground.stretch_at(lane, core.at).is_some_and(|other| other.placement == stretch.placement)
        });
        placed.filter_map(|&lane| width(self.ground.contract, lane, core.at.along)).sum()
    }
}

/// Both sides of a section in each of its lanes with a bad core.
fn sides<'c>(zone: &Zone<'c>) -> Vec<End<'c>> {
    let mut sides = Vec::new();
    for &lane in &zone.lanes {
        for ahead in [false, true] {
            let outermost = |counts: bool| {
                let of_lane =
                    zone.cores.iter().copied().filter(move |c| c.lane == lane && (!counts || c.is_averaged()));
                if ahead { of_lane.max_by_key(|c| c.at) } else { of_lane.min_by_key(|c| c.at) }
            };
            if let Some(last) = outermost(false) {
                sides.push(End { lane, ahead, origin: outermost(true).unwrap_or(last), last });
            }
        }
    }
    sides
}

/// The rule's distances from the bad core, nearest first, without end.
fn places(rule: &Exploring) -> impl Iterator<Item = RuleNumber> + '_ {
    let mut total = Decimal::ZERO;
    let first = rule.at.iter().map(move |place| {
        total = if rule.from_bad_core { place.value } else { total + place.value };
        (place, total)
    });
    let first: Vec<(&RuleNumber, Decimal)> = first.collect();
    let last = first.last().map_or(Decimal::ZERO, |(_, total)| *total);
    let then = (1_u32..).map_while(move |n| {
        let total = rule.every.value.checked_mul(n.into())?.checked_add(last)?;
        (!rule.every.value.is_zero()).then_some((&rule.every, total))
    });
    first.into_iter().chain(then).map(|(place, value)| RuleNumber {
        value,
        written: format!("{} {}", value.normalize(), place.unit),
        ..place.clone()
    })
}

fn why(side: &End, distance: &RuleNumber) -> String {
    let way = if side.ahead { "ahead of" } else { "back of" };
    format!("{} {way} core {}", distance.written, side.origin.number)
}

#[cfg(test)]
mod tests {
    use rust_decimal::{Decimal, dec};

    use crate::accept::fixture::{Run, number, run, thickness};
    use crate::intake::{Core, LaneId, Purpose, Records};
    use crate::line::fixture::{self, NB_1, NB_2};
    use crate::rules::{Exploring, Judged, Reach, ThicknessRule};
    use crate::units::Unit;

    /// Ohio DOT 451.17 (seen in part): cores at 5 ft each way, then at 50 ft, then every 100 ft, until one is less than 1/2
    /// in deficient; beyond 12 ft of width also across, half way to the farther edge.
    fn ohio(rule: &mut ThicknessRule, from_bad_core: bool) {
        let feet = |value| number(value, Unit::Foot, "explore.at");
        rule.judged = Judged::Section;
        rule.tolerance = number(dec!(0.5), Unit::Inch, "average.tolerance");
        rule.exploring = Some(Exploring {
            at: vec![feet(dec!(5)), feet(dec!(50))],
            every: feet(dec!(100)),
            from_bad_core,
            across_beyond: None,
        });
    }

    /// Plan 10.0 in, a bad core at 15+00 and good ones at 12+00 and 18+00; further exploratory cores.
    fn road(change: impl Fn(&mut ThicknessRule), explored: &[(&str, Decimal)]) -> Run {
        let contract = fixture::contract();
        let placement = fixture::placement(&contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", "20+00");
        let core = |number: &str, lane: LaneId, at: &str, inches| fixture::core(&contract, number, lane, at, &[inches]);
        let mut cores = vec![
            core("C-1", NB_1, "12+00", dec!(10.0)),
            core("C-2", NB_1, "15+00", dec!(9.3)),
            core("C-3", NB_1, "18+00", dec!(10.0)),
        ];
        for (i, &(at, inches)) in explored.iter().enumerate() {
            let core = core(&format!("E-{}", i + 1), NB_1, at, inches);
            cores.push(Core { purpose: Purpose::Exploratory, ..core });
        }
        let records = Records { placements: vec![placement], cores, ..Records::default() };
        run(&contract, Some(&thickness(change)), None, records, "2031-07-31")
    }

    /// Stations of the next cores, and the areas now and if they are good.
    fn next(run: &Run) -> (Vec<String>, Option<(Decimal, Decimal)>) {
        let contract = fixture::contract();
        let Some(exploration) = run.judged.explorations.first() else { return (Vec::new(), None) };
        let at = exploration.next.iter().map(|core| {
            let painted = contract.station(core.lane, core.at);
            assert_eq!(run.value(core.along), core.at.along.normalize(), "{painted}");
            painted
        });
        let areas = exploration.if_good.map(|(area, _)| (run.value(exploration.area), run.value(area)));
        (at.collect(), areas)
    }

    #[test]
    fn the_first_cores_stand_near_the_bad_one_on_both_sides() {
        let run = road(|rule| ohio(rule, true), &[]);
        // From good core to good core 600 ft of 12 ft are 800 yd2; from 14+95 to 15+05, 10 ft, 13.33 yd2.
        assert_eq!(next(&run), (vec!["14+95".into(), "15+05".into()], Some((dec!(800), dec!(13.33)))));
        let why = &run.judged.explorations[0].next[1].why;
        assert_eq!(why, "5 ft ahead of core C-2");
    }

    /// Case E4: 14+95 is good and 15+05 still bad; the next stands at 15+50 or 15+55, as the rule counts.
    #[test]
    fn where_the_next_distance_counts_from_is_the_rules_to_say() {
        let explored = [("14+95", dec!(9.6)), ("15+05", dec!(9.4))];
        assert_eq!(next(&road(|rule| ohio(rule, true), &explored)).0, ["15+50"]);
        assert_eq!(next(&road(|rule| ohio(rule, false), &explored)).0, ["15+55"]);
    }

    #[test]
    fn then_every_hundred_feet_until_a_core_is_good() {
        let mut explored = vec![("14+95", dec!(9.6)), ("15+05", dec!(9.4)), ("15+50", dec!(9.2))];
        assert_eq!(next(&road(|rule| ohio(rule, true), &explored)).0, ["16+50"]);
        explored.push(("16+50", dec!(9.1)));
        assert_eq!(next(&road(|rule| ohio(rule, true), &explored)).0, ["17+50"]);
        explored.push(("17+50", dec!(9.5)));
        assert_eq!(next(&road(|rule| ohio(rule, true), &explored)), (vec![], None), "0.5 in is not more than 0.5 in");
    }

    /// The good lot core at 18+00 is reached before 18+50 would be.
    #[test]
    fn the_search_ends_at_the_good_core_of_the_lane() {
        let explored = [
            ("14+95", dec!(9.6)),
            ("15+05", dec!(9.4)),
            ("15+50", dec!(9.2)),
            ("16+50", dec!(9.1)),
            ("17+50", dec!(9.1)),
        ];
        assert_eq!(next(&road(|rule| ohio(rule, true), &explored)).0, Vec::<String>::new());
    }

    #[test]
    fn half_way_the_section_ends_before_the_core_that_bounds_it() {
        let run = road(
            |rule| {
                ohio(rule, true);
                rule.reach = Reach::HalfWay;
            },
            &[],
        );
        // Now 13+50 to 16+50, 400 yd2; then 14+97.5 to 15+02.5, 5 ft, 6.67 yd2.
        assert_eq!(next(&run), (vec!["14+95".into(), "15+05".into()], Some((dec!(400), dec!(6.67)))));
    }

    #[test]
    fn wide_placing_asks_for_a_core_across() {
        let wide = |beyond| {
            road(
                |rule| {
                    ohio(rule, true);
                    let limit = number(beyond, Unit::Foot, "explore.across_beyond");
                    rule.exploring.as_mut().unwrap().across_beyond = Some(limit);
                },
                &[],
            )
        };
        assert_eq!(next(&wide(dec!(12))).0, ["14+95", "15+00", "15+05"], "two lanes of 12 ft were placed");
        assert_eq!(next(&wide(dec!(24))).0, ["14+95", "15+05"]);
    }
}

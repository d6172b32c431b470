//! Very thin cores: the stretch around them waits for the engineer, and is paid as the last step of the rule's table says,
//! or is priced at its own average.

use super::zone::{Zone, zones};
use super::{Bench, MeasuredCore, listed};
use crate::accept::ground::{CAUTION, Ground, add_note, in_words};
use crate::accept::price::{Priced, until_decided};
use crate::accept::{Outcome, Verdict};
use crate::finding::{Code, Finding, Place};
use crate::intake::LaneId;
use crate::line::{LotSpan, PlacedWithin, placed_within};
use crate::rules::Apart;
use crate::units::Station;

impl Bench<'_> {
    /// By the lot: the zones around very thin cores, each settled apart; their placed parts.
    pub(super) fn very_thin(&mut self, lot: (usize, &LotSpan), cores: &[MeasuredCore]) -> Vec<PlacedWithin> {
        if self.rule.thin_exclusion.is_none() {
            return Vec::new();
        }
        let found = zones(self.ground, lot, cores, |core| self.excludes(core), self.rule);
        let mut settled = Vec::new();
        for (k, zone) in found.iter().enumerate() {
            let key = format!("{}.apart-{}", lot.1.key, k + 1);
            let counts = zone.cores.iter().any(|core| !core.exploratory);
            settled.extend(if self.rule.apart == Apart::OwnAverage && counts {
                self.section(lot.1, &key, zone, cores)
            } else {
                self.undecided(lot.1, &key, zone, cores)
            });
        }
        settled
    }

    /// A zone that waits for the engineer.
    pub(super) fn undecided(
        &mut self,
        lot: &LotSpan,
        key: &str,
        zone: &Zone,
        cores: &[MeasuredCore],
    ) -> Option<PlacedWithin> {
        let (mut outcome, placed) = self.zone_outcome(lot, key, zone)?;
        let decided = zone.cores.iter().map(|core| core.date).max()?;
        let priced = until_decided(self.book, self.set, &self.rule.pay, key)?;
        let Priced { pay, note, .. } = &priced;
        outcome.verdict = Verdict::Undecided;
        outcome.steps.extend(zone.cores.iter().map(|core| core.deficiency));
        outcome.steps.extend([*pay, placed.length, placed.area]);
        (outcome.pay, outcome.decided) = (Some(*pay), Some(decided));
        let adjustment = self.adjustment(placed, &priced, decided);
        outcome.adjustments.push(adjustment);
        add_note(&mut outcome, note);
        let finding = self.unresolved(zone, &outcome, placed, *pay);
        self.findings.push(finding);
        self.judged.outcomes.push(outcome);
        self.explore(lot, key, zone, placed, cores);
        Some(placed)
    }

    fn unresolved(
        &self,
        zone: &Zone,
        outcome: &Outcome,
        placed: PlacedWithin,
        pay: crate::figure::FigureId,
    ) -> Finding {
        let limit = self.rule.thin_exclusion.as_ref().map_or("", |limit| limit.written.as_str());
        let message = format!(
            "{} more than {limit} thinner than the design; {} are settled apart at {} of the unit price, and {CAUTION}",
            listed(&zone.cores, self.book),
            in_words(self.book, placed.area),
            in_words(self.book, pay)
        );
        let remedy = "drill exploratory cores both ways until one is not that thin, and enter the engineer's decision";
        Finding::new(Code::ThicknessUnresolved, Place::Named(outcome.name.clone()), message, remedy)
            .with(self.rows(&zone.cores))
    }

    /// What of a lot a zone takes in, by lane.
    fn across(lot: &LotSpan, zone: &Zone) -> Vec<(LaneId, Station, Station)> {
        let of_lot = lot.places.iter().filter(|(lane, ..)| zone.lanes.contains(lane));
        let cut = |&(lane, from, to): &(LaneId, Station, Station)| {
            let from = if zone.from.along > from.along { zone.from } else { from };
            let to = if zone.to.along < to.along { zone.to } else { to };
            (from.along < to.along).then_some((lane, from, to))
        };
        of_lot.filter_map(cut).collect()
    }

    /// The outcome of a zone, not judged yet, and what is placed in it.
    pub(super) fn zone_outcome(&mut self, lot: &LotSpan, key: &str, zone: &Zone) -> Option<(Outcome, PlacedWithin)> {
        let extent = Self::across(lot, zone);
        let more = if extent.len() > 1 { format!(" and {} beside it", extent.len() - 1) } else { String::new() };
        let name = format!("deficient section, {}{more}", self.ground.span(zone.lane, zone.from, zone.to));
        let Ground { contract, line, .. } = self.ground;
        let placed = placed_within(line, contract, self.book, &extent, key, &name)?;
        let lengths = zone.cores.iter().map(|core| core.length).collect();
        let mut outcome = self.outcome(name, extent, lot.section, lengths);
        let [back, ahead] = &zone.ends;
        outcome.area = Some(placed.area);
        outcome.note = format!("{}; from {back} to {ahead}", lot.name);
        Some((outcome, placed))
    }
}

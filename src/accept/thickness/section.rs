//! Thickness by the section: deficient cores next to each other, priced at their own average from good core to good core.

use super::zone::{Zone, zones};
use super::{Bench, MeasuredCore, listed};
use crate::accept::price::priced;
use crate::accept::{Outcome, Verdict};
use crate::figure::{Figure, FigureId, min};
use crate::finding::{Code, Finding, Place};
use crate::line::{LotSpan, PlacedWithin};

impl Bench<'_> {
    /// Each run of deficient cores in a lot; their placed parts. A run with a very thin core waits for the engineer.
    pub(super) fn sections(&mut self, lot: (usize, &LotSpan), cores: &[MeasuredCore]) -> Vec<PlacedWithin> {
        let found = zones(self.ground, lot, cores, |core| !self.is_good(core), self.rule);
        let mut settled = Vec::new();
        for (k, zone) in found.iter().enumerate() {
            let key = format!("{}.section-{}", lot.1.key, k + 1);
            if zone.cores.iter().any(|core| self.excludes(core)) {
                settled.extend(self.undecided(lot.1, &key, zone, cores));
            } else if !zone.cores.iter().any(|core| core.is_averaged()) {
                self.only_explored(zone);
            } else {
                settled.extend(self.section(lot.1, &key, zone, cores));
            }
        }
        settled
    }

    /// A deficient section at its own average.
    pub(super) fn section(
        &mut self,
        lot: &LotSpan,
        key: &str,
        zone: &Zone,
        cores: &[MeasuredCore],
    ) -> Option<PlacedWithin> {
        let (mut outcome, placed) = self.zone_outcome(lot, key, zone)?;
        let used: Vec<&MeasuredCore> = zone.cores.iter().copied().filter(|core| core.is_averaged()).collect();
        let decided = used.iter().map(|core| core.date).max()?;
        let lengths: Vec<FigureId> = used.iter().map(|core| core.length).collect();
        for core in &used {
            self.count(core, core.length);
        }
        // A section measures a deficiency, which any number of cores has.
        let short = self.short(key, lot.section, &lengths, ("", decided)).ok()?;
        let priced = priced(self.book, self.set, &self.rule.pay, key, &short.entering)?;
        outcome.steps.push(short.average);
        outcome.steps.extend(&short.entering.steps);
        outcome.steps.extend([priced.pay, placed.length, placed.area]);
        self.conclude(&short, &priced, placed, &used, &mut outcome);
        self.judged.outcomes.push(outcome);
        self.explore(lot, key, zone, placed, cores);
        Some(placed)
    }

    /// Deficient cores of which none counts in its lot: nothing can be averaged.
    fn only_explored(&mut self, zone: &Zone) {
        let explored = zone.cores.iter().all(|core| core.exploratory);
        let why = if explored { "exploratory cores are never averaged" } else { "none of them counts in an average" };
        let message = format!(
            "{} more than {} thinner than the design, but {why}; nothing is adjusted here",
            listed(&zone.cores, self.book),
            self.rule.tolerance.written
        );
        let finding = Finding::new(
            Code::ThicknessUnresolved,
            Place::Named(self.ground.span(zone.lane, zone.from, zone.to)),
            message,
            "drill a core that counts between the good cores, or enter the engineer's decision",
        );
        let finding = finding.with(self.rows(&zone.cores));
        self.findings.push(finding);
    }

    /// The lot itself: sound, beside the sections of it that are settled by themselves.
    pub(super) fn rest_of_lot(&mut self, lot: &LotSpan, own: &[&MeasuredCore], sections: usize, outcome: &mut Outcome) {
        outcome.verdict = Verdict::Sound;
        outcome.decided = own.iter().map(|core| core.date).max();
        let depth = self.rule.depth;
        let thinnest = min(own.iter().map(|core| core.length));
        let figure = Figure::new(format!("{}.thinnest", lot.key), "thinnest core", "tmin", depth, thinnest);
        let figure = figure.shown(self.rule.core.decimals());
        outcome.steps.extend([self.book.add(figure), self.designs[lot.section].least]);
        outcome.note = match sections {
            0 => format!("no core is deficient by more than {}", self.rule.tolerance.written),
            1 => "one deficient section is settled by itself; the rest is sound".into(),
            n => format!("{n} deficient sections are settled by themselves; the rest is sound"),
        };
    }
}

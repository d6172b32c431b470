//! Smoothness: the passes over a segment to its index, and what the rule's table pays for that.
//!
//! ```text
//! index           I = (p1 + p2 + ... + pn) / n                            passes or wheel paths of a segment
//! index of a lot  I = (L1 I1 + L2 I2 + ...) / (L1 + L2 + ...)             where measured segments stand for a lot
//! proration       k = L / L0                                              L placed length, L0 length of a whole segment
//! money           a = k x pay for a whole segment
//! ```
//!
//! UFGS 02753: segment index = average of the passes, unequal lengths scaled to a tenth of a mile. A stretch that two
//! segments cover counts for the one measured first. Pavement that was measured and not placed changes no pay. Nothing
//! here decides whether a rough segment is ground.

mod priced;
mod segment;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use self::segment::Segment;
use super::ground::Ground;
use super::{Judged, Outcome, SegmentJudged};
use crate::figure::{Book, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::intake::LaneId;
use crate::line::{LotSpan, add_place, mark_lots, slug, within};
use crate::rules::{LotRule, RideRule, RuleSet, Spared};
use crate::units::Station;

/// Everything at hand while smoothness is judged.
struct Bench<'a> {
    ground: Ground<'a>,
    set: &'a RuleSet,
    rule: &'a RideRule,
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
}

/// Pavement that is priced as one: a segment's part of a section, or a lot.
struct Piece {
    name: String,
    key: String,
    section: usize,
    places: Vec<(LaneId, Station, Station)>,
}

/// Judges every segment, or every lot that segments stand for.
pub(super) fn judge<'a>(
    ground: Ground<'a>,
    (set, rule): (&'a RuleSet, &'a RideRule),
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
) {
    let mut bench = Bench { ground, set, rule, book, judged, findings };
    let segments = bench.segments();
    if let Some(lot) = &rule.lot {
        bench.by_lots(lot, &segments);
    } else {
        for segment in &segments {
            bench.by_itself(segment);
        }
        bench.not_measured(&segments);
    }
    bench.judged.segments.sort_by_key(|s| (s.lane, s.ends.0, s.profile));
}

impl Bench<'_> {
    /// A segment's part of each section that it lies in.
    fn by_itself(&mut self, segment: &Segment) {
        let mut parts: BTreeMap<usize, Vec<(LaneId, Station, Station)>> = BTreeMap::new();
        for (from, to) in self.asked(segment) {
            for clip in within(self.ground.line, segment.lane, from, to) {
                let section = self.ground.line.stretches[clip.stretch].section;
                add_place(parts.entry(section).or_default(), (segment.lane, clip.from, clip.to));
            }
        }
        let several = parts.len() > 1;
        for (section, places) in parts {
            let (mut name, mut key) = (format!("ride, {}", segment.name), segment.key.clone());
            if several {
                let of = &self.ground.contract.sections[section].name;
                name = format!("{name}, {of}");
                key = format!("{key}.{}", slug(of));
            }
            self.piece(&Piece { name, key, section, places }, &[segment]);
        }
    }

    /// What of a segment is to be judged: all of it, or its parts in the only lot.
    fn asked(&self, segment: &Segment) -> Vec<(Station, Station)> {
        let Some(only) = self.ground.only else { return vec![(segment.from, segment.to)] };
        let of_lane = only.places.iter().filter(|(lane, ..)| *lane == segment.lane);
        let clipped = of_lane.map(|&(_, from, to)| {
            let from = if from.along < segment.from.along { segment.from } else { from };
            (from, if to.along > segment.to.along { segment.to } else { to })
        });
        clipped.filter(|(from, to)| from.along < to.along).collect()
    }

    /// Lots, each with the segments that lie in it for the most part.
    fn by_lots(&mut self, rule: &LotRule, segments: &[Segment]) {
        let lots = self.ground.lots(rule);
        mark_lots(self.ground.contract, rule, self.book);
        for (at, lot) in lots.iter().enumerate() {
            let own: Vec<&Segment> = segments.iter().filter(|s| lot_of(s, &lots) == Some(at)).collect();
            let piece = Piece {
                name: format!("ride, {}", lot.name),
                key: format!("{}.ride", lot.key),
                section: lot.section,
                places: lot.places.clone(),
            };
            if own.is_empty() && self.ground.wholly_placed(lot) {
                self.lot_not_measured(&piece);
            }
            self.piece(&piece, &own);
        }
    }

    fn lot_not_measured(&mut self, piece: &Piece) {
        let mut finding = Finding::new(
            Code::SmoothnessMissing,
            Place::Named(piece.name.clone()),
            format!("no segment with a {} lies in it, though it is wholly placed", self.rule.index.word()),
            "measure the segment that was drawn for it, or add the sheet that holds it",
        );
        finding.open = true;
        self.findings.push(finding);
    }

    /// Placed pavement between two measured segments of a lane that neither covers.
    fn not_measured(&mut self, segments: &[Segment]) {
        for pair in segments.windows(2).filter(|pair| pair[0].lane == pair[1].lane) {
            let lane = pair[0].lane;
            let (from, to) = (pair[0].to, pair[1].from);
            if from.along >= to.along {
                continue;
            }
            let mut gaps = Vec::new();
            for clip in within(self.ground.line, lane, from, to) {
                add_place(&mut gaps, (lane, clip.from, clip.to));
            }
            if gaps.is_empty() {
                continue;
            }
            let spans: Vec<String> = gaps.iter().map(|&(lane, from, to)| self.ground.span(lane, from, to)).collect();
            let finding = Finding::new(
                Code::SmoothnessMissing,
                Place::Named(spans.join("; ")),
                "it is placed, and no segment that counts covers it, with segments before and behind",
                "add the sheet that holds it; where the contract leaves it out of testing, nothing is to be done",
            );
            self.findings.push(finding.with([self.row(&pair[0]), self.row(&pair[1])]));
        }
    }

    fn row(&self, segment: &Segment) -> Place {
        Place::Row(self.ground.records.profiles[segment.profile].number.at)
    }

    /// An outcome that is not judged yet.
    fn outcome(&self, piece: &Piece, steps: Vec<FigureId>) -> Outcome {
        let unjudged = Outcome::unjudged(self.set, piece.name.clone(), piece.section, piece.places.clone());
        Outcome { steps, ..unjudged }
    }

    /// Lists the segments of the outcome that comes next.
    fn list(&mut self, segments: &[&Segment]) {
        let outcome = self.judged.outcomes.len();
        let listed = segments.iter().map(|segment| SegmentJudged {
            profile: segment.profile,
            lane: segment.lane,
            ends: (segment.from, segment.to),
            length: segment.length,
            index: segment.index,
            outcome,
            note: segment.note.clone(),
        });
        self.judged.segments.extend(listed);
    }

    /// Whether a segment is so short that it is spared this.
    fn spares(&self, segment: &Segment, what: Spared) -> bool {
        self.rule.short.as_ref().is_some_and(|short| short.spared == what && segment.long < short.under.value)
    }
}

/// The lot that a segment lies in for the most part; the first of two alike.
fn lot_of(segment: &Segment, lots: &[LotSpan]) -> Option<usize> {
    let mut best = None;
    for (at, lot) in lots.iter().enumerate() {
        let within = lot
            .places
            .iter()
            .filter(|(lane, ..)| *lane == segment.lane)
            .map(|(_, from, to)| to.along.min(segment.to.along) - from.along.max(segment.from.along));
        let Some(shared) = within.max().filter(|shared| shared.is_sign_positive() && !shared.is_zero()) else {
            continue;
        };
        if best.is_none_or(|(_, most)| shared > most) {
            best = Some((at, shared));
        }
    }
    best.map(|(at, _)| at)
}

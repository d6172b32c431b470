//! Segments as measured: which records count, their length, and the mean of their passes.
//!
//! A record with another index than the rule's, one that lies where nothing was placed, and one that covers what a segment
//! measured before covers are reported and not used.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::Bench;
use crate::figure::{Figure, FigureId, mean};
use crate::finding::{Code, Finding, Place};
use crate::intake::{LaneId, Profile};
use crate::line::{add_place, mark_station, slug, within};
use crate::rules::Spared;
use crate::units::Station;

/// A segment that counts.
pub(super) struct Segment {
    /// Place in the records.
    pub(super) profile: usize,
    /// `NB-1, 12+00 to 17+28`.
    pub(super) name: String,
    /// Beginning of its figures' keys.
    pub(super) key: String,
    pub(super) lane: LaneId,
    /// The end that lies down station.
    pub(super) from: Station,
    /// The end that lies up station.
    pub(super) to: Station,
    pub(super) date: NaiveDate,
    /// How long it is, in the unit of lengths.
    pub(super) long: Decimal,
    /// The same as a figure, rounded as lengths are.
    pub(super) length: FigureId,
    /// Mean of its passes; `None` where there are fewer than the rule needs.
    pub(super) index: Option<FigureId>,
    /// Why it is not judged, or what it is spared.
    pub(super) note: String,
}

/// The ends of a record up station, whichever way it was run.
fn ends(profile: &Profile) -> (Station, Station) {
    let (a, b) = (profile.from.value, profile.to.value);
    if a.along <= b.along { (a, b) } else { (b, a) }
}

impl Bench<'_> {
    /// The segments that count, by lane and station.
    pub(super) fn segments(&mut self) -> Vec<Segment> {
        let profiles = &self.ground.records.profiles;
        let mut order: Vec<usize> = (0..profiles.len()).collect();
        order.sort_by_key(|&i| (profiles[i].date.value, profiles[i].number.at));
        let mut counting: Vec<usize> = Vec::new();
        for i in order {
            match self.refused(i, &counting) {
                Some(finding) => self.findings.push(finding),
                None => counting.push(i),
            }
        }
        counting.sort_by_key(|&i| (profiles[i].lane.value, ends(&profiles[i])));
        counting.into_iter().map(|i| self.segment(i)).collect()
    }

    /// Why a record does not count.
    fn refused(&self, i: usize, counting: &[usize]) -> Option<Finding> {
        let profiles = &self.ground.records.profiles;
        let (profile, lane) = (&profiles[i], profiles[i].lane.value);
        let (from, to) = ends(profile);
        if profile.measure != self.rule.index {
            return Some(self.other_index(profile));
        }
        if within(self.ground.line, lane, from, to).is_empty() {
            return Some(self.unplaced(profile, "where nothing was placed; it is not used"));
        }
        let covers = |&&j: &&usize| {
            let (other_from, other_to) = ends(&profiles[j]);
            profiles[j].lane.value == lane && other_from.along < to.along && from.along < other_to.along
        };
        counting.iter().find(covers).map(|&j| self.twice(profile, &profiles[j]))
    }

    fn segment(&mut self, i: usize) -> Segment {
        let profile = &self.ground.records.profiles[i];
        let (lane, (from, to)) = (profile.lane.value, ends(profile));
        let contract = self.ground.contract;
        let name = self.ground.span(lane, from, to);
        let key = format!("ride.{}.{}", slug(&contract.lane(lane).name), slug(&contract.station(lane, from)));
        self.partly_placed(profile, (from, to));
        let length = self.length(i, (lane, from, to), &key, &name);
        let long = to.along - from.along;
        let mut segment = Segment {
            profile: i,
            name,
            key,
            lane,
            from,
            to,
            date: profile.date.value,
            long,
            length,
            index: None,
            note: String::new(),
        };
        segment.index = self.index(&segment);
        segment.note = self.note(&segment);
        segment
    }

    /// From end to end, along the line; the ends stand in the record's own cells.
    fn length(&mut self, i: usize, (lane, from, to): (LaneId, Station, Station), key: &str, name: &str) -> FigureId {
        let (contract, ledger) = (self.ground.contract, &self.ground.line.ledger);
        let profile = &self.ground.records.profiles[i];
        let (first, last) = (ledger.profile_from(i), ledger.profile_to(i));
        let (begin, end) = if profile.from.value == from { (first, last) } else { (last, first) };
        let about = (format!("segment {name}, from"), format!("segment {name}, to"));
        let begin = mark_station(contract, self.book, (lane, from), begin, (&about.0, "", None));
        let end = mark_station(contract, self.book, (lane, to), end, (&about.1, "", None));
        let label = format!("segment {name}, length");
        let figure = Figure::new(format!("{key}.segment"), label, "Ls", contract.system.length(), end - begin);
        self.book.add(figure.rounded(contract.roundings.length))
    }

    /// Mean of the passes, once there are enough.
    fn index(&mut self, segment: &Segment) -> Option<FigureId> {
        let profile = &self.ground.records.profiles[segment.profile];
        let found = profile.readings.len();
        if Decimal::from(found) < self.rule.passes.value {
            let finding = self.few_passes(segment, found);
            self.findings.push(finding);
            return None;
        }
        let ledger = &self.ground.line.ledger;
        let passes = (0..found).map(|k| ledger.profile_reading(segment.profile, k));
        let label = format!("{}, {}", self.rule.index.word(), segment.name);
        let unit = self.ground.contract.system.roughness();
        let figure = Figure::new(format!("{}.index", segment.key), label, "I", unit, mean(passes));
        let figure = self.set.compared(figure, self.rule.round);
        Some(self.book.add(figure.under(&self.rule.passes.clause)))
    }

    fn note(&self, segment: &Segment) -> String {
        let Some(short) = &self.rule.short else { return String::new() };
        if self.spares(segment, Spared::Judgement) {
            return format!("shorter than {}: not judged", short.under.written);
        }
        if self.spares(segment, Spared::Correction) {
            return format!("shorter than {}: never needs correction", short.under.written);
        }
        String::new()
    }

    fn few_passes(&self, segment: &Segment, found: usize) -> Finding {
        let mut finding = Finding::new(
            Code::SmoothnessMissing,
            self.row(segment),
            format!(
                "segment {} has {found} of the {} passes or wheel paths that it needs ({}); it is not judged",
                segment.name,
                self.rule.passes.value.normalize(),
                self.rule.passes.clause
            ),
            "add the readings of the missing passes",
        );
        finding.open = true;
        finding
    }

    fn other_index(&self, profile: &Profile) -> Finding {
        Finding::new(
            Code::SmoothnessIndex,
            Place::Row(profile.number.at),
            format!(
                "{} has a {}, and {} judges the {}; it is not used",
                self.named(profile),
                profile.measure.word(),
                self.set.named(),
                self.rule.index.word()
            ),
            "add the sheet with the other index, or choose a rule set that judges this one; one is never converted into the other",
        )
    }

    fn twice(&self, profile: &Profile, first: &Profile) -> Finding {
        let (one, other) = (self.named(first), self.named(profile));
        let finding = Finding::new(
            Code::SmoothnessTwice,
            Place::Row(profile.number.at),
            format!("{other} overlaps {one}, run on {}; only the one run first is used", first.date.value),
            "correct the stations or the lane of one of them; where the later was run after grinding, set the earlier aside in contract.toml",
        );
        finding.with([Place::Row(first.number.at)])
    }

    /// `segment NB-1, 12+00 to 17+28`.
    fn named(&self, profile: &Profile) -> String {
        let (from, to) = ends(profile);
        format!("segment {}", self.ground.span(profile.lane.value, from, to))
    }

    fn unplaced(&self, profile: &Profile, what: &str) -> Finding {
        Finding::new(
            Code::SmoothnessUnplaced,
            Place::Row(profile.number.at),
            format!("{} lies {what}", self.named(profile)),
            "correct its lane or its stations, or add the missing placement",
        )
    }

    /// A segment of which a part is not placed counts for the part that is.
    fn partly_placed(&mut self, profile: &Profile, (from, to): (Station, Station)) {
        let lane = profile.lane.value;
        let mut placed = Vec::new();
        for clip in within(self.ground.line, lane, from, to) {
            add_place(&mut placed, (lane, clip.from, clip.to));
        }
        let covered: Decimal = placed.iter().map(|(_, from, to)| to.along - from.along).sum();
        if covered == to.along - from.along {
            return;
        }
        let spans: Vec<String> = placed.iter().map(|&(lane, from, to)| self.ground.span(lane, from, to)).collect();
        let what = format!("partly where nothing was placed; it is used for {}", spans.join(" and "));
        let finding = self.unplaced(profile, &what);
        self.findings.push(finding);
    }
}

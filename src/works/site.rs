//! What every step is judged on, and the questions all of them ask: what was placed there, how thick is it meant to be, what
//! is the place called.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::Inputs;
use crate::figure::{Book, Figure, Given, GivenId, Origin};
use crate::finding::Place;
use crate::intake::{Density, LaneId, Step, Work};
use crate::line::{stretch_at, within};
use crate::rules::{ConstructionRule, RuleSet};
use crate::source::CellRef;
use crate::units::{Rounding, Station, Unit};

/// A stretch of a lane; a point where both ends are one.
pub(super) type Span = (LaneId, Station, Station);

/// Contract, records, line and the rule, as of a day.
pub(super) struct Site<'a> {
    pub(super) inputs: Inputs<'a>,
    pub(super) set: Option<&'a RuleSet>,
    pub(super) rule: &'a ConstructionRule,
}

impl<'a> Site<'a> {
    pub(super) fn new(inputs: Inputs<'a>, set: Option<&'a RuleSet>, rule: &'a ConstructionRule) -> Self {
        Self { inputs, set, rule }
    }

    /// The placement of a number, the first of several.
    pub(super) fn numbered(&self, number: &str) -> Option<usize> {
        self.inputs.line.directory.numbered(number).first().copied()
    }

    /// Whether the rule asks for a step on all placed pavement.
    pub(super) fn is_required(&self, step: Step) -> bool {
        self.rule.steps.iter().any(|(s, _)| *s == step)
    }

    /// A figure that is compared with a limit, as the rule set compares.
    pub(super) fn compared(&self, figure: Figure, rounding: Rounding) -> Figure {
        match self.set {
            Some(set) => set.compared(figure, rounding),
            None => figure.rounded(rounding),
        }
    }

    /// The spans of a step, each lane by itself, from the lower end to the higher.
    pub(super) fn spans(&self, work: &Work) -> Vec<Span> {
        let (a, b) = (work.from.value, work.to.value);
        let (from, to) = if a.along <= b.along { (a, b) } else { (b, a) };
        let half = self.half_joint().filter(|_| a.along == b.along);
        work.lanes.value.iter().map(|&lane| self.reaching(lane, (from, to), half)).collect()
    }

    /// A single joint stands for half the planned distance to its neighbours, and for all of the panel to a header.
    fn reaching(&self, lane: LaneId, (from, to): (Station, Station), half: Option<Decimal>) -> Span {
        let Some(half) = half else { return (lane, from, to) };
        let alignment = self.inputs.contract.alignment(lane);
        let panel = half * Decimal::TWO;
        let placed = stretch_at(self.inputs.line, lane, from).map(|s| &self.inputs.line.stretches[s]);
        let header = |end: Station| (end.along - from.along).abs() <= panel;
        let begins = placed.map(|s| s.from).filter(|&end| header(end));
        let ends = placed.map(|s| s.to).filter(|&end| header(end));
        let from = begins.unwrap_or_else(|| alignment.at(from.along - half));
        let to = ends.unwrap_or_else(|| alignment.at(to.along + half));
        (lane, from, to)
    }

    fn half_joint(&self) -> Option<Decimal> {
        self.rule.joints.as_ref().map(|j| j.spacing.value / Decimal::TWO)
    }

    /// The places of a density test.
    pub(super) fn points(density: &Density) -> Vec<Span> {
        density.lanes.value.iter().map(|&lane| (lane, density.station.value, density.station.value)).collect()
    }

    /// Placements that lie under some spans, each once, in order of day.
    pub(super) fn placements(&self, spans: &[Span]) -> Vec<usize> {
        let line = self.inputs.line;
        let mut found: Vec<usize> = spans
            .iter()
            .flat_map(|&(lane, from, to)| {
                if from.along == to.along {
                    stretch_at(line, lane, from).into_iter().collect::<Vec<_>>()
                } else {
                    within(line, lane, from, to).into_iter().map(|clip| clip.stretch).collect()
                }
            })
            .map(|stretch| line.stretches[stretch].placement)
            .collect();
        found.sort_unstable();
        found.dedup();
        found.sort_by_key(|&p| (self.inputs.records.placements[p].date.value, p));
        found
    }

    /// The section of a point of a lane.
    pub(super) fn section(&self, lane: LaneId, at: Station) -> Option<usize> {
        let holds = |s: &crate::contract::Section| {
            s.lanes.contains(&lane) && s.from.along <= at.along && at.along <= s.to.along
        };
        self.inputs.contract.sections.iter().position(holds)
    }

    /// Design thickness of a section as a leaf.
    pub(super) fn thickness(&self, book: &mut Book, section: usize) -> GivenId {
        let section = &self.inputs.contract.sections[section];
        book.given(section.thickness.given(format!("design thickness of {}", section.name), "T"))
    }

    /// `NB-1 12+00`, or `NB-1, NB-2, 12+00 to 14+50`.
    pub(super) fn place(&self, spans: &[Span]) -> String {
        let contract = self.inputs.contract;
        let Some(&(first, from, to)) = spans.first() else { return String::new() };
        let lanes: Vec<&str> = spans.iter().map(|s| contract.lane(s.0).name.as_str()).collect();
        let (lanes, begins) = (lanes.join(", "), contract.station(first, from));
        if from.along == to.along {
            format!("{lanes} {begins}")
        } else {
            format!("{lanes}, {begins} to {}", contract.station(first, to))
        }
    }

    /// The stretch of a step as its sheet gives it.
    pub(super) fn stretch(&self, work: &Work) -> String {
        let (a, b) = (work.from.value, work.to.value);
        let (from, to) = if a.along <= b.along { (a, b) } else { (b, a) };
        let spans: Vec<Span> = work.lanes.value.iter().map(|&lane| (lane, from, to)).collect();
        self.place(&spans)
    }
}

/// Spans by lane and station, to find those that touch another without looking at all of them.
#[derive(Debug, Default)]
pub(super) struct Along {
    /// Begin, end, the furthest end so far, and whose span it is.
    by_lane: BTreeMap<LaneId, Vec<(Decimal, Decimal, Decimal, usize)>>,
}

impl Along {
    pub(super) fn of(spans: impl IntoIterator<Item = (Span, usize)>) -> Self {
        let mut by_lane: BTreeMap<LaneId, Vec<(Decimal, Decimal, Decimal, usize)>> = BTreeMap::new();
        for ((lane, from, to), of) in spans {
            by_lane.entry(lane).or_default().push((from.along, to.along, to.along, of));
        }
        for own in by_lane.values_mut() {
            own.sort_unstable();
            let mut furthest = Decimal::MIN;
            for one in own {
                furthest = furthest.max(one.1);
                one.2 = furthest;
            }
        }
        Self { by_lane }
    }

    /// Whose spans touch one, each once.
    pub(super) fn touching(&self, span: &Span) -> BTreeSet<usize> {
        let own = self.by_lane.get(&span.0).map_or(&[][..], Vec::as_slice);
        let (from, to) = (span.1.along, span.2.along);
        let first = own.partition_point(|o| o.2 < from);
        own[first..].iter().take_while(|o| o.0 <= to).filter(|o| o.1 >= from).map(|o| o.3).collect()
    }
}

/// Whether two spans of one lane share ground, or one is a point of the other.
pub(super) fn touch(a: &Span, b: &Span) -> bool {
    let point = a.1.along == a.2.along || b.1.along == b.2.along;
    let (low, high) = (a.1.along.max(b.1.along), a.2.along.min(b.2.along));
    a.0 == b.0 && if point { low <= high } else { low < high }
}

/// A constant that the trade and the schools agree on, as a leaf.
pub(super) fn constant(
    book: &mut Book,
    (label, symbol): (&str, &str),
    value: Decimal,
    unit: Unit,
    what: &str,
) -> GivenId {
    book.given(Given {
        label: label.into(),
        symbol: symbol.into(),
        value,
        unit,
        written: format!("{value} {unit}"),
        origin: Origin::Entry { what: what.into() },
    })
}

/// Days from one day to another, as a leaf.
pub(super) fn days(book: &mut Book, (from, to): (NaiveDate, NaiveDate)) -> GivenId {
    let count = Decimal::from((to - from).num_days());
    book.given(Given {
        label: format!("days from {from} to {to}"),
        symbol: "D".into(),
        value: count,
        unit: Unit::Day,
        written: format!("{count} day"),
        origin: Origin::Entry { what: format!("calendar: {from} to {to}") },
    })
}

/// The row of a record.
pub(super) fn row(at: CellRef) -> Place {
    Place::Row(at)
}

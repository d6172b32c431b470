//! What was placed where, drawn and listed.

use rust_decimal::Decimal;

use super::layout::{line, numbers, text, unit, words};
use super::{Block, Finished, LaneBand, Mark, MarkShape, Page, Piece, Row, Shown, State, Strip, Table, Tick};
use crate::accept::Verdict;
use crate::intake::LaneId;
use crate::line::{lanes_across, slug};
use crate::rules::Property;

pub(super) fn page(finished: Finished<'_>) -> Page {
    Page {
        id: "placed",
        title: "Placed",
        question: "What was placed between which stations of which lane, once each, and what is missing between?",
        blocks: vec![Block::Table(stretches(finished)), Block::Table(between(finished))],
    }
}

fn stretches(finished: Finished<'_>) -> Table {
    let system = finished.contract.system;
    let rows = finished
        .line
        .stretches
        .iter()
        .map(|s| {
            line(vec![
                text(finished.contract.lane(s.lane).name.clone()),
                text(finished.contract.station(s.lane, s.from)),
                text(finished.contract.station(s.lane, s.to)),
                text(finished.contract.sections[s.section].name.clone()),
                text(finished.intake.records.placements[s.placement].number.value.to_string()),
                Shown::Date(s.date),
                Shown::Figure(s.length),
                Shown::Figure(s.area),
                Shown::Figure(s.volume),
            ])
        })
        .collect();
    Table {
        id: "placed-stretches".into(),
        title: "Placed stretches".into(),
        columns: vec![
            words("lane", 8),
            words("from", 11),
            words("to", 11),
            words("section", 22),
            words("placement", 10),
            words("day", 11),
            numbers("length", unit(system.length()), 10),
            numbers("area", unit(system.area()), 12),
            numbers("plan volume", unit(system.volume()), 12),
        ],
        rows,
        note: "A stretch covered by two placements is counted once, for the earlier one.".into(),
    }
}

/// Gaps and overlaps, in words.
fn between(finished: Finished<'_>) -> Table {
    let contract = finished.contract;
    let number = |i: usize| finished.intake.records.placements[i].number.value.to_string();
    let place = |lane: LaneId, from, to| {
        vec![
            text(contract.lane(lane).name.clone()),
            text(contract.station(lane, from)),
            text(contract.station(lane, to)),
        ]
    };
    let gaps = finished.line.unplaced.iter().map(|g| {
        let mut cells = place(g.lane, g.from, g.to);
        cells.push(text("not placed, between placements"));
        line(cells)
    });
    let overlaps = finished.line.overlaps.iter().map(|o| {
        let mut cells = place(o.lane, o.from, o.to);
        cells.push(text(format!(
            "placed twice: counted for {}, not for {}",
            number(o.placements.0),
            number(o.placements.1)
        )));
        line(cells)
    });
    let mut rows: Vec<Row> = gaps.chain(overlaps).collect();
    if rows.is_empty() {
        rows.push(line(vec![text("none"), Shown::Blank, Shown::Blank, Shown::Blank]));
    }
    Table {
        id: "placed-between".into(),
        title: "Gaps and overlaps".into(),
        columns: vec![words("lane", 8), words("from", 11), words("to", 11), words("what", 50)],
        rows,
        note: String::new(),
    }
}

/// One drawing per alignment: lanes, what was placed, how thickness stands, cores.
pub(super) fn strips(finished: Finished<'_>) -> Vec<Strip> {
    (0..finished.contract.alignments.len()).filter_map(|alignment| strip(finished, alignment)).collect()
}

fn strip(finished: Finished<'_>, alignment: usize) -> Option<Strip> {
    let contract = finished.contract;
    let lanes = lanes_across(contract, alignment);
    let ends = |pick: fn(&crate::contract::Section) -> Decimal| {
        contract.sections.iter().filter(|s| s.lanes.iter().any(|l| lanes.contains(l))).map(pick).collect::<Vec<_>>()
    };
    let from = ends(|s| s.from.along).into_iter().min()?;
    let to = ends(|s| s.to.along).into_iter().max()?;
    let line = &contract.alignments[alignment];
    Some(Strip {
        id: format!("thickness-{}", slug(&line.name)),
        group: String::new(),
        steps: false,
        title: format!("Alignment {}: thickness as it stands", line.name),
        from,
        to,
        ticks: ticks(line, from, to),
        lanes: lanes.into_iter().map(|lane| band(finished, lane)).collect(),
    })
}

pub(super) fn ticks(line: &crate::units::Alignment, from: Decimal, to: Decimal) -> Vec<Tick> {
    let step = line.full_station / Decimal::from(if line.full_station > Decimal::from(100) { 20 } else { 1 });
    let mut ticks = Vec::new();
    let mut label = (line.begin / step).ceil() * step;
    let mut along = label - line.begin;
    while along <= to {
        let here = line.at(along);
        if along >= from && here.label == label {
            ticks.push(Tick { along, label: line.write(label) });
        }
        // Beyond an equation labels jump: go on from the next round label.
        let next = line.at(along + step);
        let rounded = (next.label / step).floor() * step;
        let advance = step - (next.label - rounded);
        label = rounded;
        along += if advance > Decimal::ZERO { advance } else { step };
    }
    ticks
}

fn band(finished: Finished<'_>, lane: LaneId) -> LaneBand {
    LaneBand {
        name: finished.contract.lane(lane).name.clone(),
        pieces: pieces(finished, lane),
        marks: cores(finished, lane),
    }
}

/// The lane cut wherever its state changes.
fn pieces(finished: Finished<'_>, lane: LaneId) -> Vec<Piece> {
    let sections = finished.contract.sections.iter().filter(|s| s.lanes.contains(&lane));
    let mut cuts: Vec<Decimal> = sections.flat_map(|s| [s.from.along, s.to.along]).collect();
    let placed = finished.line.stretches.iter().filter(|s| s.lane == lane);
    cuts.extend(placed.flat_map(|s| [s.from.along, s.to.along]));
    cuts.extend(zones(finished, lane).flat_map(|(_, from, to)| [from, to]));
    cuts.sort_unstable();
    cuts.dedup();
    let mut pieces: Vec<Piece> = Vec::new();
    for pair in cuts.windows(2) {
        let Some(state) = state(finished, lane, pair[0], pair[1]) else { continue };
        match pieces.last_mut() {
            Some(last) if last.state == state && last.to == pair[0] => last.to = pair[1],
            _ => pieces.push(Piece { from: pair[0], to: pair[1], state }),
        }
    }
    pieces
}

fn zones(finished: Finished<'_>, lane: LaneId) -> impl Iterator<Item = (Verdict, Decimal, Decimal)> {
    finished
        .judged
        .outcomes
        .iter()
        .filter(|o| o.property == Property::Thickness)
        .flat_map(|o| o.places.iter().map(move |p| (o.verdict, p)))
        .filter(move |(_, (l, ..))| *l == lane)
        .map(|(verdict, (_, from, to))| (verdict, from.along, to.along))
}

/// Deficient wins over sound, and sound over not tested; nothing where no section is.
fn state(finished: Finished<'_>, lane: LaneId, from: Decimal, to: Decimal) -> Option<State> {
    let within = |a: Decimal, b: Decimal| a <= from && to <= b;
    let section =
        finished.contract.sections.iter().any(|s| s.lanes.contains(&lane) && within(s.from.along, s.to.along));
    if !section {
        return None;
    }
    let placed = finished.line.stretches.iter().any(|s| s.lane == lane && within(s.from.along, s.to.along));
    if !placed {
        return Some(State::NotPlaced);
    }
    let verdicts: Vec<Verdict> = zones(finished, lane).filter(|&(_, a, b)| within(a, b)).map(|(v, ..)| v).collect();
    Some(if verdicts.iter().any(|v| matches!(v, Verdict::Adjusted | Verdict::Undecided)) {
        State::Deficient
    } else if verdicts.iter().any(|v| matches!(v, Verdict::Sound | Verdict::Raised)) {
        State::Sound
    } else {
        State::NotTested
    })
}

fn cores(finished: Finished<'_>, lane: LaneId) -> Vec<Mark> {
    let book = finished.book;
    finished
        .judged
        .cores
        .iter()
        .filter_map(|judged| {
            let core = &finished.intake.records.cores[judged.core];
            (core.lane.value == lane).then(|| {
                let deficient = judged.deficient;
                Mark {
                    number: core.number.value.to_string(),
                    along: core.station.value.along,
                    text: if deficient { book[judged.length].text() } else { String::new() },
                    deficient,
                    shape: MarkShape::Core,
                }
            })
        })
        .collect()
}

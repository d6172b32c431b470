//! Grade and base: density, levels, depths.

use super::super::layout::{figure, line, numbers, text, unit, words};
use super::super::{Block, Finished, Page, Row, Shown, Table};
use super::{place, stretch};
use crate::intake::{Density, Surface};
use crate::line::stepped;
use crate::works::{DensityJudged, Finds};

pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let mut blocks: Vec<Block> = [Surface::Subgrade, Surface::Base]
        .into_iter()
        .filter_map(|s| densities(finished, s))
        .map(Block::Table)
        .collect();
    blocks.extend(levels(finished).map(Block::Table));
    blocks.extend(depths(finished).map(Block::Table));
    (!blocks.is_empty()).then_some(Page {
        id: "ground",
        title: "Grade and base",
        question: "Is what lies under the slab dense, deep and true enough?",
        blocks,
    })
}

fn densities(finished: Finished<'_>, layer: Surface) -> Option<Table> {
    let records = &finished.intake.records.densities;
    let own: Vec<&DensityJudged> =
        finished.works.densities.iter().filter(|d| records[d.density].layer == layer).collect();
    let density = finished.contract.system.density();
    (!own.is_empty()).then(|| Table {
        id: format!("ground-density-{}", layer.word()),
        title: format!("Density of the {}", layer.word()),
        columns: vec![
            words("test", 10),
            words("day", 11),
            words("lanes and station", 22),
            words("material", 14),
            numbers("dry density", unit(density), 9),
            numbers("moisture", "%", 9),
            numbers("against optimum", "%", 9),
            numbers("of maximum", "%", 9),
            numbers("as printed", "%", 9),
            numbers("without air", unit(density), 9),
            words("result", 22),
            words("note", 30),
        ],
        rows: own.iter().map(|d| density_row(finished, &records[d.density], d)).collect(),
        note: "Dry density is computed from wet density and moisture where the sheet has both. Without air: the dry density that the \
               moisture would leave if there were no air; none can be above it."
            .into(),
    })
}

fn density_row(finished: Finished<'_>, test: &Density, judged: &DensityJudged) -> Row {
    let ledger = &finished.line.ledger;
    let cell = |there: bool, column| {
        if there { Shown::Cell(ledger.density_cell(judged.density, column)) } else { Shown::Blank }
    };
    let places: Vec<_> = test.lanes.value.iter().map(|&lane| (lane, test.station.value, test.station.value)).collect();
    let mut note = judged.note.clone();
    if let Some(of) = &test.retest_of {
        note = [format!("retest of {}", of.value), note]
            .into_iter()
            .filter(|n| !n.is_empty())
            .collect::<Vec<_>>()
            .join("; ");
    }
    line(vec![
        text(test.number.value.to_string()),
        Shown::Date(test.date.value),
        text(place(finished, &places)),
        text(test.material.as_ref().map_or_else(String::new, |m| m.value.to_string())),
        judged.dry.map_or_else(|| cell(test.dry.is_some(), stepped::density::DRY), Shown::Figure),
        cell(test.moisture.is_some(), stepped::density::MOISTURE),
        figure(judged.window),
        figure(judged.percent),
        cell(test.percent.is_some(), stepped::density::PERCENT),
        figure(judged.no_air),
        text(judged.finds.word()),
        text(note),
    ])
}

/// Levels that are off their design by more than the rule allows; the others are counted.
fn levels(finished: Finished<'_>) -> Option<Table> {
    let works = finished.works;
    let bad: Vec<_> = works.levels.iter().filter(|l| matches!(l.finds, Finds::Failed | Finds::Settled)).collect();
    if works.levels.is_empty() {
        return None;
    }
    let row = |l: &&crate::works::LevelJudged| {
        let level = &finished.intake.records.levels[l.level];
        line(vec![
            text(level.surface.word()),
            text(level.number.value.to_string()),
            Shown::Date(level.date.value),
            text(place(finished, &[(level.lane.value, level.station.value, level.station.value)])),
            figure(Some(l.off)),
            text(l.finds.word()),
        ])
    };
    let mut rows: Vec<Row> = bad.iter().map(row).collect();
    if rows.is_empty() {
        rows.push(line(vec![text("none"), Shown::Blank, Shown::Blank, Shown::Blank, Shown::Blank, Shown::Blank]));
    }
    Some(Table {
        id: "ground-levels".into(),
        title: "Levels off design".into(),
        columns: vec![
            words("surface", 12),
            words("level", 24),
            words("day", 11),
            words("lane and station", 20),
            numbers("above design", unit(finished.contract.system.depth()), 10),
            words("result", 22),
        ],
        rows,
        note: format!(
            "{} levels with a design were held against the rule; those within it are not listed.",
            works.levels.len()
        ),
    })
}

fn depths(finished: Finished<'_>) -> Option<Table> {
    let row = |d: &crate::works::DepthJudged| {
        let work = &finished.intake.records.works[d.work];
        line(vec![
            text(work.step.done()),
            Shown::Date(work.date.value),
            text(stretch(finished, d.work)),
            Shown::Cell(d.depth),
            work.accepted.as_ref().map_or(Shown::Blank, |a| Shown::Date(a.value)),
            text(d.finds.word()),
        ])
    };
    (!finished.works.depths.is_empty()).then(|| Table {
        id: "ground-depths".into(),
        title: "Depth of mixed grade and of base".into(),
        columns: vec![
            words("step", 26),
            words("day", 11),
            words("lanes and stations", 40),
            numbers("depth", unit(finished.contract.system.depth()), 9),
            words("accepted", 11),
            words("result", 16),
        ],
        rows: finished.works.depths.iter().map(row).collect(),
        note: String::new(),
    })
}

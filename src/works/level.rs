//! Levels of a surface against their design: within a depth below and a depth above it. The last level of a point counts.

use std::collections::BTreeMap;

use super::Works;
use super::check::{Check, Finds};
use super::site::{Site, row};
use crate::figure::{Book, Figure, FigureId};
use crate::finding::{Code, Finding};
use crate::intake::{LaneId, Surface};
use crate::line::{folded, slug};
use crate::rules::Proof;

/// A level as judged.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelJudged {
    /// Place in the records.
    pub level: usize,
    /// Measured less design, a depth: above zero where it is high.
    pub off: FigureId,
    /// What it found; a level that a later one of the same point replaces is settled.
    pub finds: Finds,
}

/// Judges every level that has a design, of surfaces that the rule has tolerances for.
pub(super) fn judge(site: &Site<'_>, book: &mut Book, works: &mut Works, findings: &mut Vec<Finding>) {
    let records = &site.inputs.records.levels;
    let mut last: BTreeMap<(Surface, LaneId, String, String), usize> = BTreeMap::new();
    let point = |i: usize| {
        let level = &records[i];
        let offset = level.offset.as_ref().map(|o| folded(&o.value)).unwrap_or_default();
        (level.surface, level.lane.value, level.station.value.along.normalize().to_string(), offset)
    };
    let mut order: Vec<usize> = (0..records.len()).collect();
    order.sort_by_key(|&i| (records[i].date.value, records[i].number.at));
    for i in order {
        last.insert(point(i), i);
    }
    for i in 0..records.len() {
        let replaced = last.get(&point(i)) != Some(&i);
        works.levels.extend(level(site, book, i, replaced));
    }
    findings.extend(outside(site, book, &works.levels));
    works.checks.extend(works.levels.iter().filter_map(|l| check(site, book, l)));
}

fn level(site: &Site<'_>, book: &mut Book, i: usize, replaced: bool) -> Option<LevelJudged> {
    let level = &site.inputs.records.levels[i];
    let rule = site.rule.levels.iter().find(|r| r.surface == level.surface)?;
    level.design.as_ref()?;
    let (ledger, system) = (&site.inputs.line.ledger, site.inputs.contract.system);
    let name = format!("level {}", level.number.value);
    let figure = Figure::new(
        format!("works.{}.off", slug(&name)),
        format!("{name}, above design"),
        "g",
        system.depth(),
        (ledger.level_measured(i) - ledger.level_design(i)).to(system.length_to_depth()),
    );
    let off = book.add(figure.shown(system.depth().decimals()));
    let value = book[off].value.decimal()?;
    let holds = -rule.below.value <= value && value <= rule.above.value;
    let finds = if replaced && !holds { Finds::Settled } else { Finds::of(holds) };
    Some(LevelJudged { level: i, off, finds })
}

/// One finding for each surface of a lane.
fn outside(site: &Site<'_>, book: &Book, levels: &[LevelJudged]) -> Vec<Finding> {
    let records = &site.inputs.records.levels;
    let mut by: BTreeMap<(Surface, LaneId), Vec<&LevelJudged>> = BTreeMap::new();
    for judged in levels.iter().filter(|l| l.finds == Finds::Failed) {
        let level = &records[judged.level];
        by.entry((level.surface, level.lane.value)).or_default().push(judged);
    }
    let finding = |((surface, lane), own): ((Surface, LaneId), Vec<&LevelJudged>)| {
        let rule = site.rule.levels.iter().find(|r| r.surface == surface)?;
        let size = |l: &&&LevelJudged| book[l.off].value.decimal().map(|v| v.abs());
        let worst = own.iter().max_by_key(size)?;
        let level = &records[worst.level];
        let contract = site.inputs.contract;
        let message = format!(
            "{} of lane {}: {} levels off design by more than {} below or {} above ({}); the worst is {} {} at {}",
            surface.word(),
            contract.lane(lane).name,
            own.len(),
            rule.below.written,
            rule.above.written,
            rule.below.clause,
            book[worst.off].text(),
            contract.system.depth(),
            contract.station(lane, level.station.value),
        );
        let rows = own.iter().filter(|l| l.level != worst.level).map(|l| row(records[l.level].number.at));
        let remedy = "trim or fill and level again: the last level of a point counts; the engineer decides";
        Some(Finding::new(Code::LevelOutside, row(level.number.at), message, remedy).with(rows))
    };
    by.into_iter().filter_map(finding).collect()
}

fn check(site: &Site<'_>, book: &Book, judged: &LevelJudged) -> Option<Check> {
    let level = &site.inputs.records.levels[judged.level];
    let proof = match level.surface {
        Surface::Subgrade => Proof::SubgradeLevel,
        Surface::Base => Proof::BaseLevel,
        Surface::Top => return None,
    };
    let failed = judged.finds == Finds::Failed;
    Some(Check {
        proof,
        number: level.number.value.to_string(),
        at: level.number.at,
        date: level.date.value,
        places: vec![(level.lane.value, level.station.value, level.station.value)],
        finds: judged.finds,
        text: if failed {
            format!("{} {}", book[judged.off].text(), site.inputs.contract.system.depth())
        } else {
            String::new()
        },
    })
}

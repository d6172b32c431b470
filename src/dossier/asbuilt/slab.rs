//! Joints and curing: where bars lie, when and how the slab was cured and sawn.

use super::super::layout::{figure, line, numbers, text, unit, words};
use super::super::{Block, Finished, Page, Shown, Table};
use super::{number_of, place, stretch};
use crate::intake::{Step, Work};
use crate::line::stepped;
use crate::units::Unit;
use crate::works::Finds;

const CAUTION: &str = "Crews: fresh concrete burns skin and eyes, and sawing or grinding raises silica dust. Wear what the safety plan \
says, saw wet or with the dust drawn off; contract and local code decide.";

pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let tables: Vec<Table> =
        [bars(finished), curing(finished), sawing(finished), other(finished)].into_iter().flatten().collect();
    if tables.is_empty() {
        return None;
    }
    let mut blocks: Vec<Block> = tables.into_iter().map(Block::Table).collect();
    blocks.insert(0, Block::Caution(CAUTION.into()));
    Some(Page {
        id: "joints",
        title: "Joints and curing",
        question: "Do the bars lie where they must, and was the slab cured and sawn in time?",
        blocks,
    })
}

fn bars(finished: Finished<'_>) -> Option<Table> {
    let (ledger, depth) = (&finished.line.ledger, finished.contract.system.depth());
    let row = |b: &crate::works::BarJudged| {
        let bar = &finished.intake.records.bars[b.bar];
        let cell = |there: bool, column| if there { Shown::Cell(ledger.bar_cell(b.bar, column)) } else { Shown::Blank };
        line(vec![
            text(bar.bar.word()),
            Shown::Date(bar.date.value),
            text(place(finished, &[(bar.lane.value, bar.station.value, bar.station.value)])),
            text(bar.place.as_ref().map_or_else(String::new, |p| p.value.to_string())),
            cell(bar.depth.is_some(), stepped::bar::DEPTH),
            figure(b.off),
            cell(bar.side.is_some(), stepped::bar::SIDE),
            cell(bar.tilt.is_some(), stepped::bar::TILT),
            cell(bar.skew.is_some(), stepped::bar::SKEW),
            text(b.finds.word()),
            text(b.note.clone()),
        ])
    };
    (!finished.works.bars.is_empty()).then(|| Table {
        id: "joints-bars".into(),
        title: "Where bars lie".into(),
        columns: vec![
            words("bar", 8),
            words("day", 11),
            words("lane and joint", 18),
            words("place", 7),
            numbers("depth", unit(depth), 8),
            numbers("below mid-depth", unit(depth), 9),
            numbers("off the joint", unit(depth), 8),
            numbers("tilt", unit(depth), 8),
            numbers("turn", unit(depth), 8),
            words("result", 12),
            words("what is out", 40),
        ],
        rows: finished.works.bars.iter().map(row).collect(),
        note: "Mid-depth is half the design thickness.".into(),
    })
}

/// Who did it.
fn by(work: &Work) -> Shown {
    work.by.as_ref().map_or(Shown::Blank, |b| text(b.value.to_string()))
}

/// How two verdicts of one row read.
fn both((time, other): (Finds, Finds), late: &str, bad: &str) -> String {
    let words: Vec<&str> =
        [(time, late), (other, bad)].into_iter().filter(|(f, _)| *f == Finds::Failed).map(|(_, w)| w).collect();
    if !words.is_empty() {
        return words.join(", ");
    }
    match (time, other) {
        (Finds::NotJudged, Finds::NotJudged) => "not judged".into(),
        (Finds::NotJudged, _) => "passes; time not on record".into(),
        _ => "passes".into(),
    }
}

fn curing(finished: Finished<'_>) -> Option<Table> {
    let row = |c: &crate::works::CureJudged| {
        let work = &finished.intake.records.works[c.work];
        line(vec![
            text(number_of(finished, c.placement)),
            Shown::Date(work.date.value),
            text(stretch(finished, c.work)),
            text(work.material.as_ref().map_or_else(String::new, |m| m.value.to_string())),
            figure(c.after),
            c.rate.map_or(Shown::Blank, Shown::Cell),
            text(both(c.finds, "late", "too thin")),
            by(work),
        ])
    };
    (!finished.works.curing.is_empty()).then(|| Table {
        id: "joints-curing".into(),
        title: "Curing".into(),
        columns: vec![
            words("placement", 10),
            words("day", 11),
            words("lanes and stations", 36),
            words("with", 18),
            numbers("after the last concrete", unit(Unit::Minute), 11),
            numbers("coverage", unit(finished.contract.system.coverage()), 10),
            words("result", 24),
            words("by", 14),
        ],
        rows: finished.works.curing.iter().map(row).collect(),
        note: "A blank time: the sheet or the placement log does not give it, so it was not checked.".into(),
    })
}

fn sawing(finished: Finished<'_>) -> Option<Table> {
    let row = |s: &crate::works::SawJudged| {
        let work = &finished.intake.records.works[s.work];
        line(vec![
            text(number_of(finished, s.placement)),
            Shown::Date(work.date.value),
            text(stretch(finished, s.work)),
            figure(s.after),
            s.depth.map_or(Shown::Blank, Shown::Cell),
            figure(s.cut),
            text(both(s.finds, "late", "too shallow")),
            by(work),
        ])
    };
    (!finished.works.sawing.is_empty()).then(|| Table {
        id: "joints-sawing".into(),
        title: "Sawing".into(),
        columns: vec![
            words("placement", 10),
            words("day", 11),
            words("lanes and stations", 36),
            numbers("after the last concrete", unit(Unit::Hour), 11),
            numbers("depth of cut", unit(finished.contract.system.depth()), 9),
            numbers("of thickness", "%", 10),
            words("result", 24),
            words("by", 14),
        ],
        rows: finished.works.sawing.iter().map(row).collect(),
        note: "Time runs to the end of sawing, or to its beginning where the sheet gives only that.".into(),
    })
}

/// The steps that are on record and not judged: listed.
fn other(finished: Finished<'_>) -> Option<Table> {
    let listed =
        [Step::Compact, Step::Trim, Step::Baskets, Step::Ties, Step::Texture, Step::Seal, Step::Open, Step::Close];
    let mut own: Vec<usize> = (0..finished.intake.records.works.len())
        .filter(|&i| listed.contains(&finished.intake.records.works[i].step))
        .collect();
    own.sort_by_key(|&i| (finished.intake.records.works[i].step, finished.intake.records.works[i].date.value, i));
    let row = |&i: &usize| {
        let work = &finished.intake.records.works[i];
        line(vec![
            text(work.step.done()),
            Shown::Date(work.date.value),
            text(stretch(finished, i)),
            text(work.material.as_ref().map_or_else(String::new, |m| m.value.to_string())),
            work.count
                .as_ref()
                .map_or(Shown::Blank, |_| Shown::Cell(finished.line.ledger.work_cell(i, stepped::work::COUNT))),
            text(finished.intake.sources.row(work.number.at)),
        ])
    };
    (!own.is_empty()).then(|| Table {
        id: "joints-other".into(),
        title: "Other steps on record".into(),
        columns: vec![
            words("step", 22),
            words("day", 11),
            words("lanes and stations", 40),
            words("with, or for whom", 20),
            numbers("pieces", "", 8),
            words("record", 46),
        ],
        rows: own.iter().map(row).collect(),
        note: String::new(),
    })
}

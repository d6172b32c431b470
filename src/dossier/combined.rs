//! Combined pay: each piece of pavement with what every property pays of it and what they pay together.

use super::layout::{figure, line, numbers, text, unit, words};
use super::{Block, Column, Finished, Page, Row, Table};
use crate::accept::CombinedJudged;
use crate::rules::{CombinedRule, Shape};

/// The page; `None` where the contract combines nothing.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let rule = finished.rules.iter().find_map(|set| match &set.shape {
        Shape::Combined(rule) => Some(rule),
        _ => None,
    })?;
    Some(Page {
        id: "combined",
        title: "Combined pay",
        question: "What do the properties of a lot pay together, and which of them is not judged yet?",
        blocks: vec![Block::Table(pieces(finished, rule))],
    })
}

fn pieces(finished: Finished<'_>, rule: &CombinedRule) -> Table {
    let mut columns: Vec<Column> = vec![words("lot or stretch", 42), words("how it stands", 26)];
    columns.extend(rule.of.iter().map(|property| numbers(property.word(), "%", 9)));
    columns.extend([
        numbers("combined", "%", 9),
        numbers("paid", "%", 8),
        numbers("area", unit(finished.contract.system.area()), 12),
        words("note", 50),
    ]);
    Table {
        id: "combined-pay".into(),
        title: "Lots and stretches".into(),
        columns,
        rows: finished.judged.combined.iter().map(|piece| row(finished, piece)).collect(),
        note: "Each piece lies in one lot of every property. A property that is not judged yet counts as 100, and the piece is \
               paid no more than 100 until it is. The calculations stand on the page Adjustments."
            .into(),
    }
}

fn row(finished: Finished<'_>, piece: &CombinedJudged) -> Row {
    let outcome = &finished.judged.outcomes[piece.outcome];
    let mut cells = vec![text(outcome.name.clone()), text(outcome.verdict.word())];
    cells.extend(piece.members.iter().map(|&(_, percent)| figure(percent)));
    cells.extend([figure(outcome.entered), figure(outcome.pay), figure(outcome.area), text(outcome.note.clone())]);
    line(cells)
}

//! Who pays which share of every line of the estimate, or where it is charged.

use super::layout::{figure, line, money, subtotal, text, total, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::figure::FigureId;
use crate::pay::{Amounts, Parts, SplitLine};

pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let splits = &finished.estimate.splits;
    let blocks: Vec<Block> = splits.iter().flat_map(|parts| tables(finished, parts)).collect();
    (!blocks.is_empty()).then_some(Page {
        id: "splits",
        title: "Splits",
        question: "Which part of every line is whose, in this period and to date?",
        blocks,
    })
}

/// Takes a column of a line.
type Pick = fn(&Amounts) -> FigureId;

fn tables(finished: Finished<'_>, parts: &Parts) -> Vec<Block> {
    let split = &finished.contract.payment.splits[parts.split];
    let columns: [(&str, &str, Pick); 2] =
        [("this period", "this-period", |a| a.this), ("to date", "to-date", |a| a.to_date)];
    let tables =
        columns.map(|(words, id, pick)| Block::Table(table(finished, (parts, &split.name), (words, id), pick)));
    std::iter::once(Block::Heading(split.name.clone())).chain(tables).collect()
}

fn table(finished: Finished<'_>, (parts, name): (&Parts, &str), (column, id): (&str, &str), pick: Pick) -> Table {
    let currency = &finished.contract.currency;
    let last = parts.lines.len().saturating_sub(1);
    let rows = parts.lines.iter().enumerate().map(|(n, of)| row(of, n == last, pick)).collect();
    Table {
        id: format!("split-{}-{id}", parts.split + 1),
        title: format!("{name}, {column}"),
        columns: std::iter::once(words("line", 34))
            .chain(std::iter::once(money("whole", currency, 16)))
            .chain(parts.names.iter().map(|part| money(part, currency, 16)))
            .collect(),
        rows,
        note: "The last part of a line takes what rounding leaves, so that the parts of every line add up to it."
            .into(),
    }
}

fn row(of: &SplitLine, last: bool, pick: Pick) -> Row {
    let mut cells: Vec<Shown> = vec![text(of.label.clone()), Shown::Figure(pick(&of.whole))];
    cells.extend(of.parts.iter().map(|part| figure(part.as_ref().map(pick))));
    match (of.sum, last) {
        (_, true) => total(cells),
        (true, _) => subtotal(cells),
        _ => line(cells),
    }
}

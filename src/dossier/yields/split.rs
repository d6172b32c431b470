//! Where the difference of each day, lane, mix, crew or placement went.

use super::super::layout::{figure, line, money, numbers, text, total, unit};
use super::super::{Column, Finished, Row, Shown, Table};
use super::named;
use crate::reconcile::{Cause, YieldLine};

/// The table of a grouping; `None` where nothing was measured that would explain any of it.
pub(super) fn table(finished: Finished<'_>, id: &str, first: &str, lines: &[YieldLine]) -> Option<Table> {
    let has = |line: &YieldLine, cause: Cause| line.split.as_ref().is_some_and(|split| split.part(cause).is_some());
    let causes: Vec<Cause> =
        Cause::ALL.into_iter().filter(|&cause| lines.iter().any(|line| has(line, cause))).collect();
    if causes.len() < 2 {
        return None;
    }
    let contract = finished.contract;
    let priced = lines.iter().any(|line| line.split.as_ref().is_some_and(|split| split.money.is_some()));
    let volume = || unit(contract.system.volume());
    let mut columns: Vec<Column> = vec![super::words(first, 16), numbers("over", volume(), 9)];
    columns.extend(
        causes.iter().map(|cause| numbers(cause.word(), volume(), if *cause == Cause::Unexplained { 11 } else { 8 })),
    );
    if priced {
        columns.extend([money("over", &contract.currency, 11), money("unexplained", &contract.currency, 11)]);
    }
    let by_day = first == "day";
    let mut rows: Vec<Row> = lines.iter().map(|l| line(cells(l, named(l, by_day), &causes, priced))).collect();
    if let Some(whole) = &finished.account.contract {
        rows.push(total(cells(whole, text("contract to date"), &causes, priced)));
    }
    Some(Table {
        id: format!("{id}-split"),
        title: format!("Where the difference went, by {first}"),
        columns,
        rows,
        note: "Each cause is what was measured on the ground of its line, so that the lines of a cause need not add up to the \
               contract's; each line by itself does add up. A blank was not measured there."
            .into(),
    })
}

fn cells(line: &YieldLine, name: Shown, causes: &[Cause], priced: bool) -> Vec<Shown> {
    let split = line.split.as_ref();
    let part = |cause: Cause| split.and_then(|split| split.part(cause));
    let mut cells = vec![name, Shown::Figure(line.over)];
    cells.extend(causes.iter().map(|&cause| figure(part(cause).map(|part| part.volume))));
    if priced {
        cells.push(figure(split.and_then(|split| split.money)));
        cells.push(figure(part(Cause::Unexplained).and_then(|part| part.money)));
    }
    cells
}

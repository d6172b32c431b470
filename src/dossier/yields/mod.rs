//! The yield account: from batched to plan volume as a whole, then placed against theoretical by day, lane, mix, crew and
//! placement, where each difference went, and how it ran.

mod account;
mod running;
mod split;

use super::layout::{figure, line, numbers, text, total, unit, words};
use super::{Block, Chart, ChartForm, Finished, Page, Row, Series, SeriesStyle, Shown, Table};
use crate::reconcile::YieldLine;

pub(super) fn page(finished: Finished<'_>) -> Page {
    let yields = finished.account;
    let mut blocks = account::blocks(finished);
    let groups: [(&'static str, &str, &str, &[YieldLine]); 5] = [
        ("yield-days", "By day", "day", &yields.days),
        ("yield-lanes", "By lane", "lane", &yields.lanes),
        ("yield-mixes", "By mix", "mix", &yields.mixes),
        ("yield-crews", "By crew", "crew", &yields.crews),
        ("yield-placements", "By placement", "placement", &yields.placements),
    ];
    for (id, title, first, lines) in groups {
        if lines.is_empty() && first == "crew" {
            continue;
        }
        blocks.push(Block::Table(table(finished, id, title, first, lines)));
        if first == "day" {
            blocks.push(Block::Chart(chart(rarer(finished))));
        }
        blocks.extend(split::table(finished, id, first, lines).map(Block::Table));
    }
    blocks.extend(running::blocks(finished));
    blocks.push(Block::Text(
        "Net is batched less rejected, wasted, returned, washed out and used elsewhere. Less concrete than the plan volume \
         needs is a warning of thin pavement, not a saving."
            .into(),
    ));
    Page {
        id: "yield",
        title: "Yield",
        question: "Where did the concrete go, against what the plan volume needs?",
        blocks,
    }
}

/// What did not go into placements: columns that are there only where any line has such a volume.
fn rarer(finished: Finished<'_>) -> [bool; 2] {
    let any = |pick: fn(&YieldLine) -> bool| finished.account.contract.as_ref().is_some_and(pick);
    [any(|l| l.washed.is_some()), any(|l| l.elsewhere.is_some())]
}

fn table(finished: Finished<'_>, id: &'static str, title: &str, first: &str, lines: &[YieldLine]) -> Table {
    let system = finished.contract.system;
    let by_day = first == "day";
    let volume = || unit(system.volume());
    let rarer = rarer(finished);
    let mut rows: Vec<Row> = lines.iter().map(|l| line(cells(l, by_day, rarer))).collect();
    if let Some(contract) = &finished.account.contract {
        let mut sum = cells(contract, false, rarer);
        sum[0] = text("contract to date");
        rows.push(total(sum));
    }
    let mut columns = vec![
        words(first, 20),
        numbers("theoretical", volume(), 12),
        numbers("batched", volume(), 11),
        numbers("rejected", volume(), 10),
        numbers("wasted", volume(), 9),
        numbers("returned", volume(), 9),
    ];
    columns.extend(rarer[0].then(|| numbers("washed", volume(), 9)));
    columns.extend(rarer[1].then(|| numbers("elsewhere", volume(), 9)));
    columns.extend([
        numbers("net", volume(), 12),
        numbers("over", volume(), 10),
        numbers("over", "%", 8),
        numbers("depth", unit(system.depth()), 9),
    ]);
    Table { id: id.into(), title: title.into(), columns, rows, note: String::new() }
}

/// The first cell of a line: its day or its name.
fn named(l: &YieldLine, by_day: bool) -> Shown {
    match l.date {
        Some(date) if by_day => Shown::Date(date),
        _ => text(l.name.clone()),
    }
}

fn cells(l: &YieldLine, by_day: bool, rarer: [bool; 2]) -> Vec<Shown> {
    let mut cells = vec![
        named(l, by_day),
        Shown::Figure(l.theoretical),
        figure(l.batched),
        figure(l.rejected),
        figure(l.wasted),
        figure(l.returned),
    ];
    cells.extend(rarer[0].then(|| figure(l.washed)));
    cells.extend(rarer[1].then(|| figure(l.elsewhere)));
    cells.extend([Shown::Figure(l.net), Shown::Figure(l.over), Shown::Figure(l.percent), figure(l.depth)]);
    cells
}

fn chart(rarer: [bool; 2]) -> Chart {
    let column = 8 + rarer.iter().filter(|there| **there).count();
    Chart {
        title: "Net volume over theoretical, by day".into(),
        form: ChartForm::Lines,
        table: "yield-days".into(),
        along: 0,
        numeric: false,
        series: vec![Series { name: "over theoretical".into(), column, style: SeriesStyle::Points }],
        x_title: "day".into(),
        y_title: "over theoretical, %".into(),
    }
}

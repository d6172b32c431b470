//! The yield account: placed against theoretical, by placement, day, lane, mix, and as a whole.

use super::layout::{figure, line, numbers, text, total, unit, words};
use super::{Block, Chart, Finished, Page, Row, Series, SeriesStyle, Shown, Table};
use crate::reconcile::YieldLine;

pub(super) fn page(finished: Finished<'_>) -> Page {
    let account = finished.account;
    let by = |id, title: &str, first: &str, lines: &[YieldLine]| Block::Table(table(finished, id, title, first, lines));
    let mut blocks = vec![
        by("yield-days", "By day", "day", &account.days),
        Block::Chart(chart()),
        by("yield-lanes", "By lane", "lane", &account.lanes),
        by("yield-mixes", "By mix", "mix", &account.mixes),
        by("yield-placements", "By placement", "placement", &account.placements),
    ];
    if let Some(loose) = account.loose {
        let unit_name = unit(finished.contract.system.volume());
        blocks.push(Block::Table(Table {
            id: "yield-loose".into(),
            title: "Loads that fit no placement".into(),
            columns: vec![words("", 40), numbers("batched", unit_name, 12)],
            rows: vec![line(vec![text("not in the account above"), Shown::Figure(loose)])],
            note: "Each is among the findings.".into(),
        }));
    }
    blocks.push(Block::Text(
        "Net is batched less rejected, wasted and returned. Less concrete than the plan volume needs is a warning of thin \
         pavement, not a saving."
            .into(),
    ));
    Page {
        id: "yield",
        title: "Yield",
        question: "Where did the concrete go, against what the plan volume needs?",
        blocks,
    }
}

fn table(finished: Finished<'_>, id: &'static str, title: &str, first: &str, lines: &[YieldLine]) -> Table {
    let system = finished.contract.system;
    let by_day = first == "day";
    let volume = || unit(system.volume());
    let mut rows: Vec<Row> = lines.iter().map(|l| line(cells(l, by_day))).collect();
    if let Some(contract) = &finished.account.contract {
        let mut sum = cells(contract, false);
        sum[0] = text("contract to date");
        rows.push(total(sum));
    }
    Table {
        id: id.into(),
        title: title.into(),
        columns: vec![
            words(first, 20),
            numbers("theoretical", volume(), 12),
            numbers("batched", volume(), 11),
            numbers("rejected", volume(), 10),
            numbers("wasted", volume(), 9),
            numbers("returned", volume(), 9),
            numbers("net", volume(), 12),
            numbers("over", volume(), 10),
            numbers("over", "%", 8),
            numbers("depth", unit(system.depth()), 9),
        ],
        rows,
        note: String::new(),
    }
}

fn cells(l: &YieldLine, by_day: bool) -> Vec<Shown> {
    let first = match l.date {
        Some(date) if by_day => Shown::Date(date),
        _ => text(l.name.clone()),
    };
    vec![
        first,
        Shown::Figure(l.theoretical),
        figure(l.batched),
        figure(l.rejected),
        figure(l.wasted),
        figure(l.returned),
        Shown::Figure(l.net),
        Shown::Figure(l.over),
        Shown::Figure(l.percent),
        figure(l.depth),
    ]
}

fn chart() -> Chart {
    Chart {
        title: "Net volume over theoretical, by day".into(),
        form: super::ChartForm::Lines,
        table: "yield-days".into(),
        along: 0,
        numeric: false,
        series: vec![Series { name: "over theoretical".into(), column: 8, style: SeriesStyle::Points }],
        x_title: "day".into(),
        y_title: "over theoretical, %".into(),
    }
}

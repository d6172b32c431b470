//! The running yield: cumulative by placement, and the control chart.

use super::super::layout::{figure, line, numbers, text, unit, words};
use super::super::{Block, Chart, ChartForm, Finished, Row, Series, SeriesStyle, Shown, Table};
use crate::reconcile::{Running, RunningRow, YieldLine};

pub(super) fn blocks(finished: Finished<'_>) -> Vec<Block> {
    let running = &finished.account.running;
    if running.rows.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Table(table(finished, running)), Block::Text(said(finished, running))];
    if running.chart.is_some() {
        blocks.push(Block::Chart(chart(running)));
    }
    blocks
}

fn table(finished: Finished<'_>, running: &Running) -> Table {
    let volume = || unit(finished.contract.system.volume());
    let mut columns = vec![
        words("placement", 16),
        words("day", 11),
        numbers("theoretical", volume(), 12),
        numbers("net", volume(), 12),
        numbers("over to date", "%", 9),
        numbers("over", "%", 7),
    ];
    if running.chart.is_some() {
        columns.extend([numbers("lower", "%", 7), numbers("centre", "%", 7), numbers("upper", "%", 7)]);
        columns.extend(running.limit.map(|_| numbers("limit", "%", 7)));
        columns.push(numbers("outside", "%", 8));
    }
    let rows =
        running.rows.iter().filter_map(|row| Some(cells(finished.account.placements.get(row.line)?, row, running)));
    Table {
        id: "yield-running".into(),
        title: "Placement after placement, to date".into(),
        columns,
        rows: rows.collect(),
        note: "Limits of the control chart: mean of the placements, give or take three standard deviations as their moving \
               ranges show them (NIST/SEMATECH e-Handbook 6.3.2.2); from ten placements on. They say what is like the others, \
               not what is right."
            .into(),
    }
}

fn cells(y: &YieldLine, row: &RunningRow, running: &Running) -> Row {
    let mut cells = vec![
        text(y.name.clone()),
        y.date.map_or(Shown::Blank, Shown::Date),
        Shown::Figure(row.theoretical),
        Shown::Figure(row.net),
        Shown::Figure(row.percent),
        Shown::Figure(row.own),
    ];
    if let Some((low, centre, high)) = running.chart {
        cells.extend([low, centre, high].map(Shown::Figure));
        cells.extend(running.limit.map(Shown::Figure));
        cells.push(figure(row.outside.then_some(row.own)));
    }
    line(cells)
}

/// Which placement first left which limits, in words.
fn said(finished: Finished<'_>, running: &Running) -> String {
    let name = |row: Option<&RunningRow>| {
        let y = row.and_then(|row| finished.account.placements.get(row.line))?;
        let day = y.date.map(|day| format!(" of {day}")).unwrap_or_default();
        Some(format!("{}{day}", y.name))
    };
    let warn = finished.contract.yields.warn_over.as_ref();
    let over = name(running.first_over.and_then(|first| running.rows.get(first)));
    let limit = match (warn, over) {
        (None, _) => "The contract states no limit for the overrun to date.".to_string(),
        (Some(limit), None) => format!("To date the overrun never went above the contract's {}.", limit.written),
        (Some(limit), Some(name)) => {
            format!("With {name} the overrun to date first went above the contract's {}.", limit.written)
        }
    };
    let outside = name(running.rows.iter().find(|row| row.outside));
    let like = match (running.chart, outside) {
        (None, _) => "Fewer than ten placements make no control chart.".to_string(),
        (Some(_), None) => "No placement lies outside the limits of the control chart.".to_string(),
        (Some(_), Some(name)) => format!("The first placement outside the limits of the control chart is {name}."),
    };
    format!("{limit} {like}")
}

fn chart(running: &Running) -> Chart {
    let series = |name: &str, column, style| Series { name: name.into(), column, style };
    let mut all = vec![
        series("over theoretical", 5, SeriesStyle::Joined),
        series("lower limit", 6, SeriesStyle::Limit),
        series("centre", 7, SeriesStyle::Line),
        series("upper limit", 8, SeriesStyle::Limit),
    ];
    all.extend(running.limit.map(|_| series("contract's limit", 9, SeriesStyle::ContractLimit)));
    all.push(series("outside", if running.limit.is_some() { 10 } else { 9 }, SeriesStyle::Outside));
    Chart {
        title: "Control chart of the placements".into(),
        form: ChartForm::Lines,
        table: "yield-running".into(),
        along: 0,
        numeric: false,
        series: all,
        x_title: "placement".into(),
        y_title: "over theoretical, %".into(),
    }
}

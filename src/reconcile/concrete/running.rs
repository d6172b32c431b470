//! The yield while the month goes on: cumulative by placement, and a control chart of the placements.
//!
//! ```text
//! centre = mean of x             x percent over, of each placement
//! limits = centre +- 3 MR / d2   MR mean of the moving ranges |x - x before|, d2 = 1.128 for two values
//! ```
//!
//! Chart of individual values (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2). The limits are what the placements
//! themselves make likely; the contract's own limits are shown beside them and decide alone what must be done.

use super::YieldLine;
use super::split::value;
use crate::figure::{Book, Comparison, Expr, Figure, FigureId, compare, max, whole};
use crate::line::{slug, total};
use crate::reconcile::Ground;
use crate::units::conversions::RATIO_TO_PERCENT;
use crate::units::{Rounding, Unit};

/// Placements that a control chart needs before its limits say anything (common practice asks for more).
const PLACEMENTS: usize = 10;

/// A placement in the running account.
#[derive(Clone, Debug, PartialEq)]
pub struct RunningRow {
    /// By place in [`super::Yield::placements`].
    pub line: usize,
    /// Plan volume up to and with this placement.
    pub theoretical: FigureId,
    /// Net volume up to and with it.
    pub net: FigureId,
    /// The difference in percent of the plan volume.
    pub percent: FigureId,
    /// Percent over of the placement itself.
    pub own: FigureId,
    /// Outside the chart's limits.
    pub outside: bool,
    /// What it took beyond what the others took for as much plan volume; where it is outside.
    pub excess: Option<Excess>,
}

/// What a placement took beyond the others; below zero where it took less.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Excess {
    /// Volume.
    pub volume: FigureId,
    /// Its value.
    pub money: Option<FigureId>,
}

/// The running account.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Running {
    /// In order of day and number; what lies in no section is left out.
    pub rows: Vec<RunningRow>,
    /// Lower limit, centre and upper limit of the control chart; `None` below ten placements.
    pub chart: Option<(FigureId, FigureId, FigureId)>,
    /// The contract's limit to warn.
    pub limit: Option<FigureId>,
    /// The first placement with which the cumulative yield was over the contract's limit to warn, by place in `rows`.
    pub first_over: Option<usize>,
}

/// The running account of the placements in order.
pub(super) fn running(ground: Ground<'_>, book: &mut Book, placements: &[YieldLine]) -> Running {
    let mut rows: Vec<RunningRow> = Vec::with_capacity(placements.len());
    for (line, y) in placements.iter().enumerate().filter(|(_, y)| y.split.is_some()) {
        let before = rows.last().map(|row| (row.theoretical, row.net));
        rows.push(row(ground, book, (line, y), before));
    }
    let chart = chart(book, &rows);
    if let Some((low, _, high)) = chart {
        let all = rows.last().map(|row| (row.theoretical, row.net));
        for row in &mut rows {
            let beyond = |how, limit: FigureId| book.evaluate(&compare(row.own, how, limit)).holds();
            row.outside = beyond(Comparison::Below, low) || beyond(Comparison::Above, high);
            let y = placements.get(row.line).filter(|_| row.outside);
            row.excess = y.zip(all).map(|(y, all)| excess(ground, book, y, all));
        }
    }
    let limit = ground.contract.yields.warn_over.as_ref().map(|limit| limit.value);
    let percent = |row: &RunningRow| {
        let (net, theory) = (book[row.net].value.decimal()?, book[row.theoretical].value.decimal()?);
        RATIO_TO_PERCENT.apply((net - theory).checked_div(theory)?)
    };
    let first_over = limit.and_then(|limit| rows.iter().position(|row| percent(row).is_some_and(|p| p > limit)));
    let limit = ground.contract.yields.warn_over.as_ref().map(|limit| {
        let given = book.given(limit.given("limit of the overrun", "P_w"));
        book.add(Figure::new("yield.limit", "the contract's limit of the overrun", "P_w", Unit::Percent, given))
    });
    Running { rows, chart, limit, first_over }
}

fn row(
    ground: Ground<'_>,
    book: &mut Book,
    (line, y): (usize, &YieldLine),
    before: Option<(FigureId, FigureId)>,
) -> RunningRow {
    let key = format!("yield.running.{}", slug(&y.name));
    let rounding = ground.contract.roundings.volume;
    let unit = ground.contract.system.volume();
    let mut add = |word: &str, symbol: &str, own: FigureId, before: Option<FigureId>| {
        let expr = before.map_or_else(|| Expr::from(own), |before| before + own);
        let figure = Figure::new(format!("{key}.{word}"), format!("up to {}, {word}", y.name), symbol, unit, expr);
        book.add(figure.rounded(rounding))
    };
    let theoretical = add("theoretical", "V_c", y.theoretical, before.map(|b| b.0));
    let net = add("net", "N_c", y.net, before.map(|b| b.1));
    let percent = Figure::new(
        format!("{key}.percent"),
        format!("up to {}, percent over theoretical", y.name),
        "P_c",
        Unit::Percent,
        ((net - theoretical) / theoretical).to(RATIO_TO_PERCENT),
    );
    let percent = book.add(percent.rounded(Rounding::to_decimals(2)));
    RunningRow { line, theoretical, net, percent, own: y.percent, outside: false, excess: None }
}

/// What a placement took beyond what all the others took for as much plan volume.
fn excess(ground: Ground<'_>, book: &mut Book, y: &YieldLine, (theoretical, net): (FigureId, FigureId)) -> Excess {
    let (key, label) = (format!("yield.{}.excess", slug(&y.name)), format!("{}, beyond what the others took", y.name));
    let others = (net - theoretical - y.over) / (theoretical - y.theoretical);
    let figure = Figure::new(&key, &label, "D_x", ground.contract.system.volume(), y.over - y.theoretical * others);
    let volume = book.add(figure.rounded(ground.contract.roundings.volume));
    let price = y.split.as_ref().and_then(|split| split.price.as_ref());
    let money = price.map(|price| {
        let names = (format!("{key}-value"), format!("{label}, value"));
        value(ground.contract, book, (&names.0, &names.1), volume, price)
    });
    Excess { volume, money }
}

/// Lower limit, centre, upper limit.
fn chart(book: &mut Book, rows: &[RunningRow]) -> Option<(FigureId, FigureId, FigureId)> {
    if rows.len() < PLACEMENTS {
        return None;
    }
    let n = i64::try_from(rows.len()).ok()?;
    let own: Vec<FigureId> = rows.iter().map(|row| row.own).collect();
    let sum = total(book, "yield.chart.sum", "sum of percents over", "sum", &own)?;
    let mut add = |word: &str, label: &str, symbol: &str, expr: Expr, decimals: u8| {
        let figure = Figure::new(format!("yield.chart.{word}"), label, symbol, Unit::Percent, expr);
        book.add(figure.shown(decimals).under("NIST/SEMATECH e-Handbook 6.3.2.2"))
    };
    let centre = add("centre", "control chart, centre", "x", sum / whole(n), 2);
    let ranges: Vec<FigureId> = own
        .windows(2)
        .enumerate()
        .map(|(i, pair)| {
            let size = max([pair[1] - pair[0], pair[0] - pair[1]]);
            add(&format!("range-{}", i + 1), "moving range", "MR", size, 2)
        })
        .collect();
    let ranges = total(book, "yield.chart.ranges", "sum of moving ranges", "sum", &ranges)?;
    let mut add = |word: &str, label: &str, symbol: &str, expr: Expr, decimals: u8| {
        let figure = Figure::new(format!("yield.chart.{word}"), label, symbol, Unit::Percent, expr);
        book.add(figure.shown(decimals).under("NIST/SEMATECH e-Handbook 6.3.2.2"))
    };
    let range = add("range", "mean moving range", "MR", ranges / whole(n - 1), 3);
    let reach = add("reach", "three standard deviations", "3s", range * whole(3000) / whole(1128), 3);
    let low = add("low", "control chart, lower limit", "L", centre - reach, 2);
    let high = add("high", "control chart, upper limit", "U", centre + reach, 2);
    Some((low, centre, high))
}

//! A chart on paper: axes with round numbers and units, points or lines, nothing else. Placed in points from the top left
//! corner; the template only draws what stands here. In a control chart the name of a line stands at its right end.

use rust_decimal::prelude::ToPrimitive;
use serde::Serialize;

use super::waterfall::{Account, waterfall};
use crate::dossier::{Chart, ChartForm, RowKind, Series, SeriesStyle};
use crate::render::shown::clean;
use crate::render::view::{CellView, RowView};
use crate::units::{decimal_of, written};

/// Size of a chart and of the room its labels take.
pub(super) const WIDTH: f64 = 468.0;
pub(super) const HEIGHT: f64 = 190.0;
pub(super) const LEFT: f64 = 48.0;
pub(super) const RIGHT: f64 = 10.0;
pub(super) const TOP: f64 = 8.0;
pub(super) const BOTTOM: f64 = 34.0;
/// Width of a character of a line's name, and the most room that names take.
const CHARACTER: f64 = 3.7;
const NAMES: f64 = 120.0;
/// Names of two lines stand at least so far apart.
const APART: f64 = 8.5;

/// A chart, placed.
#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct Plot {
    pub width: f64,
    pub height: f64,
    pub left: f64,
    pub right: f64,
    pub top: f64,
    pub bottom: f64,
    pub x_title: String,
    pub y_title: String,
    pub x_marks: Vec<Mark>,
    pub y_marks: Vec<Mark>,
    pub series: Vec<Drawn>,
    /// Bars, where the chart is an account.
    pub account: Option<Account>,
}

/// A label on an axis.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(in crate::render) struct Mark {
    pub at: f64,
    pub label: String,
}

/// A series: points from left to right, in stretches without a gap.
#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct Drawn {
    pub name: String,
    pub style: SeriesStyle,
    pub stretches: Vec<Vec<[f64; 2]>>,
    /// Height of its name at the right end; `None` where it stands in the legend.
    pub named_at: Option<f64>,
}

/// A round axis: first and last value and the step of its labels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Axis {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) step: f64,
}

/// A chart over the rows of its table; empty where the table has no numbers for it.
pub(in crate::render) fn plot(chart: &Chart, rows: &[RowView]) -> Plot {
    match chart.form {
        ChartForm::Waterfall => waterfall(chart, rows),
        ChartForm::Lines => {
            let lines = rows.iter().filter(|row| row.kind == RowKind::Line);
            lines_over(chart, &lines.map(|row| row.cells.as_slice()).collect::<Vec<_>>())
        }
    }
}

/// Points and lines over the lines of a table.
fn lines_over(chart: &Chart, rows: &[&[CellView]]) -> Plot {
    let (bottom, right) = (HEIGHT - BOTTOM, WIDTH - RIGHT - names_room(chart));
    let along: Vec<Option<f64>> = rows
        .iter()
        .enumerate()
        .map(|(i, row)| if chart.numeric { number(row, chart.along) } else { slot(i) })
        .collect();
    let values = || chart.series.iter().flat_map(|s| rows.iter().filter_map(|row| number(row, s.column)));
    let across = if chart.numeric {
        axis(along.iter().flatten().copied(), false, 8.0)
    } else {
        Axis { from: -0.5, to: slot(rows.len()).unwrap_or(1.0) - 0.5, step: 1.0 }
    };
    let up = axis(values(), true, 5.0);
    let x = |v: f64| tenth(LEFT + (v - across.from) / (across.to - across.from) * (right - LEFT));
    let y = |v: f64| tenth(bottom - (v - up.from) / (up.to - up.from) * (bottom - TOP));
    let x_marks = if chart.numeric { marks(across, x) } else { names(chart, rows, x) };
    let mut plot = frame(chart, [x_marks, marks(up, y)], right);
    plot.series = chart.series.iter().map(|s| drawn(s, &along, rows, x, y)).collect();
    if is_control(chart) {
        name_lines(&mut plot.series);
    }
    plot
}

/// The axes, with nothing between them yet.
pub(super) fn frame(chart: &Chart, [x_marks, y_marks]: [Vec<Mark>; 2], right: f64) -> Plot {
    Plot {
        width: WIDTH,
        height: HEIGHT,
        left: LEFT,
        right,
        top: TOP,
        bottom: HEIGHT - BOTTOM,
        x_title: clean(&chart.x_title),
        y_title: clean(&chart.y_title),
        x_marks,
        y_marks,
        series: Vec::new(),
        account: None,
    }
}

fn is_control(chart: &Chart) -> bool {
    chart.series.iter().any(|s| s.style.of_control())
}

/// Lines that bear their names at their right ends.
fn is_line(style: SeriesStyle) -> bool {
    matches!(style, SeriesStyle::Line | SeriesStyle::Limit | SeriesStyle::ContractLimit)
}

/// Room at the right for the names of lines.
fn names_room(chart: &Chart) -> f64 {
    if !is_control(chart) {
        return 0.0;
    }
    let long = |s: &Series| u32::try_from(s.name.chars().count()).map_or(0.0, f64::from) * CHARACTER + 6.0;
    chart.series.iter().filter(|s| is_line(s.style)).map(long).fold(0.0, f64::max).min(NAMES)
}

/// Names stand at the ends of their lines, pushed apart where they would touch.
fn name_lines(series: &mut [Drawn]) {
    let end = |s: &Drawn| s.stretches.last().and_then(|t| t.last()).map(|p| p[1]);
    let mut lines: Vec<(f64, &mut Drawn)> =
        series.iter_mut().filter(|s| is_line(s.style)).filter_map(|s| end(s).map(|y| (y, s))).collect();
    lines.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = f64::MIN;
    for (y, line) in lines {
        let at = y.max(free);
        line.named_at = Some(tenth(at));
        free = at + APART;
    }
}

fn number(row: &[CellView], column: usize) -> Option<f64> {
    row.get(column)?.number?.to_f64()
}

fn slot(i: usize) -> Option<f64> {
    u32::try_from(i).ok().map(f64::from)
}

pub(super) fn tenth(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

fn drawn(
    series: &Series,
    along: &[Option<f64>],
    rows: &[&[CellView]],
    x: impl Fn(f64) -> f64,
    y: impl Fn(f64) -> f64,
) -> Drawn {
    let mut stretches: Vec<Vec<[f64; 2]>> = vec![Vec::new()];
    let mut order: Vec<(&Option<f64>, &&[CellView])> = along.iter().zip(rows).collect();
    order.sort_by(|a, b| a.0.unwrap_or(f64::MAX).total_cmp(&b.0.unwrap_or(f64::MAX)));
    for (at, row) in order {
        match (at, number(row, series.column)) {
            (_, None) if series.style == SeriesStyle::Outside => {}
            (Some(at), Some(value)) => {
                if let Some(last) = stretches.last_mut() {
                    last.push([x(*at), y(value)]);
                }
            }
            _ => stretches.push(Vec::new()),
        }
    }
    stretches.retain(|s| !s.is_empty());
    Drawn { name: clean(&series.name), style: series.style, stretches, named_at: None }
}

/// An axis around the values, from and to a round number. A side axis begins at zero where zero is near.
pub(super) fn axis(values: impl Iterator<Item = f64>, side: bool, labels: f64) -> Axis {
    let (low, high) = values.fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
    if low > high {
        return Axis { from: 0.0, to: 1.0, step: 0.5 };
    }
    let low = if side && low > 0.0 && low < high / 2.0 { 0.0 } else { low };
    let spread = if high > low { high - low } else { low.abs().max(1.0) * 0.1 };
    let step = round_step(spread / labels);
    let room = if side { step * 0.3 } else { 0.0 };
    let from = if low == 0.0 { 0.0 } else { ((low - room) / step).floor() * step };
    let to = ((high + room) / step).ceil() * step;
    Axis { from, to: if to > from { to } else { from + step }, step }
}

/// The smallest of 1, 2, 5 times a power of ten that is at least `least`.
fn round_step(least: f64) -> f64 {
    let ten = 10_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|n| n * ten).find(|s| *s >= least * 0.999_999).unwrap_or(least)
}

pub(super) fn marks(axis: Axis, place: impl Fn(f64) -> f64) -> Vec<Mark> {
    let decimals = decimal_of(axis.step).map_or(0, |d| u8::try_from(d.normalize().scale()).unwrap_or(6).min(6));
    let mut marks = Vec::new();
    let mut n = 0.0;
    loop {
        let value = axis.from + n * axis.step;
        if value > axis.to + axis.step * 0.001 || marks.len() > 40 {
            return marks;
        }
        let label = decimal_of(value).map_or(String::new(), |d| written(d, decimals));
        marks.push(Mark { at: place(value), label });
        n += 1.0;
    }
}

/// Names of the rows below their places, as many as fit without touching.
fn names(chart: &Chart, rows: &[&[CellView]], place: impl Fn(f64) -> f64) -> Vec<Mark> {
    let mut free = f64::MIN;
    let mut marks = Vec::new();
    for (i, row) in rows.iter().enumerate() {
        let (Some(at), Some(cell)) = (slot(i).map(&place), row.get(chart.along)) else { continue };
        let half = u32::try_from(cell.text.chars().count()).map_or(0.0, f64::from) * 2.2;
        if at - half > free {
            free = at + half + 5.0;
            marks.push(Mark { at, label: cell.text.clone() });
        }
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_begin_and_end_at_round_numbers() {
        let up = axis([8.58, 9.12].into_iter(), true, 5.0);
        assert_eq!(
            marks(up, |v| v).into_iter().map(|m| m.label).collect::<Vec<_>>(),
            ["8.4", "8.6", "8.8", "9.0", "9.2"]
        );
        let across = axis([14_112.0, 14_260.0].into_iter(), false, 8.0);
        assert_eq!((across.from, across.to, across.step), (14_100.0, 14_260.0, 20.0));
    }

    #[test]
    fn a_chart_of_nothing_has_axes_and_no_points() {
        let empty = axis(std::iter::empty(), true, 5.0);
        assert!(empty.to > empty.from);
        let one = axis(std::iter::once(0.0), true, 5.0);
        assert!(one.to > one.from);
    }
}

//! A chart on paper: axes with round numbers and units, points or plain lines, nothing else. Placed in points from the top
//! left corner; the template only draws what stands here.

use rust_decimal::prelude::ToPrimitive;
use serde::Serialize;

use crate::dossier::{Chart, Series};
use crate::render::shown::clean;
use crate::render::view::CellView;
use crate::units::{decimal_of, written};

/// Size of a chart and of the room its labels take.
const WIDTH: f64 = 468.0;
const HEIGHT: f64 = 190.0;
const LEFT: f64 = 48.0;
const RIGHT: f64 = 10.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 34.0;

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
    pub marks: bool,
    pub stretches: Vec<Vec<[f64; 2]>>,
}

/// A round axis: first and last value and the step of its labels.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Axis {
    from: f64,
    to: f64,
    step: f64,
}

/// A chart over the lines of its table; empty where the table has no numbers for it.
pub(in crate::render) fn plot(chart: &Chart, rows: &[Vec<CellView>]) -> Plot {
    let (bottom, right) = (HEIGHT - BOTTOM, WIDTH - RIGHT);
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
    Plot {
        width: WIDTH,
        height: HEIGHT,
        left: LEFT,
        right,
        top: TOP,
        bottom,
        x_title: clean(&chart.x_title),
        y_title: clean(&chart.y_title),
        x_marks,
        y_marks: marks(up, y),
        series: chart.series.iter().map(|s| drawn(s, &along, rows, x, y)).collect(),
    }
}

fn number(row: &[CellView], column: usize) -> Option<f64> {
    row.get(column)?.number?.to_f64()
}

fn slot(i: usize) -> Option<f64> {
    u32::try_from(i).ok().map(f64::from)
}

fn tenth(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

fn drawn(
    series: &Series,
    along: &[Option<f64>],
    rows: &[Vec<CellView>],
    x: impl Fn(f64) -> f64,
    y: impl Fn(f64) -> f64,
) -> Drawn {
    let mut stretches: Vec<Vec<[f64; 2]>> = vec![Vec::new()];
    let mut order: Vec<(&Option<f64>, &Vec<CellView>)> = along.iter().zip(rows).collect();
    order.sort_by(|a, b| a.0.unwrap_or(f64::MAX).total_cmp(&b.0.unwrap_or(f64::MAX)));
    for (at, row) in order {
        match (at, number(row, series.column)) {
            (Some(at), Some(value)) => {
                if let Some(last) = stretches.last_mut() {
                    last.push([x(*at), y(value)]);
                }
            }
            _ => stretches.push(Vec::new()),
        }
    }
    stretches.retain(|s| !s.is_empty());
    Drawn { name: clean(&series.name), marks: series.marks, stretches }
}

/// An axis around the values, from and to a round number. A side axis begins at zero where zero is near.
fn axis(values: impl Iterator<Item = f64>, side: bool, labels: f64) -> Axis {
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

fn marks(axis: Axis, place: impl Fn(f64) -> f64) -> Vec<Mark> {
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
fn names(chart: &Chart, rows: &[Vec<CellView>], place: impl Fn(f64) -> f64) -> Vec<Mark> {
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

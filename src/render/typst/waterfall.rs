//! An account drawn as bars from left to right: what was there, what was added, what was taken away, what is left.
//!
//! A total or subtotal stands on zero. Any other row begins where the row before it ended and goes up or down by its value.
//! Rows without a value are left out. Where the totals are far from zero compared with the steps, the side axis is cut, so
//! that a step of a hundredth of the total can be seen; the title of the axis says so and the bars of the totals are broken.
//! Only the values of the rows are drawn: where a total is not what its steps come to, its bar stands where its value is.

use rust_decimal::prelude::ToPrimitive;
use serde::Serialize;

use super::chart::{Axis, BOTTOM, HEIGHT, LEFT, Mark, Plot, RIGHT, TOP, WIDTH, axis, frame, marks, tenth};
use crate::dossier::{Chart, RowKind};
use crate::render::account::{CUT, heights, is_cut};
use crate::render::view::RowView;

/// Part of its place that a bar takes.
const BAR: f64 = 0.62;
/// Widths of a character of the labels and height of a line of them, in points.
const CHARACTER: f64 = 3.9;
const LINE: f64 = 9.0;
/// A narrower place has its name slanted.
const NARROW: f64 = 46.0;
/// Slanted names: longest line, and how much of it goes down.
const SLANTED: f64 = 92.0;
const SLOPE: f64 = 0.77;
/// Room between a bar and its value.
const GAP: f64 = 2.0;

/// What only an account has.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(in crate::render) struct Account {
    pub bars: Vec<Bar>,
    /// Thin lines from bar to bar: left end, right end, height.
    pub joints: Vec<[f64; 3]>,
    /// Width of a name.
    pub wide: f64,
    /// Names are slanted.
    pub slanted: bool,
    /// Values are turned upright.
    pub upright: bool,
    /// The side axis does not begin at zero.
    pub cut: bool,
}

/// A bar with its value.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(in crate::render) struct Bar {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
    /// `total`, `adds` or `takes`.
    pub tone: &'static str,
    pub label: String,
    /// Where the value stands: its edge towards the bar.
    pub label_at: f64,
    /// The value stands above that place, otherwise below.
    pub above: bool,
}

/// A row of the account, in its own unit.
#[derive(Clone, Debug, PartialEq)]
struct Step {
    name: String,
    text: String,
    total: bool,
    value: f64,
    begins: f64,
    ends: f64,
}

/// The account of a table's rows, placed.
pub(super) fn waterfall(chart: &Chart, rows: &[RowView]) -> Plot {
    let steps = steps(chart, rows);
    let place = (WIDTH - RIGHT - LEFT) / count(steps.len()).max(1.0);
    let upright = steps.iter().any(|s| breadth(&s.text) > place - 3.0);
    let slanted = place < NARROW;
    let wide = if slanted { SLANTED } else { tenth(place - 4.0) };
    let below = BOTTOM - LINE + names_height(&steps, wide, slanted);
    let (up, cut) = side(&steps, if upright { longest(&steps, |s| &s.text) } else { LINE });
    let y = |v: f64| tenth(HEIGHT - BOTTOM - (v - up.from) / (up.to - up.from) * (HEIGHT - BOTTOM - TOP));
    let x = |n: usize| LEFT + place * (count(n) + 0.5);
    let x_marks = steps.iter().enumerate().map(|(n, s)| Mark { at: tenth(x(n)), label: s.name.clone() }).collect();
    let bars: Vec<Bar> =
        steps.iter().enumerate().map(|(n, s)| bar(s, x(n) - place * BAR / 2.0, place * BAR, y)).collect();
    let account = Account { joints: joints(&bars, &steps, y), bars, wide, slanted, upright, cut };
    let mut plot = frame(chart, [x_marks, marks(up, y)], WIDTH - RIGHT);
    plot.height = tenth(HEIGHT - BOTTOM + below);
    if cut {
        plot.y_title = format!("{}{CUT}", plot.y_title);
    }
    plot.account = Some(account);
    plot
}

/// The rows that have a value, each with the heights where it begins and ends.
fn steps(chart: &Chart, rows: &[RowView]) -> Vec<Step> {
    let Some(series) = chart.series.first() else { return Vec::new() };
    let valued = rows.iter().filter_map(|row| {
        let cell = row.cells.get(series.column)?;
        let name = row.cells.get(chart.along).map_or_else(String::new, |c| c.text.clone());
        let (total, value) = (row.kind != RowKind::Line, cell.number?.to_f64()?);
        Some(Step { name, text: cell.text.clone(), total, value, begins: 0.0, ends: 0.0 })
    });
    let mut steps: Vec<Step> = valued.collect();
    let heights = heights(steps.iter().map(|s| (s.total, s.value)));
    for (step, [begins, ends]) in steps.iter_mut().zip(heights) {
        (step.begins, step.ends) = (begins, ends);
    }
    steps
}

/// The side axis with room for the values, and whether it is cut.
fn side(steps: &[Step], label: f64) -> (Axis, bool) {
    let (low, high) = steps
        .iter()
        .flat_map(|s| [if s.total { s.ends } else { s.begins }, s.ends])
        .fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
    if low > high {
        return (axis(std::iter::empty(), true, 5.0), false);
    }
    let cut = is_cut(low, high);
    let (low, high) = if cut { (low, high) } else { (low.min(0.0), high.max(0.0)) };
    let spread = if high > low { high - low } else { high.abs().max(1.0) * 0.1 };
    let room = spread * (label + 2.0 * GAP) / (HEIGHT - BOTTOM - TOP - 2.0 * (label + 2.0 * GAP)).max(40.0);
    let from = if low < 0.0 || cut { low - room } else { low };
    let to = if high > 0.0 || cut { high + room } else { high };
    (axis([from, to].into_iter(), false, 5.0), cut)
}

fn bar(step: &Step, x: f64, width: f64, y: impl Fn(f64) -> f64) -> Bar {
    let inside = |v: f64| y(v).clamp(TOP, HEIGHT - BOTTOM);
    let (begins, ends) = (inside(step.begins), inside(step.ends));
    let (top, low) = (begins.min(ends), begins.max(ends));
    let rises = step.value >= 0.0;
    let tone = match (step.total, rises) {
        (true, _) => "total",
        (false, true) => "adds",
        (false, false) => "takes",
    };
    Bar {
        x: tenth(x),
        y: top,
        width: tenth(width),
        height: tenth(low - top),
        tone,
        label: step.text.clone(),
        label_at: if rises { tenth(top - GAP) } else { tenth(low + GAP) },
        above: rises,
    }
}

/// From where a bar ends to the next.
fn joints(bars: &[Bar], steps: &[Step], y: impl Fn(f64) -> f64) -> Vec<[f64; 3]> {
    let pairs = bars.iter().zip(bars.iter().skip(1)).zip(steps);
    pairs.map(|((a, b), s)| [tenth(a.x + a.width), b.x, y(s.ends)]).collect()
}

/// Height that the names take below the axis.
fn names_height(steps: &[Step], wide: f64, slanted: bool) -> f64 {
    if slanted {
        return longest(steps, |s| &s.name).min(wide) * SLOPE + LINE;
    }
    let lines = |s: &Step| wrapped(&s.name, wide);
    steps.iter().map(lines).fold(1.0, f64::max) * LINE
}

/// Lines that a name takes in a width, broken at blanks.
fn wrapped(name: &str, wide: f64) -> f64 {
    let (mut lines, mut used) = (1.0, 0.0);
    for word in name.split(' ').map(breadth) {
        if used > 0.0 && used + CHARACTER + word > wide {
            lines += 1.0;
            used = 0.0;
        }
        used += word + if used > 0.0 { CHARACTER } else { 0.0 };
        lines += (word / wide).floor();
    }
    lines
}

fn longest(steps: &[Step], of: impl Fn(&Step) -> &String) -> f64 {
    steps.iter().map(|s| breadth(of(s))).fold(0.0, f64::max)
}

fn breadth(text: &str) -> f64 {
    count(text.chars().count()) * CHARACTER
}

fn count(n: usize) -> f64 {
    u32::try_from(n).map_or(0.0, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::{ChartForm, Series, SeriesStyle};
    use crate::render::view::CellView;
    use rust_decimal::{Decimal, dec};

    fn plot(values: &[(RowKind, Option<Decimal>)]) -> (Plot, Account) {
        let cell = |text: String, number| CellView { text, number, ..CellView::default() };
        let row = |(n, (kind, v)): (usize, &(RowKind, Option<Decimal>))| RowView {
            kind: *kind,
            cells: vec![cell(format!("row {n}"), None), cell(v.map_or(String::new(), |v| v.to_string()), *v)],
        };
        let rows: Vec<RowView> = values.iter().enumerate().map(row).collect();
        let chart = Chart {
            title: "Where it went".into(),
            form: ChartForm::Waterfall,
            table: "account".into(),
            along: 0,
            numeric: false,
            series: vec![Series { name: "volume".into(), column: 1, style: SeriesStyle::Points }],
            x_title: String::new(),
            y_title: "volume, yd3".into(),
        };
        let plot = waterfall(&chart, &rows);
        let account = plot.account.clone().unwrap();
        (plot, account)
    }

    /// The value at a height, read off the marks of the side axis as a reader would.
    fn read(plot: &Plot, y: f64) -> f64 {
        let value = |m: &Mark| m.label.replace(',', "").parse::<f64>().unwrap();
        let (a, b) = (plot.y_marks.first().unwrap(), plot.y_marks.last().unwrap());
        value(a) + (a.at - y) / (a.at - b.at) * (value(b) - value(a))
    }

    fn ends(plot: &Plot, account: &Account) -> Vec<[f64; 2]> {
        let tenths = |v: f64| (v * 10.0).round() / 10.0;
        account.bars.iter().map(|b| [tenths(read(plot, b.y)), tenths(read(plot, b.y + b.height))]).collect()
    }

    use RowKind::{Line, Subtotal, Total};

    #[test]
    fn a_known_account_stands_where_its_sums_are() {
        let (plot, account) = plot(&[
            (Subtotal, Some(dec!(100))),
            (Line, Some(dec!(-4))),
            (Line, Some(dec!(-1.5))),
            (Line, Some(dec!(2))),
            (Total, Some(dec!(96.5))),
        ]);
        let floor = read(&plot, plot.bottom);
        let rounded = (floor * 10.0).round() / 10.0;
        assert_eq!(
            ends(&plot, &account),
            [[100.0, rounded], [100.0, 96.0], [96.0, 94.5], [96.5, 94.5], [96.5, rounded]]
        );
        let tones: Vec<_> = account.bars.iter().map(|b| b.tone).collect();
        assert_eq!(tones, ["total", "takes", "takes", "adds", "total"]);
        let joined: Vec<f64> = account.joints.iter().map(|j| (read(&plot, j[2]) * 10.0).round() / 10.0).collect();
        assert_eq!(joined, [100.0, 96.0, 94.5, 96.5]);
    }

    #[test]
    fn an_axis_that_is_cut_says_so_and_a_hundredth_can_be_seen() {
        let (cut, account) = plot(&[(Total, Some(dec!(1000))), (Line, Some(dec!(-10))), (Total, Some(dec!(990)))]);
        assert!(account.cut && cut.y_title.ends_with("(axis does not begin at zero)"), "{}", cut.y_title);
        assert!(account.bars[1].height > 20.0);
        let (whole, account) = plot(&[(Total, Some(dec!(100))), (Line, Some(dec!(-60))), (Total, Some(dec!(40)))]);
        assert!(!account.cut && !whole.y_title.contains("zero"));
        assert_eq!(whole.y_marks[0].label, "0");
    }

    #[test]
    fn a_row_without_value_is_left_out() {
        let (plot, account) = plot(&[(Total, Some(dec!(10))), (Line, None), (Line, Some(dec!(-5)))]);
        assert_eq!(account.bars.len(), 2);
        assert_eq!(plot.x_marks.iter().map(|m| m.label.as_str()).collect::<Vec<_>>(), ["row 0", "row 2"]);
        assert_eq!(ends(&plot, &account), [[10.0, 0.0], [10.0, 5.0]]);
    }

    #[test]
    fn steps_go_through_zero_and_back() {
        let (plot, account) = plot(&[
            (Line, Some(dec!(3))),
            (Line, Some(dec!(-5))),
            (Subtotal, Some(dec!(-2))),
            (Line, Some(dec!(-1))),
            (Line, Some(dec!(4.5))),
            (Total, Some(dec!(1.5))),
        ]);
        assert_eq!(
            ends(&plot, &account),
            [[3.0, 0.0], [3.0, -2.0], [0.0, -2.0], [-2.0, -3.0], [1.5, -3.0], [1.5, 0.0]]
        );
        assert!(!account.cut);
    }

    #[test]
    fn every_bar_and_value_stands_inside_the_chart() {
        let many: Vec<_> = (0..20).map(|n| (Line, Some(Decimal::from(n % 7 - 3)))).collect();
        let (plot, account) = plot(&many);
        assert!(account.slanted);
        for bar in &account.bars {
            assert!(bar.y >= plot.top && bar.y + bar.height <= plot.bottom && bar.label_at > 0.0);
            assert!(bar.x > plot.left && bar.x + bar.width < plot.right);
        }
        let (empty, account) = plot_of_nothing();
        assert!(account.bars.is_empty() && empty.height > 0.0);
    }

    fn plot_of_nothing() -> (Plot, Account) {
        plot(&[(Line, None)])
    }
}

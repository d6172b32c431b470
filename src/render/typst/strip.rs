//! A strip drawing on paper: the lanes cut into rows that fit across a page on its side, each row ending at match lines,
//! everything placed in points. The template only draws what stands here.

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, dec};
use serde::Serialize;

use crate::dossier::{LaneBand, State, Strip};
use crate::render::shown::clean;
use crate::units::plain;

/// Room for the lane's name before the band, height of a band, of a line of core labels, of the scale above the lanes.
const NAME: f64 = 62.0;
const BAND: f64 = 22.0;
const LABEL: f64 = 8.0;
const SCALE: f64 = 20.0;
const BETWEEN: f64 = 5.0;

/// Width of a letter of a core label, how far a label may stand from its core, and the most lines of labels.
const LETTER: f64 = 3.5;
const FAR: f64 = 45.0;
const LINES: usize = 4;

/// A drawing, placed.
#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct Drawing {
    /// On letter paper.
    pub letter: bool,
    /// Width of name and band together.
    pub width: f64,
    /// Where the band begins.
    pub left: f64,
    /// Height of a band.
    pub band: f64,
    /// Length of the scale bar and what it stands for.
    pub bar: f64,
    pub bar_label: String,
    pub rows: Vec<Placed>,
}

/// One row of the drawing.
#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct Placed {
    pub height: f64,
    /// Right end of its bands.
    pub right: f64,
    pub ticks: Vec<PlacedTick>,
    pub lanes: Vec<PlacedLane>,
    /// Station of the match line at either end; empty where the drawing begins or ends.
    pub begins: String,
    pub ends: String,
}

#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct PlacedTick {
    pub x: f64,
    /// Empty where it would touch its neighbour.
    pub label: String,
}

#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct PlacedLane {
    pub name: String,
    pub y: f64,
    pub pieces: Vec<PlacedPiece>,
    pub cores: Vec<PlacedCore>,
}

#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct PlacedPiece {
    pub x: f64,
    pub width: f64,
    pub state: State,
    /// The state's word where it fits.
    pub word: String,
}

#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct PlacedCore {
    pub x: f64,
    pub y: f64,
    pub deficient: bool,
    pub label: String,
    /// Middle of the label.
    pub label_x: f64,
    pub label_y: f64,
}

/// How much of the line a row may hold: 1,500 ft or 500 m.
fn longest(letter: bool) -> Decimal {
    if letter { dec!(1500) } else { dec!(500) }
}

/// Rows of a drawing, about equally long, cut at marked stations where there are any near.
pub(in crate::render) fn spans(strip: &Strip, letter: bool) -> Vec<(Decimal, Decimal)> {
    let longest = longest(letter);
    let mut spans = Vec::new();
    let mut from = strip.from;
    while from < strip.to {
        let left = strip.to - from;
        let rows = (left / longest).ceil().max(Decimal::ONE);
        let aim = from + left / rows;
        let reach = from + longest;
        let fits = |along: Decimal| along > from + (aim - from) / dec!(2) && along <= reach && along < strip.to;
        let ticks = strip.ticks.iter().map(|t| t.along).filter(|&along| fits(along));
        let to =
            if rows == Decimal::ONE { strip.to } else { ticks.min_by_key(|along| (along - aim).abs()).unwrap_or(aim) };
        spans.push((from, to));
        from = to;
    }
    spans
}

/// The drawing for letter or A4 paper.
pub(in crate::render) fn drawing(strip: &Strip, letter: bool) -> Drawing {
    let width = if letter { 676.0 } else { 725.0 };
    let spans = spans(strip, letter);
    let widest = spans.iter().map(|(from, to)| to - from).max().unwrap_or(Decimal::ONE);
    let scale = (width - NAME) / points(widest).max(1.0);
    let bar = bar(widest);
    let unit = if letter { "ft" } else { "m" };
    Drawing {
        letter,
        width,
        left: NAME,
        band: BAND,
        bar: tenth(points(bar) * scale),
        bar_label: format!("{} {unit}", plain(bar)),
        rows: spans.iter().map(|&span| row(strip, span, scale)).collect(),
    }
}

fn points(length: Decimal) -> f64 {
    length.to_f64().unwrap_or(0.0)
}

/// To a tenth of a point, so that the source stays readable.
fn tenth(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

/// The longest of 1, 2, 5, 10, ... that is at most a seventh of a row.
fn bar(widest: Decimal) -> Decimal {
    let mut best = Decimal::ONE;
    let mut ten = Decimal::ONE;
    for _ in 0..6 {
        for step in [dec!(1), dec!(2), dec!(5)] {
            if step * ten * dec!(7) <= widest {
                best = step * ten;
            }
        }
        ten *= dec!(10);
    }
    best
}

fn row(strip: &Strip, (from, to): (Decimal, Decimal), scale: f64) -> Placed {
    let x = |along: Decimal| tenth(NAME + points(along.clamp(from, to) - from) * scale);
    let right = x(to);
    let mut y = SCALE;
    let mut lanes = Vec::new();
    for lane in &strip.lanes {
        let (placed, below) = place(lane, (from, to), y, &x, right);
        lanes.push(placed);
        y += BAND + below + BETWEEN;
    }
    let mark = |along: Decimal, inside: bool| {
        let label =
            strip.ticks.iter().find(|t| t.along == along).map_or(String::new(), |t| format!(" {}", clean(&t.label)));
        if inside { format!("match line{label}") } else { String::new() }
    };
    Placed {
        // The last line is the match lines' own.
        height: tenth(y + LABEL),
        right,
        ticks: ticks(strip, (from, to), &x),
        lanes,
        begins: mark(from, from > strip.from),
        ends: mark(to, to < strip.to),
    }
}

fn ticks(strip: &Strip, (from, to): (Decimal, Decimal), x: &impl Fn(Decimal) -> f64) -> Vec<PlacedTick> {
    let inside: Vec<_> = strip.ticks.iter().enumerate().filter(|(_, t)| t.along >= from && t.along <= to).collect();
    let room = inside.iter().map(|(_, t)| length(&t.label) * 1.2 + 4.0).fold(1.0, f64::max);
    let apart = inside.windows(2).map(|two| x(two[1].1.along) - x(two[0].1.along)).fold(f64::MAX, f64::min);
    let every = every(room / apart);
    inside
        .into_iter()
        .map(|(i, tick)| {
            let label = if i.is_multiple_of(every) { clean(&tick.label) } else { String::new() };
            PlacedTick { x: x(tick.along), label }
        })
        .collect()
}

/// Every how many marks a label fits: 1, 2, 5, 10, ...
pub(in crate::render) fn every(labels_over_distance: f64) -> usize {
    [1, 2, 5, 10, 20, 50, 100].into_iter().find(|&n| count(n) >= labels_over_distance).unwrap_or(1000)
}

fn length(label: &str) -> f64 {
    u32::try_from(label.chars().count()).map_or(0.0, f64::from) * LETTER
}

/// A lane and the height of the core labels below it.
fn place(
    lane: &LaneBand,
    (from, to): (Decimal, Decimal),
    y: f64,
    x: &impl Fn(Decimal) -> f64,
    right: f64,
) -> (PlacedLane, f64) {
    let pieces = lane.pieces.iter().filter(|p| p.from < to && p.to > from).map(|piece| {
        let left = x(piece.from);
        let width = tenth(x(piece.to) - left);
        let word = piece.state.word();
        PlacedPiece {
            x: left,
            width,
            state: piece.state,
            word: if length(word) + 12.0 < width { word.into() } else { String::new() },
        }
    });
    let (cores, below) = cores(lane, (from, to), y, x, right);
    (PlacedLane { name: clean(&lane.name), y, pieces: pieces.collect(), cores }, below)
}

/// Cores with their labels below the band, on as few lines as keep every label near its core.
fn cores(
    lane: &LaneBand,
    (from, to): (Decimal, Decimal),
    y: f64,
    x: &impl Fn(Decimal) -> f64,
    right: f64,
) -> (Vec<PlacedCore>, f64) {
    let mut inside: Vec<_> = lane.cores.iter().filter(|c| c.along >= from && c.along <= to).collect();
    inside.sort_by(|a, b| (a.along, &a.number).cmp(&(b.along, &b.number)));
    let labels: Vec<String> =
        inside.iter().map(|core| clean([core.number.as_str(), &core.text].join(" ").trim())).collect();
    let wanted: Vec<(f64, f64)> =
        inside.iter().zip(&labels).map(|(core, label)| (x(core.along), length(label) + 5.0)).collect();
    let (lines, middles) = label_lines(&wanted, right);
    let led = lines > 1 || middles.iter().zip(&wanted).any(|(m, w)| (m - w.0).abs() > 3.0);
    let room = if led { 8.0 } else { 2.0 };
    let placed = inside.iter().zip(labels).enumerate().map(|(i, (core, label))| PlacedCore {
        x: x(core.along),
        y: tenth(y + BAND - 5.0),
        deficient: core.deficient,
        label,
        label_x: tenth(middles[i]),
        label_y: tenth(y + BAND + room + count(i % lines) * LABEL),
    });
    let below = if inside.is_empty() { 0.0 } else { count(lines) * LABEL + room };
    (placed.collect(), below)
}

fn count(n: usize) -> f64 {
    u32::try_from(n).map_or(0.0, f64::from)
}

/// Number of lines for the labels, which take turns on them, and the middle of each.
fn label_lines(wanted: &[(f64, f64)], right: f64) -> (usize, Vec<f64>) {
    let lay = |lines: usize| {
        let mut middles = vec![0.0; wanted.len()];
        for line in 0..lines {
            let own: Vec<usize> = (line..wanted.len()).step_by(lines).collect();
            let labels: Vec<(f64, f64)> = own.iter().map(|&i| wanted[i]).collect();
            own.iter().zip(spread(&labels, right)).for_each(|(&i, middle)| middles[i] = middle);
        }
        middles
    };
    let near = |middles: &[f64]| middles.iter().zip(wanted).all(|(m, w)| (m - w.0).abs() <= FAR);
    (1..LINES).map(|n| (n, lay(n))).find(|(_, m)| near(m)).unwrap_or_else(|| (LINES, lay(LINES)))
}

/// Labels of given middle and width moved as little as possible so that none touch. Neighbours that would touch become
/// one block, centred on what its labels want.
fn spread(labels: &[(f64, f64)], right: f64) -> Vec<f64> {
    struct Run {
        labels: usize,
        /// Sum of where its left edge should be for each of its labels.
        wanted: f64,
        width: f64,
    }
    let edge = |run: &Run| {
        let furthest = (right + 20.0 - run.width).max(NAME - 20.0);
        (run.wanted / count(run.labels)).clamp(NAME - 20.0, furthest)
    };
    let mut runs: Vec<Run> = Vec::new();
    for &(middle, width) in labels {
        let mut run = Run { labels: 1, wanted: middle - width / 2.0, width };
        while let Some(before) = runs.pop_if(|before| edge(before) + before.width > edge(&run)) {
            run = Run {
                labels: before.labels + run.labels,
                wanted: before.wanted + run.wanted - count(run.labels) * before.width,
                width: before.width + run.width,
            };
        }
        runs.push(run);
    }
    let mut middles = Vec::new();
    for run in &runs {
        let mut at = edge(run);
        for &(_, width) in labels.iter().skip(middles.len()).take(run.labels) {
            middles.push(at + width / 2.0);
            at += width;
        }
    }
    middles
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::{Core, Piece, Tick};

    fn strip(to: i64) -> Strip {
        Strip {
            title: "line".into(),
            from: dec!(0),
            to: to.into(),
            ticks: (0..=to / 100).map(|n| Tick { along: (n * 100).into(), label: format!("{n}+00") }).collect(),
            lanes: vec![LaneBand {
                name: "NB 1".into(),
                pieces: vec![Piece { from: dec!(0), to: to.into(), state: State::Sound }],
                cores: ["A", "B", "C"]
                    .map(|n| Core { number: n.into(), along: dec!(50), text: "8.58 in".into(), deficient: true })
                    .into(),
            }],
        }
    }

    #[test]
    fn a_long_line_is_cut_at_full_stations_into_rows_of_like_length() {
        assert_eq!(
            spans(&strip(3200), true),
            [(0.into(), 1100.into()), (1100.into(), 2100.into()), (2100.into(), 3200.into())]
        );
        assert_eq!(spans(&strip(400), false), [(0.into(), 400.into())]);
        assert_eq!(spans(&strip(0), true), []);
    }

    #[test]
    fn rows_meet_at_match_lines_and_the_ends_have_none() {
        let rows = drawing(&strip(3200), true).rows;
        assert_eq!([&*rows[0].begins, &rows[0].ends], ["", "match line 11+00"]);
        assert_eq!([&*rows[2].begins, &rows[2].ends], ["match line 21+00", ""]);
    }

    #[test]
    fn labels_of_cores_side_by_side_do_not_touch() {
        assert_eq!(spread(&[(300.0, 40.0), (300.0, 40.0), (300.0, 40.0)], 600.0), [260.0, 300.0, 340.0]);
        assert_eq!(spread(&[(100.0, 40.0), (300.0, 40.0)], 600.0), [100.0, 300.0], "far apart, they stay");
        let drawing = drawing(&strip(400), true);
        let middles: Vec<f64> = drawing.rows[0].lanes[0].cores.iter().map(|c| c.label_x).collect();
        assert!(middles[1] - middles[0] > 30.0 && middles[2] - middles[1] > 30.0, "{middles:?}");
    }

    #[test]
    fn a_crowd_of_cores_gets_more_lines() {
        let crowd = vec![(300.0, 50.0); 9];
        assert_eq!(label_lines(&crowd, 600.0).0, LINES);
        assert_eq!(label_lines(&crowd[..2], 600.0).0, 1);
    }

    #[test]
    fn labels_of_the_scale_stand_at_even_distances() {
        assert_eq!([every(0.4), every(1.2), every(3.0), every(0.0)], [1, 2, 5, 1]);
    }

    #[test]
    fn the_scale_bar_is_a_round_length() {
        assert_eq!([bar(dec!(1500)), bar(dec!(400)), bar(dec!(75))], [dec!(200), dec!(50), dec!(10)]);
    }
}

//! A strip drawing on paper: the lanes cut into rows that fit across a page on its side, each row ending at match lines,
//! everything placed in points. The template only draws what stands here.

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, dec};
use serde::Serialize;

use crate::dossier::{LaneBand, MarkShape, State, Strip};
use crate::render::shown::clean;
use crate::render::signs::{self, MarkEntry};
use crate::units::plain;

/// Room for the lane's name before the band, height of a line of mark labels, of the scale above the lanes.
const NAME: f64 = 62.0;
const LABEL: f64 = 8.0;
const SCALE: f64 = 20.0;

/// Height of a band, distance to the next, and how far above its lower edge the marks stand: of lanes, and of steps.
const LANES: Heights = Heights { band: 22.0, between: 5.0, marks: 5.0 };
const STEPS: Heights = Heights { band: 13.0, between: 2.0, marks: 6.5 };

struct Heights {
    band: f64,
    between: f64,
    marks: f64,
}

/// Half of what a mark takes of its band.
const MARK: f64 = 4.0;

/// Width of a letter of a mark label, how far a label may stand from its core, and the most lines of labels.
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
    /// True where the bands are steps of one lane.
    pub steps: bool,
    /// The states and marks that occur.
    pub states: Vec<StateEntry>,
    pub marks: Vec<MarkEntry>,
    pub rows: Vec<Placed>,
}

/// A state in the legend.
#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct StateEntry {
    pub state: State,
    pub word: &'static str,
}

/// One row of the drawing.
#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct Placed {
    /// What all its bands belong to, above their names; empty for none.
    pub group: String,
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
    pub marks: Vec<PlacedMark>,
}

#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct PlacedPiece {
    pub x: f64,
    pub width: f64,
    pub state: State,
    /// The state's word where it fits, and its middle.
    pub word: String,
    pub word_x: f64,
    pub word_y: f64,
}

#[derive(Clone, Debug, Serialize)]
pub(in crate::render) struct PlacedMark {
    pub x: f64,
    pub y: f64,
    pub shape: MarkShape,
    pub deficient: bool,
    /// Empty where it does not matter.
    pub label: String,
    /// Middle and top of the label.
    pub label_x: f64,
    pub label_y: f64,
    /// True where a thin line leads from the mark to its label.
    pub led: bool,
}

/// How much of the line a row may hold: 1,500 ft or 500 m of lanes, 3,000 ft or 1,000 m of steps.
fn longest(strip: &Strip, letter: bool) -> Decimal {
    let lanes = if letter { dec!(1500) } else { dec!(500) };
    if strip.steps { lanes * dec!(2) } else { lanes }
}

fn heights(strip: &Strip) -> &'static Heights {
    if strip.steps { &STEPS } else { &LANES }
}

/// Rows of a drawing, about equally long, cut at marked stations where there are any near.
pub(in crate::render) fn spans(strip: &Strip, letter: bool) -> Vec<(Decimal, Decimal)> {
    let longest = longest(strip, letter);
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
        band: heights(strip).band,
        bar: tenth(points(bar) * scale),
        bar_label: format!("{} {unit}", plain(bar)),
        steps: strip.steps,
        states: signs::states([strip]).into_iter().map(|state| StateEntry { state, word: state.word() }).collect(),
        marks: signs::marks([strip]),
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
    let heights = heights(strip);
    let mut y = SCALE;
    let mut lanes = Vec::new();
    for lane in &strip.lanes {
        let (placed, below) = place(lane, strip.steps, (from, to), y, &x, right);
        lanes.push(placed);
        y = tenth(y + heights.band + below + heights.between);
    }
    let mark = |along: Decimal, inside: bool| {
        let label =
            strip.ticks.iter().find(|t| t.along == along).map_or(String::new(), |t| format!(" {}", clean(&t.label)));
        if inside { format!("match line{label}") } else { String::new() }
    };
    Placed {
        group: clean(&strip.group),
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

/// A band and the height of the mark labels below it.
fn place(
    lane: &LaneBand,
    steps: bool,
    (from, to): (Decimal, Decimal),
    y: f64,
    x: &impl Fn(Decimal) -> f64,
    right: f64,
) -> (PlacedLane, f64) {
    let heights = if steps { &STEPS } else { &LANES };
    let (marks, below) = marks(lane, steps, (from, to), y, x, right);
    // In the high band of a lane words stand above the marks; in the low band of a step, between them.
    let above = if marks.is_empty() || steps { 0.0 } else { 8.0 };
    let pieces = lane.pieces.iter().filter(|p| p.from < to && p.to > from).map(|piece| {
        let left = x(piece.from);
        let width = tenth(x(piece.to) - left);
        let word = piece.state.word();
        let in_the_way = if steps { marks.as_slice() } else { &[] };
        let room = free(left, left + width, in_the_way, length(word) + 12.0);
        PlacedPiece {
            x: left,
            width,
            state: piece.state,
            word: if room.is_some() { word.into() } else { String::new() },
            word_x: tenth(room.unwrap_or(left + width / 2.0)),
            word_y: tenth(y + (heights.band - above) / 2.0),
        }
    });
    let pieces = pieces.collect();
    (PlacedLane { name: clean(&lane.name), y, pieces, marks }, below)
}

/// The middle of a word so wide between two points and clear of the marks, as near the middle as there is room.
fn free(left: f64, right: f64, marks: &[PlacedMark], wide: f64) -> Option<f64> {
    let middle = f64::midpoint(left, right);
    let mut edges = vec![left];
    for mark in marks.iter().filter(|m| m.x > left - MARK && m.x < right + MARK) {
        edges.extend([mark.x - MARK, mark.x + MARK]);
    }
    edges.push(right);
    let rooms = edges.chunks(2).filter(|room| room.len() == 2 && room[1] - room[0] > wide);
    rooms
        .map(|room| middle.clamp(room[0] + wide / 2.0, room[1] - wide / 2.0))
        .min_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
}

/// Marks with their labels below the band, on as few lines as keep every label near its mark. Of steps, only what is
/// deficient is labelled.
fn marks(
    lane: &LaneBand,
    steps: bool,
    (from, to): (Decimal, Decimal),
    y: f64,
    x: &impl Fn(Decimal) -> f64,
    right: f64,
) -> (Vec<PlacedMark>, f64) {
    let heights = if steps { &STEPS } else { &LANES };
    let mut inside: Vec<_> = lane.marks.iter().filter(|c| c.along >= from && c.along <= to).collect();
    inside.sort_by(|a, b| (a.along, &a.number).cmp(&(b.along, &b.number)));
    let mut placed: Vec<PlacedMark> = inside
        .into_iter()
        .map(|mark| {
            let at = x(mark.along);
            let said = !steps || mark.deficient;
            PlacedMark {
                x: at,
                y: tenth(y + heights.band - heights.marks),
                shape: mark.shape,
                deficient: mark.deficient,
                label: if said { clean([mark.number.as_str(), &mark.text].join(" ").trim()) } else { String::new() },
                label_x: at,
                label_y: y + heights.band,
                led: false,
            }
        })
        .collect();
    let mut labelled: Vec<&mut PlacedMark> = placed.iter_mut().filter(|m| !m.label.is_empty()).collect();
    let wanted: Vec<(f64, f64)> = labelled.iter().map(|mark| (mark.x, length(&mark.label) + 5.0)).collect();
    if wanted.is_empty() {
        return (placed, 0.0);
    }
    let (lines, middles) = label_lines(&wanted, right);
    let aside = |i: usize| (middles[i] - wanted[i].0).abs() > 3.0;
    let room = if lines > 1 || (0..wanted.len()).any(aside) { 8.0 } else { 2.0 };
    for (i, mark) in labelled.iter_mut().enumerate() {
        let line = i % lines;
        mark.label_x = tenth(middles[i]);
        mark.label_y = tenth(y + heights.band + room + count(line) * LABEL);
        mark.led = mark.deficient || aside(i) || line > 0;
    }
    (placed, count(lines) * LABEL + room)
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
    use crate::dossier::{Mark, Piece, Tick};

    fn mark(number: &str, along: i64, deficient: bool) -> Mark {
        let shape = MarkShape::Core;
        Mark { number: number.into(), along: along.into(), text: "8.58 in".into(), deficient, shape }
    }

    fn strip(to: i64) -> Strip {
        Strip {
            id: "line".into(),
            group: String::new(),
            steps: false,
            title: "line".into(),
            from: dec!(0),
            to: to.into(),
            ticks: (0..=to / 100).map(|n| Tick { along: (n * 100).into(), label: format!("{n}+00") }).collect(),
            lanes: vec![LaneBand {
                name: "NB 1".into(),
                pieces: vec![Piece { from: dec!(0), to: to.into(), state: State::Sound }],
                marks: ["A", "B", "C"].map(|n| mark(n, 50, true)).into(),
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
        let middles: Vec<f64> = drawing.rows[0].lanes[0].marks.iter().map(|c| c.label_x).collect();
        assert!(middles[1] - middles[0] > 30.0 && middles[2] - middles[1] > 30.0, "{middles:?}");
    }

    #[test]
    fn a_crowd_of_cores_gets_more_lines() {
        let crowd = vec![(300.0, 50.0); 9];
        assert_eq!(label_lines(&crowd, 600.0).0, LINES);
        assert_eq!(label_lines(&crowd[..2], 600.0).0, 1);
    }

    #[test]
    fn rows_of_steps_are_low_and_hold_twice_as_much_of_the_line() {
        let steps = Strip { steps: true, group: "NB-1".into(), ..strip(11_500) };
        let drawing = drawing(&steps, true);
        let ends: Vec<[&str; 2]> = drawing.rows.iter().map(|r| [&*r.begins, &*r.ends]).collect();
        let [a, b, c] = ["match line 29+00", "match line 58+00", "match line 86+00"];
        assert_eq!(ends, [["", a], [a, b], [b, c], [c, ""]]);
        assert!(drawing.rows.iter().all(|r| r.group == "NB-1"));
        // The first row has the crowded labels of its marks below the band.
        assert!(drawing.rows.iter().skip(1).all(|r| r.height < 60.0));
    }

    #[test]
    fn only_a_deficient_mark_of_a_step_is_labelled_and_no_word_stands_on_a_mark() {
        let mut steps = Strip { steps: true, ..strip(3_000) };
        steps.lanes[0].marks = (0..40)
            .map(|n| mark(&format!("D-{n}"), n * 37 + 40, n % 9 == 4))
            .chain([mark("D-98", 2600, true)])
            .collect();
        let drawing = drawing(&steps, true);
        let lane = &drawing.rows[0].lanes[0];
        let labels: Vec<&PlacedMark> = lane.marks.iter().filter(|m| !m.label.is_empty()).collect();
        assert!(labels.len() == 5 && labels.iter().all(|m| m.deficient && m.led));
        for (a, b) in labels.iter().zip(&labels[1..]) {
            let apart = b.label_x - a.label_x;
            assert!(
                apart >= f64::midpoint(length(&a.label), length(&b.label)) || (a.label_y - b.label_y).abs() > 0.1,
                "{a:?} {b:?}"
            );
        }
        let piece = &lane.pieces[0];
        assert_eq!(piece.word, "sound");
        let near = lane.marks.iter().map(|m| (m.x - piece.word_x).abs()).fold(f64::MAX, f64::min);
        assert!(near > length("sound") / 2.0 + MARK, "{near}");
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

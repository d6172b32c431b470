//! A drawing of the lanes in characters: one per some feet or metres of a lane, the worst state in it wins.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::dossier::Strip;
use crate::render::columns::width;
use crate::render::shown::clean;
use crate::render::signs;
use crate::render::typst::{every, spans};
use crate::render::view::StripView;
use crate::wrapping::wrap;

/// Characters before the band, for the lane's name.
const NAME: usize = 14;

/// The lines of a drawing, its title first.
pub(super) fn lines(view: &StripView, wide: usize) -> Vec<String> {
    let strip = &view.strip;
    let mut out = wrap(&format!("Drawing {}. {}", view.number, view.title), wide);
    let states = signs::states([strip]).into_iter().map(|state| format!("{} {}", signs::sign(state), state.word()));
    let marks =
        signs::marks([strip]).into_iter().map(|m| format!("{} {}", signs::mark_sign(m.shape, m.deficient), m.word));
    out.extend(legend(states.chain(marks).chain(["ahead is right".into()]), wide));
    let band = wide - NAME - 2;
    for span in spans(strip, view.drawing.letter) {
        let scale = Scale { from: span.0, per: (span.1 - span.0) / Decimal::from(band), band };
        out.push(String::new());
        let group = named(&clean(&strip.group), wide, &mut out);
        out.push(format!("{group:<NAME$}  {}", stations(strip, &scale)));
        for lane in &strip.lanes {
            let name = named(&clean(&lane.name), wide, &mut out);
            let signs: String = (0..band).map(|i| sign(lane, &scale, i)).collect();
            out.push(format!("{name:<NAME$}  {signs}"));
            let marks = signs::mark_row(lane, band, |along| scale.character(along));
            if !marks.is_empty() {
                out.push(format!("{:NAME$}  {marks}", ""));
            }
        }
    }
    out
}

/// The entries of a legend, on as many lines as they need, none broken.
fn legend(entries: impl Iterator<Item = String>, wide: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for entry in entries {
        match lines.last_mut() {
            Some(line) if width(line) + 3 + width(&entry) <= wide => line.push_str(&format!("   {entry}")),
            _ => lines.push(entry),
        }
    }
    lines
}

/// A name to stand before its row; one that is too long stands above it.
fn named(name: &str, wide: usize, above: &mut Vec<String>) -> String {
    if width(name) <= NAME {
        return name.into();
    }
    above.extend(wrap(name, wide));
    String::new()
}

struct Scale {
    from: Decimal,
    per: Decimal,
    band: usize,
}

impl Scale {
    fn character(&self, along: Decimal) -> Option<usize> {
        let at = (along - self.from).checked_div(self.per)?;
        let i = at.floor().to_usize()?;
        (i <= self.band).then(|| i.min(self.band - 1))
    }

    fn reach(&self, i: usize) -> (Decimal, Decimal) {
        (self.from + self.per * Decimal::from(i), self.from + self.per * Decimal::from(i + 1))
    }
}

fn sign(lane: &crate::dossier::LaneBand, scale: &Scale, i: usize) -> char {
    let (from, to) = scale.reach(i);
    signs::worst(lane, from, to).map_or(' ', signs::sign)
}

/// Labels of the stations, each beginning over its place, as many as stand at even distances without touching.
fn stations(strip: &Strip, scale: &Scale) -> String {
    let labels: Vec<(usize, String)> = strip
        .ticks
        .iter()
        .enumerate()
        .filter_map(|(n, tick)| scale.character(tick.along).map(|_| (n, format!("|{}", clean(&tick.label)))))
        .collect();
    let longest = labels.iter().map(|(_, label)| label.chars().count() + 1).max().unwrap_or(1);
    let apart = labels.windows(2).filter_map(|two| {
        let (a, b) = (strip.ticks[two[0].0].along, strip.ticks[two[1].0].along);
        (b - a).checked_div(scale.per)?.to_f64()
    });
    let longest = u32::try_from(longest).map_or(1.0, f64::from);
    let every = every(longest / apart.fold(f64::MAX, f64::min));
    let mut line: Vec<char> = Vec::new();
    for (n, label) in labels.into_iter().filter(|(n, _)| n.is_multiple_of(every)) {
        if let Some(i) = scale.character(strip.ticks[n].along)
            && i >= line.len()
            && i + label.chars().count() <= scale.band
        {
            line.resize(i, ' ');
            line.extend(label.chars());
        }
    }
    line.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::{LaneBand, Mark, MarkShape, Piece, State};

    #[test]
    fn the_worst_state_in_a_character_wins() {
        let piece = |from: i64, to: i64, state| Piece { from: from.into(), to: to.into(), state };
        let lane = LaneBand {
            name: "NB 2".into(),
            pieces: vec![piece(0, 12, State::Sound), piece(12, 14, State::Deficient), piece(14, 30, State::Sound)],
            marks: vec![Mark {
                number: "C-1".into(),
                along: 13.into(),
                text: String::new(),
                deficient: true,
                shape: MarkShape::Core,
            }],
        };
        let scale = Scale { from: 0.into(), per: 10.into(), band: 4 };
        assert_eq!((0..4).map(|i| sign(&lane, &scale, i)).collect::<String>(), "=#= ");
        assert_eq!(scale.character(lane.marks[0].along), Some(1));
        assert_eq!(scale.character(40.into()), Some(3), "the right edge belongs to the last character");
        assert_eq!(scale.character((-1).into()), None);
    }
}

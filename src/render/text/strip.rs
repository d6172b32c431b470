//! A drawing of the lanes in characters: one per some feet or metres of a lane, the worst state in it wins.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::dossier::{State, Strip};
use crate::render::columns::width;
use crate::render::shown::clean;
use crate::render::typst::{every, spans};
use crate::render::view::StripView;
use crate::wrapping::wrap;

/// Characters before the band, for the lane's name.
const NAME: usize = 14;

/// What stands for a state, worst first.
const SIGNS: [(State, char); 4] =
    [(State::Deficient, '#'), (State::NotTested, '?'), (State::NotPlaced, '.'), (State::Sound, '=')];

/// The lines of a drawing, its title first.
pub(super) fn lines(view: &StripView, wide: usize) -> Vec<String> {
    let strip = &view.strip;
    let mut out = wrap(&format!("Drawing {}. {}", view.number, view.title), wide);
    let legend: Vec<String> = SIGNS.iter().rev().map(|(state, sign)| format!("{sign} {}", state.word())).collect();
    out.push(format!("{}   o core   x deficient core   ahead is right", legend.join("   ")));
    let band = wide - NAME - 2;
    for span in spans(strip, view.drawing.letter) {
        let scale = Scale { from: span.0, per: (span.1 - span.0) / Decimal::from(band), band };
        out.push(String::new());
        out.push(format!("{:NAME$}  {}", "", stations(strip, &scale)));
        for lane in &strip.lanes {
            let mut name = clean(&lane.name);
            if width(&name) > NAME {
                out.extend(wrap(&name, wide));
                name.clear();
            }
            out.push(format!("{name:<NAME$}  {}", (0..band).map(|i| sign(lane, &scale, i)).collect::<String>()));
            let mut cores = vec![' '; band];
            for core in &lane.cores {
                if let Some(i) = scale.character(core.along)
                    && cores[i] != 'x'
                {
                    cores[i] = if core.deficient { 'x' } else { 'o' };
                }
            }
            if cores.iter().any(|&c| c != ' ') {
                out.push(format!("{:NAME$}  {}", "", cores.into_iter().collect::<String>().trim_end()));
            }
        }
    }
    out
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
    let here = |state| lane.pieces.iter().any(|p| p.state == state && p.from < to && p.to > from);
    SIGNS.iter().find(|(state, _)| here(*state)).map_or(' ', |(_, sign)| *sign)
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
    use crate::dossier::{Core, LaneBand, Piece};

    #[test]
    fn the_worst_state_in_a_character_wins() {
        let piece = |from: i64, to: i64, state| Piece { from: from.into(), to: to.into(), state };
        let lane = LaneBand {
            name: "NB 2".into(),
            pieces: vec![piece(0, 12, State::Sound), piece(12, 14, State::Deficient), piece(14, 30, State::Sound)],
            cores: vec![Core { number: "C-1".into(), along: 13.into(), text: String::new(), deficient: true }],
        };
        let scale = Scale { from: 0.into(), per: 10.into(), band: 4 };
        assert_eq!((0..4).map(|i| sign(&lane, &scale, i)).collect::<String>(), "=#= ");
        assert_eq!(scale.character(lane.cores[0].along), Some(1));
        assert_eq!(scale.character(40.into()), Some(3), "the right edge belongs to the last character");
        assert_eq!(scale.character((-1).into()), None);
    }
}

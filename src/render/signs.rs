//! What stands for a state or a mark where there is room for one character, and what a drawing's legend has to say.
//!
//! A legend holds what occurs in the drawing and nothing else, in the same order in every form.

use rust_decimal::Decimal;
use serde::Serialize;

use crate::dossier::{LaneBand, MarkShape, State, Strip};

/// Worst first: where several states share a character or a cell, the worst of them is shown.
const WORST: [State; 10] = [
    State::Failed,
    State::Missing,
    State::Deficient,
    State::Unproved,
    State::NotTested,
    State::NotYet,
    State::NotPlaced,
    State::MayOpen,
    State::Proved,
    State::Sound,
];

/// The character of a state.
pub(super) fn sign(state: State) -> char {
    match state {
        State::Sound => '=',
        State::NotTested => '?',
        State::Deficient => '#',
        State::NotPlaced => '.',
        State::Proved => '+',
        State::Unproved => '~',
        State::Failed => '@',
        State::Missing => '!',
        State::MayOpen => '>',
        State::NotYet => '-',
    }
}

/// The character of a mark.
pub(super) fn mark_sign(shape: MarkShape, deficient: bool) -> char {
    match (shape, deficient) {
        (MarkShape::Core, false) => 'o',
        (MarkShape::Core, true) => 'x',
        (MarkShape::Test, false) => 't',
        (MarkShape::Test, true) => 'T',
        (MarkShape::Specimen, false) => 's',
        (MarkShape::Specimen, true) => 'S',
        (MarkShape::Logger, false) => 'l',
        (MarkShape::Logger, true) => 'L',
        (MarkShape::Photo, false) => 'p',
        (MarkShape::Photo, true) => 'P',
    }
}

/// A kind of mark in a legend.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct MarkEntry {
    pub shape: MarkShape,
    pub deficient: bool,
    /// `core`, `deficient core`, `failed test`.
    pub word: String,
}

/// The states that occur in drawings, sound ones first.
pub(super) fn states<'a>(strips: impl IntoIterator<Item = &'a Strip>) -> Vec<State> {
    let mut states: Vec<State> =
        strips.into_iter().flat_map(|s| &s.lanes).flat_map(|l| &l.pieces).map(|p| p.state).collect();
    states.sort_unstable();
    states.dedup();
    states
}

/// The marks that occur in drawings.
pub(super) fn marks<'a>(strips: impl IntoIterator<Item = &'a Strip>) -> Vec<MarkEntry> {
    let mut found: Vec<(MarkShape, bool, bool)> = strips
        .into_iter()
        .flat_map(|s| s.lanes.iter().flat_map(|l| &l.marks).map(|m| (m.shape, m.deficient, s.steps)))
        .collect();
    found.sort_unstable();
    found.dedup_by_key(|(shape, deficient, _)| (*shape, *deficient));
    found
        .into_iter()
        .map(|(shape, deficient, steps)| {
            let worse = if steps { "failed " } else { "deficient " };
            let word = format!("{}{}", if deficient { worse } else { "" }, shape.word());
            MarkEntry { shape, deficient, word }
        })
        .collect()
}

/// The worst state of a band between two points.
pub(super) fn worst(band: &LaneBand, from: Decimal, to: Decimal) -> Option<State> {
    let here = |state| band.pieces.iter().any(|p| p.state == state && p.from < to && p.to > from);
    WORST.into_iter().find(|&state| here(state))
}

/// The marks of a band as characters, one for each of `count` places; a deficient one wins. Empty where there are none.
pub(super) fn mark_row(band: &LaneBand, count: usize, place: impl Fn(Decimal) -> Option<usize>) -> String {
    let mut row = vec![(' ', false); count];
    for mark in &band.marks {
        if let Some(i) = place(mark.along)
            && !row[i].1
        {
            row[i] = (mark_sign(mark.shape, mark.deficient), mark.deficient);
        }
    }
    let text: String = row.into_iter().map(|(sign, _)| sign).collect();
    text.trim_end().into()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::dossier::example;
    use crate::dossier::{Block, Piece};

    fn strips() -> Vec<Strip> {
        let blocks = example().0.pages.into_iter().flat_map(|p| p.blocks);
        blocks.filter_map(|b| if let Block::Strip(s) = b { Some(s) } else { None }).collect()
    }

    #[test]
    fn every_state_and_mark_has_a_character_of_its_own() {
        let states: BTreeSet<char> = WORST.into_iter().map(sign).collect();
        assert_eq!(states.len(), 10);
        let shapes = [MarkShape::Core, MarkShape::Test, MarkShape::Specimen, MarkShape::Logger, MarkShape::Photo];
        let marks: BTreeSet<char> =
            shapes.into_iter().flat_map(|s| [mark_sign(s, false), mark_sign(s, true)]).collect();
        assert_eq!(marks.len(), 10);
        assert!(marks.is_disjoint(&states));
    }

    #[test]
    fn a_legend_says_only_what_occurs() {
        let strips = strips();
        let (old, steps) = (&strips[0], strips.iter().find(|s| s.steps).unwrap());
        assert_eq!(states([old]), [State::Sound, State::NotTested, State::Deficient, State::NotPlaced]);
        assert_eq!(marks([old]).iter().map(|m| &*m.word).collect::<Vec<_>>(), ["core", "deficient core"]);
        let known = [State::NotPlaced, State::Proved, State::Unproved, State::Failed, State::Missing];
        assert_eq!(states([steps]), [known.as_slice(), &[State::MayOpen, State::NotYet]].concat());
        let words: Vec<String> = marks([steps]).into_iter().map(|m| m.word).collect();
        assert_eq!(
            words,
            ["core", "failed core", "test", "failed test", "specimen", "failed specimen", "logger", "photo"]
        );
        let mut bare = steps.clone();
        bare.lanes.truncate(1);
        bare.lanes[0].marks.clear();
        bare.lanes[0].pieces = vec![Piece { from: bare.from, to: bare.to, state: State::Missing }];
        assert_eq!((states([&bare]), marks([&bare])), (vec![State::Missing], Vec::new()));
    }
}

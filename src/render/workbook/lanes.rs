//! The step drawings on a sheet of their own: a row for each band, a narrow column for each piece of the line, the worst state of
//! the piece by tone, pattern and character, so that a grey print reads the same.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use rust_xlsxwriter::{Format, FormatAlign, FormatPattern};

use super::leaf::Leaf;
use super::style;
use crate::dossier::{Dossier, State, Strip};
use crate::render::RenderError;
use crate::render::signs::{mark_row, mark_sign, marks, sign, states, worst};

/// Columns that a strip is drawn in.
const COLUMNS: u16 = 80;
/// First of them.
const FIRST: u16 = 1;
/// Every how many columns a station is written.
const LABELLED: u16 = 10;

/// Writes every step drawing of the dossier.
pub(super) fn write(leaf: &mut Leaf, dossier: &Dossier, strips: &[&Strip]) -> Result<(), RenderError> {
    leaf.printed(&dossier.head, true);
    leaf.width(0, 16.0)?;
    for column in FIRST..=COLUMNS {
        leaf.width(column, 1.5)?;
    }
    leaf.sheet.set_row_height(0, 24.0)?;
    leaf.text(0, 0, "Lanes as built", &style::title())?;
    let what =
        "Each column is a piece of the lane, each row a step; where a piece has several states, the worst is shown.";
    leaf.text(1, 0, what, &style::muted())?;
    let mut row = legend(leaf, strips, 3)? + 1;
    for strip in strips {
        row = draw(leaf, strip, row)? + 1;
    }
    Ok(())
}

/// What the tones and characters mean; the row after it.
fn legend(leaf: &mut Leaf, strips: &[&Strip], mut row: u32) -> Result<u32, RenderError> {
    for state in states(strips.iter().copied()) {
        leaf.text(row, FIRST, &sign(state).to_string(), &look(state))?;
        leaf.text(row, FIRST + 2, state.word(), &style::base())?;
        row += 1;
    }
    let words: Vec<String> = marks(strips.iter().copied())
        .iter()
        .map(|m| format!("{} {}", mark_sign(m.shape, m.deficient), m.word))
        .collect();
    if !words.is_empty() {
        leaf.text(row, FIRST, &words.join("   "), &style::muted())?;
        row += 1;
    }
    Ok(row)
}

/// One strip; the row after it.
fn draw(leaf: &mut Leaf, strip: &Strip, top: u32) -> Result<u32, RenderError> {
    leaf.text(top, 0, &strip.title, &style::heading())?;
    let end = |n: u16| strip.from + (strip.to - strip.from) * Decimal::from(n) / Decimal::from(COLUMNS);
    for n in (0..COLUMNS).step_by(usize::from(LABELLED)) {
        leaf.text(top + 1, FIRST + n, &station(strip, end(n)), &style::muted())?;
    }
    let mut row = top + 2;
    let place = |along: Decimal| {
        let at = (along - strip.from) * Decimal::from(COLUMNS) / (strip.to - strip.from).max(Decimal::ONE);
        at.floor().to_usize().map(|i| i.min(usize::from(COLUMNS) - 1))
    };
    for band in &strip.lanes {
        leaf.text(row, 0, &band.name, &style::base())?;
        for n in 0..COLUMNS {
            if let Some(state) = worst(band, end(n), end(n + 1)) {
                leaf.text(row, FIRST + n, &sign(state).to_string(), &look(state))?;
            }
        }
        row += 1;
        let marked = mark_row(band, usize::from(COLUMNS), place);
        if !marked.is_empty() {
            for (n, sign) in (FIRST..).zip(marked.chars()).filter(|(_, c)| *c != ' ') {
                leaf.text(row, n, &sign.to_string(), &style::muted().set_align(FormatAlign::Center))?;
            }
            row += 1;
        }
    }
    Ok(row)
}

/// The full station at or before a point.
fn station(strip: &Strip, along: Decimal) -> String {
    strip.ticks.iter().rev().find(|t| t.along <= along).map_or_else(String::new, |t| t.label.clone())
}

/// Tone and pattern of a state; the character stands in it.
fn look(state: State) -> Format {
    let cell = |ground: u32, pattern: FormatPattern, ink: u32| {
        Format::new()
            .set_font_name(style::TYPEFACE)
            .set_font_size(8)
            .set_align(FormatAlign::Center)
            .set_pattern(pattern)
            .set_background_color(ground)
            .set_foreground_color(ink)
    };
    match state {
        State::Sound | State::Proved => cell(0xCF_E1E4, FormatPattern::Solid, 0xCF_E1E4),
        State::NotTested | State::Unproved => cell(0xF4_EECB, FormatPattern::Gray0625, 0x6D_6433),
        State::Deficient | State::Failed => cell(0xE0_A070, FormatPattern::LightUp, 0x5A_2A0C).set_bold(),
        State::Missing => cell(0xD9_CFE6, FormatPattern::LightTrellis, 0x33_204F).set_bold(),
        State::NotPlaced => cell(0xFF_FFFF, FormatPattern::Solid, 0xFF_FFFF),
        State::MayOpen => cell(0xE3_EDF8, FormatPattern::LightHorizontal, 0xB4_C8DE),
        State::NotYet => cell(0xDD_DFE1, FormatPattern::LightVertical, 0x9A_A0A6),
    }
}

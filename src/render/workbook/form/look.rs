//! How a form looks: grey and white only, thin rules, room for a pencil.

use rust_xlsxwriter::{Format, FormatAlign, FormatBorder, FormatPattern};

use super::super::style;
use crate::dossier::FormCheck;

/// Size of small print, in points.
pub(super) const SMALL_PRINT: f64 = 8.0;
const RULE: u32 = 0x80_8080;
const HEADS: u32 = 0xE4_E4E4;
const GREY: u32 = 0x70_7070;
const SHADE: u32 = 0xF2_F2F2;

/// What a line of the sheet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Line {
    /// Nothing of its own.
    Bare,
    Title,
    Text,
    Small,
    /// Before what is filled in once.
    Label,
    /// By which the form is known.
    Mark,
    /// Above the columns that are not printed.
    Beyond,
    Example,
    /// To write in.
    Ruled,
}

impl Line {
    /// Size of its letters and height of a line, in points, so many times larger than usual.
    pub(super) fn size(self, larger: f64) -> (f64, f64) {
        let (size, height) = match self {
            Line::Title => (15.0, 21.0),
            Line::Small => (SMALL_PRINT, 11.0),
            Line::Mark => (7.0, 13.0),
            _ => (9.0, 13.0),
        };
        ((size * larger).round(), height * larger)
    }
}

/// What is printed about the entries.
pub(super) fn around(line: Line, larger: f64) -> Format {
    let base = style::base().set_font_size(line.size(larger).0).set_align(FormatAlign::VerticalCenter);
    match line {
        Line::Title => base.set_bold(),
        Line::Label => base.set_align(FormatAlign::Right).set_text_wrap(),
        Line::Mark => base.set_align(FormatAlign::Right).set_font_color(GREY).set_text_wrap(),
        Line::Beyond => base.set_italic().set_font_color(GREY),
        Line::Text | Line::Small => base.set_align(FormatAlign::Left).set_text_wrap(),
        Line::Bare | Line::Example | Line::Ruled => base,
    }
}

/// What is filled in once for the sheet.
pub(super) fn blank() -> Format {
    text(style::base()).set_border_bottom(FormatBorder::Thin).set_border_bottom_color(RULE).set_unlocked()
}

pub(super) fn heading(printed: bool) -> Format {
    let base = ruled(style::base().set_bold().set_text_wrap());
    let base = base.set_align(FormatAlign::Center).set_align(FormatAlign::VerticalCenter);
    if printed { base.set_background_color(HEADS) } else { base.set_font_color(GREY) }
}

/// An entry, by how it is written.
pub(super) fn entry(check: &FormCheck, line: Line) -> Format {
    let base = style::base().set_align(FormatAlign::VerticalCenter);
    let base = match check {
        FormCheck::Text | FormCheck::Station { .. } | FormCheck::List { .. } => text(base),
        // The month in letters: a day typed in another order than the program's shows at once.
        FormCheck::Day(..) => base.set_num_format("d mmm yyyy").set_align(FormatAlign::Left),
        FormCheck::Time => base.set_num_format("hh:mm").set_align(FormatAlign::Center),
        FormCheck::Number { .. } => base.set_align(FormatAlign::Center),
    };
    match line {
        Line::Example => ruled(base)
            .set_italic()
            .set_font_size(9)
            .set_font_color(GREY)
            .set_text_wrap()
            .set_pattern(FormatPattern::LightUp)
            .set_foreground_color(HEADS)
            .set_background_color(SHADE),
        Line::Ruled => ruled(base).set_unlocked(),
        _ => base.set_unlocked(),
    }
}

fn text(base: Format) -> Format {
    base.set_num_format("@").set_align(FormatAlign::Left)
}

fn ruled(base: Format) -> Format {
    base.set_border(FormatBorder::Thin).set_border_color(RULE)
}

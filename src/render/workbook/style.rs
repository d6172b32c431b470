//! How the workbook looks: one typeface, two weights, one accent, thin rules.
//!
//! What is typed in stands on a tinted ground, what is worked out on white, and what the pages show and pay is set under
//! a rule or in the accent tone; each of these is also said in words on 'Basis', so that a grey print reads the same.

use rust_xlsxwriter::{Format, FormatAlign, FormatBorder};

/// Common everywhere, and with the same widths in its free counterparts.
pub(super) const TYPEFACE: &str = "Arial";
/// Deep blue-green, dark enough for text on white.
pub(super) const ACCENT: u32 = 0x1F_4E5F;
/// Secondary text.
pub(super) const MUTED: u32 = 0x55_6066;
/// Thin rules.
const RULE: u32 = 0xC8_CFD2;
/// Ground of what was typed in.
const TYPED: u32 = 0xF5_F1E6;

/// What a line of a table is, as far as rules and weight go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Weight {
    Line,
    Subtotal,
    Total,
}

/// The typeface and nothing else.
pub(super) fn base() -> Format {
    Format::new().set_font_name(TYPEFACE).set_font_size(10).set_align(FormatAlign::Top)
}

/// Title of a sheet.
pub(super) fn title() -> Format {
    base().set_font_size(16).set_bold().set_font_color(ACCENT)
}

/// Heading inside a sheet.
pub(super) fn heading() -> Format {
    base().set_font_size(12).set_bold().set_font_color(ACCENT)
}

/// Title of a table or calculation.
pub(super) fn caption() -> Format {
    base().set_bold()
}

/// Bold text: a stamp, a caution.
pub(super) fn strong() -> Format {
    base().set_bold().set_text_wrap()
}

/// Secondary text.
pub(super) fn muted() -> Format {
    base().set_font_color(MUTED)
}

/// Running text.
pub(super) fn text() -> Format {
    base().set_text_wrap()
}

/// Column heading; a rule under it where no line of units follows.
pub(super) fn column_heading(right: bool, ruled: bool) -> Format {
    let f = aligned(base().set_bold().set_text_wrap(), right).set_align(FormatAlign::Bottom);
    if ruled { rule_below(f) } else { f }
}

/// Line of units under the headings.
pub(super) fn column_unit(right: bool) -> Format {
    rule_below(aligned(muted(), right))
}

fn rule_below(f: Format) -> Format {
    f.set_border_bottom(FormatBorder::Thin).set_border_bottom_color(ACCENT)
}

fn aligned(f: Format, right: bool) -> Format {
    f.set_align(if right { FormatAlign::Right } else { FormatAlign::Left })
}

/// A cell of a table's line.
pub(super) fn line(weight: Weight, right: bool) -> Format {
    let f = aligned(base(), right);
    match weight {
        Weight::Line => f.set_border_bottom(FormatBorder::Hair).set_border_bottom_color(RULE),
        Weight::Subtotal => f.set_bold().set_border_top(FormatBorder::Thin).set_border_top_color(RULE),
        Weight::Total => f
            .set_bold()
            .set_border_top(FormatBorder::Thin)
            .set_border_top_color(ACCENT)
            .set_border_bottom(FormatBorder::Thin)
            .set_border_bottom_color(ACCENT),
    }
}

/// Words set off a little from a number that may stand at their left.
pub(super) fn set_off(f: Format) -> Format {
    f.set_indent(1)
}

/// The same on the ground of what was typed in.
pub(super) fn typed(f: Format) -> Format {
    f.set_background_color(TYPED)
}

/// In the tone of what leads somewhere when it is chosen.
pub(super) fn leads(f: Format) -> Format {
    f.set_font_color(ACCENT)
}

/// A number with a fixed count of decimals; the minus stands before it.
pub(super) fn decimals(f: Format, decimals: u8) -> Format {
    f.set_num_format(number_format(decimals))
}

/// `#,##0.00`.
pub(super) fn number_format(decimals: u8) -> String {
    match decimals {
        0 => "#,##0".into(),
        n => format!("#,##0.{}", "0".repeat(usize::from(n.min(15)))),
    }
}

/// An amount with the contract's currency sign, for columns that do not name it.
pub(super) fn money(f: Format, decimals: u8, currency: &str) -> Format {
    let sign = format!("\"{}\"", currency.replace('"', ""));
    let number = number_format(decimals);
    f.set_num_format(format!("{sign}{number};-{sign}{number}"))
}

/// A day, as ISO 8601 writes it.
pub(super) fn day(f: Format) -> Format {
    f.set_num_format("yyyy-mm-dd")
}

/// A time of day.
pub(super) fn time(f: Format) -> Format {
    f.set_num_format("hh:mm")
}

/// A line to sign on.
pub(super) fn sign_here() -> Format {
    base().set_border_bottom(FormatBorder::Thin)
}

//! The text of a cell to a number, as people type numbers: `1,140.25`, `9 3/4`, `9.5 in`, `6 %`.
//!
//! What is not plainly one number (`6.0+`, `<2`, `9,5`) is refused with the reason; nothing is taken from the size of
//! the number.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::raw::RawValue;
use crate::units::{Unit, decimal_of};

/// A number with the unit typed behind it, if any.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Typed {
    pub(super) value: Decimal,
    pub(super) unit: Option<Unit>,
    /// True where it was typed as plain digits.
    pub(super) plain: bool,
}

/// Why a cell is not what its column needs: completes `'Volume': 6.0+ ...`.
pub(super) type Why = String;

/// A binary number as the decimal it was typed as.
pub(super) fn number(real: f64) -> Result<Decimal, Why> {
    // Field numbers have few decimals: those are told apart from the rest without writing them out.
    let scaled = real * 1.0e4;
    if scaled.abs() < 1.0e15
        && scaled.fract() == 0.0
        && let Some(whole) = scaled.to_i64()
    {
        return Ok(Decimal::new(whole, 4).normalize());
    }
    decimal_of(real).ok_or_else(|| String::from("is not a finite number that can be counted with"))
}

/// A number typed as text.
pub(super) fn text_number(text: &str) -> Result<Typed, Why> {
    let text = text.trim();
    if let Some(value) = plain(text) {
        return Ok(Typed { value, unit: None, plain: true });
    }
    refuse_hedged(text)?;
    if let Some(inches) = feet_and_inches(text) {
        return Ok(Typed { value: inches, unit: Some(Unit::Inch), plain: false });
    }
    let text = text.replace(['\u{a0}', '\u{202f}'], " ").replace('−', "-").replace('⁄', "/");
    let (digits, behind) = split(&text);
    if !digits.contains(|c: char| c.is_ascii_digit() || fraction(c).is_some()) {
        return Err(String::from("is not a number"));
    }
    let unit = match behind.trim() {
        "" => None,
        "%" => Some(Unit::Percent),
        word => Some(Unit::named(word).filter(|u| *u != Unit::One && *u != Unit::Money).ok_or_else(|| {
            format!("is not a number: '{word}' stands behind it, which is not a unit this program knows")
        })?),
    };
    let value = mixed(digits.trim()).ok_or_else(|| String::from("is not a number"))??;
    Ok(Typed { value, unit, plain: false })
}

/// `17' 6"`, `17'-6 1/2"`, `17 ft 6 in`: feet and inches, in inches, so that no inch is cut off by a division.
fn feet_and_inches(text: &str) -> Option<Decimal> {
    let text = text.replace(['’', '′'], "'").replace(['”', '″'], "\"").replace("''", "\"").to_lowercase();
    let (feet, rest) = text.split_once('\'').or_else(|| text.split_once("ft"))?;
    let rest = rest.trim_start_matches('.').trim_start().trim_start_matches('-').trim_start();
    let inches = rest.strip_suffix('"').or_else(|| rest.trim_end_matches('.').strip_suffix("in"))?;
    let feet = whole_number(feet.trim())?;
    let inches = mixed(inches.trim())?.ok().filter(|n| !n.is_sign_negative() && *n < Decimal::from(12))?;
    feet.checked_mul(Decimal::from(12))?.checked_add(inches)
}

/// A number typed as text where semicolons separate values. There a comma with other than three digits behind it is a
/// decimal comma (`7,5`), as it cannot mark thousands; with three (`9,500`) it can be either and is refused with both.
pub(super) fn semicolon_number(text: &str) -> Result<Typed, Why> {
    let trimmed = text.trim();
    let Some((whole, behind)) = trimmed.split_once(',') else { return text_number(text) };
    let end = behind.find(|c: char| !c.is_ascii_digit()).unwrap_or(behind.len());
    let body = whole.strip_prefix('-').unwrap_or(whole);
    let digits = !body.is_empty() && body.bytes().all(|b| b.is_ascii_digit());
    if !digits || end == 0 || behind[end..].contains([',', '.']) {
        return text_number(text);
    }
    if end == 3 && body.len() <= 3 && body != "0" {
        return Err(format!("can be read two ways, {whole}{behind} or {whole}.{behind}; write it without the comma"));
    }
    text_number(&format!("{whole}.{behind}"))
}

/// Digits with at most one point, and a sign.
fn plain(text: &str) -> Option<Decimal> {
    let body = text.strip_prefix('-').unwrap_or(text);
    let sound = !body.is_empty()
        && body.bytes().all(|b| b.is_ascii_digit() || b == b'.')
        && body.bytes().any(|b| b.is_ascii_digit())
        && body.bytes().filter(|b| *b == b'.').count() <= 1;
    if sound { text.trim_end_matches('.').parse().ok() } else { None }
}

/// Words for what people write when they do not mean exactly that number.
fn refuse_hedged(text: &str) -> Result<(), Why> {
    if text.starts_with(['<', '>', '~', '≈', '±', '≤', '≥']) || text.ends_with(['+', '±']) {
        return Err(String::from("is a limit or an estimate, not a measured number"));
    }
    if text.starts_with('(') && text.ends_with(')') {
        return Err(String::from("stands in parentheses, which can mean a negative number or a remark"));
    }
    if matches!(text, "\"" | "''" | "〃" | "″")
        || ["do", "do.", "ditto", "same"].contains(&text.to_lowercase().as_str())
    {
        return Err(String::from("is a ditto mark; values are not carried down from the row above"));
    }
    Ok(())
}

/// The number and what stands behind it.
fn split(text: &str) -> (&str, &str) {
    let number =
        |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | '-' | '+' | ' ') || fraction(c).is_some();
    let mut at = text.find(|c| !number(c)).unwrap_or(text.len());
    // `1.2e3`: a power of ten belongs to the number.
    if text[at..].starts_with(['e', 'E'])
        && text[at + 1..].trim_start_matches(['+', '-']).starts_with(|c: char| c.is_ascii_digit())
    {
        let rest = &text[at + 1..];
        at = rest.find(|c: char| !(c.is_ascii_digit() || c == '+' || c == '-')).map_or(text.len(), |end| at + 1 + end);
    }
    let (digits, behind) = text.split_at(at);
    // `8 -CY`, `9.5-in`: the dash belongs to neither.
    (digits.trim_end().trim_end_matches('-'), behind)
}

fn fraction(c: char) -> Option<(i64, i64)> {
    Some(match c {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

/// A whole or decimal number, thousands marked or not, or a fraction with or without a whole number.
fn mixed(text: &str) -> Option<Result<Decimal, Why>> {
    if let Some(value) = plain(text) {
        return Some(Ok(value));
    }
    if text.contains(['e', 'E']) {
        return Decimal::from_scientific(text).ok().map(|d| Ok(d.normalize()));
    }
    let (sign, body) = text.strip_prefix('-').map_or((Decimal::ONE, text), |rest| (-Decimal::ONE, rest.trim_start()));
    let body = body.strip_prefix('+').unwrap_or(body);
    if body.contains(',') {
        return Some(marked(body).map(|d| sign * d));
    }
    if let Some(last) = body.chars().last()
        && let Some((over, under)) = fraction(last)
    {
        let whole = body[..body.len() - last.len_utf8()].trim().trim_end_matches('-');
        let whole = if whole.is_empty() { Decimal::ZERO } else { whole_number(whole)? };
        return whole.checked_add(Decimal::from(over) / Decimal::from(under)).map(|d| Ok(sign * d));
    }
    if let Some((before, under)) = body.split_once('/') {
        return slashed(before.trim(), under.trim()).map(|d| d.map(|d| sign * d));
    }
    whole_or_decimal(body).map(|d| Ok(sign * d))
}

fn whole_number(text: &str) -> Option<Decimal> {
    if !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit()) { text.parse().ok() } else { None }
}

fn whole_or_decimal(text: &str) -> Option<Decimal> {
    if text.starts_with('-') { None } else { plain(text) }
}

/// `3/8`, `9 3/4`, `9-3/4`.
fn slashed(before: &str, under: &str) -> Option<Result<Decimal, Why>> {
    let (whole, over) = match before.rfind([' ', '-']) {
        Some(at) => (whole_number(before[..at].trim_end_matches([' ', '-']))?, before[at + 1..].trim()),
        None => (Decimal::ZERO, before),
    };
    let (over, under) = (whole_number(over)?, whole_number(under)?);
    if under.is_zero() || over >= under {
        return Some(Err(String::from("is not a fraction below one, so it can be read more than one way")));
    }
    whole.checked_add(over / under).map(Ok)
}

/// Commas are thousands marks, and only where they stand as such.
fn marked(text: &str) -> Result<Decimal, Why> {
    let (whole, decimals) = text.split_once('.').map_or((text, None), |(w, d)| (w, Some(d)));
    let groups: Vec<&str> = whole.split(',').collect();
    let sound = groups.iter().enumerate().all(|(i, g)| {
        g.bytes().all(|b| b.is_ascii_digit()) && if i == 0 { (1..=3).contains(&g.len()) } else { g.len() == 3 }
    }) && decimals.is_none_or(|d| d.bytes().all(|b| b.is_ascii_digit()));
    let wrong = || String::from("has a comma that does not mark thousands; it may stand for a decimal point");
    if !sound {
        return Err(wrong());
    }
    text.replace(',', "").parse().map_err(|_| wrong())
}

/// A cell as a person would read it off the sheet, for lists and messages.
pub(super) fn shown(value: &RawValue) -> String {
    match value {
        RawValue::Text(text) => text.trim().to_string(),
        RawValue::Number(real) => real.to_string(),
        RawValue::Moment(days) => super::date::moment_shown(*days),
        RawValue::Span(days) => super::date::span_shown(*days),
        RawValue::Truth(true) => String::from("TRUE"),
        RawValue::Truth(false) => String::from("FALSE"),
        RawValue::Error(text) => text.to_string(),
        RawValue::Unstored => String::from("(formula without a stored value)"),
    }
}

/// Whether a cell shows nothing.
pub(super) fn is_blank(value: &RawValue) -> bool {
    matches!(value, RawValue::Text(text) if text.trim().is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn numbers_are_read_as_people_type_them() {
        for (text, value, unit) in [
            ("8.25", dec!(8.25), None),
            (" 1,140.25 ", dec!(1140.25), None),
            ("9 3/4", dec!(9.75), None),
            ("9-3/4\"", dec!(9.75), Some(Unit::Inch)),
            ("3/8", dec!(0.375), None),
            ("9¾ in.", dec!(9.75), Some(Unit::Inch)),
            ("9.5 in", dec!(9.5), Some(Unit::Inch)),
            ("8 CY", dec!(8), Some(Unit::CubicYard)),
            ("228mm", dec!(228), Some(Unit::Millimetre)),
            ("5.5%", dec!(5.5), Some(Unit::Percent)),
            ("-3.5", dec!(-3.5), None),
            ("1.2e3", dec!(1200), None),
            ("17' 6\"", dec!(210), Some(Unit::Inch)),
            ("17'-6 1/2\"", dec!(210.5), Some(Unit::Inch)),
            ("10’ 0”", dec!(120), Some(Unit::Inch)),
            ("4 ft 5 in.", dec!(53), Some(Unit::Inch)),
            ("4ft. 5½''", dec!(53.5), Some(Unit::Inch)),
        ] {
            let typed = text_number(text).unwrap();
            assert_eq!((typed.value, typed.unit), (value, unit), "{text}");
        }
    }

    #[test]
    fn the_short_way_gives_the_number_as_typed() {
        for n in 0..200_000_i32 {
            let real = f64::from(n) * 0.0123;
            assert_eq!(number(real).ok(), decimal_of(real), "{real}");
            assert_eq!(number(f64::from(n) / 1000.0).unwrap(), Decimal::new(n.into(), 3));
        }
    }

    #[test]
    fn where_semicolons_separate_values_a_comma_may_be_the_decimal_point() {
        assert_eq!(semicolon_number("7,5").map(|t| t.value), Ok(dec!(7.5)));
        assert_eq!(semicolon_number("221,25 mm").map(|t| t.value), Ok(dec!(221.25)));
        assert_eq!(semicolon_number("0,125").map(|t| t.value), Ok(dec!(0.125)));
        assert_eq!(semicolon_number("1,140.25").map(|t| t.value), Ok(dec!(1140.25)));
        assert_eq!(semicolon_number("219").map(|t| t.value), Ok(dec!(219)));
        assert!(semicolon_number("9,500").unwrap_err().contains("9500 or 9.500"));
        assert!(semicolon_number("1,2,3").is_err());
    }

    #[test]
    fn what_is_not_plainly_one_number_is_refused() {
        for text in [
            "6.0+", "<2", "~9", "9,5", "1,1400", "(3.2)", "9 4/3", "9/0", "n/a", "8 loads", "1.2.3", "--4", "",
            "ditto", "\"", "5-6", "NaN", "inf",
        ] {
            assert!(text_number(text).is_err(), "{text}");
        }
        assert!(number(f64::NAN).is_err());
        assert!(number(f64::INFINITY).is_err());
    }
}

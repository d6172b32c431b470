//! What a reader sees where a dossier names a figure, a record's cell, a day or a count; and text made fit to be seen.
//!
//! Text from cells may hold anything. Line breaks become blanks; characters that steer a terminal or turn the direction of
//! reading are written out as `<U+202E>`, so that nothing is dropped and nothing acts.

use rust_decimal::Decimal;

use crate::dossier::Shown;
use crate::figure::{Book, CellValue, Figure, Value};
use crate::units::{Unit, written};

/// A shown value in words.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Words {
    /// As printed.
    pub text: String,
    /// The number behind it, for charts.
    pub number: Option<Decimal>,
    /// The figure's key; empty for anything else.
    pub key: String,
}

/// What a cell of a page says. `unit` is its column's; an amount of money gets the currency sign unless the column has it.
pub(super) fn words(book: &Book, shown: &Shown, unit: &str, currency: &str) -> Words {
    let plain_words = |text: String| Words { text, ..Words::default() };
    match shown {
        Shown::Blank => Words::default(),
        Shown::Text(text) | Shown::Sheet { words: text, .. } => plain_words(clean(text)),
        Shown::Date(day) => plain_words(day.to_string()),
        Shown::Count(n) => {
            Words { text: written(Decimal::from(*n), 0), number: Some(Decimal::from(*n)), key: String::new() }
        }
        Shown::Figure(id) => {
            let figure = &book[*id];
            let sign = if unit.contains(currency) { "" } else { currency };
            Words { text: amount(figure, sign), number: figure.value.decimal(), key: figure.key.clone() }
        }
        Shown::Cell(id) => {
            let table = book.table(id.table);
            let decimals = table.columns.get(usize::from(id.column)).and_then(|c| c.decimals);
            match table.cell(id.row, id.column).map(|c| &c.value) {
                Some(CellValue::Number(n)) => {
                    Words { text: record(*n, decimals), number: Some(*n), key: String::new() }
                }
                Some(other) => plain_words(clean(&other.to_string())),
                None => Words::default(),
            }
        }
    }
}

/// A figure's number, with the currency sign where it is money.
pub(super) fn amount(figure: &Figure, currency: &str) -> String {
    match &figure.value {
        Value::Truth(true) => "yes".into(),
        Value::Truth(false) => "no".into(),
        Value::Exact(_) | Value::Real(_) if figure.unit.is_money() => with_sign(&figure.text(), currency),
        _ => figure.text(),
    }
}

/// `-$3,398.02`: the sign of the number before the sign of the currency.
fn with_sign(number: &str, currency: &str) -> String {
    match number.strip_prefix('-') {
        Some(rest) => format!("-{currency}{rest}"),
        None => format!("{currency}{number}"),
    }
}

/// The unit behind a number: money has its sign before it, a price says what it is for.
pub(super) fn unit_words(unit: Unit) -> String {
    match unit {
        Unit::Money => String::new(),
        Unit::MoneyPer(of) => format!("per {of}"),
        other => other.to_string(),
    }
}

/// Decimals of a record's number that was converted from another unit; the calculation keeps all of it.
const CONVERTED: u8 = 4;

/// A record's number: at least its column's decimals, and its own up to four.
fn record(value: Decimal, decimals: Option<u8>) -> String {
    let own = u8::try_from(value.normalize().scale()).unwrap_or(u8::MAX);
    written(value, own.min(CONVERTED).max(decimals.unwrap_or(0)))
}

/// Text that can be printed anywhere: control and direction characters, which could steer a terminal, as their code points.
#[must_use]
pub fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' | '\r' | '\t' => out.push(' '),
            c if acts(c) => out.push_str(&code_point(c)),
            c => out.push(c),
        }
    }
    out
}

/// `<U+202E>`.
pub(super) fn code_point(c: char) -> String {
    format!("<U+{:04X}>", u32::from(c))
}

/// Control characters, and the invisible ones that join, break or turn the text around them.
pub(super) fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e0fff}')
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_terminal_escape_is_written_out() {
        assert_eq!(clean("a\u{1b}[31mb\u{202e}c\r\nd"), "a<U+001B>[31mb<U+202E>c  d");
    }

    #[test]
    fn the_minus_stands_before_the_currency() {
        assert_eq!(with_sign("-3,398.02", "$"), "-$3,398.02");
        assert_eq!(with_sign("12.00", "$"), "$12.00");
    }

    proptest! {
        #[test]
        fn nothing_that_acts_is_left_and_nothing_is_lost(text in any::<String>()) {
            let cleaned = clean(&text);
            prop_assert!(!cleaned.chars().any(acts));
            prop_assert_eq!(clean(&cleaned), cleaned.clone());
            prop_assert!(cleaned.chars().count() >= text.chars().count());
        }
    }
}

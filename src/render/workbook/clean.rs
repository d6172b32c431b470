//! Words from outside, made fit for a cell: what steers a terminal or turns the direction of reading is written out.
//!
//! Text is always written as text, so `=1+1` from a field sheet stays four characters. Here only characters that act, and
//! lengths beyond what a cell holds, are dealt with.

use std::borrow::Cow;

use crate::render::shown::{acts, code_point};

/// Units of UTF-16 that a cell holds (ISO/IEC 29500 spreadsheets).
const CELL_HOLDS: usize = 32_767;

/// `text` as a cell can hold it; line breaks stay. Longer text is cut and says so.
pub(super) fn cell(text: &str) -> Cow<'_, str> {
    let shown = written_out(text);
    if shown.len() <= CELL_HOLDS || shown.encode_utf16().count() <= CELL_HOLDS {
        return shown;
    }
    let mark = format!(" ... (cut here; {} characters in all)", text.chars().count());
    let mut left = CELL_HOLDS - mark.len();
    let kept = shown.chars().take_while(|c| {
        let fits = c.len_utf16() <= left;
        left = left.saturating_sub(c.len_utf16());
        fits
    });
    Cow::Owned(kept.collect::<String>() + &mark)
}

fn written_out(text: &str) -> Cow<'_, str> {
    if text.bytes().all(|b| (b' '..=b'~').contains(&b)) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' => out.push(c),
            '\r' | '\t' => out.push(' '),
            c if acts(c) || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push_str(&code_point(c)),
            c => out.push(c),
        }
    }
    Cow::Owned(out)
}

/// `text` for the head or foot of a printed page, where `&` would start a command; at most `most` characters.
pub(super) fn running(text: &str, most: usize) -> String {
    let mut kept = written_out(text).replace('\n', " ");
    if kept.chars().count() > most {
        kept = kept.chars().take(most.saturating_sub(3)).collect::<String>() + "...";
    }
    kept.replace('&', "&&")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_escape_or_a_turned_reading_direction_is_written_out() {
        assert_eq!(cell("a\u{1b}[31mb\u{202e}c\nd"), "a<U+001B>[31mb<U+202E>c\nd");
    }

    #[test]
    fn text_longer_than_a_cell_says_that_it_was_cut() {
        let text = "\u{1f6a7}".repeat(20_000);
        let kept = cell(&text);
        assert!(kept.encode_utf16().count() <= CELL_HOLDS);
        assert!(kept.ends_with(" ... (cut here; 20000 characters in all)"));
    }

    #[test]
    fn a_firm_with_an_ampersand_keeps_it_in_the_running_head() {
        assert_eq!(running("Stone & Sand", 40), "Stone && Sand");
        assert_eq!(running("a title that is too long", 10), "a title...");
    }

    proptest! {
        #[test]
        fn what_a_cell_holds_is_left_alone(text in "[a-zA-Z0-9 =+@<>&\"'\\-]{0,200}") {
            prop_assert_eq!(cell(&text), text.as_str());
        }
    }
}

//! Words from outside, made fit for a cell: what a spreadsheet file cannot hold or a reader cannot see is made visible.
//!
//! Text is always written as text, so `=1+1` from a field sheet stays four characters. Here only control characters,
//! characters that turn the reading direction, and lengths beyond what a cell holds are dealt with.

use std::borrow::Cow;

/// Units of UTF-16 that a cell holds (ISO/IEC 29500 spreadsheets).
const CELL_HOLDS: usize = 32_767;

/// Stands for a character that cannot be shown.
const UNSHOWN: char = '\u{fffd}';

/// Control characters and the marks that reorder text on the page. Line ends and tabs stay.
fn unshowable(c: char) -> bool {
    matches!(c, '\u{0}'..='\u{8}' | '\u{b}'..='\u{1f}' | '\u{7f}'..='\u{9f}')
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        || matches!(c, '\u{fffe}' | '\u{ffff}')
}

/// `text` as a cell can hold it. Longer text is cut and says so.
pub(super) fn cell(text: &str) -> Cow<'_, str> {
    let shown =
        if text.chars().any(unshowable) { Cow::Owned(text.replace(unshowable, "\u{fffd}")) } else { text.into() };
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

/// `text` for the head or foot of a printed page, where `&` would start a command; at most `most` characters.
pub(super) fn running(text: &str, most: usize) -> String {
    let mut kept: String = text.chars().map(|c| if unshowable(c) || c.is_control() { UNSHOWN } else { c }).collect();
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
    fn an_escape_or_a_turned_reading_direction_is_made_visible() {
        assert_eq!(cell("a\u{1b}[31mb\u{202e}c\nd"), "a\u{fffd}[31mb\u{fffd}c\nd");
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

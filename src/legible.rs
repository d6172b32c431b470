//! Text that is safe to show: what a terminal, a page or a spreadsheet program would obey instead of showing becomes a mark.
//!
//! A cell, a sheet's name or a file's name may hold an escape sequence that clears a screen, or a character that turns
//! the direction of writing round, so that figures read backward. Such text is shown with a mark where the character stood: control
//! characters by their Unicode picture, the rest by the mark for a character that cannot be shown. Line ends and tabs
//! stay.

use std::borrow::Cow;

/// The mark for a character that has no picture.
const NO_PICTURE: char = '\u{fffd}';

/// The text with a mark for each character that would be obeyed.
///
/// ```
/// use slabtally::legible::legible;
/// assert_eq!(legible("\u{1b}[2J9.25"), "␛[2J9.25");
/// assert_eq!(legible("two\nlines"), "two\nlines");
/// ```
#[must_use]
pub fn legible(text: &str) -> Cow<'_, str> {
    // Nearly all text is plain; that is seen from its bytes.
    let plain = text.bytes().all(|byte| matches!(byte, b' '..=b'~' | b'\n' | b'\r' | b'\t'));
    if plain || text.chars().all(|letter| mark(letter).is_none()) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(|letter| mark(letter).unwrap_or(letter)).collect())
}

/// What stands for a character that would be obeyed; `None` for one that is shown.
fn mark(letter: char) -> Option<char> {
    match letter {
        '\n' | '\r' | '\t' => None,
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(letter)),
        '\u{7f}' => Some('\u{2421}'),
        // Controls of the upper half; marks, embeddings, overrides and isolates of direction; separators of lines.
        '\u{80}'..='\u{9f}'
        | '\u{61c}'
        | '\u{200e}'
        | '\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}' => Some(NO_PICTURE),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_be_obeyed_is_shown_as_a_mark() {
        for (text, shown) in [
            ("9.25 in", "9.25 in"),
            ("Straße\tN\r\n1", "Straße\tN\r\n1"),
            ("a\0b\u{7}", "a␀b␇"),
            ("\u{1b}]0;x\u{9c}", "␛]0;x\u{fffd}"),
            ("\u{202e}52.9", "\u{fffd}52.9"),
            ("=cmd|x", "=cmd|x"),
        ] {
            assert_eq!(legible(text), shown);
        }
    }
}

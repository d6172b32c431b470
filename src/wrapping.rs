//! Rank 0. Running text in lines for a terminal: one way of breaking words for everything that prints them.
//!
//! Nothing here knows the crate.

/// Characters in a line of a page for a terminal.
pub const PAGE: usize = 100;

/// Text in lines of at most `width` characters; a word longer than a line is cut.
#[must_use]
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut length = 0;
    for word in text.split_whitespace() {
        let mut word: Vec<char> = word.chars().collect();
        if length > 0 && length + 1 + word.len() > width {
            lines.push(std::mem::take(&mut line));
            length = 0;
        }
        while length == 0 && word.len() > width {
            let rest = word.split_off(width);
            lines.push(word.into_iter().collect());
            word = rest;
        }
        if length > 0 {
            line.push(' ');
            length += 1;
        }
        length += word.len();
        line.extend(word);
    }
    if length > 0 || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// `text` beside `head` in lines of at most `width` characters, its further lines below where it began.
///
/// ```
/// use slabtally::wrapping::hang;
/// assert_eq!(hang("lot  ", "2,000 yd2 of pavement", 16), ["lot  2,000 yd2", "     of pavement"]);
/// ```
#[must_use]
pub fn hang(head: &str, text: &str, width: usize) -> Vec<String> {
    let indent = head.chars().count();
    let lines = wrap(text, width.saturating_sub(indent)).into_iter().enumerate();
    let blank = " ".repeat(indent);
    lines.map(|(i, line)| format!("{}{line}", if i == 0 { head } else { &blank }).trim_end().to_string()).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn long_text_breaks_between_words_and_long_words_are_cut() {
        assert_eq!(wrap("a tie bar was found", 8), ["a tie", "bar was", "found"]);
        assert_eq!(wrap("abcdefghij kl", 4), ["abcd", "efgh", "ij", "kl"]);
        assert_eq!(wrap("", 4), [""]);
    }

    proptest! {
        #[test]
        fn no_line_is_longer_than_asked_and_no_letter_is_lost(text in "[a-z ]{0,80}", width in 1_usize..20) {
            let lines = wrap(&text, width);
            prop_assert!(lines.iter().all(|l| l.chars().count() <= width));
            prop_assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
        }
    }
}

//! The wall between a cell's text and the typesetter: whatever a cell holds, it comes out as text on the page.
//!
//! Letters, digits, blanks and commas stand as they are, a full stop where it stands between two of them (`8.64`);
//! every other character is written by its number (`\u{23}`), which Typst reads as that character and nothing else, in
//! running text as well as between quotes. A character that no embedded font has is printed as `<U+4E2D>`.

use super::world::has_glyph;
use crate::render::shown::{clean, code_point};

/// Text that is safe in Typst markup and in a Typst string.
pub(in crate::render) fn escape(text: &str) -> String {
    let mut shown: Vec<char> = Vec::with_capacity(text.len());
    for c in clean(text).chars() {
        if has_glyph(c) { shown.push(c) } else { shown.extend(code_point(c).chars()) }
    }
    let mut out = String::with_capacity(shown.len() + shown.len() / 2);
    for (i, &c) in shown.iter().enumerate() {
        let inside = || i > 0 && plain(shown[i - 1]) && shown.get(i + 1).copied().is_some_and(plain);
        if plain(c) || matches!(c, ' ' | ',') || (c == '.' && inside()) {
            out.push(c);
        } else {
            out.push_str(&format!("\\u{{{:x}}}", u32::from(c)));
        }
    }
    out
}

fn plain(c: char) -> bool {
    c.is_alphanumeric()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::HOSTILE;
    use proptest::prelude::*;

    /// The characters left when every `\u{...}` is taken out.
    fn bare(escaped: &str) -> String {
        let mut out = String::new();
        let mut rest = escaped;
        while let Some(at) = rest.find("\\u{") {
            out.push_str(&rest[..at]);
            rest = rest[at..].find('}').map_or("", |end| &rest[at + end + 1..]);
        }
        out + rest
    }

    #[test]
    fn numbers_stay_readable_in_the_source() {
        assert_eq!(escape("1,234.50 yd2"), "1,234.50 yd2");
        assert_eq!(escape("-$3.00"), "\\u{2d}\\u{24}3.00");
        assert_eq!(escape("1. a"), "1\\u{2e} a");
    }

    #[test]
    fn a_character_without_glyph_is_named() {
        assert_eq!(escape("\u{4e2d}"), "\\u{3c}U\\u{2b}4E2D\\u{3e}");
    }

    #[test]
    fn a_command_is_text() {
        assert!(!bare(&escape(HOSTILE)).contains(['#', '$', '*', '_', '`', '\\', '"', '<', '@', '/']));
    }

    proptest! {
        #[test]
        fn nothing_active_is_left(text in any::<String>()) {
            let escaped = escape(&text);
            prop_assert!(bare(&escaped).chars().all(|c| c.is_alphanumeric() || " ,.".contains(c)));
        }
    }
}

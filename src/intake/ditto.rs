//! Ditto marks: `"`, `〃`, `do.`, `same`. They say outright that the value above holds.
//!
//! Names, days, lanes and stations may be repeated so. A record's own number may not, and a measurement is not repeated
//! by a mark: whoever measured writes the number.

use super::kind::{Field, Holds, KindSpec};
use super::raw::{RawCell, RawValue};

/// Signs that stand for the value above, without blanks and dashes around them.
const SIGNS: &[&str] = &["\"", "\"\"", "''", "``", "´´", "’’", "〃", "”", "“", "″", "„", ",,", "''''"];
/// Words that do, without case.
const WORDS: &[&str] = &["do", "do.", "ditto", "ditto.", "same", "same as above", "as above", "idem"];

/// Whether a text is a ditto mark.
pub(super) fn is_mark(text: &str) -> bool {
    let text = text.trim();
    if text.len() > 20 {
        return false;
    }
    let bare: String = text.chars().filter(|c| !c.is_whitespace() && !matches!(c, '-' | '–' | '—')).collect();
    let word = text.trim_matches(|c: char| c.is_whitespace() || matches!(c, '-' | '–' | '—' | '"' | '\''));
    SIGNS.contains(&bare.as_str()) || WORDS.iter().any(|w| word.eq_ignore_ascii_case(w))
}

/// Whether a cell holds a ditto mark.
pub(super) fn is_ditto(cell: &RawCell) -> bool {
    matches!(&cell.value, RawValue::Text(text) if is_mark(text))
}

/// Why a mark cannot stand in a column, in words, and what to do; nothing where it can.
pub(super) fn refused(kind: &KindSpec, field: Field, holds: Holds) -> Option<(&'static str, &'static str)> {
    let own = field == Field::Number || (field == Field::Ticket && kind.id == Field::Ticket);
    if own {
        return Some(("is a ditto mark, and two records cannot have one number", "write the number"));
    }
    match holds {
        Holds::Text
        | Holds::Date
        | Holds::Station
        | Holds::Stations
        | Holds::Lane
        | Holds::Item
        | Holds::Status
        | Holds::Shape
        | Holds::Purpose
        | Holds::Party
        | Holds::Sampling
        | Holds::Index
        | Holds::Direction
        | Holds::UnitWord
        | Holds::Nothing => None,
        _ => Some((
            "is a ditto mark; a measurement is not repeated by a mark",
            "write the value that was measured for this row",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_told_from_words() {
        for text in ["\"", "''", "〃", "do.", "Ditto", "same", "-\"-", "\"   \"", "- do -", "”", "as above"] {
            assert!(is_mark(text), "{text}");
        }
        for text in ["", "-", "donut", "same lane, north of the bridge", "6\"", "id", "'"] {
            assert!(!is_mark(text), "{text}");
        }
    }
}

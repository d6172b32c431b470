//! Offsets across a lane: as the contract has them measured, and as field sheets write them.
//!
//! Only an offset that can be read one way is read: a number, the unit of the contract or none, and words for the side. What
//! reaches beyond the lane is measured from something else, and not compared.

use rust_decimal::Decimal;
use rust_decimal::dec;

use crate::contract::OffsetFrom;
use crate::units::{System, plain};

/// A distance from the left edge as the contract has offsets measured; from the lane's centre, negative to the left.
#[must_use]
pub(super) fn stated(from: OffsetFrom, from_left: Decimal, width: Decimal) -> Decimal {
    match from {
        OffsetFrom::LeftEdge => from_left,
        OffsetFrom::RightEdge => width - from_left,
        OffsetFrom::LaneCentre => from_left - width / dec!(2),
    }
}

/// `3.5 ft`; from the lane's centre `2.5 ft Rt`.
#[must_use]
pub(super) fn written(from: OffsetFrom, from_left: Decimal, width: Decimal, system: System) -> String {
    let value = stated(from, from_left, width);
    let side = match from {
        OffsetFrom::LaneCentre if value < Decimal::ZERO => " Lt",
        OffsetFrom::LaneCentre if value > Decimal::ZERO => " Rt",
        _ => "",
    };
    format!("{} {}{side}", plain(value.abs()), system.length())
}

/// Distance from the lane's left edge that an offset as typed says; `None` where it cannot be read one way.
#[must_use]
pub(super) fn from_left(text: &str, from: OffsetFrom, width: Decimal, system: System) -> Option<Decimal> {
    let Said { number, right, edge } = said(text, system)?;
    let offset = match (edge, right, from) {
        (true, Some(false), _) | (false, None | Some(true), OffsetFrom::LeftEdge) => number,
        (true, Some(true), _) | (false, None | Some(false), OffsetFrom::RightEdge) => width - number,
        (false, Some(true), OffsetFrom::LaneCentre) => width / dec!(2) + number,
        (false, Some(false), OffsetFrom::LaneCentre) => width / dec!(2) - number,
        (false, None, OffsetFrom::LaneCentre) if number.is_zero() => width / dec!(2),
        _ => return None,
    };
    (Decimal::ZERO <= offset && offset <= width).then_some(offset)
}

struct Said {
    number: Decimal,
    /// The side named: right or left.
    right: Option<bool>,
    /// Whether the side is that of an edge it is measured from.
    edge: bool,
}

/// Number, unit and words; `None` where there is anything else, or anything twice.
fn said(text: &str, system: System) -> Option<Said> {
    let (mut number, mut right, mut edge) = (None, None, false);
    for token in tokens(text) {
        let once = match token.as_str() {
            "lt" | "l" | "left" => right.replace(false).is_none(),
            "rt" | "r" | "right" => right.replace(true).is_none(),
            "edge" => !std::mem::replace(&mut edge, true),
            "from" | "of" | "the" | "lane" | "offset" => true,
            "ft" | "feet" | "foot" | "'" | "′" => system == System::Customary,
            "m" => system == System::Si,
            digits => number.replace(digits.parse::<Decimal>().ok()?).is_none(),
        };
        if !once {
            return None;
        }
    }
    Some(Said { number: number?, right, edge })
}

/// Runs of digits with their point, words, and single signs; blanks, brackets and full stops behind words are dropped.
fn tokens(text: &str) -> Vec<String> {
    let mut tokens: Vec<String> = Vec::new();
    let mut before = ' ';
    for c in text.trim().to_lowercase().chars() {
        let digit = |c: char| c.is_ascii_digit() || c == '.';
        let joins = (c.is_alphabetic() && before.is_alphabetic()) || (digit(c) && digit(before));
        match tokens.last_mut() {
            Some(last) if joins => last.push(c),
            _ if c.is_whitespace() || "()[],;@".contains(c) || (c == '.' && before.is_alphabetic()) => {}
            _ => tokens.push(c.to_string()),
        }
        before = c;
    }
    tokens
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, from: OffsetFrom) -> Option<Decimal> {
        from_left(text, from, dec!(12), System::Customary)
    }

    #[test]
    fn an_offset_is_read_as_the_contract_has_it_measured() {
        for text in ["3.5", "3.5 ft", "3.5'", "3.5 ft Rt.", "(3.5 ft)", "Rt 3.5"] {
            assert_eq!(read(text, OffsetFrom::LeftEdge), Some(dec!(3.5)), "{text}");
        }
        assert_eq!(read("3.5 Lt", OffsetFrom::RightEdge), Some(dec!(8.5)));
        assert_eq!(read("3.5 ft left", OffsetFrom::LaneCentre), Some(dec!(2.5)));
        assert_eq!(read("3.5 R", OffsetFrom::LaneCentre), Some(dec!(9.5)));
        assert_eq!(read("0", OffsetFrom::LaneCentre), Some(dec!(6)));
        // An edge that is named needs no convention.
        assert_eq!(read("2 ft from right edge", OffsetFrom::LeftEdge), Some(dec!(10)));
    }

    #[test]
    fn what_has_two_readings_is_not_read() {
        for text in ["3.5 Lt", "14 ft", "6'-3\"", "Rt", "CL", "1.2 m", "3 to 4", "3.5 Rt 2", "about 4", ""] {
            assert_eq!(read(text, OffsetFrom::LeftEdge), None, "{text}");
        }
        assert_eq!(read("3.5", OffsetFrom::LaneCentre), None);
        assert_eq!(read("3.5 Rt", OffsetFrom::RightEdge), None);
    }

    #[test]
    fn an_offset_is_written_as_it_is_measured() {
        let written = |from, at| written(from, at, dec!(12), System::Customary);
        assert_eq!(written(OffsetFrom::LeftEdge, dec!(3.5)), "3.5 ft");
        assert_eq!(written(OffsetFrom::RightEdge, dec!(3.5)), "8.5 ft");
        assert_eq!(written(OffsetFrom::LaneCentre, dec!(3.5)), "2.5 ft Lt");
    }
}

//! Numbers as people write them in a file that is agreed on: digits, a point, commas before each three digits.

use rust_decimal::Decimal;

/// The number that the whole text is, exactly; `None` where it is not one. A comma may only stand before each three
/// digits of the whole part, so that `9,5` is never taken for 95.
pub(super) fn number(text: &str) -> Option<Decimal> {
    let text = text.trim();
    let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
    let (whole, decimals) = digits.split_once('.').map_or((digits, None), |(w, d)| (w, Some(d)));
    let sound = is_whole(whole) && decimals.is_none_or(|d| !d.is_empty() && d.bytes().all(|b| b.is_ascii_digit()));
    sound.then(|| text.replace(',', "").parse().ok()).flatten()
}

fn is_whole(text: &str) -> bool {
    let mut parts = text.split(',');
    let first = parts.next().unwrap_or("");
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let grouped = text.contains(',');
    digits(first) && (!grouped || first.len() <= 3) && parts.all(|part| part.len() == 3 && digits(part))
}

/// The text in front that looks like a number, and what follows it without blanks.
pub(super) fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+'))).unwrap_or(text.len());
    let (front, behind) = text.split_at(end);
    (front, behind.trim())
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn commas_mark_thousands_and_nothing_else() {
        for (text, value) in
            [("57,066.67", dec!(57066.67)), ("0.20", dec!(0.20)), ("-3", dec!(-3)), ("1234", dec!(1234))]
        {
            assert_eq!(number(text), Some(value), "{text}");
        }
        for text in ["9,5", "1,23", "1234,567", "5.", ".5", "", "1e3", "inf", "1 000"] {
            assert_eq!(number(text), None, "{text}");
        }
    }

    #[test]
    fn decimals_are_kept_as_written() {
        assert_eq!(number("0.20").map(|n| n.to_string()).as_deref(), Some("0.20"));
    }

    #[test]
    fn a_quantity_parts_into_number_and_unit() {
        assert_eq!(split("9.5 in"), ("9.5", "in"));
        assert_eq!(split("28day"), ("28", "day"));
        assert_eq!(split("9.5"), ("9.5", ""));
        assert_eq!(split("in"), ("", "in"));
    }
}

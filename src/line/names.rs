//! Names that keys and lists are made of: lower-case keys from what people typed, and the order people count in.

use std::cmp::Ordering;

/// `NB mainline` as part of a figure's key: `nb-mainline`. Anything but ASCII letters and digits becomes one `-`.
///
/// ```
/// use slabtally::line::slug;
/// assert_eq!(slug("NB Mainline (ramp)"), "nb-mainline-ramp");
/// assert_eq!(slug("+"), "x");
/// ```
#[must_use]
pub fn slug(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    match out.trim_end_matches('-') {
        "" => "x".into(),
        kept => kept.into(),
    }
}

/// The order people count in: `9` before `10`, `P-2` before `P-11`.
#[must_use]
pub fn counted(a: &str, b: &str) -> Ordering {
    let (mut a, mut b) = (a, b);
    while !a.is_empty() && !b.is_empty() {
        let (ra, rb) = (run(a), run(b));
        let order = match (is_number(ra), is_number(rb)) {
            (true, true) => by_size(ra, rb),
            _ => ra.cmp(rb),
        };
        if order.is_ne() {
            return order;
        }
        (a, b) = (&a[ra.len()..], &b[rb.len()..]);
    }
    a.len().cmp(&b.len())
}

/// The leading digits, or what stands before the next digit.
fn run(text: &str) -> &str {
    let digits = is_number(text);
    &text[..text.find(|c: char| c.is_ascii_digit() != digits).unwrap_or(text.len())]
}

fn is_number(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}

fn by_size(a: &str, b: &str) -> Ordering {
    let (ta, tb) = (a.trim_start_matches('0'), b.trim_start_matches('0'));
    ta.len().cmp(&tb.len()).then_with(|| ta.cmp(tb)).then_with(|| a.len().cmp(&b.len()))
}

/// A name as it is compared: case, blanks around it and leading zeros of a plain number do not tell names apart.
#[must_use]
pub fn folded(name: &str) -> String {
    let name = name.trim().trim_start_matches('#').trim_start();
    if !name.is_empty() && name.chars().all(|c| c.is_ascii_digit()) {
        let kept = name.trim_start_matches('0');
        return if kept.is_empty() { "0".into() } else { kept.into() };
    }
    name.to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn people_count_nine_before_ten() {
        let mut tickets = vec!["P-11", "10", "P-2", "9", "A", "009"];
        tickets.sort_by(|a, b| counted(a, b));
        assert_eq!(tickets, ["9", "009", "10", "A", "P-2", "P-11"]);
    }

    #[test]
    fn a_number_is_the_same_with_leading_zeros() {
        assert_eq!(folded(" #014 "), folded("14"));
        assert_ne!(folded("14A"), folded("14"));
        assert_eq!(folded("000"), "0");
    }
}

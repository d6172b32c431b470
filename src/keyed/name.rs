//! The name a reader most likely meant.

/// The candidate nearest to `word`, where one is near enough that it may be a slip of the hand.
///
/// Distance counts letters put in, left out or changed (Levenshtein); case and `-`/`_` do not count. At most a third of
/// the word may differ.
///
/// ```
/// use slabtally::keyed::nearest;
/// assert_eq!(nearest("thicknes", ["width", "thickness"]), Some("thickness"));
/// assert_eq!(nearest("colour", ["width", "thickness"]), None);
/// ```
#[must_use]
pub fn nearest<'n>(word: &str, candidates: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    let folded = fold(word);
    let allowed = (folded.len() / 3).max(1);
    candidates
        .into_iter()
        .map(|name| (distance(&folded, &fold(name)), name))
        .filter(|(far, _)| *far <= allowed)
        .min_by_key(|(far, _)| *far)
        .map(|(_, name)| name)
}

fn fold(word: &str) -> Vec<char> {
    word.to_lowercase().chars().map(|c| if c == '-' || c == ' ' { '_' } else { c }).collect()
}

fn distance(a: &[char], b: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.iter().enumerate() {
        let mut corner = i;
        row[0] = i + 1;
        for (j, to) in b.iter().enumerate() {
            let changed = corner + usize::from(from != to);
            corner = row[j + 1];
            row[j + 1] = changed.min(corner + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distance_counts_letters() {
        let chars = |s: &str| s.chars().collect::<Vec<_>>();
        for (a, b, expected) in [("lane", "lane", 0), ("lane", "lanes", 1), ("with", "width", 1), ("", "abc", 3)] {
            assert_eq!(distance(&chars(a), &chars(b)), expected, "{a} {b}");
        }
    }
}

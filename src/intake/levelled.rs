//! Which surface a sheet of levels speaks of: subgrade, base or pavement.
//!
//! The nearest words count: the headings, then the cells above them, then the sheet's and the file's name. `Grade` alone is
//! what surveyors call any elevation, so in a heading it says nothing, and elsewhere only where no other word does. Where the
//! nearest words name two surfaces, nothing is taken for granted.

use super::cell::shown;
use super::grid::Grid;
use super::record::Surface;
use super::wording::fold;

const SUBGRADE: &[&str] = &["subgrade", "subgrades", "earthwork", "formation"];
const BASE: &[&str] = &["base", "millings", "subbase"];
const TOP: &[&str] = &["pavement", "slab", "top", "concrete", "surface", "finished"];

/// The surfaces that a text names outright.
fn named(text: &str) -> Vec<Surface> {
    let folded = fold(text).replace("sub grade", "subgrade");
    let has = |all: &[&str]| folded.split(' ').any(|w| all.contains(&w));
    let words = [(Surface::Subgrade, SUBGRADE), (Surface::Base, BASE), (Surface::Top, TOP)];
    words.into_iter().filter(|(_, words)| has(words)).map(|(surface, _)| surface).collect()
}

/// The surface that a text names; `None` where it names none or two.
pub(super) fn surface(text: &str) -> Option<Surface> {
    match named(text).as_slice() {
        [only] => Some(*only),
        [] if fold(text).split(' ').any(|w| w == "grade") => Some(Surface::Subgrade),
        _ => None,
    }
}

/// The surface that a table holds, by its headings, then what stands about them.
pub(super) fn of_table(grid: &Grid<'_>, row: u32, headings: &[&str]) -> Option<Surface> {
    let above = grid.lines.iter().take_while(|l| l.row < row).take(30).flat_map(|l| l.filled());
    let above: Vec<String> = above.map(|c| shown(&c.value)).collect();
    let about = [above.join("; "), grid.raw.name.clone().unwrap_or_default(), grid.raw.file.clone()];
    let headings = headings.join("; ");
    let speaking = std::iter::once(&headings).chain(&about).find(|text| !named(text).is_empty());
    match speaking {
        Some(text) => surface(text),
        None => about.iter().find_map(|text| surface(text)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_surface_is_named_by_its_words() {
        for (text, means) in [
            ("Trimmed base", Some(Surface::Base)),
            ("Base grade checks", Some(Surface::Base)),
            ("Sub-grade", Some(Surface::Subgrade)),
            ("grade checks July", Some(Surface::Subgrade)),
            ("Top of slab", Some(Surface::Top)),
            ("base and pavement", None),
            ("levels", None),
        ] {
            assert_eq!(surface(text), means, "{text}");
        }
    }
}

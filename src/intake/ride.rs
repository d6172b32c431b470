//! Which index of smoothness a sheet speaks of: roughness (IRI, MRI) or profile index (PI).
//!
//! The nearest words count: the headings of the readings, then the cells above them, then the sheet's and the file's
//! name. Where the nearest words name both, or none name either, nothing is taken for granted.

use super::cell::shown;
use super::grid::Grid;
use super::record::RideIndex;
use super::wording::fold;

const ROUGHNESS: &[&str] = &["iri", "mri", "roughness"];
const PROFILE: &[&str] = &["pi", "profilograph", "profilogram"];
const SMOOTH: &[&str] = &["smoothness", "profile", "profiles", "profiler", "ride", "rideability"];

/// Which of the two a text names.
fn named(text: &str) -> (bool, bool) {
    let folded = fold(text);
    let has = |all: &[&str]| folded.split(' ').any(|w| all.contains(&w));
    (has(ROUGHNESS), has(PROFILE) || folded.contains("profile index"))
}

/// The index that a text names; `None` where it names both or neither.
pub(super) fn index(text: &str) -> Option<RideIndex> {
    match named(text) {
        (true, false) => Some(RideIndex::Roughness),
        (false, true) => Some(RideIndex::Profile),
        _ => None,
    }
}

/// Texts about a table, the nearest first: its headings together, each cell above them, the names of sheet and file.
fn about(grid: &Grid<'_>, row: u32, headings: &[&str]) -> Vec<String> {
    let above = grid.lines.iter().take_while(|l| l.row < row).take(30).flat_map(|l| l.filled());
    let above: Vec<String> = above.map(|c| shown(&c.value)).collect();
    let sheet = grid.raw.name.clone().unwrap_or_default();
    vec![headings.join("; "), above.join("; "), sheet, grid.raw.file.clone()]
}

/// The index that the readings of a table are, by the headings used, then the others, then what stands about them.
pub(super) fn of_table(grid: &Grid<'_>, row: u32, used: &[&str], unused: &[&str]) -> Option<RideIndex> {
    let texts = about(grid, row, unused);
    let used = used.join("; ");
    let speaking = std::iter::once(&used).chain(&texts).find(|text| named(text) != (false, false))?;
    index(speaking)
}

/// Whether anything about a table speaks of smoothness: `left` and `average` alone do not.
pub(super) fn is_meant(grid: &Grid<'_>, row: u32, headings: &[&str]) -> bool {
    let smooth = |text: &String| fold(text).split(' ').any(|w| SMOOTH.contains(&w));
    let said = grid.rules.iter().any(|r| r.kind.is_some());
    said || about(grid, row, headings).iter().any(|text| named(text) != (false, false) || smooth(text))
}

/// Whether a table of straightedge deviations says that the straightedge lay across the lane.
pub(super) fn is_across(grid: &Grid<'_>, row: u32, headings: &[&str]) -> bool {
    let says = |text: &String, word: &str| fold(text).split(' ').any(|w| w == word);
    let texts = about(grid, row, headings);
    let speaking = texts.iter().find(|t| says(t, "transverse") || says(t, "longitudinal"));
    speaking.is_some_and(|t| says(t, "transverse") && !says(t, "longitudinal"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_index_is_named_by_its_words() {
        for (text, means) in [
            ("IRI (in/mi)", Some(RideIndex::Roughness)),
            ("M.R.I.", None),
            ("MRI", Some(RideIndex::Roughness)),
            ("PI, in/mi", Some(RideIndex::Profile)),
            ("Profile index", Some(RideIndex::Profile)),
            ("profilograph traces", Some(RideIndex::Profile)),
            ("IRI and PI", None),
            ("Profile", None),
            ("pier 4", None),
        ] {
            assert_eq!(index(text), means, "{text}");
        }
    }
}

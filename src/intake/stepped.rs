//! Which step of the work a sheet or a row speaks of, and which bars: by its words.
//!
//! The nearest words count: the headings, then the cells above them, then the sheet's and the file's name. Where the nearest
//! words name two steps, nothing is taken for granted. `Finish` alone is a time, and `compaction` a test, so neither names a step.

use super::cell::shown;
use super::grid::Grid;
use super::record::{Bar, Step};
use super::wording::fold;

const WORDS: &[(Step, &[&str])] = &[
    (
        Step::Reclaim,
        &[
            "reclaim",
            "reclaimed",
            "reclaiming",
            "till",
            "tilled",
            "tilling",
            "mixed",
            "mixing",
            "pulverized",
            "pulverised",
        ],
    ),
    (Step::Compact, &["compact", "compacted", "compacting", "rolled", "rolling", "sheepsfoot"]),
    (Step::Trim, &["trim", "trimmed", "trimming", "fine grading", "fine grade"]),
    (Step::Base, &["base", "millings", "subbase"]),
    (Step::Baskets, &["basket", "baskets"]),
    (Step::Ties, &["tie bar", "tie bars", "ties"]),
    (Step::Texture, &["texture", "textured", "texturing", "finishing", "burlap", "tined", "tining"]),
    (Step::Cure, &["cure", "cured", "curing"]),
    (Step::Saw, &["saw", "saws", "sawn", "sawed", "sawing", "saw cut", "sawcut", "sawcutting"]),
    (Step::Seal, &["seal", "sealed", "sealing", "sealant"]),
    (Step::Open, &["open", "opened", "opening", "openings", "reopened"]),
    (Step::Close, &["close", "closed", "closure", "closures"]),
];

fn has(folded: &str, word: &str) -> bool {
    format!(" {folded} ").contains(&format!(" {word} "))
}

fn named(text: &str) -> Vec<Step> {
    let folded = fold(text);
    WORDS.iter().filter(|(_, words)| words.iter().any(|w| has(&folded, w))).map(|(step, _)| *step).collect()
}

/// The step that a text names; `None` where it names none or two.
pub(super) fn step(text: &str) -> Option<Step> {
    match named(text).as_slice() {
        [only] => Some(*only),
        _ => None,
    }
}

/// The step that a table is of.
pub(super) fn of_table(grid: &Grid<'_>, row: u32, headings: &[&str]) -> Option<Step> {
    let texts = about(grid, row, headings);
    match texts.iter().find(|text| !named(text).is_empty()) {
        Some(text) => step(text),
        // A sheet of traffic says where it was let on, row by row.
        None => texts.iter().any(|text| has(&fold(text), "traffic")).then_some(Step::Open),
    }
}

/// Headings, what stands above them, the sheet's name, the file's name without its folders.
fn about(grid: &Grid<'_>, row: u32, headings: &[&str]) -> [String; 4] {
    let above = grid.lines.iter().take_while(|l| l.row < row).take(30).flat_map(|l| l.filled());
    let above: Vec<String> = above.map(|c| shown(&c.value)).collect();
    let file = grid.raw.file.rsplit('/').next().unwrap_or_default();
    [headings.join("; "), above.join("; "), grid.raw.name.clone().unwrap_or_default(), file.to_string()]
}

/// Dowels or tie bars, by a text.
pub(super) fn bar(text: &str) -> Option<Bar> {
    let folded = fold(text);
    let dowel = ["dowel", "dowels", "basket", "baskets"].iter().any(|w| has(&folded, w));
    let tie = ["tie", "ties", "tie bar", "tie bars", "tiebars"].iter().any(|w| has(&folded, w));
    match (dowel, tie) {
        (true, false) => Some(Bar::Dowel),
        (false, true) => Some(Bar::Tie),
        _ => None,
    }
}

/// Which bars a table is of.
pub(super) fn bars_of_table(grid: &Grid<'_>, row: u32, headings: &[&str]) -> Option<Bar> {
    about(grid, row, headings).iter().find_map(|text| bar(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_named_by_its_words() {
        for (text, means) in [
            ("Curing log July", Some(Step::Cure)),
            ("Depth of saw cut", Some(Step::Saw)),
            ("Millings base placed", Some(Step::Base)),
            ("Opened", Some(Step::Open)),
            ("Reopened to local traffic", Some(Step::Open)),
            ("Sawing and sealing", None),
            ("Finish", None),
            ("Percent compaction", None),
        ] {
            assert_eq!(step(text), means, "{text}");
        }
        assert_eq!((bar("Dowel scan"), bar("Tie bars"), bar("bars")), (Some(Bar::Dowel), Some(Bar::Tie), None));
    }
}

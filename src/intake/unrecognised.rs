//! What to say of rows whose headings are not known: what came nearest, and the lines of `contract.toml` that settle it.

use super::grid::{Grid, Line, quoted};
use super::heading::{self, Heading};
use super::proposed;
use super::raw::RawValue;
use super::row::Words;
use crate::finding::{Code, Finding, Place};
use crate::units::System;

fn is_value(value: &RawValue) -> bool {
    match value {
        RawValue::Number(_) | RawValue::Moment(_) | RawValue::Span(_) => true,
        RawValue::Text(text) => text.trim_start().starts_with(|c: char| c.is_ascii_digit()),
        _ => false,
    }
}

fn has_digit(value: &RawValue) -> bool {
    match value {
        RawValue::Text(text) => text.contains(|c: char| c.is_ascii_digit()),
        value => is_value(value),
    }
}

/// A cover or notes page: no row holds three cells, no number stands without a word beside it, and no rows below each
/// other are made of figures alone (`T-100`, `8.5`), which would be a table of two columns.
pub(super) fn is_notes(lines: &[Line<'_>]) -> bool {
    let figures = |line: &Line<'_>| line.filled().count() == 2 && line.filled().all(|c| has_digit(&c.value));
    let table = lines.windows(2).any(|pair| pair[0].row + 1 == pair[1].row && pair.iter().all(figures));
    !table
        && lines.iter().all(|line| {
            let cells: Vec<&RawValue> = line.filled().map(|c| &c.value).collect();
            let word = cells.iter().any(|v| matches!(v, RawValue::Text(t) if t.contains(char::is_alphabetic)));
            cells.len() < 3 && (word || !cells.iter().any(|v| is_value(v)))
        })
}

/// Whether a plain text file is prose: nothing below each other looks like a table, and no row comes near to headings.
pub(super) fn is_prose(grid: &Grid<'_>, lines: &[Line<'_>], system: System) -> bool {
    let text = grid.file().rsplit_once('.').is_some_and(|(_, ending)| ending.eq_ignore_ascii_case("txt"));
    text && data_rows(lines).is_empty() && heading::nearest(grid, system, "").is_none_or(|h| h.columns.len() < 2)
}

/// The finding for a text file that is prose.
pub(super) fn prose(grid: &Grid<'_>) -> Finding {
    Finding::new(
        Code::FilePassedOver,
        Place::File(grid.title()),
        "a text without columns: read as notes, nothing in it is counted",
        "nothing, unless it holds records: then save them as an .xlsx workbook or .csv",
    )
}

/// Rows that look like a table of their own: at least two below each other with three cells, two of them values.
pub(super) fn data_rows(lines: &[Line<'_>]) -> Vec<usize> {
    let dense = |line: &Line<'_>| {
        let filled = line.filled().count();
        let values = line.filled().filter(|c| is_value(&c.value)).count();
        filled >= 3 && values >= 2
    };
    let flags: Vec<bool> = lines.iter().map(dense).collect();
    let beside = |i: usize| (i > 0 && flags[i - 1]) || flags.get(i + 1) == Some(&true);
    (0..lines.len()).filter(|&i| flags[i] && beside(i)).collect()
}

fn first_cell(grid: &Grid<'_>, line: Line<'_>) -> Place {
    Place::Row(grid.cell(line.row, line.first().map_or(0, |c| c.column)))
}

/// The finding for rows above the first known headings that look like a table.
pub(super) fn above(grid: &Grid<'_>, first: Line<'_>, count: usize) -> Finding {
    Finding::new(
        Code::SheetUnrecognised,
        first_cell(grid, first),
        format!("{count} rows from here on look like a table, but no headings above them are known"),
        format!(
            "name its headings in contract.toml, or set the rows aside with a reason:{}",
            grid.remedy(&[
                String::from("kind = \"...\""),
                String::from("columns = { \"heading as written\" = \"field\" }")
            ])
        ),
    )
}

/// The finding for a sheet without known headings.
pub(super) fn sheet(grid: &Grid<'_>, lines: &[Line<'_>], words: Words<'_>) -> Finding {
    let count = if lines.len() == 1 { String::from("1 row") } else { format!("{} rows", lines.len()) };
    let system = words.setting.system;
    let likeliest = likeliest(grid);
    let nearest = heading::nearest(grid, system, likeliest.unwrap_or("")).filter(|h| !h.columns.is_empty());
    let (message, says) = if let Some(heading) = nearest {
        (near(&count, &heading), proposed::lines(grid, &heading, words))
    } else {
        let wide = |l: &&Line<'_>| l.filled().filter(|c| matches!(c.value, RawValue::Text(_))).count() >= 3;
        let row = lines.iter().find(wide).or(lines.first()).map_or(0, |l| l.row);
        let says = heading::as_kind(grid, row, likeliest.unwrap_or("placements"), system)
            .map_or_else(Vec::new, |heading| proposed::lines(grid, &heading, words));
        (format!("{count} with no headings that this program knows"), says)
    };
    let place = lines.first().map_or_else(|| Place::File(grid.title()), |l| first_cell(grid, *l));
    let remedy =
        format!("say in contract.toml what the sheet holds, or set it aside with a reason:{}", grid.remedy(&says));
    Finding::new(Code::SheetUnrecognised, place, message, remedy)
}

/// The kind that the names of file and sheet speak of, where no heading speaks of any.
fn likeliest(grid: &Grid<'_>) -> Option<&'static str> {
    const SPOKEN: &[(&str, &str)] = &[
        ("core", "cores"),
        ("probe", "probes"),
        ("break", "specimens"),
        ("cyl", "specimens"),
        ("beam", "specimens"),
        ("strength", "specimens"),
        ("iri", "profiles"),
        ("profil", "profiles"),
        ("smooth", "profiles"),
        ("straight", "straightedge"),
        ("slump", "fresh"),
        ("fresh", "fresh"),
        ("plant", "loads"),
        ("ticket", "loads"),
        ("load", "loads"),
        ("batch", "loads"),
        ("hand", "measured"),
        ("drive", "measured"),
        ("lab", "cores"),
    ];
    let name = grid.title().to_lowercase();
    SPOKEN.iter().find(|(word, _)| name.contains(word)).map(|(_, kind)| *kind)
}

/// What the nearest headings have and lack.
fn near(count: &str, heading: &Heading) -> String {
    let known: Vec<String> = heading.columns.iter().map(|c| format!("'{}' ({})", c.heading, c.field.word())).collect();
    let lacking: Vec<String> =
        heading.lacking.iter().map(|g| g.iter().map(|f| f.word()).collect::<Vec<_>>().join(" or ")).collect();
    let lacks = if lacking.is_empty() { String::from("nothing by name") } else { lacking.join(", ") };
    format!(
        "{count} with no headings that this program knows; row {} comes nearest to {}: it has {}, and lacks {lacks}",
        heading.row + 1,
        heading.kind.word,
        known.join(", "),
    )
}

/// Why rows under headings of two kinds are refused.
pub(super) fn torn_words(kinds: &[Heading]) -> String {
    let words: Vec<&str> = kinds.iter().map(|h| h.kind.word).collect();
    format!("the headings fit {} equally well", words.join(" and "))
}

/// The finding for headings that fit two kinds equally well.
pub(super) fn torn(grid: &Grid<'_>, kinds: &[Heading]) -> Finding {
    let (row, first) = kinds.first().map_or((0, 0), |h| (h.row, h.columns.first().map_or(0, |c| c.at)));
    let others: Vec<String> = kinds.iter().skip(1).map(|h| quoted(h.kind.word)).collect();
    let kind = kinds.first().map_or("...", |h| h.kind.word);
    Finding::new(
        Code::SheetUnrecognised,
        Place::Row(grid.cell(row, first)),
        format!("{}; none of the rows below is counted", torn_words(kinds)),
        format!(
            "say in contract.toml which it is:{}",
            grid.remedy(&[format!("kind = {}   # or {}", quoted(kind), others.join(" or "))])
        ),
    )
}

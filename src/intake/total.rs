//! Subtotals and totals on a sheet: recognised, compared with the rows they stand under, never counted.
//!
//! A total is right where it is the sum of the rows since the last total of its level or since the headings, with or
//! without void and rejected rows: people do either. Averages and other summaries are recognised and not compared.

use rust_decimal::Decimal;
use rust_decimal::dec;

use super::cell::{number, text_number};
use super::grid::{Grid, Line};
use super::kind::{Field, Holds, Measure};
use super::raw::RawValue;
use super::table::Table;
use super::wording::fold;
use crate::finding::{Code, Finding, Place};
use crate::units::plain;

/// Which rows a summary speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Summary {
    /// A sum, by level: subtotal or page, day, total, grand total.
    Sum(usize),
    /// What is carried over to the next page, or from the last: compared, and the sums run on.
    Carried,
    /// An average, a count, an extreme.
    Other,
}

const LEVELS: usize = 4;

/// Whether a row is a summary: a word of that sort, and nothing else where the record's name should stand.
pub(super) fn summary(table: &Table, line: Line<'_>) -> Option<Summary> {
    let remarks = table.column(Field::Remarks).map(|c| c.at);
    let id = table.column(table.kind.id).map(|c| c.at);
    let mut texts = line.filled().filter(|c| Some(c.column) != remarks).take(4);
    let (cell, summary) = texts.find_map(|c| match &c.value {
        RawValue::Text(text) => word(text).map(|s| (c, s)),
        _ => None,
    })?;
    let named = id.is_some_and(|id| id != cell.column && line.at(id).is_some());
    (!named).then_some(summary)
}

/// Words for a total.
const TOTAL: &[&str] = &["total", "totals", "subtotal", "subtotals", "tot", "tots", "subtot"];

fn word(text: &str) -> Option<Summary> {
    if !text.trim_start().starts_with(char::is_alphabetic) && !text.to_lowercase().contains("total") {
        return None;
    }
    let folded = fold(text);
    let words: Vec<&str> = folded.split(' ').collect();
    let has = |all: &[&str]| words.iter().any(|w| all.contains(w));
    if words.len() > 6 {
        return None;
    }
    let carried =
        ["c f", "b f", "carried forward", "brought forward", "carried over", "total carried", "total brought"];
    if carried.iter().any(|c| folded == *c || folded.starts_with(&format!("{c} "))) || has(&["running", "cumulative"]) {
        return Some(Summary::Carried).filter(|_| words.first() != Some(&"running") || has(TOTAL));
    }
    if has(TOTAL) || words.first() == Some(&"sum") {
        let level = if has(&["grand", "overall", "project", "contract"]) {
            3
        } else if has(&["subtotal", "subtotals", "sub", "page", "sheet"]) {
            0
        } else if has(&["day", "days", "daily", "today"])
            || (has(&["for"]) && text.contains(|c: char| c.is_ascii_digit()))
        {
            1
        } else {
            2
        };
        return Some(Summary::Sum(level));
    }
    let first = words.first().copied().unwrap_or("");
    let other = ["average", "averages", "minimum", "min", "maximum", "count", "median", "std", "stdev"]
        .contains(&first)
        || folded.starts_with("standard deviation");
    other.then_some(Summary::Other)
}

/// Sums of one column since the last total of each level.
#[derive(Clone, Copy, Debug, Default)]
struct Running {
    all: Decimal,
    not_void: Decimal,
    accepted: Decimal,
}

/// How a row counts in the sums.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Counts {
    Fully,
    Rejected,
    Void,
}

impl Running {
    fn plus(self, other: Self) -> Self {
        Self {
            all: self.all.saturating_add(other.all),
            not_void: self.not_void.saturating_add(other.not_void),
            accepted: self.accepted.saturating_add(other.accepted),
        }
    }
}

/// Sums of a column: of the rows since the last total of any level, and of the rows before, by level.
#[derive(Clone, Copy, Debug, Default)]
struct Column {
    at: u16,
    since: Running,
    before: [Running; LEVELS],
}

impl Column {
    fn level(&self, level: usize) -> Running {
        self.before[level].plus(self.since)
    }
}

/// Sums of a table's columns as they are typed.
#[derive(Debug, Default)]
pub(super) struct Sums {
    columns: Vec<Column>,
}

impl Sums {
    /// Takes up the numbers of a row.
    pub(super) fn add(&mut self, numbers: &[(u16, Decimal)], counts: Counts) {
        for &(at, value) in numbers {
            let place = self.columns.iter().position(|c| c.at == at).unwrap_or_else(|| {
                self.columns.push(Column { at, ..Column::default() });
                self.columns.len() - 1
            });
            let unless = |not: bool| if not { Decimal::ZERO } else { value };
            let row = Running {
                all: value,
                not_void: unless(counts == Counts::Void),
                accepted: unless(counts != Counts::Fully),
            };
            let column = &mut self.columns[place];
            column.since = column.since.plus(row);
        }
    }

    /// Begins anew after a total.
    pub(super) fn close(&mut self, level: usize) {
        for column in &mut self.columns {
            for at in 0..LEVELS {
                column.before[at] = if at <= level { Running::default() } else { column.level(at) };
            }
            column.since = Running::default();
        }
    }

    fn agrees(&self, at: u16, level: usize, found: Decimal) -> Result<(), Decimal> {
        let Some(column) = self.columns.iter().find(|c| c.at == at) else {
            return if found.is_zero() { Ok(()) } else { Err(Decimal::ZERO) };
        };
        let near = |sum: Decimal| (sum - found).abs() <= dec!(0.000001);
        let fits = |r: Running| near(r.all) || near(r.not_void) || near(r.accepted);
        if (level..LEVELS).any(|l| fits(column.level(l))) { Ok(()) } else { Err(column.level(level).not_void) }
    }
}

/// Whether the sum of a column means anything.
fn adds_up(holds: Holds) -> bool {
    matches!(holds, Holds::Count | Holds::Measure(Measure::Volume | Measure::Length | Measure::OfItem))
}

/// Compares a total row with the rows above it: what it says, in words, and what does not agree.
pub(super) fn check(
    table: &Table,
    grid: &Grid<'_>,
    line: Line<'_>,
    level: usize,
    sums: &Sums,
    refused: u32,
) -> (&'static str, Vec<Finding>) {
    let mut findings = Vec::new();
    let mut compared = false;
    for column in table.heading.columns.iter().filter(|c| adds_up(c.holds)) {
        let Some(cell) = line.at(column.at) else { continue };
        let at = grid.cell(line.row, column.at);
        let found = match &cell.value {
            RawValue::Number(n) => number(*n),
            RawValue::Text(text) => text_number(text).map(|t| t.value),
            _ => Err(String::from("holds no stored number")),
        };
        let finding = match found.map(|f| (f, sums.agrees(column.at, level, f))) {
            Ok((_, Ok(()))) => {
                compared = true;
                continue;
            }
            Ok((found, Err(expected))) => mismatch(&column.heading, expected, found, refused),
            Err(why) => format!("'{}': the total cannot be compared with its rows: it {why}", column.heading),
        };
        let remedy = "check whether a row is missing, repeated or changed; the total itself is never counted";
        findings.push(Finding::new(Code::TotalMismatch, Place::Cell(at), finding, remedy));
    }
    let words = match (compared, findings.is_empty()) {
        (true, true) => "total, agrees with its rows",
        (false, true) => "total, nothing to compare",
        (_, false) => "total, does not agree with its rows",
    };
    (words, findings)
}

fn mismatch(heading: &str, expected: Decimal, found: Decimal, refused: u32) -> String {
    let difference = found - expected;
    let side = if difference.is_sign_negative() { "under" } else { "over" };
    let refused = match refused {
        0 => String::new(),
        1 => String::from(" (1 row of this table was refused)"),
        n => format!(" ({n} rows of this table were refused)"),
    };
    format!(
        "'{heading}': the total says {}, its rows come to {}: {} {side}{refused}",
        plain(found),
        plain(expected),
        plain(difference.abs())
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn summaries_are_told_from_records_by_their_words() {
        for (text, is) in [
            ("TOTAL", Some(Summary::Sum(2))),
            ("Sub-total", Some(Summary::Sum(0))),
            ("Day total:", Some(Summary::Sum(1))),
            ("Total 5/14", Some(Summary::Sum(2))),
            ("Grand Total", Some(Summary::Sum(3))),
            ("14 loads total", Some(Summary::Sum(2))),
            ("Day's total", Some(Summary::Sum(1))),
            ("Sub Tot.", Some(Summary::Sum(0))),
            ("TOTAL FOR 7/3", Some(Summary::Sum(1))),
            ("Page total", Some(Summary::Sum(0))),
            ("c/f", Some(Summary::Carried)),
            ("B/F", Some(Summary::Carried)),
            ("Carried forward", Some(Summary::Carried)),
            ("Running total", Some(Summary::Carried)),
            ("Avg.", Some(Summary::Other)),
            ("88213", None),
            ("the total was agreed with the inspector on site", None),
        ] {
            assert_eq!(word(text), is, "{text}");
        }
    }
}

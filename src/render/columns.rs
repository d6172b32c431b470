//! How wide each column of a table is, counted in characters.
//!
//! Numbers are never broken; columns of words give way. A table that is still too wide is laid side by side: each part
//! repeats the first column. The text reports print these widths as they are, the typeset package scales them.

use super::view::{RowView, TableView};

/// Characters between two columns.
pub(super) const GAP: usize = 2;

/// Longest word that keeps a column of words from becoming narrower.
const WORD: usize = 24;

/// A part of a table: columns with their widths.
pub(super) type Part = Vec<(usize, usize)>;

/// The parts of a table that is to be at most `budget` characters wide.
pub(super) fn parts(table: &TableView, budget: usize) -> Vec<Part> {
    let columns: Vec<(usize, usize)> = (0..table.columns.len()).map(|i| widths(table, i)).collect();
    let leads: Vec<&str> = table.rows.iter().map(|row| lead(table, row)).collect();
    let longest = |of: fn(&str) -> usize| leads.iter().map(|text| of(text)).max().unwrap_or(1).max(1);
    let leading = columns.first().map_or((1, 1), |first| {
        let least = longest(longest_word).min(WORD).max(first.1);
        (longest(width).max(least), least)
    });
    let least: Vec<usize> = columns.iter().map(|c| c.1).collect();
    let mut parts = Vec::new();
    for group in groups(&least, leading.1, budget) {
        let own = |&i: &usize| if i == 0 && !parts.is_empty() { leading } else { columns[i] };
        let mut wanted: Vec<(usize, usize)> = group.iter().map(own).collect();
        if wanted.iter().map(|w| w.0 + GAP).sum::<usize>() > budget + GAP {
            // Headings over numbers break before descriptions do.
            group.iter().zip(&mut wanted).filter(|(i, _)| table.columns[**i].right).for_each(|(_, w)| w.0 = w.1);
        }
        let fitted = fit(wanted, budget);
        parts.push(group.into_iter().zip(fitted).collect());
    }
    parts
}

/// What a cell says in part number `part`: where the first column is repeated and empty, the row's first words.
pub(super) fn said<'a>(table: &'a TableView, row: &'a RowView, column: usize, part: usize) -> &'a str {
    if part > 0 && column == 0 { lead(table, row) } else { &row.cells[column].text }
}

fn lead<'a>(table: &TableView, row: &'a RowView) -> &'a str {
    let words = row.cells.iter().zip(&table.columns).filter(|(_, column)| !column.right);
    words.map(|(cell, _)| cell.text.as_str()).find(|text| !text.is_empty()).unwrap_or("")
}

/// Width of text as it stands in a column of one-width characters.
pub(super) fn width(text: &str) -> usize {
    text.chars().count()
}

fn longest_word(text: &str) -> usize {
    text.split(' ').map(width).max().unwrap_or(0)
}

/// The width a column would like, and the least it can do with.
fn widths(table: &TableView, i: usize) -> (usize, usize) {
    let column = &table.columns[i];
    let cells = table.rows.iter().map(|row| &row.cells[i]);
    let filled = cells.clone().map(|cell| width(&cell.text) + width(&cell.pad)).max().unwrap_or(0);
    let heading = longest_word(&column.heading).max(width(&column.unit)).max(1);
    let natural = filled.max(heading).max(width(&column.heading).min(column.hint));
    if column.right || column.mono {
        return (natural, filled.max(heading));
    }
    let words = cells.map(|cell| longest_word(&cell.text)).max().unwrap_or(0);
    (natural, words.min(WORD).max(heading).min(natural))
}

/// Columns that fit beside each other at their least width; every group but the first begins with the first column.
fn groups(least: &[usize], leading: usize, budget: usize) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = vec![Vec::new()];
    let mut used = 0;
    for (i, &own) in least.iter().enumerate() {
        let group = groups.last_mut().map_or(0, |g| g.len());
        if group > 1 && used + GAP + own > budget {
            groups.push(vec![0]);
            used = leading;
        }
        used += own + if used > 0 { GAP } else { 0 };
        if let Some(group) = groups.last_mut() {
            group.push(i);
        }
    }
    groups
}

/// Natural widths, the widest column of words narrowed until all fit.
fn fit(columns: Vec<(usize, usize)>, budget: usize) -> Vec<usize> {
    let least: Vec<usize> = columns.iter().map(|c| c.1).collect();
    let mut widths: Vec<usize> = columns.into_iter().map(|c| c.0).collect();
    let gaps = GAP * widths.len().saturating_sub(1);
    let mut over = (widths.iter().sum::<usize>() + gaps).saturating_sub(budget);
    while over > 0 {
        let Some(widest) = (0..widths.len()).filter(|&i| widths[i] > least[i]).max_by_key(|&i| widths[i]) else {
            break;
        };
        widths[widest] -= 1;
        over -= 1;
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_that_do_not_fit_are_laid_side_by_side() {
        assert_eq!(groups(&[8, 40, 40, 40], 8, 100), [vec![0, 1, 2], vec![0, 3]]);
        assert_eq!(fit(vec![(90, 20), (30, 10), (6, 6)], 60), [25, 25, 6]);
    }
}

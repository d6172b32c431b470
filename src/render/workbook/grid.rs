//! Columns of a page that carries several tables: the longest table lays the columns, the others are fitted onto them, so
//! that few cells have to be merged and every column can be read down.

use super::leaf::characters;
use super::list;
use crate::dossier::{Block, Page, Shown, Table};
use crate::figure::{Book, hand};

/// First and last column of the page that a column of a table takes.
pub(super) type Span = (u16, u16);

/// Columns of a calculation: label, symbol, formula, numbers, value, unit, note.
pub(super) const CALCULATION: [f64; 7] = [26.0, 7.0, 26.0, 34.0, 14.0, 7.0, 32.0];
/// Width of running text where no table says otherwise.
const TEXT: f64 = 92.0;
/// A page is at least so wide, to leave room for text.
const NARROWEST: f64 = 80.0;
/// How often a page's tables are gone over at most.
const ROUNDS: usize = 6;
/// A column fits where it lacks no more than this part of its width.
const ENOUGH: f64 = 0.93;

/// Widths of a page's columns, in characters.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Grid(Vec<f64>);

impl Grid {
    /// The columns of a page, wide enough for every block on it.
    pub(super) fn of(page: &Page, book: &Book, currency: &str) -> Self {
        let tables = || page.blocks.iter().filter_map(|b| if let Block::Table(t) = b { Some(t) } else { None });
        let calculates = page.blocks.iter().any(|b| matches!(b, Block::Calculation { .. }));
        let longest = tables().max_by_key(|t| (t.rows.len(), t.columns.len()));
        let mut grid = match longest {
            Some(table) if !(calculates && table.rows.len() < 8) => Grid(needs(table, book)),
            _ if calculates => Grid(calculation(page, book, currency)),
            _ => Grid::default(),
        };
        for table in tables() {
            grid.fit(&needs(table, book));
        }
        if calculates {
            grid.fit(&calculation(page, book, currency));
        }
        // A wider column can end an earlier table's span elsewhere, so the tables are gone over again until nothing moves.
        for _ in 0..ROUNDS {
            let moved = tables().map(|table| grid.hold_numbers(table, book)).fold(false, |any, moved| any | moved);
            if !moved {
                break;
            }
        }
        while grid.width() < NARROWEST {
            grid.0.push(12.0);
        }
        grid
    }

    /// Widens the columns in which a table's numbers stand, the last of their spans, to the longest of them; true where any was.
    fn hold_numbers(&mut self, table: &Table, book: &Book) -> bool {
        let spans = self.fit(&needs(table, book));
        let mut moved = false;
        for (column, (_, last)) in spans.into_iter().enumerate() {
            let numbers = table.rows.iter().filter_map(|row| row.cells.get(column));
            let longest = numbers.map(|shown| number_width(shown, book)).fold(0.0, f64::max);
            if let Some(width) = self.0.get_mut(usize::from(last)).filter(|width| **width < longest * ENOUGH) {
                *width = longest;
                moved = true;
            }
        }
        moved
    }

    /// Widths in order.
    pub(super) fn widths(&self) -> &[f64] {
        &self.0
    }

    /// Width of the whole page.
    pub(super) fn width(&self) -> f64 {
        self.0.iter().sum()
    }

    /// Width of some of its columns.
    pub(super) fn span(&self, (first, last): Span) -> f64 {
        self.0.get(usize::from(first)..=usize::from(last)).map_or(0.0, |w| w.iter().sum())
    }

    /// The columns that running text takes.
    pub(super) fn text(&self) -> Span {
        let mut wide = 0.0;
        let within = self.0.iter().take_while(|width| {
            wide += **width;
            wide <= TEXT + 12.0
        });
        (0, u16::try_from(within.count().saturating_sub(1)).unwrap_or(u16::MAX))
    }

    /// Puts columns of these widths onto the grid; where it ends too early, columns are added at its right.
    pub(super) fn fit(&mut self, needs: &[f64]) -> Vec<Span> {
        let mut spans = Vec::new();
        let mut at = 0;
        for need in needs {
            let first = at;
            let mut wide = 0.0;
            while wide < need * ENOUGH {
                if at == self.0.len() {
                    self.0.push((need - wide).max(4.0));
                }
                wide += self.0[at];
                at += 1;
            }
            let index = |n: usize| u16::try_from(n).unwrap_or(u16::MAX);
            spans.push((index(first), index(at.saturating_sub(1).max(first))));
        }
        spans
    }
}

/// Widths that a table's columns need: what is asked for, the longest word of the heading, the longest number.
pub(super) fn needs(table: &Table, book: &Book) -> Vec<f64> {
    let asked = table.columns.iter().map(|c| {
        let heading = c.heading.split(' ').chain([c.unit.as_str()]).map(characters).fold(0.0, f64::max);
        f64::from(c.width).max(heading + 1.5).max(4.0)
    });
    let mut widths: Vec<f64> = asked.collect();
    for row in &table.rows {
        for (width, shown) in widths.iter_mut().zip(&row.cells) {
            *width = width.max(number_width(shown, book));
        }
    }
    widths
}

/// A number must never be too long for its column; words wrap.
fn number_width(shown: &Shown, book: &Book) -> f64 {
    match shown {
        Shown::Figure(id) => characters(&book[*id].text()) + if book[*id].unit.is_money() { 3.5 } else { 2.5 },
        Shown::Cell(id) => book.table(id.table).number(id.row, id.column).map_or(0.0, |n| {
            let decimals = book.table(id.table).columns.get(usize::from(id.column)).and_then(|c| c.decimals);
            let text = decimals.map_or_else(|| crate::units::plain(n), |d| crate::units::written(n, d));
            characters(&text) + 2.5
        }),
        Shown::Count(n) => characters(&n.to_string()) + 2.5,
        Shown::Date(_) => 11.5,
        Shown::Blank | Shown::Text(_) | Shown::Sheet { .. } => 0.0,
    }
}

/// Widths of the page's calculations.
pub(super) fn calculation(page: &Page, book: &Book, currency: &str) -> Vec<f64> {
    let mut widths = CALCULATION.to_vec();
    for block in &page.blocks {
        let Block::Calculation { figures, .. } = block else { continue };
        for id in figures {
            let line = hand(book, *id);
            widths[1] = widths[1].max(characters(&line.symbol) + 1.5);
            widths[4] = widths[4].max(characters(&line.value) + 2.5);
            widths[5] = widths[5].max(characters(&list::unit(book[*id].unit, currency)) + 1.5);
        }
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_second_table_is_fitted_onto_the_columns_of_the_first() {
        let mut grid = Grid(vec![8.0, 10.0, 8.0, 24.0]);
        assert_eq!(grid.fit(&[18.0, 8.0, 20.0]), [(0, 1), (2, 2), (3, 3)]);
        assert_eq!(grid.fit(&[30.0, 30.0, 7.0]), [(0, 3), (4, 4), (5, 5)]);
        assert_eq!(grid.widths(), [8.0, 10.0, 8.0, 24.0, 30.0, 7.0]);
    }

    #[test]
    fn running_text_stays_readable_on_a_broad_page() {
        assert_eq!(Grid(vec![30.0; 8]).text(), (0, 2));
        assert_eq!(Grid(vec![120.0, 10.0]).text(), (0, 0));
    }
}

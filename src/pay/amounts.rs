//! The three columns of a line of the estimate: to date, before this period, and this period as the difference.
//!
//! What was before is what the last closing says, whatever the records say today: a closed month does not change, and what
//! came in late falls into this period. Where no period before is closed, it is computed by the same formula from the
//! records through the last day of the period before.

use super::Amounts;
use crate::closing::Closing;
use crate::figure::{Book, Expr, Figure, FigureId};
use crate::units::{Rounding, Unit};

/// Makes the three columns of a line.
#[derive(Clone, Copy)]
pub(super) struct Maker<'a> {
    pub(super) unit: Unit,
    pub(super) rounding: Rounding,
    /// The last closing before this period.
    pub(super) closed: Option<&'a Closing>,
}

impl Maker<'_> {
    fn add(&self, book: &mut Book, key: &str, label: &str, expr: Expr) -> FigureId {
        book.add(Figure::new(key, label, symbol(key), self.unit, expr).rounded(self.rounding))
    }

    fn difference(&self, book: &mut Book, key: &str, label: &str, to_date: FigureId, previous: FigureId) -> Amounts {
        let this = self.add(book, &format!("{key}.this-period"), &format!("{label} this period"), to_date - previous);
        Amounts { to_date, previous, this }
    }

    /// To date and previous by the same formula over the columns of other lines.
    pub(super) fn of(
        &self,
        book: &mut Book,
        key: &str,
        label: &str,
        formula: impl Fn(fn(&Amounts) -> FigureId) -> Expr,
    ) -> Amounts {
        let to_date = self.add(book, &format!("{key}.to-date"), &format!("{label} to date"), formula(|a| a.to_date));
        let previous = match self.closed {
            Some(closing) => self.as_closed(book, key, label, closing),
            None => self.add(book, &format!("{key}.previous"), &format!("{label} before"), formula(|a| a.previous)),
        };
        self.difference(book, key, label, to_date, previous)
    }

    /// To date and previous as sums over the columns of other lines.
    pub(super) fn sums(
        &self,
        book: &mut Book,
        key: &str,
        label: &str,
        parts: impl Fn(fn(&Amounts) -> FigureId) -> Vec<Expr>,
    ) -> Amounts {
        self.split(book, key, label, parts(|a| a.to_date), parts(|a| a.previous))
    }

    pub(super) fn split(&self, book: &mut Book, key: &str, label: &str, all: Vec<Expr>, before: Vec<Expr>) -> Amounts {
        let to_date = self.total(book, &format!("{key}.to-date"), &format!("{label} to date"), all);
        let previous = match self.closed {
            Some(closing) => self.as_closed(book, key, label, closing),
            None => self.total(book, &format!("{key}.previous"), &format!("{label} before"), before),
        };
        self.difference(book, key, label, to_date, previous)
    }

    /// What was to date when the period before was closed.
    fn as_closed(&self, book: &mut Book, key: &str, label: &str, closing: &Closing) -> FigureId {
        let given = book.given(closing.given(&format!("{key}.to-date"), label, symbol(key), self.unit));
        self.add(book, &format!("{key}.previous"), &format!("{label} before"), given.into())
    }

    fn total(&self, book: &mut Book, key: &str, label: &str, parts: Vec<Expr>) -> FigureId {
        let figure = Figure::new(key, label, symbol(key), self.unit, Expr::Whole(0)).rounded(self.rounding);
        book.add_sum(figure, parts)
    }
}

/// The letter of a line in formulas: the first letter of the last word that says what it is.
fn symbol(key: &str) -> &'static str {
    let words = [
        ("quantity", "Q"),
        ("amount", "A"),
        ("work", "W"),
        ("adjustments", "J"),
        ("earned", "E"),
        ("held", "H"),
        ("retained", "R"),
        ("due", "D"),
    ];
    words.iter().find(|(word, _)| key.split('.').any(|part| part == *word)).map_or("x", |(_, letter)| letter)
}

//! What a figure rests on, laid out flat: every step below it in the order they were computed, and every leaf they take.
//!
//! The tree of `trace` shows how; these lists are for a sheet on which each step and each leaf stands once and can be checked
//! off. A total is given as its whole run of rows: those that do not count stand between those that do.

use std::collections::BTreeSet;

use super::book::{Book, FigureId, GivenId};
use super::expr::{Expr, Total};
use super::table::CellId;

/// What a calculation takes as it finds it.
#[derive(Clone, Debug, PartialEq)]
pub enum Leaf {
    /// A value of the contract, of a rule set, an entry, or one that was drawn.
    Given(GivenId),
    /// A cell of a record.
    Cell(CellId),
    /// A run of rows of a record table.
    Rows(Total),
}

/// A figure's steps and leaves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Below {
    /// Figures below it in the order they were computed, itself last.
    pub steps: Vec<FigureId>,
    /// Leaves in the order the steps first take them, each once.
    pub leaves: Vec<Leaf>,
}

/// All that stands below a figure.
#[must_use]
pub fn below(book: &Book, id: FigureId) -> Below {
    let (mut steps, mut open) = (BTreeSet::from([id]), vec![id]);
    while let Some(next) = open.pop() {
        each(&book[next].expr, &mut |part| {
            if let Expr::Figure(id) = part
                && steps.insert(*id)
            {
                open.push(*id);
            }
        });
    }
    let mut found = Below { steps: steps.into_iter().collect(), leaves: Vec::new() };
    let (mut cells, mut givens) = (BTreeSet::new(), BTreeSet::new());
    for step in &found.steps {
        each(&book[*step].expr, &mut |part| match part {
            Expr::Cell(id) if cells.insert(*id) => found.leaves.push(Leaf::Cell(*id)),
            Expr::Given(id) if givens.insert(*id) => found.leaves.push(Leaf::Given(*id)),
            Expr::Total(total) if !found.leaves.contains(&Leaf::Rows(total.clone())) => {
                found.leaves.push(Leaf::Rows(total.clone()));
            }
            _ => {}
        });
    }
    found
}

/// An expression and all its parts, from the outside in.
fn each(expr: &Expr, see: &mut impl FnMut(&Expr)) {
    see(expr);
    expr.parts().into_iter().for_each(|part| each(part, see));
}

#[cfg(test)]
mod tests {
    use rust_decimal::dec;

    use super::*;
    use crate::figure::{Figure, Given, Origin, whole};
    use crate::units::Unit;

    #[test]
    fn each_step_and_leaf_stands_once_in_the_order_computed() {
        let mut book = Book::default();
        let origin = Origin::Entry { what: "a".into() };
        let given = Given {
            label: "a".into(),
            symbol: "a".into(),
            value: dec!(2),
            unit: Unit::One,
            written: "2".into(),
            origin,
        };
        let given = book.given(given);
        let mut add = |key: &str, expr: Expr| book.add(Figure::new(key, key, "x", Unit::One, expr));
        let first = add("first", given + Expr::from(given));
        let aside = add("aside", whole(1));
        let second = add("second", first * first);
        let found = below(&book, second);
        assert_eq!(found.steps, [first, second], "{aside:?} is not below it");
        assert_eq!(found.leaves, [Leaf::Given(given)]);
    }
}

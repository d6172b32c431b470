//! What of an invoice line is payable by records and agreement:
//!
//! ```text
//! payable = the smaller of the amount billed and quantity x price, rounded as money
//! ```
//!
//! Quantity is the smaller of what is billed and what is recorded, price the agreed one, or the billed one where none is
//! agreed. A supplier that bills less than was agreed is paid what it bills. Computed once for a line, whatever and however
//! many its faults are, so that nothing is disputed twice. Common practice.

use rust_decimal::Decimal;

use crate::figure::{Book, CellId, Expr, Figure, FigureId, min, whole};
use crate::units::{Rounding, Unit};

/// What a line is payable by.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Due {
    /// Nothing can be held against it.
    AsBilled,
    /// Nothing is payable.
    Nothing,
    /// At most one agreed charge.
    Charge(Expr),
    /// Quantity times price.
    Worth {
        /// As billed and as recorded, at least one of them.
        quantities: Vec<Expr>,
        /// Price of one.
        price: Expr,
        /// Unit of the quantities.
        unit: Unit,
    },
}

/// A step of the formula that is a figure of its own where the line is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    Recorded(Unit),
    Quantity(Unit),
    Worth,
}

/// The formula, each step of it kept as `keep` likes.
fn formula(due: &Due, amount: CellId, mut keep: impl FnMut(Step, Expr) -> Expr) -> Expr {
    match due {
        Due::AsBilled => amount.into(),
        Due::Nothing => whole(0),
        Due::Charge(charge) => min([amount.into(), charge.clone()]),
        Due::Worth { quantities, price, unit } => {
            let mut own = |quantity: &Expr| match quantity {
                Expr::Cell(_) => quantity.clone(),
                recorded => keep(Step::Recorded(*unit), recorded.clone()),
            };
            let quantities: Vec<Expr> = quantities.iter().map(&mut own).collect();
            let quantity = match quantities.as_slice() {
                [only] => only.clone(),
                several => keep(Step::Quantity(*unit), min(several.to_vec())),
            };
            let worth = keep(Step::Worth, quantity * price.clone());
            min([amount.into(), worth])
        }
    }
}

/// What is payable of a line, without a figure; `None` where it cannot be computed.
pub(super) fn payable(book: &Book, due: &Due, amount: CellId, money: Rounding) -> Option<Decimal> {
    let keep = |step, expr: Expr| if step == Step::Worth { expr.rounded(money) } else { expr };
    book.evaluate(&formula(due, amount, keep)).decimal()
}

/// What is payable of a line, with its steps in the book under the line's key and label; `note` says why.
pub(super) fn payable_figure(
    book: &mut Book,
    due: &Due,
    amount: CellId,
    money: Rounding,
    (key, label, note): (&str, &str, &str),
) -> FigureId {
    let expr = formula(due, amount, |step, expr| {
        let quantity = |word: &str, words: &str, symbol: &str, unit: Unit, expr: Expr| {
            Figure::new(format!("{key}.{word}"), format!("{label}, {words}"), symbol, unit, expr)
                .shown(unit.decimals().max(2))
        };
        let figure = match step {
            Step::Recorded(unit) => quantity("recorded", "by the ticket", "t", unit, expr),
            Step::Quantity(unit) => quantity("quantity", "payable quantity", "Q", unit, expr),
            Step::Worth => {
                let label = format!("{label}, by records and agreement");
                Figure::new(format!("{key}.worth"), label, "W", Unit::Money, expr).rounded(money)
            }
        };
        book.add(figure).into()
    });
    let payable = Figure::new(format!("{key}.payable"), format!("{label}, payable"), "P", Unit::Money, expr);
    book.add(payable.note(note))
}

//! What a stepped table pays: one look-up for every property.
//!
//! Beyond the table, and at its last step where that speaks of a decision, the engineer decides; until then what the last
//! step says is paid.

use rust_decimal::Decimal;

use super::Verdict;
use super::ground::CAUTION;
use crate::figure::{Book, Expr, Figure, FigureId, Given, Origin, Steps};
use crate::rules::RuleSet;
use crate::units::written;

/// What a table pays for a deficiency.
#[derive(Clone, Debug)]
pub(super) struct Priced {
    /// Percent of the unit price.
    pub(super) pay: FigureId,
    /// How the lot stands by it.
    pub(super) verdict: Verdict,
    /// The word beside the step; empty where there is none.
    pub(super) note: String,
}

/// The percent that the table gives for a rounded deficiency; `None` only for an empty table.
pub(super) fn priced(book: &mut Book, set: &RuleSet, table: &Steps, key: &str, deficiency: FigureId) -> Option<Priced> {
    let Some(row) = book[deficiency].value.decimal().and_then(|d| table.find(d)) else {
        let pay = until_decided(book, set, table, key)?.pay;
        let note = "the table has no step for this deficiency".into();
        return Some(Priced { pay, verdict: Verdict::Undecided, note });
    };
    let step = table.rows.get(row)?;
    let looked_up = Expr::from(deficiency).in_steps(book.steps(table.clone()));
    let figure = Figure::new(format!("{key}.pay"), "pay", "f", table.gives, looked_up);
    let note = format!("{} {}", table.span(row), table.entered_in);
    let pay = book.add(figure.shown(decimals(table)).under(&table.clause).note(note));
    let verdict = if row + 1 == table.rows.len() && !step.word.is_empty() {
        Verdict::Undecided
    } else if step.value == Decimal::ONE_HUNDRED {
        Verdict::Sound
    } else {
        Verdict::Adjusted
    };
    Some(Priced { pay, verdict, note: step.word.clone() })
}

/// What the last step of the table pays, and its word: so much until the engineer decides.
pub(super) fn until_decided(book: &mut Book, set: &RuleSet, table: &Steps, key: &str) -> Option<Priced> {
    let step = table.rows.last()?;
    let word = if step.word.is_empty() { CAUTION } else { &step.word };
    let given = book.given(Given {
        label: "pay until the engineer decides".into(),
        symbol: "f".into(),
        value: step.value,
        unit: table.gives,
        written: format!("{} {}", written(step.value, decimals(table)), table.gives),
        origin: Origin::Rule {
            set: set.id.clone(),
            key: format!("the last step of {}", table.title),
            clause: table.clause.clone(),
        },
    });
    let figure = Figure::new(format!("{key}.pay"), "pay until the engineer decides", "f", table.gives, given);
    let pay = book.add(figure.shown(decimals(table)).under(&table.clause).note(word));
    Some(Priced { pay, verdict: Verdict::Undecided, note: word.to_string() })
}

/// Decimals with which the values of a table are written.
fn decimals(table: &Steps) -> u8 {
    let scale = |value: Decimal| u8::try_from(value.normalize().scale()).unwrap_or(u8::MAX);
    table.rows.iter().map(|row| scale(row.value)).max().unwrap_or(0)
}

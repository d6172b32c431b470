//! What each property brings to a piece: its percent and the day of it, or why it has none yet.

use chrono::NaiveDate;

use crate::accept::{Effect, Outcome, Verdict};
use crate::figure::{Book, Expr, Figure, FigureId, whole};
use crate::rules::Property;
use crate::units::{Unit, conversions};

/// A property of a piece.
pub(super) struct Member<'o> {
    pub(super) property: Property,
    /// Its outcome; `None` where it has none here.
    pub(super) outcome: Option<&'o Outcome>,
    /// What it pays and since when; `None` while it is not judged.
    pub(super) paid: Option<(Paid, NaiveDate)>,
}

/// What a property pays.
#[derive(Clone, Copy)]
pub(super) enum Paid {
    /// A figure of its own calculation.
    Percent(FigureId),
    /// Full pay: the lot is sound and nothing was looked up.
    Full,
}

impl<'o> Member<'o> {
    /// `without_day` is taken for the day of an outcome that names none.
    pub(super) fn new(book: &Book, property: Property, outcome: Option<&'o Outcome>, without_day: NaiveDate) -> Self {
        let paid = outcome.and_then(|outcome| Some((paid(book, outcome)?, outcome.decided.unwrap_or(without_day))));
        Self { property, outcome, paid }
    }

    /// Whether it waits for the engineer.
    pub(super) fn undecided(&self) -> bool {
        self.outcome.is_some_and(|outcome| outcome.verdict == Verdict::Undecided)
    }

    /// What a reader should know of it; empty where it is simply judged.
    pub(super) fn note(&self) -> String {
        let word = self.property.word();
        let why = |outcome: &Outcome| {
            if outcome.note.is_empty() { String::new() } else { format!(" ({})", outcome.note) }
        };
        match (self.outcome, &self.paid) {
            (Some(outcome), Some(_)) if self.undecided() => format!("{word} waits for the engineer{}", why(outcome)),
            (Some(_), Some(_)) => String::new(),
            (Some(outcome), None) => {
                format!("{word} is not judged yet{}; it counts as 100, and no more than 100 is paid", why(outcome))
            }
            (None, _) => {
                format!("no lot of {word} lies here; it counts as 100, and no more than 100 is paid")
            }
        }
    }

    /// Its percent as a figure of the piece; full pay where it is not judged.
    pub(super) fn percent(&self, book: &mut Book, key: &str, judged: bool) -> FigureId {
        let word = self.property.word();
        let (expr, label): (Expr, String) = match (&self.paid, self.outcome) {
            (Some((Paid::Percent(pay), _)), Some(outcome)) if judged => {
                ((*pay).into(), format!("{word}: {}", outcome.name))
            }
            (Some((Paid::Full, _)), Some(outcome)) if judged => (full(), format!("{word}, sound: {}", outcome.name)),
            (Some(_), _) => (full(), format!("{word}, not judged by then: counts as full")),
            (None, _) => (full(), format!("{word}, not judged yet: counts as full")),
        };
        let decimals = match &expr {
            Expr::Figure(pay) => book[*pay].decimals,
            _ => 0,
        };
        let key = if judged { format!("{key}.{word}") } else { format!("{key}.{word}-not-judged") };
        book.add(Figure::new(key, label, format!("f({word})"), Unit::Percent, expr).shown(decimals))
    }
}

/// Full pay, 1 as a percentage.
pub(super) fn full() -> Expr {
    whole(1).to(conversions::RATIO_TO_PERCENT)
}

/// What an outcome pays in percent, where it does.
fn paid(book: &Book, outcome: &Outcome) -> Option<Paid> {
    let in_percent = outcome.adjustments.iter().all(|a| matches!(a.effect, Effect::Percent(_)) && a.price.is_none());
    match (outcome.verdict, outcome.pay) {
        (Verdict::NotTested, _) => None,
        (_, Some(pay)) if in_percent && book[pay].unit == Unit::Percent && book[pay].value.decimal().is_some() => {
            Some(Paid::Percent(pay))
        }
        (Verdict::Sound, None) if in_percent => Some(Paid::Full),
        _ => None,
    }
}

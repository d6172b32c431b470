//! What other results of a lot would be paid, as figures: each is given by the draw, and its trace says by which.

use super::interval::{Observed, interval};
use super::plan::Plan;
use super::prospect::Luck;
use crate::figure::{Book, Figure, FigureId, Given, Origin};
use crate::line::slug;
use crate::units::{Unit, decimal_of};

/// Least and most that other results of a lot would be paid; `lot` is its property and name.
pub fn others_as_figures(
    book: &mut Book,
    lot: (&str, &str),
    (plan, observed): (&Plan, Observed),
    within: f64,
    luck: &mut Luck,
) -> Option<(FigureId, FigureId)> {
    let (low, high) = interval(plan, observed, within, luck).others;
    let mut end = |value: f64, part: &str, word: &str| {
        let how = format!(
            "{word} of {:.0} percent of {} lots of {} results, normal with mean {:.4} and standard deviation {:.4}, paid by {}; numbers named \"{}\"",
            within * 100.0,
            luck.draws,
            observed.n,
            observed.mean,
            observed.spread,
            plan.rule,
            Luck::stream(observed.n)
        );
        end(book, lot, (part, word), value, plan.pays_in(), Origin::Drawn { seed: luck.seed.clone(), how })
    };
    Some((end(low, "others-from", "least")?, end(high, "others-to", "most")?))
}

fn end(
    book: &mut Book,
    (property, lot): (&str, &str),
    (part, word): (&str, &str),
    value: f64,
    unit: Unit,
    origin: Origin,
) -> Option<FigureId> {
    let decimals = if unit == Unit::Percent { 1 } else { 2 };
    let value = decimal_of(value)?.round_dp(u32::from(decimals));
    let label = format!("{lot}, {word} that other results would be paid");
    let written = format!("{value} {unit}");
    let given = book.given(Given { label: label.clone(), symbol: "f".into(), value, unit, written, origin });
    let key = format!("{property}.{}.{part}", slug(lot));
    Some(book.add(Figure::new(key, label, "f", unit, given).shown(decimals)))
}

//! What waits for proof: ground of an item on pieces whose proof is due and not on record, or failed.
//!
//! ```text
//! held = quantity placed on pieces without proof x unit price
//! ```
//!
//! Ground is held once, whatever lacks on it; a failed result that the item's own price adjustment follows is not held besides. What is held is no deduction: it is paid in the period in which its proof comes in.
//! Price adjustments of the same ground stand beside it.

use chrono::NaiveDate;

use super::{HeldLine, Inputs, ItemPay};
use crate::contract::{Item, Measurement};
use crate::figure::{Book, Expr, Figure, whole};
use crate::intake::LaneId;
use crate::line::{add_place, placed_within, slug, within};
use crate::rules::{Proof, Property};
use crate::units::{Station, Unit};
use crate::works::{Finds, Piece, Stands};

/// A stretch of a lane.
type Place = (LaneId, Station, Station);

/// What every item holds: through the as-of date, and, where no closing says it, what was held at the end of the period
/// before.
pub(super) fn lines(
    inputs: Inputs<'_>,
    items: &[ItemPay],
    before: Option<NaiveDate>,
    book: &mut Book,
) -> Vec<HeldLine> {
    let mut lines = Vec::new();
    for pay in items {
        for piece in waiting(inputs, pay.item, inputs.through) {
            lines.extend(line(inputs, pay, (piece, false), book));
        }
        let Some(last) = before.filter(|_| inputs.closed.is_none()) else { continue };
        for piece in waiting(inputs, pay.item, last) {
            lines.extend(line(inputs, pay, (piece, true), book));
        }
    }
    lines
}

/// A piece that waits, with the part of it that is not held for another proof already.
struct Waiting<'a> {
    piece: &'a Piece,
    proof: Proof,
    places: Vec<Place>,
    stands: Stands,
}

/// The pieces that an item waits for as of a day, each stretch of a lane once.
fn waiting(inputs: Inputs<'_>, item: usize, day: NaiveDate) -> Vec<Waiting<'_>> {
    let row = &inputs.contract.items[item];
    let mut taken: Vec<Place> = Vec::new();
    let mut found = Vec::new();
    for covered in inputs.works.covered.iter().filter(|c| row.waits_for.contains(&c.proof)) {
        for piece in covered.pieces.iter().filter(|p| row.measured.sections().contains(&p.section)) {
            let Some(stands) = stands(inputs, piece, day) else { continue };
            if stands == Stands::Failed && is_adjusted(row, covered.proof) {
                continue;
            }
            let placed: Vec<Place> = piece.places.iter().flat_map(|&place| placed_by(inputs, place, day)).collect();
            let mut places: Vec<Place> = Vec::new();
            placed
                .iter()
                .flat_map(|&place| without(inputs, place, &taken))
                .for_each(|place| add_place(&mut places, place));
            if !places.is_empty() {
                taken.extend(&places);
                found.push(Waiting { piece, proof: covered.proof, places, stands });
            }
        }
    }
    found
}

/// Whether the item's price follows the results of that proof: a failed one is then a matter of its adjustment.
fn is_adjusted(item: &Item, proof: Proof) -> bool {
    let any = |properties: &[Property]| properties.iter().any(|p| item.adjusted_by.contains(p));
    match proof {
        Proof::Strength => any(&[Property::Strength, Property::Combined]),
        Proof::Thickness => any(&[Property::Thickness, Property::Combined]),
        Proof::Air => any(&[Property::Air, Property::Combined]),
        Proof::Smoothness => any(&[Property::Smoothness, Property::Straightedge, Property::Combined]),
        _ => false,
    }
}

/// How a piece that waits stands as of a day; `None` where nothing is held for it.
fn stands(inputs: Inputs<'_>, piece: &Piece, day: NaiveDate) -> Option<Stands> {
    if day >= inputs.through {
        return Some(piece.stands).filter(|s| matches!(s, Stands::Missing | Stands::Failed));
    }
    let checks = &inputs.works.checks;
    let failed =
        piece.tests.iter().any(|&c| checks[c].date <= day && matches!(checks[c].finds, Finds::Failed | Finds::Open));
    if failed {
        return Some(Stands::Failed);
    }
    (piece.since <= day && piece.proved.is_none_or(|proved| proved > day)).then_some(Stands::Missing)
}

/// What of a stretch was placed by a day.
fn placed_by(inputs: Inputs<'_>, (lane, from, to): Place, day: NaiveDate) -> Vec<Place> {
    let clips = within(inputs.line, lane, from, to).into_iter();
    clips.filter(|c| inputs.line.stretches[c.stretch].date <= day).map(|c| (lane, c.from, c.to)).collect()
}

/// What of a stretch lies on none of the others.
fn without(inputs: Inputs<'_>, (lane, from, to): Place, taken: &[Place]) -> Vec<Place> {
    let alignment = inputs.contract.alignment(lane);
    let mut others: Vec<(rust_decimal::Decimal, rust_decimal::Decimal)> =
        taken.iter().filter(|t| t.0 == lane).map(|t| (t.1.along, t.2.along)).collect();
    others.sort();
    let (mut reached, mut left) = (from.along, Vec::new());
    for (a, b) in others.into_iter().filter(|o| o.1 > from.along && o.0 < to.along) {
        if a > reached {
            left.push((lane, alignment.at(reached), alignment.at(a)));
        }
        reached = reached.max(b);
    }
    if reached < to.along {
        left.push((lane, if reached == from.along { from } else { alignment.at(reached) }, to));
    }
    left
}

fn line(
    inputs: Inputs<'_>,
    pay: &ItemPay,
    (waiting, previous): (Waiting<'_>, bool),
    book: &mut Book,
) -> Option<HeldLine> {
    let row = &inputs.contract.items[pay.item];
    let when = if previous { "held-before" } else { "held" };
    let key = format!("item-{}.{when}.{}.{}", slug(&row.number), waiting.proof.word(), waiting.piece.key);
    let name = format!("item {}, held for {}, {}", row.number, waiting.proof.words(), waiting.piece.name);
    let placed = placed_within(inputs.line, inputs.contract, book, &waiting.places, &key, &name)?;
    let measured = match row.measured {
        Measurement::PlacedLength(_) => placed.length,
        _ => placed.area,
    };
    let quantity =
        Figure::new(format!("{key}.quantity"), name.clone(), "q", row.unit, Expr::from(measured)).rounded(row.rounding);
    let quantity = book.add(quantity);
    let amount = Figure::new(format!("{key}.amount"), name, "A", Unit::Money, whole(0) - quantity * pay.price)
        .rounded(inputs.contract.roundings.money);
    Some(HeldLine {
        item: pay.item,
        proof: waiting.proof,
        piece: waiting.piece.name.clone(),
        stands: waiting.stands,
        places: waiting.places,
        since: waiting.piece.since,
        quantity,
        amount: book.add(amount),
        previous,
    })
}

//! How wide a lane is at a station: constant before its first and beyond its last width, tapering evenly between two.
//!
//! Areas are the sum of trapezoids between the stations where the taper changes, which is exact for straight edges
//! (geometry).

use rust_decimal::Decimal;
use rust_decimal::dec;

use crate::contract::{Contract, Width};
use crate::figure::{Book, Expr, Given, GivenId, Origin};
use crate::intake::LaneId;
use crate::units::between;

/// A part of a lane along which the width is constant or tapers evenly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Part {
    /// From and to, along the line.
    pub from: Decimal,
    pub to: Decimal,
    /// The widths it lies between, by place in the lane's; the same twice where it is constant.
    pub between: (usize, usize),
}

/// The parts between two distances along the line; neighbours of one constant width are one part.
pub(super) fn parts(contract: &Contract, lane: LaneId, from: Decimal, to: Decimal) -> Vec<Part> {
    let widths = &contract.lane(lane).widths;
    let last = widths.len().saturating_sub(1);
    let mut cuts = vec![from];
    cuts.extend(widths.iter().map(|w| w.at.along).filter(|&a| from < a && a < to));
    cuts.push(to);
    cuts.dedup();
    let mut parts: Vec<Part> = Vec::new();
    for pair in cuts.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let after = widths.iter().rposition(|w| w.at.along <= a);
        let between = match after {
            None => (0, 0),
            Some(k) if k == last => (last, last),
            Some(k) if same(&widths[k], &widths[k + 1]) => (k, k),
            Some(k) => (k, k + 1),
        };
        let constant = between.0 == between.1;
        match parts.last_mut() {
            Some(p) if constant && p.between.0 == p.between.1 && same(&widths[p.between.0], &widths[between.0]) => {
                p.to = b;
            }
            _ => parts.push(Part { from: a, to: b, between }),
        }
    }
    parts
}

fn same(a: &Width, b: &Width) -> bool {
    a.width.value == b.width.value
}

/// Width of a part at a distance along the line, in the contract's unit of length.
pub(super) fn value(contract: &Contract, lane: LaneId, part: &Part, along: Decimal) -> Decimal {
    let widths = &contract.lane(lane).widths;
    let (a, b) = (&widths[part.between.0], &widths[part.between.1]);
    let run = b.at.along - a.at.along;
    if part.between.0 == part.between.1 || run.is_zero() {
        return a.width.value;
    }
    a.width.value + (b.width.value - a.width.value) * (along - a.at.along) / run
}

/// Width of a lane at a distance along the line, in the contract's unit of length; `None` where the lane has no width.
#[must_use]
pub fn width(contract: &Contract, lane: LaneId, along: Decimal) -> Option<Decimal> {
    let part = parts(contract, lane, along, along + Decimal::ONE).into_iter().next()?;
    Some(value(contract, lane, &part, along))
}

/// Plan area of a lane between two distances along the line as length times length (ft2, m2), unrounded: exact wherever the
/// width is constant.
#[must_use]
pub fn length_by_width(contract: &Contract, lane: LaneId, from: Decimal, to: Decimal) -> Decimal {
    parts(contract, lane, from, to)
        .iter()
        .map(|p| (value(contract, lane, p, p.from) + value(contract, lane, p, p.to)) / dec!(2) * (p.to - p.from))
        .sum()
}

/// Plan area of a lane between two distances along the line, in the contract's unit of area, unrounded.
pub(super) fn plan_area(contract: &Contract, lane: LaneId, from: Decimal, to: Decimal) -> Decimal {
    contract.system.to_area().apply(length_by_width(contract, lane, from, to)).unwrap_or_default()
}

/// The width itself as a given value.
pub(super) fn given(contract: &Contract, book: &mut Book, lane: LaneId, k: usize) -> GivenId {
    let of = contract.lane(lane);
    let symbol = if of.widths.len() == 1 { "w".into() } else { format!("w{}", k + 1) };
    let label = match of.widths.len() {
        1 => format!("width of {}", of.name),
        _ => format!("width of {} at {}", of.name, contract.station(lane, of.widths[k].at)),
    };
    book.given(of.widths[k].width.given(label, symbol))
}

/// The station of a width, along the line, as a given value.
fn station(contract: &Contract, book: &mut Book, lane: LaneId, k: usize) -> GivenId {
    let of = contract.lane(lane);
    let width = &of.widths[k];
    let key = &width.width.key;
    book.given(Given {
        label: format!("station of a width of {}, along the line", of.name),
        symbol: contract.station(lane, width.at),
        value: width.at.along,
        unit: contract.system.length(),
        written: contract.station(lane, width.at),
        origin: Origin::Contract {
            line: width.width.line,
            key: key.strip_suffix(".width").map_or_else(|| key.clone(), |head| format!("{head}.at")),
        },
    })
}

/// Width of a part at one of its ends as a formula; `at` is the end's leaf. A width that stands in the contract is taken
/// from there, one between two is `w1 + (w2 - w1) x (s - s1) / (s2 - s1)`, the flag telling that it is one of those.
pub(super) fn formula(
    contract: &Contract,
    book: &mut Book,
    lane: LaneId,
    part: &Part,
    (along, at): (Decimal, &Expr),
) -> (Expr, bool) {
    let (a, b) = part.between;
    let widths = &contract.lane(lane).widths;
    if a == b || widths[a].at.along == along {
        return (given(contract, book, lane, a).into(), false);
    }
    if widths[b].at.along == along {
        return (given(contract, book, lane, b).into(), false);
    }
    let (w1, w2) = (given(contract, book, lane, a), given(contract, book, lane, b));
    let (s1, s2) = (station(contract, book, lane, a), station(contract, book, lane, b));
    (w1 + (w2 - w1) * (at.clone() - s1) / (s2 - s1), true)
}

/// The leaf of a distance at which the lane's taper changes.
pub(super) fn change(contract: &Contract, book: &mut Book, lane: LaneId, along: Decimal) -> Option<Expr> {
    let k = contract.lane(lane).widths.iter().position(|w| w.at.along == along)?;
    Some(station(contract, book, lane, k).into())
}

/// So much area in the contract's unit of area.
pub(super) fn area_in(contract: &Contract, value: Decimal, unit: crate::units::Unit) -> Option<Decimal> {
    between(value, unit, contract.system.area())
}

//! The locations of a lot: one in each stratum of equal plan area, kept clear of edges and ends.
//!
//! ```text
//! u, v        two numbers of the stream "lot, core k", each cut to its first six decimals
//! along       where the lot's plan area from its beginning reaches (k - 1 + u) / n of the whole, rounded down
//! across      v x the width of all the lot's lanes there, side by side, falls in one lane, at the share f of its width
//! offset      c + f (w - 2 c)        c clear of the edges, w the lane's width; rounded down, but not into the clear edge
//! ```
//!
//! A pair that falls where nothing may be drawn (a lane narrower than its clear edges, too near to an end) is passed over for
//! the next two numbers of the stream: common practice with tables of random numbers.

use rust_decimal::Decimal;
use rust_decimal::dec;

use crate::contract::{Contract, DrawRule};
use crate::intake::LaneId;
use crate::line::{LotSpan, length_by_width, reached, staked, width};
use crate::statistics::{Draws, six};
use crate::units::Station;

/// Pairs of numbers tried before a stratum is said to have no clear place.
const MOST_PAIRS: u32 = 1_000;

/// A drawn location.
#[derive(Clone, Debug, PartialEq)]
pub struct Location {
    /// Which of its lot, from 1; also its stratum.
    pub number: u32,
    /// Name of its stream of random numbers: `NB mainline lot 7, core 2`.
    pub stream: String,
    /// Which pair of the stream it is drawn with, from 1: those before it fell in no clear place.
    pub pair: u32,
    /// The two numbers, six decimals each: along and across.
    pub numbers: (Decimal, Decimal),
    /// Where its stratum begins and ends, rounded down.
    pub stratum: (Station, Station),
    /// Lane.
    pub lane: LaneId,
    /// Where along the line.
    pub at: Station,
    /// Distance from the lane's left edge, looking ahead, in the contract's unit of length.
    pub offset: Decimal,
    /// Width of the lane there.
    pub width: Decimal,
}

/// A lot and what was drawn for it.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnLot {
    /// Lot.
    pub lot: LotSpan,
    /// Locations along the line.
    pub locations: Vec<Location>,
    /// Numbers of the strata in which no place is clear.
    pub without: Vec<u32>,
}

/// The locations of each lot, `tests` in each.
#[must_use]
pub fn locations(contract: &Contract, rule: &DrawRule, lots: Vec<LotSpan>, tests: u32) -> Vec<DrawnLot> {
    lots.into_iter().map(|lot| drawn(contract, rule, lot, tests)).collect()
}

fn drawn(contract: &Contract, rule: &DrawRule, lot: LotSpan, tests: u32) -> DrawnLot {
    let (mut found, mut without) = (Vec::new(), Vec::new());
    if let Some(field) = Field::of(contract, rule, &lot, tests) {
        for number in 1..=tests {
            match field.draw(number) {
                Some(location) => found.push(location),
                None => without.push(number),
            }
        }
    }
    DrawnLot { lot, locations: found, without }
}

/// A lot as its locations are drawn in it.
struct Field<'a> {
    contract: &'a Contract,
    rule: &'a DrawRule,
    lot: &'a LotSpan,
    tests: u32,
    /// From its first point to its last, along the line.
    ends: (Decimal, Decimal),
    /// Its plan area, as length times length.
    whole: Decimal,
    /// What stations are rounded down to.
    step: Decimal,
}

impl<'a> Field<'a> {
    fn of(contract: &'a Contract, rule: &'a DrawRule, lot: &'a LotSpan, tests: u32) -> Option<Self> {
        let begin = lot.places.iter().map(|(_, from, _)| from.along).min()?;
        let end = lot.places.iter().map(|(.., to)| to.along).max()?;
        let step = staked(contract.system).to();
        let mut field = Self { contract, rule, lot, tests, ends: (begin, end), whole: Decimal::ZERO, step };
        field.whole = field.area(begin, end);
        (field.whole > Decimal::ZERO).then_some(field)
    }

    /// Plan area of the lot between two distances along the line.
    fn area(&self, a: Decimal, b: Decimal) -> Decimal {
        let part = |&(lane, from, to): &(LaneId, Station, Station)| {
            let (from, to) = (from.along.max(a), to.along.min(b));
            if from < to { length_by_width(self.contract, lane, from, to) } else { Decimal::ZERO }
        };
        self.lot.places.iter().map(part).sum()
    }

    fn draw(&self, number: u32) -> Option<Location> {
        let stream = format!("{}, core {number}", self.lot.name);
        let mut draws = Draws::new(&self.rule.seed, &stream);
        (1..=MOST_PAIRS).find_map(|pair| {
            let numbers = (six(draws.next()), six(draws.next()));
            let (lane, along, offset, width) = self.place(number, numbers)?;
            let at = self.contract.alignment(lane).at(along);
            let stratum = self.stratum(number, lane);
            Some(Location { number, stream: stream.clone(), pair, numbers, stratum, lane, at, offset, width })
        })
    }

    /// Lane, distance along the line, offset and width; `None` where the pair falls in no clear place.
    fn place(&self, number: u32, (u, v): (Decimal, Decimal)) -> Option<(LaneId, Decimal, Decimal, Decimal)> {
        let along = self.along(Decimal::from(number) - Decimal::ONE + u);
        let here = self.lanes_at(along)?;
        let along = here.iter().map(|(_, from, _)| from.along).min()?.max(along);
        let widths = here.iter().map(|&(lane, ..)| width(self.contract, lane, along).unwrap_or_default());
        let mut left = v * widths.clone().sum::<Decimal>();
        for (&(lane, from, to), width) in here.iter().zip(widths) {
            if left < width {
                let clear = self.rule.clear_of_ends.as_ref().map_or(Decimal::ZERO, |c| c.value);
                let is_clear = along - from.along >= clear && to.along - along >= clear;
                let offset = self.offset(left / width, width).filter(|_| is_clear)?;
                return Some((lane, along, offset, width));
            }
            left -= width;
        }
        None
    }

    /// Where so many strata of the lot's area are reached, rounded down: the last step at which they are not passed.
    fn along(&self, strata: Decimal) -> Decimal {
        let (begin, end) = self.ends;
        let (tests, limit) = (Decimal::from(self.tests), self.whole * strata);
        let found = reached(begin, end, limit / tests, &|a, b| self.area(a, b));
        let down = (found / self.step).floor() * self.step;
        let passed = |at: Decimal| self.area(begin, at) * tests > limit;
        if passed(down) {
            down - self.step
        } else if down + self.step <= end && !passed(down + self.step) {
            down + self.step
        } else {
            down
        }
    }

    /// The stretches of the lot at a distance along the line, in its order; where rounding down left them all, the next.
    fn lanes_at(&self, along: Decimal) -> Option<Vec<(LaneId, Station, Station)>> {
        let places = || self.lot.places.iter().copied();
        let at = |along: Decimal| -> Vec<_> {
            places().filter(|(_, from, to)| from.along <= along && along < to.along).collect()
        };
        let here = at(along);
        if !here.is_empty() {
            return Some(here);
        }
        let next = places().map(|(_, from, _)| from.along).filter(|&from| from > along).min()?;
        (next - along < self.step).then(|| at(next))
    }

    /// At a share of the lane's width, pressed between its clear edges; `None` where they leave nothing.
    fn offset(&self, share: Decimal, width: Decimal) -> Option<Decimal> {
        let clear = self.rule.clear_of_edge.value;
        let free = width - clear * dec!(2);
        let offset = ((clear + share * free) / self.step).floor() * self.step;
        (free >= Decimal::ZERO).then(|| offset.max(clear))
    }

    fn stratum(&self, number: u32, lane: LaneId) -> (Station, Station) {
        let alignment = self.contract.alignment(lane);
        let (begin, end) = self.ends;
        let cut = |strata: u32| match strata {
            0 => begin,
            n if n == self.tests => end,
            n => self.along(Decimal::from(n)),
        };
        (alignment.at(cut(number.saturating_sub(1))), alignment.at(cut(number)))
    }
}

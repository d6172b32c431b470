//! What every property is judged on: the contract, the records, and what is placed where.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::Outcome;
use crate::contract::Contract;
use crate::figure::{Book, FigureId};
use crate::intake::{LaneId, Records};
use crate::line::{Line, LotSpan, Stretch, lots, stretch_at, within};
use crate::rules::LotRule;
use crate::units::Station;

/// Contract, records and line, as of a day.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) contract: &'a Contract,
    pub(super) records: &'a Records,
    pub(super) line: &'a Line,
    pub(super) as_of: NaiveDate,
    /// The only lot to judge; `None` for all that the rule cuts.
    pub(super) only: Option<&'a LotSpan>,
}

impl<'a> Ground<'a> {
    /// The lots that a rule cuts, or the only one.
    pub(super) fn lots(&self, rule: &LotRule) -> Vec<LotSpan> {
        match self.only {
            Some(only) => vec![only.clone()],
            None => lots(self.contract, self.records, self.line, rule),
        }
    }

    /// The stretch that a point lies on. Where two meet, the one ahead; at the far end of what is placed, the one behind.
    pub(super) fn stretch_at(&self, lane: LaneId, at: Station) -> Option<&'a Stretch> {
        stretch_at(self.line, lane, at).and_then(|stretch| self.line.stretches.get(stretch))
    }

    /// The lot that a placed point belongs to: the one its stretch lies in on that side of the point.
    pub(super) fn lot_at(&self, lots: &[LotSpan], lane: LaneId, at: Station) -> Option<usize> {
        let stretch = self.stretch_at(lane, at)?;
        let (at, ahead) = (at.along, at.along < stretch.to.along);
        let within = |(of, from, to): &(LaneId, Station, Station)| {
            let (from, to) = (from.along, to.along);
            *of == lane && if ahead { from <= at && at < to } else { from < at && at <= to }
        };
        lots.iter().position(|lot| lot.section == stretch.section && lot.places.iter().any(within))
    }

    /// Whether every lane of a lot is placed from end to end.
    pub(super) fn wholly_placed(&self, lot: &LotSpan) -> bool {
        lot.places.iter().all(|&(lane, from, to)| {
            let placed: Decimal =
                within(self.line, lane, from, to).iter().map(|piece| piece.to.along - piece.from.along).sum();
            placed >= to.along - from.along
        })
    }

    /// First and last placed point of a lane between two stations; `None` where nothing is.
    pub(super) fn placed_ends(&self, lane: LaneId, from: Station, to: Station) -> Option<(Station, Station)> {
        let pieces = within(self.line, lane, from, to);
        Some((pieces.first()?.from, pieces.last()?.to))
    }

    /// `NB-2, 141+12 to 142+60`.
    pub(super) fn span(&self, lane: LaneId, from: Station, to: Station) -> String {
        let station = |at| self.contract.station(lane, at);
        format!("{}, {} to {}", self.contract.lane(lane).name, station(from), station(to))
    }
}

/// `8.64 in`: a figure in a sentence.
pub(super) fn in_words(book: &Book, id: FigureId) -> String {
    let figure = &book[id];
    format!("{} {}", figure.text(), figure.unit).trim_end().to_string()
}

/// One more remark beside an outcome; an empty one changes nothing.
pub(super) fn add_note(outcome: &mut Outcome, note: &str) {
    if !outcome.note.is_empty() && !note.is_empty() {
        outcome.note.push_str("; ");
    }
    outcome.note.push_str(note);
}

/// The sentence that stands beside every deficiency.
pub(super) const CAUTION: &str = "the engineer decides whether it may stay";

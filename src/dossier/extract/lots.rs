//! Lots as judged, and what they do to pay.

use super::{Datum, Field, Finished, Holds, exact, field, key, real, text, words};
use crate::accept::{Outcome, Verdict};
use crate::intake::LaneId;
use crate::pay::{AdjustmentLine, HeldLine};
use crate::units::Station;
use crate::works::Stands;

pub(super) const ADJUSTMENTS: &[Field] = &[
    text("currency", "sign of the currency"),
    text("line", "`adjustment`, or `held for proof`"),
    text("item", "number of the item it changes"),
    text("property", "property judged, or what is to be proved"),
    text("lot", "lot, section or piece of pavement"),
    text("verdict", "as in `lots`; of what is held for proof `missing` or `failed`"),
    field("decided", Holds::Day, "day of the last record that it follows from, or from which the proof is due"),
    field("rate", Holds::Real, "what it is made at"),
    text("rate_unit", "unit of the rate: percent of the unit price, money for each unit, volume, or money"),
    field("quantity", Holds::Exact(4), "area or volume it is made on"),
    text("quantity_unit", "its unit"),
    field("amount", Holds::Exact(2), "amount to date, negative for a deduction"),
    field("this_period", Holds::Truth, "true where it belongs to this period; empty for what is held for proof"),
    field("undecided", Holds::Truth, "true where the amount waits for the engineer"),
    text("clause", "rule set and citation"),
    text("figure", "key of the amount"),
];

pub(super) const LOTS: &[Field] = &[
    text("property", "property judged; `combined` is what several pay together"),
    text("lot", "lot or section"),
    text("section", "section of the contract"),
    text("places", "lanes and stations"),
    text("verdict", "`sound`, `raised`, `deficient`, `undecided` or `not tested`"),
    field("average", Holds::Real, "average that was judged"),
    text("average_unit", "its unit"),
    field("entered", Holds::Real, "what entered the pay table"),
    text("entered_unit", "its unit"),
    field("pay", Holds::Real, "what the table gives"),
    text("pay_unit", "its unit"),
    field("area", Holds::Exact(4), "placed area that it covers"),
    text("area_unit", "its unit"),
    field("decided", Holds::Day, "day of the last record that it follows from"),
    text("clause", "rule set and citation"),
    text("note", "what a reader should know beside it"),
];

pub(super) fn lots(finished: Finished<'_>) -> Vec<Vec<Datum>> {
    finished.judged.outcomes.iter().map(|outcome| lot(finished, outcome)).collect()
}

fn lot(finished: Finished<'_>, outcome: &Outcome) -> Vec<Datum> {
    let section = finished.contract.sections.get(outcome.section).map_or("", |section| section.name.as_str());
    let mut row = vec![words(outcome.property.word()), words(&outcome.name), words(section)];
    row.extend([words(places(finished, &outcome.places)), words(verdict(outcome.verdict))]);
    row.extend([outcome.average, outcome.entered, outcome.pay].into_iter().flat_map(|id| real(finished, id)));
    row.push(outcome.area.map_or(Datum::Nothing, |id| exact(finished, id)));
    row.push(outcome.area.map_or(Datum::Nothing, |id| words(finished.book[id].unit.to_string())));
    row.extend([decided(outcome), words(&outcome.clause), words(&outcome.note)]);
    row
}

fn decided(outcome: &Outcome) -> Datum {
    outcome.decided.map_or(Datum::Nothing, Datum::Day)
}

fn places(finished: Finished<'_>, places: &[(LaneId, Station, Station)]) -> String {
    let contract = finished.contract;
    let place = |&(lane, from, to): &(LaneId, Station, Station)| {
        format!("{} {} to {}", contract.lane(lane).name, contract.station(lane, from), contract.station(lane, to))
    };
    places.iter().map(place).collect::<Vec<_>>().join("; ")
}

/// One word, for programs.
fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Sound => "sound",
        Verdict::Adjusted => "deficient",
        Verdict::Raised => "raised",
        Verdict::Undecided => "undecided",
        Verdict::NotTested => "not tested",
    }
}

pub(super) fn adjustments(finished: Finished<'_>) -> Vec<Vec<Datum>> {
    let estimate = finished.estimate;
    let held = estimate.held_lines.iter().filter(|line| !line.previous);
    let lines = estimate.adjustments.iter().map(|line| adjustment(finished, line));
    lines.chain(held.map(|line| held_line(finished, line))).collect()
}

fn adjustment(finished: Finished<'_>, line: &AdjustmentLine) -> Vec<Datum> {
    let outcome = &finished.judged.outcomes[line.outcome];
    let item = &finished.contract.items[line.item];
    let mut row = vec![words(&finished.contract.currency), words("adjustment"), words(&item.number)];
    row.extend([words(line.property.word()), words(&outcome.name), words(verdict(outcome.verdict))]);
    row.push(Datum::Day(line.decided));
    row.extend(real(finished, Some(line.rate)));
    row.extend([exact(finished, line.quantity), words(finished.book[line.quantity].unit.to_string())]);
    row.extend([exact(finished, line.amount), Datum::Truth(line.this_period), Datum::Truth(line.held)]);
    row.extend([words(&outcome.clause), key(finished, line.amount)]);
    row
}

fn held_line(finished: Finished<'_>, line: &HeldLine) -> Vec<Datum> {
    let item = &finished.contract.items[line.item];
    let stands = if line.stands == Stands::Failed { "failed" } else { "missing" };
    let mut row = vec![words(&finished.contract.currency), words("held for proof"), words(&item.number)];
    row.extend([words(line.proof.word()), words(&line.piece), words(stands), Datum::Day(line.since)]);
    row.extend([Datum::Nothing, Datum::Nothing]);
    row.extend([exact(finished, line.quantity), words(finished.book[line.quantity].unit.to_string())]);
    row.extend([exact(finished, line.amount), Datum::Nothing, Datum::Truth(false)]);
    row.extend([words(&finished.book[line.amount].clause), key(finished, line.amount)]);
    row
}

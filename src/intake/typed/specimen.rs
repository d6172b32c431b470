//! A strength specimen: number, set, day cast, and the result where it has one.
//!
//! A result from after the cut-off was not there on that day: the specimen stays, its result is left out.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::first_word;
use super::who::{Who, is_who, who};
use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::record::{Read, Shape, Specimen};
use crate::intake::row::Row;
use crate::units::Unit;

pub(super) fn read(row: &mut Row<'_>) -> Option<Specimen> {
    let number = row.text(Field::Number);
    let set = row.text(Field::Set);
    if number.is_none() && set.is_none() && row.faults.is_empty() {
        row.missing(&[Field::Number, Field::Set]);
    }
    let shape = shape(row);
    let cast = row.need(Field::Cast, Row::date);
    let tested = row.date(Field::Tested);
    let due = row.date(Field::Due);
    let age = row.bare(Field::Age, Unit::Day);
    let diameter = row.measure(Field::Diameter, Measure::Depth);
    let load = row.measure(Field::Load, Measure::Force);
    let strength = row.measure(Field::Strength, Measure::Strength);
    let placement = row.text(Field::Placement);
    let lane = row.first_lane(Field::Lane);
    let station = lane.as_ref().and_then(|l| row.station(Field::Station, l.value)).map(|s| s.0);
    let mix = row.text(Field::Mix);
    let Who { taken_by, by, sampling, settles } = who(row, Some(Field::Shape));
    let remarks = row.text(Field::Remarks);
    let cast = cast?;
    let (number, set) = named(row, number, set)?;
    in_order(row, cast.value, tested.as_ref().map(|t| t.value));
    let age = age.or_else(|| due_age(row, cast.value, due));
    let known = tested.as_ref().is_none_or(|t| t.value <= row.words.setting.through);
    let (tested, load, strength) = if known { (tested, load, strength) } else { (None, None, None) };
    Some(Specimen {
        number,
        set,
        shape: shape?,
        cast,
        tested,
        age,
        diameter,
        load,
        strength,
        placement,
        lane,
        station,
        mix,
        taken_by,
        by,
        sampling,
        settles,
        remarks,
    })
}

type Text = Read<Box<str>>;

/// Number and set: one may stand for the other.
fn named(row: &Row<'_>, number: Option<Text>, set: Option<Text>) -> Option<(Text, Text)> {
    match (number, set) {
        (Some(number), Some(set)) => Some((number, set)),
        (Some(number), None) => {
            let set = Read { value: set_of(&number.value).into(), at: number.at, typed: None };
            Some((number, set))
        }
        (None, Some(set)) => {
            let value = format!("{}, row {}", set.value, row.line.row + 1).into();
            Some((Read { value, at: set.at, typed: None }, set))
        }
        (None, None) => None,
    }
}

/// `14-A`, `14 b` and `14B` are of set `14`; other numbers are sets by themselves.
fn set_of(number: &str) -> &str {
    let number = number.trim();
    let Some(last) = number.chars().last().filter(|c| c.is_alphabetic()) else { return number };
    let before = &number[..number.len() - last.len_utf8()];
    if !before.ends_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | ' ' | '.' | '/' | '_')) {
        return number;
    }
    let set = before.trim_end_matches(['-', ' ', '.', '/', '_']);
    if set.is_empty() { number } else { set }
}

/// Cylinder, beam or core, by the row or by the sheet.
fn shape(row: &mut Row<'_>) -> Option<Shape> {
    let Some(found) = row.find(Field::Shape) else { return Some(row.table.shape) };
    let text = row.worded(&found)?;
    match first_word(&text).as_str() {
        "cylinder" | "cylinders" | "cyl" | "compressive" | "compression" | "c" => Some(Shape::Cylinder),
        "beam" | "beams" | "flexural" | "flexure" | "b" => Some(Shape::Beam),
        "core" | "cores" | "drilled" => Some(Shape::Core),
        _ if is_who(&text) => Some(row.table.shape),
        _ => {
            let what = "is neither a cylinder nor a beam nor a core";
            row.refuse(Code::CellUnreadable, &found, what, "write cylinder, beam or core");
            None
        }
    }
}

/// Nothing is broken before it is cast.
fn in_order(row: &mut Row<'_>, cast: NaiveDate, tested: Option<NaiveDate>) {
    if tested.is_some_and(|t| t < cast)
        && let Some(found) = row.find(Field::Tested)
    {
        let what = format!("is before the day it was cast, {cast}");
        row.refuse(Code::CellUnreadable, &found, &what, "correct one of the two dates");
    }
}

/// The age that a due date means.
fn due_age(row: &mut Row<'_>, cast: NaiveDate, due: Option<Read<NaiveDate>>) -> Option<Read<Decimal>> {
    let due = due?;
    let days = (due.value - cast).num_days();
    if days < 0 {
        let found = row.find(Field::Due)?;
        let what = format!("is before the day it was cast, {cast}");
        row.refuse(Code::CellUnreadable, &found, &what, "correct one of the two dates");
        return None;
    }
    Some(Read { value: Decimal::from(days), at: due.at, typed: Some(format!("due {}", due.value).into()) })
}

#[cfg(test)]
mod tests {
    use super::set_of;

    #[test]
    fn the_set_is_the_number_without_its_last_letter() {
        for (number, set) in [
            ("14-A", "14"),
            ("14B", "14"),
            ("14 c", "14"),
            ("14-1", "14-1"),
            ("S-14", "S-14"),
            ("A", "A"),
            ("AB", "AB"),
        ] {
            assert_eq!(set_of(number), set, "{number}");
        }
    }
}

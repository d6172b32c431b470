//! A hand-measured quantity: item, day, and the quantity, its dimensions or a count.

use rust_decimal::Decimal;

use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::record::{Measured, Read};
use crate::intake::row::Row;
use crate::units::{Unit, between};

const AMOUNTS: [Field; 5] = [Field::Quantity, Field::Length, Field::Width, Field::Depth, Field::Count];

pub(super) fn read(row: &mut Row<'_>) -> Option<Measured> {
    let item = row.need(Field::Item, item);
    let date = row.need(Field::Date, Row::date);
    let location = row.text(Field::Location);
    let before = row.faults.len() + row.unitless.len();
    let length = row.measure(Field::Length, Measure::Length);
    let width = row.measure(Field::Width, Measure::Length);
    let depth = row.measure(Field::Depth, Measure::Depth);
    let count = row.bare(Field::Count, Unit::Each);
    let unit = item.as_ref().and_then(|i| row.words.setting.items.get(i.value)).map(|i| i.unit);
    let quantity = unit.and_then(|unit| quantity_in(row, Field::Quantity, unit, "its item is paid"));
    let none = length.is_none() && width.is_none() && depth.is_none() && count.is_none() && quantity.is_none();
    if none && item.is_some() && row.faults.len() + row.unitless.len() == before {
        let there: Vec<Field> = AMOUNTS.into_iter().filter(|f| row.table.column(*f).is_some()).collect();
        row.missing(&there);
    }
    let (by, checked_by) = (row.text(Field::By), row.text(Field::CheckedBy));
    let remarks = row.text(Field::Remarks);
    Some(Measured {
        item: item?,
        date: date?,
        location,
        length,
        width,
        depth,
        count,
        quantity,
        by,
        checked_by,
        remarks,
    })
}

/// The item of the contract that the cell names.
fn item(row: &mut Row<'_>, field: Field) -> Option<Read<usize>> {
    let found = row.find(field)?;
    let text = row.worded(&found)?;
    let Some(item) = row.words.names.item(&text) else {
        let known: Vec<&str> = row.words.setting.items.iter().map(|i| i.number.as_str()).collect();
        let what = format!("is not an item of the contract; its items are {}", known.join(", "));
        row.refuse(Code::ItemUnknown, &found, &what, "correct the item's number");
        return None;
    };
    Some(Read { value: item, at: found.at, typed: None })
}

/// A quantity in the unit it is kept in; a unit on the sheet is converted, or refused where it measures something else. `whose`
/// completes `is in lb, and ... in each`.
pub(super) fn quantity_in(row: &mut Row<'_>, field: Field, kept: Unit, whose: &str) -> Option<Read<Decimal>> {
    let found = row.find(field)?;
    let own = row.unit_column().ok()?;
    let typed = row.number(&found)?;
    if typed.value.is_sign_negative() && !typed.value.is_zero() {
        row.refuse(Code::CellUnreadable, &found, "cannot be below zero", "correct the cell");
        return None;
    }
    let said = typed.unit.or(own).or(found.column.and_then(|c| c.unit));
    if kept == Unit::Percent && said.is_none() {
        let what = "does not say that it is percent, so it could be a share of one";
        row.refuse(Code::QuantityUnitWrong, &found, what, "write the sign behind it, such as 40 %, or in the heading");
        return None;
    }
    let unit = said.unwrap_or(kept);
    let same = unit == kept || (is_piece(unit) && is_piece(kept));
    let Some(value) = (if same { Some(typed.value) } else { between(typed.value, unit, kept) }) else {
        let what = format!("is in {unit}, and {whose} in {kept}");
        row.refuse(Code::QuantityUnitWrong, &found, &what, &format!("write the quantity in {kept}"));
        return None;
    };
    let text = if unit == kept && typed.plain { None } else { Some(format!("{} {unit}", typed.value).into()) };
    Some(Read { value, at: found.at, typed: text })
}

fn is_piece(unit: Unit) -> bool {
    matches!(unit, Unit::Each | Unit::One)
}

//! A delivery or use of a material: which, day, how much, how moist, and where it went.

use super::measured::quantity_in;
use super::placement::ends;
use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::record::{Delivered, Read};
use crate::intake::row::Row;

pub(super) fn read(row: &mut Row<'_>) -> Option<Delivered> {
    let material = row.need(Field::Material, material);
    let date = row.need(Field::Date, Row::date);
    let ticket = row.text(Field::Ticket);
    let unit = material.as_ref().and_then(|m| row.words.setting.materials.get(m.value)).map(|m| m.unit);
    let in_unit = |row: &mut Row<'_>, field| quantity_in(row, field, unit?, "the account of its material is kept");
    let quantity = row.need(Field::Quantity, in_unit);
    let wasted = in_unit(row, Field::Wasted);
    let moisture = row.measure(Field::Moisture, Measure::Percent);
    let lanes = row.lanes(Field::Lane);
    let lane = lanes.as_ref().and_then(|l| l.value.first().copied());
    let placed = row.find(Field::From).is_some() || row.find(Field::Stations).is_some();
    let between = lane.filter(|_| placed).and_then(|lane| ends(row, lane, "so nothing lies there"));
    let remarks = row.text(Field::Remarks);
    let (material, quantity) = (material?, quantity);
    Some(Delivered { material, date: date?, ticket, quantity: quantity?, moisture, wasted, lanes, between, remarks })
}

/// The material of the contract that the cell names.
fn material(row: &mut Row<'_>, field: Field) -> Option<Read<usize>> {
    let found = row.find(field)?;
    let text = row.worded(&found)?;
    let Some(material) = row.words.names.material(&text) else {
        let known: Vec<&str> = row.words.setting.materials.iter().map(|m| m.name.as_str()).collect();
        let what = if known.is_empty() {
            String::from("is a material, and contract.toml keeps an account of none")
        } else {
            format!("is not a material of the contract; its materials are {}", known.join(", "))
        };
        let cure = "correct the cell, or add the word to the material's `also` in contract.toml";
        row.refuse(Code::MaterialUnknown, &found, &what, cure);
        return None;
    };
    Some(Read { value: material, at: found.at, typed: Some(text.into()) })
}

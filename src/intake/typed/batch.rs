//! Batch weights of a load: ticket, day, and the mass of each ingredient, on a sheet of their own or beside the loads.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::intake::kind::{Field, Measure};
use crate::intake::record::{Batch, Ingredient, Load, Read};
use crate::intake::row::Row;
use crate::intake::wording::fold;

/// Where each ingredient and its moisture stand.
const INGREDIENTS: [(Ingredient, Field, Option<Field>); 8] = [
    (Ingredient::Cement, Field::Cement, None),
    (Ingredient::FlyAsh, Field::FlyAsh, None),
    (Ingredient::Slag, Field::Slag, None),
    (Ingredient::Fine, Field::Fine, Some(Field::FineMoisture)),
    (Ingredient::Intermediate, Field::Intermediate, Some(Field::IntermediateMoisture)),
    (Ingredient::Coarse, Field::Coarse, Some(Field::CoarseMoisture)),
    (Ingredient::Water, Field::BatchWater, None),
    (Ingredient::Admixture, Field::Admixture, None),
];

/// What the scales gave.
#[derive(Debug, Default)]
pub(super) struct Weights {
    masses: BTreeMap<Ingredient, Read<Decimal>>,
    moistures: BTreeMap<Ingredient, Read<Decimal>>,
    total: Option<Read<Decimal>>,
}

/// Whether the table has batch weights.
pub(super) fn has_weights(row: &Row<'_>) -> bool {
    INGREDIENTS.iter().any(|(_, field, _)| row.table.column(*field).is_some())
}

/// Whether a column of water beside batch weights is the plant's, because nothing says that it was added at the site.
pub(super) fn is_plant_water(row: &Row<'_>) -> bool {
    let heading = row.table.column(Field::Water).map(|c| fold(&c.heading));
    has_weights(row) && heading.is_some_and(|h| !["add", "site", "job"].iter().any(|word| h.contains(word)))
}

/// Every weight and moisture of a row.
pub(super) fn weights(row: &mut Row<'_>) -> Weights {
    let mut found = Weights::default();
    for (ingredient, mass, moisture) in INGREDIENTS {
        let measure = if ingredient == Ingredient::Water { Measure::BatchWater } else { Measure::Mass };
        found.masses.extend(row.measure(mass, measure).map(|mass| (ingredient, mass)));
        let moisture = moisture.and_then(|field| row.measure(field, Measure::Percent));
        found.moistures.extend(moisture.map(|moisture| (ingredient, moisture)));
    }
    if is_plant_water(row) && !found.masses.contains_key(&Ingredient::Water) {
        let water = row.measure(Field::Water, Measure::BatchWater);
        found.masses.extend(water.map(|water| (Ingredient::Water, water)));
    }
    found.total = row.measure(Field::TotalMass, Measure::Mass);
    found
}

impl Weights {
    /// The batch of a load that stands on the same row; `None` where the scales gave nothing.
    pub(super) fn of_load(self, load: &Load) -> Option<Batch> {
        (!self.masses.is_empty()).then(|| Batch {
            ticket: load.ticket.clone(),
            date: load.date.clone(),
            plant: load.plant.clone(),
            mix: load.mix.clone(),
            weights: self.masses,
            moistures: self.moistures,
            total: self.total,
            remarks: None,
        })
    }
}

pub(super) fn read(row: &mut Row<'_>) -> Option<Batch> {
    let ticket = row.need(Field::Ticket, super::load::one_ticket);
    let date = row.need(Field::Date, Row::date);
    let plant = row.text(Field::Plant);
    let mix = row.text(Field::Mix);
    let before = row.faults.len() + row.unitless.len();
    let Weights { masses: weights, moistures, total } = weights(row);
    if weights.is_empty() && total.is_none() && row.faults.len() + row.unitless.len() == before {
        let there: Vec<Field> =
            INGREDIENTS.iter().map(|(_, field, _)| *field).filter(|f| row.table.column(*f).is_some()).collect();
        row.missing(&there);
    }
    let remarks = row.text(Field::Remarks);
    Some(Batch { ticket: ticket?, date: date?, plant, mix, weights, moistures, total, remarks })
}

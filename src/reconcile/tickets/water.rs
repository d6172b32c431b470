//! Water added at the site: beyond what the plant held back, and what ratio of water to cementitious material it makes.
//!
//! ```text
//! w/cm = (water batched + free moisture of aggregates + water added) / cementitious
//! free moisture = mass as weighed x m / (100 + m)         m percent of saturated surface-dry
//! ```
//!
//! The highest ratio is the mix's in the contract.

use rust_decimal::Decimal;

use super::{Desk, TicketRemark};
use crate::contract::Entered;
use crate::figure::{Expr, sum, whole};
use crate::finding::Code;
use crate::intake::{Batch, Ingredient};
use crate::units::Unit;
use crate::units::conversions::PERCENT_TO_RATIO;

pub(super) fn check(desk: &mut Desk<'_, '_>) {
    beyond_withheld(desk);
    ratios(desk);
}

fn beyond_withheld(desk: &mut Desk<'_, '_>) {
    let before = desk.audit.remarks.len();
    let (mut checked, mut unable) = (0, 0);
    for (i, load) in desk.loads().iter().enumerate() {
        let Some(added) = load.water.as_ref().filter(|w| w.value > Decimal::ZERO) else { continue };
        let Some(withheld) = &load.withheld else {
            unable += 1;
            continue;
        };
        checked += 1;
        if added.value <= withheld.value {
            continue;
        }
        let ledger = desk.ground.line.ledger;
        let Some(held) = ledger.load_cell(i, ledger.load_columns.withheld) else { continue };
        let unit = desk.ground.contract.system.liquid();
        let value = desk.figure((i, "water added"), "w", (unit, 1), ledger.load_water(i).into());
        let limit = desk.figure((i, "water withheld"), "w_h", (unit, 1), held.into());
        let message = format!(
            "ticket {} had {} of water added at the site; the plant had withheld {}",
            load.ticket.value,
            desk.written(value),
            desk.written(limit)
        );
        let words = "more water added than was withheld".to_string();
        let remark =
            TicketRemark { code: Code::WaterOver, loads: vec![i], words, value: Some(value), limit: Some(limit) };
        desk.remark(
            remark,
            message,
            "see what strength and air were tested on the load, and what the inspector decided",
        );
    }
    desk.checked("water added against water withheld", "as on the ticket", (checked, unable), before);
}

fn ratios(desk: &mut Desk<'_, '_>) {
    if desk.ground.contract.mixes.iter().all(|mix| mix.water_cement.is_none()) {
        desk.audit.unlimited.push("ratio of water to cementitious material");
        return;
    }
    let before = desk.audit.remarks.len();
    let (mut checked, mut unable) = (0, 0);
    for i in 0..desk.loads().len() {
        let contract = desk.ground.contract;
        let mix = desk.mix(i).and_then(|mix| contract.mix(mix));
        let Some(limit) = mix.and_then(|mix| contract.mixes[mix].water_cement.clone()) else { continue };
        let Some(ratio) = desk.batches.get(&i).and_then(|&b| ratio(desk, i, b)) else {
            unable += 1;
            continue;
        };
        checked += 1;
        // To the thousandth, as it is shown.
        if ratio.round_dp(3) > limit.value {
            over(desk, i, &limit);
        }
    }
    desk.checked("ratio of water to cementitious material", "of the mix", (checked, unable), before);
}

/// The ratio as a number; `None` where water or cementitious material is not on record.
fn ratio(desk: &Desk<'_, '_>, i: usize, b: usize) -> Option<Decimal> {
    let batch = &desk.ground.records.batches[b];
    let mut water = batch.weights.get(&Ingredient::Water)?.value;
    for (of, moisture) in &batch.moistures {
        let mass = batch.weights.get(of)?.value;
        water += (mass * moisture.value).checked_div(Decimal::ONE_HUNDRED + moisture.value)?;
    }
    if let Some(added) = &desk.load(i).water {
        water += desk.ground.contract.system.water_to_mass().apply(added.value)?;
    }
    let cementitious: Decimal = of_cementitious(batch).map(|of| batch.weights[&of].value).sum();
    water.checked_div(cementitious)
}

fn of_cementitious(batch: &Batch) -> impl Iterator<Item = Ingredient> {
    batch.weights.keys().copied().filter(|of| of.is_cementitious())
}

fn over(desk: &mut Desk<'_, '_>, i: usize, limit: &Entered) {
    let Some(&b) = desk.batches.get(&i) else { return };
    let (ledger, system) = (desk.ground.line.ledger, desk.ground.contract.system);
    let batch = &desk.ground.records.batches[b];
    let mut water: Vec<Expr> = vec![ledger.batch_weight(b, Ingredient::Water).into()];
    for &of in batch.moistures.keys() {
        let Some(moisture) = ledger.batch_moisture(b, of) else { continue };
        let share = Expr::from(moisture).to(PERCENT_TO_RATIO);
        water.push(ledger.batch_weight(b, of) * share.clone() / (whole(1) + share));
    }
    if desk.load(i).water.is_some() {
        water.push(Expr::from(ledger.load_water(i)).to(system.water_to_mass()));
    }
    let cementitious: Vec<Expr> = of_cementitious(batch).map(|of| ledger.batch_weight(b, of).into()).collect();
    let value = desk.figure((i, "water to cementitious"), "w/cm", (Unit::One, 3), sum(water) / sum(cementitious));
    let mix = desk.mix(i).unwrap_or_default();
    let bound = desk.limit(limit, &format!("highest ratio of water to cementitious material of {mix}"));
    let added = desk.load(i).water.as_ref().filter(|w| w.value > Decimal::ZERO);
    let with = added.map_or("as batched", |_| "with the water added at the site");
    let message = format!(
        "ticket {} has {} of water to cementitious material {with}; the highest of mix {mix} is {}",
        desk.ticket(i),
        desk.written(value),
        limit.written
    );
    let words = format!("ratio of water to cementitious material, {with}");
    let remark =
        TicketRemark { code: Code::WaterCementOver, loads: vec![i], words, value: Some(value), limit: Some(bound) };
    desk.remark(remark, message, "see the strength of the load; weigh the moistures of the aggregates again");
}

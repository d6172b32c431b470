//! Batch weights against the mix design: each ingredient within the contract's tolerance of its target, weights that add up,
//! and batches that are no load.
//!
//! ```text
//! target = design x volume                          of aggregates x (1 + m), m the free moisture
//! water  = design x volume - design of aggregates x volume x m
//! ```
//!
//! Free moisture of aggregates is water that need not be batched (mix design by absolute volume, common practice).

use rust_decimal::Decimal;

use super::{Desk, TicketRemark, named};
use crate::contract::Entered;
use crate::figure::{Expr, whole};
use crate::finding::Code;
use crate::intake::Ingredient;
use crate::units::conversions::{PERCENT_TO_RATIO, RATIO_TO_PERCENT};
use crate::units::{Unit, plain};

pub(super) fn check(desk: &mut Desk<'_, '_>) {
    if desk.ground.records.batches.is_empty() {
        return;
    }
    strays(desk);
    sums(desk);
    tolerances(desk);
}

fn strays(desk: &mut Desk<'_, '_>) {
    let before = desk.audit.remarks.len();
    let batches = &desk.ground.records.batches;
    if !desk.strays.is_empty() {
        let names: Vec<&str> = desk.strays.iter().map(|&b| &*batches[b].ticket.value).collect();
        let message = format!("batch weights of {} name tickets that are no load: {}", names.len(), named(&names));
        let words = format!("{} batches whose ticket is no load", names.len());
        let remark = TicketRemark { code: Code::BatchWithoutLoad, loads: Vec::new(), words, value: None, limit: None };
        desk.remark(
            remark,
            message,
            "if the loads went to another job, set the rows aside; else put their tickets into field/",
        );
    }
    let n = batches.len();
    desk.checked("batches against loads", "", (n, 0), before);
}

/// Weights that do not add up to the total the sheet gives, by more than the digits of each leave open.
fn sums(desk: &mut Desk<'_, '_>) {
    let before = desk.audit.remarks.len();
    let (mut checked, mut unable) = (0, 0);
    let pairs: Vec<(usize, usize)> = desk.batches.iter().map(|(l, b)| (*l, *b)).collect();
    for (i, b) in pairs {
        let batch = &desk.ground.records.batches[b];
        let (Some(total), true) = (&batch.total, batch.weights.len() > 1) else {
            unable += 1;
            continue;
        };
        checked += 1;
        let all = || batch.weights.values().chain([total]);
        let step = all().map(|w| w.value.normalize().scale()).max().unwrap_or(0);
        let open = Decimal::new(1, step) * Decimal::from(all().count()) / Decimal::TWO;
        let sum: Decimal = batch.weights.values().map(|w| w.value).sum();
        if (sum - total.value).abs() <= open {
            continue;
        }
        let ledger = desk.ground.line.ledger;
        let unit = desk.ground.contract.system.mass();
        let weights: Vec<Expr> = batch.weights.keys().map(|&of| ledger.batch_weight(b, of).into()).collect();
        let value = desk.figure((i, "sum of batch weights"), "W", (unit, 1), crate::figure::sum(weights));
        let limit = desk.figure((i, "total of batch weights"), "W_t", (unit, 1), ledger.batch_total(b).into());
        let message = format!(
            "the batch weights of ticket {} add up to {}, and its sheet says {} in all",
            desk.ticket(i),
            desk.written(value),
            desk.written(limit)
        );
        let words = "batch weights do not add up to their total".to_string();
        let remark =
            TicketRemark { code: Code::BatchSum, loads: vec![i], words, value: Some(value), limit: Some(limit) };
        desk.remark(remark, message, "see which weight is mistyped, or what is weighed and has no column");
    }
    desk.checked("batch weights against their total", "", (checked, unable), before);
}

fn tolerances(desk: &mut Desk<'_, '_>) {
    let contract = desk.ground.contract;
    if contract.batching.tolerances.is_empty() {
        desk.audit.unlimited.push("tolerance of batch weights");
        return;
    }
    let before = desk.audit.remarks.len();
    let (mut checked, mut unable) = (0, 0);
    let pairs: Vec<(usize, usize)> = desk.batches.iter().map(|(l, b)| (*l, *b)).collect();
    for (i, b) in pairs {
        let mix = desk.mix(i).and_then(|mix| contract.mix(mix));
        let Some(mix) = mix.filter(|&mix| !contract.mixes[mix].design.is_empty()) else {
            unable += 1;
            continue;
        };
        checked += 1;
        for (&of, limits) in &contract.batching.tolerances {
            ingredient(desk, (i, b, mix), of, limits);
        }
    }
    desk.checked("batch weights against the design", "by ingredient", (checked, unable), before);
}

/// Target of an ingredient as a number.
fn target(desk: &Desk<'_, '_>, (i, b, mix): (usize, usize, usize), of: Ingredient) -> Option<Decimal> {
    let design = &desk.ground.contract.mixes[mix].design;
    let batch = &desk.ground.records.batches[b];
    let volume = desk.load(i).volume.value;
    let moist = |of: &Ingredient| batch.moistures.get(of).map_or(Decimal::ZERO, |m| m.value / Decimal::ONE_HUNDRED);
    let dry = design.get(&of)?.value * volume;
    if of == Ingredient::Water {
        let carried =
            design.iter().filter(|(of, _)| of.is_aggregate()).map(|(of, mass)| mass.value * volume * moist(of));
        return Some(dry - carried.sum::<Decimal>());
    }
    Some(dry * (Decimal::ONE + moist(&of)))
}

fn ingredient(
    desk: &mut Desk<'_, '_>,
    at: (usize, usize, usize),
    of: Ingredient,
    (low, high): &(Option<Entered>, Option<Entered>),
) {
    let (i, b, _) = at;
    let Some(actual) = desk.ground.records.batches[b].weights.get(&of).map(|w| w.value) else { return };
    let Some(aim) = target(desk, at, of).filter(|aim| *aim > Decimal::ZERO) else { return };
    let Some(percent) = ((actual - aim) * Decimal::ONE_HUNDRED).checked_div(aim) else { return };
    let below = low.as_ref().filter(|limit| percent < limit.value);
    let above = high.as_ref().filter(|limit| percent > limit.value);
    let Some(limit) = below.or(above) else { return };
    let (unit, content) = (desk.ground.contract.system.mass(), desk.ground.contract.system.to_content());
    let goal = target_figure(desk, at, of, content);
    let aimed = desk.figure((i, &format!("target of {}", of.words())), "T", (unit, 1), goal);
    let cell = desk.ground.line.ledger.batch_weight(b, of);
    let off = ((cell - aimed) / aimed).to(RATIO_TO_PERCENT);
    let value = desk.figure((i, &format!("{} off its target", of.words())), "d", (Unit::Percent, 2), off);
    let bound =
        desk.limit(limit, &format!("{} {} its target", of.words(), if below.is_some() { "below" } else { "above" }));
    let message = format!(
        "ticket {} was batched with {} {unit} of {} where {} were the target: {} %, beyond the contract's {}",
        desk.ticket(i),
        plain(actual),
        of.words(),
        desk.written(aimed),
        desk.book[value].text(),
        limit.written
    );
    let words = format!("{} off its target", of.words());
    let remark =
        TicketRemark { code: Code::BatchOutside, loads: vec![i], words, value: Some(value), limit: Some(bound) };
    desk.remark(
        remark,
        message,
        "see whether the volume on the ticket, the moisture or the weight is wrong; else what was tested of the load",
    );
}

/// Target of an ingredient as a formula.
fn target_figure(
    desk: &mut Desk<'_, '_>,
    (i, b, mix): (usize, usize, usize),
    of: Ingredient,
    content: crate::units::Conversion,
) -> Expr {
    let contract = desk.ground.contract;
    let ledger = desk.ground.line.ledger;
    let volume = ledger.load_volume(i);
    let mass = |desk: &mut Desk<'_, '_>, of: Ingredient| {
        let given = contract.mixes[mix].design.get(&of).map(|design| {
            let label = format!("{} of mix {}", of.words(), contract.mixes[mix].name);
            desk.book.given(design.given(label, of.word()))
        });
        given.map(|given| (volume * given).to(content))
    };
    let moistures = &desk.ground.records.batches[b].moistures;
    let moisture = |of: Ingredient| {
        let cell = ledger.batch_moisture(b, of).filter(|_| moistures.contains_key(&of))?;
        Some(Expr::from(cell).to(PERCENT_TO_RATIO))
    };
    let Some(dry) = mass(desk, of) else { return whole(0) };
    if of != Ingredient::Water {
        return moisture(of).map_or_else(|| dry.clone(), |moist| dry.clone() * (whole(1) + moist));
    }
    let carriers = Ingredient::ALL.into_iter().filter(|of| of.is_aggregate());
    carriers.fold(dry, |water, of| match (moisture(of), mass(desk, of)) {
        (Some(moist), Some(design)) => water - design * moist,
        _ => water,
    })
}

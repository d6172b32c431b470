//! Numbers that look copied: batches that repeat each other in every weight, and last digits that no scale would show so.
//!
//! Both are held against the chance that the contract names. Repeats: as many pairs of loads of one mix and volume as repeat
//! each other in all weights, against the number that the spread of each weight makes likely (Poisson). Last digits: chi-square
//! against ten digits alike, for each plant and ingredient, the chance multiplied by the number of such tests. A statistic
//! asks for a look and proves nothing.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::{Desk, TicketRemark, named};
use crate::finding::Code;
use crate::intake::Ingredient;
use crate::line::folded;
use crate::statistics::{at_least, chi_square_beyond};

/// Weights that must agree before two batches repeat each other.
const WEIGHTS: usize = 3;
/// Values that a test of last digits needs: five expected of each digit, as is usual for chi-square.
const DIGITS_OF: usize = 50;

pub(super) fn check(desk: &mut Desk<'_, '_>) {
    let copied = desk.ground.contract.tickets.as_ref().and_then(|t| t.copied.clone());
    let Some(copied) = copied else {
        desk.audit.unlimited.push("chance at which numbers look copied");
        return;
    };
    let Some(chance) = copied.value.to_f64().map(|percent| percent / 100.0) else { return };
    let before = desk.audit.remarks.len();
    repeats(desk, chance, &copied.written);
    desk.checked("batches that repeat each other", &copied.written, (desk.batches.len(), 0), before);
    let before = desk.audit.remarks.len();
    let counts = digits(desk, chance, &copied.written);
    desk.checked("last digits of batch weights", &copied.written, counts, before);
}

/// Loads of one mix and volume with their weights.
type Alike = BTreeMap<(String, Decimal), Vec<(usize, Vec<(Ingredient, Decimal)>)>>;

fn repeats(desk: &mut Desk<'_, '_>, chance: f64, written: &str) {
    let mut alike: Alike = BTreeMap::new();
    for (&load, &batch) in &desk.batches {
        let weights = &desk.ground.records.batches[batch].weights;
        let weights: Vec<(Ingredient, Decimal)> =
            weights.iter().map(|(of, mass)| (*of, mass.value.normalize())).collect();
        if weights.len() >= WEIGHTS {
            let key = (folded(desk.mix(load).unwrap_or_default()), desk.load(load).volume.value.normalize());
            alike.entry(key).or_default().push((load, weights));
        }
    }
    for group in alike.into_values().filter(|group| group.len() > 1) {
        let mut same: BTreeMap<&Vec<(Ingredient, Decimal)>, Vec<usize>> = BTreeMap::new();
        for (load, weights) in &group {
            same.entry(weights).or_default().push(*load);
        }
        let pairs: usize = same.values().map(|loads| loads.len() * (loads.len() - 1) / 2).sum();
        let loads: Vec<usize> = same.into_values().filter(|loads| loads.len() > 1).flatten().collect();
        let Some(pairs) = u32::try_from(pairs).ok().filter(|&pairs| pairs > 0) else { continue };
        if at_least(pairs, expected(&group)) >= chance {
            continue;
        }
        let names: Vec<&str> = loads.iter().map(|&i| desk.ticket(i)).collect();
        let message = format!(
            "the batches of tickets {} repeat each other in every weight, more often than chance makes likely ({written}); a \
             statistic, no proof",
            named(&names)
        );
        let words = "batch weights repeat each other".to_string();
        let remark = TicketRemark { code: Code::LooksCopied, loads, words, value: None, limit: None };
        desk.remark(remark, message, "compare with the plant's own printouts and the times of these loads");
    }
}

/// Pairs that would repeat each other if every weight varied as it does, each by itself.
fn expected(group: &[(usize, Vec<(Ingredient, Decimal)>)]) -> f64 {
    let n = group.len().to_f64().unwrap_or(0.0);
    let mut together = 1.0;
    let ingredients: Vec<Ingredient> =
        group.first().map(|(_, w)| w.iter().map(|(of, _)| *of).collect()).unwrap_or_default();
    for of in ingredients {
        let mut counts: BTreeMap<Decimal, f64> = BTreeMap::new();
        for (_, weights) in group {
            if let Some((_, mass)) = weights.iter().find(|(other, _)| *other == of) {
                *counts.entry(*mass).or_default() += 1.0;
            }
        }
        together *= counts.values().map(|count| (count / n).powi(2)).sum::<f64>();
    }
    n * (n - 1.0) / 2.0 * together
}

/// Tests the last digits of each plant and ingredient; returns how many values were tested and how many could not be.
fn digits(desk: &mut Desk<'_, '_>, chance: f64, written: &str) -> (usize, usize) {
    let mut columns: BTreeMap<(String, Ingredient), Vec<(usize, Decimal)>> = BTreeMap::new();
    for (&load, &batch) in &desk.batches {
        let batch = &desk.ground.records.batches[batch];
        let plant = batch.plant.as_ref().or(desk.load(load).plant.as_ref()).map(|p| p.value.to_string());
        // A weight that was converted shows no scale's digits.
        for (of, mass) in batch.weights.iter().filter(|(_, mass)| mass.typed.is_none()) {
            columns.entry((plant.clone().unwrap_or_default(), *of)).or_default().push((load, mass.value));
        }
    }
    let (mut tested, mut unable) = (Vec::new(), 0);
    for (key, values) in columns {
        match last_digits(&values) {
            Some(counts) => tested.push((key, values, counts)),
            None => unable += values.len(),
        }
    }
    let tests = tested.len().to_f64().unwrap_or(1.0);
    let checked = tested.iter().map(|(_, values, _)| values.len()).sum();
    for ((plant, of), values, counts) in tested {
        let even = values.len().to_f64().unwrap_or(0.0) / 10.0;
        let chi: f64 = counts.iter().map(|count| (count - even).powi(2) / even).sum();
        if chi_square_beyond(chi, 9.0).is_none_or(|p| p * tests >= chance) {
            continue;
        }
        let at = if plant.is_empty() { String::new() } else { format!(" of {plant}") };
        let message = format!(
            "the last digits of {} weights{at} ({} batches) are not spread as a scale's are: chance makes that less likely \
             than {written}; a statistic, no proof",
            of.words(),
            values.len()
        );
        let words = format!("last digits of {} weights{at}", of.words());
        let loads = values.first().map(|(load, _)| *load).into_iter().collect();
        let remark = TicketRemark { code: Code::LooksCopied, loads, words, value: None, limit: None };
        desk.remark(remark, message, "ask how the weights were recorded: printed by the scales, or written by hand");
    }
    (checked, unable)
}

/// How often each last digit stands; `None` for too few values, or scales that show only fives or tens.
fn last_digits(values: &[(usize, Decimal)]) -> Option<[f64; 10]> {
    if values.len() < DIGITS_OF {
        return None;
    }
    let scale = values.iter().map(|(_, v)| v.normalize().scale()).max()?;
    let mut counts = [0.0; 10];
    for (_, value) in values {
        let whole = value.checked_mul(Decimal::from(10_u64.checked_pow(scale)?))?.trunc();
        let digit = (whole % Decimal::TEN).abs().to_usize()?;
        *counts.get_mut(digit)? += 1.0;
    }
    // A scale that reads in twos, fives or tens shows some digits never.
    let odd = [1, 3, 7, 9].iter().any(|&digit| counts[digit] > 0.0);
    odd.then_some(counts)
}

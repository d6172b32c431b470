//! Fresh concrete: air, slump and temperature against the limits that the contract states.
//!
//! A result on the limit is within it. Nothing here changes pay.

use rust_decimal::Decimal;

use super::ground::Ground;
use crate::contract::Entered;
use crate::finding::{Code, Finding, Place};
use crate::intake::{Fresh, Read};
use crate::units::plain;

/// A finding for each result outside the contract's limits.
pub(super) fn judge(ground: Ground) -> Vec<Finding> {
    let limits = &ground.contract.fresh;
    let mut findings = Vec::new();
    for test in &ground.records.fresh {
        let results = [
            ("air content", &test.air, &limits.air),
            ("slump", &test.slump, &limits.slump),
            ("temperature", &test.temperature, &limits.temperature),
        ];
        for (what, result, (lowest, highest)) in results {
            let Some(result) = result else { continue };
            let below = lowest.as_ref().filter(|limit| result.value < limit.value);
            let above = highest.as_ref().filter(|limit| result.value > limit.value);
            findings.extend(below.map(|limit| outside(test, what, result, "below the contract's lowest", limit)));
            findings.extend(above.map(|limit| outside(test, what, result, "above the contract's highest", limit)));
        }
    }
    findings
}

fn outside(test: &Fresh, what: &str, result: &Read<Decimal>, how: &str, limit: &Entered) -> Finding {
    let ticket = test.ticket.as_ref().map_or_else(String::new, |ticket| format!(", ticket {}", ticket.value));
    Finding::new(
        Code::FreshOutside,
        Place::Cell(result.at),
        format!(
            "{what} {} {} is {how}, {} (contract.toml, line {}); test {} of {}{ticket}",
            plain(result.value),
            limit.unit,
            limit.written,
            limit.line,
            test.number.value,
            test.date.value
        ),
        "check what became of the load and of the pavement it went into; the engineer decides whether it may stay",
    )
}

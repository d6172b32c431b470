//! The mix of each load: whether the contract knows it, and whether it may be placed where it went.

use std::collections::{BTreeMap, BTreeSet};

use super::{Desk, TicketRemark, named};
use crate::finding::Code;
use crate::line::{folded, span};

pub(super) fn check(desk: &mut Desk<'_, '_>) {
    if desk.ground.contract.mixes.is_empty() {
        desk.audit.unlimited.push("mixes and where they may be placed");
        return;
    }
    let before = desk.audit.remarks.len();
    let mut unable = 0;
    let mut unknown: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    let mut wrong: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for i in 0..desk.loads().len() {
        let Some(name) = desk.mix(i) else {
            unable += 1;
            continue;
        };
        match desk.ground.contract.mix(name) {
            None => unknown.entry(folded(name)).or_default().push(i),
            Some(mix) => {
                if let Some(p) = desk.placements[i].filter(|&p| !may_lie(desk, mix, p)) {
                    wrong.entry((p, mix)).or_default().push(i);
                }
            }
        }
    }
    for loads in unknown.into_values() {
        not_known(desk, loads);
    }
    for ((p, mix), loads) in wrong {
        elsewhere(desk, p, mix, loads);
    }
    desk.checked("mix of the load", "the contract's mixes", (desk.loads().len() - unable, unable), before);
}

/// Whether a mix may lie in every section of a placement.
fn may_lie(desk: &Desk<'_, '_>, mix: usize, p: usize) -> bool {
    let allowed = &desk.ground.contract.mixes[mix].sections;
    let line = desk.ground.line;
    allowed.is_empty() || line.placements[p].stretches.iter().all(|&s| allowed.contains(&line.stretches[s].section))
}

fn tickets(desk: &Desk<'_, '_>, loads: &[usize]) -> String {
    let names: Vec<&str> = loads.iter().map(|&i| desk.ticket(i)).collect();
    format!("ticket{} {}", if names.len() == 1 { "" } else { "s" }, named(&names))
}

fn not_known(desk: &mut Desk<'_, '_>, loads: Vec<usize>) {
    let name = loads.first().and_then(|&i| desk.mix(i)).unwrap_or_default();
    let known: Vec<&str> = desk.ground.contract.mixes.iter().map(|m| m.name.as_str()).collect();
    let message =
        format!("{}: mix {name} is none of the contract's, which are {}", tickets(desk, &loads), known.join(", "));
    let words = format!("mix {name} is none of the contract's");
    let remark = TicketRemark { code: Code::MixUnknown, loads, words, value: None, limit: None };
    desk.remark(
        remark,
        message,
        "if sheets call a mix so, add the word to its `also` in contract.toml; else see what was placed",
    );
}

fn elsewhere(desk: &mut Desk<'_, '_>, p: usize, mix: usize, loads: Vec<usize>) {
    let contract = desk.ground.contract;
    let (mix, placement) = (&contract.mixes[mix], &desk.ground.records.placements[p]);
    let allowed: BTreeSet<&str> = mix.sections.iter().map(|&s| contract.sections[s].name.as_str()).collect();
    let message = format!(
        "{}: mix {} went into placement {} of {} ({}); the contract has it in {} only",
        tickets(desk, &loads),
        mix.name,
        placement.number.value,
        placement.date.value,
        span(contract, placement),
        allowed.into_iter().collect::<Vec<_>>().join(", ")
    );
    let words = format!("mix {} in placement {}", mix.name, placement.number.value);
    let remark = TicketRemark { code: Code::MixWrong, loads, words, value: None, limit: None };
    desk.remark(remark, message, "see whether the ticket or the placement names the wrong mix or place");
}

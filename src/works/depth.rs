//! Depth of mixed grade and of base, as its sheet gives it for a stretch.

use super::Works;
use super::check::{Check, Finds};
use super::site::{Site, row};
use crate::figure::Book;
use crate::figure::CellId;
use crate::finding::{Code, Finding};
use crate::intake::Step;
use crate::line::stepped;
use crate::rules::{DepthRule, Proof};
use crate::units::plain;

/// A depth as judged.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthJudged {
    /// Step, by place in the records.
    pub work: usize,
    /// Its depth.
    pub depth: CellId,
    /// What it found.
    pub finds: Finds,
}

/// Judges the depth of every step that gives one, where the rule asks for it.
pub(super) fn judge(site: &Site<'_>, _: &mut Book, works: &mut Works, findings: &mut Vec<Finding>) {
    for (i, work) in site.inputs.records.works.iter().enumerate() {
        let (Some(depth), Step::Base | Step::Reclaim) = (&work.depth, work.step) else { continue };
        let rule = site.rule.depths.iter().find(|r| r.step == work.step);
        let finds = rule.map_or(Finds::NotJudged, |r| Finds::of(holds(r, depth.value)));
        works.depths.push(DepthJudged {
            work: i,
            depth: site.inputs.line.ledger.work_cell(i, stepped::work::DEPTH),
            finds,
        });
        if let (Finds::Failed, Some(rule)) = (finds, rule) {
            findings.push(outside(site, i, rule));
        }
        works.checks.extend((work.step == Step::Base).then(|| Check {
            proof: Proof::BaseDepth,
            number: work.number.value.to_string(),
            at: work.number.at,
            date: work.date.value,
            places: site.spans(work),
            finds,
            text: if finds == Finds::Failed {
                format!("{} {}", plain(depth.value), site.inputs.contract.system.depth())
            } else {
                String::new()
            },
        }));
    }
}

fn holds(rule: &DepthRule, depth: rust_decimal::Decimal) -> bool {
    depth >= rule.least.value && rule.most.as_ref().is_none_or(|most| depth <= most.value)
}

fn outside(site: &Site<'_>, i: usize, rule: &DepthRule) -> Finding {
    let work = &site.inputs.records.works[i];
    let (at, depth) = work.depth.as_ref().map_or((work.number.at, String::new()), |d| (d.at, plain(d.value)));
    let most = rule.most.as_ref().map_or(String::new(), |m| format!(" to {}", m.written));
    let message = format!(
        "{} at {}: {depth} {} deep, asked {}{most} ({})",
        work.step.done(),
        site.stretch(work),
        site.inputs.contract.system.depth(),
        rule.least.written,
        rule.least.clause
    );
    Finding::new(Code::DepthOutside, row(at), message, "measure again or correct it; the engineer decides")
}

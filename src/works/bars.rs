//! Where dowels and tie bars lie: depth against the middle of the slab's design thickness, shift along the bar, tilt and turn.

use std::collections::BTreeMap;

use super::Works;
use super::check::{Check, Finds};
use super::site::{Site, row};
use crate::figure::{Book, Figure, FigureId, whole};
use crate::finding::{Code, Finding};
use crate::intake::{Bar, BarCheck, LaneId};
use crate::line::{slug, stepped};
use crate::rules::{BarRule, Proof, RuleNumber};
use crate::units::plain;

/// A bar as judged.
#[derive(Clone, Debug, PartialEq)]
pub struct BarJudged {
    /// Place in the records.
    pub bar: usize,
    /// Depth of its middle below that of the slab; `None` where the sheet gives no depth or it lies in no section.
    pub off: Option<FigureId>,
    /// What it found.
    pub finds: Finds,
    /// Which of its measures is out, in words; empty where none.
    pub note: String,
}

/// Judges every bar.
pub(super) fn judge(site: &Site<'_>, book: &mut Book, works: &mut Works, findings: &mut Vec<Finding>) {
    works.bars = (0..site.inputs.records.bars.len()).map(|i| bar(site, book, i)).collect();
    findings.extend(outside(site, &works.bars));
    for judged in &works.bars {
        let record = &site.inputs.records.bars[judged.bar];
        works.checks.push(Check {
            proof: if record.bar == Bar::Dowel { Proof::Dowels } else { Proof::Ties },
            number: record.number.value.to_string(),
            at: record.number.at,
            date: record.date.value,
            places: vec![(record.lane.value, record.station.value, record.station.value)],
            finds: judged.finds,
            text: judged.note.clone(),
        });
    }
}

fn bar(site: &Site<'_>, book: &mut Book, i: usize) -> BarJudged {
    let record = &site.inputs.records.bars[i];
    let off = off(site, book, i);
    let Some(rule) = site.rule.bars.iter().find(|r| r.bar == record.bar) else {
        return BarJudged { bar: i, off, finds: Finds::NotJudged, note: String::new() };
    };
    let depth = off.and_then(|id| book[id].value.decimal());
    let out = out(site, record, rule, depth);
    BarJudged { bar: i, off, finds: Finds::of(out.is_empty()), note: out.join(", ") }
}

/// Depth of the bar's middle less half the design thickness.
fn off(site: &Site<'_>, book: &mut Book, i: usize) -> Option<FigureId> {
    let record = &site.inputs.records.bars[i];
    record.depth.as_ref()?;
    let section = site.section(record.lane.value, record.station.value)?;
    let thickness = site.thickness(book, section);
    let depth = site.inputs.contract.system.depth();
    let name = format!("{} {}", record.bar.word(), record.number.value);
    let expr = site.inputs.line.ledger.bar_cell(i, stepped::bar::DEPTH) - thickness / whole(2);
    let figure =
        Figure::new(format!("works.{}.off", slug(&name)), format!("{name}, below mid-depth"), "e", depth, expr);
    Some(book.add(figure.shown(depth.decimals())))
}

/// The measures that are out, in words.
fn out(site: &Site<'_>, record: &BarCheck, rule: &BarRule, depth: Option<rust_decimal::Decimal>) -> Vec<String> {
    let unit = site.inputs.contract.system.depth();
    let value = |read: &Option<crate::intake::Read<rust_decimal::Decimal>>| read.as_ref().map(|r| r.value);
    let measures: [(&str, Option<rust_decimal::Decimal>, &Option<RuleNumber>); 4] = [
        ("off mid-depth", depth, &rule.depth),
        ("off the joint", value(&record.side), &rule.side),
        ("tilted", value(&record.tilt), &rule.tilt),
        ("turned", value(&record.skew), &rule.skew),
    ];
    measures
        .into_iter()
        .filter_map(|(what, value, limit)| {
            let (value, limit) = (value?, limit.as_ref()?);
            (value.abs() > limit.value).then(|| format!("{} {unit} {what}, allowed {}", plain(value), limit.written))
        })
        .collect()
}

/// One finding for the bars of one kind in a lane.
fn outside(site: &Site<'_>, bars: &[BarJudged]) -> Vec<Finding> {
    let records = &site.inputs.records.bars;
    let mut by: BTreeMap<(Bar, LaneId), Vec<&BarJudged>> = BTreeMap::new();
    for judged in bars.iter().filter(|b| b.finds == Finds::Failed) {
        by.entry((records[judged.bar].bar, records[judged.bar].lane.value)).or_default().push(judged);
    }
    let finding = |((bar, lane), own): ((Bar, LaneId), Vec<&BarJudged>)| {
        let first = own.first()?;
        let contract = site.inputs.contract;
        let clause =
            site.rule.bars.iter().find(|r| r.bar == bar).and_then(|r| {
                [&r.depth, &r.side, &r.tilt, &r.skew].into_iter().flatten().next().map(|n| n.clause.clone())
            });
        let each: Vec<String> = own
            .iter()
            .map(|b| {
                let record = &records[b.bar];
                let place = record.place.as_ref().map_or(String::new(), |p| format!(" bar {}", p.value));
                format!("{}{place}: {}", contract.station(lane, record.station.value), b.note)
            })
            .collect();
        let message = format!(
            "{} {} of lane {} off their place ({}): {}",
            own.len(),
            if own.len() == 1 { bar.word().to_string() } else { format!("{}s", bar.word()) },
            contract.lane(lane).name,
            clause.unwrap_or_default(),
            each.join("; ")
        );
        let rows = own.iter().skip(1).map(|b| row(records[b.bar].number.at));
        let remedy = "see whether the joint can work; the engineer decides";
        Some(Finding::new(Code::BarOutside, row(records[first.bar].number.at), message, remedy).with(rows))
    };
    by.into_iter().filter_map(finding).collect()
}

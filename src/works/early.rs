//! Strength tests at any age: what opening is held against. A test is the mean of the specimens of one set that were broken on
//! one day, each from its load and diameter where the sheet gives them, rounded once by the strength rule; where the contract
//! chooses none, not rounded.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::Works;
use super::site::Site;
use crate::figure::{Book, Expr, Figure, FigureId, circle_area, mean};
use crate::intake::{Shape, Specimen};
use crate::line::{folded, slug, stretch_at};
use crate::rules::Shape as RuleShape;

/// A strength test.
#[derive(Clone, Debug, PartialEq)]
pub struct Early {
    /// Set and age: `S-14, 3 d`.
    pub name: String,
    /// Placement it stands for, by place in the records.
    pub placement: usize,
    /// Specimens, by place in the records.
    pub specimens: Vec<usize>,
    /// Day broken.
    pub broken: NaiveDate,
    /// True where it is flexural.
    pub flexural: bool,
    /// Strength.
    pub strength: FigureId,
}

/// Every strength test of a placement that can be told; none where no rule says when pavement may be opened.
pub(super) fn tests(site: &Site<'_>, book: &mut Book, works: &mut Works) {
    if site.rule.opening.is_none() {
        return;
    }
    let records = site.inputs.records;
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    let mut taken: BTreeSet<usize> = BTreeSet::new();
    for test in &site.inputs.judged.tests {
        let (Some(placement), Some(&first)) = (test.placement, test.specimens.first()) else { continue };
        known.insert(folded(&records.specimens[first].set.value), placement);
        let Some(strength) = test.strength else { continue };
        let broken = test.specimens.iter().filter_map(|&s| records.specimens[s].tested.as_ref()).map(|t| t.value).max();
        let Some(broken) = broken else { continue };
        taken.extend(&test.specimens);
        let flexural = records.specimens[first].shape == Shape::Beam;
        let (name, specimens) = (test.name.clone(), test.specimens.clone());
        works.early.push(Early { name, placement, specimens, broken, flexural, strength });
    }
    let mut groups: BTreeMap<(String, NaiveDate, bool), Vec<usize>> = BTreeMap::new();
    for (i, specimen) in
        records.specimens.iter().enumerate().filter(|(i, s)| !taken.contains(i) && s.shape != Shape::Core)
    {
        let (Some(tested), true) = (&specimen.tested, has_strength(specimen)) else { continue };
        let key = (folded(&specimen.set.value), tested.value, specimen.shape == Shape::Beam);
        groups.entry(key).or_default().push(i);
    }
    for ((set, broken, flexural), specimens) in groups {
        let first = &records.specimens[specimens[0]];
        let Some(placement) = known.get(&set).copied().or_else(|| placement(site, first)) else { continue };
        let name = format!("{}, {} d", first.set.value, (broken - first.cast.value).num_days());
        let strength = strength(site, book, &name, &specimens);
        works.early.push(Early { name, placement, specimens, broken, flexural, strength });
    }
    works.early.sort_by_key(|e| (e.placement, e.broken));
}

fn has_strength(specimen: &Specimen) -> bool {
    specimen.strength.is_some() || (specimen.load.is_some() && specimen.diameter.is_some())
}

/// The placement that a specimen names, lies in, or alone was cast that day.
fn placement(site: &Site<'_>, specimen: &Specimen) -> Option<usize> {
    let line = site.inputs.line;
    if let Some(named) = &specimen.placement {
        return site.numbered(&named.value);
    }
    if let (Some(lane), Some(station)) = (&specimen.lane, &specimen.station) {
        return stretch_at(line, lane.value, station.value).map(|s| line.stretches[s].placement);
    }
    match line.directory.on(specimen.cast.value) {
        [only] => Some(*only),
        _ => None,
    }
}

fn strength(site: &Site<'_>, book: &mut Book, name: &str, specimens: &[usize]) -> FigureId {
    let (records, ledger, system) = (site.inputs.records, &site.inputs.line.ledger, site.inputs.contract.system);
    let one = |&i: &usize| -> Expr {
        let specimen = &records.specimens[i];
        if specimen.shape == Shape::Cylinder && specimen.load.is_some() && specimen.diameter.is_some() {
            let area = circle_area(ledger.specimen_diameter(i));
            (ledger.specimen_load(i) / area).to(system.to_strength())
        } else {
            ledger.specimen_strength(i).into()
        }
    };
    let key = format!("works.test-{}.strength", slug(name));
    let figure = Figure::new(key, format!("test {name}"), "f", system.strength(), mean(specimens.iter().map(one)));
    let rounding = site.inputs.rules.iter().find_map(|set| match &set.shape {
        RuleShape::Strength(rule) => Some((set, rule.test)),
        _ => None,
    });
    let figure = match rounding {
        Some((set, rounding)) => set.compared(figure, rounding),
        None => figure.shown(system.strength().decimals()),
    };
    book.add(figure)
}

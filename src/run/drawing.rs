//! Drawing test locations, and holding the cores against them.

use std::path::Path;

use chrono::NaiveDate;
use rust_decimal::prelude::ToPrimitive;

use super::{Stop, as_of, chosen_rules, named, unreadable};
use crate::accept::Judged;
use crate::contract::{self, Contract, DrawRule};
use crate::dossier::{FindingLine, worded};
use crate::draw::{self, CoreDrawn, DrawnLot, LotCore};
use crate::figure::Book;
use crate::finding::{Code, Finding, Findings, Place};
use crate::intake::{self, Records};
use crate::line::{self, Line};
use crate::rules::{LotBy, RuleSet, Shape, ThicknessRule};
use crate::source::Sources;

/// What was drawn.
pub struct Drawing {
    contract: Contract,
    rule: DrawRule,
    set: String,
    lots: Vec<DrawnLot>,
    findings: Findings,
    sources: Sources,
}

/// Draws the test locations of a contract: of all its lots, or of those that `wanted` names. Lots of what was placed
/// together are there once it is placed, so for them the field sheets are read; other lots need the contract alone.
///
/// # Errors
/// Where the contract does not say how to draw, chooses no rule set for thickness, or has no such lot.
pub fn drawing(root: &Path, through: Option<NaiveDate>, wanted: Option<&str>) -> Result<Drawing, Stop> {
    let contract = contract::load(&intake::text(root, "contract.toml")?)?;
    let Some(rule) = contract.draw.clone() else { return Err(no_seed()) };
    let mut findings = Findings::new();
    let sets = chosen_rules(root, &contract, &mut findings)?;
    let Some((set, thickness)) = of_thickness(&sets) else { return Err(no_rule()) };
    let (mut records, mut sources) = (Records::default(), Sources::default());
    if matches!(thickness.lot.by, LotBy::Day | LotBy::Placement) {
        let through = as_of(&contract, through)?;
        let read = intake::read(root, &contract.setting(through), &|_, _| ());
        let intake = read.map_err(|e| unreadable(root, &e.to_string()))?;
        findings.extend(intake.findings);
        (records, sources) = (intake.records, intake.sources);
    }
    let (line, found) = line::lay(&contract, &mut records, &mut Book::new(sources.clone()));
    findings.extend(found);
    let lots = locations(&contract, &rule, thickness, (&records, &line));
    let lots = chosen(lots, wanted)?;
    findings.extend(lots.iter().filter(|lot| !lot.without.is_empty()).map(nowhere));
    findings.sort();
    Ok(Drawing { set: set.id.clone(), contract, rule, lots, findings, sources })
}

impl Drawing {
    /// The list for people.
    #[must_use]
    pub fn text(&self) -> String {
        draw::text(&self.contract, &self.rule, &self.lots, &self.set)
    }

    /// The list for machines.
    ///
    /// # Errors
    /// Where it cannot be written.
    pub fn csv(&self) -> Result<String, Stop> {
        draw::csv(&self.contract, &self.rule, &self.lots).map_err(|why| {
            let remedy = "report this with the contract folder";
            Finding::new(Code::RenderFailed, Place::Named("drawing list".into()), why, remedy).into()
        })
    }

    /// Findings in words, sorted.
    pub fn findings_in_words(&self) -> impl Iterator<Item = FindingLine> {
        self.findings.iter().map(|f| worded(&self.sources, f))
    }

    /// Whether anything is left open: rows refused, records in conflict, locations that could not be drawn.
    #[must_use]
    pub fn open(&self) -> bool {
        self.findings.keep_open() || self.lots.iter().any(|lot| !lot.without.is_empty())
    }
}

/// Holds the cores that were averaged against the drawn locations; nothing where the contract does not draw.
pub(super) fn compare(
    contract: &Contract,
    sets: &[RuleSet],
    (records, line): (&Records, &Line),
    judged: &Judged,
    book: &mut Book,
) -> (Vec<CoreDrawn>, Vec<Finding>) {
    let Some((rule, (_, thickness))) = contract.draw.as_ref().zip(of_thickness(sets)) else {
        return Default::default();
    };
    let lots = locations(contract, rule, thickness, (records, line));
    let in_lot = judged.cores.iter().filter(|core| !core.lot.is_empty());
    let cores: Vec<LotCore> = in_lot.map(|core| LotCore { core: core.core, lot: &core.lot }).collect();
    let (rows, mut findings) = draw::compare(contract, rule, (records, line), (&lots, &cores), book);
    findings.extend(lots.iter().filter(|lot| !lot.without.is_empty()).map(nowhere));
    (rows, findings)
}

fn of_thickness(sets: &[RuleSet]) -> Option<(&RuleSet, &ThicknessRule)> {
    sets.iter().find_map(|set| if let Shape::Thickness(rule) = &set.shape { Some((set, rule)) } else { None })
}

fn locations(
    contract: &Contract,
    rule: &DrawRule,
    thickness: &ThicknessRule,
    (records, line): (&Records, &Line),
) -> Vec<DrawnLot> {
    let lots = line::lots(contract, records, line, &thickness.lot);
    let tests = thickness.cores_per_lot.value.to_u32().unwrap_or_default();
    draw::locations(contract, rule, lots, tests)
}

/// The lots that are wanted: all, or one by its name.
fn chosen(mut lots: Vec<DrawnLot>, wanted: Option<&str>) -> Result<Vec<DrawnLot>, Stop> {
    let Some(wanted) = wanted else { return Ok(lots) };
    let names: Vec<&str> = lots.iter().map(|lot| lot.lot.name.as_str()).collect();
    let nothing = "lots of what was placed together are there once it is placed; check the placements";
    let lot = named::lot(wanted, &names, nothing)?;
    Ok(vec![lots.swap_remove(lot)])
}

fn no_seed() -> Stop {
    let remedy = "add to contract.toml, with a seed that was fixed before the work, such as:\n[draw]\nseed = \"20310\"\n\
                  clear_of_edge = \"2 ft\"\ntolerance = \"5 ft\"";
    let place = Place::File("contract.toml".into());
    Finding::new(Code::ContractInvalid, place, "it does not say how test locations are drawn", remedy).into()
}

fn no_rule() -> Stop {
    let remedy = "choose one under [rules], such as: thickness = \"example-stepped-average\"";
    let message = "no rule set for thickness is chosen, so nothing says how large a lot is and how many cores it has";
    Finding::new(Code::ContractInvalid, Place::File("contract.toml".into()), message, remedy).into()
}

/// A stratum whose every place lies too near to an edge or end.
fn nowhere(lot: &DrawnLot) -> Finding {
    let numbers: Vec<String> = lot.without.iter().map(u32::to_string).collect();
    let message = format!(
        "no place is clear of edges and ends in stratum {} of {}; no location is drawn there",
        numbers.join(", "),
        lot.lot.name
    );
    let remedy = "let the engineer choose the place, or make 'clear_of_edge' or 'clear_of_ends' smaller";
    Finding::new(Code::CoreUndrawn, Place::Named(lot.lot.name.clone()), message, remedy)
}

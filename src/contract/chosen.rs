//! The rule sets a contract chooses, found in the catalogue and checked to fit the contract and each other.

use super::load::FILE;
use super::model::{Contract, Item};
use crate::finding::{Code, Finding, Place};
use crate::keyed::nearest;
use crate::rules::{BandLimits, Gives, Proof, Property, RuleSet, Shape};
use crate::units::System;

impl Contract {
    /// The rule sets chosen, out of those there are, in the order in which properties are judged.
    ///
    /// # Errors
    /// One finding for each choice that is not there, judges another property, or is in the other unit system; and where
    /// properties are combined, for each that cannot be and each item that would be adjusted by one of them twice.
    pub fn chosen<'r>(&self, catalogue: &'r [RuleSet]) -> Result<Vec<&'r RuleSet>, Vec<Finding>> {
        let mut findings = Vec::new();
        let chosen = self.rules.iter().filter_map(|(&property, choice)| {
            self.choose(choice, property, catalogue).map_err(|finding| findings.push(finding)).ok()
        });
        let chosen: Vec<&RuleSet> = chosen.collect();
        findings.extend(chosen.iter().filter_map(|set| self.paid_twice(set)));
        findings.extend(chosen.iter().flat_map(|set| self.waits_in_vain(set)));
        if findings.is_empty() {
            findings.extend(self.combined(&chosen));
        }
        if findings.is_empty() { Ok(chosen) } else { Err(findings) }
    }

    /// A rule that gives money outright, rather than percent of a price, can change only one item over a section.
    fn paid_twice(&self, set: &RuleSet) -> Option<Finding> {
        set.tables().into_iter().find(|pay| pay.gives != Gives::Percent)?;
        let adjusted: Vec<&Item> = self.items.iter().filter(|i| i.adjusted_by.contains(&set.property)).collect();
        let twice = adjusted.iter().enumerate().find_map(|(n, second)| {
            let shares =
                |first: &&&Item| first.measured.sections().iter().any(|s| second.measured.sections().contains(s));
            Some((adjusted[..n].iter().find(shares)?, second))
        });
        let (first, second) = twice?;
        let message = format!(
            "items {} and {} over one section are both adjusted by {}, whose rule set '{}' gives money outright: it would be paid twice",
            first.number,
            second.number,
            set.property.word(),
            set.id
        );
        let place = Place::Line { file: FILE.to_string(), line: second.line, column: 1 };
        let remedy = format!("leave \"{}\" in 'adjusted_by' of one of them", set.property.word());
        Some(Finding::new(Code::ContractInvalid, place, message, remedy))
    }

    /// Items that wait for a proof that the rule set for construction never asks for.
    fn waits_in_vain(&self, set: &RuleSet) -> Vec<Finding> {
        let Shape::Construction(rule) = &set.shape else { return Vec::new() };
        let asked = |proof: Proof| rule.required.iter().any(|r| r.proof == proof);
        let items = self.items.iter().flat_map(|i| i.waits_for.iter().map(move |&proof| (i, proof)));
        items
            .filter(|&(_, proof)| !asked(proof))
            .map(|(item, proof)| {
                let message = format!(
                    "item {} waits for {}, and the rule set '{}' does not require it",
                    item.number,
                    proof.word(),
                    set.id
                );
                let place = Place::Line { file: FILE.to_string(), line: item.line, column: 1 };
                let remedy = "take it out of 'waits_for', or require it in a rule set of your own";
                Finding::new(Code::ContractInvalid, place, message, remedy)
            })
            .collect()
    }

    fn choose<'r>(
        &self,
        (id, line): &(String, u32),
        property: Property,
        catalogue: &'r [RuleSet],
    ) -> Result<&'r RuleSet, Finding> {
        let wrong = |message: String, remedy: String| wrong(*line, message, remedy);
        let Some(set) = catalogue.iter().find(|set| set.id == *id) else {
            let ids: Vec<&str> = catalogue.iter().filter(|s| s.property == property).map(|s| s.id.as_str()).collect();
            let remedy = match nearest(id, catalogue.iter().map(|set| set.id.as_str())) {
                Some(near) => format!("write '{near}' if that is meant"),
                None => format!("choose one of: {}; or add one to the folder 'rules'", ids.join(", ")),
            };
            return Err(wrong(format!("there is no rule set '{id}'"), remedy));
        };
        if set.property != property {
            let message = format!("the rule set '{id}' does not judge {}", property.word());
            return Err(wrong(message, "choose one that does, or a rule set of your own".into()));
        }
        if !set.fits(self.system) {
            let system = match set.system {
                System::Customary => "US customary",
                System::Si => "SI",
            };
            let message = format!("the rule set '{id}' is in {system} units, and the contract is not");
            let remedy = "choose one in the contract's units; nothing is converted between the systems";
            return Err(wrong(message, remedy.into()));
        }
        if let Some(word) = self.without_limits(set) {
            let message = format!("the rule set '{id}' takes its limits from the contract, which states none");
            return Err(wrong(message, format!("write '{word}' under [fresh], as the contract has it")));
        }
        Ok(set)
    }

    /// The key of `[fresh]` that a rule set needs and that states no limit on a side it judges.
    fn without_limits(&self, set: &RuleSet) -> Option<&'static str> {
        let Shape::Band(rule) = &set.shape else { return None };
        let (word, (lowest, highest)) = match set.property {
            Property::Slump => ("slump", &self.fresh.slump),
            Property::WaterCement => ("water_cement", &self.fresh.water_cement),
            _ => ("air", &self.fresh.air),
        };
        let judged = (rule.below.is_some() && lowest.is_some()) || (rule.above.is_some() && highest.is_some());
        (rule.limits == BandLimits::Contract && !judged).then_some(word)
    }

    /// What is wrong where the contract chooses a rule set that combines properties.
    fn combined(&self, chosen: &[&RuleSet]) -> Vec<Finding> {
        let combining = chosen.iter().find_map(|set| match &set.shape {
            Shape::Combined(rule) => Some((*set, rule)),
            _ => None,
        });
        let Some((set, rule)) = combining else { return Vec::new() };
        let line = self.rules.get(&set.property).map_or(1, |&(_, line)| line);
        let judging = |property: Property| chosen.iter().find(|other| other.property == property);
        let members = rule.of.iter().filter_map(|&property| {
            let word = property.word();
            let (message, remedy) = match judging(property) {
                None => (
                    format!("the rule set '{}' combines {word}, but no rule set for {word} is chosen", set.id),
                    format!("choose one under [rules], or a rule set that combines without {word}"),
                ),
                Some(other) => (
                    format!(
                        "the rule set '{}' combines {word}, but '{}' {}",
                        set.id,
                        other.id,
                        other.cannot_combine()?
                    ),
                    "choose one that pays a percent of the unit price, or let the item be adjusted by each property"
                        .into(),
                ),
            };
            Some(wrong(line, message, remedy))
        });
        members.chain(self.items.iter().filter_map(|item| twice(item, &rule.of))).collect()
    }
}

/// An item that is adjusted by what is combined and by a part of it.
fn twice(item: &Item, of: &[Property]) -> Option<Finding> {
    if !item.adjusted_by.contains(&Property::Combined) {
        return None;
    }
    let twice: Vec<&str> = item.adjusted_by.iter().filter(|p| of.contains(p)).map(|p| p.word()).collect();
    let first = twice.first()?;
    let message = format!(
        "item {} is adjusted by combined pay and by {} beside it, which is a part of it and would be counted twice",
        item.number,
        twice.join(" and ")
    );
    Some(wrong(item.line, message, format!("take \"{first}\" out of its 'adjusted_by', or \"combined\"")))
}

fn wrong(line: u32, message: String, remedy: String) -> Finding {
    let place = Place::Line { file: FILE.to_string(), line, column: 1 };
    Finding::new(Code::ContractInvalid, place, message, remedy)
}

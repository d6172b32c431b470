//! The rule sets a contract chooses, found in the catalogue and checked to fit.

use super::load::FILE;
use super::model::Contract;
use crate::finding::{Code, Finding, Place};
use crate::keyed::nearest;
use crate::rules::{Property, RuleSet};
use crate::units::System;

impl Contract {
    /// The rule sets chosen, out of those there are, in the order in which properties are judged.
    ///
    /// # Errors
    /// One finding for each choice that is not there, judges another property, or is in the other unit system.
    pub fn chosen<'r>(&self, catalogue: &'r [RuleSet]) -> Result<Vec<&'r RuleSet>, Vec<Finding>> {
        let mut findings = Vec::new();
        let chosen = self.rules.iter().filter_map(|(&property, choice)| {
            self.choose(choice, property, catalogue).map_err(|finding| findings.push(finding)).ok()
        });
        let chosen: Vec<&RuleSet> = chosen.collect();
        if findings.is_empty() { Ok(chosen) } else { Err(findings) }
    }

    fn choose<'r>(
        &self,
        (id, line): &(String, u32),
        property: Property,
        catalogue: &'r [RuleSet],
    ) -> Result<&'r RuleSet, Finding> {
        let wrong = |message: String, remedy: String| {
            let place = Place::Line { file: FILE.to_string(), line: *line, column: 1 };
            Finding::new(Code::ContractInvalid, place, message, remedy)
        };
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
        if set.system != self.system {
            let system = match set.system {
                System::Customary => "US customary",
                System::Si => "SI",
            };
            let message = format!("the rule set '{id}' is in {system} units, and the contract is not");
            let remedy = "choose one in the contract's units; nothing is converted between the systems";
            return Err(wrong(message, remedy.into()));
        }
        Ok(set)
    }
}

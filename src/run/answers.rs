//! Answers to single questions: where does a figure come from, what does a rule set say, what may a file hold?

use std::path::Path;

use super::{Computed, Stop};
use crate::contract;
use crate::figure::{TraceNode, trace};
use crate::finding::{Code, Finding, Place};
use crate::intake;
use crate::render;
use crate::rules::{self, RuleSet};

impl Computed {
    /// A figure by its key, or by a part of it that only one key has, as a tree down to the cells.
    ///
    /// # Errors
    /// Where no figure, or more than one, has it.
    pub fn trace(&self, wanted: &str) -> Result<TraceNode, Stop> {
        let near: Vec<&str> = self.book.keys().filter(|key| key.contains(wanted)).collect();
        let only = if near.len() == 1 { near.first().and_then(|key| self.book.by_key(key)) } else { None };
        match self.book.by_key(wanted).or(only) {
            Some(id) => Ok(trace(&self.book, id)),
            None => Err(no_figure(wanted, &near)),
        }
    }
}

/// The rule sets of the program, with those of a contract folder in front where one is named.
///
/// # Errors
/// Every mistake of the folder's own rule sets.
pub fn rule_sets(root: Option<&Path>) -> Result<(Vec<RuleSet>, Vec<Finding>), Stop> {
    let own = match root {
        Some(root) => intake::texts(root, "rules", &["toml"])?,
        None => Vec::new(),
    };
    let (catalogue, found) = rules::catalogue(&own);
    let (refused, notes): (Vec<_>, Vec<_>) = found.into_iter().partition(|f| f.code == Code::RuleInvalid);
    if refused.is_empty() { Ok((catalogue, notes)) } else { Err(refused.into()) }
}

/// One rule set in plain words, or all of them in a list.
///
/// # Errors
/// Where there is no such rule set, or the folder's own cannot be read.
pub fn explain_rules(root: Option<&Path>, id: Option<&str>) -> Result<String, Stop> {
    let (catalogue, _) = rule_sets(root)?;
    let Some(id) = id else {
        return Ok(rules::list(&catalogue));
    };
    match catalogue.iter().find(|r| r.id == id) {
        Some(rule) => Ok(rules::explain(rule)),
        None => Err(Finding::new(
            Code::RuleInvalid,
            Place::Named(id.into()),
            "no rule set has this id",
            format!("there are {}", ids(&catalogue)),
        )
        .into()),
    }
}

/// The JSON Schema of `contract.toml`.
#[must_use]
pub fn contract_schema() -> serde_json::Value {
    contract::schema()
}

/// The JSON Schema of `result.json`.
#[must_use]
pub fn result_schema() -> serde_json::Value {
    render::result_schema()
}

fn ids(catalogue: &[RuleSet]) -> String {
    catalogue.iter().map(|r| r.id.as_str()).collect::<Vec<_>>().join(", ")
}

/// How many near keys are named.
const NEAR: usize = 20;

fn no_figure(wanted: &str, near: &[&str]) -> Stop {
    let remedy = if near.is_empty() {
        "keys stand beside every calculation, in column A of the workbook's Calculations sheet and in result.json"
            .into()
    } else {
        format!("these keys have it in them: {}", near[..near.len().min(NEAR)].join(", "))
    };
    Finding::new(Code::FigureUnknown, Place::Named(wanted.into()), "no figure has this key, or several do", remedy)
        .into()
}

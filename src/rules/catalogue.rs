//! The rule sets a contract can choose from: those shipped, and those of its own folder.

use std::collections::BTreeMap;

use super::load::load;
use super::model::RuleSet;
use crate::finding::{Code, Finding, Place};

/// The rule sets shipped with the program: file name and text.
#[must_use]
pub fn shipped() -> &'static [(&'static str, &'static str)] {
    &[
        ("aci-318-19-strength.toml", include_str!("sets/aci-318-19-strength.toml")),
        ("caltrans-40-deduction.toml", include_str!("sets/caltrans-40-deduction.toml")),
        ("coppell-2006-density.toml", include_str!("sets/coppell-2006-density.toml")),
        ("example-air-band-si.toml", include_str!("sets/example-air-band-si.toml")),
        ("example-construction-si.toml", include_str!("sets/example-construction-si.toml")),
        ("example-construction.toml", include_str!("sets/example-construction.toml")),
        ("example-curve-by-tests.toml", include_str!("sets/example-curve-by-tests.toml")),
        ("example-index.toml", include_str!("sets/example-index.toml")),
        ("example-linear-pay.toml", include_str!("sets/example-linear-pay.toml")),
        ("example-product.toml", include_str!("sets/example-product.toml")),
        ("example-stepped-average-si.toml", include_str!("sets/example-stepped-average-si.toml")),
        ("example-stepped-average.toml", include_str!("sets/example-stepped-average.toml")),
        ("example-stepped-section.toml", include_str!("sets/example-stepped-section.toml")),
        ("example-straightedge-percent.toml", include_str!("sets/example-straightedge-percent.toml")),
        ("example-tenth-mile-incentive.toml", include_str!("sets/example-tenth-mile-incentive.toml")),
        ("example-two-rule-strength-si.toml", include_str!("sets/example-two-rule-strength-si.toml")),
        ("example-two-rule-strength.toml", include_str!("sets/example-two-rule-strength.toml")),
        ("example-weighted.toml", include_str!("sets/example-weighted.toml")),
        ("example-within-two-limits.toml", include_str!("sets/example-within-two-limits.toml")),
        ("faa-p501-combination.toml", include_str!("sets/faa-p501-combination.toml")),
        ("faa-p501-strength.toml", include_str!("sets/faa-p501-strength.toml")),
        ("faa-p501-thickness.toml", include_str!("sets/faa-p501-thickness.toml")),
        ("fhwa-1969-average.toml", include_str!("sets/fhwa-1969-average.toml")),
        ("illinois-420-percent.toml", include_str!("sets/illinois-420-percent.toml")),
        ("iowa-2-34-air.toml", include_str!("sets/iowa-2-34-air.toml")),
        ("iowa-2-34-slump.toml", include_str!("sets/iowa-2-34-slump.toml")),
        ("iowa-2-34-water-cement.toml", include_str!("sets/iowa-2-34-water-cement.toml")),
        ("maine-401-ride-si.toml", include_str!("sets/maine-401-ride-si.toml")),
        ("maine-401-ride.toml", include_str!("sets/maine-401-ride.toml")),
        ("ohio-451-construction.toml", include_str!("sets/ohio-451-construction.toml")),
        ("ohio-451-ratio.toml", include_str!("sets/ohio-451-ratio.toml")),
        ("palm-shores-zone.toml", include_str!("sets/palm-shores-zone.toml")),
        ("texas-360-average.toml", include_str!("sets/texas-360-average.toml")),
        ("ufgs-02753-lowest.toml", include_str!("sets/ufgs-02753-lowest.toml")),
        ("ufgs-02753-smoothness.toml", include_str!("sets/ufgs-02753-smoothness.toml")),
        ("ufgs-02753-straightedge.toml", include_str!("sets/ufgs-02753-straightedge.toml")),
        ("ufgs-32-13-11-average.toml", include_str!("sets/ufgs-32-13-11-average.toml")),
        ("wisconsin-415-average.toml", include_str!("sets/wisconsin-415-average.toml")),
        ("wsdot-5-05-construction.toml", include_str!("sets/wsdot-5-05-construction.toml")),
        ("wsdot-5-05-strength.toml", include_str!("sets/wsdot-5-05-strength.toml")),
        ("wsdot-5-05-volume.toml", include_str!("sets/wsdot-5-05-volume.toml")),
        ("wsdot-6-02-strength.toml", include_str!("sets/wsdot-6-02-strength.toml")),
    ]
}

/// All rule sets by id, the contract folder's own (file name and text) among them, and what was wrong or is worth
/// knowing. A rule set of the folder stands in place of a shipped one of the same id; two files of the folder with the
/// same id are a mistake, and the first by name counts.
#[must_use]
pub fn catalogue(own: &[(String, String)]) -> (Vec<RuleSet>, Vec<Finding>) {
    let mut sets: BTreeMap<String, (RuleSet, Option<String>)> = BTreeMap::new();
    let mut findings = Vec::new();
    for (file, text) in shipped() {
        match load(file, text) {
            Ok(set) => _ = sets.insert(set.id.clone(), (set, None)),
            Err(mistakes) => findings.extend(mistakes),
        }
    }
    let mut own: Vec<&(String, String)> = own.iter().collect();
    own.sort();
    for (file, text) in own {
        match load(file, text) {
            Ok(set) => add(&mut sets, &mut findings, file, set),
            Err(mistakes) => findings.extend(mistakes),
        }
    }
    (sets.into_values().map(|(set, _)| set).collect(), findings)
}

fn add(sets: &mut BTreeMap<String, (RuleSet, Option<String>)>, findings: &mut Vec<Finding>, file: &str, set: RuleSet) {
    let at = Place::File(file.to_string());
    match sets.get(&set.id) {
        Some((_, Some(other))) => {
            let message = format!("the rule set '{}' is also in {other}", set.id);
            let finding = Finding::new(Code::RuleInvalid, at, message, "give each rule set of the folder its own id");
            findings.push(finding.with([Place::File(other.clone())]));
        }
        before => {
            if before.is_some() {
                let message = format!("the rule set '{}' of this folder stands in place of the shipped one", set.id);
                findings.push(Finding::new(
                    Code::RuleReplaced,
                    at,
                    message,
                    "give it an id of its own if both are wanted",
                ));
            }
            sets.insert(set.id.clone(), (set, Some(file.to_string())));
        }
    }
}

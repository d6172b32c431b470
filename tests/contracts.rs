//! Every rule set that is shipped, at work on one contract with records of every kind: each number it shows has its path, and
//! a second evaluator computes every figure again.
//!
//! `tests/contracts/apron` is invented. Its contract is taken once for each rule set in its units, which is chosen there for
//! its property in place of the usual one. `SLABTALLY_KEEP=DIR` keeps the contracts, for a spreadsheet program to recalculate.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use slabtally::accept::Verdict;
use slabtally::intake::RideIndex;
use slabtally::rules::{Property, RuleSet, Shape, catalogue};
use slabtally::run;
use slabtally::units::System;
use tempfile::TempDir;

use crate::paths::walk_folder;

const APRON: &str = "tests/contracts/apron";

/// The rule sets that judge where another one is tried.
const USUAL: [(Property, &str); 7] = [
    (Property::Thickness, "example-stepped-average"),
    (Property::Strength, "example-two-rule-strength"),
    (Property::Air, "iowa-2-34-air"),
    (Property::Slump, "iowa-2-34-slump"),
    (Property::WaterCement, "iowa-2-34-water-cement"),
    (Property::Smoothness, "maine-401-ride"),
    (Property::Straightedge, "example-straightedge-percent"),
];

/// The contract's own rule sets, for shapes that no shipped one has together.
fn own() -> Vec<(String, String)> {
    let files = fs::read_dir(Path::new(APRON).join("rules")).unwrap().map(|entry| entry.unwrap().path());
    let named = |path: PathBuf| format!("rules/{}", path.file_name().unwrap().display());
    files.map(|path| (named(path.clone()), fs::read_to_string(&path).unwrap())).collect()
}

/// The contract with a rule set chosen for its property, and what adjusts its first item.
fn with(set: &RuleSet, to: &Path) {
    for (file, text) in own() {
        fs::create_dir_all(to.join("rules")).unwrap();
        fs::write(to.join(file), text).unwrap();
    }
    fs::create_dir_all(to.join("field")).unwrap();
    for entry in fs::read_dir(Path::new(APRON).join("field")).unwrap() {
        let path = entry.unwrap().path();
        let text = fs::read_to_string(&path).unwrap();
        // The segments were run for a roughness index; a rule on a profile index needs them under that name.
        let by_profile = matches!(&set.shape, Shape::Ride(rule) if rule.index == RideIndex::Profile);
        let text = if by_profile { text.replace("IRI", "PI") } else { text };
        fs::write(to.join("field").join(path.file_name().unwrap()), text).unwrap();
    }
    let mut chosen: BTreeMap<Property, &str> = USUAL.into_iter().collect();
    chosen.insert(set.property, &set.id);
    // What is combined needs a place on the ground, which a load has none of.
    if matches!(&set.shape, Shape::Combined(rule) if rule.of.contains(&Property::Air)) {
        chosen.insert(Property::Air, "apron-air");
    }
    let adjusted = match &set.shape {
        Shape::Combined(_) => "\"combined\"".to_string(),
        _ => chosen.keys().map(|property| format!("\"{}\"", property.word())).collect::<Vec<_>>().join(", "),
    };
    let rules: Vec<String> = chosen.iter().map(|(property, id)| format!("{} = \"{id}\"\n", property.word())).collect();
    let text = fs::read_to_string(Path::new(APRON).join("contract.toml")).unwrap();
    let usual = "thickness = \"example-stepped-average\"\nstrength = \"example-two-rule-strength\"\n";
    let text = text.replace(usual, &rules.concat()).replace("\"thickness\", \"strength\"", &adjusted);
    fs::write(to.join("contract.toml"), text).unwrap();
}

#[test]
fn every_rule_set_shipped_shows_only_numbers_with_a_path() {
    let keep = std::env::var_os("SLABTALLY_KEEP").map(PathBuf::from);
    let (sets, found) = catalogue(&own());
    assert!(found.is_empty(), "{found:?}");
    let mut adjusted = 0;
    for set in sets.iter().filter(|set| set.system == System::Customary) {
        let dir = TempDir::new().unwrap();
        // The contract of every usual rule set is the same one; it is kept once.
        let once = set.property == Property::Thickness || USUAL.iter().all(|(_, id)| *id != set.id);
        let keep = keep.as_ref().filter(|_| once);
        let at = keep.map_or_else(|| dir.path().to_path_buf(), |keep| keep.join(&set.id));
        with(set, &at);
        let shown = walk_folder(&at);
        assert!(shown > 300, "{}: only {shown} numbers are shown", set.id);
        let computed = run::compute(&at, None, &|_, _| ()).unwrap_or_else(|stop| panic!("{}: {stop:?}", set.id));
        let own: Vec<_> = computed.judged.outcomes.iter().filter(|o| o.property == set.property).collect();
        assert!(own.iter().any(|o| o.verdict != Verdict::NotTested), "{} judges nothing", set.id);
        adjusted += own.iter().map(|o| o.adjustments.len()).sum::<usize>();
    }
    assert!(adjusted > 20, "only {adjusted} adjustments");
}

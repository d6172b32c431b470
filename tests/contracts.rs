//! Every rule set that is shipped, at work on one contract with records of every kind: each number it shows has its path, and
//! a second evaluator computes every figure again.
//!
//! `tests/contracts/apron` (US customary) and `basin` (SI) are invented. Such a contract is taken once for each rule set in
//! its units, which is chosen there for its property in place of the usual one. `SLABTALLY_KEEP=DIR` keeps the contracts, for
//! a spreadsheet program to recalculate.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use rust_decimal::{Decimal, dec};
use slabtally::accept::Verdict;
use slabtally::dossier::{Block, State};
use slabtally::intake::RideIndex;
use slabtally::rules::{Property, RuleSet, Shape, catalogue};
use slabtally::run::{self, Computed};
use slabtally::units::System;
use tempfile::TempDir;

use crate::paths::walk_folder;

/// A contract of every kind of record.
struct Sample {
    folder: &'static str,
    system: System,
    /// The rule sets that judge where another one is tried.
    usual: &'static [(Property, &'static str)],
    /// The rule sets judged beside one that combines properties: percents above 100 among them.
    combined: &'static [(Property, &'static str)],
}

const APRON: Sample = Sample {
    folder: "tests/contracts/apron",
    system: System::Customary,
    usual: &[
        (Property::Thickness, "example-stepped-average"),
        (Property::Strength, "example-two-rule-strength"),
        (Property::Air, "iowa-2-34-air"),
        (Property::Slump, "iowa-2-34-slump"),
        (Property::WaterCement, "iowa-2-34-water-cement"),
        (Property::Smoothness, "maine-401-ride"),
        (Property::Straightedge, "example-straightedge-percent"),
    ],
    // What is combined needs a place on the ground, which the load of the usual rule for air has none of.
    combined: &[
        (Property::Thickness, "apron-within"),
        (Property::Strength, "apron-strength"),
        (Property::Air, "apron-air"),
    ],
};

const BASIN: Sample = Sample {
    folder: "tests/contracts/basin",
    system: System::Si,
    usual: &[
        (Property::Thickness, "example-stepped-average-si"),
        (Property::Strength, "example-two-rule-strength-si"),
        (Property::Air, "example-air-band-si"),
        (Property::Smoothness, "maine-401-ride-si"),
    ],
    combined: &[(Property::Thickness, "basin-nearest")],
};

/// A contract's own rule sets, for shapes that no shipped one has together.
fn own(sample: &Sample) -> Vec<(String, String)> {
    let files = fs::read_dir(Path::new(sample.folder).join("rules")).unwrap().map(|entry| entry.unwrap().path());
    let named = |path: PathBuf| format!("rules/{}", path.file_name().unwrap().display());
    files.map(|path| (named(path.clone()), fs::read_to_string(&path).unwrap())).collect()
}

/// The contract with a rule set chosen for its property, and what adjusts its first item.
fn with(sample: &Sample, set: &RuleSet, to: &Path) {
    for (file, text) in own(sample) {
        fs::create_dir_all(to.join("rules")).unwrap();
        fs::write(to.join(file), text).unwrap();
    }
    fs::create_dir_all(to.join("field")).unwrap();
    for entry in fs::read_dir(Path::new(sample.folder).join("field")).unwrap() {
        let path = entry.unwrap().path();
        let text = fs::read_to_string(&path).unwrap();
        // The segments were run for a roughness index; a rule on a profile index needs them under that name.
        let by_profile = matches!(&set.shape, Shape::Ride(rule) if rule.index == RideIndex::Profile);
        let text = if by_profile { text.replace("IRI", "PI") } else { text };
        fs::write(to.join("field").join(path.file_name().unwrap()), text).unwrap();
    }
    let combines = match &set.shape {
        Shape::Combined(rule) => rule.of.clone(),
        _ => Vec::new(),
    };
    let mut chosen: BTreeMap<Property, &str> = sample.usual.iter().copied().collect();
    let beside = |(property, _): &&(Property, &str)| *property != Property::Air || combines.contains(property);
    chosen.extend(sample.combined.iter().filter(|_| !combines.is_empty()).filter(beside).copied());
    chosen.insert(set.property, &set.id);
    let adjusted: Vec<String> = chosen
        .keys()
        .filter(|p| !combines.contains(p) && **p != Property::Construction)
        .map(|p| format!("\"{}\"", p.word()))
        .collect();
    let rules: Vec<String> = chosen.iter().map(|(property, id)| format!("{} = \"{id}\"\n", property.word())).collect();
    let text = fs::read_to_string(Path::new(sample.folder).join("contract.toml")).unwrap();
    let [thickness, strength] = [0, 1].map(|i| sample.usual[i].1);
    let usual = format!("thickness = \"{thickness}\"\nstrength = \"{strength}\"\n");
    assert!(text.contains(&usual), "{}: its rules are found", sample.folder);
    let text = text.replace(&usual, &rules.concat()).replace("\"thickness\", \"strength\"", &adjusted.join(", "));
    // Only some rules leave a choice of thick cores, or pay by the volume measured.
    let thickness = if let Shape::Thickness(rule) = &set.shape { Some(rule) } else { None };
    let choice = "\n[choices]\ndrop_thick_cores = [\"all\"]\n";
    assert!(text.contains(choice), "{}: its choice is found", sample.folder);
    let text = if thickness.is_some_and(|rule| rule.thick_option.is_some()) { text } else { text.replace(choice, "") };
    let by_volume = "measured = \"placed volume\"\n";
    let text = if thickness.is_some_and(|rule| rule.volume_credit.is_some()) {
        text.replace(by_volume, &format!("{by_volume}adjusted_by = [\"thickness\"]\n"))
    } else {
        text
    };
    fs::write(to.join("contract.toml"), text).unwrap();
}

/// Walks the contract under every rule set in its units; adjustments by those tried.
fn walk_all(sample: &Sample) -> usize {
    let keep = std::env::var_os("SLABTALLY_KEEP").map(PathBuf::from);
    let (sets, found) = catalogue(&own(sample));
    assert!(found.is_empty(), "{found:?}");
    let mut adjusted = 0;
    for set in sets.iter().filter(|set| set.fits(sample.system)) {
        let dir = TempDir::new().unwrap();
        // The contract of every usual rule set is the same one; it is kept once.
        let once = set.property == Property::Thickness || sample.usual.iter().all(|(_, id)| *id != set.id);
        let name = format!("{}-{}", Path::new(sample.folder).file_name().unwrap().display(), set.id);
        let keep = keep.as_ref().filter(|_| once);
        let at = keep.map_or_else(|| dir.path().to_path_buf(), |keep| keep.join(name));
        with(sample, set, &at);
        let shown = walk_folder(&at);
        assert!(shown > 300, "{}: only {shown} numbers are shown", set.id);
        let computed = run::compute(&at, None, &|_, _| ()).unwrap_or_else(|stop| panic!("{}: {stop:?}", set.id));
        let own: Vec<_> = computed.judged.outcomes.iter().filter(|o| o.property == set.property).collect();
        let steps = &computed.works;
        let looked_at = |c: &slabtally::works::Check| c.finds != slabtally::works::Finds::NotJudged;
        let judges = own.iter().any(|o| o.verdict != Verdict::NotTested)
            || set.property == Property::Construction
                && (steps.checks.iter().any(looked_at) || !steps.openings.is_empty());
        assert!(judges, "{} judges nothing", set.id);
        adjusted += own.iter().map(|o| o.adjustments.len()).sum::<usize>();
    }
    adjusted
}

#[test]
fn every_rule_set_in_customary_units_shows_only_numbers_with_a_path() {
    let adjusted = walk_all(&APRON);
    assert!(adjusted > 20, "only {adjusted} adjustments");
}

#[test]
fn every_rule_set_in_si_units_shows_only_numbers_with_a_path() {
    let adjusted = walk_all(&BASIN);
    assert!(adjusted > 20, "only {adjusted} adjustments");
}

/// The apron with one rule set tried, computed.
fn computed(sample: &Sample, id: &str) -> Computed {
    let (sets, _) = catalogue(&own(sample));
    let set = sets.iter().find(|set| set.id == id).expect("the rule set is there");
    let dir = TempDir::new().unwrap();
    with(sample, set, dir.path());
    run::compute(dir.path(), None, &|_, _| ()).unwrap_or_else(|stop| panic!("{id}: {stop:?}"))
}

fn value(computed: &Computed, key: &str) -> Decimal {
    let id = computed.book.by_key(key).unwrap_or_else(|| panic!("there is no {key}"));
    computed.book[id].value.decimal().expect("a number")
}

#[test]
fn combined_fresh_and_ride_adjustments_foot_with_the_estimate() {
    let done = computed(&APRON, "faa-p501-combination");
    let amount = |property: &str, name: &str| value(&done, &format!("item-1.{property}.{name}"));
    // Item 1: 7,999.98 yd2 at 60.00; item 2: 2,222.22 yd3 at 150.00.
    let earned = dec!(479998.80) + dec!(333333.00);
    // By hand, first lot: strength 104.0 and thickness 106.00 are both full, so the higher pays: (1.06 - 1) x 2,666.66 yd2 x
    // 60.00 = 9,599.976. Second day, outside the thin section: strength 88.0, thickness 106.00, so their product pays:
    // 0.88 x 1.06 = 0.9328; (0.9328 - 1) x 2,325.34 x 60.00 = -9,375.77. The section itself: the lower of 88.0 and 50:
    // (0.50 - 1) x 341.34 x 60.00 = -10,240.20.
    assert_eq!(amount("combined", "combined-strength-apron-tests-lot-1"), dec!(9599.98));
    assert_eq!(amount("combined", "combined-apron-2031-06-03"), dec!(-9375.77));
    // Air of load 140: 75 percent of its share, 2,666.66 x 18.9 / 756.0 = 66.67 yd2: (0.75 - 1) x 66.67 x 60.00 = -1,000.05.
    assert_eq!(amount("air", "air-content-load-140-of-2031-06-03"), dec!(-1000.05));
    // Ride of lane L1: five segments of 528 ft and one of 360 ft: (528 x 304.75 + 360 x 68.5) / 3,000 = 61.856 in/mi, between 60
    // (100) and 80 (75): 100 - 1.856 x 25 / 20 = 97.68; (0.9768 - 1) x 3,999.99 x 60.00 = -5,567.99.
    assert_eq!(amount("smoothness", "ride-apron-l1-lot-1"), dec!(-5567.99));
    // Nothing else: what is earned and every line of the adjustments are the due.
    let lines: Decimal = done.estimate.adjustments.iter().map(|l| done.book[l.amount].value.decimal().unwrap()).sum();
    assert_eq!(done.estimate.adjustments.len(), 16);
    assert_eq!(value(&done, "adjustments.to-date"), lines);
    assert_eq!(value(&done, "earned.to-date"), earned + lines);
}

#[test]
fn a_lot_better_than_full_pay_is_drawn_as_sound() {
    let done = computed(&APRON, "apron-within");
    assert!(done.judged.outcomes.iter().any(|o| o.property == Property::Thickness && o.verdict == Verdict::Raised));
    let blocks: Vec<Block> = done.dossier().pages.into_iter().flat_map(|page| page.blocks).collect();
    let drawn: Vec<State> = blocks
        .iter()
        .filter_map(|block| if let Block::Strip(strip) = block { Some(strip) } else { None })
        .flat_map(|strip| strip.lanes.iter().flat_map(|lane| lane.pieces.iter().map(|piece| piece.state)))
        .collect();
    assert!(drawn.contains(&State::Sound) && !drawn.contains(&State::NotTested), "{drawn:?}");
}

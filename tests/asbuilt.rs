//! The sample contract's planted faults of the steps: each is found where it was planted, and nothing else is accused. Beside it,
//! what a reader asks at the terminal, and what waits for proof.

use std::path::Path;
use std::process::Command;

use slabtally::finding::Code;
use slabtally::run::{self, Computed};
use slabtally::works::Stands;

const SAMPLE: &str = "sample-inputs/harrow-road";

fn computed() -> Computed {
    run::compute(Path::new(SAMPLE), None, &|_, _| ()).unwrap_or_else(|stop| panic!("{stop:?}"))
}

/// What `sample-inputs/make/harrow_road/steps.py` planted: code, and the words that name its place.
const PLANTED: [(Code, &str); 12] = [
    (Code::DensityOutside, "test SD-210 at SB-2 88+05"),
    (Code::DensityTurns, "test BD-116"),
    (Code::DepthOutside, "SB-1, SB-2, 42+70 to 46+00: 3.2 in deep"),
    (Code::BarOutside, "2 dowels of lane SB-1"),
    (Code::SawLate, "placement P-22"),
    (Code::SawShallow, "SB-1, SB-2, 36+70 to 40+00: 2.6 in deep"),
    (Code::CureThin, "NB-S, 75+15 to 83+10"),
    (Code::EvaporationHigh, "0.23 lb/ft2/h on 2031-07-10 14:00"),
    (Code::CoveredUntested, "NB-S, 58+60 to 61+60, accepted on 2031-06-25"),
    (Code::StepMissing, "NB-S, 10+00 to 18+05"),
    (Code::MaturityGap, "logger SB-2/3 has no readings for 7 h after 2031-06-18 15:00"),
    (Code::OpenedEarly, "placement P-20, placed 2031-06-06, was opened on 2031-06-09, 3 days old"),
];

/// Codes of the steps that nothing in the sample deserves.
const NEVER: [Code; 15] = [
    Code::MoistureOutside,
    Code::DensityImpossible,
    Code::DensityPrinted,
    Code::CompactionMissing,
    Code::RetestUnknown,
    Code::LevelOutside,
    Code::BasketsShort,
    Code::JointSpacing,
    Code::CureLate,
    Code::TemperatureOutside,
    Code::EvaporationPrinted,
    Code::StepOutOfOrder,
    Code::ProofMissing,
    Code::MaturityUnplaced,
    Code::MaturityCurve,
];

#[test]
fn every_planted_fault_of_the_steps_is_found_in_its_place_and_nothing_else_is_accused() {
    let computed = computed();
    for (code, words) in PLANTED {
        let own: Vec<&str> = computed.findings.iter().filter(|f| f.code == code).map(|f| f.message.as_str()).collect();
        assert!(matches!(own.as_slice(), [only] if only.contains(words)), "{code}: {own:?}");
    }
    let accused: Vec<&str> =
        computed.findings.iter().filter(|f| NEVER.contains(&f.code)).map(|f| f.message.as_str()).collect();
    assert!(accused.is_empty(), "{accused:#?}");
}

/// The base of NB-2 between 60+17.9 and 70+17.9 has one test, and that turns on its last digit: 1,000 ft of 12 ft wait.
#[test]
fn ground_whose_proof_is_open_is_held_until_somebody_looks() {
    let computed = computed();
    let [line] = computed.estimate.held_lines.iter().filter(|l| !l.previous).collect::<Vec<_>>()[..] else {
        panic!("{:?}", computed.estimate.held_lines)
    };
    let value = |id: slabtally::figure::FigureId| computed.book[id].value.decimal().unwrap().to_string();
    assert_eq!(line.stands, Stands::Failed);
    // Geometry: 1,000 ft x 12 ft / 9 = 1,333.33 yd2, in three placements of which each is rounded by itself; at $61.50.
    assert_eq!((value(line.quantity), value(line.amount)), ("1333.34".into(), "-82000.41".into()));
    let held = computed.estimate.settlement.line("held").unwrap();
    assert_eq!(value(held.to_date), "-82000.41");
    assert_eq!(value(held.this), "0.00", "it was held before too");
}

#[test]
fn every_retest_of_the_sample_settles_its_test() {
    let computed = computed();
    let settled: Vec<&str> = computed
        .works
        .densities
        .iter()
        .filter(|d| d.finds == slabtally::works::Finds::Settled)
        .map(|d| &*computed.intake.records.densities[d.density].number.value)
        .collect();
    assert_eq!(settled, ["SD-109", "SD-212", "BD-222"]);
}

fn told(arguments: &[&str]) -> (bool, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_slabtally")).args(arguments).output().unwrap();
    let text = if output.status.success() { output.stdout } else { output.stderr };
    (output.status.success(), String::from_utf8(text).unwrap())
}

#[test]
fn all_that_is_known_at_a_place_is_told_in_order_of_time() {
    let (done, text) = told(&["at", SAMPLE, "88+05", "SB-2"]);
    assert!(done, "{text}");
    assert!(text.contains("SB-2 at 88+05, SB mainline, design 9.5 in"), "{text}");
    let days: Vec<&str> =
        text.lines().filter_map(|l| l.strip_prefix("  20")).map(|l| &l[..8]).filter(|d| d.contains('-')).collect();
    assert!(days.len() >= 8 && days.is_sorted(), "{days:?}");
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in {text}"));
    assert!(at("grade compacted") < at("density of the subgrade SD-210: fails, 93.1 %"));
    assert!(at("SD-210: fails") < at("base placed") && at("base placed") < at("placement P-21, mix"));
    assert!(at("placement P-21, mix") < at("cured") && at("cured") < at("joints sawn"));
}

#[test]
fn a_place_that_is_not_on_the_road_is_refused_with_where_the_road_runs() {
    let (done, text) = told(&["at", SAMPLE, "200+00"]);
    assert!(!done && text.contains("alignments run NB from 10+00 to 115+80"), "{text}");
    let (done, text) = told(&["at", SAMPLE, "58+40", "NB-1"]);
    assert!(!done && text.contains("58+40"), "between the back and the ahead of an equation there is no road: {text}");
    let (done, text) = told(&["at", SAMPLE, "20+00", "WB"]);
    assert!(!done && text.contains("its lanes are NB-1, NB-2, NB-S, SB-1, SB-2, SB-S"), "{text}");
}

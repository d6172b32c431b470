//! A plan is the rule of the figures, and what is said of its luck is true: held against `accept`, against exact forms,
//! against drawn lots, and against another program.
//!
//! Sources: TRB Circular E-C074 (percent within limits, its estimate unbiased); FHWA-HRT-12-027, appendix B (PA = 0.004 PWL -
//! 0.360). The other tables are made for the tests.

use proptest::prelude::*;
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, dec};

use super::prospect::{Population, drawn, exact};
use super::*;
use crate::accept::fixture::run;
use crate::intake::{Core, Records, Specimen};
use crate::line::fixture::{self, NB_1, NB_2};
use crate::rules::{RuleSet, load};
use crate::statistics::normal_at;
use crate::units::Unit;

const LOT_1: &str = "NB mainline, NB-1 lot 1";
const STATIONS: [&str; 6] = ["11+00", "12+00", "14+00", "15+00", "17+00", "18+00"];

/// A thickness rule of three cores or more, with these tables.
fn rule(cores: &str, average: &str, tables: &str) -> RuleSet {
    let text = format!(
        r#"
id = "ours"
title = "Ours"
property = "thickness"
status = "example"
citation = "example"
units = "US customary"
{tables}
[lot]
length = "1000 ft"
left_over = "half joins"
[cores]
per_lot = 3
round = "0.01 half up"
{cores}
[average]
judged = "lot"
{average}
tolerance = "0.20 in"
reach = "to the good core"
round = "0.01 half up"
"#
    );
    load("ours.toml", &text).unwrap_or_else(|mistakes| panic!("{mistakes:?}\n{text}"))
}

const STEPS: &str = r#"
[pay]
title = "table 1"
entered_in = "in"
pay_in = "percent"
ends = "both"
steps = [
    { from = 0.00, to = 0.20, pay = 100 }, { from = 0.21, to = 0.30, pay = 80 }, { from = 0.31, to = 0.40, pay = 72 },
    { from = 0.41, to = 1.00, pay = 50 }, { from = 1.01, pay = 0, decision = "the engineer decides" },
]
"#;

const INCHES: &str = "[deficiency]\nround = \"0.01 half up\"\n";

const PERCENTS: &str = r#"
[pay]
title = "table 2"
entered_in = "%"
pay_in = "percent"
ends = "upper"
least = "40 percent"
round = "0.1 half up"
points = [{ at = 30, pay = 40 }, { at = 60, pay = 85 }, { at = 90, pay = 100 }, { at = 100, pay = 105 }]
"#;

/// PA = 0.004 PWL - 0.360 on top of the full price.
const ADDITIVE: &str = r#"
[pay]
title = "adjustment, additive"
entered_in = "%"
pay_in = "percent"
ends = "lower"
steps = [{ plus = 64, times = 0.4 }]
"#;

const LINE: &str = r#"
[pay]
title = "line"
entered_in = "in"
pay_in = "percent"
ends = "upper"
points = [{ at = 0, pay = 100 }, { at = 1, pay = 0 }]
"#;

fn within(more: &str) -> String {
    format!("[within]\nlower = \"0.30 in\"\n{more}\n")
}

const PRINTED: &str = r#"table = [
    { tests = "3", percent = "100 99 95 90 80 70 60 50", index = "1.16 1.16 1.14 1.10 0.97 0.68 0.36 0.00" },
    { tests = "4-6", percent = "100 95 90 80 70 60 50", index = "1.50 1.35 1.20 0.90 0.60 0.30 0.00" },
]"#;

/// Every measure, every form of pay, every way to look up.
fn rules() -> Vec<RuleSet> {
    let capped = "thick_cap = \"0.20 in\"\nthin_exclusion = \"1.00 in\"";
    let lines = r#"
[pay]
title = "lines"
entered_in = "%"
pay_in = "percent"
ends = "lower"
most = "103 percent"
steps = [{ to = 5, pay = 100 }, { from = 5, to = 10, power = 2 }, { from = 10, to = 12, plus = 120, times = -3, most = 88 }, { from = 12, pay = 50, decision = "remove" }]
"#;
    let money = r#"
[pay]
title = "money"
entered_in = "in"
pay_in = "money per area"
ends = "lower"
steps = [{ to = 0.20, pay = 0 }, { from = 0.20, to = 0.50, pay = -1.25 }, { from = 0.50, pay = -4, decision = "remove" }]
"#;
    let curves = r#"
[pay]
title = "by tests"
entered_in = "each"
entered_with = "tests"
pay_in = "ratio"
ends = "both"
most = "105 percent"
least = "60 percent"
steps = [{ from = 0, to = 4, plus = 0.20, times = 1.60, squared = -0.75 }, { from = 5, plus = 0.15, times = 1.70, squared = -0.80 }]
"#;
    let index = r#"
[index]
spread = "0.01 half up"
round = "0.01 half up"
[pay]
title = "index"
entered_in = "in"
pay_in = "percent"
ends = "lower"
steps = [{ to = -0.50, pay = 60 }, { from = -0.50, to = -0.20, pay = 90 }, { from = -0.20, pay = 100 }]
"#;
    let formula = within("look_up = \"formula\"");
    let looked = |how: &str| within(&format!("look_up = \"{how}\"\nindex = \"0.01 half up\"\n{PRINTED}"));
    let both = within("upper = \"0.60 in\"\nspread = \"0.01 half up\"\nround = \"1 half up\"\nlook_up = \"formula\"");
    let upper = "[within]\nupper_percent = \"101 percent\"\nlook_up = \"formula\"\n";
    let in_percent = "[deficiency]\nas = \"percent\"\nround = \"0.1 half even\"\n";
    let mut rules = vec![
        rule(capped, "", &format!("{INCHES}{STEPS}")),
        rule("", "of = \"thinnest\"", &format!("{INCHES}{STEPS}")),
        rule("", "", &format!("{in_percent}{lines}")),
        rule(capped, "", &format!("compares = \"absolute\"\n{in_percent}{lines}")),
        rule("", "", &format!("{INCHES}{money}")),
        rule(capped, "", index),
        rule("", "", &format!("{formula}{PERCENTS}")),
        rule("", "", &format!("{formula}{curves}")),
        rule("", "", &format!("{formula}{ADDITIVE}")),
        rule(capped, "", &format!("{both}{PERCENTS}")),
        rule("", "", &format!("{upper}{PERCENTS}")),
    ];
    rules.extend(["up", "down", "nearest"].map(|how| rule("", "", &format!("{}{PERCENTS}", looked(how)))));
    // A straight line of a straight line: decimals are cut off on the way, and a tie of pay may go either way.
    let unrounded = PERCENTS.replace("round = \"0.1 half up\"\n", "");
    rules.push(rule("", "", &format!("{}{unrounded}", looked("between"))));
    rules
}

fn cores(lengths: &[Decimal]) -> Vec<Core> {
    let contract = fixture::contract();
    let core = |(i, (at, t)): (usize, (&&str, &Decimal))| fixture::core(&contract, &format!("C-{i}"), NB_1, at, &[*t]);
    STATIONS.iter().zip(lengths).enumerate().map(core).collect()
}

/// What the figures of a lot pay, and whether anything of it waits for a decision.
fn figured(set: &RuleSet, lengths: &[Decimal]) -> Option<(f64, bool)> {
    let contract = fixture::contract();
    let placement = fixture::placement(&contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", "40+00");
    let records = Records { placements: vec![placement], cores: cores(lengths), ..Records::default() };
    let run = run(&contract, Some(set), None, records, "2031-07-31");
    let lot = run.outcome(LOT_1);
    let waits = run.judged.outcomes.iter().any(|o| o.verdict == crate::accept::Verdict::Undecided);
    Some((run.book[lot.pay?].value.real()?, waits))
}

fn in_inches(set: &RuleSet) -> Plan {
    Plan::of(set, 10.0, Unit::Psi).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// The plan pays what the figures pay: every rule above, random cores to 0.01 in about a design thickness of 10 in.
    #[test]
    fn a_plan_is_the_rule_of_the_figures(
        which in 0_usize..15,
        hundredths in proptest::collection::vec(880_i64..1_070, 3..=6),
        near in proptest::bool::ANY,
    ) {
        let rules = rules();
        let set = &rules[which % rules.len()];
        // Half of the samples close to a limit, where pay changes.
        let length = |h: &i64| Decimal::new(if near { 960 + (h - 880) / 4 } else { *h }, 2);
        let lengths: Vec<Decimal> = hundredths.iter().map(length).collect();
        let sample: Vec<f64> = lengths.iter().map(|d| d.to_f64().unwrap()).collect();
        let own = in_inches(set).pays(&sample);
        if let Some((pay, waits)) = figured(set, &lengths) {
            prop_assert!((own.pay - pay).abs() < 1e-6, "rule {which}, {sample:?}: {own:?}, figures {pay}");
            prop_assert_eq!(own.decided, waits, "rule {}, {:?}", which, sample);
        } else {
            prop_assert!(own.decided, "rule {which}, {sample:?}: {own:?}, and no figures");
        }
    }
}

#[test]
fn the_rules_compared_are_fifteen_and_each_of_them_pays() {
    let rules = rules();
    assert_eq!(rules.len(), 15);
    for (which, set) in rules.iter().enumerate() {
        assert!(figured(set, &[dec!(9.8), dec!(10.1), dec!(9.95)]).is_some(), "rule {which}");
    }
}

/// Pay of each lot by its figures and by the plan, for cores along two lanes.
fn both_ways(set: &RuleSet, lengths: &[Decimal]) -> Vec<(f64, f64)> {
    let contract = fixture::contract();
    let placement = fixture::placement(&contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", "40+00");
    let core = |(i, &t): (usize, &Decimal)| {
        let (lane, station) = (if i % 2 == 0 { NB_1 } else { NB_2 }, format!("{}+50", 10 + i));
        fixture::core(&contract, &format!("C-{i}"), lane, &station, &[t])
    };
    let cores = lengths.iter().enumerate().map(core).collect();
    let records = Records { placements: vec![placement], cores, ..Records::default() };
    let run = run(&contract, Some(set), None, records, "2031-07-31");
    let pair = |sample: &crate::accept::SampleJudged| {
        let real = |id: crate::figure::FigureId| run.book[id].value.real().unwrap();
        let results: Vec<f64> = sample.results.iter().map(|&id| real(id)).collect();
        let plan = Plan::of(set, real(sample.target), Unit::Psi).ok()?;
        Some((real(run.outcome(&sample.outcome).pay.unwrap()), plan.pays(&results).pay))
    };
    run.judged.samples.iter().filter_map(pair).collect()
}

/// Rule sets for thickness that are shipped in customary units and price lots.
fn shipped_for_thickness() -> Vec<RuleSet> {
    let by_lot = |set: &RuleSet| {
        set.property == crate::rules::Property::Thickness
            && set.system == crate::units::System::Customary
            && Plan::of(set, 10.0, Unit::Psi).is_ok()
    };
    crate::rules::catalogue(&[]).0.into_iter().filter(by_lot).collect()
}

#[test]
fn every_shipped_rule_for_the_thickness_of_a_lot_has_its_plan() {
    for set in shipped_for_thickness() {
        assert!(!both_ways(&set, &[dec!(9.9); 28]).is_empty(), "{}: no lot is compared", set.id);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// The same for every rule set that is shipped: what its figures pay, its plan pays.
    #[test]
    fn a_plan_is_the_rule_of_the_figures_of_every_shipped_rule(
        which in 0_usize..100,
        mean in 940_i64..1_020,
        hundredths in proptest::collection::vec(-30_i64..30, 28),
    ) {
        let sets = shipped_for_thickness();
        let set = &sets[which % sets.len()];
        let lengths: Vec<Decimal> = hundredths.iter().map(|h| Decimal::new(mean + h, 2)).collect();
        for (figures, plan) in both_ways(set, &lengths) {
            prop_assert!((figures - plan).abs() < 1e-6, "{}, {lengths:?}: plan {plan}, figures {figures}", set.id);
        }
    }
}

/// A strength rule without criteria on single tests: 5 percent less for each step of the shortfall.
fn strength_rule() -> RuleSet {
    crate::accept::fixture::strength(|rule| {
        rule.running = None;
        rule.floor = None;
        rule.specimens_per_test.value = dec!(1);
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_plan_is_the_rule_of_the_figures_of_strength_too(hundreds in proptest::collection::vec(330_i64..450, 3..=6)) {
        let mut contract = fixture::contract();
        let age = fixture::entered(dec!(28), Unit::Day, 54, "sections[0].strength_age");
        contract.sections[0].strength = Some((fixture::entered(dec!(4000), Unit::Psi, 53, "sections[0].strength"), age));
        let set = strength_rule();
        let specimen = |(i, &psi): (u32, &i64)| {
            let waiting = fixture::cylinder(i, &format!("S-{i}"), "2031-07-01", "1", None);
            let tested = fixture::read(waiting.cast.value + chrono::Days::new(28), 3, i, 3);
            Specimen { tested: Some(tested), strength: Some(fixture::read(Decimal::new(psi * 10, 0), 3, i, 8)), ..waiting }
        };
        let specimens = (2..).zip(&hundreds).map(specimen).collect();
        let placement = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "20+00");
        let records = Records { placements: vec![placement], specimens, ..Records::default() };
        let run = run(&contract, None, Some(&set), records, "2031-09-30");
        let lot = run.judged.outcomes.iter().find(|o| o.pay.is_some()).unwrap();
        let pay = run.book[lot.pay.unwrap()].value.real().unwrap();
        let sample: Vec<f64> = hundreds.iter().map(|&psi| f64::from(i32::try_from(psi * 10).unwrap())).collect();
        let own = Plan::of(&set, 4_000.0, Unit::Psi).unwrap().pays(&sample);
        prop_assert!((own.pay - pay).abs() < 1e-9, "{sample:?}: {own:?}, figures {pay}");
    }
}

/// Pay is the estimated percent itself.
fn percent_itself() -> Plan {
    let pay = ADDITIVE.replace("plus = 64, times = 0.4", "plus = 0, times = 1");
    in_inches(&rule("", "", &format!("{}{pay}", within("look_up = \"formula\""))))
}

/// A lot of so many percent above a limit of 9.7 in, its spread 0.5 in.
fn lot_of(percent: f64) -> Population {
    Population { mean: 9.7 + 0.5 * normal_at(percent / 100.0).unwrap(), spread: 0.5 }
}

/// TRB Circular E-C074: the estimate of the percent within one limit is unbiased, for any number of results.
#[test]
fn the_percent_within_one_limit_is_right_on_the_average() {
    let plan = percent_itself();
    for n in [3, 4, 5, 8, 20, 60] {
        for percent in [99.0, 90.0, 75.0, 50.0, 20.0] {
            let expected = exact(&plan, lot_of(percent), n).unwrap().expected();
            assert!((expected - percent).abs() < 0.01, "{n} results, {percent} percent: {expected} on the average");
        }
    }
}

/// The same by drawn lots, which know nothing of the noncentral t: within three standard errors.
#[test]
fn drawn_lots_are_right_on_the_average_too() {
    let plan = percent_itself();
    let mut luck = Luck::new("1", 4_000);
    for n in [3, 5, 10] {
        for percent in [90.0, 60.0] {
            let lots = drawn(&plan, lot_of(percent), n, &mut luck);
            let error = lots.deviation() / 4_000_f64.sqrt();
            assert!((lots.expected() - percent).abs() < 3.0 * error, "{n}, {percent}: {} +- {error}", lots.expected());
        }
    }
}

/// FHWA-HRT-12-027, appendix B: PA = 0.004 PWL - 0.360. As the estimate is unbiased, expected pay is on the same straight line:
/// 100 percent at a true 90, 104 at 100, 84 at 50.
#[test]
fn a_straight_pay_equation_has_a_straight_expected_pay() {
    let plan = in_inches(&rule("", "", &format!("{}{ADDITIVE}", within("look_up = \"formula\""))));
    let mut luck = Luck::new("1", 4_000);
    let curve = curve(&plan, 5, 0.5, (None, None), &mut luck).unwrap();
    assert_eq!(curve.how, How::NoncentralT);
    for level in &curve.levels {
        let line = 100.0 + 100.0 * (0.004 * level.quality - 0.360);
        assert!((level.expected - line).abs() < 0.005, "{}: {}, not {line}", level.quality, level.expected);
        assert!((level.full + level.less + level.decided - 1.0).abs() < 1e-9);
    }
    assert!((curve.risks.acceptable.expected - 100.0).abs() < 0.005);
}

/// Computed with scipy 1.17.1: P(estimate >= 90) of n = 4 results is nct.sf(1.2 * 2, 3, 2 * norm.ppf(true)).
#[test]
fn another_library_computes_the_same_chance_of_full_pay() {
    let plan = in_inches(&rule("", "", &format!("{}{ADDITIVE}", within("look_up = \"formula\""))));
    for (percent, chance) in NCT_FULL {
        let own = exact(&plan, lot_of(percent), 4).unwrap().full(100.0);
        assert!((own - chance).abs() < 2e-3, "{percent}: {own}, not {chance}");
    }
}

const NCT_FULL: [(f64, f64); 3] =
    [(90.0, 0.610_938_677_443_641_6), (50.0, 0.047_937_241_135_915_48), (75.0, 0.269_612_854_199_294_26)];

/// Full pay up to a deficiency of 0.20 in (0.205 rounds up), reduced beyond: the normal distribution of the mean of 4, by
/// statrs' normal curve.
#[test]
fn a_mean_is_normal() {
    let plan = in_inches(&rule("", "", &format!("{INCHES}{STEPS}")));
    for mean in [10.0, 9.8, 9.7, 9.2] {
        let own = exact(&plan, Population { mean, spread: 0.4 }, 4).unwrap();
        // The average is rounded to 0.01 in first: 9.795 is 9.80.
        let chance = crate::statistics::normal_below((mean - 9.795) / 0.2);
        assert!((own.full(100.0) - chance).abs() < 1e-4, "{mean}: {} not {chance}", own.full(100.0));
    }
}

/// Drawn lots against the exact forms, within three standard errors of a share of 4,000 (0.0237 at most).
#[test]
fn drawn_lots_agree_with_the_exact_forms() {
    let mut luck = Luck::new("1", 4_000);
    for set in [
        rule("", "", &format!("{INCHES}{STEPS}")),
        rule("", "", &format!("{}{PERCENTS}", within("look_up = \"formula\""))),
        rule("", "", &format!("{}{ADDITIVE}", within("look_up = \"formula\""))),
    ] {
        let plan = in_inches(&set);
        for mean in [10.2, 9.9, 9.7, 9.4] {
            let population = Population { mean, spread: 0.3 };
            let (whole, lots) = (exact(&plan, population, 5).unwrap(), drawn(&plan, population, 5, &mut luck));
            let near = |a: f64, b: f64| (a - b).abs() <= 3.0 * (b * (1.0 - b) / 4_000.0).sqrt() + 1e-4;
            assert!(
                near(lots.full(100.0), whole.full(100.0)),
                "{mean}: {} and {}",
                lots.full(100.0),
                whole.full(100.0)
            );
            assert!(near(lots.decided(), whole.decided()), "{mean}");
            let error = 3.0 * lots.deviation() / 4_000_f64.sqrt() + 1e-3;
            assert!(
                (lots.expected() - whole.expected()).abs() < error,
                "{mean}: {} {}",
                lots.expected(),
                whole.expected()
            );
        }
    }
}

/// If the truth is what a sample says, nine samples in ten fall into its range; held by drawing them with another seed.
#[test]
fn nine_in_ten_fall_into_the_range() {
    let plan = in_inches(&rule("", "", &format!("{}{ADDITIVE}", within("look_up = \"formula\""))));
    let observed = Observed { n: 5, mean: 10.0, spread: 0.3 };
    let range = interval(&plan, observed, 0.90, &mut Luck::new("1", 4_000));
    let lots = drawn(&plan, Population { mean: 10.0, spread: 0.3 }, 5, &mut Luck::new("2", 4_000));
    let inside = lots.between(range.others.0 - 0.01, range.others.1 + 0.01);
    // At the upper end all lots wholly within pay the same 104, so that more than nine in ten may fall inside.
    assert!(inside > 0.90 - 3.0 * (0.09_f64 / 4_000.0).sqrt(), "{inside}");
    assert!(range.others.0 < 96.0 && range.others.1 > 103.9, "{range:?}");
}

/// A confidence range of the lot itself holds the truth in nine of ten samples: the law by which it is made.
#[test]
fn the_range_of_the_lot_holds_the_truth_nine_times_in_ten() {
    let mut luck = crate::statistics::Draws::new("7", "coverage");
    let line = format!("{INCHES}{LINE}");
    for (set, truth) in [
        (rule("", "", &format!("{}{ADDITIVE}", within("look_up = \"formula\""))), 64.0 + 0.4 * 90.0),
        (rule("", "", &line), 100.0 - 31.55),
    ] {
        let plan = in_inches(&set);
        let population = match plan.one_limit() {
            Some(_) => lot_of(90.0),
            None => Population { mean: 10.0 - 0.3155, spread: 0.5 },
        };
        let mut held = 0.0;
        let mut none = Luck::new("1", 4);
        for _ in 0..600 {
            let sample: Vec<f64> = (0..5).map(|_| population.mean + population.spread * luck.next_normal()).collect();
            let (low, high) = interval(&plan, Observed::of(&sample).unwrap(), 0.90, &mut none).lot.unwrap();
            held += f64::from(u8::from(low - 0.5 <= truth && truth <= high + 0.5));
        }
        assert!((held / 600.0 - 0.90).abs() < 3.5 * (0.09_f64 / 600.0).sqrt(), "{held} of 600");
    }
}

#[test]
fn more_results_narrow_the_range_and_a_better_lot_is_never_paid_less() {
    let plan = in_inches(&rule("", "", &format!("{}{ADDITIVE}", within("look_up = \"formula\""))));
    let mut luck = Luck::new("1", 400);
    let width = |n: usize, luck: &mut Luck| {
        let (low, high) = interval(&plan, Observed { n, mean: 9.9, spread: 0.3 }, 0.90, luck).others;
        high - low
    };
    assert!(width(3, &mut luck) > width(6, &mut luck) && width(6, &mut luck) > width(30, &mut luck));
    for set in [rule("", "", &format!("{INCHES}{STEPS}")), rules().remove(9)] {
        let levels =
            curve(&in_inches(&set), 4, 0.3, (None, Some(0.5)), &mut luck).map(|c| c.levels).unwrap_or_default();
        assert!(levels.windows(2).all(|pair| pair[0].expected >= pair[1].expected - 1e-6), "{levels:?}");
    }
}

#[test]
fn a_very_thin_core_waits_for_a_decision() {
    let plan = in_inches(&rule("thin_exclusion = \"1.00 in\"", "", &format!("{INCHES}{STEPS}")));
    assert_eq!(plan.pays(&[9.0, 10.0, 10.0]), Paid { pay: 72.0, decided: false });
    assert_eq!(plan.pays(&[8.99, 10.0, 10.0]), Paid { pay: 100.0, decided: true });
    assert_eq!(plan.pays(&[8.0, 8.0, 8.0]), Paid { pay: 0.0, decided: true });
}

#[test]
fn what_cannot_be_said_is_not() {
    assert_eq!(Observed::of(&[9.9, 10.1]), None);
    assert_eq!(Observed::of(&[9.9, 9.9, 9.9]), None);
    let (sets, _) = crate::rules::catalogue(&[]);
    let by_id = |id: &str| sets.iter().find(|set| set.id == id).unwrap();
    assert!(Plan::of(by_id("example-stepped-section"), 9.5, Unit::Psi).unwrap_err().contains("deficient sections"));
    assert!(Plan::of(by_id("example-stepped-average"), 0.0, Unit::Psi).unwrap_err().contains("not above zero"));
    let plan = in_inches(&rule("", "", &format!("{INCHES}{STEPS}")));
    let mut luck = Luck::new("1", 10);
    assert!(curve(&plan, 2, 0.3, (None, None), &mut luck).is_err());
    assert!(curve(&plan, 3, 0.0, (None, None), &mut luck).is_err());
    let both = within("upper = \"0.60 in\"\nlook_up = \"formula\"");
    let narrow = in_inches(&rule("", "", &format!("{both}{PERCENTS}")));
    let why = curve(&narrow, 3, 2.0, (None, None), &mut luck).unwrap_err();
    assert!(why.contains("no lot has a quality of 90"), "{why}");
}

//! Who counts and what stands apart, by published cases and by numbers that another program computed.
//!
//! F and t computed with scipy 1.17.1 (`stats.f.isf`, `stats.t.isf`, `stats.ttest_ind`, `stats.ttest_rel`); lengths and strengths
//! are made for the tests. Outlier and thick cores: the cases named beside them.

use rust_decimal::{Decimal, dec};

use crate::accept::Verdict;
use crate::accept::fixture::{Run, number, run, steps, strength, thickness};
use crate::contract::{Choices, Contract};
use crate::figure::Ends;
use crate::finding::Code;
use crate::intake::{Core, Records, Sampling, Shape, Specimen, TakenBy};
use crate::line::fixture::{self, NB_1, cylinder, read};
use crate::rules::{CoreTests, Measure, Outliers, PayForm, RuleSet, ThickOption, ThicknessRule, Verification};
use crate::units::Unit;

const LOT_1: &str = "NB mainline, NB-1 lot 1";

/// Cores along lot 1 of `NB-1`, numbered from `C-1`.
fn cores(lengths: &[Decimal], by: TakenBy, from: u32) -> Vec<Core> {
    let one = |(row, &inches): (u32, &Decimal)| {
        let at = format!("1{}+{:02}", 1 + row / 10, 5 + 9 * (row % 10));
        let core = fixture::core(&fixture::contract(), &format!("C-{row}"), NB_1, &at, &[inches]);
        Core { taken_by: by, ..core }
    };
    (from..).zip(lengths).map(one).collect()
}

fn road(contract: &Contract, rule: &RuleSet, cores: Vec<Core>) -> Run {
    let placement = fixture::placement(contract, "1", "2031-07-01", &[NB_1], "10+00", "40+00");
    let records = Records { placements: vec![placement], cores, ..Records::default() };
    run(contract, Some(rule), None, records, "2031-07-31")
}

fn fine(rule: &mut ThicknessRule) {
    rule.core = "0.001 half up".parse().unwrap();
    rule.average = "0.001 half up".parse().unwrap();
    (rule.thick_cap, rule.thin_exclusion) = (None, None);
}

fn outliers(drop: bool) -> impl Fn(&mut ThicknessRule) {
    move |rule| {
        fine(rule);
        rule.outliers = Some(Outliers { level: number(dec!(5), Unit::Percent, "outliers.level"), drop });
    }
}

fn verified(level: Decimal) -> Verification {
    Verification { level: number(level, Unit::Percent, "verification.level") }
}

fn figure(run: &Run, key: &str) -> f64 {
    run.book[run.book.by_key(key).unwrap_or_else(|| panic!("no figure {key}"))].value.real().unwrap()
}

fn near(run: &Run, key: &str, other: f64) {
    let own = figure(run, key);
    assert!((own - other).abs() <= 1e-9 * other.abs().max(1.0), "{key}: {own}, not {other}");
}

fn standings(run: &Run) -> Vec<&str> {
    run.judged.cores.iter().map(|core| core.standing.as_str()).collect()
}

/// Case G3 (FAA AC 150/5370-10, section 110, from memory): T = 1.174 < 1.463 among four, kept. Its densities as lengths.
#[test]
fn the_published_four_have_no_outlier() {
    let lengths = [dec!(9.660), dec!(9.755), dec!(9.930), dec!(9.835)];
    let run = road(&fixture::contract(), &thickness(outliers(true)), cores(&lengths, TakenBy::Unstated, 1));
    let lot = run.outcome(LOT_1);
    near(&run, "nb-mainline.nb-1.lot-1.cores.outlier-distance", 1.174_283_071_239_531_8);
    near(&run, "nb-mainline.nb-1.lot-1.cores.outlier-critical", 1.4625);
    assert_eq!(run.value(lot.average.unwrap()), dec!(9.795));
    assert!(run.of(Code::Outlier).is_empty());
}

/// Six cores about 10.0 in and one of 8.9: T 2.267 against 1.938 (n = 7, 5 percent).
#[test]
fn an_outlier_is_flagged_or_dropped_as_the_rule_says() {
    let lengths = [dec!(10.00), dec!(10.02), dec!(9.98), dec!(10.01), dec!(9.99), dec!(8.90), dec!(10.00)];
    for (drop, average, word) in
        [(false, dec!(9.843), "outlier, counts"), (true, dec!(10), "outlier, dropped from the average")]
    {
        let run = road(&fixture::contract(), &thickness(outliers(drop)), cores(&lengths, TakenBy::Unstated, 1));
        let lot = run.outcome(LOT_1);
        near(&run, "nb-mainline.nb-1.lot-1.cores.outlier-distance", 2.266_694_342_354_071_5);
        near(&run, "nb-mainline.nb-1.lot-1.cores.outlier-critical", 1.938_134_716_259_781_7);
        assert_eq!(run.value(lot.average.unwrap()), average);
        assert!(lot.note.ends_with(&format!("{word}: core C-6")), "{}", lot.note);
        assert_eq!(standings(&run)[5], word);
        assert_eq!(run.judged.cores[5].counted.is_none(), drop, "listed either way");
        let found = run.of(Code::Outlier);
        assert!(found[0].message.starts_with("core C-6: 2.267 standard deviations"), "{}", found[0].message);
    }
}

/// Two cores equally far among fifteen; T is sqrt(7), beyond what chance explains at 10 percent.
#[test]
fn of_two_equally_far_neither_is_dropped() {
    let mut lengths = vec![dec!(10); 15];
    (lengths[3], lengths[9]) = (dec!(9), dec!(11));
    let rule = thickness(|rule| {
        outliers(true)(rule);
        rule.outliers.as_mut().unwrap().level.value = dec!(10);
    });
    let run = road(&fixture::contract(), &rule, cores(&lengths, TakenBy::Unstated, 1));
    assert_eq!(run.value(run.outcome(LOT_1).average.unwrap()), dec!(10));
    assert!(run.of(Code::Outlier)[0].message.ends_with("they lie equally far; both count"));
    assert!(run.judged.cores.iter().all(|core| core.counted.is_some()));
}

/// Case E1 (Iowa DOT I.M. 346, Appendix A(a), seen): T 7.0, ten lengths, mean 8.01, s 0.69, TI 0.32. The option then worked
/// by hand: 9.70 > 7.0 + 3 x 0.69 = 9.07, and one of ten may go; 70.40 / 9 = 7.82, s = sqrt(1.14056 / 8) = 0.38, TI 0.44.
#[test]
fn the_contractor_may_drop_a_thick_core_where_the_rule_says_so() {
    let lengths =
        [7.40, 7.10, 8.10, 7.60, 7.95, 8.25, 9.70, 7.90, 8.10, 8.00].map(|t| Decimal::try_from(t).unwrap().round_dp(2));
    let rule = thickness(|rule| {
        (rule.thick_cap, rule.thin_exclusion) = (None, None);
        rule.cores_per_lot.value = dec!(10);
        let hundredth = "0.01 half up".parse().unwrap();
        rule.measure = Measure::Index { spread: hundredth, round: hundredth };
        rule.pay = steps(Unit::Inch, Ends::Lower, &[(None, None, dec!(100), "")]);
        let (beyond, most) = (number(dec!(3), Unit::One, "beyond"), number(dec!(10), Unit::Percent, "most"));
        rule.thick_option = Some(ThickOption { beyond, most });
    });
    let judged = |chosen: &[&str]| {
        let mut contract = fixture::contract();
        contract.sections[0].thickness.value = dec!(7.0);
        let names = chosen.iter().map(ToString::to_string).collect();
        contract.choices = Choices { drop_thick_cores: names, line: 9 };
        road(&contract, &rule, cores(&lengths, TakenBy::Unstated, 1))
    };
    let plain = judged(&[]);
    let (average, index, _) = plain.calculation(plain.outcome(LOT_1));
    assert_eq!((average, index), (dec!(8.01), dec!(0.32)));
    for chosen in [["NB mainline"], [LOT_1], ["all"]] {
        let run = judged(&chosen);
        let lot = run.outcome(LOT_1);
        let (average, index, _) = run.calculation(lot);
        assert_eq!((average, index), (dec!(7.82), dec!(0.44)), "{chosen:?}");
        near(&run, "nb-mainline.nb-1.lot-1.thick-limit", 9.07);
        assert!(lot.note.ends_with("at most 1: core C-7"), "{}", lot.note);
        assert_eq!(standings(&run)[6], "thick, dropped at the contractor's choice");
    }
    let wrong = judged(&["NB mainlane"]);
    assert!(wrong.of(Code::ContractInvalid)[0].message.contains("which is no section and no lot"));
    let mut contract = fixture::contract();
    contract.choices = Choices { drop_thick_cores: vec!["all".into()], line: 9 };
    let unasked = road(&contract, &thickness(fine), cores(&lengths, TakenBy::Unstated, 1));
    assert!(unasked.of(Code::ContractInvalid)[0].message.contains("no rule set in use gives that choice"));
}

/// The contractor's five against the agency's, at 1 percent, both sides.
fn parties(contractor: &[Decimal], agency: &[Decimal]) -> Run {
    let rule = thickness(|rule| {
        fine(rule);
        rule.verification = Some(verified(dec!(1)));
    });
    let mut all = cores(contractor, TakenBy::Contractor, 1);
    all.extend(cores(agency, TakenBy::Agency, 11));
    road(&fixture::contract(), &rule, all)
}

const KEY: &str = "nb-mainline.nb-1.lot-1.cores.verification";

#[test]
fn results_that_differ_by_chance_only_count_together() {
    let run = parties(
        &[dec!(9.80), dec!(9.90), dec!(10.00), dec!(10.10), dec!(9.95)],
        &[dec!(9.85), dec!(10.05), dec!(9.90)],
    );
    for (part, other) in [
        ("f", 1.153_846_153_846_153_8),
        ("f-critical", 199.249_686_716_299_83),
        ("t", 0.208_817_267_396_149_8),
        ("t-critical", 3.707_428_021_324_805_6),
    ] {
        near(&run, &format!("{KEY}-{part}"), other);
    }
    assert!(run.of(Code::VerificationDiffers).is_empty());
    let lot = run.outcome(LOT_1);
    assert_eq!(run.value(lot.average.unwrap()), dec!(9.944), "79.55 / 8");
    assert!(lot.note.ends_with("the contractor's results count: nothing parts them from the agency's"), "{}", lot.note);
}

#[test]
fn where_the_means_differ_only_the_agencys_count() {
    let run = parties(
        &[dec!(10.10), dec!(10.15), dec!(10.20), dec!(10.05), dec!(10.12)],
        &[dec!(9.70), dec!(9.78), dec!(9.66)],
    );
    near(&run, &format!("{KEY}-f"), 1.192_758_253_461_132_5);
    near(&run, &format!("{KEY}-f-critical"), 26.284_271_247_461_888);
    near(&run, &format!("{KEY}-t"), 9.743_063_422_587_984);
    let lot = run.outcome(LOT_1);
    assert_eq!(run.value(lot.average.unwrap()), dec!(9.713), "29.14 / 3");
    assert_eq!((run.judged.cores[0].counted, run.of(Code::VerificationDiffers).len()), (None, 1));
    assert_eq!(standings(&run)[0], "contractor's, differs from the agency's: does not count");
}

/// The variances differ, so the means are compared by Welch's t, its degrees of freedom 4.001 rounded down.
#[test]
fn where_the_variances_differ_only_the_agencys_count() {
    let run = parties(
        &[dec!(9.20), dec!(10.90), dec!(9.60), dec!(10.40), dec!(9.90)],
        &[dec!(9.95), dec!(9.96), dec!(9.94), dec!(9.95), dec!(9.96)],
    );
    near(&run, &format!("{KEY}-f"), 6_357.142_857_141_848);
    near(&run, &format!("{KEY}-f-critical"), 23.154_501_437_901_427);
    near(&run, &format!("{KEY}-t"), 0.160_883_712_279_415_97);
    near(&run, &format!("{KEY}-t-critical"), 4.604_094_871_349_993);
    assert_eq!(run.value(run.outcome(LOT_1).average.unwrap()), dec!(9.952));
    assert!(run.of(Code::VerificationDiffers)[0].message.contains("the variances' F is 6,357.143"));
}

#[test]
fn unverified_results_do_not_count_and_assurance_never_does() {
    let run = parties(&[dec!(9.80), dec!(9.90)], &[dec!(9.70)]);
    assert_eq!(run.value(run.outcome(LOT_1).average.unwrap()), dec!(9.7), "the agency's alone");
    assert_eq!(run.of(Code::VerificationMissing).len(), 1);
    let none = parties(&[dec!(9.80), dec!(9.90)], &[]);
    assert_eq!(none.outcome(LOT_1).verdict, Verdict::NotTested);
    let lot = crate::finding::Place::Named(LOT_1.into());
    assert!(none.of(Code::CoreMissing).iter().all(|f| f.place != lot), "said once");

    // Without a comparison in the rule the contractor's count, and the lot says so.
    let mut all = cores(&[dec!(9.80), dec!(9.90)], TakenBy::Contractor, 1);
    all.extend(cores(&[dec!(9.0)], TakenBy::Assurance, 11));
    let plain = road(&fixture::contract(), &thickness(fine), all);
    let lot = plain.outcome(LOT_1);
    assert_eq!(plain.value(lot.average.unwrap()), dec!(9.85));
    assert!(lot.note.contains("2 of the 3 results are the contractor's"), "{}", lot.note);
    assert!(lot.note.ends_with("independent assurance, not averaged: core C-11"), "{}", lot.note);
    near(&plain, "nb-mainline.nb-1.lot-1.cores.assurance-difference", -0.85);
}

#[test]
fn a_referees_core_stands_in_place_of_the_one_in_dispute() {
    let mut all = cores(&[dec!(9.9), dec!(8.5), dec!(9.8)], TakenBy::Unstated, 1);
    let referee = cores(&[dec!(9.7)], TakenBy::Referee, 4).remove(0);
    all.push(Core { settles: Some(read("C-2".into(), 2, 4, 9)), ..referee });
    let run = road(&fixture::contract(), &thickness(|_| {}), all.clone());
    let lot = run.outcome(LOT_1);
    assert_eq!(run.value(lot.average.unwrap()), dec!(9.8), "9.9, 9.7 and 9.8");
    assert_eq!(standings(&run), ["", "settled by C-4", "", "settles C-2"]);
    assert!(run.of(Code::ThicknessUnresolved).is_empty(), "the settled core asks for nothing");
    assert_eq!(lot.note, "core C-4 settles C-2");

    all[3].settles = Some(read("C-9".into(), 2, 4, 9));
    let lost = road(&fixture::contract(), &thickness(|_| {}), all);
    assert_eq!(lost.of(Code::SettlesUnknown).len(), 1);
    assert_eq!(lost.judged.cores[3].counted, None);
    assert_eq!(lost.of(Code::ThicknessUnresolved).len(), 1, "C-2 stands");
}

/// Specimens of a set, each of a reported strength.
fn specimens(row: u32, set: &str, shape: Shape, psi: &[Decimal]) -> Vec<Specimen> {
    let one = |(row, &psi): (u32, &Decimal)| {
        let waiting = cylinder(row, set, "2031-07-01", "1", None);
        let days = if shape == Shape::Core { 45 } else { 28 };
        let tested = read(waiting.cast.value + chrono::Days::new(days), 3, row, 3);
        let age = waiting.age.clone().filter(|_| shape != Shape::Core);
        Specimen { shape, age, tested: Some(tested), strength: Some(read(psi, 3, row, 8)), ..waiting }
    };
    (row..).zip(psi).map(one).collect()
}

fn settling(specimens: Vec<Specimen>, set: &str) -> Vec<Specimen> {
    let settles = |s: Specimen| Specimen { settles: Some(read(set.into(), 3, 0, 9)), ..s };
    specimens.into_iter().map(settles).collect()
}

fn tested(rule: &RuleSet, specimens: Vec<Specimen>) -> Run {
    let contract = fixture::contract();
    let placements = vec![fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "11+00")];
    let records = Records { placements, specimens, ..Records::default() };
    run(&contract, None, Some(rule), records, "2031-09-30")
}

const STRENGTH_LOT: &str = "strength, NB mainline, placement 1";

/// Pay is 100 + `times` D, without end; D as computed.
fn deduction(times: Decimal) -> crate::rules::Pay {
    let mut pay = steps(Unit::Percent, Ends::Lower, &[(None, None, dec!(100), "")]);
    let mut coefficient = pay.steps.clone();
    (coefficient.gives, coefficient.rows[0].value) = (Unit::One, times);
    let none = None;
    let form = PayForm::Formula { in_ratios: false, times: Some(coefficient), squared: none, power: None, most: None };
    pay.form = form;
    pay.price = Some(number(dec!(300), Unit::CubicYard.price().unwrap(), "pay.price_per_volume"));
    pay
}

fn structural() -> RuleSet {
    strength(|rule| {
        rule.test = "0.001 half up".parse().unwrap();
        rule.lot_average = "0.001 half up".parse().unwrap();
        rule.measure = Measure::Deficiency { in_percent: true, round: "0.0000001 half up".parse().unwrap() };
        (rule.running, rule.floor) = (None, None);
        rule.pay = Some(deduction(dec!(-2)));
        let share = number(dec!(85), Unit::Percent, "core_tests.share");
        rule.cores = Some(CoreTests { share, pay: Some(deduction(dec!(-3.026))) });
    })
}

/// WSDOT 2026 6-02.3(5)L (seen in part): cylinders PA = 2 (f'c - fc) UP Q / f'c; cores PA = 3.56 (0.85 f'c - fcores) UP Q /
/// f'c. A core counts as fcores / 0.85, whose deficiency D is (0.85 f'c - fcores) / 0.85 f'c, so that 3.56 x 0.85 = 3.026
/// of D is the same. f'c 4,000 psi; the share of the price that is taken off.
#[test]
fn the_deduction_for_low_strength_is_the_published_one() {
    let low = specimens(1, "S-1", Shape::Cylinder, &[dec!(3600), dec!(3640)]);
    let run = tested(&structural(), low.clone());
    let lot = run.outcome(STRENGTH_LOT);
    assert_eq!(run.calculation(lot), (dec!(3620), dec!(9.5), dec!(81)), "2 x 380 / 4,000 = 19 percent");
    assert_eq!(run.book[lot.adjustments[0].price.unwrap()].value, dec!(300));

    let drilled = settling(specimens(3, "K-1", Shape::Core, &[dec!(3220), dec!(3240)]), "S-1");
    let run = tested(&structural(), [low, drilled].concat());
    let lot = run.outcome(STRENGTH_LOT);
    // 3.56 (3,400 - 3,230) / 4,000 = 15.13 percent.
    assert_eq!(run.calculation(lot), (dec!(3800), dec!(5), dec!(84.87)), "{}", lot.note);
    let tests: Vec<(&str, bool, &str)> =
        run.judged.tests.iter().map(|t| (t.name.as_str(), t.counts, t.standing.as_str())).collect();
    assert_eq!(tests, [("S-1, 28 d", false, "settled by K-1"), ("K-1, cores", true, "settles S-1")]);
}

#[test]
fn both_criteria_run_on_what_settled_a_test() {
    let two_rule = |cores: bool| {
        strength(|rule| {
            let share = number(dec!(85), Unit::Percent, "core_tests.share");
            rule.cores = cores.then_some(CoreTests { share, pay: None });
        })
    };
    let low = specimens(1, "S-1", Shape::Cylinder, &[dec!(3300), dec!(3300)]);
    assert!(!tested(&two_rule(true), low.clone()).judged.tests[0].passes);
    let drilled = specimens(3, "K-1", Shape::Core, &[dec!(3400), dec!(3420)]);
    let settled = [low.clone(), settling(drilled.clone(), "S-1")].concat();
    let run = tested(&two_rule(true), settled.clone());
    assert_eq!(run.value(run.judged.tests[1].strength.unwrap()), dec!(4010), "3,410 / 0.85 = 4,011.8");
    assert!(run.of(Code::StrengthLow).is_empty());
    assert_eq!(run.outcome(STRENGTH_LOT).verdict, Verdict::Sound);

    // Cores that settle nothing, or under a rule that has no share for them, change nothing and are said.
    for run in [tested(&two_rule(true), [low, drilled].concat()), tested(&two_rule(false), settled)] {
        assert_eq!((run.of(Code::SettlesUnknown).len(), run.judged.tests.len()), (1, 1));
        assert!(!run.judged.tests[0].passes);
    }
}

#[test]
fn a_core_broken_too_young_is_never_taken_for_the_age() {
    let mut drilled = settling(specimens(3, "K-1", Shape::Core, &[dec!(4400)]), "S-1");
    drilled[0].tested = Some(read(fixture::day("2031-07-08"), 3, 3, 3));
    let low = specimens(1, "S-1", Shape::Cylinder, &[dec!(3300), dec!(3300)]);
    let run = tested(&structural(), [low, drilled].concat());
    assert_eq!(run.of(Code::StrengthAge).len(), 1);
    assert_eq!((run.judged.tests[1].strength, run.outcome(STRENGTH_LOT).verdict), (None, Verdict::NotTested));
}

/// Four split sets: differences 190 psi with s 24.49, t = 15.51 against 5.84 (scipy, `ttest_rel`; 1 percent).
#[test]
fn split_samples_are_compared_as_pairs_and_count_once() {
    let rule = strength(|rule| {
        rule.verification = Some(verified(dec!(1)));
        (rule.running, rule.floor) = (None, None);
    });
    let (contractor, agency) = ([4210, 4350, 4180, 4420], [4020, 4190, 3990, 4200]);
    let mut all = Vec::new();
    for (k, (c, a)) in (1..).zip(contractor.into_iter().zip(agency)) {
        for (part, psi, by) in [(0, c, TakenBy::Contractor), (2, a, TakenBy::Agency)] {
            let both = [Decimal::from(psi); 2];
            let set = specimens(10 * k + part, &format!("S-{k}"), Shape::Cylinder, &both);
            all.extend(set.into_iter().map(|s| Specimen { taken_by: by, sampling: Sampling::Split, ..s }));
        }
    }
    let run = tested(&rule, all);
    let key = "nb-mainline.placement-1.strength.verification";
    near(&run, &format!("{key}-split-t"), 15.513_435_037_626_795);
    near(&run, &format!("{key}-split-t-critical"), 5.840_909_309_733_357);
    assert_eq!(run.value(run.outcome(STRENGTH_LOT).average.unwrap()), dec!(4100), "the agency's parts alone");
    assert_eq!(run.judged.tests.len(), 8);
    assert_eq!(run.judged.tests[0].name, "S-1 (contractor), 28 d");
    let differs = run.of(Code::VerificationDiffers);
    assert!(differs[0].message.contains("the split samples' t is 15.513"), "{}", differs[0].message);
}

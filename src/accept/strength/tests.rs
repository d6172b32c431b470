//! Strength by published cases, and on both sides of every limit.
//!
//! Sources: cylinder reports of a Texas city, pier concrete of 26 September 2007 (M7: 3,000 psi at 28 days) and
//! light-pole piers of 9 September 1998 (M10: 4,000 psi); printed loads, strengths to 10 psi and averages, 6 x 12 in
//! cylinders. ACI 318-19, 26.12.3.1 for the two criteria. Pay tables are made for the tests.

use rust_decimal::{Decimal, dec};

use crate::accept::Verdict;
use crate::accept::fixture::{Run, run, strength};
use crate::contract::Contract;
use crate::finding::Code;
use crate::intake::{Placement, Records, Shape, Specimen};
use crate::line::fixture::{self, NB_1, NB_2, NB_S, cylinder, day, entered, read};
use crate::rules::{LotBy, StrengthRule};
use crate::units::{Rounding, Unit};

/// The mainline specified at this strength.
fn specified(psi: Decimal) -> Contract {
    let mut contract = fixture::contract();
    let age = entered(dec!(28), Unit::Day, 54, "sections[0].strength_age");
    contract.sections[0].strength = Some((entered(psi, Unit::Psi, 53, "sections[0].strength"), age));
    contract
}

/// `NB-1` in hundreds of feet, one placement a day: `1` on July 1 from 10+00 to 11+00, and so on.
fn placements(contract: &Contract, n: u32) -> Vec<Placement> {
    let one = |i: u32| {
        let (from, to) = (format!("{}+00", 9 + i), format!("{}+00", 10 + i));
        fixture::placement(contract, &i.to_string(), &format!("2031-07-{i:02}"), &[NB_1], &from, &to)
    };
    (1..=n).map(one).collect()
}

/// A specimen of a reported strength, broken at 28 days, without load.
fn reported(row: u32, set: &str, cast: &str, placement: &str, psi: Decimal) -> Specimen {
    let waiting = cylinder(row, set, cast, placement, None);
    let tested = read(waiting.cast.value + chrono::Days::new(28), 3, row, 3);
    Specimen { tested: Some(tested), strength: Some(read(psi, 3, row, 8)), ..waiting }
}

/// One test a day, of two cylinders of that strength each.
fn days(contract: &Contract, psi: &[Decimal]) -> Run {
    let placements = placements(contract, u32::try_from(psi.len()).unwrap());
    let mut specimens = Vec::new();
    for (i, &psi) in (1..).zip(psi) {
        let (set, cast, number) = (format!("S-{i}"), format!("2031-07-{i:02}"), format!("{i}"));
        specimens.push(reported(2 * i, &set, &cast, &number, psi));
        specimens.push(reported(2 * i + 1, &set, &cast, &number, psi));
    }
    let records = Records { placements, specimens, ..Records::default() };
    run(contract, None, Some(&strength(|_| {})), records, "2031-09-30")
}

/// Specimens of one set of placement 1, judged as of a day.
fn one_set(change: impl Fn(&mut StrengthRule), contract: &Contract, specimens: Vec<Specimen>, as_of: &str) -> Run {
    let records = Records { placements: placements(contract, 1), specimens, ..Records::default() };
    run(contract, None, Some(&strength(change)), records, as_of)
}

fn broken(loads: &[Decimal]) -> Vec<Specimen> {
    (1..).zip(loads).map(|(row, &load)| cylinder(row, "S-1", "2031-07-01", "1", Some(load))).collect()
}

fn only_test(run: &Run) -> Decimal {
    run.value(run.judged.tests[0].strength.unwrap())
}

/// M7 and M10: 6 in cylinders; loads, the printed strengths to 10 psi, the printed average (M10 prints none at 7 days).
#[test]
fn laboratory_averages_come_from_loads_rounded_once() {
    for (loads, printed, average) in [
        ([dec!(57540), dec!(59940)], [dec!(2040), dec!(2120)], dec!(2080)),
        ([dec!(76950), dec!(86770)], [dec!(2720), dec!(3070)], dec!(2900)),
        ([dec!(116600), dec!(119400)], [dec!(4120), dec!(4220)], dec!(4170)),
        ([dec!(147600), dec!(137500)], [dec!(5220), dec!(4860)], dec!(5040)),
    ] {
        let run = one_set(|_| {}, &specified(dec!(3000)), broken(&loads), "2031-09-30");
        let ten: Rounding = "10 half up".parse().unwrap();
        let singles: Vec<Decimal> =
            (1..=2).map(|i| run.value(run.book.by_key(&format!("specimen-s-1-{i}.strength")).unwrap())).collect();
        let rounded: Vec<Decimal> = singles.iter().map(|&psi| ten.apply(psi).unwrap()).collect();
        assert_eq!(rounded, printed, "{loads:?}");
        assert_eq!(only_test(&run), average, "{loads:?}");
    }
}

/// The means of the printed strengths are ties, 2,895 (M7), 4,765 and 3,615, and no rounding of ties gives all three
/// printed averages, 2,900, 4,770 and 3,610; the unrounded strengths of M7 leave no tie.
#[test]
fn averaging_printed_strengths_would_not_give_the_printed_averages() {
    let ties = [(dec!(2895), dec!(2900)), (dec!(4765), dec!(4770)), (dec!(3615), dec!(3610))];
    for mode in ["half up", "half even", "up", "down"] {
        let ten: Rounding = format!("10 {mode}").parse().unwrap();
        assert!(ties.iter().any(|&(mean, printed)| ten.apply(mean) != Some(printed)), "{mode}");
    }
    let to_a_tenth = |rule: &mut StrengthRule| rule.test = "0.1 half up".parse().unwrap();
    let loads = one_set(to_a_tenth, &specified(dec!(3000)), broken(&[dec!(76950), dec!(86770)]), "2031-09-30");
    assert_eq!(only_test(&loads), dec!(2895.2));
    let printed = [dec!(2720), dec!(3070)];
    let printed = (1..).zip(printed).map(|(row, psi)| reported(row, "S-1", "2031-07-01", "1", psi)).collect();
    assert_eq!(only_test(&one_set(to_a_tenth, &specified(dec!(3000)), printed, "2031-09-30")), dec!(2895));
}

/// A checker follows it with a pencil: load over the area of the cylinder, and the numbers put in.
#[test]
fn a_cylinders_strength_is_written_out() {
    let run = one_set(|_| {}, &specified(dec!(3000)), broken(&[dec!(76950), dec!(86770)]), "2031-09-30");
    let line = crate::figure::hand(&run.book, run.book.by_key("specimen-s-1-1.strength").unwrap());
    assert_eq!(line.formula, "load / (pi diameter^2 / 4)");
    assert_eq!(
        (line.numbers.as_str(), line.value.as_str(), line.unit.as_str()),
        ("76,950 / (pi 6^2 / 4)", "2,721.5", "psi")
    );
}

#[test]
fn a_report_that_its_load_does_not_bear_out_is_said() {
    let mut specimens = broken(&[dec!(147600), dec!(137500)]);
    specimens[0].strength = Some(read(dec!(5220), 3, 1, 8));
    specimens[1].strength = Some(read(dec!(4680), 3, 2, 8)); // printed 4,860, digits turned
    let run = one_set(|_| {}, &specified(dec!(4000)), specimens, "2031-09-30");
    assert_eq!(only_test(&run), dec!(5040), "the load counts");
    let lot = run.outcome("strength, NB mainline, placement 1");
    assert_eq!(lot.note, "specimen S-1-2 is reported as 4,680 psi, but its load gives 4,863.1 psi; the load counts");
}

/// ACI: f'c of 5,000 psi and less, no test below it by MORE than 500 psi; above, by more than 10 percent.
#[test]
fn a_single_test_exactly_on_the_floor_passes() {
    for (fc, test, passes) in [
        (dec!(4000), dec!(3500), true),
        (dec!(4000), dec!(3490), false),
        (dec!(5000), dec!(4500), true),
        (dec!(5000), dec!(4490), false),
        (dec!(6000), dec!(5400), true),
        (dec!(6000), dec!(5390), false),
    ] {
        let run = days(&specified(fc), &[test]);
        assert_eq!(run.judged.tests[0].passes, passes, "{test} where {fc} is specified");
        let low: Vec<_> =
            run.of(Code::StrengthLow).into_iter().filter(|f| f.message.starts_with("the test is")).collect();
        assert_eq!(low.is_empty(), passes);
    }
    let run = days(&specified(dec!(6000)), &[dec!(5390)]);
    assert_eq!(
        run.of(Code::StrengthLow)[0].message,
        "the test is 5,390 psi, below 5,400 psi, the lowest that a single test may be where 6,000 psi is specified \
         (Example (example)); the engineer decides whether it may stay"
    );
}

/// ACI: every average of three consecutive tests at least f'c.
#[test]
fn three_consecutive_tests_must_average_the_specified_strength() {
    let run = days(&specified(dec!(4000)), &[dec!(3900), dec!(4000), dec!(4100), dec!(3870), dec!(4030)]);
    let running: Vec<Option<Decimal>> = run.judged.tests.iter().map(|t| t.running.map(|id| run.value(id))).collect();
    assert_eq!(running, [None, None, Some(dec!(4000)), Some(dec!(3990)), Some(dec!(4000))]);
    let passes: Vec<bool> = run.judged.tests.iter().map(|t| t.passes).collect();
    assert_eq!(passes, [true, true, true, false, true]);
    let low: Vec<_> = run.of(Code::StrengthLow).into_iter().filter(|f| f.message.contains("consecutive")).collect();
    assert_eq!(low.len(), 1);
    assert!(
        low[0].message.starts_with("the average of 3 consecutive tests is 3,990 psi, below the specified 4,000 psi")
    );
    assert_eq!(low[0].related.len(), 2, "its two cylinders");
}

#[test]
fn tests_of_another_mix_are_not_consecutive() {
    let contract = specified(dec!(4000));
    let mut placements = placements(&contract, 3);
    placements[1].mix = Some(read("HES".into(), 0, 2, 5));
    let mut specimens = Vec::new();
    for (i, psi) in [(1, dec!(4100)), (2, dec!(3600)), (3, dec!(4100))] {
        for k in 0..2 {
            specimens.push(reported(2 * i + k, &format!("S-{i}"), &format!("2031-07-0{i}"), &i.to_string(), psi));
        }
    }
    let records = Records { placements, specimens, ..Records::default() };
    let run = run(&contract, None, Some(&strength(|_| {})), records, "2031-09-30");
    assert!(run.judged.tests.iter().all(|t| t.running.is_none()), "two of one mix, one of the other");
}

#[test]
fn a_seven_day_result_is_never_taken_for_a_28_day_one() {
    let mut seven = broken(&[dec!(116600), dec!(119400)]);
    for specimen in &mut seven {
        specimen.age = Some(read(dec!(7), 3, 1, 4));
        specimen.tested = Some(read(day("2031-07-08"), 3, 1, 3));
    }
    let mut all = seven.clone();
    all.extend((3..5).map(|row| cylinder(row, "S-1", "2031-07-01", "1", None)));
    for specimens in [seven, all] {
        let run = one_set(|_| {}, &specified(dec!(4000)), specimens, "2031-07-20");
        let test = &run.judged.tests[0];
        assert_eq!((test.strength, test.due, test.name.as_str()), (None, Some(day("2031-07-29")), "S-1, 28 d"));
        let lot = run.outcome("strength, NB mainline, placement 1");
        assert_eq!((lot.verdict, lot.note.as_str()), (Verdict::NotTested, "S-1, 28 d is due on 2031-07-29"));
    }
}

#[test]
fn a_specimen_meant_for_one_age_and_broken_at_another_is_not_used() {
    let mut specimens = broken(&[dec!(116600), dec!(119400), dec!(147600)]);
    specimens[0].tested = Some(read(day("2031-07-08"), 3, 1, 3));
    specimens[1].tested = Some(read(day("2031-07-30"), 3, 2, 3)); // a day late: days carry no hours
    specimens[2].age = Some(read(dec!(7), 3, 3, 4));
    let run = one_set(|_| {}, &specified(dec!(4000)), specimens, "2031-09-30");
    let said: Vec<&str> = run.of(Code::StrengthAge).iter().map(|f| f.message.as_str()).collect();
    assert_eq!(
        said,
        [
            "specimen S-1-1 is meant for 28 days and was broken at 7; its result is not used",
            "specimen S-1-3 is meant for 7 days and was broken at 28; its result is not used",
        ]
    );
    assert_eq!(run.judged.tests[0].specimens, [1]);
    let mut untold = broken(&[dec!(116600)]);
    (untold[0].age, untold[0].tested) = (None, None);
    let run = one_set(|_| {}, &specified(dec!(4000)), untold, "2031-09-30");
    assert!(run.of(Code::StrengthAge)[0].message.contains("neither its age nor the day it was broken"));
}

/// Due on July 29: before it a gap with its date, on it and after it overdue.
#[test]
fn an_outstanding_test_is_a_gap_with_its_due_date_and_overdue_from_that_day() {
    for (as_of, code, open) in
        [("2031-07-28", Code::StrengthMissing, false), ("2031-07-29", Code::StrengthOverdue, true)]
    {
        let specimens = vec![broken(&[dec!(120000)]).remove(0), cylinder(2, "S-1", "2031-07-01", "1", None)];
        let run = one_set(|_| {}, &specified(dec!(4000)), specimens, as_of);
        let found = run.of(code);
        assert_eq!((found.len(), found[0].open), (1, open), "{as_of}");
        let was = if open { "was" } else { "is" };
        assert_eq!(
            found[0].message,
            format!(
                "set S-1, cast on 2031-07-01: 1 of the 2 specimens of its 28-day test are broken; it {was} due on 2031-07-29"
            )
        );
    }
}

#[test]
fn a_running_average_never_jumps_over_an_outstanding_test() {
    let contract = specified(dec!(4000));
    let placements = placements(&contract, 4);
    let mut specimens = Vec::new();
    for i in 1..=4u32 {
        for k in 0..2 {
            let (set, cast, number) = (format!("S-{i}"), format!("2031-07-0{i}"), i.to_string());
            specimens.push(match i {
                3 => cylinder(2 * i + k, &set, &cast, &number, None),
                _ => reported(2 * i + k, &set, &cast, &number, dec!(4200)),
            });
        }
    }
    let records = Records { placements, specimens, ..Records::default() };
    let run = run(&contract, None, Some(&strength(|_| {})), records, "2031-07-30");
    assert!(run.judged.tests.iter().all(|t| t.running.is_none()));
}

/// A lot 3.0 percent under f'c, paid at the table's 95 percent; 100 ft of 12 ft are 133.33 yd2.
#[test]
fn a_lot_is_priced_by_its_average() {
    let run = days(&specified(dec!(4000)), &[dec!(3880), dec!(4000)]);
    let lot = run.outcome("strength, NB mainline, placement 1");
    assert_eq!(run.calculation(lot), (dec!(3880), dec!(3), dec!(95)));
    let adjustment = lot.adjustments.first().unwrap();
    assert_eq!((lot.verdict, run.value(adjustment.area)), (Verdict::Adjusted, dec!(133.33)));
    assert_eq!(run.value(adjustment.volume), dec!(37.04));
    assert_eq!(adjustment.decided, day("2031-07-29"));
    let low: Vec<_> =
        run.of(Code::StrengthLow).into_iter().filter(|f| f.message.starts_with("the lot's average")).collect();
    assert_eq!(
        low[0].message,
        "the lot's average of 3,880 psi is 3.0 % under the specified strength; Example (example) pays 95 % of the unit \
         price for 133.33 yd2, and the engineer decides whether it may stay"
    );
    let sound = run.outcome("strength, NB mainline, placement 2");
    assert_eq!((sound.verdict, &sound.adjustments[..]), (Verdict::Sound, &[][..]));
}

#[test]
fn strength_that_does_not_change_pay_still_waits_for_the_engineer() {
    let low = broken(&[dec!(60000), dec!(60000)]);
    let run = one_set(|rule| rule.pay = None, &specified(dec!(4000)), low, "2031-09-30");
    let lot = run.outcome("strength, NB mainline, placement 1");
    assert_eq!((lot.verdict, &lot.adjustments[..], lot.pay), (Verdict::Undecided, &[][..], None));
    assert!(lot.note.contains("a criterion fails at S-1, 28 d"), "{}", lot.note);
}

#[test]
fn a_lot_of_a_day_averages_its_tests_over_all_that_was_placed() {
    let contract = specified(dec!(4000));
    let placements = vec![
        fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "11+00"),
        fixture::placement(&contract, "2", "2031-07-01", &[NB_2], "10+00", "11+00"),
    ];
    let mut specimens = Vec::new();
    for (i, psi) in [(1, dec!(3700)), (2, dec!(3900))] {
        for k in 0..2 {
            specimens.push(reported(2 * i + k, &format!("S-{i}"), "2031-07-01", &i.to_string(), psi));
        }
    }
    let records = Records { placements, specimens, ..Records::default() };
    let rule = strength(|rule| rule.lot.by = LotBy::Day);
    let run = run(&contract, None, Some(&rule), records, "2031-09-30");
    let lot = run.outcome("strength, NB mainline, 2031-07-01");
    assert_eq!(run.calculation(lot), (dec!(3800), dec!(5), dec!(95)));
    assert_eq!(run.value(lot.adjustments.first().unwrap().area), dec!(266.66));
}

/// Which placement: its number, else the day with lane and station; never a guess.
#[test]
fn a_set_that_fits_no_placement_or_several_is_not_guessed() {
    let why = |change: &dyn Fn(&mut Specimen)| {
        let contract = specified(dec!(4000));
        let placements = vec![
            fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "11+00"),
            fixture::placement(&contract, "2", "2031-07-01", &[NB_1], "20+00", "21+00"),
            fixture::placement(&contract, "3", "2031-07-01", &[NB_S], "10+00", "11+00"),
        ];
        let mut specimen = broken(&[dec!(120000)]).remove(0);
        change(&mut specimen);
        let records = Records { placements, specimens: vec![specimen], ..Records::default() };
        let run = run(&contract, None, Some(&strength(|_| {})), records, "2031-07-05");
        let said = run.of(Code::StrengthUnplaced).first().map(|f| f.message.clone());
        said.ok_or_else(|| run.judged.tests[0].placement.unwrap())
    };
    let station = |label| Some(read(fixture::station(&fixture::contract(), NB_1, label), 3, 1, 9));
    let set = "set S-1, cast on 2031-07-01, is not used: ";
    assert_eq!(why(&|s| s.placement = Some(read(" 02".into(), 3, 1, 7))), Err(1));
    assert_eq!(why(&|s| s.placement = None), Ok(format!("{set}placements 1, 2, 3 of 2031-07-01 could be meant")));
    let in_lane = |s: &mut Specimen, label| {
        (s.placement, s.lane, s.station) = (None, Some(read(NB_1, 3, 1, 8)), station(label));
    };
    assert_eq!(why(&|s| in_lane(s, "20+50")), Err(1));
    assert_eq!(
        why(&|s| in_lane(s, "15+00")),
        Ok(format!("{set}no placement of 2031-07-01 at 15+00 in lane NB-1 is on the sheets"))
    );
    assert_eq!(
        why(&|s| s.placement = Some(read("14".into(), 3, 1, 7))),
        Ok(format!("{set}placement 14 stands on no placement sheet"))
    );
    assert_eq!(
        why(&|s| s.placement = Some(read("3".into(), 3, 1, 7))),
        Ok(format!("{set}placement 3 lies in no section with a specified strength"))
    );
    assert_eq!(
        why(&|s| s.shape = Shape::Beam),
        Ok(format!("{set}section NB mainline specifies its strength by cylinders, and these are beams"))
    );
}

#[test]
fn a_day_that_contradicts_the_placement_is_said_but_a_shift_may_run_past_midnight() {
    let cast_on = |cast: &str| {
        let contract = specified(dec!(4000));
        let specimens = vec![cylinder(1, "S-1", cast, "1", None)];
        let records = Records { placements: placements(&contract, 1), specimens, ..Records::default() };
        run(&contract, None, Some(&strength(|_| {})), records, "2031-07-10")
    };
    assert_eq!(cast_on("2031-07-02").judged.tests.len(), 1);
    assert_eq!(
        cast_on("2031-07-03").of(Code::StrengthUnplaced)[0].message,
        "set S-1, cast on 2031-07-03, is not used: placement 1 was placed on 2031-07-01, not on 2031-07-03"
    );
}

#[test]
fn a_beam_counts_by_its_reported_modulus_of_rupture_only() {
    let mut contract = specified(dec!(650));
    contract.sections[0].flexural = true;
    let beam = |row, load, psi: Option<Decimal>| Specimen {
        shape: Shape::Beam,
        strength: psi.map(|psi| read(psi, 3, row, 8)),
        ..cylinder(row, "S-1", "2031-07-01", "1", Some(load))
    };
    let run =
        one_set(|_| {}, &contract, vec![beam(1, dec!(8000), Some(dec!(655))), beam(2, dec!(8100), None)], "2031-09-30");
    assert_eq!(run.judged.tests[0].strength, None);
    assert!(
        run.of(Code::StrengthOverdue)[0]
            .message
            .ends_with("specimen S-1-2 was broken, but its modulus of rupture is not reported")
    );
    let first = run.book.by_key("specimen-s-1-1.strength").unwrap();
    assert_eq!(run.value(first), dec!(655));
}

#[test]
fn a_drilled_core_counts_by_its_reported_strength_and_apart_from_cylinders() {
    let core = |row, load, psi: Option<Decimal>| Specimen {
        shape: Shape::Core,
        strength: psi.map(|psi| read(psi, 3, row, 8)),
        ..cylinder(row, "S-1", "2031-07-01", "1", Some(load))
    };
    let specimens = vec![
        cylinder(1, "S-1", "2031-07-01", "1", Some(dec!(130000))),
        core(2, dec!(50000), Some(dec!(3900))),
        core(3, dec!(50000), None),
    ];
    let run = one_set(|_| {}, &specified(dec!(4000)), specimens, "2031-09-30");
    assert_eq!(run.judged.tests.len(), 2, "the cores are a set of their own");
    assert_eq!(run.value(run.book.by_key("specimen-s-1-2.strength").unwrap()), dec!(3900));
    let overdue = run.of(Code::StrengthOverdue);
    assert!(overdue.iter().any(|f| f.message.ends_with("specimen S-1-3 was broken, but its strength is not reported")));
}

#[test]
fn pavement_without_any_test_is_a_gap() {
    let run = one_set(|_| {}, &specified(dec!(4000)), vec![], "2031-09-30");
    assert_eq!(run.outcome("strength, NB mainline, placement 1").verdict, Verdict::NotTested);
    assert_eq!(run.of(Code::StrengthMissing)[0].message, "no strength test stands for it (NB-1, 10+00 to 11+00)");
}

//! Thickness by published cases, and by what must hold whatever the cores are.
//!
//! Sources: FHWA standard specifications of the 1969 era, section 501 (three-core average, cap, exclusion, exploratory
//! cores); its pay table as commonly remembered (0.00-0.20 100, 0.21-0.30 80, 0.31-0.40 72, 0.41-0.50 68, 0.51-0.75 57,
//! 0.76-1.00 50, beyond the engineer decides). The core lengths are made for the tests, plan thickness 10.0 in.

use proptest::prelude::*;
use rust_decimal::{Decimal, dec};

use crate::accept::Verdict;
use crate::accept::fixture::{Run, run, thickness};
use crate::finding::Code;
use crate::intake::{Core, LaneId, Records};
use crate::line::fixture::{self, NB_1, NB_2};
use crate::rules::{Judged as Judges, Reach, RuleSet, ThicknessRule};

/// `NB-1` lot 1 runs from 10+00 to 20+00.
const LOT_1: &str = "NB mainline, NB-1 lot 1";

fn core(number: &str, lane: LaneId, at: &str, inches: Decimal) -> Core {
    fixture::core(&fixture::contract(), number, lane, at, &[inches])
}

fn exploratory(number: &str, lane: LaneId, at: &str, inches: Decimal) -> Core {
    Core { purpose: crate::intake::Purpose::Exploratory, ..core(number, lane, at, inches) }
}

/// Both mainline lanes placed from 10+00 to `to`, and these cores.
fn road_to(to: &str, rule: &RuleSet, cores: Vec<Core>) -> Run {
    let contract = fixture::contract();
    let placement = fixture::placement(&contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", to);
    let records = Records { placements: vec![placement], cores, ..Records::default() };
    run(&contract, Some(rule), None, records, "2031-07-31")
}

fn road(rule: &RuleSet, cores: Vec<Core>) -> Run {
    road_to("40+00", rule, cores)
}

/// Three cores a lot, in lot 1 of `NB-1`.
fn three(change: impl Fn(&mut ThicknessRule), lengths: [Decimal; 3]) -> Run {
    let rule = thickness(|rule| {
        rule.cores_per_lot.value = dec!(3);
        change(rule);
    });
    let stations = ["12+00", "15+00", "18+00"];
    let cores = stations.iter().zip(lengths).enumerate().map(|(i, (at, t))| core(&format!("C-{}", i + 1), NB_1, at, t));
    road(&rule, cores.collect())
}

fn by_section(rule: &mut ThicknessRule) {
    rule.judged = Judges::Section;
}

/// Case G14: 10.5 counts as 10.2, mean 9.90, short 0.10, full pay.
#[test]
fn a_thick_core_counts_as_plan_plus_the_cap() {
    let run = three(|_| {}, [dec!(10.5), dec!(9.6), dec!(9.9)]);
    let lot = run.outcome(LOT_1);
    assert_eq!(run.calculation(lot), (dec!(9.9), dec!(0.1), dec!(100)));
    assert_eq!((lot.verdict, &lot.adjustments[..]), (Verdict::Sound, &[][..]));
    assert_eq!(run.value(run.judged.cores[0].counted.unwrap()), dec!(10.2));
    assert!(run.of(Code::ThicknessDeficient).is_empty());
}

/// Case G15: 8.8 is short 1.2 and left out; mean of 9.6 and 9.9 is 9.75, short 0.25, adjusted.
#[test]
fn a_very_thin_core_is_left_out_and_settled_apart() {
    let run = three(|_| {}, [dec!(9.6), dec!(8.8), dec!(9.9)]);
    let lot = run.outcome(LOT_1);
    assert_eq!(run.calculation(lot), (dec!(9.75), dec!(0.25), dec!(80)));
    assert_eq!(lot.verdict, Verdict::Adjusted);
    assert_eq!(run.judged.cores[1].counted, None);
    assert!(
        lot.note.starts_with("left out of the average: core C-2 (1.20 in) is more than 1.0 in thinner"),
        "{}",
        lot.note
    );

    // The zone reaches from good core to good core: 600 ft of 12 ft, 800 yd2; the lot keeps the rest of its 1,333.33.
    let zone = run.outcome("deficient section, NB-1, 12+00 to 18+00");
    let apart = zone.adjustments.first().unwrap();
    assert_eq!(
        (zone.verdict, run.value(apart.effect.figure()), run.value(apart.area)),
        (Verdict::Undecided, dec!(0), dec!(800))
    );
    assert_eq!(
        zone.note,
        format!(
            "{LOT_1}; from good core C-1 to good core C-3; the engineer decides: remove and replace, or leave unpaid"
        )
    );
    let rest = lot.adjustments.first().unwrap();
    assert_eq!(run.value(rest.area), dec!(533.33));
    assert_eq!(run.value(rest.area) + run.value(apart.area), dec!(1333.33), "the lot foots");

    let open = run.of(Code::ThicknessUnresolved);
    assert_eq!(
        (open.len(), open[0].open, open[0].message.as_str()),
        (
            1,
            true,
            "core C-2 (1.20 in) is more than 1.0 in thinner than the design; 800.00 yd2 are settled apart at 0 % of \
             the unit price, and the engineer decides whether it may stay"
        )
    );
    assert_eq!(
        run.of(Code::ThicknessDeficient)[0].message,
        "the average of 9.75 in is 0.25 in under the design thickness of 10.00 in; Example (example) pays 80 % of the \
         unit price for 533.33 yd2, and the engineer decides whether it may stay"
    );
}

/// Case E3 and its variants; lengths, average, deficiency, percent.
#[test]
fn three_core_averages_are_paid_by_the_table() {
    for (lengths, average, deficiency, pay) in [
        ([dec!(9.75), dec!(9.60), dec!(10.60)], dec!(9.85), dec!(0.15), dec!(100)),
        ([dec!(9.60), dec!(9.65), dec!(10.60)], dec!(9.82), dec!(0.18), dec!(100)),
        ([dec!(9.50), dec!(9.55), dec!(9.70)], dec!(9.58), dec!(0.42), dec!(68)),
        ([dec!(8.90), dec!(9.70), dec!(9.80)], dec!(9.75), dec!(0.25), dec!(80)),
    ] {
        let run = three(|_| {}, lengths);
        assert_eq!(run.calculation(run.outcome(LOT_1)), (average, deficiency, pay), "{lengths:?}");
    }
}

/// Case E3: without the cap the average of 9.75, 9.60, 10.60 is 9.983; the cap changes an answer only downward.
#[test]
fn the_cap_changes_an_average_only_downward() {
    let lengths = [dec!(9.75), dec!(9.60), dec!(10.60)];
    let (capped, plain) = (three(|_| {}, lengths), three(|rule| rule.thick_cap = None, lengths));
    let average = |run: &Run| run.calculation(run.outcome(LOT_1)).0;
    assert_eq!((average(&capped), average(&plain)), (dec!(9.85), dec!(9.98)));
}

/// The table is written to 0.01 in, so the deficiency is rounded before it enters: 0.204 is 0.20 and paid in full, 0.205
/// is 0.21 and paid at 80 percent. (Averages are kept to 0.001 in here, so that the deficiency's rounding decides.)
#[test]
fn a_deficiency_is_rounded_before_it_enters_the_table() {
    for (length, deficiency, pay) in [(dec!(9.796), dec!(0.20), dec!(100)), (dec!(9.795), dec!(0.21), dec!(80))] {
        let rule = thickness(|rule| {
            rule.core = "0.001 half up".parse().unwrap();
            rule.average = "0.001 half up".parse().unwrap();
        });
        let run = road(&rule, vec![core("C-1", NB_1, "15+00", length)]);
        assert_eq!(run.calculation(run.outcome(LOT_1)), (length, deficiency.normalize(), pay));
    }
}

#[test]
fn a_cores_length_is_the_mean_of_its_readings_rounded_once() {
    let readings = [dec!(9.83), dec!(9.84), dec!(9.84), dec!(9.83), dec!(9.85)]; // mean 9.838
    let core = fixture::core(&fixture::contract(), "C-1", NB_1, "15+00", &readings);
    let run = road(&thickness(|_| {}), vec![core]);
    assert_eq!(run.value(run.judged.cores[0].length), dec!(9.84));
    assert_eq!(run.value(run.judged.cores[0].deficiency), dec!(0.16));
    assert_eq!(run.value(run.judged.cores[0].least), dec!(9.8));
    assert!(!run.judged.cores[0].deficient);
}

/// Exploratory cores bound a zone and are never averaged (FHWA, section 501).
#[test]
fn exploratory_cores_only_bound() {
    let rule = thickness(|_| {});
    let run = road(
        &rule,
        vec![
            core("C-1", NB_1, "15+00", dec!(8.5)),
            exploratory("C-2", NB_1, "14+90", dec!(9.1)),
            exploratory("C-3", NB_1, "15+10", dec!(8.9)),
            exploratory("C-4", NB_1, "15+20", dec!(9.0)),
            core("C-5", NB_1, "18+00", dec!(9.7)),
        ],
    );
    let zone = run.outcome("deficient section, NB-1, 14+90 to 15+20");
    assert_eq!(zone.verdict, Verdict::Undecided);
    assert_eq!(run.calculation(run.outcome(LOT_1)).0, dec!(9.7), "C-5 alone is averaged");
    assert!(run.judged.cores.iter().filter(|c| c.lot.is_empty()).all(|c| c.counted.is_none()));
}

/// A check core bounds like an exploratory one, and a void core is as if it had never been drilled.
#[test]
fn check_cores_only_bound_and_void_cores_count_nowhere() {
    use crate::intake::Purpose;
    let of = |purpose, number, at, inches| Core { purpose, ..core(number, NB_1, at, inches) };
    let counting = vec![
        core("C-1", NB_1, "15+00", dec!(8.5)),
        of(Purpose::Check, "C-2", "14+90", dec!(9.1)),
        of(Purpose::Check, "C-3", "15+20", dec!(9.0)),
        core("C-5", NB_1, "18+00", dec!(9.7)),
    ];
    let with_void = [
        counting.clone(),
        vec![of(Purpose::Void, "C-6", "15+00", dec!(6.0)), of(Purpose::Void, "C-7", "16+00", dec!(12.0))],
    ]
    .concat();
    let (plain, voided) = (road(&thickness(|_| {}), counting), road(&thickness(|_| {}), with_void));
    let zone = "deficient section, NB-1, 14+90 to 15+20";
    assert_eq!(plain.outcome(zone).verdict, Verdict::Undecided);
    assert_eq!(plain.calculation(plain.outcome(LOT_1)).0, dec!(9.7), "C-5 alone is averaged");
    assert_eq!(voided.outcome(zone).verdict, Verdict::Undecided, "the void core at 16+00 bounds nothing");
    assert_eq!(voided.calculation(voided.outcome(LOT_1)), plain.calculation(plain.outcome(LOT_1)));
    assert_eq!(voided.judged.cores.len(), 4);
}

#[test]
fn a_very_thin_core_without_neighbours_settles_the_whole_lot_apart() {
    let run = road(&thickness(|_| {}), vec![core("C-1", NB_1, "15+00", dec!(8.5))]);
    let zone = run.outcome("deficient section, NB-1, 10+00 to 20+00");
    assert_eq!(run.value(zone.adjustments.first().unwrap().area), dec!(1333.33));
    let lot = run.outcome(LOT_1);
    assert_eq!((lot.verdict, &lot.adjustments[..]), (Verdict::Undecided, &[][..]), "nothing is deducted twice");
    assert!(lot.note.ends_with("the whole lot is settled apart"), "{}", lot.note);
}

/// The same cores: to the good cores 12+00 and 18+00, or half way to them.
#[test]
fn how_far_a_bad_core_reaches_is_a_setting_of_the_rule() {
    let cores = || {
        vec![
            core("C-1", NB_1, "12+00", dec!(9.9)),
            core("C-2", NB_1, "15+00", dec!(9.65)),
            core("C-3", NB_1, "18+00", dec!(10.3)),
        ]
    };
    for (reach, name, area) in [
        (Reach::ToGoodCore, "deficient section, NB-1, 12+00 to 18+00", dec!(800)),
        (Reach::HalfWay, "deficient section, NB-1, 13+50 to 16+50", dec!(400)),
    ] {
        let rule = thickness(|rule| {
            by_section(rule);
            rule.reach = reach.clone();
        });
        let run = road(&rule, cores());
        let section = run.outcome(name);
        assert_eq!(run.calculation(section), (dec!(9.65), dec!(0.35), dec!(72)));
        assert_eq!(run.value(section.adjustments.first().unwrap().area), area);
        let lot = run.outcome(LOT_1);
        assert_eq!(
            (lot.verdict, &lot.adjustments[..]),
            (Verdict::Sound, &[][..]),
            "the rest of the lot is paid in full"
        );
    }
}

#[test]
fn bad_cores_next_to_each_other_make_one_section_and_a_good_one_between_makes_two() {
    let rule = thickness(by_section);
    let cores = |middle| {
        vec![
            core("C-1", NB_1, "11+00", dec!(10.0)),
            core("C-2", NB_1, "13+00", dec!(9.7)),
            core("C-3", NB_1, "15+00", middle),
            core("C-4", NB_1, "17+00", dec!(9.5)),
        ]
    };
    let run = road(&rule, cores(dec!(9.6)));
    let merged = run.outcome("deficient section, NB-1, 11+00 to 20+00");
    assert_eq!(run.calculation(merged), (dec!(9.6), dec!(0.4), dec!(72)));
    assert!(merged.note.ends_with("from good core C-1 to the end of the lot"), "{}", merged.note);
    let run = road(&rule, cores(dec!(9.8)));
    assert_eq!(run.calculation(run.outcome("deficient section, NB-1, 11+00 to 15+00")).2, dec!(80));
    assert_eq!(run.calculation(run.outcome("deficient section, NB-1, 15+00 to 20+00")).2, dec!(68));
}

#[test]
fn a_core_of_the_other_lane_bounds_nothing() {
    let run = road(
        &thickness(by_section),
        vec![core("C-1", NB_1, "15+00", dec!(9.7)), core("C-2", NB_2, "15+50", dec!(10.0))],
    );
    run.outcome("deficient section, NB-1, 10+00 to 20+00");
}

#[test]
fn a_good_core_beside_a_bad_one_at_its_station_does_not_shrink_the_section_to_nothing() {
    let run = road(
        &thickness(by_section),
        vec![core("C-1", NB_1, "15+00", dec!(9.7)), exploratory("C-2", NB_1, "15+00", dec!(10.0))],
    );
    run.outcome("deficient section, NB-1, 10+00 to 20+00");
}

#[test]
fn a_section_ends_where_placing_ended() {
    let run = road_to("17+00", &thickness(by_section), vec![core("C-1", NB_1, "15+00", dec!(9.7))]);
    let section = run.outcome("deficient section, NB-1, 10+00 to 17+00");
    assert!(section.note.ends_with("from the end of the lot to the end of what is placed"), "{}", section.note);
    assert_eq!(run.value(section.adjustments.first().unwrap().area), dec!(933.33));
}

#[test]
fn a_section_with_a_very_thin_core_waits_for_the_engineer() {
    let run = road(
        &thickness(by_section),
        vec![core("C-1", NB_1, "14+00", dec!(9.6)), core("C-2", NB_1, "16+00", dec!(8.7))],
    );
    let section = run.outcome("deficient section, NB-1, 10+00 to 20+00");
    assert_eq!((section.verdict, run.value(section.pay.unwrap())), (Verdict::Undecided, dec!(0)));
    assert_eq!(run.of(Code::ThicknessUnresolved).len(), 1);
}

#[test]
fn a_deficient_exploratory_core_alone_is_said_and_not_priced() {
    let run = road(
        &thickness(by_section),
        vec![
            core("C-1", NB_1, "12+00", dec!(10.0)),
            exploratory("C-2", NB_1, "15+00", dec!(9.5)),
            core("C-3", NB_1, "18+00", dec!(10.0)),
        ],
    );
    assert!(run.judged.outcomes.iter().all(|o| o.adjustments.is_empty()));
    let said = run.of(Code::ThicknessUnresolved);
    assert_eq!((said.len(), said[0].open), (1, true));
    assert!(said[0].message.contains("exploratory cores are never averaged"), "{}", said[0].message);
}

#[test]
fn a_lot_without_its_cores_is_a_gap_only_when_it_is_wholly_placed() {
    let rule = thickness(|_| {});
    let run = road_to("25+00", &rule, vec![core("C-1", NB_2, "15+00", dec!(10.0))]);
    assert_eq!(run.outcome(LOT_1).verdict, Verdict::NotTested);
    assert_eq!(
        run.outcome("NB mainline, NB-1 lot 2").note,
        "the lot is not wholly placed yet; 0 of the 1 cores that the lot needs are there"
    );
    assert!(run.judged.outcomes.iter().all(|o| !o.name.ends_with("lot 3")), "nothing placed, nothing said");
    let missing = run.of(Code::CoreMissing);
    assert_eq!(missing.len(), 1, "lot 1 of NB-1 alone");
    assert_eq!(
        missing[0].message,
        "0 of the 1 cores that the lot needs are there (example rule, section 5), though it is wholly placed; its thickness is not judged"
    );
}

#[test]
fn a_core_where_nothing_was_placed_is_said_and_not_used() {
    let run = road_to("15+00", &thickness(|_| {}), vec![core("C-9", NB_1, "16+00", dec!(10.0))]);
    assert!(run.judged.cores.is_empty());
    assert_eq!(
        run.of(Code::CoreUnplaced)[0].message,
        "core C-9 stands at 16+00 in lane NB-1, where no placement lies; it is not used"
    );
}

/// A core at the very joint of two lots belongs to the one ahead, at the end of placing to the one behind.
#[test]
fn a_core_on_a_joint_belongs_to_one_lot() {
    let rule = thickness(|_| {});
    for (placed, lot) in [("40+00", "NB mainline, NB-1 lot 2"), ("20+00", LOT_1)] {
        let run = road_to(placed, &rule, vec![core("C-1", NB_1, "20+00", dec!(10.0))]);
        assert_eq!(run.judged.cores[0].lot, lot);
    }
}

#[test]
fn the_steps_stand_in_the_order_a_checker_follows() {
    let run = three(|_| {}, [dec!(9.6), dec!(9.6), dec!(9.6)]);
    let labels: Vec<&str> = run.outcome(LOT_1).steps.iter().map(|&id| run.book[id].label.as_str()).collect();
    assert_eq!(
        labels,
        [
            "core C-1, length",
            "core C-2, length",
            "core C-3, length",
            "design thickness",
            "core C-1, as counted",
            "core C-2, as counted",
            "core C-3, as counted",
            "average",
            "deficiency",
            "pay",
            "NB mainline, NB-1 lot 1, length",
            "NB mainline, NB-1 lot 1, area",
        ]
    );
    assert_eq!(run.outcome(LOT_1).adjustments.first().unwrap().decided, fixture::day("2031-07-20"));
}

/// Area-weighted pay in percent of all that is judged.
fn paid(run: &Run) -> Decimal {
    let adjusted = run.judged.outcomes.iter().filter_map(|o| o.adjustments.first());
    adjusted.map(|a| (dec!(100) - run.value(a.effect.figure())) * run.value(a.area)).sum::<Decimal>() * dec!(-1)
}

fn lengths() -> impl Strategy<Value = [Decimal; 3]> {
    // 9.00 to 10.60 in: within the exclusion, so that the same cores are averaged. (Past it a rule of this family jumps
    // on purpose: the very thin core leaves the average, and its zone is paid nothing.)
    prop::array::uniform3(900i64..=1060).prop_map(|all| all.map(|n| Decimal::new(n, 2)))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    #[test]
    fn pay_never_exceeds_the_price_and_never_rises_when_a_core_gets_thinner(all in lengths(), which in 0usize..3, by in 1i64..40) {
        let mut thinner = all;
        thinner[which] = (thinner[which] - Decimal::new(by, 2)).max(dec!(9.00));
        let (before, after) = (three(|_| {}, all), three(|_| {}, thinner));
        let pay = |run: &Run| run.calculation(run.outcome(LOT_1)).2;
        prop_assert!(pay(&before) <= dec!(100));
        prop_assert!(pay(&after) <= pay(&before));
    }

    /// By the section, with the same cores bad before and after.
    #[test]
    fn a_deficient_section_is_never_paid_more_when_its_cores_get_thinner(all in prop::array::uniform3(901i64..=979), which in 0usize..3, by in 1i64..40) {
        let lengths = all.map(|n| Decimal::new(n, 2));
        let mut thinner = lengths;
        thinner[which] = (thinner[which] - Decimal::new(by, 2)).max(dec!(9.00));
        let (before, after) = (three(by_section, lengths), three(by_section, thinner));
        prop_assert!(paid(&before) <= Decimal::ZERO);
        prop_assert!(paid(&after) <= paid(&before));
    }
}

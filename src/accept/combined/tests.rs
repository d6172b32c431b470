//! Combined pay by the published sentences and by hand, and what must hold wherever lots are cut.
//!
//! Sources: UFGS 02753 (the lowest percent among thickness, grade and smoothness is the lot's); FAA P-501 as commonly
//! remembered (both full: the higher; one full: the product; neither: the lower). The percents are made for the tests.

use proptest::prelude::*;
use rust_decimal::{Decimal, dec};

use super::percent::{Percents, Together, together};
use super::pieces::pieces;
use crate::accept::fixture::{Run, combined, rule_number, run_sets, strength, thickness};
use crate::accept::{Outcome, Verdict, judge};
use crate::contract::{Contract, Period};
use crate::figure::{Book, Figure, FigureId, check_dimensions};
use crate::finding::Code;
use crate::intake::{LaneId, Records, Specimen};
use crate::line::fixture::{self, NB_1, NB_2, day, entered};
use crate::line::lay;
use crate::rules::{CombinedRule, How, LotBy, Property, Rejects, RuleSet, Shape};
use crate::units::Unit;

fn rule_of(set: &RuleSet) -> &CombinedRule {
    match &set.shape {
        Shape::Combined(rule) => rule,
        _ => panic!("not a combination"),
    }
}

fn percent(value: Decimal, key: &str) -> crate::rules::RuleNumber {
    rule_number(value, Unit::Percent, key)
}

fn percents(book: &mut Book, values: &[Decimal]) -> Vec<FigureId> {
    let one = |(i, &value): (usize, &Decimal)| {
        let given = book.given(entered(value, Unit::Percent, 1, &format!("f{i}")).given(format!("pay {i}"), "f"));
        book.add(Figure::new(format!("f{i}"), "pay", "f", Unit::Percent, given))
    };
    values.iter().enumerate().map(one).collect()
}

/// Combined, paid, and whether it is rejected.
fn come_to(set: &RuleSet, values: &[Decimal], complete: bool) -> (Decimal, Decimal, bool) {
    let mut book = fixture::book();
    let all = percents(&mut book, values);
    let percents = Percents { key: "lot", when: "", all: &all, complete, undecided: false };
    let Together { combined, pay, rejected } = together(&mut book, rule_of(set), &percents).unwrap();
    for (_, figure) in book.figures() {
        assert_eq!(check_dimensions(&book, figure), Ok(()), "{}", figure.key);
    }
    let value = |id: FigureId| book[id].value.decimal().unwrap().normalize();
    (value(combined), value(pay), rejected)
}

fn pays(how: How, values: &[Decimal]) -> Decimal {
    come_to(&combined(how, |_| {}), values, true).1
}

/// Case G17: thickness 100, grade 95, smoothness 90: the lot pays 90.
#[test]
fn the_lowest_of_three_is_the_lots_percent() {
    assert_eq!(pays(How::Lowest, &[dec!(100), dec!(95), dec!(90)]), dec!(90));
}

/// Both full: the higher. One full: the product, 104 x 95 / 100 = 98.8. Neither: the lower. 100 itself is full.
#[test]
fn the_higher_counts_only_where_both_are_full() {
    for (a, b, f) in [
        (dec!(104), dec!(106), dec!(106)),
        (dec!(106), dec!(104), dec!(106)),
        (dec!(104), dec!(95), dec!(98.8)),
        (dec!(92.5), dec!(106), dec!(98.05)),
        (dec!(99.5), dec!(92.5), dec!(92.5)),
        (dec!(91.6), dec!(99.5), dec!(91.6)),
        (dec!(100), dec!(106), dec!(106)),
        (dec!(100), dec!(100), dec!(100)),
        (dec!(100), dec!(95), dec!(95)),
        (dec!(99.9), dec!(104), dec!(103.896)),
        (dec!(99.9), dec!(99.9), dec!(99.9)),
    ] {
        assert_eq!(pays(How::HigherIfBothFull, &[a, b]), f, "{a} and {b}");
    }
}

/// 90 x 80 x 50 / 10,000 = 36; 100 - 10 - 20 + 3 = 73; (6 x 95 + 4 x 90) / 10 = 93.
#[test]
fn products_sums_and_weights_by_hand() {
    assert_eq!(pays(How::Product, &[dec!(90), dec!(80), dec!(50)]), dec!(36));
    assert_eq!(pays(How::Sum, &[dec!(90), dec!(80), dec!(103)]), dec!(73));
    assert_eq!(pays(How::Sum, &[dec!(40), dec!(30)]), dec!(0), "never less than nothing");
    let weighted = combined(How::Weighted, |rule| {
        rule.weights = vec![rule_number(dec!(6), Unit::One, "w1"), rule_number(dec!(4), Unit::One, "w2")];
    });
    assert_eq!(come_to(&weighted, &[dec!(95), dec!(90)], true).1, dec!(93));
}

#[test]
fn bounds_hold_and_what_is_rejected_waits_at_its_own_percent() {
    let set = combined(How::Product, |rule| {
        rule.most = Some(percent(dec!(105), "most"));
        rule.least = Some(percent(dec!(80), "least"));
        rule.rejects =
            Some(Rejects { below: percent(dec!(75), "reject_below"), until: percent(dec!(50), "until_decided") });
    });
    for (values, expected) in [
        ([dec!(106), dec!(104)], (dec!(110.24), dec!(105), false)),
        ([dec!(95), dec!(90)], (dec!(85.5), dec!(85.5), false)),
        ([dec!(95), dec!(80)], (dec!(76), dec!(80), false)),
        ([dec!(75), dec!(100)], (dec!(75), dec!(80), false)),
        ([dec!(74.9), dec!(100)], (dec!(74.9), dec!(50), true)),
    ] {
        assert_eq!(come_to(&set, &values, true), expected, "{values:?}");
    }
}

#[test]
fn no_more_than_full_is_paid_while_a_property_is_not_judged() {
    for how in [How::Lowest, How::Product, How::Sum, How::HigherIfBothFull] {
        let set = combined(how, |_| {});
        assert_eq!(come_to(&set, &[dec!(106), dec!(100)], false).1, dec!(100), "{how:?}");
        assert_eq!(come_to(&set, &[dec!(90), dec!(100)], false).1, dec!(90), "{how:?}");
    }
}

/// Two 6 in cylinders at 28 days of a strength: load = strength x 28.2743 in2.
fn test_of(set: &str, row: u32, placement: &str, psi: Decimal) -> Vec<Specimen> {
    let load = (psi * dec!(28.274333882)).round();
    (0..2).map(|i| fixture::cylinder(row + i, set, "2031-07-01", placement, Some(load))).collect()
}

/// Two placements over both lanes that meet at 25+00, a core of these lengths in each lot of 1,000 ft of `NB-1` and sound
/// ones in `NB-2`, and a test of these strengths for each placement.
fn records(contract: &Contract, cores: [Decimal; 3], psi: [Option<Decimal>; 2]) -> Records {
    let placed = |number, from, to| fixture::placement(contract, number, "2031-07-01", &[NB_1, NB_2], from, to);
    let at = ["15+00", "27+00", "35+00"];
    let one = |lane: LaneId, first: usize, lengths: [Decimal; 3]| {
        at.into_iter().zip(lengths).enumerate().map(move |(i, (at, length))| {
            fixture::core(&fixture::contract(), &format!("C-{}", first + i), lane, at, &[length])
        })
    };
    let tests = psi
        .into_iter()
        .zip(["1", "2"])
        .zip([1, 11])
        .filter_map(|((psi, placement), row)| Some(test_of(&format!("S-{placement}"), row, placement, psi?)));
    Records {
        placements: vec![placed("1", "10+00", "25+00"), placed("2", "25+00", "40+00")],
        cores: one(NB_1, 1, cores).chain(one(NB_2, 11, [dec!(10); 3])).collect(),
        specimens: tests.flatten().collect(),
        ..Records::default()
    }
}

fn judged(how: How, contract: &Contract, cores: [Decimal; 3], psi: [Option<Decimal>; 2]) -> Run {
    let (by_lot, by_placement, together) = (thickness(|_| {}), strength(|_| {}), combined(how, |_| {}));
    run_sets(contract, &[&together, &by_lot, &by_placement], records(contract, cores, psi), "2031-08-31")
}

fn pieces_of(run: &Run) -> Vec<&Outcome> {
    run.judged.outcomes.iter().filter(|o| o.property == Property::Combined).collect()
}

/// Name, area, percent paid.
fn shown(run: &Run, outcomes: &[&Outcome]) -> Vec<(String, Decimal, Option<Decimal>)> {
    let one = |o: &&Outcome| (o.name.clone(), run.value(o.area.unwrap()), o.pay.map(|pay| run.value(pay)));
    outcomes.iter().map(one).collect()
}

/// `NB-1`: 9.75 in is 80 percent from 10+00, 9.65 in 72 percent from 20+00, sound from 30+00; strength 3,800 psi is 95
/// percent to 25+00 and sound beyond. By the product 76, 68.4, 72 and 100 percent of 1,000, 500, 500 and 1,000 ft of 12 ft.
#[test]
fn unequal_lots_are_parted_where_either_ends() {
    let run = judged(
        How::Product,
        &fixture::contract(),
        [dec!(9.75), dec!(9.65), dec!(10)],
        [Some(dec!(3800)), Some(dec!(4200))],
    );
    let all = pieces_of(&run);
    assert_eq!(
        shown(&run, &all[..4]),
        [
            ("combined, NB mainline, NB-1 lot 1".into(), dec!(1333.33), Some(dec!(76))),
            ("combined, NB-1, 20+00 to 25+00".into(), dec!(666.67), Some(dec!(68.4))),
            ("combined, NB-1, 25+00 to 30+00".into(), dec!(666.67), Some(dec!(72))),
            ("combined, NB mainline, NB-1 lot 3".into(), dec!(1333.33), Some(dec!(100))),
        ]
    );
    assert_eq!(all.len(), 8);
    assert_eq!([all[0].verdict, all[3].verdict], [Verdict::Adjusted, Verdict::Sound]);
    assert!(all[3].adjustments.is_empty());
    let changes: Vec<Decimal> = all[0].adjustments.iter().map(|a| run.value(a.effect.figure())).collect();
    assert_eq!(changes, [dec!(76)], "one line, made by the later of the two");
    assert_eq!(all[0].adjustments[0].decided, day("2031-07-29"));
    let piece = &run.judged.combined[0];
    let percents: Vec<Option<Decimal>> = piece.members.iter().map(|&(_, f)| f.map(|f| run.value(f))).collect();
    assert_eq!((&run.judged.outcomes[piece.outcome], percents), (all[0], vec![Some(dec!(80)), Some(dec!(95))]));
}

#[test]
fn a_property_that_is_not_judged_counts_as_full_and_is_named() {
    let run = judged(How::Lowest, &fixture::contract(), [dec!(9.75), dec!(10), dec!(10)], [None, Some(dec!(4200))]);
    let first = run.outcome("combined, NB mainline, NB-1 lot 1");
    assert_eq!((run.value(first.pay.unwrap()), first.verdict), (dec!(80), Verdict::Adjusted));
    assert_eq!(
        first.note,
        "strength is not judged yet (no strength test stands for it); it counts as 100, and no more than 100 is paid"
    );
    assert_eq!(run.judged.combined[0].members[1], (Property::Strength, None));
}

#[test]
fn where_nothing_is_judged_nothing_is_paid_otherwise() {
    let contract = fixture::contract();
    let placement = fixture::placement(&contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", "40+00");
    let records = Records { placements: vec![placement], ..Records::default() };
    let (by_lot, by_placement, product) = (thickness(|_| {}), strength(|_| {}), combined(How::Product, |_| {}));
    let run = run_sets(&contract, &[&by_lot, &by_placement, &product], records, "2031-08-31");
    let all = pieces_of(&run);
    assert_eq!(all.len(), 6);
    for piece in all {
        assert_eq!((piece.verdict, piece.pay, piece.adjustments.len()), (Verdict::NotTested, None, 0));
        assert!(
            piece.note.contains("thickness is not judged yet") && piece.note.contains("strength is not judged yet")
        );
    }
}

/// A section with a very thin core is settled apart; its ground is paid as it stands and not with its lot as well.
#[test]
fn a_section_settled_apart_goes_before_its_lot() {
    let run = judged(
        How::Lowest,
        &fixture::contract(),
        [dec!(8.5), dec!(10), dec!(10)],
        [Some(dec!(3800)), Some(dec!(4200))],
    );
    let apart: Vec<&Outcome> = pieces_of(&run).into_iter().filter(|o| o.name.contains("deficient section")).collect();
    assert_eq!(
        shown(&run, &apart),
        [("combined, deficient section, NB-1, 10+00 to 20+00".into(), dec!(1333.33), Some(dec!(0)))]
    );
    assert_eq!(apart[0].verdict, Verdict::Undecided);
    assert!(apart[0].note.starts_with("thickness waits for the engineer"), "{}", apart[0].note);
}

/// Cores of July 20 and tests of July 29 in two periods: first 80 percent, then 76, a change of 4 more.
#[test]
fn a_judgement_of_a_later_period_changes_what_was_paid_before() {
    let mut contract = fixture::contract();
    contract.periods =
        [(1, "2031-07-25"), (2, "2031-08-31")].map(|(number, d)| Period { number, through: day(d) }).to_vec();
    let run = judged(How::Product, &contract, [dec!(9.75), dec!(10), dec!(10)], [Some(dec!(3800)), Some(dec!(4200))]);
    let first = run.outcome("combined, NB mainline, NB-1 lot 1");
    let changes: Vec<_> = first.adjustments.iter().map(|a| (a.decided, run.value(a.effect.figure()))).collect();
    assert_eq!(changes, [(day("2031-07-20"), dec!(80)), (day("2031-07-29"), dec!(96))]);
    assert_eq!(run.value(first.pay.unwrap()), dec!(76));
    let second = run.outcome("combined, NB-1, 20+00 to 25+00");
    let changes: Vec<_> = second.adjustments.iter().map(|a| (a.decided, run.value(a.effect.figure()))).collect();
    assert_eq!(changes, [(day("2031-07-29"), dec!(95))], "full pay before is no change");
}

#[test]
fn what_the_rule_rejects_waits_for_the_engineer() {
    let contract = fixture::contract();
    let (by_lot, by_placement) = (thickness(|_| {}), strength(|_| {}));
    let set = combined(How::Product, |rule| {
        rule.rejects =
            Some(Rejects { below: percent(dec!(75), "reject_below"), until: percent(dec!(50), "until_decided") });
    });
    let records = records(&contract, [dec!(9.65), dec!(10), dec!(10)], [Some(dec!(3800)), Some(dec!(4200))]);
    let run = run_sets(&contract, &[&by_lot, &by_placement, &set], records, "2031-08-31");
    let first = run.outcome("combined, NB mainline, NB-1 lot 1");
    assert_eq!((run.value(first.pay.unwrap()), first.verdict), (dec!(50), Verdict::Undecided));
    let found = run.of(Code::CombinedRejected);
    assert_eq!(found.len(), 1);
    assert_eq!(
        found[0].message,
        "thickness and strength together pay 68.40 %, and Example (example) accepts nothing below 75 % at a price; 50.00 % \
         is paid for 1,333.33 yd2 until the engineer decides"
    );
}

#[test]
fn what_pays_no_percent_is_not_combined() {
    let contract = fixture::contract();
    let records = || records(&contract, [dec!(10); 3], [Some(dec!(4200)); 2]);
    let (by_lot, product) = (thickness(|_| {}), combined(How::Product, |_| {}));
    let unpaid = strength(|rule| rule.pay = None);
    for (sets, why) in [
        (vec![&by_lot, &product], "combines strength, for which no rule set is chosen"),
        (vec![&by_lot, &unpaid, &product], "combines strength, but rule set example changes no pay"),
    ] {
        let run = run_sets(&contract, &sets, records(), "2031-08-31");
        assert!(pieces_of(&run).is_empty());
        assert_eq!(run.of(Code::RuleInvalid)[0].message, format!("rule set example {why}; nothing is combined"));
    }
}

/// Placements end to end over both lanes from 10+00, at these distances from it.
fn end_to_end(contract: &Contract, ends: &[u32]) -> Records {
    let mut ends = ends.to_vec();
    ends.sort_unstable();
    ends.dedup();
    let label = |along: u32| format!("{}+{:02}", (1000 + along) / 100, along % 100);
    let placement = |(i, pair): (usize, &[u32])| {
        let (from, to) = (label(pair[0]), label(pair[1]));
        fixture::placement(contract, &(i + 1).to_string(), "2031-07-01", &[NB_1, NB_2], &from, &to)
    };
    Records { placements: ends.windows(2).enumerate().map(placement).collect(), ..Records::default() }
}

fn lots_of(feet: u32) -> LotBy {
    LotBy::Length(rule_number(feet.into(), Unit::Foot, "lot.length"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Wherever lots and placements end, the pieces cover what is placed once, and their areas foot to measuring rounding.
    #[test]
    fn pieces_tile_what_is_placed(
        ends in prop::collection::vec(0u32..=3000, 2..8),
        thick in 80u32..1500,
        strong in 80u32..1500,
        by_placement: bool,
    ) {
        let contract = fixture::contract();
        let mut records = end_to_end(&contract, &ends);
        let by_lot = thickness(|rule| rule.lot.by = lots_of(thick));
        let by_strength = strength(|rule| if !by_placement { rule.lot.by = lots_of(strong) });
        let product = combined(How::Product, |_| {});
        let mut book = fixture::book();
        let (line, _) = lay(&contract, &mut records, &mut book);
        let (judged, _) = judge(&contract, &[&by_lot, &by_strength, &product], &records, &line, day("2031-08-31"), &mut book);
        let found = pieces(&contract, &line, &judged.outcomes, &rule_of(&product).of);
        let mut places: Vec<_> = found.iter().flat_map(|piece| &piece.places).copied().collect();
        places.sort();
        for pair in places.windows(2) {
            prop_assert!(pair[0].0 != pair[1].0 || pair[0].2.along <= pair[1].1.along, "no two pieces overlap");
        }
        let covered: Decimal = places.iter().map(|(_, from, to)| to.along - from.along).sum();
        let placed: Decimal = line.stretches.iter().map(|s| s.to.along - s.from.along).sum();
        prop_assert_eq!(covered, placed);
        let value = |id: FigureId| book[id].value.decimal().unwrap();
        let area: Decimal = judged.combined.iter().map(|c| value(judged.outcomes[c.outcome].area.unwrap())).sum();
        let laid: Decimal = line.stretches.iter().map(|s| value(s.area)).sum();
        prop_assert!((area - laid).abs() <= dec!(0.01) * Decimal::from(places.len() + line.stretches.len()));
    }

    /// With the same lots, each piece is a whole lot and has exactly its area.
    #[test]
    fn the_same_lots_stay_whole(ends in prop::collection::vec(0u32..=3000, 2..8), feet in 80u32..1500) {
        let contract = fixture::contract();
        let records = end_to_end(&contract, &ends);
        let by_lot = thickness(|rule| rule.lot.by = lots_of(feet));
        let by_strength = strength(|rule| rule.lot = match &by_lot.shape {
            Shape::Thickness(own) => own.lot.clone(),
            _ => unreachable!(),
        });
        let product = combined(How::Product, |_| {});
        let run = run_sets(&contract, &[&by_lot, &by_strength, &product], records, "2031-08-31");
        let lots: Vec<&Outcome> = run.judged.outcomes.iter().filter(|o| o.property == Property::Thickness).collect();
        let all = pieces_of(&run);
        prop_assert_eq!(all.len(), lots.len());
        for (piece, lot) in all.into_iter().zip(lots) {
            prop_assert_eq!(&piece.name, &format!("combined, {}", lot.name));
            prop_assert_eq!(run.value(piece.area.unwrap()), run.value(lot.area.unwrap()));
        }
    }
}

//! Segments by hand: passes, proportions, short pieces, and records that contradict the ground or each other.

use rust_decimal::{Decimal, dec};

use crate::accept::fixture::{Run, run_sets};
use crate::accept::{Effect, Outcome, Verdict, judge_on};
use crate::contract::Contract;
use crate::finding::Code;
use crate::intake::{LaneId, Profile, Records, RideIndex};
use crate::line::fixture::{self, NB_1, NB_2, contract, day, placement, read, records, station};
use crate::line::{LotSpan, lay};
use crate::rules::{RuleSet, load};

const MONEY: &str = include_str!("../../rules/sets/example-tenth-mile-incentive.toml");
const LIMIT: &str = include_str!("../../rules/sets/ufgs-02753-smoothness.toml");
const LOTS: &str = include_str!("../../rules/sets/maine-401-ride.toml");

fn rule(text: &str) -> RuleSet {
    load("ours.toml", text).unwrap()
}

/// A segment run on 20 July; `row` is its row on the sheet.
fn segment(lane: LaneId, row: u32, ends: (&str, &str), readings: &[Decimal]) -> Profile {
    let contract = contract();
    Profile {
        number: read(row.to_string().into(), 2, row, 0),
        date: read(day("2031-07-20"), 2, row, 1),
        lane: read(lane, 2, row, 2),
        from: read(station(&contract, lane, ends.0), 2, row, 3),
        to: read(station(&contract, lane, ends.1), 2, row, 4),
        readings: (5..).zip(readings).map(|(column, &value)| read(value, 2, row, column)).collect(),
        measure: RideIndex::Roughness,
        remarks: None,
    }
}

/// Both lanes placed from 10+00 to 30+00.
fn placed(contract: &Contract, profiles: Vec<Profile>) -> Records {
    let both = placement(contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", "30+00");
    Records { profiles, ..records(vec![both], vec![]) }
}

fn judged(set: &RuleSet, profiles: Vec<Profile>) -> Run {
    let contract = contract();
    run_sets(&contract, &[set], placed(&contract, profiles), "2031-07-31")
}

/// The one outcome of one segment.
fn alone(run: &Run) -> &Outcome {
    let [only] = run.judged.outcomes.as_slice() else { panic!("{:#?}", run.judged.outcomes) };
    only
}

/// Money that the outcome changes pay by.
fn money(run: &Run, outcome: &Outcome) -> Decimal {
    let [only] = outcome.adjustments.as_slice() else { panic!("{outcome:#?}") };
    let Effect::Amount(id) = only.effect else { panic!("{only:?}") };
    run.value(id)
}

fn profile_index(readings: &[Decimal]) -> Run {
    let mut one = segment(NB_1, 1, ("10+00", "15+28"), readings);
    one.measure = RideIndex::Profile;
    judged(&rule(LIMIT), vec![one])
}

/// UFGS 02753: three passes per lane, the segment's index is their average, limit 7 in/mi on runways and taxiways.
#[test]
fn the_index_of_a_segment_is_the_mean_of_its_passes() {
    // 7.2 + 6.8 + 7.0 = 21.0, / 3 = 7.0: on the limit, not above.
    let run = profile_index(&[dec!(7.2), dec!(6.8), dec!(7.0)]);
    assert_eq!(run.value(alone(&run).average.unwrap()), dec!(7));
    assert_eq!((alone(&run).verdict, run.findings.len()), (Verdict::Sound, 0));
    // 21.3 / 3 = 7.1: above.
    let run = profile_index(&[dec!(7.2), dec!(6.8), dec!(7.3)]);
    assert_eq!((alone(&run).verdict, alone(&run).pay), (Verdict::Undecided, None));
    assert!(alone(&run).adjustments.is_empty());
    assert_eq!(
        run.of(Code::SmoothnessRough)[0].message,
        "the profile index is 7.1 in/mi; above 7 in/mi it needs correction (UFGS 02753, page 15: runways and taxiways, \
         lengthwise), and the engineer decides whether it may stay"
    );
}

#[test]
fn a_segment_with_fewer_passes_than_the_rule_needs_is_not_judged() {
    let run = profile_index(&[dec!(9), dec!(9)]);
    assert_eq!(alone(&run).verdict, Verdict::NotTested);
    let finding = run.of(Code::SmoothnessMissing)[0];
    assert!(finding.open && finding.message.contains("2 of the 3 passes"), "{}", finding.message);
}

#[test]
fn money_for_a_segment_is_in_proportion_to_its_length() {
    // Arithmetic on the example's own schedule. At 38 in/mi a whole segment of 528 ft takes 800: 264 ft are half of it,
    // 660 ft 1.25 times; at 75 in/mi 264 ft take -150.
    for (to, index, wanted) in [
        ("15+28", dec!(38), dec!(800)),
        ("12+64", dec!(38), dec!(400)),
        ("16+60", dec!(38), dec!(1000)),
        ("12+64", dec!(75), dec!(-150)),
        ("12+00", dec!(90), dec!(-284.09)),
    ] {
        let run = judged(&rule(MONEY), vec![segment(NB_1, 1, ("10+00", to), &[index, index])]);
        assert_eq!(money(&run, alone(&run)), wanted, "to {to} at {index}");
    }
    // Run down station it is the same segment.
    let down = judged(&rule(MONEY), vec![segment(NB_1, 1, ("12+64", "10+00"), &[dec!(38), dec!(38)])]);
    assert_eq!(money(&down, alone(&down)), dec!(400));
    assert_eq!(alone(&down).name, "ride, NB-1, 10+00 to 12+64");
}

#[test]
fn a_rule_may_pay_every_segment_like_a_whole_one() {
    let whole = MONEY.replace("partial     = \"prorated\"", "partial     = \"whole\"");
    let run = judged(&rule(&whole), vec![segment(NB_1, 1, ("10+00", "12+64"), &[dec!(38), dec!(38)])]);
    assert_eq!(money(&run, alone(&run)), dec!(800));
}

#[test]
fn a_full_pay_index_changes_nothing() {
    let run = judged(&rule(MONEY), vec![segment(NB_1, 1, ("10+00", "15+28"), &[dec!(70), dec!(70)])]);
    assert_eq!((alone(&run).verdict, alone(&run).adjustments.len(), run.findings.len()), (Verdict::Sound, 0, 0));
}

/// Iowa DOT 2317 (seen in part): a segment under 100 ft that would need correction is waived and takes a prorated deduction.
#[test]
fn a_short_piece_is_priced_and_never_needs_correction() {
    let rough = [dec!(120), dec!(120)];
    // -1,500 x 99 / 528 = -281.25.
    let run = judged(&rule(MONEY), vec![segment(NB_1, 1, ("10+00", "10+99"), &rough)]);
    assert_eq!((alone(&run).verdict, money(&run, alone(&run))), (Verdict::Adjusted, dec!(-281.25)));
    assert!(alone(&run).note.contains("never needs correction"));
    // -1,500 x 100 / 528 = -284.09, and it needs correction.
    let run = judged(&rule(MONEY), vec![segment(NB_1, 1, ("10+00", "11+00"), &rough)]);
    assert_eq!((alone(&run).verdict, money(&run, alone(&run))), (Verdict::Undecided, dec!(-284.09)));
    assert!(alone(&run).note.contains("needs correction"));
}

/// Iowa DOT 2317, April 2009 (seen): pieces under 50 ft are out of testing. 49.9 ft is not judged, 50.0 ft is.
#[test]
fn a_short_piece_is_not_judged_where_the_rule_says_so() {
    let rule = rule(&MONEY.replace("\"100 ft\"", "\"50 ft\"").replace("\"no correction\"", "\"not judged\""));
    let at = |to: &str| judged(&rule, vec![segment(NB_1, 1, ("10+00", to), &[dec!(120), dec!(120)])]);
    let short = at("10+49.9");
    assert_eq!((alone(&short).verdict, alone(&short).adjustments.len()), (Verdict::NotTested, 0));
    assert_eq!(alone(&short).note, "shorter than 50 ft: not judged");
    assert_eq!(alone(&at("10+50")).verdict, Verdict::Undecided);
}

#[test]
fn what_was_not_placed_is_reported_and_changes_no_pay() {
    let good = [dec!(38), dec!(38)];
    let run = judged(&rule(MONEY), vec![segment(NB_1, 1, ("31+00", "36+28"), &good)]);
    assert_eq!((run.judged.outcomes.len(), run.of(Code::SmoothnessUnplaced).len()), (0, 1));
    // 27+36 to 32+64 is placed to 30+00: 264 ft of 528, half of 800.
    let run = judged(&rule(MONEY), vec![segment(NB_1, 1, ("27+36", "32+64"), &good)]);
    assert_eq!(money(&run, alone(&run)), dec!(400));
    let message = &run.of(Code::SmoothnessUnplaced)[0].message;
    assert!(message.ends_with("it is used for NB-1, 27+36 to 30+00"), "{message}");
}

#[test]
fn a_stretch_that_two_segments_cover_counts_for_the_one_run_first() {
    let mut later = segment(NB_1, 1, ("12+00", "17+28"), &[dec!(30), dec!(30)]);
    later.date.value = day("2031-07-25");
    let first = segment(NB_1, 2, ("10+00", "15+28"), &[dec!(75), dec!(75)]);
    let touching = segment(NB_1, 3, ("15+28", "20+56"), &[dec!(60), dec!(60)]);
    let beside = segment(NB_2, 4, ("12+00", "17+28"), &[dec!(60), dec!(60)]);
    let run = judged(&rule(MONEY), vec![later, first, touching, beside]);
    let names: Vec<&str> = run.judged.outcomes.iter().map(|o| o.name.as_str()).collect();
    assert_eq!(names, ["ride, NB-1, 10+00 to 15+28", "ride, NB-1, 15+28 to 20+56", "ride, NB-2, 12+00 to 17+28"]);
    assert_eq!(run.of(Code::SmoothnessTwice).len(), 1);
}

#[test]
fn another_index_is_never_taken_for_the_rules() {
    let mut other = segment(NB_1, 1, ("10+00", "15+28"), &[dec!(5), dec!(5)]);
    other.measure = RideIndex::Profile;
    let run = judged(&rule(MONEY), vec![other]);
    assert_eq!((run.judged.outcomes.len(), run.of(Code::SmoothnessIndex).len()), (0, 1));
}

#[test]
fn what_lies_between_two_segments_and_was_not_measured_is_listed() {
    let good = [dec!(60), dec!(60)];
    let run = judged(
        &rule(MONEY),
        vec![
            segment(NB_1, 1, ("10+00", "15+28"), &good),
            segment(NB_1, 2, ("20+56", "25+84"), &good),
            segment(NB_2, 3, ("10+00", "15+28"), &good),
        ],
    );
    let finding = &run.of(Code::SmoothnessMissing)[..];
    assert_eq!(finding.len(), 1);
    assert!(matches!(&finding[0].place, crate::finding::Place::Named(at) if at == "NB-1, 15+28 to 20+56"));
    assert!(!finding[0].open);
}

#[test]
fn a_segment_in_two_sections_is_paid_in_each_for_its_part() {
    let mut contract = contract();
    let mut second = contract.sections[0].clone();
    let cut = station(&contract, NB_1, "12+64");
    contract.sections[0].to = cut;
    (second.from, second.name) = (cut, "NB second".into());
    contract.sections.push(second);
    let one = segment(NB_1, 1, ("10+00", "15+28"), &[dec!(38), dec!(38)]);
    let run = run_sets(&contract, &[&rule(MONEY)], placed(&contract, vec![one]), "2031-07-31");
    let parts: Vec<(usize, Decimal)> = run.judged.outcomes.iter().map(|o| (o.section, money(&run, o))).collect();
    assert_eq!(parts, [(0, dec!(400)), (2, dec!(400))]);
    assert_eq!(run.judged.segments.len(), 2);
}

#[test]
fn a_stretch_judged_alone_takes_its_part_of_the_segments() {
    let contract = contract();
    let mut records = placed(&contract, vec![segment(NB_1, 1, ("10+00", "15+28"), &[dec!(38), dec!(38)])]);
    let mut book = fixture::book();
    let (line, _) = lay(&contract, &mut records, &mut book);
    let places = vec![(NB_1, station(&contract, NB_1, "12+64"), station(&contract, NB_1, "20+00"))];
    let only = LotSpan { name: "half".into(), key: "half".into(), section: 0, places };
    let judged = judge_on((&contract, &records, &line), &rule(MONEY), &only, day("2031-07-31"), &mut book);
    let run = Run { judged, findings: vec![], book };
    assert_eq!(money(&run, alone(&run)), dec!(400));
}

/// A lot's index is that of its segments by their lengths: (1,000 x 40 + 500 x 70) / 1,500 = 50 in/mi, at which Maine DOT 401
/// (seen in part) pays 105 - 5 x 15 / 25 = 102 percent.
#[test]
fn segments_of_a_lot_stand_for_all_of_it() {
    let four = |iri: Decimal| [iri; 4];
    let run = judged(
        &rule(LOTS),
        vec![
            segment(NB_1, 1, ("10+00", "20+00"), &four(dec!(40))),
            segment(NB_1, 2, ("22+00", "27+00"), &four(dec!(70))),
        ],
    );
    let lot = run.outcome("ride, NB mainline, NB-1 lot 1");
    assert_eq!((run.value(lot.average.unwrap()), run.value(lot.pay.unwrap())), (dec!(50), dec!(102)));
    // 2,000 ft of 12 ft are placed: the whole lot takes it, not only what was measured.
    assert_eq!(run.value(lot.area.unwrap()), dec!(2666.67));
    assert_eq!(run.outcome("ride, NB mainline, NB-2 lot 1").verdict, Verdict::NotTested);
    assert!(run.of(Code::SmoothnessMissing).is_empty(), "the lot is not wholly placed yet");
}

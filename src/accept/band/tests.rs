//! What tests of fresh concrete stand for and pay. The Iowa tables are walked cell by cell in `tests/published.rs`.

use rust_decimal::{Decimal, dec};

use crate::accept::fixture::{Run, run_sets};
use crate::accept::{FreshJudged, Verdict};
use crate::contract::Contract;
use crate::finding::Code;
use crate::intake::{Fresh, LaneId, Outcome, Records, Sampling, TakenBy};
use crate::line::fixture::{self, NB_1, NB_S, day, entered, read};
use crate::rules::{BandRule, Represents, RuleSet, Several, Shape, load, shipped};
use crate::units::Unit;

/// A shipped rule set, changed.
fn set(id: &str, change: impl Fn(&mut BandRule)) -> RuleSet {
    let (file, text) = shipped().iter().find(|(file, _)| *file == format!("{id}.toml")).unwrap();
    let mut set = load(file, text).unwrap();
    match &mut set.shape {
        Shape::Band(rule) => change(rule),
        _ => panic!("{id} judges no fresh concrete"),
    }
    set
}

/// The example contract with 5 to 8 percent of air.
fn contract() -> Contract {
    let mut contract = fixture::contract();
    let limit = |value| Some(entered(value, Unit::Percent, 101, "fresh.air"));
    contract.fresh.air = (limit(dec!(5)), limit(dec!(8)));
    contract
}

fn test(row: u32, air: Decimal, ticket: Option<&str>, placement: Option<&str>) -> Fresh {
    Fresh {
        number: read(format!("F-{row}").into(), 3, row, 0),
        date: read(day("2031-07-01"), 3, row, 1),
        ticket: ticket.map(|t| read(t.into(), 3, row, 2)),
        placement: placement.map(|p| read(p.into(), 3, row, 6)),
        lane: None,
        station: None,
        slump: None,
        air: Some(read(air, 3, row, 4)),
        temperature: None,
        density: None,
        water_cement: None,
        taken_by: TakenBy::Unstated,
        by: None,
        sampling: Sampling::Unstated,
        settles: None,
        remarks: None,
    }
}

/// Placement 1 in lane NB-1, 10+00 to 12+00 (266.67 yd2): 8 yd3 on ticket 501, 12 on 502 of which 2 were wasted, 7 on 503
/// rejected. Placement 2 the same day in `other`.
fn records(contract: &Contract, other: LaneId, fresh: Vec<Fresh>) -> Records {
    let on = |number, lanes: &[LaneId]| fixture::placement(contract, number, "2031-07-01", lanes, "10+00", "12+00");
    let load = |ticket, volume| fixture::load(ticket, "2031-07-01", volume, Some("1"));
    let mut loads = vec![load(501, dec!(8)), load(502, dec!(12)), load(503, dec!(7))];
    loads[1].wasted = Some(read(dec!(2), 1, 502, 5));
    loads[2].outcome = Outcome::Rejected;
    Records { fresh, ..fixture::records(vec![on("1", &[NB_1]), on("2", &[other])], loads) }
}

fn judged(set: &RuleSet, other: LaneId, fresh: Vec<Fresh>) -> Run {
    let contract = contract();
    let records = records(&contract, other, fresh);
    run_sets(&contract, &[set], records, "2031-07-31")
}

/// Deviation and pay of a judged result.
fn pays(run: &Run, fresh: &FreshJudged) -> (Decimal, Decimal) {
    (run.value(fresh.deviation.unwrap()), run.value(fresh.pay.unwrap()))
}

fn why(run: &Run) -> String {
    run.of(Code::FreshUnplaced)[0].message.clone()
}

#[test]
fn a_load_stands_for_its_part_of_the_placement() {
    let run = judged(&set("iowa-2-34-air", |_| {}), NB_S, vec![test(1, dec!(4.6), Some("0501"), None)]);
    let outcome = run.outcome("air content, load 501 of 2031-07-01");
    // 8 + 12 - 2 = 18 yd3 went in: 200 x 12 / 9 = 266.67 yd2 x 8 / 18 = 118.52.
    assert_eq!(run.value(outcome.area.unwrap()), dec!(118.52));
    assert_eq!(run.calculation(outcome), (dec!(4.6), dec!(0.4), dec!(75)));
    assert_eq!(outcome.verdict, Verdict::Adjusted);
    assert_eq!(
        run.of(Code::FreshOutside).iter().map(|f| f.message.as_str()).collect::<Vec<_>>(),
        [
            "air content 4.6 % is 0.4 % below the lowest, 5 % (contract.toml, line 101); Iowa DOT price adjustment for air \
          content pays 75 % of the unit price for 118.52 yd2, load 501 of 2031-07-01, and the engineer decides whether it \
          may stay; test F-1"
        ]
    );
}

#[test]
fn what_was_wasted_of_a_load_stands_for_nothing() {
    let run = judged(&set("iowa-2-34-air", |_| {}), NB_S, vec![test(1, dec!(8.1), Some("502"), Some("1"))]);
    // 266.67 x 10 / 18 = 148.15.
    let outcome = run.outcome("air content, load 502 of 2031-07-01");
    assert_eq!(run.value(outcome.area.unwrap()), dec!(148.15));
    assert_eq!(run.calculation(outcome).2, dec!(98));
}

#[test]
fn a_rejected_load_is_listed_and_changes_nothing() {
    let run = judged(&set("iowa-2-34-air", |_| {}), NB_S, vec![test(1, dec!(2.0), Some("503"), None)]);
    assert!(run.judged.outcomes.is_empty());
    assert_eq!(run.judged.fresh[0].note, "nothing of its load went into the work");
    assert_eq!(run.of(Code::FreshOutside).len(), 1, "the contract's limits still hold");
}

#[test]
fn a_test_that_stands_for_nothing_certain_is_said_and_still_held_against_the_contract() {
    let air =
        |ticket, placement| judged(&set("iowa-2-34-air", |_| {}), NB_S, vec![test(1, dec!(4.0), ticket, placement)]);
    let run = air(None, Some("1"));
    assert_eq!(
        why(&run),
        "the air content of test F-1 of 2031-07-01 is not judged: it names no ticket, and a test stands for its load"
    );
    assert_eq!(run.of(Code::FreshOutside).len(), 1);
    assert!(why(&air(Some("999"), None)).ends_with("its ticket 999 stands on no sheet of loads"));
    assert!(
        why(&air(Some("501"), Some("2"))).ends_with("it names placement 2, but the load of its ticket 501 went to 1")
    );
}

#[test]
fn a_test_of_several_tickets_belongs_to_each_load_where_all_are_there() {
    let load = set("iowa-2-34-air", |_| {});
    let run = judged(&load, NB_S, vec![test(1, dec!(4.6), Some("501, 502"), None)]);
    // 8 and 10 of the 18 yd3 that went in: 118.52 and 148.15 of 266.67 yd2.
    for (name, area) in [("501", dec!(118.52)), ("502", dec!(148.15))] {
        let outcome = run.outcome(&format!("air content, load {name} of 2031-07-01"));
        assert_eq!(run.value(outcome.area.unwrap()), area);
    }
    let lacking = judged(&load, NB_S, vec![test(1, dec!(4.6), Some("501 & 999"), None)]);
    assert!(why(&lacking).ends_with("its ticket 999 stands on no sheet of loads"));
    let run = judged(&load, NB_S, vec![test(1, dec!(4.6), Some("501-502"), None)]);
    assert!(why(&run).ends_with("it can be one ticket, or those from 501 to 502: write each of them"));
    let rule = set("iowa-2-34-air", |rule| rule.represents = Represents::Placement);
    let run = judged(&rule, NB_S, vec![test(1, dec!(4.6), Some("501; 502"), None)]);
    assert_eq!(run.judged.fresh[0].stands_for, "placement 1 of 2031-07-01");
}

#[test]
fn a_placement_is_told_by_ticket_number_or_lane_but_never_guessed() {
    let rule = set("iowa-2-34-air", |rule| rule.represents = Represents::Placement);
    let stands = |fresh| judged(&rule, NB_S, vec![fresh]);
    for (ticket, placement) in [(Some("501"), None), (None, Some("1")), (Some("999"), Some("1"))] {
        let run = stands(test(1, dec!(4.6), ticket, placement));
        assert_eq!(run.judged.fresh[0].stands_for, "placement 1 of 2031-07-01");
        assert_eq!(run.value(run.judged.outcomes[0].area.unwrap()), dec!(266.67));
    }
    let in_lane = Fresh { lane: Some(read(NB_1, 3, 1, 7)), ..test(1, dec!(4.6), None, None) };
    assert_eq!(stands(in_lane).judged.fresh[0].stands_for, "placement 1 of 2031-07-01");
    assert!(why(&stands(test(1, dec!(4.6), None, None))).ends_with("placements 1, 2 of 2031-07-01 could be meant"));
}

#[test]
fn a_day_is_what_was_placed_of_its_section() {
    let rule = set("iowa-2-34-air", |rule| rule.represents = Represents::Day);
    // Two placements of the day, both in the mainline: no need to know which.
    let run = judged(&rule, fixture::NB_2, vec![test(1, dec!(4.6), None, None)]);
    let outcome = run.outcome("air content, NB mainline of 2031-07-01");
    assert_eq!(run.value(outcome.area.unwrap()), dec!(533.34));
    // One in the mainline, one in the shoulder: it could be either.
    assert_eq!(judged(&rule, NB_S, vec![test(1, dec!(4.6), None, None)]).of(Code::FreshUnplaced).len(), 1);
}

#[test]
fn of_several_tests_the_one_that_pays_least_holds_and_all_are_seen() {
    let two = || vec![test(1, dec!(8.2), Some("501"), None), test(2, dec!(4.3), Some("501"), None)];
    let run = judged(&set("iowa-2-34-air", |_| {}), NB_S, two());
    let fresh = &run.judged.fresh;
    assert_eq!((pays(&run, &fresh[0]), pays(&run, &fresh[1])), ((dec!(0.2), dec!(98)), (dec!(0.7), dec!(50))));
    assert_eq!(run.judged.outcomes.len(), 1);
    assert_eq!(run.judged.outcomes[0].note, "F-2 pays least of F-1, F-2");
    assert_eq!(run.calculation(&run.judged.outcomes[0]), (dec!(4.3), dec!(0.7), dec!(50)));
    assert_eq!(run.of(Code::FreshOutside).len(), 1, "said once");
    // The mean, (8.2 + 4.3) / 2 = 6.25, is within.
    let run = judged(&set("iowa-2-34-air", |rule| rule.several = Several::Mean), NB_S, two());
    assert_eq!(run.judged.outcomes[0].verdict, Verdict::Sound);
    assert_eq!(run.judged.fresh[0].note, "mean of F-1, F-2: 6.3 %");
}

#[test]
fn a_placement_in_two_sections_is_an_outcome_in_each() {
    let contract = contract();
    let rule = set("iowa-2-34-air", |rule| rule.represents = Represents::Placement);
    let both = fixture::placement(&contract, "1", "2031-07-01", &[NB_1, NB_S], "10+00", "12+00");
    let records = Records { fresh: vec![test(1, dec!(3.0), None, Some("1"))], ..fixture::records(vec![both], vec![]) };
    let run = run_sets(&contract, &[&rule], records, "2031-07-31");
    let area = |name| run.value(run.outcome(name).area.unwrap());
    assert_eq!(area("air content, placement 1 of 2031-07-01, NB mainline"), dec!(266.67));
    assert_eq!(area("air content, placement 1 of 2031-07-01, NB shoulder"), dec!(177.78));
    assert_eq!(run.judged.fresh[0].outcomes, [0, 1]);
    assert!(run.judged.outcomes.iter().all(|o| o.verdict == Verdict::Undecided && o.adjustments.len() == 1));
}

#[test]
fn limits_of_the_rule_judge_the_mean_of_a_day() {
    // Example set: 4.5 to 7.5 percent; below, from 100 straight to 40 at 1.5. The mean of 4.1 and 4.2 is 4.15, 4.2 half up:
    // 0.3 below pays 100 - 60 x 0.3 / 1.5 = 88.
    let contract = fixture::si_contract();
    let placement = fixture::placement(&contract, "1", "2031-07-01", &[LaneId(0)], "0+000", "0+100");
    let fresh = vec![test(1, dec!(4.1), None, None), test(2, dec!(4.2), None, None)];
    let records = Records { fresh, ..fixture::records(vec![placement], vec![]) };
    let run = run_sets(&contract, &[&set("example-air-band-si", |_| {})], records, "2031-07-31");
    assert_eq!(run.calculation(run.outcome("air content, main of 2031-07-01")), (dec!(4.2), dec!(0.3), dec!(88)));
}

#[test]
fn as_computed_a_hair_beyond_the_limit_is_beyond() {
    let mut exact = set("iowa-2-34-air", |_| {});
    let fresh = || vec![test(1, dec!(8.04), Some("501"), None)];
    assert_eq!(judged(&exact, NB_S, fresh()).judged.outcomes[0].verdict, Verdict::Sound);
    exact.compares = crate::rules::Compares::Absolute;
    let run = judged(&exact, NB_S, fresh());
    assert_eq!(run.value(run.judged.fresh[0].deviation.unwrap()), dec!(0.04));
}

fn taken(test: Fresh, by: TakenBy) -> Fresh {
    Fresh { taken_by: by, ..test }
}

fn notes(run: &Run) -> Vec<(bool, &str)> {
    run.judged.fresh.iter().map(|fresh| (fresh.pay.is_some(), fresh.note.as_str())).collect()
}

/// The contractor's 4.5 percent alone pays 85 (Iowa DOT Appendix 2-34, table A); beside the agency's 6 percent it does not.
#[test]
fn where_the_agency_tested_only_its_tests_count() {
    let iowa = set("iowa-2-34-air", |_| ());
    let own = || taken(test(3, dec!(4.5), Some("501"), None), TakenBy::Contractor);
    let alone = judged(&iowa, NB_S, vec![own()]);
    assert_eq!(notes(&alone), [(true, "")]);
    assert_eq!(alone.judged.outcomes[0].verdict, Verdict::Adjusted);
    let both = judged(&iowa, NB_S, vec![own(), taken(test(4, dec!(6), Some("501"), None), TakenBy::Agency)]);
    assert_eq!(notes(&both), [(false, "contractor's, the agency's counts"), (true, "")]);
    let outcome = &both.judged.outcomes[0];
    assert_eq!((outcome.verdict, outcome.note.as_str()), (Verdict::Sound, "F-3 contractor's, the agency's counts"));
    // The contract's own limits still speak of it.
    assert_eq!(both.of(Code::FreshOutside).len(), 1);
}

#[test]
fn assurance_never_counts() {
    let iowa = set("iowa-2-34-air", |_| ());
    let run = judged(&iowa, NB_S, vec![taken(test(3, dec!(4.5), Some("501"), None), TakenBy::Assurance)]);
    assert_eq!(notes(&run), [(false, "independent assurance, does not count")]);
    assert!(run.judged.outcomes.is_empty());
}

#[test]
fn a_referee_counts_in_place_of_what_it_settles() {
    let iowa = set("iowa-2-34-air", |_| ());
    let referee = |ticket: &str| Fresh {
        settles: Some(read("f-3".into(), 3, 9, 7)),
        ..taken(test(9, dec!(6), Some(ticket), None), TakenBy::Referee)
    };
    let agency = || taken(test(3, dec!(4.5), Some("501"), None), TakenBy::Agency);
    let run = judged(&iowa, NB_S, vec![agency(), referee("501")]);
    assert_eq!(notes(&run), [(false, "settled by F-9"), (true, "")]);
    assert_eq!((run.judged.outcomes[0].verdict, run.findings.len()), (Verdict::Sound, 0), "{:?}", run.findings);
    // Of another load it settles nothing, and counts nowhere.
    let run = judged(&iowa, NB_S, vec![agency(), referee("502")]);
    assert_eq!(notes(&run), [(true, ""), (false, "counts nowhere: what it settles cannot be told")]);
    assert_eq!(
        run.of(Code::SettlesUnknown)[0].message,
        "test F-9 counts nowhere: it stands for load 502 of 2031-07-01, and what it is to settle for load 501 of 2031-07-01"
    );
}

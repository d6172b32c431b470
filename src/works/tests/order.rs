//! Planted omissions and order faults: each is found, with both records, and a clean contract is accused of nothing.

use chrono::NaiveTime;
use rust_decimal::{Decimal, dec};

use super::{Seen, number, see, work};
use crate::contract::{Contract, Driveway};
use crate::finding::{Code, Place};
use crate::intake::{Bar, BarCheck, LaneId, Placement, Read, Records, Step, Work};
use crate::line::fixture::{self, NB_1, NB_2, NB_S, contract, cylinder, day, placement, read, station};
use crate::rules::{
    BarRule, ConstructionRule, CureRule, DepthRule, JointRule, Leftover, LotBy, LotRule, OpeningRule, Proof, Required,
    SawRule,
};
use crate::units::Unit;
use crate::works::{Band, BandState, Finds, Stands};

/// Two placements of both mainline lanes, 200 ft each, on 10 and 12 June.
fn placements(contract: &Contract) -> Vec<Placement> {
    let ended = |p: Placement| Placement { times: (None, Some(fixture::time("15:00"))), ..p };
    vec![
        ended(placement(contract, "1", "2031-06-10", &[NB_1, NB_2], "10+00", "12+00")),
        ended(placement(contract, "2", "2031-06-12", &[NB_1, NB_2], "12+00", "14+00")),
    ]
}

const BOTH: &[LaneId] = &[NB_1, NB_2];

fn at(time: &str) -> Read<NaiveTime> {
    fixture::time(time)
}

/// A fault to be planted.
type Change<'a> = &'a dyn Fn(&mut Vec<Work>);

/// Base accepted, cured and sawn as they should be.
fn good(contract: &Contract) -> Vec<Work> {
    let step = |row, step, date, ends| work(contract, row, (step, date), BOTH, ends);
    vec![
        Work {
            depth: Some(read(dec!(4), 0, 1, 5)),
            accepted: Some(read(day("2031-06-06"), 0, 1, 6)),
            ..step(1, Step::Base, "2031-06-05", ("10+00", "14+00"))
        },
        Work {
            times: (Some(at("15:30")), None),
            rate: Some(read(dec!(140), 0, 2, 5)),
            ..step(2, Step::Cure, "2031-06-10", ("10+00", "12+00"))
        },
        Work {
            times: (Some(at("15:30")), None),
            rate: Some(read(dec!(140), 0, 3, 5)),
            ..step(3, Step::Cure, "2031-06-12", ("12+00", "14+00"))
        },
        Work {
            times: (None, Some(at("05:00"))),
            depth: Some(read(dec!(3.5), 0, 4, 5)),
            ..step(4, Step::Saw, "2031-06-11", ("10+00", "12+00"))
        },
        Work {
            times: (None, Some(at("05:00"))),
            depth: Some(read(dec!(3.5), 0, 5, 5)),
            ..step(5, Step::Saw, "2031-06-13", ("12+00", "14+00"))
        },
    ]
}

fn rule() -> ConstructionRule {
    ConstructionRule {
        depths: vec![DepthRule { step: Step::Base, least: number(dec!(3.5), Unit::Inch), most: None }],
        saw: Some(SawRule {
            within: Some(number(dec!(24), Unit::Hour)),
            least: Some(number(dec!(33), Unit::Percent)),
            round: Some("1 half up".parse().unwrap()),
        }),
        cure: Some(CureRule {
            within: Some(number(dec!(60), Unit::Minute)),
            covers: Some(number(dec!(150), Unit::SquareFootPerGallon)),
        }),
        joints: Some(JointRule {
            spacing: number(dec!(15), Unit::Foot),
            most_thicknesses: Some(number(dec!(24), Unit::One)),
        }),
        steps: [Step::Base, Step::Cure, Step::Saw].map(|s| (s, "section 9.2".to_string())).to_vec(),
        required: vec![Required {
            proof: Proof::BaseDepth,
            lot: LotRule { by: LotBy::Length(number(dec!(200), Unit::Foot)), leftover: Leftover::Own },
            tests: number(dec!(1), Unit::One),
        }],
        ..ConstructionRule::default()
    }
}

fn seen(change: impl Fn(&mut Vec<Work>)) -> Seen {
    let contract = contract();
    let mut works = good(&contract);
    change(&mut works);
    see(&contract, Records { placements: placements(&contract), works, ..Records::default() }, rule(), "2031-07-31")
}

#[test]
fn a_contract_whose_steps_are_all_there_is_accused_of_nothing() {
    let clean = seen(|_| {});
    assert_eq!(clean.findings, []);
    assert!(clean.works.covered[0].pieces.iter().all(|p| p.stands == Stands::Proved));
    // Arithmetic: 3.5 / 10 in = 35 percent; 15:00 to 05:00 are 14 h; 15:00 to 15:30 are 30 min.
    let saw = &clean.works.sawing[0];
    assert_eq!((clean.text(saw.cut), clean.text(saw.after)), ("35".into(), "14.0".into()));
    assert_eq!(clean.text(clean.works.curing[0].after), "30");
}

#[test]
fn each_planted_fault_is_found_with_its_records_and_nothing_else() {
    let found = |change: Change<'_>| seen(change).codes();
    let contract = contract();
    let faults: [(&str, Change<'_>, Code); 9] = [
        (
            "base accepted after paving",
            &|w| w[0].accepted = Some(read(day("2031-06-11"), 0, 1, 6)),
            Code::CoveredUntested,
        ),
        ("base under its depth", &|w| w[0].depth = Some(read(dec!(3.4), 0, 1, 5)), Code::DepthOutside),
        ("no curing on record", &|w| drop(w.remove(2)), Code::StepMissing),
        ("curing begun 61 minutes after", &|w| w[1].times = (Some(at("16:01")), None), Code::CureLate),
        ("compound spread too thin", &|w| w[1].rate = Some(read(dec!(151), 0, 2, 5)), Code::CureThin),
        ("sawn 25 hours after", &|w| w[3].times = (None, Some(at("16:00"))), Code::SawLate),
        ("a shallow cut", &|w| w[3].depth = Some(read(dec!(3.2), 0, 4, 5)), Code::SawShallow),
        ("too few baskets", &|w| w.push(baskets(&contract, dec!(51))), Code::BasketsShort),
        ("sealed before it was sawn", &|w| w.push(sealed(&contract, "2031-06-10")), Code::StepOutOfOrder),
    ];
    for (what, change, code) in faults {
        assert_eq!(found(change), [code], "{what}");
    }
    // 60 minutes and 24 hours themselves are in time; 33 percent itself is deep enough; 26 joints a lane of 400 ft at 15 ft.
    assert_eq!(found(&|w| w[1].times = (Some(at("16:00")), None)), []);
    assert_eq!(found(&|w| w[3].times = (None, Some(at("15:00")))), []);
    assert_eq!(found(&|w| w[3].depth = Some(read(dec!(3.3), 0, 4, 5))), []);
    assert_eq!(found(&|w| w.push(baskets(&contract, dec!(52)))), []);
}

fn baskets(contract: &Contract, count: Decimal) -> Work {
    let work = work(contract, 9, (Step::Baskets, "2031-06-08"), BOTH, ("10+00", "14+00"));
    Work { count: Some(read(count, 0, 9, 5)), ..work }
}

fn sealed(contract: &Contract, date: &str) -> Work {
    work(contract, 9, (Step::Seal, date), BOTH, ("10+00", "12+00"))
}

/// No rule asks for baskets here; but a lane that has them half way is a lane that lacks them beyond.
#[test]
fn a_step_that_breaks_off_is_said_and_one_that_never_began_is_not() {
    let contract = contract();
    let half = || Work { to: read(station(&contract, NB_1, "12+00"), 0, 9, 4), ..baskets(&contract, dec!(26)) };
    let broken = seen(|w| w.push(half()));
    assert_eq!(broken.codes(), [Code::StepMissing]);
    assert!(
        broken.message(Code::StepMissing).contains("at NB-1, 12+00 to 14+00; NB-2, 12+00 to 14+00"),
        "{}",
        broken.message(Code::StepMissing)
    );
    let lane = broken.works.bands.iter().find(|b| b.lane == NB_1).unwrap();
    let bars = &lane.bands.iter().find(|(b, _)| *b == Band::Bars).unwrap().1;
    assert_eq!(bars[1], (dec!(200), dec!(400), BandState::Missing));
}

#[test]
fn an_order_fault_names_both_records() {
    let contract = contract();
    let seen = seen(|w| w.push(sealed(&contract, "2031-06-10")));
    let finding = seen.findings.iter().find(|f| f.code == Code::StepOutOfOrder).unwrap();
    assert_eq!(
        finding.message,
        "NB-1, NB-2, 10+00 to 12+00: joints sealed on 2031-06-10, and joints sawn only on 2031-06-11"
    );
    assert!(matches!(finding.place, Place::Row(at) if at.row == 9));
    assert_eq!(finding.related, [Place::Row(seen.records.works[3].number.at)]);
}

#[test]
fn base_placed_after_the_concrete_is_out_of_order_and_a_part_in_time_does_not_excuse_the_rest() {
    let found = seen(|w| {
        let second = Work { date: read(day("2031-06-13"), 0, 11, 1), accepted: None, ..w[0].clone() };
        w[0].to = read(station(&contract(), NB_1, "12+00"), 0, 1, 4);
        w.push(Work {
            from: read(station(&contract(), NB_1, "12+00"), 0, 11, 3),
            number: read("base 11".into(), 0, 11, 0),
            ..second
        });
    });
    assert!(found.message(Code::StepOutOfOrder).starts_with(
        "NB-1, NB-2, 12+00 to 14+00: concrete placed (2) on 2031-06-12, and base placed only on 2031-06-13"
    ));
}

#[test]
fn every_foot_of_a_lane_has_a_state_and_the_gap_is_where_it_is() {
    let found = seen(|w| drop(w.remove(2)));
    let lane = found.works.bands.iter().find(|b| b.lane == NB_1).unwrap();
    let band = |band: Band| &lane.bands.iter().find(|(b, _)| *b == band).unwrap().1;
    assert_eq!(
        band(Band::Curing)[..2],
        [(dec!(0), dec!(200), BandState::Proved), (dec!(200), dec!(400), BandState::Missing)]
    );
    assert_eq!(band(Band::Base)[0], (dec!(0), dec!(400), BandState::Proved));
    assert_eq!(band(Band::Curing).last().map(|p| (p.1, p.2)), Some((dec!(3000), BandState::NotPlaced)));
    for (_, pieces) in &lane.bands {
        assert!(pieces.windows(2).all(|two| two[0].1 == two[1].0), "no foot is left out");
        assert_eq!((pieces[0].0, pieces.last().unwrap().1), (dec!(0), dec!(3000)));
    }
    assert!(
        found.message(Code::StepMissing).contains("NB-1 12+00 to 14+00")
            || found.message(Code::StepMissing).contains("NB-1, 12+00 to 14+00")
    );
}

#[test]
fn a_piece_without_its_test_is_listed_with_its_place_and_since_when() {
    let found = seen(|w| w[0].depth = None);
    let pieces = &found.works.covered[0].pieces;
    assert!(pieces.iter().all(|p| p.stands == Stands::Missing && p.done == 0));
    assert_eq!(pieces[0].since, day("2031-06-10"));
    assert_eq!(found.codes(), [Code::ProofMissing]);
    assert!(
        found.message(Code::ProofMissing).contains("NB-1, 10+00 to 12+00 (due since 2031-06-10)"),
        "{}",
        found.message(Code::ProofMissing)
    );
}

/// Joints at 15 ft from header to header, each a row of its own: the last panel of 200 ft is 5 ft long.
#[test]
fn joints_sawn_one_by_one_cover_the_pavement_and_a_forgotten_one_does_not() {
    let contract = contract();
    let joint = |n: u32| {
        let label = format!("{}+{:02}", 10 + 15 * n / 100, 15 * n % 100);
        Work {
            times: (None, Some(at("05:00"))),
            depth: Some(read(dec!(3.5), 0, 20 + n, 5)),
            ..work(&contract, 20 + n, (Step::Saw, "2031-06-11"), BOTH, (&label, &label))
        }
    };
    let sawn = |skip: u32| {
        seen(|w| {
            w.remove(3);
            w.extend((1..=13).filter(|n| *n != skip).map(joint));
        })
    };
    assert_eq!(sawn(0).findings, []);
    let forgotten = sawn(6);
    assert_eq!(forgotten.codes(), [Code::StepMissing]);
    // The joint at 10+90 is missing: from half way behind 10+75 to half way before 11+05.
    assert!(
        forgotten.message(Code::StepMissing).contains("10+82.5 to 10+97.5"),
        "{}",
        forgotten.message(Code::StepMissing)
    );
}

/// WSDOT 5-05 (seen in part): dowels within 1 in of mid-depth, within 1/2 in of parallel; here the limits themselves pass.
#[test]
fn a_bar_is_held_against_the_middle_of_the_slab() {
    let contract = contract();
    let bar = |depth, tilt| BarCheck {
        number: read("B-1".into(), 2, 1, 0),
        date: read(day("2031-06-10"), 2, 1, 1),
        lane: read(NB_1, 2, 1, 2),
        station: read(station(&contract, NB_1, "10+15"), 2, 1, 3),
        bar: Bar::Dowel,
        place: Some(read("3".into(), 2, 1, 4)),
        depth: Some(read(depth, 2, 1, 5)),
        side: None,
        tilt: Some(read(tilt, 2, 1, 6)),
        skew: None,
        remarks: None,
    };
    let limits = BarRule {
        bar: Bar::Dowel,
        depth: Some(number(dec!(1), Unit::Inch)),
        side: None,
        tilt: Some(number(dec!(0.5), Unit::Inch)),
        skew: None,
    };
    let of = |depth, tilt| {
        let records = Records { placements: placements(&contract), bars: vec![bar(depth, tilt)], ..Records::default() };
        see(
            &contract,
            records,
            ConstructionRule { bars: vec![limits.clone()], ..ConstructionRule::default() },
            "2031-07-31",
        )
    };
    // 10 in thick: the middle lies 5 in deep.
    assert_eq!(of(dec!(6), dec!(-0.5)).findings, []);
    let low = of(dec!(6.1), dec!(0));
    assert_eq!((low.codes(), low.works.bars[0].finds), (vec![Code::BarOutside], Finds::Failed));
    assert_eq!(low.text(low.works.bars[0].off), "1.10");
    assert_eq!(of(dec!(5), dec!(-0.6)).codes(), [Code::BarOutside]);
}

/// SUDAS (seen): joints at most 24 thicknesses apart on granular ground: 20 ft for 10 in, 16 ft for 8 in.
#[test]
fn joints_are_held_against_the_thickness() {
    let contract = contract();
    let of = |feet| {
        let joints =
            JointRule { spacing: number(feet, Unit::Foot), most_thicknesses: Some(number(dec!(24), Unit::One)) };
        let rule = ConstructionRule { joints: Some(joints), ..ConstructionRule::default() };
        see(&contract, Records { placements: placements(&contract), ..Records::default() }, rule, "2031-07-31")
            .findings
            .len()
    };
    assert_eq!((of(dec!(16)), of(dec!(16.1)), of(dec!(20)), of(dec!(20.1))), (0, 1, 1, 2));
}

/// Common practice: about 3,500 psi and 5 days; here both are needed.
fn opening(both: bool) -> ConstructionRule {
    let opening = OpeningRule {
        strength: Some(number(dec!(3500), Unit::Psi)),
        flexural: false,
        age: Some(number(dec!(5), Unit::Day)),
        both,
    };
    ConstructionRule { opening: Some(opening), ..ConstructionRule::default() }
}

/// A cylinder of the first placement, broken at three days; 100,000 lb on 6 in are 3,537 psi.
fn opened(both: bool, load: Decimal, on: Option<&str>) -> Seen {
    let mut contract = contract();
    let ends = |label| station(&contract, NB_1, label);
    let drive = Driveway { name: "Drive 1".into(), lanes: vec![NB_1], from: ends("11+50"), to: ends("11+80") };
    let beyond = Driveway { name: "Drive 2".into(), lanes: vec![NB_S], from: ends("11+50"), to: ends("11+80") };
    contract.driveways = vec![drive, beyond];
    let early = cylinder(1, "S-1", "2031-06-10", "1", Some(load));
    let early = crate::intake::Specimen {
        tested: Some(read(day("2031-06-13"), 3, 1, 3)),
        age: Some(read(dec!(3), 3, 1, 4)),
        ..early
    };
    let works = on.map(|date| work(&contract, 1, (Step::Open, date), BOTH, ("10+00", "12+00"))).into_iter().collect();
    let records = Records { placements: placements(&contract), specimens: vec![early], works, ..Records::default() };
    see(&contract, records, opening(both), "2031-06-20")
}

#[test]
fn pavement_may_be_opened_once_it_is_old_and_strong_enough() {
    let strong = opened(true, dec!(100000), None);
    let line = &strong.works.openings[0];
    assert_eq!((line.old_enough, line.may), (Some(day("2031-06-15")), Some(day("2031-06-15"))));
    assert_eq!(line.strong.as_ref().map(|s| s.day), Some(day("2031-06-13")));
    assert_eq!(strong.works.openings[1].missing, "strength of 3500 psi: no strength on record");
    let weak = opened(true, dec!(98000), None);
    assert_eq!(weak.works.openings[0].may, None);
    assert!(weak.works.openings[0].missing.contains("3,466 psi"), "{}", weak.works.openings[0].missing);
    // Either will do: strength first, on the third day.
    assert_eq!(opened(false, dec!(100000), None).works.openings[0].may, Some(day("2031-06-13")));
}

#[test]
fn a_driveway_waits_for_all_pavement_under_it() {
    let seen = opened(true, dec!(100000), None);
    let [first, second] = seen.works.drives.as_slice() else { panic!("two driveways") };
    assert_eq!((first.may, first.missing.as_str()), (Some(day("2031-06-15")), ""));
    assert_eq!((second.may, second.missing.as_str()), (None, "not wholly placed"));
}

#[test]
fn opening_before_the_records_bear_it_out_is_said_with_both_records() {
    let early = opened(true, dec!(100000), Some("2031-06-14"));
    assert_eq!(early.codes(), [Code::OpenedEarly]);
    assert!(
        early.message(Code::OpenedEarly).contains("4 days old")
            && early.message(Code::OpenedEarly).contains("from 2031-06-15 on")
    );
    assert_eq!(opened(true, dec!(100000), Some("2031-06-15")).codes(), []);
    assert_eq!(opened(true, dec!(98000), Some("2031-06-18")).codes(), [Code::OpenedEarly]);
    assert_eq!(early.line.stretches.len(), 4);
}

//! A clean month has no remark; each planted fault has its own, and no other.

use std::collections::BTreeMap;

use proptest::prelude::*;
use rust_decimal::{Decimal, dec};

use super::{TicketAudit, tickets};
use crate::contract::{Batching, Contract, Entered, Mix, TicketRules, Waived};
use crate::figure::{Book, check_dimensions};
use crate::finding::{Code, Finding};
use crate::intake::{Ingredient, Load, Records};
use crate::line::fixture::{self, NB_1, entered, read};
use crate::line::lay;
use crate::statistics::Draws;
use crate::units::Unit;

fn limit(value: Decimal, unit: Unit) -> Entered {
    entered(value, unit, 300, &format!("tickets.{value}{unit}"))
}

fn design(masses: &[(Ingredient, Decimal)]) -> BTreeMap<Ingredient, Entered> {
    let mass = |&(of, mass): &(Ingredient, Decimal)| {
        (of, entered(mass, Unit::PoundPerCubicYard, 310, &format!("mixes[0].design.{}", of.word())))
    };
    masses.iter().map(mass).collect()
}

const DESIGN: [(Ingredient, Decimal); 4] = [
    (Ingredient::Cement, dec!(564)),
    (Ingredient::Fine, dec!(1240)),
    (Ingredient::Coarse, dec!(1800)),
    (Ingredient::Water, dec!(245)),
];

fn contract() -> Contract {
    let mut contract = fixture::contract();
    contract.mixes = vec![Mix {
        name: "P-4000".into(),
        also: vec![],
        sections: vec![0],
        price: Some(entered(dec!(118.5), Unit::CubicYard.price().unwrap(), 311, "mixes[0].price")),
        design: design(&DESIGN),
        water_cement: Some(entered(dec!(0.45), Unit::One, 312, "mixes[0].water_cement")),
        line: 310,
    }];
    let ends = |low, high| {
        (Some(limit(low, Unit::Percent)), Some(entered(high, Unit::Percent, 321, &format!("batching.{high}"))))
    };
    contract.batching = Batching {
        tolerances: [
            (Ingredient::Cement, ends(dec!(-1), dec!(5))),
            (Ingredient::Fine, ends(dec!(-2), dec!(2))),
            (Ingredient::Coarse, ends(dec!(-2), dec!(2))),
        ]
        .into(),
    };
    contract.tickets = Some(TicketRules {
        time_limit: Some(limit(dec!(90), Unit::Minute)),
        revolutions: Some(limit(dec!(300), Unit::One)),
        waived: vec![],
        shortest_round: Some(limit(dec!(35), Unit::Minute)),
        day: (Some(fixture::time("05:30").value), Some(fixture::time("19:00").value)),
        numbered: vec!["Plant A".into()],
        copied: Some(limit(dec!(0.1), Unit::Percent)),
        line: 300,
    });
    contract
}

/// A day of 60 loads of ten trucks, one batched every six minutes, so that each is back after an hour; all of it as it should be.
fn clean(seed: &str) -> Records {
    let contract = contract();
    let mut draws = Draws::new(seed, "loads");
    let mut records = Records {
        placements: vec![fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "22+00")],
        ..Records::default()
    };
    let clock = |minutes: u32| format!("{:02}:{:02}", minutes / 60, minutes % 60);
    let mut within = |low: i64, high: i64| {
        let span = u32::try_from(high - low + 1).unwrap();
        low + i64::from(
            (0..span)
                .map(f64::from)
                .rposition(|k| k <= draws.next() * f64::from(span))
                .map_or(0, |k| i32::try_from(k).unwrap()),
        )
    };
    for i in 0..60_u32 {
        let ticket = 1000 + i;
        let mut load = fixture::load(ticket, "2031-07-01", dec!(8), Some("1"));
        let batched = 360 + 6 * i;
        let column = |text: String, k| read(text.into(), 1, ticket, k);
        load.plant = Some(column("Plant A".into(), 5));
        load.truck = Some(column(format!("T{}", i % 10), 6));
        load.mix = Some(column("P-4000".into(), 7));
        load.batched = Some(fixture::time(&clock(batched)));
        load.discharged = Some(fixture::time(&clock(batched + u32::try_from(within(30, 50)).unwrap())));
        load.revolutions = Some(read(within(90, 250).into(), 1, ticket, 8));
        load.withheld = Some(read(dec!(10), 1, ticket, 9));
        load.water = Some(read(within(0, 10).into(), 1, ticket, 10));
        let moist = [(Ingredient::Fine, dec!(4)), (Ingredient::Coarse, dec!(1))];
        let mut batch = fixture::batch(
            ticket,
            "2031-07-01",
            &[
                (Ingredient::Cement, dec!(4512) + Decimal::from(within(-40, 200))),
                (Ingredient::Fine, dec!(10317) + Decimal::from(within(-180, 180))),
                (Ingredient::Coarse, dec!(14544) + Decimal::from(within(-250, 250))),
                (Ingredient::Water, dec!(1319) + Decimal::from(within(-30, 15))),
            ],
        );
        batch.moistures = moist.into_iter().map(|(of, m)| (of, read(m, 1, ticket, 20))).collect();
        records.loads.push(load);
        records.batches.push(batch);
    }
    records
}

struct Job {
    audit: TicketAudit,
    findings: Vec<Finding>,
    book: Book,
}

fn job(contract: &Contract, mut records: Records) -> Job {
    let mut book = fixture::book();
    let (line, _) = lay(contract, &mut records, &mut book);
    let (audit, findings) = tickets(contract, &records, &line, &[], &mut book);
    for (_, figure) in book.figures() {
        assert_eq!(check_dimensions(&book, figure), Ok(()), "{}", figure.key);
    }
    Job { audit, findings, book }
}

/// The findings after a change to the clean day, which must be all of one code.
fn only(code: Code, change: impl Fn(&mut Contract, &mut Records)) -> Vec<String> {
    let (mut contract, mut records) = (contract(), clean("one"));
    change(&mut contract, &mut records);
    let job = job(&contract, records);
    let found: Vec<Code> = job.findings.iter().map(|f| f.code).collect();
    assert!(!found.is_empty() && found.iter().all(|c| *c == code), "{code}: {:#?}", job.findings);
    assert!(job.findings.iter().all(|f| !f.open), "an audit keeps no estimate open");
    job.findings.into_iter().map(|f| f.message).collect()
}

fn load(records: &mut Records, ticket: u32) -> &mut Load {
    records.loads.iter_mut().find(|l| *l.ticket.value == ticket.to_string()).unwrap()
}

#[test]
fn clean_months_have_no_remark() {
    for seed in ["one", "two", "three", "four", "five", "six"] {
        let job = job(&contract(), clean(seed));
        assert!(job.findings.is_empty(), "{seed}: {:#?}", job.findings);
        assert_eq!(job.audit.checks.iter().map(|c| c.unable).sum::<usize>(), 60, "only totals are not on the sheet");
        assert!(job.audit.unlimited.is_empty());
    }
}

#[test]
fn without_limits_nothing_is_judged() {
    let (mut contract, mut records) = (contract(), clean("one"));
    load(&mut records, 1003).discharged = Some(fixture::time("18:00"));
    (contract.tickets, contract.mixes, contract.batching) = (None, vec![], Batching::default());
    let job = job(&contract, records);
    assert_eq!(job.findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::TruckOverlap], "impossible by itself");
    assert_eq!(job.audit.unlimited.len(), 9, "{:?}", job.audit.unlimited);
}

#[test]
fn one_load_on_two_tickets() {
    let said = only(Code::LoadTwice, |_, records| {
        let mut again = load(records, 1012).clone();
        again.ticket = read("1060".into(), 1, 1060, 0);
        records.loads.push(again);
    });
    assert_eq!(
        said,
        [
            "tickets 1012 and 1060 say the same load: truck T2, batched at 07:12 on 2031-07-01, 8 yd3; 8.00 yd3 are counted again \
          ($948.00)"
        ]
    );
}

#[test]
fn one_load_on_tickets_of_two_plants() {
    let across = |discharged: bool| {
        move |_: &mut Contract, records: &mut Records| {
            let mut again = load(records, 1012).clone();
            again.ticket = read("77001".into(), 1, 77_001, 0);
            again.plant = Some(read("Plant B".into(), 1, 77_001, 5));
            if !discharged {
                again.discharged = Some(fixture::time("08:30"));
            }
            records.loads.push(again);
        }
    };
    assert_eq!(only(Code::LoadTwice, across(true)).len(), 1);
    let (mut contract, mut records) = (contract(), clean("one"));
    across(false)(&mut contract, &mut records);
    assert!(job(&contract, records).findings.is_empty(), "plants may number their trucks alike");
}

#[test]
fn a_truck_cannot_be_at_two_places() {
    let said = only(Code::TruckOverlap, |_, records| load(records, 1013).truck = Some(read("T2".into(), 1, 1013, 6)));
    assert!(said[0].contains("it cannot have been at both places"), "{said:?}");
}

#[test]
fn a_round_is_too_short_only_against_the_contract() {
    let said = only(Code::RoundTooShort, |contract, _| {
        contract.tickets.as_mut().unwrap().shortest_round = Some(limit(dec!(61), Unit::Minute));
    });
    assert_eq!(said.len(), 50, "all but the first of each truck");
    assert!(said[0].contains("60 min after ticket"), "{}", said[0]);
}

#[test]
fn a_late_discharge_and_one_that_was_waived() {
    let late = |records: &mut Records| {
        load(records, 1055).discharged = Some(fixture::time("13:01"));
    };
    let said = only(Code::DischargeLate, |_, records| late(records));
    assert_eq!(
        said,
        ["ticket 1055 was batched at 11:30 and discharged at 13:01, 91 min later; the contract's limit is 90 min"]
    );
    let (mut contract, mut records) = (contract(), clean("one"));
    late(&mut records);
    contract.tickets.as_mut().unwrap().waived = vec![Waived { ticket: "1055".into(), reason: "no water added".into() }];
    let job = job(&contract, records);
    assert!(job.findings.is_empty());
    assert_eq!(job.audit.waived.len(), 1);
}

#[test]
fn turns_of_the_drum_at_the_limit_are_within_it() {
    let said = only(Code::RevolutionsOver, |_, records| {
        load(records, 1010).revolutions = Some(read(dec!(300), 1, 1010, 8));
        load(records, 1011).revolutions = Some(read(dec!(301), 1, 1011, 8));
    });
    assert_eq!(said, ["the drum of ticket 1011 had turned 301 times at discharge; the contract's limit is 300 "]);
}

/// Cement 4,512 lb; water 1,319 + 10,317 x 4/104 + 14,544 x 1/101 = 1,859.8 lb: 0.412. With 30 gal, 249.9 lb, it is 0.468.
#[test]
fn water_beyond_what_was_withheld_and_its_ratio() {
    let (contract, mut records) = (contract(), clean("one"));
    load(&mut records, 1020).water = Some(read(dec!(30), 1, 1020, 10));
    let batch = records.batches.iter_mut().find(|b| &*b.ticket.value == "1020").unwrap();
    for (of, mass) in
        [(Ingredient::Cement, 4512), (Ingredient::Fine, 10317), (Ingredient::Coarse, 14544), (Ingredient::Water, 1319)]
    {
        batch.weights.get_mut(&of).unwrap().value = mass.into();
    }
    let job = job(&contract, records);
    let said: Vec<&str> = job.findings.iter().map(|f| f.message.as_str()).collect();
    assert_eq!(
        said,
        [
            "ticket 1020 had 30.0 gal of water added at the site; the plant had withheld 10.0 gal",
            "ticket 1020 has 0.468 of water to cementitious material with the water added at the site; the highest of mix P-4000 is \
             0.45 "
        ]
    );
    let ratio = job.audit.remarks.iter().find(|r| r.code == Code::WaterCementOver).unwrap().value.unwrap();
    assert_eq!(job.book[ratio].value.decimal().unwrap().round_dp(3), dec!(0.468));
}

#[test]
fn a_mix_that_is_not_there_and_one_in_the_wrong_place() {
    let said = only(Code::MixUnknown, |_, records| {
        for ticket in [1001, 1002] {
            load(records, ticket).mix = Some(read("HES".into(), 1, ticket, 7));
        }
    });
    assert_eq!(said, ["tickets 1001 and 1002: mix HES is none of the contract's, which are P-4000"]);
    let said = only(Code::MixWrong, |contract, _| contract.mixes[0].sections = vec![1]);
    assert!(said[0].ends_with(
        "went into placement 1 of 2031-07-01 (NB-1, 10+00 to 22+00); the contract has it in NB shoulder only"
    ));
}

#[test]
fn a_load_at_night() {
    let said = only(Code::LoadHours, |contract, _| {
        contract.tickets.as_mut().unwrap().day.0 = Some(fixture::time("06:01").value);
    });
    assert_eq!(
        said,
        ["ticket 1000 was batched at 06:00 on 2031-07-01, outside the contract's working day, 06:01 to 19:00"]
    );
}

#[test]
fn a_gap_in_the_numbers() {
    let said = only(Code::TicketGap, |_, records| {
        records.loads.retain(|l| !["1030", "1031"].contains(&&*l.ticket.value));
        records.batches.retain(|b| !["1030", "1031"].contains(&&*b.ticket.value));
    });
    assert_eq!(said, ["between tickets 1029 and 1032 of Plant A, 2 numbers stand on no sheet"]);
}

#[test]
fn batches_that_repeat_each_other() {
    let said = only(Code::LooksCopied, |_, records| {
        let weights = records.batches[7].weights.clone();
        for i in [8, 9] {
            records.batches[i].weights.clone_from(&weights);
        }
    });
    assert!(
        said[0].starts_with("the batches of tickets 1007, 1008 and 1009 repeat each other in every weight"),
        "{said:?}"
    );
}

#[test]
fn last_digits_that_no_scale_shows() {
    let said = only(Code::LooksCopied, |_, records| {
        for (i, batch) in (0_i64..).zip(&mut records.batches) {
            let mass = &mut batch.weights.get_mut(&Ingredient::Coarse).unwrap().value;
            let tens = (*mass / dec!(10)).trunc() * dec!(10);
            *mass = tens + Decimal::from(if i % 5 == 0 { 3 } else { 7 });
        }
    });
    assert!(said[0].starts_with("the last digits of coarse aggregate weights of Plant A (60 batches)"), "{said:?}");
}

/// Army engineer manual, free moisture: per cubic yard 36.6 gal of water, 1,735 lb coarse and 1,153 lb fine; free moisture 6 percent
/// in the fine and 2 in the coarse. Fine 1,222.18 lb, coarse 1,769.70 lb, water less 103.88 lb: 24.13 gal.
#[test]
fn free_moisture_of_the_manual() {
    let (mut contract, mut records) = (contract(), Records::default());
    let water = dec!(36.6) * dec!(8.33);
    contract.mixes[0].design =
        design(&[(Ingredient::Coarse, dec!(1735)), (Ingredient::Fine, dec!(1153)), (Ingredient::Water, water)]);
    let none =
        |k: i64| (Some(limit(dec!(0), Unit::Percent)), Some(entered(dec!(0), Unit::Percent, 321, &format!("b{k}"))));
    let of = [Ingredient::Coarse, Ingredient::Fine, Ingredient::Water];
    contract.batching.tolerances = (0..).zip(of).map(|(k, of)| (of, none(k))).collect();
    records.placements = clean("one").placements;
    let mut load = fixture::load(1, "2031-07-01", dec!(1), Some("1"));
    load.mix = Some(read("P-4000".into(), 1, 1, 7));
    records.loads.push(load);
    let mut batch = fixture::batch(1, "2031-07-01", &of.map(|of| (of, dec!(1))));
    batch.moistures =
        [(Ingredient::Fine, read(dec!(6), 1, 1, 20)), (Ingredient::Coarse, read(dec!(2), 1, 1, 21))].into();
    records.batches.push(batch);
    let job = job(&contract, records);
    let target =
        |of: &str| job.book[job.book.by_key(&format!("ticket-1.target-of-{of}")).unwrap()].value.decimal().unwrap();
    assert_eq!(target("fine-aggregate"), dec!(1222.18));
    assert_eq!(target("coarse-aggregate"), dec!(1769.70));
    assert_eq!((target("water") / dec!(8.33)).round_dp(2), dec!(24.13));
}

#[test]
fn a_weight_off_its_target() {
    let said = only(Code::BatchOutside, |_, records| {
        let cement = records.batches[3].weights.get_mut(&Ingredient::Cement).unwrap();
        cement.value = dec!(4400);
    });
    assert_eq!(
        said,
        [
            "ticket 1003 was batched with 4,400 lb of cement where 4,512.0 lb were the target: -2.48 %, beyond the contract's -1 %"
        ]
    );
}

#[test]
fn weights_that_do_not_add_up_and_batches_of_nobody() {
    let said = only(Code::BatchSum, |_, records| {
        let batch = &mut records.batches[3];
        let sum: Decimal = batch.weights.values().map(|w| w.value).sum();
        batch.total = Some(read(sum + dec!(40), 1, 1003, 12));
        let batch = &mut records.batches[4];
        batch.total = Some(read(batch.weights.values().map(|w| w.value).sum::<Decimal>() + dec!(2), 1, 1004, 12));
    });
    assert_eq!(said.len(), 1, "two pounds are what rounding leaves: {said:?}");
    let said = only(Code::BatchWithoutLoad, |_, records| {
        let stray = fixture::batch(5000, "2031-07-01", &[(Ingredient::Cement, dec!(4500))]);
        records.batches.push(stray);
    });
    assert_eq!(said, ["batch weights of 1 name tickets that are no load: 5000"]);
}

proptest! {
    /// The order in which tickets come changes nothing.
    #[test]
    fn order_changes_nothing(by in 1usize..59) {
        let (contract, mut records) = (contract(), clean("one"));
        load(&mut records, 1055).discharged = Some(fixture::time("13:01"));
        load(&mut records, 1013).truck = Some(read("T2".into(), 1, 1013, 6));
        let first = job(&contract, records.clone());
        records.loads.rotate_left(by);
        records.batches.rotate_right(by);
        let again = job(&contract, records);
        prop_assert_eq!(first.findings, again.findings);
    }
}

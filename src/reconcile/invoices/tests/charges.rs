//! Short loads and waiting.

use super::*;
use crate::intake::Charge;

fn short(amount: Decimal) -> Billed {
    let mut line = Billed { charge: Charge::ShortLoad, mix: None, volume: None, price: None, ..line(9, 504, dec!(1)) };
    line.amount.value = amount;
    line
}

fn short_load_of(volume: Decimal, amount: Decimal) -> Job {
    three_with(|loads, billed| {
        loads.push(load(504, volume));
        billed.extend([line(8, 504, volume), short(amount)]);
    })
}

#[test]
fn a_short_load_is_charged_where_its_ticket_is_short() {
    assert!(short_load_of(dec!(5.99), dec!(85)).audit.disputes.is_empty());
    let full = short_load_of(dec!(6), dec!(85));
    assert_eq!(full.only(), (&[Reason::ShortLoad][..], dec!(85)), "below 6 yd3 is short, 6 yd3 is not");
    assert!(
        full.findings[0].message.contains(
            "charged as a short load, but the ticket has 6 yd3; short is below 6 yd3 (contract.toml, line 121)"
        )
    );
    let dear = short_load_of(dec!(4), dec!(95));
    assert_eq!(dear.only(), (&[Reason::ShortLoad][..], dec!(10)));
    assert!(dear.findings[0].message.contains("$95.00 charged for a short load, $85.00 agreed"));
}

#[test]
fn a_short_load_charged_twice_is_payable_once() {
    let job = three_with(|loads, billed| {
        loads.push(load(504, dec!(4)));
        billed.extend([line(8, 504, dec!(4)), short(dec!(85)), short(dec!(85))]);
    });
    assert_eq!(job.only(), (&[Reason::Twice][..], dec!(85)));
}

#[test]
fn a_charge_that_is_not_agreed_is_not_judged() {
    let mut silent = contract();
    silent.supply = None;
    let job = job_under(
        &silent,
        three(),
        [three_billed(), vec![Billed { ticket: Some(word("503")), ..short(dec!(85)) }]].concat(),
    );
    assert!(job.audit.disputes.is_empty());
    let said: Vec<&str> = job.audit.not_agreed.iter().map(|n| n.what.as_str()).collect();
    assert_eq!(
        said,
        ["no charge for short loads is agreed", "the contract does not say below which volume a load is short"]
    );
}

fn waiting(minutes: Decimal, price: Decimal) -> Billed {
    let mut line = Billed {
        charge: Charge::Waiting,
        mix: None,
        volume: None,
        minutes: Some(number(minutes)),
        price: Some(number(price)),
        ..line(9, 503, dec!(1))
    };
    line.amount.value = (minutes * price).round_dp(2);
    line
}

/// The third truck between two times on the site, and a line for its waiting.
fn waited(from: &str, to: &str, billed: Billed) -> Job {
    three_with(|loads, lines| {
        loads[2].arrived = (!from.is_empty()).then(|| fixture::time(from));
        loads[2].discharged = (!to.is_empty()).then(|| fixture::time(to));
        lines.push(billed);
    })
}

/// Arithmetic: 10:05 to 10:57 are 52 min, less 30 free are 22; 23 more at 2.25 are 51.75.
#[test]
fn waiting_is_payable_by_the_times_of_the_ticket() {
    assert!(waited("10:05", "10:57", waiting(dec!(22), dec!(2.25))).audit.disputes.is_empty());
    assert!(waited("10:05", "10:57", waiting(dec!(20), dec!(2.25))).audit.disputes.is_empty());
    let job = waited("10:05", "10:57", waiting(dec!(45), dec!(2.25)));
    assert_eq!(job.only(), (&[Reason::Waiting][..], dec!(51.75)));
    assert!(job.findings[0].message.contains(
        "45 min billed; 52 min on the site by the ticket (10:05 to 10:57), of which 30 min are free: 23 min more \
         (contract.toml, line 123); billed $101.25, payable $49.50, $51.75 to dispute"
    ));
    let none = waited("10:05", "10:30", waiting(dec!(10), dec!(2.25)));
    assert_eq!(none.only(), (&[Reason::Waiting][..], dec!(22.50)), "25 min are free");
}

/// Arithmetic: 22 min at 2.25 are 49.50; a line of 60.00 that does not say for how long is 10.50 above.
#[test]
fn waiting_that_does_not_say_how_long_is_held_against_the_ticket() {
    let line = |amount: Decimal| {
        let mut line = Billed { minutes: None, price: None, ..waiting(dec!(1), dec!(1)) };
        line.amount.value = amount;
        waited("10:05", "10:57", line)
    };
    assert!(line(dec!(49.50)).audit.disputes.is_empty());
    assert_eq!(line(dec!(60)).only(), (&[Reason::Waiting][..], dec!(10.50)));
    let by_the_hour = waited("10:05", "10:57", Billed { minutes: None, ..waiting(dec!(0.33), dec!(135)) });
    assert!(by_the_hour.audit.disputes.is_empty(), "a price of what is not said is compared with nothing");
    assert_eq!(by_the_hour.unchecked(), ["the line does not say whether its price is for a minute"]);
}

/// Arithmetic: 23:40 to 00:25 are 45 min, less 30 free are 15.
#[test]
fn a_truck_may_wait_past_midnight() {
    assert!(waited("23:40", "00:25", waiting(dec!(15), dec!(2.25))).audit.disputes.is_empty());
    let job = waited("23:40", "00:25", waiting(dec!(20), dec!(2.25)));
    assert_eq!(job.only(), (&[Reason::Waiting][..], dec!(11.25)));
}

#[test]
fn times_that_are_missing_or_the_wrong_way_round_are_not_judged() {
    for (from, to, why) in [
        ("", "10:57", "its ticket does not say when the truck came"),
        ("10:05", "", "its ticket does not say when it was discharged"),
        ("10:57", "10:05", "its ticket has the truck discharged before it came"),
    ] {
        let job = waited(from, to, waiting(dec!(45), dec!(2.25)));
        assert!(job.audit.disputes.is_empty());
        assert_eq!(job.unchecked(), [why]);
    }
}

/// Arithmetic: 22 min at 3.00 are 66.00, at 2.25 49.50. The price is known even where the times are not.
#[test]
fn a_minute_above_the_agreed_price() {
    let job = waited("10:05", "10:57", waiting(dec!(22), dec!(3)));
    assert_eq!(job.only(), (&[Reason::Waiting][..], dec!(16.50)));
    let untimed = waited("", "", waiting(dec!(22), dec!(3)));
    assert_eq!(untimed.only(), (&[Reason::Waiting][..], dec!(16.50)));
}

/// 12 and 10 of 22 min are the parts of one wait; 22 and 22 are one wait billed twice.
#[test]
fn a_wait_in_parts_is_not_a_wait_twice() {
    let lines = |minutes: [Decimal; 2]| {
        three_with(|loads, billed| {
            (loads[2].arrived, loads[2].discharged) = (Some(fixture::time("10:05")), Some(fixture::time("10:57")));
            billed.extend(minutes.map(|m| waiting(m, dec!(2.25))));
        })
    };
    assert!(lines([dec!(12), dec!(10)]).audit.disputes.is_empty());
    assert_eq!(lines([dec!(22), dec!(22)]).only(), (&[Reason::Twice][..], dec!(49.50)));
}

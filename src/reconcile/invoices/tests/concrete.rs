//! Lines for concrete, one fault at a time.

use super::*;
use crate::finding::Place;
use crate::intake::Outcome;

/// A rule of the trade: one ticket, one payment. 948.00 is billed again, within the invoice and on another.
#[test]
fn a_ticket_billed_twice_is_payable_once() {
    let within = three_with(|_, billed| billed.push(line(9, 502, dec!(8))));
    assert_eq!(within.only(), (&[Reason::Twice][..], dec!(948)));
    assert_eq!(within.total(), [dec!(3821.63), dec!(2873.63), dec!(948)]);
    let across = three_with(|_, billed| {
        billed.push(Billed { invoice: fixture::read("1002".into(), 4, 9, 0), ..line(9, 502, dec!(8)) });
    });
    assert_eq!(across.only(), (&[Reason::Twice][..], dec!(948)));
    assert_eq!(
        across.findings[0].message,
        "invoice 1002, ticket 502, concrete of 2031-07-01: ticket 502 is billed on invoice 1001 already ($948.00); \
         billed $948.00, payable $0.00, $948.00 to dispute"
    );
    let [own, ticket, first] =
        [across.records.billed[3].invoice.at, across.records.loads[1].ticket.at, across.records.billed[1].invoice.at];
    assert_eq!(across.findings[0].place, Place::Row(own));
    assert_eq!(across.findings[0].related, [Place::Row(ticket), Place::Row(first)]);
    let by_invoice: Vec<_> = across.audit.invoices.iter().map(|i| across.amounts(i.amounts)).collect();
    assert_eq!(by_invoice, [[dec!(2873.63), dec!(2873.63), dec!(0)], [dec!(948), dec!(0), dec!(948)]]);
}

/// A ticket split between two cost codes: 5 + 3 of 8 yd3 are its parts; 3 more are not.
#[test]
fn parts_of_a_ticket_are_not_the_ticket_billed_twice() {
    let parts = three_with(|_, billed| {
        billed[1] = line(2, 502, dec!(5));
        billed.push(line(9, 502, dec!(3)));
    });
    assert!(parts.audit.disputes.is_empty());
    let more = three_with(|_, billed| {
        billed[1] = line(2, 502, dec!(5));
        billed.extend([line(8, 502, dec!(3)), line(9, 502, dec!(3))]);
    });
    assert_eq!(more.only(), (&[Reason::Twice][..], dec!(355.50)));
}

#[test]
fn a_ticket_that_was_not_received_is_not_payable() {
    let job = three_with(|_, billed| billed.push(line(9, 599, dec!(8))));
    assert_eq!(job.only(), (&[Reason::NotReceived][..], dec!(948)));
    assert_eq!(
        job.findings[0].message,
        "invoice 1001, ticket 599, concrete of 2031-07-01: ticket 599 stands on no load sheet; billed $948.00, \
         payable $0.00, $948.00 to dispute"
    );
    let other_day = three_with(|_, billed| {
        billed.push(Billed { date: fixture::read(fixture::day("2031-07-06"), 4, 9, 1), ..line(9, 599, dec!(8)) });
    });
    assert!(other_day.findings[0].message.contains("stands on no load sheet, and no load of 2031-07-06 does"));
}

#[test]
fn a_rejected_load_is_not_payable() {
    let job = three_with(|loads, _| loads[2].outcome = Outcome::Rejected);
    assert_eq!(job.only(), (&[Reason::Rejected][..], dec!(977.63)));
}

/// A rule of the trade: what is sent back was batched for the buyer.
#[test]
fn returned_concrete_is_payable() {
    let job = three_with(|loads, _| loads[2].returned = Some(fixture::read(dec!(2), 1, 503, 6)));
    assert!(job.audit.disputes.is_empty());
}

/// Arithmetic: 9.5 billed of 8 yd3; 1.5 x 118.50 = 177.75.
#[test]
fn more_volume_than_the_ticket_says() {
    let job = three_with(|_, billed| billed[0] = line(1, 501, dec!(9.5)));
    assert_eq!(job.only(), (&[Reason::Volume][..], dec!(177.75)));
    assert_eq!(
        job.findings[0].message,
        "invoice 1001, ticket 501, concrete of 2031-07-01: 9.5 yd3 billed, 8 yd3 on the ticket: 1.5 more; billed \
         $1,125.75, payable $948.00, $177.75 to dispute"
    );
    let less = three_with(|_, billed| billed[0] = line(1, 501, dec!(7)));
    assert!(less.audit.disputes.is_empty(), "less than the ticket is the supplier's to ask for");
}

/// Arithmetic: 8 yd3 at 121.00 are 968.00, at 118.50 948.00. Below the agreed price there is nothing to dispute.
#[test]
fn another_price_than_the_agreed_one() {
    let at = |price: Decimal| {
        three_with(|_, billed| {
            billed[0] =
                Billed { mix: Some(word("4000 Paving")), ..fixture::billed(1, "1001", JULY_1, 501, (dec!(8), price)) };
        })
    };
    let above = at(dec!(121));
    assert_eq!(above.only(), (&[Reason::Price][..], dec!(20)));
    assert_eq!(
        above.findings[0].message,
        "invoice 1001, ticket 501, concrete of 2031-07-01: $121.00 a yd3 billed, $118.50 agreed for P-4000: \
         $2.50 more (contract.toml, line 101); billed $968.00, payable $948.00, $20.00 to dispute"
    );
    let below = at(dec!(100));
    assert_eq!(below.only(), (&[Reason::Price][..], dec!(0)));
    assert!(below.findings[0].message.ends_with("billed $800.00, payable $800.00, nothing to dispute"));
}

/// Arithmetic: HES at its own agreed price against a ticket of P-4000: 8 x (131.00 - 118.50) = 100.00.
#[test]
fn another_mix_than_the_tickets_is_one_fault() {
    let job = three_with(|_, billed| {
        billed[0] = Billed { mix: Some(word("HES")), ..fixture::billed(1, "1001", JULY_1, 501, (dec!(8), dec!(131))) };
    });
    assert_eq!(job.only(), (&[Reason::Mix][..], dec!(100)));
}

/// Arithmetic: 8 x 118.50 is 948.00, not 984.00 (two digits changed places).
#[test]
fn an_amount_that_is_not_quantity_times_price() {
    let job = three_with(|_, billed| billed[0].amount.value = dec!(984));
    assert_eq!(job.only(), (&[Reason::Amount][..], dec!(36)));
    assert!(job.findings[0].message.contains("$984.00 billed, but 8 yd3 x $118.50 is $948.00: $36.00 more"));
}

/// Arithmetic: 8.25 x 118.50 is 977.625, which is 977.63 half up. A supplier that cuts the half cent off is not at fault.
#[test]
fn a_cent_that_was_cut_off_is_no_fault() {
    let job = three_with(|_, billed| billed[2].amount.value = dec!(977.62));
    assert!(job.audit.disputes.is_empty() && job.findings.is_empty());
    let job = three_with(|_, billed| billed[2].amount.value = dec!(977.61));
    assert_eq!(job.only(), (&[Reason::Amount][..], dec!(0)));
}

/// A line that gives its amount alone is held against the ticket's volume and the agreed price.
#[test]
fn an_amount_alone_is_held_against_ticket_and_agreement() {
    let alone = |amount: Decimal| {
        three_with(|_, billed| {
            (billed[0].volume, billed[0].price, billed[0].amount.value) = (None, None, amount);
        })
    };
    assert!(alone(dec!(948)).audit.disputes.is_empty());
    assert_eq!(alone(dec!(950)).only(), (&[Reason::Amount][..], dec!(2)));
}

/// Arithmetic: 9 yd3 at 121.00 are 1,089.00; 8 at 118.50 are 948.00: 141.00, not 118.50 and 22.50 and more.
#[test]
fn two_faults_of_one_line_are_disputed_once() {
    let job = three_with(|_, billed| {
        billed[0] =
            Billed { mix: Some(word("P-4000")), ..fixture::billed(1, "1001", JULY_1, 501, (dec!(9), dec!(121))) };
    });
    assert_eq!(job.only(), (&[Reason::Volume, Reason::Price][..], dec!(141)));
    assert_eq!(job.codes(), [Code::BilledVolume, Code::BilledPrice]);
    assert!(job.findings.iter().all(|f| f.message.ends_with("$141.00 to dispute for this and 1 more on the line")));
}

/// Where the contract states no price, the volume is still the ticket's: 1.5 yd3 at the billed 125.00.
#[test]
fn without_an_agreed_price_the_billed_one_is_taken_and_that_is_said() {
    let bare = fixture::contract();
    let at = |volume| fixture::billed(1, "1001", JULY_1, 501, (volume, dec!(125)));
    let fair = job_under(&bare, three(), vec![at(dec!(8))]);
    assert!(fair.audit.disputes.is_empty());
    assert_eq!(fair.audit.not_agreed[0].what, "no price is agreed for mix P-4000, so its price is taken as billed");
    assert_eq!(fair.audit.not_agreed[0].lines, 1);
    let padded = job_under(&bare, three(), vec![at(dec!(9.5))]);
    assert_eq!(padded.value(padded.audit.disputes[0].dispute), dec!(187.50));
}

#[test]
fn a_ticket_that_several_loads_bear_is_not_guessed() {
    let two_days = |billed: Billed| {
        let mut loads = three();
        loads.push(Load { mix: Some(word("P-4000")), ..fixture::load(501, "2031-07-02", dec!(9), None) });
        job(loads, vec![billed])
    };
    let on_its_day = two_days(line(1, 501, dec!(9)));
    assert_eq!(on_its_day.audit.disputes[0].reasons, [Reason::Volume], "the day tells them apart");
    let at_the_end =
        two_days(Billed { date: fixture::read(fixture::day("2031-07-31"), 4, 1, 1), ..line(1, 501, dec!(9)) });
    assert!(at_the_end.audit.disputes.is_empty());
    assert_eq!(at_the_end.unchecked(), ["2 loads bear its ticket, so it is held against the agreement alone"]);
}

#[test]
fn a_line_without_a_ticket_is_held_against_the_price_alone() {
    let job = three_with(|_, billed| {
        let mut day = Billed { ticket: None, ..line(9, 0, dec!(40)) };
        day.amount.value = dec!(4750);
        billed.push(day);
    });
    assert_eq!(job.only(), (&[Reason::Amount][..], dec!(10)));
    assert_eq!(job.unchecked(), ["it names no ticket, so it is held against the agreement alone"]);
    assert_eq!(job.audit.unbilled, None, "the line may bill any load");
}

#[test]
fn without_load_sheets_no_ticket_is_missing() {
    let job = job(vec![], three_billed());
    assert!(job.audit.disputes.is_empty());
    assert_eq!(job.audit.not_agreed[0].lines, 3);
    let twice = super::job(vec![], [three_billed(), vec![line(9, 502, dec!(8))]].concat());
    assert_eq!(twice.only(), (&[Reason::Twice][..], dec!(948)));
    let parts = super::job(vec![], [three_billed(), vec![line(9, 502, dec!(3))]].concat());
    assert!(parts.audit.disputes.is_empty(), "without the load, 3 yd3 more may be a part of it");
}

#[test]
fn what_is_billed_otherwise_is_listed_and_payable() {
    let job = three_with(|_, billed| {
        let fee = Billed {
            charge: crate::intake::Charge::Other,
            described: Some(word("fuel surcharge")),
            mix: None,
            volume: None,
            price: None,
            ..line(9, 501, dec!(1))
        };
        billed.push(fee);
    });
    assert_eq!(job.total()[2], dec!(0));
    assert_eq!(job.unchecked(), ["'fuel surcharge' is held against nothing"]);
}

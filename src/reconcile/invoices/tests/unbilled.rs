//! Received and not billed.

use super::*;
use crate::intake::Outcome;

/// Arithmetic: 8.25 x 118.50 = 977.63, half up.
#[test]
fn a_load_on_no_invoice_is_an_amount_to_expect() {
    let job = three_with(|_, billed| billed.truncate(2));
    assert_eq!(job.codes(), [Code::ReceivedNotBilled]);
    assert_eq!(
        job.findings[0].message,
        "ticket 503 of 2031-07-01 stands on no invoice: 8.25 yd3, $977.63 at the agreed price, to expect"
    );
    let unbilled = job.audit.unbilled.as_ref().unwrap();
    assert_eq!(job.value(unbilled.expected.unwrap()), dec!(977.63));
    assert_eq!(job.total()[2], dec!(0), "nothing to dispute");
}

#[test]
fn loads_after_the_last_day_billed_and_rejected_loads_are_not_expected() {
    let job = three_with(|loads, billed| {
        loads[2].date.value = fixture::day("2031-07-02");
        loads[1].outcome = Outcome::Rejected;
        billed.truncate(1);
    });
    assert!(job.audit.unbilled.as_ref().is_some_and(|u| u.loads.is_empty()));
    assert!(job.findings.is_empty());
}

#[test]
fn what_no_price_is_agreed_for_is_said() {
    let job = three_with(|loads, billed| {
        loads[1].mix = Some(word("flowable fill"));
        billed.truncate(1);
    });
    assert!(
        job.findings[0]
            .message
            .ends_with("16.25 yd3, $977.63 at the agreed price, to expect; for 1 of them none is agreed")
    );
    let unpriced = three_with(|loads, billed| {
        loads[2].mix = None;
        billed.truncate(2);
    });
    assert!(unpriced.findings[0].message.ends_with("8.25 yd3 to expect, at a price that is not agreed"));
}

#[test]
fn loads_of_a_day_are_one_finding() {
    let job = three_with(|_, billed| {
        billed.remove(0);
        billed.remove(0);
    });
    assert_eq!(
        job.findings[0].message,
        "2 tickets of 2031-07-01 (501 to 502) stand on no invoice: 16.00 yd3, $1,896.00 at the agreed price, to expect"
    );
    assert_eq!(job.findings[0].related.len(), 1);
}

#[test]
fn a_load_whose_line_was_credited_is_not_billed() {
    let job = three_with(|_, billed| {
        let mut credit = line(9, 503, dec!(8.25));
        credit.amount.value = dec!(-977.63);
        billed.push(credit);
    });
    assert_eq!(job.codes(), [Code::ReceivedNotBilled]);
}

//! Credits.

use super::*;
use crate::intake::Charge;

/// A credit for a ticket on invoice 1009.
fn credit(row: u32, ticket: u32, amount: Decimal) -> Billed {
    let mut line = Billed {
        invoice: fixture::read("1009".into(), 4, row, 0),
        volume: None,
        price: None,
        ..line(row, ticket, dec!(1))
    };
    line.amount.value = -amount;
    line
}

#[test]
fn a_credit_clears_what_was_billed_twice() {
    let job = three_with(|_, billed| billed.extend([line(9, 502, dec!(8)), credit(10, 502, dec!(948))]));
    assert_eq!((job.audit.disputes.len(), job.findings.len()), (0, 0));
    assert_eq!(job.total(), [dec!(2873.63), dec!(2873.63), dec!(0)]);
    assert_eq!(job.audit.credits[0].does, "clears the same amount on invoice 1001");
    let called_otherwise = three_with(|_, billed| {
        let credit = Billed { charge: Charge::Other, ..credit(10, 502, dec!(948)) };
        billed.extend([line(9, 502, dec!(8)), credit]);
    });
    assert!(called_otherwise.audit.disputes.is_empty());
}

/// A wrong line, its credit and the right line: only the right one is left, and it has no fault.
#[test]
fn a_corrected_line_is_not_billed_twice() {
    let job = three_with(|_, billed| {
        billed[1] = line(2, 502, dec!(9));
        billed.extend([credit(9, 502, dec!(1066.50)), line(10, 502, dec!(8))]);
    });
    assert!(job.audit.disputes.is_empty() && job.findings.is_empty());
}

/// Arithmetic: 1 yd3 too much is 118.50. Credited whole, it is settled; of 100.00 credited, 18.50 are left.
#[test]
fn a_credit_is_set_against_what_is_disputed() {
    let with = |amount| {
        three_with(|_, billed| {
            billed[1] = line(2, 502, dec!(9));
            billed.push(credit(9, 502, amount));
        })
    };
    let whole = with(dec!(118.50));
    assert!(whole.audit.disputes.is_empty() && whole.findings.is_empty());
    assert_eq!(whole.audit.credits[0].does, "settles what would be to dispute on its ticket");
    assert_eq!(whole.total(), [dec!(2873.63), dec!(2873.63), dec!(0)]);
    let part = with(dec!(100));
    let amounts: Vec<Decimal> = part.audit.disputes.iter().map(|d| part.value(d.dispute)).collect();
    assert_eq!(amounts, [dec!(118.50), dec!(-100)]);
    assert_eq!(part.total(), [dec!(2892.13), dec!(2873.63), dec!(18.50)]);
    assert_eq!(part.codes(), [Code::BilledVolume]);
    assert!(
        part.findings[0]
            .message
            .ends_with("$118.50 to dispute, against which $100.00 of credits on the ticket are set")
    );
}

#[test]
fn a_credit_that_nobody_asked_for_is_taken() {
    let job = three_with(|_, billed| {
        billed.extend([credit(9, 501, dec!(10)), Billed { ticket: None, ..credit(10, 1, dec!(5)) }]);
    });
    assert_eq!(job.total(), [dec!(2858.63), dec!(2858.63), dec!(0)]);
    let does: Vec<&str> = job.audit.credits.iter().map(|c| c.does.as_str()).collect();
    assert_eq!(does, ["nothing is to dispute on its ticket", "it names no ticket, so it is set against nothing"]);
}

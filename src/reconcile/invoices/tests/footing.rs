//! What holds for any invoices.

use proptest::prelude::*;

use super::*;
use crate::intake::{Charge, Outcome};

/// Any line, whether or not it makes sense.
fn any_line() -> impl Strategy<Value = (u8, u32, i64, i64, i64, u8)> {
    (0..5u8, 500..512u32, -1_000..2_000i64, -100..20_000i64, -200_000..200_000i64, 0..64u8)
}

fn of(row: u32, (charge, ticket, quantity, price, amount, has): (u8, u32, i64, i64, i64, u8)) -> Billed {
    let there = |bit: u8| has & bit != 0;
    let [quantity, price, amount] = [quantity, price, amount].map(|n| Decimal::new(n, 2));
    let invoice = ["1001", "1002", "C-7"][row as usize % 3];
    let mut line = Billed { invoice: fixture::read(invoice.into(), 4, row, 0), ..line(row, ticket, dec!(1)) };
    line.charge =
        [Charge::Concrete, Charge::ShortLoad, Charge::Waiting, Charge::Other, Charge::Concrete][usize::from(charge)];
    line.volume = there(1).then(|| number(quantity));
    line.minutes = there(2).then(|| number(quantity));
    line.price = there(4).then(|| number(price));
    line.ticket = line.ticket.filter(|_| there(8) || there(16));
    line.amount.value = if there(32) { (quantity * price).round_dp(2) } else { amount };
    line
}

fn loads() -> Vec<Load> {
    let one = |ticket: u32| {
        let mut load = load(ticket, Decimal::from(ticket % 11));
        load.outcome = if ticket.is_multiple_of(5) { Outcome::Rejected } else { Outcome::Placed };
        load.arrived = (!ticket.is_multiple_of(3)).then(|| fixture::time("10:00"));
        load.discharged = Some(fixture::time("10:40"));
        load
    };
    (500..508).map(one).collect()
}

proptest! {
    /// Billed is payable and disputed, to the last digit, by invoice, by line and in all; and no fault is disputed above
    /// what was billed.
    #[test]
    fn what_is_billed_is_payable_or_disputed(lines in prop::collection::vec(any_line(), 1..40)) {
        let billed: Vec<Billed> = (1..).zip(lines).map(|(row, line)| of(row, line)).collect();
        let all: Decimal = billed.iter().map(|b| b.amount.value).sum();
        let job = job(loads(), billed);
        let [billed, payable, dispute] = job.total();
        prop_assert_eq!(billed, all);
        prop_assert_eq!(payable + dispute, all);
        let lines: Decimal = job.audit.disputes.iter().map(|d| job.value(d.dispute)).sum();
        prop_assert_eq!(lines, dispute);
        prop_assert!(dispute >= Decimal::ZERO, "credits never exceed what they are set against");
        let by_invoice = job.audit.invoices.iter().map(|i| job.amounts(i.amounts));
        let sums = by_invoice.fold([Decimal::ZERO; 3], |[b, p, d], of| [b + of[0], p + of[1], d + of[2]]);
        prop_assert_eq!(sums, job.total());
        for d in &job.audit.disputes {
            let amount = job.records.billed[d.line].amount.value;
            prop_assert_eq!(job.value(d.payable) + job.value(d.dispute), amount);
            prop_assert!(job.value(d.payable) <= amount.max(Decimal::ZERO));
            prop_assert!(job.value(d.payable) >= Decimal::ZERO);
        }
    }

    /// Loads billed as they were received and agreed, in any order and over any number of invoices, have nothing to
    /// dispute and nothing missing.
    #[test]
    fn a_clean_month_is_not_accused(
        volumes in prop::collection::vec((25..1_200i64, 0..3usize, any::<bool>()), 1..30),
        turn in 0..30usize,
    ) {
        let mut loads = Vec::new();
        let mut billed = Vec::new();
        for (ticket, &(hundredths, invoice, early)) in (600..).zip(&volumes) {
            let volume = Decimal::new(hundredths, 2);
            let (mix, price) = if early { ("high early", dec!(131)) } else { ("P-4000", dec!(118.50)) };
            loads.push(Load { mix: Some(word(if early { "HES" } else { "P-4000" })), ..load(ticket, volume) });
            let invoice = ["998", "1002", "1003"][invoice];
            billed.push(Billed { mix: Some(word(mix)), ..fixture::billed(ticket, invoice, JULY_1, ticket, (volume, price)) });
        }
        let turn = turn % billed.len();
        billed.rotate_left(turn);
        let job = job(loads, billed);
        prop_assert!(job.findings.is_empty(), "{:?}", job.findings);
        prop_assert!(job.audit.disputes.is_empty() && job.audit.unchecked.is_empty());
        prop_assert_eq!(job.total()[2], Decimal::ZERO);
    }
}

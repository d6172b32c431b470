//! Retainage and entries against published vouchers and estimates.

use super::*;
use crate::contract::{Entry, Payment, Release, RetainageStep, Since};

/// Lump sums of so much, each measured whole on its day.
pub(super) fn lump_sums(sums: &[(&str, Decimal)]) -> (Contract, Records) {
    let items = (1..).zip(sums).map(|(n, &(_, amount))| Item {
        quantity: entered(dec!(1), Unit::LumpSum, 70, "items[0].quantity"),
        price: entered(amount, Unit::LumpSum.price().unwrap(), 70 + n, "items.price"),
        ..item(&n.to_string(), Unit::LumpSum, amount, Measurement::ByHand)
    });
    let contract = contract(items.collect());
    let measured = sums.iter().enumerate().map(|(n, &(date, _))| whole_of(n, date));
    let records = Records { measured: measured.collect(), ..Records::default() };
    (contract, records)
}

/// A row that measures one of an item.
pub(super) fn whole_of(item: usize, date: &str) -> Measured {
    let row = u32::try_from(item + 1).unwrap();
    Measured { quantity: Some(read(dec!(1), 0, row, 5)), ..measured(item, row, date) }
}

pub(super) fn share(value: Decimal, line: u32) -> crate::contract::Entered {
    entered(value, Unit::Percent, line, "percent")
}

pub(super) fn entry(n: u32, date: &str, amount: Decimal) -> Entry {
    Entry {
        id: format!("D-{n}"),
        date: day(date),
        reason: "a deduction".into(),
        amount: entered(amount, Unit::Money, 200 + n, &format!("entries[{n}].amount")),
        reverses: None,
        item: None,
        earned: false,
    }
}

impl Done {
    /// Before, this period and to date.
    pub(super) fn columns(&self, key: &str) -> [Decimal; 3] {
        let line = self.estimate.settlement.line(key).unwrap_or_else(|| panic!("no line {key}"));
        [line.previous, line.this, line.to_date].map(|id| self.value(id))
    }
}

/// City of Coppell (Texas), partial estimate 9 of 9 November 2001: 1,582,187.44 earned of a contract of 1,765,242.32;
/// retainage cut from 5 to 2.5 percent: 39,554.69 kept and the same amount released, 113,659.35 + 39,554.69 = 153,214.04
/// due. What was earned before is worked back from these: (1,582,187.44 x 0.95 - 113,659.35) / 0.95.
#[test]
fn half_of_the_retainage_is_given_back_at_substantial_completion() {
    let (mut contract, records) = lump_sums(&[("2031-06-02", dec!(1462546.02)), ("2031-07-02", dec!(119641.42))]);
    let release = vec![Release { from: day("2031-07-20"), percent: share(dec!(2.5), 81) }];
    contract.payment.retainage = Some(Retainage { release, ..percent(dec!(5)) });
    let done = run(&contract, records.clone(), "2031-07-31", &nothing_judged);
    assert_eq!(done.columns("earned")[2], dec!(1582187.44));
    assert_eq!(done.columns("released"), [dec!(0), dec!(39554.69), dec!(39554.69)]);
    assert_eq!(done.columns("due")[1], dec!(153214.04));
    // As a step of all that is earned, 39,554.69 is what is kept.
    let step =
        RetainageStep { since: Since::Date(day("2031-07-20")), percent: share(dec!(2.5), 81), after_only: false };
    contract.payment.retainage = Some(Retainage { steps: vec![step], ..percent(dec!(5)) });
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    assert_eq!(done.columns("retained")[2], dec!(39554.69));
}

/// City code of Elyria (Ohio), Ord. 97-21 of 1997: value of the work less 10 percent less all earlier payments; 10 may drop
/// to 5 percent thirty days after completion.
#[test]
fn ten_percent_is_held_until_thirty_days_after_completion() {
    let (mut contract, records) = lump_sums(&[("2031-06-02", dec!(80000)), ("2031-06-20", dec!(20000))]);
    let step = RetainageStep { since: Since::Date(day("2031-07-20")), percent: share(dec!(5), 81), after_only: false };
    contract.payment.retainage = Some(Retainage { steps: vec![step], ..percent(dec!(10)) });
    let due = |through: &str| run(&contract, records.clone(), through, &nothing_judged).columns("due");
    assert_eq!(due("2031-06-30"), [dec!(0), dec!(90000), dec!(90000)]);
    assert_eq!(due("2031-07-19"), [dec!(90000), dec!(0), dec!(90000)]);
    assert_eq!(due("2031-07-31"), [dec!(90000), dec!(5000), dec!(95000)]);
}

/// City of Lakeville (Minnesota), final voucher of 16 January 2018: 178,360.01 of 8,918,000.61, a hold-back of 2 percent
/// (178,360.0122) given back at the end.
#[test]
fn the_final_period_gives_the_hold_back_back() {
    let (mut contract, records) = lump_sums(&[("2031-06-02", dec!(8918000.61))]);
    contract.payment.retainage = Some(Retainage { released_at_final: true, ..percent(dec!(2)) });
    contract.payment.last_is_final = true;
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    assert_eq!(done.columns("due"), [dec!(8739640.60), dec!(178360.01), dec!(8918000.61)]);
}

/// A state's final highway voucher of September 2008 (public payment records): item work 1,047,479.89, extra work
/// 23,701.00, a price adjustment of -5,000.00 in this month, retention fully given back before, 30,000.00 of deductions
/// returned: paid to date 1,066,180.89, this month 25,000.00. Retention had been frozen at 5 percent of 1,047,479.89,
/// 52,373.99 (52,373.9945, half a cent up).
#[test]
fn a_final_voucher_returns_deductions_and_retention() {
    let (mut contract, records) = lump_sums(&[("2031-05-02", dec!(1047479.89)), ("2031-06-02", dec!(23701.00))]);
    contract.periods.insert(0, Period { number: 0, through: day("2031-05-31") });
    let back = Entry { reverses: Some(0), ..entry(2, "2031-07-10", dec!(30000)) };
    contract.payment = Payment {
        retainage: Some(Retainage {
            release: vec![Release { from: day("2031-06-15"), percent: share(dec!(5), 81) }],
            ..percent(dec!(5))
        }),
        entries: vec![
            entry(1, "2031-05-20", dec!(-30000)),
            back,
            Entry { earned: true, ..entry(3, "2031-07-12", dec!(-5000)) },
        ],
        ..Payment::default()
    };
    let done = run(&contract, records.clone(), "2031-07-31", &nothing_judged);
    assert_eq!(done.columns("earned")[2], dec!(1066180.89));
    assert_eq!(done.columns("entries"), [dec!(-30000), dec!(30000), dec!(0)]);
    assert_eq!(done.columns("due"), [dec!(1041180.89), dec!(25000.00), dec!(1066180.89)]);
    let frozen = run(
        &contract,
        Records { measured: records.measured[..1].to_vec(), ..Records::default() },
        "2031-05-31",
        &nothing_judged,
    );
    assert_eq!(frozen.columns("retained")[2], dec!(52373.99));
}

/// Mobilization carries no retainage: 5 percent of 100,000 without the 20,000 of item 1.
#[test]
fn an_item_that_carries_none_is_left_out_of_the_base() {
    let (mut contract, records) = lump_sums(&[("2031-06-02", dec!(20000)), ("2031-07-02", dec!(80000))]);
    contract.items[0].terms.free_of_retainage = true;
    contract.payment.retainage = Some(percent(dec!(5)));
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    assert_eq!(done.columns("retained"), [dec!(0), dec!(4000), dec!(4000)]);
}

/// 10 percent until half of 100,000 is earned and nothing of what comes after: 5,000 of 60,000. Of all that is earned, 5
/// percent once half is reached: exactly at half it holds. Never more than 2,500 where the contract says so.
#[test]
fn steps_by_amount_earned_hold_once_they_are_reached() {
    let half = |percent: Decimal, after_only| RetainageStep {
        since: Since::Earned(share(dec!(50), 81)),
        percent: share(percent, 82),
        after_only,
    };
    let retained = |rule: Retainage, june: Decimal| {
        let (mut contract, records) = lump_sums(&[("2031-06-02", june), ("2031-09-01", dec!(100000) - june)]);
        contract.payment.retainage = Some(rule);
        let measured = records.measured[..1].to_vec();
        run(&contract, Records { measured, ..Records::default() }, "2031-07-31", &nothing_judged).columns("retained")[2]
    };
    let after = Retainage { steps: vec![half(dec!(0), true)], ..percent(dec!(10)) };
    assert_eq!(retained(after.clone(), dec!(60000)), dec!(5000));
    assert_eq!(retained(after, dec!(40000)), dec!(4000));
    let all = Retainage { steps: vec![half(dec!(5), false)], ..percent(dec!(10)) };
    assert_eq!(retained(all.clone(), dec!(50000)), dec!(2500));
    assert_eq!(retained(all, dec!(49999)), dec!(4999.90));
    let most = Retainage { most: Some(share(dec!(2.5), 83)), ..percent(dec!(10)) };
    assert_eq!(retained(most, dec!(60000)), dec!(2500));
}

/// Deduction ledgers of a state's highway vouchers (public payment records): this estimate and to date.
#[test]
fn ledgers_of_deductions_come_to_what_was_printed() {
    let a: &[(i64, u32)] = &[(-10000, 3), (-2000, 2), (-39000, 2), (39000, 3), (-10000, 3)];
    let b: &[(i64, u32)] = &[
        (-10000, 7),
        (10000, 8),
        (-10000, 7),
        (10000, 8),
        (-1000, 3),
        (-5000, 4),
        (1000, 4),
        (-5000, 5),
        (5000, 5),
        (5000, 6),
        (-10000, 7),
    ];
    let c: Vec<(i64, u32)> = (3..=12).map(|n| (-10000, n)).chain([4, 6, 7, 10, 10, 11].map(|n| (10000, n))).collect();
    let d: &[(i64, u32)] =
        &[(-28708, 1), (-37000, 2), (28708, 2), (37000, 3), (-10000, 6), (-10000, 6), (-10000, 2), (7000, 5)];
    for (ledger, estimate, this, to_date) in
        [(a, 3, 19000, -22000), (b, 8, 20000, -10000), (&c, 12, -10000, -40000), (d, 6, -20000, -23000)]
    {
        let mut contract = contract(vec![]);
        let last = |n: u32| day(&format!("2031-{n:02}-28"));
        contract.periods = (1..=12).map(|n| Period { number: n, through: last(n) }).collect();
        let entries = (1..)
            .zip(ledger)
            .map(|(n, &(amount, of))| Entry { date: last(of), ..entry(n, "2031-01-01", amount.into()) });
        contract.payment.entries = entries.collect();
        let through = last(estimate).to_string();
        let done = run(&contract, Records::default(), &through, &nothing_judged);
        assert_eq!(done.columns("entries")[1..], [Decimal::from(this), Decimal::from(to_date)]);
        assert_eq!(done.columns("due")[1], Decimal::from(this));
    }
}

#[test]
fn what_is_left_of_an_entry_follows_its_reversals() {
    let mut contract = contract(vec![]);
    let back = |n, date, amount| Entry { reverses: Some(0), ..entry(n, date, amount) };
    contract.payment.entries = vec![
        entry(1, "2031-06-10", dec!(-10000)),
        back(2, "2031-06-20", dec!(7000)),
        back(3, "2031-07-20", dec!(1000)),
    ];
    let done = run(&contract, Records::default(), "2031-07-31", &nothing_judged);
    let lines = &done.estimate.settlement.entries;
    assert_eq!(done.value(lines[0].left.unwrap()), dec!(-2000));
    assert_eq!(lines.iter().map(|line| line.this_period).collect::<Vec<_>>(), [false, false, true]);
}

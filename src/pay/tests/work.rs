//! Changes, schedules, percent complete, the calendar, time and what is kept until the end, against published cases.

use super::payment::{lump_sums, share};
use super::*;
use crate::contract::{Calendar, Change, ChangeLine, Schedule, ScheduleStep, Terms, Time, UntilFinal};

fn money(value: Decimal, line: u32) -> crate::contract::Entered {
    entered(value, Unit::Money, line, "money")
}

fn per_day(value: Decimal, line: u32) -> crate::contract::Entered {
    entered(value, Unit::Day.price().unwrap(), line, "per day")
}

fn days(value: i64, line: u32) -> crate::contract::Entered {
    entered(Decimal::from(value), Unit::Day, line, "days")
}

fn change(number: &str, date: &str, lines: Vec<ChangeLine>) -> Change {
    Change { number: number.into(), date: day(date), reason: "agreed".into(), lines, days: None }
}

fn new_item(number: &str, unit: Unit, quantity: Decimal, price: Decimal, line: u32) -> Item {
    Item {
        quantity: entered(quantity, unit, line, "quantity"),
        price: entered(price, unit.price().unwrap(), line, "price"),
        terms: Terms { added_by: Some(0), ..Terms::default() },
        ..item(number, unit, price, Measurement::ByHand)
    }
}

fn contract_amounts(contract: &Contract) -> (Decimal, Decimal, Decimal) {
    let done = run(contract, Records::default(), "2031-07-31", &nothing_judged);
    let authorized = done.estimate.settlement.authorized.clone().unwrap();
    let last = authorized.changes.last().copied().unwrap();
    (done.value(authorized.original), done.value(last), done.value(authorized.contract[0]))
}

/// City of Coppell (Texas), change order 1 of 30 July 2010: high-early concrete 2,000.00, 125 LF x 5.18, 104 EA x 8.25, 10
/// days x 2,000.00 of incentive: 23,505.50; 1,969,019.05 becomes 1,992,524.55.
#[test]
fn a_change_order_adds_new_items() {
    let (mut contract, _) = lump_sums(&[("2031-06-02", dec!(1969019.05))]);
    contract.items.extend([
        new_item("2", Unit::LumpSum, dec!(1), dec!(2000), 72),
        new_item("3", Unit::Foot, dec!(125), dec!(5.18), 73),
        new_item("4", Unit::Each, dec!(104), dec!(8.25), 74),
        new_item("5", Unit::Day, dec!(10), dec!(2000), 75),
    ]);
    contract.payment.changes = vec![change("1", "2031-06-10", vec![])];
    assert_eq!(contract_amounts(&contract), (dec!(1969019.05), dec!(23505.50), dec!(1992524.55)));
}

/// The same city, change order 1 of 21 January 2011: 3 EA x 670.00, 18 LF x 52.00 and five lump sums: 13,663.66; 534,582.50
/// becomes 548,246.16.
#[test]
fn a_change_order_adds_quantities_and_lump_sums() {
    let (mut contract, _) = lump_sums(&[("2031-06-02", dec!(534582.50))]);
    contract.items.push(new_item("2", Unit::Each, dec!(3), dec!(670), 72));
    contract.items.push(new_item("3", Unit::Foot, dec!(18), dec!(52), 73));
    for (n, sum) in (4..).zip([dec!(1000), dec!(2100), dec!(2700), dec!(3417.66), dec!(1500)]) {
        contract.items.push(new_item(&n.to_string(), Unit::LumpSum, dec!(1), sum, 70 + n));
    }
    contract.payment.changes = vec![change("1", "2031-06-10", vec![])];
    assert_eq!(contract_amounts(&contract), (dec!(534582.50), dec!(13663.66), dec!(548246.16)));
}

/// City of Tukwila (Washington), change order 9 of 23 December 2024: 3,597,407.40 + 175,954.22 of earlier changes +
/// 104,057.45 = 3,877,419.07.
#[test]
fn changes_add_up_on_the_contract() {
    let (mut contract, _) = lump_sums(&[("2031-06-02", dec!(3597407.40))]);
    let agreed = |amount, line| ChangeLine { item: 0, quantity: None, price: None, amount: Some(money(amount, line)) };
    contract.payment.changes = vec![
        change("8", "2031-06-10", vec![agreed(dec!(175954.22), 300)]),
        change("9", "2031-07-10", vec![agreed(dec!(104057.45), 310)]),
    ];
    assert_eq!(contract_amounts(&contract), (dec!(3597407.40), dec!(104057.45), dec!(3877419.07)));
}

/// 10 at 5.00 before the change and 10 at 6.00 from its day on.
#[test]
fn a_new_price_holds_from_the_day_of_its_change() {
    let mut contract = contract(vec![item("1", Unit::Foot, dec!(5), Measurement::ByHand)]);
    let price = entered(dec!(6), Unit::Foot.price().unwrap(), 300, "changes[0].items[0].price");
    let quantity = entered(dec!(50), Unit::Foot, 301, "changes[0].items[0].quantity");
    let line = ChangeLine { item: 0, quantity: Some(quantity), price: Some(price), amount: None };
    contract.payment.changes = vec![change("1", "2031-06-20", vec![line])];
    let row = |n, date| Measured { quantity: Some(read(dec!(10), 0, n, 5)), ..measured(0, n, date) };
    let records = Records {
        measured: vec![row(1, "2031-06-19"), row(2, "2031-06-20"), row(3, "2031-07-02")],
        ..Records::default()
    };
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    assert_eq!(done.columns("work"), [dec!(110), dec!(60), dec!(170)]);
    // 100 bid at 5.00 and 50 more at 6.00.
    assert_eq!(done.value(done.estimate.settlement.authorized.as_ref().unwrap().contract[0]), dec!(800));
}

#[test]
fn work_before_the_change_that_adds_its_item_is_a_conflict() {
    let mut contract = contract(vec![new_item("2", Unit::Each, dec!(3), dec!(670), 72)]);
    contract.payment.changes = vec![change("1", "2031-06-10", vec![])];
    let row = Measured { quantity: Some(read(dec!(1), 0, 1, 5)), ..measured(0, 1, "2031-06-09") };
    let done = run(&contract, Records { measured: vec![row], ..Records::default() }, "2031-07-31", &nothing_judged);
    assert_eq!(done.findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::BeforeChange]);
}

/// A contract of 1,000,000 with mobilization of so much, and so much of the rest done.
fn mobilized(schedule: &Schedule, item: Decimal, earned: Decimal, last: bool) -> Decimal {
    let (mut contract, records) =
        lump_sums(&[("2031-07-02", earned), ("2031-09-02", dec!(1000000) - item - earned), ("2031-07-02", item)]);
    contract.items[2].measured = Measurement::BySchedule;
    contract.items[2].terms.schedule = Some(schedule.clone());
    contract.payment.last_is_final = last;
    let records = Records { measured: records.measured[..1].to_vec(), ..Records::default() };
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    done.value(done.estimate.items[2].amount.to_date)
}

fn step(n: u32, earned: Decimal, item: Decimal, contract: Decimal) -> ScheduleStep {
    let line = 400 + 10 * n;
    ScheduleStep {
        earned: share(earned, line),
        item: share(item, line + 1),
        contract: Some(share(contract, line + 2)),
        least: None,
    }
}

/// A public waterfront bid: at 5 percent earned from other items the lesser of 50 percent of the item and 5 percent of the
/// contract, at 10 percent the lesser of 100 and 10; the excess at completion.
#[test]
fn mobilization_is_paid_as_other_items_are_earned() {
    let schedule = Schedule {
        of_all: false,
        at_is_enough: true,
        from: None,
        steps: vec![step(1, dec!(5), dec!(50), dec!(5)), step(2, dec!(10), dec!(100), dec!(10))],
    };
    let paid = |item, earned| mobilized(&schedule, item, earned, false);
    assert_eq!(paid(dec!(80000), dec!(49999.99)), dec!(0));
    assert_eq!((paid(dec!(80000), dec!(50000)), paid(dec!(80000), dec!(100000))), (dec!(40000), dec!(80000)));
    assert_eq!((paid(dec!(120000), dec!(50000)), paid(dec!(120000), dec!(100000))), (dec!(50000), dec!(100000)));
    assert_eq!(mobilized(&schedule, dec!(120000), dec!(100000), true), dec!(120000));
    let above = Schedule { at_is_enough: false, ..schedule };
    assert_eq!(mobilized(&above, dec!(80000), dec!(50000), false), dec!(0));
}

/// Iowa DOT 2533 (October 2023), its first steps: 10 percent of the item or 1 percent of the original project sum, whichever
/// is less, from the start, put off if under 1,000; at 5 percent earned 25 or 2.5; at 10 percent 50 or 5.
#[test]
fn mobilization_begins_with_the_contract_and_steps_up() {
    let first = ScheduleStep { least: Some(money(dec!(1000), 404)), ..step(0, dec!(0), dec!(10), dec!(1)) };
    let schedule = Schedule {
        of_all: true,
        at_is_enough: true,
        from: Some(day("2031-04-14")),
        steps: vec![first, step(1, dec!(5), dec!(25), dec!(2.5)), step(2, dec!(10), dec!(50), dec!(5))],
    };
    let paid = |item, earned| mobilized(&schedule, item, earned, false);
    for (item, amounts) in [(dec!(80000), [8000, 20000, 40000]), (dec!(120000), [10000, 25000, 50000])] {
        let of = [dec!(1), dec!(50000), dec!(100000)].map(|earned| paid(item, earned));
        assert_eq!(of, amounts.map(Decimal::from));
    }
    // What the first step paid, 8,000, counts beside 42,000 from other items; 41,999.99 are not enough.
    assert_eq!((paid(dec!(80000), dec!(42000)), paid(dec!(80000), dec!(41999.99))), (dec!(20000), dec!(8000)));
    // 10 percent of 9,000 is under 1,000.
    assert_eq!(paid(dec!(9000), dec!(1)), dec!(0));
}

/// Texas DOT Item 500: the last 7 percent of the lump sum is paid at final acceptance.
#[test]
fn the_last_of_a_lump_sum_waits_for_the_end() {
    let last = ScheduleStep { contract: None, ..step(1, dec!(5), dec!(93), dec!(0)) };
    let schedule = Schedule { of_all: false, at_is_enough: true, from: None, steps: vec![last] };
    assert_eq!(mobilized(&schedule, dec!(80000), dec!(500000), false), dec!(74400));
    assert_eq!(mobilized(&schedule, dec!(80000), dec!(500000), true), dec!(80000));
}

/// 35 percent of 80,000 in June, 60 in July; a third row of 50 is a conflict and is paid.
#[test]
fn percent_complete_is_to_date_and_the_last_row_holds() {
    let (mut contract, _) = lump_sums(&[("2031-06-02", dec!(80000))]);
    contract.items[0].measured = Measurement::ByPercent;
    let row = |n, percent, date| Measured { quantity: Some(read(percent, 0, n, 5)), ..measured(0, n, date) };
    let mut rows = vec![row(1, dec!(60), "2031-07-10"), row(2, dec!(35), "2031-06-20")];
    let records = |rows: &[Measured]| Records { measured: rows.to_vec(), ..Records::default() };
    let done = run(&contract, records(&rows), "2031-07-31", &nothing_judged);
    assert_eq!(done.columns("work"), [dec!(28000), dec!(20000), dec!(48000)]);
    rows.push(row(3, dec!(50), "2031-07-20"));
    let done = run(&contract, records(&rows), "2031-07-31", &nothing_judged);
    assert_eq!(done.columns("work")[2], dec!(40000));
    assert_eq!(done.findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::PercentFalls]);
}

/// From 11 June through 10 August: 20 of 30 days in June, all of July: 1.67 months; 51 days through 31 July.
#[test]
fn months_and_days_are_paid_by_the_calendar() {
    let calendar = Calendar { from: day("2031-06-11"), to: day("2031-08-10"), line: 70, key: "items[0].from".into() };
    let paid = |unit: Unit, rounding: &str| {
        let mut contract = contract(vec![item("1", unit, dec!(100), Measurement::ByCalendar)]);
        contract.items[0].terms.calendar = Some(calendar.clone());
        contract.items[0].rounding = rounding.parse().unwrap();
        run(&contract, Records::default(), "2031-07-31", &nothing_judged).columns("work")
    };
    assert_eq!(paid(Unit::Month, "0.01 half up"), [dec!(67), dec!(100), dec!(167)]);
    // Nevada's guide: a month to 0.50. 0.67 is 0.5, and 1.67 is 1.5.
    assert_eq!(paid(Unit::Month, "0.5 half up"), [dec!(50), dec!(100), dec!(150)]);
    assert_eq!(paid(Unit::Day, "1 half up"), [dec!(2000), dec!(3100), dec!(5100)]);
}

/// 95 percent of the amount agreed until the final period.
#[test]
fn the_most_of_an_item_is_lifted_in_the_final_period() {
    let (mut contract, records) = lump_sums(&[("2031-06-02", dec!(10000))]);
    contract.items[0].terms.until_final = Some(UntilFinal { percent: share(dec!(95), 90), of_plan: true });
    let work = |contract: &Contract| run(contract, records.clone(), "2031-07-31", &nothing_judged).columns("work");
    assert_eq!(work(&contract), [dec!(9500), dec!(0), dec!(9500)]);
    contract.payment.last_is_final = true;
    assert_eq!(work(&contract), [dec!(9500), dec!(500), dec!(10000)]);
}

fn time(start: &str, allowed: i64) -> Time {
    Time {
        start: day(start),
        days: days(allowed, 500),
        working: false,
        holidays: vec![],
        completed: None,
        damages: Some(per_day(dec!(2000), 501)),
        incentive: None,
        incentive_days: None,
        incentive_most: None,
        line: 499,
    }
}

/// City of Coppell (Texas), change order 1 of 2010: 2,000 for each calendar day under 30, at most 20,000; 2,000 taken off for
/// each day beyond 40.
#[test]
fn early_days_are_paid_to_a_most_and_late_days_taken_off() {
    let mut contract = contract(vec![]);
    let done =
        |contract: &Contract, key| run(contract, Records::default(), "2031-07-31", &nothing_judged).columns(key)[2];
    let finished = |days: &str| Time {
        completed: Some(day(days)),
        incentive: Some(per_day(dec!(2000), 502)),
        incentive_days: Some(self::days(30, 503)),
        incentive_most: Some(money(dec!(20000), 504)),
        ..time("2031-06-01", 40)
    };
    for (completed, incentive, damages) in [
        ("2031-06-25", dec!(10000), dec!(0)), // 25 days: 5 early
        ("2031-06-15", dec!(20000), dec!(0)), // 15 early, capped
        ("2031-07-05", dec!(0), dec!(0)),     // 35 days: neither
        ("2031-07-12", dec!(0), dec!(-4000)), // 42 days: 2 late
    ] {
        contract.payment.time = Some(finished(completed));
        assert_eq!((done(&contract, "incentive"), done(&contract, "damages")), (incentive, damages), "{completed}");
    }
}

/// A state's highway vouchers (public payment records), ledger A: 13 days x 3,000 = 39,000; five days that a change adds
/// leave 8.
#[test]
fn days_late_are_counted_as_of_the_day() {
    let mut contract = contract(vec![]);
    contract.payment.time = Some(Time { damages: Some(per_day(dec!(3000), 501)), ..time("2031-06-01", 30) });
    let through = |contract: &Contract, day| run(contract, Records::default(), day, &nothing_judged).columns("damages");
    assert_eq!(through(&contract, "2031-07-13"), [dec!(0), dec!(-39000), dec!(-39000)]);
    contract.payment.changes = vec![Change { days: Some(days(5, 510)), ..change("1", "2031-07-01", vec![]) }];
    assert_eq!(through(&contract, "2031-07-13")[2], dec!(-24000));
}

/// June 2031 begins on a Sunday: 21 weekdays, 20 without a holiday; 1 July is the 21st working day.
#[test]
fn working_days_are_weekdays_without_holidays() {
    let mut contract = contract(vec![]);
    contract.payment.time =
        Some(Time { working: true, holidays: vec![day("2031-06-19"), day("2031-06-21")], ..time("2031-06-01", 20) });
    let damages = run(&contract, Records::default(), "2031-07-01", &nothing_judged).columns("damages");
    assert_eq!(damages, [dec!(0), dec!(-2000), dec!(-2000)]);
}

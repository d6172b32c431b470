//! Stored materials, variation, price indices, estimates below zero and splits; and all of it together.

use super::payment::{entry, lump_sums, share};
use super::*;
use crate::contract::{Entry, IndexValue, PriceIndex, Split, SplitRule, Stored, StoredMaterial, UntilFinal, Variation};

fn money(value: Decimal, line: u32) -> crate::contract::Entered {
    entered(value, Unit::Money, line, &format!("money-{line}"))
}

fn material(n: u32, amount: Decimal, on_site: bool) -> StoredMaterial {
    StoredMaterial {
        date: day("2031-06-10"),
        item: 0,
        material: "baskets".into(),
        invoice: format!("A-{n}"),
        amount: money(amount, 600 + n),
        on_site,
        evidence: "photos".into(),
        paid: None,
        line: 600 + n,
    }
}

/// Iowa's construction manual, 2.51: 100 percent of the invoice on the site, 90 elsewhere, no more than 80 percent of the
/// authorized amount of the item, nothing on awards under 10,000.
fn iowa(materials: Vec<StoredMaterial>) -> Stored {
    Stored {
        on_site: share(dec!(100), 590),
        elsewhere: Some(share(dec!(90), 591)),
        most: share(dec!(80), 592),
        drawn_down: true,
        least_award: Some(money(dec!(10000), 593)),
        replace_within: None,
        materials,
    }
}

/// An item of 100 ft at 650.00: 65,000 authorized, of which so much is placed in July.
fn with_stored(stored: Stored, placed: Decimal) -> Done {
    let mut contract = contract(vec![item("1", Unit::Foot, dec!(650), Measurement::ByHand)]);
    contract.payment.stored = Some(stored);
    let row = Measured { quantity: Some(read(placed, 0, 1, 5)), ..measured(0, 1, "2031-07-02") };
    run(&contract, Records { measured: vec![row], ..Records::default() }, "2031-07-31", &nothing_judged)
}

/// An invoice of 60,000 elsewhere comes to 54,000, on the site to 60,000; the cap is 80 percent of 65,000, 52,000.
#[test]
fn stored_materials_are_paid_at_their_rate_and_no_more_than_their_cap() {
    let elsewhere = with_stored(iowa(vec![material(1, dec!(60000), false)]), dec!(0));
    let stored = elsewhere.estimate.settlement.on_hand.as_ref().unwrap();
    assert_eq!(elsewhere.value(stored.lines[0].at_rate), dec!(54000));
    assert_eq!(elsewhere.columns("stored"), [dec!(52000), dec!(0), dec!(52000)]);
    let on_site = with_stored(iowa(vec![material(1, dec!(60000), true)]), dec!(0));
    assert_eq!(on_site.columns("stored")[2], dec!(52000));
    let small = with_stored(iowa(vec![material(1, dec!(10000), false)]), dec!(0));
    assert_eq!(small.columns("stored")[2], dec!(9000));
    let under = Stored { least_award: Some(money(dec!(65000.01), 593)), ..iowa(vec![material(1, dec!(10000), false)]) };
    assert_eq!(with_stored(under, dec!(0)).columns("stored")[2], dec!(0));
}

/// With a quarter placed in July a quarter of the allowance goes; with more than all of it nothing is left.
#[test]
fn stored_materials_go_down_as_their_item_is_placed() {
    let stored = |placed| with_stored(iowa(vec![material(1, dec!(60000), true)]), placed).columns("stored");
    assert_eq!(stored(dec!(25)), [dec!(52000), dec!(-13000), dec!(39000)]);
    assert_eq!(stored(dec!(130)), [dec!(52000), dec!(-52000), dec!(0)]);
}

#[test]
fn an_invoice_that_is_not_paid_in_time_is_a_gap() {
    let late = Stored {
        replace_within: Some(entered(dec!(30), Unit::Day, 594, "d")),
        ..iowa(vec![material(1, dec!(1), true)])
    };
    let done = with_stored(late, dec!(10));
    assert_eq!(done.findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::StoredUnpaid]);
}

/// Federal standard specifications, section 104: beyond 125 percent of the bid quantity another price for what lies above;
/// below 75 percent another price for the work, no more in all than 75 percent of the amount bid.
fn with_variation(placed: Decimal, over: Option<Decimal>, under: Option<Decimal>, last: bool) -> Done {
    let price = |value: Decimal, line| entered(value, Unit::Foot.price().unwrap(), line, &format!("price-{line}"));
    let mut contract = contract(vec![item("1", Unit::Foot, dec!(10), Measurement::ByHand)]);
    contract.items[0].terms.over_price = over.map(|value| price(value, 700));
    contract.items[0].terms.under_price = under.map(|value| price(value, 701));
    contract.payment.last_is_final = last;
    contract.payment.variation = Some(Variation {
        over: share(dec!(125), 702),
        under: share(dec!(75), 703),
        under_most: Some(share(dec!(75), 704)),
        of_bid: true,
    });
    let row = Measured { quantity: Some(read(placed, 0, 1, 5)), ..measured(0, 1, "2031-07-02") };
    run(&contract, Records { measured: vec![row], ..Records::default() }, "2031-07-31", &nothing_judged)
}

#[test]
fn only_what_lies_beyond_the_share_is_paid_at_the_price_agreed() {
    // 140 of 100: 15 beyond 125, at 8.00 instead of 10.00.
    let varied = |placed, last| with_variation(placed, Some(dec!(8)), None, last).columns("variation")[2];
    assert_eq!(varied(dec!(140), true), dec!(-30));
    assert_eq!(varied(dec!(125), true), dec!(0));
    assert_eq!(varied(dec!(140), false), dec!(0));
}

#[test]
fn all_of_a_small_quantity_is_paid_at_the_price_agreed_to_its_most() {
    // 50 of 100 at 13.00 is 650 for 500; at 16.00 it is 800, and 750 are the most.
    let varied = |placed, price| with_variation(placed, None, Some(price), true).columns("variation")[2];
    assert_eq!((varied(dec!(50), dec!(13)), varied(dec!(50), dec!(16))), (dec!(150), dec!(250)));
    assert_eq!(varied(dec!(75), dec!(13)), dec!(0));
}

#[test]
fn without_a_price_agreed_either_side_may_ask() {
    let codes = |placed, last| {
        let done = with_variation(placed, None, None, last);
        done.findings.iter().map(|f| f.code).collect::<Vec<_>>()
    };
    assert_eq!(codes(dec!(126), false), [Code::QuantityVaries]);
    assert_eq!(codes(dec!(74), true), [Code::QuantityVaries]);
    assert_eq!(codes(dec!(74), false), []);
}

fn fuel(whole: bool) -> PriceIndex {
    let value =
        |month, price, line| IndexValue { year: 2031, month, value: money(price, line), source: "page 2".into() };
    PriceIndex {
        name: "Diesel fuel".into(),
        base: money(dec!(3), 800),
        trigger: share(dec!(10), 801),
        whole,
        values: vec![value(6, dec!(3.60), 802), value(7, dec!(2.50), 803)],
        items: vec![(0, entered(dec!(0.25), Unit::One, 804, "use"))],
    }
}

/// 1,000 ft in each month, 0.25 a foot. June: 3.60 on 3.00, 0.60 above it, 0.30 above 3.30. July: 0.50 below, 0.20 below 2.70.
#[test]
fn pay_follows_the_price_of_the_month() {
    let row = |n, date| Measured { quantity: Some(read(dec!(1000), 0, n, 5)), ..measured(0, n, date) };
    let index = |index: PriceIndex, third: Option<Measured>| {
        let mut contract = contract(vec![item("1", Unit::Foot, dec!(1), Measurement::ByHand)]);
        contract.payment.indices = vec![index];
        let rows = [row(1, "2031-06-02"), row(2, "2031-07-02")].into_iter().chain(third).collect();
        run(&contract, Records { measured: rows, ..Records::default() }, "2031-07-31", &nothing_judged)
    };
    assert_eq!(index(fuel(true), None).columns("index"), [dec!(150), dec!(-125), dec!(25)]);
    assert_eq!(index(fuel(false), None).columns("index"), [dec!(75), dec!(-50), dec!(25)]);
    let at = PriceIndex { trigger: share(dec!(20), 801), ..fuel(true) };
    assert_eq!(index(at, None).columns("index")[2], dec!(0));
    let unknown = index(fuel(true), Some(row(3, "2031-05-02")));
    assert_eq!(unknown.columns("index")[2], dec!(25));
    assert_eq!(unknown.findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::IndexMissing]);
}

/// 1,000 paid in June; a deduction of 1,500 in July leaves -500: owed, or carried with nothing due.
#[test]
fn an_estimate_below_zero_is_owed_or_carried() {
    let (mut contract, records) = lump_sums(&[("2031-06-02", dec!(1000))]);
    contract.payment.entries = vec![entry(1, "2031-07-10", dec!(-1500))];
    let done = |contract: &Contract| run(contract, records.clone(), "2031-07-31", &nothing_judged);
    assert_eq!(done(&contract).columns("due"), [dec!(1000), dec!(-1500), dec!(-500)]);
    contract.payment.carried = true;
    let carried = done(&contract);
    assert_eq!(carried.columns("due"), [dec!(1000), dec!(0), dec!(1000)]);
    assert_eq!(carried.columns("carried"), [dec!(0), dec!(1500), dec!(1500)]);
    assert_eq!(carried.columns("payable")[2], dec!(-500));
}

fn thirds() -> Split {
    let rule = |items: &[usize], shares: &[(&str, Decimal)], line| SplitRule {
        items: items.to_vec(),
        sections: vec![],
        shares: (line..).zip(shares).map(|(line, &(part, percent))| (part.to_string(), share(percent, line))).collect(),
    };
    Split {
        name: "Funding".into(),
        rules: vec![
            rule(&[0], &[("state", dec!(33.33)), ("county", dec!(33.33)), ("town", dec!(33.34))], 900),
            rule(&[1], &[("town", dec!(100))], 910),
        ],
    }
}

/// 100.01 in thirds: 33.33, 33.33, and 33.35 to the last. The third item falls under no rule.
#[test]
fn the_last_part_takes_what_rounding_leaves() {
    let (mut contract, records) =
        lump_sums(&[("2031-07-02", dec!(100.01)), ("2031-07-02", dec!(50)), ("2031-07-02", dec!(7))]);
    contract.items.iter_mut().for_each(|item| item.adjusted_by.clear());
    contract.payment.splits = vec![thirds()];
    contract.payment.retainage = Some(percent(dec!(10)));
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    let parts = &done.estimate.splits[0];
    assert_eq!(parts.names, ["state", "county", "town", "not assigned"]);
    let line =
        |n: usize| parts.lines[n].parts.iter().map(|part| part.map(|a| done.value(a.to_date))).collect::<Vec<_>>();
    assert_eq!(line(0), [Some(dec!(33.33)), Some(dec!(33.33)), Some(dec!(33.35)), None]);
    assert_eq!(line(1), [None, None, Some(dec!(50)), None]);
    assert_eq!(line(2), [None, None, None, Some(dec!(7))]);
    // Retained, 15.70 of 157.01, as what is earned: 33.33, 33.33, 83.35 and the rest.
    assert_eq!(line(4), [Some(dec!(3.33)), Some(dec!(3.33)), Some(dec!(8.33)), Some(dec!(0.71))]);
    assert_eq!(line(5), [Some(dec!(30.00)), Some(dec!(30.00)), Some(dec!(75.02)), Some(dec!(6.29))]);
}

proptest::proptest! {
    /// With everything at once: before + this = to date in every line, the lines sum to what is due, and the parts of every
    /// line of the split add up to it in every column.
    #[test]
    fn every_line_and_every_part_foots(
        sums in proptest::collection::vec((1_i64..5_000_000, proptest::bool::ANY), 3..8),
        entries in proptest::collection::vec((-500_000_i64..500_000, proptest::bool::ANY, proptest::bool::ANY, 0_usize..3), 0..6),
        (held, carried, last, most) in (0_u32..12, proptest::bool::ANY, proptest::bool::ANY, proptest::bool::ANY),
    ) {
        let cents = |n: i64| Decimal::new(n, 2);
        let dated: Vec<(&str, Decimal)> =
            sums.iter().map(|&(n, june)| (if june { "2031-06-02" } else { "2031-07-02" }, cents(n))).collect();
        let (mut contract, records) = lump_sums(&dated);
        contract.items[0].terms.free_of_retainage = true;
        contract.items[1].terms.until_final = Some(UntilFinal { percent: share(dec!(95), 90), of_plan: true });
        contract.payment.retainage = Some(Retainage {
            most: most.then(|| share(dec!(3), 83)),
            released_at_final: true,
            ..percent(Decimal::from(held))
        });
        contract.payment.carried = carried;
        contract.payment.last_is_final = last;
        contract.payment.stored = Some(iowa(vec![material(1, dec!(1234.56), true), material(2, dec!(777.77), false)]));
        contract.payment.splits = vec![thirds()];
        contract.payment.entries = (1..).zip(&entries).filter(|(_, e)| e.0 != 0).map(|(n, &(amount, june, earned, item))| Entry {
            earned,
            item: (item > 0).then_some(item),
            ..entry(n, if june { "2031-06-12" } else { "2031-07-12" }, cents(amount))
        }).collect();
        let done = run(&contract, records, "2031-07-31", &nothing_judged);
        let e = &done.estimate;
        let parts = &e.splits[0];
        let all = e.settlement.lines.iter().map(|line| line.amounts)
            .chain(parts.lines.iter().flat_map(|line| line.parts.iter().flatten().copied()));
        for a in all {
            proptest::prop_assert_eq!(done.value(a.previous) + done.value(a.this), done.value(a.to_date));
        }
        let columns: [fn(&crate::pay::Amounts) -> FigureId; 3] = [|a| a.previous, |a| a.this, |a| a.to_date];
        for pick in columns {
            for line in &parts.lines {
                let sum: Decimal = line.parts.iter().flatten().map(|part| done.value(pick(part))).sum();
                proptest::prop_assert_eq!(sum, done.value(pick(&line.whole)), "{}", line.label);
            }
            let signed = |line: &crate::pay::PayLine| match line.role {
                crate::pay::Role::Added => done.value(pick(&line.amounts)),
                crate::pay::Role::Less => -done.value(pick(&line.amounts)),
                _ => dec!(0),
            };
            let lines: Decimal = e.settlement.lines.iter().map(signed).sum();
            proptest::prop_assert_eq!(done.value(pick(&e.work)) + lines, done.value(pick(&e.due())));
        }
        if carried {
            proptest::prop_assert!(done.value(e.due().this) >= dec!(0));
        }
    }
}

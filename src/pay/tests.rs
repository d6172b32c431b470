//! Quantities to dollars: every line foots, periods part where the contract says, retainage follows published cases.

mod payment;
mod whole;
mod work;

use rust_decimal::{Decimal, dec};

use super::{Estimate, Inputs, estimate};
use crate::accept::{Adjustment, Effect, Judged, Outcome, Verdict, fixture as rules, judge};
use crate::contract::{Contract, Item, Measurement, Paper, PaperDue, Period, Retainage};
use crate::figure::{Book, Figure, FigureId, Value};
use crate::finding::{Code, Finding};
use crate::intake::{Document, Measured, Records};
use crate::line::fixture::{self, NB_1, NB_2, day, entered, read};
use crate::line::{Line, lay, placed_within};
use crate::reconcile::account;
use crate::rules::{How, Property};
use crate::units::Unit;
use crate::works::Works;

pub(super) fn item(number: &str, unit: Unit, price: Decimal, measured: Measurement) -> Item {
    Item {
        number: number.into(),
        description: format!("item {number}"),
        unit,
        quantity: entered(dec!(100), unit, 70, "items[0].quantity"),
        price: entered(price, unit.price().unwrap(), 71, "items[0].price"),
        measured,
        rounding: "0.01 half up".parse().unwrap(),
        adjusted_by: vec![Property::Thickness],
        waits_for: Vec::new(),
        terms: crate::contract::Terms::default(),
        line: 70,
    }
}

pub(super) fn measured(item: usize, row: u32, date: &str) -> Measured {
    Measured {
        item: read(item, 0, row, 0),
        date: read(day(date), 0, row, 1),
        location: None,
        length: None,
        width: None,
        depth: None,
        count: None,
        quantity: None,
        by: None,
        checked_by: None,
        remarks: None,
    }
}

pub(super) fn contract(items: Vec<Item>) -> Contract {
    let period = |number, through| Period { number, through: day(through) };
    Contract { items, periods: vec![period(1, "2031-06-30"), period(2, "2031-07-31")], ..fixture::contract() }
}

/// Retainage of so many percent of all that is earned.
fn percent(value: Decimal) -> Retainage {
    Retainage {
        percent: entered(value, Unit::Percent, 80, "retainage.percent"),
        steps: vec![],
        most: None,
        release: vec![],
        released_at_final: false,
    }
}

pub(super) struct Done {
    pub(super) book: Book,
    pub(super) estimate: Estimate,
    findings: Vec<Finding>,
}

impl Done {
    fn value(&self, id: FigureId) -> Decimal {
        self.book[id].value.decimal().unwrap()
    }
}

pub(super) type Judge<'a> = &'a dyn Fn(&Contract, &Line, &mut Book) -> Judged;

pub(super) fn nothing_judged(_: &Contract, _: &Line, _: &mut Book) -> Judged {
    Judged::default()
}

pub(super) fn run(contract: &Contract, mut records: Records, through: &str, judge: Judge) -> Done {
    let mut book = fixture::book();
    let (line, _) = lay(contract, &mut records, &mut book);
    let judged = judge(contract, &line, &mut book);
    let (account, _) = account(contract, &records, &line, &mut book);
    let through = day(through);
    let works = Works::default();
    let inputs = Inputs {
        contract,
        records: &records,
        line: &line,
        judged: &judged,
        account: &account,
        works: &works,
        closed: None,
        through,
    };
    let (estimate, findings) = estimate(inputs, &mut book).unwrap();
    Done { book, estimate, findings }
}

/// One placement of 300 ft x 24 ft in June and one in July: 800 yd2 each.
fn two_months(contract: &Contract) -> Records {
    let placement = |number, date, from, to| fixture::placement(contract, number, date, &[NB_1, NB_2], from, to);
    fixture::records(
        vec![placement("1", "2031-06-10", "10+00", "13+00"), placement("2", "2031-07-10", "13+00", "16+00")],
        vec![],
    )
}

#[test]
fn a_placed_area_is_paid_in_the_period_it_was_placed_in() {
    let contract = contract(vec![item("401", Unit::SquareYard, dec!(61.50), Measurement::PlacedArea(vec![0]))]);
    let done = run(&contract, two_months(&contract), "2031-07-31", &nothing_judged);
    let pay = &done.estimate.items[0];
    // Geometry: 300 ft x 24 ft / 9 = 800 yd2 in each month.
    assert_eq!(done.value(pay.quantity.previous), dec!(800.00));
    assert_eq!(done.value(pay.quantity.this), dec!(800.00));
    assert_eq!(done.value(pay.amount.to_date), dec!(98400.00));
    assert_eq!(done.value(done.estimate.due().this), dec!(49200.00));
    assert_eq!(pay.lines.len(), 2);
    assert!(pay.lines.iter().all(|line| line.record.is_some()));
}

#[test]
fn an_as_of_day_in_the_first_period_leaves_nothing_before_it() {
    let contract = contract(vec![item("401", Unit::SquareYard, dec!(1), Measurement::PlacedArea(vec![0]))]);
    let done = run(&contract, two_months(&contract), "2031-06-15", &nothing_judged);
    assert_eq!((done.estimate.period.number, done.estimate.before), (1, None));
    assert_eq!(done.value(done.estimate.work.previous), dec!(0));
}

#[test]
fn a_day_after_the_last_period_is_refused() {
    let contract = contract(vec![]);
    let (mut records, mut book) = (Records::default(), fixture::book());
    let (line, _) = lay(&contract, &mut records, &mut book);
    let (account, _) = account(&contract, &records, &line, &mut book);
    let judged = Judged::default();
    let through = day("2031-08-01");
    let works = Works::default();
    let inputs = Inputs {
        contract: &contract,
        records: &records,
        line: &line,
        judged: &judged,
        account: &account,
        works: &works,
        closed: None,
        through,
    };
    assert!(estimate(inputs, &mut book).unwrap_err().contains("2031-07-31"));
}

#[test]
fn a_driveway_is_paid_by_its_dimensions_and_castings_by_count() {
    let contract = contract(vec![
        item("405", Unit::SquareYard, dec!(70), Measurement::ByHand),
        item("610", Unit::Each, dec!(450), Measurement::ByHand),
    ]);
    let driveway = Measured {
        length: Some(read(dec!(20), 0, 1, 2)),
        width: Some(read(dec!(18), 0, 1, 3)),
        ..measured(0, 1, "2031-07-02")
    };
    let castings = Measured { count: Some(read(dec!(3), 0, 2, 4)), ..measured(1, 2, "2031-07-03") };
    let records = Records { measured: vec![driveway, castings], ..Records::default() };
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    // 20 ft x 18 ft / 9 = 40 yd2.
    assert_eq!(done.value(done.estimate.items[0].quantity.to_date), dec!(40));
    assert_eq!(done.value(done.estimate.items[1].amount.to_date), dec!(1350));
}

#[test]
fn a_quantity_beside_dimensions_that_make_another_is_a_conflict_and_the_dimensions_are_paid() {
    let contract = contract(vec![item("405", Unit::SquareYard, dec!(70), Measurement::ByHand)]);
    let row = Measured {
        length: Some(read(dec!(20), 0, 1, 2)),
        width: Some(read(dec!(18), 0, 1, 3)),
        quantity: Some(read(dec!(44), 0, 1, 5)),
        ..measured(0, 1, "2031-07-02")
    };
    let done = run(&contract, Records { measured: vec![row], ..Records::default() }, "2031-07-31", &nothing_judged);
    assert_eq!(done.value(done.estimate.items[0].quantity.to_date), dec!(40));
    assert_eq!(done.findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::QuantityDiffers]);
}

#[test]
fn a_row_that_gives_nothing_its_item_is_paid_by_is_not_paid_and_says_so() {
    let contract = contract(vec![item("405", Unit::SquareYard, dec!(70), Measurement::ByHand)]);
    let row = Measured { length: Some(read(dec!(20), 0, 1, 2)), ..measured(0, 1, "2031-07-02") };
    let done = run(&contract, Records { measured: vec![row], ..Records::default() }, "2031-07-31", &nothing_judged);
    assert_eq!(done.value(done.estimate.due().this), dec!(0));
    assert_eq!(done.findings[0].code, Code::QuantityUnitWrong);
    assert!(done.findings[0].message.contains("length and width, or quantity"));
}

/// The lot of the look of things: 197.33 yd2 at 61.50 paid at 72 percent.
fn deficient(contract: &Contract, line: &Line, book: &mut Book) -> Judged {
    let at = |label| fixture::station(contract, NB_1, label);
    let places = vec![(NB_1, at("11+00"), at("12+48"))];
    let placed = placed_within(line, contract, book, &places, "zone", "zone").unwrap();
    let seventy_two = entered(dec!(72), Unit::Percent, 1, "pay").given("pay", "f");
    let seventy_two = book.given(seventy_two);
    let pay = book.add(Figure::new("zone.pay", "pay", "f", Unit::Percent, seventy_two));
    let outcome = Outcome {
        property: Property::Thickness,
        name: "deficient section".into(),
        places,
        section: 0,
        verdict: Verdict::Adjusted,
        average: None,
        entered: None,
        pay: Some(pay),
        area: Some(placed.area),
        steps: vec![],
        decided: Some(day("2031-07-20")),
        adjustments: vec![Adjustment {
            area: placed.area,
            volume: placed.volume,
            effect: Effect::Percent(pay),
            price: None,
            decided: day("2031-07-20"),
        }],
        clause: "example".into(),
        note: String::new(),
    };
    Judged { outcomes: vec![outcome], ..Judged::default() }
}

#[test]
fn a_deficient_section_is_its_own_line_against_the_full_price() {
    let contract = contract(vec![item("401", Unit::SquareYard, dec!(61.50), Measurement::PlacedArea(vec![0]))]);
    let done = run(&contract, two_months(&contract), "2031-07-31", &deficient);
    let line = &done.estimate.adjustments[0];
    // 148.0 ft x 12 ft / 9 = 197.33 yd2; (0.72 - 1) x 197.33 x 61.50 = -3,398.0226.
    assert_eq!(done.value(line.quantity), dec!(197.33));
    assert_eq!(done.value(line.amount), dec!(-3398.02));
    assert!(line.this_period && !line.held);
    assert_eq!(done.value(done.estimate.earned().this), dec!(49200.00) - dec!(3398.02));
}

#[test]
fn an_item_paid_by_volume_takes_the_deduction_on_the_plan_volume() {
    let contract = contract(vec![item("401", Unit::CubicYard, dec!(200), Measurement::PlacedVolume(vec![0]))]);
    let done = run(&contract, two_months(&contract), "2031-07-31", &deficient);
    // 197.33 yd2 x 10 in / 36 = 54.81 yd3; (0.72 - 1) x 54.81 x 200 = -3,069.36.
    assert_eq!(done.value(done.estimate.adjustments[0].amount), dec!(-3069.36));
}

#[test]
fn an_item_paid_by_delivered_volume_takes_the_net_of_its_placements() {
    let contract = contract(vec![item("401", Unit::CubicYard, dec!(200), Measurement::DeliveredVolume(vec![0]))]);
    let mut records = two_months(&contract);
    records.loads = (1..=30).map(|n| fixture::load(n, "2031-07-10", dec!(8), Some("2"))).collect();
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    // 30 loads of 8 yd3 for placement 2; placement 1 has no loads and nothing is paid for it.
    assert_eq!(done.value(done.estimate.items[0].quantity.this), dec!(240));
    assert_eq!(done.value(done.estimate.items[0].quantity.previous), dec!(0));
}

#[test]
fn retainage_is_taken_of_what_is_earned_to_date_to_the_cent() {
    // City of Coppell (Texas), partial estimate 9 of 9 November 2001: 2.5 percent of 1,582,187.44 is 39,554.69 (39,554.686).
    let mut contract = contract(vec![item("1", Unit::LumpSum, dec!(1582187.44), Measurement::ByHand)]);
    contract.payment.retainage = Some(percent(dec!(2.5)));
    let row = Measured { quantity: Some(read(dec!(1), 0, 1, 5)), ..measured(0, 1, "2031-07-02") };
    let done = run(&contract, Records { measured: vec![row], ..Records::default() }, "2031-07-31", &nothing_judged);
    let retained = done.estimate.settlement.retained.unwrap().retained;
    assert_eq!(done.value(retained.to_date), dec!(39554.69));
    assert_eq!(done.value(done.estimate.due().to_date), dec!(1582187.44) - dec!(39554.69));
}

#[test]
fn change_order_lines_extend_exactly() {
    // City of Coppell (Texas), change order 1 of 30 July 2010: 125 LF x 5.18 = 647.50 and 104 EA x 8.25 = 858.00.
    let contract = contract(vec![
        item("1", Unit::Foot, dec!(5.18), Measurement::ByHand),
        item("2", Unit::Each, dec!(8.25), Measurement::ByHand),
    ]);
    let row =
        |item, n, quantity| Measured { quantity: Some(read(quantity, 0, n, 5)), ..measured(item, n, "2031-07-02") };
    let records = Records { measured: vec![row(0, 1, dec!(125)), row(1, 2, dec!(104))], ..Records::default() };
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    let amount = |i: usize| done.value(done.estimate.items[i].amount.to_date);
    assert_eq!((amount(0), amount(1)), (dec!(647.50), dec!(858.00)));
    assert_eq!(done.value(done.estimate.work.to_date), dec!(1505.50));
}

#[test]
fn an_item_without_records_is_a_gap() {
    let contract = contract(vec![item("405", Unit::SquareYard, dec!(70), Measurement::ByHand)]);
    let done = run(&contract, Records::default(), "2031-07-31", &nothing_judged);
    assert_eq!(done.findings[0].code, Code::ItemWithoutRecords);
}

proptest::proptest! {
    /// Whatever the quantities and prices: before + this period = to date in every line, and the lines sum to the total.
    #[test]
    fn the_estimate_foots(rows in proptest::collection::vec((0_usize..3, 0_i64..1_000_000, proptest::bool::ANY), 0..40)) {
        let units = [Unit::Foot, Unit::SquareYard, Unit::Each];
        let prices = [dec!(5.18), dec!(61.505), dec!(0.335)];
        let mut contract = contract(
            units.iter().zip(prices).map(|(&u, p)| item("1", u, p, Measurement::ByHand)).collect(),
        );
        for (i, item) in contract.items.iter_mut().enumerate() {
            item.number = format!("{i}");
        }
        contract.payment.retainage = Some(percent(dec!(5)));
        let measured = (1..).zip(&rows).map(|(n, &(item, hundredths, june))| Measured {
            quantity: Some(read(Decimal::new(hundredths, 2), 0, n, 5)),
            ..measured(item, n, if june { "2031-06-02" } else { "2031-07-02" })
        }).collect();
        let done = run(&contract, Records { measured, ..Records::default() }, "2031-07-31", &nothing_judged);
        let e = &done.estimate;
        let all: Vec<_> = e.items.iter().flat_map(|i| [i.quantity, i.amount])
            .chain([e.work, e.adjusted, e.earned(), e.settlement.retained.unwrap().retained, e.due()]).collect();
        for a in all {
            proptest::prop_assert_eq!(done.value(a.previous) + done.value(a.this), done.value(a.to_date));
        }
        let lines: Decimal = e.items.iter().map(|i| done.value(i.amount.to_date)).sum();
        proptest::prop_assert_eq!(lines, done.value(e.work.to_date));
        let checked = matches!(done.book[e.due().this].value, Value::Exact(_));
        proptest::prop_assert!(checked);
    }
}

/// One placement over both lanes, a core in each lane and one test of 3,800 psi.
fn one_day(contract: &Contract) -> Records {
    let core = |number, lane, inches| fixture::core(contract, number, lane, "15+00", &[inches]);
    let cylinder = |row| fixture::cylinder(row, "S-1", "2031-06-02", "1", Some(dec!(107442)));
    Records {
        placements: vec![fixture::placement(contract, "1", "2031-06-02", &[NB_1, NB_2], "10+00", "20+00")],
        cores: vec![core("C-1", NB_1, dec!(9.75)), core("C-2", NB_2, dec!(10))],
        specimens: vec![cylinder(1), cylinder(2)],
        ..Records::default()
    }
}

/// 1,000 ft x 12 ft / 9 = 1,333.33 yd2 a lane at 60.00. The test of June 30 pays 95 percent of both lanes, and the cores of
/// July 20 pay 80 and 100: by the product 76 and 95. June: (0.95 - 1) x 1,333.33 x 60 = -3,999.99 a lane. July: 19 less of
/// `NB-1`, -0.19 x 1,333.33 x 60 = -15,199.96. Nothing is taken off beside them.
#[test]
fn combined_pay_is_taken_off_once_whatever_it_is_made_of_and_when() {
    let mut pavement = item("401", Unit::SquareYard, dec!(60), Measurement::PlacedArea(vec![0]));
    pavement.adjusted_by = vec![Property::Combined];
    let contract = contract(vec![pavement]);
    let judging = |contract: &Contract, line: &Line, book: &mut Book| {
        let sets = [&rules::thickness(|_| {}), &rules::strength(|_| {}), &rules::combined(How::Product, |_| {})];
        judge(contract, &sets, &one_day(contract), line, day("2031-07-31"), book).0
    };
    let done = run(&contract, one_day(&contract), "2031-07-31", &judging);
    let lines = done.estimate.adjustments.iter().map(|a| (a.this_period, done.value(a.rate), done.value(a.amount)));
    assert_eq!(
        lines.collect::<Vec<_>>(),
        [(false, dec!(95), dec!(-3999.99)), (true, dec!(81), dec!(-15199.96)), (false, dec!(95), dec!(-3999.99)),]
    );
    let adjusted = done.estimate.adjusted;
    assert_eq!(done.value(adjusted.previous), dec!(-7999.98));
    assert_eq!(done.value(adjusted.this), dec!(-15199.96));
}

/// A certificate of Example Cement is due 14 days after 2 July; the item earned 12.00 x 100.00 = 1,200.00, and the other item nothing
/// that a paper holds.
#[test]
fn an_item_is_held_whole_until_its_paper_comes() {
    let mut contract = contract(vec![
        item("1", Unit::Foot, dec!(12), Measurement::ByHand),
        item("2", Unit::Foot, dec!(5), Measurement::ByHand),
    ]);
    contract.papers = vec![Paper {
        paper: "Mill certificate".into(),
        items: vec![0],
        from: Some("Example Cement".into()),
        due: PaperDue::AfterFirst(14),
        holds: true,
        line: 90,
    }];
    let row = |item, n, date| Measured { quantity: Some(read(dec!(100), 0, n, 5)), ..measured(item, n, date) };
    let with = |documents: Vec<Document>, through: &str| {
        let rows = vec![row(0, 1, "2031-06-20"), row(1, 2, "2031-06-20")];
        run(&contract, Records { measured: rows, documents, ..Records::default() }, through, &nothing_judged)
    };
    let held = |done: &Done| {
        let held = *done.estimate.settlement.line("held-for-papers").unwrap();
        [held.previous, held.this, held.to_date].map(|id| done.value(id))
    };
    // Due on 4 July: nothing is missing at the end of June, all of the first item is held from then on.
    assert_eq!(held(&with(vec![], "2031-07-03")), [dec!(0), dec!(0), dec!(0)]);
    let missing = with(vec![], "2031-07-31");
    assert_eq!(held(&missing), [dec!(0), dec!(-1200), dec!(-1200)]);
    assert_eq!(missing.value(missing.estimate.due().to_date), dec!(500));
    assert_eq!(missing.findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::PaperMissing]);
    let document = |what: &str, about: &str| Document {
        number: read("D-1".into(), 0, 7, 0),
        date: read(day("2031-07-10"), 0, 7, 1),
        what: Some(read(what.into(), 0, 7, 2)),
        about: Some(read(about.into(), 0, 7, 3)),
        lanes: None,
        between: None,
        by: None,
        remarks: None,
    };
    let come = with(vec![document("mill certificate", "cement of EXAMPLE")], "2031-07-31");
    assert_eq!(held(&come), [dec!(0), dec!(0), dec!(0)]);
    assert!(come.estimate.papers[0].received.is_some() && come.findings.is_empty());
    let other = with(vec![document("mill certificate", "item 1, of Another Cement")], "2031-07-31");
    assert_eq!(held(&other)[2], dec!(-1200), "a certificate of somebody else");
    let short = with(vec![document("certificate", "Example Cement")], "2031-07-31");
    assert_eq!(held(&short)[2], dec!(-1200), "it lacks a word of the paper");
}

/// A paper that comes in July lets go in July of what was held at the end of June.
#[test]
fn what_was_held_for_a_paper_is_paid_when_it_comes() {
    let mut contract = contract(vec![item("1", Unit::Foot, dec!(12), Measurement::ByHand)]);
    contract.papers = vec![Paper {
        paper: "invoice".into(),
        items: vec![0],
        from: None,
        due: PaperDue::AfterFirst(0),
        holds: true,
        line: 90,
    }];
    let rows = vec![Measured { quantity: Some(read(dec!(100), 0, 1, 5)), ..measured(0, 1, "2031-06-20") }];
    let document = Document {
        number: read("D-1".into(), 0, 7, 0),
        date: read(day("2031-07-10"), 0, 7, 1),
        what: Some(read("Invoice".into(), 0, 7, 2)),
        about: Some(read("item 1".into(), 0, 7, 3)),
        lanes: None,
        between: None,
        by: None,
        remarks: None,
    };
    let records = Records { measured: rows, documents: vec![document], ..Records::default() };
    let done = run(&contract, records, "2031-07-31", &nothing_judged);
    let held = *done.estimate.settlement.line("held-for-papers").unwrap();
    assert_eq!([held.previous, held.this, held.to_date].map(|id| done.value(id)), [dec!(-1200), dec!(1200), dec!(0)]);
    assert_eq!(done.value(done.estimate.due().this), dec!(1200));
}

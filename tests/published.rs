//! Published cases, driven through the whole program from a contract folder of CSV sheets, as a user would meet them.
//! `tests/published/README.md` names the sources.

use std::fs;

use rust_decimal::{Decimal, dec};
use slabtally::accept::Verdict;
use slabtally::finding::Code;
use slabtally::run::{self, Computed};
use slabtally::units::Rounding;
use tempfile::TempDir;

/// A straight road, 100 stations long: lane `W` of 24 ft, and lanes `L1` and `L2` of 12 ft; thickness and strength as told,
/// extra TOML behind.
fn contract(thickness: &str, strength: &str, more: &str) -> String {
    format!(
        r#"number = "P-1"
title = "Published cases"
units = "US customary"
dates = "year-month-day"
parties = {{ owner = "owner", contractor = "contractor", engineer = "engineer" }}
rounding = {{ length = "0.1 half up", area = "0.01 half up", volume = "0.01 half up", money = "0.01 half up" }}
alignments = [{{ name = "A", begin = "0+00", end = "100+00" }}]
lanes = [
    {{ name = "L1", alignment = "A", side = "right", width = "12 ft" }},
    {{ name = "L2", alignment = "A", side = "right", width = "12 ft" }},
    {{ name = "W", alignment = "A", side = "left", width = "24 ft" }},
]
periods = [{{ number = 1, through = 2031-12-31 }}]

[[sections]]
name = "road"
from = "0+00"
to = "100+00"
lanes = ["L1", "L2"]
thickness = "{thickness}"
{strength}

[[sections]]
name = "wide"
from = "0+00"
to = "100+00"
lanes = ["W"]
thickness = "{thickness}"

[[items]]
number = "1"
description = "Concrete pavement"
unit = "SY"
quantity = "1"
price = "100.00"
measured = "placed area"
sections = ["road", "wide"]
{more}
"#
    )
}

fn compute(contract: &str, sheets: &[(&str, &str)]) -> Computed {
    let dir = TempDir::new().unwrap();
    fs::create_dir_all(dir.path().join("field")).unwrap();
    fs::write(dir.path().join("contract.toml"), contract).unwrap();
    for (name, text) in sheets {
        fs::write(dir.path().join("field").join(name), text).unwrap();
    }
    run::compute(dir.path(), None, &|_, _| ()).unwrap_or_else(|stop| panic!("{:#?}", stop.findings))
}

fn value(computed: &Computed, key: &str) -> Decimal {
    let near = || computed.book.keys().filter(|k| k.contains(key.split('.').next().unwrap())).collect::<Vec<_>>();
    let id = computed.book.by_key(key).unwrap_or_else(|| panic!("{key} is not among {:?}", near()));
    computed.book[id].value.decimal().unwrap_or_else(|| panic!("{key} is {:?}", computed.book[id].value))
}

fn placement(lanes: &str, to: &str) -> String {
    format!("Placement,Date,Lanes,From station,To station\n1,2031-06-02,{lanes},0+00,{to}\n")
}

#[test]
fn a_slab_of_1000_by_24_ft_and_10_in() {
    // Geometry: 1,000 x 24 / 9 = 2,666.67 yd2; x 10 / 36 = 740.74 yd3.
    let placed = |lanes| compute(&contract("10 in", "", ""), &[("placements.csv", &placement(lanes, "10+00"))]);
    let done = placed("W");
    assert_eq!(value(&done, "item-1.quantity.to-date"), dec!(2666.67));
    assert_eq!(value(&done, "placement-1.volume"), dec!(740.74));
    // DIFFERENCE: two lanes of 12 ft are two measurements, 1,333.33 yd2 each as the contract rounds areas, and a total is the
    // sum of what is printed above it.
    assert_eq!(value(&placed("L1 & L2"), "item-1.quantity.to-date"), dec!(2666.66));
}

#[test]
fn the_yield_of_a_days_paving() {
    // Derived (common practice): 1,200 x 24 ft x 10 in = 888.89 yd3; batched 920: +31.11, +3.5 percent, 10.35 in deep.
    let mut loads = String::from("Ticket,Date,Volume (CY),Placement\n");
    for ticket in 0..115 {
        loads.push_str(&format!("T{ticket},2031-06-02,8,1\n"));
    }
    let done =
        compute(&contract("10 in", "", ""), &[("placements.csv", &placement("W", "12+00")), ("loads.csv", &loads)]);
    assert_eq!(value(&done, "yield.placement-1.net"), dec!(920.00));
    assert_eq!(value(&done, "placement-1.volume"), dec!(888.89));
    assert_eq!(value(&done, "yield.placement-1.over"), dec!(31.11));
    assert_eq!(value(&done, "yield.placement-1.percent"), dec!(3.5));
    assert_eq!(value(&done, "yield.placement-1.depth"), dec!(10.35));
}

/// One lot of 2,000 yd2 (750 ft of 24 ft) with these cores on a 10-in slab; the average, the deficiency, the pay.
fn three_cores(lengths: [&str; 3]) -> Computed {
    let more = "adjusted_by = [\"thickness\"]\n[rules]\nthickness = \"example-stepped-average\"\n";
    let mut cores = String::from("Core,Date,Lane,Station,Length (in)\n");
    for (n, length) in lengths.iter().enumerate() {
        cores.push_str(&format!("C-{n},2031-07-01,L1,{}+00,{length}\n", n + 1));
    }
    compute(&contract("10 in", "", more), &[("placements.csv", &placement("L1 & L2", "7+50")), ("cores.csv", &cores)])
}

fn judged(done: &Computed) -> (Decimal, Decimal, Decimal) {
    let of = |what: &str| value(done, &format!("road.lot-1.{what}"));
    (of("average"), of("deficiency"), of("pay"))
}

#[test]
fn thick_cores_are_capped_before_they_are_averaged() {
    // FHWA standard specifications of the 1969 era, section 501 (rule read; numbers made here): plan 10.0; 10.5 counts as
    // 10.2, the mean of 10.2, 9.6 and 9.9 is 9.90, short 0.10: full pay.
    assert_eq!(judged(&three_cores(["10.5", "9.6", "9.9"])), (dec!(9.90), dec!(0.10), dec!(100)));
    // Derived: 9.75, 9.60, 10.60 -> 10.20; average 9.85, deficiency 0.15: full pay.
    assert_eq!(judged(&three_cores(["9.75", "9.60", "10.60"])), (dec!(9.85), dec!(0.15), dec!(100)));
    // Derived: 9.60, 9.65, 10.60 -> 10.20; 9.8167 -> 9.82, deficiency 0.18: full pay.
    assert_eq!(judged(&three_cores(["9.60", "9.65", "10.60"])), (dec!(9.82), dec!(0.18), dec!(100)));
    // Derived; the percent is of the table from memory: 9.583 -> 9.58, deficiency 0.42 -> 68.
    assert_eq!(judged(&three_cores(["9.50", "9.55", "9.70"])), (dec!(9.58), dec!(0.42), dec!(68)));
}

#[test]
fn a_very_thin_core_is_left_out_and_starts_exploratory_coring() {
    // Same specification: 8.8 is short 1.2, more than 1.0, and is left out; the mean of 9.6 and 9.9 is 9.75, short 0.25 (80
    // percent by the table from memory). What lies around it waits for the engineer.
    let done = three_cores(["8.8", "9.6", "9.9"]);
    assert_eq!(judged(&done), (dec!(9.75), dec!(0.25), dec!(80)));
    assert!(done.findings.iter().any(|f| f.code == Code::ThicknessUnresolved && f.open));
    assert!(done.judged.outcomes.iter().any(|o| o.verdict == Verdict::Undecided));
    // 8.90 with 9.70 and 9.80: short 1.10, left out; 9.75 again.
    assert_eq!(judged(&three_cores(["8.90", "9.70", "9.80"])).0, dec!(9.75));
}

#[test]
fn the_average_is_rounded_before_it_enters_the_table() {
    // The table is written in hundredths, so 0.204 is 0.20 (full pay) and 0.205 is 0.21 (80 percent, table from memory).
    let pay = |length: &str| judged(&three_cores([length, length, length])).2;
    assert_eq!((pay("9.80"), pay("9.79")), (dec!(100), dec!(80)));
    // 9.80, 9.79, 9.80 average 9.7967 -> 9.80; 9.79, 9.79, 9.80 average 9.7933 -> 9.79.
    assert_eq!(judged(&three_cores(["9.80", "9.79", "9.80"])).2, dec!(100));
    assert_eq!(judged(&three_cores(["9.79", "9.79", "9.80"])).2, dec!(80));
}

/// Cylinders of 6 in with these loads, a set of two a day, at these ages.
fn cylinders(specified: &str, age: u32, sets: &[[&str; 2]]) -> Computed {
    cylinders_by("example-two-rule-strength", specified, age, sets)
}

/// The same, judged by a rule set.
fn cylinders_by(rule: &str, specified: &str, age: u32, sets: &[[&str; 2]]) -> Computed {
    let strength = format!("strength = \"{specified} psi\"\nstrength_age = \"{age} day\"");
    let more = format!("adjusted_by = [\"strength\"]\n[rules]\nstrength = \"{rule}\"\n");
    let mut placements = String::from("Placement,Date,Lanes,From station,To station\n");
    let mut sheet = String::from("Specimen,Set,Cast date,Test date,Age (days),Diameter (in),Load (lb),Placement\n");
    let day = |n: usize| chrono::NaiveDate::from_ymd_opt(2031, 6, 1).unwrap() + chrono::Days::new(n as u64);
    for (n, loads) in sets.iter().enumerate() {
        placements.push_str(&format!("{n},{},L1,{n}+00,{}+00\n", day(n), n + 1));
        for (k, load) in loads.iter().enumerate() {
            let tested = day(n + age as usize);
            sheet.push_str(&format!("{n}-{k},S{n},{},{tested},{age},6,\"{load}\",{n}\n", day(n)));
        }
    }
    compute(&contract("10 in", &strength, &more), &[("placements.csv", &placements), ("cylinders.csv", &sheet)])
}

/// Test results in the order cast.
fn results(done: &Computed) -> Vec<Decimal> {
    let strength = |t: &slabtally::accept::TestJudged| done.book[t.strength.unwrap()].value.decimal().unwrap();
    done.judged.tests.iter().map(strength).collect()
}

#[test]
fn loads_on_6_in_cylinders_give_the_strengths_and_averages_of_two_city_reports() {
    // City of Coppell (Texas): pier concrete placed 26 September 2007: 7 days 57,540 and 59,940 lb -> 2,080 psi; 28 days 76,950
    // and 86,770 lb -> 2,900 psi (2,721.5 and 3,068.9, unrounded; their printed 2,720 and 3,070 would average 2,895).
    assert_eq!(results(&cylinders("3000", 7, &[["57,540", "59,940"]])), [dec!(2080)]);
    let low = cylinders("3000", 28, &[["76,950", "86,770"]]);
    assert_eq!(results(&low), [dec!(2900)]);
    // Light-pole piers placed 9 September 1998: 28 days 147,600 and 137,500 lb -> 5,040 psi.
    assert_eq!(results(&cylinders("4000", 28, &[["147,600", "137,500"]])), [dec!(5040)]);
}

/// The load that makes a strength on a 6-in cylinder, to the pound.
fn load(psi: f64) -> String {
    format!("{:.0}", psi * std::f64::consts::PI * 9.0)
}

#[test]
fn no_test_may_be_below_by_more_than_500_psi_and_every_three_must_average_the_specified() {
    // ACI 318-19, 26.12.3.1, as restated on public pages. At 4,000 psi a single test of 3,500 is allowed, 3,490 is not.
    let sets = |psi: [f64; 3]| psi.map(|p| [load(p), load(p)]);
    let passes = |specified: &str, psi: [f64; 3]| {
        let loads = sets(psi);
        let pairs: Vec<[&str; 2]> = loads.iter().map(|[a, b]| [a.as_str(), b.as_str()]).collect();
        cylinders(specified, 28, &pairs).judged.tests.iter().map(|t| t.passes).collect::<Vec<_>>()
    };
    assert_eq!(passes("4000", [4400.0, 4300.0, 3500.0]), [true, true, true]);
    assert_eq!(passes("4000", [4400.0, 4300.0, 3490.0]), [true, true, false]);
    // Above 5,000 psi the floor is 10 percent: 5,400 of 6,000 is allowed, 5,390 is not.
    assert_eq!(passes("6000", [6400.0, 6300.0, 5400.0]), [true, true, true]);
    assert_eq!(passes("6000", [6400.0, 6300.0, 5390.0]), [true, true, false]);
    // The average of three: 4,000 is allowed, 3,990 is not.
    assert_eq!(passes("4000", [4000.0, 4000.0, 4000.0]), [true, true, true]);
    assert_eq!(passes("4000", [4000.0, 4000.0, 3960.0]), [true, true, false]);
}

/// WSDOT 6-02.3(5)L, formulas seen in part: PA = 2 (f'c - fc) UP Q / f'c, UP = 300 for each yd3 where concrete is not paid by
/// volume. By hand: Q = 100 x 12 ft x 10 in = 133.33 yd2 x 10 / 36 = 37.04 yd3; 2 x (4,000 - 3,800) / 4,000 = 0.10 off;
/// 0.10 x 37.04 x 300 = 1,111.20.
#[test]
fn a_price_of_the_rule_by_volume_reaches_an_item_paid_by_area() {
    let (low, good) = (load(3800.0), load(4200.0));
    let done = cylinders_by("wsdot-6-02-strength", "4000", 28, &[[&low, &low], [&good, &good]]);
    // The loads are whole pounds and the rule compares as computed, so 3,800 psi is 3,799.98.
    assert_eq!(results(&done).iter().map(Decimal::round).collect::<Vec<_>>(), [dec!(3800), dec!(4200)]);
    let [line] = done.estimate.adjustments.as_slice() else { panic!("{:?}", done.estimate.adjustments) };
    let of = |id: slabtally::figure::FigureId| done.book[id].value.decimal().unwrap();
    let (volume, rate, amount) = (of(line.quantity), of(line.rate), of(line.amount));
    assert_eq!((volume, rate.round_dp(2)), (dec!(37.04), dec!(90.00)));
    assert_eq!(amount.round_dp(2), ((rate / dec!(100) - dec!(1)) * volume * dec!(300)).round_dp(2));
    assert!((amount + dec!(1111.20)).abs() < dec!(0.2), "{amount}");
    assert!(done.judged.tests.iter().all(|test| test.passes));
}

/// The same section for cores: 3.56 (0.85 f'c - fcore) UP Q / f'c, where a core counts as fcore / 0.85.
#[test]
fn the_formula_for_cores_is_that_for_cylinders_in_other_numbers() {
    let set = run::rule_sets(None).unwrap().0.into_iter().find(|set| set.id == "wsdot-6-02-strength").unwrap();
    let [cylinders, cores] = set.tables()[..] else { panic!("two tables") };
    let times = |pay: &slabtally::rules::Pay| match &pay.form {
        slabtally::rules::PayForm::Formula { times: Some(times), .. } => times.rows.last().unwrap().value,
        other => panic!("{other:?}"),
    };
    assert_eq!((times(cylinders), times(cores)), (dec!(-2), dec!(-3.56) * dec!(0.85)));
}

#[test]
fn a_result_at_7_days_is_never_taken_for_one_at_28() {
    let strength = "strength = \"3000 psi\"\nstrength_age = \"28 day\"";
    let more = "[rules]\nstrength = \"example-two-rule-strength\"\n";
    let sheet = "Specimen,Set,Cast date,Test date,Age (days),Diameter (in),Load (lb),Placement\n\
                 A,S1,2031-06-02,2031-06-09,7,6,120000,1\nB,S1,2031-06-02,2031-06-09,7,6,121000,1\n";
    let done = compute(
        &contract("10 in", strength, more),
        &[("placements.csv", &placement("L1", "10+00")), ("breaks.csv", sheet)],
    );
    assert!(done.judged.tests.iter().all(|t| t.strength.is_none()));
    assert!(done.findings.iter().any(|f| f.code == Code::StrengthOverdue));
}

#[test]
fn extensions_sums_and_retainage_of_city_papers() {
    // City of Coppell (Texas). Change order 1 of 2010: 125 LF x 5.18 = 647.50, 104 EA x 8.25 = 858.00, 10 days x 2,000.00 =
    // 20,000.00 and 2,000.00 sum to 23,505.50. Change order 1 of 2011: 3 EA x 670.00 = 2,010.00; 18 LF x 52.00 = 936.00.
    let item = |n: u32, unit: &str, price: &str| {
        format!(
            "[[items]]\nnumber = \"{n}\"\ndescription = \"item {n}\"\nunit = \"{unit}\"\nquantity = \"1\"\nprice = \"{price}\"\nmeasured = \"by hand\"\nrounding = \"0.01 half up\"\n"
        )
    };
    let more: String = [
        item(10, "LF", "5.18"),
        item(11, "EA", "8.25"),
        item(12, "LS", "22,000.00"),
        item(13, "EA", "670.00"),
        item(14, "LF", "52.00"),
        item(15, "LS", "1,582,187.44"),
        item(16, "CF", "1.00"),
        "[retainage]\npercent = \"2.5 percent\"\n".into(),
    ]
    .concat();
    let sheet = "Item,Date,Quantity,Length (ft),Width (ft),Depth (in)\n10,2031-06-02,125,,,\n11,2031-06-02,104,,,\n12,2031-06-02,1,,,\n\
                 13,2031-06-02,3,,,\n14,2031-06-02,18,,,\n15,2031-06-02,1,,,\n16,2031-06-02,,75,8.5,15\n";
    let done = compute(&contract("10 in", "", &more), &[("by hand.csv", sheet)]);
    let amount = |n: u32| value(&done, &format!("item-{n}.amount.to-date"));
    assert_eq!((amount(10), amount(11)), (dec!(647.50), dec!(858.00)));
    assert_eq!(amount(10) + amount(11) + amount(12), dec!(23505.50));
    assert_eq!((amount(13), amount(14)), (dec!(2010.00), dec!(936.00)));
    // Army subcourse EN5466: a footing of 1.25 x 8.5 x 75 ft is 796.9 ft3 (796.875, printed to 0.1).
    let cubic = value(&done, "item-16.quantity.to-date");
    assert_eq!("0.1 half up".parse::<Rounding>().unwrap().apply(cubic), Some(dec!(796.9)));
    // Partial estimate 9 of 9 November 2001: 2.5 percent of 1,582,187.44 kept is 39,554.69; here beside the other lines.
    let earned = value(&done, "earned.to-date");
    assert_eq!(value(&done, "retained.to-date"), (earned * dec!(0.025)).round_dp(2));
    assert_eq!("0.01 half up".parse::<Rounding>().unwrap().apply(amount(15) * dec!(0.025)), Some(dec!(39554.69)));
}

#[test]
fn half_to_even_and_half_up_differ_on_the_same_digits() {
    // Florida DOT training slides: 4.6500 -> 4.6, 4.75 -> 4.8; money and vouchers go half up.
    let even: Rounding = "0.1 half even".parse().unwrap();
    let up: Rounding = "0.1 half up".parse().unwrap();
    assert_eq!((even.apply(dec!(4.65)), even.apply(dec!(4.75))), (Some(dec!(4.6)), Some(dec!(4.8))));
    assert_eq!((up.apply(dec!(4.65)), up.apply(dec!(4.75))), (Some(dec!(4.7)), Some(dec!(4.8))));
}

/// Ride lots of one lane, 5,000 ft or 1,000 m each with one segment measured in it, and what they pay; `None` where rejected.
fn ride_lots(si: bool, indexes: &[&str]) -> Vec<Option<Decimal>> {
    let more = |id: &str| format!("adjusted_by = [\"smoothness\"]\n[rules]\nsmoothness = \"{id}\"\n");
    let (contract, full, lot, segment, unit) = if si {
        let si = contract("250 mm", "", &more("maine-401-ride-si"));
        let si = si.replace("\"US customary\"", "\"SI\"").replace("12 ft", "3.6 m").replace("24 ft", "7.2 m");
        (
            si.replace("100+00", "20+000").replace("0+00\"", "0+000\"").replace("\"SY\"", "\"M2\""),
            1000,
            1000,
            200,
            "m/km",
        )
    } else {
        (contract("10 in", "", &more("maine-401-ride")).replace("100+00", "900+00"), 100, 5000, 1000, "in/mi")
    };
    let digits = if si { 3 } else { 2 };
    let station = |along: usize| format!("{}+{:0digits$}", along / full, along % full);
    let end = lot * indexes.len();
    let placed =
        format!("Placement,Date,Lanes,From station,To station\n1,2031-06-02,L1,{},{}\n", station(0), station(end));
    let mut sheet = String::from("Segment,Date,Lane,From station,To station");
    (1..=4).for_each(|k| sheet.push_str(&format!(",IRI run {k} ({unit})")));
    for (n, index) in indexes.iter().enumerate() {
        let (from, to) = (station(n * lot + segment), station(n * lot + 2 * segment));
        sheet.push_str(&format!("\n{n},2031-07-01,L1,{from},{to},{index},{index},{index},{index}"));
    }
    let done = compute(&contract, &[("placements.csv", &placed), ("ride.csv", &sheet)]);
    let lots: Vec<_> = done.judged.outcomes.iter().filter(|o| o.average.is_some()).collect();
    let pay = |o: &&slabtally::accept::Outcome| {
        (o.verdict != Verdict::Undecided).then(|| done.book[o.pay.unwrap()].value.decimal().unwrap().normalize())
    };
    lots.iter().map(pay).collect()
}

#[test]
fn ride_lots_are_paid_on_straight_lines_between_the_points_of_their_own_unit() {
    // Maine DOT 401, ride lots (asphalt; one class of road seen): 35.00 and below 1.05, 60.00 1.00, 80.00 0.75, above rejected.
    // Derived between the points: 40 -> 1.04, 47.5 -> 1.025, 64 -> 0.95, 70 -> 0.875.
    let paid = |index: &str| ride_lots(false, &[index])[0];
    let all = ["30", "35", "40", "47.5", "60", "64", "70", "80", "80.01", "79.9"];
    let percent = [dec!(105), dec!(105), dec!(104), dec!(102.5), dec!(100), dec!(95), dec!(87.5), dec!(75)];
    let found = ride_lots(false, &all);
    assert_eq!(found[..8], percent.map(|p| Some(p.normalize())));
    assert_eq!(found[8], None, "above 80 in/mi it is rejected");
    // 79.9 in/mi pays 75.125 percent in that column; the same road is 1.2610 m/km (79.9 / 63.36), which the metric column, cut at
    // 1.26, rejects: nothing is converted from one to the other.
    assert_eq!(found[9], Some(dec!(75.125)));
    assert_eq!(paid("79.9"), found[9]);
    let metric = ride_lots(true, &["0.552", "0.947", "1.26", "1.261"]);
    assert_eq!(metric, [Some(dec!(105)), Some(dec!(100)), Some(dec!(75)), None]);
}

#[test]
fn a_segment_of_half_a_tenth_mile_takes_half_the_money() {
    // Derived on the example's own schedule, UFGS 02753 and Iowa DOT 2317 for the proportion: 38 in/mi takes 800 a tenth mile, so
    // 264 ft take 400; 85 in/mi takes -750, so 132 ft take -187.50. The estimate adds them up.
    let more = "adjusted_by = [\"smoothness\"]\n[rules]\nsmoothness = \"example-tenth-mile-incentive\"\n";
    let sheet = "Segment,Date,Lane,From station,To station,IRI left (in/mi),IRI right (in/mi)\n\
                 1,2031-07-01,L1,0+00,2+64,37,39\n2,2031-07-01,L1,2+64,3+96,84,86\n";
    let done =
        compute(&contract("10 in", "", more), &[("placements.csv", &placement("L1", "10+00")), ("ride.csv", sheet)]);
    assert_eq!(value(&done, "ride.l1.0-00.money"), dec!(400.00));
    assert_eq!(value(&done, "ride.l1.2-64.money"), dec!(-187.50));
    assert_eq!(value(&done, "adjustments.to-date"), dec!(212.50));
    let page = done.dossier().pages.into_iter().find(|page| page.id == "ride");
    assert!(page.is_some_and(|page| page.blocks.len() >= 3));
}

/// Results of fresh concrete under a shipped rule set, a load of 10 yd3 each in a placement of 240 yd3 and 1,200 yd2: what
/// each load pays, and whether it waits for the engineer.
fn fresh(property: &str, heading: &str, limits: &str, results: &[&str]) -> (Vec<(Decimal, bool)>, Computed) {
    let key = property.replace('-', "_");
    let more = format!(
        "adjusted_by = [\"{property}\"]\n[rules]\n{property} = \"iowa-2-34-{property}\"\n[fresh]\n{key} = {limits}\n"
    );
    let mut loads = String::from("Ticket,Date,Volume (CY),Placement\n");
    (1..=24).for_each(|ticket| loads.push_str(&format!("{ticket},2031-06-02,10,1\n")));
    let mut tests = format!("Test,Date,Ticket,{heading}\n");
    results.iter().enumerate().for_each(|(n, x)| tests.push_str(&format!("F{n},2031-06-02,{},{x}\n", n + 1)));
    let sheets = [("placements.csv", placement("L1", "9+00")), ("loads.csv", loads), ("fresh.csv", tests)];
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let done = compute(&contract("10 in", "", &more), &sheets);
    assert_eq!(done.judged.fresh.len(), results.len());
    let pays = done.judged.fresh.iter().map(|fresh| {
        let outcome = &done.judged.outcomes[fresh.outcomes[0]];
        // 1,200 x 10 / 240 = 50.00 yd2 for each load.
        assert_eq!(done.book[outcome.area.unwrap()].value.decimal().unwrap(), dec!(50.00));
        let pay = done.book[fresh.pay.unwrap()].value.decimal().unwrap().normalize();
        (pay, outcome.verdict == Verdict::Undecided)
    });
    (pays.collect(), done)
}

/// `4.9 75` lines: result and pay; `?` behind what waits for the engineer.
fn fresh_pays(property: &str, heading: &str, limits: &str, cells: &str) -> Computed {
    let cells: Vec<Vec<&str>> =
        cells.lines().map(|l| l.split_whitespace().collect()).filter(|c: &Vec<_>| !c.is_empty()).collect();
    let results: Vec<&str> = cells.iter().map(|cell| cell[0]).collect();
    let (pays, done) = fresh(property, heading, limits, &results);
    for (cell, pay) in cells.iter().zip(pays) {
        assert_eq!(pay, (cell[1].parse().unwrap(), cell.len() > 2), "{property} {}", cell[0]);
    }
    done
}

#[test]
fn air_beside_its_range_is_paid_as_iowa_prints_it() {
    // Iowa DOT Construction Manual, Appendix 2-34, table C1, at both ends of each step, on a range of 5 to 8 percent. That
    // 4.95 is 5.0 and 8.05 is 8.1 (half up) is our reading.
    let cells = "5.0 100\n4.95 100\n4.94 75\n4.9 75\n4.5 75\n4.4 50\n4.0 50\n3.9 0 ?\n\
                 8.0 100\n8.04 100\n8.05 98\n8.5 98\n8.6 90\n9.0 90\n9.1 80\n9.5 80\n9.6 65\n10.0 65\n10.1 50\n11.0 50\n11.1 0";
    let done = fresh_pays("air", "Air (%)", "[\"5 percent\", \"8 percent\"]", cells);
    // By hand: 25+25+25+50+50+100 below and 2+2+10+10+20+20+35+35+50+50+100 above are 609 percent of 50 yd2 at 100.00.
    assert_eq!(value(&done, "adjustments.to-date"), dec!(-30450.00));
    let page = done.dossier().pages.into_iter().find(|page| page.id == "fresh");
    assert!(page.is_some_and(|page| page.blocks.len() == 2));
}

#[test]
fn slump_beside_its_range_is_paid_as_iowa_prints_it() {
    // Same appendix, table B, on a range of 1 to 3 in. 1/4 in is not printed, nor that the table holds below the range:
    // both wait for the engineer.
    let cells =
        "3 100\n3.12 100\n3.25 100 ?\n3.5 95\n3.75 85\n4 75\n4.25 65\n4.5 50\n4.75 0\n6 0\n1 100\n0.75 100 ?\n0.5 95 ?";
    fresh_pays("slump", "Slump (in)", "[\"1 in\", \"3 in\"]", cells);
}

#[test]
fn a_water_cement_ratio_above_its_limit_is_paid_as_iowa_prints_it() {
    // Same appendix, table C2, to 0.001 on a highest of 0.450; a low ratio is not judged.
    let cells = "0.450 100\n0.4504 100\n0.4505 90\n0.451 90\n0.460 90\n0.461 80\n0.470 80\n0.471 70\n0.480 70\n0.481 50\n0.500 50\n0.501 0\n0.30 100";
    fresh_pays("water-cement", "W/C", "[\"none\", \"0.450\"]", cells);
}

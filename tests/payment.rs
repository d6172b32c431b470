//! Every way of paying at once, through the whole program: the pages are there, every number on them has its path and comes
//! out again, and the lines foot.

use std::collections::BTreeMap;
use std::fs;

use rust_decimal::{Decimal, dec};
use slabtally::run::{self, Computed};
use tempfile::TempDir;

use crate::{findings, paths};

/// What stands behind the sound contract of the findings, and in its items.
const MORE: &str = r#"
[payment]
negative = "carried"

[[changes]]
number = "1"
date = 2031-06-05
reason = "castings at the cross street"
items = [{ item = "2", quantity = "10", price = "72.00" }]
days = 5

[variation]
over = "125 percent"
under = "75 percent"
under_most = "75 percent"
of = "bid"

[[indices]]
name = "Diesel fuel"
base = "3.10"
trigger = "10 percent"
counts = "beyond the trigger"
values = [{ month = "2031-06", value = "3.55", source = "an invented index" }]
items = [{ item = "1", use = "0.25" }]

[stored]
on_site = "100 percent"
elsewhere = "90 percent"
most = "80 percent"
drawn_down = "as placed"

[[stored_materials]]
date = 2031-06-20
item = "6"
material = "frames"
invoice = "A-1107"
amount = "500.00"
place = "elsewhere"
evidence = "photos"

[[entries]]
id = "D-1"
date = 2031-06-20
reason = "payroll documents missing"
amount = "-10,000.00"

[[entries]]
id = "D-2"
date = 2031-07-20
reason = "payroll documents came"
amount = "7,000.00"
reverses = "D-1"

[[entries]]
id = "P-1"
date = 2031-07-10
reason = "agreed with the engineer"
amount = "-125.50"
item = "1"
counts = "as earned"

[time]
start = 2031-05-01
days = 60
count = "calendar days"
completed = 2031-07-15
damages = "500.00"
incentive = "500.00"
incentive_days = 55
incentive_most = "5,000.00"

[[splits]]
name = "Funding"
rules = [
    { items = ["3", "4"], shares = [{ part = "town", percent = "100 percent" }] },
    { sections = ["road"], shares = [{ part = "state", percent = "66.67 percent" }, { part = "town", percent = "33.33 percent" }] },
]

[retainage]
percent = "10 percent"
steps = [{ earned = "50 percent", percent = "5 percent", of = "earned after" }]
most = "8 percent"
release = [{ from = 2031-07-20, percent = "1 percent" }]
"#;

const ITEMS: &str = r#"
[[items]]
number = "3"
description = "Mobilization"
unit = "LS"
quantity = "1"
price = "8,000.00"
measured = "by schedule"
schedule = { of = "other items", reached = "at", steps = [{ earned = "5 percent", item = "50 percent", contract = "5 percent" }] }
retained = false

[[items]]
number = "4"
description = "Traffic control"
unit = "month"
quantity = "3"
price = "2,000.00"
measured = "by calendar"
from = 2031-05-12
to = 2031-07-15

[[items]]
number = "5"
description = "Clearing"
unit = "LS"
quantity = "1"
price = "3,000.00"
measured = "by percent"
until_final = { percent = "95 percent", of = "plan" }

[[items]]
number = "6"
description = "Casting"
unit = "EA"
quantity = "10"
price = "480.00"
measured = "by hand"
added_by = "1"
"#;

fn folder() -> TempDir {
    let dir = findings::folder("rule-from-memory");
    let path = dir.path().join("contract.toml");
    let text = fs::read_to_string(&path).unwrap();
    let periods = "[[periods]]\nnumber = 1\nthrough = 2031-07-31\n";
    assert!(text.contains(periods));
    let text = text
        .replace("\n[rules]\n", &format!("{ITEMS}\n[rules]\n"))
        .replace("money = \"0.01 half up\"", "money = \"0.01 half up\"\nby_unit = { month = \"0.5 half up\", LS = \"0.01 half up\", each = \"1 half up\" }")
        .replace(periods, "[[periods]]\nnumber = 1\nthrough = 2031-06-30\n\n[[periods]]\nnumber = 2\nthrough = 2031-07-31\n");
    fs::write(&path, format!("{text}{MORE}")).unwrap();
    let rows = "Item,Date,Quantity\n5,6/15/2031,40 %\n5,7/15/2031,100 %\n6,6/25/2031,2\n6,7/12/2031,3\n";
    fs::write(dir.path().join("field/by hand.csv"), rows).unwrap();
    dir
}

fn compute(dir: &TempDir) -> Computed {
    run::compute(dir.path(), None, &|_, _| ()).unwrap_or_else(|stop| panic!("{:#?}", stop.findings))
}

fn value(computed: &Computed, key: &str) -> Decimal {
    let id = computed.book.by_key(key).unwrap_or_else(|| panic!("no figure {key}"));
    computed.book[id].value.decimal().unwrap()
}

#[test]
fn every_shown_number_of_the_pages_of_payment_has_a_path() {
    let dir = folder();
    assert!(paths::walk_folder(dir.path()) > 150);
    let pages = compute(&dir).dossier().pages;
    let ids: Vec<&str> = pages.iter().map(|page| page.id).collect();
    assert!(ids.contains(&"payment") && ids.contains(&"splits"), "{ids:?}");
}

#[test]
fn the_reports_say_how_each_line_comes_about() {
    let package: BTreeMap<String, Vec<u8>> = compute(&folder()).package(true).unwrap().into_iter().collect();
    let text = String::from_utf8(package["estimate.txt"].clone()).unwrap();
    for words in [
        "Materials on hand",
        "Price indices",
        "Retainage",
        "Entries by hand",
        "Time",
        "Items paid by degrees",
        "Funding, to date",
        "carried to later",
    ] {
        assert!(text.contains(words), "no '{words}' in\n{text}");
    }
    assert!(package.contains_key("estimate.xlsx") && package.contains_key("package.pdf"));
}

/// Mobilization: 5 percent of the contract is the lesser share. Traffic control: 20 of 31 days in May, June, 15 of 31 days in
/// July: 2.13 months, 2 to the half. Clearing: 95 percent of 3,000 before the end. Time: 76 days used of 65, 11 late.
#[test]
fn lines_that_can_be_followed_by_hand_come_out_so() {
    let done = compute(&folder());
    let bid = value(&done, "contract.original");
    assert_eq!(bid, dec!(79999.80) + dec!(2800) + dec!(8000) + dec!(6000) + dec!(3000));
    assert_eq!(value(&done, "change-1.amount"), dec!(720) + dec!(4800));
    assert_eq!(value(&done, "item-3.amount.to-date"), dec!(4000));
    assert_eq!(value(&done, "item-4.amount.to-date"), dec!(4000));
    assert_eq!(value(&done, "item-5.amount.to-date"), dec!(2850));
    assert_eq!(value(&done, "damages.to-date"), dec!(-5500));
    assert_eq!(value(&done, "entries.to-date"), dec!(-3000));
    // 1,333.33 yd2 x 0.25 x (3.55 - 3.41).
    assert_eq!(value(&done, "index.to-date"), dec!(46.67));
    // 90 percent of 500, of which 5 of 10 castings are placed.
    assert_eq!(value(&done, "stored.to-date"), dec!(225));
    // The driveway, 20 yd2, was measured after the change, at 72.00.
    assert_eq!(value(&done, "item-2.amount.to-date"), dec!(1440));
}

/// Once the first period is closed, what was before is the same, line by line.
#[test]
fn a_closed_period_says_what_the_formulas_say() {
    let dir = folder();
    let open = compute(&dir);
    let lines = |computed: &Computed| {
        let of = computed.estimate.settlement.lines.iter();
        of.map(|line| {
            (
                line.key,
                [line.amounts.previous, line.amounts.this, line.amounts.to_date]
                    .map(|id| computed.book[id].value.decimal().unwrap()),
            )
        })
        .collect::<Vec<_>>()
    };
    for (key, [previous, this, to_date]) in lines(&open) {
        assert_eq!(previous + this, to_date, "{key}");
    }
    run::close(dir.path(), 1, Some("what is open is invented"), &|_, _| ())
        .unwrap_or_else(|stop| panic!("{:#?}", stop.findings));
    assert_eq!(lines(&compute(&dir)), lines(&open));
}

//! A fictional month with faults planted in it, read as a county would send it: each fault is found, with its amount, and a month
//! without any is accused of none.
//!
//! Twenty placements of 400 ft by 24 ft by 10 in, 296.30 yd3 each by plan and about 2 percent over; two plants, each with its own
//! mix; tickets, batch weights, unit weights, levels of the base, cores and invoices. Numbers come from the program's drawn
//! numbers, so that every run has the same months. All of it is invented.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use slabtally::dossier::Block;
use slabtally::figure::FigureId;
use slabtally::finding::Code;
use slabtally::run::{self, Computed};
use slabtally::statistics::Draws;
use tempfile::TempDir;

/// What may be planted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Fault {
    /// A load again under another number of the same plant.
    Twice,
    /// A load again under a ticket of the other plant.
    Across,
    /// Five loads of 8 yd3 on the eighth day that never came.
    Padded,
    /// Plant B's concrete is 1.5 percent denser than designed: that much less of it.
    Short,
    /// The base lies 0.033 ft low from 30+00 to 34+00.
    Low,
}

const ALL: [Fault; 5] = [Fault::Twice, Fault::Across, Fault::Padded, Fault::Short, Fault::Low];

/// Codes that speak of tickets, invoices and the yield.
const AUDITS: &[Code] = &[
    Code::LoadTwice,
    Code::TruckOverlap,
    Code::RoundTooShort,
    Code::DischargeLate,
    Code::RevolutionsOver,
    Code::WaterOver,
    Code::WaterCementOver,
    Code::MixUnknown,
    Code::MixWrong,
    Code::LoadHours,
    Code::BatchOutside,
    Code::BatchSum,
    Code::BatchWithoutLoad,
    Code::TicketGap,
    Code::LooksCopied,
    Code::BilledTwice,
    Code::BilledNotReceived,
    Code::BilledRejected,
    Code::BilledVolume,
    Code::BilledPrice,
    Code::BilledMix,
    Code::BilledAmount,
    Code::ReceivedNotBilled,
    Code::MixUnderYields,
    Code::GradeLow,
    Code::OverLimit,
    Code::OverActLimit,
    Code::YieldLeftLimit,
    Code::YieldUnlikeOthers,
    Code::PlacedUnderTheory,
    Code::Duplicate,
    Code::LoadContradicts,
    Code::LoadWithoutPlacement,
];

const CONTRACT: &str = r#"
number = "PM-1"
title = "A month with faults planted in it"
notice = "Invented data"
units = "US customary"
dates = "month-day-year"
parties = { owner = "owner", contractor = "contractor", engineer = "engineer" }
rounding = { length = "0.1 half up", area = "0.01 half up", volume = "0.01 half up", money = "0.01 half up" }
alignments = [{ name = "A", begin = "0+00", end = "90+00" }]
lanes = [{ name = "L1", alignment = "A", side = "right", width = "24 ft" }]
sections = [{ name = "road", from = "0+00", to = "80+00", lanes = ["L1"], thickness = "10 in" }]
items = [{ number = "1", description = "Pavement", unit = "SY", quantity = "21,333.33", price = "60.00", measured = "placed area", sections = ["road"] }]
periods = [{ number = 1, through = 2031-07-31 }]
yield = { warn_over = "5 percent", act_over = "8 percent", low_grade = "0.25 in" }
tickets = { time_limit = "90 min", revolutions = "300", shortest_round = "35 min", first_batch = "05:30", last_batch = "19:00", numbered = ["Plant A", "Plant B"], copied = "0.1 percent" }

[[mixes]]
name = "MA"
price = "118.50"
water_cement = "0.45"
design = { cement = "564 lb/yd3", fine = "1240 lb/yd3", coarse = "1800 lb/yd3", water = "245 lb/yd3" }

[[mixes]]
name = "MB"
price = "121.00"
water_cement = "0.45"
design = { cement = "564 lb/yd3", fine = "1240 lb/yd3", coarse = "1800 lb/yd3", water = "245 lb/yd3" }

[batching]
cement = ["-1 percent", "5 percent"]
fine = ["-2 percent", "2 percent"]
coarse = ["-2 percent", "2 percent"]
"#;

/// Pounds in a cubic yard by design, and the density that makes of it.
const DESIGN: [f64; 4] = [564.0, 1240.0, 1800.0, 245.0];
const DENSITY: f64 = (564.0 + 1240.0 + 1800.0 + 245.0) / 27.0;
const THEORY: f64 = 400.0 * 24.0 * 10.0 / 324.0;

struct Load {
    ticket: u32,
    plant: char,
    day: u32,
    minute: u32,
    took: u32,
    truck: usize,
    volume: f64,
}

fn station(feet: u32) -> String {
    format!("{}+{:02}", feet / 100, feet % 100)
}

fn clock(minute: u32) -> String {
    format!("{}:{:02}", minute / 60, minute % 60)
}

fn plant_of(day: u32) -> char {
    if day % 2 == 1 { 'A' } else { 'B' }
}

/// The loads of the month.
fn loads(draws: &mut Draws, faults: &[Fault]) -> Vec<Load> {
    let mut loads: Vec<Load> = Vec::new();
    let mut next = BTreeMap::from([('A', 10_000), ('B', 50_000)]);
    for day in 1..=20 {
        let net = THEORY * (1.02 + 0.004 * draws.next_normal().clamp(-2.0, 2.0));
        let mut left = (net * 4.0).round() / 4.0;
        let padding = if day == 8 && faults.contains(&Fault::Padded) { 40.0 } else { 0.0 };
        left += padding;
        let plant = plant_of(day);
        let mut minute = 420;
        for truck in (0..10).cycle() {
            if left < 0.1 {
                break;
            }
            let volume = left.min(8.0);
            let ticket = next.get_mut(&plant).unwrap();
            let took = 30 + (draws.next() * 20.0).to_u32().unwrap();
            loads.push(Load { ticket: *ticket, plant, day, minute, took, truck, volume });
            *ticket += 1;
            left -= volume;
            minute += 7;
        }
    }
    let mut again = |day: u32, nth: usize, plant: char| {
        let of = loads.iter().filter(|l| l.day == day).nth(nth).unwrap();
        let ticket = next[&plant];
        next.insert(plant, ticket + 1);
        let load = Load { ticket, plant, day, minute: of.minute, took: of.took, truck: of.truck, volume: of.volume };
        loads.push(load);
    };
    if faults.contains(&Fault::Twice) {
        again(3, 5, 'A');
    }
    if faults.contains(&Fault::Across) {
        again(5, 9, 'B');
    }
    loads
}

/// The month as sheets in a folder.
fn month(seed: &str, faults: &[Fault]) -> TempDir {
    let folder = TempDir::new().unwrap();
    let field = folder.path().join("field");
    fs::create_dir(&field).unwrap();
    fs::write(folder.path().join("contract.toml"), CONTRACT).unwrap();
    let mut draws = Draws::new(seed, "month");
    let loads = loads(&mut draws, faults);
    let mut placements = "Placement,Date,Lane,From station,To station,Mix\n".to_string();
    for day in 1..=20 {
        let (from, to) = (station(400 * (day - 1)), station(400 * day));
        writeln!(placements, "{day},7/{day}/2031,L1,{from},{to},M{}", plant_of(day)).unwrap();
    }
    let mut tickets = "Ticket,Date,Plant,Truck,Mix,CY,Placement,Batched,Discharged,Revolutions\n".to_string();
    let mut weights = "Ticket,Date,Plant,Cement (lb),Sand (lb),Stone (lb),Water (lb)\n".to_string();
    let mut fresh = "Test,Date,Ticket,Unit weight (pcf)\n".to_string();
    let mut invoice = "Invoice no,Date,Ticket,Description,Mix,Qty,UOM,Unit price,Amount\n".to_string();
    let mut tested = BTreeMap::new();
    for load in &loads {
        let Load { ticket, plant, day, minute, took, truck, volume } = load;
        let mix = plant_of(*day);
        let turns = 90 + (draws.next() * 150.0).to_u32().unwrap();
        writeln!(
            tickets,
            "{ticket},7/{day}/2031,Plant {plant},T{truck},M{mix},{volume:.2},{day},{},{},{turns}",
            clock(*minute),
            clock(minute + took)
        )
        .unwrap();
        let mut scale =
            |mass: f64, spread: f64| (mass * volume * (1.0 + spread * draws.next_normal().clamp(-1.9, 1.9))).round();
        let [cement, sand, stone, water] = DESIGN;
        let masses = [scale(cement * 1.01, 0.005), scale(sand, 0.006), scale(stone, 0.006), scale(water * 0.99, 0.006)];
        let masses = masses.map(|mass| mass.to_string()).join(",");
        writeln!(weights, "{ticket},7/{day}/2031,Plant {plant},{masses}").unwrap();
        let denser = if *plant == 'B' && faults.contains(&Fault::Short) { 1.015 } else { 1.0 };
        let count = tested.entry(*day).or_insert(0);
        *count += 1;
        if *count == 3 {
            let density = DENSITY * denser * (1.0 + 0.002 * draws.next_normal().clamp(-2.0, 2.0));
            writeln!(fresh, "U{ticket},7/{day}/2031,{ticket},{density:.1}").unwrap();
        }
        let price = if mix == 'A' { 118.5 } else { 121.0 };
        writeln!(
            invoice,
            "I-{plant},7/{day}/2031,{ticket},concrete,M{mix},{volume:.2},CY,{price:.2},{:.2}",
            (volume * price * 100.0 + 1e-6).round() / 100.0
        )
        .unwrap();
    }
    let mut levels = "Point,Date,Lane,Station,Design elevation (ft),Measured elevation (ft)\n".to_string();
    for (point, feet) in (0..80).map(|k| 50 + 100 * k).enumerate() {
        let low = faults.contains(&Fault::Low) && (3000..3400).contains(&feet);
        let below = if low { 0.033 } else { (draws.next() * 3.0).floor() * 0.005 - 0.005 };
        let design = 100.0 + 0.003 * f64::from(feet);
        writeln!(levels, "{point},6/28/2031,L1,{},{design:.3},{:.3}", station(feet), design - below).unwrap();
    }
    let mut cores = "Core,Date,Lane,Station,Length (in)\n".to_string();
    for day in 1..=20 {
        for (which, at) in [(1, 120), (2, 290)] {
            let length = 10.05 + 0.06 * draws.next_normal().clamp(-2.0, 2.0);
            writeln!(cores, "C{day}-{which},7/{}/2031,L1,{},{length:.2}", day + 7, station(400 * (day - 1) + at))
                .unwrap();
        }
    }
    for (name, text) in [
        ("placements.csv", placements),
        ("tickets.csv", tickets),
        ("batch weights.csv", weights),
        ("unit weights.csv", fresh),
        ("invoices.csv", invoice),
        ("trimmed base.csv", levels),
        ("cores.csv", cores),
    ] {
        fs::write(field.join(name), text).unwrap();
    }
    folder
}

fn computed(seed: &str, faults: &[Fault]) -> Computed {
    let folder = month(seed, faults);
    let Ok(computed) = run::compute(folder.path(), None, &|_, _| ()) else { panic!("{seed}: the month is read") };
    let refused: u32 = computed.intake.sheets.iter().map(|s| s.rows.refused).sum();
    assert_eq!(refused, 0, "{:?}", computed.findings_in_words().map(|f| f.message).collect::<Vec<_>>());
    closes(&computed);
    computed
}

/// What the audits and the yield say: code and message.
fn said(computed: &Computed) -> Vec<(Code, String)> {
    let of_audits = computed.findings.iter().filter(|f| AUDITS.contains(&f.code));
    of_audits.map(|f| (f.code, f.message.clone())).collect()
}

/// The number that stands in front of a word.
fn amount(message: &str, before: &str) -> f64 {
    let front = message.split(before).next().unwrap().trim_end();
    let number = front.rsplit([' ', '$', '(']).next().unwrap();
    number.replace(',', "").parse().unwrap_or_else(|_| panic!("no number before '{before}' in {message}"))
}

fn near(found: f64, planted: f64, off: f64, what: &str) {
    assert!((found - planted).abs() <= off, "{what}: {found} found, {planted} planted");
}

/// The split of every line adds up to its difference, and the account from batched to plan closes, to the last digit.
fn closes(computed: &Computed) {
    let value = |id: FigureId| -> Decimal { computed.book[id].value.decimal().unwrap() };
    let account = &computed.account;
    let tables = [&account.placements, &account.days, &account.lanes, &account.mixes];
    for line in tables.into_iter().flatten().chain(&account.contract) {
        let split = line.split.as_ref().unwrap();
        assert_eq!(split.parts.iter().map(|p| value(p.volume)).sum::<Decimal>(), value(line.over), "{}", line.name);
    }
    let mut left: Option<Decimal> = None;
    for step in &account.steps {
        match left {
            None => left = Some(value(step.volume)),
            Some(level) if step.level => assert_eq!(level, value(step.volume), "{}", step.name),
            Some(level) => left = Some(level + value(step.volume)),
        }
    }
    assert!(account.steps.len() > 4);
}

#[test]
fn a_clean_month_is_accused_of_nothing() {
    for seed in ["3101", "3102", "3103", "3104", "3105", "3106"] {
        let said = said(&computed(seed, &[]));
        assert!(said.is_empty(), "{seed}: {said:#?}");
    }
}

/// Holds what is said of a fault against what was planted.
fn found(fault: Fault, said: &[(Code, String)], computed: &Computed) {
    let of = |code: Code, word: &str| {
        let mut all = said.iter().filter(|(c, message)| *c == code && message.contains(word));
        let one = all.next().unwrap_or_else(|| panic!("{fault:?}: {code} is not said of '{word}' in {said:#?}"));
        one.1.as_str()
    };
    match fault {
        // 8 yd3 at $118.50; nothing else is left to chance.
        Fault::Twice => {
            let message = of(Code::LoadTwice, "2031-07-03");
            near(amount(message, " yd3 are counted again"), 8.0, 0.0, "yd3");
            near(amount(message, ")"), 948.0, 0.0, "$");
        }
        Fault::Across => {
            let message = of(Code::LoadTwice, "2031-07-05");
            near(amount(message, " yd3 are counted again"), 8.0, 0.0, "yd3");
            near(amount(message, ")"), 948.0, 0.0, "$");
        }
        // 40 yd3 on one day; its own yield and that of the others scatter by 0.4 percent of 296 yd3, within twice that at most,
        // and what else is planted raises the others by 16 yd3 in 5,600.
        Fault::Padded => {
            let message = of(Code::YieldUnlikeOthers, "placement 8 of");
            near(amount(message, " yd3 more than the others"), 40.0, 2.0 * 0.004 * THEORY + 1.5, "yd3");
            near(amount(message, ")"), 40.0 * 121.0, 121.0 * (2.0 * 0.004 * THEORY + 1.5), "$");
        }
        // Tickets of plant B hold 1 / 1.015 of what they say. Three standard deviations of a mean of ten densities that scatter by
        // 0.2 percent are 0.19 percent; the cement is 1 percent over and the water 1 percent under, 0.08 percent of the mass; what
        // is left is rounding.
        Fault::Short => {
            let message = of(Code::MixUnderYields, "mix MB");
            let net = amount(message, " yd3 net by ticket");
            let planted = net * (1.0 - 1.0 / 1.015);
            near(amount(message, " yd3 were not"), planted, net * 0.003, "yd3");
            assert!(!said.iter().any(|(c, m)| *c == Code::MixUnderYields && m.contains("mix MA")));
        }
        // 400 ft x 24 ft are 1,066.67 yd2; 0.033 ft are 0.396 in: 11.73 yd3.
        Fault::Low => {
            let message = of(Code::GradeLow, "4 levels");
            near(amount(message, " yd3 of concrete"), 11.73, 0.01, "yd3");
            assert_eq!(computed.account.low_grade.len(), 1);
        }
    }
}

/// What a fault causes beside its own code: loads that are counted again, or never came, raise their day.
fn causes(fault: Fault) -> &'static [Code] {
    match fault {
        Fault::Twice | Fault::Across | Fault::Padded => {
            &[Code::YieldUnlikeOthers, Code::OverLimit, Code::OverActLimit, Code::YieldLeftLimit, Code::LoadContradicts]
        }
        Fault::Short | Fault::Low => &[],
    }
}

fn own(fault: Fault) -> Code {
    match fault {
        Fault::Twice | Fault::Across => Code::LoadTwice,
        Fault::Padded => Code::YieldUnlikeOthers,
        Fault::Short => Code::MixUnderYields,
        Fault::Low => Code::GradeLow,
    }
}

#[test]
fn each_fault_is_found_with_its_amount_and_no_other() {
    for fault in ALL {
        for seed in ["3101", "3102"] {
            let computed = computed(seed, &[fault]);
            let said = said(&computed);
            found(fault, &said, &computed);
            let once = said.iter().filter(|(code, _)| *code == own(fault)).count();
            assert_eq!(once, 1, "{fault:?}, {seed}: {said:#?}");
            let others: Vec<_> =
                said.iter().filter(|(code, _)| *code != own(fault) && !causes(fault).contains(code)).collect();
            assert!(others.is_empty(), "{fault:?}, {seed}: {others:#?}");
        }
    }
}

#[test]
fn all_faults_at_once_are_all_found() {
    for seed in ["3101", "3103"] {
        let computed = computed(seed, &ALL);
        let said = said(&computed);
        for fault in ALL {
            found(fault, &said, &computed);
        }
        let billed = computed.invoices.total.unwrap();
        assert_eq!(computed.book[billed.dispute].value.decimal(), Some(Decimal::ZERO), "each ticket is billed once");
        let dossier = computed.dossier();
        let page = dossier.pages.iter().find(|page| page.id == "invoices").unwrap();
        let says =
            |block: &Block| matches!(block, Block::Text(text) if text.starts_with("2 tickets say loads that other"));
        assert!(page.blocks.iter().any(says), "the page says what it does not dispute");
    }
}

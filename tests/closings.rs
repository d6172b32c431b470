//! A contract of fourteen periods with records that come in late, are corrected, voided, taken away or stand twice: what is
//! closed is never changed, and at every period what was closed adds up to what is there.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use chrono::{Datelike, NaiveDate};
use rust_decimal::{Decimal, dec};
use slabtally::closing::Changed;
use slabtally::run::{self, Computed};
use slabtally::units::Rounding;

const PERIODS: u32 = 14;

/// What is written on one row of a field sheet.
#[derive(Clone, Debug, PartialEq)]
enum Row {
    /// A load: ticket, volume.
    Load(String, Decimal),
    /// A driveway measured by hand: place, length, width.
    Driveway(String, Decimal, Decimal),
    /// A placement: number, from and to in stations of 100 ft.
    Placement(String, u32, u32),
}

/// A row with its day, the month whose sheet it stands on, and whether it was voided.
#[derive(Clone, Debug)]
struct Written {
    row: Row,
    day: NaiveDate,
    sheet: u32,
    void: bool,
    twice: bool,
}

fn last_day(period: u32) -> NaiveDate {
    let months = 3 + period;
    NaiveDate::from_ymd_opt(2031 + i32::try_from(months / 12).unwrap(), months % 12 + 1, 1).unwrap().pred_opt().unwrap()
}

fn day(period: u32, day: u32) -> NaiveDate {
    last_day(period).with_day(day).unwrap()
}

fn contract() -> String {
    let mut text = fs::read_to_string("tests/findings/base/contract.toml").unwrap();
    let periods = text.find("[[periods]]").unwrap();
    text.truncate(periods);
    let text = text.replace("end = \"20+00\"", "end = \"400+00\"").replace("to = \"10+00\"", "to = \"400+00\"");
    let rules = text.find("[rules]").unwrap();
    let mut text = text[..rules].replace("adjusted_by = [\"thickness\", \"strength\"]\n", "");
    text.push_str(
        "[[items]]\nnumber = \"3\"\ndescription = \"Concrete by delivered volume\"\nunit = \"CY\"\nquantity = \"5000\"\n\
         price = \"12.35\"\nmeasured = \"delivered volume\"\nsections = [\"road\"]\n\n[retainage]\npercent = \"5 percent\"\n\n",
    );
    for period in 1..=PERIODS {
        writeln!(text, "[[periods]]\nnumber = {period}\nthrough = {}\n", last_day(period)).unwrap();
    }
    text
}

/// Numbers that anybody can make again: the multiplier and increment of Knuth's MMIX, the upper bits.
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n
    }
}

/// Everything that is written in a month: its own rows, late ones of earlier months, corrections, voids, rows taken away.
fn month(period: u32, rows: &mut Vec<Written>, chance: &mut Chance) {
    let placement = |n: u32| format!("P-{n}");
    for n in 0..3 {
        let number = period * 10 + n;
        let from = (period - 1) * 24 + n * 8;
        let on = day(period, 3 + 7 * n);
        let of = |row| Written { row, day: on, sheet: period, void: false, twice: false };
        rows.push(of(Row::Placement(placement(number), from, from + 4 + u32::try_from(chance.below(4)).unwrap())));
        for load in 0..4 {
            rows.push(of(Row::Load(format!("{number}-{load}"), Decimal::new(70 + 5 * i64::from(load), 1))));
        }
        let (length, width) = (10 + chance.below(20), 8 + chance.below(4));
        rows.push(of(Row::Driveway(format!("house {number}"), length.into(), width.into())));
    }
    if period == 1 {
        return;
    }
    let earlier = 1 + u32::try_from(chance.below(u64::from(period) - 1)).unwrap();
    let on = day(earlier, 10);
    // Late: a load and a driveway of an earlier month, on this month's sheets.
    let late = |row| Written { row, day: on, sheet: period, void: false, twice: false };
    rows.push(late(Row::Load(format!("late-{period}"), dec!(8.5))));
    rows.push(late(Row::Driveway(format!("late house {period}"), dec!(12.5), dec!(9))));
    // Corrected, voided, taken away, standing twice: one each, of any month before.
    let older = |written: &Written| written.sheet < period && !written.void;
    let mut pick = |rows: &[Written], of: fn(&Row) -> bool| {
        let fit: Vec<usize> =
            (0..rows.len()).filter(|&i| older(&rows[i]) && of(&rows[i].row) && !rows[i].twice).collect();
        fit[usize::try_from(chance.below(fit.len() as u64)).unwrap()]
    };
    let at = pick(rows, |row| matches!(row, Row::Driveway(..)));
    if let Row::Driveway(_, length, _) = &mut rows[at].row {
        *length += dec!(1.5);
    }
    let at = pick(rows, |row| matches!(row, Row::Load(..)));
    rows[at].void = true;
    let at = pick(rows, |row| matches!(row, Row::Load(..)));
    rows[at].twice = true;
    if period.is_multiple_of(3) {
        let at = pick(rows, |row| matches!(row, Row::Driveway(..)));
        rows.remove(at);
        let at = pick(rows, |row| matches!(row, Row::Placement(..)));
        if let Row::Placement(_, _, to) = &mut rows[at].row {
            *to -= 1;
        }
    }
}

fn write_sheets(at: &Path, rows: &[Written]) {
    let field = at.join("field");
    fs::create_dir_all(&field).unwrap();
    let mut files: BTreeMap<String, String> = BTreeMap::new();
    let mut put = |name: String, heading: &str, line: String| {
        let text = files.entry(name).or_insert_with(|| format!("{heading}\n"));
        writeln!(text, "{line}").unwrap();
    };
    for Written { row, day, sheet, void, twice } in rows {
        match row {
            Row::Placement(number, from, to) => put(
                format!("placements {sheet:02}.csv"),
                "Placement,Date,Lane,From station,To station",
                format!("{number},{day},L1,{from}+00,{to}+00"),
            ),
            Row::Load(ticket, volume) => {
                let number = ticket.strip_prefix("late-").map_or_else(
                    || ticket.split('-').next().unwrap().to_string(),
                    |_| format!("{}1", (1..=PERIODS).find(|p| *day <= last_day(*p)).unwrap()),
                );
                let status = if *void { "void" } else { "accepted" };
                let line = format!("{ticket},{day},{volume},P-{number},{status}");
                put(format!("loads {sheet:02}.csv"), "Ticket,Date,Volume (CY),Placement,Status", line.clone());
                if *twice {
                    put("office copy.csv".into(), "Ticket,Date,Volume (CY),Placement,Status", line);
                }
            }
            Row::Driveway(place, length, width) => put(
                format!("driveways {sheet:02}.csv"),
                "Item,Date,Location,Length (ft),Width (ft)",
                format!("2,{day},{place},{length},{width}"),
            ),
        }
    }
    for (name, text) in files {
        fs::write(field.join(name), text).unwrap();
    }
}

/// What a row is worth in the unit of its item, as anybody would reckon it, and which item that is.
fn worth(written: &Written) -> (usize, Decimal) {
    let cents: Rounding = "0.01 half up".parse().unwrap();
    let nine = dec!(9);
    let (item, value) = match &written.row {
        Row::Placement(_, from, to) => (0, Decimal::from((to - from) * 100) * dec!(12) / nine),
        Row::Driveway(_, length, width) => (1, length * width / nine),
        Row::Load(_, volume) => (2, *volume),
    };
    (item, if written.void { Decimal::ZERO } else { cents.apply(value).unwrap() })
}

/// Quantities of the three items through a day, of rows within two days.
fn sums(rows: &[Written], through: NaiveDate) -> [Decimal; 3] {
    let mut sums = [Decimal::ZERO; 3];
    for written in rows.iter().filter(|w| w.day <= through) {
        let (item, value) = worth(written);
        sums[item] += value;
    }
    sums
}

fn value(computed: &Computed, id: slabtally::figure::FigureId) -> Decimal {
    computed.book[id].value.decimal().unwrap()
}

/// Laid out once for the tests that need it: the folder with fourteen closed periods, and the rows as they were at each.
fn closed(check: bool) -> (tempfile::TempDir, Vec<Vec<Written>>) {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("contract.toml"), contract()).unwrap();
    let (mut rows, mut chance, mut history) = (Vec::new(), Chance(20310), Vec::new());
    let mut paid: BTreeMap<String, Decimal> = BTreeMap::new();
    for period in 1..=PERIODS {
        month(period, &mut rows, &mut chance);
        let _ = fs::remove_dir_all(dir.path().join("field"));
        write_sheets(dir.path(), &rows);
        if check {
            let computed = run::compute(dir.path(), Some(last_day(period)), &|_, _| ()).unwrap();
            adds_up(&computed, &rows, &mut paid);
            let before = history.last().map(|rows: &Vec<Written>| (rows.as_slice(), last_day(period - 1)));
            corrects(&computed, before, &rows);
        }
        run::close(dir.path(), period, Some("a simulated contract"), &|_, _| ()).unwrap();
        history.push(rows.clone());
    }
    (dir, history)
}

/// To date is what the rows make, and all that was paid in the periods so far adds up to it, line by line.
fn adds_up(computed: &Computed, rows: &[Written], paid: &mut BTreeMap<String, Decimal>) {
    let estimate = &computed.estimate;
    let period = estimate.period.number;
    let expected = sums(rows, computed.through);
    for (item, expected) in estimate.items.iter().zip(expected) {
        assert_eq!(value(computed, item.quantity.to_date), expected, "period {period}, item {}", item.item);
    }
    let work: Decimal = [dec!(60), dec!(70), dec!(12.35)]
        .iter()
        .zip(expected)
        .map(|(price, quantity)| {
            (price * quantity).round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero)
        })
        .sum();
    assert_eq!(value(computed, estimate.work.to_date), work, "period {period}");
    let items = estimate.items.iter().flat_map(|item| [item.quantity, item.amount]);
    let retained = estimate.settlement.retained.unwrap().retained;
    for amounts in items.chain([estimate.work, estimate.adjusted, estimate.earned(), retained, estimate.due()]) {
        let key = computed.book[amounts.to_date].key.clone();
        let sum = paid.entry(key.clone()).or_default();
        assert_eq!(value(computed, amounts.previous), *sum, "period {period}, {key}: what was closed before");
        *sum += value(computed, amounts.this);
        assert_eq!(value(computed, amounts.to_date), *sum, "period {period}, {key}: the sum of all closings");
    }
}

/// What is corrected is the difference that the rows of earlier days make, item by item, and every record of it is named.
fn corrects(computed: &Computed, before: Option<(&[Written], NaiveDate)>, rows: &[Written]) {
    let Some((then, through)) = before else {
        assert!(computed.estimate.corrections.is_empty() && computed.changes.is_empty());
        return;
    };
    let (then_sums, now_sums) = (sums(then, through), sums(rows, through));
    for item in 0..3 {
        let lines = computed.estimate.corrections.iter().filter(|c| c.item == item);
        let corrected: Decimal = lines.map(|c| value(computed, c.difference)).sum();
        assert_eq!(
            corrected,
            now_sums[item] - then_sums[item],
            "period {}, item {item}",
            computed.estimate.period.number
        );
    }
    assert_eq!(counted(computed.changes.iter().map(|c| c.change.kind())), differences(then, rows, through));
}

/// How many records came in late, changed and went.
fn counted(kinds: impl Iterator<Item = Changed>) -> [usize; 3] {
    let mut counts = [0; 3];
    for kind in kinds {
        match kind {
            Changed::New => counts[0] += 1,
            Changed::Differs => counts[1] += 1,
            Changed::Gone => counts[2] += 1,
            Changed::Filled => panic!("nothing is left blank in these sheets"),
        }
    }
    counts
}

fn name(row: &Row) -> &str {
    match row {
        Row::Load(name, _) | Row::Driveway(name, ..) | Row::Placement(name, ..) => name,
    }
}

/// The same from the rows themselves.
fn differences(then: &[Written], now: &[Written], through: NaiveDate) -> [usize; 3] {
    let live = |rows: &[Written]| -> BTreeMap<String, Row> {
        let rows = rows.iter().filter(|w| !w.void && w.day <= through);
        rows.map(|w| (name(&w.row).to_string(), w.row.clone())).collect()
    };
    let (then, now) = (live(then), live(now));
    let late = now.keys().filter(|name| !then.contains_key(*name)).count();
    let gone = then.keys().filter(|name| !now.contains_key(*name)).count();
    let changed = now.iter().filter(|(name, row)| then.get(*name).is_some_and(|other| other != *row)).count();
    [late, changed, gone]
}

#[test]
fn fourteen_periods_add_up_whatever_comes_late_changes_or_goes() {
    let (dir, history) = closed(true);
    let verified = run::verify(dir.path(), &|_, _| ()).unwrap();
    assert!(verified.faults.is_empty() && verified.notes.is_empty());
    assert_eq!(verified.periods.len(), PERIODS as usize);
    let last = history.last().unwrap();
    for (period, then) in verified.periods.iter().zip(&history) {
        let kinds = period.records.iter().map(|r| match r.is {
            "new" => Changed::New,
            "changed" => Changed::Differs,
            _ => Changed::Gone,
        });
        assert_eq!(counted(kinds), differences(then, last, period.through), "period {}", period.period);
        assert_eq!(period.same(), period.period == PERIODS, "period {}", period.period);
        assert!(period.not_rebuilt.is_empty());
    }
}

#[test]
fn an_altered_closing_stops_every_report_until_it_is_restored() {
    let (dir, _) = closed(false);
    let file = dir.path().join("closed/07/result.json");
    let sound = fs::read(&file).unwrap();
    let mut altered = sound.clone();
    altered[1000] ^= 1;
    fs::write(&file, &altered).unwrap();
    let verified = run::verify(dir.path(), &|_, _| ()).unwrap();
    assert_eq!(verified.faults.len(), 1);
    assert!(verified.faults[0].message.starts_with("closed/07/result.json differs"), "{:?}", verified.faults);
    fs::write(&file, &sound).unwrap();
    let statement = dir.path().join("closed/07/closing.json");
    let text = fs::read_to_string(&statement).unwrap();
    fs::write(&statement, text.replacen("\"value\": \"", "\"value\": \"1", 1)).unwrap();
    let stop = run::compute(dir.path(), None, &|_, _| ()).err().unwrap();
    assert!(stop.findings.iter().any(|f| f.message.starts_with("closed/07/closing.json bears the seal")), "{stop:?}");
    fs::write(&statement, text).unwrap();
    assert!(run::verify(dir.path(), &|_, _| ()).unwrap().faults.is_empty());
}

#[test]
fn a_period_is_closed_once_in_order_and_only_when_nothing_is_open_or_a_reason_is_given() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("contract.toml"), contract()).unwrap();
    let (mut rows, mut chance) = (Vec::new(), Chance(7));
    month(1, &mut rows, &mut chance);
    write_sheets(dir.path(), &rows);
    let close = |period, despite| run::close(dir.path(), period, despite, &|_, _| ());
    let said = |period, despite| close(period, despite).unwrap_err().findings[0].message.clone();
    assert_eq!(said(2, None), "period 1 before it is not closed");
    assert_eq!(said(15, None), "contract.toml has no period 15");
    fs::write(dir.path().join("field/broken.csv"), "Ticket,Date,Volume (CY)\nX-1,no day,8\n").unwrap();
    assert!(said(1, None).starts_with("1 left open"));
    assert!(said(1, Some("  ")).starts_with("1 left open"), "a reason is words");
    assert!(!dir.path().join("closed").exists());
    let closed = close(1, Some("the ticket is being looked for")).unwrap();
    assert_eq!(closed.folder, "closed/01");
    assert_eq!(said(1, None), "period 1 is closed already");
    let computed = run::compute(dir.path(), Some(last_day(2)), &|_, _| ()).unwrap();
    let despite = computed.closed.unwrap().despite.unwrap();
    assert_eq!((despite.reason.as_str(), despite.open.len()), ("the ticket is being looked for", 1));
    assert!(despite.open[0].contains("X-1") || despite.open[0].contains("no day"), "{:?}", despite.open);
}

/// The smallest contract, and the same with a driveway measured anew, a load voided and one more.
fn two_states() -> (tempfile::TempDir, tempfile::TempDir) {
    let (first, second) = (crate::findings::folder("base"), crate::findings::folder("base"));
    let field = second.path().join("field");
    fs::write(field.join("driveways.csv"), "Item,Date,Location,Length (ft),Width (ft)\n2,6/10/2031,house 12,21,9\n")
        .unwrap();
    let loads = fs::read_to_string(field.join("loads.csv")).unwrap();
    fs::write(field.join("loads.csv"), loads.replacen("101,6/2/2031,8.5,P1\n", "", 1) + "900,6/2/2031,8.0,P1\n")
        .unwrap();
    (first, second)
}

#[test]
fn two_results_are_compared_down_to_the_records_that_made_the_difference() {
    let (first, second) = two_states();
    let difference = run::compare(first.path(), second.path(), &|_, _| ()).unwrap();
    let amount = |key: &str| difference.amounts.iter().find(|a| a.key == key).unwrap();
    // 20 ft x 9 ft / 9 = 20 yd2; 21 ft makes 21 yd2, at 70.00.
    let driveway = amount("item-2.amount.to-date");
    assert_eq!((driveway.first, driveway.second, driveway.by), (Some(dec!(1400)), Some(dec!(1470)), dec!(70)));
    assert_eq!(driveway.because.len(), 2, "{:?}", driveway.because);
    assert!(
        driveway.because[0].starts_with("second: ") && driveway.because[0].contains("21"),
        "{:?}",
        driveway.because
    );
    assert!(driveway.because.iter().all(|b| b.contains("field/driveways.csv")), "{:?}", driveway.because);
    assert_eq!(amount("due.to-date").by, dec!(70));
    let records: Vec<(&str, &str)> = difference.records.iter().map(|r| (r.is, r.record.as_str())).collect();
    assert!(records.contains(&("gone", "Loads 101")) && records.contains(&("new", "Loads 900")), "{records:?}");
    assert!(run::compare(first.path(), first.path(), &|_, _| ()).unwrap().none());
}

#[test]
fn packages_and_closings_compare_like_the_contracts_they_came_from() {
    let (first, second) = two_states();
    let whole = run::compare(first.path(), second.path(), &|_, _| ()).unwrap();
    let out = tempfile::tempdir().unwrap();
    let deliver = |of: &Path, name: &str| {
        let computed = run::compute(of, None, &|_, _| ()).unwrap();
        computed.deliver(&out.path().join(name), &computed.package(false).unwrap(), false).unwrap();
    };
    deliver(first.path(), "a");
    run::close(second.path(), 1, None, &|_, _| ()).unwrap();
    let packages = run::compare(&out.path().join("a"), &second.path().join("closed/01"), &|_, _| ()).unwrap();
    let keys = |d: &run::Difference| d.amounts.iter().map(|a| (a.key.clone(), a.by)).collect::<Vec<_>>();
    assert_eq!(keys(&packages), keys(&whole));
    assert!(packages.records_known);
    let records = |d: &run::Difference| d.records.iter().map(|r| (r.is, r.record.clone())).collect::<Vec<_>>();
    assert_eq!(records(&packages), records(&whole));
    let stop = run::compare(out.path(), first.path(), &|_, _| ()).unwrap_err();
    assert!(stop.findings[0].message.contains("neither result.json nor contract.toml"));
}

#[test]
fn the_final_period_holds_what_was_built_against_what_was_agreed() {
    let dir = crate::findings::folder("reason-missing");
    let computed = run::compute(dir.path(), None, &|_, _| ()).unwrap();
    let driveway = computed.estimate.against_plan[1];
    // 20 ft x 9 ft / 9 = 20 yd2 of 40 agreed at 70.00: 20 under, 50 percent, 1,400.00.
    assert_eq!(value(&computed, driveway.difference), dec!(-20));
    assert_eq!(value(&computed, driveway.percent.unwrap()), dec!(-50));
    assert_eq!(value(&computed, driveway.worth), dec!(-1400));
    // The pavement was built as agreed, but for a cent of rounding: 1,000 ft x 12 ft / 9 in two placements of 666.67 yd2.
    assert_eq!(value(&computed, computed.estimate.against_plan[0].difference), dec!(0.01));
    let pages = computed.dossier().pages;
    assert!(pages.iter().any(|page| page.id == "final"));
    let before = run::compute(crate::findings::folder("base").path(), None, &|_, _| ()).unwrap();
    assert!(before.estimate.against_plan.is_empty() && before.dossier().pages.iter().all(|page| page.id != "final"));
}

/// Rows measured by hand are known by place and day, so a row put in above the others changes nothing but itself.
#[test]
fn a_row_put_in_above_the_others_is_the_only_reason_named() {
    let (first, second) = (crate::findings::folder("base"), crate::findings::folder("base"));
    let rows = "Item,Date,Location,Length (ft),Width (ft)\n2,6/9/2031,house 10,18,9\n2,6/10/2031,house 12,20,9\n";
    fs::write(second.path().join("field/driveways.csv"), rows).unwrap();
    let difference = run::compare(first.path(), second.path(), &|_, _| ()).unwrap();
    let of = |key: &str| difference.amounts.iter().find(|a| a.key == key).unwrap().because.clone();
    let because = of("item-2.quantity.to-date");
    assert!(because.len() == 1 && because[0].starts_with("new: item 2, house 10 18"), "{because:?}");
    assert!(of("item-2.quantity.this-period").is_empty(), "it follows from the quantity to date");
    assert_eq!(
        difference.records.iter().map(|r| (r.is, r.record.as_str())).collect::<Vec<_>>(),
        [("new", "Measured house 10")]
    );
}

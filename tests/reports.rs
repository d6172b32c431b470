//! The reports as they read: golden files of the small samples, and laws that hold for every sample.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use calamine::{Data, Reader, Xlsx};
use slabtally::run::{self, Computed};
use tempfile::TempDir;

use crate::golden::golden;

const SAMPLES: [&str; 3] = ["harrow-road", "quay-lane", "mill-street"];

fn compute(folder: &Path) -> Computed {
    run::compute(folder, None, &|_, _| ()).expect("the folder is read")
}

fn sample(name: &str) -> Computed {
    compute(&Path::new("sample-inputs").join(name))
}

fn package(computed: &Computed) -> BTreeMap<String, Vec<u8>> {
    computed.package(true).expect("the package is made").into_iter().collect()
}

fn text(package: &BTreeMap<String, Vec<u8>>, name: &str) -> String {
    String::from_utf8(package[name].clone()).unwrap()
}

#[test]
fn the_text_reports_of_the_small_samples_read_as_they_did() {
    for name in ["quay-lane", "mill-street"] {
        let package = package(&sample(name));
        for report in ["estimate.txt", "yield.txt", "deficiencies.txt"] {
            let text = text(&package, report);
            assert!(text.lines().all(|l| l.chars().count() <= 100), "{name}/{report} is wider than 100 columns");
            golden(format!("tests/golden/{name}/{report}"), &text);
        }
    }
}

#[test]
fn the_estimate_of_the_large_sample_reads_as_it_did() {
    let text = text(&package(&sample("harrow-road")), "estimate.txt");
    let front: Vec<&str> = text.lines().take_while(|l| *l != "QUANTITIES").collect();
    assert!(front.len() > 60, "the estimate stands before the quantities");
    golden("tests/golden/harrow-road/estimate-front.txt", &format!("{}\n", front.join("\n")));
}

#[test]
fn the_workbook_of_the_small_sample_holds_what_it_did() {
    let bytes = package(&sample("quay-lane")).remove("estimate.xlsx").unwrap();
    let mut book: Xlsx<_> = calamine::open_workbook_from_rs(std::io::Cursor::new(bytes)).unwrap();
    let mut dump = String::new();
    for name in ["Summary", "Estimate", "Calculations"] {
        let values = book.worksheet_range(name).unwrap();
        let formulas = book.worksheet_formula(name).unwrap();
        for (row, column, value) in values.used_cells() {
            let (r, c) = (row + values.start().unwrap().0 as usize, column + values.start().unwrap().1 as usize);
            let at = (u32::try_from(r).unwrap(), u32::try_from(c).unwrap());
            let formula = formulas.get_value(at).filter(|f| !f.is_empty());
            let letters = slabtally::source::column_letters(u16::try_from(c).unwrap());
            let formula = formula.map_or_else(String::new, |f| format!("   ={f}"));
            dump.push_str(&format!("{name}!{letters}{} {value}{formula}\n", r + 1));
        }
    }
    golden("tests/golden/quay-lane/workbook.txt", &dump);
}

#[test]
fn the_same_input_gives_the_same_bytes_whatever_order_its_files_were_made_in() {
    for name in ["quay-lane", "mill-street"] {
        let first = package(&sample(name));
        let dir = TempDir::new().unwrap();
        let mut sources = Vec::new();
        let mut folders = vec![Path::new("sample-inputs").join(name)];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() { folders.push(path) } else { sources.push(path) }
            }
        }
        sources.sort();
        for path in sources.iter().rev() {
            let to = dir.path().join(path.strip_prefix(Path::new("sample-inputs").join(name)).unwrap());
            fs::create_dir_all(to.parent().unwrap()).unwrap();
            fs::copy(path, to).unwrap();
        }
        let second = package(&compute(dir.path()));
        for (file, bytes) in &first {
            assert!(*bytes == second[file], "{name}/{file} came out differently");
        }
    }
}

#[test]
fn every_row_of_every_sheet_is_accounted_for_once() {
    let mut sheets = 0;
    for name in SAMPLES {
        for sheet in sample(name).intake.sheets {
            assert!(sheet.rows.closes(), "{name}: {sheet:?}");
            sheets += 1;
        }
    }
    assert!(sheets > 30);
}

#[test]
fn the_result_for_machines_foots() {
    for name in SAMPLES {
        let computed = sample(name);
        let result: serde_json::Value = serde_json::from_slice(&package(&computed)["result.json"]).unwrap();
        let figures = result["figures"].as_array().unwrap();
        let value = |key: &str| -> rust_decimal::Decimal {
            let found = figures.iter().find(|f| f["key"] == key).unwrap_or_else(|| panic!("{name}: {key}"));
            found["value"].as_str().unwrap().parse().unwrap()
        };
        let items: rust_decimal::Decimal = figures
            .iter()
            .filter_map(|f| f["key"].as_str())
            .filter(|k| k.starts_with("item-") && k.ends_with(".amount.to-date"))
            .map(value)
            .sum();
        assert_eq!(items, value("work.to-date"), "{name}");
        for line in ["work", "adjustments", "earned", "retained", "due"] {
            let parts = value(&format!("{line}.previous")) + value(&format!("{line}.this-period"));
            assert_eq!(parts, value(&format!("{line}.to-date")), "{name}: {line}");
        }
        assert_eq!(value("earned.to-date") - value("retained.to-date"), value("due.to-date"), "{name}");
    }
}

/// Text that would act if it were taken for a formula, markup, a template or a terminal escape.
const NASTY: &[&str] = &[
    "=1+1",
    "+1+1",
    "@SUM(1)",
    "-2+3",
    "=cmd|' /C calc'!A0",
    "#panic()",
    "$ x $",
    "*bold*",
    "_under_",
    "`raw`",
    "<script>",
    "{{ head }}",
    "{% raw %}",
    "\\",
    "#let x = 1",
    "// comment",
    "]]",
    "\u{1b}[31mred",
    "\u{202e}rtl",
    "\u{7}",
    "a\u{0301}",
    "[link](x)",
    "= heading",
    "@label",
    "~",
    "---",
    "\"quoted\"",
    "'",
    "%",
    "&amp;",
    "\u{200b}",
];

#[test]
fn text_from_cells_stays_text_in_every_report() {
    let dir = TempDir::new().unwrap();
    fs::create_dir_all(dir.path().join("field")).unwrap();
    let contract = fs::read_to_string("sample-inputs/mill-street/contract.toml").unwrap();
    let kept = contract.split("[[sheets]]").next().unwrap().split("[[set_aside]]").next().unwrap();
    fs::write(dir.path().join("contract.toml"), kept).unwrap();
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    sheet.write_row(0, 0, ["Ticket", "Date", "Volume (CY)", "Truck", "Mix", "Remarks"]).unwrap();
    for (row, nasty) in (1..).zip(NASTY) {
        sheet.write_string(row, 0, format!("{row} {nasty}")).unwrap();
        sheet.write_string(row, 1, "8/4/2031").unwrap();
        sheet.write_number(row, 2, 8).unwrap();
        for column in 3..6 {
            sheet.write_string(row, column, *nasty).unwrap();
        }
    }
    book.save(dir.path().join("field/tickets.xlsx")).unwrap();
    let computed = compute(dir.path());
    assert_eq!(computed.intake.records.loads.len(), NASTY.len());
    let package = package(&computed);
    for name in ["estimate.txt", "yield.txt", "deficiencies.txt"] {
        assert!(text(&package, name).chars().all(|c| c == '\n' || !c.is_control()), "{name} holds a control character");
    }
    let mut book: Xlsx<_> =
        calamine::open_workbook_from_rs(std::io::Cursor::new(package["estimate.xlsx"].clone())).unwrap();
    let loads = book.worksheet_range("Loads").unwrap();
    let found =
        loads.used_cells().filter(|(.., v)| matches!(v, Data::String(s) if NASTY.contains(&s.as_str()))).count();
    assert!(found >= NASTY.len(), "only {found} of the texts came through as they were");
    let formulas = book.worksheet_formula("Loads").unwrap();
    assert_eq!(formulas.used_cells().filter(|(.., f)| !f.is_empty()).count(), 0, "a text became a formula");
}

#[test]
fn a_folder_without_sheets_is_reported_as_one() {
    let dir = TempDir::new().unwrap();
    fs::create_dir_all(dir.path().join("field")).unwrap();
    fs::copy("sample-inputs/quay-lane/contract.toml", dir.path().join("contract.toml")).unwrap();
    let computed = compute(dir.path());
    assert!(computed.line.stretches.is_empty());
    assert!(text(&package(&computed), "estimate.txt").contains("due"));
}

#[test]
fn an_earlier_day_leaves_out_what_came_later() {
    let folder = Path::new("sample-inputs/harrow-road");
    let may = run::compute(folder, "2031-05-20".parse().ok(), &|_, _| ()).expect("the folder is read");
    let all = sample("harrow-road");
    assert_eq!((may.estimate.period.number, all.estimate.period.number), (1, 3));
    assert!(may.intake.records.placements.len() < all.intake.records.placements.len());
    assert!(may.intake.sheets.iter().all(|s| s.rows.closes()));
}

//! A further agency's stepped table, typed from a printed page into a contract folder's `rules/`: no Rust, and the right number.

use std::fs;

use assert_cmd::Command;
use tempfile::TempDir;

/// What somebody changes in the copied example: names, citation and table, in the order in which they stand in the file.
const CHANGES: &[(&str, &str)] = &[
    ("id       = \"example-stepped-average\"", "id       = \"our-county-thickness-2031\""),
    ("title    = \"Stepped table on a lot's average thickness\"", "title    = \"Our county, pavement thickness\""),
    ("citation = \"example, no agency's rule\"", "citation = \"Our county, special provision 12, 2031\""),
    ("area      = \"2000 yd2\" ", "area      = \"1500 yd2\" "),
    ("{ from = 0.21, to = 0.30, pay = 80 },", "{ from = 0.21, to = 0.35, pay = 85 },"),
    ("{ from = 0.31, to = 0.40, pay = 72 },\n", ""),
    ("{ from = 0.41, to = 0.50, pay = 68 },", "{ from = 0.36, to = 0.50, pay = 71.5 },"),
];

fn county() -> String {
    let shipped = slabtally::rules::shipped();
    let example = shipped.iter().find(|(file, _)| *file == "example-stepped-average.toml").unwrap().1;
    CHANGES.iter().fold(example.to_string(), |text, (from, to)| {
        assert_eq!(text.matches(from).count(), 1, "'{from}' stands once in the example");
        text.replace(from, to)
    })
}

const CONTRACT: &str = r#"number = "C-13"
title = "A thirteenth table"
units = "US customary"
dates = "year-month-day"
parties = { owner = "owner", contractor = "contractor", engineer = "engineer" }
rounding = { length = "0.1 half up", area = "0.01 half up", volume = "0.01 half up", money = "0.01 half up" }
alignments = [{ name = "A", begin = "0+00", end = "10+00" }]
lanes = [{ name = "W", alignment = "A", side = "right", width = "24 ft" }]
periods = [{ number = 1, through = 2031-12-31 }]
sections = [{ name = "road", from = "0+00", to = "10+00", lanes = ["W"], thickness = "10 in" }]

[[items]]
number = "1"
description = "Concrete pavement"
unit = "SY"
quantity = "1"
price = "100.00"
measured = "placed area"
sections = ["road"]
adjusted_by = ["thickness"]

[rules]
thickness = "our-county-thickness-2031"
"#;

fn folder(rule: &str) -> TempDir {
    let dir = TempDir::new().unwrap();
    let write = |name: &str, text: &str| {
        let path = dir.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    };
    write("contract.toml", CONTRACT);
    write("rules/our county.toml", rule);
    write("field/placements.csv", "Placement,Date,Lanes,From station,To station\n1,2031-06-02,W,0+00,10+00\n");
    write(
        "field/cores.csv",
        "Core,Date,Lane,Station,Length (in)\nA,2031-07-01,W,1+00,9.60\nB,2031-07-01,W,2+00,9.55\nC,2031-07-01,W,3+00,9.70\n\
         D,2031-07-01,W,6+00,9.70\nE,2031-07-01,W,7+00,9.72\nF,2031-07-01,W,8+00,9.60\n",
    );
    dir
}

fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = Command::cargo_bin("slabtally").unwrap().args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

#[test]
fn a_copied_example_with_another_table_pays_by_that_table() {
    let dir = folder(&county());
    let (contract, out) = (dir.path().display().to_string(), dir.path().join("out").display().to_string());
    let (code, _, err) = run(&["report", &contract, "--out", &out]);
    assert!(code < 2, "{code}: {err}");
    let result: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(dir.path().join("out/result.json")).unwrap()).unwrap();
    let text = result.to_string();
    // 1,500 yd2 are 562.5 ft of 24 ft. Lot 1: 9.60, 9.55, 9.70 average 9.62, deficiency 0.38: 71.5 percent. What is left, 437.5
    // ft, is more than half a lot: 9.70, 9.72, 9.60 average 9.67, deficiency 0.33: 85 percent.
    let trace = |figure: &str| run(&["trace", &contract, figure]).1;
    assert!(trace("road.lot-1.pay").starts_with("pay 71.5 %"), "{}", trace("road.lot-1.pay"));
    assert!(trace("road.lot-2.pay").starts_with("pay 85.0 %"), "{}", trace("road.lot-2.pay"));
    assert!(trace("road.lot-1.pay").contains("Our county, special provision 12, 2031"), "{}", trace("road.lot-1.pay"));
    assert!(text.contains("our-county-thickness-2031"));
    let listed = run(&["rules", "--contract-dir", &contract]).1;
    assert!(listed.contains("our-county-thickness-2031"), "{listed}");
}

#[test]
fn a_slip_in_the_typed_table_is_said_with_its_line() {
    let slipped = county().replace("from = 0.36", "from = 0.37");
    let dir = folder(&slipped);
    let (code, _, err) =
        run(&["report", &dir.path().display().to_string(), "--out", &dir.path().join("out").display().to_string()]);
    assert_eq!(code, 3);
    assert!(err.contains("our county.toml, line "), "{err}");
    assert!(
        err.contains("leave a gap between them: what enters the table is rounded to 0.01")
            && err.contains("let the second begin at 0.36"),
        "{err}"
    );
}

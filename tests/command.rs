//! The program as it is typed: exit codes, what it prints, what it writes and what it leaves alone.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use assert_cmd::Command;
use tempfile::TempDir;

struct Ran {
    code: i32,
    out: String,
    err: String,
}

fn run(arguments: &[&str]) -> Ran {
    let output = Command::cargo_bin("slabtally").unwrap().args(arguments).output().unwrap();
    Ran {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// Every file below a folder with its bytes.
pub(crate) fn files(at: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![at.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.insert(path.strip_prefix(at).unwrap().display().to_string(), fs::read(&path).unwrap());
            }
        }
    }
    found
}

fn report(sample: &str, to: &Path, more: &[&str]) -> Ran {
    let (sample, to) = (format!("sample-inputs/{sample}"), to.display().to_string());
    run(&[&["report", &sample, "--out", &to], more].concat())
}

#[test]
fn a_clean_contract_ends_with_0_and_says_what_is_due_last() {
    let dir = TempDir::new().unwrap();
    let ran = report("quay-lane", &dir.path().join("out"), &[]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let last = ran.out.lines().last().unwrap();
    assert!(last.starts_with("Due in period 1, through 2031-04-30: €"), "{last}");
    let names: Vec<String> = files(&dir.path().join("out")).into_keys().collect();
    let expected = [
        "deficiencies.txt",
        "estimate.txt",
        "estimate.xlsx",
        "package.pdf",
        "records.jsonl",
        "result.json",
        "yield.txt",
    ];
    assert_eq!(names, expected);
}

#[test]
fn refused_rows_end_with_1_and_every_report_says_not_final() {
    let dir = TempDir::new().unwrap();
    let ran = report("mill-street", &dir.path().join("out"), &["--keep-typ"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.out.lines().last().unwrap().starts_with("NOT FINAL: 16 refused, "), "{}", ran.out);
    let written = files(&dir.path().join("out"));
    for name in ["estimate.txt", "yield.txt", "deficiencies.txt", "package.typ", "result.json"] {
        assert!(String::from_utf8_lossy(&written[name]).contains("NOT FINAL"), "{name}");
    }
}

#[test]
fn wrong_arguments_end_with_2_and_help_names_the_codes() {
    assert_eq!(run(&["report"]).code, 2);
    assert_eq!(run(&["report", "sample-inputs/quay-lane", "--through", "31.4.2031"]).code, 2);
    let help = run(&["--help"]);
    assert_eq!(help.code, 0);
    for line in ["0  done", "1  done, but", "2  wrong arguments", "3  could not be done"] {
        assert!(help.out.contains(line), "{line}");
    }
}

#[test]
fn what_could_not_be_done_ends_with_3_and_leaves_nothing() {
    let dir = TempDir::new().unwrap();
    let contract = dir.path().join("contract");
    fs::create_dir_all(contract.join("field")).unwrap();
    fs::write(contract.join("contract.toml"), "number = 1\n").unwrap();
    let before = files(dir.path());
    let out = dir.path().join("out");
    let ran = run(&["report", &contract.display().to_string(), "--out", &out.display().to_string()]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("contract.toml, line 1, column"), "{}", ran.err);
    assert!(ran.err.ends_with("nothing was written\n"));
    assert_eq!(files(dir.path()), before);
    assert!(!out.exists());
}

#[test]
fn a_folder_that_is_there_is_replaced_only_when_told() {
    let dir = TempDir::new().unwrap();
    let out = dir.path().join("out");
    assert_eq!(report("quay-lane", &out, &[]).code, 0);
    let before = files(&out);
    let again = report("quay-lane", &out, &["--through", "2031-03-15"]);
    assert_eq!(again.code, 3);
    assert!(again.err.contains("--replace"), "{}", again.err);
    assert_eq!(files(&out), before);
    assert_eq!(report("quay-lane", &out, &["--through", "2031-03-15", "--replace"]).code, 0);
    assert_ne!(files(&out), before);
}

#[test]
fn a_folder_with_anything_else_in_it_is_never_replaced() {
    let dir = TempDir::new().unwrap();
    let out = dir.path().join("out");
    fs::create_dir_all(&out).unwrap();
    fs::write(out.join("letter.docx"), "mine").unwrap();
    assert_eq!(report("quay-lane", &out, &["--replace"]).code, 3);
    assert_eq!(files(&out)["letter.docx"], b"mine");
}

#[test]
fn check_prints_the_same_summary_and_writes_nothing() {
    let dir = TempDir::new().unwrap();
    let before = files(Path::new("sample-inputs/quay-lane"));
    let checked = Command::cargo_bin("slabtally")
        .unwrap()
        .current_dir(dir.path())
        .args(["check", &fs::canonicalize("sample-inputs/quay-lane").unwrap().display().to_string()])
        .output()
        .unwrap();
    let reported = report("quay-lane", &dir.path().join("out"), &[]);
    let same = |text: &str| text.lines().filter(|l| !l.starts_with("wrote")).map(str::to_string).collect::<Vec<_>>();
    assert_eq!(same(&String::from_utf8(checked.stdout).unwrap()), same(&reported.out));
    assert_eq!(files(Path::new("sample-inputs/quay-lane")), before);
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "only the folder of the report");
}

#[test]
fn the_summary_for_machines_is_json_and_agrees() {
    let dir = TempDir::new().unwrap();
    let ran = report("mill-street", &dir.path().join("out"), &["--json"]);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(value["final"], false);
    let result = fs::read_to_string(dir.path().join("out/result.json")).unwrap();
    let result: serde_json::Value = serde_json::from_str(&result).unwrap();
    let figures = result["figures"].as_array().unwrap();
    let due = figures.iter().find(|f| f["key"] == "due.this-period").unwrap();
    assert_eq!(value["due-this-period"], due["value"]);
}

#[test]
fn a_deduction_is_traced_to_its_cells_as_typed() {
    let ran = run(&["trace", "sample-inputs/harrow-road", "item-401.thickness.nb-mainline-lot-10"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.starts_with("adjustment, NB mainline lot 10 -34,440.00 = (72 / 100 - 1) x 2,000.00 x 61.50"));
    assert!(ran.out.contains("C-029, Reading 2 9.15 in   field/lab/cores.ods, Cores May-June!G34, \"9.15\""));
    assert!(ran.out.contains("contract.toml, line 85, sections[0].thickness, \"9.5 in\""));
}

#[test]
fn a_figure_that_is_not_there_is_told_its_neighbours() {
    let ran = run(&["trace", "sample-inputs/quay-lane", "due"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("due.this-period"), "{}", ran.err);
}

#[test]
fn schemas_and_rule_sets_are_printed() {
    for of in ["contract", "result"] {
        let ran = run(&["schema", of]);
        let schema: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        assert!(schema["properties"].as_object().is_some_and(|p| p.len() > 5), "{of}");
    }
    let list = run(&["rules"]);
    assert!(list.out.contains("example-stepped-average") && list.out.contains("aci-318-19-strength"));
    let one = run(&["rules", "example-stepped-average"]);
    assert!(one.out.contains("0.31") && one.out.contains("72"), "{}", one.out);
    assert_eq!(run(&["rules", "no-such-rule"]).code, 3);
}

/// Lot 10 of the sample is 0.35 in short on average over 2,000 yd2 at $61.50: 72 percent by the lot's average, and so by
/// the sections of both its lanes: 0.28 x 2,000 x 61.50 = 34,440.00.
#[test]
fn one_lot_is_priced_under_several_rule_sets() {
    let rules =
        |more: &[&str]| run(&[&["rules", "--contract-dir", "sample-inputs/harrow-road", "--compare"], more].concat());
    let ran = rules(&["NB mainline lot 10"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let row = |id: &str| ran.out.lines().find(|line| line.starts_with(id)).unwrap().to_string();
    assert!(row("example-stepped-average").contains("0.35 in"), "{}", ran.out);
    assert!(row("example-stepped-average").contains("72 %"), "{}", ran.out);
    assert!(ran.out.lines().any(|line| line.contains("in all") && line.contains("-34,440.00")), "{}", ran.out);

    let only = rules(&["NB mainline lot 10", "--with", "example-stepped-average"]);
    assert!(only.out.contains("example-stepped-average") && !only.out.contains("example-stepped-section"));
    let other = rules(&["NB mainline lot 10", "--with", "example-two-rule-strength"]);
    assert_eq!(other.code, 3);
    assert!(other.err.contains("judges thickness in the contract's units"), "{}", other.err);
    let several = rules(&["lot 10"]);
    assert_eq!(several.code, 3);
    assert!(several.err.contains("NB mainline lot 10"), "{}", several.err);
}

/// One lot of the sample has a mean near a joint of its table: other tests of it could be paid less.
#[test]
fn risk_is_told_for_lots_and_plans() {
    let all = run(&["risk", "sample-inputs/harrow-road"]);
    assert_eq!(all.code, 0, "{}", all.err);
    let row = all.out.lines().find(|line| line.starts_with("strength, SB mainline, 2031-06-09")).unwrap();
    assert!(row.contains("70 to 85"), "{row}");

    let again = |seed: &str| run(&["risk", "sample-inputs/harrow-road", "2031-06-09", "--seed", seed]).out;
    assert_eq!(again("7"), again("7"), "the same seed draws the same lots");
    assert!(again("7").contains("owner's risk"), "{}", again("7"));

    let plan = ["--plan", "example-stepped-average", "--n", "3", "--target", "9.5", "--spread", "0.25"];
    let ran = run(&[&["risk"][..], &plan[..]].concat());
    assert!(ran.out.contains("contractor's risk"), "{}", ran.out);
    assert!(ran.out.lines().all(|line| line.chars().count() <= 100), "{}", ran.out);
    assert_eq!(run(&["risk", "--plan", "example-stepped-average"]).code, 2, "it lacks its numbers");
    assert_eq!(run(&["risk", "sample-inputs/harrow-road", "no such lot"]).code, 3);
}

/// Harrow Road's draw is seeded with 20310: the same seed chooses the same lines, and a workbook, a text and a JSON are written.
#[test]
fn an_audit_draws_a_sample_and_computes_each_line_again() {
    let dir = TempDir::new().unwrap();
    let audit = |to: &str, more: &[&str]| {
        let to = dir.path().join(to).display().to_string();
        run(&[&["audit", "sample-inputs/harrow-road", "--out", &to], more].concat())
    };
    let ran = audit("one", &[]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let last = ran.out.lines().last().unwrap();
    let said: Vec<&str> = last.split(' ').filter(|word| word.parse::<usize>().is_ok()).collect();
    assert!(last.starts_with("Chosen ") && said.len() == 2 && said[0] == said[1], "{last}");
    let written = files(&dir.path().join("one"));
    assert_eq!(written.keys().collect::<Vec<_>>(), ["audit.json", "audit.txt", "audit.xlsx"]);
    let text = String::from_utf8_lossy(&written["audit.txt"]);
    assert!(!text.contains("NOT EQUAL") && text.lines().all(|line| line.chars().count() <= 100));

    assert_eq!(audit("one", &[]).code, 3, "the folder stands there");
    audit("two", &[]);
    assert_eq!(files(&dir.path().join("two")), written, "the same seed, the same bytes");
    audit("three", &["--seed", "another"]);
    assert_ne!(files(&dir.path().join("three"))["audit.txt"], written["audit.txt"]);
    for (sample, code) in [("harrow-road", 0), ("quay-lane", 0), ("mill-street", 1)] {
        let (from, to) = (format!("sample-inputs/{sample}"), dir.path().join(sample).display().to_string());
        let all = run(&["audit", &from, "--share", "100", "--out", &to]);
        assert_eq!(all.code, code, "{}", all.err);
        let text = fs::read_to_string(dir.path().join(sample).join("audit.txt")).unwrap();
        assert!(
            !text.contains("NOT EQUAL") && text.contains("chosen of all, percent                            100.0")
        );
    }
    assert_eq!(audit("four", &["--share", "101"]).code, 2);
    assert_eq!(audit("four", &["--share", "half"]).code, 2);
}

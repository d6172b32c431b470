//! Many contracts at once: each done by itself, none stopped by another, and the same files whatever the threads.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use assert_cmd::Command;
use tempfile::TempDir;

use crate::command::files;
use crate::findings::lay_base;

struct Ran {
    code: i32,
    out: String,
    err: String,
}

fn all(dir: &Path, out: &Path, more: &[&str]) -> Ran {
    all_on(2, dir, out, more)
}

fn all_on(threads: usize, dir: &Path, out: &Path, more: &[&str]) -> Ran {
    let mut command = Command::cargo_bin("slabtally").unwrap();
    command.env("RAYON_NUM_THREADS", threads.to_string()).args(["report", "--all", "--out"]).arg(out).arg(dir);
    let output = command.args(more).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    Ran { code: output.status.code().unwrap(), out: text(output.stdout), err: text(output.stderr) }
}

/// A sound contract under a number of its own.
fn contract(at: &Path, number: &str) {
    fs::create_dir_all(at).unwrap();
    lay_base(at);
    let path = at.join("contract.toml");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("number = \"F-1\"", &format!("number = \"{number}\""))).unwrap();
}

/// A load of a placement that is on no sheet keeps a contract open.
fn open(at: &Path) {
    let path = at.join("field/loads.csv");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, format!("{text}9999,6/2/2031,8.5,P9\n")).unwrap();
}

fn folders(out: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(out).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn json(out: &Path) -> serde_json::Value {
    serde_json::from_str(&fs::read_to_string(out.join("summary.json")).unwrap()).unwrap()
}

#[test]
fn a_contract_that_fails_stops_no_other_and_is_in_the_summary() {
    let dir = TempDir::new().unwrap();
    let (root, out) = (dir.path().join("district"), dir.path().join("reports"));
    contract(&root.join("north/a"), "A-1");
    contract(&root.join("south/deep/er/b"), "B-1");
    contract(&root.join("south/c"), "C-1");
    open(&root.join("south/c"));
    fs::create_dir_all(root.join("west")).unwrap();
    fs::write(root.join("west/contract.toml"), "number = 1\n").unwrap();
    contract(&root.join("north/a/field/old"), "OLD");
    fs::remove_dir_all(root.join("north/a/field/old/field")).unwrap();

    let ran = all(&root, &out, &[]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert_eq!(folders(&out), ["a-1-01", "b-1-01", "c-1-01", "summary.csv", "summary.json", "summary.txt"]);
    assert!(ran.out.ends_with("4 contracts: 2 with nothing open, 1 NOT FINAL, 1 not done\n"), "{}", ran.out);
    let text = fs::read_to_string(out.join("summary.txt")).unwrap();
    assert!(ran.out.starts_with(&text));
    assert!(text.contains("NOT DONE  west") && text.contains("contract.toml, line 1, column"), "{text}");
    assert!(text.contains("nothing open") && text.contains("NOT FINAL:"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    // Findings stand under their contract, in order of path.
    let heads: Vec<&str> = ran.err.lines().filter_map(|line| line.strip_prefix("== ")).collect();
    assert_eq!(heads, ["north/a", "south/c", "south/deep/er/b", "west"]);
    assert!(ran.err.contains("nothing was written for this contract"));

    // What the summaries say is what each contract's own result says.
    let summary = json(&out);
    let lines = summary["contracts"].as_array().unwrap();
    assert_eq!(lines.len(), 4);
    for line in lines.iter().filter(|line| line["done"] == true) {
        let own = fs::read_to_string(out.join(line["written-to"].as_str().unwrap()).join("result.json")).unwrap();
        let own: serde_json::Value = serde_json::from_str(&own).unwrap();
        let figures = own["figures"].as_array().unwrap();
        let figure = |key: &serde_json::Value| figures.iter().find(|f| f["key"] == *key).unwrap()["value"].clone();
        for amount in ["due-this-period", "earned-to-date"] {
            assert_eq!(line[amount]["value"], figure(&line[amount]["figure"]), "{line}");
        }
        assert_eq!(line["contract"], own["contract"]["number"]);
        assert_eq!(line["status"], own["not_final"]);
        assert_eq!(line["findings"].as_array().unwrap().len(), own["findings"].as_array().unwrap().len());
    }
    let mut csv = csv::Reader::from_path(out.join("summary.csv")).unwrap();
    let rows: Vec<BTreeMap<String, String>> = csv.deserialize().map(Result::unwrap).collect();
    assert_eq!(rows.iter().map(|row| row["read from"].as_str()).collect::<Vec<_>>(), heads);
    assert_eq!(rows[0]["due this period"], lines[0]["due-this-period"]["value"].as_str().unwrap());
    assert_eq!(rows[3]["status"], "NOT DONE");
    assert!(rows[3]["why not"].contains("line 1"), "{:?}", rows[3]);
}

#[test]
fn the_exit_code_is_the_worst() {
    let dir = TempDir::new().unwrap();
    let (root, out) = (dir.path().join("district"), dir.path().join("reports"));
    contract(&root.join("a"), "A-1");
    contract(&root.join("b"), "B-1");
    assert_eq!(all(&root, &out, &[]).code, 0);
    open(&root.join("b"));
    assert_eq!(all(&root, &out, &["--replace"]).code, 1);
}

#[test]
fn a_report_by_itself_and_among_others_is_the_same_whatever_the_threads() {
    let dir = TempDir::new().unwrap();
    let root = dir.path().join("district");
    for n in 0..5 {
        contract(&root.join(format!("{n}")), &format!("A-{n}"));
    }
    let places = [1, 2, 5].map(|threads| {
        let out = dir.path().join(format!("on-{threads}"));
        let store = dir.path().join(format!("store-{threads}"));
        assert_eq!(all_on(threads, &root, &out, &["--parquet", &store.display().to_string()]).code, 0);
        (files(&out), files(&store))
    });
    assert_eq!(places[0], places[1]);
    assert_eq!(places[0], places[2]);
    assert_eq!(places[0].1.keys().next().unwrap(), "contract=a-0/period=01/adjustments.parquet");
    let alone = dir.path().join("alone");
    let (from, to) = (root.join("3").display().to_string(), alone.display().to_string());
    Command::cargo_bin("slabtally").unwrap().args(["report", &from, "--out", &to]).assert().success();
    assert_eq!(files(&alone), files(&dir.path().join("on-2/a-3-01")));
}

#[test]
fn two_contracts_of_one_folder_are_both_refused_by_each_others_name() {
    let dir = TempDir::new().unwrap();
    let (root, out) = (dir.path().join("district"), dir.path().join("reports"));
    contract(&root.join("a"), "A-1");
    contract(&root.join("copy of a"), "a 1");
    contract(&root.join("b"), "B-1");
    let ran = all(&root, &out, &[]);
    assert_eq!(ran.code, 3);
    assert_eq!(folders(&out), ["b-1-01", "summary.csv", "summary.json", "summary.txt"]);
    let (_, err) = ran.err.split_once("== a\n").unwrap();
    assert!(err.contains("copy of a would be written to the same folder, a-1-01; neither was"), "{err}");
    assert!(err.contains("contract.toml: a would be written to the same folder, a-1-01; neither was"), "{err}");
}

#[test]
fn nothing_is_replaced_unless_told_and_no_contract_is_said() {
    let dir = TempDir::new().unwrap();
    let (root, out) = (dir.path().join("district"), dir.path().join("reports"));
    contract(&root.join("a"), "A-1");
    contract(&root.join("b"), "B-1");
    // One report stands there already: it is kept, and the other is done.
    assert_eq!(all(&root.join("a"), &out, &[]).code, 0);
    for name in ["summary.txt", "summary.csv", "summary.json"] {
        fs::remove_file(out.join(name)).unwrap();
    }
    let before = files(&out.join("a-1-01"));
    let ran = all(&root, &out, &[]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("exists already"), "{}", ran.err);
    assert_eq!(files(&out.join("a-1-01")), before);
    assert!(out.join("b-1-01").exists());
    // With the summaries there, nothing is begun.
    let before = files(&out);
    let again = all(&root, &out, &[]);
    assert_eq!(again.code, 3);
    assert!(again.err.contains("summary.txt exists already"), "{}", again.err);
    assert_eq!(files(&out), before);
    assert_eq!(all(&root, &out, &["--replace"]).code, 0);

    let empty = dir.path().join("empty");
    fs::create_dir_all(empty.join("field/a")).unwrap();
    let none = all(&empty, &dir.path().join("none"), &["--json"]);
    assert_eq!(none.code, 3);
    assert!(none.err.contains("no contract folder lies here"), "{}", none.err);
    assert!(none.err.contains("point at a folder whose subfolders hold contract.toml"), "{}", none.err);
    assert!(!dir.path().join("none").exists());
    assert!(serde_json::from_str::<serde_json::Value>(&none.out).is_ok());
}

#[test]
fn tables_for_databases_are_replaced_whole_or_not_at_all() {
    let dir = TempDir::new().unwrap();
    let (root, store) = (dir.path().join("a"), dir.path().join("store"));
    contract(&root, "A-1");
    let report = |out: &str, more: &[&str]| {
        let mut command = Command::cargo_bin("slabtally").unwrap();
        command.arg("report").arg(&root).arg("--out").arg(dir.path().join(out)).arg("--parquet").arg(&store);
        command.args(more).output().unwrap().status.code().unwrap()
    };
    assert_eq!(report("first", &[]), 0);
    let before = files(&store);
    let names = ["adjustments", "estimate", "figures", "findings", "lots", "quantities"];
    let names = names.map(|name| format!("contract=a-1/period=01/{name}.parquet"));
    assert_eq!(before.keys().cloned().collect::<Vec<_>>(), names);
    // Neither is written where one of the two may not be replaced.
    assert_eq!(report("second", &[]), 3);
    assert!(!dir.path().join("second").exists());
    assert_eq!(files(&store), before);
    fs::remove_file(root.join("field/cylinders.csv")).unwrap();
    assert!(report("second", &["--replace"]) <= 1);
    assert_ne!(files(&store), before);
    assert_eq!(files(&store).len(), before.len());
}

//! The catalogue of findings: for each code, under `tests/findings/<code>`, the smallest input that raises it and the exact
//! text a reader gets.
//!
//! `base` is a sound contract. A case holds only what differs: its files are laid over a copy of the base, and `REMOVE`
//! names files of the base that are taken away. Where it has `CLOSED`, that text is put behind the contract and period 1 is
//! closed first. `SLABTALLY_BLESS=1` rewrites `expected.txt`; read the diff.

use std::fs;
use std::path::Path;

use slabtally::dossier::FindingLine;
use slabtally::finding::Code;
use slabtally::run::{self, Computed, Stop};
use tempfile::TempDir;

use crate::golden::golden;

const CASES: &str = "tests/findings";

/// The base with a case laid over it.
pub(crate) fn folder(code: &str) -> TempDir {
    let dir = TempDir::new().unwrap();
    lay(&Path::new(CASES).join("base"), dir.path());
    let case = Path::new(CASES).join(code);
    if let Ok(periods) = fs::read_to_string(case.join("CLOSED")) {
        let contract = dir.path().join("contract.toml");
        fs::write(&contract, fs::read_to_string(&contract).unwrap() + &periods).unwrap();
        run::close(dir.path(), 1, None, &|_, _| ()).unwrap();
    }
    lay(&case, dir.path());
    if let Ok(names) = fs::read_to_string(case.join("REMOVE")) {
        for name in names.lines() {
            fs::remove_file(dir.path().join(name)).unwrap();
        }
    }
    dir
}

/// The base alone.
pub(crate) fn lay_base(to: &Path) {
    lay(&Path::new(CASES).join("base"), to);
}

fn lay(from: &Path, to: &Path) {
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            fs::create_dir_all(&target).unwrap();
            lay(&path, &target);
        } else if !["expected.txt", "REMOVE", "CLOSED", "README"].iter().any(|name| path.ends_with(name)) {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// What a case comes to: the findings of a finished run, or those that stopped it.
fn findings(code: Code, at: &Path) -> Vec<FindingLine> {
    let done: Result<Computed, Stop> = run::compute(at, None, &|_, _| ());
    let stopped = |stop: Stop| stop.in_words().collect::<Vec<_>>();
    if code == Code::LotUnknown {
        return run::drawing(at, None, Some("road lot 2")).map_or_else(stopped, |_| Vec::new());
    }
    if code == Code::FormUnknown {
        return run::forms(at, Some("materials")).map_or_else(stopped, |_| Vec::new());
    }
    if code == Code::NotClosable {
        return run::close(at, 2, None, &|_, _| ()).map_or_else(stopped, |_| Vec::new());
    }
    match (done, code) {
        (Err(stop), _) => stopped(stop),
        (Ok(computed), Code::NotWritten) => {
            let package = computed.package(false).unwrap();
            computed.deliver(&at.join("field"), &package, false).map_or_else(stopped, |()| Vec::new())
        }
        (Ok(computed), Code::FigureUnknown) => computed.trace("road.lot-1.averge").map_or_else(stopped, |_| Vec::new()),
        (Ok(computed), _) => computed.findings_in_words().collect(),
    }
}

fn told(lines: &[FindingLine], at: &Path) -> String {
    let folder = at.display().to_string();
    let mut text = String::new();
    for line in lines {
        text.push_str(&format!("{}\n{}\n", line.place, line.message));
        line.related.iter().for_each(|place| text.push_str(&format!("    see {place}\n")));
        text.push_str(&format!("    {}\n\n", line.remedy));
    }
    text.replace(&folder, "CONTRACT")
}

#[test]
fn the_base_raises_nothing_but_the_status_of_its_rules() {
    let dir = folder("rule-from-memory");
    let lines = findings(Code::RuleFromMemory, dir.path());
    assert!(lines.iter().all(|l| l.code == Code::RuleFromMemory), "{}", told(&lines, dir.path()));
}

#[test]
fn each_code_has_the_smallest_input_that_raises_it_and_its_exact_text() {
    let mut missing = Vec::new();
    for &code in Code::ALL {
        let case = Path::new(CASES).join(code.word());
        if !case.exists() {
            missing.push(code.word());
            continue;
        }
        let dir = folder(code.word());
        let raised: Vec<FindingLine> =
            findings(code, dir.path()).into_iter().filter(|line| line.code == code).collect();
        assert!(!raised.is_empty(), "{code} is not raised by its case");
        assert!(raised.iter().all(|l| !l.place.is_empty() && !l.message.is_empty() && !l.remedy.is_empty()), "{code}");
        golden(case.join("expected.txt"), &told(&raised, dir.path()));
    }
    assert!(missing.is_empty(), "these findings have no case: {}", missing.join(", "));
}

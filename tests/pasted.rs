//! `check --explain FILE`: a stranger settles a sheet that was not recognised from what is printed alone.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use tempfile::TempDir;

use crate::findings::lay_base;

struct Ran {
    code: i32,
    out: String,
    err: String,
}

fn check(arguments: &[&str]) -> Ran {
    let output = Command::cargo_bin("slabtally").unwrap().arg("check").args(arguments).output().unwrap();
    Ran {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

fn with(file: &str, text: &str) -> TempDir {
    let dir = TempDir::new().unwrap();
    lay_base(dir.path());
    fs::write(dir.path().join("field").join(file), text).unwrap();
    dir
}

fn explain(dir: &Path, file: &str) -> Ran {
    check(&["--explain", &dir.join("field").join(file).display().to_string()])
}

/// The lines that are printed to be pasted: from `[[sheets]]` to where they end.
fn to_paste(printed: &str) -> Option<String> {
    let from = printed.find("    [[sheets]]")?;
    let lines = printed[from..].lines().take_while(|l| l.starts_with("    "));
    Some(lines.map(|l| &l[4..]).collect::<Vec<_>>().join("\n"))
}

#[test]
fn an_unknown_sheet_is_read_once_the_printed_lines_are_pasted() {
    let sheet = "Drilled by the bridge crew,,,,\nTag,When,Spot,Which side,Caliper\nC7,6/20/2031,2+00,L1,9.1\nC8,6/20/2031,6+00,L1,9.0\n";
    let dir = with("more cores.csv", sheet);
    let first = explain(dir.path(), "more cores.csv");
    assert!(first.out.contains("the file: not read"), "{}", first.out);
    assert_eq!(first.code, 1);
    let mut rounds = 0;
    let mut ran = first;
    while ran.out.contains("refused     row") {
        let lines = to_paste(&ran.out).unwrap_or_else(|| panic!("{}", ran.out));
        let contract = dir.path().join("contract.toml");
        fs::write(&contract, format!("{}\n{lines}", fs::read_to_string(&contract).unwrap())).unwrap();
        ran = explain(dir.path(), "more cores.csv");
        rounds += 1;
        assert!(rounds < 4, "{}{}", ran.out, ran.err);
    }
    assert!(ran.out.contains("the file: read as cores"), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("2 used"), "{}", ran.out);
    assert!(ran.out.contains("'Caliper'     -> length, in by contract.toml"), "{}", ran.out);
}

#[test]
fn what_is_read_is_told_with_its_units_and_what_is_given_for_all_rows() {
    let sheet = "Lane: L1,,\nCore,Date,Station,Length (in),Bit\nC7,6/20/2031,2+00,9.1,x\nC8,6/20/2031,bad,9.0,x\n";
    let dir = with("by lane.csv", sheet);
    let ran = check(&[&dir.path().display().to_string(), "--explain", "by lane.csv"]);
    for line in [
        "field/by lane.csv",
        "the file: read as cores",
        "  headings    row 2: cores",
        "    column D    'Length (in)'  -> length, in by its heading",
        "  all rows    lane = 'L1', from title cell A1",
        "  not used    E 'Bit'",
        "  rows        4 seen = 1 used + 0 blank + 2 headings + 0 totals + 1 refused + 0 set aside",
        "  refused     row 4: 'Station': 'bad' is not a station",
    ] {
        assert!(ran.out.lines().any(|l| l == line), "{line}\n{}", ran.out);
    }
    assert_eq!(ran.code, 1);
}

#[test]
fn an_unknown_file_is_answered_with_the_files_there_are() {
    let dir = with("x.csv", "a\n");
    let ran = check(&[&dir.path().display().to_string(), "--explain", "nothing.csv"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("cores.csv") && ran.err.contains("x.csv"), "{}", ran.err);
}

#[test]
fn control_characters_of_a_sheet_never_reach_the_terminal() {
    let dir = with("odd.csv", "Core,Date,Lane,Station,Length (in),\u{1b}[31mred\nC7,6/20/2031,L1,2+00,9.1,\u{7}\n");
    let ran = explain(dir.path(), "odd.csv");
    assert!(ran.out.contains("read as cores"), "{}{}", ran.out, ran.err);
    assert!(!ran.out.contains(['\u{1b}', '\u{7}']));
}

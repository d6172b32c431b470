//! The way of a refused row: out with the list of refused rows, filled in, back into `field/`, and both values on record;
//! and what is told of a row that was edited after a result was made with it.

use std::fs;
use std::io::Cursor;
use std::path::Path;

use assert_cmd::Command;
use calamine::{Data, Reader, Xlsx, open_workbook_from_rs};
use rust_xlsxwriter::Workbook;
use tempfile::TempDir;

use crate::command::files;
use crate::findings::folder;

fn run(arguments: &[&str], at: &Path) -> (i32, String, String) {
    let output = Command::cargo_bin("slabtally").unwrap().args(arguments).current_dir(at).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

/// The cells of a sheet as text.
fn cells(list: &Path, sheet: &str) -> Vec<Vec<String>> {
    let mut book: Xlsx<_> = open_workbook_from_rs(Cursor::new(fs::read(list).unwrap())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    assert_eq!(range.start(), Some((0, 0)));
    range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect()
}

/// The same list, saved by another program with its entries filled in: value, by whom, on which day.
fn filled_in(list: &Path, entries: &[(&str, &str, &str)], to: &Path) {
    let mut rows = cells(list, "Rows to correct");
    let mut left = entries.iter();
    for row in rows.iter_mut().skip(5).filter(|row| !row[11].is_empty()) {
        if let Some((value, by, on)) = left.next() {
            (row[8], row[9], row[10]) = ((*value).into(), (*by).into(), (*on).into());
        }
    }
    assert!(left.next().is_none(), "more entries than refused cells");
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (r, row) in (0..).zip(&rows) {
        for (c, text) in (0..).zip(row) {
            sheet.write(r, c, text.as_str()).unwrap();
        }
    }
    book.save(to).unwrap();
}

#[test]
fn a_refused_row_goes_out_and_comes_back_corrected() {
    let contract = folder("cell-unreadable");
    let (dir, at) = (contract.path().display().to_string(), TempDir::new().unwrap());
    let (code, out, _) = run(&["report", &dir], at.path());
    assert_eq!(code, 1);
    assert!(out.contains("refused.xlsx"), "{out}");
    let list = at.path().join("out/f-1-01/refused.xlsx");
    let rows = cells(&list, "Rows to correct");
    let line = rows.iter().find(|row| row[3] == "E4").unwrap();
    assert_eq!((line[1].as_str(), line[4].as_str(), line[5].as_str()), ("field/cores.csv", "Length (in)", "about 9"));
    assert_eq!(line[12..17], ["C3", "6/20/2031", "L1", "9+00", "about 9"]);
    assert!(line[6].contains("is not a number") && line[7].contains("write one number"), "{line:?}");

    let before = fs::read(contract.path().join("field/cores.csv")).unwrap();
    filled_in(&list, &[("9.2", "A. Moss", "7/2/2031")], &contract.path().join("field/refused.xlsx"));
    let (code, out, err) = run(&["report", &dir, "--replace"], at.path());
    assert_eq!((code, err.contains("row-corrected")), (0, true), "{out}{err}");
    assert!(!files(&at.path().join("out/f-1-01")).contains_key("refused.xlsx"));
    assert_eq!(fs::read(contract.path().join("field/cores.csv")).unwrap(), before);
    let traced = run(&["trace", &dir, "road.lot-1.average"], at.path()).1;
    let both = "9.2 in place of 'about 9', corrected by A. Moss on 2031-07-02 (field/refused.xlsx, Sheet1!I7)";
    assert!(traced.contains("field/cores.csv, row 4, column E") && traced.contains(both), "{traced}");
    let text = fs::read_to_string(at.path().join("out/f-1-01/estimate.txt")).unwrap();
    let page = &text[text.to_lowercase().find("corrected rows").unwrap()..];
    for said in ["about 9", "9.2", "A. Moss", "2031-07-02", "number"] {
        assert!(page.contains(said), "{page}");
    }
}

#[test]
fn the_list_as_it_was_written_gives_no_finding_and_each_of_its_lines_can_be_corrected() {
    let (contract, at) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    for (name, bytes) in files(Path::new("sample-inputs/mill-street")) {
        let path = contract.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let dir = contract.path().display().to_string();
    let refused = |more: &[&str]| {
        let (code, out, _) = run(&[&["check", &dir, "--json"], more].concat(), at.path());
        assert_eq!(code, 1);
        let told: serde_json::Value = serde_json::from_str(&out).unwrap();
        let codes = told["findings"].as_array().unwrap().iter().map(|f| f["code"].as_str().unwrap().to_string());
        codes.collect::<Vec<_>>()
    };
    let first = refused(&[]);
    let list = at.path().join("out/ms-7-01-refused.xlsx");
    let lines = cells(&list, "Rows to correct").iter().skip(5).filter(|row| !row[11].is_empty()).count();
    assert!(lines > 10, "{lines}");
    // As written, with nothing filled in: nothing more is said, and the sheet beside the list is no record.
    fs::copy(&list, contract.path().join("field/refused.xlsx")).unwrap();
    assert_eq!(refused(&[]), first);
    // Every line filled in with what no cell can hold: every one is taken, none settles its row.
    let wrong = vec![("~", "A. Moss", "2031-07-02"); lines];
    filled_in(&list, &wrong, &contract.path().join("field/refused.xlsx"));
    let second = refused(&["--out", "elsewhere"]);
    let count = |codes: &[String], code: &str| codes.iter().filter(|c| *c == code).count();
    assert_eq!((count(&second, "row-corrected"), count(&second, "correction-unfit")), (lines, 0));
}

#[test]
fn a_list_begun_to_be_filled_in_is_never_replaced_unread() {
    let contract = folder("cell-unreadable");
    let (dir, at) = (contract.path().display().to_string(), TempDir::new().unwrap());
    let (code, out, _) = run(&["check", &dir], at.path());
    assert_eq!(code, 1);
    let list = at.path().join("out/f-1-01-refused.xlsx");
    assert!(out.contains("f-1-01-refused.xlsx"), "{out}");
    let whole = fs::read(&list).unwrap();
    assert_eq!(run(&["check", &dir], at.path()).0, 1);
    assert_eq!(fs::read(&list).unwrap(), whole, "the same rows give the same list");

    filled_in(&list, &[("9.2", "A. Moss", "7/2/2031")], &list);
    let filled = fs::read(&list).unwrap();
    let (code, _, err) = run(&["check", &dir], at.path());
    assert_eq!(code, 3);
    assert!(err.contains("holds corrections that were not read"), "{err}");
    assert_eq!(fs::read(&list).unwrap(), filled);
    fs::copy(&list, contract.path().join("field/refused.xlsx")).unwrap();
    assert_eq!(run(&["check", &dir], at.path()).0, 0);
}

#[test]
fn a_row_edited_after_a_result_was_made_with_it_is_told_with_both_values() {
    let contract = folder("base");
    let (dir, at) = (contract.path().display().to_string(), TempDir::new().unwrap());
    assert_eq!(run(&["report", &dir], at.path()).0, 0);
    let again = run(&["report", &dir, "--replace"], at.path());
    assert!(!again.1.contains("edited"), "{}", again.1);
    let cores = contract.path().join("field/cores.csv");
    let edited = |from: &str, to: &str| {
        let text = fs::read_to_string(&cores).unwrap();
        assert!(text.contains(from));
        fs::write(&cores, text.replace(from, to)).unwrap();
    };
    edited("5+00,9.0", "5+00,9.1");
    let told = "changed: Cores C2 of 2031-06-20 (field/cores.csv, row 3)";
    let (_, out, err) = run(&["check", &dir], at.path());
    assert!(err.contains(told) && err.contains(": Reading 1 9, now Reading 1 9.1"), "{err}");
    assert!(out.contains("1 record says something else than in the result before"), "{out}");
    let (_, _, err) = run(&["report", &dir, "--replace"], at.path());
    assert!(err.contains(told), "{err}");
    // A second edit is told beside the first, which stays on record.
    edited("9+00,9.2", "9+00,9.3");
    assert_eq!(run(&["report", &dir, "--replace"], at.path()).0, 0);
    let changes = fs::read_to_string(at.path().join("out/f-1-01/changes.txt")).unwrap();
    assert!(changes.contains(told) && changes.contains("changed: Cores C3"), "{changes}");
    assert_eq!(changes.matches("since the result").count(), 2);
}

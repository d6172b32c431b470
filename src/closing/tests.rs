//! Seals, chains and records: every byte counts, and what is known follows from what was written.

use std::sync::Arc;

use rust_decimal::dec;

use super::record::Ledger;
use super::*;
use crate::figure::{Book, CellValue, Column, Table, TableCell};
use crate::finding::Code;
use crate::source::{CellRef, Sources};

fn draft(period: u32) -> Draft {
    Draft {
        contract: "C-1".into(),
        period,
        through: NaiveDate::from_ymd_opt(2031, period + 4, 28).unwrap(),
        program: "slabtally 1".into(),
        despite: None,
        inputs: vec![Hashed::of("field/loads.csv", b"Ticket")],
        amounts: vec![Amount {
            key: "due.to-date".into(),
            label: "due to date".into(),
            unit: "money".into(),
            value: dec!(1000.50),
        }],
        quantities: Vec::new(),
        adjustments: Vec::new(),
    }
}

fn folder(name: &str, files: Vec<(String, Vec<u8>)>) -> Folder {
    Folder { name: name.into(), files: files.into_iter().map(|(name, bytes)| (name, Some(bytes))).collect() }
}

/// Two closings, the second on the first.
fn shelf() -> Shelf {
    let files = || vec![("result.json".to_string(), b"{\"due\": 1}\n".to_vec()), (RECORDS.into(), Vec::new())];
    let first = folder("01", sealed(draft(1), None, files()).unwrap());
    let (past, _) = checked(Shelf { folders: vec![first.clone()], others: Vec::new() });
    let second = folder("02", sealed(draft(2), past.of(1), files()).unwrap());
    Shelf { folders: vec![first, second], others: Vec::new() }
}

fn faults(shelf: Shelf) -> Vec<String> {
    checked(shelf).1.into_iter().map(|finding| finding.message).collect()
}

#[test]
fn a_shelf_as_it_was_closed_has_no_fault() {
    let (past, found) = checked(shelf());
    assert!(found.is_empty(), "{found:?}");
    assert_eq!(past.closings.iter().map(|c| c.period).collect::<Vec<_>>(), [1, 2]);
    assert_eq!(past.before(2).map(|c| c.period), Some(1));
    assert_eq!(past.before(1), None);
    let given = past.closings[0].given("due.to-date", "due", "D", Unit::Money);
    assert_eq!((given.value, given.written.as_str()), (dec!(1000.50), "1000.50"));
    assert_eq!(given.origin.to_string(), "closed/01/closing.json, due.to-date");
}

/// Whatever bit of whatever byte of whatever file is turned, its file is named.
#[test]
fn a_turned_bit_anywhere_is_found_and_its_file_is_named() {
    let sound = shelf();
    let mut turned = 0;
    for (f, folder) in sound.folders.iter().enumerate() {
        for (n, (name, bytes)) in folder.files.iter().enumerate() {
            for byte in 0..bytes.as_ref().unwrap().len() {
                let mut shelf = sound.clone();
                shelf.folders[f].files[n].1.as_mut().unwrap()[byte] ^= 1 << (byte % 8);
                let found = faults(shelf);
                let file = format!("closed/{}/{name}", folder.name);
                assert!(found.iter().any(|m| m.starts_with(&file)), "byte {byte} of {file}: {found:?}");
                turned += 1;
            }
        }
    }
    assert!(turned > 1500, "only {turned} bytes were turned");
}

#[test]
fn files_missing_added_or_of_another_chain_are_named() {
    let mut missing = shelf();
    missing.folders[0].files.retain(|(name, _)| name != "result.json");
    assert_eq!(faults(missing), ["closed/01/result.json is missing"]);
    let mut no_statement = shelf();
    no_statement.folders[0].files.retain(|(name, _)| name != STATEMENT);
    assert!(faults(no_statement)[0].starts_with("closed/01/closing.json is missing"));
    let mut added = shelf();
    added.folders[1].files.push(("note.txt".into(), None));
    added.others.push("list.txt".into());
    let (_, found) = checked(added);
    assert!(found.iter().all(|f| f.code == Code::ClosingStray) && found.len() == 2, "{found:?}");
    // The first period closed again with another amount, sealed anew: the second does not follow it.
    let mut other = shelf();
    let mut changed = draft(1);
    changed.amounts[0].value = dec!(999);
    let files = vec![("result.json".to_string(), b"{\"due\": 1}\n".to_vec()), (RECORDS.into(), Vec::new())];
    other.folders[0] = folder("01", sealed(changed, None, files).unwrap());
    let found = faults(other);
    assert!(found.len() == 1 && found[0].starts_with("closed/02/closing.json follows period 1 with seal"), "{found:?}");
    let mut first_gone = shelf();
    first_gone.folders.remove(0);
    assert!(faults(first_gone)[0].ends_with("but before it stands none"));
    let mut renamed = shelf();
    renamed.folders[1].name = "03".into();
    assert!(faults(renamed)[0].contains("is the closing of period 2, not of this folder"));
}

#[test]
fn what_an_interrupted_closing_left_is_no_fault() {
    let mut shelf = shelf();
    shelf.folders.insert(0, Folder { name: ".slabtally-x1".into(), files: Vec::new() });
    let (past, found) = checked(shelf);
    assert_eq!((past.closings.len(), found.len(), found[0].code), (2, 1, Code::ClosingInterrupted));
}

/// A book with one table of loads: ticket and volume.
fn book(loads: &[(&str, i64)]) -> Book {
    let mut sources = Sources::default();
    let sheet = sources.add("field/loads.csv", None);
    let mut book = Book::new(sources);
    let column = |heading, unit| Column { heading, unit, decimals: None };
    let mut table = Table::new("Loads", vec![column("Ticket", Unit::One), column("Volume", Unit::CubicYard)]);
    for (row, (ticket, volume)) in (1..).zip(loads) {
        let cell = |value, column| TableCell { value, at: Some(CellRef::new(sheet, row, column)), typed: None };
        table.push([cell(CellValue::Text((*ticket).into()), 0), cell(CellValue::Number((*volume).into()), 1)]);
    }
    book.add_table(table);
    book
}

fn said(changes: &[Change]) -> Vec<(Changed, String, String)> {
    let words = |a: Option<&Record>, b: Option<&Record>| a.map_or_else(String::new, |r| r.words(b));
    let one =
        |c: &Change| (c.kind(), words(c.before.as_ref(), c.now.as_ref()), words(c.now.as_ref(), c.before.as_ref()));
    changes.iter().map(one).collect()
}

#[test]
fn records_that_came_changed_and_went_are_told_apart_wherever_their_rows_stand() {
    let before = records(&book(&[("1", 8), ("2", 8), ("3", 8), ("4", 7), ("4", 9)]));
    // Rows moved, ticket 2 corrected, 3 gone, 5 new; of the two tickets numbered 4 the second is the same.
    let now = records(&book(&[("4", 9), ("5", 8), ("1", 8), ("2", 7), ("4", 6)]));
    let expected = [
        (Changed::Differs, "Volume 8", "Volume 7"),
        (Changed::Gone, "Ticket 3, Volume 8", ""),
        (Changed::Differs, "Volume 7", "Volume 6"),
        (Changed::New, "", "Ticket 5, Volume 8"),
    ];
    let found = said(&changes(&before, &now));
    assert_eq!(found.iter().map(|(k, a, b)| (*k, a.as_str(), b.as_str())).collect::<Vec<_>>(), expected);
}

#[test]
fn the_files_of_records_of_all_closings_make_what_the_last_one_knew() {
    let months = [
        vec![("1", 8), ("2", 8)],
        vec![("1", 8), ("2", 7), ("3", 8), ("3", 8)],
        vec![("3", 8), ("4", 1), ("1", 8)],
        vec![("1", 8)],
    ];
    let (mut ledger, mut known) = (Ledger::default(), Vec::new());
    for month in months {
        let now = records(&book(&month));
        ledger.take(&written(&changes(&known, &now)).unwrap()).unwrap();
        known = ledger.clone().records();
        assert!(changes(&known, &now).is_empty(), "{month:?}");
        assert_eq!(known.len(), month.len());
    }
    let gone = br#"{"table":"Loads","columns":["Ticket"]}
{"is":"gone","record":"9","day":null,"place":"x","values":["9"]}"#;
    assert!(ledger.take(gone).unwrap_err().contains("line 2: Loads 9 was not there"));
}

#[test]
fn a_value_that_was_blank_and_is_filled_in_completes_its_record() {
    let table = |values: &[&str]| Record {
        table: "Specimens".into(),
        name: "1A".into(),
        day: None,
        place: "x".into(),
        columns: Arc::from(["Specimen".to_string(), "Load".to_string()]),
        values: values.iter().map(ToString::to_string).collect(),
    };
    let (cast, broken) = ([table(&["1A", ""])], [table(&["1A", "130000"])]);
    assert_eq!(changes(&cast, &broken)[0].kind(), Changed::Filled);
    assert_eq!(changes(&broken, &cast)[0].kind(), Changed::Differs);
}

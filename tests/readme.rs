//! The README tells the truth: its two commands, its pictures, the keys it documents.

use std::env;
use std::fs;
use std::path::Path;

/// The part of the samples' README between two marks is what the program itself says of its keys.
fn holds(mark: &str, expected: &str) {
    let path = "sample-inputs/README.md";
    let readme = fs::read_to_string(path).unwrap();
    let (begin, end) = (format!("<!-- {mark}: begin -->\n"), format!("<!-- {mark}: end -->"));
    let (before, rest) = readme.split_once(&begin).expect("the mark begins");
    let (found, after) = rest.split_once(&end).expect("the mark ends");
    let expected = format!("{}\n", expected.trim_end());
    if env::var_os("SLABTALLY_BLESS").is_some() {
        fs::write(path, format!("{before}{begin}{expected}{end}{after}")).unwrap();
    } else {
        assert_eq!(
            found, expected,
            "{path} is stale between the marks of {mark}: SLABTALLY_BLESS=1 cargo test rewrites it"
        );
    }
}

#[test]
fn the_keys_of_contract_and_rule_sets_are_documented_as_they_are_read() {
    holds("contract keys", &slabtally::contract::keys_markdown());
    holds("rule keys", &slabtally::rules::keys_markdown());
}

#[test]
fn the_columns_of_the_tables_for_databases_are_documented_as_they_are_written() {
    holds("table columns", &slabtally::dossier::extracts_markdown());
}

#[test]
fn the_readme_has_two_commands_and_shows_what_is_there() {
    let readme = fs::read_to_string("README.md").unwrap();
    assert!(readme.contains("    cargo run -- report sample-inputs/harrow-road --replace\n"));
    assert!(readme.contains("    tests/all\n"));
    assert!(Path::new("tests/all").exists());
    for part in readme.split("](").skip(1) {
        let target = part.split(')').next().unwrap();
        assert!(Path::new(target).exists(), "the README points at {target}, which is not there");
    }
}

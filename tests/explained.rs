//! `check --explain`: how a file was read, and that a sheet nobody knows is settled by the lines that are printed alone.

use std::fs;
use std::path::Path;

use assert_cmd::Command;

use crate::findings::folder;

fn explain(contract: &Path, file: &str) -> (i32, String) {
    let arguments = ["check", &contract.display().to_string(), "--explain", file];
    let output = Command::cargo_bin("slabtally").unwrap().args(arguments).output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap() + &String::from_utf8(output.stderr).unwrap();
    (output.status.code().unwrap(), text)
}

/// The lines to be pasted, as they stand in a remedy.
fn lines_to_paste(text: &str) -> String {
    let from = text.find("[[sheets]]").unwrap();
    let block = text[from..].lines().map(str::trim_start);
    let inside = |line: &&str| {
        ["[[sheets]]", "#", "file", "sheet", "kind", "heading_row", "columns", "units", "every_row"]
            .iter()
            .any(|key| line.starts_with(key))
    };
    block.take_while(inside).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_known_sheet_is_told_column_by_column_with_what_says_its_units() {
    let contract = folder("base");
    fs::write(
        contract.path().join("field/more cores.csv"),
        "Job: road, Lane: L1\nCore #,Drilled,Sta.,Thk. (in),Temp,Initials\n,,,,F,\nC7,6/20/2031,2+00,9.1,70,x\n",
    )
    .unwrap();
    let (code, text) = explain(contract.path(), "more cores.csv");
    assert_eq!(code, 0, "{text}");
    for said in [
        "the file: read as cores",
        "4 seen = 1 used + 0 blank + 3 headings",
        "headings    rows 2 to 3: cores",
        "'Thk. (in)'  -> length, in by its heading",
        "all rows    lane = 'L1', from title cell B1",
        "not used    E 'Temp', F 'Initials'",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    // By its path alone, the contract is the one above it.
    let path = contract.path().join("field/more cores.csv").display().to_string();
    let output = Command::cargo_bin("slabtally").unwrap().args(["check", "--explain", &path]).output().unwrap();
    assert_eq!(String::from_utf8(output.stdout).unwrap(), text);
    let (code, text) = explain(contract.path(), "nowhere.csv");
    assert_eq!(code, 3);
    assert!(text.contains("cores.csv") && text.contains("cylinders.csv"), "{text}");
}

#[test]
fn a_stranger_settles_an_unknown_sheet_by_the_printed_lines_alone() {
    let contract = folder("base");
    fs::write(
        contract.path().join("field/export 7.csv"),
        "Export of the plant computer\nRef,When,Rig,Loaded m,Job spot\n500,6/4/2031,T12,8.0,P2\n501,6/4/2031,T13,8.5,P2\n",
    )
    .unwrap();
    let (code, text) = explain(contract.path(), "export 7.csv");
    assert_eq!(code, 1);
    let mut lines = lines_to_paste(&text).replace("\"date\"   # check", "\"?\"");
    for (heading, field) in
        [("Ref", "ticket"), ("When", "date"), ("Rig", "truck"), ("Loaded m", "volume"), ("Job spot", "placement")]
    {
        let blank = format!("columns.\"{heading}\" = \"?\"");
        assert!(lines.contains(&blank), "{lines}");
        lines = lines.replace(&blank, &format!("columns.\"{heading}\" = \"{field}\""));
    }
    let toml = contract.path().join("contract.toml");
    let before = fs::read_to_string(&toml).unwrap();
    // A word that is no field of the kind is answered with those that are.
    fs::write(&toml, format!("{before}\n{lines}\n")).unwrap();
    let (code, told) = explain(contract.path(), "export 7.csv");
    assert_eq!(code, 3);
    assert!(told.contains("\"ticket\" is no field of placements"), "{told}");
    let settled = lines.replace("kind = \"placements\"", "kind = \"loads\"");
    fs::write(&toml, format!("{before}\n{settled}\n")).unwrap();
    let (code, told) = explain(contract.path(), "export 7.csv");
    assert_eq!(code, 0, "{told}");
    assert!(
        told.contains("4 seen = 2 used + 0 blank + 2 headings") && told.contains("'Job spot'  -> placement"),
        "{told}"
    );
}

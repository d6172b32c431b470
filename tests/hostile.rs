//! Files that nobody should have sent: cut short, with flipped bits, packed to burst, locked, damaged, or alive in a terminal;
//! and a field folder with what is no file in it. Each reads as the whole file does, or is refused by one finding that names it.

use std::fs;
use std::path::Path;

use chrono::NaiveDate;
use slabtally::contract;
use slabtally::finding::{Code, Place};
use slabtally::intake::{Caps, Intake, Setting, read};
use tempfile::TempDir;
use zip::CompressionMethod::{Deflated, Stored};

use crate::built::{
    LOADS_CSV, Parts, compound, loads_ods, loads_xls, loads_xlsx, number, packed, spreadsheet, workbook, xls_stream,
};

fn setting(caps: Caps) -> Setting {
    let contract = contract::load(include_str!("findings/base/contract.toml")).unwrap();
    Setting { caps, ..contract.setting(NaiveDate::from_ymd_opt(2031, 12, 31).unwrap()) }
}

/// Caps that a small file can pass.
fn small() -> Caps {
    Caps { unpacked_bytes: 1 << 20, text_bytes: 1 << 16, cells: 1_000, ..Caps::default() }
}

fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("field")).unwrap();
    folder
}

fn of_folder(at: &Path, caps: Caps) -> Intake {
    let intake = read(at, &setting(caps), &|_, _| ()).unwrap();
    assert!(intake.sheets.iter().all(|sheet| sheet.rows.closes()));
    intake
}

fn of_file(name: &str, bytes: &[u8], caps: Caps) -> Intake {
    let folder = folder();
    fs::write(folder.path().join("field").join(name), bytes).unwrap();
    of_folder(folder.path(), caps)
}

/// Tickets with their volumes, in the order of the sheet.
fn loads(intake: &Intake) -> Vec<(String, String)> {
    let load = |it: &slabtally::intake::Load| (it.ticket.value.to_string(), it.volume.value.to_string());
    intake.records.loads.iter().map(load).collect()
}

/// The refusals of a file, which names it.
fn refusals(intake: &Intake) -> Vec<String> {
    let refused = intake.findings.iter().filter(|it| it.code == Code::FileUnreadable);
    refused.map(|it| format!("{:?}: {}", it.place, it.message)).collect()
}

/// The one refusal of a file.
fn refusal(name: &str, bytes: &[u8], caps: Caps) -> String {
    let intake = of_file(name, bytes, caps);
    let refused = refusals(&intake);
    assert_eq!((refused.len(), intake.files.len(), loads(&intake).len()), (1, 0, 0), "{name}: {refused:?}");
    assert!(refused[0].contains(&format!("field/{name}")), "{refused:?}");
    refused[0].clone()
}

/// Read as the whole file is, or refused by one finding.
fn same_or_refused(name: &str, bytes: &[u8], whole: &[(String, String)], how: &str) {
    let intake = of_file(name, bytes, Caps::default());
    let refused = refusals(&intake);
    match intake.files.len() {
        1 => assert_eq!((loads(&intake).as_slice(), refused.len()), (whole, 0), "{name}, {how}: {refused:?}"),
        _ => assert_eq!(refused.len(), 1, "{name}, {how}: {refused:?}"),
    }
}

fn whole(name: &str, bytes: &[u8]) -> Vec<(String, String)> {
    let intake = of_file(name, bytes, Caps::default());
    assert_eq!(intake.findings, [], "{name}");
    loads(&intake)
}

fn three() -> Vec<(String, String)> {
    [("100", "8.5"), ("101", "8.25"), ("102", "9.125")].map(|(ticket, volume)| (ticket.into(), volume.into())).to_vec()
}

#[test]
fn a_packed_file_cut_short_at_any_byte_is_refused() {
    for (name, bytes) in [("a.xlsx", packed(&loads_xlsx(), Deflated)), ("a.ods", packed(&loads_ods(), Deflated))] {
        assert_eq!(whole(name, &bytes), three());
        for end in 0..bytes.len() {
            refusal(name, &bytes[..end], Caps::default());
        }
    }
}

#[test]
fn an_xls_workbook_cut_short_at_any_byte_is_refused_or_whole() {
    let bytes = compound("Workbook", &loads_xls());
    let all = whole("a.xls", &bytes);
    assert_eq!(all, three()[..2]);
    for end in 0..bytes.len() {
        same_or_refused("a.xls", &bytes[..end], &all, &format!("cut at {end}"));
    }
}

/// Text has no mark of its end: what stands before the last line is read as it stands.
#[test]
fn text_cut_short_at_any_byte_reads_its_whole_lines() {
    for end in 1..LOADS_CSV.len() {
        let read = loads(&of_file("a.csv", &LOADS_CSV.as_bytes()[..end], Caps::default()));
        let lines = LOADS_CSV[..end].matches('\n').count().saturating_sub(1);
        assert!((lines..=lines + 1).contains(&read.len()), "cut at {end}: {read:?}");
        assert_eq!(read[..lines], three()[..lines], "cut at {end}");
    }
}

#[test]
fn no_flipped_bit_of_a_packed_file_gives_another_number() {
    for method in [Deflated, Stored] {
        for (name, bytes) in [("a.xlsx", packed(&loads_xlsx(), method)), ("a.ods", packed(&loads_ods(), method))] {
            for at in 0..bytes.len() {
                let mut flipped = bytes.clone();
                flipped[at] ^= 1 << (at % 8);
                same_or_refused(name, &flipped, &three(), &format!("byte {at}"));
            }
        }
    }
}

/// An `.xls` workbook has no checksum, so another number cannot be told; but it is read or refused, and rows close.
#[test]
fn any_byte_of_an_xls_workbook_may_be_another() {
    let bytes = compound("Workbook", &loads_xls());
    for at in 0..1_536 + loads_xls().len() {
        for mask in [1 << (at % 8), 0xFF] {
            let mut other = bytes.clone();
            other[at] ^= mask;
            let intake = of_file("a.xls", &other, Caps::default());
            assert_eq!(intake.files.len() + refusals(&intake).len(), 1, "byte {at}: {:?}", refusals(&intake));
        }
    }
}

fn with(mut parts: Parts, name: &str, content: impl Into<Vec<u8>>) -> Parts {
    parts.retain(|(other, _)| other != name);
    parts.push((name.to_string(), content.into()));
    parts
}

#[test]
fn what_is_packed_to_burst_is_refused_while_it_unpacks() {
    let vast = with(loads_xlsx(), "xl/media/image1.png", vec![b' '; 4 << 20]);
    assert!(refusal("a.xlsx", &packed(&vast, Deflated), small()).contains("unpacks to more than 1 MB"));
    // What the archive declares as its length is not believed.
    let mut lying = packed(&vast, Deflated);
    let length = u32::try_from(4 << 20).unwrap().to_le_bytes();
    while let Some(at) = lying.windows(4).position(|four| four == length) {
        lying[at..at + 4].copy_from_slice(&9_u32.to_le_bytes());
    }
    refusal("a.xlsx", &lying, small());
    let texts = workbook("<row><c t=\"s\"><v>0</v></c></row>", &[&"x".repeat(100_000)]);
    assert!(
        refusal("a.xlsx", &packed(&texts, Deflated), small()).contains("list of texts takes more than 65536 bytes")
    );
    let long = format!("<sst><si><t>{}</t></si></sst>", "x".repeat(30_000));
    let again = "<row>".to_string() + &"<c t=\"s\"><v>0</v></c>".repeat(3) + "</row>";
    let repeated = with(workbook(&again, &[]), "xl/sharedStrings.xml", long);
    assert!(refusal("a.xlsx", &packed(&repeated, Deflated), small()).contains("texts of its cells take more than"));
}

#[test]
fn cells_that_repeat_without_end_are_counted() {
    let row = |rows: &str, columns: &str| {
        packed(
            &spreadsheet(&format!(
                r#"<table:table-row table:number-rows-repeated="{rows}"><table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="{columns}"/></table:table-row>"#
            )),
            Deflated,
        )
    };
    assert!(refusal("a.ods", &row("1048576", "16384"), small()).contains("more than 1000 filled cells"));
    assert!(refusal("a.ods", &row("4294967296", "1"), Caps::default()).contains("row 1048577 is filled"));
}

#[test]
fn a_workbook_whose_sheets_share_a_place_is_refused_before_it_is_read_a_thousand_times() {
    let parts = loads_xlsx();
    let sheet = |at: u32| format!(r#"<sheet name="S{at}" sheetId="{at}" r:id="b"/>"#);
    let sheets = (0..5_000).map(sheet).collect::<Vec<_>>().concat();
    let shared = with(parts, "xl/workbook.xml", format!("<workbook><sheets>{sheets}</sheets></workbook>"));
    assert!(refusal("a.xlsx", &packed(&shared, Deflated), Caps::default()).contains("the same part"));
    let cells: Vec<u8> = (0..200).flat_map(|row| number(row, 0, 1.0)).collect();
    let bytes = compound("Workbook", &xls_stream(&cells, 400));
    assert!(
        refusal("a.xls", &bytes, Caps::default()).contains("two of its sheets are said to stand in the same place")
    );
}

#[test]
fn parts_of_one_name_are_refused() {
    let mut parts = loads_xlsx();
    let sheet = parts.last().unwrap().clone();
    parts.push((sheet.0.to_uppercase(), sheet.1));
    assert!(refusal("a.xlsx", &packed(&parts, Deflated), Caps::default()).contains("two of its parts have the name"));
}

#[test]
fn what_xml_asks_for_from_elsewhere_is_never_fetched_and_never_multiplied() {
    let laughs = r#"<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d SYSTEM "file:///etc/hostname">]>"#;
    let row = r#"<row r="1"><c r="A1" t="inlineStr"><is><t>&c;&c;&d;</t></is></c></row>"#;
    let sheet = format!("{laughs}<worksheet><sheetData>{row}</sheetData></worksheet>");
    let intake = of_file("a.xlsx", &packed(&with(loads_xlsx(), "xl/worksheets/sheet1.xml", sheet), Deflated), small());
    let host = fs::read_to_string("/etc/hostname").unwrap_or_default();
    let told = format!("{:?} {:?}", intake.unused, intake.findings);
    assert!(told.len() < 4_000 && (host.trim().is_empty() || !told.contains(host.trim())), "{told}");
    assert_eq!(intake.files.len() + refusals(&intake).len(), 1);
}

#[test]
fn xml_a_hundred_thousand_levels_deep_does_not_end_the_program() {
    let deep = "<a>".repeat(100_000);
    for (name, parts, part) in [
        ("a.xlsx", loads_xlsx(), "xl/worksheets/sheet1.xml"),
        ("a.xlsx", loads_xlsx(), "xl/workbook.xml"),
        ("a.ods", loads_ods(), "content.xml"),
    ] {
        let intake = of_file(name, &packed(&with(parts, part, deep.clone()), Deflated), Caps::default());
        assert_eq!((intake.files.len() + refusals(&intake).len(), loads(&intake).len()), (1, 0), "{part}");
    }
}

#[test]
fn one_table_reads_the_same_in_every_encoding_and_with_every_separator() {
    let wide = |order: fn(u16) -> [u8; 2]| -> Vec<u8> {
        std::iter::once(0xFEFF).chain(LOADS_CSV.encode_utf16()).flat_map(order).collect()
    };
    for bytes in [
        LOADS_CSV.as_bytes().to_vec(),
        format!("\u{feff}{LOADS_CSV}").into_bytes(),
        wide(u16::to_le_bytes),
        wide(u16::to_be_bytes),
        LOADS_CSV.replace('\n', "\r").into_bytes(),
        LOADS_CSV.replace('\n', "\r\n").into_bytes(),
        LOADS_CSV.replace(',', "\t").into_bytes(),
        LOADS_CSV.replace(',', "|").into_bytes(),
        LOADS_CSV.replace(',', ";").into_bytes(),
    ] {
        assert_eq!(loads(&of_file("a.csv", &bytes, Caps::default())), three());
    }
    let unmarked: Vec<u8> = LOADS_CSV.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert!(refusal("a.csv", &unmarked, Caps::default()).contains("is zero"));
}

/// What a terminal would obey, wherever it stands.
const ALIVE: &str = "\u{1b}]0;gone\u{7}\u{202e}9.5\u{9b}2J";

fn is_legible(text: &str) -> bool {
    text.chars().all(|c| (c == '\n' || !c.is_control()) && !('\u{202a}'..='\u{202e}').contains(&c))
}

#[test]
fn nothing_that_a_terminal_would_obey_leaves_intake() {
    let csv = LOADS_CSV.replace("8.25", ALIVE).replace("Placement", &format!("Placement{ALIVE}"));
    let reference = "&#27;]0;gone&#7;&#x202e;9.5";
    let xml = String::from_utf8(loads_ods()[2].1.clone()).unwrap();
    let xml = xml.replace("Sheet 1", reference).replace("Volume (CY)", &format!("Volume (CY){reference}"));
    for (name, bytes) in
        [("a.csv", csv.into_bytes()), ("a.ods", packed(&with(loads_ods(), "content.xml", xml), Deflated))]
    {
        let intake = of_file(name, &bytes, Caps::default());
        assert!(!intake.findings.is_empty() || name == "a.ods", "{name}");
        for finding in &intake.findings {
            assert!(is_legible(&finding.message) && is_legible(&finding.remedy), "{finding:?}");
        }
        for row in &intake.unused {
            assert!(row.cells.iter().all(|cell| is_legible(cell)) && is_legible(&row.reason), "{row:?}");
        }
        for (_, sheet) in intake.sources.iter() {
            assert!(sheet.sheet.as_deref().is_none_or(is_legible), "{sheet:?}");
        }
    }
}

#[test]
fn the_folders_own_caps_hold_over_all_files() {
    let folder = folder();
    for at in 0..6 {
        let text = LOADS_CSV.replace("10", &format!("{at}0"));
        fs::write(folder.path().join(format!("field/{at}.csv")), text).unwrap();
    }
    let intake = of_folder(folder.path(), Caps { folder_cells: 40, ..Caps::default() });
    assert_eq!((intake.files.len(), refusals(&intake).len()), (2, 4));
    assert!(refusals(&intake)[0].contains("field/2.csv") && refusals(&intake)[0].contains("more than 40 filled cells"));
    let intake = of_folder(folder.path(), Caps { sheets: 5, ..Caps::default() });
    assert_eq!((intake.files.len(), refusals(&intake).len()), (5, 1));
}

#[cfg(unix)]
#[test]
fn what_is_no_file_with_a_plain_name_is_said_and_never_opened() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    use std::os::unix::fs::symlink;
    use std::os::unix::net::UnixListener;

    let folder = folder();
    let field = folder.path().join("field");
    symlink("/dev/zero", field.join("endless.csv")).unwrap();
    symlink(".", field.join("round.csv")).unwrap();
    let _socket = UnixListener::bind(field.join("socket.csv")).unwrap();
    let pipe = std::process::Command::new("mkfifo").arg(field.join("pipe.csv")).status();
    fs::create_dir(field.join("folder.csv")).unwrap();
    fs::write(field.join(".~lock.loads.csv#"), "x").unwrap();
    for name in [
        &b"not\xFFutf8.csv"[..],
        b"not\xFEutf8.csv",
        b"\x1b[2Jalive.csv",
        b"two\nlines.csv",
        "\u{202e}vsc.csv".as_bytes(),
    ] {
        fs::write(field.join(OsStr::from_bytes(name)), LOADS_CSV).unwrap();
    }
    fs::write(field.join("Loads.csv"), LOADS_CSV).unwrap();
    fs::write(field.join("loads.csv"), LOADS_CSV.replace("10", "20")).unwrap();
    let intake = of_folder(folder.path(), Caps::default());
    assert_eq!(
        intake.files.iter().map(|file| file.file.as_str()).collect::<Vec<_>>(),
        ["field/Loads.csv", "field/loads.csv"]
    );
    assert_eq!(loads(&intake).len(), 6);
    let refused = refusals(&intake);
    assert_eq!(refused.len(), if pipe.is_ok_and(|it| it.success()) { 9 } else { 8 }, "{refused:#?}");
    assert_eq!(refused.iter().filter(|it| it.contains("its name holds characters that are no letters")).count(), 5);
    assert!(intake.findings.iter().any(|it| it.code == Code::FilePassedOver && it.message.starts_with("a lock file")));
    for finding in &intake.findings {
        assert!(matches!(&finding.place, Place::File(name) if is_legible(name) && !name.contains('\n')), "{finding:?}");
    }
}

#[cfg(unix)]
#[test]
fn a_contract_file_that_is_a_pipe_is_refused_and_not_waited_for() {
    let folder = folder();
    let made = std::process::Command::new("mkfifo").arg(folder.path().join("contract.toml")).status();
    if made.is_ok_and(|it| it.success()) {
        let refused = slabtally::intake::text(folder.path(), "contract.toml").unwrap_err();
        assert_eq!(refused.message, "contract.toml is no file");
    }
}

#[test]
fn ten_thousand_files_are_read() {
    let folder = folder();
    for at in 0..10_000 {
        fs::write(folder.path().join(format!("field/{at:05}.pdf")), "x").unwrap();
    }
    let intake = of_folder(folder.path(), Caps::default());
    assert_eq!(intake.findings.iter().filter(|it| it.code == Code::FilePassedOver).count(), 10_000);
}

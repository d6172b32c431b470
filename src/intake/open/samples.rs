//! Small files made on the spot for the tests of opening: as programs write them, and as nobody should.

use std::io::{Cursor, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::{Opened, read};
use crate::finding::Finding;
use crate::intake::raw::{RawSheet, RawValue};
use crate::intake::setting::Caps;
use crate::source::column_letters;

/// Reads bytes as the file of that name.
pub(super) fn opened(bytes: &[u8], name: &str) -> Result<Opened, Finding> {
    read(bytes, name, &Caps::default())
}

/// The message of a refusal.
pub(super) fn refusal(bytes: &[u8], name: &str) -> String {
    refusal_within(bytes, name, &Caps::default())
}

/// The message of a refusal under given caps.
pub(super) fn refusal_within(bytes: &[u8], name: &str, caps: &Caps) -> String {
    read(bytes, name, caps).map_or_else(|finding| finding.message, |_| String::from("it was read"))
}

/// `A1 thickness`, `B2 9.25`: cells as people would read them out.
pub(super) fn spoken(sheet: &RawSheet) -> Vec<String> {
    let say = |value: &RawValue| match value {
        RawValue::Text(text) => text.to_string(),
        RawValue::Number(number) => number.to_string(),
        RawValue::Moment(serial) => format!("moment {serial}"),
        RawValue::Span(days) => format!("span {days}"),
        RawValue::Truth(truth) => truth.to_string(),
        RawValue::Error(error) => format!("error {error}"),
        RawValue::Unstored => String::from("unstored"),
    };
    let struck = |is: bool| if is { " struck" } else { "" };
    let line = |cell: &crate::intake::raw::RawCell| {
        let address = format!("{}{}", column_letters(cell.column), cell.row + 1);
        format!("{address} {}{}", say(&cell.value), struck(cell.struck))
    };
    sheet.cells.iter().map(line).collect()
}

/// The cells of the only sheet of a file.
pub(super) fn cells(bytes: &[u8], name: &str) -> Vec<String> {
    spoken(&opened(bytes, name).unwrap().sheets[0])
}

/// A zip archive.
pub(super) fn packed(members: &[(&str, &[u8])], method: CompressionMethod) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in members {
        archive.start_file(*name, SimpleFileOptions::default().compression_method(method)).unwrap();
        archive.write_all(content).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

const RELATIONS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

/// An `.xlsx` workbook with one sheet, its rows given; more parts may follow or come again.
pub(super) fn workbook(
    rows: &str,
    workbook_properties: &str,
    more: &[(&str, &str)],
    method: CompressionMethod,
) -> Vec<u8> {
    let root = format!(
        r#"<Relationships><Relationship Id="a" Type="{RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>"#
    );
    let relations = format!(
        r#"<Relationships><Relationship Id="b" Type="{RELATIONS}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>"#
    );
    let book = format!(
        r#"<workbook>{workbook_properties}<sheets><sheet name="Cores" sheetId="1" r:id="b"/></sheets></workbook>"#
    );
    let sheet = format!("<worksheet><sheetData>{rows}</sheetData></worksheet>");
    let mut members: Vec<(&str, &[u8])> = vec![
        ("[Content_Types].xml", b"<Types/>"),
        ("_rels/.rels", root.as_bytes()),
        ("xl/workbook.xml", book.as_bytes()),
        ("xl/_rels/workbook.xml.rels", relations.as_bytes()),
        ("xl/worksheets/sheet1.xml", sheet.as_bytes()),
    ];
    members.extend(more.iter().map(|(name, content)| (*name, content.as_bytes())));
    packed(&members, method)
}

/// An `.xlsx` workbook with one sheet of those rows.
pub(super) fn simple(rows: &str) -> Vec<u8> {
    workbook(rows, "", &[], CompressionMethod::Deflated)
}

/// An `.ods` spreadsheet with those styles and tables.
pub(super) fn spreadsheet(styles: &str, tables: &str) -> Vec<u8> {
    let content = format!(
        "<office:document-content><office:automatic-styles>{styles}</office:automatic-styles>\
         <office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>"
    );
    packed(
        &[
            ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
            ("META-INF/manifest.xml", b"<manifest:manifest/>"),
            ("content.xml", content.as_bytes()),
        ],
        CompressionMethod::Deflated,
    )
}

/// A compound file with one stream of at least 4,096 bytes, filled up with zeros.
pub(super) fn compound(name: &str, content: &[u8]) -> Vec<u8> {
    const END: u32 = 0xFFFF_FFFE;
    const FREE: u32 = 0xFFFF_FFFF;
    let mut stream = content.to_vec();
    stream.resize(content.len().next_multiple_of(512).max(4_096), 0);
    let sectors = u32::try_from(stream.len() / 512).unwrap();
    let mut header = vec![0; 512];
    let mut put = |at: usize, bytes: &[u8]| header[at..at + bytes.len()].copy_from_slice(bytes);
    put(0, super::compound::SIGNATURE);
    put(26, &[3, 0, 0xFE, 0xFF, 9, 0, 6, 0]);
    put(44, &1_u32.to_le_bytes());
    put(48, &1_u32.to_le_bytes());
    put(56, &4_096_u32.to_le_bytes());
    put(60, &END.to_le_bytes());
    put(68, &END.to_le_bytes());
    (0..109_usize).for_each(|at| put(76 + at * 4, &if at == 0 { 0 } else { FREE }.to_le_bytes()));
    let table = (0..128_u32).map(|at| match at {
        0 => 0xFFFF_FFFD,
        at if at == 1 || at == 1 + sectors => END,
        at if at <= sectors => at + 1,
        _ => FREE,
    });
    let mut directory = vec![0; 512];
    let length = u32::try_from(stream.len()).unwrap();
    for (at, (name, start, size)) in [("Root Entry", END, 0), (name, 2, length)].into_iter().enumerate() {
        let letters: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
        directory[at * 128..at * 128 + letters.len()].copy_from_slice(&letters);
        directory[at * 128 + 64] = u8::try_from(letters.len() + 2).unwrap();
        directory[at * 128 + 116..at * 128 + 120].copy_from_slice(&start.to_le_bytes());
        directory[at * 128 + 120..at * 128 + 124].copy_from_slice(&size.to_le_bytes());
    }
    [header, table.flat_map(u32::to_le_bytes).collect(), directory, stream].concat()
}

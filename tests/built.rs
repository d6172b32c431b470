//! Small files built in memory for the tests: workbooks and spreadsheets from their XML, `.xls` workbooks from their records.

#![allow(dead_code)]

use std::io::{Cursor, Read, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

/// The parts of an archive by name.
pub(crate) type Parts = Vec<(String, Vec<u8>)>;

/// An archive of those parts.
pub(crate) fn packed(parts: &[(String, Vec<u8>)], method: CompressionMethod) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in parts {
        if archive.start_file(name.as_str(), SimpleFileOptions::default().compression_method(method)).is_ok() {
            archive.write_all(content).unwrap();
        }
    }
    archive.finish().unwrap().into_inner()
}

/// The parts of an archive; `None` where it is damaged.
pub(crate) fn unpacked(bytes: &[u8]) -> Option<Parts> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).ok()?;
    let mut parts = Vec::new();
    for index in 0..archive.len() {
        let member = archive.by_index(index).ok()?;
        let name = member.name().ok()?.to_string();
        let mut content = Vec::new();
        member.take(1 << 20).read_to_end(&mut content).ok()?;
        parts.push((name, content));
    }
    Some(parts)
}

fn parts<const N: usize>(of: [(&str, String); N]) -> Parts {
    of.into_iter().map(|(name, content)| (name.to_string(), content.into_bytes())).collect()
}

const RELATIONS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

/// The parts of an `.xlsx` workbook with one sheet of those rows and a list of shared texts.
pub(crate) fn workbook(rows: &str, texts: &[&str]) -> Parts {
    let list = texts.iter().map(|text| format!("<si><t>{text}</t></si>")).collect::<Vec<_>>().concat();
    let sheets = r#"<sheet name="Sheet 1" sheetId="1" r:id="b"/>"#;
    parts([
        ("[Content_Types].xml", "<Types/>".into()),
        (
            "_rels/.rels",
            format!(r#"<Relationships><Relationship Id="a" Type="{RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>"#),
        ),
        ("xl/workbook.xml", format!("<workbook><workbookPr/><sheets>{sheets}</sheets></workbook>")),
        (
            "xl/_rels/workbook.xml.rels",
            format!(
                r#"<Relationships><Relationship Id="b" Type="{RELATIONS}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="c" Type="{RELATIONS}/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="d" Type="{RELATIONS}/styles" Target="styles.xml"/></Relationships>"#
            ),
        ),
        ("xl/sharedStrings.xml", format!(r#"<sst uniqueCount="{}">{list}</sst>"#, texts.len())),
        (
            "xl/styles.xml",
            r#"<styleSheet><fonts><font/><font><strike/></font></fonts><cellXfs><xf numFmtId="0" fontId="0"/><xf numFmtId="14" fontId="0"/><xf numFmtId="46" fontId="0"/><xf numFmtId="10" fontId="0"/><xf numFmtId="0" fontId="1"/></cellXfs></styleSheet>"#.into(),
        ),
        ("xl/worksheets/sheet1.xml", format!("<worksheet><sheetData>{rows}</sheetData></worksheet>")),
    ])
}

/// Three loads as an `.xlsx` workbook: texts shared and in place, numbers, days, a total.
pub(crate) fn loads_xlsx() -> Parts {
    let head = r#"<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c><c r="C1" t="s"><v>2</v></c><c r="D1" t="s"><v>3</v></c></row>"#;
    let row = |n: u32, ticket: u32, day: f64, volume: &str| {
        format!(
            r#"<row r="{n}"><c r="A{n}"><v>{ticket}</v></c><c r="B{n}" s="1"><v>{day}</v></c><c r="C{n}"><v>{volume}</v></c><c r="D{n}" t="inlineStr"><is><t>P1</t></is></c></row>"#
        )
    };
    let rows = [row(2, 100, 48_001.0, "8.5"), row(3, 101, 48_001.0, "8.25"), row(4, 102, 48_002.0, "9.125")].concat();
    workbook(&format!("{head}{rows}"), &["Ticket", "Date", "Volume (CY)", "Placement"])
}

/// The parts of an `.ods` spreadsheet with one table of those rows.
pub(crate) fn spreadsheet(rows: &str) -> Parts {
    parts([
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet".into()),
        ("META-INF/manifest.xml", "<manifest:manifest/>".into()),
        (
            "content.xml",
            format!(
                r#"<office:document-content><office:automatic-styles><style:style style:name="ce1" style:family="table-cell"><style:text-properties style:text-line-through-style="solid"/></style:style></office:automatic-styles><office:body><office:spreadsheet><table:table table:name="Sheet 1"><table:table-column table:number-columns-repeated="4"/>{rows}</table:table></office:spreadsheet></office:body></office:document-content>"#
            ),
        ),
    ])
}

/// The same three loads as an `.ods` spreadsheet.
pub(crate) fn loads_ods() -> Parts {
    let text = |text: &str| {
        format!(r#"<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>"#)
    };
    let number = |n: &str| {
        format!(
            r#"<table:table-cell office:value-type="float" office:value="{n}"><text:p>{n}</text:p></table:table-cell>"#
        )
    };
    let day = |day: &str| format!(r#"<table:table-cell office:value-type="date" office:date-value="{day}"/>"#);
    let row = |cells: [String; 4]| format!("<table:table-row>{}</table:table-row>", cells.concat());
    spreadsheet(
        &[
            row(["Ticket", "Date", "Volume (CY)", "Placement"].map(text)),
            row([number("100"), day("2031-06-02"), number("8.5"), text("P1")]),
            row([number("101"), day("2031-06-02"), number("8.25"), text("P1")]),
            row([number("102"), day("2031-06-03"), number("9.125"), text("P1")]),
        ]
        .concat(),
    )
}

/// The same three loads as text.
pub(crate) const LOADS_CSV: &str =
    "Ticket,Date,Volume (CY),Placement\n100,6/2/2031,8.5,P1\n101,6/2/2031,8.25,P1\n102,6/3/2031,9.125,P1\n";

/// One record of an `.xls` stream.
pub(crate) fn record(kind: u16, data: &[u8]) -> Vec<u8> {
    [&kind.to_le_bytes(), &u16::try_from(data.len()).unwrap().to_le_bytes(), data].concat()
}

fn shorts(numbers: &[u16]) -> Vec<u8> {
    numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
}

/// A text in its cell.
pub(crate) fn label(row: u16, column: u16, text: &str) -> Vec<u8> {
    let letters =
        [shorts(&[row, column, 0, u16::try_from(text.len()).unwrap()]), vec![0], text.as_bytes().to_vec()].concat();
    record(0x0204, &letters)
}

/// A number in its cell.
pub(crate) fn number(row: u16, column: u16, value: f64) -> Vec<u8> {
    record(0x0203, &[shorts(&[row, column, 0]), value.to_le_bytes().to_vec()].concat())
}

/// The stream of an `.xls` workbook: the records of one sheet after those that say where it stands, as often as `sheets`.
pub(crate) fn xls_stream(sheet: &[u8], sheets: usize) -> Vec<u8> {
    let begin = |kind: u16| record(0x0809, &shorts(&[0x0600, kind, 0, 0, 0, 0, 0, 0]));
    let fonts = [record(0x0031, &shorts(&[200, 0])), record(0x0031, &shorts(&[200, 8]))].concat();
    let format = |font: u16| record(0x00E0, &[shorts(&[font]), vec![0; 18]].concat());
    let before = [begin(5), fonts, format(0), format(1)].concat();
    let named = |at: usize, place: u32| {
        let name = format!("S{at:05}");
        record(0x0085, &[&place.to_le_bytes()[..], &[0, 0, 6, 0], name.as_bytes()].concat())
    };
    let place = u32::try_from(before.len() + sheets * named(0, 0).len() + 4).unwrap();
    let names: Vec<u8> = (0..sheets).flat_map(|at| named(at, place)).collect();
    [before, names, record(0x000A, &[]), begin(16), sheet.to_vec(), record(0x000A, &[])].concat()
}

/// Two loads as an `.xls` workbook's stream.
pub(crate) fn loads_xls() -> Vec<u8> {
    let head: Vec<u8> = (0..)
        .zip(["Ticket", "Date", "Volume (CY)", "Placement"])
        .flat_map(|(column, text)| label(0, column, text))
        .collect();
    let row = |row, ticket, volume| {
        [number(row, 0, ticket), label(row, 1, "6/2/2031"), number(row, 2, volume), label(row, 3, "P1")].concat()
    };
    xls_stream(&[head, row(1, 100.0, 8.5), row(2, 101.0, 8.25)].concat(), 1)
}

/// A compound file with one stream.
pub(crate) fn compound(name: &str, content: &[u8]) -> Vec<u8> {
    const END: u32 = 0xFFFF_FFFE;
    const FREE: u32 = 0xFFFF_FFFF;
    let mut stream = content.to_vec();
    stream.resize(content.len().next_multiple_of(512).max(4_096), 0);
    let sectors = u32::try_from(stream.len() / 512).unwrap();
    let tables = (sectors + 2).div_ceil(127);
    let mut header = vec![0; 512];
    let mut put = |at: usize, bytes: &[u8]| header[at..at + bytes.len()].copy_from_slice(bytes);
    put(0, b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1");
    put(26, &[3, 0, 0xFE, 0xFF, 9, 0, 6, 0]);
    put(44, &tables.to_le_bytes());
    put(48, &tables.to_le_bytes());
    put(56, &4_096_u32.to_le_bytes());
    put(60, &END.to_le_bytes());
    put(68, &END.to_le_bytes());
    (0..109_u32)
        .for_each(|at| put(76 + usize::try_from(at).unwrap() * 4, &if at < tables { at } else { FREE }.to_le_bytes()));
    let table = (0..tables * 128).map(|at| match at {
        at if at < tables => 0xFFFF_FFFD,
        at if at == tables || at == tables + sectors => END,
        at if at <= tables + sectors => at + 1,
        _ => FREE,
    });
    let mut directory = vec![0; 512];
    let length = u32::try_from(stream.len()).unwrap();
    for (at, (name, start, size)) in [("Root Entry", END, 0), (name, tables + 1, length)].into_iter().enumerate() {
        let letters: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
        directory[at * 128..at * 128 + letters.len()].copy_from_slice(&letters);
        directory[at * 128 + 64] = u8::try_from(letters.len() + 2).unwrap();
        directory[at * 128 + 116..at * 128 + 120].copy_from_slice(&start.to_le_bytes());
        directory[at * 128 + 120..at * 128 + 124].copy_from_slice(&size.to_le_bytes());
    }
    [header, table.flat_map(u32::to_le_bytes).collect(), directory, stream].concat()
}

//! Whole files: text, workbooks and spreadsheets, changed as bytes and, beneath their packing, as XML or records. A file
//! is read, or refused by one finding that names it.

use std::fs;
use std::sync::OnceLock;

use slabtally::finding::{Code, Place};
use slabtally::intake::{Caps, Setting, read};
use zip::CompressionMethod;

use crate::built::{compound, loads_ods, loads_xls, loads_xlsx, packed, record, unpacked};
use crate::cells::setting;
use crate::chance::{Chance, changed};
use crate::{Outcome, Target, sound};

/// Small caps, so that an input which passes them is soon done with.
fn small() -> &'static Setting {
    static SMALL: OnceLock<Setting> = OnceLock::new();
    SMALL.get_or_init(|| {
        let caps = Caps { unpacked_bytes: 32 << 20, cells: 200_000, rows: 100_000, ..Caps::default() };
        Setting { caps, ..setting().clone() }
    })
}

fn file(input: &[u8], ending: &str) -> Outcome {
    let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
    let name = format!("field/a.{ending}");
    fs::create_dir(folder.path().join("field")).unwrap();
    fs::write(folder.path().join(&name), input).unwrap();
    let intake = read(folder.path(), small(), &|_, _| ()).map_err(|error| error.to_string())?;
    sound::intake(&intake)?;
    let is_refusal = |place: &Place| matches!(place, Place::File(of) if of.starts_with(&name));
    let refusals: Vec<_> =
        intake.findings.iter().filter(|it| it.code == Code::FileUnreadable && is_refusal(&it.place)).collect();
    if intake.files.len() + refusals.len() != 1 {
        return Err(format!("{} files were read, and {} findings refuse one", intake.files.len(), refusals.len()));
    }
    for sheet in &intake.sheets {
        sound::legible("name of a sheet", &format!("{:?}", intake.sources.sheet(sheet.id)))?;
    }
    let used = intake.sheets.iter().map(|sheet| sheet.rows.used.min(4).to_string());
    Ok(sound::shape(&intake.findings).into_iter().chain(used).collect())
}

fn csv(input: &[u8]) -> Outcome {
    file(input, "csv")
}

fn xlsx(input: &[u8]) -> Outcome {
    file(input, "xlsx")
}

fn ods(input: &[u8]) -> Outcome {
    file(input, "ods")
}

fn xls(input: &[u8]) -> Outcome {
    file(input, "xls")
}

/// Changes one part of an archive, or which parts there are, and packs it again.
fn repacked(chance: &mut Chance, from: &[u8], words: &[&str]) -> Option<Vec<u8>> {
    let mut parts = unpacked(from)?;
    let at = chance.below(parts.len());
    match chance.below(12) {
        0 => {
            parts.remove(at);
        }
        1 => {
            let copy = parts.get(at)?.clone();
            parts.push((format!("{}x", copy.0), copy.1));
        }
        _ => {
            let other = parts.get(chance.below(parts.len()))?.1.clone();
            let part = parts.get_mut(at)?;
            part.1 = changed(chance, &part.1, &other, words);
        }
    }
    Some(packed(&parts, if chance.once_in(4) { CompressionMethod::Stored } else { CompressionMethod::Deflated }))
}

fn xlsx_parts(chance: &mut Chance, from: &[u8]) -> Option<Vec<u8>> {
    repacked(chance, from, WORKBOOK)
}

fn ods_parts(chance: &mut Chance, from: &[u8]) -> Option<Vec<u8>> {
    repacked(chance, from, SPREADSHEET)
}

/// Where the stream of a file of ours begins: behind header, sector table and directory.
const STREAM: usize = 3 * 512;

/// Changes the records of an `.xls` stream, which then stands in a sound file.
fn xls_records(chance: &mut Chance, from: &[u8]) -> Option<Vec<u8>> {
    let stream = from.get(STREAM..)?;
    let mut records = records(stream);
    for _ in 0..=chance.below(4) {
        let at = chance.below(records.len());
        let (kind, data) = records.get(at)?.clone();
        match chance.below(8) {
            0 => drop(records.remove(at)),
            1 => records.insert(chance.below(records.len()), (kind, data)),
            2 => records[at].0 = *KINDS.get(chance.below(KINDS.len()))?,
            3 => {
                let kind = *KINDS.get(chance.below(KINDS.len()))?;
                let data = (0..chance.below(40)).map(|_| chance.next().to_le_bytes()[0] & 7).collect();
                records.insert(at, (kind, data));
            }
            _ => {
                records[at].1 =
                    changed(chance, &data, stream, &["\0", "\u{1}", "\u{7f}", "P1", "9", "\0\0\0\0\0\0\0\0"]);
            }
        }
    }
    let all: Vec<u8> =
        records.iter().filter(|(_, data)| data.len() < 8_225).flat_map(|(kind, data)| record(*kind, data)).collect();
    (all.len() < 60_000).then(|| compound("Workbook", &all))
}

/// Kinds of record that the readers know.
const KINDS: &[u16] = &[
    0x0809, 0x000A, 0x0031, 0x00E0, 0x041E, 0x0085, 0x002F, 0x0208, 0x00E5, 0x0006, 0x0207, 0x00BD, 0x0203, 0x0204,
    0x0205, 0x027E, 0x00FD, 0x00D6, 0x0200, 0x00FC, 0x003C, 0x0022, 0x0042, 0x0017, 0x0018, 0x04BC, 0x0221,
];

fn records(mut stream: &[u8]) -> Vec<(u16, Vec<u8>)> {
    let mut records = Vec::new();
    while let [a, b, c, d, rest @ ..] = stream {
        let length = usize::from(u16::from_le_bytes([*c, *d]));
        if (*a, *b, length) == (0, 0, 0) || length > rest.len() {
            break;
        }
        records.push((u16::from_le_bytes([*a, *b]), rest[..length].to_vec()));
        stream = &rest[length..];
    }
    records
}

const TEXT: &[&str] = &[
    ",",
    ";",
    "\t",
    "|",
    "\"",
    "\"\"",
    "\n",
    "\r",
    "\r\n",
    "\0",
    "\u{feff}",
    "sep=;\n",
    "Ticket",
    "Date",
    "Volume (CY)",
    "Placement",
    "P1",
    "8.5",
    "8,5",
    "6/2/2031",
    "Total",
    "\u{1b}[31m",
    "\u{202e}",
    "=1+1",
    "é",
    "<html>",
    "<?xml",
    "%PDF",
    "PK\u{3}\u{4}",
    " ",
    "x",
    "9\" slab",
];

const WORKBOOK: &[&str] = &[
    "<row>",
    "</row>",
    "<row r=\"2\">",
    "<row r=\"1048576\">",
    "<row r=\"4294967295\" hidden=\"1\">",
    "<c>",
    "</c>",
    "<c r=\"A2\">",
    "<c r=\"XFD1048576\">",
    "<c r=\"ZZZZZZ99999999999\">",
    " t=\"s\"",
    " t=\"b\"",
    " t=\"e\"",
    " t=\"d\"",
    " t=\"str\"",
    " t=\"inlineStr\"",
    " s=\"1\"",
    " s=\"3\"",
    " s=\"4\"",
    " s=\"99\"",
    "<v>",
    "</v>",
    "<v>1e308</v>",
    "<v>-1</v>",
    "<v>4294967296</v>",
    "<v/>",
    "<f>",
    "</f>",
    "<f t=\"shared\" si=\"0\" ref=\"A1:A9\">",
    "<is>",
    "</is>",
    "<t>",
    "</t>",
    "<si>",
    "</si>",
    "<r>",
    "<rPr><strike/></rPr>",
    "</r>",
    "<rPh>",
    "<sst uniqueCount=\"9999999\">",
    "<mergeCell ref=\"A1:XFD1048576\"/>",
    "<mergeCell ref=\"B2:A1\"/>",
    "<!DOCTYPE a [<!ENTITY b \"c\">]>",
    "&b;",
    "&#27;",
    "&#x202e;",
    "&#0;",
    "&amp;",
    "<![CDATA[",
    "]]>",
    "<!--",
    "-->",
    "<?xml version=\"1.0\" encoding=\"UTF-16\"?>",
    " date1904=\"1\"",
    "<sheet name=\"S\" sheetId=\"2\" r:id=\"b\"/>",
    " state=\"hidden\"",
    "x:",
    "worksheets/sheet1.xml",
    "sharedStrings.xml",
    "../",
    "/xl/",
    "numFmtId=\"14\"",
    "<numFmts><numFmt numFmtId=\"164\" formatCode=\"yyyy\"/></numFmts>",
    "_x000D_",
    "_x001B_",
    "#DIV/0!",
    "9.25",
    "\0",
    "\u{1b}",
    "<dimension ref=\"A1:XFD1048576\"/>",
];

const SPREADSHEET: &[&str] = &[
    "<table:table-row>",
    "</table:table-row>",
    "<table:table-cell/>",
    "<table:table-cell>",
    "</table:table-cell>",
    "<table:covered-table-cell/>",
    "<text:p>",
    "</text:p>",
    "<text:s text:c=\"9999999\"/>",
    "<text:tab/>",
    "<text:span text:style-name=\"ce1\">",
    "</text:span>",
    " table:number-rows-repeated=\"1048576\"",
    " table:number-columns-repeated=\"16384\"",
    " table:number-columns-repeated=\"99999999999\"",
    " table:number-rows-repeated=\"3\"",
    " table:number-columns-repeated=\"0\"",
    " table:number-columns-spanned=\"4294967295\"",
    " table:number-rows-spanned=\"4294967295\"",
    " office:value-type=\"float\"",
    " office:value=\"9.25\"",
    " office:value=\"NaN\"",
    " office:value=\"1e999\"",
    " office:value-type=\"date\"",
    " office:date-value=\"9999-12-31\"",
    " office:date-value=\"2031-06-02T25:00:00\"",
    " office:value-type=\"time\"",
    " office:time-value=\"PT999999999999H\"",
    " office:value-type=\"percentage\"",
    " office:value-type=\"boolean\"",
    " office:boolean-value=\"true\"",
    " table:formula=\"of:=1\"",
    " calcext:value-type=\"error\"",
    " table:style-name=\"ce1\"",
    "<office:annotation>",
    "</office:annotation>",
    "<table:table table:name=\"T\">",
    "</table:table>",
    "<table:table-source/>",
    "<table:tracked-changes>",
    "<table:shapes>",
    "&#27;",
    "&lol;",
    "<!DOCTYPE a [<!ENTITY lol \"lol\">]>",
    "<![CDATA[",
    "]]>",
    "<!--",
    "-->",
    " table:visibility=\"collapse\"",
    " style:parent-style-name=\"ce1\"",
    "\0",
];

pub(crate) fn targets() -> Vec<Target> {
    let workbook =
        vec![packed(&loads_xlsx(), CompressionMethod::Deflated), packed(&loads_xlsx(), CompressionMethod::Stored)];
    let spreadsheet =
        vec![packed(&loads_ods(), CompressionMethod::Deflated), packed(&loads_ods(), CompressionMethod::Stored)];
    vec![
        Target { name: "csv", words: TEXT, seeds: Vec::new(), try_one: csv, change: None },
        Target { name: "xlsx", words: WORKBOOK, seeds: workbook, try_one: xlsx, change: Some(xlsx_parts) },
        Target { name: "ods", words: SPREADSHEET, seeds: spreadsheet, try_one: ods, change: Some(ods_parts) },
        Target {
            name: "xls",
            words: &["\0", "\u{1}", "\u{7f}", "\0\0\0\0"],
            seeds: vec![compound("Workbook", &loads_xls())],
            try_one: xls,
            change: Some(xls_records),
        },
    ]
}

//! What a file is, by its first bytes and its members, and whether its name says the same.
//!
//! The name alone proves nothing: systems export web pages named `.xls`, and people rename files. What is not one of the
//! four kinds is refused by what it is.

use std::io::Cursor;

use memchr::memmem;
use zip::ZipArchive;

use super::compound::{Compound, SIGNATURE};
use super::received::Received;
use crate::finding::Finding;

/// The kinds that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Office Open XML workbook: `.xlsx`, `.xlsm`.
    Xlsx,
    /// Binary workbook of 1997 to 2003, and its forerunner: `.xls`.
    Xls,
    /// `OpenDocument` spreadsheet: `.ods`.
    Ods,
    /// Text with separated values: `.csv`, `.txt`, `.tsv`.
    Csv,
}

impl Kind {
    /// The kind a name promises; `None` for names of no spreadsheet.
    pub(super) fn by_name(name: &str) -> Option<Self> {
        let (_, ending) = name.rsplit_once('.')?;
        match ending.to_ascii_lowercase().as_str() {
            "xlsx" | "xlsm" => Some(Self::Xlsx),
            "xls" => Some(Self::Xls),
            "ods" => Some(Self::Ods),
            "csv" | "txt" | "tsv" => Some(Self::Csv),
            _ => None,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Xlsx => "an .xlsx workbook",
            Self::Xls => "an .xls workbook",
            Self::Ods => "an .ods spreadsheet",
            Self::Csv => "plain text",
        }
    }

    fn ending(self) -> &'static str {
        match self {
            Self::Xlsx => ".xlsx",
            Self::Xls => ".xls",
            Self::Ods => ".ods",
            Self::Csv => ".csv",
        }
    }
}

/// What the content is.
enum Content {
    /// A kind that is read.
    Read(Kind),
    /// A password stands before it.
    Locked,
    /// An archive whose list of members is missing.
    CutShort,
    /// Something else, in words.
    Other(&'static str),
}

const SAVE_AGAIN: &str = "open it in a spreadsheet program and save it as an .xlsx workbook";

/// The kind of a file where content and name agree.
pub(super) fn agreed(received: &Received<'_>) -> Result<Kind, Finding> {
    if received.bytes.is_empty() {
        return Err(
            received.refuse("the file is empty (0 bytes)", "ask for it anew, or remove it from the field folder")
        );
    }
    let named = Kind::by_name(received.shown);
    let is = match content(received.bytes) {
        Content::Read(kind) => kind,
        Content::Locked => {
            return Err(received.refuse("the file is locked with a password", "save it again without a password"));
        }
        Content::CutShort => {
            return Err(received.refuse(
                "the file is cut short or damaged: the list of its parts is missing",
                "copy it again from where it came from, or ask for it anew",
            ));
        }
        Content::Other(what) => {
            return Err(received.refuse(format!("{}the file is {what}", promise(named)), SAVE_AGAIN));
        }
    };
    match named {
        Some(named) if named == is => Ok(is),
        Some(Kind::Csv) | None => Err(received.refuse(
            format!("{}the file is {}", promise(named), is.words()),
            format!("give it a name that ends in {}", is.ending()),
        )),
        Some(_) if is == Kind::Csv => {
            Err(received.refuse(format!("{}the file is {}", promise(named), is.words()), SAVE_AGAIN))
        }
        Some(_) => Err(received.refuse(
            format!("{}the file is {}", promise(named), is.words()),
            format!("give it a name that ends in {}, or {SAVE_AGAIN}", is.ending()),
        )),
    }
}

fn promise(named: Option<Kind>) -> String {
    named.map_or_else(String::new, |kind| format!("its name promises {}, but ", kind.words()))
}

fn content(bytes: &[u8]) -> Content {
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        return packed(bytes);
    }
    if bytes.starts_with(SIGNATURE) {
        return compound(bytes);
    }
    other(bytes).or_else(|| marked_up(bytes)).map_or(Content::Read(Kind::Csv), Content::Other)
}

/// A zip archive, told by the names of its members.
fn packed(bytes: &[u8]) -> Content {
    let Ok(mut archive) = ZipArchive::new(Cursor::new(bytes)) else { return Content::CutShort };
    let has = |name: &str| archive.index_for_name(name).is_some();
    let name_starts = |start: &str| archive.file_names_raw().any(|name| name.starts_with(start.as_bytes()));
    if has("encrypted-package") {
        return Content::Locked;
    }
    if name_starts("Index/") || name_starts("Index.zip") {
        return Content::Other("a spreadsheet of a kind that this program does not read");
    }
    if has("xl/workbook.bin") {
        return Content::Other("a binary .xlsb workbook, which this program does not read");
    }
    if has("[Content_Types].xml") {
        return match (name_starts("word/"), name_starts("ppt/")) {
            (true, _) => Content::Other("a text document"),
            (_, true) => Content::Other("a slide show"),
            _ => Content::Read(Kind::Xlsx),
        };
    }
    match super::archive::small(&mut archive, "mimetype") {
        Some(kind) if kind.starts_with(b"application/vnd.oasis.opendocument.spreadsheet") => Content::Read(Kind::Ods),
        Some(kind) if kind.starts_with(b"application/vnd.oasis.opendocument") => {
            Content::Other("an OpenDocument file, but no spreadsheet")
        }
        _ => Content::Other("a .zip archive, but no workbook"),
    }
}

/// A compound file, told by the names of its streams.
fn compound(bytes: &[u8]) -> Content {
    let Some(file) = Compound::open(bytes) else { return Content::CutShort };
    let is_text = file.has("WordDocument");
    let is_show = file.has("PowerPoint Document");
    if file.has("EncryptedPackage") {
        Content::Locked
    } else if file.has("Workbook") || file.has("Book") {
        Content::Read(Kind::Xls)
    } else if is_text || is_show {
        Content::Other(if is_text { "a text document" } else { "a slide show" })
    } else {
        Content::Other("a compound file, but no workbook")
    }
}

fn other(bytes: &[u8]) -> Option<&'static str> {
    const SIGNATURES: &[(&[u8], &str)] = &[
        (b"%PDF", "a PDF document"),
        (b"{\\rtf", "a text document"),
        (b"\xFF\xD8\xFF", "a picture"),
        (b"\x89PNG", "a picture"),
        (b"GIF8", "a picture"),
        (b"II*\0", "a picture"),
        (b"MM\0*", "a picture"),
        (b"\x1F\x8B", "a packed archive"),
        (b"7z\xBC\xAF", "a packed archive"),
        (b"Rar!", "a packed archive"),
        (b"\x09\x00\x04\x00", "an .xls workbook older than 1993, which this program does not read"),
        (b"\x09\x02\x06\x00", "an .xls workbook older than 1993, which this program does not read"),
        (b"\x09\x04\x06\x00", "an .xls workbook older than 1993, which this program does not read"),
        (b"ID;P", "a SYLK spreadsheet, which this program does not read"),
    ];
    SIGNATURES.iter().find(|(signature, _)| bytes.starts_with(signature)).map(|(_, what)| *what)
}

/// Web pages and XML that pass for spreadsheets.
fn marked_up(bytes: &[u8]) -> Option<&'static str> {
    let head = &bytes[..bytes.len().min(4096)];
    let text: Vec<u8> = head.iter().copied().filter(|byte| *byte != 0).map(|b| b.to_ascii_lowercase()).collect();
    let text = text.strip_prefix(b"\xEF\xBB\xBF").or_else(|| text.strip_prefix(b"\xFF\xFE")).unwrap_or(&text);
    let text = text.trim_ascii_start();
    let has = |needle: &str| memmem::find(text, needle.as_bytes()).is_some();
    if ["<!doctype html", "<html", "<table", "<head", "<body"].iter().any(|tag| text.starts_with(tag.as_bytes())) {
        return Some("a web page");
    }
    if !text.starts_with(b"<?xml") {
        return None;
    }
    Some(if has("<html") {
        "a web page"
    } else if has("urn:schemas-microsoft-com:office:spreadsheet") || has("office:document") {
        "a spreadsheet in a single XML file, which this program does not read"
    } else {
        "an XML file"
    })
}

#[cfg(test)]
mod tests {
    use zip::CompressionMethod;

    use super::super::samples::{compound, packed, refusal, simple, spreadsheet};

    #[test]
    fn a_name_that_promises_another_kind_is_refused() {
        for (bytes, name, what) in [
            (simple(""), "field/a.xls", "an .xlsx workbook"),
            (simple(""), "field/a.csv", "an .xlsx workbook"),
            (spreadsheet("", ""), "field/a.xlsx", "an .ods spreadsheet"),
            (compound("Workbook", b""), "field/a.xlsx", "an .xls workbook"),
            (b"Ticket,Volume\n".to_vec(), "field/a.xlsx", "plain text"),
            (b"\r\n<!DOCTYPE html><html>".to_vec(), "field/a.xls", "a web page"),
            (b"<html><table>".to_vec(), "field/a.csv", "a web page"),
            (b"%PDF-1.7".to_vec(), "field/a.xlsx", "a PDF document"),
            (compound("WordDocument", b""), "field/a.xls", "a text document"),
            (
                packed(&[("notes.txt", b"x")], CompressionMethod::Stored),
                "field/a.xlsx",
                "a .zip archive, but no workbook",
            ),
        ] {
            let message = refusal(&bytes, name);
            assert!(message.starts_with("its name promises ") && message.ends_with(what), "{name}: {message}");
        }
    }

    #[test]
    fn a_locked_workbook_is_refused_as_locked() {
        let locked = "the file is locked with a password";
        assert_eq!(refusal(&compound("EncryptedPackage", b""), "field/a.xlsx"), locked);
        let manifest = b"<manifest:file-entry><manifest:encryption-data/></manifest:file-entry>";
        let members: [(&str, &[u8]); 3] = [
            ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
            ("META-INF/manifest.xml", manifest),
            ("content.xml", b"\x01\x02"),
        ];
        assert_eq!(refusal(&packed(&members, CompressionMethod::Stored), "field/a.ods"), locked);
    }
}

//! Reads every member of a packed workbook to its end, so that its checksum is compared, and looks into its sheets on
//! the way.
//!
//! One flipped bit can otherwise come out as a wrong number: a reader that stops at the last row never reaches the
//! checksum. Sizes that the archive declares are not believed: what comes out is counted while it comes.

use std::collections::BTreeMap;
use std::io::{Cursor, Read};

use memchr::memmem;
use zip::ZipArchive;
use zip::result::ZipError;

use super::marks::Marks;
use super::received::{Received, size};
use crate::finding::Finding;

/// An archive over bytes in memory.
pub(super) type Archive<'a> = ZipArchive<Cursor<&'a [u8]>>;

/// More members than any workbook people fill by hand.
const MOST_MEMBERS: usize = 10_000;

/// Longest tag in a part that describes styles: its attributes are names and formats of at most 255 characters.
const LONGEST_STYLE_TAG: usize = 8_192;

/// Most cell formats a workbook can have is 65,490, once for cells and once for named styles.
const MOST_FORMATS: usize = 140_000;

/// What was seen in the members, by name in lower case.
pub(super) type Seen = BTreeMap<String, Marks>;

/// Reads all members; refuses the file where one is damaged, locked, or unpacks to more than is allowed.
pub(super) fn checked<'a>(received: &Received<'a>) -> Result<(Archive<'a>, Seen), Finding> {
    if memmem::find_iter(received.bytes, b"PK\x01\x02").take(MOST_MEMBERS + 1).count() > MOST_MEMBERS {
        return Err(received.refuse(
            format!("the file has more than {MOST_MEMBERS} parts inside, which no spreadsheet needs"),
            "ask for it anew",
        ));
    }
    let mut archive = ZipArchive::new(Cursor::new(received.bytes)).map_err(|error| damaged(received, &error))?;
    let mut seen = Seen::new();
    let mut left = received.caps.unpacked_bytes;
    for index in 0..archive.len() {
        let mut member = archive.by_index(index).map_err(|error| damaged(received, &error))?;
        let name = member.name().map_err(|error| damaged(received, &error))?.replace('\\', "/").to_ascii_lowercase();
        if !is_named_twice_alike(received.bytes, member.header_start(), member.name_raw()) {
            return Err(received.refuse(
                format!("the file is damaged: its part {name} has another name in the list of parts"),
                "copy it again from where it came from, or ask for it anew",
            ));
        }
        let marks = drain(received, &mut member, &name, &mut left)?;
        if seen.insert(name.clone(), marks).is_some() {
            return Err(received.refuse(
                format!("two of its parts have the name {name}, and programs would read the one or the other"),
                "open it in a spreadsheet program and save it again, or ask for it anew",
            ));
        }
    }
    Ok((archive, seen))
}

/// Whether a part bears the name that the list of parts gives it. No checksum covers the list: with one flipped bit in it a
/// workbook would have lost its texts without a word.
fn is_named_twice_alike(bytes: &[u8], part: u64, name: &[u8]) -> bool {
    let named = || {
        let header = bytes.get(usize::try_from(part).ok()?..)?;
        let length = usize::from(u16::from_le_bytes(header.get(26..28)?.try_into().ok()?));
        header.get(30..30 + length)
    };
    named() == Some(name)
}

/// Reads one member to its end.
fn drain(received: &Received<'_>, member: &mut impl Read, name: &str, left: &mut u64) -> Result<Marks, Finding> {
    let mut marks = Marks::of(name);
    let mut buffer = vec![0; 1 << 17];
    let mut unpacked = 0_u64;
    loop {
        let read = member.read(&mut buffer).map_err(|error| broken(received, name, &error))?;
        if read == 0 {
            break;
        }
        *left = left.checked_sub(u64::try_from(read).unwrap_or(u64::MAX)).ok_or_else(|| {
            received.refuse(
                format!("the file unpacks to more than {}", size(received.caps.unpacked_bytes)),
                "split it into smaller files; a small file that unpacks so large may be meant to do harm",
            )
        })?;
        unpacked = unpacked.saturating_add(u64::try_from(read).unwrap_or(u64::MAX));
        if marks.are_texts() && unpacked > received.caps.text_bytes {
            return Err(received.refuse(
                format!("its list of texts takes more than {}", size(received.caps.text_bytes)),
                "split it into smaller files",
            ));
        }
        marks.feed(&buffer[..read]);
    }
    sane(received, &marks)?;
    Ok(marks)
}

/// Counts beyond which the reader of workbooks would ask for more memory than the caps allow.
fn sane(received: &Received<'_>, marks: &Marks) -> Result<(), Finding> {
    let too_many = marks.longest_style_tag > LONGEST_STYLE_TAG
        || marks.formats > MOST_FORMATS
        || u64::try_from(marks.texts).unwrap_or(u64::MAX) > received.caps.cells
        || u64::try_from(marks.promised_texts).unwrap_or(u64::MAX) > received.caps.cells;
    if too_many {
        return Err(received.refuse(
            "the file's lists of texts or cell formats are not those of a spreadsheet that people filled",
            "open it in a spreadsheet program and save it again, or ask for it anew",
        ));
    }
    Ok(())
}

/// A small member whole; `None` where it is missing, damaged or larger than 64 KiB.
pub(super) fn small(archive: &mut Archive<'_>, name: &str) -> Option<Vec<u8>> {
    let mut content = Vec::new();
    let member = archive.by_name(name).ok()?;
    member.take(1 << 16).read_to_end(&mut content).ok()?;
    Some(content)
}

fn damaged(received: &Received<'_>, error: &ZipError) -> Finding {
    match error {
        ZipError::UnsupportedArchive(ZipError::PASSWORD_REQUIRED) | ZipError::InvalidPassword => {
            received.refuse("the file is locked with a password", "save it again without a password")
        }
        ZipError::CompressionMethodNotSupported(_) | ZipError::UnsupportedArchive(_) => received.refuse(
            "the file is packed by a method that this program does not read",
            "open it in a spreadsheet program and save it again",
        ),
        _ => received.refuse(
            "the file is cut short or damaged: the list of its parts does not agree with them",
            "copy it again from where it came from, or ask for it anew",
        ),
    }
}

fn broken(received: &Received<'_>, name: &str, error: &std::io::Error) -> Finding {
    let how = if error.to_string().contains("checksum") { "does not match its checksum" } else { "cannot be unpacked" };
    received.refuse(
        format!("the file is damaged: its part {name} {how}, so its numbers cannot be trusted"),
        "copy it again from where it came from, or ask for it anew",
    )
}

#[cfg(test)]
mod tests {
    use calamine::{Data, Reader, Xlsx};
    use zip::CompressionMethod;

    use super::super::samples::{cells, packed, refusal, refusal_within, simple, workbook};
    use super::*;
    use crate::intake::setting::Caps;

    const CORE: &str = r#"<row r="1"><c r="A1"><v>9.18</v></c></row>"#;

    /// Why every part is read to its end: without that, this file says 9.19 in.
    #[test]
    fn a_flipped_bit_is_refused_where_it_would_read_as_another_thickness() {
        let mut bytes = workbook(CORE, "", &[], CompressionMethod::Stored);
        assert_eq!(cells(&bytes, "field/cores.xlsx"), ["A1 9.18"]);
        let at = memmem::find(&bytes, b"9.18").unwrap() + 3;
        bytes[at] ^= 1;
        let mut unguarded: Xlsx<_> = Xlsx::new(Cursor::new(&bytes[..])).unwrap();
        assert_eq!(unguarded.worksheet_range("Cores").unwrap().get_value((0, 0)), Some(&Data::Float(9.19)));
        let message = refusal(&bytes, "field/cores.xlsx");
        assert!(message.contains("part xl/worksheets/sheet1.xml does not match its checksum"), "{message}");
    }

    #[test]
    fn a_workbook_cut_short_anywhere_is_refused() {
        let whole = simple(CORE);
        for end in (0..whole.len()).step_by(97).chain([1, 4, 30, whole.len() - 1]) {
            let message = refusal(&whole[..end], "field/cores.xlsx");
            assert!(message.starts_with("the file") || message.starts_with("its name"), "cut at {end}: {message}");
        }
    }

    #[test]
    fn a_part_that_unpacks_without_end_is_refused_while_it_unpacks() {
        let bomb = vec![b' '; 3 << 20];
        let text = String::from_utf8(bomb).unwrap();
        let bytes = workbook(CORE, "", &[("xl/media/image1.png", &text)], CompressionMethod::Deflated);
        assert!(bytes.len() < 10_000);
        let caps = Caps { unpacked_bytes: 1 << 20, ..Caps::default() };
        assert_eq!(refusal_within(&bytes, "field/cores.xlsx", &caps), "the file unpacks to more than 1 MB");
    }

    #[test]
    fn lists_that_promise_more_than_they_hold_are_refused() {
        let texts = r#"<sst uniqueCount="900000000000"><si><t>N1</t></si></sst>"#;
        let bytes = workbook(CORE, "", &[("xl/sharedStrings.xml", texts)], CompressionMethod::Deflated);
        assert!(refusal(&bytes, "field/cores.xlsx").starts_with("the file's lists of texts or cell formats"));
    }

    #[test]
    fn too_many_parts_are_refused() {
        let names: Vec<String> = (0..=MOST_MEMBERS).map(|at| at.to_string()).collect();
        let members: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b""[..])).collect();
        let mut all: Vec<(&str, &[u8])> = vec![("[Content_Types].xml", b"")];
        all.extend(members);
        assert!(refusal(&packed(&all, CompressionMethod::Stored), "field/a.xlsx").contains("more than 10000 parts"));
    }
}

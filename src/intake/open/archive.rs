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
        let marks = drain(received, &mut member, &name, &mut left)?;
        seen.insert(name, marks);
    }
    Ok((archive, seen))
}

/// Reads one member to its end.
fn drain(received: &Received<'_>, member: &mut impl Read, name: &str, left: &mut u64) -> Result<Marks, Finding> {
    let mut marks = Marks::of(name);
    let mut buffer = vec![0; 1 << 17];
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
        || marks.promised_texts > marks.texts.saturating_mul(4).saturating_add(1_024);
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

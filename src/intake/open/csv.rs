//! Text with separated values: its encoding, what separates the values, and its records (RFC 4180, read with the patience
//! that real exports need).
//!
//! Every record is a row, blank ones too, so that row 214 here is row 214 in a spreadsheet program. Quotation marks
//! matter only where they open a value: `9" slab` is text with an inch mark. All values stay text.

use std::borrow::Cow;
use std::collections::BTreeMap;

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::received::{Filling, Received};
use crate::finding::{Code, Finding, Place};
use crate::intake::raw::{RawSheet, RawValue};

/// What may separate values, the one taken first when nothing decides between them.
const SEPARATORS: [char; 4] = [',', ';', '\t', '|'];

/// Lines looked at to find what separates values.
const LINES_LOOKED_AT: usize = 200;

/// The one sheet of a text file, and a note where its encoding had to be assumed.
pub(super) fn read(received: &Received<'_>) -> Result<(RawSheet, Vec<Finding>), Finding> {
    let (text, notes) = decoded(received)?;
    let (separator, text) = declared(&text).unwrap_or_else(|| (separator(&text), &text));
    let mut sheet = received.sheet(None);
    sheet.semicolons = separator == ';';
    let mut filling = Filling::new(received);
    let mut records = Records::new(text, separator);
    while let Some((row, column, value)) = records.next_value() {
        if !value.is_empty() {
            filling.add(&mut sheet, (row, column), RawValue::Text(value.into()), false)?;
        }
    }
    match records.left_open {
        None => Ok((filling.close(sheet)?, notes)),
        Some((row, column)) => Err(received.refuse(
            format!(
                "a quotation mark opens the value in row {}, column {}, and none closes it",
                u64::from(row) + 1,
                u64::from(column) + 1
            ),
            "close or remove that quotation mark; the rest of the file cannot be told apart from the value",
        )),
    }
}

/// The text behind the bytes: by its byte order mark, else UTF-8 where valid, else windows-1252.
fn decoded<'a>(received: &Received<'a>) -> Result<(Cow<'a, str>, Vec<Finding>), Finding> {
    let marked: Option<(&'static Encoding, usize)> = Encoding::for_bom(received.bytes);
    let (encoding, assumed) = match marked {
        Some((encoding, _)) => (encoding, false),
        None if std::str::from_utf8(received.bytes).is_ok() => (UTF_8, false),
        None => (WINDOWS_1252, true),
    };
    let is_wide = encoding == UTF_16LE || encoding == UTF_16BE;
    if !is_wide && let Some(at) = memchr::memchr(0, received.bytes) {
        return Err(received.refuse(
            format!("byte {} is zero, which no text holds: the file is damaged, or is not text", at + 1),
            "save it again as CSV in UTF-8, or as an .xlsx workbook",
        ));
    }
    let (text, _, damaged) = encoding.decode(received.bytes);
    if damaged || text.contains('\0') {
        return Err(received.refuse(
            format!("its first bytes say {}, but the text does not follow that encoding", encoding.name()),
            "save it again as CSV in UTF-8, or ask for it anew",
        ));
    }
    let note = Finding::new(
        Code::EncodingAssumed,
        Place::File(received.shown.to_owned()),
        "the text is not UTF-8; it was read as windows-1252, and letters with accents and signs may read differently",
        "look at names and remarks with accents; save it as CSV in UTF-8 to be sure",
    );
    Ok((text, if assumed { vec![note] } else { Vec::new() }))
}

/// Some programs write what separates values into a first line of its own, `sep=;`, which they then do not count as a row.
fn declared(text: &str) -> Option<(char, &str)> {
    let mut letters = text.strip_prefix("sep=")?.chars();
    let separator = letters.next().filter(|it| SEPARATORS.contains(it))?;
    let rest = letters.as_str();
    let rest = rest.strip_prefix("\r\n").or_else(|| rest.strip_prefix('\n')).or_else(|| rest.strip_prefix('\r'))?;
    Some((separator, rest))
}

/// The separator that splits most of the first lines into one and the same number of values.
fn separator(text: &str) -> char {
    let agreement = |separator: &char| {
        let mut last_columns: Vec<u32> = Vec::new();
        let mut records = Records::new(text, *separator);
        while let Some((row, column, _)) = records.next_value() {
            match last_columns.last_mut() {
                Some(last) if column > 0 => *last = column,
                _ if usize::try_from(row).is_ok_and(|row| row < LINES_LOOKED_AT) => last_columns.push(column),
                _ => break,
            }
        }
        let mut lines = BTreeMap::<u32, usize>::new();
        for last in last_columns.into_iter().filter(|last| *last > 0) {
            *lines.entry(last).or_default() += 1;
        }
        lines.into_values().max().unwrap_or(0)
    };
    // The last of equals wins a maximum, so the order is turned round.
    SEPARATORS.iter().rev().copied().max_by_key(agreement).unwrap_or(',')
}

/// Walks over the values of a text.
struct Records<'a> {
    rest: &'a str,
    separator: char,
    at: Option<(u32, u32)>,
    left_open: Option<(u32, u32)>,
}

impl<'a> Records<'a> {
    fn new(text: &'a str, separator: char) -> Self {
        Self { rest: text, separator, at: (!text.is_empty()).then_some((0, 0)), left_open: None }
    }

    /// Row, column and text of the next value; a blank line is one empty value.
    fn next_value(&mut self) -> Option<(u32, u32, Cow<'a, str>)> {
        let (row, column) = self.at?;
        let value = if self.rest.starts_with('"') { self.quoted() } else { Cow::Borrowed(self.plain()) };
        let mut letters = self.rest.chars();
        self.at = match letters.next() {
            None => None,
            Some(it) if it == self.separator => Some((row, column + 1)),
            Some('\r') if letters.as_str().starts_with('\n') => {
                letters.next();
                Some((row.saturating_add(1), 0))
            }
            Some(_) => Some((row.saturating_add(1), 0)),
        };
        self.rest = letters.as_str();
        // A line end closes the last record; it opens no further one.
        if self.rest.is_empty() && self.at.is_some_and(|(_, column)| column == 0) {
            self.at = None;
        }
        Some((row, column, value))
    }

    /// Up to the separator or the end of the line.
    fn plain(&mut self) -> &'a str {
        let end = self.rest.find([self.separator, '\n', '\r']).unwrap_or(self.rest.len());
        let (value, rest) = self.rest.split_at(end);
        self.rest = rest;
        value
    }

    /// Between quotation marks, two of them standing for one; what follows the closing mark is kept too.
    fn quoted(&mut self) -> Cow<'a, str> {
        let mut value = Cow::Borrowed("");
        let mut inside = &self.rest[1..];
        loop {
            let Some(mark) = inside.find('"') else {
                self.left_open = self.left_open.or(self.at);
                self.rest = "";
                value += inside;
                return value;
            };
            value += &inside[..mark];
            inside = &inside[mark + 1..];
            match inside.strip_prefix('"') {
                Some(rest) => {
                    value += "\"";
                    inside = rest;
                }
                None => break,
            }
        }
        self.rest = inside;
        let tail = self.plain();
        value += tail;
        value
    }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{cells, opened, refusal};
    use super::*;

    fn read_out(bytes: &[u8]) -> Vec<String> {
        cells(bytes, "field/loads.csv")
    }

    fn wide(text: &str, order: fn(u16) -> [u8; 2]) -> Vec<u8> {
        std::iter::once(0xFEFF).chain(text.encode_utf16()).flat_map(order).collect()
    }

    #[test]
    fn encodings_are_told_by_their_mark_or_by_being_valid() {
        let expected = ["A1 Straße", "B1 8.0"];
        assert_eq!(read_out("Straße,8.0\n".as_bytes()), expected);
        assert_eq!(read_out("\u{FEFF}Straße,8.0\n".as_bytes()), expected);
        assert_eq!(read_out(&wide("Straße,8.0\n", u16::to_le_bytes)), expected);
        assert_eq!(read_out(&wide("Straße,8.0\n", u16::to_be_bytes)), expected);
    }

    #[test]
    fn what_is_not_utf_8_is_windows_1252_and_said_so() {
        let file = opened(b"Stra\xDFe,8.0\n", "field/loads.csv").unwrap();
        assert_eq!(super::super::samples::spoken(&file.sheets[0]), ["A1 Straße", "B1 8.0"]);
        assert_eq!(file.notes.iter().map(|note| note.code).collect::<Vec<_>>(), [Code::EncodingAssumed]);
    }

    #[test]
    fn the_separator_is_the_one_most_lines_agree_on() {
        assert_eq!(
            read_out(b"Ticket;Volume\n88213;8,0\n88214;7,5\n"),
            ["A1 Ticket", "B1 Volume", "A2 88213", "B2 8,0", "A3 88214", "B3 7,5"]
        );
        assert_eq!(read_out(b"Lane\tDepth, in\nN1\t9\n"), ["A1 Lane", "B1 Depth, in", "A2 N1", "B2 9"]);
        assert_eq!(read_out(b"a|b\nc|d\n"), ["A1 a", "B1 b", "A2 c", "B2 d"]);
        assert_eq!(read_out(b"a,b;c\n"), ["A1 a", "B1 b;c"]);
        assert_eq!(read_out(b"sep=;\na,x;b\n"), ["A1 a,x", "B1 b"]);
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_program_shows_them() {
        let expected = ["A1 a", "A3 b", "B3 two\nlines", "A4 c"];
        for end in ["\n", "\r\n", "\r"] {
            let text = ["a", "", "b,\"two\nlines\"", "c", ""].join(end);
            assert_eq!(read_out(text.as_bytes()), expected, "{end:?}");
        }
    }

    #[test]
    fn quotation_marks_matter_only_where_they_open_a_value() {
        assert_eq!(
            read_out(b"9\" slab,\"said \"\"stop\"\", then left\",\"6\"x12\n"),
            ["A1 9\" slab", "B1 said \"stop\", then left", "C1 6x12"]
        );
    }

    #[test]
    fn a_quotation_mark_left_open_is_refused_where_it_opens() {
        let message = refusal(b"a,b\nc,\"d\ne,f\n", "field/loads.csv");
        assert_eq!(message, "a quotation mark opens the value in row 2, column 2, and none closes it");
    }

    #[test]
    fn zero_bytes_and_broken_wide_text_are_no_text() {
        assert!(refusal(b"a,b\n\0,c\n", "field/loads.csv").starts_with("byte 5 is zero"));
        assert!(refusal(b"\xFF\xFEa\0\x00\xD8", "field/loads.csv").contains("does not follow that encoding"));
        assert!(refusal(b"", "field/loads.csv").contains("0 bytes"));
    }
}

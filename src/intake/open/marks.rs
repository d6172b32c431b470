//! Looks at the tags of a workbook's parts as they are unpacked: hidden rows, merged areas, and counts that guard memory.
//!
//! Only tags that matter are looked into, so that this costs little beside unpacking. It reads no values, and
//! does not tell comments from tags: no program writes rows into comments.

use memchr::{memchr, memrchr};

/// A merged area: first row, first column, last row, last column, from 0.
type Area = (u32, u16, u32, u16);

/// What the tags of one part say.
#[derive(Debug, Default)]
pub(super) struct Marks {
    /// Rows hidden, from 0.
    pub(super) hidden_rows: Vec<u32>,
    /// Merged areas.
    pub(super) merged: Vec<Area>,
    /// Texts in the list of shared texts.
    pub(super) texts: usize,
    /// Texts that list promises.
    pub(super) promised_texts: usize,
    /// True where a text is struck out letter by letter.
    pub(super) struck_texts: bool,
    /// Cell formats.
    pub(super) formats: usize,
    /// Longest tag of a part about styles.
    pub(super) longest_style_tag: usize,
    part: Part,
    carry: Vec<u8>,
    next_row: u32,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Part {
    #[default]
    Other,
    Texts,
    Styles,
}

/// A tag longer than this is not looked into.
const LONGEST_TAG: usize = 1 << 16;

impl Marks {
    /// Nothing seen yet of the part of that name, which is in lower case.
    pub(super) fn of(name: &str) -> Self {
        let part = if name.ends_with("sharedstrings.xml") {
            Part::Texts
        } else if name.ends_with("/styles.xml") {
            Part::Styles
        } else {
            Part::Other
        };
        Self { part, ..Self::default() }
    }

    /// Whether the part is the list of shared texts, which its reader holds whole.
    pub(super) fn are_texts(&self) -> bool {
        self.part == Part::Texts
    }

    /// Looks at the next bytes; a tag may be split between two calls.
    pub(super) fn feed(&mut self, bytes: &[u8]) {
        let mut rest = bytes;
        if !self.carry.is_empty() {
            let Some(end) = memchr(b'>', rest) else { return self.keep(rest) };
            self.carry.extend_from_slice(&rest[..=end]);
            let carried = std::mem::take(&mut self.carry);
            self.tags(&carried);
            rest = &rest[end + 1..];
        }
        match memrchr(b'<', rest) {
            Some(last) if memchr(b'>', &rest[last..]).is_none() => {
                self.tags(&rest[..last]);
                self.keep(&rest[last..]);
            }
            _ => self.tags(rest),
        }
    }

    fn keep(&mut self, bytes: &[u8]) {
        if self.part == Part::Styles {
            self.longest_style_tag = self.longest_style_tag.max(self.carry.len() + bytes.len());
        }
        if self.carry.len() + bytes.len() <= LONGEST_TAG {
            self.carry.extend_from_slice(bytes);
        }
    }

    fn tags(&mut self, bytes: &[u8]) {
        let mut at = 0;
        while let Some(open) = memchr(b'<', &bytes[at..]) {
            at += open + 1;
            match bytes.get(at) {
                None => return,
                Some(b'/' | b'!' | b'?') => {}
                Some(_) => at = self.tag(bytes, at),
            }
        }
    }

    /// One tag from its name on; returns where to look on.
    fn tag(&mut self, bytes: &[u8], at: usize) -> usize {
        let name_len =
            bytes[at..].iter().take(64).take_while(|b| !matches!(b, b' ' | b'>' | b'/' | b'\n' | b'\r' | b'\t'));
        let end = at + name_len.count();
        let name = &bytes[at..end];
        let local = name.iter().position(|b| *b == b':').map_or(name, |colon| &name[colon + 1..]);
        match (self.part, local) {
            (Part::Other, b"row" | b"mergeCell") | (Part::Texts, b"sst" | b"si" | b"strike") | (Part::Styles, _) => {
                let close = memchr(b'>', &bytes[end..]).map_or(bytes.len(), |close| end + close);
                self.look(local, &bytes[end..close]);
                close
            }
            _ => end,
        }
    }

    fn look(&mut self, name: &[u8], attributes: &[u8]) {
        match (self.part, name) {
            (Part::Other, b"row") => self.row(attributes),
            (Part::Other, _) => self.merged.extend(attribute(attributes, b"ref").and_then(area)),
            (Part::Texts, b"si") => self.texts += 1,
            (Part::Texts, b"strike") => self.struck_texts |= !is_false(attribute(attributes, b"val")),
            (Part::Texts, _) => {
                let promised = attribute(attributes, b"uniqueCount").and_then(|count| std::str::from_utf8(count).ok());
                self.promised_texts = promised.and_then(|count| count.parse().ok()).unwrap_or(0);
            }
            (Part::Styles, _) => {
                self.formats += usize::from(name == b"xf");
                self.longest_style_tag = self.longest_style_tag.max(attributes.len());
            }
        }
    }

    fn row(&mut self, attributes: &[u8]) {
        let written = attribute(attributes, b"r").and_then(number);
        let row = written.and_then(|row| row.checked_sub(1)).unwrap_or(self.next_row);
        self.next_row = row.saturating_add(1);
        if attribute(attributes, b"hidden").is_some_and(|hidden| !is_false(Some(hidden))) {
            self.hidden_rows.push(row);
        }
    }
}

/// An XML Schema boolean that says no. A bare mark says yes.
fn is_false(value: Option<&[u8]>) -> bool {
    matches!(value, Some(b"0" | b"false"))
}

/// The value of an attribute by its exact name.
fn attribute<'a>(attributes: &'a [u8], name: &[u8]) -> Option<&'a [u8]> {
    let mut rest = attributes;
    loop {
        rest = rest.trim_ascii_start();
        let equals = memchr(b'=', rest)?;
        let found = rest[..equals].trim_ascii_end();
        let value = rest[equals + 1..].trim_ascii_start();
        let (quote, value) = value.split_first()?;
        let end = memchr(*quote, value)?;
        if found == name {
            return Some(&value[..end]);
        }
        rest = &value[end + 1..];
    }
}

fn number(digits: &[u8]) -> Option<u32> {
    std::str::from_utf8(digits).ok()?.parse().ok()
}

/// `B2:D5`, or `B2` alone.
fn area(reference: &[u8]) -> Option<Area> {
    let colon = memchr(b':', reference);
    let (first, last) = colon.map_or((reference, reference), |at| (&reference[..at], &reference[at + 1..]));
    let ((top, left), (bottom, right)) = (address(first)?, address(last)?);
    Some((top.min(bottom), left.min(right), top.max(bottom), left.max(right)))
}

/// `B2` as row and column from 0.
pub(super) fn address(cell: &[u8]) -> Option<(u32, u16)> {
    let digits = cell.iter().position(u8::is_ascii_digit)?;
    let mut column = 0_u32;
    for letter in &cell[..digits] {
        let place = u32::from(letter.to_ascii_uppercase().checked_sub(b'A')?) + 1;
        column = column.checked_mul(26)?.checked_add(place)?;
    }
    Some((number(&cell[digits..])?.checked_sub(1)?, u16::try_from(column.checked_sub(1)?).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: &[u8] =
        br#"<x:worksheet><x:sheetData><x:row r="3" hidden="1"><x:c r="A3"/></x:row><x:row hidden="false"/>
        <x:row ht="2" hidden='true' /></x:sheetData><mergeCells><mergeCell ref="B2:D5"/>
        <mergeCell ref="AA7"/></mergeCells></x:worksheet>"#;

    #[test]
    fn tags_are_seen_wherever_the_bytes_are_split() {
        for size in 1..SHEET.len() {
            let mut marks = Marks::of("xl/worksheets/sheet1.xml");
            SHEET.chunks(size).for_each(|chunk| marks.feed(chunk));
            assert_eq!(marks.hidden_rows, [2, 4], "in pieces of {size}");
            assert_eq!(marks.merged, [(1, 1, 4, 3), (6, 26, 6, 26)], "in pieces of {size}");
        }
    }
}

//! Texts of an `.xlsx` workbook that are struck out letter by letter, not by their cell's font (ECMA-376 part 1, sections
//! 18.4.4 and 18.4.10).
//!
//! A correction by hand often looks so: the old number struck through, the new one beside it, both in one cell. Read
//! plainly, `9.0` struck before `9.5` would be one number that nobody wrote. Only the workbook's shared list of texts is
//! looked into.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader};

use quick_xml::events::{BytesStart, Event};
use quick_xml::{Error, Reader};

use super::archive::Archive;
use super::marks::address;
use super::xml::{attribute, resolved};

/// How much of a text is struck out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Strike {
    /// All of it.
    Whole,
    /// Some of it.
    Part,
}

/// The struck texts of a list of shared texts, by their place in it.
pub(super) fn of_list(list: &[u8]) -> Result<BTreeMap<usize, Strike>, Error> {
    let mut reader = Reader::from_reader(list);
    reader.config_mut().expand_empty_elements = true;
    let mut found = BTreeMap::new();
    let mut text = Text::default();
    let mut place = 0;
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer)? {
            Event::Start(element) => text.start(&element),
            Event::Text(letters) => text.take(&letters.xml10_content()),
            Event::GeneralRef(reference) => text.take(&resolved(&reference)),
            Event::End(element) if element.local_name().as_ref() == "si" => {
                found.extend(text.strike().map(|strike| (place, strike)));
                text = Text::default();
                place += 1;
            }
            Event::End(element) => text.end(element.local_name().as_ref()),
            Event::Eof => return Ok(found),
            _ => {}
        }
    }
}

/// A shared text while its runs are read.
#[derive(Default)]
struct Text {
    is_inside: bool,
    is_reading_aid: bool,
    run_is_struck: bool,
    struck_letters: usize,
    plain_letters: usize,
}

impl Text {
    fn start(&mut self, element: &BytesStart<'_>) {
        match element.local_name().as_ref() {
            "r" => self.run_is_struck = false,
            "strike" => self.run_is_struck = !matches!(attribute(element, "val").as_deref(), Some("0" | "false")),
            "rPh" => self.is_reading_aid = true,
            "t" => self.is_inside = !self.is_reading_aid,
            _ => {}
        }
    }

    fn end(&mut self, name: &str) {
        match name {
            "t" => self.is_inside = false,
            "rPh" => self.is_reading_aid = false,
            "r" => self.run_is_struck = false,
            _ => {}
        }
    }

    fn take(&mut self, letters: &str) {
        if self.is_inside {
            let count = if self.run_is_struck { &mut self.struck_letters } else { &mut self.plain_letters };
            *count += letters.trim().len();
        }
    }

    fn strike(&self) -> Option<Strike> {
        (self.struck_letters > 0).then_some(if self.plain_letters > 0 { Strike::Part } else { Strike::Whole })
    }
}

/// The cells of a sheet that show one of those texts, by row and column.
pub(super) fn cells_with(
    archive: &mut Archive<'_>,
    part: &str,
    texts: &BTreeMap<usize, Strike>,
) -> Result<BTreeMap<(u32, u16), Strike>, Error> {
    let same = |name: &[u8]| String::from_utf8_lossy(name).replace('\\', "/").eq_ignore_ascii_case(part);
    let index = archive.file_names_raw().position(same);
    let Some(Ok(member)) = index.map(|index| archive.by_index(index)) else { return Ok(BTreeMap::new()) };
    let mut reader = Reader::from_reader(BufReader::with_capacity(1 << 16, member));
    reader.config_mut().expand_empty_elements = true;
    cells(&mut reader, texts)
}

fn cells<R: BufRead>(
    reader: &mut Reader<R>,
    texts: &BTreeMap<usize, Strike>,
) -> Result<BTreeMap<(u32, u16), Strike>, Error> {
    let mut found = BTreeMap::new();
    let mut next = (0_u32, 0_u16);
    let mut shows_shared = false;
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer)? {
            Event::Start(element) => match element.local_name().as_ref() {
                "row" => next = (row(&element).unwrap_or(next.0), 0),
                "c" => {
                    next = attribute(&element, "r").and_then(|cell| address(cell.as_bytes())).unwrap_or(next);
                    shows_shared = attribute(&element, "t").is_some_and(|kind| kind == "s");
                }
                _ => {}
            },
            Event::Text(letters) if shows_shared => {
                let strike = letters.xml10_content().trim().parse().ok().and_then(|place: usize| texts.get(&place));
                found.extend(strike.map(|strike| (next, *strike)));
            }
            Event::End(element) => match element.local_name().as_ref() {
                "row" => next = (next.0.saturating_add(1), 0),
                "c" => (next.1, shows_shared) = (next.1.saturating_add(1), false),
                _ => {}
            },
            Event::Eof => return Ok(found),
            _ => {}
        }
    }
}

fn row(element: &BytesStart<'_>) -> Option<u32> {
    attribute(element, "r")?.parse::<u32>().ok()?.checked_sub(1)
}

//! The text an `.ods` cell shows: its paragraphs joined by line breaks, without remarks and drawings (OASIS `OpenDocument`
//! 1.3 part 3, section 6).

use std::io::BufRead;

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::ods_styles::Styles;
use super::xml::{attribute, resolved};

/// Text as shown, and how much of it is struck out within the cell.
#[derive(Debug, Default)]
pub(super) struct Shown {
    pub(super) text: String,
    /// All of it is struck out.
    pub(super) struck: bool,
    /// Some of it is.
    pub(super) partly_struck: bool,
}

/// More blanks than this in a row say nothing more.
const MOST_BLANKS: usize = 1_024;

/// Reads to the end of the cell. `None` where the file ends first.
pub(super) fn shown<R: BufRead>(
    reader: &mut Reader<R>,
    cell: &BytesStart<'_>,
    styles: &Styles,
) -> Result<Option<Shown>, quick_xml::Error> {
    let mut gathering = Gathering::default();
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer)? {
            Event::Start(element) if is_text(element.name().as_ref()) => gathering.open(&element, styles),
            Event::Start(element) => {
                reader.read_to_end_into(element.name(), &mut Vec::new())?;
            }
            Event::Text(text) if gathering.is_inside() => gathering.take(&text.xml10_content()),
            Event::CData(text) if gathering.is_inside() => gathering.take(&text.xml10_content()),
            Event::GeneralRef(reference) if gathering.is_inside() => gathering.take(&resolved(&reference)),
            Event::End(element) if element.name() == cell.name() => return Ok(Some(gathering.done())),
            Event::End(_) => gathering.close(),
            Event::Eof => return Ok(None),
            _ => {}
        }
    }
}

fn is_text(name: &str) -> bool {
    name.starts_with("text:")
}

/// Text while it is gathered; each open element knows whether it strikes out.
#[derive(Debug, Default)]
struct Gathering {
    text: String,
    paragraphs: usize,
    open: Vec<bool>,
    has_struck: bool,
    has_plain: bool,
}

impl Gathering {
    fn is_inside(&self) -> bool {
        !self.open.is_empty()
    }

    fn open(&mut self, element: &BytesStart<'_>, styles: &Styles) {
        let outer = self.open.last().copied().unwrap_or(false);
        let own = attribute(element, "text:style-name").is_some_and(|style| styles.struck("text", &style));
        self.open.push(outer || own);
        match element.name().as_ref() {
            "text:p" | "text:h" => {
                if self.paragraphs > 0 {
                    self.text.push('\n');
                }
                self.paragraphs += 1;
            }
            "text:s" => {
                let count = attribute(element, "text:c").map_or(1, |count| count.parse().unwrap_or(1));
                self.text.extend(std::iter::repeat_n(' ', count.min(MOST_BLANKS)));
            }
            "text:tab" => self.text.push('\t'),
            "text:line-break" => self.text.push('\n'),
            _ => {}
        }
    }

    fn close(&mut self) {
        self.open.pop();
    }

    fn take(&mut self, text: &str) {
        self.text.push_str(text);
        if !text.trim().is_empty() {
            let struck = self.open.last().copied().unwrap_or(false);
            self.has_struck |= struck;
            self.has_plain |= !struck;
        }
    }

    fn done(self) -> Shown {
        Shown {
            text: self.text,
            struck: self.has_struck && !self.has_plain,
            partly_struck: self.has_struck && self.has_plain,
        }
    }
}

//! The two things an `.ods` spreadsheet says in its styles that matter here: what is struck out, and which sheets are hidden
//! (OASIS `OpenDocument` 1.3 part 3, sections 16 and 20).

use std::collections::BTreeMap;

use quick_xml::events::BytesStart;

use super::xml::attribute;

/// Styles by family and name.
#[derive(Debug, Default)]
pub(super) struct Styles {
    known: BTreeMap<String, BTreeMap<String, Style>>,
    open: Option<((String, String), Style)>,
}

#[derive(Debug, Default)]
struct Style {
    parent: Option<String>,
    struck: Option<bool>,
    hidden: bool,
}

/// How many parents are asked: a chain longer than this goes round in a circle.
const LONGEST_CHAIN: usize = 16;

impl Styles {
    /// Takes up the start of an element, where it is one about styles.
    pub(super) fn start(&mut self, element: &BytesStart<'_>) {
        match element.name().as_ref() {
            "style:style" => {
                let key = (
                    attribute(element, "style:family").unwrap_or_default(),
                    attribute(element, "style:name").unwrap_or_default(),
                );
                let parent = attribute(element, "style:parent-style-name");
                self.open = Some((key, Style { parent, ..Style::default() }));
            }
            "style:text-properties" => {
                let line = attribute(element, "style:text-line-through-style")
                    .or_else(|| attribute(element, "style:text-line-through-type"));
                if let (Some((_, style)), Some(line)) = (&mut self.open, line) {
                    style.struck = Some(line != "none");
                }
            }
            "style:table-properties" => {
                if let Some((_, style)) = &mut self.open {
                    style.hidden = attribute(element, "table:display").is_some_and(|display| display == "false");
                }
            }
            _ => {}
        }
    }

    /// Takes up the end of an element.
    pub(super) fn end(&mut self, name: &str) {
        if name == "style:style"
            && let Some(((family, name), style)) = self.open.take()
        {
            self.known.entry(family).or_default().insert(name, style);
        }
    }

    /// Whether a style, or the nearest of its parents that says anything about it, strikes text out.
    pub(super) fn struck(&self, family: &str, name: &str) -> bool {
        let Some(known) = self.known.get(family) else { return false };
        let mut name = name;
        for _ in 0..LONGEST_CHAIN {
            match known.get(name) {
                Some(Style { struck: Some(struck), .. }) => return *struck,
                Some(Style { parent: Some(parent), .. }) => name = parent,
                _ => return false,
            }
        }
        false
    }

    /// Whether a sheet of that style is hidden.
    pub(super) fn hidden(&self, name: &str) -> bool {
        self.known.get("table").and_then(|known| known.get(name)).is_some_and(|style| style.hidden)
    }
}

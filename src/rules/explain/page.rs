//! The page that a rule set is written on.

use crate::rules::Compares;
use crate::units::{Rounding, Unit};
use crate::wrapping::{PAGE, hang};

/// Lines no wider than the page.
#[derive(Default)]
pub(super) struct Page {
    text: String,
    title: String,
    shown_only: bool,
}

impl Page {
    /// A line across.
    pub(super) fn rule(&mut self) {
        self.line(&"-".repeat(PAGE));
    }

    /// Everything written.
    pub(super) fn text(self) -> String {
        self.text
    }

    /// The title at its head.
    pub(super) fn titled(&mut self, title: &str, id: &str, compares: Compares) {
        self.shown_only = compares == Compares::Absolute;
        title.clone_into(&mut self.title);
        self.hanging("", &format!("{title} ({id})"));
        self.rule();
    }

    /// What becomes of a value before it is compared: `rounded to 0.01 in, half up`, or `shown to 0.01 in`.
    pub(super) fn compared(&self, rounding: Rounding, of: Unit) -> String {
        if !self.shown_only {
            return rounded_in(rounding, of);
        }
        format!("shown to {}", step(rounding, of))
    }

    /// The title of a table without the page's own in front.
    pub(super) fn without_title(&self, of_table: &str) -> String {
        let own = of_table.strip_prefix(self.title.as_str()).and_then(|rest| rest.strip_prefix(", "));
        own.unwrap_or(of_table).to_string()
    }

    pub(super) fn line(&mut self, text: &str) {
        self.text.push_str(text.trim_end());
        self.text.push('\n');
    }

    pub(super) fn says(&mut self, what: &str, text: &str) {
        self.hanging(&format!("{what:<13}"), text);
    }

    /// `text` beside `head`, its further lines indented as far.
    pub(super) fn hanging(&mut self, head: &str, text: &str) {
        for line in hang(head, text, PAGE) {
            self.line(&line);
        }
    }
}

/// `rounded to 0.01 in, half up`.
pub(super) fn rounded_in(rounding: Rounding, of: Unit) -> String {
    format!("rounded to {}, {}", step(rounding, of), rounding.mode().word())
}

fn step(rounding: Rounding, of: Unit) -> String {
    let word = unit_word(of);
    format!("{}{}{word}", rounding.to(), if word.is_empty() { "" } else { " " })
}

/// A unit as a page writes it.
pub(super) fn unit_word(unit: Unit) -> String {
    if unit == Unit::Percent { "percent".into() } else { unit.to_string() }
}

//! The page that a rule set is written on.

const WIDTH: usize = 100;

/// Lines no wider than the page.
#[derive(Default)]
pub(super) struct Page(String);

impl Page {
    /// A line across.
    pub(super) fn rule(&mut self) {
        self.line(&"-".repeat(WIDTH));
    }

    /// Everything written.
    pub(super) fn text(self) -> String {
        self.0
    }

    pub(super) fn line(&mut self, text: &str) {
        self.0.push_str(text.trim_end());
        self.0.push('\n');
    }

    pub(super) fn says(&mut self, what: &str, text: &str) {
        self.hanging(&format!("{what:<13}"), text);
    }

    /// `text` beside `head`, its further lines indented as far.
    pub(super) fn hanging(&mut self, head: &str, text: &str) {
        let indent = head.chars().count();
        let mut line = head.to_string();
        for word in text.split_whitespace() {
            let filled = line.chars().count();
            if filled > indent && filled + 1 + word.chars().count() > WIDTH {
                self.line(&line);
                line = " ".repeat(indent);
            }
            if line.chars().count() > indent {
                line.push(' ');
            }
            line.push_str(word);
        }
        self.line(&line);
    }
}

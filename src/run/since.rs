//! What became of the records that an earlier result rests on: a row edited, or no longer counted, since then, with both
//! values. The earlier result is the one that this run takes the place of; what was told of those before it is kept.

use std::path::Path;

use super::Computed;
use crate::closing::{self, Change, ChangeTold, Changed, RECORDS};
use crate::fingerprint::fingerprint;
use crate::intake;
use crate::render::clean;

/// The file of a package that tells it.
pub const CHANGES: &str = "changes.txt";

/// Digits of the fingerprint by which an earlier result is named.
const DIGITS: usize = 16;

/// What differs from an earlier result.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Since {
    /// Records that were used then and are edited or gone now.
    pub edited: Vec<ChangeTold>,
    /// The file that tells it, with what was told before; empty where there is nothing to tell.
    pub text: String,
}

impl Computed {
    /// Records edited since the result that lies in a folder; nothing where none lies there, or it cannot be read.
    #[must_use]
    pub fn since(&self, folder: &Path) -> Since {
        let told_before = intake::long_text(folder, CHANGES).unwrap_or_default();
        let Some((records, edited)) = self.edited(folder) else {
            return Since { edited: Vec::new(), text: told_before };
        };
        let mut text = told_before;
        if !edited.is_empty() {
            if text.is_empty() {
                text.push_str("Records edited after they were used in a result of this period\n");
            }
            let name = fingerprint(&records);
            text.push_str(&format!("\nsince the result whose records have SHA-256 {}...\n", &name[..DIGITS]));
            for change in &edited {
                text.push_str(&format!("  {}\n", clean(&change.line())));
            }
        }
        Since { edited, text }
    }

    fn edited(&self, folder: &Path) -> Option<(String, Vec<ChangeTold>)> {
        let text = intake::has(folder, RECORDS).then(|| intake::long_text(folder, RECORDS).ok()).flatten()?;
        let before = closing::told(text.as_bytes()).ok()?;
        let changes = closing::changes(&before, &closing::records(&self.book));
        // A result of a later day holds rows that this one leaves out by its cut-off.
        let meant = |change: &&Change| match change.kind() {
            Changed::Differs => true,
            Changed::Gone => change.day().is_none_or(|day| day <= self.through),
            Changed::New | Changed::Filled => false,
        };
        Some((text, changes.iter().filter(meant).filter_map(Change::told).collect()))
    }
}

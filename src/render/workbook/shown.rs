//! Where each figure is first shown on a page, so that its calculation can lead back there.

use std::collections::BTreeMap;

use super::address::{absolute, quoted};
use crate::figure::FigureId;

/// Page and cell of each figure shown.
#[derive(Debug, Default)]
pub(super) struct ShownOn(BTreeMap<FigureId, (String, String)>);

impl ShownOn {
    /// Takes note of a figure; the first place holds.
    pub(super) fn note(&mut self, id: FigureId, page: &str, row: u32, column: u16) {
        self.0.entry(id).or_insert_with(|| (page.into(), format!("{}!{}", quoted(page), absolute(row, column))));
    }

    /// Page and cell.
    pub(super) fn get(&self, id: FigureId) -> Option<(&str, &str)> {
        self.0.get(&id).map(|(page, target)| (page.as_str(), target.as_str()))
    }
}

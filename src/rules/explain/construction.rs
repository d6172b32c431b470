//! A rule for construction in words.

use super::page::Page;
use crate::rules::ConstructionRule;

pub(super) fn construction(page: &mut Page, _: &ConstructionRule) {
    page.says("construction", "not explained yet");
}

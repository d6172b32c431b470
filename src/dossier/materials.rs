//! The page of materials.

use super::{Finished, Page};

/// The page; `None` where there is nothing to show.
pub(super) fn page(_finished: Finished<'_>) -> Option<Page> {
    None
}

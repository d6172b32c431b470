//! What the contract says about the concrete's account: limits of the yield, and later mixes, tickets, supply, materials.

use super::model::Yields;
use super::money;
use crate::keyed::Group;

/// Limits and allowances of the yield account.
pub(super) fn yields(root: &Group) -> Yields {
    Yields { warn_over: money::share(root, "yield", "warn_over"), ..Yields::default() }
}

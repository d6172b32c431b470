//! What was needed of each material besides concrete, what was received, and where the difference went.

use crate::contract::Contract;
use crate::figure::Book;
use crate::finding::Finding;
use crate::intake::Records;
use crate::line::Line;

/// The account of one material.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialAccount {
    /// Material, by place in the contract.
    pub material: usize,
}

/// The accounts of all materials of the contract, with their figures in the book.
pub fn materials(
    _contract: &Contract,
    _records: &Records,
    _line: &Line,
    _book: &mut Book,
) -> (Vec<MaterialAccount>, Vec<Finding>) {
    (Vec::new(), Vec::new())
}

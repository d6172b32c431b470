//! Whether the tickets can be true: the audit of loads and batch weights, each remark with the tickets it names.

use crate::contract::Contract;
use crate::figure::Book;
use crate::finding::Finding;
use crate::intake::Records;
use crate::line::Line;

/// What the audit of tickets came to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TicketAudit {}

/// The audit of all loads, with its figures in the book.
pub fn tickets(
    _contract: &Contract,
    _records: &Records,
    _line: &Line,
    _book: &mut Book,
) -> (TicketAudit, Vec<Finding>) {
    (TicketAudit::default(), Vec::new())
}

//! What the supplier bills against the tickets it bills for: the amount to dispute.

use crate::contract::Contract;
use crate::figure::Book;
use crate::finding::Finding;
use crate::intake::Records;
use crate::line::Line;

/// What the check of invoices came to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct InvoiceAudit {}

/// The check of all invoice lines, with its figures in the book.
pub fn invoices(
    _contract: &Contract,
    _records: &Records,
    _line: &Line,
    _book: &mut Book,
) -> (InvoiceAudit, Vec<Finding>) {
    (InvoiceAudit::default(), Vec::new())
}

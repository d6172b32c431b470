//! What the supplier bills against the tickets it bills for: the amount to dispute, line by line.
//!
//! ```text
//! to dispute = billed - payable
//! ```
//!
//! What is payable is computed once for a line (`due`), so that several faults of one line dispute nothing twice, and is
//! never more than what is billed. A line that has no fault is payable as billed. Totals are sums of the lines. Common
//! practice; the limits are the contract's, and where it states none, nothing is judged.

mod agreed;
mod charges;
mod checked;
mod concrete;
mod credits;
mod disputes;
mod due;
mod judge;
mod model;
mod tickets;
mod totals;
mod unbilled;
mod words;

#[cfg(test)]
mod tests;

pub use model::{
    Credit, Dispute, InvoiceAmounts, InvoiceAudit, InvoiceTotal, NotAgreed, Reason, Unbilled, UnbilledLoad, Unchecked,
};

use crate::contract::Contract;
use crate::figure::Book;
use crate::finding::Finding;
use crate::intake::Records;
use crate::line::Line;

use agreed::Agreed;
use checked::Checked;
use judge::Judge;
use tickets::Tickets;

/// The check of all invoice lines, with its figures in the book.
pub fn invoices(contract: &Contract, records: &Records, line: &Line, book: &mut Book) -> (InvoiceAudit, Vec<Finding>) {
    if records.billed.is_empty() {
        return (InvoiceAudit::default(), Vec::new());
    }
    let ledger = &line.ledger;
    let (tickets, agreed) = (Tickets::of(records), Agreed::of(contract, records));
    let judge = Judge { contract, records, ledger, tickets: &tickets, agreed: &agreed, book: &mut *book };
    let mut checked = Checked::of(judge);
    let mut audit = InvoiceAudit::default();
    let mut findings = disputes::take_up((contract, records, ledger), &checked, &mut audit, book);
    totals::take_up((records, ledger), &mut audit, book);
    audit.unchecked = std::mem::take(&mut checked.unchecked);
    audit.not_agreed = checked.not_agreed();
    if !checked.unnamed {
        let (unbilled, found) = unbilled::unbilled((contract, records, ledger), &agreed, &checked.billed, book);
        audit.unbilled = unbilled;
        findings.extend(found);
    }
    (audit, findings)
}

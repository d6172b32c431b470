//! Rank 8. Placed against theoretical, and where the difference went: concrete, the materials under and in it, the tickets
//! and invoices that speak of it. Acceptance never enters here.

mod concrete;
mod invoices;
mod materials;
mod sample;
mod tickets;

pub use concrete::{
    Cause, Evidence, Excess, LowGrade, MixYield, Part, Prism, Running, RunningRow, Short, SingleYield, Split, Step,
    Surveyed, Yield, YieldLine, account,
};
pub use invoices::{
    Credit, Dispute, InvoiceAmounts, InvoiceAudit, InvoiceTotal, NotAgreed, Reason, Unbilled, UnbilledLoad, Unchecked,
    invoices,
};
pub use materials::{MaterialAccount, MaterialDay, MaterialStep, materials};
pub use tickets::{TicketAudit, TicketCheck, TicketRemark, tickets};

use crate::contract::Contract;
use crate::intake::Records;
use crate::line::Line;

/// What every account is drawn from.
#[derive(Clone, Copy)]
struct Ground<'a> {
    contract: &'a Contract,
    records: &'a Records,
    line: &'a Line,
}

//! What the check of invoices comes to: amounts by invoice, lines to dispute, what is not billed, what was not checked.

use chrono::NaiveDate;

use crate::figure::FigureId;
use crate::finding::Code;

/// What does not agree on an invoice line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reason {
    /// Its ticket was billed before.
    Twice,
    /// Its ticket is no received load.
    NotReceived,
    /// Its load was rejected.
    Rejected,
    /// More volume than the ticket says.
    Volume,
    /// Another price than the agreed one.
    Price,
    /// Another mix than the ticket's.
    Mix,
    /// The amount is not quantity times price.
    Amount,
    /// A short load that is none, or charged above the agreed charge.
    ShortLoad,
    /// More waiting than recorded, or at more than the agreed price.
    Waiting,
}

impl Reason {
    /// Its finding.
    #[must_use]
    pub fn code(self) -> Code {
        match self {
            Reason::Twice => Code::BilledTwice,
            Reason::NotReceived => Code::BilledNotReceived,
            Reason::Rejected => Code::BilledRejected,
            Reason::Volume => Code::BilledVolume,
            Reason::Price => Code::BilledPrice,
            Reason::Mix => Code::BilledMix,
            Reason::Amount => Code::BilledAmount,
            Reason::ShortLoad => Code::BilledShortLoad,
            Reason::Waiting => Code::BilledWaiting,
        }
    }
}

/// Amounts that are compared, of an invoice or of many lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InvoiceAmounts {
    /// Billed.
    pub billed: FigureId,
    /// Payable by records and agreement.
    pub payable: FigureId,
    /// The difference.
    pub dispute: FigureId,
}

/// An invoice.
#[derive(Clone, Debug, PartialEq)]
pub struct InvoiceTotal {
    /// Number.
    pub number: String,
    /// Its rows in the table of invoice lines: first and after the last.
    pub rows: (u32, u32),
    /// Sums of its lines.
    pub amounts: InvoiceAmounts,
}

/// An invoice line that the tickets do not bear out, or a credit that is set against one.
#[derive(Clone, Debug, PartialEq)]
pub struct Dispute {
    /// Invoice line, by place in the records.
    pub line: usize,
    /// Load it bills, by place in the records.
    pub load: Option<usize>,
    /// What does not agree; nothing of a credit.
    pub reasons: Vec<Reason>,
    /// Payable.
    pub payable: FigureId,
    /// Billed less payable; zero where a fault changes no amount, below zero of a credit.
    pub dispute: FigureId,
    /// Why, in words.
    pub why: String,
}

/// A credit and what it does.
#[derive(Clone, Debug, PartialEq)]
pub struct Credit {
    /// Invoice line, by place in the records.
    pub line: usize,
    /// In words.
    pub does: String,
}

/// An invoice line that was not checked, or not in all respects.
#[derive(Clone, Debug, PartialEq)]
pub struct Unchecked {
    /// Invoice line, by place in the records.
    pub line: usize,
    /// What was not checked, or why.
    pub why: String,
}

/// Something that no line could be held against, because nothing is agreed or recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct NotAgreed {
    /// In words.
    pub what: String,
    /// How many lines it concerns.
    pub lines: u64,
}

/// A load that was received and stands on no invoice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UnbilledLoad {
    /// By place in the records.
    pub load: usize,
    /// What it is worth at the agreed price; `None` where none is agreed.
    pub expected: Option<FigureId>,
}

/// What was received and is not billed.
#[derive(Clone, Debug, PartialEq)]
pub struct Unbilled {
    /// Last day billed, which is the last one judged.
    pub through: NaiveDate,
    /// By day and ticket.
    pub loads: Vec<UnbilledLoad>,
    /// Their volume; `None` where there are none.
    pub volume: Option<FigureId>,
    /// What they are worth; `None` where no price is agreed.
    pub expected: Option<FigureId>,
}

/// What the check of invoices came to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct InvoiceAudit {
    /// By invoice, in the order people count in.
    pub invoices: Vec<InvoiceTotal>,
    /// All invoices.
    pub total: Option<InvoiceAmounts>,
    /// Lines to dispute, in order of invoice, day and row.
    pub disputes: Vec<Dispute>,
    /// Their sums.
    pub disputed: Option<InvoiceAmounts>,
    /// Credits.
    pub credits: Vec<Credit>,
    /// Received and not billed; `None` where that is not judged.
    pub unbilled: Option<Unbilled>,
    /// Lines not checked.
    pub unchecked: Vec<Unchecked>,
    /// What is not agreed.
    pub not_agreed: Vec<NotAgreed>,
}

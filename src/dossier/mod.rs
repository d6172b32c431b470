//! Rank 11. The finished result as plain data for pages.
//!
//! A page is a list of blocks; a table's cell is text, a figure, or a record's cell, so every number shown has a path.
//! Nothing is computed here.

mod adjustments;
mod asbuilt;
mod audit;
mod basis;
mod closeout;
mod combined;
mod comparison;
mod contracts;
mod corrections;
mod drawn;
mod estimate;
#[cfg(test)]
mod example;
mod exploring;
mod extract;
mod findings;
mod forms;
mod fresh;
mod invoices;
mod judged;
mod layout;
mod materials;
mod model;
mod papers;
mod payment;
mod placed;
mod refused;
mod ride;
mod splits;
mod strength;
mod summary;
mod supplier;
mod thickness;
mod tickets;
mod worksheet;
mod yields;

use chrono::NaiveDate;

pub use audit::audit;
pub use comparison::{Compared, comparison};
pub use contracts::{ContractDone, ContractLine, Contracts, KINDS, OwnAmount};
#[cfg(test)]
pub(crate) use example::{HOSTILE, example};
pub use extract::{Datum, EVERY, EXTRACTS, Extract, Field, Holds, extracts, extracts_markdown};
pub use findings::worded;
pub use forms::{FormBook, FormCell, FormCheck, FormField, FormList, form_unfit, forms};
pub use model::{
    Align, BasisFile, BasisRule, BasisSheet, Block, Chart, ChartForm, Column, Dossier, FindingLine, Head, LaneBand,
    Mark, MarkShape, Page, Piece, Row, RowKind, Series, SeriesStyle, Shown, State, Strip, Table, Tick, UnusedLine,
};
pub use refused::{RefusedGroup, RefusedLine, RefusedList, refused};
pub use worksheet::{Evidence, Run, Step, Taken, WorkSheet};

use crate::accept::Judged;
use crate::closing::{Closing, RecordChange};
use crate::contract::Contract;
use crate::draw::CoreDrawn;
use crate::figure::{Book, FigureId};
use crate::finding::{Findings, Kind};
use crate::intake::Intake;
use crate::line::Line;
use crate::pay::Estimate;
use crate::reconcile::{InvoiceAudit, MaterialAccount, TicketAudit, Yield};
use crate::rules::{Property, RuleSet};
use crate::units::System;
use crate::works::Works;

/// What other results of a judged lot would be paid, nine times in ten.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranged {
    /// Property.
    pub property: Property,
    /// Name of the outcome.
    pub outcome: String,
    /// Least and most.
    pub range: (FigureId, FigureId),
}

/// Everything a run came to.
#[derive(Clone, Copy)]
pub struct Finished<'a> {
    /// Contract.
    pub contract: &'a Contract,
    /// What was read.
    pub intake: &'a Intake,
    /// As-built line.
    pub line: &'a Line,
    /// Acceptance.
    pub judged: &'a Judged,
    /// Drawn locations and the cores taken for them.
    pub drawn: &'a [CoreDrawn],
    /// What other results of judged lots would be paid.
    pub ranges: &'a [Ranged],
    /// Yield account.
    pub account: &'a Yield,
    /// Accounts of the materials besides concrete.
    pub materials: &'a [MaterialAccount],
    /// Audit of the tickets.
    pub tickets: &'a TicketAudit,
    /// Check of the invoices.
    pub invoices: &'a InvoiceAudit,
    /// The steps below, in and after the slab.
    pub works: &'a Works,
    /// Estimate.
    pub estimate: &'a Estimate,
    /// The last closing before this period; `None` where none is closed.
    pub closed: Option<&'a Closing>,
    /// All closings before this period, in order.
    pub closings: &'a [Closing],
    /// Records of closed periods that are not what that closing knew.
    pub changes: &'a [RecordChange],
    /// Rule sets in use.
    pub rules: &'a [RuleSet],
    /// Findings of all stages, sorted.
    pub findings: &'a Findings,
    /// As-of date.
    pub through: NaiveDate,
    /// The figures.
    pub book: &'a Book,
}

/// The pages of a finished result.
#[must_use]
pub fn compose(finished: Finished<'_>) -> Dossier {
    let estimate = finished.estimate;
    let mut pages = vec![summary::page(finished), estimate::page(finished), estimate::quantities(finished)];
    pages.extend(closeout::page(finished));
    pages.extend(corrections::page(finished));
    pages.extend(refused::page(finished));
    pages.extend([adjustments::page(finished), thickness::page(finished), strength::page(finished)]);
    pages.extend(payment::page(finished));
    pages.extend(splits::page(finished));
    pages.extend(fresh::page(finished));
    pages.extend(ride::page(finished));
    pages.extend(combined::page(finished));
    pages.push(yields::page(finished));
    pages.extend(supplier::page(finished));
    pages.extend(tickets::page(finished));
    pages.extend(invoices::page(finished));
    pages.extend(materials::page(finished));
    pages.extend(papers::page(finished));
    pages.push(placed::page(finished));
    pages.extend(asbuilt::pages(finished));
    Dossier {
        head: head(finished),
        pages,
        work_sheets: Vec::new(),
        findings: findings::lines(finished),
        unused: findings::unused(finished),
        records: basis::records(finished),
        files: basis::files(finished),
        sheets: basis::sheets(finished),
        rules: basis::rules(finished),
        settings: basis::settings(finished),
        leading: vec![
            ("work-to-date", estimate.work.to_date),
            ("adjustments-to-date", estimate.adjusted.to_date),
            ("earned-to-date", estimate.earned().to_date),
            ("due-this-period", estimate.due().this),
        ],
    }
}

fn head(finished: Finished<'_>) -> Head {
    let contract = finished.contract;
    let parties = &contract.parties;
    let before = finished.estimate.before;
    Head {
        number: contract.number.clone(),
        title: contract.title.clone(),
        notice: contract.notice.clone(),
        owner: parties.owner.clone(),
        contractor: parties.contractor.clone(),
        engineer: parties.engineer.clone(),
        period: format!("period {}", finished.estimate.period.number),
        from: before.and_then(|d| d.succ_opt()),
        through: finished.through,
        not_final: not_final(finished.findings),
        currency: contract.currency.clone(),
        letter: contract.system == System::Customary,
        program: program(),
    }
}

/// Program and version.
#[must_use]
pub fn program() -> String {
    format!("slabtally {}", env!("CARGO_PKG_VERSION"))
}

/// `NOT FINAL: 4 refused, 1 conflict`, counting only what keeps the reports open.
fn not_final(findings: &Findings) -> Option<String> {
    let count = |kind| findings.iter().filter(|f| f.open && f.kind() == kind).count();
    let words: Vec<String> = [
        (Kind::Reject, "refused", "refused"),
        (Kind::Conflict, "conflict", "conflicts"),
        (Kind::Deficiency, "deficiency undecided", "deficiencies undecided"),
        (Kind::Gap, "gap", "gaps"),
    ]
    .into_iter()
    .map(|(kind, one, many)| (count(kind), one, many))
    .filter(|(n, ..)| *n > 0)
    .map(|(n, one, many)| format!("{n} {}", if n == 1 { one } else { many }))
    .collect();
    (!words.is_empty()).then(|| format!("NOT FINAL: {}", words.join(", ")))
}

//! Many contracts beside each other: which is due what, what keeps each open, and which could not be done.
//!
//! Amounts are those of each contract's own package, as it shows them, with the key that traces them there. Nothing is
//! added up over contracts, whose currencies, periods and rules may differ.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Serialize;

use super::layout::{line, numbers, text, words};
use super::{Dossier, FindingLine, Row, Shown, Table};
use crate::figure::{Book, FigureId};
use crate::finding::Kind;
use crate::pay::Estimate;

/// An amount of a contract's own result.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OwnAmount {
    /// Key of its figure.
    pub figure: String,
    /// Its value; `None` where it could not be computed.
    pub value: Option<Decimal>,
    /// As its package shows it, without the currency sign.
    pub shown: String,
}

impl OwnAmount {
    fn of(book: &Book, id: FigureId) -> Self {
        let figure = &book[id];
        Self { figure: figure.key.clone(), value: figure.value.decimal(), shown: figure.text() }
    }
}

/// A contract that was done.
#[derive(Clone, Debug, PartialEq)]
pub struct ContractDone {
    /// Contract number.
    pub number: String,
    /// Title.
    pub title: String,
    /// Number of the period.
    pub period: u32,
    /// As-of date.
    pub through: NaiveDate,
    /// `NOT FINAL: 4 refused, 1 conflict`; `None` where nothing is open.
    pub not_final: Option<String>,
    /// Currency sign.
    pub currency: String,
    /// Due this period.
    pub due: OwnAmount,
    /// Earned to date.
    pub earned: OwnAmount,
    /// Retained to date; `None` where the contract retains nothing.
    pub retained: Option<OwnAmount>,
    /// Its findings, sorted.
    pub findings: Vec<FindingLine>,
    /// Name of the folder that its package was written to.
    pub written: String,
}

impl ContractDone {
    /// What a finished result says of itself.
    #[must_use]
    pub fn of(dossier: &Dossier, estimate: &Estimate, book: &Book, written: String) -> Self {
        let head = &dossier.head;
        Self {
            number: head.number.clone(),
            title: head.title.clone(),
            period: estimate.period.number,
            through: head.through,
            not_final: head.not_final.clone(),
            currency: head.currency.clone(),
            due: OwnAmount::of(book, estimate.due().this),
            earned: OwnAmount::of(book, estimate.earned().to_date),
            retained: estimate.settlement.line("retained").map(|retained| OwnAmount::of(book, retained.to_date)),
            findings: dossier.findings.clone(),
            written,
        }
    }

    /// `nothing open`, or what keeps it open. It is never called final.
    #[must_use]
    pub fn status(&self) -> &str {
        self.not_final.as_deref().unwrap_or("nothing open")
    }

    /// How many findings are of a kind.
    #[must_use]
    pub fn count(&self, kind: Kind) -> usize {
        self.findings.iter().filter(|f| f.kind == kind).count()
    }
}

/// A contract folder and what came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ContractLine {
    /// The folder, from the one that was searched.
    pub folder: String,
    /// What was written, or why nothing was.
    pub came_to: Result<ContractDone, Vec<FindingLine>>,
}

/// Every contract below a folder.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Contracts {
    /// Contracts, in order of path.
    pub lines: Vec<ContractLine>,
    /// Links that were not followed.
    pub links: Vec<FindingLine>,
    /// Folders that could not be looked into.
    pub unsearched: Vec<FindingLine>,
}

/// Kinds of finding with their word over a column.
pub const KINDS: [(Kind, &str); 5] = [
    (Kind::Reject, "refused"),
    (Kind::Conflict, "conflicts"),
    (Kind::Deficiency, "deficiencies"),
    (Kind::Gap, "gaps"),
    (Kind::Note, "notes"),
];

impl Contracts {
    /// Those that were done.
    pub fn done(&self) -> impl Iterator<Item = (&ContractLine, &ContractDone)> {
        self.lines.iter().filter_map(|line| line.came_to.as_ref().ok().map(|done| (line, done)))
    }

    /// Those that were not, and folders that could not be looked into, with the reasons.
    pub fn not_done(&self) -> impl Iterator<Item = (&str, &[FindingLine])> {
        let lines = self.lines.iter();
        let failed = lines.filter_map(|l| l.came_to.as_ref().err().map(|why| (l.folder.as_str(), why.as_slice())));
        failed.chain(self.unsearched.iter().map(|why| (why.place.as_str(), std::slice::from_ref(why))))
    }

    /// What is due, contract by contract, and what was found.
    #[must_use]
    pub fn tables(&self) -> Vec<Table> {
        vec![due(self), found(self)]
    }
}

fn due(contracts: &Contracts) -> Table {
    let row = |(_, done): (&ContractLine, &ContractDone)| {
        line(vec![
            text(done.number.clone()),
            text(done.title.clone()),
            Shown::Count(u64::from(done.period)),
            Shown::Date(done.through),
            text(done.status()),
            text(done.currency.clone()),
            text(done.due.shown.clone()),
            text(done.retained.as_ref().map_or("", |retained| &retained.shown)),
        ])
    };
    Table {
        id: "contracts-due".into(),
        title: "Due and retained, contract by contract".into(),
        columns: vec![
            words("contract", 12),
            words("title", 24),
            numbers("period", "", 6),
            words("through", 10),
            words("status", 24),
            words("in", 3),
            numbers("due this period", "", 14),
            numbers("retained to date", "", 14),
        ],
        rows: contracts.done().map(row).collect(),
        note: "Amounts are those of each contract's own estimate; they are not added up over contracts.".into(),
    }
}

fn found(contracts: &Contracts) -> Table {
    let row = |(line, done): (&ContractLine, &ContractDone)| -> Row {
        let counts = KINDS.iter().map(|&(kind, _)| Shown::Count(done.count(kind) as u64));
        let ends = [text(line.folder.clone()), text(done.written.clone())];
        super::layout::line([text(done.number.clone())].into_iter().chain(counts).chain(ends).collect())
    };
    let kinds = KINDS.iter().map(|&(_, word)| numbers(word, "", 8));
    Table {
        id: "contracts-findings".into(),
        title: "Findings, and where each contract lies and was written to".into(),
        columns: [words("contract", 12)]
            .into_iter()
            .chain(kinds)
            .chain([words("read from", 24), words("written to", 20)])
            .collect(),
        rows: contracts.done().map(row).collect(),
        note: String::new(),
    }
}

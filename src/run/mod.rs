//! Rank 14. The sequence, read like a list of contents: read, lay on the line, judge, reconcile, pay, compose, render.
//!
//! Everything is finished before anything is written. The terminal never enters here.

mod answers;
mod audit;
mod closing;
mod compare;
mod contracts;
mod difference;
mod drawing;
mod explained;
mod forms;
mod named;
mod package;
mod place;
mod refused;
mod risk;
mod side_by_side;
mod since;
mod verify;

use std::path::Path;

use chrono::NaiveDate;

use crate::accept::{self, Judged, Verdict};
use crate::closing::{Closing, Past, RecordChange, records};
use crate::contract::{self, Contract};
use crate::dossier::{self, Dossier, FindingLine, Finished, Ranged};
use crate::draw::CoreDrawn;
use crate::figure::Book;
use crate::finding::{Code, Finding, Findings, Place};
use crate::intake::{self, Intake};
use crate::line::{self, Line};
use crate::pay::{self, Estimate};
use crate::reconcile::{self, InvoiceAudit, MaterialAccount, TicketAudit, Yield};
use crate::render::Templates;
use crate::rules::{Property, RuleSet, Status};
use crate::source::Sources;
use crate::works::{self, Stands, Works};

/// Why a run could not be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// What is wrong, all of it.
    pub findings: Vec<Finding>,
}

impl Stop {
    /// The same in words.
    pub fn in_words(&self) -> impl Iterator<Item = FindingLine> {
        self.findings.iter().map(|f| dossier::worded(&Sources::default(), f))
    }
}

impl From<Finding> for Stop {
    fn from(finding: Finding) -> Self {
        Self { findings: vec![finding] }
    }
}

impl From<Vec<Finding>> for Stop {
    fn from(findings: Vec<Finding>) -> Self {
        Self { findings }
    }
}

/// What a run came to, before it is rendered.
pub struct Computed {
    /// Contract.
    pub contract: Contract,
    /// What was read.
    pub intake: Intake,
    /// As-built line.
    pub line: Line,
    /// Acceptance.
    pub judged: Judged,
    /// Drawn locations and the cores taken for them; none where the contract does not draw.
    pub drawn: Vec<CoreDrawn>,
    /// What other results of judged lots would be paid.
    pub ranges: Vec<Ranged>,
    /// Yield account.
    pub account: Yield,
    /// Accounts of the materials besides concrete.
    pub materials: Vec<MaterialAccount>,
    /// Audit of the tickets.
    pub tickets: TicketAudit,
    /// Check of the invoices.
    pub invoices: InvoiceAudit,
    /// The steps below, in and after the slab.
    pub works: Works,
    /// Estimate.
    pub estimate: Estimate,
    /// The last closing before this period; `None` where none is closed.
    pub closed: Option<Closing>,
    /// All closings before this period, in order.
    pub closings: Vec<Closing>,
    /// Records of closed periods that are not what that closing knew.
    pub changes: Vec<RecordChange>,
    /// Rule sets in use.
    pub rules: Vec<RuleSet>,
    /// Findings of all stages, sorted.
    pub findings: Findings,
    /// As-of date.
    pub through: NaiveDate,
    /// Figures.
    pub book: Book,
    /// Templates, the contract folder's own in place of those of the program.
    pub templates: Templates,
}

/// How many lots and sections stand how, by each property that was judged on them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// All of them.
    pub judged: usize,
    /// Meet their rule.
    pub sound: usize,
    /// Paid above the full price.
    pub raised: usize,
    /// Paid at a reduced price.
    pub deficient: usize,
    /// Wait for the engineer.
    pub undecided: usize,
    /// Not enough tests.
    pub not_tested: usize,
}

/// How the steps stand: pieces of pavement by their proof, placements by their opening.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Proven {
    /// Pieces that a requirement asks proof of.
    pub pieces: usize,
    /// Have it.
    pub proved: usize,
    /// Its day has not come.
    pub not_due: usize,
    /// Lack it.
    pub missing: usize,
    /// A test failed, or waits for somebody to look.
    pub failed: usize,
    /// Placements that a rule on opening looks at.
    pub placements: usize,
    /// May be opened by the records.
    pub may_open: usize,
}

pub use audit::{Audited, Sampling};
pub use closing::{Closed, close};
pub use difference::{AmountChange, Difference, compare};
pub use drawing::{Drawing, drawing};
pub use forms::{Forms, forms};
pub use risk::{Asked, Odds, curve_of};
pub use since::{CHANGES, Since};
pub use verify::{AmountDiffers, InputChange, PeriodVerified, Verified, verify};

pub use contracts::{Many, SUMMARIES, many};
pub use package::{Writing, Written};

pub use answers::{contract_schema, explain_rules, result_schema, rule_sets};

pub use crate::render::clean as printable;

/// Called as files are read: files done, files in all.
pub type Tick<'a> = &'a (dyn Fn(usize, usize) + Sync);

/// Reads a contract folder and computes everything, as of a day or the end of the last period.
///
/// # Errors
/// [`Stop`] with every mistake of the contract, the rule sets and the templates, every fault of the closed periods, or what
/// keeps the folder from being read.
pub fn compute(root: &Path, through: Option<NaiveDate>, tick: Tick<'_>) -> Result<Computed, Stop> {
    let contract = contract_of(root)?;
    let (past, notes) = closing::past(root, false)?;
    let mut computed = computed_on(root, contract, &past, through, tick)?;
    computed.findings.extend(notes);
    computed.findings.sort();
    Ok(computed)
}

fn contract_of(root: &Path) -> Result<Contract, Stop> {
    Ok(contract::load(&intake::text(root, "contract.toml")?)?)
}

/// The same on what is closed.
fn computed_on(
    root: &Path,
    contract: Contract,
    past: &Past,
    through: Option<NaiveDate>,
    tick: Tick<'_>,
) -> Result<Computed, Stop> {
    let mut findings = Findings::new();
    let rules = chosen_rules(root, &contract, &mut findings)?;
    let templates = own_templates(root)?;
    let through = as_of(&contract, through)?;
    let (closed, found) = closing::followed(&contract, past, through)?;
    findings.extend(found);

    let mut intake =
        intake::read(root, &contract.setting(through), tick).map_err(|e| unreadable(root, &e.to_string()))?;
    findings.extend(std::mem::take(&mut intake.findings));

    let mut book = Book::new(intake.sources.clone());
    let (line, found) = line::lay(&contract, &mut intake.records, &mut book);
    findings.extend(found);

    let sets: Vec<&RuleSet> = rules.iter().collect();
    let (judged, found) = accept::judge(&contract, &sets, &intake.records, &line, through, &mut book);
    findings.extend(found);

    let (drawn, found) = drawing::compare(&contract, &rules, (&intake.records, &line), &judged, &mut book);
    findings.extend(found);

    let ranges = risk::ranges(&contract, &rules, &judged, &mut book);

    let (account, found) = reconcile::account(&contract, &intake.records, &line, &mut book);
    findings.extend(found);

    let (materials, found) = reconcile::materials(&contract, &intake.records, &line, &mut book);
    findings.extend(found);
    let (tickets, found) = reconcile::tickets(&contract, &intake.records, &line, &intake.unused, &mut book);
    findings.extend(found);
    let (invoices, found) = reconcile::invoices(&contract, &intake.records, &line, &mut book);
    findings.extend(found);

    let inputs = works::Inputs {
        contract: &contract,
        records: &intake.records,
        line: &line,
        judged: &judged,
        rules: &rules,
        through,
    };
    let (works, found) = works::examine(inputs, &mut book);
    findings.extend(found);

    let inputs = pay::Inputs {
        contract: &contract,
        records: &intake.records,
        line: &line,
        judged: &judged,
        account: &account,
        works: &works,
        closed,
        through,
    };
    let (estimate, found) = pay::estimate(inputs, &mut book).map_err(|why| wrong_date(&why))?;
    findings.extend(found);

    let mut changes = Vec::new();
    if let Some(closing) = closed {
        let faults = closing::kept(closing, &book);
        if !faults.is_empty() {
            return Err(faults.into());
        }
        let (found, told) = closing::changes(&contract, (past, closing), &records(&book))?;
        changes = found;
        findings.extend(told);
    }

    findings.sort();
    Ok(Computed {
        contract,
        intake,
        line,
        judged,
        drawn,
        ranges,
        account,
        materials,
        tickets,
        invoices,
        works,
        estimate,
        closings: past
            .closings
            .iter()
            .filter(|c| closed.is_some_and(|last| c.period <= last.period))
            .cloned()
            .collect(),
        closed: closed.cloned(),
        changes,
        rules,
        findings,
        through,
        book,
        templates,
    })
}

impl Computed {
    /// What the steps are judged on.
    fn inputs(&self) -> works::Inputs<'_> {
        works::Inputs {
            contract: &self.contract,
            records: &self.intake.records,
            line: &self.line,
            judged: &self.judged,
            rules: &self.rules,
            through: self.through,
        }
    }

    /// The pages.
    #[must_use]
    pub fn dossier(&self) -> Dossier {
        dossier::compose(self.finished())
    }

    /// Everything that pages are made of.
    fn finished(&self) -> Finished<'_> {
        Finished {
            contract: &self.contract,
            intake: &self.intake,
            line: &self.line,
            judged: &self.judged,
            drawn: &self.drawn,
            ranges: &self.ranges,
            account: &self.account,
            materials: &self.materials,
            tickets: &self.tickets,
            invoices: &self.invoices,
            works: &self.works,
            estimate: &self.estimate,
            closed: self.closed.as_ref(),
            closings: &self.closings,
            changes: &self.changes,
            rules: &self.rules,
            findings: &self.findings,
            through: self.through,
            book: &self.book,
        }
    }

    /// How the lots and sections stand. What several properties pay together judges nothing again, so it is left out.
    #[must_use]
    pub fn standing(&self) -> Standing {
        let own = || self.judged.outcomes.iter().filter(|o| o.property != Property::Combined);
        let with = |v: Verdict| own().filter(|o| o.verdict == v).count();
        Standing {
            judged: own().count(),
            sound: with(Verdict::Sound),
            raised: with(Verdict::Raised),
            deficient: with(Verdict::Adjusted),
            undecided: with(Verdict::Undecided),
            not_tested: with(Verdict::NotTested),
        }
    }

    /// How the steps stand; `None` where the contract chooses no rule set for them.
    #[must_use]
    pub fn proven(&self) -> Option<Proven> {
        let pieces = || self.works.covered.iter().flat_map(|c| &c.pieces);
        let with = |stands: Stands| pieces().filter(|p| p.stands == stands).count();
        let open = self.works.openings.iter().filter(|o| o.may.is_some_and(|day| day <= self.through));
        self.works.ruled.then(|| Proven {
            pieces: pieces().count(),
            proved: with(Stands::Proved),
            not_due: with(Stands::NotDue),
            missing: with(Stands::Missing),
            failed: with(Stands::Failed),
            placements: self.works.openings.len(),
            may_open: open.count(),
        })
    }

    /// Findings in words, sorted.
    pub fn findings_in_words(&self) -> impl Iterator<Item = FindingLine> {
        self.findings.iter().map(|f| dossier::worded(&self.intake.sources, f))
    }
}

/// The rule sets that the contract chooses, from those shipped and its own.
fn chosen_rules(root: &Path, contract: &Contract, findings: &mut Findings) -> Result<Vec<RuleSet>, Stop> {
    let (catalogue, notes) = rule_sets(Some(root))?;
    findings.extend(notes);
    let chosen: Vec<RuleSet> = contract.chosen(&catalogue)?.into_iter().cloned().collect();
    findings.extend(chosen.iter().filter(|r| r.status != Status::Transcribed).map(status_note));
    Ok(chosen)
}

fn status_note(rule: &RuleSet) -> Finding {
    Finding::new(
        Code::RuleFromMemory,
        Place::Named(format!("rule set {}", rule.id)),
        format!("{}: {}", rule.named(), rule.citation),
        "hold its numbers against the contract's own specification before relying on them",
    )
}

fn own_templates(root: &Path) -> Result<Templates, Stop> {
    let own = intake::texts(root, "templates", &["txt", "typ"])?;
    Templates::new(&own).map_err(|e| {
        Stop::from(Finding::new(
            Code::RenderFailed,
            Place::File("templates".into()),
            e.to_string(),
            "correct the template, or remove it to use the program's own",
        ))
    })
}

fn as_of(contract: &Contract, asked: Option<NaiveDate>) -> Result<NaiveDate, Stop> {
    asked
        .or_else(|| contract.periods.last().map(|p| p.through))
        .ok_or_else(|| wrong_date("contract.toml has no periods"))
}

fn wrong_date(why: &str) -> Stop {
    Finding::new(
        Code::ContractInvalid,
        Place::File("contract.toml".into()),
        why,
        "add the period to contract.toml as [[periods]] with number and through, or give an earlier --through",
    )
    .into()
}

fn unreadable(root: &Path, why: &str) -> Stop {
    Finding::new(
        Code::FileUnreadable,
        Place::File(root.display().to_string()),
        why,
        "point at a contract folder: contract.toml beside a folder field/ with the spreadsheets",
    )
    .into()
}

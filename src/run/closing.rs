//! Closing a period, and proving later that nobody has touched it: what the shelf holds, what it would be today.

use std::path::Path;

use chrono::NaiveDate;

use super::{Computed, Stop, Tick, computed_on};
use crate::closing::{
    self, Amount, Change, Changed, Closing, Despite, Draft, Hashed, Line, Past, RECORDS, RecordChange,
};
use crate::contract::Contract;
use crate::dossier::FindingLine;
use crate::figure::{Book, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::intake;
use crate::outbox;

/// What a closing came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closed {
    /// Folder inside the contract folder: `closed/02`.
    pub folder: String,
    /// Its seal.
    pub seal: String,
    /// Names of its files.
    pub files: Vec<String>,
}

/// What lies in `closed/`, checked: the closings and what must be said of them, or every fault.
pub(super) fn past(root: &Path, whole: bool) -> Result<(Past, Vec<Finding>), Stop> {
    let (past, found) = closing::checked(intake::shelf(root, whole)?);
    let (faults, notes): (Vec<_>, Vec<_>) = found.into_iter().partition(|f| f.code == Code::ClosingAltered);
    if faults.is_empty() { Ok((past, notes)) } else { Err(faults.into()) }
}

/// The records of closed periods that are not what the last closing knew, and what a reader must see of them.
pub(super) fn changes(
    contract: &Contract,
    (past, closing): (&Past, &Closing),
    now: &[closing::Record],
) -> Result<(Vec<RecordChange>, Vec<Finding>), Stop> {
    let known = past.records(closing.period)?;
    let period = |day: NaiveDate| contract.periods.iter().find(|p| day <= p.through).map(|p| p.number);
    let earlier = |change: &Change| change.kind() != Changed::New || change.day().is_some_and(|d| d <= closing.through);
    let mut changes: Vec<RecordChange> = closing::changes(&known, now)
        .into_iter()
        .filter(earlier)
        .map(|change| RecordChange { period: change.day().and_then(period), change })
        .collect();
    // What was filled in when its time came is the rule; what else changed is what a reader looks for.
    changes.sort_by_key(|change| change.change.kind() == Changed::Filled);
    let findings = [Changed::New, Changed::Differs, Changed::Gone].map(|kind| told(closing, &changes, kind));
    Ok((changes, findings.into_iter().flatten().collect()))
}

/// How many records are named in a finding.
const NAMED: usize = 5;

/// One finding for all changes of a kind.
fn told(closing: &Closing, changes: &[RecordChange], kind: Changed) -> Option<Finding> {
    let of: Vec<&RecordChange> = changes.iter().filter(|c| c.change.kind() == kind).collect();
    let (code, what) = match kind {
        Changed::New => (Code::RecordLate, "came in after it was closed"),
        Changed::Filled | Changed::Differs => (Code::RecordChanged, "say something else than when it was closed"),
        Changed::Gone => (Code::RecordGone, "are no longer counted"),
    };
    let records = of.iter().filter_map(|c| c.change.record());
    let named = records.take(NAMED).map(|r| Place::Named(format!("{}, {}", r.name, r.place)));
    let remedy = "they are part of this period, line by line on the page Corrections; the closed period stays as it is";
    let message = format!("records of closed periods that {what}: {}", of.len());
    let place = Place::Named(format!("through period {}", closing.period));
    (!of.is_empty()).then(|| Finding::new(code, place, message, remedy).with(named))
}

/// Closes a period: freezes what its estimate came to and what it came from.
///
/// # Errors
/// Where a closing was altered, the period is not the next one, or rows are refused, records contradict each other or proof
/// is missing and no reason is given to close despite that.
pub fn close(root: &Path, period: u32, despite: Option<&str>, tick: Tick<'_>) -> Result<Closed, Stop> {
    let (past, _) = past(root, true)?;
    let contract = super::contract_of(root)?;
    let through = closable(&contract, &past, period)?;
    let computed = computed_on(root, contract, &past, Some(through), tick)?;
    let despite = settled(&computed, despite)?;
    let draft = computed.draft(despite)?;
    let mut files = computed.package(false)?;
    let now = closing::records(&computed.book);
    let before = past.before(period);
    let known = before.map_or_else(|| Ok(Vec::new()), |closing| past.records(closing.period))?;
    // The package holds all records; a closing only what is new in it.
    files.retain(|(name, _)| name != RECORDS);
    files.push((RECORDS.into(), closing::written(&closing::changes(&known, &now)).map_err(|why| unwritten(&why))?));
    files.push((closing::CONTRACT.into(), computed.contract.text.clone().into_bytes()));
    files.extend(computed.rules.iter().map(|rule| (rule_file(&rule.id), rule.text.clone().into_bytes())));
    let files = closing::sealed(draft, before, files).map_err(|why| unwritten(&why))?;
    let folder = Closing::folder(period);
    outbox::deliver(&root.join(&folder), &files, false).map_err(|why| {
        let remedy = "nothing was closed; check the disk and the permissions of the contract folder, and close again";
        Finding::new(Code::NotWritten, Place::File(folder.clone()), why.to_string(), remedy)
    })?;
    let (past, _) = self::past(root, true)?;
    let seal = past.of(period).map_or_else(String::new, |closing| closing.seal.clone());
    Ok(Closed { folder, seal, files: files.into_iter().map(|(name, _)| name).collect() })
}

/// The last day of a period that can be closed next.
fn closable(contract: &Contract, past: &Past, period: u32) -> Result<NaiveDate, Stop> {
    let refuse = |message: String, remedy: String| {
        Err(Finding::new(Code::NotClosable, Place::Named(format!("period {period}")), message, remedy).into())
    };
    let numbers = || contract.periods.iter().map(|p| p.number.to_string()).collect::<Vec<_>>().join(", ");
    let Some(at) = contract.periods.iter().position(|p| p.number == period) else {
        return refuse(format!("contract.toml has no period {period}"), format!("it has {}", numbers()));
    };
    if past.of(period).is_some() {
        let remedy = "what changed since then is part of the next period; nothing that is closed is opened again";
        return refuse(format!("period {period} is closed already"), remedy.into());
    }
    if let Some(closing) = past.closings.last().filter(|c| c.period > period) {
        return refuse(
            format!("period {} is closed already, so this one is in it", closing.period),
            "close the next".into(),
        );
    }
    if let Some(open) = contract.periods[..at].iter().find(|p| past.of(p.number).is_none()) {
        let message = format!("period {} before it is not closed", open.number);
        return refuse(message, format!("close period {} first", open.number));
    }
    Ok(contract.periods[at].through)
}

/// Refuses to close what is open, unless a reason is given.
fn settled(computed: &Computed, despite: Option<&str>) -> Result<Option<Despite>, Stop> {
    let open: Vec<&Finding> = computed.findings.iter().filter(|f| f.open).collect();
    let reason = despite.map(str::trim).filter(|reason| !reason.is_empty());
    match (open.is_empty(), reason) {
        (true, _) => Ok(None),
        (false, Some(reason)) => {
            let open = computed.open_in_words();
            let open = open.map(|line| format!("{}: {}: {}", line.code.word(), line.place, line.message)).collect();
            Ok(Some(Despite { reason: reason.into(), open }))
        }
        (false, None) => {
            let message = format!("{} left open: rows refused, records in conflict or proof missing", open.len());
            let remedy =
                "settle them, or close with --despite and the reason, which is kept in the closing and printed";
            let place = Place::Named(format!("period {}", computed.estimate.period.number));
            let mut all = vec![Finding::new(Code::NotClosable, place, message, remedy)];
            all.extend(
                computed
                    .open_in_words()
                    .map(|line| Finding::new(line.code, Place::Named(line.place), line.message, line.remedy)),
            );
            Err(all.into())
        }
    }
}

/// The closing that a period follows, and whether it is the one of the period just before.
pub(super) fn followed<'p>(
    contract: &Contract,
    past: &'p Past,
    through: NaiveDate,
) -> Result<(Option<&'p Closing>, Vec<Finding>), Stop> {
    let Some(at) = contract.periods.iter().position(|p| through <= p.through) else { return Ok((None, Vec::new())) };
    let Some(closing) = past.before(contract.periods[at].number) else { return Ok((None, Vec::new())) };
    if closing.contract != contract.number {
        let message = format!("closed/ holds periods of contract {}, not of {}", closing.contract, contract.number);
        let remedy =
            "put the right closed/ beside contract.toml; the number of a contract stays once a period is closed";
        return Err(Finding::new(Code::ContractInvalid, Place::File(closing.place()), message, remedy).into());
    }
    let last = at.checked_sub(1).map(|i| contract.periods[i].number).filter(|last| *last != closing.period);
    let gap = last.map(|last| {
        let message = format!(
            "period {last} is not closed; before this period is what period {} closed with, so all since then is in this one",
            closing.period
        );
        let remedy = format!("close period {last} first: slabtally close DIR {last}");
        Finding::new(Code::PeriodNotClosed, Place::Named(format!("period {last}")), message, remedy)
    });
    Ok((Some(closing), gap.into_iter().collect()))
}

/// What a closing holds must still be there in the same unit, or the columns of the estimate would not foot.
pub(super) fn kept(closing: &Closing, book: &Book) -> Vec<Finding> {
    let faults = closing.amounts.iter().filter_map(|amount| {
        let (key, label) = (&amount.key, &amount.label);
        let what = match book.by_key(key) {
            None if amount.value.is_zero() => return None,
            None => format!(
                "period {} closed with {label} of {}, and there is no such line now",
                closing.period, amount.value
            ),
            Some(id) if book[id].unit.to_string() != amount.unit => {
                format!(
                    "period {} closed with {label} in {}; it is in {} now",
                    closing.period, amount.unit, book[id].unit
                )
            }
            Some(_) => return None,
        };
        let remedy = "put it back into contract.toml; an item that is not built any more stays there with quantity 0";
        Some(Finding::new(Code::ContractInvalid, Place::Named(key.clone()), what, remedy))
    });
    faults.collect()
}

impl Computed {
    /// The findings that keep the reports open, in words.
    fn open_in_words(&self) -> impl Iterator<Item = FindingLine> {
        self.findings_in_words().filter(|line| line.open)
    }

    /// What a closing of this estimate holds.
    fn draft(&self, despite: Option<Despite>) -> Result<Draft, Stop> {
        let item = |place: usize| self.contract.items[place].number.clone();
        let mut quantities = Vec::new();
        for pay in &self.estimate.items {
            for line in &pay.lines {
                let record = line.record.map_or_else(String::new, |at| self.book.sources.row(at));
                quantities.push(self.line_of(item(pay.item), (line.date, &line.what), line.quantity, record)?);
            }
        }
        let mut adjustments = Vec::new();
        for line in &self.estimate.adjustments {
            let what = &self.judged.outcomes[line.outcome].name;
            adjustments.push(self.line_of(item(line.item), (line.decided, what), line.amount, String::new())?);
        }
        Ok(Draft {
            contract: self.contract.number.clone(),
            period: self.estimate.period.number,
            through: self.through,
            program: program(),
            despite,
            inputs: self.inputs_hashed(),
            amounts: self.amounts()?,
            quantities,
            adjustments,
        })
    }

    fn line_of(
        &self,
        item: String,
        (day, what): (NaiveDate, &str),
        id: FigureId,
        record: String,
    ) -> Result<Line, Stop> {
        let figure = &self.book[id];
        let value = figure.value.decimal().ok_or_else(|| uncomputed(&figure.key))?;
        Ok(Line { item, key: figure.key.clone(), day, what: what.into(), unit: figure.unit.to_string(), value, record })
    }

    /// Every amount and quantity to date.
    pub(super) fn amounts(&self) -> Result<Vec<Amount>, Stop> {
        let to_date = self.book.figures().filter(|(_, figure)| figure.key.ends_with(".to-date"));
        to_date
            .map(|(_, figure)| {
                let value = figure.value.decimal().ok_or_else(|| uncomputed(&figure.key))?;
                let (key, label) = (figure.key.clone(), figure.label.clone());
                Ok(Amount { key, label, unit: figure.unit.to_string(), value })
            })
            .collect()
    }

    /// The contract or a rule set as it was read, by the name that a closing keeps it under.
    pub(super) fn text_of(&self, file: &str) -> Option<&str> {
        let rule = || self.rules.iter().find(|rule| rule_file(&rule.id) == file);
        if file == closing::CONTRACT { Some(&self.contract.text) } else { rule().map(|rule| rule.text.as_str()) }
    }

    /// Contract, rule sets and field sheets with their hashes.
    pub(super) fn inputs_hashed(&self) -> Vec<Hashed> {
        let mut inputs = vec![Hashed::of(closing::CONTRACT, self.contract.text.as_bytes())];
        inputs.extend(self.rules.iter().map(|rule| Hashed::of(rule_file(&rule.id), rule.text.as_bytes())));
        let files = self.intake.files.iter();
        inputs.extend(files.map(|f| Hashed { file: f.file.clone(), sha256: f.sha256.clone(), bytes: f.bytes }));
        inputs
    }
}

/// This program and its version.
pub(super) fn program() -> String {
    format!("slabtally {}", env!("CARGO_PKG_VERSION"))
}

/// The name under which a closing keeps a rule set.
fn rule_file(id: &str) -> String {
    format!("rules-{id}.toml")
}

fn uncomputed(key: &str) -> Stop {
    let message = format!("{key} could not be computed, so there is no amount to close");
    Finding::new(Code::NotClosable, Place::Named(key.into()), message, "trace it, and settle what it lacks").into()
}

fn unwritten(why: &str) -> Stop {
    let remedy = "report this with the contract folder";
    Finding::new(Code::RenderFailed, Place::Named("closing".into()), why, remedy).into()
}

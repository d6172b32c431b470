//! Proving closed periods: is the shelf as it was closed, and what would each period come to from what is there today?
//!
//! Nothing is judged here. A late result is no fault, and neither is a month added to the contract; both are said, and what
//! they change of which amount.

use std::path::Path;

use serde::Serialize;
use similar::{ChangeTag, TextDiff};

use super::{Computed, Stop, Tick, computed_on, contract_of};
use crate::closing::{self, Change, ChangeTold, Closing, Hashed, Past, Shelf};
use crate::dossier::{FindingLine, worded};
use crate::finding::{Code, Finding};
use crate::intake;
use crate::source::Sources;

/// What a check of all closed periods came to.
#[derive(Clone, Debug, Serialize)]
pub struct Verified {
    /// Files altered, missing or out of their chain.
    pub faults: Vec<FindingLine>,
    /// What else a reader should know of the shelf.
    pub notes: Vec<FindingLine>,
    /// Periods whose statement can be trusted, in order.
    pub periods: Vec<PeriodVerified>,
}

/// One closed period held against what is there today.
#[derive(Clone, Debug, Serialize)]
pub struct PeriodVerified {
    /// Its number.
    pub period: u32,
    /// Last day in it.
    pub through: chrono::NaiveDate,
    /// Its seal.
    pub seal: String,
    /// Why it was closed although something was open.
    pub despite: Option<String>,
    /// The program that closed it, where it is not this one.
    pub program: Option<String>,
    /// Inputs that changed, came or went since.
    pub inputs: Vec<InputChange>,
    /// Records that differ.
    pub records: Vec<ChangeTold>,
    /// Amounts that differ.
    pub amounts: Vec<AmountDiffers>,
    /// Why it could not be rebuilt.
    pub not_rebuilt: Vec<FindingLine>,
}

/// An input that is not what it was.
#[derive(Clone, Debug, Serialize)]
pub struct InputChange {
    /// Its file.
    pub file: String,
    /// `changed`, `new` or `gone`.
    pub is: &'static str,
    /// Lines taken out and put in, of the contract and of rule sets.
    pub lines: Vec<String>,
}

/// An amount that would be another today.
#[derive(Clone, Debug, Serialize)]
pub struct AmountDiffers {
    /// Key of its figure.
    pub key: String,
    /// What it is.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// When the period was closed; null where it was not there.
    pub closed: Option<String>,
    /// Today; null where it is not there.
    pub now: Option<String>,
}

impl Verified {
    /// Whether everything is as it was closed and would be closed the same today.
    #[must_use]
    pub fn same(&self) -> bool {
        self.faults.is_empty() && self.periods.iter().all(PeriodVerified::same)
    }
}

impl PeriodVerified {
    /// Whether the period would be closed the same today.
    #[must_use]
    pub fn same(&self) -> bool {
        self.records.is_empty() && self.amounts.is_empty() && self.not_rebuilt.is_empty()
    }
}

/// Reads every byte of the closed periods again and rebuilds each from the inputs as they are now.
///
/// # Errors
/// Where the shelf or the contract cannot be read.
pub fn verify(root: &Path, tick: Tick<'_>) -> Result<Verified, Stop> {
    let shelf = intake::shelf(root, true)?;
    let (past, found) = closing::checked(shelf.clone());
    let (faults, notes): (Vec<Finding>, Vec<Finding>) = found.into_iter().partition(|f| f.code == Code::ClosingAltered);
    let periods = match contract_of(root) {
        Ok(contract) => past
            .closings
            .iter()
            .map(|closing| {
                let rebuilt = computed_on(root, contract.clone(), &past, Some(closing.through), tick);
                period(&past, closing, &shelf, rebuilt)
            })
            .collect(),
        Err(stop) => past.closings.iter().map(|closing| period(&past, closing, &shelf, Err(stop.clone()))).collect(),
    };
    let said = |findings: Vec<Finding>| findings.iter().map(|f| worded(&Sources::default(), f)).collect();
    Ok(Verified { faults: said(faults), notes: said(notes), periods })
}

fn period(past: &Past, closing: &Closing, shelf: &Shelf, rebuilt: Result<Computed, Stop>) -> PeriodVerified {
    let program = super::closing::program();
    let mut verified = PeriodVerified {
        period: closing.period,
        through: closing.through,
        seal: closing.seal.clone(),
        despite: closing.despite.as_ref().map(|d| d.reason.clone()),
        program: (closing.program != program).then(|| closing.program.clone()),
        inputs: Vec::new(),
        records: Vec::new(),
        amounts: Vec::new(),
        not_rebuilt: Vec::new(),
    };
    let held = rebuilt.and_then(|computed| hold(past, closing, shelf, &computed, &mut verified));
    if let Err(stop) = held {
        verified.not_rebuilt = stop.in_words().collect();
    }
    verified
}

fn hold(
    past: &Past,
    closing: &Closing,
    shelf: &Shelf,
    computed: &Computed,
    verified: &mut PeriodVerified,
) -> Result<(), Stop> {
    verified.inputs = inputs(closing, shelf, computed);
    let now = closing::records(&computed.book);
    verified.records = closing::changes(&past.records(closing.period)?, &now).iter().filter_map(Change::told).collect();
    verified.amounts = amounts(closing, computed)?;
    Ok(())
}

fn inputs(closing: &Closing, shelf: &Shelf, computed: &Computed) -> Vec<InputChange> {
    let now = computed.inputs_hashed();
    let same_file = |file: &str, of: &[Hashed]| of.iter().find(|h| h.file == file).cloned();
    let then = closing.inputs.iter().filter_map(|then| {
        let lines = || lines(&then.file, closing, shelf, computed);
        match same_file(&then.file, &now) {
            None => Some(InputChange { file: then.file.clone(), is: "gone", lines: Vec::new() }),
            Some(other) if other != *then => {
                Some(InputChange { file: then.file.clone(), is: "changed", lines: lines() })
            }
            Some(_) => None,
        }
    });
    let new = now.iter().filter(|h| same_file(&h.file, &closing.inputs).is_none());
    then.chain(new.map(|h| InputChange { file: h.file.clone(), is: "new", lines: Vec::new() })).collect()
}

/// The lines of the contract or a rule set that went and came; of other files none.
fn lines(file: &str, closing: &Closing, shelf: &Shelf, computed: &Computed) -> Vec<String> {
    let folder = shelf.folders.iter().find(|f| Closing::folder(closing.period).ends_with(&format!("/{}", f.name)));
    let then = folder.and_then(|f| f.files.iter().find(|(name, _)| name == file)?.1.as_deref());
    let (Some(then), Some(now)) = (then, computed.text_of(file)) else { return Vec::new() };
    let then = String::from_utf8_lossy(then);
    let diff = TextDiff::from_lines(then.as_ref(), now);
    let changes = diff.iter_all_changes();
    changes
        .filter_map(|change| {
            let sign = match change.tag() {
                ChangeTag::Equal => return None,
                ChangeTag::Delete => '-',
                ChangeTag::Insert => '+',
            };
            Some(format!("{sign} {}", change.value().trim_end()))
        })
        .collect()
}

fn amounts(closing: &Closing, computed: &Computed) -> Result<Vec<AmountDiffers>, Stop> {
    let now = computed.amounts()?;
    let mut found = Vec::new();
    for then in &closing.amounts {
        let other = now.iter().find(|a| a.key == then.key);
        let same = other.map_or(then.value.is_zero(), |other| (other.value, &other.unit) == (then.value, &then.unit));
        if !same {
            found.push((Some(then), other));
        }
    }
    // A line that came to nothing moves nothing, whether it stands there or not.
    let new = now.iter().filter(|a| !a.value.is_zero() && !closing.amounts.iter().any(|then| then.key == a.key));
    found.extend(new.map(|a| (None, Some(a))));
    let differs = |(then, now): (Option<&closing::Amount>, Option<&closing::Amount>)| {
        let either = then.or(now)?;
        Some(AmountDiffers {
            key: either.key.clone(),
            label: either.label.clone(),
            unit: either.unit.clone(),
            closed: then.map(|a| a.value.to_string()),
            now: now.map(|a| a.value.to_string()),
        })
    };
    Ok(found.into_iter().filter_map(differs).collect())
}

/// How many lines of one kind are printed before the rest is counted.
const SHOWN: usize = 20;

impl Verified {
    /// In words, period by period.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::new();
        for fault in self.faults.iter().chain(&self.notes) {
            out.push_str(&format!("{}\n    {}\n", fault.message, fault.remedy));
        }
        self.periods.iter().for_each(|period| period.told(&mut out));
        let verdict = match (self.periods.len(), self.same()) {
            (0, true) => "no period is closed",
            (_, true) => "as closed: every file, and every period rebuilt from the inputs as they are now",
            (_, false) if !self.faults.is_empty() => "NOT AS CLOSED: closed/ was altered",
            (_, false) => "closed/ is as it was closed; what is there now would make other amounts or records",
        };
        out.push_str(&format!("{verdict}\n"));
        out
    }
}

impl PeriodVerified {
    fn told(&self, out: &mut String) {
        let state = match () {
            () if !self.not_rebuilt.is_empty() => "cannot be rebuilt",
            () if self.same() => "the same today",
            () => "another today",
        };
        let (period, through, seal) = (self.period, self.through, &self.seal);
        out.push_str(&format!("period {period}, through {through}: {state}\n    seal      {seal}\n"));
        let mut say = |word: &str, lines: Vec<String>| {
            for line in lines.iter().take(SHOWN) {
                out.push_str(&format!("    {word:<10}{line}\n"));
            }
            if lines.len() > SHOWN {
                out.push_str(&format!("    {word:<10}and {} more\n", lines.len() - SHOWN));
            }
        };
        say("despite", self.despite.iter().cloned().collect());
        say("program", self.program.iter().map(|program| format!("closed by {program}")).collect());
        for input in &self.inputs {
            say("input", vec![format!("{}: {}", input.file, input.is)]);
            say("", input.lines.clone());
        }
        say("record", self.records.iter().map(ChangeTold::line).collect());
        say("amount", self.amounts.iter().map(AmountDiffers::told).collect());
        say("", self.not_rebuilt.iter().map(|f| format!("{}: {}", f.place, f.message)).collect());
    }
}

impl AmountDiffers {
    fn told(&self) -> String {
        let said = |value: &Option<String>| value.clone().unwrap_or_else(|| "not there".into());
        format!("{} ({}): closed with {}, now {}", self.label, self.unit, said(&self.closed), said(&self.now))
    }
}

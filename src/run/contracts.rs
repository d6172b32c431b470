//! Every contract below a folder: found, told apart, each done and written by itself, then laid beside each other.
//!
//! A contract that cannot be done stops no other. Two that would be written to the same folder are both refused before
//! anything is written. At most one contract for each thread is in memory.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;

use super::side_by_side::side_by_side;
use super::{Computed, Stop, Tick, Writing, as_of, compute, wrong_date};
use crate::contract::{self, Contract};
use crate::dossier::{ContractDone, ContractLine, Contracts, FindingLine, worded};
use crate::finding::{Code, Finding, Place};
use crate::intake::{self, ContractFolder};
use crate::line;
use crate::outbox;
use crate::pay;
use crate::render;
use crate::source::Sources;

/// The files that lay the contracts beside each other.
pub const SUMMARIES: [&str; 3] = ["summary.txt", "summary.csv", "summary.json"];

/// What came of every contract below a folder.
pub struct Many {
    /// The contracts.
    pub contracts: Contracts,
    /// `summary.txt`.
    pub text: String,
    /// `summary.json`.
    pub json: String,
    /// Why the summaries were not written, although contracts may have been.
    pub unwritten: Option<Stop>,
}

/// Does every contract at or below `root`, writes each to its own folder in `out`, and three summaries beside them.
///
/// # Errors
/// Before anything is written: where there is no contract, or summaries stand in `out` and are not to be replaced.
pub fn many(root: &Path, out: &Path, writing: &Writing<'_>, tick: Tick<'_>) -> Result<Many, Stop> {
    outbox::free(out, &SUMMARIES, writing.replace).map_err(|e| not_written(out, &e.to_string()))?;
    let folders = intake::contract_folders(root);
    if folders.found.is_empty() {
        return Err(none(root, folders.unsearched));
    }
    let told = tell_apart(&folders.found, writing.through);
    let one = |(folder, name): &(&ContractFolder, Result<String, Stop>)| -> Result<ContractDone, Stop> {
        let name = name.as_ref().map_err(Clone::clone)?;
        done(&compute(&folder.path, writing.through, &|_, _| ())?, out, name, writing)
    };
    let made = side_by_side(&told, one, |done| tick(done, told.len()));
    let lines = told.iter().zip(made).map(|((folder, _), made)| {
        let came_to = made.unwrap_or_else(|| Err(broke_down(&folder.shown)));
        ContractLine { folder: folder.shown.clone(), came_to: came_to.map_err(|stop| stop.in_words().collect()) }
    });
    let contracts =
        Contracts { lines: lines.collect(), links: words(&folders.links), unsearched: words(&folders.unsearched) };
    let (text, json) = (render::contracts_text(&contracts), render::contracts_json(&contracts));
    let unwritten = summaries(&contracts, (&text, &json), out, writing.replace).err();
    Ok(Many { contracts, text, json, unwritten })
}

/// Writes what was computed, and keeps only what the summaries say of it.
fn done(computed: &Computed, out: &Path, name: &str, writing: &Writing<'_>) -> Result<ContractDone, Stop> {
    computed.write(&out.join(name), writing)?;
    Ok(ContractDone::of(&computed.dossier(), &computed.estimate, &computed.book, name.into()))
}

fn summaries(contracts: &Contracts, (text, json): (&str, &str), out: &Path, replace: bool) -> Result<(), Stop> {
    let csv = render::contracts_csv(contracts).map_err(|e| not_written(out, &e.to_string()))?;
    let files = [text.into(), csv, json.into()].map(String::into_bytes);
    let files: Vec<(String, Vec<u8>)> = SUMMARIES.map(String::from).into_iter().zip(files).collect();
    outbox::add(out, &files, replace).map_err(|e| not_written(out, &e.to_string()))
}

/// The folder that each contract is written to, or why it cannot be told.
fn tell_apart(folders: &[ContractFolder], through: Option<NaiveDate>) -> Vec<(&ContractFolder, Result<String, Stop>)> {
    let named: Vec<Result<String, Stop>> = folders.iter().map(|folder| name_of(&folder.path, through)).collect();
    let mut same: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (place, name) in named.iter().enumerate() {
        same.entry(name.as_deref().unwrap_or_default()).or_default().push(place);
    }
    let others = |place: usize, name: &str| -> Vec<&str> {
        let alike = same.get(name).into_iter().flatten();
        alike.filter(|&&other| other != place).map(|&other| folders[other].shown.as_str()).collect()
    };
    let told = named.iter().enumerate().map(|(place, name)| match name {
        Ok(name) if !others(place, name).is_empty() => Err(clash(name, &others(place, name))),
        other => other.clone(),
    });
    folders.iter().zip(told).collect()
}

fn name_of(root: &Path, through: Option<NaiveDate>) -> Result<String, Stop> {
    let contract = contract::load(&intake::text(root, "contract.toml")?)?;
    let (period, _) = pay::period_of(&contract, as_of(&contract, through)?).map_err(|why| wrong_date(&why))?;
    Ok(folder_of(&contract, period.number))
}

/// `hr-31-07-03`: contract and period.
pub(super) fn folder_of(contract: &Contract, period: u32) -> String {
    format!("{}-{period:02}", line::slug(&contract.number))
}

fn clash(name: &str, others: &[&str]) -> Stop {
    let message = format!("{} would be written to the same folder, {name}; neither was", others.join(", "));
    let remedy =
        "give each contract its own number in contract.toml, or take the copy out of the folder that is searched";
    Finding::new(Code::NotWritten, Place::File("contract.toml".into()), message, remedy).into()
}

fn none(root: &Path, unsearched: Vec<Finding>) -> Stop {
    let message = "no contract folder lies here: nothing at or below it is named contract.toml (folders field, closed \
                   and out are not searched, links are not followed)";
    let remedy = "point at a folder whose subfolders hold contract.toml beside field/";
    let none = Finding::new(Code::FileUnreadable, Place::File(root.display().to_string()), message, remedy);
    [vec![none], unsearched].concat().into()
}

fn broke_down(folder: &str) -> Stop {
    let remedy = "this is a fault of the program; report it with the contract folder";
    Finding::new(Code::RenderFailed, Place::File(folder.into()), "the program broke down on this contract", remedy)
        .into()
}

fn not_written(out: &Path, why: &str) -> Stop {
    let remedy = "give another folder with --out, or --replace to replace what stands there";
    Finding::new(Code::NotWritten, Place::File(out.display().to_string()), why, remedy).into()
}

fn words(findings: &[Finding]) -> Vec<FindingLine> {
    findings.iter().map(|finding| worded(&Sources::default(), finding)).collect()
}

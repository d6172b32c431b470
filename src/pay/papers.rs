//! Papers that pay depends on: which have come, which are due and missing, and what waits for them.
//!
//! ```text
//! received    a record of a document with each word of the paper in what it is and what it is about, and with
//!             each word of whoever issues it there or in who wrote it; where the contract names none, with the
//!             number of one of the paper's items in what it is or is about
//! due         on the day the contract names, else so many days after the first quantity of its items; where the
//!             contract gives both, on the later
//! held        what an item earned to date, less what of it is held already, while a paper that holds it is missing
//! ```
//!
//! Words are compared without case; a number of an item is a word by itself. A document that could be several of the papers counts
//! for none of them. What is held is no deduction: it is paid in the period in which the paper comes.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};

use super::{AdjustmentLine, HeldLine, Inputs, ItemPay, PaperLine, PaperStands};
use crate::contract::{Contract, Paper, PaperDue};
use crate::figure::{Book, Expr, Figure, FigureId, max, whole};
use crate::finding::{Code, Finding, Place};
use crate::intake::Document;
use crate::line::slug;
use crate::units::Unit;

/// How each paper stands as of a day, in the contract's order.
pub(super) fn stands(inputs: Inputs<'_>, items: &[ItemPay], day: NaiveDate) -> Vec<PaperStands> {
    let contract = inputs.contract;
    let documents = inputs.records.documents.iter().enumerate().filter(|(_, d)| d.date.value <= day);
    let meant: Vec<(usize, usize)> = documents
        .filter_map(|(place, document)| match could_be(contract, document).as_slice() {
            [only] => Some((*only, place)),
            _ => None,
        })
        .collect();
    let one = |(place, paper): (usize, &Paper)| {
        let documents = meant.iter().filter(|(of, _)| *of == place).map(|(_, document)| *document);
        let received = documents.min_by_key(|&d| inputs.records.documents[d].date.value);
        let due = due(paper, items, day);
        let missing = received.is_none() && due.is_some_and(|due| due <= day);
        PaperStands { paper: place, due, received, missing }
    };
    contract.papers.iter().enumerate().map(one).collect()
}

/// The day a paper is due; `None` while nothing makes it due.
fn due(paper: &Paper, items: &[ItemPay], day: NaiveDate) -> Option<NaiveDate> {
    let after_first = |days: u32| {
        let lines = items.iter().filter(|pay| paper.items.contains(&pay.item)).flat_map(|pay| &pay.lines);
        let first = lines.map(|line| line.date).filter(|date| *date <= day).min()?;
        first.checked_add_days(Days::new(days.into()))
    };
    match paper.due {
        PaperDue::On(day) => Some(day),
        PaperDue::AfterFirst(days) => after_first(days),
        PaperDue::Later(day, days) => after_first(days).map(|after| after.max(day)),
    }
}

/// The papers of the contract that a document could be, by place.
fn could_be(contract: &Contract, document: &Document) -> Vec<usize> {
    let said = |texts: &[Option<&str>]| texts.iter().flatten().flat_map(|text| words(text)).collect::<BTreeSet<_>>();
    let [what, about, by] = [&document.what, &document.about, &document.by].map(|t| t.as_ref().map(|t| &*t.value));
    let (is, issued) = (said(&[what, about]), said(&[what, about, by]));
    let fits = |paper: &Paper| {
        let named = match &paper.from {
            Some(from) => words(from).all(|word| issued.contains(&word)),
            None => paper.items.iter().any(|&item| is.contains(&contract.items[item].number.to_lowercase())),
        };
        named && words(&paper.paper).all(|word| is.contains(&word))
    };
    (0..contract.papers.len()).filter(|&paper| fits(&contract.papers[paper])).collect()
}

/// Words of a text without case; a point or dash inside a word stays, so that `5.1` is a word.
fn words(text: &str) -> impl Iterator<Item = String> {
    let parts = text.split(|c: char| !(c.is_alphanumeric() || c == '.' || c == '-'));
    parts.map(|word| word.trim_matches(['.', '-']).to_lowercase()).filter(|word| !word.is_empty())
}

/// What is missing, and the documents that could be several papers.
pub(super) fn findings(inputs: Inputs<'_>, stands: &[PaperStands]) -> Vec<Finding> {
    let contract = inputs.contract;
    let missing = stands.iter().filter(|s| s.missing).map(|s| missing(contract, s));
    let several = inputs.records.documents.iter().filter_map(|document| {
        let papers = could_be(contract, document);
        (papers.len() > 1).then(|| ambiguous(contract, document, &papers))
    });
    missing.chain(several).collect()
}

/// `mill certificate of Example Steel, items 401, 402`.
pub(super) fn named(contract: &Contract, paper: &Paper) -> String {
    let numbers: Vec<&str> = paper.items.iter().map(|&item| contract.items[item].number.as_str()).collect();
    let from = paper.from.as_ref().map_or_else(String::new, |from| format!(" of {from}"));
    let items = if numbers.len() == 1 { "item" } else { "items" };
    format!("{}{from}, {items} {}", paper.paper, numbers.join(", "))
}

fn missing(contract: &Contract, stands: &PaperStands) -> Finding {
    let paper = &contract.papers[stands.paper];
    let since = stands.due.map_or_else(String::new, |due| format!(", due since {due}"));
    let holds = if paper.holds { "; what its items earned is held until it comes" } else { "" };
    let names = paper.from.as_ref().map_or("the item's number", |_| "whoever issues it");
    Finding::new(
        Code::PaperMissing,
        Place::Line { file: "contract.toml".into(), line: paper.line, column: 1 },
        format!("{} is not on record{since}{holds}", named(contract, paper)),
        format!("enter it on a sheet of documents, with the words \"{}\" and {names}", paper.paper),
    )
}

fn ambiguous(contract: &Contract, document: &Document, papers: &[usize]) -> Finding {
    let names: Vec<String> = papers.iter().map(|&paper| named(contract, &contract.papers[paper])).collect();
    Finding::new(
        Code::PaperAmbiguous,
        Place::Row(document.number.at),
        format!("document {} could be any of: {}; it counts for none", document.number.value, names.join("; ")),
        "name in the row the item or the supplier that it is of, or tell the papers apart in contract.toml",
    )
}

/// What every item holds for its papers as of a day; `previous` says that it is the end of the period before.
pub(super) fn lines(
    inputs: Inputs<'_>,
    items: &[ItemPay],
    (adjustments, held): (&[AdjustmentLine], &[HeldLine]),
    stands: &[PaperStands],
    previous: bool,
    book: &mut Book,
) -> Vec<PaperLine> {
    let contract = inputs.contract;
    let mut found = Vec::new();
    for pay in items {
        let waits = |s: &&PaperStands| {
            let paper = &contract.papers[s.paper];
            s.missing && paper.holds && paper.items.contains(&pay.item)
        };
        let papers: Vec<usize> = stands.iter().filter(waits).map(|s| s.paper).collect();
        let since = stands.iter().filter(waits).filter_map(|s| s.due).min();
        if let (false, Some(since)) = (papers.is_empty(), since) {
            let adjusted = adjustments.iter().filter(|a| a.item == pay.item && !(previous && a.this_period));
            let held = held.iter().filter(|l| l.item == pay.item && l.previous == previous).map(|l| l.amount);
            let others = adjusted.map(|a| a.amount).chain(held).collect();
            let amount = amount(contract, pay, others, previous, book);
            found.push(PaperLine { item: pay.item, papers, since, amount, previous });
        }
    }
    found
}

/// The whole of what an item earned, taken off; nothing where it earned nothing.
fn amount(contract: &Contract, pay: &ItemPay, others: Vec<FigureId>, previous: bool, book: &mut Book) -> FigureId {
    let number = &contract.items[pay.item].number;
    let when = if previous { "papers-before" } else { "papers" };
    let key = format!("item-{}.{when}", slug(number));
    let work = if previous { pay.amount.previous } else { pay.amount.to_date };
    let label = format!("item {number}, earned before papers");
    let earned = Figure::new(format!("{key}.earned"), label, "E", Unit::Money, whole(0));
    let parts = std::iter::once(work).chain(others).map(Expr::from).collect();
    let earned = book.add_sum(earned.rounded(contract.roundings.money), parts);
    let expr = whole(0) - max([Expr::from(earned), whole(0)]);
    let label = format!("item {number}, held for papers");
    let held = Figure::new(format!("{key}.amount"), label, "A", Unit::Money, expr);
    book.add(held.rounded(contract.roundings.money))
}

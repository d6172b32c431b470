//! The audit of an estimate: how the sample was drawn, the list of chosen lines, every line it was drawn from, and a work
//! sheet for each chosen one.

mod evidence;
mod lists;

use super::layout::{line, text, words};
use super::{Dossier, Finished, Page, Row, Shown, Step, Table, WorkSheet, compose};
use crate::accept::Verdict;
use crate::figure::{Agreement, FigureId};
use crate::pay::audit::{Audit, Chosen, MoneyLine, Moves, Sampled};
use crate::units::Unit;

const DEFICIENT: &str = "These records are about pavement that may be deficient. Whether it is left in place, removed or opened to \
traffic is decided by the licensed engineer under the contract and local code, not by this sheet.";

/// The pages and work sheets of an audit.
#[must_use]
pub fn audit(finished: Finished<'_>, audit: &Audit) -> Dossier {
    let coverage = &audit.coverage;
    Dossier {
        pages: vec![sample_page(finished, audit), lists::population(finished, audit)],
        work_sheets: (1..).zip(&audit.sample).map(|(n, s)| work_sheet(finished, audit, n, s)).collect(),
        leading: vec![
            ("audited-of", coverage.all),
            ("audited", coverage.chosen),
            ("audited-percent", coverage.percent),
            ("earned-to-date", finished.estimate.earned().to_date),
        ],
        ..compose(finished)
    }
}

fn sample_page(finished: Finished<'_>, audit: &Audit) -> Page {
    Page {
        id: "audit",
        title: "Audit sample",
        question: "Which lines are computed again, why these, and how much of the money do they cover?",
        blocks: lists::sample(finished, audit),
    }
}

/// `largest first, 3 of 24`.
fn why(audit: &Audit, chosen: Chosen) -> String {
    let of = |first: fn(&Chosen) -> bool| audit.sample.iter().filter(|s| first(&s.chosen)).count();
    match chosen {
        Chosen::NoAmount => "no amount could be computed".into(),
        Chosen::Largest(rank) => format!("largest first, {rank} of {}", of(|c| matches!(c, Chosen::Largest(_)))),
        Chosen::Drawn(rank) => format!("drawn at random, {rank} of {}", of(|c| matches!(c, Chosen::Drawn(_)))),
        Chosen::ForItem => "drawn for its item, which had no other".into(),
    }
}

/// A unit in words, with the contract's currency.
fn in_currency(unit: Unit, currency: &str) -> String {
    match unit {
        Unit::Money => currency.into(),
        Unit::MoneyPer(of) => format!("{currency}/{of}"),
        other => other.to_string(),
    }
}

fn sheet_name(finished: Finished<'_>, number: usize, line: &MoneyLine) -> String {
    format!("{number} item {}", finished.contract.items[line.item].number)
}

fn work_sheet(finished: Finished<'_>, audit: &Audit, number: usize, sampled: &Sampled) -> WorkSheet {
    let line = &audit.lines[sampled.line];
    let (evidence, runs) = evidence::laid_out(finished.book, &sampled.below.leaves, &finished.contract.currency);
    WorkSheet {
        name: sheet_name(finished, number, line),
        title: format!("{number}. {}", line.name),
        why: format!("Chosen: {}.", why(audit, sampled.chosen)),
        cautions: if may_be_deficient(finished, line) { vec![DEFICIENT.into()] } else { Vec::new() },
        claim: claim(finished, audit, sampled.line),
        evidence,
        runs,
        steps: sampled.below.steps.iter().zip(&sampled.again).map(|(&f, &a)| step(f, a)).collect(),
        verdict: verdict(sampled),
        signers: vec![("Computed again for the owner".into(), finished.contract.parties.owner.clone())],
    }
}

fn step(figure: FigureId, again: Agreement) -> Step {
    let again = match again {
        Agreement::Equal => "equal".into(),
        Agreement::Differs(other) => format!("not equal: {other} comes out"),
        Agreement::Neither => "no number, nor again".into(),
    };
    Step { figure, again }
}

fn verdict(sampled: &Sampled) -> String {
    let differ = sampled.again.iter().filter(|a| matches!(a, Agreement::Differs(_))).count();
    let steps = sampled.again.len();
    if sampled.equal() {
        format!("Computed a second time from the records alone, each of the {steps} steps comes out equal.")
    } else {
        format!("Computed a second time from the records alone, {differ} of the {steps} steps come out NOT EQUAL.")
    }
}

/// Adjustments and what is held, unless judged sound or above; and quantities of items that hold or adjust nothing are quiet.
fn may_be_deficient(finished: Finished<'_>, line: &MoneyLine) -> bool {
    let amount = finished.book[line.amount].value.decimal();
    let undecided =
        finished.estimate.adjustments.iter().any(|a| {
            a.amount == line.amount && matches!(finished.judged.outcomes[a.outcome].verdict, Verdict::Undecided)
        });
    match line.moves {
        Moves::Quantity | Moves::HeldForPapers | Moves::Price | Moves::Stored => false,
        Moves::Held => true,
        Moves::Adjustment => undecided || amount.is_none_or(|a| a.is_sign_negative()),
    }
}

fn claim(finished: Finished<'_>, audit: &Audit, place: usize) -> Table {
    let moved = &audit.lines[place];
    let item = &finished.contract.items[moved.item];
    let said = |what: &str, words: String| line(vec![text(what), text(words), super::Shown::Blank, Shown::Blank]);
    let shown = |what: &str, id: FigureId| -> Row {
        line(vec![
            text(what),
            Shown::Blank,
            Shown::Figure(id),
            text(in_currency(finished.book[id].unit, &finished.contract.currency)),
        ])
    };
    let record = moved
        .record
        .map_or_else(|| "of several records, listed below".to_string(), |at| finished.intake.sources.row(at));
    Table {
        id: "work-sheet-claim".into(),
        title: "What is claimed".into(),
        columns: vec![words("", 20), words("", 52), super::layout::numbers("figure", "", 16), words("unit", 8)],
        rows: vec![
            said("item", format!("{} {}", item.number, item.description)),
            said("line", moved.name.clone()),
            said("kind, and day", format!("{}, {}", moved.moves.word(), moved.date)),
            said("supported by", record),
            shown("quantity", moved.quantity),
            shown("price or rate", moved.rate),
            shown("amount", moved.amount),
            shown("number drawn", audit.numbers[place]),
        ],
        note: String::new(),
    }
}

//! One lot under several rule sets, side by side.

use super::layout::{figure, line, money, numbers, subtotal, text, unit, words};
use super::{Row, Shown, Table};
use crate::accept::Outcome;
use crate::contract::Contract;
use crate::figure::{Book, FigureId};
use crate::rules::{RuleSet, Status};

/// What a rule set makes of the lot.
pub struct Compared<'a> {
    /// The rule set.
    pub set: &'a RuleSet,
    /// The lot, and sections of it that are settled by themselves, each with what it comes to.
    pub outcomes: Vec<(Outcome, Option<FigureId>)>,
    /// Everything added up.
    pub amount: Option<FigureId>,
}

/// The table; `lot` and `item` are names.
#[must_use]
pub fn comparison(contract: &Contract, (lot, item): (&str, &str), all: &[Compared<'_>], book: &Book) -> Table {
    let mut rows: Vec<Row> = Vec::new();
    for compared in all {
        for (n, (outcome, amount)) in compared.outcomes.iter().enumerate() {
            let name = if n == 0 { compared.set.id.clone() } else { String::new() };
            rows.push(row(name, outcome, *amount, book));
        }
        if compared.outcomes.len() > 1 {
            let mut cells = vec![Shown::Blank; 7];
            cells[1] = text("in all");
            cells[6] = figure(compared.amount);
            rows.push(subtotal(cells));
        }
    }
    let from_memory = |c: &&Compared| c.set.status != Status::Transcribed;
    let honest: Vec<&str> = all.iter().filter(from_memory).map(|c| c.set.id.as_str()).collect();
    let note = if honest.is_empty() {
        String::new()
    } else {
        format!(" Examples and rules from memory are no agency's current rule: {}.", honest.join(", "))
    };
    Table {
        id: "comparison".into(),
        title: format!("{lot} under several rule sets"),
        columns: vec![
            words("rule set", 30),
            words("lot or section", 40),
            words("how it stands", 26),
            numbers("entered with", "", 9),
            numbers("rate", "", 8),
            numbers("area", unit(contract.system.area()), 10),
            money("adjustment", &contract.currency, 12),
        ],
        rows,
        note: format!(
            "The stretch is judged as one lot by each, whatever lots it would cut; adjustments are on item {item} and change nothing.{note}"
        ),
    }
}

fn row(name: String, outcome: &Outcome, amount: Option<FigureId>, book: &Book) -> Row {
    let with_unit = |id: Option<FigureId>| match id {
        Some(id) => text(format!("{} {}", book[id].text(), book[id].unit).trim().to_string()),
        None => Shown::Blank,
    };
    line(vec![
        text(name),
        text(outcome.name.clone()),
        text(outcome.verdict.word()),
        with_unit(outcome.entered),
        with_unit(outcome.pay),
        figure(outcome.area),
        figure(amount),
    ])
}

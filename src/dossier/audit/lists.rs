//! The first page of an audit, and the list of every line that the sample was drawn from.

use std::collections::BTreeMap;

use super::super::layout::{line, money, numbers, text, total, words};
use super::super::{Block, Finished, Page, Row, Shown, Table};
use super::{sheet_name, why};
use crate::pay::audit::{Audit, Sampled};
use crate::units::plain;

/// The blocks of the first page.
pub(super) fn sample(finished: Finished<'_>, audit: &Audit) -> Vec<Block> {
    let mut blocks = vec![
        Block::Text(how(audit)),
        Block::Text(again(audit)),
        Block::Table(coverage(finished, audit)),
        Block::Table(list(finished, audit)),
        Block::Table(items(finished, audit)),
    ];
    if !audit.without.is_empty() {
        let numbers: Vec<&str> =
            audit.without.iter().map(|&item| finished.contract.items[item].number.as_str()).collect();
        blocks.push(Block::Text(format!(
            "Items without any line to date, so that none could be chosen: {}.",
            numbers.join(", ")
        )));
    }
    blocks.push(Block::Table(ties(finished, audit)));
    let parties = &finished.contract.parties;
    blocks.push(Block::Signatures(vec![
        ("Reviewed for the owner".into(), parties.owner.clone()),
        ("Seen by the engineer".into(), parties.engineer.clone()),
    ]));
    blocks
}

fn how(audit: &Audit) -> String {
    let rule = &audit.rule;
    let largest = format!(
        "Drawn from every line that moves money to date. The largest by amount without sign come first, until they reach {} \
         percent of all (equal amounts by name)",
        plain(rule.share)
    );
    let example = audit
        .lines
        .first()
        .map_or_else(String::new, |line| format!(" (of the first line: SHA-256 of '{}/{}/1')", rule.seed, line.name));
    format!(
        "{largest}; then {} more of the rest, those with the smallest numbers. The number of a line is drawn from the seed '{}' and \
         the name of the line: SHA-256 of seed/name/1{example}, its first 16 hexadecimal digits over 16^16, cut to six decimals. An \
         item with lines, none of which is among these, adds its line with the smallest number.",
        rule.random, rule.seed
    )
}

fn again(audit: &Audit) -> String {
    let equal = audit.sample.iter().filter(|s| s.equal()).count();
    let steps: usize = audit.sample.iter().map(|s| s.again.len()).sum();
    format!(
        "Each chosen line has a sheet of its own: what is claimed, the records it rests on as they were typed, and each step as a \
         live formula over the records of that sheet, with room for what the reviewer finds. The program computed the {steps} steps a \
         second time from the records alone, in another way: {equal} of {} lines come out equal.",
        audit.sample.len()
    )
}

fn coverage(finished: Finished<'_>, audit: &Audit) -> Table {
    let coverage = &audit.coverage;
    let largest = count(audit, |s| matches!(s.chosen, super::Chosen::Largest(_)));
    let row = |what: &str, lines: Shown, size| line(vec![text(what), lines, Shown::Figure(size)]);
    Table {
        id: "audit-coverage".into(),
        title: "What the sample covers".into(),
        columns: vec![
            words("", 44),
            numbers("lines", "", 8),
            money("amount without sign", &finished.contract.currency, 18),
        ],
        rows: vec![
            row("all lines to date", Shown::Count(length(audit.lines.len())), coverage.all),
            row("what the largest are to reach", Shown::Blank, coverage.wanted),
            row("the largest", Shown::Count(largest), coverage.largest),
            row("all that were chosen", Shown::Count(length(audit.sample.len())), coverage.chosen),
            line(vec![text("chosen of all, percent"), Shown::Blank, Shown::Figure(coverage.percent)]),
        ],
        note: String::new(),
    }
}

fn list(finished: Finished<'_>, audit: &Audit) -> Table {
    let row = |(number, sampled): (usize, &Sampled)| {
        let moved = &audit.lines[sampled.line];
        let name = sheet_name(finished, number, moved);
        line(vec![
            Shown::Sheet { place: number - 1, words: name },
            text(moved.name.clone()),
            Shown::Figure(moved.amount),
            text(why(audit, sampled.chosen)),
            Shown::Figure(audit.numbers[sampled.line]),
            text(if sampled.equal() { "equal" } else { "NOT EQUAL" }),
        ])
    };
    Table {
        id: "audit-list".into(),
        title: "Chosen lines".into(),
        columns: vec![
            words("sheet", 12),
            words("line", 40),
            money("amount", &finished.contract.currency, 14),
            words("why it was chosen", 20),
            numbers("number", "", 9),
            words("again", 8),
        ],
        rows: (1..).zip(&audit.sample).map(row).collect(),
        note: String::new(),
    }
}

fn items(finished: Finished<'_>, audit: &Audit) -> Table {
    let row = |of: &crate::pay::audit::ItemCoverage| {
        let item = &finished.contract.items[of.item];
        line(vec![
            text(item.number.clone()),
            text(item.description.clone()),
            Shown::Count(length(of.lines)),
            Shown::Count(length(of.chosen)),
            Shown::Figure(of.all),
            Shown::Figure(of.covered),
        ])
    };
    let currency = &finished.contract.currency;
    Table {
        id: "audit-items".into(),
        title: "By item".into(),
        columns: vec![
            words("item", 8),
            words("description", 40),
            numbers("lines", "", 8),
            numbers("chosen", "", 8),
            money("amount without sign", currency, 18),
            money("of it chosen", currency, 18),
        ],
        rows: audit.coverage.items.iter().map(row).collect(),
        note: String::new(),
    }
}

/// That the population is whole.
fn ties(finished: Finished<'_>, audit: &Audit) -> Table {
    let last = audit.coverage.ties.len().saturating_sub(1);
    let row = |(n, tie): (usize, &crate::pay::audit::Tie)| -> Row {
        let cells = vec![
            text(tie.what),
            Shown::Count(length(tie.lines)),
            Shown::Figure(tie.sum),
            Shown::Figure(tie.estimate),
            Shown::Figure(tie.difference),
        ];
        if n == last { total(cells) } else { line(cells) }
    };
    let currency = &finished.contract.currency;
    Table {
        id: "audit-whole".into(),
        title: "Whether these are all the lines there are".into(),
        columns: vec![
            words("to date", 20),
            numbers("lines", "", 8),
            money("sum of the lines", currency, 18),
            money("by the estimate", currency, 18),
            money("difference", currency, 12),
        ],
        rows: audit.coverage.ties.iter().enumerate().map(row).collect(),
        note: "The estimate multiplies an item's whole quantity by its price and rounds once; here each line is rounded by itself. \
               More than some cents of difference means that something moves money that is not among the lines."
            .into(),
    }
}

/// Every line, in the order of the estimate.
pub(super) fn population(finished: Finished<'_>, audit: &Audit) -> Page {
    let chosen: BTreeMap<usize, String> = audit.sample.iter().map(|s| (s.line, why(audit, s.chosen))).collect();
    let row = |(place, moved): (usize, &crate::pay::audit::MoneyLine)| {
        line(vec![
            text(moved.moves.word()),
            text(moved.name.clone()),
            Shown::Figure(moved.amount),
            Shown::Figure(audit.numbers[place]),
            text(chosen.get(&place).cloned().unwrap_or_default()),
        ])
    };
    let table = Table {
        id: "audit-population".into(),
        title: "Every line that moves money to date".into(),
        columns: vec![
            words("kind", 10),
            words("line", 56),
            money("amount", &finished.contract.currency, 15),
            numbers("number", "", 9),
            words("chosen", 24),
        ],
        rows: audit.lines.iter().enumerate().map(row).collect(),
        note: String::new(),
    };
    Page {
        id: "audit-population",
        title: "All lines",
        question: "Which lines was the sample drawn from?",
        blocks: vec![Block::Table(table)],
    }
}

fn count(audit: &Audit, of: impl Fn(&Sampled) -> bool) -> u64 {
    length(audit.sample.iter().filter(|s| of(s)).count())
}

fn length(n: usize) -> u64 {
    u64::try_from(n).unwrap_or(u64::MAX)
}

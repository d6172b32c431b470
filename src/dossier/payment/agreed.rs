//! What was agreed: change orders and what the contract comes to by them, and the days allowed and used.

use super::super::layout::{figure, line, money, numbers, text, total, words};
use super::super::{Block, Finished, Row, Shown, Table};
use crate::contract::Change;
use crate::figure::FigureId;
use crate::line::slug;

/// The contract amount as bid, each change, and the amount as changed.
pub(super) fn changes(finished: Finished<'_>) -> Vec<Block> {
    let changes = &finished.contract.payment.changes;
    let Some(authorized) = finished.estimate.settlement.authorized.as_ref().filter(|_| !changes.is_empty()) else {
        return Vec::new();
    };
    let mut rows = vec![line(vec![
        Shown::Blank,
        Shown::Blank,
        text("as bid"),
        Shown::Blank,
        Shown::Blank,
        Shown::Figure(authorized.original),
    ])];
    let through = changes.iter().zip(&authorized.changes).filter(|(change, _)| change.date <= finished.through);
    rows.extend(through.map(|(change, &amount)| row(finished, change, amount)));
    let last = Shown::Figure(authorized.contract[0]);
    rows.push(total(vec![Shown::Blank, Shown::Blank, text("as changed, to date"), Shown::Blank, Shown::Blank, last]));
    vec![
        Block::Heading("Changes".into()),
        Block::Table(Table {
            id: "changes".into(),
            title: "Contract amount".into(),
            columns: vec![
                words("change", 8),
                words("day", 11),
                words("reason", 34),
                words("items", 20),
                numbers("days added", "", 10),
                money("amount", &finished.contract.currency, 16),
            ],
            rows,
            note: "A change comes to its quantities at their prices, the amounts agreed and the items that it adds. A new \
                   unit price holds for what is measured on and after the day of its change; adjustments of pay stay on \
                   the price bid."
                .into(),
        }),
    ]
}

fn row(finished: Finished<'_>, change: &Change, amount: FigureId) -> Row {
    let items = &finished.contract.items;
    let changed = change.lines.iter().map(|line| items[line.item].number.clone());
    let number = |at: usize| finished.contract.payment.changes[at].number == change.number;
    let new = items
        .iter()
        .filter(|item| item.terms.added_by.is_some_and(number))
        .map(|item| format!("{} (new)", item.number));
    let named: Vec<String> = changed.chain(new).collect();
    line(vec![
        text(change.number.clone()),
        Shown::Date(change.date),
        text(change.reason.clone()),
        text(named.join(", ")),
        figure(finished.book.by_key(&format!("change-{}.days", slug(&change.number)))),
        Shown::Figure(amount),
    ])
}

/// Days used against days allowed.
pub(super) fn time(finished: Finished<'_>) -> Vec<Block> {
    let Some(delay) = &finished.estimate.settlement.delay else { return Vec::new() };
    let mut figures = delay.steps.clone();
    figures.extend([delay.damages, delay.incentive].into_iter().flatten().map(|amounts| amounts.to_date));
    if figures.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Heading("Time".into()),
        Block::Calculation {
            title: "Damages and incentive to date".into(),
            figures,
            remark: "The first and the last day count. Working days are Monday to Friday without the holidays of the contract.".into(),
        },
    ]
}

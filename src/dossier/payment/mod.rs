//! What stands between the work and what is due, each with its calculation: changes, lump sums, variation, price indices,
//! materials on hand, retainage, entries, time.
//!
//! The page is there only where the contract has any of it.

mod agreed;
mod prices;

use super::layout::{figure, line, money, text, total, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::pay::EntryLine;

pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let mut blocks = Vec::new();
    blocks.extend(agreed::changes(finished));
    blocks.extend(prices::items(finished));
    blocks.extend(prices::variation(finished));
    blocks.extend(prices::indices(finished));
    blocks.extend(prices::stored(finished));
    blocks.extend(retainage(finished));
    blocks.extend(entries(finished));
    blocks.extend(agreed::time(finished));
    (!blocks.is_empty()).then_some(Page {
        id: "payment",
        title: "Payment",
        question: "What stands between the work and what is due, and how does it come about?",
        blocks,
    })
}

/// How much is held back, where that is more than a share of what is earned.
fn retainage(finished: Finished<'_>) -> Vec<Block> {
    let settlement = &finished.estimate.settlement;
    let (Some(retained), Some(rule)) = (&settlement.retained, &finished.contract.payment.retainage) else {
        return Vec::new();
    };
    let plain = rule.steps.is_empty() && rule.most.is_none() && retained.base.is_none() && retained.released.is_none();
    if plain {
        return Vec::new();
    }
    let mut figures = vec![finished.estimate.earned().to_date];
    figures.extend(settlement.authorized.as_ref().map(|authorized| authorized.contract[0]));
    figures.extend(retained.base.map(|base| base.to_date));
    figures.push(retained.retained.to_date);
    figures.extend(retained.released.map(|released| released.to_date));
    vec![
        Block::Heading("Retainage".into()),
        Block::Calculation {
            title: "Retainage to date".into(),
            figures,
            remark: "A step that is reached holds from then on; what is given back is rounded by itself.".into(),
        },
    ]
}

fn entries(finished: Finished<'_>) -> Vec<Block> {
    let lines = &finished.estimate.settlement.entries;
    if finished.contract.payment.entries.is_empty() {
        return Vec::new();
    }
    let mut rows: Vec<Row> = lines.iter().map(|of| entry(finished, of)).collect();
    for (key, label) in [("entries-earned", "counted as earned, to date"), ("entries", "after retainage, to date")] {
        let Some(amounts) = finished.estimate.settlement.line(key) else { continue };
        let mut cells = vec![Shown::Blank; 8];
        cells[2] = text(label);
        cells[5] = Shown::Figure(amounts.to_date);
        rows.push(total(cells));
    }
    let currency = &finished.contract.currency;
    vec![
        Block::Heading("Entries".into()),
        Block::Table(Table {
            id: "entries".into(),
            title: "Entries by hand through this period".into(),
            columns: vec![
                words("entry", 10),
                words("day", 11),
                words("reason", 36),
                words("item", 8),
                words("reverses", 10),
                money("amount", currency, 15),
                money("left of it", currency, 15),
                words("period", 12),
            ],
            rows,
            note: "An entry is never edited; a later one of the other sign reverses it, in part or whole.".into(),
        }),
    ]
}

fn entry(finished: Finished<'_>, of: &EntryLine) -> Row {
    let contract = finished.contract;
    let entries = &contract.payment.entries;
    let entry = &entries[of.entry];
    line(vec![
        text(entry.id.clone()),
        Shown::Date(entry.date),
        text(entry.reason.clone()),
        text(entry.item.map_or_else(String::new, |item| contract.items[item].number.clone())),
        text(entry.reverses.map_or_else(String::new, |place| entries[place].id.clone())),
        Shown::Figure(of.amount),
        figure(of.left),
        text(if of.this_period { "this period" } else { "before" }),
    ])
}

//! What is added to the work or taken off it by agreement: materials on hand, variation of quantities, price indices, what is
//! kept until the end and lump sums by schedule.

use super::super::layout::{line, money, text, total, words};
use super::super::{Block, Finished, Row, Shown, Table};
use crate::contract::StoredMaterial;
use crate::figure::FigureId;
use crate::pay::StoredLine;

/// The materials with their invoices, and the allowance of each item.
pub(super) fn stored(finished: Finished<'_>) -> Vec<Block> {
    let payment = &finished.contract.payment;
    let (Some(on_hand), Some(rule)) = (&finished.estimate.settlement.on_hand, &payment.stored) else {
        return Vec::new();
    };
    let mut rows: Vec<Row> =
        on_hand.lines.iter().map(|of| stored_row(finished, of, &rule.materials[of.material])).collect();
    let mut last = vec![Shown::Blank; 9];
    last[2] = text("allowance to date, within its caps and less what is placed");
    last[8] = Shown::Figure(on_hand.all.to_date);
    rows.push(total(last));
    let currency = &finished.contract.currency;
    let table = Table {
        id: "stored".into(),
        title: "Materials on hand".into(),
        columns: vec![
            words("day", 11),
            words("item", 8),
            words("material", 30),
            words("invoice", 12),
            words("place", 10),
            words("evidence", 30),
            words("paid", 11),
            money("invoice", currency, 15),
            money("at its rate", currency, 15),
        ],
        rows,
        note: format!("No more than {} of the amount agreed of an item.", rule.most.written),
    };
    let calculations = on_hand.items.iter().map(|(item, amounts)| Block::Calculation {
        title: format!("Materials on hand, item {}", finished.contract.items[*item].number),
        figures: vec![amounts.to_date],
        remark: String::new(),
    });
    [Block::Heading("Materials on hand".into()), Block::Table(table)].into_iter().chain(calculations).collect()
}

fn stored_row(finished: Finished<'_>, of: &StoredLine, material: &StoredMaterial) -> Row {
    line(vec![
        Shown::Date(material.date),
        text(finished.contract.items[material.item].number.clone()),
        text(material.material.clone()),
        text(material.invoice.clone()),
        text(if material.on_site { "on site" } else { "elsewhere" }),
        text(material.evidence.clone()),
        material.paid.map_or(Shown::Blank, Shown::Date),
        Shown::Figure(of.invoice),
        Shown::Figure(of.at_rate),
    ])
}

/// Variation of quantities, in the final period.
pub(super) fn variation(finished: Finished<'_>) -> Vec<Block> {
    let Some(varied) = &finished.estimate.settlement.varied else { return Vec::new() };
    let of = |&(item, amounts): &(usize, crate::pay::Amounts)| Block::Calculation {
        title: format!("Variation, item {}", finished.contract.items[item].number),
        figures: vec![finished.estimate.items[item].quantity.to_date, amounts.to_date],
        remark: "Reckoned in the final period only.".into(),
    };
    std::iter::once(Block::Heading("Variation of quantities".into())).chain(varied.items.iter().map(of)).collect()
}

/// Price indices: the change of each month and what it comes to for each item.
pub(super) fn indices(finished: Finished<'_>) -> Vec<Block> {
    let Some(indexed) = &finished.estimate.settlement.indexed else { return Vec::new() };
    let mut blocks = vec![Block::Heading("Price indices".into())];
    for (place, index) in finished.contract.payment.indices.iter().enumerate() {
        let changes = indexed.changes.iter().filter(|(of, ..)| *of == place).map(|(.., change)| *change);
        let items = indexed.items.iter().filter(|(of, ..)| *of == place).map(|(.., amounts)| amounts.to_date);
        let figures: Vec<FigureId> = changes.chain(items).collect();
        let counts = if index.whole { "the whole change counts" } else { "what lies beyond counts" };
        blocks.push(Block::Calculation {
            title: index.name.clone(),
            figures,
            remark: format!("Beyond {} of the base {counts}; exactly at it nothing does.", index.trigger.written),
        });
    }
    blocks
}

/// Items by schedule, and those of which a part is kept until the end.
pub(super) fn items(finished: Finished<'_>) -> Vec<Block> {
    let book = finished.book;
    let mut blocks = Vec::new();
    for pay in &finished.estimate.items {
        let item = &finished.contract.items[pay.item];
        let key = |what: &str| book.by_key(&format!("item-{}.{what}", crate::line::slug(&item.number)));
        let mut figures: Vec<FigureId> = Vec::new();
        if let Some(schedule) = &item.terms.schedule {
            figures.extend(key("bid"));
            figures.extend(key("earned-elsewhere.now"));
            figures.extend((1..=schedule.steps.len()).filter_map(|n| key(&format!("step-{n}.now"))));
        } else if item.terms.until_final.is_some() {
            figures.extend(key("in-full.to-date"));
        } else {
            continue;
        }
        figures.push(pay.amount.to_date);
        blocks.push(Block::Calculation {
            title: format!("Item {}, {}", item.number, item.description),
            figures,
            remark: "What is kept is paid in the final period.".into(),
        });
    }
    if blocks.is_empty() {
        blocks
    } else {
        std::iter::once(Block::Heading("Items paid by degrees".into())).chain(blocks).collect()
    }
}

//! The final estimate: what was built against what was agreed and why it differs, what is given back, and where the evidence
//! lies.

use super::layout::{columns_of, figure, line, money, numbers, text, three_columns, total, unit, words};
use super::{Block, Finished, Page, Row, Shown, Table, basis};
use crate::pay::AgainstPlan;

/// The page; none before the final period.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    if finished.estimate.against_plan.is_empty() {
        return None;
    }
    let mut blocks = vec![Block::Table(quantities(finished)), Block::Table(released(finished))];
    blocks.extend(closings(finished).map(Block::Table));
    blocks.push(Block::Table(evidence(finished)));
    blocks.push(Block::Caution(
        "A final payment waives no defect: what is accepted and what has to be made good is decided by the licensed engineer \
         and the owner under the contract."
            .into(),
    ));
    Some(Page {
        id: "final",
        title: "Final estimate",
        question: "What was built against what was agreed, what is given back, and where is the evidence?",
        blocks,
    })
}

fn quantities(finished: Finished<'_>) -> Table {
    let estimate = finished.estimate;
    let row = |against: &AgainstPlan| {
        let item = &finished.contract.items[against.item];
        let differs = finished.book[against.difference].value.decimal().is_some_and(|d| !d.is_zero());
        let none = if differs { "none given" } else { "" };
        let reason = item.terms.differs_because.clone().unwrap_or_else(|| none.into());
        line(vec![
            text(item.number.clone()),
            text(item.description.clone()),
            text(unit(item.unit)),
            Shown::Figure(against.agreed),
            Shown::Figure(estimate.items[against.item].quantity.to_date),
            Shown::Figure(against.difference),
            figure(against.percent),
            Shown::Figure(against.worth),
            text(reason),
        ])
    };
    Table {
        id: "final-quantities".into(),
        title: "Built against agreed".into(),
        columns: vec![
            words("item", 7),
            words("description", 30),
            words("unit", 6),
            numbers("agreed", "", 12),
            numbers("to date", "", 12),
            numbers("over, under", "", 12),
            numbers("of agreed", "%", 10),
            money("worth", &finished.contract.currency, 14),
            words("reason", 40),
        ],
        rows: estimate.against_plan.iter().map(row).collect(),
        note: "Agreed: plan quantity and change orders. Worth: difference x unit price.".into(),
    }
}

/// Every line between the work and what is due, as on the estimate, so that what is given back stands beside it.
fn released(finished: Finished<'_>) -> Table {
    let estimate = finished.estimate;
    let mut rows: Vec<Row> = vec![line(columns_of("earned", &estimate.earned()))];
    if let Some(retained) = &estimate.settlement.retained {
        rows.push(line(columns_of("retained", &retained.retained)));
        rows.extend(retained.released.as_ref().map(|released| line(columns_of("given back of it", released))));
    }
    rows.push(total(columns_of("due", &estimate.due())));
    Table {
        id: "final-released".into(),
        title: "Retainage, and what is given back".into(),
        columns: three_columns(&finished.contract.currency, 30),
        rows,
        note: "All lines between earned and due stand on the page Estimate.".into(),
    }
}

fn closings(finished: Finished<'_>) -> Option<Table> {
    let row = |closing: &crate::closing::Closing| {
        let despite = closing.despite.as_ref().map_or_else(String::new, |d| d.reason.clone());
        line(vec![
            Shown::Count(closing.period.into()),
            Shown::Date(closing.through),
            text(closing.seal.clone()),
            text(despite),
        ])
    };
    (!finished.closings.is_empty()).then(|| Table {
        id: "final-closings".into(),
        title: "Closed periods".into(),
        columns: vec![numbers("period", "", 7), words("through", 11), words("seal", 66), words("closed despite", 40)],
        rows: finished.closings.iter().map(row).collect(),
        note: "A seal is the SHA-256 of closing.json in the folder of the period, its own digits taken as zeros; each holds the \
               one before."
            .into(),
    })
}

/// Every sheet that a record came from, with the hash of its file.
fn evidence(finished: Finished<'_>) -> Table {
    let files = basis::files(finished);
    let hash = |file: &str| files.iter().find(|f| f.file == file).map_or_else(String::new, |f| f.sha256.clone());
    let rows = basis::sheets(finished)
        .into_iter()
        .filter(|sheet| sheet.rows.used > 0)
        .map(|sheet| {
            let hash = hash(&sheet.file);
            line(vec![
                text(sheet.file),
                text(sheet.sheet),
                text(sheet.kinds),
                Shown::Count(sheet.rows.used.into()),
                text(hash),
            ])
        })
        .collect();
    Table {
        id: "final-evidence".into(),
        title: "Index of evidence".into(),
        columns: vec![
            words("file", 44),
            words("sheet", 18),
            words("records", 20),
            numbers("rows used", "", 9),
            words("SHA-256", 66),
        ],
        rows,
        note: "Files as received. What a row was used for stands on the page of its item or test.".into(),
    }
}

//! Adjustments, each with its hand calculation.

use super::judged::{rate_cells, rate_columns};
use super::layout::{line, money, numbers, text, total, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::accept::Outcome;
use crate::figure::rows_below;
use crate::pay::AdjustmentLine;

pub(super) fn page(finished: Finished<'_>) -> Page {
    let mut blocks = vec![Block::Table(list(finished))];
    for adjustment in &finished.estimate.adjustments {
        let outcome = &finished.judged.outcomes[adjustment.outcome];
        let item = &finished.contract.items[adjustment.item];
        let mut figures = outcome.steps.clone();
        figures.extend([adjustment.quantity, adjustment.rate].into_iter().filter(|f| !outcome.steps.contains(f)));
        figures.push(adjustment.amount);
        blocks.push(Block::Calculation {
            title: format!("{}, item {}", outcome.name, item.number),
            figures,
            remark: remark(finished, outcome),
        });
    }
    if finished.estimate.adjustments.iter().any(|a| a.held) {
        blocks.push(Block::Caution(
            "A section held for the engineer's decision may be unsafe to leave or to open; the licensed engineer decides \
             under the contract and local code."
                .into(),
        ));
    }
    Page {
        id: "adjustments",
        title: "Adjustments",
        question: "Which adjustments are made, by which rule, over which area, and how much?",
        blocks,
    }
}

/// Where the lot lies, which records measured it, and what there is to say of it.
fn remark(finished: Finished<'_>, outcome: &Outcome) -> String {
    let station = |lane, at| finished.contract.station(lane, at);
    let places = outcome.places.iter().map(|&(lane, from, to)| {
        format!("{} {} to {}", finished.contract.lane(lane).name, station(lane, from), station(lane, to))
    });
    let mut remark = format!("covers {}", places.collect::<Vec<_>>().join("; "));
    if let Some(measured) = outcome.average.or(outcome.entered) {
        let sources = &finished.intake.sources;
        let rows = rows_below(finished.book, measured);
        let records: Vec<String> = rows.iter().map(|(sheet, rows)| sources.rows(*sheet, rows)).collect();
        remark.push_str(&format!(". Measured in {}", records.join("; ")));
    }
    if !outcome.note.is_empty() {
        remark.push_str(&format!(". {}", outcome.note));
    }
    remark
}

fn list(finished: Finished<'_>) -> Table {
    let mut rows: Vec<Row> = finished.estimate.adjustments.iter().map(|a| row(finished, a)).collect();
    if rows.is_empty() {
        let mut cells = vec![Shown::Blank; 8];
        cells[0] = text("none");
        rows.push(line(cells));
    } else {
        let mut cells = vec![Shown::Blank; 8];
        cells[0] = text("to date");
        cells[6] = Shown::Figure(finished.estimate.adjusted.to_date);
        rows.push(total(cells));
    }
    Table {
        id: "adjustment-lines".into(),
        title: "Adjustments to date".into(),
        columns: [words("lot or section", 40), words("item", 8), numbers("area or volume", "", 14), words("unit", 5)]
            .into_iter()
            .chain(rate_columns())
            .chain([money("amount", &finished.contract.currency, 15), words("rule", 44)])
            .collect(),
        rows,
        note: "Rate in %: what is paid of the unit price, amount = (rate / 100 - 1) x quantity x unit price. Other rates: money or volume added, taken off where negative. Lines of different properties add up unless a rule combines them.".into(),
    }
}

fn row(finished: Finished<'_>, a: &AdjustmentLine) -> Row {
    let outcome = &finished.judged.outcomes[a.outcome];
    let mut cells = vec![text(outcome.name.clone()), text(finished.contract.items[a.item].number.clone())];
    cells.extend([a.quantity, a.rate].into_iter().flat_map(|figure| rate_cells(finished.book, figure)));
    cells.extend([Shown::Figure(a.amount), text(outcome.clause.clone())]);
    line(cells)
}

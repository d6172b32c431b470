//! Fresh concrete: each result that a rule judges with what it stands for, and all tests as recorded.

use super::layout::{figure, line, numbers, text, unit, words};
use super::{Block, Column, Finished, Page, Row, Shown, Table};
use crate::accept::FreshJudged;
use crate::figure::FigureId;
use crate::rules::{Gives, Property, RuleSet, Shape};
use crate::units::Unit;

/// The page; none where nothing was tested and no rule set for it is chosen.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let bands = finished.rules.iter().filter(|set| matches!(set.shape, Shape::Band(_)));
    let mut blocks: Vec<Block> = bands.map(|set| Block::Table(judged(finished, set))).collect();
    if !finished.intake.records.fresh.is_empty() {
        blocks.push(Block::Table(recorded(finished)));
    }
    (!blocks.is_empty()).then_some(Page {
        id: "fresh",
        title: "Fresh concrete",
        question: "Which results of fresh concrete are outside their limits, what do they stand for, and what is paid?",
        blocks,
    })
}

/// The results of a property, one row for each piece of ground that a test stands for.
fn judged(finished: Finished<'_>, set: &RuleSet) -> Table {
    let of_set = finished.judged.fresh.iter().filter(|fresh| fresh.property == set.property);
    Table {
        id: format!("fresh-{}", set.property.word()),
        title: match set.property {
            Property::Air => "Air content".into(),
            Property::Slump => "Slump".into(),
            _ => "Water-cement ratio".into(),
        },
        columns: columns(finished, set),
        rows: of_set.flat_map(|fresh| rows(finished, set, fresh)).collect(),
        note: "A result on its limit is within it. The calculation of each one outside stands on the page Adjustments."
            .into(),
    }
}

fn columns(finished: Finished<'_>, set: &RuleSet) -> Vec<Column> {
    let system = finished.contract.system;
    let of = match set.property {
        Property::Slump => unit(system.depth()),
        Property::WaterCement => String::new(),
        _ => unit(Unit::Percent),
    };
    let paid = if in_percent(set) {
        numbers("paid", unit(Unit::Percent), 7)
    } else {
        numbers("rate", format!("{}/{}", finished.contract.currency, system.area()), 9)
    };
    vec![
        words("test", 12),
        words("day", 11),
        words("stands for", 34),
        numbers("result", of.clone(), 8),
        numbers("lowest", of.clone(), 8),
        numbers("highest", of.clone(), 8),
        numbers("deviation", of, 9),
        paid,
        numbers("area", unit(system.area()), 12),
        words("note", 50),
    ]
}

fn in_percent(set: &RuleSet) -> bool {
    set.pay().is_none_or(|pay| pay.gives == Gives::Percent)
}

/// A test has a row for each section that its ground lies in, and one of its own where nothing was placed.
fn rows(finished: Finished<'_>, set: &RuleSet, fresh: &FreshJudged) -> Vec<Row> {
    let areas: Vec<Option<FigureId>> = match fresh.outcomes.as_slice() {
        [] => vec![None],
        all => all.iter().map(|&outcome| finished.judged.outcomes[outcome].area).collect(),
    };
    areas.into_iter().map(|area| row(finished, set, fresh, area)).collect()
}

fn row(finished: Finished<'_>, set: &RuleSet, fresh: &FreshJudged, area: Option<FigureId>) -> Row {
    let test = &finished.intake.records.fresh[fresh.test];
    // Until the engineer decides, a table of money says a percent, which has no place in its column.
    let undecided = !in_percent(set) && fresh.pay.is_some_and(|pay| finished.book[pay].unit == Unit::Percent);
    line(vec![
        text(test.number.value.to_string()),
        Shown::Date(test.date.value),
        text(fresh.stands_for.clone()),
        Shown::Figure(fresh.result),
        figure(fresh.limits.0),
        figure(fresh.limits.1),
        figure(fresh.deviation),
        if undecided { text("undecided") } else { figure(fresh.pay) },
        figure(area),
        text(fresh.note.clone()),
    ])
}

fn recorded(finished: Finished<'_>) -> Table {
    let system = finished.contract.system;
    let ratios = finished.intake.records.fresh.iter().any(|f| f.water_cement.is_some());
    let ledger = &finished.line.ledger;
    let rows = finished
        .intake
        .records
        .fresh
        .iter()
        .enumerate()
        .map(|(i, f)| {
            let cell = |id, present| if present { Shown::Cell(id) } else { Shown::Blank };
            let mut cells = vec![
                text(f.number.value.to_string()),
                Shown::Date(f.date.value),
                cell(ledger.fresh_slump(i), f.slump.is_some()),
                cell(ledger.fresh_air(i), f.air.is_some()),
                cell(ledger.fresh_temperature(i), f.temperature.is_some()),
                cell(ledger.fresh_density(i), f.density.is_some()),
            ];
            cells.extend(ratios.then(|| cell(ledger.fresh_water_cement(i), f.water_cement.is_some())));
            line(cells)
        })
        .collect();
    let mut columns = vec![
        words("test", 16),
        words("day", 11),
        numbers("slump", unit(system.depth()), 8),
        numbers("air", "%", 8),
        numbers("temperature", unit(system.temperature()), 12),
        numbers("density", unit(system.density()), 10),
    ];
    columns.extend(ratios.then(|| numbers("water-cement", "", 12)));
    Table {
        id: "fresh-tests".into(),
        title: "All tests".into(),
        columns,
        rows,
        note: "Tests outside the limits are among the findings.".into(),
    }
}

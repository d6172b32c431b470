//! Exploratory cores: where to drill next, and what the sections would come to if those cores are good.

use super::layout::{figure, line, money, numbers, text, unit, words};
use super::{Block, Finished, Row, Shown, Table};
use crate::pay::ExploredLine;

/// Both tables; nothing where no section waits for cores.
pub(super) fn blocks(finished: Finished<'_>) -> Vec<Block> {
    if finished.judged.explorations.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Table(next(finished))];
    if finished.judged.explorations.iter().any(|e| e.if_good.is_some()) {
        blocks.push(Block::Table(if_good(finished)));
    }
    blocks
}

fn next(finished: Finished<'_>) -> Table {
    let contract = finished.contract;
    let mut rows = Vec::new();
    for exploration in &finished.judged.explorations {
        let outcome = &finished.judged.outcomes[exploration.outcome];
        for core in &exploration.next {
            rows.push(line(vec![
                text(outcome.name.clone()),
                text(contract.lane(core.lane).name.clone()),
                text(contract.station(core.lane, core.at)),
                Shown::Figure(core.along),
                text(core.why.clone()),
            ]));
        }
    }
    Table {
        id: "thickness-next-cores".into(),
        title: "Exploratory cores to drill next".into(),
        columns: vec![
            words("section", 42),
            words("lane", 8),
            words("station", 12),
            numbers("along", unit(contract.system.length()), 10),
            words("where", 44),
        ],
        rows,
        note: "From the bad core at the rule's distances until a core is good. Exploratory cores bound a section and are never averaged.".into(),
    }
}

fn if_good(finished: Finished<'_>) -> Table {
    let (contract, judged) = (finished.contract, finished.judged);
    let mut rows: Vec<Row> = Vec::new();
    for (place, exploration) in judged.explorations.iter().enumerate() {
        let Some((area, _)) = exploration.if_good else { continue };
        let own: Vec<&ExploredLine> = finished.estimate.explored.iter().filter(|l| l.exploration == place).collect();
        let row = |item: Shown, now, then| {
            line(vec![
                text(judged.outcomes[exploration.outcome].name.clone()),
                item,
                Shown::Figure(exploration.area),
                figure(now),
                Shown::Figure(area),
                figure(then),
            ])
        };
        if own.is_empty() {
            rows.push(row(Shown::Blank, None, None));
        }
        for explored in own {
            let number = text(contract.items[explored.item].number.clone());
            rows.push(row(number, Some(explored.now), Some(explored.if_good)));
        }
    }
    let area = unit(contract.system.area());
    Table {
        id: "thickness-if-good".into(),
        title: "What the next cores can change".into(),
        columns: vec![
            words("section", 42),
            words("item", 8),
            numbers("area now", area.clone(), 12),
            money("adjustment now", &contract.currency, 14),
            numbers("area if they are good", area, 12),
            money("adjustment then", &contract.currency, 14),
        ],
        rows,
        note: "The section's own adjustment only; what leaves the section is paid with the rest of its lot.".into(),
    }
}

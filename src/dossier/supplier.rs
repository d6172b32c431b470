//! The relative yield of each mix with the densities behind it: what a contractor hands to a supplier, and an engineer to a
//! contractor.

use super::layout::{figure, line, money, numbers, text, unit, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::line::ledger;
use crate::reconcile::{MixYield, SingleYield};

/// The page; `None` where no density was measured on a load that is known.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let account = finished.account;
    if account.densities.is_empty() {
        return None;
    }
    let mut blocks = vec![Block::Table(mixes(finished)), Block::Table(loads(finished))];
    if account.unused_densities > 0 {
        let n = account.unused_densities;
        let (were, their) = if n == 1 { ("density was", "its") } else { ("densities were", "their") };
        blocks.push(Block::Text(format!(
            "{n} {were} left out, because {their} ticket, the mix or what was batched for it is not known."
        )));
    }
    Some(Page {
        id: "supplier",
        title: "Relative yield",
        question: "Did the loads hold what their tickets say?",
        blocks,
    })
}

fn mixes(finished: Finished<'_>) -> Table {
    let (system, currency) = (finished.contract.system, &finished.contract.currency);
    let row = |mix: &MixYield| -> Row {
        let short = mix.short;
        line(vec![
            text(mix.mix.clone()),
            Shown::Count(u64::try_from(mix.loads.len()).unwrap_or(u64::MAX)),
            figure(mix.density),
            figure(mix.relative.map(|(mean, _)| mean)),
            figure(mix.relative.and_then(|(_, off)| off)),
            figure(short.map(|s| s.net)),
            figure(short.map(|s| s.volume)),
            figure(short.and_then(|s| s.off)),
            figure(short.and_then(|s| s.money)),
        ])
    };
    Table {
        id: "supplier-mixes".into(),
        title: "Relative yield by mix".into(),
        columns: vec![
            words("mix", 12),
            numbers("loads tested", "", 7),
            numbers("mean density", unit(system.density()), 9),
            numbers("relative yield", "", 9),
            numbers("give or take", "", 8),
            numbers("net by ticket", unit(system.volume()), 11),
            numbers("short", unit(system.volume()), 9),
            numbers("give or take", unit(system.volume()), 8),
            money("value", currency, 12),
        ],
        rows: finished.account.densities.iter().map(row).collect(),
        note: "Yield of a load is the mass of its batch over the density of its fresh concrete (ASTM C138/C138M); relative yield \
               is that over the volume on the ticket, so that below 1 the ticket says more than came. A mix is corrected by the \
               mean of its loads, of at least three; with fewer it is not corrected. Below zero nothing was short. Give or take: \
               nineteen times in twenty."
            .into(),
    }
}

fn loads(finished: Finished<'_>) -> Table {
    let system = finished.contract.system;
    let book = finished.book;
    let tables = &finished.line.ledger;
    let cell = |load: usize, column: u16| {
        u32::try_from(load).map_or(Shown::Blank, |row| Shown::Cell(book.cell(tables.loads, row, column)))
    };
    let row = |mix: &MixYield, single: &SingleYield| -> Row {
        line(vec![
            text(mix.mix.clone()),
            cell(single.load, 1),
            cell(single.load, 0),
            Shown::Figure(single.mass),
            Shown::Cell(single.density),
            Shown::Figure(single.volume),
            cell(single.load, ledger::load::VOLUME),
            Shown::Figure(single.relative),
            figure(single.running),
            text(if single.by_design { "mass as designed" } else { "" }),
        ])
    };
    let rows = finished.account.densities.iter().flat_map(|mix| mix.loads.iter().map(move |single| row(mix, single)));
    Table {
        id: "supplier-loads".into(),
        title: "The loads behind it".into(),
        columns: vec![
            words("mix", 12),
            words("day", 11),
            words("ticket", 10),
            numbers("mass", unit(system.mass()), 10),
            numbers("density", unit(system.density()), 8),
            numbers("yield", unit(system.volume()), 8),
            numbers("ticket", unit(system.volume()), 8),
            numbers("relative", "", 8),
            numbers("mean of 3", "", 8),
            words("", 16),
        ],
        rows: rows.collect(),
        note: String::new(),
    }
}

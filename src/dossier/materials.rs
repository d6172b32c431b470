//! The materials besides concrete: one account each, read from top to bottom, and what came by day.

use super::layout::{figure, line, money, numbers, subtotal, text, total, unit, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::contract::Need;
use crate::line::slug;
use crate::reconcile::{MaterialAccount, MaterialStep};

/// The page; `None` where the contract keeps no account of any.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    if finished.materials.is_empty() {
        return None;
    }
    Some(Page {
        id: "materials",
        title: "Materials",
        question: "Were base, curing compound, baskets and bars really there?",
        blocks: finished.materials.iter().flat_map(|account| blocks(finished, account)).collect(),
    })
}

fn blocks(finished: Finished<'_>, account: &MaterialAccount) -> Vec<Block> {
    let material = &finished.contract.materials[account.material];
    let mut blocks = vec![Block::Heading(material.name.clone())];
    if account.steps.is_empty() {
        blocks.push(Block::Table(bare(finished, account)));
    } else {
        blocks.push(Block::Table(steps(finished, account)));
        blocks.push(Block::Table(days(finished, account)));
    }
    blocks
}

/// What stands alone: needed and not received, or received and not needed yet.
fn bare(finished: Finished<'_>, account: &MaterialAccount) -> Table {
    let material = &finished.contract.materials[account.material];
    let needed = account.needed.map(|id| line(vec![text("needed; none on record as received"), Shown::Figure(id)]));
    let received = account.received.map(|id| line(vec![text("received; no ground needs it yet"), Shown::Figure(id)]));
    let mut rows: Vec<Row> = needed.into_iter().chain(received).collect();
    if rows.is_empty() {
        rows.push(line(vec![text("neither needed nor received yet"), Shown::Blank]));
    }
    Table {
        id: format!("material-{}", slug(&material.name)),
        title: format!("{}, not compared", material.name),
        columns: vec![words("", 40), numbers("quantity", unit(material.unit), 13)],
        rows,
        note: silent(account).trim_start().into(),
    }
}

fn steps(finished: Finished<'_>, account: &MaterialAccount) -> Table {
    let material = &finished.contract.materials[account.material];
    let priced = account.steps.iter().any(|step| step.money.is_some());
    let last = account.steps.len();
    let row = |(i, step): (usize, &MaterialStep)| -> Row {
        let mut cells = vec![text(step.name), Shown::Figure(step.quantity), figure(step.percent)];
        cells.extend(priced.then(|| figure(step.money)));
        match (step.level, i + 1 == last) {
            (_, true) => total(cells),
            (true, _) => subtotal(cells),
            (false, _) => line(cells),
        }
    };
    let mut columns = vec![words("", 26), numbers("quantity", unit(material.unit), 13), numbers("of needed", "%", 10)];
    columns.extend(priced.then(|| money("value", &finished.contract.currency, 14)));
    Table {
        id: format!("material-{}", slug(&material.name)),
        title: format!("{}, from received to needed", material.name),
        columns,
        rows: account.steps.iter().enumerate().map(row).collect(),
        note: note(finished, account),
    }
}

/// What the need is reckoned from, in words.
fn note(finished: Finished<'_>, account: &MaterialAccount) -> String {
    let material = &finished.contract.materials[account.material];
    let ground =
        if account.by_deliveries { "the ground that its sheets say it went to" } else { "the pavement placed to date" };
    let free = if account.by_deliveries { "have no lane beside them" } else { "were free when placed" };
    let how = match &material.need {
        Need::Volume { depth, density, beyond_edges } => format!(
            "area{} times {} times {} dry",
            beyond_edges.as_ref().map_or_else(String::new, |b| format!(" with {} beyond outer edges", b.written)),
            depth.written,
            density.written
        ),
        Need::Area { covers, edges } => format!(
            "area{} at {}",
            edges.as_ref().map_or_else(String::new, |e| format!(" with edges {} deep that {free}", e.written)),
            covers.written
        ),
        Need::TransverseJoints { spacing, .. } => {
            format!("a joint every {} of each run of a lane, none at its beginning", spacing.written)
        }
        Need::LongitudinalJoints { spacing, .. } => format!(
            "the joints between lanes that are both placed{}",
            spacing.as_ref().map_or_else(String::new, |s| format!(", a piece every {}", s.written))
        ),
        Need::AlongLanes { count } => format!("{} beside each other along each lane", count.written),
    };
    let moist = match account.without_moisture {
        0 => String::new(),
        1 => " One delivery has no moisture and counts as it was weighed.".into(),
        n => format!(" {n} deliveries have no moisture and count as they were weighed."),
    };
    format!("Needed: {how}, over {ground}. What is taken off stands below zero.{moist}{}", silent(account))
}

/// How many deliveries do not say their ground where others do, in words.
fn silent(account: &MaterialAccount) -> String {
    let deliveries = match account.without_ground {
        0 => return String::new(),
        1 => "One delivery does not say its ground".into(),
        n => format!("{n} deliveries do not say their ground"),
    };
    format!(" {deliveries}, so none is taken from the sheets; what lies ahead of paving shows as not explained.")
}

fn days(finished: Finished<'_>, account: &MaterialAccount) -> Table {
    let material = &finished.contract.materials[account.material];
    let mut rows: Vec<Row> = account
        .days
        .iter()
        .map(|day| {
            line(vec![
                Shown::Date(day.date),
                Shown::Count(u64::try_from(day.deliveries).unwrap_or(u64::MAX)),
                Shown::Figure(day.received),
                Shown::Figure(day.used),
                figure(day.needed.map(|(needed, _)| needed)),
                figure(day.needed.map(|(_, percent)| percent)),
            ])
        })
        .collect();
    let all: usize = account.days.iter().map(|day| day.deliveries).sum();
    let all = Shown::Count(u64::try_from(all).unwrap_or(u64::MAX));
    rows.push(total(vec![
        text("to date"),
        all,
        figure(account.received),
        figure(account.used),
        Shown::Blank,
        Shown::Blank,
    ]));
    let rate = account.rate.map(|rate| {
        let cells = vec![text("how far one went"), text(unit(finished.contract.system.coverage())), Shown::Blank];
        line(cells.into_iter().chain([Shown::Figure(rate), Shown::Blank, Shown::Blank]).collect())
    });
    rows.extend(rate);
    Table {
        id: format!("material-{}-days", slug(&material.name)),
        title: format!("{}, by day", material.name),
        columns: vec![
            words("day", 18),
            numbers("rows", "", 9),
            numbers("received", unit(material.unit), 13),
            numbers("used", unit(material.unit), 13),
            numbers("needed", unit(material.unit), 13),
            numbers("over", "%", 9),
        ],
        rows,
        note: "Needed on a day: by the ground that its rows say, where all of them do and no other day has any of it."
            .into(),
    }
}

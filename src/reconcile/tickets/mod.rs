//! Whether the tickets can be true: the audit of loads and batch weights, each remark with the tickets it names.
//!
//! What is impossible by itself is said; everything else is held against a limit of the contract, and without one it is not
//! judged. What could not be checked, because the tickets lack a value, is counted beside what was. Nothing here changes a
//! quantity: a remark asks for a look. Common practice.

mod batching;
mod copied;
mod gaps;
mod hours;
mod limits;
mod mixes;
#[cfg(test)]
mod tests;
mod trucks;
mod twice;
mod water;

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::contract::{Contract, Entered};
use crate::figure::{Book, Expr, Figure, FigureId, Given, GivenId, Origin};
use crate::finding::{Code, Finding, Place};
use crate::intake::{Load, Records, UnusedRow};
use crate::line::{Line, folded, slug};
use crate::reconcile::Ground;
use crate::units::Unit;

/// A remark on one load or several.
#[derive(Clone, Debug, PartialEq)]
pub struct TicketRemark {
    /// Which.
    pub code: Code,
    /// Loads it names, by place in the records; none for batches that are no load.
    pub loads: Vec<usize>,
    /// What is remarked, in words.
    pub words: String,
    /// What was found.
    pub value: Option<FigureId>,
    /// What it was held against.
    pub limit: Option<FigureId>,
}

/// What was checked, and of how many loads it could not be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TicketCheck {
    /// What.
    pub name: &'static str,
    /// The limit as the contract writes it; empty where the check needs none.
    pub limit: String,
    /// Loads or batches that were checked.
    pub checked: usize,
    /// Loads or batches that lack a value for it.
    pub unable: usize,
    /// Remarks.
    pub remarks: usize,
}

/// What the audit of tickets came to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TicketAudit {
    /// What was checked, in order.
    pub checks: Vec<TicketCheck>,
    /// What was remarked, in the order of the checks.
    pub remarks: Vec<TicketRemark>,
    /// Loads over a limit that was waived for them, with the reason.
    pub waived: Vec<(usize, String)>,
    /// Limits that the contract does not state, in words, so that nothing was held against them.
    pub unlimited: Vec<&'static str>,
}

/// The audit of all loads, with its figures in the book. `unused` are the rows that became no record: a void ticket is no gap.
pub fn tickets(
    contract: &Contract,
    records: &Records,
    line: &Line,
    unused: &[UnusedRow],
    book: &mut Book,
) -> (TicketAudit, Vec<Finding>) {
    if records.loads.is_empty() {
        return (TicketAudit::default(), Vec::new());
    }
    let ground = Ground { contract, records, line };
    let mut desk = Desk::new(ground, book);
    twice::check(&mut desk);
    trucks::check(&mut desk);
    limits::check(&mut desk);
    water::check(&mut desk);
    mixes::check(&mut desk);
    hours::check(&mut desk);
    batching::check(&mut desk);
    gaps::check(&mut desk, unused);
    copied::check(&mut desk);
    (desk.audit, desk.findings)
}

/// Where the audit is made.
struct Desk<'a, 'b> {
    ground: Ground<'a>,
    book: &'b mut Book,
    audit: TicketAudit,
    findings: Vec<Finding>,
    /// Placement of each load, by place in the records.
    placements: Vec<Option<usize>>,
    /// The batch of each load, where exactly one has its ticket and day.
    batches: BTreeMap<usize, usize>,
    /// Batches whose ticket is no load.
    strays: Vec<usize>,
}

impl<'a, 'b> Desk<'a, 'b> {
    fn new(ground: Ground<'a>, book: &'b mut Book) -> Self {
        let Records { loads, batches, .. } = ground.records;
        let mut placements = vec![None; loads.len()];
        for (p, placement) in ground.line.placements.iter().enumerate() {
            let (first, after) = placement.loads;
            placements.iter_mut().take(after as usize).skip(first as usize).for_each(|to| *to = Some(p));
        }
        let key = |ticket: &str, day: chrono::NaiveDate| (folded(ticket), day);
        let mut by_ticket: BTreeMap<_, Vec<usize>> = BTreeMap::new();
        for (i, load) in loads.iter().enumerate() {
            by_ticket.entry(key(&load.ticket.value, load.date.value)).or_default().push(i);
        }
        let (mut of_loads, mut strays) = (BTreeMap::new(), Vec::new());
        for (b, batch) in batches.iter().enumerate() {
            match by_ticket.get(&key(&batch.ticket.value, batch.date.value)).map(Vec::as_slice) {
                Some([only]) => {
                    of_loads.insert(*only, b);
                }
                Some(several) => {
                    let plant = |p: Option<&crate::intake::Read<Box<str>>>| p.map(|p| folded(&p.value));
                    let same = |l: &&usize| plant(loads[**l].plant.as_ref()) == plant(batch.plant.as_ref());
                    of_loads.extend(several.iter().find(same).map(|&l| (l, b)));
                }
                None => strays.push(b),
            }
        }
        Self {
            ground,
            book,
            audit: TicketAudit::default(),
            findings: Vec::new(),
            placements,
            batches: of_loads,
            strays,
        }
    }

    fn loads(&self) -> &'a [Load] {
        &self.ground.records.loads
    }

    fn load(&self, i: usize) -> &'a Load {
        &self.ground.records.loads[i]
    }

    fn ticket(&self, i: usize) -> &'a str {
        &self.ground.records.loads[i].ticket.value
    }

    /// The mix of a load: its own, else that of its placement.
    fn mix(&self, i: usize) -> Option<&'a str> {
        let own = self.load(i).mix.as_ref();
        let placed = || self.placements[i].and_then(|p| self.ground.records.placements[p].mix.as_ref());
        own.or_else(placed).map(|mix| &*mix.value)
    }

    /// Takes up a remark with its finding.
    fn remark(&mut self, remark: TicketRemark, message: String, remedy: &str) {
        let rows: Vec<Place> = remark.loads.iter().map(|&i| Place::Row(self.load(i).ticket.at)).collect();
        let place = rows.first().cloned().unwrap_or_else(|| Place::Named("batch weights".into()));
        let finding = Finding::new(remark.code, place, message, remedy);
        self.findings.push(finding.with(rows.into_iter().skip(1)));
        self.audit.remarks.push(remark);
    }

    /// Closes a check that began with so many remarks.
    fn checked(&mut self, name: &'static str, limit: &str, (checked, unable): (usize, usize), before: usize) {
        let remarks = self.audit.remarks.len() - before;
        self.audit.checks.push(TicketCheck { name, limit: limit.into(), checked, unable, remarks });
    }

    /// A figure of a load.
    fn figure(&mut self, (i, word): (usize, &str), symbol: &str, (unit, decimals): (Unit, u8), expr: Expr) -> FigureId {
        let ticket = self.ticket(i);
        let figure = Figure::new(
            format!("ticket-{}.{}", slug(ticket), slug(word)),
            format!("ticket {ticket}, {word}"),
            symbol,
            unit,
            expr,
        );
        self.book.add(figure.shown(decimals))
    }

    /// A limit of the contract as a figure, taken up once.
    fn limit(&mut self, of: &Entered, word: &str) -> FigureId {
        let key = format!("tickets.{}", slug(word));
        if let Some(known) = self.book.by_key(&key) {
            return known;
        }
        let given = self.book.given(of.given(word, "limit"));
        let decimals = u8::try_from(of.value.normalize().scale()).unwrap_or(4);
        self.book.add(Figure::new(key, word, "limit", of.unit, given).shown(decimals))
    }

    /// Minutes of a day, for what runs past midnight.
    fn day(&mut self) -> GivenId {
        self.book.given(Given {
            label: "a day".into(),
            symbol: "day".into(),
            value: Decimal::from(MINUTES_OF_DAY),
            unit: Unit::Minute,
            written: "1,440 min".into(),
            origin: Origin::Entry { what: "definition: a day has 1,440 minutes".into() },
        })
    }

    fn written(&self, id: FigureId) -> String {
        format!("{} {}", self.book[id].text(), self.book[id].unit).trim_end().to_string()
    }

    /// What a volume of a load's mix is worth, in words: ` ($948.00)`; empty where no price is agreed.
    fn worth(&mut self, i: usize, volume: FigureId) -> String {
        let contract = self.ground.contract;
        let price = contract.price_of(self.mix(i).and_then(|mix| contract.mix(mix)));
        let Some(price) = price else { return String::new() };
        let given = self.book.given(price.given("agreed price", "p"));
        let label = format!("{}, value", self.book[volume].label);
        let figure = Figure::new(format!("{}-value", self.book[volume].key), label, "M", Unit::Money, volume * given);
        let money = self.book.add(figure.rounded(contract.roundings.money));
        format!(" ({}{})", contract.currency, self.book[money].text())
    }
}

const MINUTES_OF_DAY: i64 = 1440;

/// Minutes since the first day of the calendar, for order and differences within a load or a truck.
fn minute(date: chrono::NaiveDate, time: chrono::NaiveTime) -> i64 {
    use chrono::{Datelike, Timelike};
    i64::from(date.num_days_from_ce()) * MINUTES_OF_DAY + i64::from(time.num_seconds_from_midnight()) / 60
}

/// Names in a sentence: `1, 2 and 3`; of many, the first of them and how many more.
fn named(names: &[&str]) -> String {
    const SHOWN: usize = 6;
    match names {
        [] => String::new(),
        [only] => (*only).to_string(),
        [rest @ .., last] if names.len() <= SHOWN => format!("{} and {last}", rest.join(", ")),
        many => format!("{} and {} more", many[..SHOWN].join(", "), many.len() - SHOWN),
    }
}

//! The volumes of one placement, from its rows in the table of loads, and each stretch's share of them.

use crate::contract::Contract;
use crate::figure::{Book, Expr, Figure, FigureId, Statistic, Total, sum, whole};
use crate::intake::{Load, Outcome, Records};
use crate::line::ledger::load;
use crate::line::{Line, folded, slug};

/// Volumes that are compared; the same for a placement, a share of one, or a sum of many.
#[derive(Clone, Copy, Debug)]
pub(super) struct Amounts {
    pub theoretical: FigureId,
    pub batched: Option<FigureId>,
    pub rejected: Option<FigureId>,
    pub wasted: Option<FigureId>,
    pub returned: Option<FigureId>,
    pub net: FigureId,
    pub area: Option<FigureId>,
}

/// What of a placement's volumes lies in one stretch; `None` for a placement in no section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Share {
    pub stretch: Option<usize>,
    pub amounts: Amounts,
}

/// A total over some rows of the table of loads, as a figure of the placement.
struct Totals<'c> {
    contract: &'c Contract,
    table: crate::figure::TableId,
    rows: (u32, u32),
    key: String,
    label: String,
}

impl Totals<'_> {
    fn add(&self, book: &mut Book, word: &str, symbol: &str, column: u16, only: Option<&'static str>) -> FigureId {
        let total = Total {
            of: Statistic::Sum,
            table: self.table,
            column,
            rows: self.rows,
            only: only.map(|word| (load::OUTCOME, word)),
        };
        let figure = Figure::new(
            format!("{}.{word}", self.key),
            format!("{}, {word}", self.label),
            symbol,
            self.contract.system.volume(),
            total,
        );
        book.add(figure.rounded(self.contract.roundings.volume))
    }
}

/// Batched, rejected, wasted, returned and net of a placement that has loads.
pub(super) fn of_placement(contract: &Contract, records: &Records, line: &Line, book: &mut Book, p: usize) -> Amounts {
    let on_line = &line.placements[p];
    let number = &records.placements[p].number.value;
    let (key, label) = (format!("yield.placement-{}", slug(number)), format!("placement {number}"));
    let theoretical = on_line.volume.unwrap_or_else(|| no_volume(contract, book, &key, &label));
    let totals = Totals { contract, table: line.ledger.loads, rows: on_line.loads, key, label };
    let loads = loads_of(records, line, p);
    let any = |test: fn(&Load) -> bool| loads.iter().any(test);
    let placed = Some(load::PLACED);
    let batched = totals.add(book, "batched", "B", load::VOLUME, None);
    let rejected = any(|l| l.outcome == Outcome::Rejected)
        .then(|| totals.add(book, "rejected", "R", load::VOLUME, Some(load::REJECTED)));
    let wasted = any(|l| l.outcome == Outcome::Placed && l.wasted.is_some())
        .then(|| totals.add(book, "wasted", "W", load::WASTED, placed));
    let returned = any(|l| l.outcome == Outcome::Placed && l.returned.is_some())
        .then(|| totals.add(book, "returned", "U", load::RETURNED, placed));
    let net = [rejected, wasted, returned].into_iter().flatten().fold(Expr::from(batched), |net, less| net - less);
    let net = volume(contract, book, &totals.key, (&totals.label, "net", "N"), net);
    Amounts { theoretical, batched: Some(batched), rejected, wasted, returned, net, area: on_line.area }
}

fn no_volume(contract: &Contract, book: &mut Book, key: &str, label: &str) -> FigureId {
    let figure = Figure::new(
        format!("{key}.theoretical"),
        format!("{label}, plan volume"),
        "V",
        contract.system.volume(),
        whole(0),
    );
    book.add(figure.rounded(contract.roundings.volume).note("in no section"))
}

fn volume(
    contract: &Contract,
    book: &mut Book,
    key: &str,
    (label, word, symbol): (&str, &str, &str),
    expr: Expr,
) -> FigureId {
    let figure =
        Figure::new(format!("{key}.{word}"), format!("{label}, {word}"), symbol, contract.system.volume(), expr);
    book.add(figure.rounded(contract.roundings.volume))
}

/// The loads of a placement.
pub(super) fn loads_of<'r>(records: &'r Records, line: &Line, p: usize) -> &'r [Load] {
    let (first, after) = line.placements[p].loads;
    records.loads.get(first as usize..after as usize).unwrap_or_default()
}

/// A placement's net volume shared among its stretches by theoretical volume. All but the last are rounded, and the last
/// takes what is left, so that they add up.
pub(super) fn shares(
    contract: &Contract,
    records: &Records,
    line: &Line,
    book: &mut Book,
    p: usize,
    amounts: &Amounts,
) -> Vec<Share> {
    let own = &line.placements[p].stretches;
    let Some((&last, others)) = own.split_last() else { return vec![Share { stretch: None, amounts: *amounts }] };
    let number = &records.placements[p].number.value;
    let mut nets: Vec<FigureId> = Vec::with_capacity(own.len());
    for &s in others {
        let expr = amounts.net * line.stretches[s].volume / amounts.theoretical;
        nets.push(share_of(contract, line, book, (number, s), expr));
    }
    nets.push(if others.is_empty() {
        amounts.net
    } else {
        let rest = amounts.net - sum(nets.clone());
        share_of(contract, line, book, (number, last), rest)
    });
    let share = |(&s, net): (&usize, FigureId)| {
        let stretch = &line.stretches[s];
        let nothing = Amounts { batched: None, rejected: None, wasted: None, returned: None, ..*amounts };
        let amounts = Amounts { theoretical: stretch.volume, net, area: Some(stretch.area), ..nothing };
        Share { stretch: Some(s), amounts }
    };
    own.iter().zip(nets).map(share).collect()
}

/// A stretch's share, named like the stretch's own figures.
fn share_of(contract: &Contract, line: &Line, book: &mut Book, (number, s): (&str, usize), expr: Expr) -> FigureId {
    let stretch_key = &book[line.stretches[s].volume].key;
    let key = format!("yield.{}", stretch_key.strip_suffix(".volume").unwrap_or(stretch_key));
    let label = format!("placement {number}, share of {}", contract.lane(line.stretches[s].lane).name);
    volume(contract, book, &key, (&label, "net", "N_i"), expr)
}

/// The mix a placement states, or the one all its loads state.
pub(super) fn mix(records: &Records, line: &Line, p: usize) -> String {
    if let Some(mix) = &records.placements[p].mix {
        return mix.value.to_string();
    }
    let mut stated = loads_of(records, line, p).iter().filter_map(|l| l.mix.as_ref().map(|m| &m.value));
    match stated.next() {
        None => "mix not stated".into(),
        Some(first) if stated.all(|m| folded(m) == folded(first)) => first.to_string(),
        Some(_) => "several mixes".into(),
    }
}

/// Volume batched on loads that fit no placement.
pub(super) fn loose(contract: &Contract, line: &Line, book: &mut Book) -> Option<FigureId> {
    let rows = line.loose_loads;
    let totals = Totals {
        contract,
        table: line.ledger.loads,
        rows,
        key: "yield.loose".into(),
        label: "loads that fit no placement".into(),
    };
    (rows.0 < rows.1).then(|| totals.add(book, "batched", "B", load::VOLUME, None))
}

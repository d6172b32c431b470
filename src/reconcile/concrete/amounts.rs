//! The volumes of one placement, from its rows in the table of loads, and each stretch's share of them.

use super::density::MixYields;
use crate::contract::Contract;
use crate::figure::{Book, Expr, Figure, FigureId, Statistic, Total, sum, whole};
use crate::intake::{Load, Outcome, Records};
use crate::line::ledger::load;
use crate::line::{Line, folded, slug};
use crate::reconcile::Ground;

/// Volumes that are compared; the same for a placement, a share of one, or a sum of many.
#[derive(Clone, Copy, Debug)]
pub(super) struct Amounts {
    pub theoretical: FigureId,
    pub batched: Option<FigureId>,
    pub rejected: Option<FigureId>,
    pub wasted: Option<FigureId>,
    pub returned: Option<FigureId>,
    pub washed: Option<FigureId>,
    pub elsewhere: Option<FigureId>,
    pub net: FigureId,
    /// What of the net volume was never there by measured density; below zero where there was more.
    pub short: Option<FigureId>,
    /// What a measured width needs beyond the plan width.
    pub wide: Option<FigureId>,
    pub area: Option<FigureId>,
}

/// What of a placement's volumes lies in one stretch; `None` for a placement in no section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Share {
    pub placement: usize,
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
            format!("{}.{}", self.key, slug(word)),
            format!("{}, {word}", self.label),
            symbol,
            self.contract.system.volume(),
            total,
        );
        book.add(figure.rounded(self.contract.roundings.volume))
    }
}

/// Batched, what did not go into the placement, and net, of a placement that has loads.
pub(super) fn of_placement(ground: Ground<'_>, book: &mut Book, mixes: &MixYields, p: usize) -> Amounts {
    let Ground { contract, records, line } = ground;
    let on_line = &line.placements[p];
    let number = &records.placements[p].number.value;
    let (key, label) = (format!("yield.placement-{}", slug(number)), format!("placement {number}"));
    let theoretical = on_line.volume.unwrap_or_else(|| no_volume(contract, book, &key, &label));
    let totals = Totals { contract, table: line.ledger.loads, rows: on_line.loads, key, label };
    let loads = loads_of(records, line, p);
    let any = |test: fn(&Load) -> bool| loads.iter().any(|l| l.outcome == Outcome::Placed && test(l));
    let placed = Some(load::PLACED);
    let batched = totals.add(book, "batched", "B", load::VOLUME, None);
    let rejected = loads
        .iter()
        .any(|l| l.outcome == Outcome::Rejected)
        .then(|| totals.add(book, "rejected", "R", load::VOLUME, Some(load::REJECTED)));
    let wasted = any(|l| l.wasted.is_some()).then(|| totals.add(book, "wasted", "W", load::WASTED, placed));
    let returned = any(|l| l.returned.is_some()).then(|| totals.add(book, "returned", "U", load::RETURNED, placed));
    let columns = line.ledger.load_columns;
    let washed = columns.washed.filter(|_| any(|l| l.washed.is_some()));
    let washed = washed.map(|column| totals.add(book, "washed out", "H", column, placed));
    let elsewhere = columns.elsewhere.filter(|_| any(|l| l.elsewhere.is_some()));
    let elsewhere = elsewhere.map(|column| totals.add(book, "used elsewhere", "E", column, placed));
    let less = [rejected, wasted, returned, washed, elsewhere];
    let net = less.into_iter().flatten().fold(Expr::from(batched), |net, less| net - less);
    let net = volume(contract, book, &totals.key, (&totals.label, "net", "N"), net);
    let short = mixes.relative(&mix(records, line, p)).map(|relative| {
        let expr = net * (whole(1) - relative);
        volume(contract, book, &totals.key, (&totals.label, "short by density", "Y"), expr)
    });
    let wide = wide(ground, book, (&totals.key, &totals.label), p);
    let area = on_line.area;
    Amounts {
        theoretical,
        batched: Some(batched),
        rejected,
        wasted,
        returned,
        washed,
        elsewhere,
        net,
        short,
        wide,
        area,
    }
}

/// What the measured width of a placement needs beyond its plan area: length times width less that area, at its plan
/// volume over plan area. Only where its lanes have one length, so that the width is measured across all of it.
fn wide(ground: Ground<'_>, book: &mut Book, (key, label): (&str, &str), p: usize) -> Option<FigureId> {
    let Ground { contract, records, line } = ground;
    records.placements[p].width.as_ref()?;
    let on_line = &line.placements[p];
    let ends = |s: &usize| (line.stretches[*s].from.along, line.stretches[*s].to.along);
    let (first, others) = on_line.stretches.split_first()?;
    let of_all = on_line.stretches.len() == records.placements[p].lanes.value.len();
    if !of_all || others.iter().any(|s| ends(s) != ends(first)) {
        return None;
    }
    let (area, plan) = (on_line.area?, on_line.volume?);
    let length = line.stretches[*first].length;
    let measured = (length * line.ledger.placement_width(p)).to(contract.system.to_area());
    Some(volume(contract, book, key, (label, "beyond plan width", "X"), (measured - area) * plan / area))
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
    let key = format!("{key}.{}", slug(word));
    let figure = Figure::new(key, format!("{label}, {word}"), symbol, contract.system.volume(), expr);
    book.add(figure.rounded(contract.roundings.volume))
}

/// The loads of a placement.
pub(super) fn loads_of<'r>(records: &'r Records, line: &Line, p: usize) -> &'r [Load] {
    let (first, after) = line.placements[p].loads;
    records.loads.get(first as usize..after as usize).unwrap_or_default()
}

/// A placement's net volume, and what goes with it, shared among its stretches by theoretical volume. All but the last
/// are rounded, and the last takes what is left, so that they add up.
pub(super) fn shares(ground: Ground<'_>, book: &mut Book, p: usize, amounts: &Amounts) -> Vec<Share> {
    let line = ground.line;
    let own = &line.placements[p].stretches;
    if own.is_empty() {
        return vec![Share { placement: p, stretch: None, amounts: *amounts }];
    }
    let number = &ground.records.placements[p].number.value;
    let mut parts =
        |of: FigureId, words: (&str, &str)| shared(ground, book, (number, own), (of, amounts.theoretical), words);
    let nets = parts(amounts.net, ("net", "N_i"));
    let shorts = amounts.short.map(|short| parts(short, ("short by density", "Y_i")));
    let wides = amounts.wide.map(|wide| parts(wide, ("beyond plan width", "X_i")));
    let of = |parts: &Option<Vec<FigureId>>, i: usize| parts.as_ref().and_then(|parts| parts.get(i).copied());
    let share = |(i, (&s, net)): (usize, (&usize, FigureId))| {
        let stretch = &line.stretches[s];
        let amounts = Amounts {
            theoretical: stretch.volume,
            net,
            short: of(&shorts, i),
            wide: of(&wides, i),
            area: Some(stretch.area),
            batched: None,
            rejected: None,
            wasted: None,
            returned: None,
            washed: None,
            elsewhere: None,
        };
        Share { placement: p, stretch: Some(s), amounts }
    };
    own.iter().zip(nets).enumerate().map(share).collect()
}

/// One volume of a placement shared among its stretches by theoretical volume.
fn shared(
    ground: Ground<'_>,
    book: &mut Book,
    (number, own): (&str, &[usize]),
    (of, theoretical): (FigureId, FigureId),
    words: (&str, &str),
) -> Vec<FigureId> {
    let Some((&last, others)) = own.split_last() else { return Vec::new() };
    if others.is_empty() {
        return vec![of];
    }
    let mut parts: Vec<FigureId> = Vec::with_capacity(own.len());
    for &s in others {
        let expr = of * ground.line.stretches[s].volume / theoretical;
        parts.push(share_of(ground, book, (number, s), words, expr));
    }
    let rest = of - sum(parts.clone());
    parts.push(share_of(ground, book, (number, last), words, rest));
    parts
}

/// A stretch's share, named like the stretch's own figures.
fn share_of(
    ground: Ground<'_>,
    book: &mut Book,
    (number, s): (&str, usize),
    (word, symbol): (&str, &str),
    expr: Expr,
) -> FigureId {
    let stretch = &ground.line.stretches[s];
    let stretch_key = &book[stretch.volume].key;
    let key = format!("yield.{}", stretch_key.strip_suffix(".volume").unwrap_or(stretch_key));
    let label = format!("placement {number}, share of {}", ground.contract.lane(stretch.lane).name);
    volume(ground.contract, book, &key, (&label, word, symbol), expr)
}

/// Words for a placement whose mix nothing states.
const NO_MIX: &str = "mix not stated";
/// Words for one whose loads state several.
const SEVERAL: &str = "several mixes";

/// The mix a placement states, or the one all its loads state.
pub(super) fn mix(records: &Records, line: &Line, p: usize) -> String {
    if let Some(mix) = &records.placements[p].mix {
        return mix.value.to_string();
    }
    let mut stated = loads_of(records, line, p).iter().filter_map(|l| l.mix.as_ref().map(|m| &m.value));
    match stated.next() {
        None => NO_MIX.into(),
        Some(first) if stated.all(|m| folded(m) == folded(first)) => first.to_string(),
        Some(_) => SEVERAL.into(),
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

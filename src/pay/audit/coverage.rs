//! How much of the money a sample covers, in all and by item, and whether the lines it was drawn from are all there are.

use std::collections::BTreeSet;

use super::{Chosen, MoneyLine, Moves, SampleRule, size};
use crate::contract::Contract;
use crate::figure::{Book, Expr, Figure, FigureId, Given, Origin, max, whole};
use crate::line::slug;
use crate::pay::Estimate;
use crate::units::{Unit, conversions, plain};

/// How much of all lines is covered. Sizes are amounts without their sign.
#[derive(Clone, Debug, PartialEq)]
pub struct Coverage {
    /// The share asked for, in percent.
    pub share: FigureId,
    /// Size of all lines.
    pub all: FigureId,
    /// What the largest are to reach.
    pub wanted: FigureId,
    /// Size of the largest that were taken.
    pub largest: FigureId,
    /// Size of all that were chosen.
    pub chosen: FigureId,
    /// The same in percent of all.
    pub percent: FigureId,
    /// By item, of those with lines.
    pub items: Vec<ItemCoverage>,
    /// The lines held against the estimate.
    pub ties: Vec<Tie>,
}

/// How much of an item's lines is covered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ItemCoverage {
    /// Item, by place in the contract.
    pub item: usize,
    /// Its lines.
    pub lines: usize,
    /// Chosen of them.
    pub chosen: usize,
    /// Size of its lines.
    pub all: FigureId,
    /// Size of those chosen.
    pub covered: FigureId,
}

/// Lines of one sort held against what the estimate says of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Tie {
    /// Which sum of the estimate, in words.
    pub what: &'static str,
    /// How many lines.
    pub lines: usize,
    /// Sum of the lines.
    pub sum: FigureId,
    /// The estimate's own.
    pub estimate: FigureId,
    /// Estimate less lines.
    pub difference: FigureId,
}

pub(super) fn coverage(
    contract: &Contract,
    estimate: &Estimate,
    lines: &[MoneyLine],
    chosen: &[(usize, Chosen)],
    rule: &SampleRule,
    book: &mut Book,
) -> Coverage {
    let taken: BTreeSet<usize> = chosen.iter().map(|(line, _)| *line).collect();
    let first = |(line, why): &(usize, Chosen)| matches!(why, Chosen::Largest(_)).then_some(*line);
    let first: BTreeSet<usize> = chosen.iter().filter_map(first).collect();
    let every = |_: usize| true;
    let all = sized(book, "audit.size", "size of all lines", lines, every);
    let share = share(book, rule);
    let wanted = Expr::from(share).to(conversions::PERCENT_TO_RATIO) * all;
    let wanted =
        book.add(Figure::new("audit.wanted", "what the largest lines are to reach", "w", Unit::Money, wanted).shown(2));
    let largest = sized(book, "audit.largest", "size of the largest lines taken", lines, |l| first.contains(&l));
    let covered = sized(book, "audit.chosen", "size of the lines chosen", lines, |l| taken.contains(&l));
    let percent = (covered / all).to(conversions::RATIO_TO_PERCENT);
    let percent = Figure::new("audit.percent", "chosen of all, by size", "P", Unit::Percent, percent).shown(1);
    let percent = book.add(percent);
    let items = (0..contract.items.len()).filter(|item| lines.iter().any(|line| line.item == *item));
    let items: Vec<usize> = items.collect();
    let items = items.into_iter().map(|item| of_item(contract, item, (lines, &taken), book)).collect();
    let ties = ties(estimate, lines, book);
    Coverage { share, all, wanted, largest, chosen: covered, percent, items, ties }
}

fn share(book: &mut Book, rule: &SampleRule) -> FigureId {
    let written = format!("{} %", plain(rule.share));
    let origin = Origin::Entry { what: format!("share {written}") };
    let given = Given {
        label: "share asked for".into(),
        symbol: "s".into(),
        value: rule.share,
        unit: Unit::Percent,
        written,
        origin,
    };
    let given = book.given(given);
    book.add(
        Figure::new("audit.share", "share that the largest lines are to reach", "s", Unit::Percent, given).shown(1),
    )
}

fn of_item(
    contract: &Contract,
    item: usize,
    (lines, taken): (&[MoneyLine], &BTreeSet<usize>),
    book: &mut Book,
) -> ItemCoverage {
    let number = &contract.items[item].number;
    let key = format!("audit.item-{}", slug(number));
    let own = |line: usize| lines[line].item == item;
    let all = sized(book, &format!("{key}.size"), &format!("size of the lines of item {number}"), lines, own);
    let label = format!("size of the lines of item {number} chosen");
    let covered = sized(book, &format!("{key}.chosen"), &label, lines, |l| own(l) && taken.contains(&l));
    let count = |chosen: bool| (0..lines.len()).filter(|&l| own(l) && (!chosen || taken.contains(&l))).count();
    ItemCoverage { item, lines: count(false), chosen: count(true), all, covered }
}

/// The sum of the sizes of some lines; one without an amount has no size.
fn sized(book: &mut Book, key: &str, label: &str, lines: &[MoneyLine], of: impl Fn(usize) -> bool) -> FigureId {
    let within = (0..lines.len()).filter(|&line| of(line) && size(book, &lines[line]).is_some());
    let parts = within.map(|line| max([Expr::from(lines[line].amount), whole(0) - lines[line].amount])).collect();
    book.add_sum(Figure::new(key, label, "S", Unit::Money, whole(0)).shown(2), parts)
}

/// The lines of each sort held against the estimate's own sum of them, and all against what is earned.
fn ties(estimate: &Estimate, lines: &[MoneyLine], book: &mut Book) -> Vec<Tie> {
    let held = estimate.settlement.line("held").map(|held| ("held for proof", Some(Moves::Held), held.to_date));
    let papers = estimate.settlement.line("held-for-papers");
    let papers = papers.map(|held| ("held for papers", Some(Moves::HeldForPapers), held.to_date));
    let sorts = [
        ("work done", Some(Moves::Quantity), estimate.work.to_date),
        ("adjustments", Some(Moves::Adjustment), estimate.adjusted.to_date),
    ];
    let line = |key: &str| estimate.settlement.line(key).map(|line| line.to_date);
    let changes = [line("variation"), line("index")].into_iter().flatten().map(Expr::from);
    let changes = changes.reduce(|a, b| a + b).map(|all| {
        let figure = Figure::new("audit.price-changes", "variation and price indices to date", "A", Unit::Money, all);
        ("changes of price", Some(Moves::Price), book.add(figure.shown(2)))
    });
    let stored = line("stored").map(|all| ("materials on hand", Some(Moves::Stored), all));
    let all = ("earned", None, estimate.earned().to_date);
    let sorts = sorts.into_iter().chain(held).chain(papers).chain(changes).chain(stored).chain([all]);
    sorts.map(|(what, moves, estimate)| tie(what, moves, estimate, lines, book)).collect()
}

fn tie(what: &'static str, moves: Option<Moves>, estimate: FigureId, lines: &[MoneyLine], book: &mut Book) -> Tie {
    let own: Vec<&MoneyLine> = lines.iter().filter(|line| moves.is_none_or(|moves| line.moves == moves)).collect();
    let parts = own.iter().filter(|line| size(book, line).is_some()).map(|line| line.amount.into()).collect();
    let key = format!("audit.{}", slug(what));
    let sum = Figure::new(format!("{key}.lines"), format!("sum of the lines, {what}"), "S", Unit::Money, whole(0));
    let sum = book.add_sum(sum.shown(2), parts);
    let difference = Figure::new(
        format!("{key}.difference"),
        format!("{what} of the estimate less its lines"),
        "d",
        Unit::Money,
        estimate - sum,
    );
    Tie { what, lines: own.len(), sum, estimate, difference: book.add(difference.shown(2)) }
}

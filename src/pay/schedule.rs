//! Lump sums that are paid as other work is earned: mobilization and its like.
//!
//! ```text
//! at a step:  lesser of share x item and share x original contract amount
//! paid = the last step that is reached; what the steps leave is paid in the final period
//! ```
//!
//! A step is reached once its share of the original contract amount is earned from the items that are not by schedule; where
//! the contract counts all items, what this schedule has paid by the steps before is added. An amount below its least waits
//! for the next step.

use super::amounts::Maker;
use super::authorized::Authorized;
use super::column::{Column, by_column};
use super::{Amounts, Inputs, ItemPay};
use crate::contract::{Entered, Item, Schedule, ScheduleStep};
use crate::figure::{Book, Comparison, Expr, Figure, FigureId, compare, either, min, sum};
use crate::line::slug;
use crate::units::{Unit, conversions};

/// Amounts of an item by schedule.
pub(super) fn amounts(
    inputs: Inputs<'_>,
    item: usize,
    (maker, columns): (Maker<'_>, [Column; 2]),
    (others, authorized): (&[ItemPay], &Authorized),
    book: &mut Book,
) -> Amounts {
    let row = &inputs.contract.items[item];
    let label = format!("item {}, amount", row.number);
    let key = format!("item-{}.amount", slug(&row.number));
    by_column(maker, book, (&key, &label), columns, |book, column| {
        let of = Of { row, whole: authorized.amounts[item][column.at], contract: authorized.original, column, maker };
        paid(&of, others, book).into_iter().collect()
    })
}

/// What a schedule is reckoned with.
struct Of<'a> {
    row: &'a Item,
    whole: FigureId,
    contract: FigureId,
    column: Column,
    maker: Maker<'a>,
}

fn paid(of: &Of<'_>, others: &[ItemPay], book: &mut Book) -> Option<Expr> {
    if of.column.is_final {
        return Some(of.whole.into());
    }
    let schedule = of.row.terms.schedule.as_ref()?;
    if !schedule.from.is_none_or(|from| of.column.holds(from)) || of.column.day.is_none() {
        return None;
    }
    let key = format!("item-{}.earned-elsewhere.{}", slug(&of.row.number), of.column.mark);
    let label = format!("item {}, earned from other items {}", of.row.number, of.column.words);
    let earned = Figure::new(key, label, "E", Unit::Money, Expr::Whole(0)).shown(2);
    let earned = book.add_sum(earned, others.iter().map(|pay| (of.column.pick)(&pay.amount).into()).collect());
    let mut before: Option<FigureId> = None;
    for (n, step) in (1..).zip(&schedule.steps) {
        before = Some(at_step(of, (n, step), (schedule, earned, before), book));
    }
    before.map(Expr::from)
}

/// What is paid once a step has been looked at: its own amount where it is reached, else what was paid by those before it.
fn at_step(
    of: &Of<'_>,
    (n, step): (usize, &ScheduleStep),
    (schedule, earned, before): (&Schedule, FigureId, Option<FigureId>),
    book: &mut Book,
) -> FigureId {
    let so_far = || before.map_or(Expr::Whole(0), Expr::from);
    let ratio = |value: &Entered, what: &str, book: &mut Book| {
        let given = book.given(value.given(format!("step {n}, share of {what}"), "s"));
        Expr::from(given).to(conversions::PERCENT_TO_RATIO)
    };
    let mut shares = vec![ratio(&step.item, "the item", book) * of.whole];
    if let Some(share) = &step.contract {
        shares.push(ratio(share, "the contract", book) * of.contract);
    }
    let own = min(shares).rounded(of.maker.rounding);
    let own = match &step.least {
        Some(least) => {
            let least = book.given(least.given(format!("step {n}, least"), "l"));
            either(compare(own.clone(), Comparison::AtLeast, least), own, so_far())
        }
        None => own,
    };
    let counted = match before.filter(|_| schedule.of_all) {
        Some(paid) => sum([earned, paid]),
        None => earned.into(),
    };
    let how = if schedule.at_is_enough { Comparison::AtLeast } else { Comparison::Above };
    let reached = compare(counted, how, ratio(&step.earned, "what is earned", book) * of.contract);
    let key = format!("item-{}.step-{n}.{}", slug(&of.row.number), of.column.mark);
    let label = format!("item {}, by step {n} {}", of.row.number, of.column.words);
    book.add(Figure::new(key, label, format!("a{n}"), Unit::Money, either(reached, own, so_far())).shown(2))
}

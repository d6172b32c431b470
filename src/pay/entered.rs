//! Entries by hand: deductions, what is given back of them, and amounts that count as earned.
//!
//! An entry is never edited. What is left of it is its amount and the entries that reverse it. The period of an entry is
//! that of its day.

use super::amounts::Maker;
use super::column::{Column, by_column};
use super::{Amounts, Inputs};
use crate::contract::Entry;
use crate::figure::{Book, Expr, Figure, FigureId, sum};
use crate::line::slug;
use crate::units::Unit;

/// An entry through the as-of date.
#[derive(Clone, Debug, PartialEq)]
pub struct EntryLine {
    /// Place in [`crate::contract::Payment::entries`].
    pub entry: usize,
    /// Its amount.
    pub amount: FigureId,
    /// What is left of it; `None` where nothing reverses it.
    pub left: Option<FigureId>,
    /// True where its day lies in this period.
    pub this_period: bool,
}

/// The entries through the as-of date, by day.
pub(super) fn lines(inputs: Inputs<'_>, columns: [Column; 2], book: &mut Book) -> Vec<EntryLine> {
    let entries = &inputs.contract.payment.entries;
    let mut places: Vec<usize> = (0..entries.len()).filter(|&place| columns[0].holds(entries[place].date)).collect();
    places.sort_by_key(|&place| entries[place].date);
    let amounts: Vec<(usize, FigureId)> = places.iter().map(|&place| (place, amount(&entries[place], book))).collect();
    let of = |place: usize| amounts.iter().find(|(at, _)| *at == place).map(|(_, amount)| *amount);
    amounts
        .iter()
        .map(|&(place, amount)| {
            let reversing: Vec<FigureId> =
                inputs.contract.payment.reversed_by(place, inputs.through).into_iter().filter_map(of).collect();
            let left = (!reversing.is_empty()).then(|| left(&entries[place], amount, &reversing, book));
            EntryLine { entry: place, amount, left, this_period: !columns[1].holds(entries[place].date) }
        })
        .collect()
}

fn key(entry: &Entry) -> String {
    format!("entry-{}", slug(&entry.id))
}

fn amount(entry: &Entry, book: &mut Book) -> FigureId {
    let label = format!("entry {}, {}", entry.id, entry.reason);
    let given = book.given(entry.amount.given(label.clone(), "g"));
    book.add(Figure::new(key(entry), label, "G", Unit::Money, given).shown(2))
}

fn left(entry: &Entry, amount: FigureId, reversing: &[FigureId], book: &mut Book) -> FigureId {
    let label = format!("entry {}, what is left of it", entry.id);
    let parts = std::iter::once(amount).chain(reversing.iter().copied());
    book.add(Figure::new(format!("{}.left", key(entry)), label, "L", Unit::Money, sum(parts)).shown(2))
}

/// The sum of the entries that count as earned, or of those after retainage; `None` where the contract has none such.
pub(super) fn line(
    inputs: Inputs<'_>,
    (maker, columns): (Maker<'_>, [Column; 2]),
    lines: &[EntryLine],
    earned: bool,
    book: &mut Book,
) -> Option<Amounts> {
    let entries = &inputs.contract.payment.entries;
    if !entries.iter().any(|entry| entry.earned == earned) {
        return None;
    }
    let named = if earned { ("entries-earned", "entries counted as earned") } else { ("entries", "entries") };
    Some(by_column(maker, book, named, columns, |_, column| {
        let of = lines.iter().filter(|line| {
            let entry = &entries[line.entry];
            entry.earned == earned && column.holds(entry.date)
        });
        of.map(|line| Expr::from(line.amount)).collect()
    }))
}

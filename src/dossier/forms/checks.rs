//! Which check a column of a form gets, by what is written into it.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::FormCheck;
use super::lists::{self, Lists};
use super::words::bare;
use crate::contract::Contract;
use crate::intake::{Entry, Form, FormColumn};

pub(super) fn check(
    contract: &Contract,
    form: &Form,
    column: &FormColumn,
    (first, last): (NaiveDate, NaiveDate),
    lists: &mut Lists,
) -> FormCheck {
    let mut of = |list, only| lists.add(list).map_or(FormCheck::Text, |list| FormCheck::List { list, only });
    let words = |words: &[&str]| lists::plain(&bare(&column.heading), words.iter().map(|w| (*w).to_string()));
    match column.entry {
        Entry::Text => FormCheck::Text,
        Entry::Day => FormCheck::Day(first, last),
        Entry::Time => FormCheck::Time,
        Entry::Number { below_zero, zero } => FormCheck::Number { below_zero, zero },
        Entry::Station { .. } => FormCheck::Station { within: within(contract) },
        Entry::Lane { several } => of(lists::lanes(contract), !several),
        Entry::Mix => of(lists::mixes(contract), false),
        Entry::Item => of(lists::items(contract), true),
        Entry::Material => of(lists::materials(contract), true),
        Entry::Plant => of(lists::plants(contract), false),
        Entry::Paper => of(lists::papers(contract), false),
        Entry::Unit => of(lists::units(contract, form.kind), false),
        Entry::Word(all) => of(words(all), true),
        Entry::Usual(all) => of(words(all), false),
    }
}

/// The least and the greatest station that any alignment bears, equations included.
fn within(contract: &Contract) -> (Decimal, Decimal) {
    let labels = contract.alignments.iter().flat_map(|a| {
        let equations = a.equations.iter().flat_map(|e| [e.back, e.ahead]);
        [a.begin, a.end].into_iter().chain(equations)
    });
    let (mut least, mut greatest) = (Decimal::MAX, Decimal::MIN);
    for label in labels {
        (least, greatest) = (least.min(label), greatest.max(label));
    }
    (least, greatest)
}

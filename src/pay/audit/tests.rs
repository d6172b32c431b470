//! A population small enough to draw from by hand: who is chosen, why, and how much they cover.

use rust_decimal::{Decimal, dec};

use super::*;
use crate::contract::Measurement;
use crate::figure::Book;
use crate::intake::{Measured, Records};
use crate::line::fixture::read;
use crate::pay::tests::{contract, item, measured, nothing_judged, run};

/// Item, its unit price, and what was counted where: amounts 400, 100, 250, 66, 16.50 and 3, in all 835.50. The fourth item has
/// no line.
const LINES: [(usize, &str, i64); 6] =
    [(0, "a", 40), (0, "b", 10), (0, "c", 25), (1, "d", 8), (1, "e", 2), (2, "f", 3)];

fn of(seed: &str, share: Decimal, random: usize, lines: &[(usize, &str, i64)]) -> (Audit, Book) {
    let price = [dec!(10), dec!(8.25), dec!(1), dec!(5)];
    let items = (0..4).map(|i| item(&(i + 1).to_string(), Unit::Each, price[i], Measurement::ByHand)).collect();
    let contract = contract(items);
    let row = |(n, &(item, place, quantity)): (u32, &(usize, &str, i64))| Measured {
        location: Some(read(place.into(), 0, n, 2)),
        quantity: Some(read(Decimal::from(quantity), 0, n, 5)),
        ..measured(item, n, "2031-07-02")
    };
    let records = Records { measured: (1..).zip(lines).map(row).collect(), ..Records::default() };
    let mut done = run(&contract, records, "2031-07-31", &nothing_judged);
    let rule = SampleRule { seed: seed.into(), share, random };
    let audit = audit(&contract, &Judged::default(), &done.estimate, rule, &mut done.book);
    (audit, done.book)
}

/// The place of each chosen line by its letter, and why.
fn chosen(audit: &Audit) -> Vec<(char, Chosen)> {
    audit.sample.iter().map(|s| (audit.lines[s.line].name.chars().last().unwrap(), s.chosen)).collect()
}

fn value(book: &Book, id: FigureId) -> Decimal {
    book[id].value.decimal().unwrap()
}

/// 50 percent of 835.50 is 417.75: a (400) is short of it, with c (250) it is reached. The rest under seed 20310, computed with
/// Python 3, hashlib, from '20310/item 1, 2031-07-02, b/1' and so on: b 0.747896, d 0.651189,
/// e 0.519679, f 0.323687: f is drawn; of item 2, which then has none, e has the smaller number.
#[test]
fn the_largest_then_the_smallest_numbers_then_one_for_each_item_left() {
    let (audit, book) = of("20310", dec!(50), 1, &LINES);
    assert_eq!(
        chosen(&audit),
        [('a', Chosen::Largest(1)), ('c', Chosen::Largest(2)), ('f', Chosen::Drawn(1)), ('e', Chosen::ForItem)]
    );
    assert_eq!(audit.without, [3], "the fourth item has no line");
    let numbers: Vec<Decimal> = audit.numbers.iter().map(|&n| value(&book, n)).collect();
    assert_eq!(
        numbers,
        [dec!(0.432852), dec!(0.747896), dec!(0.694848), dec!(0.651189), dec!(0.519679), dec!(0.323687)]
    );
}

#[test]
fn coverage_is_told_in_lines_and_money_and_the_lines_are_all_there_are() {
    let (audit, book) = of("20310", dec!(50), 0, &LINES);
    let coverage = &audit.coverage;
    assert_eq!(value(&book, coverage.all), dec!(835.50));
    assert_eq!(value(&book, coverage.wanted), dec!(417.75));
    assert_eq!(value(&book, coverage.largest), dec!(650.00));
    // a, c, and one of each of the two other items: e and f.
    assert_eq!(value(&book, coverage.chosen), dec!(669.50));
    let items: Vec<(usize, usize, Decimal)> =
        coverage.items.iter().map(|i| (i.lines, i.chosen, value(&book, i.all))).collect();
    assert_eq!(items, [(3, 2, dec!(750)), (2, 1, dec!(82.50)), (1, 1, dec!(3))]);
    for tie in &coverage.ties {
        assert_eq!(value(&book, tie.difference), dec!(0), "{}", tie.what);
    }
    assert_eq!(coverage.ties.iter().map(|t| t.lines).collect::<Vec<_>>(), [6, 0, 6]);
}

#[test]
fn the_same_seed_draws_the_same_and_another_another() {
    let lines: Vec<(usize, &str, i64)> =
        ["a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k", "l"].map(|place| (0, place, 5)).to_vec();
    let drawn = |seed: &str| chosen(&of(seed, dec!(0), 4, &lines).0);
    assert_eq!(drawn("20310"), drawn("20310"));
    assert_ne!(drawn("20310"), drawn("20311"));
    assert_eq!(drawn("20310").len(), 4);
}

#[test]
fn a_share_of_all_takes_every_line_even_one_of_no_worth() {
    let mut lines = LINES.to_vec();
    lines.push((3, "g", 0));
    let (audit, _) = of("20310", dec!(100), 10, &lines);
    assert_eq!(audit.sample.len(), 7);
    assert!(audit.sample.iter().all(|s| matches!(s.chosen, Chosen::Largest(_))));
}

#[test]
fn every_chosen_line_comes_out_again_and_rests_on_its_cells() {
    let (audit, book) = of("20310", dec!(100), 0, &LINES);
    for sampled in &audit.sample {
        assert!(sampled.equal(), "{}", audit.lines[sampled.line].name);
        assert_eq!(sampled.below.steps.last(), Some(&audit.lines[sampled.line].amount));
        assert!(sampled.below.leaves.len() >= 2, "quantity and price: {:?}", sampled.below.leaves);
    }
    assert!(book.by_key("audit.percent").is_some());
}

#[test]
fn rows_that_read_alike_are_lines_of_their_own() {
    let (audit, _) = of("20310", dec!(100), 0, &[(0, "a", 1), (0, "a", 2)]);
    let names: Vec<&str> = audit.lines.iter().map(|line| line.name.as_str()).collect();
    assert_eq!(names, ["item 1, 2031-07-02, a", "item 1, 2031-07-02, a (2)"]);
}

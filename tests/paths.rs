//! Every shown number has a path: from each number of each page down to cells, contract and rule set, and each step of
//! the way computed a second time, here, in floating point and without the program's own evaluation.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::Path;

use rust_decimal::prelude::ToPrimitive;
use slabtally::dossier::{Align, Block, Shown};
use slabtally::figure::{
    Book, CellValue, Comparison, Ends, Expr, Figure, FigureId, Given, Origin, Statistic, Step, Steps, Total, Value,
    fisher, root, student, whole, within_limits,
};
use slabtally::run;
use slabtally::units::{Mode, Rounding, Unit};

use crate::{distributions, findings};

/// A second evaluation, as plain as it can be written; each figure is computed once.
struct Second<'b>(&'b Book, RefCell<BTreeMap<FigureId, f64>>);

impl Second<'_> {
    fn of(&self, expr: &Expr) -> f64 {
        match expr {
            Expr::Figure(id) => self.figure(*id),
            Expr::Given(id) => self.0[*id].value.to_f64().unwrap(),
            Expr::Whole(n) => *n as f64,
            Expr::Cell(id) => {
                let cell = self.0.table(id.table).cell(id.row, id.column).expect("the cell is there");
                assert!(cell.at.is_some(), "a number of a calculation has a source cell");
                match cell.value {
                    CellValue::Number(n) => n.to_f64().unwrap(),
                    ref other => panic!("{other} is not a number"),
                }
            }
            Expr::Total(total) => self.total(total),
            Expr::Add(a, b) => self.of(a) + self.of(b),
            Expr::Sub(a, b) => self.of(a) - self.of(b),
            Expr::Mul(a, b) => self.of(a) * self.of(b),
            Expr::Div(a, b) => self.of(a) / self.of(b),
            Expr::Of(statistic, many) => statistic_of(*statistic, &many.iter().map(|e| self.of(e)).collect::<Vec<_>>()),
            Expr::Convert(a, by) => self.of(a) * by.times.to_f64().unwrap() / by.over.to_f64().unwrap(),
            Expr::CircleArea(d) => std::f64::consts::PI * self.of(d).powi(2) / 4.0,
            Expr::Power(a, b) => self.of(a).powf(self.of(b)),
            Expr::Root(a) => self.of(a).powf(0.5),
            Expr::Exponential(a) => self.of(a).exp(),
            Expr::Logarithm(a) => self.of(a).ln(),
            Expr::Distribution(which, of) => {
                distributions::value(*which, &of.iter().map(|e| self.of(e)).collect::<Vec<_>>())
            }
            Expr::Round(a, rounding) => round(self.of(a), *rounding),
            Expr::Compare(..) => f64::from(u8::from(self.holds(expr))),
            Expr::If(test, yes, no) => {
                if self.holds(test) {
                    self.of(yes)
                } else {
                    self.of(no)
                }
            }
            Expr::LookUp(a, steps) => {
                let value = self.of(a);
                let near = |x: Option<rust_decimal::Decimal>, below: bool| {
                    x.is_none_or(|x| {
                        let x = x.to_f64().unwrap();
                        if below { x <= value + 1e-9 } else { value <= x + 1e-9 }
                    })
                };
                let table = &self.0[*steps];
                // Where steps touch, both hold the value at the joint within the dust: whose end is in decides.
                let mut rows = table.rows.iter().filter(|r| near(r.from, true) && near(r.to, false));
                let row = if table.ends == Ends::Upper { rows.next() } else { rows.next_back() };
                row.expect("a step").value.to_f64().unwrap()
            }
        }
    }

    fn holds(&self, test: &Expr) -> bool {
        let Expr::Compare(a, how, b) = test else { panic!("a condition is a comparison") };
        // To nine decimals: what is a tie on paper is often a digit beside it in binary.
        let [a, b] = [a, b].map(|e| (self.of(e) * 1e9).round());
        match how {
            Comparison::Below => a < b,
            Comparison::AtMost => a <= b,
            Comparison::AtLeast => a >= b,
            Comparison::Above => a > b,
        }
    }

    fn total(&self, total: &Total) -> f64 {
        let table = self.0.table(total.table);
        let mut numbers = Vec::new();
        for row in total.rows.0..total.rows.1 {
            let wanted =
                total.only.is_none_or(|(column, word)| table.cell(row, column).unwrap().value == CellValue::Word(word));
            if let (true, Some(cell)) = (wanted, table.cell(row, total.column))
                && let CellValue::Number(n) = cell.value
            {
                assert!(cell.at.is_some(), "a number that is added up has a source cell");
                numbers.push(n.to_f64().unwrap());
            }
        }
        statistic_of(total.of, &numbers)
    }

    /// The figure's own value, after comparing it with this evaluation of its formula.
    fn figure(&self, id: FigureId) -> f64 {
        if let Some(known) = self.1.borrow().get(&id) {
            return *known;
        }
        let figure = &self.0[id];
        let own = figure.value.real().unwrap_or_else(|| panic!("{} is not a number: {:?}", figure.key, figure.value));
        let again = self.of(&figure.expr);
        let again = figure.rounding.map_or(again, |r| round(again, r));
        let step = figure.rounding.map_or(0.0, |r| r.to().to_f64().unwrap());
        // Binary floating point may fall on the other side of an exact half: then, and only then, a step apart.
        let tie = figure
            .rounding
            .is_some_and(|r| (self.of(&figure.expr) / r.to().to_f64().unwrap()).fract().abs() - 0.5 < 1e-6);
        let close =
            (own - again).abs() <= 1e-9 * own.abs().max(1.0) || (tie && (own - again).abs() <= step * 1.000_001);
        assert!(close, "{}: {own} is shown, {again} comes out again", figure.key);
        self.1.borrow_mut().insert(id, own);
        own
    }
}

fn statistic_of(statistic: Statistic, values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    match statistic {
        Statistic::Sum => values.iter().sum(),
        Statistic::Mean => mean,
        Statistic::Spread => (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt(),
        Statistic::Count => n,
        Statistic::Min => values.iter().copied().fold(f64::INFINITY, f64::min),
        Statistic::Max => values.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    }
}

fn round(value: f64, rounding: Rounding) -> f64 {
    let step = rounding.to().to_f64().unwrap();
    // Seven guard digits: a decimal half is seldom a binary one.
    let steps = (value / step * 1e7).round() / 1e7;
    let whole = match rounding.mode() {
        Mode::HalfUp => steps.round(),
        Mode::HalfEven => steps.round_ties_even(),
        Mode::Up => steps.signum() * steps.abs().ceil(),
        Mode::Down => steps.trunc(),
    };
    whole * step
}

fn walk(contract: &str) -> usize {
    walk_folder(&Path::new("sample-inputs").join(contract))
}

pub(crate) fn walk_folder(folder: &Path) -> usize {
    let computed = run::compute(folder, None, &|_, _| ()).expect("the folder is read");
    let book = &computed.book;
    let second = Second(book, RefCell::default());
    let mut shown = 0;
    for page in computed.dossier().pages {
        for block in page.blocks {
            let Block::Table(table) = block else { continue };
            for cell in table.rows.iter().flat_map(|row| row.cells.iter().zip(&table.columns)) {
                match cell {
                    (Shown::Figure(id), _) if !matches!(book[*id].value, Value::Not(_)) => {
                        second.figure(*id);
                        shown += 1;
                    }
                    (Shown::Cell(id), _) => {
                        let cell = book.table(id.table).cell(id.row, id.column).expect("the cell is there");
                        assert!(cell.at.is_some(), "{}: a shown record value has a source cell", table.id);
                        shown += 1;
                    }
                    (Shown::Text(text), column) => {
                        let number = text.parse::<f64>().is_ok() && column.align == Align::Right;
                        assert!(!number, "{}: '{text}' stands in a column of numbers without a path", table.id);
                    }
                    _ => {}
                }
            }
        }
    }
    for (id, figure) in book.figures() {
        if !matches!(figure.value, Value::Not(_)) {
            second.figure(id);
        }
    }
    shown
}

#[test]
fn every_shown_number_of_harrow_road_has_a_path() {
    let shown = walk("harrow-road");
    assert!(shown > 1_000, "only {shown} numbers are shown");
}

#[test]
fn every_shown_number_of_quay_lane_has_a_path() {
    assert!(walk("quay-lane") > 50);
}

#[test]
fn every_shown_number_of_mill_street_has_a_path() {
    assert!(walk("mill-street") > 20);
}

#[test]
fn every_shown_number_of_a_ride_page_has_a_path() {
    assert!(walk_folder(findings::folder("smoothness-rough").path()) > 50);
    assert!(walk_folder(findings::folder("straightedge-over").path()) > 50);
}

#[test]
fn every_shown_number_of_a_fresh_concrete_page_has_a_path() {
    assert!(walk_folder(findings::folder("fresh-unplaced").path()) > 50);
}

#[test]
fn every_shown_number_of_an_invoice_page_has_a_path() {
    for code in ["billed-twice", "billed-price", "billed-short-load", "billed-waiting", "received-not-billed"] {
        assert!(walk_folder(findings::folder(code).path()) > 50, "{code}");
    }
}

#[test]
fn every_shown_number_of_a_page_of_papers_and_of_what_nobody_checked_has_a_path() {
    for code in ["paper-missing", "quantity-unchecked"] {
        assert!(walk_folder(findings::folder(code).path()) > 50, "{code}");
    }
}

/// Kinds of formula that no sample uses yet, over values from rules' ordinary range.
#[test]
fn powers_roots_and_distributions_come_out_again() {
    let mut book = Book::default();
    let mut given = |label: &str, value: rust_decimal::Decimal, unit| {
        let origin = Origin::Entry { what: label.into() };
        let written = value.to_string();
        book.given(Given { label: label.into(), symbol: label.into(), value, unit, written, origin })
    };
    let hundredth = |n: i64| rust_decimal::Decimal::new(n, 2);
    let indexes: Vec<_> =
        [-210, -73, 0, 38, 120, 144, 200].map(|n| given(&format!("q{n}"), hundredth(n), Unit::One)).into();
    let tails: Vec<_> = [1, 5, 10, 25].map(|n| given(&format!("a{n}"), hundredth(n), Unit::One)).into();
    let base = given("r", hundredth(86), Unit::One);
    let area = given("A", hundredth(2896), Unit::SquareInch);
    let mut exprs: Vec<(Unit, Expr)> = vec![
        (Unit::One, Expr::from(base).power(whole(3))),
        (Unit::One, Expr::from(base).power(whole(-2))),
        (Unit::One, Expr::from(base).power(tails[1])),
        (Unit::SquareInch, root(area).power(whole(2))),
        (Unit::Inch, root(area)),
    ];
    for n in [3, 4, 5, 6, 7, 10, 16, 31, 120] {
        exprs.extend(indexes.iter().map(|&q| (Unit::Percent, within_limits(q, whole(n)))));
    }
    for &tail in &tails {
        exprs.extend([1, 2, 5, 6, 29, 120].map(|df| (Unit::One, student(tail, whole(df)))));
        exprs.extend(
            [(1, 1), (4, 9), (9, 4), (2, 40), (30, 11)].map(|(a, b)| (Unit::One, fisher(tail, whole(a), whole(b)))),
        );
    }
    let step = |from, to, value| Step { from, to, value, word: String::new(), open: false };
    let steps = |ends| Steps {
        title: "steps".into(),
        clause: "made for this test".into(),
        set: "test".into(),
        entered_in: Unit::Percent,
        gives: Unit::Percent,
        ends,
        rows: vec![
            step(None, Some(hundredth(9000)), hundredth(9000)),
            step(Some(hundredth(9000)), None, hundredth(10_000)),
        ],
    };
    for ends in [Ends::Lower, Ends::Upper] {
        let table = book.steps(steps(ends));
        // Four tests at 1.20 are exactly 90 percent: the joint of the steps.
        exprs.extend([3, 4, 5].map(|i| (Unit::Percent, within_limits(indexes[i], whole(4)).in_steps(table))));
    }
    let ids: Vec<FigureId> = exprs
        .into_iter()
        .enumerate()
        .map(|(i, (unit, expr))| book.add(Figure::new(format!("figure-{i}"), "figure", "x", unit, expr)))
        .collect();
    let second = Second(&book, RefCell::default());
    let again: Vec<f64> = ids.iter().map(|&id| second.figure(id)).collect();
    assert!(again.len() > 100, "only {} figures were compared", again.len());
    assert!(again.ends_with(&[90.0, 100.0, 100.0, 90.0, 90.0, 100.0]), "the lower end in, then the upper");
}

//! Second reading: the hand calculation, as an engineer writes a calculation sheet.
//!
//! symbol = formula = numbers put in = result with its unit, and the clause or source at the right.

use super::book::{Book, FigureId};
use super::distribution;
use super::expr::{Comparison, Expr, Statistic, Total};
use crate::units::{Conversion, plain, written};

/// One line of a calculation sheet.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct HandLine {
    /// The figure's key.
    pub key: String,
    /// `average`.
    pub label: String,
    /// `t`.
    pub symbol: String,
    /// `(L w) / 9`; empty for a value taken as it is.
    pub formula: String,
    /// `148.0 x 12.0 / 9`.
    pub numbers: String,
    /// `197.33`.
    pub value: String,
    /// `yd2`.
    pub unit: String,
    /// `to 0.01 half up; rule, clause`.
    pub note: String,
}

/// How many parts of a sum or mean are written out: the nine readings of a core (ASTM C174) can be followed by pencil.
const WRITTEN_OUT: usize = 9;

/// How many of their letters are: the pattern is plain after a few.
const LETTERS: usize = 6;

/// The calculation line of a figure.
#[must_use]
pub fn hand(book: &Book, id: FigureId) -> HandLine {
    let figure = &book[id];
    let one_record = of_one_record(&figure.expr);
    let symbols = Printer { book, numbers: false, one_record }.print(&figure.expr, 0);
    let numbers = Printer { book, numbers: true, one_record }.print(&figure.expr, 0);
    let value = figure.text();
    let mut notes = Vec::new();
    if let Some(rounding) = figure.rounding {
        notes.push(format!("to {rounding}"));
    }
    notes.extend([&figure.note, &figure.clause].into_iter().filter(|n| !n.is_empty()).cloned());
    HandLine {
        key: figure.key.clone(),
        label: figure.label.clone(),
        symbol: figure.symbol.clone(),
        formula: if symbols == numbers || symbols == figure.symbol { String::new() } else { symbols },
        numbers: if numbers == value { String::new() } else { numbers },
        value,
        unit: figure.unit.to_string(),
        note: notes.join("; "),
    }
}

/// Writes an expression with letters or with numbers.
struct Printer<'b> {
    book: &'b Book,
    numbers: bool,
    /// True where all cells are of one record: they are then called by their headings, otherwise by their records.
    one_record: bool,
}

/// Whether an expression takes several cells, all from one row: load and diameter of a cylinder, readings of a core.
fn of_one_record(expr: &Expr) -> bool {
    let mut cells = Vec::new();
    let mut left = vec![expr];
    while let Some(next) = left.pop() {
        match next {
            Expr::Cell(id) => cells.push(*id),
            other => left.extend(other.parts()),
        }
    }
    cells.len() > 1 && cells.iter().all(|id| (id.table, id.row) == (cells[0].table, cells[0].row))
}

const SUM: u8 = 1;
const PRODUCT: u8 = 2;
const POWER: u8 = 3;
const LEAF: u8 = 4;

impl Printer<'_> {
    /// `around` is how tightly the surroundings bind; a looser expression gets brackets.
    fn print(&self, expr: &Expr, around: u8) -> String {
        let (text, binds) = match expr {
            Expr::Figure(_) | Expr::Cell(_) | Expr::Given(_) | Expr::Whole(_) => (self.leaf(expr), LEAF),
            Expr::Total(total) => (self.total(total), LEAF),
            Expr::Add(a, b) => (format!("{} + {}", self.print(a, SUM), self.print(b, SUM)), SUM),
            Expr::Sub(a, b) => (format!("{} - {}", self.print(a, SUM), self.print(b, PRODUCT)), SUM),
            Expr::Mul(a, b) => (format!("{} x {}", self.print(a, PRODUCT), self.print(b, PRODUCT)), PRODUCT),
            Expr::Div(a, b) => (format!("{} / {}", self.print(a, PRODUCT), self.print(b, LEAF)), PRODUCT),
            Expr::Of(statistic, many) => self.statistic(*statistic, many),
            Expr::Convert(a, by) => self.convert(a, by, around),
            Expr::Round(a, rounding) => (format!("{} (to {rounding})", self.print(a, LEAF)), LEAF),
            Expr::Compare(a, how, b) => {
                let sign = match how {
                    Comparison::Below => "<",
                    Comparison::AtMost => "<=",
                    Comparison::AtLeast => ">=",
                    Comparison::Above => ">",
                };
                (format!("{} {sign} {}", self.print(a, SUM), self.print(b, SUM)), SUM)
            }
            Expr::If(test, yes, no) => {
                (format!("if {} then {}, else {}", self.print(test, 0), self.print(yes, 0), self.print(no, 0)), 0)
            }
            Expr::LookUp(a, steps) => {
                let table = &self.book[*steps];
                let row = self.book.evaluate(a).decimal().and_then(|d| table.find(d));
                let step = match (self.numbers, row) {
                    (true, Some(row)) => format!(", step {}", table.span(row)),
                    _ => String::new(),
                };
                (format!("table({}){step}", self.print(a, 0)), LEAF)
            }
            Expr::CircleArea(a) => (format!("pi {}^2 / 4", self.print(a, LEAF)), PRODUCT),
            Expr::Power(a, b) => (format!("{}^{}", self.print(a, LEAF), self.print(b, LEAF)), POWER),
            Expr::Exponential(a) => (format!("exp({})", self.print(a, 0)), LEAF),
            Expr::Logarithm(a) => (format!("ln({})", self.print(a, 0)), LEAF),
            Expr::Root(a) => (format!("sqrt({})", self.print(a, 0)), LEAF),
            Expr::Distribution(which, of) => {
                let of: Vec<String> = of.iter().map(|e| self.print(e, 0)).collect();
                (distribution::by_hand(*which, &of, self.numbers), LEAF)
            }
        };
        if binds < around { format!("({text})") } else { text }
    }

    fn leaf(&self, expr: &Expr) -> String {
        let book = self.book;
        match expr {
            Expr::Figure(id) if self.numbers => signed(book[*id].text()),
            Expr::Figure(id) => book[*id].symbol.clone(),
            Expr::Given(id) if self.numbers => signed(written_at_least(book[*id].value, book[*id].unit.decimals())),
            Expr::Given(id) => book[*id].symbol.clone(),
            Expr::Cell(id) => {
                let table = book.table(id.table);
                match (self.numbers, table.number(id.row, id.column)) {
                    (true, Some(n)) => {
                        let decimals = table.columns.get(usize::from(id.column)).and_then(|c| c.decimals);
                        signed(decimals.map_or_else(|| plain(n), |d| written_at_least(n, d)))
                    }
                    (true, None) => "blank".into(),
                    (false, _) if self.one_record => {
                        table.columns.get(usize::from(id.column)).map_or_else(String::new, |c| c.heading.to_lowercase())
                    }
                    (false, _) => table.row_name(id.row),
                }
            }
            Expr::Whole(n) => signed(n.to_string()),
            _ => String::new(),
        }
    }

    fn total(&self, total: &Total) -> String {
        let table = self.book.table(total.table);
        let heading = table.columns.get(usize::from(total.column)).map_or("", |c| c.heading);
        let verb = if total.of == Statistic::Count { "count" } else { "sum" };
        let rows = total.rows.1.saturating_sub(total.rows.0);
        let only = total.only.map_or_else(String::new, |(_, word)| format!(" where {word}"));
        if self.numbers {
            format!("{verb} of {rows} rows of {}{only}", table.name)
        } else {
            format!("{verb}({heading}{only})")
        }
    }

    fn statistic(&self, statistic: Statistic, many: &[Expr]) -> (String, u8) {
        let shown: Vec<String> = match many.len() {
            n if n <= if self.numbers { WRITTEN_OUT } else { LETTERS } => {
                many.iter().map(|e| self.print(e, SUM)).collect()
            }
            n => {
                vec![self.print(&many[0], SUM), self.print(&many[1], SUM), "...".into(), self.print(&many[n - 1], SUM)]
            }
        };
        let n = many.len();
        match statistic {
            Statistic::Sum => match n {
                0 => ("0".into(), LEAF),
                _ => (shown.join(" + "), if n == 1 { LEAF } else { SUM }),
            },
            Statistic::Mean if n == 1 => (shown.join(""), LEAF),
            Statistic::Mean => (format!("({}) / {n}", shown.join(" + ")), PRODUCT),
            Statistic::Spread => (format!("standard deviation (n - 1) of {}", shown.join(", ")), 0),
            Statistic::Count => (format!("count of {n}"), LEAF),
            Statistic::Min => (format!("smallest of {}", shown.join(", ")), 0),
            Statistic::Max => (format!("largest of {}", shown.join(", ")), 0),
        }
    }

    fn convert(&self, a: &Expr, by: &Conversion, around: u8) -> (String, u8) {
        let (times, over) = (by.times.normalize(), by.over.normalize());
        if times == over {
            return (self.print(a, around), LEAF);
        }
        let mut text = self.print(a, PRODUCT);
        if !times.is_integer() || times.to_string() != "1" {
            text.push_str(&format!(" x {times}"));
        }
        if over.to_string() != "1" {
            text.push_str(&format!(" / {over}"));
        }
        (text, PRODUCT)
    }
}

/// A negative number inside a formula stands in brackets.
fn signed(number: String) -> String {
    if number.starts_with('-') { format!("({number})") } else { number }
}

/// With at least `decimals` decimals, more where the value has more.
fn written_at_least(value: rust_decimal::Decimal, decimals: u8) -> String {
    let own = u8::try_from(value.normalize().scale()).unwrap_or(u8::MAX);
    written(value, own.max(decimals).min(6))
}

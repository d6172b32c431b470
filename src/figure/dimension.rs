//! The check that a formula is in the unit its figure says: feet times feet over 9 are square yards, and nothing else is.
//!
//! Values are never converted by it; a wrong formula fails in the tests instead of on a page.

use super::book::{Book, Figure};
use super::expr::{Distribution, Expr, Statistic};
use crate::units::{Dimension, Unit};

/// What a bare number measures.
const NUMBER: (Dimension, f64) = (Dimension::NONE, 1.0);

/// Dimension and size of an expression; `None` for a bare zero, which has every unit.
type Measure = Option<(Dimension, f64)>;

/// Whether the expression of a figure is in the figure's unit.
///
/// # Errors
/// What does not agree, in words.
pub fn check(book: &Book, figure: &Figure) -> Result<(), String> {
    let found = measure(book, &figure.expr)?;
    same(found, Some(of(figure.unit)), "the formula and its figure").map(|_| ())
}

fn of(unit: Unit) -> (Dimension, f64) {
    (unit.dimension(), unit.size())
}

fn measure(book: &Book, expr: &Expr) -> Result<Measure, String> {
    let of_expr = |e: &Expr| measure(book, e);
    Ok(match expr {
        Expr::Figure(id) => Some(of(book[*id].unit)),
        Expr::Given(id) => Some(of(book[*id].unit)),
        Expr::Cell(id) => book.table(id.table).columns.get(usize::from(id.column)).map(|c| of(c.unit)),
        Expr::Whole(0) => None,
        Expr::Whole(_) | Expr::Of(Statistic::Count, _) => Some(NUMBER),
        Expr::Total(total) if total.of == Statistic::Count => Some(NUMBER),
        Expr::Total(total) => book.table(total.table).columns.get(usize::from(total.column)).map(|c| of(c.unit)),
        Expr::Add(a, b) | Expr::Sub(a, b) => same(of_expr(a)?, of_expr(b)?, "the two sides of + or -")?,
        Expr::Mul(a, b) => product(of_expr(a)?, of_expr(b)?, Dimension::times, |x, y| x * y),
        Expr::Div(a, b) => product(of_expr(a)?, of_expr(b)?, Dimension::over, |x, y| x / y),
        Expr::Of(_, many) => many.iter().try_fold(None, |unit, e| same(unit, of_expr(e)?, "values taken together"))?,
        Expr::Convert(a, by) => {
            // A quotient (force over area) is compared with the unit it makes, a product with its factors.
            let found = of_expr(a)?;
            let accepted = if by.times == by.over || found == Some(of(by.to)) || near(found, Some(of(by.to))) {
                Some(of(by.to))
            } else {
                Some(by.accepts())
            };
            if !near(found, accepted) && !near(found, quotient(by.from)) {
                return Err(format!("a change to {} is applied to something else", by.to));
            }
            Some(of(by.to))
        }
        Expr::Round(a, _) => of_expr(a)?,
        Expr::Compare(a, _, b) => {
            same(of_expr(a)?, of_expr(b)?, "the two sides of a comparison")?;
            Some(NUMBER)
        }
        Expr::If(test, yes, no) => {
            of_expr(test)?;
            same(of_expr(yes)?, of_expr(no)?, "the two branches of a condition")?
        }
        Expr::LookUp(a, steps) => {
            same(of_expr(a)?, Some(of(book[*steps].entered_in)), "a value and the table it enters")?;
            Some(of(book[*steps].gives))
        }
        Expr::CircleArea(a) => {
            let d = of_expr(a)?;
            product(d, d, Dimension::times, |x, y| x * y)
        }
        Expr::Power(a, b) => {
            same(of_expr(b)?, Some(NUMBER), "an exponent and a number")?;
            power(of_expr(a)?, b)?
        }
        Expr::Exponential(a) | Expr::Logarithm(a) => {
            same(of_expr(a)?, Some(NUMBER), "an exponent or logarithm and a number")?;
            Some(NUMBER)
        }
        Expr::Root(a) => match of_expr(a)? {
            Some((d, size)) => Some((d.root().ok_or("the square root of something that is no square")?, size.sqrt())),
            None => None,
        },
        Expr::Distribution(which, of) => {
            of.iter().try_for_each(|e| same(of_expr(e)?, Some(NUMBER), "a distribution and a number").map(|_| ()))?;
            Some(if *which == Distribution::WithinLimits { self::of(Unit::Percent) } else { NUMBER })
        }
    })
}

/// A whole number of the formula raises the unit too; any other exponent may stand on a bare number only.
fn power(base: Measure, exponent: &Expr) -> Result<Measure, String> {
    match (base, exponent) {
        (Some((d, size)), Expr::Whole(n)) => {
            let times = i32::try_from(*n).map_err(|_| "a power that is too high")?;
            Ok(Some((d.power(*n).ok_or("a power that is too high")?, size.powi(times))))
        }
        (base, _) => same(base, Some(NUMBER), "the base of a power and a number"),
    }
}

fn product(
    a: Measure,
    b: Measure,
    dimension: impl Fn(Dimension, Dimension) -> Dimension,
    size: impl Fn(f64, f64) -> f64,
) -> Measure {
    let ((da, sa), (db, sb)) = (a?, b?);
    Some((dimension(da, db), size(sa, sb)))
}

fn quotient(units: &[Unit]) -> Measure {
    let (first, rest) = units.split_first()?;
    let over = rest.iter().fold((Dimension::NONE, 1.0), |(d, s), u| (d.times(u.dimension()), s * u.size()));
    Some((first.dimension().over(over.0), first.size() / over.1))
}

fn near(a: Measure, b: Measure) -> bool {
    match (a, b) {
        (Some((da, sa)), Some((db, sb))) => da == db && (sa / sb - 1.0).abs() < 1e-9,
        _ => true,
    }
}

fn same(a: Measure, b: Measure, what: &str) -> Result<Measure, String> {
    if near(a, b) { Ok(a.or(b)) } else { Err(format!("{what} are in different units: {a:?} and {b:?}")) }
}

//! The mean of many measurements, and how far it may be off.
//!
//! ```text
//! h = t s / sqrt(n)          t at 2.5 percent on each side, n - 1 degrees of freedom: nineteen times in twenty
//! ```
//!
//! Student's interval for the mean of independent measurements (any handbook of statistics, such as NIST/SEMATECH 1.3.5.2).

use crate::figure::{Book, Expr, Figure, FigureId, mean, root, spread, student, sum, whole};
use crate::units::Unit;

/// Most values that a mean or a spread is written out over; of more it is made of sums, which can be printed in parts.
const WRITTEN: usize = 60;

/// What the values are.
#[derive(Clone, Copy)]
pub(super) struct Of<'w> {
    /// Head of the keys.
    pub key: &'w str,
    /// What they are, in words.
    pub label: &'w str,
    /// Letter of their mean.
    pub symbol: &'w str,
    pub unit: Unit,
    /// Decimals that the mean is shown with.
    pub decimals: u8,
    pub clause: &'w str,
}

/// A mean and how far it may be off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Sample {
    pub mean: FigureId,
    /// `None` of one value.
    pub off: Option<FigureId>,
}

/// The mean of some values; `None` of none.
pub(super) fn sample(book: &mut Book, of: Of<'_>, values: &[Expr]) -> Option<Sample> {
    let n = i64::try_from(values.len()).ok().filter(|&n| n > 0)?;
    let middle = if values.len() <= WRITTEN {
        mean(values.to_vec())
    } else {
        let all = part(of, "sum", "sum", of.decimals);
        book.add_sum(all, values.to_vec()) / whole(n)
    };
    let words = if n == 1 { format!("{}, of one", of.label) } else { format!("{}, mean of {n}", of.label) };
    let figure = Figure::new(format!("{}.mean", of.key), words, of.symbol, of.unit, middle);
    let mean = book.add(figure.shown(of.decimals).under(of.clause));
    Some(Sample { mean, off: off(book, of, (values, n), mean) })
}

fn off(book: &mut Book, of: Of<'_>, (values, n): (&[Expr], i64), mean: FigureId) -> Option<FigureId> {
    if n < 2 {
        return None;
    }
    let s = if values.len() <= WRITTEN {
        spread(values.to_vec())
    } else {
        let squares: Vec<Expr> = values.iter().map(|v| (v.clone() - mean).power(whole(2))).collect();
        let sum_of = Figure { unit: of.unit, ..part(of, "squares", "sum of squares about the mean", of.decimals + 3) };
        root(squared(book, &sum_of, &squares) / whole(n - 1))
    };
    let s = book.add(Figure { expr: s, ..part(of, "spread", "standard deviation", of.decimals + 1) });
    let t = student(whole(1) / whole(40), whole(n - 1));
    let half = Figure {
        expr: t * s / root(whole(n)),
        symbol: "h".into(),
        ..part(of, "off", "how far the mean may be off", of.decimals)
    };
    Some(book.add(half.note("t s / sqrt(n), 19 times in 20")))
}

/// Sums of squares have no unit of their own here, so each part is a root of its sum, squared again.
fn squared(book: &mut Book, figure: &Figure, squares: &[Expr]) -> Expr {
    let parts = squares.chunks(WRITTEN).enumerate().map(|(i, chunk)| {
        let part = Figure {
            key: format!("{}-{}", figure.key, i + 1),
            label: format!("{}, root of part {}", figure.label, i + 1),
            expr: root(sum(chunk.to_vec())),
            ..figure.clone()
        };
        Expr::from(book.add(part)).power(whole(2))
    });
    sum(parts.collect::<Vec<_>>())
}

fn part(of: Of<'_>, key: &str, words: &str, decimals: u8) -> Figure {
    let figure = Figure::new(format!("{}.{key}", of.key), format!("{}, {words}", of.label), "s", of.unit, whole(0));
    figure.shown(decimals)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::{Given, Origin, check_dimensions};
    use crate::source::Sources;
    use rust_decimal::{Decimal, dec};

    fn of(values: &[Decimal]) -> (f64, Option<f64>) {
        let mut book = Book::new(Sources::default());
        let given = |book: &mut Book, (i, &value): (usize, &Decimal)| {
            let entry = Origin::Entry { what: i.to_string() };
            let (label, symbol, written) = (format!("core {i}"), format!("t{i}"), value.to_string());
            Expr::from(book.given(Given { label, symbol, value, unit: Unit::Inch, written, origin: entry }))
        };
        let values: Vec<Expr> = values.iter().enumerate().map(|v| given(&mut book, v)).collect();
        let words = Of { key: "k", label: "length", symbol: "t", unit: Unit::Inch, decimals: 2, clause: "" };
        let sample = sample(&mut book, words, &values).unwrap();
        for (_, figure) in book.figures() {
            assert_eq!(check_dimensions(&book, figure), Ok(()), "{}", figure.key);
        }
        (book[sample.mean].value.real().unwrap(), sample.off.map(|off| book[off].value.real().unwrap()))
    }

    /// The ten core lengths of Iowa I.M. 346, appendix A(a): mean 8.01, s = 0.6923. Any table of Student's t gives 2.262 at 9 degrees
    /// of freedom, so the mean is known to 2.262 x 0.6923 / sqrt(10) = 0.495.
    #[test]
    fn ten_cores_of_iowa() {
        let lengths = [
            dec!(7.40),
            dec!(7.10),
            dec!(8.10),
            dec!(7.60),
            dec!(7.95),
            dec!(8.25),
            dec!(9.70),
            dec!(7.90),
            dec!(8.10),
            dec!(8.00),
        ];
        let (mean, off) = of(&lengths);
        assert!((mean - 8.01).abs() < 1e-9);
        assert!((off.unwrap() - 0.4952).abs() < 1e-4, "{off:?}");
    }

    #[test]
    fn one_value_has_no_interval() {
        assert_eq!(of(&[dec!(9.5)]), (9.5, None));
    }

    /// Made of part sums or written out: the same.
    #[test]
    fn many_values_come_to_what_the_formula_says() {
        let values: Vec<Decimal> = (0..233).map(|i| Decimal::new(900 + (i * 37) % 101, 2)).collect();
        let (mean, off) = of(&values);
        let reals: Vec<f64> = values.iter().map(|v| (*v).try_into().unwrap()).collect();
        let expected = reals.iter().sum::<f64>() / 233.0;
        let s = (reals.iter().map(|v| (v - expected).powi(2)).sum::<f64>() / 232.0).sqrt();
        let t = crate::statistics::student(0.025, 232.0).unwrap();
        assert!((mean - expected).abs() < 1e-9 && (off.unwrap() - t * s / 233f64.sqrt()).abs() < 1e-9);
    }
}

//! The strength-maturity curve of a mix, fitted to its own specimens (ASTM C1074; the logarithmic form is one it names, from
//! memory).
//!
//! ```text
//! S = a + b ln M       b = sum (x - X)(y - Y) / sum (x - X)^2,  a = Y - b X,  x = ln M, y strength, X and Y their means
//! s = sqrt(sum (y - a - b x)^2 / (n - 2))
//! ```
//!
//! Between the least and the greatest maturity of its specimens a curve says something; beyond them it does not, and nothing
//! is extrapolated.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;

use super::Works;
use super::site::{Site, row};
use crate::figure::{Book, CellId, Expr, Figure, FigureId, count, logarithm, max, mean, min, root, sum, whole};
use crate::finding::{Code, Finding};
use crate::line::{folded, slug, stepped};
use crate::rules::{Maturity, MaturityRule};
use crate::statistics::student;
use crate::units::{Conversion, System, Unit, conversions};

/// A curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Mix as its sheet names it; empty where it names none and the contract has one at most.
    pub mix: String,
    /// Specimens, by place in the records.
    pub specimens: Vec<usize>,
    /// Logarithm of each one's maturity.
    pub logarithms: Vec<FigureId>,
    /// How many.
    pub n: FigureId,
    /// a.
    pub intercept: FigureId,
    /// b.
    pub slope: FigureId,
    /// s.
    pub spread: FigureId,
    /// Mean of the logarithms.
    pub centre: FigureId,
    /// Sum of squares of the logarithms about their mean.
    pub squares: FigureId,
    /// Least and greatest maturity.
    pub ends: (FigureId, FigureId),
}

/// How maturity becomes a bare number.
pub(super) fn number_of(by: &Maturity, system: System) -> Conversion {
    match (by, system) {
        (Maturity::Age { .. }, _) => conversions::HOURS,
        (Maturity::Factor { .. }, System::Customary) => conversions::FAHRENHEIT_HOURS,
        (Maturity::Factor { .. }, System::Si) => conversions::CELSIUS_HOURS,
    }
}

/// The unit of maturity.
pub(super) fn unit_of(by: &Maturity, system: System) -> Unit {
    match by {
        Maturity::Age { .. } => Unit::Hour,
        Maturity::Factor { .. } => system.maturity(),
    }
}

/// Fits a curve for each mix that has specimens enough.
pub(super) fn fit(site: &Site<'_>, book: &mut Book, works: &mut Works, findings: &mut Vec<Finding>) {
    let Some(rule) = &site.rule.maturity else { return };
    let records = &site.inputs.records.calibrated;
    let mut by_mix: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (i, specimen) in records.iter().enumerate() {
        let told = match rule.by {
            Maturity::Age { .. } => specimen.age.is_some(),
            Maturity::Factor { .. } => specimen.factor.is_some(),
        };
        if told {
            let mix = specimen.mix.as_ref().map_or(String::new(), |m| folded(&m.value));
            by_mix.entry(mix).or_default().push(i);
        }
    }
    for (_, own) in by_mix {
        match curve(site, book, rule, own.clone()) {
            Some(curve) => works.curves.push(curve),
            None => findings.extend(too_few(site, rule, &own)),
        }
    }
}

fn curve(site: &Site<'_>, book: &mut Book, rule: &MaturityRule, own: Vec<usize>) -> Option<Curve> {
    let records = &site.inputs.records.calibrated;
    let enough = own.len().to_u32().is_some_and(|n| rust_decimal::Decimal::from(n) >= rule.least_specimens.value);
    if !enough || own.len() < 3 {
        return None;
    }
    let (ledger, system) = (&site.inputs.line.ledger, site.inputs.contract.system);
    let column = match rule.by {
        Maturity::Age { .. } => stepped::calibrated::AGE,
        Maturity::Factor { .. } => stepped::calibrated::FACTOR,
    };
    let mix = records[*own.first()?].mix.as_ref().map_or(String::new(), |m| m.value.to_string());
    let (key, label) = (format!("works.curve-{}", slug(&mix)), format!("strength-maturity curve {mix}"));
    let mut add = |part: &str, what: &str, symbol: &str, unit: Unit, expr: Expr, decimals: u8| {
        let figure = Figure::new(format!("{key}.{part}"), format!("{label}, {what}"), symbol, unit, expr);
        book.add(figure.shown(decimals))
    };
    let maturities: Vec<CellId> = own.iter().map(|&i| ledger.calibrated_cell(i, column)).collect();
    let strengths: Vec<CellId> =
        own.iter().map(|&i| ledger.calibrated_cell(i, stepped::calibrated::STRENGTH)).collect();
    let number = number_of(&rule.by, system);
    let logarithms: Vec<FigureId> = (1..)
        .zip(&maturities)
        .map(|(k, &m)| {
            let x = logarithm(Expr::from(m).to(number));
            add(&format!("x-{k}"), &format!("logarithm of maturity {k}"), "x", Unit::One, x, 4)
        })
        .collect();
    let strength = system.strength();
    let n = add("n", "specimens", "n", Unit::One, count(strengths.iter().copied()), 0);
    let centre = add("centre", "mean of the logarithms", "X", Unit::One, mean(logarithms.iter().copied()), 4);
    let level = add("level", "mean strength", "Y", strength, mean(strengths.iter().copied()), strength.decimals());
    let squares: Vec<Expr> = logarithms.iter().map(|&x| (x - centre).power(whole(2))).collect();
    let squares = add("squares", "squares about the mean", "Q", Unit::One, sum(squares), 4);
    let products: Vec<Expr> = logarithms.iter().zip(&strengths).map(|(&x, &y)| (x - centre) * (y - level)).collect();
    let slope = add("slope", "slope", "b", strength, sum(products) / squares, 2);
    let intercept = add("intercept", "intercept", "a", strength, level - slope * centre, 2);
    let rests: Vec<Expr> =
        logarithms.iter().zip(&strengths).map(|(&x, &y)| (y - intercept - slope * x).power(whole(2))).collect();
    let spread = add("spread", "standard error", "s", strength, root(sum(rests) / (n - whole(2))), 2);
    let unit = unit_of(&rule.by, system);
    let least = add("least", "least maturity", "M_1", unit, min(maturities.iter().copied()), unit.decimals());
    let most = add("most", "greatest maturity", "M_n", unit, max(maturities.iter().copied()), unit.decimals());
    let rises = book[slope].value.real().is_some_and(|b| b > 0.0);
    rises.then_some(Curve {
        mix,
        specimens: own,
        logarithms,
        n,
        intercept,
        slope,
        spread,
        centre,
        squares,
        ends: (least, most),
    })
}

fn too_few(site: &Site<'_>, rule: &MaturityRule, own: &[usize]) -> Option<Finding> {
    let records = &site.inputs.records.calibrated;
    let first = &records[*own.first()?];
    let mix = first.mix.as_ref().map_or("a mix without a name".to_string(), |m| format!("mix {}", m.value));
    let message = format!(
        "{mix}: {} specimens with a maturity make no curve that rises; asked at least {} ({})",
        own.len(),
        rule.least_specimens.written,
        rule.least_specimens.clause
    );
    let remedy = "add the laboratory's other specimens; until then its loggers say nothing of strength";
    Some(Finding::new(Code::MaturityCurve, row(first.number.at), message, remedy))
}

impl Curve {
    /// Whether a maturity lies between its specimens'.
    pub(super) fn holds(&self, book: &Book, maturity: f64) -> bool {
        let end = |id: FigureId| book[id].value.real();
        end(self.ends.0).is_some_and(|least| least <= maturity)
    }

    /// What is entered: never beyond the greatest of its specimens.
    pub(super) fn entered(&self, book: &Book, maturity: f64) -> f64 {
        book[self.ends.1].value.real().map_or(maturity, |most| maturity.min(most))
    }

    /// Strength at a maturity: the curve, or the lower end of its prediction interval with that share below.
    pub(super) fn strength(&self, book: &Book, maturity: f64, lower: Option<f64>) -> Option<f64> {
        let value = |id: FigureId| book[id].value.real();
        let x = maturity.ln();
        let curve = value(self.intercept)? + value(self.slope)? * x;
        let Some(tail) = lower else { return Some(curve) };
        let n = value(self.n)?;
        let off = x - value(self.centre)?;
        let wide = (1.0 + 1.0 / n + off * off / value(self.squares)?).sqrt();
        Some(curve - student(tail, n - 2.0)? * value(self.spread)? * wide)
    }
}

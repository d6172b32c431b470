//! What of a lot enters its pay table: a deficiency, an index, or the percent of the lot within limits.
//!
//! ```text
//! deficiency   D = larger of 0 and T - t           or (T - t) / T in percent
//! index        I = t - s - T
//! within       Q = (t - L) / s, (U - t) / s        P of each Q;  P = PL + PU - 100, not below 0
//! ```
//!
//! t average, T target, s standard deviation with n - 1 (FHWA, "Percent Within Limits", citing TRB Circular E-C074; P by
//! the symmetric beta distribution or by the rule's own table). Where all results are alike there is no Q: the lot is
//! wholly within its limits or wholly outside.

use rust_decimal::prelude::ToPrimitive;

use crate::figure::{
    Book, Comparison, Expr, Figure, FigureId, compare, count, either, max, spread, straight_line, whole, within_limits,
};
use crate::rules::{LimitFrom, LookUp, Measure, QualityColumn, RuleSet, WithinBy, WithinRule};
use crate::units::{Rounding, Unit, conversions};

/// What is measured.
pub(super) struct Sample<'a> {
    /// Beginning of the figures' keys.
    pub(super) key: &'a str,
    /// The results.
    pub(super) values: &'a [FigureId],
    /// Their average, as it is compared.
    pub(super) average: FigureId,
    /// What it is held against.
    pub(super) target: FigureId,
}

/// What enters a pay table.
#[derive(Clone, Debug)]
pub(super) struct Entering {
    /// It.
    pub(super) entered: FigureId,
    /// How many results.
    pub(super) tests: FigureId,
    /// Average over target, where a power of it may be paid.
    pub(super) ratio: Option<FigureId>,
    /// Everything it was computed from beside the results and their average, and itself, in order.
    pub(super) steps: Vec<FigureId>,
}

/// What of the sample enters the pay table.
///
/// # Errors
/// In words, why there is nothing: too few results for a standard deviation or for the rule's table.
pub(super) fn entering(book: &mut Book, set: &RuleSet, measure: &Measure, sample: &Sample) -> Result<Entering, String> {
    let n = Figure::new(
        format!("{}.tests", sample.key),
        "number of results",
        "n",
        Unit::One,
        count(sample.values.iter().copied()),
    );
    let tests = book.add(n.shown(0));
    let mut maker = Maker { book, set, sample, steps: Vec::new(), tests };
    let entered = match measure {
        Measure::Deficiency { in_percent, round } => maker.deficiency(*in_percent, *round),
        Measure::Index { spread, round } => maker.index(*spread, *round)?,
        Measure::Within(rule) => maker.within(rule)?,
    };
    let mut steps = std::mem::take(&mut maker.steps);
    steps.push(entered);
    let ratio = match measure {
        Measure::Deficiency { .. } if wants_ratio(set) => {
            let expr = sample.average / sample.target;
            let figure = Figure::new(format!("{}.ratio", sample.key), "average over target", "r", Unit::One, expr);
            let ratio = book.add(figure.shown(4));
            steps.push(ratio);
            Some(ratio)
        }
        _ => None,
    };
    Ok(Entering { entered, tests, ratio, steps })
}

fn wants_ratio(set: &RuleSet) -> bool {
    set.pay().is_some_and(|pay| matches!(pay.form, crate::rules::PayForm::Formula { power: Some(_), .. }))
}

struct Maker<'m, 'b> {
    book: &'b mut Book,
    set: &'m RuleSet,
    sample: &'m Sample<'m>,
    steps: Vec<FigureId>,
    tests: FigureId,
}

impl Maker<'_, '_> {
    fn unit(&self) -> Unit {
        self.book[self.sample.average].unit
    }

    fn key(&self, part: &str) -> String {
        format!("{}.{part}", self.sample.key)
    }

    /// D = larger of 0 and T - t, or that over T in percent.
    fn deficiency(&mut self, in_percent: bool, round: Rounding) -> FigureId {
        let Sample { average, target, .. } = *self.sample;
        let (short, unit) = if in_percent {
            (((target - average) / target).to(conversions::RATIO_TO_PERCENT), Unit::Percent)
        } else {
            (target - average, self.unit())
        };
        let figure = Figure::new(self.key("deficiency"), "deficiency", "D", unit, max([whole(0), short]));
        self.book.add(self.set.compared(figure, round).under(&self.set.citation))
    }

    /// s, with n - 1.
    fn spread(&mut self, round: Option<Rounding>) -> Result<FigureId, String> {
        if self.sample.values.len() < 2 {
            return Err("a standard deviation needs two results".into());
        }
        let expr = spread(self.sample.values.iter().copied());
        let decimals = self.book[self.sample.average].decimals + 2;
        let figure = Figure::new(self.key("spread"), "standard deviation", "s", self.unit(), expr);
        let figure = match round {
            Some(round) => figure.rounded(round),
            None => figure.shown(decimals),
        };
        let id = self.book.add(figure.under(&self.set.citation));
        self.steps.push(id);
        Ok(id)
    }

    /// I = t - s - T.
    fn index(&mut self, spread: Rounding, round: Rounding) -> Result<FigureId, String> {
        let spread = self.spread(Some(spread))?;
        let Sample { average, target, .. } = *self.sample;
        let figure = Figure::new(self.key("index"), "index", "I", self.unit(), average - spread - target);
        Ok(self.book.add(self.set.compared(figure, round).under(&self.set.citation)))
    }

    fn within(&mut self, rule: &WithinRule) -> Result<FigureId, String> {
        if self.sample.values.len() < 3 {
            return Err(format!(
                "a percent within limits needs three results, and there are {}",
                self.sample.values.len()
            ));
        }
        let spread = self.spread(rule.spread)?;
        let lower = rule.lower.as_ref().map(|limit| self.side(rule, spread, limit, Side::Lower)).transpose()?;
        let upper = rule.upper.as_ref().map(|limit| self.side(rule, spread, limit, Side::Upper)).transpose()?;
        let expr: Expr = match (lower, upper) {
            (Some(lower), Some(upper)) => max([whole(0), lower + upper - all()]),
            (Some(only), None) | (None, Some(only)) => only.into(),
            (None, None) => return Err("the rule has no limit".into()),
        };
        let figure = Figure::new(self.key("within"), "percent within limits", "PWL", Unit::Percent, expr);
        let figure = match rule.round {
            Some(round) => figure.rounded(round),
            None => figure.shown(2),
        };
        let note = match &rule.by {
            WithinBy::Formula => "percent of Q by the beta distribution",
            WithinBy::Table { look_up: LookUp::Up, .. } => "percent of Q looked up, next greater",
            WithinBy::Table { look_up: LookUp::Down, .. } => "percent of Q looked up, next lesser",
            WithinBy::Table { look_up: LookUp::Nearest, .. } => "percent of Q looked up, nearest",
            WithinBy::Table { look_up: LookUp::Between, .. } => "percent of Q looked up, interpolated",
        };
        Ok(self.book.add(figure.under(&self.set.citation).note(note)))
    }

    /// Percent of the lot on the right side of one limit.
    fn side(&mut self, rule: &WithinRule, spread: FigureId, limit: &LimitFrom, side: Side) -> Result<FigureId, String> {
        let limit = self.limit(limit, side);
        let Sample { average, .. } = *self.sample;
        let inside = match side {
            Side::Lower => average - limit,
            Side::Upper => limit - average,
        };
        let (word, letter) = side.words();
        let alike = self.book[spread].value.decimal().is_some_and(|s| s.is_zero());
        let figure = |part: &str, what: &str, symbol: String, unit, expr: Expr| {
            Figure::new(format!("{}.{word}-{part}", self.sample.key), format!("{what}, {word}"), symbol, unit, expr)
        };
        if alike {
            let all = either(compare(inside, Comparison::AtLeast, whole(0)), all(), whole(0));
            let percent = figure("within", "percent within limit", format!("P{letter}"), Unit::Percent, all);
            let id = self.book.add(percent.shown(2).note("all results are alike"));
            self.steps.push(id);
            return Ok(id);
        }
        let index = figure("index", "quality index", format!("Q{letter}"), Unit::One, inside / spread);
        let index = match rule.index {
            Some(round) => index.rounded(round),
            None => index.shown(4),
        };
        let index = self.book.add(index.under(&self.set.citation));
        let (expr, clause) = self.percent_of(rule, index)?;
        let percent = Figure::new(
            self.key(&format!("{word}-within")),
            format!("percent within limit, {word}"),
            format!("P{letter}"),
            Unit::Percent,
            expr,
        );
        let id = self.book.add(percent.shown(2).under(clause));
        self.steps.extend([index, id]);
        Ok(id)
    }

    fn limit(&mut self, limit: &LimitFrom, side: Side) -> FigureId {
        let target = self.sample.target;
        let (word, letter) = side.words();
        let (expr, clause) = match limit {
            LimitFrom::By(by) => {
                let given = self.book.given(by.given(format!("{word} limit from the target"), format!("d{letter}")));
                (if side == Side::Lower { target - given } else { target + given }, &by.clause)
            }
            LimitFrom::Percent(percent) => {
                let given = self.book.given(percent.given(format!("{word} limit of the target"), format!("k{letter}")));
                (target * Expr::from(given).to(conversions::PERCENT_TO_RATIO), &percent.clause)
            }
        };
        let figure =
            Figure::new(self.key(&format!("{word}-limit")), format!("{word} limit"), letter, self.unit(), expr);
        let decimals = self.book[target].decimals.max(2);
        let id = self.book.add(figure.shown(decimals).under(clause));
        self.steps.push(id);
        id
    }

    /// P of a quality index, and where it stands.
    fn percent_of(&mut self, rule: &WithinRule, index: FigureId) -> Result<(Expr, String), String> {
        let (look_up, columns) = match &rule.by {
            WithinBy::Formula => return Ok((within_limits(index, self.tests), self.set.citation.clone())),
            WithinBy::Table { look_up, columns } => (*look_up, columns),
        };
        let n = self.sample.values.len();
        let holds = |column: &&QualityColumn| n.to_u32().is_some_and(|n| column.from <= n && n <= column.to);
        let Some(column) = columns.iter().find(holds) else {
            return Err(format!("the rule's table of quality indexes has no column for {n} results"));
        };
        let positive = self.looked_up(look_up, column, index.into());
        let negative = all() - self.looked_up(look_up, column, whole(0) - index);
        let expr = either(compare(index, Comparison::AtLeast, whole(0)), positive, negative);
        Ok((expr, column.percent.clause.clone()))
    }

    fn looked_up(&mut self, look_up: LookUp, column: &QualityColumn, index: Expr) -> Expr {
        match (look_up, &column.line) {
            (LookUp::Between, Some(line)) => {
                let mut look = |steps: &crate::figure::Steps| index.clone().in_steps(self.book.steps(steps.clone()));
                let [from, at_from, to, at_to] = [look(&line[0]), look(&line[1]), look(&line[2]), look(&line[3])];
                straight_line(index.clone(), (from, at_from), (to, at_to))
            }
            _ => index.in_steps(self.book.steps(column.percent.clone())),
        }
    }
}

/// All of a lot: 100 percent.
fn all() -> Expr {
    whole(1).to(conversions::RATIO_TO_PERCENT)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Lower,
    Upper,
}

impl Side {
    /// Word for keys and labels, and letter.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Side::Lower => ("lower", "L"),
            Side::Upper => ("upper", "U"),
        }
    }
}

/// The average of results, as it is compared.
pub(super) fn average(
    book: &mut Book,
    set: &RuleSet,
    (key, label, symbol): (&str, &str, &'static str),
    (expr, unit, round): (Expr, Unit, Rounding),
    note: &str,
) -> FigureId {
    let figure = Figure::new(format!("{key}.average"), label, symbol, unit, expr);
    book.add(set.compared(figure, round).under(&set.citation).note(note))
}

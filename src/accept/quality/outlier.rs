//! The result that stands farthest from the mean of its lot: chance, or an outlier?
//!
//! ```text
//! T    = |x - mean| / s                                          of the farthest value
//! Tmax = ((n - 1) / sqrt(n)) sqrt(t^2 / (n - 2 + t^2))           t at level / n, n - 2 degrees of freedom
//! ```
//!
//! ASTM E178, one side. The test is made once: what is left is not tested again. Two results that lie equally far are
//! both named and neither is dropped, because nothing tells which of them it would be.

use rust_decimal::Decimal;

use super::{Desk, Tested};
use crate::accept::ground::in_words;
use crate::figure::{Comparison, Expr, Figure, FigureId, compare, count, max, mean, min, root, spread, student, whole};
use crate::finding::{Code, Finding};
use crate::rules::Outliers;
use crate::units::{Unit, conversions};

/// What the test for an outlier came to.
#[derive(Clone, Debug, Default)]
pub(in crate::accept) struct Apart {
    /// Outliers, by place among the results.
    pub(in crate::accept) flagged: Vec<usize>,
    /// The one that the rule drops from the average.
    pub(in crate::accept) dropped: Option<usize>,
    /// The figures of the test.
    pub(in crate::accept) steps: Vec<FigureId>,
    /// What a reader should know beside the lot; empty where there is no outlier.
    pub(in crate::accept) note: String,
}

impl Apart {
    /// The words beside a result; empty where it is no outlier.
    pub(in crate::accept) fn word(&self, at: usize) -> &'static str {
        match (self.dropped == Some(at), self.flagged.contains(&at)) {
            (true, _) => "outlier, dropped from the average",
            (false, true) => "outlier, counts",
            (false, false) => "",
        }
    }
}

/// Tests the results of a lot for an outlier; fewer than three, or all alike, have none.
pub(in crate::accept) fn apart(desk: &mut Desk, rule: &Outliers, results: &[&Tested]) -> Apart {
    let mut found = Apart::default();
    let Some((statistic, critical)) = figures(desk, rule, results, &mut found.steps) else { return found };
    if !desk.book.evaluate(&compare(statistic, Comparison::Above, critical)).holds() {
        return found;
    }
    found.flagged = farthest(desk, results);
    found.dropped = found.flagged.first().copied().filter(|_| rule.drop && found.flagged.len() == 1);
    let names: Vec<&str> = found.flagged.iter().map(|&at| results[at].name.as_str()).collect();
    let names = names.join(" and ");
    found.note = match (found.dropped, found.flagged.len()) {
        (Some(_), _) => format!("outlier, dropped from the average: {names}"),
        (None, 1) => format!("outlier, counts: {names}"),
        (None, _) => format!("outliers that lie equally far from the mean, count: {names}"),
    };
    let finding = outlier(desk, rule, (&names, found.dropped.is_some()), (statistic, critical));
    let rows = found.flagged.iter().flat_map(|&at| results[at].rows.clone());
    desk.findings.push(finding.with(rows));
    found
}

/// T of the farthest value and what it is held against.
fn figures(
    desk: &mut Desk,
    rule: &Outliers,
    results: &[&Tested],
    steps: &mut Vec<FigureId>,
) -> Option<(FigureId, FigureId)> {
    let values: Vec<FigureId> = results.iter().map(|result| result.value).collect();
    let first = values.first().filter(|_| values.len() >= 3)?;
    let (unit, decimals) = (desk.book[*first].unit, desk.book[*first].decimals);
    let mut add = |part: &str, label: &str, symbol: &str, unit: Unit, expr: Expr, decimals: u8| {
        let figure = Figure::new(format!("{}.outlier-{part}", desk.key), label, symbol, unit, expr);
        let id = desk.book.add(figure.shown(decimals).under(&rule.level.clause));
        steps.push(id);
        (id, desk.book[id].value.decimal())
    };
    let (n, _) = add("tests", "results tested for an outlier", "n", Unit::One, count(values.clone()), 0);
    let (middle, _) = add("mean", "their mean", "mean", unit, mean(values.clone()), decimals + 1);
    let (s, size) = add("spread", "their standard deviation", "s", unit, spread(values.clone()), decimals + 2);
    if size.is_none_or(|size| size.is_zero()) {
        return None;
    }
    let far = max([max(values.clone()) - middle, middle - min(values)]);
    let (statistic, _) = add("distance", "farthest from the mean, in standard deviations", "T", Unit::One, far / s, 3);
    let level = desk.book.given(rule.level.given("level of significance, one side", "a"));
    let mut add = |part: &str, label: &str, symbol: &str, expr: Expr| {
        let figure = Figure::new(format!("{}.outlier-{part}", desk.key), label, symbol, Unit::One, expr);
        let id = desk.book.add(figure.shown(3).under(&rule.level.clause).note("ASTM E178"));
        steps.push(id);
        id
    };
    let tail = Expr::from(level).to(conversions::PERCENT_TO_RATIO) / n;
    let t = add("t", "Student's t at level / n, n - 2 degrees of freedom", "t", student(tail, n - whole(2)));
    let square = || Expr::from(t).power(whole(2));
    let most = (n - whole(1)) / root(n) * root(square() / (n - whole(2) + square()));
    Some((statistic, add("critical", "largest distance that is chance", "Tmax", most)))
}

/// Every result as far from the mean as the farthest.
fn farthest(desk: &Desk, results: &[&Tested]) -> Vec<usize> {
    let values: Vec<Decimal> = results.iter().filter_map(|result| desk.book[result.value].value.decimal()).collect();
    let middle = values.iter().sum::<Decimal>() / Decimal::from(values.len().max(1));
    let far = |value: &Decimal| (*value - middle).abs().round_dp(9);
    let farthest = values.iter().map(far).max();
    (0..values.len()).filter(|&at| Some(far(&values[at])) == farthest).collect()
}

fn outlier(
    desk: &Desk,
    rule: &Outliers,
    (names, dropped): (&str, bool),
    (statistic, critical): (FigureId, FigureId),
) -> Finding {
    let said = |id| in_words(desk.book, id);
    let then = match (dropped, rule.drop) {
        (true, _) => "the rule drops it from the average",
        (false, true) => "the rule would drop one, but they lie equally far; both count",
        (false, false) => "it counts all the same",
    };
    let message = format!(
        "{names}: {} standard deviations from the mean of {}, where {} is the most that chance explains (ASTM E178, {}); {then}",
        said(statistic),
        desk.lot,
        said(critical),
        rule.level.written
    );
    let place = crate::finding::Place::Named(desk.lot.to_string());
    Finding::new(Code::Outlier, place, message, "look for a cause: a mistyped reading, a wrong place, a damaged sample")
}

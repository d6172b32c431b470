//! What rule sets of several properties have in common, in words: lots, measures, pay tables, whose tests count.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::page::{Page, rounded_in, unit_word};
use crate::figure::{Ends, Steps};
use crate::rules::pay::UNBOUNDED;
use crate::rules::{
    EnteredWith, Gives, Leftover, LimitFrom, LookUp, LotBy, LotRule, Measure, Outliers, Pay, PayForm, QualityColumn,
    RuleNumber, Verification, WithinBy, WithinRule,
};
use crate::units::{Rounding, Unit, plain, written};

pub(super) fn lot(page: &mut Page, rule: &LotRule) {
    let what = match &rule.by {
        LotBy::Area(size) => format!("{} of pavement over all lanes of a section together", number(size)),
        LotBy::Length(size) => format!("{} of each lane by itself", number(size)),
        LotBy::Volume(size) => {
            format!("{} at the design thickness, over all lanes of a section together", number(size))
        }
        LotBy::Tests(size) => {
            format!("{} consecutive tests of a section, with the placements they stand for", number(size))
        }
        LotBy::Day => "what was placed of one section on one day".into(),
        LotBy::Placement => "one placement's part of a section".into(),
        LotBy::Section => "a whole section".into(),
    };
    let sized = !matches!(rule.by, LotBy::Day | LotBy::Placement | LotBy::Section);
    let left = match rule.leftover {
        Leftover::HalfJoins => "; what is left over is a lot from half a lot on, and else joins the lot before",
        Leftover::Own => "; what is left over is a lot of its own",
        Leftover::Joins => "; what is left over joins the lot before",
    };
    page.says("lot", &format!("{what}{}", if sized { left } else { "" }));
}

/// What enters the pay table; `target` in words.
pub(super) fn measure(page: &mut Page, measure: &Measure, (target, taken, unit): (&str, &str, Unit)) {
    match measure {
        Measure::Deficiency { in_percent, round } => {
            let (percent, unit) = if *in_percent {
                (format!(" in percent of the {target},"), Unit::Percent)
            } else {
                (String::new(), unit)
            };
            let text = format!("{target} less the {taken},{percent} not below zero, {}", page.compared(*round, unit));
            page.says("deficiency", &text);
        }
        Measure::Index { spread, round } => page.says(
            "index",
            &format!(
                "average less standard deviation (n - 1; {}), less the {target}, {}",
                rounded_in(*spread, unit),
                page.compared(*round, unit)
            ),
        ),
        Measure::Within(rule) => within(page, rule, (target, unit)),
    }
}

fn within(page: &mut Page, rule: &WithinRule, (target, unit): (&str, Unit)) {
    let limit = |limit: &LimitFrom, side: &str| match limit {
        LimitFrom::By(n) => format!("{target} {side} {}", number(n)),
        LimitFrom::Percent(n) => format!("{} of the {target}", number(n)),
    };
    let limits = [
        rule.lower.as_ref().map(|l| format!("lower limit {}", limit(l, "less"))),
        rule.upper.as_ref().map(|l| format!("upper limit {}", limit(l, "plus"))),
    ];
    let limits: Vec<String> = limits.into_iter().flatten().collect();
    page.says("within", &format!("percent of the lot within limits: {}", limits.join(", ")));
    let both = if limits.len() == 2 { "; percent within both = lower + upper - 100" } else { "" };
    page.says(
        "",
        &format!("quality index: distance from the average to a limit over the standard deviation (n - 1){both}"),
    );
    let carried = |what: &str, round: Option<Rounding>, unit: Unit| {
        round.map_or_else(|| format!("{what} carried as computed"), |r| format!("{what} {}", rounded_in(r, unit)))
    };
    page.says(
        "",
        &[
            carried("standard deviation", rule.spread, unit),
            carried("quality index", rule.index, Unit::One),
            carried("percent within limits", rule.round, Unit::Percent),
        ]
        .join("; "),
    );
    match &rule.by {
        WithinBy::Formula => page.says("", "percent of an index by the symmetric beta distribution"),
        WithinBy::Table { look_up, columns } => {
            let how = match look_up {
                LookUp::Up => "the next greater percent",
                LookUp::Down => "the next lesser percent",
                LookUp::Nearest => "the percent of the nearest index, half way the greater",
                LookUp::Between => "the percent on the straight line between the two",
            };
            page.says("", &format!("percent of an index by the table below; between two values {how}; a negative index has 100 less the percent of the positive"));
            quality_indexes(page, columns);
        }
    }
}

/// Columns of the table of quality indexes that stand side by side.
const SIDE_BY_SIDE: usize = 8;

/// The published table of quality indexes: a line for each percent, a column for each number of tests.
fn quality_indexes(page: &mut Page, columns: &[QualityColumn]) {
    for some in columns.chunks(SIDE_BY_SIDE) {
        let tests = |column: &QualityColumn| match (column.from, column.to) {
            (from, to) if from == to => format!("n = {from}"),
            (from, to) => format!("n = {from}-{to}"),
        };
        let heads = some.iter().map(|column| format!("{:>10}", tests(column))).collect::<Vec<_>>().concat();
        page.line("");
        page.line(&format!("{:>13}{heads}", "percent"));
        let mut percents: Vec<Decimal> = some.iter().flat_map(|c| c.printed.iter().map(|(_, p)| *p)).collect();
        percents.sort_unstable_by(|a, b| b.cmp(a));
        percents.dedup();
        for percent in percents {
            let cell = |column: &QualityColumn| {
                let found = column.printed.iter().find(|(_, p)| *p == percent);
                format!("{:>10}", found.map_or_else(String::new, |(index, _)| index.to_string()))
            };
            page.line(&format!("{:>13}{}", plain(percent), some.iter().map(cell).collect::<Vec<_>>().concat()));
        }
    }
    if let Some(column) = columns.first() {
        page.says("from", &column.percent.clause);
    }
    page.line("");
}

pub(super) fn quality(page: &mut Page, outliers: Option<&Outliers>, verification: Option<&Verification>) {
    if let Some(outliers) = outliers {
        let then = if outliers.drop { "is dropped" } else { "is flagged and counts" };
        page.says(
            "outliers",
            &format!(
                "the result farthest from the mean {then} where ASTM E178 tells it from the others at {}, one-sided",
                number(&outliers.level)
            ),
        );
    }
    if let Some(verification) = verification {
        page.says("verification", &format!("the contractor's tests count beside the agency's unless an F test of the variances, a t test of the means or a paired t test of split samples, each two-sided at {}, tells them apart; then only the agency's count, and also where either has fewer than two independent tests", number(&verification.level)));
    }
}

pub(super) fn pay(page: &mut Page, pay: &Pay, entered: &str) {
    let entered = if pay.entered_with == EnteredWith::Tests { "number of tests" } else { entered };
    match &pay.form {
        PayForm::Step => table(page, &pay.steps, entered),
        PayForm::Formula { in_ratios, .. } => {
            let ratios = if *in_ratios { ", x and pay as ratios" } else { "" };
            page.says("pay", &format!("a formula by step{ratios}; x is what was measured"));
            formulas(page, pay, entered);
        }
        PayForm::Points(points) => {
            page.says("pay", "on straight lines between points, level beyond the first and the last");
            table_of_points(page, pay, points, entered);
        }
    }
    if let Some(most) = &pay.most {
        page.says("at most", &number(most));
    }
    if let Some(least) = &pay.least {
        page.says("at least", &number(least));
    }
    if let Some(price) = &pay.price {
        page.says(
            "price",
            &format!("items not paid by volume are adjusted at {} for each unit of volume", number(price)),
        );
    }
    if pay.gives == Gives::MoneyPerSegment {
        page.says("", "for a whole segment; a part of one in proportion to its length");
    }
}

fn formulas(page: &mut Page, pay: &Pay, entered: &str) {
    let PayForm::Formula { times, squared, power, most, .. } = &pay.form else { return };
    let value = |steps: &Option<Steps>, i: usize| {
        steps.as_ref().and_then(|s| s.rows.get(i)).map(|row| row.value).filter(|v| !v.is_zero())
    };
    head(page, &pay.steps, entered, "pay");
    for (i, row) in pay.steps.rows.iter().enumerate() {
        let mut terms = Vec::new();
        if !row.value.is_zero() {
            terms.push(plain(row.value));
        }
        let x = |v: Decimal| if v == Decimal::ONE { "x".to_string() } else { format!("{} x", plain(v)) };
        terms.extend(value(times, i).map(x));
        terms.extend(value(squared, i).map(|v| format!("{} x^2", plain(v))));
        if let Some((_, exponents)) = power
            && let Some(exponent) = exponents.rows.get(i).map(|row| row.value).filter(|v| !v.is_zero())
        {
            terms.push(format!("100 (average / target)^{}", plain(exponent)));
        }
        if terms.is_empty() {
            terms.push("0".into());
        }
        let capped =
            value(most, i).filter(|v| *v < UNBOUNDED).map_or_else(String::new, |v| format!(", at most {}", plain(v)));
        let word = if row.word.is_empty() { String::new() } else { format!("; {}", row.word) };
        let text = format!("{}{capped}{word}", terms.join(" + ").replace("+ -", "- "));
        page.hanging(&format!("{:>24}   ", pay.steps.span(i)), &text);
    }
    page.says("from", &pay.steps.clause);
}

fn table_of_points(page: &mut Page, pay: &Pay, points: &[Steps; 4], entered: &str) {
    head(page, &pay.steps, entered, "pay");
    let [_, at_from, to, at_to] = points;
    let last = pay.steps.rows.len().saturating_sub(1);
    for (i, row) in pay.steps.rows.iter().enumerate() {
        let level = i == 0 || i == last;
        let value = |steps: &Steps| steps.rows.get(i).map(|row| plain(row.value)).unwrap_or_default();
        let text = if level {
            value(at_from)
        } else {
            format!("{} to {}, straight to {}", value(at_from), value(at_to), value(to))
        };
        let word = if row.word.is_empty() { String::new() } else { format!("; {}", row.word) };
        page.hanging(&format!("{:>24}   ", pay.steps.span(i)), &format!("{text}{word}"));
    }
    page.says("from", &pay.steps.clause);
}

fn head(page: &mut Page, steps: &Steps, entered: &str, gives: &str) {
    let ends = match steps.ends {
        Ends::Both => "both ends belong to a step",
        Ends::Lower => "the lower end belongs to a step, the upper to the next",
        Ends::Upper => "the upper end belongs to a step, the lower to the one before",
    };
    page.line("");
    let title = page.without_title(&steps.title);
    page.hanging("", &format!("{title}; {ends}"));
    page.line(&format!(
        "{:>24}   {:>10}",
        [entered.to_string(), unit_word(steps.entered_in)]
            .iter()
            .filter(|s| !s.is_empty())
            .cloned()
            .collect::<Vec<_>>()
            .join(", "),
        [gives.to_string(), unit_word(steps.gives)]
            .iter()
            .filter(|s| !s.is_empty())
            .cloned()
            .collect::<Vec<_>>()
            .join(", ")
    ));
}

/// A stepped table.
pub(super) fn table(page: &mut Page, steps: &Steps, entered: &str) {
    let gives = match steps.gives {
        Unit::Percent => "pay",
        Unit::One => "pay as a ratio",
        _ => "amount",
    };
    head(page, steps, entered, gives);
    let decimals = steps.rows.iter().filter_map(|row| row.value.normalize().scale().to_u8()).max().unwrap_or(0);
    for (i, row) in steps.rows.iter().enumerate() {
        page.hanging(&format!("{:>24}   {:>10}   ", steps.span(i), written(row.value, decimals)), &row.word);
    }
    page.says("from", &steps.clause);
}

/// A number as written, with its unit; a count by itself.
pub(super) fn number(of: &RuleNumber) -> String {
    of.written.clone()
}

/// `rounded to 0.1, half up`, where the unit stands beside it already.
pub(super) fn rounded(rounding: Rounding) -> String {
    rounded_in(rounding, Unit::One)
}

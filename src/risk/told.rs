//! Risk in words, for an engineer: the table of lots, one lot, and the operating curve with its drawing, in 100 columns.

use super::curve::{Curve, Level};
use super::interval::{Interval, Observed};
use super::plan::Plan;
use super::prospect::{How, Luck};
use crate::units::{Unit, thousands};
use crate::wrapping::{PAGE, hang};

/// A judged lot with what its results say of its pay.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Lot.
    pub name: String,
    /// Results.
    pub observed: Observed,
    /// What it is paid, as printed.
    pub pay: String,
    /// Plan it was judged by.
    pub plan: Plan,
    /// Ranges of its pay.
    pub interval: Interval,
}

const CAUTION: &str = "Risk changes no pay: what is due follows from the results as they are. It says how far they could have fallen \
otherwise.";

/// The table of lots; `left` are those without, each with the reason.
#[must_use]
pub fn told_lots(lots: &[Judged], left: &[(String, String)], luck: &Luck) -> String {
    let mut out = String::new();
    for group in lots.chunk_by(|a, b| (&a.plan.rule, a.plan.unit) == (&b.plan.rule, b.plan.unit)) {
        let plan = &group[0].plan;
        say(&mut out, "", &format!("{}, results in {}, pay in {}", plan.rule, plan.unit, pays_in(plan)));
        out.push_str(&row(["lot", "n", "mean", "s", "paid", "others", "the lot"].map(ToString::to_string)));
        for lot in group {
            out.push_str(&lot_row(lot));
        }
        out.push('\n');
    }
    if let Some(first) = lots.first() {
        let often = often(first.interval.within);
        say(
            &mut out,
            "others   ",
            &format!(
                "if the lot truly is as its results say (mean, s), other results of it would be paid in this range {often}; 0.25* and the like: that share of them would wait for a decision"
            ),
        );
        say(
            &mut out,
            "the lot  ",
            &format!(
                "what the lot itself is worth by the table, were it known wholly: in this range {often} (Student's t for a mean, noncentral t for a percent within one limit; blank where neither fits the rule)"
            ),
        );
        say(&mut out, "drawn    ", &by_whom(luck));
        say(&mut out, "         ", CAUTION);
    }
    if !left.is_empty() {
        out.push_str("\nwithout a range of pay\n");
        for (name, why) in left {
            say(&mut out, "    ", &format!("{name}: {why}"));
        }
    }
    if lots.is_empty() && left.is_empty() {
        out.push_str("no lot has been judged\n");
    }
    out
}

fn by_whom(luck: &Luck) -> String {
    format!(
        "others: {} lots from the numbers of seed {}, a stream for each number of results",
        thousands(&luck.draws.to_string()),
        luck.seed
    )
}

/// One lot, in sentences.
#[must_use]
pub fn told_interval(lot: &Judged, luck: &Luck) -> String {
    let Judged { name, observed, pay, plan, interval } = lot;
    let unit = plan.unit;
    let what = pays_in(plan);
    let mut out = String::new();
    say(
        &mut out,
        "",
        &format!(
            "{name}: {} results, mean {} {unit}, standard deviation {} {unit}, paid {pay}",
            observed.n,
            number(observed.mean, unit),
            number_finer(observed.spread, unit)
        ),
    );
    let (low, high) = interval.others;
    let often = often(interval.within);
    let waits = if interval.decided > 0.0005 {
        format!("; {} in a hundred would wait for a decision", share(interval.decided))
    } else {
        String::new()
    };
    say(
        &mut out,
        "",
        &format!(
            "If the lot truly is as its results say, other results of it would be paid between {} and {} {what} {often}{waits} ({}).",
            paid(low, plan),
            paid(high, plan),
            said(How::Drawn(luck.draws), luck)
        ),
    );
    if let Some((low, high)) = interval.lot {
        say(
            &mut out,
            "",
            &format!(
                "Were the lot known wholly, the table would pay it between {} and {} {what}, as far as these results can say {often}.",
                paid(low, plan),
                paid(high, plan)
            ),
        );
    }
    out
}

/// The operating curve: what happens to lots of each true quality.
#[must_use]
pub fn told_curve(plan: &Plan, curve: &Curve, luck: &Luck) -> String {
    let unit = plan.unit;
    let mut out = String::new();
    let target = number(plan.target, unit);
    let spread = number_finer(curve.spread, unit);
    say(
        &mut out,
        "",
        &format!(
            "Operating curve of {}: {} results, target {target} {unit}, spread {spread} {unit}",
            plan.rule, curve.n
        ),
    );
    say(&mut out, "", &format!("({})", said(curve.how, luck)));
    out.push('\n');
    let quality = if plan.in_percent_within() { "% within" } else { "short by" };
    out.push_str(&format!(
        "{quality:>9} {:>10} {:>6} {:>6} {:>8} {:>9}  full #   less =   decision .\n",
        "true mean", "full", "less", "decision", "expected"
    ));
    for level in &curve.levels {
        out.push_str(&format!("{}  {}\n", level_row(plan, level), bar(level)));
    }
    out.push('\n');
    let (good, bad) = (&curve.risks.acceptable, &curve.risks.rejectable);
    let named = |level: &Level| format!("{} ({quality})", of_quality(plan, level.quality).trim());
    say(
        &mut out,
        "contractor's risk  ",
        &format!(
            "{} in a hundred lots of acceptable quality, {}, are paid less than in full or wait for a decision; expected pay {}",
            share(curve.risks.contractor()),
            named(good),
            paid(good.expected, plan)
        ),
    );
    say(
        &mut out,
        "owner's risk       ",
        &format!(
            "{} in a hundred lots of rejectable quality, {}, are paid in full; expected pay {}",
            share(curve.risks.owner()),
            named(bad),
            paid(bad.expected, plan)
        ),
    );
    say(
        &mut out,
        "",
        "full, less, decision: how many in a hundred lots; expected: pay on the average, in what the table gives, with what the table \
         pays until decisions are taken. A lot is normal about its true mean with the spread given. Criteria on single tests are left out.",
    );
    out
}

fn said(how: How, luck: &Luck) -> String {
    match how {
        How::Drawn(_) => format!("{how}, seed {}", luck.seed),
        _ => format!("{how}; roundings on the way left out"),
    }
}

fn level_row(plan: &Plan, level: &Level) -> String {
    format!(
        "{:>9} {:>10} {:>6} {:>6} {:>8} {:>9}",
        of_quality(plan, level.quality),
        number(level.mean, plan.unit),
        share(level.full),
        share(level.less),
        share(level.decided),
        paid(level.expected, plan)
    )
}

/// Width of the drawing, one mark for so many percent.
const MARKS: f64 = 44.0;

/// Full pay, less, decision, one after the other.
fn bar(level: &Level) -> String {
    let mut text = String::new();
    let mut drawn = 0.0;
    for (share, mark) in [(level.full, '#'), (level.less, '='), (level.decided, '.')] {
        drawn += share;
        while f64::from(u32::try_from(text.len()).unwrap_or(u32::MAX)) + 0.5 < drawn * MARKS {
            text.push(mark);
        }
    }
    text
}

fn of_quality(plan: &Plan, quality: f64) -> String {
    if plan.in_percent_within() { format!("{quality:.1}") } else { number(quality, plan.unit) }
}

fn lot_row(lot: &Judged) -> String {
    let Judged { observed, plan, interval, .. } = lot;
    let range = |(low, high): (f64, f64)| format!("{} to {}", paid(low, plan), paid(high, plan));
    let waits = if interval.decided >= 0.005 { format!(" {:.2}*", interval.decided) } else { String::new() };
    row([
        lot.name.clone(),
        observed.n.to_string(),
        number(observed.mean, plan.unit),
        number_finer(observed.spread, plan.unit),
        lot.pay.clone(),
        format!("{}{waits}", range(interval.others)),
        interval.lot.map_or_else(String::new, range),
    ])
}

fn row([name, n, mean, spread, pay, others, lot]: [String; 7]) -> String {
    let line = format!("{name:<32} {n:>2} {mean:>8} {spread:>6} {pay:>6}  {others:<19} {lot}");
    format!("{}\n", line.trim_end())
}

fn pays_in(plan: &Plan) -> String {
    if plan.pays_in() == Unit::Percent { "percent of the price".into() } else { plan.pays_in().to_string() }
}

/// `nine times in ten`.
fn often(within: f64) -> String {
    if (within - 0.9).abs() < 1e-9 {
        "nine times in ten".into()
    } else {
        format!("{} times in a hundred", share(within))
    }
}

/// A share in a hundred, without a needless decimal.
fn share(share: f64) -> String {
    trimmed(format!("{:.1}", share * 100.0))
}

fn paid(pay: f64, plan: &Plan) -> String {
    trimmed(if plan.pays_in() == Unit::Percent { format!("{pay:.1}") } else { format!("{pay:.2}") })
}

fn trimmed(text: String) -> String {
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text };
    if text == "-0" { "0".into() } else { text }
}

fn number(x: f64, unit: Unit) -> String {
    let text = format!("{x:.*}", decimals(unit));
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') { text.replace('-', "") } else { text }
}

/// A thickness that is judged in feet or metres is told to a thousandth.
fn decimals(unit: Unit) -> usize {
    match unit {
        Unit::Foot | Unit::Metre => 3,
        other => usize::from(other.decimals()),
    }
}

fn number_finer(x: f64, unit: Unit) -> String {
    format!("{x:.*}", decimals(unit) + 1)
}

/// Words wrapped to the page, the first line after `head`, the others below its text.
fn say(out: &mut String, head: &str, words: &str) {
    for line in hang(head, words, PAGE) {
        out.push_str(&line);
        out.push('\n');
    }
}

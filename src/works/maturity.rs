//! Temperature loggers to maturity to strength (ASTM C1074, from memory).
//!
//! ```text
//! factor           M = sum (T - T0) h          T mean of two readings, T0 datum, h hours between; none below the datum
//! equivalent age   M = sum exp(-Q (1/T - 1/Ts)) h         T and Ts above absolute zero
//! strength         S = a + b ln M,  lower end  S - t s sqrt(1 + 1/n + (x - X)^2 / Q)
//! ```
//!
//! Maturity is counted from a logger's first reading. Where there are no readings for longer than the rule reckons through,
//! that time adds nothing: the strength is then too low rather than too high.

use std::collections::BTreeMap;

use chrono::{NaiveDate, NaiveDateTime};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, dec};

use super::Works;
use super::curve::{Curve, number_of, unit_of};
use super::site::{Site, constant, row};
use crate::figure::{Book, Expr, Figure, FigureId, exponential, logarithm, mean, min, root, student, whole};
use crate::finding::{Code, Finding};
use crate::line::{folded, slug, stepped, stretch_at};
use crate::rules::{Maturity, MaturityRule};
use crate::units::{System, Unit, conversions, plain};

/// Readings of which the maturity is one figure, so that each can be followed.
const TOGETHER: usize = 24;

/// A logger.
#[derive(Clone, Debug, PartialEq)]
pub struct Logger {
    /// Its name.
    pub sensor: String,
    /// Its readings in the records: first and after the last.
    pub readings: (usize, usize),
    /// Placement it lies in.
    pub placement: Option<usize>,
    /// Maturity at `when`; `None` without a rule.
    pub maturity: Option<FigureId>,
    /// Strength that is held against the rule, at `when`; `None` where no curve says one.
    pub strength: Option<FigureId>,
    /// The curve itself at `when`.
    pub estimate: Option<FigureId>,
    /// The reading at which the strength for opening was first reached, else the last one.
    pub when: NaiveDateTime,
    /// True where that strength was reached.
    pub reached: bool,
    /// What a reader should know beside it.
    pub note: String,
}

/// Reads every logger.
pub(super) fn read(site: &Site<'_>, book: &mut Book, works: &mut Works, findings: &mut Vec<Finding>) {
    let logged = &site.inputs.records.logged;
    let mut sensors: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (i, reading) in logged.iter().enumerate() {
        sensors.entry(&reading.sensor.value).or_insert((i, i)).1 = i + 1;
    }
    let mut without: BTreeMap<String, usize> = BTreeMap::new();
    for (sensor, readings) in sensors {
        let placement = placement(site, readings);
        if placement.is_none() {
            findings.push(unplaced(site, sensor, readings));
        }
        let logger = logger(site, book, &works.curves, (sensor, readings, placement), findings, &mut without);
        works.loggers.push(logger);
    }
    findings.extend(without.into_iter().map(|(mix, first)| no_curve(site, &mix, first)));
}

/// The placement that a reading names, or that lies where one says the logger is.
fn placement(site: &Site<'_>, (first, after): (usize, usize)) -> Option<usize> {
    let records = site.inputs.records;
    let own = &records.logged[first..after];
    if let Some(named) = own.iter().find_map(|l| l.placement.as_ref()) {
        return site.numbered(&named.value);
    }
    let (lane, station) = own.iter().find_map(|l| Some((l.lane.as_ref()?, l.station.as_ref()?)))?;
    let line = site.inputs.line;
    stretch_at(line, lane.value, station.value).map(|s| line.stretches[s].placement)
}

/// The mix of a logger: its own, else its placement's.
fn mix(site: &Site<'_>, (first, after): (usize, usize), placement: Option<usize>) -> String {
    let records = site.inputs.records;
    let own = records.logged[first..after].iter().find_map(|l| l.mix.as_ref());
    let placed = placement.and_then(|p| records.placements[p].mix.as_ref());
    own.or(placed).map_or(String::new(), |m| m.value.to_string())
}

/// The curve of a mix. A curve without a mix's name is that of the contract's only mix.
fn curve_of<'c>(site: &Site<'_>, curves: &'c [Curve], mix: &str) -> Option<&'c Curve> {
    let contract = site.inputs.contract;
    let same = |c: &&Curve| {
        folded(&c.mix) == folded(mix) || contract.mix(&c.mix).is_some_and(|m| contract.mix(mix) == Some(m))
    };
    let named = curves.iter().find(same).filter(|_| !mix.is_empty());
    let one = contract.mixes.len() <= 1 && curves.len() == 1;
    named.or_else(|| curves.first().filter(|c| one && (c.mix.is_empty() || mix.is_empty())))
}

fn logger(
    site: &Site<'_>,
    book: &mut Book,
    curves: &[Curve],
    (sensor, readings, placement): (&str, (usize, usize), Option<usize>),
    findings: &mut Vec<Finding>,
    without: &mut BTreeMap<String, usize>,
) -> Logger {
    let logged = &site.inputs.records.logged;
    let at = |i: usize| logged[i].date.value.and_time(logged[i].time.value);
    let mut logger = Logger {
        sensor: sensor.to_string(),
        readings,
        placement,
        maturity: None,
        strength: None,
        estimate: None,
        when: at(readings.1 - 1),
        reached: false,
        note: String::new(),
    };
    let Some(rule) = &site.rule.maturity else { return logger };
    findings.extend(gaps(site, sensor, readings, rule));
    let mix = mix(site, readings, placement);
    let curve = curve_of(site, curves, &mix);
    if curve.is_none() {
        without.entry(mix).or_insert(readings.0);
        logger.note = "its mix has no curve".into();
    }
    let sums = running(site, readings, rule);
    let wanted = site.rule.opening.as_ref().and_then(|o| o.strength.as_ref()).filter(|_| !flexural(site));
    let lower = rule.lower.as_ref().and_then(|l| l.value.to_f64()).map(|percent| percent / 100.0);
    let reached = curve.zip(wanted).and_then(|(curve, wanted)| {
        sums.iter().position(|&m| {
            let strength = curve.strength(book, curve.entered(book, m), lower).and_then(Decimal::from_f64_retain);
            curve.holds(book, m) && strength.and_then(|s| rule.round.apply(s)).is_some_and(|s| s >= wanted.value)
        })
    });
    let last = reached.map_or(readings.1 - 1, |k| readings.0 + k);
    (logger.when, logger.reached) = (at(last), reached.is_some());
    let maturity = maturity(site, book, rule, sensor, (readings.0, last));
    logger.maturity = maturity;
    if let (Some(curve), Some(maturity)) = (curve, maturity) {
        let value = book[maturity].value.real().unwrap_or(0.0);
        if curve.holds(book, value) {
            let (estimate, strength) = strengths(site, book, rule, curve, (sensor, maturity));
            (logger.estimate, logger.strength) = (Some(estimate), Some(strength));
        } else {
            logger.note = "below the least maturity of its curve".into();
        }
        if book[curve.ends.1].value.real().is_some_and(|most| value > most) {
            logger.note = "beyond its curve: taken at the curve's end".into();
        }
    }
    logger
}

fn flexural(site: &Site<'_>) -> bool {
    site.rule.opening.as_ref().is_some_and(|o| o.flexural)
}

/// Hours between two neighbouring readings.
fn hours(site: &Site<'_>, i: usize) -> Decimal {
    let logged = &site.inputs.records.logged;
    let at = |i: usize| logged[i].date.value.and_time(logged[i].time.value);
    Decimal::from((at(i + 1) - at(i)).num_seconds()) / dec!(3600)
}

/// Whether the time from reading `i` to the next adds to maturity.
fn counts(site: &Site<'_>, rule: &MaturityRule, i: usize) -> bool {
    let logged = &site.inputs.records.logged;
    let hours = hours(site, i);
    let mean = (logged[i].temperature.value + logged[i + 1].temperature.value) / Decimal::TWO;
    let warm = match &rule.by {
        Maturity::Factor { datum } => mean > datum.value,
        Maturity::Age { .. } => true,
    };
    hours > Decimal::ZERO && hours <= rule.longest_gap.value && warm
}

/// Maturity after each reading, in floating point, to find the reading at which a strength was reached.
fn running(site: &Site<'_>, (first, after): (usize, usize), rule: &MaturityRule) -> Vec<f64> {
    let logged = &site.inputs.records.logged;
    let celsius = |t: f64| match site.inputs.contract.system {
        System::Customary => (t - 32.0) * 5.0 / 9.0,
        System::Si => t,
    };
    let mut sum = 0.0;
    let mut sums = vec![0.0];
    for i in first..after.saturating_sub(1) {
        if counts(site, rule, i) {
            let mean = (logged[i].temperature.value + logged[i + 1].temperature.value) / Decimal::TWO;
            let (mean, hours) = (mean.to_f64().unwrap_or(0.0), hours(site, i).to_f64().unwrap_or(0.0));
            sum += match &rule.by {
                Maturity::Factor { datum } => (mean - datum.value.to_f64().unwrap_or(0.0)) * hours,
                Maturity::Age { q, reference } => {
                    let reference = celsius(reference.value.to_f64().unwrap_or(0.0)) + 273.15;
                    let q = q.value.to_f64().unwrap_or(0.0);
                    (-q * (1.0 / (celsius(mean) + 273.15) - 1.0 / reference)).exp() * hours
                }
            };
        }
        sums.push(sum);
    }
    sums
}

/// Maturity from a reading to another as a figure, made of the readings of about a day each.
fn maturity(
    site: &Site<'_>,
    book: &mut Book,
    rule: &MaturityRule,
    sensor: &str,
    (first, last): (usize, usize),
) -> Option<FigureId> {
    let unit = unit_of(&rule.by, site.inputs.contract.system);
    let key = format!("works.logger-{}.maturity", slug(sensor));
    let counted: Vec<usize> = (first..last).filter(|&i| counts(site, rule, i)).collect();
    let mut parts = Vec::new();
    for (n, chunk) in (1..).zip(counted.chunks(TOGETHER)) {
        let terms: Vec<Expr> = chunk.iter().map(|&i| term(site, book, rule, i)).collect();
        let label = format!("logger {sensor}, maturity, part {n}");
        let figure = Figure::new(format!("{key}.part-{n}"), label, "M", unit, crate::figure::sum(terms));
        parts.push(book.add(figure.shown(1)).into());
    }
    let clause = match &rule.by {
        Maturity::Factor { datum } => &datum.clause,
        Maturity::Age { q, .. } => &q.clause,
    };
    let label = format!("logger {sensor}, maturity");
    let figure = Figure::new(key, label, "M", unit, whole(0)).shown(1).under(clause.clone());
    (!parts.is_empty()).then(|| book.add_sum(figure, parts))
}

/// What the time from one reading to the next adds.
fn term(site: &Site<'_>, book: &mut Book, rule: &MaturityRule, i: usize) -> Expr {
    let ledger = &site.inputs.line.ledger;
    let cell = |i, column| ledger.logged_cell(i, column);
    let (t, h) = (stepped::logged::TEMPERATURE, stepped::logged::HOURS);
    let warm = mean([cell(i, t), cell(i + 1, t)]);
    let hours = cell(i + 1, h) - cell(i, h);
    match &rule.by {
        Maturity::Factor { datum } => (warm - book.given(datum.given("datum temperature", "T0"))) * hours,
        Maturity::Age { q, reference } => {
            let system = site.inputs.contract.system;
            let reference = book.given(reference.given("reference temperature", "Ts")).into();
            let (mean, reference) = (absolute(book, warm, system), absolute(book, reference, system));
            let q = book.given(q.given("activation energy over the gas constant", "Q"));
            exponential(q * (whole(1) / reference - whole(1) / mean)) * hours
        }
    }
}

/// A temperature above absolute zero, in degrees Celsius.
fn absolute(book: &mut Book, temperature: Expr, system: System) -> Expr {
    let zero = constant(book, ("absolute zero", "T_z"), dec!(273.15), Unit::Celsius, "definition: 0 C are 273.15 K");
    let celsius = match system {
        System::Customary => {
            let freezing =
                constant(book, ("freezing point", "T_f"), dec!(32), Unit::Fahrenheit, "definition: 0 C are 32 F");
            (temperature - freezing).to(conversions::FAHRENHEIT_TO_CELSIUS)
        }
        System::Si => temperature,
    };
    celsius + zero
}

/// The curve at a maturity, and the strength that is held against the rule.
fn strengths(
    site: &Site<'_>,
    book: &mut Book,
    rule: &MaturityRule,
    curve: &Curve,
    (sensor, maturity): (&str, FigureId),
) -> (FigureId, FigureId) {
    let system = site.inputs.contract.system;
    let (key, name) = (format!("works.logger-{}", slug(sensor)), format!("logger {sensor}"));
    let entered = min([Expr::from(maturity), curve.ends.1.into()]).to(number_of(&rule.by, system));
    let x =
        Figure::new(format!("{key}.x"), format!("{name}, logarithm of maturity"), "x", Unit::One, logarithm(entered));
    let x = book.add(x.shown(4));
    let strength = system.strength();
    let estimate = curve.intercept + curve.slope * x;
    let figure = |part: &str, what: &str, expr: Expr| {
        Figure::new(format!("{key}.{part}"), format!("{name}, {what}"), "S", strength, expr)
    };
    let estimate = book.add(figure("estimate", "strength by its curve", estimate).shown(strength.decimals()));
    let held = match &rule.lower {
        None => site.compared(figure("strength", "strength", estimate.into()), rule.round),
        Some(lower) => {
            let tail =
                Expr::from(book.given(lower.given("share below the lower end", "p"))).to(conversions::PERCENT_TO_RATIO);
            let df = Figure::new(
                format!("{key}.df"),
                format!("{name}, degrees of freedom"),
                "f",
                Unit::One,
                curve.n - whole(2),
            );
            let df = book.add(df.shown(0));
            let t = Figure::new(format!("{key}.t"), format!("{name}, Student's t"), "t", Unit::One, student(tail, df));
            let t = book.add(t.shown(3));
            let off = (x - curve.centre).power(whole(2)) / curve.squares;
            let wide = root(whole(1) + whole(1) / curve.n + off);
            let expr = estimate - t * curve.spread * wide;
            site.compared(figure("strength", "lower end of its strength", expr), rule.round).under(lower.clause.clone())
        }
    };
    (estimate, book.add(held))
}

/// Times without readings that are longer than the rule reckons through.
fn gaps(site: &Site<'_>, sensor: &str, (first, after): (usize, usize), rule: &MaturityRule) -> Option<Finding> {
    let logged = &site.inputs.records.logged;
    let long: Vec<usize> =
        (first..after.saturating_sub(1)).filter(|&i| hours(site, i) > rule.longest_gap.value).collect();
    let i = *long.first()?;
    let words = |i: usize| {
        format!(
            "{} h after {} {}",
            plain(hours(site, i).round_dp(1)),
            logged[i].date.value,
            logged[i].time.value.format("%H:%M")
        )
    };
    let all: Vec<String> = long.iter().map(|&i| words(i)).collect();
    let message = format!(
        "logger {sensor} has no readings for {}; more than {} is not reckoned through ({})",
        all.join("; "),
        rule.longest_gap.written,
        rule.longest_gap.clause
    );
    let remedy = "add the missing readings, if the logger kept them; that time adds no maturity";
    Some(Finding::new(Code::MaturityGap, row(logged[i].sensor.at), message, remedy))
}

fn unplaced(site: &Site<'_>, sensor: &str, (first, _): (usize, usize)) -> Finding {
    Finding::new(
        Code::MaturityUnplaced,
        row(site.inputs.records.logged[first].sensor.at),
        format!("nothing says in which placement logger {sensor} lies"),
        "write its placement, or its lane and station, in one row of its readings; until then it opens nothing",
    )
}

fn no_curve(site: &Site<'_>, mix: &str, first: usize) -> Finding {
    let name = if mix.is_empty() { "a mix that nothing names".to_string() } else { format!("mix {mix}") };
    Finding::new(
        Code::MaturityCurve,
        row(site.inputs.records.logged[first].sensor.at),
        format!("{name} was logged and has no strength-maturity curve"),
        "add the laboratory's specimens of its own curve (maturity and strength); curves of other mixes say nothing of it",
    )
}

impl Logger {
    /// The day of `when`.
    #[must_use]
    pub fn day(&self) -> NaiveDate {
        self.when.date()
    }
}

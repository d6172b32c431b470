//! Thickness: cores to lots, their deficiency, and what the rule's stepped table pays for it.
//!
//! ```text
//! counted length   c = smaller of t and T + cap
//! average          t = (c1 + c2 + ... + cn) / n        rounded
//! deficiency       D = larger of 0 and T - t           rounded, then looked up
//! ```
//!
//! Two forms. *By the lot* (FHWA standard specifications of the 1969 era, section 501): all cores of a lot are averaged,
//! thick ones capped, very thin ones left out and their stretch settled apart. *By the section*: only the deficient cores
//! are averaged, and priced from good core to good core. Exploratory cores bound stretches and are never averaged.
//! Nothing here decides whether thin pavement may stay.

mod apart;
mod counting;
mod explore;
mod lot;
mod measured;
mod section;
#[cfg(test)]
mod tests;
mod thick;
mod zone;

pub use self::explore::{Exploration, NextCore};

use chrono::NaiveDate;
use rust_decimal::Decimal;

use self::counting::{Counting, settle};
use self::measured::{MeasuredCore, measure};
pub(super) use self::thick::unasked;
use super::ground::{CAUTION, Ground, add_note, in_words};
use super::measure::{Entering, Sample, average, entering};
use super::price::{Priced, adjustment, pays};
use super::{Adjustment, CoreJudged, Judged, Outcome, Verdict};
use crate::figure::{Book, Expr, Figure, FigureId, mean, min};
use crate::finding::{Code, Finding, Place};
use crate::line::{LotSpan, PlacedWithin, mark_lots, placed_within, slug, thickness};
use crate::rules::{Judged as Judges, Measure, RuleNumber, RuleSet, Taken, ThicknessRule};
use crate::units::{Unit, conversions};

/// Everything at hand while thickness is judged.
struct Bench<'a> {
    ground: Ground<'a>,
    set: &'a RuleSet,
    rule: &'a ThicknessRule,
    book: &'a mut Book,
    /// By section.
    designs: Vec<Design>,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
}

/// What a section is judged against.
#[derive(Clone, Copy)]
struct Design {
    /// T.
    thickness: FigureId,
    /// T less the tolerance.
    least: FigureId,
    /// What T came to.
    depth: Decimal,
}

/// An average and what enters the pay table, before it is priced.
struct Short {
    average: FigureId,
    entering: Entering,
    /// Last day a core of it was drilled.
    decided: NaiveDate,
}

/// Judges every lot that has placed pavement.
pub(super) fn judge<'a>(
    ground: Ground<'a>,
    (set, rule): (&'a RuleSet, &'a ThicknessRule),
    book: &'a mut Book,
    judged: &'a mut Judged,
    findings: &'a mut Vec<Finding>,
) {
    let lots = ground.lots(&rule.lot);
    mark_lots(ground.contract, &rule.lot, book);
    let designs = designs(ground, rule, book);
    let mut cores = measure(ground, (set, rule), &lots, &designs, book, findings);
    let settled = settle(ground, &mut cores, findings);
    let mut bench = Bench { ground, set, rule, book, designs, judged, findings };
    bench.unknown_choices(&lots);
    let counting: Vec<Counting> =
        lots.iter().enumerate().map(|(at, lot)| bench.counting((at, lot), &mut cores)).collect();
    let listed = |core: &MeasuredCore| judged_core(core, rule, bench.designs[core.section], &lots);
    let mut listed: Vec<CoreJudged> = cores.iter().chain(&settled).map(listed).collect();
    listed[cores.len()..].iter_mut().for_each(|core| core.deficient = false);
    bench.judged.cores = listed;
    for ((at, lot), counting) in lots.iter().enumerate().zip(&counting) {
        bench.lot((at, lot), &cores, counting);
    }
    bench.judged.cores.sort_by_key(|core| core.core);
}

/// Design thickness T of each section, and the least length that is good, T less the rule's tolerance.
fn designs(ground: Ground, rule: &ThicknessRule, book: &mut Book) -> Vec<Design> {
    let mut designs = Vec::with_capacity(ground.contract.sections.len());
    for (at, section) in ground.contract.sections.iter().enumerate() {
        let (key, unit) = (slug(&section.name), rule.depth);
        let given = in_depth(ground, rule, thickness(ground.contract, book, at).into());
        let design = Figure::new(format!("{key}.design-thickness"), "design thickness", "T", unit, given);
        let converted = unit != section.thickness.unit;
        let decimals = design.decimals.max(if converted { 4 } else { scale(section.thickness.value) });
        let design = book.add(design.shown(decimals));
        let tolerance = limit(book, design, &rule.tolerance, ("tolerance", "tol"));
        let least =
            Figure::new(format!("{key}.least-thickness"), "least good length", "tmin", unit, design - tolerance);
        let depth = book[design].value.decimal().unwrap_or_default();
        let decimals = decimals.max(scale(amount(&rule.tolerance, depth)));
        let least = book.add(least.shown(decimals).under(&rule.tolerance.clause));
        designs.push(Design { thickness: design, least, depth });
    }
    designs
}

/// A limit of the rule as a depth: as it is, or its percentage of the design thickness.
fn limit(book: &mut Book, design: FigureId, of: &RuleNumber, (label, symbol): (&str, &str)) -> Expr {
    let given = book.given(of.given(label, symbol));
    if of.unit == Unit::Percent { design * Expr::from(given).to(conversions::PERCENT_TO_RATIO) } else { given.into() }
}

/// What such a limit comes to.
fn amount(of: &RuleNumber, design: Decimal) -> Decimal {
    if of.unit == Unit::Percent { of.value * design / Decimal::ONE_HUNDRED } else { of.value }
}

/// A depth of the contract or a core in the unit that the rule judges in.
fn in_depth(ground: Ground, rule: &ThicknessRule, depth: Expr) -> Expr {
    let system = ground.contract.system;
    if rule.depth == system.depth() { depth } else { depth.to(system.depth_to_length()) }
}

fn scale(value: Decimal) -> u8 {
    u8::try_from(value.normalize().scale()).unwrap_or(u8::MAX)
}

fn judged_core(core: &MeasuredCore, rule: &ThicknessRule, design: Design, lots: &[LotSpan]) -> CoreJudged {
    CoreJudged {
        core: core.core,
        section: core.section,
        lot: if core.exploratory { String::new() } else { lots[core.lot].name.clone() },
        length: core.length,
        design: design.thickness,
        least: design.least,
        deficient: core.short > amount(&rule.tolerance, design.depth),
        deficiency: core.deficiency,
        counted: None,
        standing: core.standing.clone(),
    }
}

impl<'a> Bench<'a> {
    fn lot(&mut self, (at, lot): (usize, &LotSpan), cores: &[MeasuredCore], counting: &Counting) {
        let extents = lot.places.clone();
        let Ground { contract, line, .. } = self.ground;
        let Some(placed) = placed_within(line, contract, self.book, &extents, &lot.key, &lot.name) else { return };
        let own: Vec<&MeasuredCore> = cores.iter().filter(|core| core.lot == at && core.is_of_lot()).collect();
        let settled = match self.rule.judged {
            Judges::Lot => self.very_thin((at, lot), cores),
            Judges::Section => self.sections((at, lot), cores),
        };
        let rest = self.less(lot, placed, &settled);
        let lengths = own.iter().map(|core| core.length).collect();
        let mut outcome = self.outcome(lot.name.clone(), extents, lot.section, lengths);
        outcome.area = Some(rest.area);
        outcome.steps.extend(&counting.steps);
        let needed = self.needed(&own);
        if Decimal::from(own.len()) < needed.value {
            self.too_few(lot, own.len(), (needed, counting.waits), &mut outcome);
        } else if self.rule.judged == Judges::Lot {
            self.whole_lot(lot, &own, (placed, rest), &mut outcome);
        } else {
            self.rest_of_lot(lot, &own, settled.len(), &mut outcome);
        }
        counting.notes.iter().for_each(|note| add_note(&mut outcome, note));
        self.judged.outcomes.push(outcome);
    }

    /// An outcome with its lengths and design thickness, not judged yet.
    fn outcome(
        &self,
        name: String,
        places: Vec<(crate::intake::LaneId, crate::units::Station, crate::units::Station)>,
        section: usize,
        lengths: Vec<FigureId>,
    ) -> Outcome {
        let mut steps = lengths;
        steps.push(self.designs[section].thickness);
        Outcome { steps, ..Outcome::unjudged(self.set, name, section, places) }
    }

    /// Fewer cores than the rule needs: a gap once the lot is wholly placed, unless `waits` says that one is told already.
    fn too_few(&mut self, lot: &LotSpan, found: usize, (needed, waits): (&RuleNumber, bool), outcome: &mut Outcome) {
        let why = if needed.key == self.rule.cores_per_lot.key { "" } else { ", since one is deficient," };
        let count = format!("{found} of the {} cores that the lot needs{why}", needed.value.normalize());
        if !self.ground.wholly_placed(lot) {
            outcome.note = format!("the lot is not wholly placed yet; {count} are there");
            return;
        }
        outcome.note.clone_from(&count);
        if waits {
            return;
        }
        self.findings.push(Finding::new(
            Code::CoreMissing,
            Place::Named(lot.name.clone()),
            format!("{count} are there ({}), though it is wholly placed; its thickness is not judged", needed.clause),
            "drill the missing cores, or add the sheet that holds them",
        ));
    }

    /// What of some lengths enters the pay table.
    ///
    /// # Errors
    /// In words, why there is nothing.
    fn short(
        &mut self,
        key: &str,
        section: usize,
        lengths: &[FigureId],
        (note, decided): (&str, NaiveDate),
    ) -> Result<Short, String> {
        let (expr, label): (Expr, &str) = match self.rule.taken {
            Taken::Mean => (mean(lengths.iter().copied()), "average"),
            Taken::Thinnest => (min(lengths.iter().copied()), "thinnest core"),
        };
        let what = (expr, self.rule.depth, self.rule.average);
        let average = average(self.book, self.set, (key, label, "t"), what, note);
        let target = self.designs[section].thickness;
        let sample = Sample { key, values: lengths, average, target };
        let entering = entering(self.book, self.set, &self.rule.measure, &sample)?;
        Ok(Short { average, entering, decided })
    }

    /// Verdict, adjustment and finding of an average that was priced over what is placed.
    fn conclude(
        &mut self,
        short: &Short,
        priced: &Priced,
        over: PlacedWithin,
        cores: &[&MeasuredCore],
        outcome: &mut Outcome,
    ) {
        outcome.verdict = priced.verdict;
        (outcome.average, outcome.entered) = (Some(short.average), Some(short.entering.entered));
        (outcome.pay, outcome.area, outcome.decided) = (Some(priced.pay), Some(over.area), Some(short.decided));
        add_note(outcome, &priced.note);
        if priced.verdict == Verdict::Sound {
            return;
        }
        outcome.adjustments.push(self.adjustment(over, priced, short.decided));
        if priced.verdict == Verdict::Raised {
            return;
        }
        let finding = Finding::new(
            Code::ThicknessDeficient,
            Place::Named(outcome.name.clone()),
            self.deficient(short, priced, over, outcome.section),
            "compare the core lengths with the laboratory's sheets; page Adjustments says what it does to pay",
        );
        let finding = finding.with(self.rows(cores));
        self.findings.push(finding);
    }

    fn adjustment(&mut self, over: PlacedWithin, priced: &Priced, decided: NaiveDate) -> Adjustment {
        adjustment(self.book, Some(&self.rule.pay), priced.effect, (over.area, over.volume), decided)
    }

    fn deficient(&self, short: &Short, priced: &Priced, over: PlacedWithin, section: usize) -> String {
        let said = |id| in_words(self.book, id);
        let (average, entered) = (said(short.average), said(short.entering.entered));
        let design = said(self.designs[section].thickness);
        let standing = match &self.rule.measure {
            Measure::Deficiency { .. } => {
                format!("the average of {average} is {entered} under the design thickness of {design}")
            }
            Measure::Index { .. } => format!(
                "the average of {average} and its spread make an index of {entered} against the design thickness of {design}"
            ),
            Measure::Within(_) => format!(
                "with an average of {average} against the design thickness of {design}, {entered} of it is within limits"
            ),
        };
        let pays = pays(self.book, self.ground.contract, priced.effect, &said(over.area));
        format!("{standing}; {} {pays}, and {CAUTION}", self.set.named())
    }

    /// The rows that cores stand on.
    fn rows(&self, cores: &[&MeasuredCore]) -> Vec<Place> {
        cores.iter().map(|core| Place::Row(self.ground.records.cores[core.core].number.at)).collect()
    }

    /// Cores that a lot needs: more, where the rule says so, as soon as one of them is not good.
    fn needed(&self, own: &[&MeasuredCore]) -> &'a RuleNumber {
        let more = self.rule.cores_if_deficient.as_ref();
        more.filter(|_| own.iter().any(|core| !self.is_good(core))).unwrap_or(&self.rule.cores_per_lot)
    }

    fn is_good(&self, core: &MeasuredCore) -> bool {
        core.short <= amount(&self.rule.tolerance, self.designs[core.section].depth)
    }

    fn excludes(&self, core: &MeasuredCore) -> bool {
        let limit = self.rule.thin_exclusion.as_ref();
        limit.is_some_and(|limit| core.short > amount(limit, self.designs[core.section].depth))
    }

    /// Notes how a core counts in the average.
    fn count(&mut self, core: &MeasuredCore, counted: FigureId) {
        self.judged.cores.iter_mut().filter(|c| c.core == core.core).for_each(|c| c.counted = Some(counted));
    }
}

/// `cores C-7 (1.20 in) and C-8 (1.10 in) are`.
fn listed(cores: &[&MeasuredCore], book: &Book) -> String {
    let name = |core: &&MeasuredCore| format!("{} ({})", core.number, in_words(book, core.deficiency));
    let names: Vec<String> = cores.iter().map(name).collect();
    match names.as_slice() {
        [only] => format!("core {only} is"),
        [first @ .., last] => format!("cores {} and {last} are", first.join(", ")),
        [] => String::new(),
    }
}

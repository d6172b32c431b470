//! Thickness by the lot: the average of all its cores, thick ones capped, very thin ones left out.

use rust_decimal::Decimal;

use super::{Bench, MeasuredCore, listed};
use crate::accept::ground::add_note;
use crate::accept::price::priced;
use crate::accept::{Adjustment, Effect, Outcome, SampleJudged, Verdict};
use crate::figure::{Figure, FigureId, min, sum};
use crate::finding::{Code, Finding, Place};
use crate::line::{LotSpan, PlacedWithin, slug};
use crate::rules::{Apart, Property};

impl Bench<'_> {
    /// The average of the lot's cores over what is placed of it, less the stretches settled apart.
    pub(super) fn whole_lot(
        &mut self,
        lot: &LotSpan,
        own: &[&MeasuredCore],
        (placed, rest): (PlacedWithin, PlacedWithin),
        outcome: &mut Outcome,
    ) {
        let (thin, used): (Vec<&MeasuredCore>, Vec<&MeasuredCore>) = own.iter().partition(|core| self.excludes(core));
        let used: Vec<&MeasuredCore> = used.into_iter().filter(|core| core.is_averaged()).collect();
        outcome.note = self.left_out(&thin);
        let nothing_left = self.book[rest.area].value.decimal().is_none_or(|area| area <= Decimal::ZERO);
        let Some(decided) = used.iter().map(|core| core.date).max().filter(|_| !nothing_left) else {
            self.nothing_to_average(lot, nothing_left, outcome);
            return;
        };
        let counted: Vec<FigureId> = used.iter().map(|core| self.counted(core)).collect();
        outcome.steps.extend(counted.iter().zip(&used).filter(|(id, core)| **id != core.length).map(|(id, _)| *id));
        let short = match self.short(&lot.key, lot.section, &counted, (&outcome.note, decided)) {
            Ok(short) => short,
            Err(why) => return self.nothing_to_measure(lot, &why, outcome),
        };
        let Some(priced) = priced(self.book, self.set, &self.rule.pay, &lot.key, &short.entering) else { return };
        self.judged.samples.push(SampleJudged {
            property: Property::Thickness,
            outcome: outcome.name.clone(),
            results: used.iter().map(|core| core.length).collect(),
            target: self.designs[lot.section].thickness,
        });
        outcome.steps.push(short.average);
        outcome.steps.extend(&short.entering.steps);
        outcome.steps.extend([priced.pay, placed.length, placed.area]);
        if rest.area != placed.area {
            outcome.steps.push(rest.area);
        }
        let over = self.by_volume(lot, short.average, rest, decided, outcome);
        self.conclude(&short, &priced, over, &used, outcome);
    }

    /// The average cannot be measured as the rule wants: too few cores.
    fn nothing_to_measure(&mut self, lot: &LotSpan, why: &str, outcome: &mut Outcome) {
        add_note(outcome, why);
        let message = format!("{why}; its thickness is not judged");
        let remedy = "drill more cores, or choose a rule set that judges so few";
        self.findings.push(Finding::new(Code::CoreMissing, Place::Named(lot.name.clone()), message, remedy));
    }

    /// Where pay is by the volume measured: that volume, and its difference from the plan as an adjustment.
    fn by_volume(
        &mut self,
        lot: &LotSpan,
        average: FigureId,
        rest: PlacedWithin,
        decided: chrono::NaiveDate,
        outcome: &mut Outcome,
    ) -> PlacedWithin {
        let Some(credit) = &self.rule.volume_credit else { return rest };
        let system = self.ground.contract.system;
        let measured = if self.rule.depth == system.depth() {
            average.into()
        } else {
            crate::figure::Expr::from(average).to(system.length_to_depth())
        };
        let volume = (rest.area * measured).to(system.to_volume());
        let unit = system.volume();
        let round = self.ground.contract.roundings.volume;
        let figure = Figure::new(format!("{}.volume-measured", lot.key), "volume as measured", "Vm", unit, volume);
        let volume = self.book.add(figure.rounded(round).under(&credit.clause));
        let more = Figure::new(
            format!("{}.volume-more", lot.key),
            "volume as measured less plan",
            "dV",
            unit,
            volume - rest.volume,
        );
        let more = self.book.add(more.shown(round.decimals()).under(&credit.clause));
        outcome.steps.extend([rest.volume, volume, more]);
        let effect = Effect::Volume(more);
        outcome.adjustments.push(Adjustment { area: rest.area, volume: rest.volume, effect, price: None, decided });
        PlacedWithin { volume, ..rest }
    }

    /// Every core was left out of the average, or nothing is left of the lot beside what is settled apart.
    fn nothing_to_average(&mut self, lot: &LotSpan, nothing_left: bool, outcome: &mut Outcome) {
        if nothing_left {
            let priced = self.rule.apart == Apart::OwnAverage;
            outcome.verdict = if priced { Verdict::Sound } else { Verdict::Undecided };
            add_note(outcome, "the whole lot is settled apart");
            return;
        }
        add_note(outcome, "no core is left to average");
        self.findings.push(Finding::new(
            Code::CoreMissing,
            Place::Named(lot.name.clone()),
            "every core of the lot is left out of its average, so the rest of the lot is not judged",
            "drill a core in the rest of the lot",
        ));
    }

    fn left_out(&self, cores: &[&MeasuredCore]) -> String {
        match &self.rule.thin_exclusion {
            Some(limit) if !cores.is_empty() => {
                let listed = listed(cores, self.book);
                format!("left out of the average: {listed} more than {} thinner than the design", limit.written)
            }
            _ => String::new(),
        }
    }

    /// c = smaller of t and T + cap.
    fn counted(&mut self, core: &MeasuredCore) -> FigureId {
        let cap = self.rule.thick_cap.as_ref().or(self.rule.volume_credit.as_ref());
        let counted = match cap {
            None => core.length,
            Some(cap) => {
                let design = self.designs[core.section].thickness;
                let most = super::limit(self.book, design, cap, ("cap on thick cores", "cap"));
                let figure = Figure::new(
                    format!("core-{}.counted", slug(&core.number)),
                    format!("core {}, as counted", core.number),
                    format!("c({})", core.number),
                    self.rule.depth,
                    min([core.length.into(), design + most]),
                );
                let decimals = self.book[core.length].decimals.max(self.book[design].decimals);
                self.book.add(figure.shown(decimals).under(&cap.clause))
            }
        };
        self.count(core, counted);
        counted
    }

    /// What is placed of a lot, less what is settled apart.
    pub(super) fn less(&mut self, lot: &LotSpan, placed: PlacedWithin, apart: &[PlacedWithin]) -> PlacedWithin {
        if apart.is_empty() {
            return placed;
        }
        let mut less = |name: &str, symbol: &str, all: FigureId, parts: Vec<FigureId>| {
            let (unit, decimals) = (self.book[all].unit, self.book[all].decimals);
            let label = format!("{name} less what is settled apart");
            let figure = Figure::new(format!("{}.{name}-left", lot.key), label, symbol, unit, all - sum(parts));
            self.book.add(figure.shown(decimals))
        };
        PlacedWithin {
            length: less("length", "L'", placed.length, apart.iter().map(|p| p.length).collect()),
            area: less("area", "A'", placed.area, apart.iter().map(|p| p.area).collect()),
            volume: less("volume", "V'", placed.volume, apart.iter().map(|p| p.volume).collect()),
        }
    }
}

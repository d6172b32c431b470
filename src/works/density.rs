//! Density and moisture of grade and base.
//!
//! ```text
//! dry density    d = W / (1 + w / 100)           W wet density, w moisture in percent of the dry mass
//! compaction     C = 100 d / m                   m maximum dry density of the material
//! window         w - o                           o optimum moisture
//! no air at all  z = G g / (1 + w G / 100)       G specific gravity of the solids, g density of water
//! ```
//!
//! A dry density above `z` has more solids and water in it than there is room for, so something on the row is wrong. A printed
//! percent is recomputed; where a verdict turns on the difference it is left open for somebody to look. A failed test stays on
//! record; a retest that names it and passes settles it.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::{Decimal, dec};

use super::Works;
use super::check::{Check, Finds};
use super::site::{Site, constant, row};
use crate::figure::{Book, Expr, Figure, FigureId, whole};
use crate::finding::{Code, Finding};
use crate::intake::{Density, Surface};
use crate::line::{folded, slug, stepped};
use crate::rules::{DensityRule, Proof, RuleNumber};
use crate::units::{System, Unit, conversions, plain};

/// A density test as judged.
#[derive(Clone, Debug, PartialEq)]
pub struct DensityJudged {
    /// Place in the records.
    pub density: usize,
    /// Dry density; `None` where the sheet has it.
    pub dry: Option<FigureId>,
    /// Percent of the maximum.
    pub percent: Option<FigureId>,
    /// Moisture less the optimum, in points.
    pub window: Option<FigureId>,
    /// Dry density without any air.
    pub no_air: Option<FigureId>,
    /// What it found.
    pub finds: Finds,
    /// What a reader should know beside it.
    pub note: String,
}

/// Judges every density test.
pub(super) fn judge(site: &Site<'_>, book: &mut Book, works: &mut Works, findings: &mut Vec<Finding>) {
    let mut bench = Bench { site, book, findings, unknown: BTreeMap::new() };
    works.densities = (0..site.inputs.records.densities.len()).map(|i| bench.test(i)).collect();
    bench.missing();
    settle(site, &mut works.densities, findings);
    works.densities.iter().filter(|d| d.finds == Finds::Failed).for_each(|d| findings.extend(failed(site, book, d)));
    works.checks.extend(works.densities.iter().filter_map(|d| check(site, book, d)));
}

struct Bench<'a, 'b> {
    site: &'a Site<'a>,
    book: &'b mut Book,
    findings: &'b mut Vec<Finding>,
    /// Tests whose material has no curve, by material.
    unknown: BTreeMap<String, Vec<usize>>,
}

impl Bench<'_, '_> {
    fn record(&self, i: usize) -> &Density {
        &self.site.inputs.records.densities[i]
    }

    fn key(&self, i: usize, part: &str) -> String {
        let test = self.record(i);
        format!("works.density-{}-{}.{part}", test.layer.word(), slug(&test.number.value))
    }

    fn name(&self, i: usize) -> String {
        format!("density test {}", self.record(i).number.value)
    }

    fn test(&mut self, i: usize) -> DensityJudged {
        let rule = self.site.rule.densities.iter().find(|r| r.layer == self.record(i).layer);
        let dry = self.dry(i, rule);
        let percent = self.percent(i, rule, dry);
        let window = self.window(i);
        let no_air = self.no_air(i, rule);
        let mut judged = DensityJudged {
            density: i,
            dry,
            percent: percent.map(|p| p.0),
            window,
            no_air,
            finds: Finds::NotJudged,
            note: String::new(),
        };
        if let Some(rule) = rule {
            self.hold(&mut judged, rule, percent.map(|p| p.1));
        }
        self.impossible(&mut judged);
        judged
    }

    /// The dry density from the wet one, where the row gives that; else the row's own.
    fn dry(&mut self, i: usize, rule: Option<&DensityRule>) -> Option<FigureId> {
        let (wet, moisture) = (self.record(i).wet.is_some(), self.record(i).moisture.is_some());
        if !(wet && moisture) {
            return None;
        }
        let ledger = &self.site.inputs.line.ledger;
        let cell = |column| ledger.density_cell(i, column);
        let share = Expr::from(cell(stepped::density::MOISTURE)).to(conversions::PERCENT_TO_RATIO);
        let unit = self.site.inputs.contract.system.density();
        let expr = cell(stepped::density::WET) / (whole(1) + share);
        let figure = Figure::new(self.key(i, "dry"), format!("{}, dry density", self.name(i)), "d", unit, expr);
        let figure = match rule.and_then(|r| r.dry_round) {
            Some(round) => figure.rounded(round),
            None => figure.shown(unit.decimals()),
        };
        Some(self.book.add(figure))
    }

    fn dry_of(&self, i: usize, dry: Option<FigureId>) -> Option<Expr> {
        let own = || {
            self.record(i)
                .dry
                .as_ref()
                .map(|_| Expr::from(self.site.inputs.line.ledger.density_cell(i, stepped::density::DRY)))
        };
        dry.map(Expr::from).or_else(own)
    }

    /// The row's own maximum or optimum, else that of its material's curve.
    fn of_material(&self, i: usize, own: u16, column: u16) -> Option<Expr> {
        let test = self.record(i);
        let ledger = &self.site.inputs.line.ledger;
        let there = if own == stepped::density::MAXIMUM { test.maximum.is_some() } else { test.optimum.is_some() };
        if there {
            return Some(ledger.density_cell(i, own).into());
        }
        self.curve(i).map(|c| ledger.compaction_cell(c, column).into())
    }

    /// The compaction curve of a test's material.
    fn curve(&self, i: usize) -> Option<usize> {
        let named = folded(&self.record(i).material.as_ref()?.value);
        self.site.inputs.records.compactions.iter().position(|c| folded(&c.material.value) == named)
    }

    /// The percent as the rule rounds it, and as computed.
    fn percent(&mut self, i: usize, rule: Option<&DensityRule>, dry: Option<FigureId>) -> Option<(FigureId, Decimal)> {
        let dry = self.dry_of(i, dry)?;
        let Some(maximum) = self.of_material(i, stepped::density::MAXIMUM, stepped::compaction::MAXIMUM) else {
            let material = self.record(i).material.as_ref().map_or(String::new(), |m| m.value.to_string());
            self.unknown.entry(material).or_default().push(i);
            return None;
        };
        let expr = (dry / maximum).to(conversions::RATIO_TO_PERCENT);
        let computed = self.book.evaluate(&expr).decimal()?;
        let figure = Figure::new(
            self.key(i, "percent"),
            format!("{}, percent of maximum", self.name(i)),
            "C",
            Unit::Percent,
            expr,
        );
        let figure = match (rule, self.site.set) {
            (Some(rule), Some(set)) => self.site.compared(figure, rule.round).under(set.citation.clone()),
            _ => figure.shown(1),
        };
        Some((self.book.add(figure), computed))
    }

    fn window(&mut self, i: usize) -> Option<FigureId> {
        self.record(i).moisture.as_ref()?;
        let optimum = self.of_material(i, stepped::density::OPTIMUM, stepped::compaction::OPTIMUM)?;
        let moisture = self.site.inputs.line.ledger.density_cell(i, stepped::density::MOISTURE);
        let label = format!("{}, moisture against optimum", self.name(i));
        let figure = Figure::new(self.key(i, "window"), label, "w-o", Unit::Percent, moisture - optimum);
        Some(self.book.add(figure.shown(1)))
    }

    /// The dry density that its moisture would leave if there were no air at all.
    fn no_air(&mut self, i: usize, rule: Option<&DensityRule>) -> Option<FigureId> {
        self.record(i).moisture.as_ref()?;
        let system = self.site.inputs.contract.system;
        let ledger = &self.site.inputs.line.ledger;
        let of_curve = self
            .curve(i)
            .filter(|&c| self.site.inputs.records.compactions[c].gravity.is_some())
            .map(|c| Expr::from(ledger.compaction_cell(c, stepped::compaction::GRAVITY)));
        let gravity = if let Some(cell) = of_curve {
            cell
        } else {
            let given = rule?.gravity.as_ref()?.given("specific gravity of the solids", "G");
            self.book.given(given).into()
        };
        let water = match system {
            System::Customary => (dec!(62.4), "62.4 lb/ft3, the density of water in handbooks (common practice)"),
            System::Si => (dec!(1000), "1,000 kg/m3, the density of water in handbooks (common practice)"),
        };
        let water = constant(self.book, ("density of water", "g"), water.0, system.density(), water.1);
        let moisture = Expr::from(ledger.density_cell(i, stepped::density::MOISTURE)).to(conversions::PERCENT_TO_RATIO);
        let expr = gravity.clone() * water / (whole(1) + moisture * gravity);
        let label = format!("{}, dry density without air", self.name(i));
        Some(self.book.add(Figure::new(self.key(i, "no-air"), label, "z", system.density(), expr).shown(1)))
    }

    /// Holds percent and moisture against the rule.
    fn hold(&mut self, judged: &mut DensityJudged, rule: &DensityRule, computed: Option<Decimal>) {
        let printed = self.record(judged.density).percent.as_ref().map(|p| p.value);
        let rounded = judged.percent.and_then(|id| self.book[id].value.decimal());
        let window = judged.window.and_then(|id| self.book[id].value.decimal());
        let dense = |percent: Decimal| {
            percent >= rule.least.value && rule.most.as_ref().is_none_or(|most| percent <= most.value)
        };
        let moist = window.is_none_or(|w| {
            rule.moisture.0.as_ref().is_none_or(|low| w >= low.value)
                && rule.moisture.1.as_ref().is_none_or(|high| w <= high.value)
        });
        let Some(entered) = rounded.or(printed) else {
            judged.finds = Finds::Open;
            judged.note = "no maximum density on record".into();
            return;
        };
        judged.finds = Finds::of(dense(entered) && moist);
        let (Some(rounded), Some(computed)) = (rounded, computed) else { return };
        let far = printed.filter(|p| (p - rounded).abs() > rule.printed_within.value);
        if let Some(printed) = far {
            self.findings.push(self.differs(judged.density, printed, rounded, &rule.printed_within));
        }
        let readings: BTreeSet<bool> = printed.into_iter().chain([rounded, computed]).map(dense).collect();
        if readings.len() > 1 {
            judged.finds = Finds::Open;
            judged.note = "turns on the last digit".into();
            self.findings.push(self.turns(judged.density, printed, (rounded, computed), rule));
        }
    }

    fn differs(&self, i: usize, printed: Decimal, rounded: Decimal, within: &RuleNumber) -> Finding {
        let test = self.record(i);
        Finding::new(
            Code::DensityPrinted,
            row(test.percent.as_ref().map_or(test.number.at, |p| p.at)),
            format!(
                "{}: the sheet prints {} %, its own row makes {} % (difference {}, allowed {})",
                self.name(i),
                plain(printed),
                plain(rounded),
                plain(printed - rounded),
                within.written
            ),
            "correct the row, or set it aside with a reason in contract.toml; the recomputed percent is judged",
        )
    }

    fn turns(
        &self,
        i: usize,
        printed: Option<Decimal>,
        (rounded, computed): (Decimal, Decimal),
        rule: &DensityRule,
    ) -> Finding {
        let test = self.record(i);
        let printed = printed.map_or(String::new(), |p| format!("{} as printed, ", plain(p)));
        Finding::new(
            Code::DensityTurns,
            row(test.number.at),
            format!(
                "{}: {printed}{} rounded, {} as computed from the row, against {}: whether it passes turns on the last digit, so it proves nothing yet",
                self.name(i),
                plain(rounded),
                plain(computed.round_dp(3)),
                rule.least.written,
            ),
            "look at the field sheet: the percent was taken from a dry density with more digits than it prints",
        )
    }

    fn impossible(&mut self, judged: &mut DensityJudged) {
        let test = self.record(judged.density);
        let own = test.dry.as_ref().map(|d| d.value);
        let dry = judged.dry.and_then(|id| self.book[id].value.decimal()).or(own);
        let limit = judged.no_air.and_then(|id| self.book[id].value.decimal());
        let (Some(dry), Some(limit)) = (dry, limit) else { return };
        if dry <= limit {
            return;
        }
        let unit = self.site.inputs.contract.system.density();
        judged.finds = Finds::Open;
        judged.note = "denser than solids and water without air".into();
        self.findings.push(Finding::new(
            Code::DensityImpossible,
            row(test.number.at),
            format!(
                "{}: a dry density of {} {unit} leaves no room for its moisture; without any air it could be {} {unit}",
                self.name(judged.density),
                plain(dry.round_dp(2)),
                plain(limit.round_dp(2))
            ),
            "look at density, moisture and specific gravity: one of them is wrong, so the test proves nothing",
        ));
    }

    /// One finding for each material without a curve.
    fn missing(&mut self) {
        for (material, tests) in std::mem::take(&mut self.unknown) {
            let at = |&i: &usize| row(self.record(i).number.at);
            let Some(first) = tests.first() else { continue };
            let what =
                if material.is_empty() { "tests that name no material".into() } else { format!("material {material}") };
            self.findings.push(
                Finding::new(
                    Code::CompactionMissing,
                    at(first),
                    format!("{what}: {} density tests, and no maximum dry density on record for them", tests.len()),
                    "add the laboratory's sheet with maximum dry density and optimum moisture by material",
                )
                .with(tests.iter().skip(1).map(at)),
            );
        }
    }
}

/// Failed tests that a retest names and settles; retests that name nothing.
fn settle(site: &Site<'_>, judged: &mut [DensityJudged], findings: &mut Vec<Finding>) {
    let records = &site.inputs.records.densities;
    let by_number: BTreeMap<(Surface, String), usize> =
        records.iter().enumerate().rev().map(|(i, d)| ((d.layer, folded(&d.number.value)), i)).collect();
    let mut repeats: Vec<Option<usize>> = vec![None; records.len()];
    for (i, test) in records.iter().enumerate() {
        let Some(named) = &test.retest_of else { continue };
        let found = by_number.get(&(test.layer, folded(&named.value))).copied().filter(|&j| j != i);
        let why = match found {
            None => Some("which is not on record".to_string()),
            Some(j) => elsewhere(site, &records[j], test),
        };
        match why {
            Some(why) => findings.push(Finding::new(
                Code::RetestUnknown,
                row(named.at),
                format!("density test {} repeats test {}, {why}", test.number.value, named.value),
                "correct the number of the test it repeats, or its lane and station; it counts as a test of its own",
            )),
            None => repeats[i] = found,
        }
    }
    // A retest may itself be repeated: what passes settles all that it goes back to.
    for i in 0..records.len() {
        if judged[i].finds != Finds::Passed {
            continue;
        }
        let (mut at, mut steps) = (repeats[i], 0);
        while let Some(j) = at.filter(|_| steps <= records.len()) {
            if judged[j].finds == Finds::Failed {
                judged[j].finds = Finds::Settled;
                judged[j].note = format!("retest {} passes", records[i].number.value);
            }
            (at, steps) = (repeats[j], steps + 1);
        }
    }
}

/// Why a retest cannot be of that test.
fn elsewhere(site: &Site<'_>, first: &Density, again: &Density) -> Option<String> {
    let apart = (first.station.value.along - again.station.value.along).abs();
    let shared = first.lanes.value.iter().any(|l| again.lanes.value.contains(l));
    let rule = site.rule.densities.iter().find(|r| r.layer == first.layer);
    let near = rule.and_then(|r| r.retest_within.as_ref()).is_none_or(|within| apart <= within.value);
    if !(shared && near) {
        return Some(format!("which lies elsewhere: {}", site.place(&Site::points(first))));
    }
    (again.date.value < first.date.value).then(|| "which was taken later".to_string())
}

fn failed(site: &Site<'_>, book: &Book, judged: &DensityJudged) -> Option<Finding> {
    let test = &site.inputs.records.densities[judged.density];
    let rule = site.rule.densities.iter().find(|r| r.layer == test.layer)?;
    let percent = judged.percent.and_then(|id| book[id].value.decimal()).or(test.percent.as_ref().map(|p| p.value))?;
    let dense = percent >= rule.least.value && rule.most.as_ref().is_none_or(|most| percent <= most.value);
    let place = site.place(&Site::points(test));
    let (code, what) = if dense {
        let window = judged.window.map(|id| book[id].text()).unwrap_or_default();
        let ends = |n: &Option<RuleNumber>| n.as_ref().map_or("any".to_string(), |n| n.written.clone());
        let (low, high) = (ends(&rule.moisture.0), ends(&rule.moisture.1));
        (Code::MoistureOutside, format!("its moisture is {window} points off the optimum, allowed {low} to {high}"))
    } else {
        let most = rule.most.as_ref().map_or(String::new(), |m| format!(" to {}", m.written));
        (Code::DensityOutside, format!("{} % of the maximum, asked {}{most}", plain(percent), rule.least.written))
    };
    let message = format!(
        "{} density test {} at {place}: {what} ({}); no retest that names it passes",
        test.layer.word(),
        test.number.value,
        rule.least.clause
    );
    Some(Finding::new(
        code,
        row(test.number.at),
        message,
        "rework and test again, naming this test; the engineer decides",
    ))
}

fn check(site: &Site<'_>, book: &Book, judged: &DensityJudged) -> Option<Check> {
    let test = &site.inputs.records.densities[judged.density];
    let proof = match test.layer {
        Surface::Subgrade => Proof::SubgradeDensity,
        Surface::Base => Proof::BaseDensity,
        Surface::Top => return None,
    };
    let bad = matches!(judged.finds, Finds::Failed | Finds::Open);
    Some(Check {
        proof,
        number: test.number.value.to_string(),
        at: test.number.at,
        date: test.date.value,
        places: Site::points(test),
        finds: judged.finds,
        text: judged.percent.filter(|_| bad).map_or(String::new(), |id| format!("{} %", book[id].text())),
    })
}

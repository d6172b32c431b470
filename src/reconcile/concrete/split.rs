//! The difference between net and theoretical volume, split into causes that add up.
//!
//! ```text
//! net - plan = short by density                    N (1 - Ry)
//!            + base below design grade             A g
//!            + slab thicker than plan, else        A e - A g
//!            + wider than plan                     (L w - A) T
//!            + allowed for loss of air, settlement V a
//!            + not explained                       the rest, whatever it is
//! ```
//!
//! Each cause is measured on the ground of the line it stands in, section by section; what nobody measured there stays in the
//! rest. The rest is obtained by subtraction, so the split closes whatever is rounded. Common practice.

use std::collections::BTreeMap;

use super::amounts::Amounts;
use crate::contract::Contract;
use crate::figure::{Book, Expr, Figure, FigureId, root, sum, whole};
use crate::line::{slug, total};
use crate::reconcile::Ground;
use crate::reconcile::sample::{Of, Sample, sample};
use crate::units::conversions::{PERCENT_TO_RATIO, RATIO_TO_PERCENT};
use crate::units::{Rounding, System, Unit};

/// Where a part of the difference went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The tickets say more than came, by measured density.
    Batch,
    /// The surface under the slab lies below its design.
    Grade,
    /// The slab is thicker than designed, beyond what the surface under it explains.
    Slab,
    /// The slab is wider than designed.
    Width,
    /// What the contract allows for loss of air and settlement.
    Allowance,
    /// Nothing measured explains it.
    Unexplained,
}

impl Cause {
    /// All of them, in the order of the account.
    pub const ALL: [Self; 6] =
        [Cause::Batch, Cause::Grade, Cause::Slab, Cause::Width, Cause::Allowance, Cause::Unexplained];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Cause::Batch => "short by density",
            Cause::Grade => "low grade under the slab",
            Cause::Slab => "slab thicker than plan",
            Cause::Width => "wider than plan",
            Cause::Allowance => "allowed: loss of air, settlement",
            Cause::Unexplained => "not explained",
        }
    }

    /// In one word, for headings and keys.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Cause::Batch => "density",
            Cause::Grade => "grade",
            Cause::Slab => "slab",
            Cause::Width => "width",
            Cause::Allowance => "allowed",
            Cause::Unexplained => "unexplained",
        }
    }
}

/// A part of the difference; above zero where it explains concrete placed beyond the plan volume.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Cause.
    pub cause: Cause,
    /// Volume.
    pub volume: FigureId,
    /// In percent of the plan volume; of the whole contract only.
    pub percent: Option<FigureId>,
    /// As depth over the placed area; of the whole contract only.
    pub depth: Option<FigureId>,
    /// Its value; of the whole contract, and of what is not explained.
    pub money: Option<FigureId>,
}

/// What measurements say of the ground of a line of the account.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Evidence {
    /// How many.
    pub tests: usize,
    /// Their mean, and how far it may be off; where the ground is of one section.
    pub mean: Option<(FigureId, Option<FigureId>)>,
    /// The volume that makes over the ground.
    pub volume: FigureId,
    /// How far that may be off, nineteen times in twenty; `None` where some section has a single measurement.
    pub off: Option<FigureId>,
    /// Area on which nothing was measured; `None` where there is none such.
    pub untested: Option<FigureId>,
}

/// The difference of a line of the account, split.
#[derive(Clone, Debug, PartialEq)]
pub struct Split {
    /// Causes that were measured, and last what is not explained. Their volumes add up to the difference.
    pub parts: Vec<Part>,
    /// The whole difference in percent of the plan volume, to hundredths; of the whole contract only.
    pub percent: Option<FigureId>,
    /// The whole difference as depth; of the whole contract only.
    pub depth: Option<FigureId>,
    /// The value of the whole difference.
    pub money: Option<FigureId>,
    /// The price it is valued at.
    pub price: Option<Expr>,
    /// Thickness measured beyond the plan.
    pub slab: Option<Evidence>,
    /// Surface under the slab measured below design.
    pub grade: Option<Evidence>,
}

impl Split {
    /// A part.
    #[must_use]
    pub fn part(&self, cause: Cause) -> Option<&Part> {
        self.parts.iter().find(|part| part.cause == cause)
    }
}

/// What was measured, by the stretch it was measured on.
pub(super) type ByStretch = BTreeMap<usize, Vec<FigureId>>;

/// Everything measured.
pub(super) struct Measured {
    /// Thicker than designed.
    pub depths: ByStretch,
    /// Under the slab, below design.
    pub lows: ByStretch,
}

/// A line of the account to be split.
pub(super) struct Line<'l> {
    /// Head of its keys: `day-2031-07-01`.
    pub key: &'l str,
    pub name: &'l str,
    pub amounts: Amounts,
    /// Net less theoretical.
    pub over: FigureId,
    pub stretches: &'l [usize],
    pub price: Option<Expr>,
    /// True for the whole contract.
    pub full: bool,
}

/// Splits a line; `None` where nothing of it lies in a section, so that there is no plan volume.
pub(super) fn split(ground: Ground<'_>, book: &mut Book, measured: &Measured, line: &Line<'_>) -> Option<Split> {
    if book[line.amounts.theoretical].value.decimal().is_none_or(|v| v.is_zero()) {
        return None;
    }
    let mut splitter = Splitter { ground, book, line };
    let slab = splitter.evidence(&measured.depths, ("slab-measured", "slab thicker than designed", "e"));
    let grade = splitter.evidence(&measured.lows, ("grade", "surface under the slab below design", "g"));
    let mut causes: Vec<(Cause, FigureId)> = Vec::new();
    causes.extend(line.amounts.short.map(|short| (Cause::Batch, short)));
    causes.extend(grade.map(|grade| (Cause::Grade, grade.volume)));
    causes.extend(slab.map(|slab| (Cause::Slab, splitter.beyond_grade(slab, grade))));
    causes.extend(line.amounts.wide.map(|wide| (Cause::Width, wide)));
    causes.extend(splitter.allowance().map(|allowed| (Cause::Allowance, allowed)));
    causes.push((Cause::Unexplained, splitter.rest("unexplained", line.over, &causes)));
    let money = splitter.money("over", line.over);
    let (percent, depth) = if line.full { splitter.whole() } else { (None, None) };
    let parts = splitter.parts(&causes, percent, depth, money);
    Some(Split { parts, percent, depth, money, price: line.price.clone(), slab, grade })
}

struct Splitter<'a, 'b> {
    ground: Ground<'a>,
    book: &'b mut Book,
    line: &'b Line<'b>,
}

impl Splitter<'_, '_> {
    fn contract(&self) -> &Contract {
        self.ground.contract
    }

    fn figure(&self, word: &str, label: &str, symbol: &str, unit: Unit, expr: Expr) -> Figure {
        Figure::new(
            format!("yield.{}.{}", self.line.key, slug(word)),
            format!("{}, {label}", self.line.name),
            symbol,
            unit,
            expr,
        )
    }

    fn volume(&mut self, word: &str, label: &str, symbol: &str, expr: Expr) -> FigureId {
        let rounding = self.contract().roundings.volume;
        let figure = self.figure(word, label, symbol, self.contract().system.volume(), expr);
        self.book.add(figure.rounded(rounding))
    }

    /// Measurements on the ground of the line, section by section.
    fn evidence(&mut self, by: &ByStretch, words: (&str, &str, &str)) -> Option<Evidence> {
        let stretches = &self.ground.line.stretches;
        let mut sections: BTreeMap<usize, (Vec<usize>, Vec<Expr>)> = BTreeMap::new();
        for &s in self.line.stretches {
            let (ground, values) = sections.entry(stretches[s].section).or_default();
            ground.push(s);
            values.extend(by.get(&s).into_iter().flatten().map(|&id| Expr::from(id)));
        }
        let tests = sections.values().map(|(_, values)| values.len()).sum();
        if tests == 0 {
            return None;
        }
        let alone = sections.len() == 1;
        let bare: Vec<usize> = sections.values().filter(|(_, v)| v.is_empty()).flat_map(|(g, _)| g.clone()).collect();
        let mut measured: Vec<(FigureId, Sample)> = Vec::new();
        for (section, (ground, values)) in sections.iter().filter(|(_, (_, values))| !values.is_empty()) {
            let part =
                if alone { String::new() } else { format!(".{}", slug(&self.contract().sections[*section].name)) };
            let area = self.area(&part, ground, alone)?;
            measured.push((area, self.sample(&part, words, values)?));
        }
        let untested = if bare.is_empty() { None } else { self.area(&format!(".{}-untested", words.0), &bare, false) };
        let volume = self.over_areas(words, &measured);
        let off = self.off_over_areas(words, &measured);
        let mean = measured.first().filter(|_| alone).map(|(_, sample)| (sample.mean, sample.off));
        Some(Evidence { tests, mean, volume, off, untested })
    }

    /// Area of some stretches; the line's own where they are all of it.
    fn area(&mut self, part: &str, stretches: &[usize], alone: bool) -> Option<FigureId> {
        if alone && self.line.amounts.area.is_some() {
            return self.line.amounts.area;
        }
        let areas: Vec<FigureId> = stretches.iter().map(|&s| self.ground.line.stretches[s].area).collect();
        let (key, label) = (
            format!("yield.{}{part}.area", self.line.key),
            format!("{}, area{}", self.line.name, part.replace(['.', '-'], " ")),
        );
        if let Some(known) = self.book.by_key(&key) {
            return Some(known);
        }
        total(self.book, &key, &label, "A", &areas)
    }

    fn sample(&mut self, part: &str, (word, label, symbol): (&str, &str, &str), values: &[Expr]) -> Option<Sample> {
        let unit = self.contract().system.depth();
        let of = Of {
            key: &format!("yield.{}{part}.{word}", self.line.key),
            label: &format!("{}, {label}", self.line.name),
            symbol,
            unit,
            decimals: unit.decimals() + 1,
            clause: "",
        };
        sample(self.book, of, values)
    }

    fn over_areas(&mut self, (word, label, symbol): (&str, &str, &str), measured: &[(FigureId, Sample)]) -> FigureId {
        let to = self.contract().system.to_volume();
        let volumes: Vec<Expr> = measured.iter().map(|&(area, sample)| (area * sample.mean).to(to)).collect();
        self.volume(&format!("{word}-volume"), &format!("{label}, volume"), &format!("V_{symbol}"), added(volumes))
    }

    /// How far the volume may be off: of several sections, the root of the sum of squares.
    fn off_over_areas(
        &mut self,
        (word, label, _): (&str, &str, &str),
        measured: &[(FigureId, Sample)],
    ) -> Option<FigureId> {
        let to = self.contract().system.to_volume();
        let offs: Option<Vec<Expr>> =
            measured.iter().map(|&(area, sample)| Some((area * sample.off?).to(to))).collect();
        let expr = match offs?.as_slice() {
            [only] => only.clone(),
            many => root(sum(many.iter().map(|off| off.clone().power(whole(2))).collect::<Vec<_>>())),
        };
        Some(self.volume(
            &format!("{word}-volume-off"),
            &format!("{label}, how far the volume may be off"),
            "h_V",
            expr,
        ))
    }

    /// What the thickness explains beyond the surface under the slab.
    fn beyond_grade(&mut self, slab: Evidence, grade: Option<Evidence>) -> FigureId {
        match grade {
            Some(grade) => {
                self.volume("slab", "slab thicker than the low grade explains", "V_s", slab.volume - grade.volume)
            }
            None => slab.volume,
        }
    }

    fn allowance(&mut self) -> Option<FigureId> {
        let allowed = self.contract().yields.allowance.clone()?;
        let share = self.book.given(allowed.given("allowed for loss of air and settlement", "a"));
        let expr = self.line.amounts.theoretical * Expr::from(share).to(PERCENT_TO_RATIO);
        Some(self.volume("allowed", "allowed for loss of air and settlement", "V_a", expr))
    }

    /// What causes leave of a volume; all of it where there is none.
    fn rest(&mut self, word: &str, of: FigureId, causes: &[(Cause, FigureId)]) -> FigureId {
        if causes.is_empty() {
            return of;
        }
        let expr = causes.iter().fold(Expr::from(of), |rest, &(_, cause)| rest - cause);
        self.volume(word, "not explained", "V_?", expr)
    }

    fn money(&mut self, word: &str, volume: FigureId) -> Option<FigureId> {
        let price = self.line.price.as_ref()?;
        let label = format!("{}, value of {}", self.line.name, if word == "over" { "the difference" } else { word });
        let key = format!("yield.{}.{word}-value", self.line.key);
        Some(value(self.ground.contract, self.book, (&key, &label), volume, price))
    }

    /// The whole difference in percent and as depth.
    fn whole(&mut self) -> (Option<FigureId>, Option<FigureId>) {
        (Some(self.percent("over", self.line.over)), self.depth("over", self.line.over))
    }

    fn percent(&mut self, word: &str, volume: FigureId) -> FigureId {
        let expr = (volume / self.line.amounts.theoretical).to(RATIO_TO_PERCENT);
        let figure =
            self.figure(&format!("{word}-percent"), &format!("{word}, percent of plan"), "P", Unit::Percent, expr);
        self.book.add(figure.rounded(Rounding::to_decimals(2)))
    }

    fn depth(&mut self, word: &str, volume: FigureId) -> Option<FigureId> {
        let area = self.line.amounts.area?;
        let system = self.contract().system;
        let expr = (volume / area).to(system.to_depth());
        let figure = self.figure(&format!("{word}-depth"), &format!("{word}, as depth"), "t", system.depth(), expr);
        Some(self.book.add(figure.rounded(depth_rounding(system))))
    }

    /// The causes in every unit; in each, what is not explained is what the others leave.
    fn parts(
        &mut self,
        causes: &[(Cause, FigureId)],
        percent: Option<FigureId>,
        depth: Option<FigureId>,
        money: Option<FigureId>,
    ) -> Vec<Part> {
        let mut parts: Vec<Part> = Vec::with_capacity(causes.len());
        for &(cause, volume) in causes {
            let word = cause.word();
            let part = match (cause, self.line.full) {
                (Cause::Unexplained, true) => Part {
                    cause,
                    volume,
                    percent: self.left("unexplained-percent", percent, parts.iter().map(|p| p.percent).collect()),
                    depth: self.left("unexplained-depth", depth, parts.iter().map(|p| p.depth).collect()),
                    money: self.left("unexplained-value", money, parts.iter().map(|p| p.money).collect()),
                },
                (Cause::Unexplained, false) => {
                    Part { cause, volume, percent: None, depth: None, money: self.money(word, volume) }
                }
                (_, true) => Part {
                    cause,
                    volume,
                    percent: Some(self.percent(word, volume)),
                    depth: self.depth(word, volume),
                    money: self.money(word, volume),
                },
                (_, false) => Part { cause, volume, percent: None, depth: None, money: None },
            };
            parts.push(part);
        }
        parts
    }

    fn left(&mut self, word: &str, of: Option<FigureId>, causes: Vec<Option<FigureId>>) -> Option<FigureId> {
        let of = of?;
        let (unit, decimals) = (self.book[of].unit, self.book[of].decimals);
        let expr = causes.into_iter().flatten().fold(Expr::from(of), |rest, cause| rest - cause);
        let figure = self.figure(word, "not explained", "?", unit, expr);
        Some(self.book.add(figure.shown(decimals)))
    }
}

/// What a volume is worth.
pub(super) fn value(
    contract: &Contract,
    book: &mut Book,
    (key, label): (&str, &str),
    volume: FigureId,
    price: &Expr,
) -> FigureId {
    let figure = Figure::new(key, label, "M", Unit::Money, volume * price.clone());
    book.add(figure.rounded(contract.roundings.money))
}

/// Depths that make up a difference are small: hundredths of an inch, tenths of a millimetre.
pub(super) fn depth_rounding(system: System) -> Rounding {
    Rounding::to_decimals(if system == System::Si { 1 } else { 2 })
}

fn added(mut volumes: Vec<Expr>) -> Expr {
    match volumes.pop() {
        Some(only) if volumes.is_empty() => only,
        last => sum(volumes.into_iter().chain(last).collect::<Vec<_>>()),
    }
}

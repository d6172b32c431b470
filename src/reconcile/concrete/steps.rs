//! The account of the whole contract, read from top to bottom: from what was batched, by what did not go into the slab and by
//! what was measured, down to the plan volume.
//!
//! Every column closes exactly: its levels are sums of the steps between them.

use super::YieldLine;
use super::split::{Part, depth_rounding, value};
use crate::figure::{Book, Expr, Figure, FigureId, sum, whole};
use crate::line::slug;
use crate::reconcile::Ground;
use crate::units::conversions::RATIO_TO_PERCENT;
use crate::units::{Rounding, Unit};

/// A line of the account.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// In words.
    pub name: String,
    /// True where it is what is left so far; false where it is taken off (below zero) or added.
    pub level: bool,
    /// Volume.
    pub volume: FigureId,
    /// In percent of the plan volume.
    pub percent: FigureId,
    /// As depth over the placed area.
    pub depth: Option<FigureId>,
    /// Its value.
    pub money: Option<FigureId>,
}

/// The account of the whole contract; empty where it has no plan volume.
pub(super) fn steps(ground: Ground<'_>, book: &mut Book, whole: &YieldLine, loose: Option<FigureId>) -> Vec<Step> {
    let Some(split) = &whole.split else { return Vec::new() };
    let mut account = Account { ground, book, whole };
    let plan = account.plan();
    let causes: Vec<Step> = split.parts.iter().filter_map(|part| account.cause(part)).collect();
    let net = account.level("net by ticket, placed", whole.net, &plan, &causes);
    let losses = account.losses(loose);
    let Some(batched) = whole.batched else { return Vec::new() };
    let all = account.all(batched, loose);
    let batched = account.level("batched by ticket", all, &net, &losses);
    let mut steps = vec![batched];
    steps.extend(losses);
    steps.push(net);
    steps.extend(causes);
    steps.push(plan);
    steps
}

/// Plan volume and what the slab was measured thicker; `None` where it was not measured.
pub(super) fn as_built(ground: Ground<'_>, book: &mut Book, whole: &YieldLine) -> Option<FigureId> {
    let slab = whole.split.as_ref()?.slab?;
    let figure = Figure::new(
        "yield.contract.as-built",
        "whole contract, as-built volume",
        "V_b",
        ground.contract.system.volume(),
        whole.theoretical + slab.volume,
    );
    Some(book.add(figure.rounded(ground.contract.roundings.volume)))
}

struct Account<'a, 'b> {
    ground: Ground<'a>,
    book: &'b mut Book,
    whole: &'b YieldLine,
}

impl Account<'_, '_> {
    fn figure(name: &str, column: &str, unit: Unit, expr: Expr) -> Figure {
        Figure::new(format!("yield.account.{}.{column}", slug(name)), format!("{name}, {column}"), "S", unit, expr)
    }

    /// All tickets, those that fit no placement with them.
    fn all(&mut self, batched: FigureId, loose: Option<FigureId>) -> FigureId {
        let Some(loose) = loose else { return batched };
        let unit = self.ground.contract.system.volume();
        let figure = Self::figure("all tickets", "volume", unit, batched + loose);
        self.book.add(figure.rounded(self.ground.contract.roundings.volume))
    }

    /// The last line: what the plan needs.
    fn plan(&mut self) -> Step {
        let name = "plan volume of what was placed";
        let theoretical = self.whole.theoretical;
        let system = self.ground.contract.system;
        let hundred = Self::figure(name, "percent", Unit::Percent, whole(1).to(RATIO_TO_PERCENT));
        let percent = self.book.add(hundred.rounded(Rounding::to_decimals(2)));
        let area = self.book.by_key("yield.contract.area");
        let depth = area.map(|area| {
            let figure = Self::figure(name, "depth", system.depth(), (theoretical / area).to(system.to_depth()));
            self.book.add(figure.rounded(depth_rounding(system)))
        });
        let money = self.value(name, theoretical);
        Step { name: name.into(), level: true, volume: theoretical, percent, depth, money }
    }

    /// The value of a volume, at the price the split was valued with.
    fn value(&mut self, name: &str, volume: FigureId) -> Option<FigureId> {
        let price = self.whole.split.as_ref()?.price.as_ref()?;
        let names = (format!("yield.account.{}.value", slug(name)), format!("{name}, value"));
        Some(value(self.ground.contract, self.book, (&names.0, &names.1), volume, price))
    }

    /// A cause, taken off.
    fn cause(&mut self, part: &Part) -> Option<Step> {
        let name = part.cause.words();
        Some(Step {
            name: name.into(),
            level: false,
            volume: self.off(name, "volume", part.volume),
            percent: self.off(name, "percent", part.percent?),
            depth: part.depth.map(|depth| self.off(name, "depth", depth)),
            money: part.money.map(|money| self.off(name, "value", money)),
        })
    }

    fn off(&mut self, name: &str, column: &str, of: FigureId) -> FigureId {
        let (unit, decimals) = (self.book[of].unit, self.book[of].decimals);
        let figure = Self::figure(name, column, unit, whole(0) - of);
        self.book.add(figure.shown(decimals))
    }

    /// What did not go into the placements, taken off.
    fn losses(&mut self, loose: Option<FigureId>) -> Vec<Step> {
        let y = self.whole;
        let all = [
            ("on tickets that fit no placement", loose),
            ("rejected", y.rejected),
            ("returned to the plant", y.returned),
            ("wasted", y.wasted),
            ("washed out of drums", y.washed),
            ("used elsewhere", y.elsewhere),
        ];
        all.into_iter().filter_map(|(name, volume)| Some(self.loss(name, volume?))).collect()
    }

    fn loss(&mut self, name: &str, volume: FigureId) -> Step {
        let system = self.ground.contract.system;
        let off = self.off(name, "volume", volume);
        let percent = (off / self.whole.theoretical).to(RATIO_TO_PERCENT);
        let percent = Self::figure(name, "percent", Unit::Percent, percent).rounded(Rounding::to_decimals(2));
        let percent = self.book.add(percent);
        let depth = self.book.by_key("yield.contract.area").map(|area| {
            let figure = Self::figure(name, "depth", system.depth(), (off / area).to(system.to_depth()));
            self.book.add(figure.rounded(depth_rounding(system)))
        });
        let money = self.value(name, off);
        Step { name: name.into(), level: false, volume: off, percent, depth, money }
    }

    /// What stood before some steps were taken off: the level below them less the steps.
    fn level(&mut self, name: &str, volume: FigureId, below: &Step, steps: &[Step]) -> Step {
        let mut column = |word: &str, pick: fn(&Step) -> Option<FigureId>| {
            let base = pick(below)?;
            let parts: Vec<FigureId> = steps.iter().filter_map(pick).collect();
            let (unit, decimals) = (self.book[base].unit, self.book[base].decimals);
            let expr = if parts.is_empty() { Expr::from(base) } else { base - sum(parts) };
            let figure =
                Figure::new(format!("yield.account.{}.{word}", slug(name)), format!("{name}, {word}"), "S", unit, expr);
            Some(self.book.add(figure.shown(decimals)))
        };
        let percent = column("percent", |s| Some(s.percent)).unwrap_or(volume);
        let (depth, money) = (column("depth", |s| s.depth), column("value", |s| s.money));
        Step { name: name.into(), level: true, volume, percent, depth, money }
    }
}

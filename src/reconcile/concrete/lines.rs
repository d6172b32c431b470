//! Lines of the account: amounts added up, compared with theory, and the difference split.
//!
//! Percent over and equivalent depth are rounded half up to the decimals their unit is shown with: 0.1 percent, 0.01 in,
//! 1 mm (common practice).

use super::YieldLine;
use super::amounts::Amounts;
use super::split::{self, Measured, split};
use crate::contract::Entered;
use crate::figure::{Book, Expr, Figure, FigureId, GivenId, sum};
use crate::line::total;
use crate::reconcile::Ground;
use crate::units::conversions::RATIO_TO_PERCENT;
use crate::units::{Rounding, Unit};

/// What one line of the account is made of: placements or shares of them, and the price of their mix.
#[derive(Clone, Copy)]
pub(super) struct Piece<'c> {
    pub amounts: Amounts,
    pub price: Option<&'c Entered>,
}

/// Writes lines into a book.
pub(super) struct Lines<'a> {
    pub ground: Ground<'a>,
    pub book: &'a mut Book,
    pub measured: &'a Measured,
}

impl<'a> Lines<'a> {
    /// Many pieces as one line; `None` of nothing. `full` for the whole contract.
    pub(super) fn sum(
        &mut self,
        (key, name): (&str, &str),
        many: &[Piece<'a>],
        stretches: &[usize],
        full: bool,
    ) -> Option<YieldLine> {
        let mut add = |word: &str, symbol: &str, pick: fn(&Amounts) -> Option<FigureId>| {
            let parts: Vec<FigureId> = many.iter().filter_map(|p| pick(&p.amounts)).collect();
            let key = format!("yield.{key}.{}", crate::line::slug(word));
            total(self.book, &key, &format!("{name}, {word}"), symbol, &parts)
        };
        let amounts = Amounts {
            theoretical: add("theoretical", "V", |a| Some(a.theoretical))?,
            batched: add("batched", "B", |a| a.batched),
            rejected: add("rejected", "R", |a| a.rejected),
            wasted: add("wasted", "W", |a| a.wasted),
            returned: add("returned", "U", |a| a.returned),
            washed: add("washed out", "H", |a| a.washed),
            elsewhere: add("used elsewhere", "E", |a| a.elsewhere),
            net: add("net", "N", |a| Some(a.net))?,
            short: add("short by density", "Y", |a| a.short),
            wide: add("beyond plan width", "X", |a| a.wide),
            area: add("area", "A", |a| a.area),
        };
        let price = self.price((key, name), many);
        Some(self.line((key, name), amounts, price, stretches, full))
    }

    /// Amounts compared with theory.
    pub(super) fn line(
        &mut self,
        (key, name): (&str, &str),
        amounts: Amounts,
        price: Option<Expr>,
        stretches: &[usize],
        full: bool,
    ) -> YieldLine {
        let (contract, system) = (self.ground.contract, self.ground.contract.system);
        let Amounts { theoretical, net, area, .. } = amounts;
        let over = Figure::new(
            format!("yield.{key}.over"),
            format!("{name}, net over theoretical"),
            "D",
            system.volume(),
            net - theoretical,
        );
        let over = self.book.add(over.rounded(contract.roundings.volume));
        let percent = Figure::new(
            format!("yield.{key}.percent"),
            format!("{name}, percent over theoretical"),
            "P",
            Unit::Percent,
            (over / theoretical).to(RATIO_TO_PERCENT),
        );
        let percent = self.add(percent);
        let depth = area.map(|area| {
            let depth = Figure::new(
                format!("yield.{key}.depth"),
                format!("{name}, depth the net volume makes over the area"),
                "t",
                system.depth(),
                (net / area).to(system.to_depth()),
            );
            self.add(depth)
        });
        let line = split::Line { key, name, amounts, over, stretches, price, full };
        let split = split(self.ground, self.book, self.measured, &line);
        YieldLine::of(name, amounts, (over, percent, depth), split)
    }

    /// The price of concrete in a line: that of its mix; of several prices, their mean by net volume. `None` where any has none.
    fn price(&mut self, (key, name): (&str, &str), many: &[Piece<'a>]) -> Option<Expr> {
        let mut by_price: Vec<(GivenId, Vec<FigureId>)> = Vec::new();
        for piece in many {
            let price = given(self.book, piece.price?);
            match by_price.iter_mut().find(|(known, _)| *known == price) {
                Some((_, nets)) => nets.push(piece.amounts.net),
                None => by_price.push((price, vec![piece.amounts.net])),
            }
        }
        if let [(only, _)] = by_price.as_slice() {
            return Some((*only).into());
        }
        let mut terms: Vec<(Expr, Expr)> = Vec::new();
        for (i, (price, nets)) in (1..).zip(&by_price) {
            let (key, label) = (format!("yield.{key}.net-at-{i}"), format!("{name}, net at price {i}"));
            let net = total(self.book, &key, &label, "N", nets)?;
            terms.push((net.into(), (*price).into()));
        }
        let value = sum(terms.iter().map(|(net, price)| net.clone() * price.clone()).collect::<Vec<_>>());
        let net = sum(terms.into_iter().map(|(net, _)| net).collect::<Vec<_>>());
        let unit = self.ground.contract.system.volume().price()?;
        let figure = Figure::new(
            format!("yield.{key}.price"),
            format!("{name}, mean price of its concrete"),
            "p",
            unit,
            value / net,
        );
        Some(self.book.add(figure.shown(4)).into())
    }

    fn add(&mut self, figure: Figure) -> FigureId {
        let rounding = Rounding::to_decimals(figure.unit.decimals());
        self.book.add(figure.rounded(rounding))
    }
}

/// A price as a given value.
pub(super) fn given(book: &mut Book, price: &Entered) -> GivenId {
    book.given(price.given(format!("price of concrete, {}", price.key), "p"))
}

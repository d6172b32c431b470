//! Lines of the account: amounts added up and compared with theory.
//!
//! Percent over and equivalent depth are rounded half up to the decimals their unit is shown with: 0.1 percent, 0.01 in,
//! 1 mm (common practice).

use super::YieldLine;
use super::amounts::Amounts;
use crate::contract::Contract;
use crate::figure::{Book, Figure, FigureId};
use crate::line::total;
use crate::units::conversions::RATIO_TO_PERCENT;
use crate::units::{Rounding, Unit};

/// Writes lines into a book.
pub(super) struct Lines<'a> {
    pub contract: &'a Contract,
    pub book: &'a mut Book,
}

impl Lines<'_> {
    /// Many amounts as one line; `None` of nothing.
    pub(super) fn sum(&mut self, key: &str, name: &str, many: &[Amounts]) -> Option<YieldLine> {
        let mut add = |word: &str, symbol: &str, pick: fn(&Amounts) -> Option<FigureId>| {
            let parts: Vec<FigureId> = many.iter().filter_map(pick).collect();
            total(self.book, &format!("yield.{key}.{word}"), &format!("{name}, {word}"), symbol, &parts)
        };
        let amounts = Amounts {
            theoretical: add("theoretical", "V", |a| Some(a.theoretical))?,
            batched: add("batched", "B", |a| a.batched),
            rejected: add("rejected", "R", |a| a.rejected),
            wasted: add("wasted", "W", |a| a.wasted),
            returned: add("returned", "U", |a| a.returned),
            net: add("net", "N", |a| Some(a.net))?,
            area: add("area", "A", |a| a.area),
        };
        Some(self.line(key, name, amounts))
    }

    /// Amounts compared with theory.
    pub(super) fn line(&mut self, key: &str, name: &str, amounts: Amounts) -> YieldLine {
        let system = self.contract.system;
        let Amounts { theoretical, batched, rejected, wasted, returned, net, area } = amounts;
        let over = Figure::new(
            format!("yield.{key}.over"),
            format!("{name}, net over theoretical"),
            "D",
            system.volume(),
            net - theoretical,
        );
        let over = self.book.add(over.rounded(self.contract.roundings.volume));
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
        YieldLine {
            name: name.into(),
            date: None,
            placement: None,
            theoretical,
            batched,
            rejected,
            wasted,
            returned,
            net,
            over,
            percent,
            depth,
        }
    }

    fn add(&mut self, figure: Figure) -> FigureId {
        let rounding = Rounding::to_decimals(figure.unit.decimals());
        self.book.add(figure.rounded(rounding))
    }
}

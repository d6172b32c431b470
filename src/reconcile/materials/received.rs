//! What was received of a material: quantities, what was wasted or taken back, and for what was weighed moist its dry mass.
//!
//! A delivery without a moisture, where others have one, counts as it was weighed; how many there are is said.

use std::ops::Range;

use super::MaterialDay;
use crate::figure::{Book, Expr, Figure, FigureId, Statistic, Total, sum, whole};
use crate::intake::Delivered;
use crate::line::slug;
use crate::reconcile::Ground;
use crate::units::Unit;
use crate::units::conversions::PERCENT_TO_RATIO;

/// What was received.
#[derive(Debug)]
pub(super) struct Received {
    pub all: FigureId,
    pub wasted: Option<FigureId>,
    /// Water in what was weighed moist.
    pub moisture: Option<FigureId>,
    /// Received less both.
    pub used: FigureId,
    pub days: Vec<MaterialDay>,
    /// The deliveries of each day.
    pub rows: Vec<Range<usize>>,
    pub without_moisture: usize,
}

/// What was received of a material; `None` where nothing was.
pub(super) fn received(ground: Ground<'_>, book: &mut Book, (material, key): (usize, &str)) -> Option<Received> {
    let all = &ground.records.delivered;
    let first = all.partition_point(|d| d.material.value < material);
    let after = all.partition_point(|d| d.material.value <= material);
    let own = all.get(first..after).filter(|own| !own.is_empty())?;
    let moist = own.iter().any(|d| d.moisture.is_some());
    let of = &ground.contract.materials[material];
    let mut desk = Desk { ground, book, key, name: &of.name, unit: of.unit };
    let received = desk.total((first, after), "received", "Q", false)?;
    let wasted =
        own.iter().any(|d| d.wasted.is_some()).then(|| desk.total((first, after), "wasted", "W", true)).flatten();
    let net = |desk: &mut Desk<'_, '_>, received: FigureId, wasted: Option<FigureId>, word: &str| {
        let expr = wasted.map_or_else(|| Expr::from(received), |wasted| received - wasted);
        desk.add(word, "N", expr)
    };
    let (mut days, mut rows) = (Vec::new(), Vec::new());
    let mut from = first;
    while let Some(day) = all.get(from).filter(|_| from < after).map(|d| d.date.value) {
        let to = from + all.get(from..after)?.iter().take_while(|d| d.date.value == day).count();
        let on_day = desk.total((from, to), &format!("received on {day}"), "Q", false)?;
        let used = if moist {
            let dry: Vec<Expr> = (from..to).map(|i| desk.dry(i).into()).collect();
            desk.sum(&format!("used on {day}"), "N", dry)
        } else {
            let any = all.get(from..to)?.iter().any(|d| d.wasted.is_some());
            let wasted = any.then(|| desk.total((from, to), &format!("wasted on {day}"), "W", true)).flatten();
            net(&mut desk, on_day, wasted, &format!("used on {day}"))
        };
        days.push(MaterialDay { date: day, deliveries: to - from, received: on_day, used, needed: None });
        rows.push(from..to);
        from = to;
    }
    let used = desk.sum("used", "N", days.iter().map(|day| day.used.into()).collect());
    let moisture = moist.then(|| {
        let kept = wasted.map_or_else(|| Expr::from(received), |wasted| received - wasted);
        desk.add("moisture", "m", kept - used)
    });
    let without_moisture = if moist { own.iter().filter(|d| d.moisture.is_none()).count() } else { 0 };
    Some(Received { all: received, wasted, moisture, used, days, rows, without_moisture })
}

struct Desk<'a, 'b> {
    ground: Ground<'a>,
    book: &'b mut Book,
    key: &'b str,
    name: &'b str,
    unit: Unit,
}

impl Desk<'_, '_> {
    fn figure(&self, word: &str, symbol: &str, expr: impl Into<Expr>) -> Figure {
        let figure = Figure::new(
            format!("{}.{}", self.key, slug(word)),
            format!("{}, {word}", self.name),
            symbol,
            self.unit,
            expr,
        );
        figure.shown(self.decimals())
    }

    /// As many decimals as tickets of the unit are written with, and those of dry masses.
    fn decimals(&self) -> u8 {
        self.unit.decimals().max(if self.unit == Unit::Each { 0 } else { 2 })
    }

    fn add(&mut self, word: &str, symbol: &str, expr: Expr) -> FigureId {
        let figure = self.figure(word, symbol, expr);
        self.book.add(figure)
    }

    fn sum(&mut self, word: &str, symbol: &str, parts: Vec<Expr>) -> FigureId {
        let figure = self.figure(word, symbol, whole(0));
        self.book.add_sum(figure, parts)
    }

    /// A total over a run of deliveries.
    fn total(&mut self, rows: (usize, usize), word: &str, symbol: &str, wasted: bool) -> Option<FigureId> {
        let (quantity, waste) = self.ground.line.ledger.delivered_columns(self.book, self.unit)?;
        let total = Total {
            of: Statistic::Sum,
            table: self.ground.line.ledger.delivered,
            column: if wasted { waste } else { quantity },
            rows: (u32::try_from(rows.0).ok()?, u32::try_from(rows.1).ok()?),
            only: None,
        };
        let figure = self.figure(word, symbol, total);
        Some(self.book.add(figure))
    }

    /// What a delivery weighs dry, less what was wasted of it.
    fn dry(&mut self, i: usize) -> FigureId {
        let delivery: &Delivered = &self.ground.records.delivered[i];
        let ledger = &self.ground.line.ledger;
        let (quantity, waste) = ledger.delivered_columns(self.book, self.unit).unwrap_or_default();
        let mut expr = Expr::from(ledger.delivered_cell(i, quantity));
        if delivery.wasted.is_some() {
            expr = expr - ledger.delivered_cell(i, waste);
        }
        if delivery.moisture.is_some() {
            let moisture = Expr::from(ledger.delivered_moisture(i)).to(PERCENT_TO_RATIO);
            expr = expr / (whole(1) + moisture);
        }
        let name = delivery.ticket.as_ref().map_or_else(|| format!("row {}", i + 1), |t| format!("ticket {}", t.value));
        let figure = self.figure(&format!("{name}, dry"), "q", sum([expr]));
        let to = crate::units::Rounding::to_decimals(self.decimals());
        self.book.add(figure.rounded(to))
    }
}

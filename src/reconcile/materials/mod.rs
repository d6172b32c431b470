//! What was needed of each material besides concrete, what was received, and where the difference went: the same account for
//! base, curing compound, baskets, bars and sealant.
//!
//! ```text
//! received - wasted - moisture = used          moisture by delivery: dry = moist / (1 + w)
//! used - needed = difference                   what nothing explains
//! ```
//!
//! Needed is reckoned from the ground that the deliveries say they went to, where each of them says it, else from the pavement
//! that is placed. Common practice; the limits are the contract's.

mod ground;
mod need;
mod received;
#[cfg(test)]
mod tests;
mod warnings;

use std::ops::Range;

use chrono::NaiveDate;

use crate::contract::{Contract, Material, Need as Needs};
use crate::figure::{Book, Expr, Figure, FigureId, whole};
use crate::finding::Finding;
use crate::intake::Records;
use crate::line::{Line, slug};
use crate::reconcile::Ground;
use crate::units::conversions::RATIO_TO_PERCENT;
use crate::units::{Rounding, Unit};

use ground::Covered;
use received::Received;

/// What came on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MaterialDay {
    /// Day.
    pub date: NaiveDate,
    /// Deliveries.
    pub deliveries: usize,
    /// Received.
    pub received: FigureId,
    /// Used: less what was wasted, dry.
    pub used: FigureId,
    /// What the ground of the day's deliveries needs, and how much more was used in percent of it; where all of them say their
    /// ground, no other day has any of it, and it is needed by volume or area.
    pub needed: Option<(FigureId, FigureId)>,
}

/// A line of the account, signed: what is taken off stands below zero.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MaterialStep {
    /// In words.
    pub name: &'static str,
    /// True where it is what is left so far.
    pub level: bool,
    /// Quantity, in the material's unit.
    pub quantity: FigureId,
    /// In percent of what is needed.
    pub percent: Option<FigureId>,
    /// Its value.
    pub money: Option<FigureId>,
}

/// The account of one material.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialAccount {
    /// Material, by place in the contract.
    pub material: usize,
    /// From received to needed, read from top to bottom; empty where nothing was received.
    pub steps: Vec<MaterialStep>,
    /// Received; `None` where nothing was.
    pub received: Option<FigureId>,
    /// Used; `None` where nothing was received.
    pub used: Option<FigureId>,
    /// Needed; `None` where no ground needs it yet.
    pub needed: Option<FigureId>,
    /// Used less needed.
    pub difference: Option<FigureId>,
    /// The same in percent of what is needed.
    pub percent: Option<FigureId>,
    /// Its value.
    pub money: Option<FigureId>,
    /// How far it went, of what is needed by area.
    pub rate: Option<FigureId>,
    /// By day.
    pub days: Vec<MaterialDay>,
    /// True where the ground is what the deliveries say; false where it is the pavement placed.
    pub by_deliveries: bool,
    /// Deliveries without a moisture, where others have one.
    pub without_moisture: usize,
    /// Deliveries that do not say their ground, where others do.
    pub without_ground: usize,
}

/// The accounts of all materials of the contract, with their figures in the book.
pub fn materials(
    contract: &Contract,
    records: &Records,
    line: &Line,
    book: &mut Book,
) -> (Vec<MaterialAccount>, Vec<Finding>) {
    let ground = Ground { contract, records, line };
    let accounts: Vec<MaterialAccount> =
        (0..contract.materials.len()).map(|material| account(ground, book, material)).collect();
    let findings = accounts.iter().flat_map(|account| warnings::warnings(ground, book, account)).collect();
    (accounts, findings)
}

fn account(ground: Ground<'_>, book: &mut Book, material: usize) -> MaterialAccount {
    let of = &ground.contract.materials[material];
    let key = format!("material-{}", slug(&of.name));
    let received = received::received(ground, book, (material, &key));
    let delivered: Vec<Range<usize>> = received.as_ref().map(|r| r.rows.clone()).unwrap_or_default();
    let covered = ground::covered(ground, book, (material, &key), &delivered);
    let need = need::needed(ground, book, (of, &key), &covered);
    let mut account = MaterialAccount {
        material,
        steps: Vec::new(),
        received: received.as_ref().map(|r| r.all),
        used: received.as_ref().map(|r| r.used),
        needed: need.as_ref().map(|need| need.quantity),
        difference: None,
        percent: None,
        money: None,
        rate: None,
        days: received.as_ref().map(|r| r.days.clone()).unwrap_or_default(),
        by_deliveries: matches!(covered, Covered::Deliveries(_)),
        without_moisture: received.as_ref().map_or(0, |r| r.without_moisture),
        without_ground: ground::silent_among_others(ground, material, &delivered),
    };
    if matches!(of.need, Needs::Volume { .. } | Needs::Area { .. }) {
        by_day(ground, book, (of, &key), (&delivered, &mut account.days));
    }
    if let (Some(received), Some(need)) = (received, need) {
        Compared { ground, book, account: &mut account, key: &key }.compare(&received, need);
    }
    account
}

/// What each day's ground needs.
fn by_day(
    ground: Ground<'_>,
    book: &mut Book,
    (of, key): (&Material, &str),
    (delivered, days): (&[Range<usize>], &mut [MaterialDay]),
) {
    let dates: Vec<NaiveDate> = days.iter().map(|day| day.date).collect();
    let key = |day: usize| format!("{key}.on-{}", dates[day]);
    let covered = ground::covered_by_day(ground, book, delivered, key);
    for (i, (day, covered)) in days.iter_mut().zip(covered).enumerate() {
        let key = key(i);
        let Some(need) = need::needed(ground, book, (of, &key), &covered) else { continue };
        let label = format!("{}, used beyond need on {}, percent", of.name, day.date);
        let expr = ((day.used - need.quantity) / need.quantity).to(RATIO_TO_PERCENT);
        let figure = Figure::new(format!("{key}.percent"), label, "P", Unit::Percent, expr);
        day.needed = Some((need.quantity, book.add(figure.rounded(Rounding::to_decimals(1)))));
    }
}

struct Compared<'a, 'b> {
    ground: Ground<'a>,
    book: &'b mut Book,
    account: &'b mut MaterialAccount,
    key: &'b str,
}

impl Compared<'_, '_> {
    fn figure(&self, word: &str, symbol: &str, unit: Unit, expr: impl Into<Expr>) -> Figure {
        let name = &self.ground.contract.materials[self.account.material].name;
        Figure::new(format!("{}.{}", self.key, slug(word)), format!("{name}, {word}"), symbol, unit, expr)
    }

    fn compare(&mut self, received: &Received, need: need::Need) {
        let needed = need.quantity;
        let (unit, decimals) =
            (self.book[needed].unit, self.book[needed].decimals.max(self.book[received.used].decimals));
        let difference = self.figure("used beyond need", "D", unit, received.used - needed).shown(decimals);
        let difference = self.book.add(difference);
        self.account.difference = Some(difference);
        self.account.percent = Some(self.percent("used beyond need", difference, needed));
        self.account.money = self.money("used beyond need", difference);
        let some = self.book[received.used].value.decimal().is_some_and(|used| !used.is_zero());
        self.account.rate = need.area.filter(|_| some).map(|area| {
            let system = self.ground.contract.system;
            let rate = (area / received.used).to(system.to_coverage());
            let figure = self.figure("rate", "r", system.coverage(), rate);
            let decimals = system.coverage().decimals();
            self.book.add(figure.rounded(Rounding::to_decimals(decimals)))
        });
        self.account.steps = self.steps(received, needed, difference);
    }

    fn percent(&mut self, word: &str, of: FigureId, needed: FigureId) -> FigureId {
        let expr = (of / needed).to(RATIO_TO_PERCENT);
        let figure = self.figure(&format!("{word}, percent"), "P", Unit::Percent, expr);
        self.book.add(figure.rounded(Rounding::to_decimals(2)))
    }

    fn money(&mut self, word: &str, of: FigureId) -> Option<FigureId> {
        let material = &self.ground.contract.materials[self.account.material];
        let price = material.price.as_ref()?.given(format!("price of {}", material.name), "p");
        let price = self.book.given(price);
        let figure = self.figure(&format!("{word}, value"), "M", Unit::Money, of * price);
        Some(self.book.add(figure.rounded(self.ground.contract.roundings.money)))
    }

    /// The account from top to bottom. Levels of percent and value are sums of the steps below them, so that each column closes.
    fn steps(&mut self, received: &Received, needed: FigureId, difference: FigureId) -> Vec<MaterialStep> {
        let hundred = self.figure("needed, percent", "P", Unit::Percent, whole(1).to(RATIO_TO_PERCENT));
        let percent = Some(self.book.add(hundred.rounded(Rounding::to_decimals(2))));
        let money = self.money("needed", needed);
        let need = MaterialStep { name: "needed", level: true, quantity: needed, percent, money };
        let rest = self.off("not explained", difference, needed);
        let used = self.above("used", received.used, &need, std::slice::from_ref(&rest));
        let losses: Vec<MaterialStep> = [("wasted or taken back", received.wasted), ("moisture", received.moisture)]
            .into_iter()
            .filter_map(|(name, of)| Some(self.off(name, of?, needed)))
            .collect();
        let all = self.above("received", received.all, &used, &losses);
        let mut steps = vec![all];
        steps.extend(losses);
        if steps.len() > 1 {
            steps.push(used);
        }
        steps.extend([rest, need]);
        steps
    }

    /// A step that is taken off.
    fn off(&mut self, name: &'static str, of: FigureId, needed: FigureId) -> MaterialStep {
        let (unit, decimals) = (self.book[of].unit, self.book[of].decimals);
        let figure = self.figure(&format!("{name}, taken off"), "S", unit, whole(0) - of).shown(decimals);
        let quantity = self.book.add(figure);
        let percent = Some(self.percent(&format!("{name}, taken off"), quantity, needed));
        let money = self.money(&format!("{name}, taken off"), quantity);
        MaterialStep { name, level: false, quantity, percent, money }
    }

    /// What stood above some steps.
    fn above(
        &mut self,
        name: &'static str,
        quantity: FigureId,
        below: &MaterialStep,
        steps: &[MaterialStep],
    ) -> MaterialStep {
        let mut column = |word: &str, pick: fn(&MaterialStep) -> Option<FigureId>| {
            let base = pick(below)?;
            let (unit, decimals) = (self.book[base].unit, self.book[base].decimals);
            let expr = steps.iter().filter_map(pick).fold(Expr::from(base), |sum, step| sum - step);
            let figure = self.figure(&format!("{name}, {word}"), "S", unit, expr).shown(decimals);
            Some(self.book.add(figure))
        };
        let percent = column("percent", |step| step.percent);
        let money = column("value", |step| step.money);
        MaterialStep { name, level: true, quantity, percent, money }
    }
}

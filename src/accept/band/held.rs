//! A result held against its limits: the deviation on its side, and what that side's table pays.

use rust_decimal::Decimal;

use super::{Bench, what};
use crate::accept::measure::Entering;
use crate::accept::price::priced;
use crate::accept::{Effect, Verdict};
use crate::contract::{Contract, Entered};
use crate::figure::{Book, Expr, Figure, FigureId, Given, max, whole};
use crate::line::slug;
use crate::rules::{BandLimits, BandRule, Gives, Pay, Property, RuleNumber, RuleSet};
use crate::units::{Unit, conversions};

/// A limit.
#[derive(Clone, Debug)]
pub(super) struct Limit {
    pub(super) figure: FigureId,
    value: Decimal,
    /// `5 percent (contract.toml, line 101)`.
    pub(super) said: String,
}

/// A side of the band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Below,
    Above,
}

impl Side {
    pub(super) fn words(self) -> &'static str {
        match self {
            Side::Below => "below the lowest",
            Side::Above => "above the highest",
        }
    }

    /// What is paid on it.
    pub(super) fn table(self, rule: &BandRule) -> Option<&Pay> {
        match self {
            Side::Below => rule.below.as_ref(),
            Side::Above => rule.above.as_ref(),
        }
    }
}

/// The limits that a rule judges by; a side that is open, or for which the contract states none, has none.
#[derive(Clone, Debug)]
pub(super) struct Limits {
    pub(super) lowest: Option<Limit>,
    pub(super) highest: Option<Limit>,
}

/// A result as held.
#[derive(Clone, Debug)]
pub(super) struct Held {
    pub(super) result: FigureId,
    pub(super) deviation: FigureId,
    /// What is paid; `None` within the limits of a rule that deducts money.
    pub(super) pay: Option<FigureId>,
    pub(super) effect: Option<Effect>,
    pub(super) verdict: Verdict,
    /// Which limit it lies beyond.
    pub(super) beyond: Option<(Side, Limit)>,
    /// The word beside the step.
    pub(super) note: String,
}

impl Held {
    /// The least pay first, and of equals the one that is left to a decision.
    pub(super) fn rank(&self, book: &Book) -> (Decimal, bool) {
        let pay = self.pay.and_then(|pay| book[pay].value.decimal());
        (pay.unwrap_or(Decimal::ZERO), self.verdict != Verdict::Undecided)
    }
}

impl Limits {
    pub(super) fn of(contract: &Contract, (set, rule): (&RuleSet, &BandRule), book: &mut Book) -> Self {
        let mut maker = Maker { set, book };
        let (lowest, highest) = match &rule.limits {
            BandLimits::Contract => {
                let (lowest, highest) = stated(contract, set.property);
                (maker.of_contract("lowest", lowest), maker.of_contract("highest", highest))
            }
            BandLimits::Own { lowest, highest } => {
                (maker.of_rule("lowest", lowest.as_ref()), maker.of_rule("highest", highest.as_ref()))
            }
        };
        Self { lowest: lowest.filter(|_| rule.below.is_some()), highest: highest.filter(|_| rule.above.is_some()) }
    }

    pub(super) fn figures(&self) -> (Option<FigureId>, Option<FigureId>) {
        let figure = |limit: &Option<Limit>| limit.as_ref().map(|limit| limit.figure);
        (figure(&self.lowest), figure(&self.highest))
    }
}

/// The limits that the contract states for a property.
fn stated(contract: &Contract, property: Property) -> (Option<&Entered>, Option<&Entered>) {
    let fresh = &contract.fresh;
    let (lowest, highest) = match property {
        Property::Slump => &fresh.slump,
        Property::WaterCement => &fresh.water_cement,
        _ => &fresh.air,
    };
    (lowest.as_ref(), highest.as_ref())
}

struct Maker<'m> {
    set: &'m RuleSet,
    book: &'m mut Book,
}

impl Maker<'_> {
    fn label(&self, which: &str) -> String {
        format!("{}, {which}", what(self.set.property))
    }

    fn of_contract(&mut self, which: &str, limit: Option<&Entered>) -> Option<Limit> {
        let limit = limit?;
        let given = limit.given(self.label(which), symbol(which));
        let said = format!("{} (contract.toml, line {})", limit.written, limit.line);
        Some(self.limit(which, given, said))
    }

    fn of_rule(&mut self, which: &str, limit: Option<&RuleNumber>) -> Option<Limit> {
        let limit = limit?;
        let given = limit.given(self.label(which), symbol(which));
        Some(self.limit(which, given, format!("{} ({})", limit.written, limit.clause)))
    }

    fn limit(&mut self, which: &str, given: Given, said: String) -> Limit {
        let (value, unit, label) = (given.value, given.unit, given.label.clone());
        let given = self.book.given(given);
        let key = format!("fresh.{}.{which}", slug(self.set.property.word()));
        let decimals = u8::try_from(value.normalize().scale()).unwrap_or(u8::MAX);
        let figure = self.book.add(Figure::new(key, label, symbol(which), unit, given).shown(decimals));
        Limit { figure, value, said }
    }
}

fn symbol(which: &str) -> &'static str {
    if which == "lowest" { "L" } else { "U" }
}

impl Bench<'_> {
    /// Unit of the property's results.
    fn unit(&self) -> Unit {
        match self.set.property {
            Property::Slump => self.ground.contract.system.depth(),
            Property::WaterCement => Unit::One,
            _ => Unit::Percent,
        }
    }

    /// A result, rounded where the rule rounds before comparing.
    pub(super) fn compared(&mut self, key: &str, label: &str, expr: Expr) -> FigureId {
        let figure = Figure::new(format!("{key}.result"), label, "r", self.unit(), expr);
        self.book.add(self.set.compared(figure, self.rule.test).under(&self.set.citation))
    }

    /// A result held against the limits, and what its side pays.
    pub(super) fn hold(&mut self, key: &str, result: FigureId) -> Held {
        let rule = self.rule;
        let value = self.book[result].value.decimal().unwrap_or_default();
        let below = self.limits.lowest.clone().filter(|limit| value < limit.value);
        let above = self.limits.highest.clone().filter(|limit| value > limit.value);
        let deviation = self.deviation(key, result);
        let (side, limit) = match (below, above) {
            (Some(limit), _) => (Side::Below, limit),
            (None, Some(limit)) => (Side::Above, limit),
            (None, None) => return self.within(key, result, deviation),
        };
        let beyond = (side, limit);
        let priced = side.table(rule).and_then(|table| {
            // The rule's tables are entered with the deviation only, so no number of tests is looked up.
            let entering = Entering { entered: deviation, tests: deviation, ratio: None, steps: vec![deviation] };
            priced(self.book, self.set, table, key, &entering)
        });
        match priced {
            Some(priced) => Held {
                result,
                deviation,
                pay: Some(priced.pay),
                effect: Some(priced.effect),
                verdict: priced.verdict,
                beyond: Some(beyond),
                note: priced.note,
            },
            None => Held { beyond: Some(beyond), ..self.within(key, result, deviation) },
        }
    }

    /// d = larger of 0, L - r and r - U, over the sides that are judged.
    pub(super) fn deviation(&mut self, key: &str, result: FigureId) -> FigureId {
        let short = self.limits.lowest.as_ref().map(|limit| limit.figure - result);
        let over = self.limits.highest.as_ref().map(|limit| result - limit.figure);
        let parts: Vec<Expr> = [Some(whole(0)), short, over].into_iter().flatten().collect();
        let figure =
            Figure::new(format!("{key}.deviation"), "deviation beyond the limit", "d", self.unit(), max(parts));
        self.book.add(self.set.compared(figure, self.rule.deviation).under(&self.set.citation))
    }

    /// Within its limits a result is paid in full.
    fn within(&mut self, key: &str, result: FigureId, deviation: FigureId) -> Held {
        let table = self.rule.below.as_ref().or(self.rule.above.as_ref());
        let pay = table.filter(|table| table.gives == Gives::Percent).map(|_| {
            let all = whole(1).to(conversions::RATIO_TO_PERCENT);
            let figure = Figure::new(format!("{key}.pay"), "pay", "f", Unit::Percent, all);
            self.book.add(figure.shown(0).under(&self.set.citation).note("within the limits"))
        });
        Held { result, deviation, pay, effect: None, verdict: Verdict::Sound, beyond: None, note: String::new() }
    }
}

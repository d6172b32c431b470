//! The estimate: quantities times prices, adjustments, retainage, what is due.
//!
//! To date is everything through the as-of date; previous is everything through the last day of the period before; this
//! period is the difference, so that the three columns foot in every line.

use chrono::NaiveDate;

use super::{Amounts, Estimate, Inputs, ItemPay, adjustment, held, quantity};
use crate::contract::{Contract, Entered, Period};
use crate::figure::{Book, Expr, Figure, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::line::slug;
use crate::units::{Rounding, Unit, conversions};

pub(super) fn estimate(inputs: Inputs<'_>, book: &mut Book) -> Result<(Estimate, Vec<Finding>), String> {
    let (period, before) = period_of(inputs.contract, inputs.through)?;
    let mut findings = Vec::new();
    let mut items = Vec::new();
    for item in 0..inputs.contract.items.len() {
        let (pay, found) = item_pay(inputs, item, before, book);
        findings.extend(found);
        items.push(pay);
    }
    let adjustments = adjustment::lines(inputs, &items, before, book);
    findings.extend(adjustment::untaken(inputs, &adjustments));
    let explored = adjustment::explored(inputs, &items, &adjustments, book);
    let money = inputs.contract.roundings.money;
    let maker = Maker { unit: Unit::Money, rounding: money };
    let work = maker.sums(book, "work", "work done", |pick| items.iter().map(|i| pick(&i.amount).into()).collect());
    let adjusted = maker.split(
        book,
        "adjustments",
        "adjustments",
        adjustments.iter().map(|a| a.amount.into()).collect(),
        adjustments.iter().filter(|a| !a.this_period).map(|a| a.amount.into()).collect(),
    );
    let held_lines = held::lines(inputs, &items, before, book);
    let waits = inputs.contract.items.iter().any(|i| !i.waits_for.is_empty());
    let held = waits.then(|| {
        let of = |previous: bool| held_lines.iter().filter(move |l| l.previous == previous).map(|l| l.amount.into());
        maker.split(book, "held", "held for proof", of(false).collect(), of(true).collect())
    });
    let earned = maker.of(book, "earned", "earned", |pick| {
        let sum = Expr::from(pick(&work)) + Expr::from(pick(&adjusted));
        match &held {
            Some(held) => sum + pick(held),
            None => sum,
        }
    });
    let retained = inputs.contract.retainage.as_ref().map(|percent| {
        let share = book.given(percent.given("retainage", "r"));
        maker.of(book, "retained", "retained", |pick| {
            Expr::from(pick(&earned)) * Expr::from(share).to(conversions::PERCENT_TO_RATIO)
        })
    });
    let due = maker.of(book, "due", "due", |pick| match &retained {
        Some(retained) => pick(&earned) - pick(retained),
        None => pick(&earned).into(),
    });
    let estimate = Estimate {
        period,
        before,
        items,
        adjustments,
        explored,
        held_lines,
        work,
        adjusted,
        held,
        earned,
        retained,
        due,
    };
    Ok((estimate, findings))
}

/// The period that a day falls in, and the last day of the one before.
///
/// # Errors
/// When the day is after the last period.
pub fn period_of(contract: &Contract, day: NaiveDate) -> Result<(Period, Option<NaiveDate>), String> {
    let periods = &contract.periods;
    let at = periods.iter().position(|p| day <= p.through).ok_or_else(|| {
        let last = periods.last().map_or_else(|| "none".into(), |p| p.through.to_string());
        format!("{day} is after the last period of contract.toml, which ends {last}")
    })?;
    Ok((periods[at].clone(), at.checked_sub(1).map(|i| periods[i].through)))
}

fn item_pay(inputs: Inputs<'_>, item: usize, before: Option<NaiveDate>, book: &mut Book) -> (ItemPay, Vec<Finding>) {
    let row = &inputs.contract.items[item];
    let (lines, mut findings) = quantity::lines(inputs, item, book);
    let key = format!("item-{}", slug(&row.number));
    let maker = Maker { unit: row.unit, rounding: row.rounding };
    let quantity = maker.split(
        book,
        &format!("{key}.quantity"),
        &format!("item {}, quantity", row.number),
        lines.iter().map(|l| l.quantity.into()).collect(),
        lines.iter().filter(|l| quantity::is_before(l.date, before)).map(|l| l.quantity.into()).collect(),
    );
    let given = |book: &mut Book, entered: &Entered, what: &str, symbol: &str| {
        let leaf = book.given(entered.given(format!("{what} of item {}", row.number), symbol));
        let key = format!("{key}.{}", slug(what));
        book.add(Figure::new(key, format!("item {}, {what}", row.number), symbol, entered.unit, leaf).shown(2))
    };
    let price = given(book, &row.price, "unit price", "p");
    let plan = given(book, &row.quantity, "plan quantity", "P");
    let money = Maker { unit: Unit::Money, rounding: inputs.contract.roundings.money };
    let amount = money
        .of(book, &format!("{key}.amount"), &format!("item {}, amount", row.number), |pick| pick(&quantity) * price);
    if lines.is_empty() {
        findings.push(Finding::new(
            Code::ItemWithoutRecords,
            Place::Named(format!("item {}", row.number)),
            format!("no record through {} supports item {}, {}", inputs.through, row.number, row.description),
            "nothing is paid for it; if work was done, its records are missing from field/",
        ));
    }
    (ItemPay { item, price, plan, lines, quantity, amount }, findings)
}

/// Makes the three columns of a line.
struct Maker {
    unit: Unit,
    rounding: Rounding,
}

impl Maker {
    fn add(&self, book: &mut Book, key: &str, label: &str, expr: Expr) -> FigureId {
        book.add(Figure::new(key, label, symbol(key), self.unit, expr).rounded(self.rounding))
    }

    fn difference(&self, book: &mut Book, key: &str, label: &str, to_date: FigureId, previous: FigureId) -> Amounts {
        let this = self.add(book, &format!("{key}.this-period"), &format!("{label} this period"), to_date - previous);
        Amounts { to_date, previous, this }
    }

    /// To date and previous by the same formula over the columns of other lines.
    fn of(
        &self,
        book: &mut Book,
        key: &str,
        label: &str,
        formula: impl Fn(fn(&Amounts) -> FigureId) -> Expr,
    ) -> Amounts {
        let to_date = self.add(book, &format!("{key}.to-date"), &format!("{label} to date"), formula(|a| a.to_date));
        let previous = self.add(book, &format!("{key}.previous"), &format!("{label} before"), formula(|a| a.previous));
        self.difference(book, key, label, to_date, previous)
    }

    /// To date and previous as sums over the columns of other lines.
    fn sums(
        &self,
        book: &mut Book,
        key: &str,
        label: &str,
        parts: impl Fn(fn(&Amounts) -> FigureId) -> Vec<Expr>,
    ) -> Amounts {
        self.split(book, key, label, parts(|a| a.to_date), parts(|a| a.previous))
    }

    fn split(&self, book: &mut Book, key: &str, label: &str, all: Vec<Expr>, before: Vec<Expr>) -> Amounts {
        let to_date = self.total(book, &format!("{key}.to-date"), &format!("{label} to date"), all);
        let previous = self.total(book, &format!("{key}.previous"), &format!("{label} before"), before);
        self.difference(book, key, label, to_date, previous)
    }

    fn total(&self, book: &mut Book, key: &str, label: &str, parts: Vec<Expr>) -> FigureId {
        let figure = Figure::new(key, label, symbol(key), self.unit, Expr::Whole(0)).rounded(self.rounding);
        book.add_sum(figure, parts)
    }
}

/// The letter of a line in formulas: the first letter of the last word that says what it is.
fn symbol(key: &str) -> &'static str {
    let words = [
        ("quantity", "Q"),
        ("amount", "A"),
        ("work", "W"),
        ("adjustments", "J"),
        ("earned", "E"),
        ("held", "H"),
        ("retained", "R"),
        ("due", "D"),
    ];
    words.iter().find(|(word, _)| key.split('.').any(|part| part == *word)).map_or("x", |(_, letter)| letter)
}

//! A rule for strength in words.

use super::page::Page;
use super::parts::{lot, measure, number, pay, quality};
use super::thickness::entered;
use crate::rules::{Floor, StrengthRule};
use crate::units::Unit;

pub(super) fn strength(page: &mut Page, rule: &StrengthRule, unit: Unit) {
    lot(page, &rule.lot);
    page.says(
        "test",
        &format!(
            "the average of {} specimens of one set, {}",
            number(&rule.specimens_per_test),
            page.compared(rule.test, unit)
        ),
    );
    if let Some(tests) = &rule.tests_per_lot {
        page.says("", &format!("{} in each lot", number(tests)));
    }
    if let Some(running) = &rule.running {
        page.says(
            "running",
            &format!(
                "every average of {} consecutive tests is at least the specified strength ({}; {})",
                number(&running.tests),
                page.compared(running.round, unit),
                running.tests.clause
            ),
        );
    }
    if let Some(floor) = &rule.floor {
        let (least, clause) = lowest(floor);
        page.says("floor", &format!("no test is below the specified strength by more than {least} ({clause})"));
    }
    if let Some(cores) = &rule.cores {
        page.says(
            "cores",
            &format!("a drilled core that settles a test counts as its strength divided by {}", number(&cores.share)),
        );
    }
    quality(page, rule.outliers.as_ref(), rule.verification.as_ref());
    page.says("average", &format!("of the lot's tests, {}", page.compared(rule.lot_average, unit)));
    measure(page, &rule.measure, ("specified strength", "average", unit));
    match &rule.pay {
        Some(table) => pay(page, table, entered(&rule.measure)),
        None => page.says("pay", "is not changed by strength"),
    }
    if let Some(own) = rule.cores.as_ref().and_then(|cores| cores.pay.as_ref()) {
        page.says("cores", "a lot with cores in place of tests is paid by this table instead:");
        pay(page, own, entered(&rule.measure));
    }
}

fn lowest(floor: &Floor) -> (String, &str) {
    match floor {
        Floor::Amount(amount) => (number(amount), &amount.clause),
        Floor::Percent(percent) => (format!("{} of it", number(percent)), &percent.clause),
        Floor::Lesser { amount, percent } => {
            (format!("{} or {} of it, whichever is less", number(amount), number(percent)), &amount.clause)
        }
        Floor::UpTo { amount, up_to, percent } => (
            format!(
                "{}, or, where that is above {}, by more than {} of it",
                number(amount),
                number(up_to),
                number(percent)
            ),
            &amount.clause,
        ),
    }
}

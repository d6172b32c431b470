//! A rule for straightedge deviations in words.

use super::page::Page;
use super::parts::{lot, number, pay, rounded};
use crate::rules::{RuleNumber, StraightedgeRule};

pub(super) fn straightedge(page: &mut Page, rule: &StraightedgeRule) {
    lot(page, &rule.lot);
    let side = |limit: Option<&RuleNumber>, how: &str| match limit {
        Some(limit) => format!("{how} the lane up to {} ({})", number(limit), limit.clause),
        None => format!("measurements {how} the lane do not count"),
    };
    page.says("tolerance", &side(rule.along.as_ref(), "along"));
    page.says("", &side(rule.across.as_ref(), "across"));
    if let Some(limit) = &rule.must_grind {
        page.says(
            "correction",
            &format!("a deviation above {} needs it, however few there are ({})", number(limit), limit.clause),
        );
    }
    let round = rule.round.map_or_else(|| "carried as computed".to_string(), rounded);
    page.says(
        "percent over",
        &format!("the share of all measurements of the lot that exceed their tolerance, {round}"),
    );
    match &rule.pay {
        Some(table) => pay(page, table, "percent over"),
        None => page.says("pay", "is not changed by deviations"),
    }
}

//! A rule for fresh concrete in words.

use super::page::Page;
use super::parts::{number, pay, rounded};
use crate::rules::{BandLimits, BandRule, Represents, Several};

pub(super) fn band(page: &mut Page, rule: &BandRule, what: &str) {
    page.says("limits", &limits(rule));
    page.says("test", &format!("a result is {} before it is held against its limits", rounded(rule.test)));
    page.says("stands for", represents(rule.represents));
    page.says(
        "several",
        match rule.several {
            Several::Worst => "of several tests for one ground the one that pays least holds",
            Several::Mean => "of several tests for one ground the mean of their results holds",
        },
    );
    page.says("deviation", &format!("how far a result lies beyond its limit, {}", rounded(rule.deviation)));
    for (side, table) in [("below the lowest", &rule.below), ("above the highest", &rule.above)] {
        page.line("");
        match table {
            Some(table) => {
                page.says("pay", &format!("{side} limit, by the table:"));
                pay(page, table, "deviation");
            }
            None => page.says("pay", &format!("{what} {side} limit is not judged by this rule")),
        }
    }
}

fn limits(rule: &BandRule) -> String {
    match &rule.limits {
        BandLimits::Contract => "those that the contract states under [fresh]; a result on its limit is within".into(),
        BandLimits::Own { lowest, highest } => {
            let own = [
                lowest.as_ref().map(|n| format!("lowest {}", number(n))),
                highest.as_ref().map(|n| format!("highest {}", number(n))),
            ];
            let own: Vec<String> = own.into_iter().flatten().collect();
            format!("{}; a result on its limit is within", own.join(", "))
        }
    }
}

fn represents(what: Represents) -> &'static str {
    match what {
        Represents::Load => {
            "a test stands for its load: the area of the placement times the load's volume over the volume placed"
        }
        Represents::Placement => "a test stands for its placement",
        Represents::Day => "a test stands for what was placed of its section that day",
    }
}

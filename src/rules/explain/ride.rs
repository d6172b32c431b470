//! A rule for smoothness by an index in words.

use super::page::Page;
use super::parts::{lot, number, pay, rounded};
use crate::rules::{Gives, Partial, RideRule, Spared};

pub(super) fn ride(page: &mut Page, rule: &RideRule) {
    match &rule.lot {
        Some(lots) => {
            lot(page, lots);
            page.says("", "the segments measured in a lot stand for all of it, each by its length");
        }
        None => page.says("lot", "none: each segment is judged by itself"),
    }
    page.says("segment", &format!("{} of one lane; its {} is judged", number(&rule.length), rule.index.word()));
    if rule.pay.as_ref().is_some_and(|pay| pay.gives == Gives::MoneyPerSegment) {
        let paid = match rule.partial {
            Partial::Prorated => "takes the money of a whole one in proportion to its length",
            Partial::Whole => "takes the money of a whole one",
        };
        page.says("", &format!("a longer or shorter one {paid}"));
    }
    if let Some(short) = &rule.short {
        let spared = match short.spared {
            Spared::Judgement => "is not judged",
            Spared::Correction => "is priced, and never needs correction",
        };
        page.says("", &format!("a piece shorter than {} {spared}", number(&short.under)));
    }
    let passes = &rule.passes;
    page.says(
        "index",
        &format!("the mean of its passes or wheel paths, at least {}, {}", number(passes), rounded(rule.round)),
    );
    if let Some(above) = &rule.correct_above {
        page.says("correction", &format!("is needed above {} ({})", number(above), above.clause));
    }
    match &rule.pay {
        Some(table) => pay(page, table, rule.index.word()),
        None => page.says("pay", "is not changed by the index"),
    }
}

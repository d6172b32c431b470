//! A rule for what several properties pay together, in words.

use super::page::Page;
use super::parts::{number, rounded};
use crate::rules::{CombinedRule, How, Property};

pub(super) fn combined(page: &mut Page, rule: &CombinedRule) {
    let of: Vec<&str> = rule.of.iter().map(|property| property.word()).collect();
    page.says("combines", &format!("{}; each is judged by its own rule set and pays a percent f", of.join(", ")));
    page.says("pay", &formula(rule));
    for (property, weight) in rule.of.iter().zip(&rule.weights) {
        page.says("weight", &format!("{} of {}", number(weight), property.word()));
    }
    if let Some(round) = rule.round {
        page.says("", &rounded(round));
    }
    if let Some(most) = &rule.most {
        page.says("at most", &number(most));
    }
    if let Some(least) = &rule.least {
        page.says("at least", &number(least));
    }
    if let Some(rejects) = &rule.rejects {
        page.says(
            "rejected",
            &format!(
                "below {} the engineer decides; until then {} is paid",
                number(&rejects.below),
                number(&rejects.until)
            ),
        );
    }
    page.says("ground", "where the lots of the properties differ, each piece with the same lots is paid by itself");
    page.says(
        "not judged",
        "a property without a judgement counts as 100, and no more than 100 is paid until it has one",
    );
    page.says("from", &rule.clause);
}

fn formula(rule: &CombinedRule) -> String {
    let f = |property: &Property| format!("f({})", property.word());
    let all: Vec<String> = rule.of.iter().map(f).collect();
    match rule.how {
        How::Lowest => format!("f = smallest of {}", all.join(", ")),
        How::Product => format!("f = {}, each beyond the first / 100", all.join(" x ")),
        How::Sum => {
            let parts: Vec<String> = all.iter().map(|f| format!("({f} - 100)")).collect();
            format!("f = 100 + {}, not below 0", parts.join(" + "))
        }
        How::Weighted => format!("f = average of {} by weight", all.join(", ")),
        How::HigherIfBothFull => format!(
            "of {}: the larger where both are 100 or more, {} / 100 where one of them is, else the smaller",
            all.join(" and "),
            all.join(" x ")
        ),
    }
}

//! A rule for thickness in words.

use super::page::Page;
use super::parts::{lot, measure, number, pay, quality};
use crate::rules::{Across, Apart, Exploring, Judged, Measure, Reach, RuleNumber, Taken, ThicknessRule};
use crate::units::{Unit, plain};

pub(super) fn thickness(page: &mut Page, rule: &ThicknessRule) {
    lot(page, &rule.lot);
    page.says(
        "cores",
        &format!(
            "{} in each lot; a core's length is the mean of its readings, {}",
            number(&rule.cores_per_lot),
            page.compared(rule.core, rule.depth)
        ),
    );
    if let Some(more) = &rule.cores_if_deficient {
        let tolerance = of_design(&rule.tolerance);
        page.says("", &format!("{} as soon as one of them is deficient by more than {tolerance}", number(more)));
    }
    if let Some(cap) = &rule.thick_cap {
        page.says(
            "",
            &format!("a core thicker than design by more than {} counts as design plus that", of_design(cap)),
        );
    }
    if let Some(limit) = &rule.thin_exclusion {
        page.says("", &format!("a core deficient by more than {} is left out of the average and needs exploratory cores, which are never averaged", of_design(limit)));
    }
    if let Some(option) = &rule.thick_option {
        page.says("", &format!("at the contractor's choice, written in the contract file, a core thicker than design plus {} standard deviations may be dropped, at most {} of the cores", number(&option.beyond), number(&option.most)));
    }
    quality(page, rule.outliers.as_ref(), rule.verification.as_ref());
    if let Some(exploring) = &rule.exploring {
        page.says("exploring", &explored(exploring));
    }
    page.says("average", &averaged(page, rule));
    let taken = match rule.taken {
        Taken::Mean => "average",
        Taken::Thinnest => "thinnest core",
    };
    measure(page, &rule.measure, ("design thickness", taken, rule.depth));
    if let Some(credit) = &rule.volume_credit {
        page.says(
            "volume",
            &format!(
                "pay is by the volume measured; a depth above design plus {} counts as design plus that",
                number(credit)
            ),
        );
    }
    pay(page, &rule.pay, entered(&rule.measure));
}

/// A limit, in words that say what a percentage is of.
fn of_design(limit: &RuleNumber) -> String {
    let of = if limit.unit == Unit::Percent { " of the design thickness" } else { "" };
    format!("{}{of}", number(limit))
}

/// What enters a pay table, in a word.
pub(super) fn entered(measure: &Measure) -> &'static str {
    match measure {
        Measure::Deficiency { .. } => "deficiency",
        Measure::Index { .. } => "index",
        Measure::Within(_) => "within limits",
    }
}

fn averaged(page: &Page, rule: &ThicknessRule) -> String {
    let tolerance = of_design(&rule.tolerance);
    let reach = match &rule.reach {
        Reach::ToGoodCore => "to the neighbouring good core of its lane, or the lot's end".to_string(),
        Reach::HalfWay => "half way to the neighbouring good core of its lane, or to the lot's end".to_string(),
        Reach::LotEnd => "to the ends of the lot".to_string(),
        Reach::Length(length) => format!("{} each way, at most to the lot's end", number(length)),
    };
    let across = match rule.across {
        Across::Lane => "in its lane",
        Across::Placed => "in all lanes that were placed with it",
    };
    let taken = match rule.taken {
        Taken::Mean => "",
        Taken::Thinnest => "thinnest core ",
    };
    let what = match rule.judged {
        Judged::Lot => {
            let apart = match (&rule.thin_exclusion, rule.apart) {
                (None, _) => String::new(),
                (Some(_), Apart::Decision) => {
                    format!("; a section around a core left out waits for the engineer; it reaches {reach}, {across}")
                }
                (Some(_), Apart::OwnAverage) => {
                    format!("; a section around a core left out has its own average; it reaches {reach}, {across}")
                }
            };
            format!("of the whole lot, which is priced as one{apart}")
        }
        Judged::Section => format!(
            "of the deficient section around cores deficient by more than {tolerance}, which reaches {reach}, {across}; \
             the rest of the lot is paid in full"
        ),
    };
    format!("{taken}{what}; {}", page.compared(rule.average, rule.depth))
}

fn explored(rule: &Exploring) -> String {
    let at: Vec<String> = rule.at.iter().map(number).collect();
    let from = if rule.from_bad_core { "the bad core" } else { "the core before" };
    let across = rule.across_beyond.as_ref().map_or_else(String::new, |width| {
        format!(
            "; where more than {} wide was placed, also half way from the bad core to the farther edge",
            number(width)
        )
    });
    format!(
        "each way along the lane at {} and then every {} {}, all from {from}, until a core is good{across}",
        at.join(", "),
        plain(rule.every.value),
        rule.every.unit
    )
}

//! A rule for thickness in words.

use super::page::Page;
use super::parts::{lot, measure, number, pay, quality, rounded};
use crate::rules::{Across, Exploring, Judged, Measure, Reach, Taken, ThicknessRule};

pub(super) fn thickness(page: &mut Page, rule: &ThicknessRule) {
    lot(page, &rule.lot);
    page.says(
        "cores",
        &format!(
            "{} in each lot; a core's length is the mean of its readings, {}",
            number(&rule.cores_per_lot),
            rounded(rule.core)
        ),
    );
    if let Some(cap) = &rule.thick_cap {
        page.says("", &format!("a core thicker than design by more than {} counts as design plus that", number(cap)));
    }
    if let Some(limit) = &rule.thin_exclusion {
        page.says("", &format!("a core deficient by more than {} is left out of the average and needs exploratory cores, which are never averaged", number(limit)));
    }
    if let Some(option) = &rule.thick_option {
        page.says("", &format!("at the contractor's choice, written in the contract file, a core thicker than design plus {} standard deviations may be dropped, at most {} of the cores", number(&option.beyond), number(&option.most)));
    }
    quality(page, rule.outliers.as_ref(), rule.verification.as_ref());
    if let Some(exploring) = &rule.exploring {
        page.says("exploring", &explored(exploring));
    }
    page.says("average", &averaged(rule));
    measure(page, &rule.measure, "design thickness");
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

/// What enters a pay table, in a word.
pub(super) fn entered(measure: &Measure) -> &'static str {
    match measure {
        Measure::Deficiency { .. } => "deficiency",
        Measure::Index { .. } => "index",
        Measure::Within(_) => "within limits",
    }
}

fn averaged(rule: &ThicknessRule) -> String {
    let tolerance = number(&rule.tolerance);
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
            format!(
                "of the whole lot, which is priced as one; a section around a core left out reaches {reach}, {across}"
            )
        }
        Judged::Section => format!(
            "of the deficient section around cores deficient by more than {tolerance}, which reaches {reach}, {across}; \
             the rest of the lot is paid in full"
        ),
    };
    format!("{taken}{what}; {}", rounded(rule.average))
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
        "each way along the lane at {} and then every {} from {from}, until a core is good{across}",
        at.join(", "),
        number(&rule.every)
    )
}

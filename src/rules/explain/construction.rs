//! A rule for construction in words: what is asked of each step, and on which side of a limit the limit itself lies.

use super::page::Page;
use super::parts::{lot, number};
use crate::rules::{
    BarRule, ConstructionRule, DensityRule, Maturity, MaturityRule, OpeningRule, Required, RuleNumber, SawRule,
    WeatherRule,
};
use crate::units::{Rounding, Unit};

pub(super) fn construction(page: &mut Page, rule: &ConstructionRule) {
    if !rule.steps.is_empty() {
        let steps: Vec<&str> = rule.steps.iter().map(|(step, _)| step.word()).collect();
        let clause = rule.steps.first().map_or("", |(_, clause)| clause.as_str());
        page.says("steps", &format!("on record for every placed stretch: {} ({clause})", steps.join(", ")));
    }
    rule.densities.iter().for_each(|density| self::density(page, density));
    for level in &rule.levels {
        page.says(
            "levels",
            &format!(
                "{}: up to {} below design and up to {} above; both pass themselves ({})",
                level.surface.word(),
                number(&level.below),
                number(&level.above),
                clauses(&level.below, &level.above)
            ),
        );
    }
    for depth in &rule.depths {
        let span = span(Some(&depth.least), depth.most.as_ref()).unwrap_or_default();
        page.says("depth", &format!("{}: {span}", depth.step.word()));
    }
    rule.bars.iter().for_each(|bar| bars(page, bar));
    if let Some(joints) = &rule.joints {
        page.says("joints", &format!("planned every {} ({})", number(&joints.spacing), joints.spacing.clause));
        if let Some(most) = &joints.most_thicknesses {
            page.says(
                "",
                &format!(
                    "at most {} design thicknesses apart; that many pass themselves ({})",
                    number(most),
                    most.clause
                ),
            );
        }
    }
    if let Some(saw) = &rule.saw {
        sawing(page, saw);
    }
    if let Some(cure) = &rule.cure {
        if let Some(within) = &cure.within {
            let what = "from the last concrete of a placement until curing begins";
            page.says("cure", &format!("{what}: {}", at_most(within)));
        }
        if let Some(covers) = &cure.covers {
            page.says("cure", &format!("each unit of compound covers {}", at_most(covers)));
        }
    }
    if let Some(weather) = &rule.weather {
        self::weather(page, weather);
    }
    if let Some(maturity) = &rule.maturity {
        self::maturity(page, maturity);
    }
    if let Some(opening) = &rule.opening {
        self::opening(page, opening);
    }
    rule.required.iter().for_each(|required| self::required(page, required));
    page.line("");
    page.says("pay", "is not changed by construction; an item may wait for its proof");
}

/// A number that passes itself, with its clause.
fn at_most(most: &RuleNumber) -> String {
    format!("{0} or less; {0} itself passes ({1})", number(most), most.clause)
}

fn at_least(least: &RuleNumber) -> String {
    format!("{0} or more; {0} itself passes ({1})", number(least), least.clause)
}

fn span(least: Option<&RuleNumber>, most: Option<&RuleNumber>) -> Option<String> {
    match (least, most) {
        (Some(least), Some(most)) => Some(format!(
            "from {} to {}; both ends pass themselves ({})",
            number(least),
            number(most),
            clauses(least, most)
        )),
        (Some(least), None) => Some(at_least(least)),
        (None, Some(most)) => Some(at_most(most)),
        (None, None) => None,
    }
}

/// The clauses of two numbers, once where they are the same.
fn clauses(one: &RuleNumber, other: &RuleNumber) -> String {
    if one.clause == other.clause { one.clause.clone() } else { format!("{}; {}", one.clause, other.clause) }
}

fn density(page: &mut Page, rule: &DensityRule) {
    let layer = rule.layer.word();
    let percent = page.compared(rule.round, Unit::Percent);
    let span = self::span(Some(&rule.least), rule.most.as_ref()).unwrap_or_default();
    page.says("density", &format!("{layer}: percent of the maximum dry density, {percent}: {span}"));
    if let Some(span) = self::span(rule.moisture.0.as_ref(), rule.moisture.1.as_ref()) {
        page.says("", &format!("moisture in points against the optimum, below zero drier: {span}"));
    }
    let dry = rule.dry_round.map_or_else(|| "carried as computed".to_string(), |round| rounded(page, round));
    page.says("", &format!("a dry density computed from a wet one is {dry}"));
    page.says(
        "",
        &format!(
            "a printed percent may be {} from the recomputed one ({}); a verdict that turns within that is open",
            number(&rule.printed_within),
            rule.printed_within.clause
        ),
    );
    if let Some(within) = &rule.retest_within {
        let what = "a retest settles the test it names within";
        page.says("", &format!("{what} {} along the line ({})", number(within), within.clause));
    }
    if let Some(gravity) = &rule.gravity {
        let what = "zero-air-voids line: where the laboratory gives no specific gravity of the solids,";
        page.says("", &format!("{what} it is {} ({})", number(gravity), gravity.clause));
    }
}

fn rounded(page: &Page, round: Rounding) -> String {
    page.compared(round, Unit::One)
}

fn bars(page: &mut Page, rule: &BarRule) {
    let each = [
        (&rule.depth, "up or down from the middle of the design thickness"),
        (&rule.side, "its middle from the joint, either way"),
        (&rule.tilt, "tilt, end to end"),
        (&rule.skew, "turn, end to end"),
    ];
    for (limit, what) in each {
        if let Some(limit) = limit {
            page.says(rule.bar.word(), &format!("{what}: {}", at_most(limit)));
        }
    }
}

fn sawing(page: &mut Page, rule: &SawRule) {
    if let Some(within) = &rule.within {
        let what = "from the last concrete of a placement to the end of sawing";
        page.says("saw", &format!("{what}: {}", at_most(within)));
    }
    if let (Some(least), Some(round)) = (&rule.least, rule.round) {
        let percent = page.compared(round, Unit::Percent);
        page.says("saw", &format!("depth of cut in percent of the design thickness, {percent}: {}", at_least(least)));
    }
}

fn weather(page: &mut Page, rule: &WeatherRule) {
    if let Some(span) = span(rule.concrete.0.as_ref(), rule.concrete.1.as_ref()) {
        page.says("weather", &format!("temperature of the concrete: {span}"));
    }
    if let Some(span) = span(rule.air.0.as_ref(), rule.air.1.as_ref()) {
        page.says("weather", &format!("temperature of the air while concrete is placed: {span}"));
    }
    if let (Some(rate), Some(round)) = (&rule.evaporation, rule.round) {
        page.says(
            "weather",
            &format!(
                "precautions against plastic shrinkage are due from an evaporation of {} on, that rate included; the rate \
                 is {} ({})",
                number(rate),
                page.compared(round, rate.unit),
                rate.clause
            ),
        );
    }
}

fn maturity(page: &mut Page, rule: &MaturityRule) {
    let by = match &rule.by {
        Maturity::Factor { datum } => format!(
            "temperature-time factor: mean temperature less {}, never below zero, times hours ({})",
            number(datum),
            datum.clause
        ),
        Maturity::Age { q, reference } => format!(
            "equivalent age at {}: hours times exp(-Q (1/T - 1/Ts)), temperatures absolute, Q = {} kelvins ({})",
            number(reference),
            number(q),
            clauses(reference, q)
        ),
    };
    page.says("maturity", &by);
    page.says(
        "",
        &format!(
            "a mix's curve has {} specimens or more ({})",
            number(&rule.least_specimens),
            rule.least_specimens.clause
        ),
    );
    match &rule.lower {
        Some(chance) => page.says(
            "",
            &format!(
                "what counts is the lower end of the prediction interval: a chance of {} of less ({})",
                number(chance),
                chance.clause
            ),
        ),
        None => page.says("", "what counts is the curve itself, without its prediction interval"),
    }
    page.says("", &format!("time between two readings that is reckoned through: {}", at_most(&rule.longest_gap)));
    page.says("", &format!("the strength is {}", rounded(page, rule.round)));
}

fn opening(page: &mut Page, rule: &OpeningRule) {
    let test = if rule.flexural { "flexural strength by beams" } else { "compressive strength by cylinders" };
    if let Some(strength) = &rule.strength {
        page.says("opening", &format!("{test}: {}", at_least(strength)));
    }
    if let Some(age) = &rule.age {
        page.says("opening", &format!("age: {}", at_least(age)));
    }
    if rule.strength.is_some() && rule.age.is_some() {
        page.says("", if rule.both { "both are needed" } else { "either will do" });
    }
    page.says(
        "",
        "whether and when the pavement is opened is for the licensed engineer to decide, not for these numbers",
    );
}

fn required(page: &mut Page, rule: &Required) {
    let tests = &rule.tests;
    page.says(
        "proof",
        &format!("{}: {} or more for each lot below ({})", rule.proof.words(), number(tests), tests.clause),
    );
    lot(page, &rule.lot);
}

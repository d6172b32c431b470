//! From the tables of a file to the rule, or to every mistake in them.

use super::{
    BarRule, ConstructionRule, CureRule, DensityRule, DepthRule, JointRule, LevelRule, Maturity, MaturityRule,
    OpeningRule, Proof, Required, SawRule, WeatherRule,
};
use crate::figure::Clause;
use crate::intake::{Bar, Step, Surface};
use crate::keyed::{Group, Reader};
use crate::rules::lotting::lot;
use crate::rules::model::RuleNumber;
use crate::rules::source::Source;
use crate::units::Unit;
use rust_decimal::dec;

const PARTS: [&str; 12] = [
    "steps",
    "densities",
    "levels",
    "depths",
    "bars",
    "joints",
    "saw",
    "cure",
    "weather",
    "maturity",
    "opening",
    "required",
];

/// The rule of a file; `None` once its mistakes are reported. Every part is read, so that all mistakes are found.
pub(in crate::rules) fn construction(
    reader: &mut Reader<'_>,
    root: &Group,
    source: &Source,
) -> Option<ConstructionRule> {
    if PARTS.iter().all(|key| !root.has(key)) {
        reader.mistake(
            root.at,
            "the rule set asks nothing of construction",
            "write one of its tables at least, such as [[densities]], or 'steps'",
        );
        return None;
    }
    let densities = each(reader, root, ("densities", "layer"), |reader, table| density(reader, table, source));
    let levels = each(reader, root, ("levels", "surface"), |_, table| {
        Some(LevelRule {
            surface: surface(table, "surface")?,
            below: source.number(table, "below")?,
            above: source.number(table, "above")?,
        })
    });
    let depths = each(reader, root, ("depths", "step"), |reader, table| {
        ordered(reader, table, source, ("least", "most"));
        Some(DepthRule {
            step: Step::named(&table.text("step")?.value)?,
            least: source.number(table, "least")?,
            most: source.number(table, "most"),
        })
    });
    let bars = each(reader, root, ("bars", "bar"), |reader, table| {
        one_of(reader, table, "[[bars]]", &["depth", "side", "tilt", "skew"])?;
        Some(BarRule {
            bar: if table.text("bar")?.value == Bar::Dowel.word() { Bar::Dowel } else { Bar::Tie },
            depth: source.number(table, "depth"),
            side: source.number(table, "side"),
            tilt: source.number(table, "tilt"),
            skew: source.number(table, "skew"),
        })
    });
    let required = each(reader, root, ("required", "proof"), |reader, table| {
        let pieces = table.group("lot").and_then(|pieces| lot(reader, pieces, source, false));
        Some(Required {
            proof: Proof::named(&table.text("proof")?.value)?,
            lot: pieces?,
            tests: source.count(table, "tests")?,
        })
    });
    Some(ConstructionRule {
        densities,
        levels,
        depths,
        bars,
        joints: root.group("joints").and_then(|table| joints(reader, table, source)),
        saw: root.group("saw").and_then(|table| saw(reader, table, source)),
        cure: root.group("cure").and_then(|table| cure(reader, table, source)),
        weather: root.group("weather").and_then(|table| weather(reader, table, source)),
        maturity: root.group("maturity").and_then(|table| maturity(reader, table, source)),
        opening: root.group("opening").and_then(|table| opening(reader, table, source)),
        steps: steps(reader, root, source),
        required,
    })
}

/// The tables of a list, each of which speaks of another thing. What is left out here has been reported.
fn each<T>(
    reader: &mut Reader<'_>,
    root: &Group,
    (key, of): (&str, &str),
    mut read: impl FnMut(&mut Reader<'_>, &Group) -> Option<T>,
) -> Vec<T> {
    let tables = root.groups(key);
    for (i, table) in tables.iter().enumerate() {
        let Some(word) = table.text(of) else { continue };
        let before = tables.iter().take(i).find_map(|other| other.text(of).filter(|w| w.value == word.value));
        if let Some(before) = before {
            let message = format!("[[{key}]] speaks of \"{}\" twice, first on line {}", word.value, before.at.line);
            reader.mistake_with(word.at, before.at, message, "keep one of the two tables");
        }
    }
    tables.iter().filter_map(|table| read(reader, table)).collect()
}

/// Reports a table in which none of these keys stands.
fn one_of(reader: &mut Reader<'_>, table: &Group, line: &str, keys: &[&str]) -> Option<()> {
    if keys.iter().any(|key| table.has(key)) {
        return Some(());
    }
    let keys: Vec<String> = keys.iter().map(|key| format!("'{key}'")).collect();
    reader.mistake(table.at, format!("{line} says nothing"), format!("write one at least of: {}", keys.join(", ")));
    None
}

/// Reports a lowest that is above its highest.
fn ordered(reader: &mut Reader<'_>, table: &Group, source: &Source, (least, most): (&str, &str)) {
    if let (Some(low), Some(high)) = (source.number(table, least), source.number(table, most))
        && low.value > high.value
    {
        let message = format!("'{least}', {}, is above '{most}', {}", low.written, high.written);
        reader.mistake(table.at(least), message, format!("write the lesser as '{least}'"));
    }
}

/// The number, where it is above zero.
fn above_zero(reader: &mut Reader<'_>, table: &Group, number: Option<RuleNumber>, key: &str) -> Option<RuleNumber> {
    let number = number?;
    if number.value > dec!(0) {
        return Some(number);
    }
    let message = format!("'{}' is {}, which holds for nothing", number.key, number.written);
    reader.mistake(table.at(key), message, "write a number above zero, or take it out");
    None
}

fn surface(table: &Group, key: &str) -> Option<Surface> {
    let word = table.text(key)?.value;
    [Surface::Subgrade, Surface::Base, Surface::Top].into_iter().find(|surface| surface.word() == word)
}

fn density(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<DensityRule> {
    ordered(reader, table, source, ("least", "most"));
    ordered(reader, table, source, ("moisture_least", "moisture_most"));
    let gravity = above_zero(reader, table, source.plain(table, "gravity", Unit::One), "gravity");
    Some(DensityRule {
        layer: surface(table, "layer")?,
        least: source.number(table, "least")?,
        most: source.number(table, "most"),
        moisture: (source.number(table, "moisture_least"), source.number(table, "moisture_most")),
        dry_round: table.rounding("dry_round").map(|found| found.value),
        round: table.rounding("round")?.value,
        printed_within: source.number(table, "printed_within")?,
        gravity,
        retest_within: source.number(table, "retest_within"),
    })
}

fn joints(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<JointRule> {
    let most = source.plain(table, "most_thicknesses", Unit::One);
    let most_thicknesses = above_zero(reader, table, most, "most_thicknesses");
    let spacing = above_zero(reader, table, source.number(table, "spacing"), "spacing")?;
    Some(JointRule { spacing, most_thicknesses })
}

fn saw(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<SawRule> {
    one_of(reader, table, "[saw]", &["within", "least"])?;
    Some(SawRule {
        within: above_zero(reader, table, source.number(table, "within"), "within"),
        least: source.number(table, "least"),
        round: table.rounding("round").map(|found| found.value),
    })
}

fn cure(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<CureRule> {
    one_of(reader, table, "[cure]", &["within", "covers"])?;
    Some(CureRule {
        within: above_zero(reader, table, source.number(table, "within"), "within"),
        covers: above_zero(reader, table, source.number(table, "covers"), "covers"),
    })
}

fn weather(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<WeatherRule> {
    let keys = ["concrete_least", "concrete_most", "air_least", "air_most", "evaporation"];
    one_of(reader, table, "[weather]", &keys)?;
    ordered(reader, table, source, ("concrete_least", "concrete_most"));
    ordered(reader, table, source, ("air_least", "air_most"));
    Some(WeatherRule {
        concrete: (source.number(table, "concrete_least"), source.number(table, "concrete_most")),
        air: (source.number(table, "air_least"), source.number(table, "air_most")),
        evaporation: above_zero(reader, table, source.number(table, "evaporation"), "evaporation"),
        round: table.rounding("round").map(|found| found.value),
    })
}

fn maturity(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<MaturityRule> {
    let by = reckoned(reader, table, source);
    let lower = source.number(table, "lower");
    if let Some(chance) = lower.as_ref().filter(|n| n.value <= dec!(0) || n.value >= dec!(50)) {
        let message = format!("'{}' is {}; a lower end lies above 0 and below 50 percent", chance.key, chance.written);
        reader.mistake(table.at("lower"), message, "write such a chance, or leave 'lower' out for the curve itself");
    }
    let least_specimens = source.count(table, "least_specimens");
    if lower.is_some()
        && let Some(few) = least_specimens.as_ref().filter(|n| n.value < dec!(3))
    {
        let message = format!("a curve through {} specimens has no spread, so no lower end", few.written);
        reader.mistake(table.at("least_specimens"), message, "write 3 at least, or take 'lower' out");
    }
    let longest_gap = above_zero(reader, table, source.number(table, "longest_gap"), "longest_gap");
    Some(MaturityRule {
        by: by?,
        least_specimens: least_specimens?,
        lower,
        longest_gap: longest_gap?,
        round: table.rounding("round")?.value,
    })
}

/// The two ways of reckoning have keys of their own, and none of the other's.
fn reckoned(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<Maturity> {
    let by = table.text("by")?.value;
    let (own, others): (&[&str], &[&str]) =
        if by == "factor" { (&["datum"], &["q", "reference"]) } else { (&["q", "reference"], &["datum"]) };
    for key in own.iter().filter(|key| !table.has(key)) {
        reader.mistake(
            table.at,
            format!("maturity by \"{by}\" lacks '{key}'"),
            format!("add '{key}' under [maturity]"),
        );
    }
    for key in others.iter().filter(|key| table.has(key)) {
        reader.mistake(table.at(key), format!("maturity by \"{by}\" takes no '{key}'"), "take it out, or correct 'by'");
    }
    if by == "factor" {
        return Some(Maturity::Factor { datum: source.number(table, "datum")? });
    }
    let q = above_zero(reader, table, source.plain(table, "q", Unit::Celsius), "q");
    Some(Maturity::Age { q: q?, reference: source.number(table, "reference")? })
}

fn opening(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<OpeningRule> {
    one_of(reader, table, "[opening]", &["strength", "age"])?;
    let two = table.has("strength") && table.has("age");
    if two && !table.has("needs") {
        let message = "[opening] gives a strength and an age, and does not say whether both are needed";
        reader.mistake(table.at, message, "write needs = \"both\" or \"either\"");
    }
    if !two && table.has("needs") {
        let message = "'needs' is for a strength and an age, and [opening] gives only one of them";
        reader.mistake(table.at("needs"), message, "take it out, or give the other");
    }
    Some(OpeningRule {
        strength: above_zero(reader, table, source.number(table, "strength"), "strength"),
        flexural: table.text("test").is_some_and(|word| word.value == "beam"),
        age: above_zero(reader, table, source.number(table, "age"), "age"),
        both: table.text("needs").is_none_or(|word| word.value == "both"),
    })
}

/// Opening and closing are what the rest is for: they are not steps that every stretch must have on record.
fn steps(reader: &mut Reader<'_>, root: &Group, source: &Source) -> Vec<(Step, Clause)> {
    let mut steps: Vec<(Step, Clause)> = Vec::new();
    for word in root.texts("steps").into_iter().flat_map(|list| list.value) {
        let can_be = |step: &Step| !matches!(step, Step::Open | Step::Close);
        match Step::named(&word.value).filter(can_be) {
            Some(step) if steps.iter().any(|(before, _)| *before == step) => {
                reader.mistake(word.at, format!("'steps' lists \"{}\" twice", word.value), "keep one of the two");
            }
            Some(step) => steps.push((step, source.clause(root))),
            None => {
                let words: Vec<&str> = Step::ALL.into_iter().filter(can_be).map(Step::word).collect();
                let message = format!("'{}' says \"{}\", which is not a step to be on record", word.key, word.value);
                reader.mistake(word.at, message, format!("write one of: {}", words.join(", ")));
            }
        }
    }
    steps
}

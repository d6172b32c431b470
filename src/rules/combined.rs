//! Several properties of one piece of pavement, and the one percent they pay together.
//!
//! ```text
//! lowest                 f = smallest of f1, f2, ...
//! product                f = f1 x f2 / 100 ...
//! sum                    f = 100 + (f1 - 100) + (f2 - 100) ...            not below 0
//! weighted               f = (w1 f1 + w2 f2 + ...) / (w1 + w2 + ...)
//! higher if both full    both 100 or more: the larger; one of them: f1 x f2 / 100; neither: the smaller
//! ```
//!
//! UFGS 02753 pays the lowest; FAA P-501 as commonly remembered pays the last form. The properties are judged by their own
//! rule sets; this one has no limits and no lots. A property that pays money or a measured volume has no percent to combine.

use super::band::Represents;
use std::collections::BTreeSet;

use super::keys::{CLAUSE, OWN_CLAUSE, alone, is, number_of};
use super::model::{Property, RuleNumber, RuleSet, Shape};
use super::pay::{Gives, Pay};
use super::source::Source;
use crate::figure::Clause;
use crate::keyed::Form;
use crate::keyed::{Found, Group, Key, Measure, Need, Reader, nearest};
use crate::units::{Rounding, Unit};

/// How percents become one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// The smallest.
    Lowest,
    /// Each a share of what the others leave.
    Product,
    /// Full pay with every difference from it added.
    Sum,
    /// The average by weight.
    Weighted,
    /// Of two: the larger where both are full pay or more, the product where one is, else the smaller.
    HigherIfBothFull,
}

/// What is too low to be accepted at a price.
#[derive(Clone, Debug, PartialEq)]
pub struct Rejects {
    /// A combined percent below this is left to the engineer.
    pub below: RuleNumber,
    /// Percent paid until then.
    pub until: RuleNumber,
}

/// A rule for what several properties pay together.
#[derive(Clone, Debug, PartialEq)]
pub struct CombinedRule {
    /// Properties, at least two, in the order they are written.
    pub of: Vec<Property>,
    /// How.
    pub how: How,
    /// One weight for each property where they are weighted; else none.
    pub weights: Vec<RuleNumber>,
    /// Rounding of the combined percent; `None` carries it as computed.
    pub round: Option<Rounding>,
    /// Most that is paid.
    pub most: Option<RuleNumber>,
    /// Least that is paid, unless the engineer decides.
    pub least: Option<RuleNumber>,
    /// What is too low to be accepted at a price.
    pub rejects: Option<Rejects>,
    /// Where it stands.
    pub clause: Clause,
}

const WORDS: [(&str, How); 5] = [
    ("lowest", How::Lowest),
    ("product", How::Product),
    ("sum", How::Sum),
    ("weighted", How::Weighted),
    ("higher if both full", How::HigherIfBothFull),
];

pub(super) const COMBINE: &[Key] = &[
    Key::required(
        "of",
        Form::Texts,
        "[\"thickness\", \"strength\"]",
        "the properties that are combined, each judged by its own rule set",
    ),
    Key::required(
        "how",
        Form::Choice(&["lowest", "product", "sum", "weighted", "higher if both full"]),
        "\"lowest\"",
        "how their percents become one: the lowest, their product, 100 with every difference from 100 added, the average by \
         `weights`, or, of two, the higher where both are 100 or more, the product where one is, else the lower",
    ),
    Key::optional(
        "weights",
        Form::Pairs(&Form::Number),
        "{ thickness = 6, strength = 4 }",
        "one weight for each property",
    )
    .need(Need::Depends("only and always with how = \"weighted\"")),
    Key::optional("round", Form::Rounding, "\"0.1 half up\"", "rounding of the combined percent; else as computed"),
    Key::optional("most", number_of(&PERCENT, &PERCENT_ALONE), "\"106 percent\"", "no more than this is paid"),
    Key::optional(
        "least",
        number_of(&PERCENT, &PERCENT_ALONE),
        "\"75 percent\"",
        "no less than this is paid, unless the engineer decides",
    ),
    Key::optional(
        "reject_below",
        number_of(&PERCENT, &PERCENT_ALONE),
        "\"75 percent\"",
        "a combined percent below this is left to the engineer",
    )
    .need(Need::With("until_decided")),
    Key::optional(
        "until_decided",
        number_of(&PERCENT, &PERCENT_ALONE),
        "\"50 percent\"",
        "what is paid of it until the engineer decides",
    )
    .need(Need::With("reject_below")),
    CLAUSE,
];

const PERCENT: Form = Form::Quantity(Measure::Percent);
const PERCENT_ALONE: Form = alone(&[is(PERCENT, "\"75 percent\""), OWN_CLAUSE]);

/// The rule of a file; `None` once its mistakes are reported.
pub(super) fn combined(reader: &mut Reader<'_>, root: &Group, source: &Source) -> Option<CombinedRule> {
    let table = root.group("combine")?;
    let of = of(reader, table);
    let how = table.text("how");
    let how = how.and_then(|word| Some((WORDS.iter().find(|(name, _)| *name == word.value)?.1, word)));
    let (of, (how, word)) = (of?, how?);
    if how == How::HigherIfBothFull && of.len() != 2 {
        let message = format!("'{}' is \"{}\", which says nothing of {} properties", word.key, word.value, of.len());
        reader.mistake(word.at, message, "name two under 'of', or combine them another way");
    }
    let weights = weights(reader, table, source, (&of, how))?;
    let rejects = match (source.number(table, "reject_below"), source.number(table, "until_decided")) {
        (Some(below), Some(until)) => Some(Rejects { below, until }),
        _ => None,
    };
    let (most, least) = (source.number(table, "most"), source.number(table, "least"));
    if let (Some(most), Some(least)) = (&most, &least)
        && least.value > most.value
    {
        let message = format!("'{}' is {}, above '{}', {}", least.key, least.written, most.key, most.written);
        reader.mistake(table.at("least"), message, "correct one of the two");
    }
    let round = table.rounding("round").map(|found| found.value);
    Some(CombinedRule { of, how, weights, round, most, least, rejects, clause: source.clause(table) })
}

/// The properties; each once, at least two, and none that is itself a combination.
fn of(reader: &mut Reader<'_>, table: &Group) -> Option<Vec<Property>> {
    let listed = table.texts("of")?;
    let mut seen = BTreeSet::new();
    let mut all = Vec::new();
    for word in &listed.value {
        let Some(property) = Property::named(&word.value).filter(|p| *p != Property::Combined) else {
            unknown(reader, word);
            continue;
        };
        if seen.insert(property) {
            all.push(property);
        } else {
            reader.mistake(word.at, format!("'{}' names {} twice", listed.key, word.value), "name it once");
        }
    }
    if listed.value.len() < 2 {
        reader.mistake(listed.at, format!("'{}' names one property", listed.key), "name two or more");
    }
    (all.len() == listed.value.len()).then_some(all)
}

fn unknown(reader: &mut Reader<'_>, word: &Found<String>) {
    let words: Vec<&str> = Property::ALL.into_iter().filter(|p| *p != Property::Combined).map(Property::word).collect();
    let remedy = match nearest(&word.value, words.iter().copied()) {
        Some(near) => format!("write \"{near}\" if that is meant"),
        None => format!("name two or more of: {}", words.join(", ")),
    };
    reader.mistake(word.at, format!("'{}' says \"{}\", which is not judged and paid", word.key, word.value), remedy);
}

/// One weight above zero for each property, in their order.
fn weights(
    reader: &mut Reader<'_>,
    table: &Group,
    source: &Source,
    (of, how): (&[Property], How),
) -> Option<Vec<RuleNumber>> {
    let given = table.number_pairs("weights");
    if table.has("weights") != (how == How::Weighted) {
        let message = "'weights' and how = \"weighted\" go together";
        reader.mistake(table.at("weights"), message, "write both or neither");
        return None;
    }
    let Some(given) = given else { return Some(Vec::new()).filter(|_| how != How::Weighted) };
    for (name, weight) in &given.value {
        if !of.iter().any(|property| property.word() == name) {
            reader.mistake(
                weight.at,
                format!("'{name}' has a weight and is not combined"),
                "take it out, or name it under 'of'",
            );
        }
    }
    let one = |property: &Property| {
        let Some(weight) = given.value.get(property.word()) else {
            let message = format!("'{}' says no weight of {}", given.key, property.word());
            reader.mistake(given.at, message, "give each property under 'of' its weight");
            return None;
        };
        if weight.value <= rust_decimal::Decimal::ZERO {
            let message = format!("the weight of {} is {}, not above zero", property.word(), weight.written);
            reader.mistake(weight.at, message, "correct it, or take the property out");
            return None;
        }
        Some(RuleNumber {
            value: weight.value,
            unit: Unit::One,
            written: weight.written.clone(),
            set: source.id.clone(),
            key: weight.key.clone(),
            clause: source.clause(table),
        })
    };
    let weights: Vec<Option<RuleNumber>> = of.iter().map(one).collect();
    weights.into_iter().collect()
}

impl RuleSet {
    /// Why this rule set has no percent that could be combined with others; `None` where it has.
    #[must_use]
    pub fn cannot_combine(&self) -> Option<&'static str> {
        let by_volume = matches!(&self.shape, Shape::Thickness(rule) if rule.volume_credit.is_some());
        let by_load = matches!(&self.shape, Shape::Band(rule) if rule.represents == Represents::Load);
        let any = |test: fn(&Pay) -> bool| self.tables().into_iter().any(test);
        if self.pay().is_none() {
            Some("changes no pay")
        } else if any(|pay| pay.gives != Gives::Percent) {
            Some("pays in money")
        } else if any(|pay| pay.price.is_some()) {
            Some("pays at a price of its own")
        } else if by_volume {
            Some("pays by the volume measured")
        } else if by_load {
            Some("pays for loads, whose place on the ground is not known")
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::{Finding, Place};
    use crate::rules::{explain, load, shipped};

    const PRODUCT: &str = include_str!("sets/example-product.toml");

    fn shape(set: &RuleSet) -> &CombinedRule {
        match &set.shape {
            Shape::Combined(rule) => rule,
            _ => panic!("'{}' combines nothing", set.id),
        }
    }

    fn said(findings: &[Finding]) -> Vec<String> {
        let line = |f: &Finding| match &f.place {
            Place::Line { line, column, .. } => format!("{line}:{column} {} | {}", f.message, f.remedy),
            other => panic!("a mistake without a line: {other:?}"),
        };
        findings.iter().map(line).collect()
    }

    /// What is said once `from` has become `to`, in the form `line:column message | remedy`.
    #[track_caller]
    fn one(from: &str, to: &str, expected: &str) {
        assert_eq!(PRODUCT.matches(from).count(), 1, "'{from}' should stand once");
        assert_eq!(said(&load("ours.toml", &PRODUCT.replace(from, to)).unwrap_err()), [expected]);
    }

    #[test]
    fn the_ways_are_the_words_of_the_key() {
        let how = COMBINE.iter().find(|key| key.name == "how").unwrap();
        let Form::Choice(words) = how.form else { panic!("a way is a word") };
        assert_eq!(words, WORDS.map(|(word, _)| word));
        for (word, how) in WORDS.into_iter().filter(|(_, how)| *how != How::Weighted) {
            let text = PRODUCT.replace("\"product\"  ", &format!("\"{word}\"  "));
            assert_eq!(shape(&load("ours.toml", &text).unwrap()).how, how);
        }
    }

    #[test]
    fn weights_stand_beside_the_properties_they_weigh() {
        let text = PRODUCT.replace("\"product\"  ", "\"weighted\"\nweights = { strength = 4, thickness = \"6\" }");
        let set = load("ours.toml", &text).unwrap();
        let rule = shape(&set);
        let weights: Vec<String> = rule.weights.iter().map(|w| w.value.to_string()).collect();
        assert_eq!(
            (&rule.of[..], weights),
            (&[Property::Thickness, Property::Strength][..], vec!["6".into(), "4".into()])
        );
        assert!(explain(&set).contains("average of f(thickness), f(strength) by weight"));
    }

    #[test]
    fn what_cannot_be_combined_is_refused_with_its_remedy() {
        let of = "[\"thickness\", \"strength\"]\nhow";
        one(of, "[\"thickness\"]\nhow", "16:17 'combine.of' names one property | name two or more");
        one(
            of,
            "[\"thickness\", \"thicknes\"]\nhow",
            "16:31 'combine.of[1]' says \"thicknes\", which is not judged and paid | write \"thickness\" if that is meant",
        );
        let three = PRODUCT.replace(of, "[\"thickness\", \"strength\", \"air\"]\nhow");
        let three = three.replace("\"product\"  ", "\"higher if both full\"");
        assert_eq!(
            said(&load("ours.toml", &three).unwrap_err()),
            ["17:17 'combine.how' is \"higher if both full\", which says nothing of 3 properties \
              | name two under 'of', or combine them another way"]
        );
        one(of, "[\"strength\", \"strength\"]\nhow", "16:30 'combine.of' names strength twice | name it once");
        one(
            "\"product\"  ",
            "\"weighted\"",
            "15:1 'weights' and how = \"weighted\" go together | write both or neither",
        );
        one(
            "\"product\"  ",
            "\"weighted\"\nweights = { thickness = 6 }",
            "18:11 'combine.weights' says no weight of strength | give each property under 'of' its weight",
        );
        one(
            "\"product\"  ",
            "\"weighted\"\nweights = { thickness = 6, strength = 0 }",
            "18:39 the weight of strength is 0, not above zero | correct it, or take the property out",
        );
        one(
            "most          = \"100 percent\"",
            "most          = \"100 percent\"\nleast         = \"101 percent\"",
            "19:17 'combine.least' is 101 percent, above 'combine.most', 100 percent | correct one of the two",
        );
    }

    #[test]
    fn a_rule_that_pays_money_or_nothing_has_no_percent() {
        let why = |file: &str| {
            let (file, text) = shipped().iter().find(|(name, _)| *name == file).unwrap();
            load(file, text).unwrap().cannot_combine()
        };
        assert_eq!(why("example-stepped-average.toml"), None);
        assert_eq!(why("aci-318-19-strength.toml"), Some("changes no pay"));
        assert_eq!(why("example-product.toml"), Some("changes no pay"));
    }
}

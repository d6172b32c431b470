//! The rule sets shipped, their boundaries as published, and each way of getting a rule set wrong.

use proptest::prelude::*;
use rust_decimal::{Decimal, dec};

use super::*;
use crate::figure::{Origin, Steps};
use crate::finding::{Code, Finding, Place};
use crate::units::{Rounding, System, Unit};

const AVERAGE: &str = include_str!("sets/example-stepped-average.toml");
const UFGS: &str = include_str!("sets/ufgs-02753-smoothness.toml");
const STRENGTH: &str = include_str!("sets/example-two-rule-strength.toml");

/// Findings as `line:column message | remedy`.
fn said(findings: &[Finding]) -> Vec<String> {
    let line = |f: &Finding| match &f.place {
        Place::Line { file, line, column } => {
            assert_eq!((file.as_str(), f.code), ("ours.toml", Code::RuleInvalid));
            format!("{line}:{column} {} | {}", f.message, f.remedy)
        }
        other => panic!("a mistake without a line: {other:?}"),
    };
    findings.iter().map(line).collect()
}

fn shipped_set(id: &str) -> RuleSet {
    let (file, text) = shipped().iter().find(|(file, _)| *file == format!("{id}.toml")).unwrap();
    load(file, text).unwrap()
}

fn thickness(set: &RuleSet) -> &ThicknessRule {
    match &set.shape {
        Shape::Thickness(rule) => rule,
        _ => panic!("'{}' judges {}", set.id, set.property.word()),
    }
}

fn strength(set: &RuleSet) -> &StrengthRule {
    match &set.shape {
        Shape::Strength(rule) => rule,
        _ => panic!("'{}' judges {}", set.id, set.property.word()),
    }
}

/// Rounding before the table of a rule on a deficiency.
fn rounding(rule: &ThicknessRule) -> Rounding {
    match rule.measure {
        Measure::Deficiency { round, .. } => round,
        _ => panic!("the rule measures no deficiency"),
    }
}

/// Amount, strength up to which it holds, and percentage above.
fn floor(rule: &StrengthRule) -> (&RuleNumber, &RuleNumber, &RuleNumber) {
    match rule.floor.as_ref().unwrap() {
        Floor::UpTo { amount, up_to, percent } => (amount, up_to, percent),
        other => panic!("another floor: {other:?}"),
    }
}

/// What is said once `from` has become `to`.
#[track_caller]
fn one(text: &str, from: &str, to: &str, expected: &str) {
    assert_eq!(text.matches(from).count(), 1, "'{from}' should stand once");
    assert_eq!(said(&load("ours.toml", &text.replace(from, to)).unwrap_err()), [expected]);
}

fn pays(steps: &Steps, rounding: Rounding, deficiency: Decimal) -> Decimal {
    steps.rows[steps.find(rounding.apply(deficiency).unwrap()).unwrap()].value
}

#[test]
fn every_shipped_rule_set_loads_under_its_own_name() {
    let (sets, findings) = catalogue(&[]);
    assert_eq!(findings, []);
    let ids: Vec<&str> = sets.iter().map(|set| set.id.as_str()).collect();
    let files: Vec<&str> = shipped().iter().map(|(file, _)| file.strip_suffix(".toml").unwrap()).collect();
    let mut sorted = files.clone();
    sorted.sort_unstable();
    assert_eq!(ids, sorted);
    for set in &sets {
        assert_eq!(set.system == System::Si, set.id.ends_with("-si"), "{}", set.id);
        assert_eq!(set.status == Status::Example, set.id.starts_with("example-"), "{}", set.id);
        assert!(!set.notes.is_empty() && set.sha256.len() == 64);
    }
}

/// Older federal standard specification, section 501: average deficient by up to 0.2 in is paid in full. The cells beyond
/// are those of the example. Boundaries: 0.204 in is 0.20 in, and 0.205 in is 0.21 in (half up, to 0.01 in).
#[test]
fn a_deficiency_is_rounded_before_it_enters_the_table() {
    let set = shipped_set("example-stepped-average");
    let rule = thickness(&set);
    for (deficiency, pay) in [
        (dec!(0), dec!(100)),
        (dec!(0.204), dec!(100)),
        (dec!(0.205), dec!(80)),
        (dec!(0.25), dec!(80)),
        (dec!(0.42), dec!(68)),
        (dec!(0.754), dec!(57)),
        (dec!(1.004), dec!(50)),
        (dec!(1.005), dec!(0)),
        (dec!(9.5), dec!(0)),
    ] {
        assert_eq!(pays(&rule.pay.steps, rounding(rule), deficiency), pay, "{deficiency}");
    }
    let steps = &rule.pay.steps;
    assert_eq!((steps.entered_in, steps.gives), (Unit::Inch, Unit::Percent));
    assert_eq!(steps.span(1), "0.21 to 0.30");
    assert_eq!(steps.title, "Stepped table on a lot's average thickness, table 1");
    assert_eq!(steps.clause, "example, no agency's rule (example)");
}

#[test]
fn a_number_of_a_rule_points_at_its_key_and_clause() {
    let set = shipped_set("example-stepped-average");
    let rule = thickness(&set);
    let cap = rule.thick_cap.as_ref().unwrap();
    let clause = "older federal specification, section 501, about 1969".to_string();
    assert_eq!((cap.value, cap.unit, cap.written.as_str()), (dec!(0.20), Unit::Inch, "0.20 in"));
    let key = "cores.thick_cap.is".to_string();
    assert_eq!(cap.given("cap", "c").origin, Origin::Rule { set: set.id.clone(), key, clause });
    assert_eq!((rule.cores_per_lot.value, rule.cores_per_lot.unit), (dec!(3), Unit::One));
    assert_eq!(rule.cores_per_lot.clause, "example, no agency's rule");
    assert!(matches!(&rule.lot.by, LotBy::Area(size) if size.value == dec!(2000) && size.unit == Unit::SquareYard));
    assert_eq!(
        (rule.judged, rule.lot.leftover, rule.reach.clone()),
        (Judged::Lot, Leftover::HalfJoins, Reach::ToGoodCore)
    );
}

#[test]
fn the_section_rule_cuts_lots_by_length_of_lane() {
    let set = shipped_set("example-stepped-section");
    let rule = thickness(&set);
    assert_eq!(rule.judged, Judged::Section);
    assert!(matches!(&rule.lot.by, LotBy::Length(size) if size.value == dec!(1000) && size.unit == Unit::Foot));
}

/// ACI 318-19, 26.12.3.1: average of three consecutive tests at least f'c; no test more than 500 psi below f'c up to
/// 5,000 psi, nor more than 0.10 f'c below beyond.
#[test]
fn the_strength_criteria_are_those_of_aci_318() {
    for id in ["aci-318-19-strength", "example-two-rule-strength"] {
        let set = shipped_set(id);
        let rule = strength(&set);
        let (amount, up_to, percent) = floor(rule);
        assert_eq!((rule.running.as_ref().unwrap().tests.value, rule.specimens_per_test.value), (dec!(3), dec!(2)));
        assert_eq!((amount.value, up_to.value), (dec!(500), dec!(5000)));
        assert_eq!((percent.value, percent.unit), (dec!(10), Unit::Percent));
        assert_eq!(amount.clause, "ACI 318-19, 26.12.3.1(b)");
        assert_eq!(rule.pay.is_none(), id == "aci-318-19-strength");
    }
    let set = shipped_set("example-two-rule-strength-si");
    let (amount, up_to, _) = floor(strength(&set));
    assert_eq!((amount.value, amount.unit), (dec!(3.5), Unit::Megapascal));
    assert_eq!(up_to.value, dec!(35));
}

#[test]
fn steps_leave_no_gap_and_do_not_overlap() {
    one(
        AVERAGE,
        "from = 0.31,",
        "from = 0.30,",
        "53:5 step 2 (0.21 to 0.30, line 52) and step 3 (0.30 to 0.40, line 53) overlap: what enters the table is rounded \
         to 0.01 | let the second begin at 0.31",
    );
    one(
        AVERAGE,
        "from = 0.31,",
        "from = 0.33,",
        "53:5 step 2 (0.21 to 0.30, line 52) and step 3 (0.33 to 0.40, line 53) leave a gap between them: what enters the \
         table is rounded to 0.01 | let the second begin at 0.31",
    );
    one(
        AVERAGE,
        "from = 0.51, to = 0.75",
        "from = 0.51, to = 0.5",
        "55:5 step 5 (0.51 to 0.5, line 55) runs backward or is empty | let 'from' be the lower end and 'to' the upper",
    );
}

#[test]
fn every_deficiency_has_its_step() {
    one(
        AVERAGE,
        "from = 0.00, to",
        "from = 0.05, to",
        "51:5 step 1 (0.05 to 0.20, line 51) leaves lesser values without a step \
         | let it begin at 0, or leave its 'from' out",
    );
    one(
        AVERAGE,
        "from = 1.01, pay",
        "from = 1.01, to = 9.50, pay",
        "57:5 the last step ends at 9.50, so a greater value has none \
         | leave its 'to' out, or add a last step with 'from' only",
    );
    one(
        AVERAGE,
        "to = 0.40, pay = 72",
        "pay = 72",
        "54:5 step 3 (from 0.31 on, line 53) and step 4 (0.41 to 0.50, line 54) do not say where one ends and the next \
         begins | only the first step lacks 'from' and only the last lacks 'to'",
    );
}

#[test]
fn a_table_of_both_ends_stands_on_the_grid_of_its_rounding() {
    let text = AVERAGE.replace("round = \"0.01 half up\"  ", "round = \"0.1 half up\"  ");
    let findings = said(&load("ours.toml", &text).unwrap_err());
    assert_eq!(findings.len(), 6, "{findings:?}");
    assert_eq!(
        findings[0],
        "52:5 step 2 (0.21 to 0.30, line 52) has an end at 0.21, but what enters the table is rounded to 0.1 and never \
         has that value | write the steps on the grid of that rounding, or correct the rounding"
    );
}

#[test]
fn steps_with_one_end_in_touch_exactly() {
    let touching = |ends: &str, first: &str| {
        AVERAGE
            .replace("ends          = \"both\"", &format!("ends          = \"{ends}\""))
            .replace("from = 0.00, to", first)
            .replace("0.21", "0.20")
            .replace("from = 0.31", "from = 0.30")
            .replace("from = 0.41", "from = 0.40")
            .replace("from = 0.51", "from = 0.50")
            .replace("from = 0.76", "from = 0.75")
            .replace("1.01", "1.00")
    };
    for (ends, first, at_020, at_100) in
        [("upper", "to", dec!(100), dec!(50)), ("lower", "from = 0, to", dec!(80), dec!(0))]
    {
        let set = load("ours.toml", &touching(ends, first)).map_err(|f| said(&f)).unwrap();
        let steps = &thickness(&set).pay.steps;
        let pay = |deficiency| steps.rows[steps.find(deficiency).unwrap()].value;
        assert_eq!((pay(dec!(0.20)), pay(dec!(1.00)), pay(dec!(0))), (at_020, at_100, dec!(100)), "{ends}");
    }
    let mistaken = load("ours.toml", &touching("upper", "from = 0, to")).unwrap_err();
    assert_eq!(
        said(&mistaken),
        ["51:5 step 1 (0 to 0.20, line 51) leaves lesser values without a step | leave its 'from' out"]
    );
}

#[test]
fn nothing_is_converted_and_nothing_left_out() {
    one(
        AVERAGE,
        "area      = \"2000 yd2\"",
        "area      = \"1700 m2\"",
        "20:13 'lot.area' says \"1700 m2\", but this file is in US customary units \
         | give it in yd2, as it was agreed; nothing is converted between the systems here",
    );
    one(
        AVERAGE,
        "area      = \"2000 yd2\"",
        "area      = \"18,000 ft2\"",
        "20:13 'lot.area' says \"18,000 ft2\", which is not in yd2 | give it in yd2",
    );
    one(
        AVERAGE,
        "entered_in    = \"in\"",
        "entered_in    = \"percent\"",
        "47:17 'pay.entered_in' is \"percent\", but what enters the table is in in | write the table in in",
    );
    one(
        AVERAGE,
        "per_lot        = 3\n",
        "",
        "23:1 'cores' lacks 'per_lot': cores a lot needs | add it, such as: per_lot = 3",
    );
    one(
        AVERAGE,
        "area      = \"2000 yd2\" ",
        "area = \"2000 yd2\"\nlength = \"1000 ft\" ",
        "19:1 a lot is given by area and by length \
         | write one of: 'area', 'length', 'volume', 'tests', 'by'",
    );
    one(
        STRENGTH,
        "below         = \"500 psi\"",
        "below         = \"500\"",
        "28:17 'floor.below' says 500 without a unit | write the unit: \"500 psi\"",
    );
}

#[test]
fn a_rule_set_of_the_folder_stands_in_place_of_a_shipped_one() {
    let own = |file: &str, text: &str| (file.to_string(), text.to_string());
    let better = AVERAGE.replace("0 yd2", "1 yd2");
    let (sets, findings) =
        catalogue(&[own("rules/b.toml", AVERAGE), own("rules/a.toml", &better), own("rules/c.toml", "id = [")]);
    assert_eq!(sets.len(), shipped().len());
    let set = sets.iter().find(|set| set.id == "example-stepped-average").unwrap();
    assert!(matches!(&thickness(set).lot.by, LotBy::Area(size) if size.value == dec!(2001)));
    let codes: Vec<Code> = findings.iter().map(|f| f.code).collect();
    assert_eq!(codes, [Code::RuleReplaced, Code::RuleInvalid, Code::RuleInvalid]);
    assert_eq!(findings[1].message, "the rule set 'example-stepped-average' is also in rules/a.toml");
    assert!(findings[2].message.starts_with("this line is not TOML"), "{}", findings[2].message);
}

#[test]
fn an_effective_date_is_printed_with_the_citation() {
    let text = AVERAGE.replace("units    =", "effective = 2031-01-01\nunits    =");
    assert_eq!(load("ours.toml", &text).unwrap().citation, "example, no agency's rule, effective 2031-01-01");
}

#[test]
fn a_rule_is_explained_in_plain_words() {
    for (file, text) in shipped() {
        let page = explain(&load(file, text).unwrap());
        assert!(page.lines().all(|line| line.chars().count() <= 100), "{page}");
    }
    let page = explain(&shipped_set("example-stepped-average"));
    for words in [
        "2000 yd2 of pavement over all lanes of a section together",
        "a core deficient by more than 1.00 in is left out",
        "            0.21 to 0.30           80",
        "           1.01 and more            0   engineer decides",
        "example: the shape of a rule, no agency's rule",
    ] {
        assert!(page.contains(words), "'{words}' is not in\n{page}");
    }
    assert!(explain(&shipped_set("aci-318-19-strength")).contains("is not changed by strength"));
}

/// What is said of a rule set in which `from` has become `to`.
#[track_caller]
fn refused(text: &str, from: &str, to: &str, words: &str) {
    assert_eq!(text.matches(from).count(), 1, "'{from}' should stand once");
    let all = said(&load("ours.toml", &text.replace(from, to)).unwrap_err()).join("\n");
    assert!(all.contains(words), "'{words}' is not in\n{all}");
}

#[test]
fn a_ride_rule_says_what_a_segment_is_and_what_becomes_of_it() {
    let (money, limit) = (include_str!("sets/example-tenth-mile-incentive.toml"), UFGS);
    refused(money, "partial     = \"prorated\"", "", "[segment] does not say what a segment of another length is paid");
    refused(money, "\"money per segment\"", "\"money per area\"", "'partial' is for money per segment");
    refused(money, "\"528 ft\"", "\"0 ft\"", "a segment has no length");
    refused(money, "short       = \"no correction\"", "", "short");
    refused(money, "\"95 in/mi\"", "\"1.5 m/km\"", "nothing is converted between the systems");
    refused(money, "\"95 in/mi\"", "\"95 percent\"", "which is not an index of smoothness");
    refused(money, "[passes]", "[lot]\nby = \"day\"\n[passes]", "its lot cannot be a day");
    refused(money, "from = 50.1", "from = 50.2", "leave a gap between them");
    refused(limit, "[correct]\nabove = ", "[unknown]\nabove = ", "neither pays nor corrects");
    refused(AVERAGE, "\"percent\"", "\"money per segment\"", "this rule judges no segments");
}

#[test]
fn what_a_rule_for_thickness_would_pass_over_is_refused() {
    const SECTION: &str = include_str!("sets/example-stepped-section.toml");
    let cap = "thick_cap      = \"0.20 in\"";
    let option = "thick_option = { beyond = 3, most = \"10 percent\" }";
    let dropped = SECTION.replace(cap, &format!("{cap}\n{option}"));
    assert_eq!(
        said(&load("ours.toml", &dropped).unwrap_err()),
        ["21:16 a deficient section has no thick cores that could be dropped \
          | take 'thick_option' out, or write judged = \"lot\" under [average]"]
    );
    let volume = "[volume]\ncredit = \"0.20 in\"\n\n[cores]";
    assert_eq!(SECTION.matches("[cores]").count(), 1);
    let mut said_of = said(&load("ours.toml", &SECTION.replace("[cores]", volume)).unwrap_err());
    said_of.sort();
    assert_eq!(said_of.len(), 2, "{said_of:?}");
    assert!(said_of[0].contains("both say what a thick core counts as | keep one of the two"), "{said_of:?}");
    assert!(said_of[1].contains("is that of a whole lot, and this rule pays sections"), "{said_of:?}");
    let line = AVERAGE.lines().find(|line| line.starts_with("thin_exclusion")).unwrap();
    let without = AVERAGE.replace(line, "");
    let all = said(&load("ours.toml", &without).unwrap_err());
    assert!(all.len() == 1 && all[0].contains("so none calls for exploratory cores"), "{all:?}");
    let index = AVERAGE.replace("judged    = \"lot\"", "of = \"thinnest\"\njudged    = \"lot\"");
    let index = index.replace("from = 0.00, to", "to").replace("[deficiency]", "[index]\nspread = \"0.01 half up\"");
    let all = said(&load("ours.toml", &index).unwrap_err());
    assert!(all.iter().any(|line| line.contains("the thinnest core alone has no spread")), "{all:?}");
}

#[test]
fn what_a_pay_table_would_pass_over_is_refused() {
    let money = AVERAGE.replace("pay_in        = \"percent\"", "pay_in = \"money per area\"\nprice_per_volume = 300");
    let all = said(&load("ours.toml", &money).unwrap_err());
    assert_eq!(
        all,
        ["49:20 'price_per_volume' is for percents of a price, and this table gives money \
          | take it out, or write pay_in = \"percent\""]
    );
    let ratio = include_str!("sets/maine-401-ride.toml");
    refused(ratio, "\"percent\"", "\"ratio\"", "points and powers pay in percent");
}

#[test]
fn a_straightedge_rule_has_a_tolerance() {
    let counted = include_str!("sets/ufgs-02753-straightedge.toml");
    refused(&counted.replace("along  ", "#"), "across  ", "# ", "[tolerance] says nothing");
    refused(counted, "by = \"day\"", "tests = 3\nleft_over = \"own\"", "only lots of strength are so many tests");
}

/// Both columns of Maine DOT 401 as seen: what neither file may become is the other one converted.
#[test]
fn ride_rules_are_explained_with_their_segments_and_limits() {
    let page = explain(&shipped_set("example-tenth-mile-incentive"));
    for words in ["a piece shorter than 100 ft is priced, and never needs correction", "is needed above 95 in/mi"] {
        assert!(page.contains(words), "'{words}' is not in\n{page}");
    }
    assert!(explain(&shipped_set("ufgs-02753-smoothness")).contains("is not changed by the index"));
    let page = explain(&shipped_set("maine-401-ride-si"));
    assert!(page.contains("0.947 to 1.26") && page.contains("rejected"), "{page}");
}

proptest! {
    /// Whatever the deficiency, exactly one step holds it once it is rounded.
    #[test]
    fn exactly_one_step_holds_a_rounded_deficiency(thousandths in 0_i64..20_000) {
        for id in ["example-stepped-average", "example-stepped-section", "example-stepped-average-si"] {
            let set = shipped_set(id);
            let rule = thickness(&set);
            let rounded = rounding(rule).apply(Decimal::new(thousandths, 3)).unwrap();
            let steps = &rule.pay.steps;
            let row = steps.find(rounded).unwrap();
            let above = row + 1 == steps.rows.len() || steps.rows[row + 1].from.unwrap() > rounded;
            let below = row == 0 || steps.rows[row - 1].to.unwrap() < rounded;
            prop_assert!(above && below);
        }
    }
}

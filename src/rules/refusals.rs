//! Each way of getting a table of percent within limits, points or a formula wrong, with the line and what to write.

use super::{load, shipped};
use crate::finding::Place;

/// What is said of a shipped file once `from` has become `to`: `line:column message | remedy`.
#[track_caller]
fn refused(id: &str, changes: &[(&str, &str)], expected: &str) {
    let text = shipped().iter().find(|(file, _)| *file == format!("{id}.toml")).unwrap().1.to_string();
    let text = changes.iter().fold(text, |text, (from, to)| {
        assert_eq!(text.matches(from).count(), 1, "'{from}' should stand once");
        text.replace(from, to)
    });
    let said: Vec<String> = load("ours.toml", &text)
        .unwrap_err()
        .iter()
        .map(|f| match &f.place {
            Place::Line { line, column, .. } => format!("{line}:{column} {} | {}", f.message, f.remedy),
            other => panic!("a mistake without a line: {other:?}"),
        })
        .collect();
    assert_eq!(said, [expected]);
}

const TWO: &str = "example-within-two-limits";
const LINE: &str = "example-linear-pay";
const FAA: &str = "faa-p501-thickness";

#[test]
fn points_stand_in_ascending_order() {
    refused(
        TWO,
        &[("{ at = 75, pay = 92.5 }", "{ at = 95, pay = 92.5 }")],
        "41:5 the point at 90 does not come after the one at 95 | write the points in ascending order",
    );
    refused(
        TWO,
        &[("ends          = \"lower\"", "ends = \"both\"")],
        "37:8 points have no grid, so no value can belong to two steps | write \"upper\" or \"lower\"",
    );
}

#[test]
fn a_percent_within_limits_has_a_limit_said_once() {
    refused(
        TWO,
        &[("lower   = \"0.50 in\"\nupper   = \"0.75 in\"\n", "")],
        "28:1 [within] has no limit | write 'lower', 'upper' or both",
    );
    refused(
        TWO,
        &[("lower   = \"0.50 in\"", "lower = \"0.50 in\"\nlower_percent = \"95 percent\"")],
        "30:17 the limit is given as 'lower' and as 'lower_percent' | keep one of the two",
    );
    refused(
        "caltrans-40-deduction",
        &[("tolerance = \"0.00 ft\"", "tolerance = \"0.00 in\"")],
        "1:1 'average.tolerance' is \"0.00 in\", but thickness is judged in ft | give it in ft, or write 'depth_in' under [cores]",
    );
}

#[test]
fn a_table_of_quality_indexes_runs_downward_and_holds_each_number_of_tests_once() {
    refused(
        FAA,
        &[("1.1547 1.1541 1.1524", "1.1541 1.1547 1.1524")],
        "50:1 the entry for 3 tests has 51 percents and 51 indexes, or they do not run downward | give one index for each percent, both from the greatest down; negative indexes are mirrored",
    );
    refused(
        FAA,
        &[("1.1547 1.1541 1.1524", "1.1541 1.1524")],
        "50:1 the entry for 3 tests has 51 percents and 50 indexes, or they do not run downward | give one index for each percent, both from the greatest down; negative indexes are mirrored",
    );
    refused(
        FAA,
        &[("tests   = \"4\"", "tests   = \"3\"")],
        "50:1 3 tests stand in two entries of the table | give each number of tests once",
    );
    refused(
        FAA,
        &[("tests   = \"8\"", "tests   = \"7-8\"")],
        "50:1 7 tests stand in two entries of the table | give each number of tests once",
    );
    refused(
        FAA,
        &[("tests   = \"4\"", "tests   = \"four\"")],
        "62:11 'within.table[1].tests' is \"four\" | write a number of tests, or \"10-11\"",
    );
    refused(
        FAA,
        &[("1.1547 1.1541 1.1524", "1.1547 1,1541 1.1524")],
        "55:11 'within.table[0].index' has \"1,1541\" in it, which is not a number | write numbers with blanks between them",
    );
    refused(
        FAA,
        &[("look_up = \"up\"", "look_up = \"formula\"")],
        "50:1 'look_up' is \"formula\", so the table is not used | take one of the two out",
    );
    refused(
        TWO,
        &[("look_up = \"formula\"", "look_up = \"nearest\"")],
        "31:11 there is no table to look up in | add 'table', or write \"formula\"",
    );
}

#[test]
fn steps_with_both_ends_need_what_enters_them_rounded() {
    refused(
        LINE,
        &[("ends          = \"lower\"", "ends = \"both\"")],
        "36:8 both ends belong to a step, but what enters the table is not rounded and can fall between two | write \"lower\" or \"upper\", or round what enters the table",
    );
    refused(
        FAA,
        &[("round   = \"1 half up\"\n", "")],
        "35:17 both ends belong to a step, but what enters the table is not rounded and can fall between two | write \"lower\" or \"upper\", or round what enters the table",
    );
}

#[test]
fn a_formula_is_of_what_the_rule_measures() {
    refused(
        LINE,
        &[("plus = 64, times = 0.4", "power = 2")],
        "40:26 this rule has no average over a target, of which a power could be taken | write 'pay', or 'plus' and 'times'",
    );
    refused(
        "fhwa-1969-average",
        &[("to = 0.30, pay = 80", "to = 0.30, plus = 100, times = -80")],
        "47:9 'times' is for what is measured in percent, and this enters in in | write the line as 'points'",
    );
    refused(
        LINE,
        &[("plus = 64, times = 0.4", "plus = 64, times = 0.4, squared = 0.001")],
        "38:9 'squared' is for ratios | write pay_in = \"ratio\" and the coefficients for ratios",
    );
    refused(
        LINE,
        &[("plus = 64, times = 0.4", "pay = 100, plus = 64, times = 0.4")],
        "40:5 a step says what it pays in one way | write 'pay', 'power', or 'plus' and 'times'",
    );
    refused(
        LINE,
        &[("pay_in        = \"percent\"", "pay_in = \"money per segment\"")],
        "35:10 'pay_in' is \"money per segment\", but this rule judges no segments | write \"percent\" or \"money per area\"",
    );
}

#[test]
fn what_a_lot_or_section_is_judged_by_fits_together() {
    refused(
        LINE,
        &[("judged    = \"lot\"", "judged = \"section\"")],
        "1:1 a deficient section has too few cores for an index or a percent within limits | write judged = \"lot\" under [average], or measure a [deficiency]",
    );
    refused(
        "wisconsin-415-average",
        &[("judged    = \"lot\"", "judged = \"lot\"\napart = \"own average\"")],
        "24:9 'average.apart' is for a lot whose thin cores are left out, and none are | take it out, or write judged = \"lot\" and a 'thin_exclusion' under [cores]",
    );
    refused(
        "texas-360-average",
        &[("reach     = \"to the good core\"", "reach = \"to the good core\"\nacross = \"placed width\"")],
        "1:1 a section takes in all lanes placed with it, but a lot is of one lane | give the lot's area, volume or 'by', or write across = \"lane\"",
    );
    refused(
        "example-curve-by-tests",
        &[("entered_in    = \"each\"", "entered_in = \"percent\"")],
        "36:14 'pay.entered_in' is \"percent\", but what enters the table is in each | write the table in each",
    );
    refused(
        "example-curve-by-tests",
        &[("from = 10, to = 11", "from = 11, to = 11")],
        "50:5 step 8 (9 to 9, line 49) and step 9 (11 to 11, line 50) leave a gap between them: what enters the table is rounded to 1 | let the second begin at 10",
    );
    refused(
        "ohio-451-ratio",
        &[("at            = \"5 50\"", "at = \"50 5\"")],
        "38:6 distances do not grow | write them from the nearest on",
    );
}

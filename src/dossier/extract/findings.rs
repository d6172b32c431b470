//! Findings, and every computed number.

use super::{Datum, Field, Finished, Holds, field, text, words};
use crate::dossier::FindingLine;
use crate::figure::{Figure, Value};

pub(super) const FINDINGS: &[Field] = &[
    text("code", "which finding"),
    text("kind", "`reject`, `conflict`, `deficiency`, `gap` or `note`"),
    field("open", Holds::Truth, "true where it keeps the reports from being final"),
    text("place", "where"),
    text("message", "what was found and what was expected"),
    text("remedy", "what to do about it"),
    text("related", "other records, a line each"),
];

pub(super) const FIGURES: &[Field] = &[
    text("key", "its name for `slabtally trace`"),
    text("label", "what it is"),
    text("unit", "its unit"),
    text("value", "its value in full, as a decimal number, or `yes` or `no`; empty where it could not be computed"),
    field("value_double", Holds::Real, "the same as a floating-point number"),
    text("shown", "as printed"),
    text("clause", "the rule it follows"),
    text("why_not", "why it could not be computed"),
];

pub(super) fn findings(finished: Finished<'_>) -> Vec<Vec<Datum>> {
    crate::dossier::findings::lines(finished).iter().map(finding).collect()
}

fn finding(line: &FindingLine) -> Vec<Datum> {
    vec![
        words(line.code.word()),
        words(format!("{:?}", line.kind).to_lowercase()),
        Datum::Truth(line.open),
        words(&line.place),
        words(&line.message),
        words(&line.remedy),
        words(line.related.join("\n")),
    ]
}

pub(super) fn figures(finished: Finished<'_>) -> Vec<Vec<Datum>> {
    finished.book.figures().map(|(_, figure)| row(figure)).collect()
}

fn row(figure: &Figure) -> Vec<Datum> {
    let why_not = if let Value::Not(why) = &figure.value { why.as_str() } else { "" };
    vec![
        words(&figure.key),
        words(&figure.label),
        words(figure.unit.to_string()),
        words(value(&figure.value)),
        figure.value.real().map_or(Datum::Nothing, Datum::Real),
        words(figure.text()),
        words(&figure.clause),
        words(why_not),
    ]
}

fn value(value: &Value) -> String {
    match value {
        Value::Truth(true) => "yes".into(),
        Value::Truth(false) => "no".into(),
        other => other.decimal().map(|d| d.to_string()).unwrap_or_default(),
    }
}

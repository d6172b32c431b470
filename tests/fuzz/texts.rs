//! The contract's file and rule sets: a mistake is said with its line, and what is read can be worked with.

use std::fs;

use chrono::NaiveDate;
use slabtally::finding::{Finding, Place};
use slabtally::units::StationLabel;
use slabtally::{contract, rules};

use crate::{Outcome, Target, sound};

fn refused(findings: &[Finding], text: &str) -> Outcome {
    let lines = u32::try_from(text.split('\n').count()).unwrap();
    if findings.is_empty() {
        return Err("it was refused without a word".into());
    }
    for finding in findings {
        sound::said(finding)?;
        match &finding.place {
            Place::Line { line, column, .. } if (1..=lines).contains(line) && *column > 0 => {}
            place => return Err(format!("a mistake stands at {place:?}, of {lines} lines: {}", finding.message)),
        }
    }
    Ok(sound::shape(findings))
}

fn contract_text(input: &[u8]) -> Outcome {
    let Ok(text) = std::str::from_utf8(input) else { return Ok(Vec::new()) };
    let contract = match contract::load(text) {
        Err(findings) => return refused(&findings, text),
        Ok(contract) => contract,
    };
    for name in contract.lanes.iter().map(|it| &it.name).chain([&contract.title, &contract.number]) {
        sound::legible("name", name)?;
    }
    let setting = contract.setting(NaiveDate::MAX);
    for line in &setting.alignments {
        if line.length().is_sign_negative() {
            return Err(format!("an alignment is {} long", line.length()));
        }
        for label in [line.begin, line.end] {
            let written = line.write(label);
            match StationLabel::read(&written, line.full_station) {
                Ok((again, "")) if again.value == label => {}
                other => return Err(format!("{label} is written {written}, which reads as {other:?}")),
            }
        }
    }
    Ok(vec!["read".into()])
}

fn rule_text(input: &[u8]) -> Outcome {
    let Ok(text) = std::str::from_utf8(input) else { return Ok(Vec::new()) };
    match rules::load("own.toml", text) {
        Err(findings) => refused(&findings, text),
        Ok(set) => {
            let words = rules::explain(&set);
            if words.trim().is_empty() {
                return Err("a rule set was read that says nothing".into());
            }
            sound::legible("page", &words)?;
            Ok(vec!["read".into(), sound::plain(&words)])
        }
    }
}

fn contracts() -> Vec<Vec<u8>> {
    let mut paths = vec![String::from("tests/findings/base/contract.toml")];
    paths.extend(["harrow-road", "mill-street", "quay-lane"].map(|name| format!("sample-inputs/{name}/contract.toml")));
    paths.iter().map(|path| fs::read(path).unwrap()).collect()
}

fn sets() -> Vec<Vec<u8>> {
    rules::shipped().iter().map(|(_, text)| text.as_bytes().to_vec()).collect()
}

const WORDS: &[&str] = &[
    "\n",
    "\"",
    "'",
    "=",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "#",
    ",",
    ".",
    "\"\"\"",
    "\\u001b",
    "\\u202e",
    "[[lanes]]\n",
    "[[items]]\n",
    "[[sections]]\n",
    "[[alignments]]\n",
    "[[periods]]\n",
    "[rounding]\n",
    "name = ",
    "number = ",
    "begin = ",
    "end = ",
    "\"12+00\"",
    "\"9 in\"",
    "\"230 mm\"",
    "\"12 ft\"",
    "\"0.1 half up\"",
    "2031-07-31",
    "true",
    "false",
    "1",
    "0",
    "-1",
    "1.5",
    "nan",
    "inf",
    "1e400",
    "9223372036854775807",
    "9999999999999999999999999",
    "\"79228162514264337593543950335+00\"",
    "\"-79228162514264337593543950+00\"",
    "\"79228162514264337593543950335\"",
    "\"1,333.33\"",
    "\"US customary\"",
    "\"SI\"",
    "percent",
    "\"5 percent\"",
    "equations = [[\"10+00\", \"9+50\"]]",
    "thickness",
    "strength",
    "above",
    "below",
    "steps",
    "\u{feff}",
    "é",
];

pub(crate) fn targets() -> Vec<Target> {
    vec![
        Target { name: "contract", words: WORDS, seeds: contracts(), try_one: contract_text, change: None },
        Target { name: "rules", words: WORDS, seeds: sets(), try_one: rule_text, change: None },
    ]
}

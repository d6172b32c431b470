//! What the contract file says about sheets and rows, held against what lies in the field folder: an entry that fits
//! nothing is a slip of the pen, or its sheet has changed since.

use super::grid::means;
use super::setting::{SetAside, Setting, SheetRule};
use super::{Intake, Unused};
use crate::finding::{Code, Finding, Place};
use crate::source::SheetSource;

/// Why a file that cannot be read is not missed: the contract file sets it aside as a whole.
pub(super) fn file_aside(finding: &Finding, setting: &Setting) -> Option<Finding> {
    let Place::File(file) = &finding.place else { return None };
    let rule = setting.set_aside.iter().find(|rule| is_whole(rule) && means(&rule.file, None, file, None))?;
    let message = format!("the file is set aside by contract.toml: {} (not read: {})", rule.reason, finding.message);
    Some(Finding::new(Code::SetAside, finding.place.clone(), message, "nothing, while the reason holds"))
}

fn is_whole(rule: &SetAside) -> bool {
    rule.sheet.is_none() && rule.rows.is_empty()
}

/// A finding for each entry that fits nothing.
pub(super) fn findings(setting: &Setting, intake: &Intake) -> Vec<Finding> {
    let asides = setting.set_aside.iter().filter_map(|rule| unmet(rule, intake));
    asides.chain(setting.sheets.iter().filter_map(|rule| unmet_sheet(rule, intake))).collect()
}

fn unmet(rule: &SetAside, intake: &Intake) -> Option<Finding> {
    let place = Place::File("contract.toml".into());
    let what = match &rule.sheet {
        Some(sheet) => format!("[[set_aside]] for file '{}', sheet '{sheet}'", rule.file),
        None => format!("[[set_aside]] for file '{}'", rule.file),
    };
    let there = sheets(intake, &rule.file, rule.sheet.as_deref()) || (is_whole(rule) && is_file(intake, &rule.file));
    if !there {
        return Some(finding(place, &format!("{what}: there is no such file or sheet in field/")));
    }
    let idle: Vec<String> = rule.rows.iter().filter(|row| !is_aside(intake, rule, **row)).map(u32::to_string).collect();
    let rows = if idle.len() == 1 { "row" } else { "rows" };
    (!idle.is_empty()).then(|| finding(place, &format!("{what}: nothing stands in {rows} {}", idle.join(", "))))
}

fn unmet_sheet(rule: &SheetRule, intake: &Intake) -> Option<Finding> {
    let place = Place::Line { file: "contract.toml".into(), line: rule.line, column: 1 };
    let sheet = rule.sheet.as_ref().map_or_else(String::new, |sheet| format!(", sheet '{sheet}'"));
    let message = format!("[[sheets]] for file '{}'{sheet}: there is no such file or sheet in field/", rule.file);
    (!sheets(intake, &rule.file, rule.sheet.as_deref())).then(|| finding(place, &message))
}

fn finding(place: Place, message: &str) -> Finding {
    let remedy = "correct the name (a path inside field/, * for any run of characters), or take the entry out";
    Finding::new(Code::EntryUnmet, place, message, remedy)
}

fn sheets(intake: &Intake, file: &str, sheet: Option<&str>) -> bool {
    let fits = |source: &SheetSource| means(file, sheet, &source.file, source.sheet.as_deref());
    intake.sources.iter().any(|(_, source)| fits(source))
}

/// Whether a file was passed over, could not be read, or holds no sheet.
fn is_file(intake: &Intake, file: &str) -> bool {
    let said = |finding: &Finding| matches!(&finding.place, Place::File(named) if means(file, None, named, None));
    intake.findings.iter().any(said) || intake.files.iter().any(|read| means(file, None, &read.file, None))
}

fn is_aside(intake: &Intake, rule: &SetAside, row: u32) -> bool {
    let fits = |source: &SheetSource| means(&rule.file, rule.sheet.as_deref(), &source.file, source.sheet.as_deref());
    let mut asides = intake.unused.iter().filter(|unused| unused.why == Unused::SetAside && unused.at.row + 1 == row);
    asides.any(|unused| intake.sources.sheet(unused.at.sheet).is_some_and(fits))
}

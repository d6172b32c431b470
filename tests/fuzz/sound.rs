//! What must hold of everything that was read, whatever was put in: rows close, what is refused is said with its place, and
//! no character reaches a message that a terminal would obey.

use slabtally::finding::{Finding, Place};
use slabtally::intake::{Intake, Unused, UnusedRow};

/// The first thing that does not hold.
pub(crate) fn intake(intake: &Intake) -> Result<(), String> {
    for sheet in &intake.sheets {
        if !sheet.rows.closes() {
            return Err(format!("the rows of a sheet do not close: {:?}", sheet.rows));
        }
        // Tables side by side on a sheet are counted each by itself, their refused rows kept together.
        let refused = intake.unused.iter().filter(|row| row.why == Unused::Refused && row.at.sheet == sheet.id).count();
        let counted: u32 =
            intake.sheets.iter().filter(|other| other.id == sheet.id).map(|other| other.rows.refused).sum();
        if u32::try_from(refused) != Ok(counted) {
            return Err(format!("{refused} rows are kept as refused, {counted} counted"));
        }
    }
    let refused = intake.unused.iter().filter(|row| row.why == Unused::Refused);
    if let Some(row) = refused.into_iter().find(|row| !is_said(row, intake)) {
        return Err(format!("no finding says why {:?} was refused: {}", row.at, row.reason));
    }
    intake.findings.iter().try_for_each(|finding| {
        let place = match &finding.place {
            Place::Cell(at) => intake.sources.cell(*at),
            Place::Row(at) => intake.sources.row(*at),
            other => format!("{other:?}"),
        };
        legible("place", &place)?;
        said(finding)
    })
}

/// A finding names the row, a heading above it, or its file; on a form on its side, where headings stand beside, its sheet.
fn is_said(row: &UnusedRow, intake: &Intake) -> bool {
    let turned = intake.sheets.iter().any(|sheet| sheet.id == row.at.sheet && sheet.counts != "rows");
    let file = intake.sources.sheet(row.at.sheet).map(|sheet| sheet.file.as_str()).unwrap_or_default();
    let names = |place: &Place| match place {
        Place::Cell(at) | Place::Row(at) => at.sheet == row.at.sheet && (turned || at.row <= row.at.row),
        Place::File(name) => name.starts_with(file),
        _ => false,
    };
    intake.findings.iter().any(|finding| names(&finding.place) || finding.related.iter().any(names))
}

/// A finding has words, and none of them can be obeyed.
pub(crate) fn said(finding: &Finding) -> Result<(), String> {
    if finding.message.trim().is_empty() || finding.remedy.trim().is_empty() {
        return Err(format!("{:?} says nothing", finding.code));
    }
    legible("message", &finding.message)?;
    legible("remedy", &finding.remedy)
}

/// Neither control characters nor those that turn the direction of writing round.
pub(crate) fn legible(what: &str, text: &str) -> Result<(), String> {
    let obeyed = |c: &char| {
        (c.is_control() && *c != '\n')
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{61c}')
    };
    match text.chars().find(obeyed) {
        None => Ok(()),
        Some(found) => Err(format!("a {what} holds the character U+{:04X}: {text:?}", u32::from(found))),
    }
}

/// What a reader is told, without figures and without what was typed: two inputs that are told the same are alike.
pub(crate) fn shape(findings: &[Finding]) -> Vec<String> {
    findings.iter().map(|finding| format!("{:?} {}", finding.code, plain(&finding.message))).collect()
}

pub(crate) fn plain(message: &str) -> String {
    let mut quoted = false;
    let kept = message.chars().filter(|c| {
        quoted ^= matches!(c, '\'' | '"');
        !quoted && (c.is_ascii_lowercase() || *c == ' ')
    });
    kept.take(60).collect()
}

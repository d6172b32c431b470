//! What the result rests on: inputs with hashes, sheets with their counts, rule sets with status, settings in force.

use super::{BasisFile, BasisRule, BasisSheet, Finished};
use crate::figure::TableId;
use crate::rules::{Property, Status};
use crate::source::column_letters;

pub(super) fn records(finished: Finished<'_>) -> Vec<TableId> {
    let ledger = &finished.line.ledger;
    let all = [
        ledger.placements,
        ledger.loads,
        ledger.cores,
        ledger.probes,
        ledger.specimens,
        ledger.fresh,
        ledger.profiles,
        ledger.straightedge,
        ledger.measured,
        ledger.batches,
        ledger.levels,
        ledger.delivered,
        ledger.billed,
    ];
    all.into_iter().chain(ledger.steps.all()).filter(|&id| !finished.book.table(id).is_empty()).collect()
}

pub(super) fn files(finished: Finished<'_>) -> Vec<BasisFile> {
    let contract = BasisFile { file: "contract.toml".into(), sha256: finished.contract.sha256.clone(), bytes: 0 };
    let field = finished.intake.files.iter().map(|f| BasisFile {
        file: f.file.clone(),
        sha256: f.sha256.clone(),
        bytes: f.bytes,
    });
    std::iter::once(contract).chain(field).collect()
}

pub(super) fn sheets(finished: Finished<'_>) -> Vec<BasisSheet> {
    finished
        .intake
        .sheets
        .iter()
        .map(|sheet| {
            let source = finished.intake.sources.sheet(sheet.id);
            BasisSheet {
                file: source.map_or_else(String::new, |s| s.file.clone()),
                sheet: part(source.and_then(|s| s.sheet.as_deref()).unwrap_or_default(), sheet.columns),
                kinds: sheet.kinds.join(", "),
                rows: sheet.rows,
            }
        })
        .collect()
}

/// A sheet's name, with the columns of one of the tables side by side on it.
fn part(sheet: &str, columns: Option<(u16, u16)>) -> String {
    let Some((first, _)) = columns else { return sheet.into() };
    let from = format!("from column {}", column_letters(first));
    if sheet.is_empty() { from } else { format!("{sheet}, {from}") }
}

pub(super) fn rules(finished: Finished<'_>) -> Vec<BasisRule> {
    finished
        .rules
        .iter()
        .map(|rule| BasisRule {
            id: rule.id.clone(),
            title: rule.title.clone(),
            used_for: rule.property.word().into(),
            citation: rule.citation.clone(),
            status: match rule.status {
                Status::Transcribed => "transcribed".into(),
                Status::FromMemory => "from memory".into(),
                Status::Example => "example".into(),
            },
            notes: rule.notes.clone(),
            sha256: rule.sha256.clone(),
        })
        .collect()
}

/// Every setting that moves a number, defaults filled in.
pub(super) fn settings(finished: Finished<'_>) -> Vec<(String, String)> {
    let contract = finished.contract;
    let roundings = &contract.roundings;
    let or_none = |text: Option<String>| text.unwrap_or_else(|| "none stated".into());
    let system = match contract.system {
        crate::units::System::Customary => "US customary",
        crate::units::System::Si => "SI",
    };
    let mut rows = vec![
        ("as-of date", finished.through.to_string()),
        ("unit system", system.into()),
        ("rounding of lengths", roundings.length.to_string()),
        ("rounding of areas", roundings.area.to_string()),
        ("rounding of volumes", roundings.volume.to_string()),
        ("rounding of money", roundings.money.to_string()),
        ("retainage", or_none(contract.payment.retainage.as_ref().map(|r| r.percent.written.clone()))),
        ("estimate below zero", if contract.payment.carried { "carried to later estimates" } else { "owed" }.into()),
        ("warning above theoretical volume", or_none(contract.yields.warn_over.as_ref().map(|r| r.written.clone()))),
        ("adjustments of one area", together(finished)),
    ];
    if let Some(draw) = &contract.draw {
        rows.push(("seed of the drawn locations", draw.seed.clone()));
    }
    rows.extend(contract.alignments.iter().map(|a| ("alignment", format!("{}, {}", a.name, a.span()))));
    rows.into_iter().map(|(name, value)| (name.to_string(), value)).collect()
}

/// How the adjustments of different properties stand to each other.
fn together(finished: Finished<'_>) -> String {
    let combines = finished.rules.iter().find(|rule| rule.property == Property::Combined);
    let apart = "separate lines, each against the full price";
    combines.map_or_else(|| apart.into(), |rule| format!("{apart}; of combined pay one line, by {}", rule.id))
}

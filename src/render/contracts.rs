//! Many contracts beside each other, for a terminal, for a spreadsheet and for machines.

use serde_json::json;

use super::RenderError;
use super::shown::clean;
use super::text::table_text;
use crate::dossier::{ContractLine, Contracts, FindingLine, Head, KINDS, OwnAmount};
use crate::figure::Book;
use crate::source::Sources;
use crate::wrapping::{PAGE, hang, wrap};

/// The tables, then what was not done and why.
#[must_use]
pub fn contracts_text(contracts: &Contracts) -> String {
    let (book, head) = (Book::new(Sources::default()), Head::default());
    let mut out = String::new();
    for table in contracts.tables() {
        out.push_str(&format!("{}\n\n{}\n", table.title, table_text(&table, &book, &head)));
    }
    for (folder, reasons) in contracts.not_done() {
        out.push_str(&format!("NOT DONE  {}\n", clean(folder)));
        out.push_str(&reasons.iter().map(lines).collect::<String>());
        out.push('\n');
    }
    for link in &contracts.links {
        out.push_str(&lines(link));
    }
    let text: Vec<&str> = out.trim_end().lines().map(str::trim_end).collect();
    format!("{}\n", text.join("\n"))
}

fn lines(finding: &FindingLine) -> String {
    let said = format!("{}: {}", clean(&finding.place), clean(&finding.message));
    let mut lines = hang("    ", &said, PAGE);
    for related in &finding.related {
        lines.extend(hang("        see ", &clean(related), PAGE));
    }
    // A remedy may give lines to be pasted: they stay lines.
    for remedy in finding.remedy.lines() {
        lines.extend(wrap(&clean(remedy), PAGE - 8).into_iter().map(|line| format!("        {line}")));
    }
    lines.join("\n") + "\n"
}

/// One line for each contract; what was not done has its reasons in the last column.
///
/// # Errors
/// Where the writer refuses a record, in words.
pub fn contracts_csv(contracts: &Contracts) -> Result<String, RenderError> {
    let written = |why: csv::Error| RenderError::Written(why.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heads = ["read from", "contract", "title", "period", "through", "status", "currency"];
    let amounts = ["due this period", "earned to date", "retained to date"];
    let kinds = KINDS.iter().map(|&(_, word)| word);
    let heads = heads.into_iter().chain(amounts).chain(kinds).chain(["written to", "why not"]);
    writer.write_record(heads).map_err(written)?;
    for line in &contracts.lines {
        writer.write_record(record(line)).map_err(written)?;
    }
    let bytes = writer.into_inner().map_err(|why| RenderError::Written(why.to_string()))?;
    String::from_utf8(bytes).map_err(|why| RenderError::Written(why.to_string()))
}

fn record(line: &ContractLine) -> Vec<String> {
    let mut cells = vec![line.folder.clone()];
    match &line.came_to {
        Ok(done) => {
            let amount = |amount: &OwnAmount| amount.value.map(|v| v.to_string()).unwrap_or_default();
            cells.extend([done.number.clone(), done.title.clone(), done.period.to_string(), done.through.to_string()]);
            cells.extend([done.status().to_string(), done.currency.clone(), amount(&done.due), amount(&done.earned)]);
            cells.push(done.retained.as_ref().map(amount).unwrap_or_default());
            cells.extend(KINDS.iter().map(|&(kind, _)| done.count(kind).to_string()));
            cells.extend([done.written.clone(), String::new()]);
        }
        Err(reasons) => {
            let reasons: Vec<String> = reasons.iter().map(|why| format!("{}: {}", why.place, why.message)).collect();
            cells.resize(KINDS.len() + 11, String::new());
            cells[5] = "NOT DONE".into();
            cells.push(reasons.join("; "));
        }
    }
    cells
}

/// The same for machines, with every finding.
#[must_use]
pub fn contracts_json(contracts: &Contracts) -> String {
    let line = |line: &ContractLine| match &line.came_to {
        Ok(done) => json!({
            "folder": line.folder,
            "done": true,
            "contract": done.number,
            "title": done.title,
            "period": done.period,
            "through": done.through,
            "final": done.not_final.is_none(),
            "status": done.not_final,
            "currency": done.currency,
            "due-this-period": done.due,
            "earned-to-date": done.earned,
            "retained-to-date": done.retained,
            "counts": KINDS.iter().map(|&(kind, word)| (word, done.count(kind))).collect::<std::collections::BTreeMap<_, _>>(),
            "findings": done.findings,
            "written-to": done.written,
        }),
        Err(reasons) => json!({ "folder": line.folder, "done": false, "findings": reasons }),
    };
    let value = json!({
        "contracts": contracts.lines.iter().map(line).collect::<Vec<_>>(),
        "not-searched": contracts.unsearched,
        "links-not-followed": contracts.links,
    });
    format!("{value:#}\n")
}

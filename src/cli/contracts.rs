//! The command `report --all`: findings contract by contract on stderr, the contracts beside each other on stdout.

use std::path::Path;

use super::{NOT_DONE, OPEN, print, progress, summary};
use crate::dossier::FindingLine;
use crate::run::{self, Many, SUMMARIES, Stop, Writing, printable as clean};

pub(super) fn report(dir: &Path, out: Option<&Path>, writing: &Writing<'_>, json: bool) -> Result<u8, Stop> {
    let bar = progress::Bar::of("reporting", "contracts");
    let out = out.unwrap_or(Path::new("out"));
    let many = run::many(dir, out, writing, &|done, all| bar.tick(done, all));
    bar.finish();
    let many = many?;
    eprint!("{}", findings(&many));
    print(&if json { many.json.clone() } else { lines(&many, out) })?;
    Ok(code(&many))
}

/// The worst of them.
fn code(many: &Many) -> u8 {
    if many.unwritten.is_some() || many.contracts.not_done().next().is_some() {
        NOT_DONE
    } else if many.contracts.done().any(|(_, done)| done.not_final.is_some()) {
        OPEN
    } else {
        0
    }
}

/// Findings of each contract under its folder, in order; then what concerns no contract.
fn findings(many: &Many) -> String {
    let mut out = String::new();
    for line in &many.contracts.lines {
        let (findings, end) = match &line.came_to {
            Ok(done) => (&done.findings, ""),
            Err(reasons) => (reasons, "nothing was written for this contract\n"),
        };
        out.push_str(&group(&line.folder, findings, end));
    }
    out.push_str(&group("not searched", &many.contracts.unsearched, ""));
    out.push_str(&group("links that were not followed", &many.contracts.links, ""));
    if let Some(stop) = &many.unwritten {
        let findings: Vec<FindingLine> = stop.in_words().collect();
        out.push_str(&group("summaries", &findings, "the contracts above were written, their summaries were not\n"));
    }
    out
}

fn group(title: &str, findings: &[FindingLine], end: &str) -> String {
    if findings.is_empty() {
        return String::new();
    }
    format!("== {}\n{}{end}", clean(title), summary::grouped(findings.iter().cloned()))
}

fn lines(many: &Many, out: &Path) -> String {
    let contracts = &many.contracts;
    let open = contracts.done().filter(|(_, done)| done.not_final.is_some()).count();
    let (done, not_done) = (contracts.done().count(), contracts.not_done().count());
    let summaries = if many.unwritten.is_some() { "no summary".into() } else { SUMMARIES.join(" ") };
    format!(
        "{}\nwrote     {}/  {summaries} and a folder for each contract done\n{}: {} with nothing open, {open} NOT FINAL, {not_done} not done\n",
        many.text,
        out.display(),
        summary::counted(contracts.lines.len(), "contract", "contracts"),
        done - open,
    )
}

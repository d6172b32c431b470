//! The few lines on stdout, the findings on stderr.

use std::path::PathBuf;

use serde_json::json;

use crate::closing::ChangeTold;
use crate::dossier::FindingLine;
use crate::figure::FigureId;
use crate::finding::{Code, Finding, Kind, Place};
use crate::run::{Audited, Computed, Proven, Stop, Written, printable as clean};
use crate::units::thousands;

/// How many findings of one code are printed before the rest is counted.
const SHOWN: usize = 5;

/// `1 conflict`, `3 conflicts`.
pub(super) fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{} {}", thousands(&n.to_string()), if n == 1 { one } else { many })
}

fn amount(computed: &Computed, id: FigureId) -> String {
    let text = computed.book[id].text();
    let sign = &computed.contract.currency;
    text.strip_prefix('-').map_or_else(|| format!("{sign}{text}"), |rest| format!("-{sign}{rest}"))
}

/// What a run came to beside its package.
pub(super) struct Told {
    /// Records edited since the result before.
    pub(super) edited: Vec<ChangeTold>,
    /// The list of refused rows, where it was written by itself.
    pub(super) refused: Option<PathBuf>,
}

/// Records edited since the result before, each with both values.
pub(super) fn edited(told: &Told) -> String {
    let mut out = String::new();
    if !told.edited.is_empty() {
        out.push_str(&format!(
            "edited: Records say something else than in the result before ({})\n",
            told.edited.len()
        ));
    }
    for change in &told.edited {
        out.push_str(&format!("    {}\n", clean(&change.line())));
    }
    out
}

/// The summary, the most important line last.
pub(super) fn lines(computed: &Computed, wrote: &[Written], told: &Told) -> String {
    let mut out = String::new();
    let mut say = |what: &str, text: String| out.push_str(&format!("{what:<10}{text}\n"));
    say("read", rows_read(computed));
    say("placed", placed(computed));
    say("judged", judged(computed));
    if let Some(proven) = computed.proven() {
        say("proved", proved(proven));
    }
    say("findings", found(computed));
    if !told.edited.is_empty() {
        let records = counted(told.edited.len(), "record says", "records say");
        say("edited", format!("{records} something else than in the result before"));
    }
    match &told.refused {
        Some(list) => {
            say("wrote", format!("{}: the refused rows, to be corrected and put into field/", list.display()));
        }
        None if wrote.is_empty() => say("wrote", "nothing: check only reads".into()),
        None => {}
    }
    for one in wrote {
        say("wrote", format!("{}/  {}", one.folder.display(), one.files.join(" ")));
    }
    let period = computed.estimate.period.number;
    let due = amount(computed, computed.estimate.due().this);
    let open = computed.dossier().head.not_final.map_or_else(String::new, |words| format!("{words}.  "));
    out.push_str(&format!("{open}Due in period {period}, through {}: {due}\n", computed.through));
    out
}

fn rows_read(computed: &Computed) -> String {
    let sum = |pick: fn(&crate::intake::RowCount) -> u32| {
        computed.intake.sheets.iter().map(|s| pick(&s.rows) as usize).sum::<usize>()
    };
    let n = |v: usize| thousands(&v.to_string());
    format!(
        "{}, {}: {} used, {} headings and totals, {} blank, {} refused, {} set aside",
        counted(computed.intake.files.len(), "file", "files"),
        counted(sum(|r| r.seen), "row", "rows"),
        n(sum(|r| r.used)),
        n(sum(|r| r.heading) + sum(|r| r.total)),
        n(sum(|r| r.blank)),
        n(sum(|r| r.refused)),
        n(sum(|r| r.set_aside))
    )
}

fn placed(computed: &Computed) -> String {
    let line = &computed.line;
    let volume = computed.account.contract.as_ref().map_or_else(
        || if line.stretches.is_empty() { "nothing".into() } else { "no loads to hold against the plan".into() },
        |c| {
            let unit = computed.book[c.theoretical].unit;
            format!(
                "{} {unit} by plan, {} {unit} delivered ({} %)",
                computed.book[c.theoretical].text(),
                computed.book[c.net].text(),
                computed.book[c.percent].text()
            )
        },
    );
    format!(
        "{volume} in {}, {}, {}",
        counted(line.placements.len(), "placement", "placements"),
        counted(line.unplaced.len(), "gap", "gaps"),
        counted(line.overlaps.len(), "overlap", "overlaps")
    )
}

fn judged(computed: &Computed) -> String {
    let lots = computed.standing();
    let tests = &computed.judged.tests;
    let raised = if lots.raised > 0 { format!("{} above full pay, ", lots.raised) } else { String::new() };
    format!(
        "{}: {} sound, {raised}{} deficient, {} undecided, {} not tested; {} ({} outstanding)",
        counted(lots.judged, "lot or section", "lots and sections"),
        lots.sound,
        lots.deficient,
        lots.undecided,
        lots.not_tested,
        counted(tests.len(), "strength test", "strength tests"),
        tests.iter().filter(|t| t.strength.is_none()).count()
    )
}

fn proved(proven: Proven) -> String {
    let opening = if proven.placements > 0 {
        format!(
            "; {} of {} may open by the records",
            proven.may_open,
            counted(proven.placements, "placement", "placements")
        )
    } else {
        String::new()
    };
    format!(
        "{} of {}: {} without proof, {} failed, {} not due yet{opening}",
        proven.proved,
        counted(proven.pieces, "piece", "pieces"),
        proven.missing,
        proven.failed,
        proven.not_due
    )
}

fn found(computed: &Computed) -> String {
    let findings = &computed.findings;
    let kinds = [
        (Kind::Reject, "refusal", "refusals"),
        (Kind::Conflict, "conflict", "conflicts"),
        (Kind::Deficiency, "deficiency", "deficiencies"),
        (Kind::Gap, "gap", "gaps"),
        (Kind::Note, "note", "notes"),
    ];
    let words: Vec<String> = kinds
        .iter()
        .map(|&(kind, one, many)| (findings.count(kind), one, many))
        .filter(|(n, ..)| *n > 0)
        .map(|(n, one, many)| counted(n, one, many))
        .collect();
    if words.is_empty() { "none".into() } else { words.join(", ") }
}

/// What an audit's sample covers, and whether it came out again; the most important line last.
pub(super) fn audit(computed: &Computed, audited: &Audited, (dir, names): (&std::path::Path, &[&str])) -> String {
    let (audit, coverage) = (&audited.audit, &audited.audit.coverage);
    let mut out = String::new();
    let mut say = |what: &str, text: String| out.push_str(&format!("{what:<10}{text}\n"));
    say("lines", format!("{} that move money to date", counted(audit.lines.len(), "line", "lines")));
    say("seed", format!("{}, share {} %, {} more at random", audit.rule.seed, audit.rule.share, audit.rule.random));
    say(
        "covers",
        format!(
            "{} of {} without sign, {} %",
            amount(computed, coverage.chosen),
            amount(computed, coverage.all),
            computed.book[coverage.percent].text()
        ),
    );
    say("findings", found(computed));
    say("wrote", format!("{}/  {}", dir.display(), names.join(" ")));
    let equal = audit.sample.iter().filter(|s| s.equal()).count();
    let open = computed.dossier().head.not_final.map_or_else(String::new, |words| format!("{words}.  "));
    let chosen = counted(audit.sample.len(), "line", "lines");
    out.push_str(&format!("{open}Chosen {chosen}: computed a second time from the records, {equal} equal\n"));
    out
}

/// Findings grouped by code, worst first, at most a few of each.
pub(super) fn findings(computed: &Computed) -> String {
    grouped(computed.findings_in_words())
}

/// Findings in words, grouped by code.
pub(super) fn grouped(findings: impl Iterator<Item = FindingLine>) -> String {
    let mut out = String::new();
    let all: Vec<FindingLine> = findings.collect();
    for group in all.chunk_by(|a, b| a.code == b.code) {
        let code = group[0].code;
        out.push_str(&format!("{code}: {} ({})\n", code.meaning(), group.len()));
        group.iter().take(SHOWN).for_each(|finding| out.push_str(&one(finding)));
        if group.len() > SHOWN {
            out.push_str(&format!("    and {} more, all listed in the reports\n", group.len() - SHOWN));
        }
    }
    out
}

fn one(line: &FindingLine) -> String {
    let mut text = format!("    {}: {}\n", clean(&line.place), clean(&line.message));
    for related in line.related.iter().take(SHOWN) {
        text.push_str(&format!("        see {}\n", clean(related)));
    }
    // A remedy may give lines to be pasted: they stay lines.
    for remedy in line.remedy.lines() {
        text.push_str(&format!("        {}\n", clean(remedy)));
    }
    text
}

/// The summary for machines.
pub(super) fn json(computed: &Computed, wrote: &[Written], told: &Told) -> String {
    let head = computed.dossier().head;
    let figure = |id: FigureId| computed.book[id].value.decimal().map(|d| d.to_string());
    let folder = |one: &Written| json!({ "folder": one.folder.display().to_string(), "files": one.files });
    let value = json!({
        "contract": head.number,
        "period": computed.estimate.period.number,
        "through": computed.through,
        "final": !computed.findings.keep_open(),
        "status": head.not_final,
        "due-this-period": figure(computed.estimate.due().this),
        "earned-to-date": figure(computed.estimate.earned().to_date),
        "findings": computed.findings_in_words().collect::<Vec<_>>(),
        "edited": told.edited,
        "refused": told.refused.as_ref().map(|list| list.display().to_string()),
        "wrote": wrote.first().map(folder),
    });
    format!("{value:#}\n")
}

/// Why nothing was done.
pub(super) fn stopped(stop: &Stop) -> String {
    let mut out = grouped(stop.in_words());
    out.push_str("nothing was written\n");
    out
}

/// The same for machines.
pub(super) fn stop_json(stop: &Stop) -> String {
    format!("{:#}", json!({ "done": false, "findings": stop.in_words().collect::<Vec<_>>() }))
}

/// Standard output that could not be written.
pub(super) fn not_printed(why: &std::io::Error) -> Stop {
    let remedy = "check where standard output goes";
    Finding::new(Code::NotWritten, Place::File("standard output".into()), why.to_string(), remedy).into()
}

//! The plain-text reports, 100 columns wide, for a terminal, a mail or a diff.
//!
//! Each report is a template of its own that prints some pages of the dossier; the lines of a table, a calculation or a
//! drawing are laid out here, since a template cannot align decimal points.

mod calculation;
mod strip;
mod table;

use serde::Serialize;

use super::view::{BlockView, HeadView, KindView, PageView, View, table_alone, view};
use super::{RenderError, Templates};
use crate::dossier::{Dossier, Head, Table};
use crate::figure::Book;
use crate::wrapping::{PAGE, hang, wrap};

/// Which pages stand in which report.
const REPORTS: &[(&str, &[&str])] = &[
    (
        "estimate.txt",
        &[
            "summary",
            "estimate",
            "quantities",
            "final",
            "corrections",
            "corrected-rows",
            "adjustments",
            "papers",
            "payment",
            "splits",
        ],
    ),
    ("yield.txt", &["yield", "supplier", "materials", "tickets", "invoices", "placed"]),
    ("as-built.txt", &["as-built", "opening", "ground", "joints", "weather"]),
    ("audit.txt", &["audit", "audit-population", "work-sheet"]),
    ("deficiencies.txt", &["thickness", "strength", "ride", "combined", "fresh", "findings"]),
];

/// File names of the text reports that a dossier has pages for.
pub fn text_reports(dossier: &Dossier) -> impl Iterator<Item = &'static str> {
    let there = |ids: &[&str]| dossier.pages.iter().any(|page| ids.contains(&page.id));
    REPORTS.iter().filter(move |(_, ids)| there(ids)).map(|(name, _)| *name)
}

/// What a text template prints.
#[derive(Debug, Serialize)]
struct Report<'a> {
    head: &'a HeadView,
    /// The title block, ready to print.
    title: Vec<String>,
    pages: Vec<Pages>,
    findings: Vec<Kind>,
}

#[derive(Debug, Serialize)]
struct Pages {
    id: String,
    title: String,
    question: String,
    blocks: Vec<Lines>,
}

/// A block as lines.
#[derive(Debug, Serialize)]
struct Lines {
    kind: &'static str,
    lines: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Kind {
    title: String,
    count: usize,
    findings: Vec<Lines>,
}

/// One of the reports `estimate.txt`, `yield.txt`, `deficiencies.txt`.
///
/// # Errors
/// When there is no such report, or its template fails.
pub fn text(templates: &Templates, dossier: &Dossier, book: &Book, report: &str) -> Result<String, RenderError> {
    let Some((_, ids)) = REPORTS.iter().find(|(name, _)| *name == report) else {
        let message = "there is no such report".into();
        return Err(RenderError::TemplateName { name: report.into(), message });
    };
    let view = view(dossier, book);
    let rendered = templates.text(report, &select(&view, ids))?;
    Ok(tidy(&rendered))
}

/// One table by itself, as lines for a terminal.
#[must_use]
pub fn table_text(table: &Table, book: &Book, head: &Head) -> String {
    let lines = self::table::lines(&table_alone(table, book, head), PAGE);
    lines.iter().skip(1).fold(String::new(), |text, line| text + line.trim_end() + "\n")
}

fn select<'a>(view: &'a View, ids: &[&str]) -> Report<'a> {
    let shown = |id: &str| ids.contains(&id);
    Report {
        head: &view.head,
        title: title(&view.head),
        pages: view.pages.iter().filter(|p| shown(&p.id)).map(page).collect(),
        findings: if shown("findings") { view.findings.iter().map(kind).collect() } else { Vec::new() },
    }
}

fn title(head: &HeadView) -> Vec<String> {
    let mut lines = wrap(&format!("{}  {}", head.number, head.title), PAGE);
    lines.push(format!("{}, {}", head.period, head.span));
    let parties = [("owner", &head.owner), ("contractor", &head.contractor), ("engineer", &head.engineer)];
    for (role, name) in parties.into_iter().filter(|(_, name)| !name.is_empty()) {
        lines.extend(hang(&format!("{role:<12}"), name, PAGE));
    }
    if !head.notice.is_empty() {
        lines.extend(wrap(&head.notice, PAGE));
    }
    lines
}

fn page(page: &PageView) -> Pages {
    Pages {
        id: page.id.clone(),
        title: page.title.clone(),
        question: page.question.clone(),
        blocks: page.blocks.iter().map(block).collect(),
    }
}

fn block(block: &BlockView) -> Lines {
    let (kind, lines) = match block {
        BlockView::Heading { text } => ("heading", underlined(text)),
        BlockView::Text { text } => ("text", wrap(text, PAGE)),
        BlockView::Caution { text } => ("caution", hang("Caution: ", text, PAGE)),
        BlockView::Table(view) => ("table", table::lines(view, PAGE)),
        BlockView::Calculation(view) => ("calculation", calculation::lines(view, PAGE)),
        BlockView::Signatures { lines } => {
            ("signatures", lines.iter().flat_map(|s| signature(&s.role, &s.name)).collect())
        }
        BlockView::Chart(chart) => {
            let from = format!("drawn in package.pdf and estimate.xlsx from table {}", chart.from_table);
            ("chart", wrap(&format!("Chart {}. {}: {from}.", chart.number, chart.title), PAGE))
        }
        BlockView::Strip(view) => ("strip", strip::lines(view, PAGE)),
    };
    Lines { kind, lines }
}

fn underlined(text: &str) -> Vec<String> {
    let mut lines = wrap(text, PAGE);
    let longest = lines.iter().map(|l| l.chars().count()).max().unwrap_or(0);
    lines.push("-".repeat(longest));
    lines
}

fn signature(role: &str, name: &str) -> Vec<String> {
    let line = "_".repeat(44);
    let mut lines = vec![String::new(), String::new(), format!("{line}    date {}", "_".repeat(20))];
    lines.extend(wrap(&format!("{name}, {role}"), PAGE));
    lines
}

fn kind(kind: &KindView) -> Kind {
    let findings = kind
        .lines
        .iter()
        .map(|f| {
            let mut lines = hang("", &format!("{}: {}", f.place, f.message), PAGE);
            if !f.related.is_empty() {
                lines.extend(hang("    also: ", &f.related, PAGE));
            }
            if !f.remedy.is_empty() {
                // A remedy may give lines to be pasted: they stay lines.
                lines.extend(f.remedy.lines().flat_map(|line| hang("    ", line, PAGE)));
            }
            Lines { kind: "finding", lines }
        })
        .collect();
    Kind { title: kind.title.clone(), count: kind.lines.len(), findings }
}

/// No blanks at the end of a line, never more than two empty lines, one line end at the end.
fn tidy(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut empty = 2;
    for line in text.lines().map(str::trim_end) {
        empty = if line.is_empty() { empty + 1 } else { 0 };
        if empty <= 2 {
            out.push_str(line);
            out.push('\n');
        }
    }
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::example;

    fn reports() -> Vec<String> {
        let (dossier, book) = example();
        let templates = Templates::new(&[]).unwrap();
        REPORTS.iter().map(|(name, _)| text(&templates, &dossier, &book, name).unwrap()).collect()
    }

    #[test]
    fn no_line_is_longer_than_a_hundred_characters() {
        for report in reports() {
            let long: Vec<&str> = report.lines().filter(|l| l.chars().count() > PAGE).collect();
            assert_eq!(long, Vec::<&str>::new());
        }
    }

    #[test]
    fn a_name_cannot_steer_the_terminal() {
        for report in reports() {
            assert!(!report.chars().any(|c| c != '\n' && (c.is_control() || c == '\u{202e}')));
            assert!(report.contains("<U+001B>[31m"), "the escape is shown, not dropped");
        }
    }

    #[test]
    fn a_report_without_a_template_is_refused() {
        let (dossier, book) = example();
        let error = text(&Templates::new(&[]).unwrap(), &dossier, &book, "weather.txt").unwrap_err();
        assert_eq!(error.to_string(), "templates/weather.txt: there is no such report");
    }

    #[test]
    fn same_dossier_same_bytes() {
        assert_eq!(reports(), reports());
    }

    #[test]
    fn the_deduction_can_be_followed_by_hand() {
        let estimate = &reports()[0];
        for step in ["148.0", "9.00 - 8.64", "0.36", "72", "-$3,398.02", "[lot-7.adjustment]"] {
            assert!(estimate.contains(step), "{step} is missing from\n{estimate}");
        }
    }
}

//! The last pages of a package: rows that were not used, and what the whole rests on (files with their hashes, how the
//! rows of each sheet were accounted for, rule sets with their status, settings in force).

use rust_decimal::Decimal;

use crate::dossier::{Align, Block, Column, Dossier, Page, Row, RowKind, Shown, Table};
use crate::units::written;

/// Heading of the column that holds hashes.
pub(super) const HASH: &str = "SHA-256";

/// How many rows not used are listed on paper; the workbook lists them all.
const LISTED: usize = 200;

/// The pages, without those that would be empty.
pub(super) fn pages(dossier: &Dossier) -> Vec<Page> {
    let mut pages = Vec::new();
    if !dossier.unused.is_empty() {
        pages.push(Page {
            id: "unused",
            title: "Rows not used",
            question: "Which rows of the field sheets did not become records, and why?",
            blocks: vec![Block::Table(unused(dossier))],
        });
    }
    pages.push(Page {
        id: "basis",
        title: "Basis",
        question: "What does all this rest on?",
        blocks: vec![
            Block::Table(files(dossier)),
            Block::Table(sheets(dossier)),
            Block::Table(rules(dossier)),
            Block::Table(settings(dossier)),
            Block::Text(format!(
                "Made by {} from the files above, with the records up to {}.",
                dossier.head.program, dossier.head.through
            )),
        ],
    });
    pages
}

fn left(heading: &str, width: u8) -> Column {
    Column { heading: heading.into(), unit: String::new(), align: Align::Left, width }
}

fn right(heading: &str, width: u8) -> Column {
    Column { align: Align::Right, ..left(heading, width) }
}

fn text(text: &str) -> Shown {
    Shown::Text(text.into())
}

fn line(cells: Vec<Shown>) -> Row {
    Row { kind: RowKind::Line, cells }
}

fn unused(dossier: &Dossier) -> Table {
    let all = dossier.unused.len();
    let note = match all.checked_sub(LISTED) {
        Some(rest) if rest > 0 => {
            let rest = written(Decimal::from(rest), 0);
            format!("{rest} more rows are listed in estimate.xlsx, with the cells of each.")
        }
        _ => "The cells of each row stand in estimate.xlsx.".into(),
    };
    Table {
        id: "unused-rows".into(),
        title: format!("Rows that did not become records: {}", written(Decimal::from(all), 0)),
        columns: vec![left("row", 34), left("why", 12), left("reason", 50)],
        rows: dossier
            .unused
            .iter()
            .take(LISTED)
            .map(|row| line(vec![text(&row.place), text(&row.why), text(&row.reason)]))
            .collect(),
        note,
    }
}

fn files(dossier: &Dossier) -> Table {
    let read = dossier.files.iter().map(|f| line(vec![text(&f.file), Shown::Count(f.bytes), text(&f.sha256)]));
    let rules = dossier
        .rules
        .iter()
        .map(|rule| line(vec![Shown::Text(format!("rule set {}", rule.id)), Shown::Blank, text(&rule.sha256)]));
    Table {
        id: "basis-files".into(),
        title: "Files read".into(),
        columns: vec![left("file", 24), right("bytes", 10), left(HASH, 64)],
        rows: read.chain(rules).collect(),
        note: "The hash tells whether a file is still the one that was read.".into(),
    }
}

fn sheets(dossier: &Dossier) -> Table {
    let row = |s: &crate::dossier::BasisSheet| {
        let r = s.rows;
        let counts = [r.seen, r.used, r.blank, r.heading, r.total, r.refused, r.set_aside];
        let mut cells = vec![text(&s.file), text(&s.sheet), text(&s.kinds)];
        cells.extend(counts.map(|n| Shown::Count(u64::from(n))));
        line(cells)
    };
    let mut columns = vec![left("file", 22), left("sheet", 10), left("read as", 12)];
    columns.extend(
        ["seen", "used", "blank", "headings", "totals", "refused", "set aside"].map(|heading| right(heading, 8)),
    );
    Table {
        id: "basis-sheets".into(),
        title: "Rows of each sheet".into(),
        columns,
        rows: dossier.sheets.iter().map(row).collect(),
        note: "Seen = used + blank + headings + totals + refused + set aside.".into(),
    }
}

fn rules(dossier: &Dossier) -> Table {
    Table {
        id: "basis-rules".into(),
        title: "Rule sets".into(),
        columns: vec![left("rule set", 26), left("used for", 12), left("status", 12), left("citation and notes", 46)],
        rows: dossier
            .rules
            .iter()
            .map(|rule| {
                let mut said = vec![rule.citation.clone()];
                said.extend(rule.notes.iter().cloned());
                let said = said.join("; ");
                line(vec![text(&rule.title), text(&rule.used_for), text(&rule.status), Shown::Text(said)])
            })
            .collect(),
        note: String::new(),
    }
}

fn settings(dossier: &Dossier) -> Table {
    Table {
        id: "basis-settings".into(),
        title: "Settings in force".into(),
        columns: vec![left("setting", 34), left("value", 50)],
        rows: dossier.settings.iter().map(|(name, value)| line(vec![text(name), text(value)])).collect(),
        note: String::new(),
    }
}

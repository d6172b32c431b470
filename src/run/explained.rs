//! How one file was read: for each sheet what was recognised and by which words, what holds for every row and where that
//! comes from, and what is left over.

use super::{Computed, Stop};
use crate::dossier::{self, FindingLine};
use crate::finding::{Code, Finding, Place};
use crate::intake::{ColumnRead, GivenRead, SheetRead, TableRead, Unused, UnusedRow};
use crate::render::clean;
use crate::source::{CellRef, SheetId, column_letters};

/// Rows of one outcome that are told one by one.
const TOLD: usize = 12;

/// How a file was read.
#[derive(Clone, Debug)]
pub struct Explained {
    /// Sheet by sheet, in words.
    pub text: String,
    /// What is to be said of it, with the lines that would settle it.
    pub findings: Vec<FindingLine>,
}

impl Computed {
    /// How a file of the field folder was read, by the name that reports show (`field/lab/cores.ods`).
    ///
    /// # Errors
    /// Where no such file was read.
    pub fn explain(&self, file: &str) -> Result<Explained, Stop> {
        let sources = &self.intake.sources;
        let own = |id: SheetId| sources.sheet(id).is_some_and(|source| source.file == file);
        let findings: Vec<FindingLine> = self
            .findings
            .iter()
            .filter(|finding| match &finding.place {
                Place::Cell(at) | Place::Row(at) => own(at.sheet),
                Place::File(place) => place == file || place.starts_with(&format!("{file}, ")),
                _ => false,
            })
            .map(|finding| dossier::worded(sources, finding))
            .collect();
        let read = self.intake.files.iter().find(|read| read.file == file);
        if read.is_none() && findings.is_empty() {
            return Err(self.no_file(file));
        }
        let mut text = format!("{}\n", clean(file));
        if let Some(read) = read {
            text.push_str(&format!("{} bytes, SHA-256 {}\n", read.bytes, read.sha256));
        }
        for sheet in self.intake.sheets.iter().filter(|sheet| own(sheet.id)) {
            self.sheet(sheet, &mut text);
        }
        Ok(Explained { text, findings })
    }

    fn no_file(&self, file: &str) -> Stop {
        let names: Vec<&str> = self.intake.files.iter().map(|read| read.file.as_str()).collect();
        let remedy = format!("the files that were read are {}", names.join(", "));
        let message = "no such file was read in this contract folder";
        Finding::new(Code::FileUnreadable, Place::File(file.into()), message, remedy).into()
    }

    fn sheet(&self, sheet: &SheetRead, text: &mut String) {
        let name = self.intake.sources.sheet(sheet.id).and_then(|source| source.sheet.as_deref());
        let rows = sheet.rows;
        text.push_str(&match name {
            Some(name) => format!("\nsheet {}\n", clean(name)),
            None => "\n".into(),
        });
        let counts = [
            (rows.used, "used"),
            (rows.heading, "headings and titles"),
            (rows.total, "totals"),
            (rows.blank, "blank"),
            (rows.refused, "refused"),
            (rows.set_aside, "set aside"),
        ];
        let counts: Vec<String> = counts.iter().map(|(n, what)| format!("{n} {what}")).collect();
        text.push_str(&format!("  {} rows: {}\n", rows.seen, counts.join(", ")));
        if sheet.tables.is_empty() {
            let read = sheet.kinds.first().map_or("no table was recognised", |_| "a list of corrected rows");
            text.push_str(&format!("  {read}\n"));
        }
        for table in &sheet.tables {
            table_read(table, text, |given| given.at.map(CellRef::address));
        }
        self.not_used(sheet.id, text);
    }

    /// Rows that did not become records, by why.
    fn not_used(&self, id: SheetId, text: &mut String) {
        let of = |why: Unused| self.intake.unused.iter().filter(move |row| row.at.sheet == id && row.why == why);
        let outcomes = [
            (Unused::Refused, "refused"),
            (Unused::Void, "void"),
            (Unused::Duplicate, "stands elsewhere too"),
            (Unused::SetAside, "set aside"),
            (Unused::AfterCutOff, "after the cut-off"),
            (Unused::Total, "total"),
        ];
        for (why, word) in outcomes {
            let rows: Vec<&UnusedRow> = of(why).collect();
            for row in rows.iter().take(TOLD) {
                text.push_str(&format!("  row {} {word}: {}\n", row.at.row + 1, clean(&row.reason)));
            }
            if rows.len() > TOLD {
                text.push_str(&format!("  and {} more rows {word}\n", rows.len() - TOLD));
            }
        }
    }
}

fn table_read(table: &TableRead, text: &mut String, cell: impl Fn(&GivenRead) -> Option<String>) {
    let rows = match table.depth {
        0 | 1 => format!("row {}", table.row + 1),
        depth => format!("rows {} to {}", table.row + 1, table.row + depth),
    };
    text.push_str(&format!("  headings in {rows}: read as {}\n", table.kind));
    let broad = table.columns.iter().map(|c| clean(&c.heading).chars().count()).max().unwrap_or(0).min(40) + 2;
    for column in &table.columns {
        let heading = format!("'{}'", clean(&column.heading));
        text.push_str(&format!("    {:<3} {heading:<broad$}  {}\n", column_letters(column.at), meaning(column)));
    }
    for given in &table.given {
        let from = cell(given).map_or_else(|| given.from.clone(), |cell| format!("{} {cell}", given.from));
        text.push_str(&format!("    every row: {} {} ({})\n", given.field, clean(&given.value), clean(&from)));
    }
    for (at, heading) in &table.unused {
        let heading = if heading.is_empty() { "no heading".into() } else { format!("'{}'", clean(heading)) };
        text.push_str(&format!("    not read: {} {heading}\n", column_letters(*at)));
    }
    if let Some(fault) = &table.fault {
        text.push_str(&format!("    no row can be read: {}\n", clean(fault)));
    }
}

fn meaning(column: &ColumnRead) -> String {
    match column.unit {
        Some(unit) if !unit.symbol().is_empty() => format!("{}, in {unit} {}", column.field, column.unit_from),
        _ => column.field.into(),
    }
}

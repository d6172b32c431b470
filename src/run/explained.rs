//! How a field file was read, for the person who has it open: each sheet and table with its headings, fields, units and
//! where they are from, what is given for all rows, what is left over, and the lines that settle what is not known.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::{Computed, Stop};
use crate::dossier::worded;
use crate::finding::{Code, Finding, Place};
use crate::intake::{ColumnRead, GivenRead, RowCount, SheetRead, TableRead, UnitFrom, Unused};
use crate::source::column_letters;

/// How many rows of one outcome are named before the rest is counted.
const NAMED: usize = 20;

impl Computed {
    /// How a file of the field folder was read, in words; `file` is its path inside `field/`.
    ///
    /// # Errors
    /// Where there is no such file: the files there are.
    pub fn explain(&self, file: &str) -> Result<String, Stop> {
        let inside = file.strip_prefix("field/").unwrap_or(file);
        let file = format!("field/{inside}");
        let sheets: Vec<&SheetRead> = self.intake.sheets.iter().filter(|s| self.file_of(s) == file).collect();
        let said: Vec<&Finding> = self.findings.iter().filter(|f| self.is_about(f, &file)).collect();
        if sheets.is_empty() && said.is_empty() && !self.intake.files.iter().any(|f| f.file == file) {
            return Err(self.no_such_file(inside).into());
        }
        let mut out = format!("{file}\n");
        for sheet in &sheets {
            self.sheet(sheet, &mut out);
        }
        self.to_settle(&said, &mut out);
        Ok(out)
    }

    fn file_of(&self, sheet: &SheetRead) -> &str {
        self.intake.sources.sheet(sheet.id).map_or("", |s| &s.file)
    }

    /// Whether a finding speaks of how a file was read.
    fn is_about(&self, finding: &Finding, file: &str) -> bool {
        let code = matches!(
            finding.code,
            Code::SheetUnrecognised
                | Code::UnitUnknown
                | Code::ColumnUnused
                | Code::CarriedDown
                | Code::HiddenRows
                | Code::FileUnreadable
                | Code::FilePassedOver
                | Code::EncodingAssumed
        ) || (finding.code == Code::CellMissing && finding.message.contains("under these headings"));
        let at = match &finding.place {
            Place::Cell(at) | Place::Row(at) => self.intake.sources.sheet(at.sheet).is_some_and(|s| s.file == file),
            Place::File(name) => name == file || name.strip_prefix(file).is_some_and(|rest| rest.starts_with(", ")),
            _ => false,
        };
        code && at
    }

    fn sheet(&self, sheet: &SheetRead, out: &mut String) {
        let name = self.intake.sources.sheet(sheet.id).and_then(|s| s.sheet.clone());
        let mut title = name.map_or_else(|| String::from("the file"), |n| format!("sheet '{n}'"));
        if let Some((first, _)) = sheet.columns {
            let _ = write!(title, ", from column {}", column_letters(first));
        }
        let as_what =
            if sheet.kinds.is_empty() { "not read".into() } else { format!("read as {}", sheet.kinds.join(" and ")) };
        let _ = writeln!(out, "\n{title}: {as_what}");
        for table in &sheet.tables {
            Self::table(table, out);
        }
        let _ = writeln!(out, "  {:<12}{}", sheet.counts, counts(&sheet.rows));
        for (why, rows) in self.outcomes(sheet) {
            let _ = writeln!(out, "  {why:<12}{rows}");
        }
    }

    fn table(table: &TableRead, out: &mut String) {
        let (first, last) = table.headings;
        let rows = if first == last { format!("row {first}") } else { format!("rows {first} to {last}") };
        let what = table.kinds.join(" or ");
        let _ = writeln!(out, "  headings    {rows}: {what}");
        if let Some(fault) = &table.fault {
            let _ = writeln!(out, "  not read    {fault}");
        }
        let wide = table.columns.iter().map(|c| c.heading.chars().count() + 2).max().unwrap_or(0).min(40);
        for column in &table.columns {
            let _ = writeln!(out, "  {}", column_line(column, wide));
        }
        for given in &table.given {
            let _ = writeln!(out, "  all rows    {}", given_line(given));
        }
        if !table.unused.is_empty() {
            let unused: Vec<String> = table.unused.iter().map(|(l, h)| format!("{l} {h}")).collect();
            let _ = writeln!(out, "  not used    {}", unused.join(", "));
        }
    }

    /// Rows by outcome: which, and how many more.
    fn outcomes(&self, sheet: &SheetRead) -> Vec<(&'static str, String)> {
        let mut by: BTreeMap<Unused, Vec<(u32, &str)>> = BTreeMap::new();
        let (first, last) = sheet.columns.unwrap_or((0, u16::MAX));
        for row in &self.intake.unused {
            if row.at.sheet == sheet.id && (first..=last).contains(&row.at.column) {
                by.entry(row.why).or_default().push((row.at.row + 1, &row.reason));
            }
        }
        let mut lines = Vec::new();
        for (why, rows) in by {
            for (row, reason) in rows.iter().take(NAMED) {
                lines.push((word(why), format!("row {row}: {reason}")));
            }
            if rows.len() > NAMED {
                lines.push((word(why), format!("and {} more", rows.len() - NAMED)));
            }
        }
        lines
    }

    /// What is to be settled, with the lines to paste.
    fn to_settle(&self, said: &[&Finding], out: &mut String) {
        for finding in said {
            let line = worded(&self.intake.sources, finding);
            let _ = writeln!(out, "\n{}\n{}", line.place, line.message);
            for text in line.remedy.lines() {
                let _ = writeln!(out, "    {text}");
            }
        }
    }

    fn no_such_file(&self, asked: &str) -> Finding {
        let mut files: Vec<&str> =
            self.intake.files.iter().map(|f| f.file.strip_prefix("field/").unwrap_or(&f.file)).collect();
        files.sort_unstable();
        let remedy = if files.is_empty() {
            String::from("put the spreadsheets as received into field/")
        } else {
            format!("name one of the files in field/:\n{}", files.join("\n"))
        };
        Finding::new(Code::FileUnreadable, Place::File(asked.into()), "no such file in field/ was read", remedy)
    }
}

fn counts(rows: &RowCount) -> String {
    format!(
        "{} seen = {} used + {} blank + {} headings + {} totals + {} refused + {} set aside",
        rows.seen, rows.used, rows.blank, rows.heading, rows.total, rows.refused, rows.set_aside
    )
}

fn given_line(given: &GivenRead) -> String {
    let at = given.at.map_or_else(String::new, |at| format!(" {}", at.address()));
    format!("{} = '{}', from {}{at}", given.field, given.value, given.from)
}

fn word(why: Unused) -> &'static str {
    match why {
        Unused::Refused => "refused",
        Unused::AfterCutOff => "after date",
        Unused::Void => "void",
        Unused::Duplicate => "repeated",
        Unused::SetAside => "set aside",
        Unused::Total => "total",
    }
}

fn column_line(column: &ColumnRead, wide: usize) -> String {
    let heading = format!("'{}'", column.heading);
    let field = format!("  column {:<4} {heading:<wide$}  -> {}", column.letters, column.field);
    let unit = column.unit.as_deref().unwrap_or("");
    match column.unit_from {
        UnitFrom::Heading => format!("{field}, {unit} by its heading"),
        UnitFrom::UnitsRow => format!("{field}, {unit} by the row of units"),
        UnitFrom::Contract => format!("{field}, {unit} by contract.toml"),
        UnitFrom::UnitColumn => format!("{field}, in the unit of the row's column of units"),
        UnitFrom::Understood => format!("{field}, {unit} by the contract's system of units"),
        UnitFrom::Nothing => format!("{field}, no unit stated but by cells"),
        UnitFrom::None => field,
    }
}

//! What the workbook rests on: contract and program, input files with their hashes, every sheet with its rows accounted
//! for, rule sets with their status, settings in force, and what codes and styles mean.

use std::collections::BTreeMap;

use rust_xlsxwriter::Format;

use super::address::{Plan, absolute};
use super::leaf::{Leaf, lines_of};
use super::list;
use super::lists::kind;
use super::style::{self, Weight};
use crate::dossier::{BasisSheet, Dossier};
use crate::figure::Book;
use crate::finding::Code;
use crate::render::RenderError;

/// Widths of the sheet's columns. The first two hold names, the rest counts and notes.
const WIDTHS: [f64; 12] = [13.0, 38.0, 22.0, 20.0, 8.0, 8.0, 8.0, 9.0, 8.0, 9.0, 10.0, 12.0];
/// Last column.
const LAST: u16 = 11;
/// Width of the words beside a name, and of the name.
const WORDS: f64 = 112.0;
const NAME: f64 = 50.0;

/// The sheet as it grows downward.
struct Basis<'l, 'w> {
    leaf: &'l mut Leaf<'w>,
    row: u32,
}

/// Writes the sheet.
pub(super) fn write(leaf: &mut Leaf, dossier: &Dossier, book: &Book, plan: &Plan) -> Result<(), RenderError> {
    list::opening(leaf, &dossier.head, &plan.names.basis, "What this workbook rests on, and how to read it.")?;
    for (column, width) in (0_u16..).zip(WIDTHS) {
        leaf.width(column, width)?;
    }
    leaf.sheet.set_freeze_panes(3, 0)?;
    leaf.printed(&dossier.head, true);
    let mut basis = Basis { leaf, row: 4 };
    basis.contract(dossier)?;
    basis.style_legend()?;
    basis.files(dossier)?;
    basis.sheets(dossier, book)?;
    basis.rules(dossier)?;
    basis.settings(dossier)?;
    basis.codes()
}

impl Basis<'_, '_> {
    fn heading(&mut self, text: &str) -> Result<(), RenderError> {
        self.leaf.text(self.row, 0, text, &style::heading())?;
        self.row += 1;
        Ok(())
    }

    fn columns(&mut self, headings: &[(u16, &str, bool)]) -> Result<(), RenderError> {
        for column in 0..=LAST {
            self.leaf.blank(self.row, column, &style::column_heading(false, true))?;
        }
        for (column, text, right) in headings {
            let format = style::column_heading(*right, true);
            let apart = *column > 0 && !right;
            self.leaf.text(self.row, *column, text, &if apart { style::set_off(format) } else { format })?;
        }
        self.row += 1;
        Ok(())
    }

    /// A name in the first two columns and words in the others.
    fn pair(&mut self, name: &str, words: &str) -> Result<(), RenderError> {
        let format = style::line(Weight::Line, false).set_text_wrap();
        self.leaf.lines(self.row, lines_of(words, WORDS).max(lines_of(name, NAME)))?;
        self.leaf.paragraph(self.row, (0, 1), name, &format)?;
        self.leaf.paragraph(self.row, (2, LAST), words, &style::set_off(format))?;
        self.row += 1;
        Ok(())
    }

    fn contract(&mut self, dossier: &Dossier) -> Result<(), RenderError> {
        let head = &dossier.head;
        let from = head.from.map_or_else(|| "the first record".into(), |d| d.to_string());
        self.heading("Contract")?;
        self.pair("number", &head.number)?;
        self.pair("title", &head.title)?;
        self.pair("owner", &head.owner)?;
        self.pair("contractor", &head.contractor)?;
        self.pair("engineer", &head.engineer)?;
        self.pair("period", &format!("{}, from {from} through {}", head.period, head.through))?;
        self.pair("standing", head.not_final.as_deref().unwrap_or("nothing is open"))?;
        if !head.notice.is_empty() {
            self.pair("notice", &head.notice)?;
        }
        self.pair("made by", &head.program)?;
        self.row += 1;
        Ok(())
    }

    fn style_legend(&mut self) -> Result<(), RenderError> {
        let line = || style::line(Weight::Line, true);
        let samples: [(Format, &str, &str); 5] = [
            (
                style::typed(line()),
                "123.4",
                "typed in by people: records (but in very long lists), contract and rule values (tinted ground)",
            ),
            (line(), "123.4", "worked out: a live formula on 'Calculations' (white ground)"),
            (
                style::leads(line()),
                "123.4",
                "shown on a page (accent tone): choose it and it leads to where it is worked out or was read",
            ),
            (style::line(Weight::Total, true), "123.4", "a total: bold between two rules"),
            (line(), "not computed", "cannot be worked out; the reason stands on 'Calculations'"),
        ];
        self.heading("How to read the cells")?;
        for (format, sample, words) in samples {
            let plain = style::set_off(style::line(Weight::Line, false));
            self.leaf.text(self.row, 0, sample, &format)?;
            self.leaf.paragraph(self.row, (1, LAST), words, &plain)?;
            self.row += 1;
        }
        self.row += 1;
        Ok(())
    }

    fn files(&mut self, dossier: &Dossier) -> Result<(), RenderError> {
        self.heading("Files read")?;
        self.columns(&[(0, "file", false), (2, "SHA-256", false), (LAST, "bytes", true)])?;
        let line = style::line(Weight::Line, false);
        let number = style::decimals(style::line(Weight::Line, true), 0);
        for file in &dossier.files {
            self.leaf.lines(self.row, lines_of(&file.file, NAME))?;
            self.leaf.paragraph(self.row, (0, 1), &file.file, &line.clone().set_text_wrap())?;
            self.leaf.paragraph(self.row, (2, LAST - 1), &file.sha256, &style::set_off(line.clone()))?;
            self.leaf.count(self.row, LAST, file.bytes, &number)?;
            self.row += 1;
        }
        self.row += 1;
        Ok(())
    }

    /// Every sheet by its number, its rows, and the check that they add up: seen less all the others is nothing.
    fn sheets(&mut self, dossier: &Dossier, book: &Book) -> Result<(), RenderError> {
        self.heading("Sheets read, and what became of their rows")?;
        self.columns(&[
            (0, "sheet no.", true),
            (1, "file", false),
            (2, "sheet", false),
            (3, "records", false),
            (4, "seen", true),
            (5, "used", true),
            (6, "blank", true),
            (7, "heading", true),
            (8, "total", true),
            (9, "refused", true),
            (10, "set aside", true),
            (LAST, "unaccounted", true),
        ])?;
        let mut counted: BTreeMap<(&str, &str), &BasisSheet> =
            dossier.sheets.iter().map(|s| ((s.file.as_str(), s.sheet.as_str()), s)).collect();
        for (id, source) in book.sources.iter() {
            let name = source.sheet.as_deref().unwrap_or("");
            let counts = counted.remove(&(source.file.as_str(), name));
            self.sheet(Some(u64::from(id.0) + 1), &source.file, name, counts)?;
        }
        for ((file, name), counts) in counted {
            self.sheet(None, file, name, Some(counts))?;
        }
        self.row += 1;
        Ok(())
    }

    fn sheet(
        &mut self,
        number: Option<u64>,
        file: &str,
        name: &str,
        counts: Option<&BasisSheet>,
    ) -> Result<(), RenderError> {
        let row = self.row;
        let line = style::set_off(style::line(Weight::Line, false).set_text_wrap());
        let right = style::decimals(style::line(Weight::Line, true), 0);
        let kinds = counts.map_or("no count", |c| c.kinds.as_str());
        let lines = [(file, 36.0), (name, 20.0), (kinds, 18.0)].map(|(text, width)| lines_of(text, width));
        self.leaf.lines(row, lines.into_iter().max().unwrap_or(1))?;
        match number {
            Some(n) => self.leaf.count(row, 0, n, &right)?,
            None => self.leaf.blank(row, 0, &right)?,
        }
        for (column, text) in [(1, file), (2, name), (3, kinds)] {
            self.leaf.text(row, column, text, &line)?;
        }
        let Some(BasisSheet { rows, .. }) = counts else {
            self.row += 1;
            return Ok(());
        };
        let parts = [rows.used, rows.blank, rows.heading, rows.total, rows.refused, rows.set_aside];
        for (column, n) in (4_u16..).zip([rows.seen].into_iter().chain(parts)) {
            self.leaf.count(row, column, u64::from(n), &right)?;
        }
        let left = parts.iter().fold(i64::from(rows.seen), |left, &n| left - i64::from(n));
        let check = format!("{}-SUM({}:{})", absolute(row, 4), absolute(row, 5), absolute(row, LAST - 1));
        self.leaf.formula(row, LAST, &check, &left.to_string(), &right)?;
        self.row += 1;
        Ok(())
    }

    fn rules(&mut self, dossier: &Dossier) -> Result<(), RenderError> {
        self.heading("Rule sets in use")?;
        if dossier.rules.is_empty() {
            self.pair("none", "")?;
        }
        for rule in &dossier.rules {
            self.pair(&rule.id, &format!("{}, used for {}; status: {}", rule.title, rule.used_for, rule.status))?;
            self.pair("", &rule.citation)?;
            for note in &rule.notes {
                self.pair("", note)?;
            }
            self.pair("", &format!("SHA-256 {}", rule.sha256))?;
        }
        self.row += 1;
        Ok(())
    }

    fn settings(&mut self, dossier: &Dossier) -> Result<(), RenderError> {
        self.heading("Settings in force")?;
        for (name, value) in &dossier.settings {
            self.pair(name, value)?;
        }
        self.row += 1;
        Ok(())
    }

    fn codes(&mut self) -> Result<(), RenderError> {
        self.heading("What the codes of findings mean")?;
        for code in Code::ALL {
            let open = if code.keeps_open() { " Keeps the reports from being final." } else { "" };
            self.pair(code.word(), &format!("{}: {}{open}", kind(code.kind()), code.meaning()))?;
        }
        Ok(())
    }
}

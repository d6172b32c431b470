//! A work sheet: what is claimed, the records as they were typed, and each step as a live formula over the records of the same
//! sheet, not over the program's lists.
//!
//! A reviewer who finds something else than a record says types it in the column for it; what follows from it is then computed
//! from that, and the difference stands beside it.

use std::collections::BTreeMap;

use rust_xlsxwriter::Format;

use super::address::{Plan, absolute};
use super::calculations::fits;
use super::leaf::{Leaf, lines_of, stored};
use super::list;
use super::page::Matter;
use super::style::{self, Weight};
use crate::dossier::{Evidence, Run, Shown, Step, Taken, WorkSheet};
use crate::figure::{Addresses, CellId, FigureId, GivenId, StepsId, TableId, Value, hand, live};
use crate::render::RenderError;

/// Widths of the columns, in characters.
const WIDTHS: [f64; 15] = [25.0, 25.0, 14.0, 8.0, 16.0, 10.0, 13.0, 8.0, 14.0, 13.0, 14.0, 12.0, 8.0, 11.0, 14.0];
/// What stands in them: of the evidence, and of the steps.
const EVIDENCE: [&str; 15] = [
    "what",
    "file",
    "sheet",
    "cell",
    "heading",
    "counted as",
    "as typed",
    "unit",
    "value",
    "the reviewer finds",
    "taken",
    "difference",
    "initials",
    "date",
    "",
];
const STEPS: [&str; 15] = [
    "step",
    "formula",
    "with numbers",
    "",
    "",
    "",
    "rounded to",
    "unit",
    "claimed",
    "the reviewer finds",
    "computed here",
    "difference",
    "initials",
    "date",
    "computed a second time by the program",
];
const WORD: u16 = 5;
const CLAIMED: u16 = 8;
const FINDS: u16 = 9;
const TAKEN: u16 = 10;
const DIFFERENCE: u16 = 11;
const AGAIN: u16 = 14;

/// Where things stand on the sheet; what does not stand on it, in the workbook.
struct Own<'a> {
    plan: &'a Plan,
    figures: BTreeMap<FigureId, u32>,
    taken: BTreeMap<Taken, u32>,
    runs: &'a [Run],
    first: u32,
}

impl Addresses for Own<'_> {
    fn figure(&self, id: FigureId) -> String {
        self.figures.get(&id).map_or_else(|| self.plan.figure_from_elsewhere(id), |row| absolute(*row, TAKEN))
    }

    fn given(&self, id: GivenId) -> String {
        self.taken.get(&Taken::Given(id)).map_or_else(|| self.plan.given(id), |row| absolute(*row, TAKEN))
    }

    fn cell(&self, id: CellId) -> String {
        self.taken.get(&Taken::Cell(id)).map_or_else(|| self.plan.cell(id), |row| absolute(*row, TAKEN))
    }

    fn column(&self, table: TableId, column: u16, rows: (u32, u32)) -> String {
        let stands = |run: &&Run| (run.table, run.rows) == (table, rows);
        let of = |at: u16| move |run: &Run| self.range(run, at);
        let values = self.runs.iter().filter(stands).find(|run| run.column == column).map(of(TAKEN));
        let words = || self.runs.iter().filter(stands).find(|run| run.words == Some(column)).map(of(WORD));
        values.or_else(words).unwrap_or_else(|| self.plan.column(table, column, rows))
    }

    fn steps(&self, id: StepsId) -> [String; 3] {
        self.plan.steps(id)
    }
}

impl Own<'_> {
    fn range(&self, run: &Run, column: u16) -> String {
        let first = self.first + u32::try_from(run.first).unwrap_or(u32::MAX);
        let last = (first + run.rows.1.saturating_sub(run.rows.0)).saturating_sub(1);
        format!("{}:{}", absolute(first, column), absolute(last, column))
    }
}

/// How the cells look.
struct Looks {
    words: Format,
    wraps: Format,
    number: Format,
    leads: Format,
    finds: Format,
    difference: Format,
}

impl Looks {
    fn new() -> Self {
        let line = |right| style::line(Weight::Line, right);
        Self {
            words: line(false),
            wraps: line(false).set_text_wrap(),
            number: line(true),
            leads: style::leads(line(true)),
            finds: style::typed(line(true)),
            difference: line(true).set_num_format("#,##0.00####;-#,##0.00####;\"-\""),
        }
    }
}

/// A work sheet under the pen.
struct Writer<'a, 'l, 'w> {
    matter: Matter<'a>,
    leaf: &'l mut Leaf<'w>,
    looks: Looks,
    row: u32,
}

/// Writes a work sheet.
pub(super) fn write(leaf: &mut Leaf, matter: Matter, sheet: &WorkSheet) -> Result<(), RenderError> {
    for (column, width) in (0_u16..).zip(WIDTHS) {
        leaf.width(column, width)?;
    }
    leaf.printed(&matter.dossier.head, true);
    leaf.sheet.set_freeze_panes(2, 0)?.set_repeat_rows(0, 0)?;
    let mut writer = Writer { matter, leaf, looks: Looks::new(), row: 0 };
    writer.opening(sheet)?;
    writer.claim(sheet)?;
    let own = writer.evidence(sheet)?;
    writer.steps(sheet, own)?;
    writer.signatures(sheet)?;
    let (last, right) = (writer.row, u16::try_from(WIDTHS.len()).unwrap_or(u16::MAX));
    leaf.numbers_as_words(last, right)
}

impl<'a> Writer<'a, '_, '_> {
    fn opening(&mut self, sheet: &WorkSheet) -> Result<(), RenderError> {
        self.leaf.sheet.set_row_height(0, 24.0)?;
        self.line(&sheet.title, &style::title())?;
        self.line(&sheet.why, &style::muted())?;
        let head = &self.matter.dossier.head;
        self.line(&list::standing(head), &style::muted())?;
        for caution in &sheet.cautions {
            self.paragraph(&format!("Caution: {caution}"), &style::strong())?;
        }
        if let Some(page) = self.matter.plan.names.pages.first() {
            let format = style::leads(style::base());
            self.leaf.link(self.row, 0, &format!("'{page}'!A1"), &format)?;
            self.line(&format!("back to {page}"), &format)?;
        }
        self.row += 1;
        Ok(())
    }

    fn line(&mut self, text: &str, format: &Format) -> Result<(), RenderError> {
        self.leaf.text(self.row, 0, text, format)?;
        self.row += 1;
        Ok(())
    }

    fn paragraph(&mut self, text: &str, format: &Format) -> Result<(), RenderError> {
        self.leaf.lines(self.row, lines_of(text, WIDTHS[..7].iter().sum()))?;
        self.leaf.paragraph(self.row, (0, 6), text, format)?;
        self.row += 1;
        Ok(())
    }

    fn claim(&mut self, sheet: &WorkSheet) -> Result<(), RenderError> {
        self.line(&sheet.claim.title, &style::heading())?;
        for row in &sheet.claim.rows {
            for (column, shown) in row.cells.iter().enumerate() {
                match (column, shown) {
                    (0, Shown::Text(text)) => self.leaf.text(self.row, 0, text, &self.looks.words)?,
                    (3, Shown::Text(unit)) => self.leaf.text(self.row, 7, unit, &self.looks.words)?,
                    (_, Shown::Text(text)) => {
                        self.leaf.lines(self.row, lines_of(text, WIDTHS[1..7].iter().sum()))?;
                        self.leaf.paragraph(self.row, (1, 6), text, &self.looks.wraps)?;
                    }
                    (_, Shown::Figure(id)) => self.claimed(*id)?,
                    _ => {}
                }
            }
            self.row += 1;
        }
        self.row += 1;
        Ok(())
    }

    /// What the program claims, from its calculations.
    fn claimed(&mut self, id: FigureId) -> Result<(), RenderError> {
        let figure = &self.matter.book[id];
        let target = self.matter.plan.figure_from_elsewhere(id);
        let format = style::decimals(self.looks.leads.clone(), figure.decimals);
        self.leaf.link(self.row, CLAIMED, &target, &format)?;
        match stored(&figure.value) {
            Some(value) => self.leaf.formula(self.row, CLAIMED, &target, &value, &format),
            None => self.leaf.text(self.row, CLAIMED, "not computed", &format),
        }
    }

    fn headings(&mut self, title: &str, words: &[&str]) -> Result<(), RenderError> {
        self.line(title, &style::heading())?;
        self.leaf.lines(self.row, 3)?;
        for (column, word) in (0_u16..).zip(words) {
            let right = (CLAIMED..=DIFFERENCE).contains(&column);
            let format = style::column_heading(right, true);
            let format = if column > DIFFERENCE { style::set_off(format) } else { format };
            self.leaf.text(self.row, column, word, &format)?;
        }
        self.row += 1;
        Ok(())
    }

    /// The records; the answer says where each stands.
    fn evidence<'s>(&mut self, sheet: &'s WorkSheet) -> Result<Own<'s>, RenderError>
    where
        'a: 's,
    {
        self.headings("What it rests on", &EVIDENCE)?;
        let first = self.row;
        let mut taken = BTreeMap::new();
        for evidence in &sheet.evidence {
            taken.entry(evidence.leaf).or_insert(self.row);
            self.evidence_line(evidence)?;
        }
        if sheet.evidence.is_empty() {
            self.line("It rests on no record.", &style::text())?;
        }
        self.row += 1;
        Ok(Own { plan: self.matter.plan, figures: BTreeMap::new(), taken, runs: &sheet.runs, first })
    }

    fn evidence_line(&mut self, e: &Evidence) -> Result<(), RenderError> {
        let words = [&e.what, &e.file, &e.sheet, &e.cell, &e.heading, &e.word, &e.typed, &e.unit];
        let lines = words.iter().zip(WIDTHS).map(|(text, width)| lines_of(text, width - 1.5)).max();
        self.leaf.lines(self.row, lines.unwrap_or(1))?;
        for (column, text) in (0_u16..).zip(words) {
            self.leaf.text(self.row, column, text, &self.looks.wraps)?;
        }
        let number = self.value(e)?;
        let [taken, claimed] = [TAKEN, CLAIMED].map(|column| absolute(self.row, column));
        self.room(number.then(|| format!("{taken}-{claimed}")).as_deref())
    }

    /// The value as the program read it, and as it is taken: the reviewer's own where there is one. Says whether it is a number.
    fn value(&mut self, e: &Evidence) -> Result<bool, RenderError> {
        let (book, plan) = (self.matter.book, self.matter.plan);
        let (number, target) = match e.leaf {
            Taken::Given(id) => (Some(book[id].value), plan.given(id)),
            Taken::Cell(id) => (book.table(id.table).number(id.row, id.column), plan.cell(id)),
        };
        let (row, finds) = (self.row, absolute(self.row, FINDS));
        let Some(number) = number else {
            self.leaf.link(row, CLAIMED, &target, &self.looks.leads)?;
            self.leaf.text(row, CLAIMED, &e.value, &self.looks.leads)?;
            let formula = format!("IF(ISBLANK({finds}),\"none\",{finds})");
            self.leaf.formula(row, TAKEN, &formula, "none", &self.looks.number)?;
            return Ok(false);
        };
        let result = super::leaf::binary(number).to_string();
        self.leaf.link(row, CLAIMED, &target, &self.looks.leads)?;
        self.leaf.formula(row, CLAIMED, &target, &result, &self.looks.leads)?;
        let own = absolute(row, CLAIMED);
        self.leaf.formula(row, TAKEN, &format!("IF(ISBLANK({finds}),{own},{finds})"), &result, &self.looks.number)?;
        Ok(true)
    }

    /// Room for what the reviewer finds, and the difference that it makes from what is claimed.
    fn room(&mut self, difference: Option<&str>) -> Result<(), RenderError> {
        let (row, looks) = (self.row, &self.looks);
        self.leaf.blank(row, FINDS, &looks.finds)?;
        match difference {
            Some(formula) => self.leaf.formula(row, DIFFERENCE, formula, "0", &looks.difference)?,
            None => self.leaf.blank(row, DIFFERENCE, &looks.difference)?,
        }
        self.leaf.blank(row, DIFFERENCE + 1, &looks.finds)?;
        self.leaf.blank(row, DIFFERENCE + 2, &looks.finds)?;
        self.row += 1;
        Ok(())
    }

    fn steps(&mut self, sheet: &WorkSheet, mut own: Own) -> Result<(), RenderError> {
        self.headings("Computed again, from the records above", &STEPS)?;
        for step in &sheet.steps {
            let formula = live(self.matter.book, &self.matter.book[step.figure], &own);
            own.figures.insert(step.figure, self.row);
            self.step(step, &formula)?;
        }
        if let Some(last) = sheet.steps.last() {
            self.outcome(last)?;
        }
        self.paragraph(&sheet.verdict, &style::strong())?;
        self.row += 1;
        Ok(())
    }

    fn step(&mut self, step: &Step, formula: &str) -> Result<(), RenderError> {
        let book = self.matter.book;
        let (figure, line) = (&book[step.figure], hand(book, step.figure));
        let rounded = figure.rounding.map_or_else(String::new, |r| r.to_string());
        let unit = list::unit(figure.unit, &self.matter.dossier.head.currency);
        let equals = if line.formula.is_empty() { line.symbol } else { format!("{} = {}", line.symbol, line.formula) };
        let (looks, row) = (&self.looks, self.row);
        let broad = WIDTHS[2..6].iter().sum::<f64>();
        let lines = [(&line.label, WIDTHS[0]), (&equals, WIDTHS[1]), (&line.numbers, broad), (&rounded, WIDTHS[6])];
        self.leaf.lines(row, lines.iter().map(|(text, width)| lines_of(text, width - 1.5)).max().unwrap_or(1))?;
        for (column, text) in [(0, &line.label), (1, &equals), (6, &rounded), (7, &unit), (AGAIN, &step.again)] {
            self.leaf.text(row, column, text, &looks.wraps)?;
        }
        self.leaf.paragraph(row, (2, 5), &line.numbers, &looks.wraps)?;
        self.claimed(step.figure)?;
        self.computed(step.figure, formula)
    }

    /// The step computed on this sheet, and its difference from what is claimed.
    fn computed(&mut self, id: FigureId, formula: &str) -> Result<(), RenderError> {
        let figure = &self.matter.book[id];
        let format = style::decimals(self.looks.number.clone(), figure.decimals);
        let (row, here) = (self.row, absolute(self.row, TAKEN));
        let Some(result) = stored(&figure.value) else {
            self.leaf.text(row, TAKEN, "not computed", &format)?;
            return self.room(None);
        };
        if fits(formula) {
            self.leaf.formula(row, TAKEN, formula, &result, &format)?;
        } else {
            let claimed = absolute(row, CLAIMED);
            self.leaf.formula(row, TAKEN, &claimed, &result, &format)?;
            self.leaf.text(row, AGAIN, "too long to be live here: taken as claimed", &self.looks.wraps)?;
        }
        if matches!(figure.value, Value::Truth(_)) {
            return self.room(None);
        }
        let [finds, claimed] = [FINDS, CLAIMED].map(|column| absolute(row, column));
        self.room(Some(&format!("IF(ISBLANK({finds}),{here}-{claimed},{finds}-{claimed})")))
    }

    /// Whether the amount on this sheet is the one claimed.
    fn outcome(&mut self, amount: &Step) -> Result<(), RenderError> {
        let figure = &self.matter.book[amount.figure];
        let at = self.row.saturating_sub(1);
        let [here, claimed] = [TAKEN, CLAIMED].map(|column| absolute(at, column));
        self.leaf.text(self.row, 0, "amount computed here", &style::caption())?;
        if stored(&figure.value).is_some() {
            let formula = format!("IF(ROUND({here}-{claimed},{})=0,\"equal\",\"NOT EQUAL\")", figure.decimals);
            self.leaf.formula(self.row, TAKEN, &formula, "equal", &style::line(Weight::Total, true))?;
        }
        self.row += 1;
        Ok(())
    }

    fn signatures(&mut self, sheet: &WorkSheet) -> Result<(), RenderError> {
        for (role, party) in &sheet.signers {
            self.leaf.sheet.set_row_height(self.row, 30.0)?;
            for column in [0, 1, 3, 4] {
                self.leaf.blank(self.row, column, &style::sign_here())?;
            }
            self.row += 1;
            let text = if party.is_empty() { role.clone() } else { format!("{role}, {party}") };
            self.leaf.text(self.row, 0, &text, &style::muted())?;
            self.leaf.text(self.row, 3, "date", &style::muted())?;
            self.row += 2;
        }
        Ok(())
    }
}

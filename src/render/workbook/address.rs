//! Where everything stands: the names of the sheets, and the cell of each figure, given value, step and record.
//!
//! Lists open with the same rows (title, what it is, contract, a free one, headings), so the cell of any figure is known before
//! a single one is written.

use std::collections::{BTreeMap, BTreeSet};

use crate::dossier::Dossier;
use crate::figure::{Addresses, Book, CellId, FigureId, GivenId, StepsId, TableId};
use crate::source::column_letters;

/// Row of a list's headings, from 0.
pub(super) const HEADINGS: u32 = 4;
/// First row of a list's lines, from 0.
pub(super) const FIRST: u32 = HEADINGS + 1;
/// Column of the values on 'Calculations'.
pub(super) const FIGURE_VALUE: u16 = 5;
/// Column of the values on 'Given values'.
pub(super) const GIVEN_VALUE: u16 = 2;
/// Rows above the steps of each rule table: title, clause, how it is entered, headings.
pub(super) const ABOVE_STEPS: u32 = 4;

/// Names of the sheets that are not pages or records.
#[derive(Debug)]
pub(super) struct Names {
    pub(super) pages: Vec<String>,
    pub(super) work_sheets: Vec<String>,
    pub(super) findings: String,
    pub(super) calculations: String,
    pub(super) given: String,
    pub(super) rules: String,
    pub(super) records: Vec<(TableId, String)>,
    pub(super) unused: String,
    pub(super) basis: String,
}

/// The plan of the workbook.
#[derive(Debug)]
pub(super) struct Plan {
    pub(super) names: Names,
    figures: BTreeMap<FigureId, u32>,
    givens: BTreeMap<GivenId, u32>,
    steps: BTreeMap<StepsId, (u32, u32)>,
    tables: BTreeMap<TableId, String>,
    given_sheet: String,
    rules_sheet: String,
}

impl Plan {
    /// Lays out the workbook of a dossier.
    pub(super) fn new(dossier: &Dossier, book: &Book) -> Self {
        let names = Names::new(dossier, book);
        let tables = names.records.iter().map(|(id, name)| (*id, quoted(name))).collect();
        let mut steps = BTreeMap::new();
        let mut row = FIRST - 1;
        for (id, table) in book.all_steps() {
            let first = row + ABOVE_STEPS;
            let after = first + u32::try_from(table.rows.len()).unwrap_or(u32::MAX);
            steps.insert(id, (first, after));
            row = after + 1;
        }
        Self {
            figures: (FIRST..).zip(book.figures()).map(|(row, (id, _))| (id, row)).collect(),
            givens: (FIRST..).zip(book.givens()).map(|(row, (id, _))| (id, row)).collect(),
            given_sheet: quoted(&names.given),
            rules_sheet: quoted(&names.rules),
            steps,
            tables,
            names,
        }
    }

    /// Row of a figure on 'Calculations', from 0.
    pub(super) fn figure_row(&self, id: FigureId) -> u32 {
        self.figures.get(&id).copied().unwrap_or(HEADINGS)
    }

    /// A figure's cell as seen from another sheet.
    pub(super) fn figure_from_elsewhere(&self, id: FigureId) -> String {
        format!("{}!{}", quoted(&self.names.calculations), self.figure(id))
    }

    /// The first cell of a work sheet, as a link names it.
    pub(super) fn work_sheet(&self, place: usize) -> Option<String> {
        self.names.work_sheets.get(place).map(|name| format!("{}!A1", quoted(name)))
    }

    /// First row of a rule table's steps and the row after its last, from 0.
    pub(super) fn steps_rows(&self, id: StepsId) -> (u32, u32) {
        self.steps.get(&id).copied().unwrap_or((FIRST, FIRST))
    }

    /// The sheet of a record table, as written in a formula.
    fn table(&self, id: TableId) -> &str {
        self.tables.get(&id).map_or("", String::as_str)
    }
}

impl Addresses for Plan {
    fn figure(&self, id: FigureId) -> String {
        absolute(self.figure_row(id), FIGURE_VALUE)
    }

    fn given(&self, id: GivenId) -> String {
        let row = self.givens.get(&id).copied().unwrap_or(HEADINGS);
        format!("{}!{}", self.given_sheet, absolute(row, GIVEN_VALUE))
    }

    fn cell(&self, id: CellId) -> String {
        format!("{}!{}", self.table(id.table), absolute(FIRST + id.row, id.column))
    }

    fn column(&self, table: TableId, column: u16, rows: (u32, u32)) -> String {
        let last = (FIRST + rows.1).saturating_sub(1);
        format!("{}!{}:{}", self.table(table), absolute(FIRST + rows.0, column), absolute(last, column))
    }

    fn steps(&self, id: StepsId) -> [String; 3] {
        let (first, after) = self.steps_rows(id);
        let last = after.saturating_sub(1);
        [0, 1, 2].map(|column| format!("{}!{}:{}", self.rules_sheet, absolute(first, column), absolute(last, column)))
    }
}

impl Names {
    fn new(dossier: &Dossier, book: &Book) -> Self {
        let mut taken = BTreeSet::new();
        let mut name = |wanted: &str| free_name(wanted, &mut taken);
        let pages = dossier.pages.iter().map(|p| name(p.title)).collect();
        let work_sheets = dossier.work_sheets.iter().map(|s| name(&s.name)).collect();
        let [findings, calculations] = ["Findings", "Calculations"].map(&mut name);
        let [given, rules] = ["Given values", "Rule tables"].map(&mut name);
        let listed: BTreeSet<TableId> = dossier.records.iter().copied().collect();
        let others = book.tables().map(|(id, _)| id).filter(|id| !listed.contains(id));
        let records = listed_once(&dossier.records).chain(others).map(|id| (id, name(book.table(id).name))).collect();
        let [unused, basis] = ["Rows not used", "Basis"].map(&mut name);
        Self { pages, work_sheets, findings, calculations, given, rules, records, unused, basis }
    }
}

/// Each table once, in the order first named.
fn listed_once(ids: &[TableId]) -> impl Iterator<Item = TableId> + '_ {
    ids.iter().enumerate().filter(|(i, id)| !ids[..*i].contains(id)).map(|(_, id)| *id)
}

/// `wanted` as a sheet name that no other sheet has: at most 31 characters, none of `[]:*?/\`.
fn free_name(wanted: &str, taken: &mut BTreeSet<String>) -> String {
    let kept: String = wanted.chars().filter(|c| !c.is_control() && !"[]:*?/\\'".contains(*c)).collect();
    let base = if kept.trim().is_empty() { "Sheet" } else { kept.trim() };
    let mut name: String = base.chars().take(31).collect();
    let mut n = 2;
    while !taken.insert(name.to_lowercase()) {
        let mark = format!(" ({n})");
        name = base.chars().take(31 - mark.len()).collect::<String>() + &mark;
        n += 1;
    }
    name
}

/// A sheet name as written in a formula. Plain words need no quotes; short ones could be read as columns.
pub(super) fn quoted(name: &str) -> String {
    let plain = name.len() > 3 && name.chars().all(|c| c.is_ascii_alphabetic());
    if plain { name.to_string() } else { format!("'{name}'") }
}

/// `$F$17`, from row and column counted from 0.
pub(super) fn absolute(row: u32, column: u16) -> String {
    format!("${}${}", column_letters(column), row + 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::example;

    #[test]
    fn two_sheets_never_share_a_name() {
        let mut taken = BTreeSet::new();
        let names = ["Yield", "yield", "Yield", "a/b", ""].map(|n| free_name(n, &mut taken));
        assert_eq!(names, ["Yield", "yield (2)", "Yield (3)", "ab", "Sheet"]);
        assert_eq!(free_name(&"long ".repeat(20), &mut taken).chars().count(), 31);
    }

    #[test]
    fn a_record_stands_below_the_headings_of_its_sheet() {
        let (dossier, book) = example();
        let plan = Plan::new(&dossier, &book);
        let cores = dossier.records[0];
        assert_eq!(plan.cell(CellId { table: cores, row: 0, column: 2 }), "Cores!$C$6");
        assert_eq!(plan.column(dossier.records[1], 3, (0, 4)), "Loads!$D$6:$D$9");
    }
}

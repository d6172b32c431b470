//! A sheet as its filled rows, with what merged areas and title cells say.

use std::collections::BTreeMap;

use super::cell::{is_blank, shown};
use super::form::{self, Own};
use super::raw::{RawCell, RawSheet, RawValue};
use super::regions::Region;
use super::row::Words;
use super::setting::{Setting, SheetRule};
use super::titled;
use super::turned::Origin;
use super::wording::fold;
use crate::source::CellRef;

/// A filled row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<'a> {
    pub(super) row: u32,
    pub(super) cells: &'a [RawCell],
}

impl<'a> Line<'a> {
    /// Its cells that show something.
    pub(super) fn filled(self) -> impl Iterator<Item = &'a RawCell> {
        self.cells.iter().filter(|c| !is_blank(&c.value))
    }

    /// The first of them.
    pub(super) fn first(self) -> Option<&'a RawCell> {
        self.filled().next()
    }

    /// The cell in a column, unless it is blank.
    pub(super) fn at(self, column: u16) -> Option<&'a RawCell> {
        // Rows are mostly dense: the cell stands where its column says, or is found by halving.
        let first = self.cells.first()?.column;
        let guess = usize::from(column.checked_sub(first)?);
        let found = match self.cells.get(guess) {
            Some(cell) if cell.column == column => Some(cell),
            _ => self.cells.binary_search_by_key(&column, |c| c.column).ok().map(|i| &self.cells[i]),
        };
        found.filter(|c| !is_blank(&c.value))
    }

    /// What stands in its cells, in order.
    pub(super) fn shown(self) -> Vec<String> {
        self.filled().map(|c| shown(&c.value)).collect()
    }
}

/// The filled rows of a sheet.
pub(super) fn lines(raw: &RawSheet) -> impl Iterator<Item = Line<'_>> {
    let rows = raw.cells.chunk_by(|a, b| a.row == b.row).map(|cells| Line { row: cells[0].row, cells });
    rows.filter(|line| line.first().is_some())
}

/// A sheet as its filled rows.
pub(super) struct Grid<'a> {
    pub(super) raw: &'a RawSheet,
    pub(super) lines: Vec<Line<'a>>,
    /// What the contract file says of this sheet.
    pub(super) rules: Vec<&'a SheetRule>,
    /// Where its cells truly stand, where it is turned.
    pub(super) origin: Option<&'a Origin>,
    /// What is a blank form's own; not among the lines.
    pub(super) own: Own,
    /// Rows up to the last filled one.
    seen: u32,
    /// Lower cells of merged areas to the first cell: (row, column) to (row, column).
    merged: BTreeMap<(u32, u16), (u32, u16)>,
}

impl<'a> Grid<'a> {
    /// All of a sheet, or the cells of one of its regions.
    pub(super) fn of(raw: &'a RawSheet, setting: &'a Setting, region: Option<&Region>) -> Self {
        let part = |line| region.map_or(line, |r| r.part(line));
        let mut lines: Vec<Line<'a>> = lines(raw).map(part).filter(|line| line.first().is_some()).collect();
        let seen = lines.last().map_or(0, |line| line.row + 1);
        let own = form::own(&mut lines);
        let rules = setting.sheets.iter().filter(|r| applies(&r.file, r.sheet.as_deref(), raw)).collect();
        Self { raw, lines, rules, origin: None, own, seen, merged: lower_cells(raw) }
    }

    /// Rows up to the last filled one.
    pub(super) fn seen(&self) -> u32 {
        self.seen
    }

    /// The line of a row.
    pub(super) fn line(&self, row: u32) -> Option<Line<'a>> {
        self.lines.binary_search_by_key(&row, |l| l.row).ok().map(|i| self.lines[i])
    }

    /// The cell that holds for a place: its own, or the first of the merged area it lies under.
    pub(super) fn holding(&self, line: Line<'a>, column: u16) -> Option<&'a RawCell> {
        line.at(column).or_else(|| {
            if self.merged.is_empty() {
                return None;
            }
            let &(row, column) = self.merged.get(&(line.row, column))?;
            self.line(row)?.at(column)
        })
    }

    /// The merged area that begins at a cell: its last row and last column.
    pub(super) fn area(&self, row: u32, column: u16) -> Option<(u32, u16)> {
        self.raw.merged.iter().find(|m| (m.0, m.1) == (row, column)).map(|m| (m.2, m.3))
    }

    /// A cell of the sheet.
    pub(super) fn cell(&self, row: u32, column: u16) -> CellRef {
        let (row, column) = self.origin.map_or((row, column), |o| o.of(row, column));
        CellRef::new(self.raw.id, row, column)
    }

    /// A column as the sheet letters it.
    pub(super) fn column_name(&self, column: u16) -> String {
        match self.origin {
            None => crate::source::column_letters(column),
            Some(origin) => {
                let (row, column) = origin.of(0, column);
                format!("{}{}", crate::source::column_letters(column), row + 1)
            }
        }
    }

    /// Path inside `field/`.
    pub(super) fn file(&self) -> &'a str {
        inside_field(&self.raw.file)
    }

    /// Path inside the contract folder, with the sheet where there is one.
    pub(super) fn title(&self) -> String {
        match &self.raw.name {
            Some(name) => format!("{}, {name}", self.raw.file),
            None => self.raw.file.clone(),
        }
    }

    /// The lines of `contract.toml` that say something outright about this sheet, on lines of their own to be pasted.
    pub(super) fn remedy(&self, says: &[String]) -> String {
        let sheet = self.raw.name.as_ref().map_or_else(String::new, |n| format!("sheet = {}\n", quoted(n)));
        format!("\n[[sheets]]\nfile = {}\n{sheet}{}", quoted(self.file()), says.join("\n"))
    }
}

/// A text as TOML quotes it.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

fn inside_field(file: &str) -> &str {
    file.strip_prefix("field/").unwrap_or(file)
}

/// Whether a file and sheet pattern of the contract file means this sheet.
pub(super) fn applies(file: &str, sheet: Option<&str>, raw: &RawSheet) -> bool {
    means(file, sheet, &raw.file, raw.name.as_deref())
}

/// The same for a sheet by the names of its file and itself.
pub(super) fn means(file: &str, sheet: Option<&str>, of_file: &str, name: Option<&str>) -> bool {
    matches(inside_field(file), inside_field(of_file))
        && sheet.is_none_or(|s| name.is_some_and(|name| matches(s, name)))
}

/// `*` stands for any run of characters.
fn matches(pattern: &str, text: &str) -> bool {
    let mut pieces = pattern.split('*');
    let Some(mut rest) = pieces.next().and_then(|first| text.strip_prefix(first)) else { return false };
    let mut pieces: Vec<&str> = pieces.collect();
    let Some(last) = pieces.pop() else { return rest.is_empty() };
    for piece in pieces {
        match rest.find(piece) {
            Some(at) => rest = &rest[at + piece.len()..],
            None => return false,
        }
    }
    rest.ends_with(last)
}

/// Cells below the first row of a merged area: they hold what its first cell holds. Areas that would be absurd to spell
/// out (a whole column merged) are left to their first cell.
fn lower_cells(raw: &RawSheet) -> BTreeMap<(u32, u16), (u32, u16)> {
    let last = raw.cells.last().map_or(0, |c| c.row);
    let mut lower = BTreeMap::new();
    for &(r0, c0, r1, _) in &raw.merged {
        for row in r0.saturating_add(1)..=r1.min(last) {
            lower.insert((row, c0), (r0, c0));
        }
    }
    lower
}

/// What title cells above a table say: `Lane: NB-1`, or `Date` with the day in the next cell.
#[derive(Clone, Debug, Default)]
pub(super) struct Titles {
    said: Vec<(String, RawValue, CellRef)>,
}

impl Titles {
    /// Takes up a row that is no record; `above` the first headings, or between rows.
    pub(super) fn observe(&mut self, grid: &Grid<'_>, line: Line<'_>, words: Words<'_>, above: bool) {
        if let Some((said, value, column)) = titled::alone(line, words) {
            return self.say(said.label(above), value, grid.cell(line.row, column));
        }
        let cells: Vec<&RawCell> = line.filled().collect();
        for (i, cell) in cells.iter().enumerate() {
            let RawValue::Text(text) = &cell.value else { continue };
            match text.split_once(':') {
                Some((label, value)) if !value.trim().is_empty() => {
                    self.say(label, RawValue::Text(value.trim().into()), grid.cell(line.row, cell.column));
                }
                found => {
                    let label = found.map_or(&**text, |(label, _)| label);
                    if let Some(next) = cells.get(i + 1) {
                        self.say(label, next.value.clone(), grid.cell(line.row, next.column));
                    }
                }
            }
        }
    }

    fn say(&mut self, label: &str, value: RawValue, at: CellRef) {
        let label = fold(label);
        if label.len() > 40 {
            return;
        }
        self.said.retain(|(l, ..)| *l != label);
        self.said.push((label, value, at));
    }

    /// What is said under any of some wordings, the last first.
    pub(super) fn find(&self, wordings: &[&str]) -> Option<(&RawValue, CellRef)> {
        self.said
            .iter()
            .rev()
            .find(|(label, ..)| wordings.iter().any(|w| fold(w) == *label))
            .map(|(_, value, at)| (value, *at))
    }

    /// Of two titles the one that stands lower on the sheet.
    pub(super) fn later<'t>(
        a: Option<(&'t RawValue, CellRef)>,
        b: Option<(&'t RawValue, CellRef)>,
    ) -> Option<(&'t RawValue, CellRef)> {
        match (a, b) {
            (Some(a), Some(b)) => Some(if b.1.row > a.1.row { b } else { a }),
            (a, b) => a.or(b),
        }
    }

    /// The day that stands alone as a title, where it can be the day of a kind's records.
    pub(super) fn day(&self, daily: bool) -> Option<(&RawValue, CellRef)> {
        let label = |l: &str| l == titled::DAY_BETWEEN || (daily && l == titled::DAY_ABOVE);
        self.said.iter().rev().find(|(l, ..)| label(l)).map(|(_, value, at)| (value, *at))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_star_stands_for_any_run() {
        for (pattern, text, is) in [
            ("lab/*.csv", "lab/cores.csv", true),
            ("lab/*.csv", "lab/july/cores.csv", true),
            ("lab/*.csv", "cores.csv", false),
            ("*", "anything", true),
            ("Sheet1", "Sheet1", true),
            ("Sheet1", "Sheet10", false),
            ("*a*a", "a", false),
        ] {
            assert_eq!(matches(pattern, text), is, "{pattern} {text}");
        }
    }
}

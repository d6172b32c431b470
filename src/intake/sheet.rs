//! A sheet to records: every filled row is a heading, a total, a record, refused, or set aside, and counted once.

use super::carried::{self, Above, Pattern};
use super::cell::shown;
use super::explained;
use super::form;
use super::grid::{Grid, Line, Titles, applies};
use super::heading::{self, Heading, Sought};
use super::kind::{Field, Holds, Kind};
use super::prepared;
use super::raw::{RawSheet, RawValue};
use super::record::{Core, Outcome, Purpose, Records};
use super::regions::{self, Region};
use super::row::{Row, Words};
use super::table::{self, Table};
use super::titled;
use super::total::{self, Counts, Summary, Sums};
use super::turned::{self, Origin};
use super::typed::{self, Record};
use super::unrecognised;
use super::{RowCount, TableRead, Unused, UnusedRow};
use crate::finding::{Code, Finding, Place};
use crate::source::CellRef;

/// What a sheet came to.
#[derive(Debug, Default)]
pub(super) struct TypedSheet {
    /// Its columns, where the sheet holds tables side by side.
    pub(super) region: Option<Region>,
    /// Where its cells truly stand, where it is a form on its side.
    pub(super) origin: Option<Origin>,
    pub(super) kinds: Vec<&'static str>,
    pub(super) tables: Vec<TableRead>,
    pub(super) rows: RowCount,
    pub(super) records: Records,
    pub(super) unused: Vec<UnusedRow>,
    pub(super) findings: Vec<Finding>,
}

/// Where the walk down the sheet stands.
enum Under<'a> {
    /// No headings yet: these rows may be a title block.
    Nothing(Vec<Line<'a>>),
    /// A table.
    Table(Box<Table>, Sums, u32),
    /// Headings that fit two kinds.
    Torn(String),
}

struct Walk<'a> {
    words: Words<'a>,
    grid: &'a Grid<'a>,
    titles: Titles,
    out: TypedSheet,
    recognised: bool,
}

/// Reads a sheet, each of the tables that stand side by side on it, or a form on its side.
pub(super) fn read(raw: &RawSheet, words: Words<'_>) -> Vec<TypedSheet> {
    let upright = parts(raw, words, None);
    if upright.iter().any(|part| !part.tables.is_empty()) {
        return upright;
    }
    let grid = Grid::of(raw, words.setting, None);
    let by_row = words.setting.set_aside.iter().any(|s| applies(&s.file, s.sheet.as_deref(), raw));
    let sound = |parts: &Vec<TypedSheet>| {
        let tables = || parts.iter().flat_map(|p| &p.tables);
        let filled = |p: &TypedSheet| p.rows.used + p.rows.refused + p.rows.set_aside > 0;
        parts.iter().any(filled) && parts.iter().all(|p| !p.tables.is_empty()) && tables().all(|t| t.fault.is_none())
    };
    let ways = if by_row { Vec::new() } else { turned::ways(raw, &grid) };
    let read = ways.iter().map(|(turned, origin)| parts(turned, words, Some((origin, &grid)))).filter(sound);
    let used = |parts: &Vec<TypedSheet>| parts.iter().map(|p| p.rows.used).sum::<u32>();
    // Of two ways the one that yields more records; of equals the first.
    read.reduce(|best, next| if used(&next) > used(&best) { next } else { best }).unwrap_or(upright)
}

/// A turned sheet: where its cells truly stand, and the sheet upright.
type Turned<'a> = (&'a Origin, &'a Grid<'a>);

fn parts(raw: &RawSheet, words: Words<'_>, turned: Option<Turned<'_>>) -> Vec<TypedSheet> {
    let regions = regions::of(raw, words);
    if regions.is_empty() {
        return vec![read_part(raw, words, None, turned)];
    }
    regions.into_iter().map(|region| read_part(raw, words, Some(region), turned)).collect()
}

fn read_part(raw: &RawSheet, words: Words<'_>, region: Option<Region>, turned: Option<Turned<'_>>) -> TypedSheet {
    let mut grid = Grid::of(raw, words.setting, region.as_ref());
    grid.origin = turned.map(|(origin, _)| origin);
    let mut walk =
        Walk { words, grid: &grid, titles: Titles::default(), out: TypedSheet::default(), recognised: false };
    if let Some((_, upright)) = turned {
        let alone = upright.lines.iter().filter(|l| l.filled().nth(1).is_none());
        alone.for_each(|line| walk.titles.observe(upright, *line, words, true));
    }
    walk.out.rows.seen = grid.seen();
    walk.out.rows.heading = grid.own.rows;
    let filled = u32::try_from(grid.lines.len()).unwrap_or(u32::MAX).saturating_add(grid.own.rows);
    walk.out.rows.blank = grid.seen().saturating_sub(filled);
    if region.as_ref().is_none_or(|r| r.leftmost) {
        walk.hidden();
    }
    walk.down();
    debug_assert!(walk.out.rows.closes(), "{}: {:?}", grid.title(), walk.out.rows);
    TypedSheet { region, origin: turned.map(|(origin, _)| origin.clone()), ..walk.out }
}

impl<'a> Walk<'a> {
    fn down(&mut self) {
        let aside = self.set_aside();
        let mut under = Under::Nothing(Vec::new());
        let mut index = 0;
        while let Some(&line) = self.grid.lines.get(index) {
            index += 1;
            if let Some(reason) = aside.get(index - 1).and_then(Option::as_ref) {
                self.put_aside(line, Unused::SetAside, reason.clone());
                continue;
            }
            match self.heading_at(index - 1) {
                Sought::Found(found) => {
                    let depth = found.depth;
                    self.count_headings(depth);
                    index += depth - 1;
                    under = self.under_heading(under, *found, index);
                }
                Sought::Torn(kinds) => {
                    let depth = kinds.first().map_or(1, |h| h.depth);
                    self.count_headings(depth);
                    index += depth - 1;
                    self.close(under);
                    self.recognised = true;
                    self.out.findings.push(unrecognised::torn(self.grid, &kinds));
                    self.out.tables.push(explained::torn(&kinds));
                    under = Under::Torn(unrecognised::torn_words(&kinds));
                }
                Sought::Nothing => self.row(&mut under, line),
            }
        }
        self.close(under);
    }

    fn count_headings(&mut self, rows: usize) {
        self.out.rows.heading += u32::try_from(rows).unwrap_or(1);
    }

    /// A table begins, or the same headings stand again at a page break.
    fn under_heading(&mut self, under: Under<'a>, found: Heading, index: usize) -> Under<'a> {
        if let Under::Table(mut table, sums, refused) = under {
            if table.heading.repeats(&found) {
                table.above.interrupt();
                return Under::Table(table, sums, refused);
            }
            self.close(Under::Table(table, sums, refused));
        } else {
            self.recognised = true;
            self.close(under);
        }
        if !self.out.kinds.contains(&found.kind.word) {
            self.out.kinds.push(found.kind.word);
        }
        let mut table = Table::under(found, self.grid, &self.titles, self.words);
        table.above = Above::new(self.grouped(&table, index));
        Under::Table(Box::new(table), Sums::default(), 0)
    }

    /// For each column of a table, whether it is written once at the top of each group; `index` is the line below its
    /// headings.
    fn grouped(&self, table: &Table, index: usize) -> Vec<bool> {
        let columns = &table.heading.columns;
        let open =
            |p: usize, seen: &[Pattern]| carried::may_be_grouped(table.kind, columns[p].field) && seen[p].is_open();
        let mut seen: Vec<Pattern> = columns.iter().map(|_| Pattern::default()).collect();
        let mut skip = 0;
        for (at, &line) in self.grid.lines.iter().enumerate().skip(index) {
            if !(0..columns.len()).any(|p| open(p, &seen)) {
                break;
            }
            if skip > 0 {
                skip -= 1;
                continue;
            }
            match self.heading_at(at) {
                Sought::Found(found) if table.heading.repeats(&found) => skip = found.depth - 1,
                Sought::Found(_) | Sought::Torn(_) => break,
                Sought::Nothing if total::summary(table, line).is_some() || is_remark(table, line) => {}
                Sought::Nothing if prepared::is_footer(table, line) => {}
                Sought::Nothing if is_title(table, line, self.words) => {}
                Sought::Nothing => {
                    for (pattern, column) in seen.iter_mut().zip(columns) {
                        if carried::may_be_grouped(table.kind, column.field) {
                            pattern.see(self.grid.holding(line, column.at));
                        }
                    }
                }
            }
        }
        seen.iter().zip(columns).map(|(p, c)| carried::may_be_grouped(table.kind, c.field) && p.is_grouped()).collect()
    }

    fn heading_at(&self, index: usize) -> Sought {
        let (grid, titles, words) = (self.grid, &self.titles, self.words);
        let given = |kind, field| table::is_given(kind, field, grid, titles, words);
        heading::at_line(grid, index, self.words.setting.system, &given)
    }

    /// What is to be said at the end of a table or title block.
    fn close(&mut self, under: Under<'a>) {
        match under {
            Under::Nothing(lines) if self.recognised => self.title_block(&lines),
            Under::Nothing(lines) => self.unrecognised(&lines),
            Under::Table(mut table, ..) => {
                self.say_fault(&mut table);
                self.out.tables.push(explained::table(&table, self.grid, self.words));
                self.out.findings.extend(table.unit_findings(self.grid));
                self.out.findings.extend(table.unused_note(self.grid));
                self.out.findings.extend(table.carried_note(self.grid));
            }
            Under::Torn(_) => {}
        }
    }

    /// Says once why no row of a table can be read, at the first such row or at its end.
    fn say_fault(&mut self, table: &mut Table) {
        if !table.fault_said && table.fault.is_some() {
            table.fault_said = true;
            self.out.findings.extend(table.fault_finding(self.grid, self.words.setting));
        }
    }

    /// Rows above the first headings are titles, unless they look like a table of their own.
    fn title_block(&mut self, lines: &[Line<'a>]) {
        let data = unrecognised::data_rows(lines);
        if let Some(&first) = data.first() {
            self.out.findings.push(unrecognised::above(self.grid, lines[first], data.len()));
        }
        for (i, line) in lines.iter().enumerate() {
            if data.contains(&i) {
                self.put_aside(*line, Unused::Refused, String::from("under headings that were not recognised"));
            } else {
                self.out.rows.heading += 1;
            }
        }
    }

    /// No headings on the whole sheet: notes, or rows that nobody can read.
    fn unrecognised(&mut self, lines: &[Line<'a>]) {
        if lines.is_empty() {
            return;
        }
        if unrecognised::is_notes(lines) {
            self.count_headings(lines.len());
            return;
        }
        if unrecognised::is_prose(self.grid, lines, self.words.setting.system) {
            self.count_headings(lines.len());
            self.out.findings.push(unrecognised::prose(self.grid));
            return;
        }
        self.out.findings.push(unrecognised::sheet(self.grid, lines, self.words));
        for line in lines {
            self.put_aside(*line, Unused::Refused, String::from("no headings that this program knows"));
        }
    }

    fn row(&mut self, under: &mut Under<'a>, line: Line<'a>) {
        match under {
            Under::Nothing(lines) => {
                self.titles.observe(self.grid, line, self.words, true);
                lines.push(line);
            }
            Under::Torn(words) => {
                let words = words.clone();
                self.put_aside(line, Unused::Refused, words);
            }
            Under::Table(table, sums, refused) => self.table_row(table, sums, refused, line),
        }
    }

    fn table_row(&mut self, table: &mut Table, sums: &mut Sums, refused: &mut u32, line: Line<'a>) {
        table.above.reach(line.row);
        if let Some(copied) = form::copied_example(self.grid, line) {
            *refused += 1;
            self.out.findings.push(copied);
            self.put_aside(line, Unused::Refused, String::from("a copy of the form's example"));
        } else if let Some(summary) = total::summary(table, line) {
            table.above.interrupt();
            self.total(table, sums, *refused, line, summary);
        } else if prepared::is_footer(table, line) {
            self.out.rows.heading += 1;
            table.above.interrupt();
        } else if prepared::is_blank(table, self.grid, line) {
            self.out.rows.blank += 1;
        } else if is_remark(table, line) || is_title(table, line, self.words) {
            self.out.rows.heading += 1;
            table.above.interrupt();
            self.titles.observe(self.grid, line, self.words, false);
            table.hear(self.grid, &self.titles, self.words);
        } else if let Some(fault) = table.fault.clone() {
            *refused += 1;
            self.say_fault(table);
            self.put_aside(line, Unused::Refused, fault);
        } else {
            self.record(table, sums, refused, line);
            table.above.pass(self.grid, &table.heading.columns, line);
        }
    }

    fn total(&mut self, table: &Table, sums: &mut Sums, refused: u32, line: Line<'a>, summary: Summary) {
        let words = match summary {
            Summary::Sum(level) => {
                let (words, findings) = total::check(table, self.grid, line, level, sums, refused);
                self.out.findings.extend(findings);
                sums.close(level);
                words
            }
            Summary::Carried => {
                let (words, findings) = total::check(table, self.grid, line, 0, sums, refused);
                self.out.findings.extend(findings);
                words
            }
            Summary::Other => "summary of the rows above, not compared",
        };
        self.put_aside(line, Unused::Total, String::from(words));
    }

    fn record(&mut self, table: &mut Table, sums: &mut Sums, refused: &mut u32, line: Line<'a>) {
        let mut row = Row::new(self.words, self.grid, table, line);
        if let Some(reason) = void(&row) {
            numbers_only(&mut row);
            sums.add(&row.numbers, Counts::Void);
            self.put_aside(line, Unused::Void, reason);
            return;
        }
        let record = typed::record(&mut row);
        if let (None, Some(reason)) = (&record, typed::void_core(&row)) {
            sums.add(&row.numbers, Counts::Void);
            self.put_aside(line, Unused::Void, reason);
            return;
        }
        let rejected = matches!(&record, Some(Record::Load(load, _)) if load.outcome == Outcome::Rejected);
        let void = matches!(&record, Some(Record::Core(core)) if core.purpose == Purpose::Void);
        let counts = if void { Counts::Void } else { Counts::Fully };
        sums.add(&row.numbers, if rejected { Counts::Rejected } else { counts });
        let carried = row.carried;
        let (faults, unitless) = (std::mem::take(&mut row.faults), std::mem::take(&mut row.unitless));
        if carried && record.is_some() {
            let (first, rows) = table.carried.unwrap_or((line.row, 0));
            table.carried = Some((first, rows + 1));
        }
        for cell in line.filled() {
            if !table.is_headed(cell.column) {
                table.stray.insert(cell.column);
            }
        }
        if let Some(record) = record {
            self.take(record, line);
        } else {
            *refused += 1;
            self.refuse(table, line, faults, &unitless);
        }
    }

    fn refuse(&mut self, table: &mut Table, line: Line<'a>, faults: Vec<Finding>, unitless: &[usize]) {
        for place in unitless {
            match table.unitless.iter_mut().find(|(p, _)| p == place) {
                Some((_, cells)) => *cells += 1,
                None => table.unitless.push((*place, 1)),
            }
        }
        let without =
            unitless.iter().filter_map(|p| table.heading.columns.get(*p)).map(|c| format!("'{}': no unit", c.heading));
        let reasons: Vec<String> = faults.iter().map(|f| f.message.clone()).chain(without).collect();
        self.out.findings.extend(faults);
        self.put_aside(line, Unused::Refused, reasons.join("; "));
    }

    fn take(&mut self, record: Record, line: Line<'a>) {
        let through = self.words.setting.through;
        let day = record.day();
        if day > through {
            self.put_aside(line, Unused::AfterCutOff, format!("{day} is after the cut-off, {through}"));
            return;
        }
        self.out.rows.used += 1;
        if let Record::Core(core) = &record {
            self.out.findings.extend(void_note(core));
        }
        let records = &mut self.out.records;
        match record {
            Record::Placement(r) => records.placements.push(r),
            Record::Load(r, batch) => {
                records.loads.push(r);
                records.batches.extend(batch.map(|batch| *batch));
            }
            Record::Core(r) => records.cores.push(r),
            Record::Probe(r) => records.probes.push(r),
            Record::Specimen(r) => records.specimens.push(r),
            Record::Fresh(r) => records.fresh.push(r),
            Record::Profile(r) => records.profiles.push(r),
            Record::Straightedge(r) => records.straightedge.push(r),
            Record::Measured(r) => records.measured.push(r),
            Record::Level(r) => records.levels.push(r),
            Record::Batch(r) => records.batches.push(r),
            Record::Delivered(r) => records.delivered.push(r),
            Record::Billed(r) => records.billed.push(r),
            Record::Work(r) => records.works.push(r),
            Record::Density(r) => records.densities.push(r),
            Record::Compaction(r) => records.compactions.push(r),
            Record::Bar(r) => records.bars.push(r),
            Record::Weather(r) => records.weather.push(r),
            Record::Logged(r) => records.logged.push(r),
            Record::Calibrated(r) => records.calibrated.push(r),
            Record::Document(r) => records.documents.push(r),
        }
    }

    /// Keeps a row that became no record, and counts it.
    fn put_aside(&mut self, line: Line<'a>, why: Unused, reason: String) {
        match why {
            Unused::Refused => self.out.rows.refused += 1,
            Unused::Total => self.out.rows.total += 1,
            Unused::AfterCutOff | Unused::Void | Unused::Duplicate | Unused::SetAside => self.out.rows.set_aside += 1,
        }
        let at = self.grid.cell(line.row, line.first().map_or(0, |c| c.column));
        self.out.unused.push(unused_row(at, line, why, reason));
    }

    /// For each line, the reason for which the contract file sets it aside.
    fn set_aside(&mut self) -> Vec<Option<String>> {
        let setting = self.words.setting;
        let rules: Vec<_> =
            setting.set_aside.iter().filter(|s| applies(&s.file, s.sheet.as_deref(), self.grid.raw)).collect();
        if rules.is_empty() {
            return Vec::new();
        }
        let mut counts = vec![(0_u32, 0_u32); rules.len()];
        let mut aside = Vec::with_capacity(self.grid.lines.len());
        for line in &self.grid.lines {
            let which = rules.iter().position(|r| r.rows.is_empty() || r.rows.contains(&(line.row + 1)));
            if let Some(which) = which {
                let (first, count) = counts[which];
                counts[which] = (if count == 0 { line.row } else { first }, count + 1);
            }
            aside.push(which.map(|w| rules[w].reason.clone()));
        }
        for (rule, (first, count)) in rules.iter().zip(counts).filter(|(_, (_, count))| *count > 0) {
            let place = Place::Row(self.grid.cell(first, 0));
            let message = format!("{} set aside by contract.toml: {}", counted(count), rule.reason);
            self.out.findings.push(Finding::new(Code::SetAside, place, message, "nothing, while the reason holds"));
        }
        aside
    }

    fn hidden(&mut self) {
        let raw = self.grid.raw;
        let filled = |row: &&u32| self.grid.line(**row).is_some();
        let hidden = raw.hidden_rows.iter().filter(filled).count();
        let first = raw.hidden_rows.iter().find(filled).copied();
        let (place, message) = match first {
            _ if raw.hidden && !self.grid.lines.is_empty() => {
                (Place::File(self.grid.title()), String::from("the sheet is hidden; it was read all the same"))
            }
            Some(first) => (
                Place::Row(self.grid.cell(first, 0)),
                format!(
                    "{} hidden on the sheet from here on; read all the same",
                    counted(u32::try_from(hidden).unwrap_or(u32::MAX))
                ),
            ),
            None => return,
        };
        let remedy = "nothing, if they belong to the record; else set them aside with a reason in contract.toml";
        self.out.findings.push(Finding::new(Code::HiddenRows, place, message, remedy));
    }
}

fn counted(rows: u32) -> String {
    if rows == 1 { String::from("1 row is") } else { format!("{rows} rows are") }
}

/// A row that became no record, kept whole.
pub(super) fn unused_row(at: CellRef, line: Line<'_>, why: Unused, reason: String) -> UnusedRow {
    UnusedRow { at, why, reason, cells: line.shown() }
}

/// A title or remark between rows: one or two texts, none of which looks like a value the kind needs.
fn is_remark(table: &Table, line: Line<'_>) -> bool {
    let mut texts = 0;
    for cell in line.filled() {
        let RawValue::Text(text) = &cell.value else { return false };
        texts += 1;
        let needed = table.heading.columns.iter().any(|c| c.at == cell.column && table.kind.needs(c.field));
        let digits = |t: &str| t.contains(|c: char| c.is_ascii_digit());
        let figures = digits(text) && (text.split_whitespace().count() <= 2 || digits(text.get(..1).unwrap_or("")));
        if texts > 2 || (needed && figures) || cell.struck {
            return false;
        }
    }
    true
}

/// A lane or day that stands alone in its row, and not in its own column: the title of the rows below it.
fn is_title(table: &Table, line: Line<'_>, words: Words<'_>) -> bool {
    let own =
        |at: u16| table.heading.columns.iter().any(|c| c.at == at && matches!(c.holds, Holds::Date | Holds::Lane));
    titled::alone(line, words).is_some_and(|(.., at)| !own(at))
}

/// Why a row is void: struck out, or said to be.
fn void(row: &Row<'_>) -> Option<String> {
    let kind = row.table.kind;
    let single = matches!(kind.kind, Kind::Loads | Kind::Measured | Kind::Probes | Kind::Placements | Kind::Materials);
    if row.struck(kind.id) || (single && row.struck(kind.principal)) {
        return Some(String::from("struck out"));
    }
    if typed::is_void(row) {
        let words = [Field::Status, Field::Remarks].into_iter().filter_map(|f| row.raw(f)).map(|c| shown(&c.value));
        return Some(format!("marked void: {}", words.collect::<Vec<_>>().join(", ")));
    }
    None
}

/// A void core counts nowhere, which a reader of its lot must see.
fn void_note(core: &Core) -> Option<Finding> {
    let reason = core.remarks.as_ref().filter(|_| core.purpose == Purpose::Void)?;
    let message = format!("core {} is void and counts nowhere: {}", core.number.value, reason.value);
    Some(Finding::new(Code::CoreVoid, Place::Row(core.number.at), message, "nothing, if the reason holds"))
}

/// The numbers of a void row, for totals that count it.
fn numbers_only(row: &mut Row<'_>) {
    for column in row.table.heading.columns.iter().filter(|c| c.holds == Holds::Count || c.holds.measure().is_some()) {
        let value = row.grid.holding(row.line, column.at).and_then(|cell| match &cell.value {
            RawValue::Number(n) => super::cell::number(*n).ok(),
            RawValue::Text(text) => super::cell::text_number(text).ok().map(|t| t.value),
            _ => None,
        });
        row.numbers.extend(value.map(|v| (column.at, v)));
    }
}

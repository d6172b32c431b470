//! Where a table's headings stand, which kind of record they head, and which column holds which field.
//!
//! A heading row covers what its kind cannot be without (lane and date may stand elsewhere). Headings may run over two
//! rows, with a merged group heading above, and units may stand in the row below. Where two kinds fit equally well the
//! sheet is refused with both.

use super::cell::shown;
use super::explained::UnitFrom;
use super::grid::{Grid, Line};
use super::kind::{Field, Holds, KINDS, Kind, KindSpec, Measure, kind_named};
use super::raw::{RawCell, RawValue};
use super::record::Step;
use super::ride;
use super::stepped;
use super::wording::{Named, Wording, unit_of};
use crate::units::{System, Unit};

/// A column of a table.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Column {
    pub(super) field: Field,
    pub(super) holds: Holds,
    pub(super) at: u16,
    /// The heading as written, on one line.
    pub(super) heading: Box<str>,
    pub(super) unit: Option<Unit>,
    pub(super) unit_from: UnitFrom,
    /// Where the unit should stand, something that is no unit.
    pub(super) stated: Option<String>,
}

/// A field that two headings claim.
type Twice = (Field, String, String);

/// Days, and the heading that states them.
type Aged = (u32, String);

/// The headings of a table.
#[derive(Clone, Debug)]
pub(super) struct Heading {
    pub(super) kind: &'static KindSpec,
    /// First row.
    pub(super) row: u32,
    /// Rows of it.
    pub(super) depth: usize,
    pub(super) columns: Vec<Column>,
    /// Columns with a heading that are not used.
    pub(super) unused: Vec<(u16, String)>,
    /// What the kind needs and no column holds.
    pub(super) lacking: Vec<&'static [Field]>,
    /// Two columns that both claim a field.
    pub(super) twice: Option<Twice>,
    /// The age in days that the heading of the strengths states.
    pub(super) age: Option<Aged>,
    matched: Vec<u16>,
}

impl Heading {
    /// Columns that hold something the kind needs.
    fn needed(&self) -> Vec<u16> {
        self.columns.iter().filter(|c| self.kind.needs(c.field)).map(|c| c.at).collect()
    }

    /// Whether it maps columns as another does: the same headings again.
    pub(super) fn repeats(&self, other: &Heading) -> bool {
        self.kind.kind == other.kind.kind && self.columns == other.columns
    }

    /// Whether only a lane or a day is lacking, which may stand outside the table.
    fn nearly_whole(&self) -> bool {
        self.lacking.iter().all(|group| group.iter().all(|f| matches!(f, Field::Lane | Field::Date | Field::Cast)))
    }
}

/// Whether a field of a kind is given outside the table.
pub(super) type Elsewhere<'f> = &'f dyn Fn(&'static KindSpec, Field) -> bool;

/// What a row turned out to be.
pub(super) enum Sought {
    Nothing,
    Found(Box<Heading>),
    /// Headings that fit these kinds equally well.
    Torn(Vec<Heading>),
}

/// A column heading with the ways to read it, the nearest first.
struct Head {
    at: u16,
    written: String,
    ways: Vec<Wording>,
    below: Option<String>,
    /// Under a merged heading, with none of its own.
    spread: bool,
    /// The heading is merged over several columns.
    shared: bool,
}

/// A row of more cells is no heading.
const WIDEST: usize = 500;

/// Whether a row can be a heading at all: words, and no numbers, days or times.
pub(super) fn may_be_heading(line: Line<'_>) -> bool {
    if line.cells.len() > WIDEST {
        return false;
    }
    let mut words = 0;
    for cell in line.filled() {
        match &cell.value {
            RawValue::Text(text) if !figures(text) => words += usize::from(text.contains(char::is_alphabetic)),
            RawValue::Text(text) if text.trim().len() == 1 => {}
            RawValue::Number(n) if (1.0..=9.0).contains(n) => {}
            _ => return false,
        }
    }
    words >= 2
}

/// Whether a row can be the lower row of a heading.
fn may_be_lower(line: Line<'_>) -> bool {
    line.filled().all(|cell| match &cell.value {
        RawValue::Text(text) => !figures(text) || text.trim().len() == 1,
        RawValue::Number(n) => (1.0..=9.0).contains(n),
        _ => false,
    })
}

/// Text that begins like a number, date or station and holds no word.
fn figures(text: &str) -> bool {
    let text = text.trim();
    text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.') && !text.contains(char::is_alphabetic)
}

/// Whether a row holds nothing but units.
fn is_units_row(line: Line<'_>) -> bool {
    let (mut units, mut others) = (0, 0);
    for cell in line.filled() {
        match &cell.value {
            RawValue::Text(text) if unit_of(text).is_some() => units += 1,
            RawValue::Text(text) if text.trim().len() <= 12 && !text.contains(|c: char| c.is_ascii_digit()) => {
                others += 1;
            }
            _ => return false,
        }
    }
    units > 0 && units >= others
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The headings of one row.
fn upper(grid: &Grid<'_>, line: Line<'_>) -> Vec<Head> {
    let mut heads = Vec::new();
    for cell in line.filled() {
        let text = shown(&cell.value);
        let last = grid.area(line.row, cell.column).map_or(cell.column, |(_, c)| c.min(cell.column.saturating_add(40)));
        for at in cell.column..=last {
            heads.push(Head {
                at,
                written: one_line(&text),
                ways: vec![Wording::of(&text)],
                below: None,
                spread: at != cell.column,
                shared: last > cell.column,
            });
        }
    }
    heads
}

/// The headings of two rows read together.
fn joined(grid: &Grid<'_>, above: Line<'_>, below: Line<'_>) -> Vec<Head> {
    let mut heads = Vec::new();
    let groups: Vec<(u16, u16, bool, String)> = {
        let cells: Vec<_> = above.filled().collect();
        let end = below.filled().last().map_or(0, |c| c.column);
        cells
            .iter()
            .enumerate()
            .map(|(i, c)| {
                let merged = grid.area(above.row, c.column).map(|(_, last)| last);
                let until = cells.get(i + 1).map_or(end, |next| next.column.saturating_sub(1)).max(c.column);
                (c.column, merged.unwrap_or(until), merged.is_some(), shown(&c.value))
            })
            .collect()
    };
    let group_of = |at: u16| groups.iter().find(|g| g.0 <= at && at <= g.1);
    for cell in below.filled() {
        let sub = shown(&cell.value);
        let mut ways = Vec::new();
        let mut written = one_line(&sub);
        match group_of(cell.column) {
            Some((from, _, merged, group)) if *from == cell.column || *merged => {
                written = one_line(&format!("{group} {sub}"));
                ways.push(Wording::of(&written));
                ways.push(Wording::of(&format!("{sub} {group}")));
                ways.push(Wording::of(&sub));
                ways.push(Wording::of(group));
            }
            Some((_, _, _, group)) => {
                ways.push(Wording::of(&sub));
                ways.push(Wording::of(&format!("{group} {sub}")));
            }
            None => ways.push(Wording::of(&sub)),
        }
        heads.push(Head { at: cell.column, written, ways, below: None, spread: false, shared: false });
    }
    for (at, _, _, group) in &groups {
        if below.at(*at).is_none() {
            heads.push(Head {
                at: *at,
                written: one_line(group),
                ways: vec![Wording::of(group)],
                below: None,
                spread: false,
                shared: false,
            });
        }
    }
    heads.sort_by_key(|h| h.at);
    heads
}

/// The two lower rows of headings that run over three, as one: what stands below each other is read together.
fn lower_two(above: Line<'_>, below: Line<'_>) -> Vec<RawCell> {
    let mut cells: Vec<RawCell> = Vec::new();
    for cell in above.filled() {
        let text = match below.at(cell.column) {
            Some(under) => format!("{} {}", shown(&cell.value), shown(&under.value)),
            None => shown(&cell.value),
        };
        cells.push(RawCell { value: RawValue::Text(text.into()), ..cell.clone() });
    }
    let own = below.filled().filter(|c| above.at(c.column).is_none());
    cells.extend(own.map(|c| RawCell { row: above.row, ..c.clone() }));
    cells.sort_by_key(|c| c.column);
    cells
}

fn with_units(mut heads: Vec<Head>, units: Line<'_>) -> Vec<Head> {
    for head in &mut heads {
        head.below = units.at(head.at).map(|c| shown(&c.value));
    }
    heads
}

/// A column and the field it was taken for.
struct Claim<'h> {
    head: &'h Head,
    named: Named,
    counted: bool,
}

fn claim<'h>(head: &'h Head, kind: &'static KindSpec, grid: &Grid<'_>) -> Option<Claim<'h>> {
    let said = grid.rules.iter().find_map(|r| {
        let (_, word) = r.columns.iter().find(|(heading, _)| head.ways.iter().any(|w| w.is(heading)))?;
        kind.field(word)
    });
    let named = match said {
        Some(spec) => Named {
            field: spec.field,
            holds: spec.holds,
            rank: 0,
            unit: head.ways.iter().find_map(Wording::unit).filter(|u| spec.holds.accepts(*u)),
            stated: None,
            age: None,
            counted: true,
        },
        None => head.ways.iter().find_map(|w| w.names(kind))?,
    };
    let counted = head.shared || named.counted;
    (!head.spread || named.holds.is_many()).then_some(Claim { head, named, counted })
}

/// The column of a claim, with its unit from the contract file, the heading, or the row below.
fn column(claim: &Claim<'_>, grid: &Grid<'_>) -> Column {
    let Named { field, holds, .. } = claim.named;
    let said = grid.rules.iter().find_map(|r| r.units.get(field.word()).copied());
    let group = claim.head.ways.iter().find_map(Wording::unit);
    let below = claim.head.below.as_deref();
    let fits = |u: &Unit| holds.accepts(*u);
    let headed = claim.named.unit.or(group.filter(fits));
    let unit = said.or(headed).or(below.and_then(unit_of).filter(fits));
    let unit_from = match (said, headed, unit) {
        (Some(_), ..) => UnitFrom::Contract,
        (_, Some(_), _) => UnitFrom::Heading,
        (.., Some(_)) => UnitFrom::UnitsRow,
        _ => UnitFrom::None,
    };
    let stated = if unit.is_some() { None } else { claim.named.stated.clone().or(below.map(str::to_string)) };
    Column { field, holds, at: claim.head.at, heading: claim.head.written.as_str().into(), unit, unit_from, stated }
}

/// Of several columns for one field, those that are kept; two that cannot be told apart are named.
fn settle(mut columns: Vec<(Column, usize, bool)>, system: System) -> (Vec<Column>, Option<(String, String)>) {
    let Some(holds) = columns.first().map(|(c, ..)| c.holds) else { return (Vec::new(), None) };
    let own = holds.measure().and_then(|m| m.kept_in(system));
    let parts = columns.iter().filter(|(.., counted)| *counted).count();
    if holds == Holds::Passes && parts == 0 && columns.len() > 1 {
        let twice = (columns[0].0.heading.to_string(), columns[1].0.heading.to_string());
        return (columns.into_iter().map(|(c, ..)| c).collect(), Some(twice));
    }
    if holds.is_many() && (parts > 1 || (parts == 1 && holds == Holds::Passes)) {
        columns.retain(|(.., counted)| *counted);
    } else {
        let best = columns.iter().map(|(_, rank, _)| *rank).min().unwrap_or(0);
        columns.retain(|(_, rank, _)| *rank == best);
    }
    if own.is_some() && columns.iter().any(|(c, ..)| c.unit == own) {
        columns.retain(|(c, ..)| c.unit == own);
    }
    let mut columns: Vec<Column> = columns.into_iter().map(|(c, ..)| c).collect();
    if holds.is_many() || columns.len() == 1 {
        return (columns, None);
    }
    let twice = match holds {
        Holds::Text | Holds::Nothing => None,
        _ => Some((columns[0].heading.to_string(), columns[1].heading.to_string())),
    };
    columns.truncate(1);
    (columns, twice)
}

/// How headings fit one kind.
fn fit(grid: &Grid<'_>, heads: &[Head], kind: &'static KindSpec, row: u32, depth: usize, system: System) -> Heading {
    let claims: Vec<Claim<'_>> = heads.iter().filter_map(|h| claim(h, kind, grid)).collect();
    let mut columns: Vec<Column> = Vec::new();
    let mut twice = None;
    let mut fields: Vec<Field> = claims.iter().map(|c| c.named.field).collect();
    fields.sort_unstable();
    fields.dedup();
    for field in fields.into_iter().filter(|f| *f != Field::Elsewhere) {
        let all = claims.iter().filter(|c| c.named.field == field);
        let (kept, both) = settle(all.map(|c| (column(c, grid), c.named.rank, c.counted)).collect(), system);
        columns.extend(kept);
        twice = twice.or(both.map(|(a, b)| (field, a, b)));
    }
    let (age, several) = aged(&claims);
    twice = twice.or(several);
    one_average(&mut columns);
    columns.extend(second_meaning(&claims, &columns, kind));
    columns.sort_by_key(|c| c.at);
    let unused = heads
        .iter()
        .filter(|h| !h.spread && !columns.iter().any(|c| c.at == h.at))
        .map(|h| (h.at, h.written.clone()))
        .collect();
    let has = |f: &Field| columns.iter().any(|c| c.field == *f) || said_for_all(grid, *f);
    let lacking = kind.needs.iter().copied().filter(|group| !group.iter().any(has)).collect();
    let matched = claims.iter().filter(|c| !c.head.spread).map(|c| c.head.at).collect();
    Heading { kind, row, depth, columns, unused, lacking, twice, age, matched }
}

/// The age that the heading of the strengths states, or two headings that cannot both be meant: strengths of several
/// ages on one row are several specimens.
fn aged(claims: &[Claim<'_>]) -> (Option<Aged>, Option<Twice>) {
    let strengths: Vec<&Claim<'_>> = claims.iter().filter(|c| c.named.field == Field::Strength).collect();
    let heading = |c: &Claim<'_>| c.head.written.clone();
    match strengths.as_slice() {
        [only] => (only.named.age.map(|days| (days, heading(only))), None),
        [first, second, ..] if strengths.iter().any(|c| c.named.age.is_some()) => {
            (None, Some((Field::Strength, heading(first), heading(second))))
        }
        _ => (None, None),
    }
}

/// A column `Sample` beside another that names the record says how the sample was taken: split or independent.
fn second_meaning(claims: &[Claim<'_>], columns: &[Column], kind: &'static KindSpec) -> Option<Column> {
    let spec = kind.spec(Field::Sampling).filter(|s| columns.iter().all(|c| c.field != s.field))?;
    let lost = |c: &&Claim<'_>| {
        matches!(c.named.field, Field::Number | Field::Set) && columns.iter().all(|kept| kept.at != c.head.at)
    };
    let claim = claims.iter().filter(lost).find(|c| c.head.ways.iter().any(|w| w.is("sample")))?;
    let heading = claim.head.written.as_str().into();
    Some(Column {
        field: spec.field,
        holds: spec.holds,
        at: claim.head.at,
        heading,
        unit: None,
        unit_from: UnitFrom::None,
        stated: None,
    })
}

/// Readings are kept, and their average left out; but one wheel path beside an average is not the whole of it.
fn one_average(columns: &mut Vec<Column>) {
    let many = columns.iter().filter(|c| c.holds.is_many()).count();
    let average = columns.iter().any(|c| c.field == Field::Average);
    if many == 1 && average && columns.iter().any(|c| c.holds == Holds::Passes) {
        columns.retain(|c| c.holds != Holds::Passes);
    } else if many > 0 {
        columns.retain(|c| c.field != Field::Average);
    }
}

/// Whether the contract file gives a field for every row.
fn said_for_all(grid: &Grid<'_>, field: Field) -> bool {
    grid.rules.iter().any(|r| r.every_row.contains_key(field.word()))
}

/// The kinds a sheet may hold: what the contract file says, what the form is for, or all.
fn kinds(grid: &Grid<'_>) -> Vec<&'static KindSpec> {
    match grid.rules.iter().find_map(|r| r.kind.as_deref().and_then(kind_named)) {
        Some(kind) => vec![kind],
        None => grid.own.kind.map_or_else(|| KINDS.iter().collect(), |kind| vec![kind]),
    }
}

/// The row the contract file says the headings stand in, from 0.
fn said_row(grid: &Grid<'_>) -> Option<u32> {
    grid.rules.iter().find_map(|r| r.heading_row).map(|r| r.saturating_sub(1))
}

/// The best of some fits, or those that fit equally well.
fn best(mut fits: Vec<Heading>) -> Sought {
    fits.sort_by_key(|f| std::cmp::Reverse(f.matched.len()));
    let rivals: Vec<usize> = (1..fits.len())
        .filter(|&i| {
            let (first, other) = (&fits[0], &fits[i]);
            let covered = other.needed().iter().all(|at| first.matched.contains(at));
            first.matched.len() == other.matched.len() || !covered
        })
        .collect();
    if fits.is_empty() {
        Sought::Nothing
    } else if rivals.is_empty() {
        Sought::Found(Box::new(fits.swap_remove(0)))
    } else {
        let kept: Vec<Heading> =
            fits.into_iter().enumerate().filter(|(i, _)| *i == 0 || rivals.contains(i)).map(|(_, f)| f).collect();
        Sought::Torn(kept)
    }
}

/// Whether a heading speaks of a price: such a sheet bills loads, it does not deliver them.
fn is_price(way: &Wording) -> bool {
    way.has_word("price")
}

/// What the words about a table say of steps and bars, which many sheets with a day, a lane and stations could hold.
struct Steps {
    /// It is of a step of the work.
    work: bool,
    /// It is of the position of bars.
    bars: bool,
    /// A column names the step, or contract.toml does.
    outright: bool,
}

impl Steps {
    fn of(grid: &Grid<'_>, fits: &[Heading], row: u32, words: &[&str]) -> Self {
        let has = |kind: Kind, fields: &[Field]| {
            fits.iter().filter(|f| f.kind.kind == kind).any(|f| f.columns.iter().any(|c| fields.contains(&c.field)))
        };
        let said = said_for_all(grid, Field::Step) || grid.rules.iter().any(|r| r.kind.as_deref() == Some("work"));
        let outright = has(Kind::Work, &[Field::Step]) || said;
        // A placement has its number or its mix; a delivery its quantity.
        let placing = has(Kind::Placements, &[Field::Number, Field::Mix]) && has(Kind::Placements, &[Field::Mix]);
        let delivering = fits.iter().any(|f| f.kind.kind == Kind::Materials && f.lacking.is_empty());
        let step = stepped::of_table(grid, row, words).filter(|_| !placing && !delivering);
        // Where bars lie is measured at a joint; setting them is counted over a stretch.
        let lie = has(Kind::Bars, &[Field::Depth]) && !has(Kind::Work, &[Field::From, Field::Stations, Field::Count]);
        let worded = step.is_some_and(|s| !(lie && matches!(s, Step::Baskets | Step::Ties)));
        let shifted = has(Kind::Bars, &[Field::Side, Field::Tilt, Field::Skew, Field::Bar, Field::Place]);
        let bars = shifted || stepped::bars_of_table(grid, row, words).is_some();
        Self { work: outright || worded, bars, outright }
    }

    /// Whether a kind can be meant.
    fn allow(&self, kind: Kind) -> bool {
        match kind {
            Kind::Work => self.work,
            Kind::Bars => self.bars && !self.outright,
            Kind::Placements => !self.work,
            Kind::Probes => !self.work && !self.bars,
            _ => true,
        }
    }
}

fn seek(
    grid: &Grid<'_>,
    heads: &[Head],
    row: u32,
    depth: usize,
    outright: bool,
    system: System,
    elsewhere: Elsewhere<'_>,
) -> Sought {
    let fits: Vec<Heading> = kinds(grid).into_iter().map(|k| fit(grid, heads, k, row, depth, system)).collect();
    // Nearly every row ends here, before what stands about the table is looked into again.
    if !outright && fits.iter().all(|f| f.matched.len() < 2) {
        return Sought::Nothing;
    }
    let whole = |f: &Heading| f.lacking.iter().all(|group| group.iter().any(|field| elsewhere(f.kind, *field)));
    let words: Vec<&str> = heads.iter().map(|h| h.written.as_str()).collect();
    let smooth = |f: &Heading| {
        let unit = f.columns.iter().filter_map(|c| c.unit).any(|u| Measure::Smoothness.accepts(u));
        f.kind.kind != Kind::Profiles || unit || ride::is_meant(grid, row, &words)
    };
    let billed = heads.iter().any(|h| h.ways.iter().any(is_price));
    let steps = Steps::of(grid, &fits, row, &words);
    let able = |f: &&Heading| {
        let allowed = grid.own.kind.is_some() || steps.allow(f.kind.kind);
        f.matched.len() >= 2 && smooth(f) && !(f.kind.kind == Kind::Loads && billed) && allowed
    };
    let whole: Vec<Heading> = fits.iter().filter(able).filter(|f| whole(f)).cloned().collect();
    if !whole.is_empty() {
        return best(whole);
    }
    let nearly: Vec<Heading> = fits.iter().filter(able).filter(|f| f.nearly_whole()).cloned().collect();
    if !nearly.is_empty() {
        return best(nearly);
    }
    if outright { best(fits.into_iter().filter(|f| !f.columns.is_empty()).collect()) } else { Sought::Nothing }
}

fn matched(sought: &Sought) -> usize {
    match sought {
        Sought::Nothing => 0,
        Sought::Found(heading) => heading.matched.len(),
        Sought::Torn(all) => all.first().map_or(0, |h| h.matched.len()),
    }
}

/// Whether a group row adds nothing to the headings below it but the units they lack: `Length (in)` over `L1` to `L9`.
fn adds_units(double: &Sought, under: &Sought) -> bool {
    let (Sought::Found(double), Sought::Found(under)) = (double, under) else { return false };
    let same =
        |(a, b): (&Column, &Column)| (a.at, a.field) == (b.at, b.field) && (b.unit.is_none() || a.unit == b.unit);
    double.kind.kind == under.kind.kind
        && double.columns.len() == under.columns.len()
        && double.columns.iter().zip(&under.columns).all(same)
        && double.columns.iter().zip(&under.columns).any(|(a, b)| a.unit != b.unit)
}

/// Whether headings go on into a lower row: more columns are known with it, or as many, and it is filled with words like
/// them. A row with a figure in it may be a record, and is never taken for more of the same headings.
fn goes_on(upper: &Sought, with_lower: &Sought, lower: Line<'_>) -> bool {
    let (without, with) = (matched(upper), matched(with_lower));
    let wordy = |value: &RawValue| matches!(value, RawValue::Text(t) if !t.contains(|c: char| c.is_ascii_digit()));
    let words = lower.filled().nth(2).is_some() && lower.filled().all(|cell| wordy(&cell.value));
    with > without || (with == without && with > 0 && words)
}

/// Seeks headings that begin at a line. `elsewhere` says whether a field is given outside the table.
pub(super) fn at_line(grid: &Grid<'_>, index: usize, system: System, elsewhere: Elsewhere<'_>) -> Sought {
    let line = grid.lines[index];
    let outright = match said_row(grid) {
        Some(row) if row == line.row => true,
        Some(_) => return Sought::Nothing,
        None => false,
    };
    if !outright && !may_be_heading(line) {
        return Sought::Nothing;
    }
    let next = |i: usize| {
        grid.lines.get(index + i).copied().filter(|l| usize::try_from(l.row - line.row).is_ok_and(|d| d == i))
    };
    let search = |heads: Vec<Head>, depth: usize| {
        let (heads, depth) = match next(depth).filter(|l| is_units_row(*l)) {
            Some(units) => (with_units(heads, units), depth + 1),
            None => (heads, depth),
        };
        seek(grid, &heads, line.row, depth, outright, system, elsewhere)
    };
    let single = search(upper(grid, line), 1);
    let Some(below) = next(1).filter(|l| may_be_lower(*l) && !is_units_row(*l)) else { return single };
    let double = search(joined(grid, line, below), 2);
    let under = if may_be_heading(below) && !outright {
        seek(grid, &upper(grid, below), below.row, 1, false, system, elsewhere)
    } else {
        Sought::Nothing
    };
    let alone = matched(&under);
    if let Some(third) = next(2).filter(|l| may_be_lower(*l) && !is_units_row(*l)) {
        let lower = lower_two(below, third);
        let triple = search(joined(grid, line, Line { row: below.row, cells: &lower }), 3);
        let rest = seek(grid, &joined(grid, below, third), below.row, 2, false, system, elsewhere);
        let last = seek(grid, &upper(grid, third), third.row, 1, false, system, elsewhere);
        let below_alone = [&under, &rest, &last].iter().all(|s| matched(s) < matched(&triple));
        if below_alone && goes_on(&single, &triple, third) && goes_on(&double, &triple, third) {
            return triple;
        }
        if matched(&rest).max(matched(&last)) > matched(&single).max(matched(&double)) {
            return Sought::Nothing;
        }
    }
    if matched(&double) > matched(&single) && adds_units(&double, &under) {
        return double;
    }
    if goes_on(&single, &double, below) && matched(&double) > alone {
        double
    } else if matched(&single) >= alone {
        single
    } else {
        Sought::Nothing
    }
}

/// The row whose headings come nearest to a kind of record, for the message of a sheet that was not recognised. Of kinds
/// that come equally near, `likeliest` is taken.
pub(super) fn nearest(grid: &Grid<'_>, system: System, likeliest: &str) -> Option<Heading> {
    let mut nearest: Option<Heading> = None;
    for line in grid.lines.iter().take(60).filter(|l| may_be_heading(**l)) {
        let heads = upper(grid, *line);
        for kind in kinds(grid) {
            let found = fit(grid, &heads, kind, line.row, 1, system);
            // What the name speaks of outweighs one heading that several kinds share.
            let rank =
                |h: &Heading| (h.matched.len() + usize::from(h.kind.word == likeliest), h.kind.word == likeliest);
            if rank(&found).0 > 0 && nearest.as_ref().is_none_or(|n| rank(&found) > rank(n)) {
                nearest = Some(found);
            }
        }
    }
    nearest
}

/// A row taken for the headings of a kind, whatever it names.
pub(super) fn as_kind(grid: &Grid<'_>, row: u32, kind: &str, system: System) -> Option<Heading> {
    let heads = upper(grid, grid.line(row)?);
    Some(fit(grid, &heads, kind_named(kind)?, row, 1, system))
}

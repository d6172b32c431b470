//! A table under its headings: which column holds which field, what is given for every row, and what is wrong with it
//! as a whole.

use std::collections::BTreeSet;

use super::carried::{self, Above};
use super::cell::shown;
use super::grid::{Grid, Titles, quoted};
use super::heading::{Column, Heading};
use super::kind::{Field, Holds, Kind, KindSpec};
use super::levelled;
use super::named;
use super::raw::RawValue;
use super::record::{Bar, RideIndex, Shape, Step, Surface};
use super::ride;
use super::row::Words;
use super::setting::Setting;
use super::sides;
use super::stepped;
use super::wording::fold;
use crate::finding::{Code, Finding, Place};
use crate::source::CellRef;

/// A value that holds for every row.
#[derive(Clone, Debug)]
pub(super) struct Given {
    pub(super) value: RawValue,
    /// Its cell, where it stands on the sheet.
    pub(super) at: Option<CellRef>,
    /// Where it comes from, in words.
    pub(super) from: String,
}

impl Given {
    /// Whether the name of the sheet or file says it; a column of its own says more.
    fn by_name(&self) -> bool {
        self.from.starts_with("name of")
    }

    /// Whether the contract file says it outright.
    pub(super) fn outright(&self) -> bool {
        self.at.is_none() && self.from.starts_with("contract.toml")
    }
}

/// No column.
const NONE: usize = usize::MAX;

/// A table.
pub(super) struct Table {
    pub(super) kind: &'static KindSpec,
    pub(super) heading: Heading,
    /// Place in `heading.columns` by field; [`NONE`] where no column holds it.
    by_field: [usize; Field::COUNT],
    pub(super) given: Vec<(Field, Given)>,
    /// Why no row of it can be read, in words; empty where they can.
    pub(super) fault: Option<String>,
    /// The finding that says so stands already.
    pub(super) fault_said: bool,
    /// Columns with readings without a unit, with how many cells: one finding each, at the end.
    pub(super) unitless: Vec<(usize, u32)>,
    /// Columns under no used heading that hold something.
    pub(super) stray: BTreeSet<u16>,
    /// Lanes stand behind the stretches, in one cell with them.
    beside: bool,
    /// What stands above the row that is read next.
    pub(super) above: Above,
    /// Rows that took a value from the top of their group, and the first of them.
    pub(super) carried: Option<(u32, u32)>,
    /// Rows up to this one were looked at for being numbered and blank; whether they are.
    pub(super) prepared: Option<(u32, bool)>,
    /// Columns under a heading, used or not.
    headed: Vec<bool>,
    /// Cylinders unless the sheet says beams or cores.
    pub(super) shape: Shape,
    /// Which index of smoothness the readings are, where the sheet says it.
    pub(super) ride: Option<RideIndex>,
    /// Straightedges lay across the lane, by the words about the table.
    pub(super) across: bool,
    /// Which surface was levelled, where the sheet says it.
    pub(super) surface: Option<Surface>,
    /// Which step of the work it is of, where the sheet says it.
    pub(super) step: Option<Step>,
    /// Which bars it is of, where the sheet says it.
    pub(super) bar: Option<Bar>,
}

impl Table {
    /// A table under a heading.
    pub(super) fn under(heading: Heading, grid: &Grid<'_>, titles: &Titles, words: Words<'_>) -> Self {
        let mut by_field = [NONE; Field::COUNT];
        for (place, column) in heading.columns.iter().enumerate().rev() {
            by_field[column.field as usize] = place;
        }
        let shape = shape(&heading, grid);
        let unitless = Vec::new();
        let stray = BTreeSet::new();
        let headed = headed(&heading);
        let (ride, across) = smoothness(&heading, grid);
        let surface = levelled(&heading, grid);
        let (step, bar) = stepped(&heading, grid);
        let mut table = Self {
            kind: heading.kind,
            heading,
            by_field,
            given: Vec::new(),
            fault: None,
            fault_said: false,
            unitless,
            stray,
            beside: false,
            above: Above::default(),
            carried: None,
            prepared: None,
            headed,
            shape,
            ride,
            across,
            surface,
            step,
            bar,
        };
        table.beside = sides::are_named(&table, grid, &words.setting.alignments);
        table.hear(grid, titles, words);
        table
    }

    /// The column of a field.
    pub(super) fn column(&self, field: Field) -> Option<&Column> {
        self.heading.columns.get(self.by_field[field as usize])
    }

    /// The place of a field's column among the columns.
    pub(super) fn place(&self, field: Field) -> Option<usize> {
        Some(self.by_field[field as usize]).filter(|p| *p != NONE)
    }

    /// Whether a column stands under a heading.
    pub(super) fn is_headed(&self, column: u16) -> bool {
        self.headed.get(usize::from(column)).copied().unwrap_or(false)
    }

    /// What is given for every row.
    pub(super) fn given(&self, field: Field) -> Option<&Given> {
        self.given.iter().find(|(f, _)| *f == field).map(|(_, g)| g)
    }

    /// Takes up what the contract file, the title cells and the sheet's name give for every row.
    pub(super) fn hear(&mut self, grid: &Grid<'_>, titles: &Titles, words: Words<'_>) {
        self.given = self
            .kind
            .fields
            .iter()
            .filter_map(|s| Some((s.field, given(s.field, self.kind, grid, titles, words, false)?)))
            .filter(|(field, given)| !given.by_name() || self.place(*field).is_none())
            .collect();
        if let Some((days, heading)) = self.heading.age.as_ref().filter(|_| self.place(Field::Age).is_none()) {
            let value = RawValue::Text(days.to_string().into());
            self.given.retain(|(field, _)| *field != Field::Age);
            self.given.push((Field::Age, Given { value, at: None, from: format!("heading '{heading}'") }));
        }
        self.fault = self.whole_fault();
    }

    /// Why no row of the table can be read.
    fn whole_fault(&self) -> Option<String> {
        if let Some((field, a, b)) = &self.heading.twice {
            if *field == Field::Strength {
                return Some(format!(
                    "'{a}' and '{b}' are breaks of several specimens on one row; each needs a row of its own with its \
                     age and day"
                ));
            }
            return Some(format!("both '{a}' and '{b}' can be the {}", field.word()));
        }
        let without: Vec<String> = self
            .heading
            .lacking
            .iter()
            .filter(|group| !group.iter().any(|f| self.given(*f).is_some() || (self.beside && *f == Field::Lane)))
            .map(|group| group.iter().map(|f| f.word()).collect::<Vec<_>>().join(" or "))
            .collect();
        if without.is_empty() && self.lacks_index() {
            return Some(String::from(
                "nothing says whether the readings are a roughness index (IRI, MRI) or a profile index (PI)",
            ));
        }
        if without.is_empty() && self.lacks_surface() {
            let what = if self.kind.kind == Kind::Density {
                "subgrade or the base was tested"
            } else {
                "subgrade, the base or the pavement was levelled"
            };
            return Some(format!("nothing says whether the {what}"));
        }
        if without.is_empty() && self.lacks_step() {
            return Some(String::from("nothing says which step of the work was done"));
        }
        if without.is_empty() && self.lacks_bar() {
            return Some(String::from("nothing says whether they are dowels or tie bars"));
        }
        (!without.is_empty()).then(|| format!("nothing says the {}", without.join(", nor the ")))
    }

    /// Whether nothing says which index of smoothness the readings are.
    fn lacks_index(&self) -> bool {
        let said = self.ride.is_some() || self.column(Field::Index).is_some() || self.given(Field::Index).is_some();
        self.kind.kind == Kind::Profiles && !said
    }

    /// Whether nothing says which surface was levelled.
    fn lacks_surface(&self) -> bool {
        let said =
            self.surface.is_some() || self.column(Field::Surface).is_some() || self.given(Field::Surface).is_some();
        matches!(self.kind.kind, Kind::Levels | Kind::Density) && !said
    }

    /// Whether nothing says which step was done.
    fn lacks_step(&self) -> bool {
        let said = self.step.is_some() || self.column(Field::Step).is_some() || self.given(Field::Step).is_some();
        self.kind.kind == Kind::Work && !said
    }

    /// Whether nothing says which bars they are.
    fn lacks_bar(&self) -> bool {
        let said = self.bar.is_some() || self.column(Field::Bar).is_some() || self.given(Field::Bar).is_some();
        self.kind.kind == Kind::Bars && !said
    }

    /// The finding for a table none of whose rows can be read.
    pub(super) fn fault_finding(&self, grid: &Grid<'_>, setting: &Setting) -> Option<Finding> {
        let fault = self.fault.as_ref()?;
        let mut says =
            vec![format!("kind = {}", quoted(self.kind.word)), format!("heading_row = {}", self.heading.row + 1)];
        if let Some((field, a, b)) = &self.heading.twice {
            says.push(format!("columns = {{ {} = {} }}   # or {}", quoted(a), quoted(field.word()), quoted(b)));
        }
        let (every_row, others) = self.to_be_said(setting);
        if !every_row.is_empty() {
            says.push(format!("every_row = {{ {} }}{others}", every_row.join(", ")));
        }
        let first = self.heading.columns.first().map_or(0, |c| c.at);
        Some(Finding::new(
            Code::CellMissing,
            Place::Row(grid.cell(self.heading.row, first)),
            format!("the {} under these headings cannot be read: {fault}", self.kind.word),
            format!("add the column to the sheet, or say it in contract.toml:{}", grid.remedy(&says)),
        ))
    }

    /// What `every_row` must say for the rows to be read, and what else it could say.
    fn to_be_said(&self, setting: &Setting) -> (Vec<String>, &'static str) {
        let lane = setting.lanes.first().map_or("NB-1", |l| l.name.as_str());
        let said = |f: &Field| self.given(*f).is_some() || (self.beside && *f == Field::Lane);
        let without = self.heading.lacking.iter().filter(|group| !group.iter().any(said));
        let mut says: Vec<String> = without
            .filter_map(|g| g.first())
            .map(|field| {
                let example = match field {
                    Field::Lane => lane,
                    Field::Date | Field::Cast => "2031-05-14",
                    _ => "...",
                };
                format!("{} = {}", field.word(), quoted(example))
            })
            .collect();
        let mut others = "";
        for (lacks, say, other) in [
            (self.lacks_index(), "index = \"IRI\"", "   # or \"PI\""),
            (self.lacks_surface(), "surface = \"base\"", "   # or \"subgrade\", \"pavement\""),
            (self.lacks_step(), "step = \"cure\"", "   # or another step"),
            (self.lacks_bar(), "bar = \"dowel\"", "   # or \"tie bar\""),
        ] {
            if lacks {
                says.push(String::from(say));
                others = other;
            }
        }
        (says, others)
    }

    /// One note for what stands in columns that are not used.
    pub(super) fn unused_note(&self, grid: &Grid<'_>) -> Option<Finding> {
        let mut unused: Vec<String> = self.heading.unused.iter().map(|(_, h)| format!("'{h}'")).collect();
        unused.extend(self.stray.iter().map(|c| format!("column {} (no heading)", crate::source::column_letters(*c))));
        if unused.is_empty() {
            return None;
        }
        let first = self.heading.columns.first().map_or(0, |c| c.at);
        Some(Finding::new(
            Code::ColumnUnused,
            Place::Row(grid.cell(self.heading.row, first)),
            format!("read as {}; not used: {}", self.kind.word, unused.join(", ")),
            format!(
                "nothing, if they are not needed; else name their field in contract.toml:{}",
                grid.remedy(&[format!(
                    "columns = {{ {} = \"...\" }}   # one of: {}",
                    quoted(self.heading.unused.first().map_or("heading", |(_, h)| h)),
                    super::kind::field_words(self.kind.word).unwrap_or_default().join(", ")
                )])
            ),
        ))
    }

    /// One note for the days or lanes that were taken from the top of their groups.
    pub(super) fn carried_note(&self, grid: &Grid<'_>) -> Option<Finding> {
        let (first, rows) = self.carried?;
        let columns = &self.heading.columns;
        let grouped = columns
            .iter()
            .enumerate()
            .filter(|(p, c)| self.above.is_grouped(*p) && carried::may_be_grouped(self.kind, c.field));
        let (at, names): (Vec<u16>, Vec<String>) = grouped.map(|(_, c)| (c.at, format!("'{}'", c.heading))).unzip();
        let taken = if rows == 1 { String::from("1 row takes") } else { format!("{rows} rows take") };
        Some(Finding::new(
            Code::CarriedDown,
            Place::Cell(grid.cell(first, at.first().copied().unwrap_or(0))),
            format!(
                "{} is written once for each group: from here on {taken} it from the top of the group",
                names.join(" and ")
            ),
            "nothing, if blank cells mean the value above them; else fill them in",
        ))
    }

    /// One finding for each column without a unit.
    pub(super) fn unit_findings(&self, grid: &Grid<'_>) -> Vec<Finding> {
        let finding = |&(place, cells): &(usize, u32)| {
            let column = self.heading.columns.get(place)?;
            let offered = column
                .holds
                .measure()
                .map_or(&[crate::units::Unit::Foot, crate::units::Unit::Metre][..], |m| m.offered());
            let said = column.stated.as_ref().map_or_else(
                || String::from("nothing says in which unit it is written"),
                |s| format!("'{s}' is not a unit this program knows for it"),
            );
            let symbols: Vec<String> = offered.iter().map(|u| quoted(u.symbol())).collect();
            let line = format!(
                "units = {{ {} = {} }}{}",
                column.field.word(),
                symbols.first().map_or("\"...\"", String::as_str),
                if symbols.len() > 1 { format!("   # or {}", symbols[1..].join(" or ")) } else { String::new() }
            );
            Some(Finding::new(
                Code::UnitUnknown,
                Place::Cell(grid.cell(self.heading.row, column.at)),
                format!("'{}': {said}; {} not read", column.heading, rows(cells)),
                format!("write the unit in the heading, or in contract.toml:{}", grid.remedy(&[line])),
            ))
        };
        self.unitless.iter().filter_map(finding).collect()
    }
}

/// Which index of smoothness a table holds, and whether its straightedges lay across, by the words about it.
fn smoothness(heading: &Heading, grid: &Grid<'_>) -> (Option<RideIndex>, bool) {
    let used: Vec<&str> = heading.columns.iter().filter(|c| c.field != Field::Direction).map(|c| &*c.heading).collect();
    let unused: Vec<&str> = heading.unused.iter().map(|(_, h)| h.as_str()).collect();
    match heading.kind.kind {
        Kind::Profiles => (ride::of_table(grid, heading.row, &used, &unused), false),
        Kind::Straightedge => (None, ride::is_across(grid, heading.row, &used)),
        _ => (None, false),
    }
}

/// Which surface a table of levels holds, by the words about it.
fn levelled(heading: &Heading, grid: &Grid<'_>) -> Option<Surface> {
    let heads: Vec<&str> = heading.columns.iter().filter(|c| c.field != Field::Surface).map(|c| &*c.heading).collect();
    matches!(heading.kind.kind, Kind::Levels | Kind::Density)
        .then(|| levelled::of_table(grid, heading.row, &heads))
        .flatten()
}

/// Which step a table is of, or which bars, by the words about it.
fn stepped(heading: &Heading, grid: &Grid<'_>) -> (Option<Step>, Option<Bar>) {
    let mut heads: Vec<&str> = heading.columns.iter().filter(|c| c.field != Field::Step).map(|c| &*c.heading).collect();
    heads.extend(heading.unused.iter().map(|(_, h)| h.as_str()));
    match heading.kind.kind {
        Kind::Work => (stepped::of_table(grid, heading.row, &heads), None),
        Kind::Bars => (None, stepped::bars_of_table(grid, heading.row, &heads)),
        _ => (None, None),
    }
}

fn headed(heading: &Heading) -> Vec<bool> {
    let columns: BTreeSet<u16> =
        heading.columns.iter().map(|c| c.at).chain(heading.unused.iter().map(|u| u.0)).collect();
    let last = columns.last().copied().unwrap_or(0);
    (0..=last).map(|c| columns.contains(&c)).collect()
}

fn rows(count: u32) -> String {
    if count == 1 { String::from("1 row is") } else { format!("{count} rows are") }
}

/// What is given for a field outside the table's columns. To tell which kind the headings are of, `any` kind may take its
/// day from where only some do; else a kind that may would be preferred to the one that is meant.
fn given(
    field: Field,
    kind: &'static KindSpec,
    grid: &Grid<'_>,
    titles: &Titles,
    words: Words<'_>,
    any: bool,
) -> Option<Given> {
    if let Some((rule, value)) = grid.rules.iter().find_map(|r| Some((r, r.every_row.get(field.word())?))) {
        let from = format!("contract.toml, line {}", rule.line);
        return Some(Given { value: RawValue::Text(value.as_str().into()), at: None, from });
    }
    let anywhere = matches!(
        field,
        Field::Lane
            | Field::Date
            | Field::Cast
            | Field::Plant
            | Field::Mix
            | Field::Index
            | Field::Material
            | Field::Invoice
            | Field::Step
            | Field::Sensor
            | Field::Placement
    );
    let of_logger = kind.kind == Kind::Logger && matches!(field, Field::Station | Field::Placement);
    if !anywhere && !of_logger {
        return None;
    }
    let wordings = kind.spec(field)?.wordings;
    let alone = || {
        let daily = any || named::DAILY.contains(&kind.kind);
        titles.day(daily).filter(|_| field == Field::Date && kind.needs(field))
    };
    if let Some((value, at)) = Titles::later(titles.find(wordings), alone()) {
        return Some(Given { value: value.clone(), at: Some(at), from: String::from("title cell") });
    }
    let (value, from) = named::given(grid.raw, kind, field, words, any)?;
    Some(Given { value, at: None, from: String::from(from) })
}

/// Whether something outside the columns gives a field.
pub(super) fn is_given(
    kind: &'static KindSpec,
    field: Field,
    grid: &Grid<'_>,
    titles: &Titles,
    words: Words<'_>,
) -> bool {
    given(field, kind, grid, titles, words, true).is_some()
}

/// Cores where the heading of their numbers says so; beams where the headings say so and do not speak of cylinders, or
/// the sheet's or file's name does; else cylinders.
fn shape(heading: &Heading, grid: &Grid<'_>) -> Shape {
    let says = |text: &str, words: &[&str]| fold(text).split(' ').any(|w| words.contains(&w));
    let beam = ["beam", "beams", "flexural", "rupture", "mor"];
    let cylinder = ["cylinder", "compressive", "diameter"];
    let heads: Vec<&str> = heading.columns.iter().filter(|c| c.holds != Holds::Shape).map(|c| &*c.heading).collect();
    let any = |words: &[&str]| heads.iter().any(|h| says(h, words));
    let named = || says(&grid.raw.file, &beam) || grid.raw.name.as_deref().is_some_and(|n| says(n, &beam));
    let numbers = heading.columns.iter().find(|c| c.field == Field::Number);
    if numbers.is_some_and(|c| says(&c.heading, &["core", "cores"])) {
        return Shape::Core;
    }
    if !any(&cylinder) && (any(&beam) || named()) { Shape::Beam } else { Shape::Cylinder }
}

/// A value given for every row, as it is kept beside what was understood.
pub(super) fn typed(given: &Given) -> Box<str> {
    format!("{} ({})", shown(&given.value), given.from).into()
}

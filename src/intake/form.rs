//! Blank forms for crews: what a form of each kind of record asks for, and how a sheet that is such a form is known.
//!
//! A form is made of the one table of [`super::kind`]: each of its columns is a field of its kind, under a heading that is
//! recognised as that field. What stands about the entries (title block, the row that shows how it is filled in, the lists
//! behind the drop-downs) is known by phrases of our own and is never read as data, nor as words about it.

use super::grid::Grid;
use super::grid::Line;
use super::kind::{Field, Holds, KindSpec, Measure, kind_named};
use super::raw::RawValue;
use crate::finding::{Code, Finding, Place};
use crate::units::{System, Unit};

/// First cell of the row that shows how a form is filled in.
pub const EXAMPLE: &str = "Example, not read";
/// First cell of the sheet that holds the drop-down lists of a form.
pub const LISTS: &str = "slabtally lists, not read";
/// Before the kind of record, in the last row above the headings.
const FORM: &str = "slabtally field form: ";
/// Labels of what a title block asks for once; none of them is a word by which a record's field is given.
pub const LABELS: [&str; 5] = ["Recorded by", "Begun on", "Sheet no", "Of sheets", "Weather"];
/// Filled rows among which title block and example are looked for.
const TOP: usize = 20;

/// What a crew writes into a column, and so which check and which list it gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Entry {
    /// Anything.
    Text,
    /// A day.
    Day,
    /// A time of day.
    Time,
    /// A station, or where `stretch` is true also two of them.
    Station {
        /// From and to may stand in the one cell.
        stretch: bool,
    },
    /// A lane; where `several` is true, more than one may be named.
    Lane {
        /// Lanes worked on together may be named in one cell.
        several: bool,
    },
    /// A mix of the contract.
    Mix,
    /// An item of the contract, by its number.
    Item,
    /// A material that the contract keeps an account of.
    Material,
    /// A plant.
    Plant,
    /// A paper that the contract asks for.
    Paper,
    /// The unit of the quantity beside it.
    Unit,
    /// A number.
    Number {
        /// It may lie below zero.
        below_zero: bool,
        /// It may be zero.
        zero: bool,
    },
    /// One of these words and no other.
    Word(&'static [&'static str]),
    /// Usually one of these words.
    Usual(&'static [&'static str]),
}

/// Whether a row can be without the entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Needed {
    /// It cannot.
    Yes,
    /// One of the columns with this mark must be filled in.
    OneOf(char),
    /// It can.
    No,
}

/// What the example row shows in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sample {
    /// Nothing.
    Blank,
    /// These words.
    Says(&'static str),
    /// A number, in customary units and in SI.
    Number(&'static str, &'static str),
    /// So many days before the last of the contract.
    DaysBefore(u64),
    /// A time of day.
    Clock(u32, u32),
    /// The first lane.
    Lane,
    /// The station at which the first lane's alignment begins, or half-way along it.
    Begin,
    /// See [`Sample::Begin`].
    Middle,
    /// The first of the column's list.
    First,
}

/// What endangers those who fill a form in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Danger {
    /// Fresh concrete is caustic.
    FreshConcrete,
    /// Pavers, rollers, backing trucks.
    Equipment,
    /// Traffic beside the work.
    Traffic,
    /// Silica dust of drilling and sawing.
    Dust,
    /// Curing compound and sealant.
    Sprays,
    /// Nuclear gauges.
    Gauge,
    /// Specimens that break.
    Breaking,
    /// Heat and cold.
    Weather,
}

/// A column of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormColumn {
    /// The field's word.
    pub field: &'static str,
    /// As printed, with unit and mark.
    pub heading: String,
    /// What is written into it.
    pub entry: Entry,
    /// Whether a row can be without.
    pub needed: Needed,
    /// What else there is to say of it; may be empty.
    pub hint: &'static str,
    /// What the example row shows.
    pub sample: Sample,
    /// Stands within the width of a sheet of paper.
    pub printed: bool,
}

/// A form for one kind of record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Form {
    /// The kind's word.
    pub kind: &'static str,
    /// What is printed on top.
    pub title: &'static str,
    /// One row of it, in a sentence.
    pub noun: &'static str,
    /// Whether the weather of the day belongs on it.
    pub weather: bool,
    /// What endangers those who fill it in.
    pub dangers: &'static [Danger],
    /// Columns from left to right; those beyond the paper come last.
    pub columns: Vec<FormColumn>,
    /// Words of the fields without a column, with the reason.
    pub left_out: Vec<(&'static str, &'static str)>,
    /// What stands in the last row above the headings, by which the form is known.
    pub mark: String,
}

/// A column as the table of forms has it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked {
    pub(super) field: Field,
    /// One of the field's wordings, as printed.
    pub(super) heading: &'static str,
    pub(super) hint: &'static str,
    pub(super) sample: Sample,
    /// Where it is not what its field holds.
    pub(super) entry: Option<Entry>,
}

/// What the table of forms says of a kind: every field of it stands in one of the three lists.
#[derive(Clone, Copy, Debug)]
pub(super) struct Layout {
    pub(super) kind: &'static str,
    pub(super) title: &'static str,
    pub(super) weather: bool,
    pub(super) dangers: &'static [Danger],
    pub(super) printed: &'static [Asked],
    /// On the right, beyond the paper.
    pub(super) beyond: &'static [Asked],
    /// Fields without a column, with the reason.
    pub(super) left_out: &'static [(Field, &'static str)],
}

/// The forms of all kinds of record, in a contract's unit system.
#[must_use]
pub fn forms(system: System) -> Vec<Form> {
    super::form_layout::LAYOUTS.iter().filter_map(|layout| form(layout, system)).collect()
}

fn form(layout: &'static Layout, system: System) -> Option<Form> {
    let kind = kind_named(layout.kind)?;
    let printed = layout.printed.iter().filter_map(|asked| column(kind, asked, system, true));
    let beyond = layout.beyond.iter().filter_map(|asked| column(kind, asked, system, false));
    Some(Form {
        kind: kind.word,
        title: layout.title,
        noun: kind.noun,
        weather: layout.weather,
        dangers: layout.dangers,
        columns: printed.chain(beyond).collect(),
        left_out: layout.left_out.iter().map(|(field, why)| (field.word(), *why)).collect(),
        mark: format!("{FORM}{}", kind.word),
    })
}

fn column(kind: &'static KindSpec, asked: &Asked, system: System, printed: bool) -> Option<FormColumn> {
    let spec = kind.spec(asked.field)?;
    let needed = needed(kind, asked);
    let unit = unit(spec.holds, system).map_or_else(String::new, |unit| format!(" ({unit})"));
    let mark = match needed {
        Needed::Yes => String::from(" *"),
        Needed::OneOf(mark) => format!(" {mark}"),
        Needed::No => String::new(),
    };
    Some(FormColumn {
        field: asked.field.word(),
        heading: format!("{}{unit}{mark}", asked.heading),
        entry: asked.entry.unwrap_or_else(|| entry(asked.field, spec.holds)),
        needed,
        hint: asked.hint,
        sample: asked.sample,
        printed,
    })
}

/// Of several readings only the first must be there; what tells a table's rows apart must be there where nothing else does.
fn needed(kind: &KindSpec, asked: &Asked) -> Needed {
    let further = asked.heading.ends_with(|c: char| ('2'..='9').contains(&c)) || asked.heading.starts_with("Right");
    let tells = matches!(asked.field, Field::Step | Field::Bar | Field::Surface | Field::Index);
    let there = |f: &&Field| super::form_layout::asks(kind.word, **f);
    let several: Vec<&[Field]> = kind.needs.iter().copied().filter(|g| g.iter().filter(there).count() > 1).collect();
    if further || !(tells || kind.needs(asked.field)) {
        return Needed::No;
    }
    let group = several.iter().position(|group| group.contains(&asked.field));
    group.map_or(Needed::Yes, |group| Needed::OneOf(if group == 0 { '†' } else { '‡' }))
}

/// The unit that a heading states, as it is printed.
fn unit(holds: Holds, system: System) -> Option<String> {
    let unit = match holds {
        Holds::Days => Unit::Day,
        _ => holds.measure()?.kept_in(system).filter(|unit| *unit != Unit::One)?,
    };
    Some(match unit {
        Unit::Day => "days".into(),
        Unit::Fahrenheit => "°F".into(),
        Unit::Celsius => "°C".into(),
        Unit::FahrenheitHour => "°F-h".into(),
        Unit::CelsiusHour => "°C-h".into(),
        other => other.symbol().replace('2', "²").replace('3', "³"),
    })
}

fn entry(field: Field, holds: Holds) -> Entry {
    match holds {
        Holds::Date | Holds::Moment => Entry::Day,
        Holds::Time => Entry::Time,
        Holds::Station => Entry::Station { stretch: false },
        Holds::Stations => Entry::Station { stretch: true },
        Holds::Lane => Entry::Lane { several: false },
        Holds::Item => Entry::Item,
        Holds::UnitWord => Entry::Unit,
        Holds::Status => Entry::Word(&["accepted", "rejected", "void"]),
        Holds::Shape => Entry::Word(&["cylinder", "beam", "core"]),
        Holds::Purpose => Entry::Word(&["acceptance", "exploratory", "check", "void"]),
        Holds::Voided => Entry::Word(&["yes", "no"]),
        Holds::Party => Entry::Usual(&["contractor", "agency", "independent assurance", "referee"]),
        Holds::Sampling => Entry::Word(&["split", "independent"]),
        Holds::Index => Entry::Word(&["IRI", "MRI", "PI"]),
        Holds::Direction => Entry::Word(&["longitudinal", "transverse"]),
        Holds::Measure(measure) => number(measure),
        Holds::Readings => number(Measure::Depth),
        Holds::Passes => number(Measure::Smoothness),
        Holds::Days | Holds::Count => Entry::Number { below_zero: false, zero: true },
        Holds::Money => Entry::Number { below_zero: true, zero: true },
        Holds::Text | Holds::Nothing => match field {
            Field::Mix => Entry::Mix,
            Field::Plant => Entry::Plant,
            _ => Entry::Text,
        },
    }
}

fn number(measure: Measure) -> Entry {
    Entry::Number { below_zero: measure.may_be_negative(), zero: measure.may_be_zero() }
}

/// What of a sheet is the form's own.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Own {
    /// The kind of record that the form is for.
    pub(super) kind: Option<&'static KindSpec>,
    /// Rows of title block, example and lists: counted as headings.
    pub(super) rows: u32,
}

/// Takes out of a sheet's filled rows those that are a form's own.
pub(super) fn own(lines: &mut Vec<Line<'_>>) -> Own {
    let before = lines.len();
    let mut kind = None;
    if lines.first().is_some_and(|line| begins_with(*line, LISTS)) {
        lines.clear();
    } else if let Some((last, found)) = lines.iter().take(TOP).enumerate().find_map(|(i, l)| Some((i, form_of(*l)?)))
        && lines.iter().take(last).all(|line| is_title(*line))
    {
        lines.drain(..=last);
        kind = Some(found);
    }
    if let Some(example) = lines.iter().take(TOP).position(|line| begins_with(*line, EXAMPLE)) {
        lines.remove(example);
    }
    Own { kind, rows: u32::try_from(before - lines.len()).unwrap_or(u32::MAX) }
}

fn begins_with(line: Line<'_>, phrase: &str) -> bool {
    line.first().is_some_and(|cell| matches!(&cell.value, RawValue::Text(text) if text.trim() == phrase))
}

/// Whether a row above the mark can be of the title block: words across the sheet, or a label with what it asks for.
/// Anything else was put there by somebody, and is read.
fn is_title(line: Line<'_>) -> bool {
    line.filled().count() <= 2 || LABELS.iter().any(|label| begins_with(line, label))
}

fn form_of(line: Line<'_>) -> Option<&'static KindSpec> {
    line.filled().find_map(|cell| match &cell.value {
        RawValue::Text(text) => kind_named(text.trim().strip_prefix(FORM)?),
        _ => None,
    })
}

/// The finding for a row that bears the example's words and is not the form's own: a copy of it, filled in.
pub(super) fn copied_example(grid: &Grid<'_>, line: Line<'_>) -> Option<Finding> {
    let first = line.first().filter(|_| begins_with(line, EXAMPLE))?;
    Some(Finding::new(
        Code::CellUnreadable,
        Place::Cell(grid.cell(line.row, first.column)),
        format!("'{EXAMPLE}' stands in a row below the form's own example; the row is not counted"),
        "if it is a record, write what belongs in that cell in place of the words; else clear the row",
    ))
}

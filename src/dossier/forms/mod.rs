//! Blank forms of a contract as plain data: for each kind of record its columns, the checks on them, the contract's own words
//! as lists, and what is printed about the entries.
//!
//! A check never judges: it asks again where a day, a station or a word is not one that the contract names, and stops only
//! what could not be read at all.

mod checks;
mod lists;
mod words;

use chrono::{Days, NaiveDate, NaiveTime};
use rust_decimal::{Decimal, dec};

use crate::contract::Contract;
use crate::intake::{self, EXAMPLE, Entry, Form, FormColumn, LABELS, LISTS, Needed, Sample};
use crate::units::{Alignment, StationLabel, System};
use lists::Lists;

/// Characters of the widest label of what is filled in once, which stands in the first column.
const LABEL: u32 = 13;
/// Characters across a landscape page at full size.
const PAPER: u32 = 112;

/// What stands in a cell of a form.
#[derive(Clone, Debug, PartialEq)]
pub enum FormCell {
    /// Nothing.
    Blank,
    /// Words.
    Text(String),
    /// A number.
    Number(Decimal),
    /// A day.
    Day(NaiveDate),
    /// A time of day.
    Time(NaiveTime),
}

/// How a cell of a column is written and checked.
#[derive(Clone, Debug, PartialEq)]
pub enum FormCheck {
    /// Text as it is typed.
    Text,
    /// A day; one outside is asked about.
    Day(NaiveDate, NaiveDate),
    /// A time of day.
    Time,
    /// A number.
    Number {
        /// It may lie below zero.
        below_zero: bool,
        /// It may be zero.
        zero: bool,
    },
    /// A station with its plus; where both ends are numbers, one outside is asked about.
    Station {
        /// Least and greatest, without the plus.
        within: (Decimal, Decimal),
    },
    /// One of a list.
    List {
        /// Which, by place in [`FormBook::lists`].
        list: usize,
        /// Whether anything else is refused; otherwise it is asked about.
        only: bool,
    },
}

/// A column of a form.
#[derive(Clone, Debug, PartialEq)]
pub struct FormField {
    /// As printed.
    pub heading: String,
    /// Width in characters.
    pub width: u32,
    /// How it is written and checked.
    pub check: FormCheck,
    /// Title and text that are shown where the cell is chosen.
    pub prompt: (String, String),
    /// What is said of an entry that does not pass.
    pub fault: String,
    /// What the example shows.
    pub sample: FormCell,
    /// Stands within the paper's width.
    pub printed: bool,
}

/// Words of the contract for a drop-down list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormList {
    /// Over the list.
    pub heading: String,
    /// Words that may be chosen.
    pub words: Vec<String>,
    /// What stands beside each: heading and words, such as an item's description and unit.
    pub beside: Vec<(String, Vec<String>)>,
}

/// A form for one kind of record.
#[derive(Clone, Debug, PartialEq)]
pub struct FormBook {
    /// The kind's word; also the name of the file.
    pub kind: &'static str,
    /// Title.
    pub title: String,
    /// Number and title of the contract.
    pub contract: String,
    /// The contract's notice; may be empty.
    pub notice: String,
    /// Labels of what is filled in once for the sheet.
    pub blanks: Vec<&'static str>,
    /// What to mind before the work, one sentence each.
    pub cautions: Vec<&'static str>,
    /// Who decides.
    pub decides: &'static str,
    /// What the signs in the headings mean, and what a row is.
    pub signs: String,
    /// By which the form is known when it is read.
    pub mark: String,
    /// First cell of the example.
    pub example: &'static str,
    /// Columns.
    pub columns: Vec<FormField>,
    /// First cell of the sheet of lists.
    pub lists_mark: &'static str,
    /// Lists.
    pub lists: Vec<FormList>,
    /// Rows filled in already; none on a blank form.
    pub rows: Vec<Vec<FormCell>>,
    /// A4 rather than letter paper.
    pub a4: bool,
    /// The last day of the contract.
    pub day: NaiveDate,
    /// Program and version.
    pub program: String,
}

/// Why a contract has no use for the form of a kind; `None` where it has.
#[must_use]
pub fn form_unfit(contract: &Contract, kind: &str) -> Option<&'static str> {
    match kind {
        "materials" if contract.materials.is_empty() => Some("the contract keeps an account of no material"),
        "measured" if lists::by_hand(contract).is_empty() => Some("no item of the contract is measured by hand"),
        _ => None,
    }
}

/// The forms that fit a contract, in the order of the kinds; none where the contract has no period.
#[must_use]
pub fn forms(contract: &Contract) -> Vec<FormBook> {
    let Some(span) = span(contract) else { return Vec::new() };
    let fit = intake::forms(contract.system).into_iter().filter(|f| form_unfit(contract, f.kind).is_none());
    fit.map(|form| book(contract, &form, span)).collect()
}

/// First and last day: from the day that time is counted from, else the beginning of the first period's year, to the end of
/// the last period.
fn span(contract: &Contract) -> Option<(NaiveDate, NaiveDate)> {
    use chrono::Datelike;
    let (first, last) = (contract.periods.first()?.through, contract.periods.last()?.through);
    let year = NaiveDate::from_ymd_opt(first.year(), 1, 1)?;
    let start = contract.payment.time.as_ref().map_or(year, |time| time.start);
    Some((start.min(last), last))
}

fn book(contract: &Contract, form: &Form, span: (NaiveDate, NaiveDate)) -> FormBook {
    let mut lists = Lists::default();
    let field = |column: &FormColumn, lists: &mut Lists| field(contract, form, column, span, lists);
    let mut columns: Vec<FormField> = form.columns.iter().map(|column| field(column, &mut lists)).collect();
    if let Some(first) = columns.first_mut() {
        first.width = first.width.max(LABEL);
    }
    fill_paper(&mut columns);
    FormBook {
        kind: form.kind,
        title: form.title.into(),
        contract: format!("Contract: {}, {}", contract.number, contract.title),
        notice: contract.notice.clone(),
        blanks: LABELS.into_iter().filter(|label| *label != "Weather" || form.weather).collect(),
        cautions: words::cautions(form.dangers),
        decides: words::DECIDES,
        signs: words::signs(form),
        mark: form.mark.clone(),
        example: EXAMPLE,
        columns,
        lists_mark: LISTS,
        lists: lists.done(),
        rows: Vec::new(),
        a4: contract.system == System::Si,
        day: span.1,
        program: super::program(),
    }
}

fn field(
    contract: &Contract,
    form: &Form,
    column: &FormColumn,
    span: (NaiveDate, NaiveDate),
    lists: &mut Lists,
) -> FormField {
    let check = checks::check(contract, form, column, span, lists);
    FormField {
        width: width(column),
        prompt: (words::bare(&column.heading), words::prompt(contract, column, &check)),
        fault: words::fault(contract, column, &check, lists),
        sample: sample(contract, column, &check, span, lists),
        check,
        heading: column.heading.clone(),
        printed: column.printed,
    }
}

fn width(column: &FormColumn) -> u32 {
    let longest = column.heading.split_whitespace().map(|word| word.chars().count()).max().unwrap_or(0);
    let own: u32 = match (column.field, column.entry) {
        ("remarks" | "about" | "described" | "location", _) => 18,
        ("offset", _) => 14,
        ("length", _) | (_, Entry::Day | Entry::Word(_) | Entry::Usual(_)) => 11,
        (_, Entry::Station { stretch: true }) => 16,
        (_, Entry::Time | Entry::Number { .. } | Entry::Lane { several: false }) => 8,
        _ => 10,
    };
    own.max(u32::try_from(longest).unwrap_or(0) + 1)
}

/// Widens the last printed column, the remarks, until the sheet is as wide as the paper.
fn fill_paper(columns: &mut [FormField]) {
    let taken: u32 = columns.iter().filter(|c| c.printed).map(|c| c.width).sum();
    if let Some(last) = columns.iter_mut().rfind(|c| c.printed) {
        last.width += PAPER.saturating_sub(taken);
    }
}

/// What the example shows: words of the contract where it has them.
fn sample(
    contract: &Contract,
    column: &FormColumn,
    check: &FormCheck,
    (first, last): (NaiveDate, NaiveDate),
    lists: &Lists,
) -> FormCell {
    let text = |text: Option<String>| text.map_or(FormCell::Blank, FormCell::Text);
    let lane = contract.lanes.first();
    let alignment = lane.and_then(|lane| contract.alignments.get(lane.alignment));
    match column.sample {
        Sample::Blank => FormCell::Blank,
        Sample::Says(words) => FormCell::Text(words.into()),
        Sample::Number(customary, si) => {
            let written = if contract.system == System::Customary { customary } else { si };
            written.parse().map_or(FormCell::Blank, FormCell::Number)
        }
        Sample::DaysBefore(days) => FormCell::Day(last.checked_sub_days(Days::new(days)).unwrap_or(last).max(first)),
        Sample::Clock(hour, minute) => NaiveTime::from_hms_opt(hour, minute, 0).map_or(FormCell::Blank, FormCell::Time),
        Sample::Lane => text(lane.map(|lane| lane.name.clone())),
        Sample::Begin => text(alignment.and_then(|a| points(a).next())),
        Sample::Middle => text(alignment.and_then(|a| points(a).nth(1))),
        Sample::First => match check {
            FormCheck::List { list, .. } => text(lists.first(*list)),
            _ => FormCell::Blank,
        },
    }
}

/// Stations near the beginning of an alignment that are one point each.
fn points(alignment: &Alignment) -> impl Iterator<Item = String> {
    let ahead = [dec!(0), dec!(0.5), dec!(0.1), dec!(0.05), dec!(0.01)];
    let labels = ahead.into_iter().map(|part| alignment.begin + part * alignment.full_station);
    let there = labels.filter(|value| alignment.place(StationLabel { value: *value, ahead: None }).is_ok());
    there.map(|value| alignment.write(value))
}

/// Whether a row can be without a column's entry, in words; empty where it can.
fn needed(column: &FormColumn) -> String {
    match column.needed {
        Needed::Yes => "Must be filled in. ".into(),
        Needed::OneOf(mark) => format!("One or more of the columns marked {mark} must be filled in. "),
        Needed::No => String::new(),
    }
}

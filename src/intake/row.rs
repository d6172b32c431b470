//! One row under its headings, read field by field. Every fault of the row is kept, not only the first.

use std::borrow::Cow;

use chrono::{NaiveDate, NaiveTime};
use rust_decimal::Decimal;

use super::cell::{self, Typed, shown};
use super::date::{self, NoDate};
use super::grid::{Grid, Line};
use super::heading::Column;
use super::kind::{Field, Measure};
use super::lane::{self, Names, NoLane};
use super::raw::{RawCell, RawValue};
use super::record::{LaneId, Read};
use super::setting::{DateOrder, Setting};
use super::table::{Given, Table, typed};
use crate::finding::{Code, Finding, Place};
use crate::source::CellRef;
use crate::units::{Alignment, Station, StationError, StationLabel, Unit, between};

/// What every row of a run is read with.
#[derive(Clone, Copy)]
pub(super) struct Words<'a> {
    pub(super) setting: &'a Setting,
    pub(super) names: &'a Names,
}

/// A cell that cannot be used; the row has the finding.
pub(super) struct Refused;

/// A row being read.
pub(super) struct Row<'a> {
    pub(super) words: Words<'a>,
    pub(super) grid: &'a Grid<'a>,
    pub(super) table: &'a Table,
    pub(super) line: Line<'a>,
    pub(super) faults: Vec<Finding>,
    /// Numbers as typed, by column, for the totals below them.
    pub(super) numbers: Vec<(u16, Decimal)>,
    /// Columns (by place) whose cell had no unit.
    pub(super) unitless: Vec<usize>,
}

/// A value found for a field.
#[derive(Clone, Copy)]
pub(super) struct Found<'a> {
    pub(super) value: &'a RawValue,
    pub(super) at: CellRef,
    pub(super) heading: &'a str,
    pub(super) column: Option<&'a Column>,
    given: Option<&'a Given>,
}

impl Found<'_> {
    /// What stands there.
    pub(super) fn shown(&self) -> String {
        shown(self.value)
    }

    fn keep<T>(&self, value: T, typed_text: Option<Box<str>>) -> Read<T> {
        Read { value, at: self.at, typed: self.given.map(typed).or(typed_text) }
    }
}

impl<'a> Row<'a> {
    pub(super) fn new(words: Words<'a>, grid: &'a Grid<'a>, table: &'a Table, line: Line<'a>) -> Self {
        Self { words, grid, table, line, faults: Vec::new(), numbers: Vec::new(), unitless: Vec::new() }
    }

    /// The record's own cell, for values that stand nowhere on the sheet.
    pub(super) fn own_cell(&self) -> CellRef {
        self.grid.cell(self.line.row, self.line.first().map_or(0, |c| c.column))
    }

    /// The cell in a field's column, blank or not.
    pub(super) fn raw(&self, field: Field) -> Option<&'a RawCell> {
        self.grid.holding(self.line, self.table.column(field)?.at)
    }

    /// Whether the field's cell is struck out.
    pub(super) fn struck(&self, field: Field) -> bool {
        self.raw(field).is_some_and(|c| c.struck)
    }

    /// The value for a field: its cell, or what is given for every row.
    pub(super) fn find(&mut self, field: Field) -> Option<Found<'a>> {
        if let Some(column) = self.table.column(field) {
            match self.in_column(column) {
                Ok(None) => {}
                Ok(found) => return found,
                Err(Refused) => return None,
            }
        }
        let given = self.table.given(field)?;
        let at = given.at.unwrap_or_else(|| self.own_cell());
        Some(Found { value: &given.value, at, heading: field.word(), column: None, given: Some(given) })
    }

    /// The value in a column, unless it is blank.
    pub(super) fn in_column(&mut self, column: &'a Column) -> Result<Option<Found<'a>>, Refused> {
        let Some(cell) = self.grid.holding(self.line, column.at) else { return Ok(None) };
        let found = Found {
            value: &cell.value,
            at: self.grid.cell(cell.row, cell.column),
            heading: &column.heading,
            column: Some(column),
            given: None,
        };
        if cell.struck {
            self.refuse(Code::CellUnreadable, &found, "is struck out", "clear the cell or lift the strike-out");
            return Err(Refused);
        }
        match &cell.value {
            RawValue::Error(_) => {
                self.refuse(Code::CellError, &found, "is a spreadsheet error", "correct the formula");
                Err(Refused)
            }
            RawValue::Unstored => {
                let what = "holds a formula whose value was never stored";
                self.refuse(Code::FormulaUnstored, &found, what, "open the file in a spreadsheet program and save it");
                Err(Refused)
            }
            _ => Ok(Some(found)),
        }
    }

    /// Notes a fault of a cell.
    pub(super) fn refuse(&mut self, code: Code, found: &Found<'_>, what: &str, cure: &str) {
        let shown = found.shown();
        let quoted = match found.value {
            RawValue::Text(_) => format!("'{shown}'"),
            RawValue::Unstored => String::from("the cell"),
            _ => shown,
        };
        let remedy = self.remedy(cure);
        self.faults.push(Finding::new(
            code,
            Place::Cell(found.at),
            format!("'{}': {quoted} {what}", found.heading),
            remedy,
        ));
    }

    fn remedy(&self, cure: &str) -> String {
        let name = self
            .raw(self.table.kind.id)
            .filter(|c| !matches!(c.value, RawValue::Error(_) | RawValue::Unstored))
            .map_or_else(String::new, |c| format!(" {}", shown(&c.value)));
        format!(
            "the {}{name} is not counted; {cure}, or set the row aside with a reason in contract.toml",
            self.table.kind.noun
        )
    }

    /// Notes that what the kind cannot be without is blank.
    pub(super) fn missing(&mut self, fields: &[Field]) {
        let named: Vec<String> =
            fields.iter().filter_map(|f| self.table.column(*f).map(|c| format!("'{}'", c.heading))).collect();
        let (place, what) = match fields.iter().find_map(|f| self.table.column(*f)) {
            Some(column) => (Place::Cell(self.grid.cell(self.line.row, column.at)), named.join(", ")),
            None => (Place::Row(self.own_cell()), fields.iter().map(|f| f.word()).collect::<Vec<_>>().join(" or ")),
        };
        let verb = if named.len() > 1 { "are all blank" } else { "is blank" };
        let remedy = self.remedy("fill in the cell (values are not carried down from the row above)");
        let message = format!("{what} {verb}; a {} cannot be without it", self.table.kind.noun);
        self.faults.push(Finding::new(Code::CellMissing, place, message, remedy));
    }

    /// A value that must be there.
    pub(super) fn need<T>(&mut self, field: Field, read: impl FnOnce(&mut Self, Field) -> Option<T>) -> Option<T> {
        let before = self.faults.len() + self.unitless.len();
        let value = read(self, field);
        if value.is_none() && self.faults.len() + self.unitless.len() == before {
            self.missing(&[field]);
        }
        value
    }

    /// Text as it stands, on one line.
    pub(super) fn text(&mut self, field: Field) -> Option<Read<Box<str>>> {
        let found = self.find(field)?;
        let text: Box<str> = match found.value {
            RawValue::Text(text) => {
                let text = text.trim();
                if text.contains(['\r', '\n', '\t']) {
                    text.split_whitespace().collect::<Vec<_>>().join(" ").into()
                } else {
                    text.into()
                }
            }
            RawValue::Number(n) if !n.is_finite() => {
                self.refuse(Code::CellUnreadable, &found, "is not a finite number", "correct the cell");
                return None;
            }
            _ => found.shown().into(),
        };
        Some(found.keep(text, None))
    }

    /// A date.
    pub(super) fn date(&mut self, field: Field) -> Option<Read<NaiveDate>> {
        let found = self.find(field)?;
        let outcome = match found.value {
            RawValue::Moment(days) => date::of_moment(*days).map(|d| (d, true)),
            RawValue::Text(text) => date::of_text(text, self.words.setting.date_order, self.words.setting.years),
            RawValue::Number(n) => Err(NoDate::Ambiguous(date::of_moment(*n).map_or_else(
                |_| String::from("is a number, not a date"),
                |d| format!("is a number, not a date; counted in days as spreadsheets do it would be {d}"),
            ))),
            _ => Err(NoDate::Not(String::from("is not a date"))),
        };
        match outcome {
            Ok((date, plain)) => Some(found.keep(date, (!plain).then(|| found.shown().into()))),
            Err(NoDate::Not(what)) => {
                let cure = format!("write a date such as {}", self.example_date());
                self.refuse(Code::CellUnreadable, &found, &what, &cure);
                None
            }
            Err(NoDate::Ambiguous(what)) => {
                let cure = format!("write the date in full, such as 2031-05-14 or {}", self.example_date());
                self.refuse(Code::DateAmbiguous, &found, &what, &cure);
                None
            }
        }
    }

    fn example_date(&self) -> &'static str {
        match self.words.setting.date_order {
            DateOrder::MonthDayYear => "5/14/2031",
            DateOrder::DayMonthYear => "14/5/2031",
            DateOrder::YearMonthDay => "2031/5/14",
        }
    }

    /// A time of day.
    pub(super) fn time(&mut self, field: Field) -> Option<Read<NaiveTime>> {
        let found = self.find(field)?;
        let time = match found.value {
            RawValue::Moment(days) => date::time_of(*days),
            RawValue::Span(days) if (0.0..1.0).contains(days) => date::time_of(*days),
            RawValue::Text(text) => date::clock(text),
            RawValue::Number(n) if (0.0..1.0).contains(n) => {
                let reading = date::time_of(*n)
                    .map_or_else(String::new, |t| format!("; as a part of a day it would be {}", t.format("%H:%M")));
                let what = format!("is a number, not a time of day{reading}");
                self.refuse(Code::CellUnreadable, &found, &what, "write a time such as 7:05");
                return None;
            }
            _ => None,
        };
        let Some(time) = time else {
            self.refuse(Code::CellUnreadable, &found, "is not a time of day", "write a time such as 7:05");
            return None;
        };
        Some(found.keep(time, None))
    }

    /// The time of day in a cell that holds a day before it.
    pub(super) fn time_of_moment(&mut self, field: Field) -> Option<Read<NaiveTime>> {
        let found = self.find(field)?;
        let time = match found.value {
            RawValue::Moment(days) => date::time_of(*days),
            RawValue::Text(text) => date::time_behind(text),
            _ => None,
        };
        if time.is_none() {
            self.refuse(
                Code::CellUnreadable,
                &found,
                "holds no time of day behind its date",
                "write a time such as 7:05 behind it",
            );
        }
        time.map(|time| found.keep(time, Some(found.shown().into())))
    }

    /// Lanes named in a cell.
    pub(super) fn lanes(&mut self, field: Field) -> Option<Read<Vec<LaneId>>> {
        let found = self.find(field)?;
        let text = self.worded(&found)?;
        match self.words.names.lanes(&text) {
            Ok(lanes) => {
                let setting = self.words.setting;
                let own = |l: &LaneId| setting.lanes.get(usize::from(l.0)).is_some_and(|w| *w.name == *text);
                let plain = matches!(lanes.as_slice(), [only] if own(only));
                Some(found.keep(lanes, (!plain).then(|| text.into())))
            }
            Err(why) => {
                self.refuse_lane(&found, &why);
                None
            }
        }
    }

    /// One lane.
    pub(super) fn lane(&mut self, field: Field) -> Option<Read<LaneId>> {
        let lanes = self.lanes(field)?;
        match lanes.value.as_slice() {
            [only] => Some(Read { value: *only, at: lanes.at, typed: lanes.typed }),
            several => {
                let what = format!(
                    "names {} lanes ({}) where one is needed",
                    several.len(),
                    lane::lane_names(self.words.setting, several)
                );
                let found = self.find(field)?;
                self.refuse(Code::LaneUnknown, &found, &what, "name one lane");
                None
            }
        }
    }

    /// The first of the lanes a sample or load is said to belong to; what was typed stays beside it.
    pub(super) fn first_lane(&mut self, field: Field) -> Option<Read<LaneId>> {
        let lanes = self.lanes(field)?;
        lanes.value.first().map(|l| Read { value: *l, at: lanes.at, typed: lanes.typed })
    }

    fn refuse_lane(&mut self, found: &Found<'_>, why: &NoLane) {
        let setting = self.words.setting;
        let (what, cure) = match why {
            NoLane::Unknown(text) => (
                // A cell may name several lanes; then the word that is not one is said.
                format!(
                    "is not a lane of the contract{}; its lanes are {}",
                    if found.shown() == **text { String::new() } else { format!(" ('{text}')") },
                    lane::all_lanes(setting)
                ),
                "correct the cell, or add the word to the lane's `also` in contract.toml",
            ),
            NoLane::Several(text, lanes) => (
                format!("can mean more than one lane ('{text}'): {}", lane::lane_names(setting, lanes)),
                "write the lane's name in full",
            ),
        };
        self.refuse(Code::LaneUnknown, found, &what, cure);
    }

    /// The words of a cell that names something; numbers as people write them.
    pub(super) fn worded(&mut self, found: &Found<'a>) -> Option<Cow<'a, str>> {
        match found.value {
            RawValue::Text(text) => Some(Cow::Borrowed(text.trim())),
            RawValue::Number(n) if n.is_finite() => Some(Cow::Owned(n.to_string())),
            _ => {
                self.refuse(Code::CellUnreadable, found, "is not a name", "correct the cell");
                None
            }
        }
    }

    /// The alignment of a lane.
    pub(super) fn alignment(&self, lane: LaneId) -> Option<&'a Alignment> {
        let setting = self.words.setting;
        setting.alignments.get(setting.lanes.get(usize::from(lane.0))?.alignment)
    }

    /// A station on the alignment of a lane, with what is written behind it.
    pub(super) fn station(&mut self, field: Field, lane: LaneId) -> Option<(Read<Station>, Option<Box<str>>)> {
        let found = self.find(field)?;
        let alignment = self.alignment(lane)?;
        if let Some(distance) = self.distance(&found).ok()? {
            let label = StationLabel::from_distance(distance);
            let placed = alignment.place(label);
            return Some((self.placed(&found, placed, alignment)?, None));
        }
        let text = self.worded(&found)?;
        match lane::station(&text, alignment) {
            Ok((_, rest)) if !rest.is_empty() && !lane::is_offset(rest) => {
                let what = format!("is a station with something behind it that is no offset: '{rest}'");
                self.refuse(Code::CellUnreadable, &found, &what, "write the station alone");
                None
            }
            Ok((station, rest)) => {
                let rest = (!rest.is_empty()).then(|| rest.into());
                Some((self.placed(&found, Ok(station), alignment)?, rest))
            }
            Err(error) => {
                self.placed(&found, Err(error), alignment);
                None
            }
        }
    }

    /// Both ends of a stretch written in one cell.
    pub(super) fn stretch(&mut self, field: Field, lane: LaneId) -> Option<(Read<Station>, Read<Station>)> {
        let found = self.find(field)?;
        let alignment = self.alignment(lane)?;
        let text = self.worded(&found)?;
        let Some((from, to)) = lane::ends(&text, alignment) else {
            let cure = format!(
                "write both ends, such as {} to {}",
                alignment.write(alignment.begin),
                alignment.write(alignment.end)
            );
            self.refuse(Code::CellUnreadable, &found, "is not a stretch from one station to another", &cure);
            return None;
        };
        let from = lane::station(&from, alignment).map(|s| s.0);
        let to = lane::station(&to, alignment).map(|s| s.0);
        let (from, to) = (self.placed(&found, from, alignment), self.placed(&found, to, alignment));
        Some((from?, to?))
    }

    /// A station written as a bare number: only where the heading or the contract file says feet or metres.
    /// Nothing where it is not a bare number.
    fn distance(&mut self, found: &Found<'a>) -> Result<Option<Decimal>, Refused> {
        let typed = match found.value {
            RawValue::Number(n) => cell::number(*n).map(|value| Typed { value, unit: None, plain: true }),
            RawValue::Text(text) if !text.contains('+') => cell::text_number(text),
            _ => return Ok(None),
        };
        let Ok(typed) = typed else { return Ok(None) };
        let Some(unit) = typed.unit.or(found.column.and_then(|c| c.unit)) else {
            self.lacks_unit(found);
            return Err(Refused);
        };
        let kept = between(typed.value, unit, self.words.setting.system.length());
        if kept.is_none() {
            self.refuse(Code::CellUnreadable, found, "is not a distance", "write the station, such as 12+34.5");
        }
        kept.map(Some).ok_or(Refused)
    }

    fn placed(
        &mut self,
        found: &Found<'a>,
        station: Result<Station, StationError>,
        alignment: &Alignment,
    ) -> Option<Read<Station>> {
        match station {
            Ok(station) => {
                let text = found.shown();
                let plain = text == alignment.write(station.label);
                Some(found.keep(station, (!plain).then(|| text.into())))
            }
            Err(StationError::NotAStation(_)) => {
                let cure = format!("write a station such as {}", alignment.write(alignment.begin));
                self.refuse(Code::CellUnreadable, found, "is not a station", &cure);
                None
            }
            Err(error @ StationError::NotOnAlignment { .. }) => {
                let what = format!("cannot be placed: {error}");
                self.refuse(Code::StationUnplaced, found, &what, "correct the station or the lane");
                None
            }
            Err(error @ StationError::Twice { .. }) => {
                let what = format!("cannot be placed: {error}");
                self.refuse(Code::StationUnplaced, found, &what, "write BK or AH behind the station");
                None
            }
        }
    }

    /// Notes that a cell has no unit; the column gets one finding for all its cells.
    fn lacks_unit(&mut self, found: &Found<'a>) {
        let place = found.column.and_then(|c| self.table.heading.columns.iter().position(|o| o.at == c.at));
        match place {
            Some(place) if !self.unitless.contains(&place) => self.unitless.push(place),
            Some(_) => {}
            None => {
                self.refuse(Code::UnitUnknown, found, "is written without a unit", "write the unit behind the number");
            }
        }
    }

    /// A number as typed, with the unit typed behind it.
    pub(super) fn number(&mut self, found: &Found<'a>) -> Option<Typed> {
        let typed = match found.value {
            RawValue::Number(n) => cell::number(*n).map(|value| Typed { value, unit: None, plain: true }),
            RawValue::Text(text) if self.grid.raw.semicolons => cell::semicolon_number(text),
            RawValue::Text(text) => cell::text_number(text),
            RawValue::Moment(_) | RawValue::Span(_) => Err(String::from("is a date or time, not a number")),
            _ => Err(String::from("is not a number")),
        };
        match typed {
            Ok(typed) => {
                if let Some(column) = found.column {
                    self.numbers.push((column.at, typed.value));
                }
                Some(typed)
            }
            Err(what) => {
                self.refuse(Code::CellUnreadable, found, &what, "write one number");
                None
            }
        }
    }

    /// A measured number, in the unit records are kept in. `own` is the unit of a unit column.
    pub(super) fn measured(&mut self, found: &Found<'a>, measure: Measure, own: Option<Unit>) -> Option<Read<Decimal>> {
        let system = self.words.setting.system;
        let kept = measure.kept_in(system)?;
        let typed = self.number(found)?;
        let unit = typed.unit.or(found.column.and_then(|c| c.unit)).or(own);
        let stated = found.column.is_some_and(|c| c.stated.is_some());
        let Some(unit) = unit.or(measure.understood(system).filter(|_| !stated || measure == Measure::Ratio)) else {
            self.lacks_unit(found);
            return None;
        };
        let converted = if unit == kept {
            Some(typed.value)
        } else {
            between(typed.value, unit, kept).or_else(|| measure.of_water(typed.value, unit, system))
        };
        let Some(value) = converted else {
            let kept = if kept == Unit::One { "a ratio" } else { kept.symbol() };
            let what = format!("is in {unit}, which cannot be made {kept}");
            self.refuse(Code::CellUnreadable, found, &what, "correct the number or its unit");
            return None;
        };
        let sound = (!value.is_sign_negative() || value.is_zero() || measure.may_be_negative())
            && (!value.is_zero() || measure.may_be_zero());
        if !sound {
            let what = if value.is_zero() { "cannot be zero" } else { "cannot be below zero" };
            self.refuse(Code::CellUnreadable, found, what, "correct the cell, or clear it where nothing was measured");
            return None;
        }
        let text = if unit != kept && typed.unit.is_none() {
            Some(format!("{} {unit}", found.shown()).into())
        } else if !typed.plain {
            Some(found.shown().into())
        } else {
            None
        };
        Some(found.keep(value, text))
    }

    /// The number of a field.
    pub(super) fn measure(&mut self, field: Field, measure: Measure) -> Option<Read<Decimal>> {
        let found = self.find(field)?;
        let own = if field == self.table.kind.principal { self.unit_column().ok()? } else { None };
        self.measured(&found, measure, own)
    }

    /// An amount or a price: a number, with or without a sign of currency; in parentheses it is below zero, as on invoices.
    pub(super) fn money(&mut self, field: Field) -> Option<Read<Decimal>> {
        let found = self.find(field)?;
        let RawValue::Text(text) = found.value else {
            let typed = self.number(&found)?;
            return Some(found.keep(typed.value, None));
        };
        let trimmed = text.trim();
        let inside = trimmed.strip_prefix('(').and_then(|t| t.strip_suffix(')'));
        let bare = inside.unwrap_or(trimmed).replace(['$', '€', '£', '¥'], "");
        let below = inside.is_some();
        match cell::text_number(bare.trim()) {
            Ok(typed) if typed.unit.is_none() && !(below && typed.value.is_sign_negative()) => {
                let value = if below { -typed.value } else { typed.value };
                if let Some(column) = found.column {
                    self.numbers.push((column.at, value));
                }
                Some(found.keep(value, Some(trimmed.into())))
            }
            _ => {
                self.refuse(Code::CellUnreadable, &found, "is not an amount of money", "write one number");
                None
            }
        }
    }

    /// The unit in the row's unit column, if there is one.
    pub(super) fn unit_column(&mut self) -> Result<Option<Unit>, Refused> {
        let Some(found) = self.find(Field::Unit) else { return Ok(None) };
        let text = self.worded(&found).ok_or(Refused)?;
        let unit = Unit::named(&text).filter(|u| *u != Unit::Money);
        if unit.is_none() {
            self.refuse(
                Code::CellUnreadable,
                &found,
                "is not a unit this program knows",
                "write a unit such as in, mm, CY, SY, LF or each",
            );
            return Err(Refused);
        }
        Ok(unit)
    }

    /// A whole or decimal number without a unit: an age in days, a count.
    pub(super) fn bare(&mut self, field: Field, unit: Unit) -> Option<Read<Decimal>> {
        let found = self.find(field)?;
        let typed = self.number(&found)?;
        if typed.unit.is_some_and(|u| u != unit) || typed.value.is_sign_negative() {
            self.refuse(Code::CellUnreadable, &found, "is not a number of that sort", "write one number");
            return None;
        }
        Some(found.keep(typed.value, (!typed.plain).then(|| found.shown().into())))
    }
}

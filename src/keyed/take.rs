//! One value by its form: what it is, or what is wrong with it and how it is written.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::dec;
use toml::de::DeValue;

use super::group::Taken;
use super::key::Form;
use super::measure::{Measure, system_of};
use super::name::nearest;
use super::number::{number, split};
use super::reader::{At, Here, Reader};
use crate::legible::legible;
use crate::units::{Rounding, StationLabel, System, Unit, between};

impl Reader<'_> {
    /// The value in the form its key wants; `None` once its mistake is reported.
    pub(super) fn take(&mut self, form: &Form, here: &Here<'_, '_>) -> Option<Taken> {
        match form {
            Form::Text => self.text(here).map(Taken::Text),
            Form::TextOrWhole => self.text_or_whole(here).map(Taken::Text),
            Form::Choice(words) => self.choice(here, words),
            Form::Number => self.plain_number(here).map(Taken::Number),
            Form::Count => self.count(here).map(Taken::Count),
            Form::Quantity(measure) => self.quantity(here, *measure).map(Taken::Quantity),
            Form::Limits(measure) => self.limits(here, *measure),
            Form::Rounding => self.rounding(here),
            Form::Unit => self.unit(here).map(Taken::Unit),
            Form::Station => self.station(here),
            Form::Date => self.date(here).map(Taken::Date),
            Form::Dates => self.list(here, Self::date).map(Taken::Dates),
            Form::Flag => self.flag(here),
            Form::Texts => self.list(here, Self::text).map(Taken::Texts),
            Form::Counts => {
                let found = self.list(here, Self::count)?;
                Some(Taken::Counts(found.into_iter().map(|f| f.value).collect()))
            }
            Form::Pairs(Form::Number) => self.pairs(here, Self::plain_number).map(Taken::NumberPairs),
            Form::Pairs(Form::Unit) => self.pairs(here, Self::unit).map(Taken::UnitPairs),
            Form::Pairs(_) => self.pairs(here, Self::text).map(Taken::TextPairs),
            Form::Table(keys) => self.table(here, keys),
            Form::Tables(keys) => self.tables(here, keys),
            Form::Either(plain, other) => match here.value.get_ref() {
                DeValue::Array(_) | DeValue::Table(_) => self.take(other, here),
                _ => self.take(plain, here),
            },
        }
    }

    pub(super) fn here_at(&self, here: &Here<'_, '_>) -> At {
        self.at(here.value.span().start)
    }

    /// Reports that the value has the wrong type for its key.
    pub(super) fn wrong_type<T>(&mut self, here: &Here<'_, '_>) -> Option<T> {
        let kind = match here.value.get_ref() {
            DeValue::String(_) => "text",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        let message = format!("'{}' is {kind}; expected: {}", here.path, here.key.form.words());
        self.mistake(self.here_at(here), message, format!("write it so: {}", here.key.line()));
        None
    }

    /// Reports what is wrong with the value.
    pub(super) fn wrong<T>(&mut self, here: &Here<'_, '_>, message: String, remedy: String) -> Option<T> {
        self.mistake(self.here_at(here), message, remedy);
        None
    }

    pub(super) fn text(&mut self, here: &Here<'_, '_>) -> Option<String> {
        match here.value.get_ref() {
            DeValue::String(text) if !text.trim().is_empty() => Some(legible(text).into_owned()),
            DeValue::String(_) => {
                self.wrong(here, format!("'{}' is blank", here.path), format!("write it so: {}", here.key.line()))
            }
            _ => self.wrong_type(here),
        }
    }

    /// A number is taken for the digits that stand there.
    fn text_or_whole(&mut self, here: &Here<'_, '_>) -> Option<String> {
        match here.value.get_ref() {
            DeValue::Integer(_) => Some(self.written(here.value)),
            _ => self.text(here),
        }
    }

    fn choice(&mut self, here: &Here<'_, '_>, words: &[&'static str]) -> Option<Taken> {
        let text = self.text(here)?;
        if words.contains(&text.as_str()) {
            return Some(Taken::Text(text));
        }
        let remedy = match nearest(&text, words.iter().copied()) {
            Some(near) => format!("write \"{near}\" if that is meant"),
            None => format!("write {}", here.key.form.words()),
        };
        let expected = here.key.form.words();
        self.wrong(here, format!("'{}' says \"{text}\"; expected: {expected}", here.path), remedy)
    }

    fn plain_number(&mut self, here: &Here<'_, '_>) -> Option<Decimal> {
        let written = match here.value.get_ref() {
            DeValue::String(text) => legible(text).into_owned(),
            DeValue::Integer(_) | DeValue::Float(_) => self.written(here.value).replace('_', ""),
            _ => return self.wrong_type(here),
        };
        if let Some(value) = number(&written) {
            return Some(value);
        }
        let message = format!("'{}' says \"{written}\", which is not a plain number", here.path);
        let remedy = match split(&written) {
            (front, unit) if number(front).is_some() && !unit.is_empty() => {
                format!("write the number by itself, \"{front}\": its unit is said by another key")
            }
            _ => NUMBER_REMEDY.to_string(),
        };
        self.wrong(here, message, remedy)
    }

    pub(super) fn count(&mut self, here: &Here<'_, '_>) -> Option<u32> {
        let DeValue::Integer(integer) = here.value.get_ref() else { return self.wrong_type(here) };
        match u32::from_str_radix(integer.as_str(), integer.radix()) {
            Ok(count) if count > 0 => Some(count),
            _ => {
                let message =
                    format!("'{}' is {}; expected a whole number from 1", here.path, self.written(here.value));
                self.wrong(here, message, format!("write it so: {}", here.key.line()))
            }
        }
    }

    pub(super) fn quantity(&mut self, here: &Here<'_, '_>, measure: Measure) -> Option<(Decimal, Unit)> {
        let written = match here.value.get_ref() {
            DeValue::String(text) => legible(text.trim()).into_owned(),
            DeValue::Integer(_) | DeValue::Float(_) => self.written(here.value).replace('_', ""),
            _ => return self.wrong_type(here),
        };
        self.quantity_in(&written, measure)
            .or_else(|(message, remedy)| self.wrong(here, format!("'{}' {message}", here.path), remedy).ok_or(()))
            .ok()
    }

    /// The quantity, or message and remedy.
    fn quantity_in(&self, written: &str, measure: Measure) -> Result<(Decimal, Unit), (String, String)> {
        let wanted = measure.unit_words(self.system);
        let (front, word) = split(written);
        let Some(value) = number(front) else {
            return Err((format!("says \"{written}\", which does not begin with a number"), NUMBER_REMEDY.to_string()));
        };
        if word.is_empty() && !matches!(measure, Measure::Ratio | Measure::ShareOrMoney) {
            return Err((format!("says {front} without a unit"), format!("write the unit: \"{front} {wanted}\"")));
        }
        let bare = if measure == Measure::ShareOrMoney { Unit::Money } else { Unit::One };
        let named = if word.is_empty() { Some(bare) } else { Unit::named(word) };
        let Some(unit) = named else {
            return Err((
                format!("says \"{written}\", and '{word}' is not a unit this program knows"),
                format!("write it in {wanted}"),
            ));
        };
        if !measure.takes(unit) {
            return Err((
                format!("says \"{written}\", which is not {}", measure.word()),
                format!("write {} in {wanted}", measure.word()),
            ));
        }
        if value.is_sign_negative()
            && !value.is_zero()
            && !matches!(measure, Measure::Temperature | Measure::SignedPercent)
        {
            return Err((format!("says \"{written}\", which is below zero"), "write it without the minus".to_string()));
        }
        self.in_system(value, unit, written, measure)
    }

    /// The quantity in the unit that the file's system keeps it in.
    fn in_system(
        &self,
        value: Decimal,
        unit: Unit,
        written: &str,
        measure: Measure,
    ) -> Result<(Decimal, Unit), (String, String)> {
        let Some(system) = self.system else { return Ok((value, unit)) };
        let kept = measure.unit(system);
        if unit == kept {
            return Ok((value, unit));
        }
        if system_of(unit).is_some_and(|of| of != system) {
            return Err((
                format!("says \"{written}\", but this file is in {} units", system_word(system)),
                format!("give it in {kept}, as it was agreed; nothing is converted between the systems here"),
            ));
        }
        if matches!(measure, Measure::DepthAsWritten | Measure::DepthOrPercent | Measure::ShareOrMoney) {
            return Ok((value, unit));
        }
        let exact =
            between(value, unit, kept).filter(|v| self.terms.converts && v.normalize().scale() <= EXACT_DECIMALS);
        exact
            .map(|v| (v, kept))
            .ok_or_else(|| (format!("says \"{written}\", which is not in {kept}"), format!("give it in {kept}")))
    }

    fn rounding(&mut self, here: &Here<'_, '_>) -> Option<Taken> {
        let text = self.text(here)?;
        match text.parse::<Rounding>() {
            Ok(rounding) => Some(Taken::Rounding(rounding)),
            Err(why) => {
                self.wrong(here, format!("'{}': {why}", here.path), format!("write it so: {}", here.key.line()))
            }
        }
    }

    pub(super) fn unit(&mut self, here: &Here<'_, '_>) -> Option<Unit> {
        let text = self.text(here)?;
        Unit::named(&text).or_else(|| {
            let symbols: Vec<&str> = Unit::all().map(Unit::symbol).filter(|s| !s.is_empty() && *s != "money").collect();
            let message = format!("'{}' says \"{text}\", which is not a unit this program knows", here.path);
            self.wrong(here, message, format!("write one of: {}", symbols.join(", ")))
        })
    }

    fn station(&mut self, here: &Here<'_, '_>) -> Option<Taken> {
        let text = self.text(here)?;
        let full: &[Decimal] = match self.system {
            Some(System::Customary) => &[dec!(100)],
            Some(System::Si) => &[dec!(1000)],
            None => &[dec!(100), dec!(1000)],
        };
        let read = full.iter().find_map(|&full| StationLabel::read(&text, full).ok());
        match read {
            Some((label, "")) => Some(Taken::Station(label)),
            Some((_, rest)) => {
                let message = format!("'{}' says \"{text}\": '{rest}' is not part of a station", here.path);
                self.wrong(here, message, "write the station by itself; behind it only BK or AH".into())
            }
            None => {
                let example = if self.system == Some(System::Si) { "1+234.500" } else { "12+34.50" };
                let message = format!("'{}' says \"{text}\", which is not a station", here.path);
                self.wrong(here, message, format!("write it with the plus sign, such as \"{example}\""))
            }
        }
    }

    fn flag(&mut self, here: &Here<'_, '_>) -> Option<Taken> {
        match here.value.get_ref() {
            DeValue::Boolean(flag) => Some(Taken::Flag(*flag)),
            _ => self.wrong_type(here),
        }
    }

    fn date(&mut self, here: &Here<'_, '_>) -> Option<NaiveDate> {
        match here.value.get_ref() {
            DeValue::Datetime(moment) => match (moment.date, moment.time) {
                (Some(day), None) => {
                    let date = NaiveDate::from_ymd_opt(i32::from(day.year), u32::from(day.month), u32::from(day.day));
                    date.or_else(|| {
                        let message =
                            format!("'{}' says {}, which is not in the calendar", here.path, self.written(here.value));
                        self.wrong(here, message, "correct the date".into())
                    })
                }
                _ => self.wrong(
                    here,
                    format!("'{}' says {}; expected a day without a time", here.path, self.written(here.value)),
                    format!("write it so: {}", here.key.line()),
                ),
            },
            DeValue::String(text) => self.wrong(
                here,
                format!("'{}' says \"{text}\" as text; expected a date", here.path),
                format!("write year-month-day without quotation marks: {}", here.key.line()),
            ),
            _ => self.wrong_type(here),
        }
    }
}

/// A change of unit that needs more decimals than this does not come out even (`100 in` in feet).
const EXACT_DECIMALS: u32 = 10;

const NUMBER_REMEDY: &str = "write the digits out, with a point before the decimals and commas only before each three digits, such as \"57,066.67\"";

fn system_word(system: System) -> &'static str {
    match system {
        System::Customary => "US customary",
        System::Si => "SI",
    }
}

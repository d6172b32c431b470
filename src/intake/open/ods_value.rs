//! What an `.ods` cell holds, from its attributes and its shown text (OASIS `OpenDocument` 1.3 part 3, section 19.387).
//!
//! Dates become serials of the 1900 system. A time shorter than a day is taken for a time of day, a longer one for a
//! duration: the file's own value does not tell them apart.

use chrono::{NaiveDate, NaiveTime, Timelike};
use quick_xml::events::BytesStart;

use super::received::as_percent;
use super::xml::attribute;
use crate::intake::raw::RawValue;

/// The attributes of a cell that say what stands in it.
#[derive(Debug, Default)]
pub(super) struct Told {
    kind: String,
    value: Option<String>,
    is_error: bool,
    is_formula: bool,
}

impl Told {
    /// Reads them off the cell's tag.
    pub(super) fn by(cell: &BytesStart<'_>) -> Self {
        let kind = attribute(cell, "office:value-type").unwrap_or_default();
        let value = match kind.as_str() {
            "float" | "percentage" | "currency" => attribute(cell, "office:value"),
            "date" => attribute(cell, "office:date-value"),
            "time" => attribute(cell, "office:time-value"),
            "boolean" => attribute(cell, "office:boolean-value"),
            _ => attribute(cell, "office:string-value"),
        };
        Self {
            kind,
            value,
            is_error: attribute(cell, "calcext:value-type").is_some_and(|kind| kind == "error"),
            is_formula: attribute(cell, "table:formula").is_some(),
        }
    }

    /// What stands in the cell; `None` where nothing does.
    pub(super) fn value(self, shown: String) -> Option<RawValue> {
        if self.is_error {
            return Some(RawValue::Error(shown.into_boxed_str()));
        }
        let typed = match (self.kind.as_str(), self.value) {
            ("float" | "currency", Some(value)) => Some(number(&value)),
            ("percentage", Some(value)) => Some(as_percent(number(&value))),
            ("date", Some(value)) => Some(date(&value).unwrap_or_else(|| RawValue::Text(value.into()))),
            ("time", Some(value)) => Some(time(&value).unwrap_or_else(|| RawValue::Text(value.into()))),
            ("boolean", Some(value)) => Some(RawValue::Truth(value.eq_ignore_ascii_case("true"))),
            (_, Some(value)) if !value.is_empty() => Some(RawValue::Text(value.into())),
            _ => None,
        };
        typed.or_else(|| match shown.is_empty() {
            false => Some(RawValue::Text(shown.into())),
            true if self.is_formula && self.kind != "string" => Some(RawValue::Unstored),
            true => None,
        })
    }
}

fn number(value: &str) -> RawValue {
    value.trim().parse().map_or_else(|_| RawValue::Text(value.into()), RawValue::Number)
}

/// `2031-07-03` or `2031-07-03T07:15:00`; `None` before 1900.
fn date(value: &str) -> Option<RawValue> {
    let (day, clock) = value.split_once('T').map_or((value, None), |(day, clock)| (day, Some(clock)));
    let day = NaiveDate::parse_from_str(day, "%Y-%m-%d").ok()?;
    // The 1900 system counts a 29 February 1900 that never was.
    let is_before_it = day < NaiveDate::from_ymd_opt(1900, 3, 1)?;
    let days = (day - NaiveDate::from_ymd_opt(1899, 12, if is_before_it { 31 } else { 30 })?).num_days();
    let days = f64::from(u32::try_from(days).ok().filter(|days| *days > 0)?);
    let clock = clock.map_or(Some(NaiveTime::MIN), |clock| NaiveTime::parse_from_str(clock, "%H:%M:%S%.f").ok())?;
    let seconds = f64::from(clock.num_seconds_from_midnight()) + f64::from(clock.nanosecond()) / 1e9;
    Some(RawValue::Moment(days + seconds / SECONDS_A_DAY))
}

const SECONDS_A_DAY: f64 = 86_400.0;

/// `PT07H15M00S`, `P1DT2H`: an ISO 8601 duration without years and months.
fn time(value: &str) -> Option<RawValue> {
    let (sign, rest) = value.strip_prefix('-').map_or((1.0, value), |rest| (-1.0, rest));
    let (days, clock) = rest.strip_prefix('P')?.split_once('T')?;
    let mut seconds = 0.0;
    for (mut part, units) in
        [(days, &[('D', SECONDS_A_DAY)][..]), (clock, &[('H', 3600.0), ('M', 60.0), ('S', 1.0)][..])]
    {
        for (letter, length) in units {
            if let Some((count, after)) = part.split_once(*letter) {
                seconds += count.parse::<f64>().ok().filter(|it| it.is_finite() && *it >= 0.0)? * length;
                part = after;
            }
        }
        if !part.is_empty() {
            return None;
        }
    }
    let length = sign * seconds / SECONDS_A_DAY;
    Some(if (0.0..1.0).contains(&length) { RawValue::Moment(length) } else { RawValue::Span(length) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_become_serials_of_the_1900_system() {
        for (typed, serial) in [
            ("1900-01-01", 1.0),
            ("1900-02-28", 59.0),
            ("1900-03-01", 61.0),
            ("2031-07-03", 48_032.0),
            ("2031-07-03T18:00:00", 48_032.75),
        ] {
            assert_eq!(date(typed), Some(RawValue::Moment(serial)), "{typed}");
        }
        assert_eq!(date("1899-12-31"), None);
        assert_eq!(date("2031-02-30"), None);
    }

    #[test]
    fn times_below_a_day_are_times_of_day() {
        assert_eq!(time("PT06H00M00S"), Some(RawValue::Moment(0.25)));
        assert_eq!(time("PT36H00M00S"), Some(RawValue::Span(1.5)));
        assert_eq!(time("P1DT12H"), Some(RawValue::Span(1.5)));
        assert_eq!(time("-PT06H00M00S"), Some(RawValue::Span(-0.25)));
        assert_eq!(time("PT6X"), None);
    }
}

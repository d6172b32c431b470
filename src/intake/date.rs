//! Dates and times of day, from serials, ISO text, text in the contract's order, and month names.
//!
//! A date that could be another day under another reading of the same text is refused with both. The 1900 system counts
//! a day that never was, 1900-02-29 (serial 60): ECMA-376 part 1, 18.17.4.1; it is refused.

use chrono::{Datelike, NaiveDate, NaiveTime, TimeDelta};

use rust_decimal::prelude::ToPrimitive;

use super::setting::{DateOrder, Dates};

/// Why a cell is no date.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum NoDate {
    /// It cannot be one.
    Not(String),
    /// It can be more than one; in words, with the readings.
    Ambiguous(String),
}

/// Years in which field records can stand.
const YEARS: std::ops::RangeInclusive<i32> = 1950..=2199;

/// The whole days and the part of a day of a serial.
fn parts(days: f64) -> Option<(i64, f64)> {
    if !days.is_finite() || !(-1.0e6..=1.0e7).contains(&days) {
        return None;
    }
    let whole = days.floor().to_i64()?;
    Some((whole, days - days.floor()))
}

/// The day of a serial of the 1900 system.
pub(super) fn of_serial(days: f64) -> Result<NaiveDate, String> {
    let wrong = || String::from("is not a day in the calendar");
    let (whole, _) = parts(days).ok_or_else(wrong)?;
    let epoch = match whole {
        0 => return Err(String::from("is a time of day without a day")),
        60 => return Err(String::from("is 1900-02-29, a day that never was")),
        1..=59 => NaiveDate::from_ymd_opt(1899, 12, 31),
        _ => NaiveDate::from_ymd_opt(1899, 12, 30),
    };
    epoch.and_then(|e| e.checked_add_signed(TimeDelta::try_days(whole)?)).ok_or_else(wrong)
}

/// The day that a date cell holds, if it can be the day of a record.
pub(super) fn of_moment(days: f64) -> Result<NaiveDate, NoDate> {
    of_serial(days).and_then(plausible).map_err(NoDate::Not)
}

fn plausible(date: NaiveDate) -> Result<NaiveDate, String> {
    if YEARS.contains(&date.year()) {
        Ok(date)
    } else {
        Err(format!("is {date}, which cannot be the day of a field record"))
    }
}

/// The time of day of a moment or span, to the second.
pub(super) fn time_of(days: f64) -> Option<NaiveTime> {
    let (_, part) = parts(days)?;
    let seconds = (part * 86_400.0).round().to_u32()?;
    NaiveTime::from_num_seconds_from_midnight_opt(seconds.min(86_399), 0)
}

/// A moment as shown: date, with the time where it has one.
pub(super) fn moment_shown(days: f64) -> String {
    let Ok(date) = of_serial(days) else {
        return time_of(days).map_or_else(|| days.to_string(), |t| t.format("%H:%M:%S").to_string());
    };
    match time_of(days) {
        Some(time) if time != NaiveTime::MIN => format!("{date} {}", time.format("%H:%M:%S")),
        _ => date.to_string(),
    }
}

/// A span as shown: hours, minutes and seconds.
pub(super) fn span_shown(days: f64) -> String {
    let Some(seconds) = (days * 86_400.0).round().to_i64() else { return format!("{days} days") };
    let (sign, seconds) = (if seconds < 0 { "-" } else { "" }, seconds.unsigned_abs());
    format!("{sign}{}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
}

/// A date typed as text; the flag says that it was typed as ISO writes it.
pub(super) fn of_text(text: &str, dates: Dates) -> Result<(NaiveDate, bool), NoDate> {
    let text = text.trim();
    if let Some(date) = iso(text) {
        return plausible(date).map(|d| (d, true)).map_err(NoDate::Not);
    }
    let body = without_weekday(without_time(text));
    let pieces: Vec<&str> = body
        .split(|c: char| c.is_whitespace() || matches!(c, '/' | '-' | '.' | ',' | '–'))
        .filter(|p| !p.is_empty())
        .collect();
    let pieces: Vec<&str> = pieces.iter().map(|p| without_apostrophe(p)).collect();
    let [a, b, c] = pieces.as_slice() else {
        return Err(NoDate::Not(String::from(if pieces.len() == 2 {
            "is a date without a year"
        } else {
            "is not a date"
        })));
    };
    let date = if [a, b, c].iter().any(|p| p.starts_with(char::is_alphabetic)) {
        with_month_name([a, b, c], dates)?
    } else {
        in_figures([a, b, c], dates)?
    };
    plausible(date).map(|d| (d, false)).map_err(NoDate::Not)
}

/// `2031-05-14`, the common case, without looking further.
fn iso(text: &str) -> Option<NaiveDate> {
    let bytes = text.as_bytes();
    if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
        return None;
    }
    NaiveDate::from_ymd_opt(text.get(..4)?.parse().ok()?, text.get(5..7)?.parse().ok()?, text.get(8..)?.parse().ok()?)
}

/// The text before a time of day.
fn without_time(text: &str) -> &str {
    let tail =
        |at: usize| text.get(at + 1..).is_some_and(|t| t.contains(':') && clock(t.trim_end_matches('Z')).is_some());
    text.match_indices([' ', 'T']).find(|(at, _)| tail(*at)).map_or(text, |(at, _)| text[..at].trim_end())
}

/// The time of day behind a date.
pub(super) fn time_behind(text: &str) -> Option<NaiveTime> {
    let text = text.trim();
    let day = without_time(text);
    clock(text.get(day.len()..)?.trim_start_matches([' ', 'T']).trim_end_matches('Z'))
}

/// `'31` is a year of two digits.
fn without_apostrophe(piece: &str) -> &str {
    let digits =
        piece.strip_prefix(['\'', '’']).filter(|rest| rest.len() == 2 && rest.bytes().all(|b| b.is_ascii_digit()));
    digits.unwrap_or(piece)
}

fn without_weekday(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len());
    let word = text[..end].to_lowercase();
    let is = word.len() >= 2
        && ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
            .iter()
            .any(|d| d.starts_with(&word));
    if is { text[end..].trim_start_matches(['.', ',', ' ']) } else { text }
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

fn month_named(word: &str) -> Option<u32> {
    let word = word.to_lowercase();
    let word = if word == "sept" { "sep" } else { word.as_str() };
    if word.len() < 3 {
        return None;
    }
    (1..=12).zip(MONTHS).find(|(_, m)| m.starts_with(word)).map(|(n, _)| n)
}

fn figure(text: &str) -> Option<u32> {
    if text.bytes().all(|b| b.is_ascii_digit()) && text.len() <= 4 { text.parse().ok() } else { None }
}

fn calendar(year: u32, month: u32, day: u32) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)
}

/// A year of two digits is read where one century alone puts the day into the years of the contract.
fn two_digits(year: &str, dates: Dates, reading: impl Fn(u32) -> Option<NaiveDate>) -> Result<NaiveDate, NoDate> {
    let year = figure(year).unwrap_or(0);
    let readings: Vec<NaiveDate> = [1900, 2000, 2100].iter().filter_map(|century| reading(century + year)).collect();
    let within = |day: &&NaiveDate| dates.years.is_some_and(|(first, last)| (first..=last).contains(&day.year()));
    let of_contract: Vec<&NaiveDate> = readings.iter().filter(within).collect();
    match (of_contract.as_slice(), readings.is_empty()) {
        ([only], _) => Ok(**only),
        (_, true) => Err(NoDate::Not(String::from("is not a day in the calendar"))),
        _ => {
            let readings: Vec<String> = readings.iter().take(2).map(ToString::to_string).collect();
            let readings = readings.join(" or ");
            Err(NoDate::Ambiguous(format!(
                "has a year of two digits that is none of the contract's; it could be {readings}"
            )))
        }
    }
}

/// `14 May 2031`, `May 14, 2031`, `14-May-2031`, `2031 May 14`.
fn with_month_name(pieces: [&str; 3], dates: Dates) -> Result<NaiveDate, NoDate> {
    let not = || NoDate::Not(String::from("is not a date"));
    let [a, b, c] = pieces;
    let (year, month, day) = if let Some(month) = month_named(b) {
        if a.len() == 4 { (a, month, c) } else { (c, month, a) }
    } else {
        (c, month_named(a).ok_or_else(not)?, b)
    };
    let day = day.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let day = figure(day).ok_or_else(not)?;
    match year.len() {
        4 => calendar(figure(year).ok_or_else(not)?, month, day)
            .ok_or_else(|| NoDate::Not(String::from("is not a day in the calendar"))),
        2 if figure(year).is_some() => two_digits(year, dates, |y| calendar(y, month, day)),
        _ => Err(not()),
    }
}

/// Three figures: the year first as ISO has it, or in the contract's order with the year last.
fn in_figures(pieces: [&str; 3], dates: Dates) -> Result<NaiveDate, NoDate> {
    let not = || NoDate::Not(String::from("is not a date"));
    let outside = || NoDate::Not(String::from("is not a day in the calendar"));
    let [first, second, third] = pieces.map(figure);
    let (first, second, third) = (first.ok_or_else(not)?, second.ok_or_else(not)?, third.ok_or_else(not)?);
    if pieces[0].len() == 4 && pieces[2].len() <= 2 {
        return calendar(first, second, third).ok_or_else(outside);
    }
    let month_first = |year: u32| calendar(year, first, second);
    let day_first = |year: u32| calendar(year, second, first);
    match (pieces[2].len(), dates.order) {
        (4, DateOrder::MonthDayYear) => decided(month_first(third), day_first(third), "month-day-year"),
        (4, DateOrder::DayMonthYear) => decided(day_first(third), month_first(third), "day-month-year"),
        (4, DateOrder::YearMonthDay) => Err(undecided(month_first(third), day_first(third))),
        (2, DateOrder::MonthDayYear) => two_digits(pieces[2], dates, month_first),
        (2, DateOrder::DayMonthYear) => two_digits(pieces[2], dates, day_first),
        // Year, month and day alike may be any of the three: the century settles nothing.
        (2, DateOrder::YearMonthDay) => {
            two_digits(pieces[0], Dates { years: None, ..dates }, |year| calendar(year, second, third))
        }
        _ => Err(not()),
    }
}

fn decided(by_order: Option<NaiveDate>, other: Option<NaiveDate>, order: &str) -> Result<NaiveDate, NoDate> {
    match (by_order, other) {
        (Some(date), _) => Ok(date),
        (None, Some(date)) => Err(NoDate::Ambiguous(format!(
            "is no day in the contract's order ({order}); in the other order it would be {date}"
        ))),
        (None, None) => Err(NoDate::Not(String::from("is not a day in the calendar"))),
    }
}

fn undecided(month_first: Option<NaiveDate>, day_first: Option<NaiveDate>) -> NoDate {
    let mut readings: Vec<String> = [month_first, day_first].into_iter().flatten().map(|d| d.to_string()).collect();
    readings.dedup();
    if readings.is_empty() {
        return NoDate::Not(String::from("is not a day in the calendar"));
    }
    NoDate::Ambiguous(format!("is not in the contract's order (year-month-day); it could be {}", readings.join(" or ")))
}

/// A time of day typed as text: `7:05`, `07:05:30`, `7:05 PM`, `0705`.
pub(super) fn clock(text: &str) -> Option<NaiveTime> {
    let text = text.trim().to_lowercase();
    let (body, half) = match text.trim_end_matches(['.', 'm']).trim_end() {
        t if t.len() == text.len() => (t.to_string(), None),
        t => match t.trim_end_matches('.').chars().last() {
            Some('a') => (t.trim_end_matches(['.', 'a', ' ']).to_string(), Some(0)),
            Some('p') => (t.trim_end_matches(['.', 'p', ' ']).to_string(), Some(12)),
            _ => return None,
        },
    };
    if !body.bytes().all(|b| b.is_ascii_digit() || b == b':') {
        return None;
    }
    let pieces: Vec<&str> = body.split(':').collect();
    let (hour, minute, second) = match pieces.as_slice() {
        [whole] if whole.len() == 4 => (&whole[..2], &whole[2..], "0"),
        [h, m] if h.len() <= 2 && m.len() == 2 => (*h, *m, "0"),
        [h, m, s] if h.len() <= 2 && m.len() == 2 && s.len() == 2 => (*h, *m, *s),
        _ => return None,
    };
    let hour = figure(hour)?;
    let hour = match half {
        None => hour,
        Some(half) if (1..=12).contains(&hour) => hour % 12 + half,
        Some(_) => return None,
    };
    NaiveTime::from_hms_opt(hour, figure(minute)?, figure(second)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(order: DateOrder) -> Dates {
        Dates { order, years: None }
    }

    fn within(first: i32, last: i32) -> Dates {
        Dates { order: DateOrder::MonthDayYear, years: Some((first, last)) }
    }

    fn day(y: i32, m: u32, d: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(y, m, d).unwrap()
    }

    #[test]
    fn serials_of_the_1900_system() {
        // ECMA-376 part 1, 18.17.4.1: 1 is 1900-01-01, and 60 the day that never was.
        assert_eq!(of_serial(1.0), Ok(day(1900, 1, 1)));
        assert_eq!(of_serial(59.0), Ok(day(1900, 2, 28)));
        assert!(of_serial(60.0).is_err());
        assert_eq!(of_serial(61.0), Ok(day(1900, 3, 1)));
        assert_eq!(of_moment(47982.5), Ok(day(2031, 5, 14)));
        assert!(of_moment(0.3).is_err());
        assert!(of_serial(f64::NAN).is_err());
        assert!(of_serial(1e300).is_err());
    }

    #[test]
    fn text_follows_the_contract_and_iso_follows_itself() {
        use DateOrder::{DayMonthYear, MonthDayYear, YearMonthDay};
        for (text, order) in [
            ("5/14/2031", MonthDayYear),
            ("05-14-2031", MonthDayYear),
            ("14.5.2031", DayMonthYear),
            ("2031-05-14", MonthDayYear),
            ("2031/5/14", YearMonthDay),
            ("2031-05-14T07:12:00", DayMonthYear),
            ("5/14/2031 7:12 AM", MonthDayYear),
            ("14-May-2031", MonthDayYear),
            ("May 14, 2031", DayMonthYear),
            ("Wed, May 14th 2031", DayMonthYear),
            ("Wednesday 14 May 2031", MonthDayYear),
        ] {
            assert_eq!(of_text(text, of(order)).map(|d| d.0), Ok(day(2031, 5, 14)), "{text}");
        }
    }

    #[test]
    fn a_date_with_two_readings_is_refused_with_them() {
        let ambiguous = |text, dates| match of_text(text, dates) {
            Err(NoDate::Ambiguous(words)) => words,
            other => panic!("{text}: {other:?}"),
        };
        assert!(ambiguous("25/12/2031", of(DateOrder::MonthDayYear)).contains("2031-12-25"));
        assert!(ambiguous("5/14/31", of(DateOrder::MonthDayYear)).contains("1931-05-14 or 2031-05-14"));
        assert!(ambiguous("3/4/2031", of(DateOrder::YearMonthDay)).contains("2031-03-04 or 2031-04-03"));
        assert!(ambiguous("14-May-31", of(DateOrder::MonthDayYear)).contains("2031-05-14"));
        assert!(
            ambiguous("5/14/10", within(2026, 2036))
                .contains("none of the contract's; it could be 1910-05-14 or 2010-05-14")
        );
        let year_first = Dates { order: DateOrder::YearMonthDay, ..within(2026, 2036) };
        assert!(ambiguous("31/5/14", year_first).contains("1931-05-14 or 2031-05-14"));
    }

    #[test]
    fn a_year_of_two_digits_is_read_where_it_is_the_contracts() {
        for text in ["5/14/31", "05-14-31", "5.14.31", "May 14, '31", "14-May-31", "Wed 5/14/31", "5/14/31 7:12 AM"] {
            assert_eq!(of_text(text, within(2026, 2036)), Ok((day(2031, 5, 14), false)), "{text}");
        }
        let day_first = Dates { order: DateOrder::DayMonthYear, ..within(2026, 2036) };
        assert_eq!(of_text("14/5/31", day_first), Ok((day(2031, 5, 14), false)));
        assert!(matches!(of_text("14/5/31", within(2026, 2036)), Err(NoDate::Not(_))));
        // At the turn of a century, the century that lies in the contract.
        assert_eq!(of_text("1/2/99", within(2097, 2102)).map(|d| d.0), Ok(day(2099, 1, 2)));
        assert_eq!(of_text("1/2/01", within(2097, 2102)).map(|d| d.0), Ok(day(2101, 1, 2)));
    }

    #[test]
    fn what_is_no_date_is_refused() {
        for text in ["", "5/14", "May 2031", "2031-02-30", "soon", "13/32/2031", "1/2/3/4", "20310514", "5/14/0031"] {
            assert!(matches!(of_text(text, of(DateOrder::MonthDayYear)), Err(NoDate::Not(_))), "{text}");
        }
    }

    #[test]
    fn times_of_day() {
        let at = |h, m, s| NaiveTime::from_hms_opt(h, m, s);
        for (text, time) in [
            ("7:05", at(7, 5, 0)),
            ("07:05:30", at(7, 5, 30)),
            ("7:05 PM", at(19, 5, 0)),
            ("12:10 a.m.", at(0, 10, 0)),
            ("0705", at(7, 5, 0)),
            ("25:10", None),
            ("705", None),
            ("13:00 pm", None),
            ("noon", None),
        ] {
            assert_eq!(clock(text), time, "{text}");
        }
        assert_eq!(time_of(0.5), at(12, 0, 0));
        assert_eq!(time_of(47_982.25), at(6, 0, 0));
    }
}

//! The same cells read a second time, in another way and only where nothing is in doubt. `None` is no opinion.

use chrono::{NaiveDate, NaiveTime};
use rust_decimal::Decimal;

/// Whole digits, at most twelve of them.
fn digits(text: &str) -> Option<u64> {
    let sound = !text.is_empty() && text.len() <= 12 && text.chars().all(|c| c.is_ascii_digit());
    if sound { text.parse().ok() } else { None }
}

/// `9`, `9.25`, `-3.5`, `1,140.25`, `9 3/4`, each with `in` behind it or not.
pub(crate) fn inches(text: &str) -> Option<Decimal> {
    let text = text.trim();
    let text = ["in.", "in", "\""].iter().find_map(|unit| text.strip_suffix(unit)).unwrap_or(text).trim_end();
    let (sign, text) = text.strip_prefix('-').map_or((1, text), |rest| (-1, rest));
    let value = if let Some((whole, parts)) = text.split_once(' ') {
        let (over, under) = parts.split_once('/')?;
        let (whole, over, under) = (digits(whole)?, digits(over)?, digits(under)?);
        if over >= under || !under.is_power_of_two() || under > 64 {
            return None;
        }
        Decimal::from(whole) + Decimal::from(over) / Decimal::from(under)
    } else {
        let (whole, decimals) = text.split_once('.').map_or((text, ""), |(whole, decimals)| (whole, decimals));
        let groups: Vec<&str> = whole.split(',').collect();
        if groups.len() > 1
            && (groups[0].is_empty() || groups[0].len() > 3 || groups[1..].iter().any(|it| it.len() != 3))
        {
            return None;
        }
        let scale = u32::try_from(decimals.len()).ok()?;
        let part = if decimals.is_empty() { 0 } else { digits(decimals)? };
        if text.ends_with('.') {
            return None;
        }
        Decimal::from(digits(&groups.concat())?) + Decimal::try_new(i64::try_from(part).ok()?, scale).ok()?
    };
    Some(Decimal::from(sign) * value)
}

/// `2031-05-14`; `5/14/2031` and its kin, month first; the same with a year of two digits, of this century's thirties.
pub(crate) fn day(text: &str) -> Option<NaiveDate> {
    let text = text.trim();
    let parts: Vec<&str> = text.split(['/', '-', '.']).collect();
    let [a, b, c] = parts.as_slice() else { return None };
    let thirties = format!("20{c}");
    let same = text.chars().filter(|it| !it.is_ascii_digit()).collect::<std::collections::BTreeSet<char>>().len() == 1;
    let (year, month, day) = match (a.len(), b.len(), c.len()) {
        (4, 2, 2) if text.contains('-') => (*a, *b, *c),
        (1..=2, 1..=2, 4) => (*c, *a, *b),
        (1..=2, 1..=2, 2) if (26..=36).contains(&digits(c)?) => (thirties.as_str(), *a, *b),
        _ => return None,
    };
    let number = |text: &str| digits(text).and_then(|it| u32::try_from(it).ok());
    let date = NaiveDate::from_ymd_opt(i32::try_from(digits(year)?).ok()?, number(month)?, number(day)?);
    date.filter(|_| same)
}

/// `7:05`, `07:05:30`, `7:05 PM`, `0705`.
pub(crate) fn time(text: &str) -> Option<NaiveTime> {
    let text = text.trim().to_ascii_lowercase();
    let half = [(" am", 0), (" pm", 12)].into_iter().find(|(word, _)| text.ends_with(word));
    let body = half.map_or(text.as_str(), |(word, _)| &text[..text.len() - word.len()]);
    let parts: Vec<&str> = body.split(':').collect();
    let number = |text: &str| if text.len() <= 2 { digits(text).and_then(|it| u32::try_from(it).ok()) } else { None };
    let (hour, minute, second) = match parts.as_slice() {
        [whole] if whole.len() == 4 && half.is_none() => (number(whole.get(..2)?)?, number(whole.get(2..)?)?, 0),
        [hour, minute] if minute.len() == 2 => (number(hour)?, number(minute)?, 0),
        [hour, minute, second] if minute.len() == 2 && second.len() == 2 => {
            (number(hour)?, number(minute)?, number(second)?)
        }
        _ => return None,
    };
    match half {
        None => NaiveTime::from_hms_opt(hour, minute, second),
        Some((_, add)) if (1..=12).contains(&hour) => NaiveTime::from_hms_opt(hour % 12 + add, minute, second),
        Some(_) => None,
    }
}

/// `12+34.5`, `Sta 12+34.50`: the distance that the label says, in feet.
pub(crate) fn station(text: &str) -> Option<Decimal> {
    let text = text.trim();
    let text = ["Sta. ", "Sta ", "STA "].iter().find_map(|word| text.strip_prefix(word)).unwrap_or(text);
    let (whole, part) = text.split_once('+')?;
    let (feet, decimals) = part.split_once('.').map_or((part, None), |(feet, decimals)| (feet, Some(decimals)));
    if feet.len() != 2 || decimals.is_some_and(str::is_empty) {
        return None;
    }
    let whole = Decimal::from(digits(whole)? * 100 + digits(feet)?);
    let scale = u32::try_from(decimals.map_or(0, str::len)).ok()?;
    let part = decimals.map_or(Some(0), digits)?;
    Some(whole + Decimal::try_new(i64::try_from(part).ok()?, scale).ok()?)
}

/// `12+00 to 14+50`, with `to`, `thru` or a dash between.
pub(crate) fn stretch(text: &str) -> Option<(Decimal, Decimal)> {
    let (from, to) = [" to ", " thru ", " - ", "-"].iter().find_map(|word| text.split_once(word))?;
    Some((station(from)?, station(to)?))
}

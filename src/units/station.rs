//! Where a point stands along an alignment.
//!
//! A station as painted on a stake (`141+12.5`, SI `1+234.500`) is a *label*. Where stationing was changed, a **station
//! equation** says that a back label and an ahead label are the same point; beyond it labels jump, and a label may name
//! two points (overlap) or none (gap). So lengths are never differences of labels: a label is resolved on its
//! [`Alignment`] to a [`Station`], which knows its distance along the line, and only those are subtracted.
//!
//! Common practice; FHWA and state survey manuals describe back/ahead equations in the same way.

use std::fmt;

use rust_decimal::Decimal;
use rust_decimal::dec;

/// Left or right of the alignment, looking ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// Left of the line.
    Left,
    /// Right of the line.
    Right,
}

/// A station as written, not yet placed on an alignment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StationLabel {
    /// `12+34.5` is 1234.5; `1+234.500` in SI is 1234.500.
    pub value: Decimal,
    /// `Some(false)` where the text says back, `Some(true)` where it says ahead.
    pub ahead: Option<bool>,
}

/// Back and ahead label of one point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Equation {
    /// The label on the stationing behind.
    pub back: Decimal,
    /// The label on the stationing ahead.
    pub ahead: Decimal,
}

/// A point on an alignment. Ordered by distance along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Station {
    /// Distance from the alignment's beginning, in its unit (feet or metres).
    pub along: Decimal,
    /// The label painted there.
    pub label: Decimal,
}

/// A line with its stationing. All labels are in the alignment's unit of length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alignment {
    /// Its name in the contract.
    pub name: String,
    /// Length of one full station: 100 ft, or 1,000 m in SI.
    pub full_station: Decimal,
    /// First label.
    pub begin: Decimal,
    /// Last label.
    pub end: Decimal,
    /// Equations in order along the line.
    pub equations: Vec<Equation>,
}

/// Why a label could not be placed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StationError {
    /// Not written as a station.
    #[error("'{0}' is not a station")]
    NotAStation(String),
    /// Before the beginning, beyond the end, or in the gap of an equation.
    #[error("station {label} is not on alignment {alignment}, which runs {span}")]
    NotOnAlignment {
        /// As written.
        label: String,
        /// Name.
        alignment: String,
        /// From, to, and the labels that an equation skips.
        span: String,
    },
    /// The label stands at two points, on either side of an equation.
    #[error(
        "station {label} stands twice on alignment {alignment}: {first} ft or m along (back) and {second} along (ahead)"
    )]
    Twice {
        /// As written.
        label: String,
        /// Name.
        alignment: String,
        /// Distance of the first.
        first: Decimal,
        /// Distance of the second.
        second: Decimal,
        /// Unit of the distances.
        unit: &'static str,
    },
}

impl StationLabel {
    /// Reads a station in any written form: `12+34.5`, `Sta. 12+34.50 BK`, `1+234.500`; returns it with what follows it
    /// (`Rt`, an offset, a remark), untouched. A number without `+` is a station only where the sheet says so: see
    /// [`StationLabel::from_distance`].
    ///
    /// # Errors
    /// [`StationError::NotAStation`].
    ///
    /// ```
    /// use rust_decimal::dec;
    /// use slabtally::units::StationLabel;
    /// let (label, rest) = StationLabel::read("Sta 12+34.50 Rt", dec!(100)).unwrap();
    /// assert_eq!((label.value, rest), (dec!(1234.50), "Rt"));
    /// assert!(StationLabel::read("12+345", dec!(100)).is_err()); // 345 ft is more than a full station
    /// ```
    pub fn read(text: &str, full_station: Decimal) -> Result<(Self, &str), StationError> {
        let wrong = || StationError::NotAStation(text.trim().to_string());
        let body = strip_word(text.trim(), &["station", "stat.", "sta.", "sta", "stn.", "stn", "km"]);
        let (sign, body) = body.strip_prefix('-').map_or((Decimal::ONE, body), |rest| (dec!(-1), rest.trim_start()));
        let (whole, after) = split_while(body, |c| c.is_ascii_digit());
        let after = after.trim_start().strip_prefix('+').ok_or_else(wrong)?.trim_start();
        let (part, rest) = split_while(after, |c| c.is_ascii_digit() || c == '.');
        let digits_wanted = if full_station == dec!(1000) { 3 } else { 2 };
        let part_whole = part.split('.').next().unwrap_or("");
        if whole.is_empty() || part_whole.len() != digits_wanted || part.ends_with('.') {
            return Err(wrong());
        }
        let whole: Decimal = whole.parse().map_err(|_| wrong())?;
        let part: Decimal = part.parse().map_err(|_| wrong())?;
        let value = whole.checked_mul(full_station).and_then(|v| v.checked_add(part)).ok_or_else(wrong)?;
        let rest = rest.trim();
        let (ahead, rest) = hint(rest);
        Ok((Self { value: sign * value, ahead }, rest))
    }

    /// A bare distance such as `1234.5`, where the sheet says that its stations are written so.
    #[must_use]
    pub fn from_distance(value: Decimal) -> Self {
        Self { value, ahead: None }
    }
}

fn strip_word<'t>(text: &'t str, words: &[&str]) -> &'t str {
    for word in words {
        if text.get(..word.len()).is_some_and(|head| head.eq_ignore_ascii_case(word)) {
            return text[word.len()..].trim_start();
        }
    }
    text
}

fn split_while(text: &str, keep: impl Fn(char) -> bool) -> (&str, &str) {
    text.split_at(text.find(|c| !keep(c)).unwrap_or(text.len()))
}

/// `BK`/`Back` and `AH`/`Ahead` behind a station.
fn hint(rest: &str) -> (Option<bool>, &str) {
    for (words, ahead) in [(["back", "bk"], false), (["ahead", "ah"], true)] {
        for word in words {
            let tail = strip_word(rest, &[word]);
            if tail.len() < rest.len() && !tail.starts_with(char::is_alphanumeric) {
                return (Some(ahead), tail.trim_start_matches('.').trim_start());
            }
        }
    }
    (None, rest)
}

impl Alignment {
    /// Runs of unbroken stationing: first label, last label, distance along at the first.
    fn runs(&self) -> Vec<(Decimal, Decimal, Decimal)> {
        let mut runs = Vec::with_capacity(self.equations.len() + 1);
        let (mut from, mut along) = (self.begin, Decimal::ZERO);
        for equation in &self.equations {
            runs.push((from, equation.back, along));
            along += equation.back - from;
            from = equation.ahead;
        }
        runs.push((from, self.end, along));
        runs
    }

    /// The whole length along the line.
    #[must_use]
    pub fn length(&self) -> Decimal {
        self.runs().iter().map(|(from, to, _)| to - from).sum()
    }

    /// What is wrong with the stationing itself, in words; empty when it is sound.
    #[must_use]
    pub fn faults(&self) -> Vec<String> {
        self.runs()
            .iter()
            .filter(|(from, to, _)| to <= from)
            .map(|&(from, to, _)| {
                format!("the stationing runs backward from {} to {}", self.write(from), self.write(to))
            })
            .collect()
    }

    /// The point that a label names.
    ///
    /// # Errors
    /// [`StationError::NotOnAlignment`], or [`StationError::Twice`] where an equation makes the label name two points and
    /// the text does not say back or ahead.
    pub fn place(&self, label: StationLabel) -> Result<Station, StationError> {
        let mut points: Vec<Station> = self
            .runs()
            .iter()
            .filter(|(from, to, _)| *from <= label.value && label.value <= *to)
            .map(|(from, _, along)| Station { along: along + (label.value - from), label: label.value })
            .collect();
        points.dedup_by_key(|p| p.along);
        match (points.as_slice(), label.ahead) {
            ([only], _) => Ok(*only),
            ([first, ..], Some(false)) => Ok(*first),
            ([.., last], Some(true)) => Ok(*last),
            ([first, second, ..], None) => Err(StationError::Twice {
                label: self.write(label.value),
                alignment: self.name.clone(),
                first: first.along,
                second: second.along,
                unit: if self.full_station == dec!(1000) { "m" } else { "ft" },
            }),
            ([], _) => Err(StationError::NotOnAlignment {
                label: self.write(label.value),
                alignment: self.name.clone(),
                span: self.span(),
            }),
        }
    }

    /// The point at a distance along the line, with the label painted there; held to the two ends.
    #[must_use]
    pub fn at(&self, along: Decimal) -> Station {
        let along = along.clamp(Decimal::ZERO, self.length());
        let runs = self.runs();
        let (from, _, start) = runs.iter().rev().find(|(_, _, start)| *start <= along).copied().unwrap_or(runs[0]);
        Station { along, label: from + (along - start) }
    }

    /// First and last label, and what equations skip: `10+00 to 115+60 (58+32.10 back = 58+50 ahead)`.
    #[must_use]
    pub fn span(&self) -> String {
        let mut text = format!("{} to {}", self.write(self.begin), self.write(self.end));
        for e in &self.equations {
            text.push_str(&format!(" ({} back = {} ahead)", self.write(e.back), self.write(e.ahead)));
        }
        text
    }

    /// A label as it is painted: `141+12.5`, in SI `1+234.500`.
    #[must_use]
    pub fn write(&self, label: Decimal) -> String {
        let size = label.abs().normalize();
        let whole = (size / self.full_station).trunc();
        let part = (size - whole * self.full_station).normalize();
        let width = if self.full_station == dec!(1000) { 3 } else { 2 };
        let digits = part.trunc().to_string();
        let decimals = (part - part.trunc()).to_string();
        let sign = if label.is_sign_negative() && !label.is_zero() { "-" } else { "" };
        format!("{sign}{whole}+{digits:0>width$}{}", decimals.strip_prefix('0').unwrap_or(""))
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Side::Left => "left",
            Side::Right => "right",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(equations: &[(Decimal, Decimal)]) -> Alignment {
        Alignment {
            name: "NB".into(),
            full_station: dec!(100),
            begin: dec!(1000),
            end: dec!(3000),
            equations: equations.iter().map(|&(back, ahead)| Equation { back, ahead }).collect(),
        }
    }

    fn label(text: &str) -> StationLabel {
        StationLabel::read(text, dec!(100)).unwrap().0
    }

    #[test]
    fn written_forms_read_as_one_station() {
        for text in ["12+34.5", "Sta 12+34.50", "STA. 12 + 34.5", "  12+34.5  "] {
            assert_eq!(label(text).value, dec!(1234.5), "{text}");
        }
        let (si, rest) = StationLabel::read("1+234.500 Lt 3.2", dec!(1000)).unwrap();
        assert_eq!((si.value, rest), (dec!(1234.500), "Lt 3.2"));
        assert!(StationLabel::read("1234.5", dec!(100)).is_err());
        assert!(StationLabel::read("12+3", dec!(100)).is_err());
    }

    #[test]
    fn a_gap_equation_skips_labels_and_keeps_lengths() {
        let line = line(&[(dec!(2000), dec!(2250))]);
        assert_eq!(line.length(), dec!(1750));
        assert_eq!(line.place(label("23+00")).unwrap().along, dec!(1050));
        assert!(matches!(line.place(label("21+00")), Err(StationError::NotOnAlignment { .. })));
        assert_eq!(line.at(dec!(1050)).label, dec!(2300));
    }

    #[test]
    fn an_overlap_equation_makes_a_label_stand_twice() {
        let line = line(&[(dec!(2000), dec!(1900))]);
        assert!(matches!(line.place(label("19+50")), Err(StationError::Twice { .. })));
        assert_eq!(line.place(label("19+50 BK")).unwrap().along, dec!(950));
        assert_eq!(line.place(label("19+50 ahead")).unwrap().along, dec!(1050));
    }

    #[test]
    fn labels_are_painted_as_they_are_read() {
        let line = line(&[]);
        for (value, text) in [(dec!(1234.5), "12+34.5"), (dec!(1205), "12+05"), (dec!(-5), "-0+05")] {
            assert_eq!(line.write(value), text);
        }
    }
}

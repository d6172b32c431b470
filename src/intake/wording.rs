//! From a heading as written to the field it names and the unit it states.
//!
//! `Qty CY`, `Thickness, in.`, `Length (in)` and `TICKET #` are taken apart here. What cannot be found in the table of
//! [`super::kind`] is not recognised; nothing is recognised by resemblance.

use std::collections::HashMap;
use std::sync::OnceLock;

use super::kind::{Field, Holds, KINDS, KindSpec, is_wheel_path, needs_number};
use crate::units::Unit;

/// Short forms that stand for a word of the table.
const SHORT: &[(&str, &str)] = &[
    ("number", "no"),
    ("num", "no"),
    ("nbr", "no"),
    ("nr", "no"),
    ("nos", "no"),
    ("ln", "lane"),
    ("sta", "station"),
    ("ch", "station"),
    ("beg", "begin"),
    ("bgn", "begin"),
    ("tick", "ticket"),
    ("tix", "ticket"),
    ("tkt", "ticket"),
    ("ld", "load"),
    ("del", "delivered"),
    ("deld", "delivered"),
    ("dlvd", "delivered"),
    ("trk", "truck"),
    ("veh", "vehicle"),
    ("tm", "time"),
    ("arr", "arrived"),
    ("disch", "discharge"),
    ("meas", "measured"),
    ("msd", "measured"),
    ("ht", "height"),
    ("dist", "distance"),
    ("ult", "ultimate"),
    ("cont", "content"),
    ("loc", "location"),
    ("des", "design"),
    ("el", "elevation"),
    ("elev", "elevation"),
    ("dens", "density"),
    ("moist", "moisture"),
    ("opt", "optimum"),
    ("matl", "material"),
    ("amt", "amount"),
    ("desc", "description"),
    ("acc", "accept"),
    ("rej", "reject"),
    ("rmk", "remarks"),
    ("rmks", "remarks"),
    ("ckd", "checked"),
    ("chkd", "checked"),
    ("h2o", "water"),
    ("stn", "station"),
    ("stas", "stations"),
    ("chainage", "station"),
    ("chainages", "stations"),
    ("qty", "quantity"),
    ("quan", "quantity"),
    ("temp", "temperature"),
    ("dia", "diameter"),
    ("diam", "diameter"),
    ("cyl", "cylinder"),
    ("cylinders", "cylinder"),
    ("spec", "specimen"),
    ("wt", "weight"),
    ("avg", "average"),
    ("ave", "average"),
    ("mean", "average"),
    ("thk", "thickness"),
    ("thick", "thickness"),
    ("thickn", "thickness"),
    ("len", "length"),
    ("lgth", "length"),
    ("vol", "volume"),
    ("conc", "concrete"),
    ("ident", "id"),
    ("identification", "id"),
    ("rem", "remarks"),
    ("max", "maximum"),
    ("pmt", "pavement"),
    ("beginning", "begin"),
    ("ending", "end"),
    ("dates", "date"),
    ("str", "strength"),
    ("compr", "compressive"),
    ("flex", "flexural"),
    ("ld", "load"),
    ("lds", "loads"),
    ("trk", "truck"),
    ("deld", "delivered"),
    ("dlvd", "delivered"),
    ("brk", "break"),
    ("chn", "station"),
    ("ch", "station"),
    ("spcm", "specimen"),
    ("comm", "comments"),
    ("btch", "batch"),
    ("plcmt", "placement"),
    ("lgt", "length"),
];

/// Case, punctuation, blanks and short forms do not tell wordings apart: `Load Ticket #` is `load ticket no`.
pub(super) fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut word = String::new();
    let mut close = |word: &mut String| {
        if !word.is_empty() {
            if !out.is_empty() {
                out.push(' ');
            }
            out.push_str(SHORT.iter().find(|(short, _)| short == word).map_or(word.as_str(), |(_, long)| long));
            word.clear();
        }
    };
    for c in text.chars() {
        match c {
            '#' => {
                close(&mut word);
                word.push_str("no");
                close(&mut word);
            }
            '²' => word.push('2'),
            '³' => word.push('3'),
            '\'' | '’' | '^' => {}
            c if c.is_alphanumeric() => word.extend(c.to_lowercase()),
            _ => close(&mut word),
        }
    }
    close(&mut word);
    if let Some(before) = out.strip_suffix("i d").filter(|b| b.is_empty() || b.ends_with(' ')) {
        out = format!("{before}id");
    }
    out
}

/// Bytes beyond which a text is no heading to be taken apart.
const LONGEST: usize = 240;

/// One way to take a heading apart.
#[derive(Clone, Debug, PartialEq)]
struct Reading {
    name: String,
    unit: Option<Unit>,
    /// What stands in brackets and is no unit we know.
    stated: Option<String>,
    /// The age in days that stands before the name: `28-day strength`.
    age: Option<u32>,
}

/// A heading as written, with every way to take it apart, the most literal first.
#[derive(Clone, Debug)]
pub(super) struct Wording {
    readings: Vec<Reading>,
}

/// The field a heading names.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Named {
    pub(super) field: Field,
    pub(super) holds: Holds,
    /// Place of the wording in its field's list: lower is more particular.
    pub(super) rank: usize,
    pub(super) unit: Option<Unit>,
    pub(super) stated: Option<String>,
    /// The age in days that it states.
    pub(super) age: Option<u32>,
    /// One of several numbered alike, or one of the wheel paths: `L1`, `Reading 3`, `LWP`.
    pub(super) counted: bool,
}

/// Folded wording to every kind and field that it names.
type Index = HashMap<String, Vec<(usize, usize, usize)>>;

fn index() -> &'static Index {
    static INDEX: OnceLock<Index> = OnceLock::new();
    INDEX.get_or_init(|| {
        let mut index = Index::new();
        for (k, kind) in KINDS.iter().enumerate() {
            for (f, spec) in kind.fields.iter().enumerate() {
                for (rank, wording) in spec.wordings.iter().enumerate() {
                    index.entry(fold(wording)).or_default().push((k, f, rank));
                }
            }
        }
        index
    })
}

/// What stands outside and inside brackets.
fn brackets(text: &str) -> (String, Vec<String>) {
    let (mut outside, mut inside, mut depth) = (String::new(), Vec::new(), 0_u32);
    for c in text.chars() {
        match c {
            '(' | '[' | '{' => {
                depth += 1;
                inside.push(String::new());
            }
            ')' | ']' | '}' if depth > 0 => {
                depth -= 1;
                outside.push(' ');
            }
            c if depth > 0 => {
                if let Some(last) = inside.last_mut() {
                    last.push(c);
                }
            }
            c => outside.push(c),
        }
    }
    (outside.trim().to_string(), inside)
}

/// The unit that a heading, a units row or a unit column states: `(in)`, `in.`, `CY`, `deg. F`.
pub(super) fn unit_of(text: &str) -> Option<Unit> {
    let text = text.trim().trim_start_matches(['(', '[']).trim_end_matches([')', ']']).trim();
    Unit::named(text).filter(|u| *u != Unit::Money && *u != Unit::One)
}

/// A name and the unit behind it: `Thickness, in.`, `Temp/F`, `Qty CY`, `Air %`.
fn trailing_unit(text: &str) -> Option<(&str, Unit)> {
    if let Some(head) = text.strip_suffix('%') {
        return Some((head, Unit::Percent));
    }
    // A unit that is a quotient holds a sign that else stands between name and unit: `IRI in/mi`.
    let quotient = |(at, _): (usize, char)| {
        let tail = text[at..].trim_start_matches([',', ':']).trim();
        Some((&text[..at], unit_of(tail).filter(|_| tail.contains('/'))?))
    };
    if let Some(found) =
        text.char_indices().filter(|(_, c)| c.is_whitespace() || matches!(c, ',' | ':')).find_map(quotient)
    {
        return Some(found);
    }
    if let Some((head, unit)) =
        text.rfind([',', '/', ':', '\n', '–', '-']).and_then(|at| Some((&text[..at], unit_of(text[at..].get(1..)?)?)))
    {
        return Some((head, unit));
    }
    let blanks: Vec<usize> = text.match_indices(char::is_whitespace).map(|(at, _)| at).collect();
    blanks.iter().rev().take(3).rev().find_map(|&at| Some((&text[..at], unit_of(&text[at..])?)))
}

/// Letters with points drawn together: `C.Y.` is `CY`, `Cyl. I.D.` is `Cyl. ID`.
fn drawn_together(text: &str) -> String {
    let letters = |word: &str| {
        let mut pieces = word.trim_end_matches('.').split('.');
        word.contains('.')
            && word.len() > 2
            && pieces.all(|p| p.chars().count() == 1 && p.chars().all(char::is_alphabetic))
    };
    let words = text.split(' ').map(|word| if letters(word) { word.replace('.', "") } else { word.to_string() });
    words.collect::<Vec<_>>().join(" ")
}

/// Joined words told apart by their capitals: `TicketNo` is `Ticket No`. One letter alone (`kN`) is no word.
fn apart(text: &str) -> String {
    let (mut out, mut letters, mut last) = (String::with_capacity(text.len() + 4), 0_u32, ' ');
    for c in text.chars() {
        if c.is_uppercase() && last.is_lowercase() && letters >= 2 {
            out.push(' ');
            letters = 0;
        }
        letters = if c.is_alphabetic() { letters + 1 } else { 0 };
        out.push(c);
        last = c;
    }
    out
}

/// A volume before the name: `CY delivered`, `Yds batched`.
fn leading_volume(text: &str) -> Option<(Unit, &str)> {
    let text = text.trim();
    let blanks = text.match_indices(char::is_whitespace).map(|(at, _)| at).take(2);
    let volume = |at: usize| {
        let unit = unit_of(&text[..at]).filter(|u| matches!(u, Unit::CubicYard | Unit::CubicMetre))?;
        Some((unit, text[at..].trim()))
    };
    blanks.filter_map(volume).last()
}

/// An age before the name: `28-day strength`, `7 Day (psi)`, `28d psi`.
fn leading_age(text: &str) -> Option<(u32, &str)> {
    let text = text.trim();
    let digits = text.find(|c: char| !c.is_ascii_digit()).filter(|n| (1..=3).contains(n))?;
    let days: u32 = text[..digits].parse().ok()?;
    let rest = text[digits..].trim_start_matches(['-', '–', ' ', '\n', '\r']);
    let word = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
    let is = ["day", "days", "d", "dy"].iter().any(|d| rest[..word].eq_ignore_ascii_case(d));
    let name = rest[word..].trim_start_matches(['.', ',', '-', '–', ':', ' ', '\n', '\r']);
    (is && days > 0 && !name.is_empty()).then_some((days, name))
}

impl Wording {
    /// Takes a heading apart, and where its words are joined, the words too.
    pub(super) fn of(text: &str) -> Self {
        if text.len() > LONGEST {
            return Self { readings: vec![Reading { name: fold(text), unit: None, stated: None, age: None }] };
        }
        let mut wording = Self::written(text);
        for other in [apart(text), drawn_together(text)].iter().filter(|other| *other != text) {
            wording.readings.extend(Self::written(other).readings);
        }
        if let Some((unit, rest)) = leading_volume(text) {
            wording.readings.push(Reading { name: fold(rest), unit: Some(unit), stated: None, age: None });
        }
        if let Some((days, rest)) = leading_age(text) {
            let aged = |r: Reading| Reading { age: Some(days), ..r };
            wording.readings.extend(Self::written(rest).readings.into_iter().map(aged));
        }
        wording
    }

    fn written(text: &str) -> Self {
        let (outside, inside) = brackets(text);
        let unit = inside.iter().find_map(|t| unit_of(t));
        let stated = inside.iter().map(|t| t.trim().to_string()).find(|t| unit.is_none() && !t.is_empty());
        let mut readings = vec![Reading { name: fold(text), unit: unit_of(text), stated: None, age: None }];
        if !inside.is_empty() {
            readings.push(Reading {
                name: fold(&outside),
                unit: unit.or_else(|| unit_of(&outside)),
                stated: stated.clone(),
                age: None,
            });
        }
        if let Some((head, behind)) = trailing_unit(&outside) {
            let name = fold(head);
            // A unit that is only a sign, `%` or `"`, leaves the name as it was.
            for literal in readings.iter_mut().filter(|r| r.name == name && r.unit.is_none()) {
                literal.unit = Some(behind);
            }
            let shorter = name.strip_suffix(" in").unwrap_or(&name).to_string();
            readings.push(Reading { name, unit: unit.or(Some(behind)), stated: stated.clone(), age: None });
            readings.push(Reading { name: shorter, unit: unit.or(Some(behind)), stated, age: None });
        }
        Self { readings }
    }

    /// The field of a kind that it names.
    pub(super) fn names(&self, kind: &'static KindSpec) -> Option<Named> {
        let alone = |n: &Named| n.holds != Holds::Passes || !needs_number(n.rank);
        self.readings.iter().find_map(|r| Self::look_up(r, &r.name, kind)).filter(alone).or_else(|| {
            self.readings.iter().find_map(|r| {
                let base = r.name.trim_end_matches(|c: char| c.is_ascii_digit());
                let counted = (1..=2).contains(&(r.name.len() - base.len()));
                let base = base.trim_end();
                let base = base.strip_suffix(" no").unwrap_or(base);
                counted
                    .then(|| Self::look_up(r, base, kind))
                    .flatten()
                    .filter(|n| n.holds.is_many())
                    .map(|n| Named { counted: true, ..n })
            })
        })
    }

    fn look_up(reading: &Reading, name: &str, kind: &'static KindSpec) -> Option<Named> {
        let found = index().get(name)?;
        let &(_, f, rank) = found.iter().find(|&&(k, ..)| KINDS[k].kind == kind.kind)?;
        let spec = &kind.fields[f];
        let unit = reading.unit.filter(|u| spec.holds.accepts(*u));
        if (reading.unit.is_some() && unit.is_none()) || (reading.age.is_some() && spec.field != Field::Strength) {
            return None;
        }
        let counted = spec.holds == Holds::Passes && is_wheel_path(rank);
        Some(Named {
            field: spec.field,
            holds: spec.holds,
            rank,
            unit,
            stated: reading.stated.clone(),
            age: reading.age,
            counted,
        })
    }

    /// The unit it states, whatever it names.
    pub(super) fn unit(&self) -> Option<Unit> {
        self.readings.iter().find_map(|r| r.unit)
    }

    /// Whether a way to read the heading has a word.
    pub(super) fn has_word(&self, word: &str) -> bool {
        self.readings.iter().any(|r| r.name.split(' ').any(|w| w == word))
    }

    /// Whether it is written like `heading`.
    pub(super) fn is(&self, heading: &str) -> bool {
        self.readings.first().is_some_and(|r| r.name == fold(heading))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::kind::kind_named;

    fn named(text: &str, kind: &str) -> Option<(Field, Option<Unit>)> {
        Wording::of(text).names(kind_named(kind).unwrap()).map(|n| (n.field, n.unit))
    }

    #[test]
    fn headings_of_a_plant_are_recognised() {
        for (text, field, unit) in [
            ("TICKET #", Field::Ticket, None),
            ("Load No.", Field::Ticket, None),
            ("Qty CY", Field::Volume, Some(Unit::CubicYard)),
            ("Qty. (yd³)", Field::Volume, Some(Unit::CubicYard)),
            ("Volume, m3", Field::Volume, Some(Unit::CubicMetre)),
            ("CY", Field::Volume, Some(Unit::CubicYard)),
            ("Batch\r\nTime", Field::Batched, None),
            ("Water added (gal)", Field::Water, Some(Unit::Gallon)),
        ] {
            assert_eq!(named(text, "loads"), Some((field, unit)), "{text}");
        }
    }

    #[test]
    fn headings_of_a_laboratory_are_recognised() {
        assert_eq!(named("Thickness, in.", "cores"), Some((Field::Length, Some(Unit::Inch))));
        assert_eq!(named("L-9 (mm)", "cores"), Some((Field::Length, Some(Unit::Millimetre))));
        assert_eq!(named("Reading 3", "cores"), Some((Field::Length, None)));
        assert_eq!(named("Max. Load (lbs)", "specimens"), Some((Field::Load, Some(Unit::Pound))));
        assert_eq!(named("Age, days", "specimens"), Some((Field::Age, Some(Unit::Day))));
        assert_eq!(named("Temp. °F", "fresh"), Some((Field::Temperature, Some(Unit::Fahrenheit))));
        assert_eq!(named("Air %", "fresh"), Some((Field::Air, Some(Unit::Percent))));
        assert_eq!(named("Slump in inches", "fresh"), Some((Field::Slump, Some(Unit::Inch))));
    }

    #[test]
    fn joined_words_are_told_apart_by_their_capitals() {
        assert_eq!(named("TicketNo", "loads"), Some((Field::Ticket, None)));
        assert_eq!(named("BatchTime", "loads"), Some((Field::Batched, None)));
        assert_eq!(named("CuYds", "loads"), Some((Field::Volume, Some(Unit::CubicYard))));
        assert_eq!(named("FromSta", "placements"), Some((Field::From, None)));
        assert_eq!(named("CoreID", "cores"), Some((Field::Number, None)));
        assert_eq!(apart("Load (kN), MPa"), "Load (kN), MPa");
    }

    #[test]
    fn short_forms_of_crews_and_plants_are_recognised() {
        for (text, kind, field, unit) in [
            ("CY Del'd", "loads", Field::Volume, Some(Unit::CubicYard)),
            ("Yds", "loads", Field::Volume, Some(Unit::CubicYard)),
            ("Yards", "loads", Field::Volume, Some(Unit::CubicYard)),
            ("Cu. Yds.", "loads", Field::Volume, Some(Unit::CubicYard)),
            ("m³ delivered", "loads", Field::Volume, Some(Unit::CubicMetre)),
            ("Tkt #", "loads", Field::Ticket, None),
            ("Ld #", "loads", Field::Ticket, None),
            ("Trk", "loads", Field::Truck, None),
            ("Beg Sta", "placements", Field::From, None),
            ("B/E Sta", "placements", Field::Stations, None),
            ("Ch. from", "placements", Field::From, None),
            ("Thk.", "cores", Field::Length, None),
            ("Core Ref.", "cores", Field::Number, None),
            ("Cyl. I.D.", "specimens", Field::Number, None),
            ("Comp. Str. (psi)", "specimens", Field::Strength, Some(Unit::Psi)),
            ("f'c (MPa)", "specimens", Field::Strength, Some(Unit::Megapascal)),
            ("Date Made", "specimens", Field::Cast, None),
            ("Date Poured", "specimens", Field::Cast, None),
            ("28-day psi", "specimens", Field::Strength, Some(Unit::Psi)),
            ("7 Day (psi)", "specimens", Field::Strength, Some(Unit::Psi)),
            ("Strength N/mm2", "specimens", Field::Strength, Some(Unit::Megapascal)),
            ("Max Ld, kN", "specimens", Field::Load, Some(Unit::Kilonewton)),
            ("Temp degC", "fresh", Field::Temperature, Some(Unit::Celsius)),
            ("Qty (m^3)", "loads", Field::Volume, Some(Unit::CubicMetre)),
            ("Qty (cum)", "loads", Field::Volume, Some(Unit::CubicMetre)),
        ] {
            assert_eq!(named(text, kind), Some((field, unit)), "{text}");
        }
        assert_eq!(named("28-day load", "specimens"), None);
        assert_eq!(named("In service", "loads"), None);
    }

    #[test]
    fn what_resembles_is_not_recognised() {
        assert_eq!(named("Design thickness (in)", "cores"), None);
        assert_eq!(named("Strength (in)", "specimens"), None);
        assert_eq!(named("Length 1a", "cores"), None);
    }

    #[test]
    fn a_unit_that_is_not_known_is_kept_as_stated() {
        let load = Wording::of("Load (kips)").names(kind_named("specimens").unwrap()).unwrap();
        assert_eq!((load.unit, load.stated.as_deref()), (None, Some("kips")));
    }
}

//! The reader: a file against its table of keys, collecting every mistake with line, column and remedy.

use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

use super::group::{Found, Group};
use super::key::{Form, Key, Need};
use super::name::nearest;
use crate::finding::{Code, Finding, Place};
use crate::legible::legible;
use crate::units::System;

/// A place in a file, counted from 1. Columns count characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct At {
    /// Line.
    pub line: u32,
    /// Column.
    pub column: u32,
}

impl Default for At {
    fn default() -> Self {
        Self { line: 1, column: 1 }
    }
}

/// How a file is to be read.
#[derive(Clone, Copy, Debug)]
pub struct Terms<'t> {
    /// Code of its mistakes.
    pub code: Code,
    /// Its name inside the contract folder, as findings print it.
    pub file: &'t str,
    /// Its keys.
    pub keys: &'static [Key],
    /// Whether a quantity may stand in another unit of the same system (`144 in` for 12 ft).
    pub converts: bool,
}

/// A file being read, and the mistakes found so far.
#[derive(Debug)]
pub struct Reader<'t> {
    pub(super) terms: Terms<'t>,
    pub(super) system: Option<System>,
    text: &'t str,
    line_starts: Vec<usize>,
    findings: Vec<Finding>,
}

/// The value at a key of the file, while it is being taken.
pub(super) struct Here<'h, 't> {
    pub(super) key: &'h Key,
    pub(super) path: String,
    pub(super) value: &'h Spanned<DeValue<'t>>,
}

impl<'t> Reader<'t> {
    /// Reads the whole file against its keys. The group is `None` where the file is not TOML.
    #[must_use]
    pub fn open(terms: Terms<'t>, text: &'t str) -> (Self, Option<Group>) {
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        let (table, errors) = DeTable::parse_recoverable(text);
        let system = table.get_ref().get(UNITS.name).and_then(|value| system_named(value.get_ref().as_str()?));
        let mut reader = Self { terms, system, text, line_starts, findings: Vec::new() };
        let mut whole = true;
        for error in &errors {
            whole &= error.message() == DUPLICATE;
            reader.not_toml(error);
        }
        let root = whole.then(|| reader.group(table.get_ref(), At::default(), String::new(), terms.keys));
        (reader, root)
    }

    /// What was built, if nothing at all was mistaken; otherwise every mistake, in the order of the file.
    ///
    /// # Errors
    /// The mistakes; never none.
    pub fn finish<T>(mut self, built: Option<T>) -> Result<T, Vec<Finding>> {
        match built {
            Some(built) if self.findings.is_empty() => return Ok(built),
            None if self.findings.is_empty() => {
                self.mistake(At::default(), "the file could not be followed", "compare it with the documented format");
            }
            _ => {}
        }
        self.findings.sort_by(|a, b| (&a.place, &a.message).cmp(&(&b.place, &b.message)));
        Err(self.findings)
    }

    /// Reports a mistake.
    pub fn mistake(&mut self, at: At, message: impl Into<String>, remedy: impl Into<String>) {
        let place = self.place(at);
        self.findings.push(Finding::new(self.terms.code, place, message, remedy));
    }

    /// Reports a mistake that concerns another line too.
    pub fn mistake_with(&mut self, at: At, other: At, message: impl Into<String>, remedy: impl Into<String>) {
        let (place, other) = (self.place(at), self.place(other));
        self.findings.push(Finding::new(self.terms.code, place, message, remedy).with([other]));
    }

    /// A place of this file, as findings name it.
    #[must_use]
    pub fn place(&self, at: At) -> Place {
        Place::Line { file: self.terms.file.to_string(), line: at.line, column: at.column }
    }

    /// The unit system of the file, where it is known.
    #[must_use]
    pub fn system(&self) -> Option<System> {
        self.system
    }

    pub(super) fn at(&self, offset: usize) -> At {
        let line = self.line_starts.partition_point(|&start| start <= offset).max(1);
        let start = self.line_starts[line - 1];
        let column = self.text.get(start..offset).map_or(0, |before| before.chars().count());
        let from_one = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        At { line: from_one(line), column: from_one(column + 1) }
    }

    pub(super) fn written(&self, value: &Spanned<DeValue<'_>>) -> String {
        match value.get_ref() {
            DeValue::String(text) => legible(text).into_owned(),
            _ => self.text.get(value.span()).unwrap_or("").to_string(),
        }
    }

    fn not_toml(&mut self, error: &toml::de::Error) {
        let span = error.span().unwrap_or(0..0);
        let at = self.at(span.start);
        if error.message() == DUPLICATE {
            let name = self.text.get(span).unwrap_or("").to_string();
            self.mistake(at, format!("'{name}' stands here a second time"), "keep one of the two");
        } else {
            self.mistake(
                at,
                format!("this line is not TOML: {}", error.message()),
                "correct the line; text stands in quotation marks, lists in [ ], and each key has its = and value",
            );
        }
    }

    /// One table against its keys.
    pub(super) fn group(&mut self, table: &DeTable<'_>, at: At, path: String, keys: &'static [Key]) -> Group {
        let mut group = Group { at, key: path, ..Group::default() };
        for (name, value) in table {
            match keys.iter().find(|key| key.name == name.get_ref()) {
                Some(key) => self.entry(&mut group, key, value),
                None => self.unknown(name, &group, keys),
            }
        }
        for key in keys {
            self.needed(&group, key);
        }
        group
    }

    fn entry(&mut self, group: &mut Group, key: &'static Key, value: &Spanned<DeValue<'_>>) {
        group.present.insert(key.name);
        let path = if group.key.is_empty() { key.name.to_string() } else { format!("{}.{}", group.key, key.name) };
        let (written, at) = (self.written(value), self.at(value.span().start));
        let here = Here { key, path: path.clone(), value };
        if let Some(taken) = self.take(&key.form, &here) {
            group.values.insert(key.name, Found { value: taken, written, at, key: path });
        }
    }

    fn unknown(&mut self, name: &Spanned<DeString<'_>>, group: &Group, keys: &[Key]) {
        let at = self.at(name.span().start);
        let table = if group.key.is_empty() { "this file".into() } else { format!("'{}'", group.key) };
        let names = keys.iter().map(|key| key.name);
        let remedy = match nearest(name.get_ref(), names.clone()) {
            Some(near) => format!("write '{near}' if that is meant, or take the line out"),
            None => format!("take it out; known here: {}", names.collect::<Vec<_>>().join(", ")),
        };
        self.mistake(at, format!("'{}' is not a key of {table}", name.get_ref()), remedy);
    }

    fn needed(&mut self, group: &Group, key: &Key) {
        let has = group.has(key.name);
        let table = if group.key.is_empty() { "the file".into() } else { format!("'{}'", group.key) };
        match key.need {
            Need::Required if !has => {
                self.mistake(group.at, format!("{table} lacks '{}': {}", key.name, key.meaning), add(key));
            }
            Need::With(other) if group.has(other) && !has => {
                let message = format!("{table} has '{other}' but lacks '{}': {}", key.name, key.meaning);
                self.mistake(group.at(other), message, add(key));
            }
            Need::With(other) | Need::Beside(other) if has && !group.has(other) => {
                let message = format!("'{}' says nothing without '{other}'", key.name);
                self.mistake(group.at(key.name), message, format!("add '{other}', or take '{}' out", key.name));
            }
            _ => {}
        }
    }
}

/// The key under which a file says its unit system; without it stations and units are only checked for their form.
pub const UNITS: Key = Key::required(
    "units",
    Form::Choice(&["US customary", "SI"]),
    "\"US customary\"",
    "unit system of every quantity; nothing is converted from one system to the other",
);

fn system_named(word: &str) -> Option<System> {
    match word {
        "US customary" => Some(System::Customary),
        "SI" => Some(System::Si),
        _ => None,
    }
}

/// What the TOML reader says where a key stands twice.
const DUPLICATE: &str = "duplicate key";

fn add(key: &Key) -> String {
    match (key.form, key.example) {
        (Form::Table(_) | Form::Tables(_), "") => format!("add {}", key.line()),
        _ => format!("add it, such as: {}", key.line()),
    }
}

//! The table of keys: what a file may hold, in which form, and what it means.

use super::measure::Measure;

/// Whether a key must be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Always.
    Required,
    /// May be left out.
    Optional,
    /// Needed with another key of the same table, and without it meaningless.
    With(&'static str),
    /// May stand with another key of the same table, and is meaningless without it.
    Beside(&'static str),
    /// Needed or not by what other keys say; in words. Whoever reads the file checks it.
    Depends(&'static str),
}

impl Need {
    /// In words, for the description of the file.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Need::Required => "yes".into(),
            Need::Optional => "no".into(),
            Need::With(other) => format!("with `{other}`"),
            Need::Beside(other) => format!("no; only with `{other}`"),
            Need::Depends(words) => words.into(),
        }
    }
}

/// How a value is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// Text that is not blank.
    Text,
    /// Text that is not blank, or a whole number, which is taken for its digits.
    TextOrWhole,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A number by itself, in quotation marks or not: `"57,066.67"`, `0.20`.
    Number,
    /// A whole number from 1.
    Count,
    /// A number with its unit, in quotation marks: `"9.5 in"`.
    Quantity(Measure),
    /// The lowest and the highest, each a quantity or `"none"`.
    Limits(Measure),
    /// A step and a mode: `"0.01 half up"`.
    Rounding,
    /// A unit: `"SY"`.
    Unit,
    /// A station: `"10+00"`.
    Station,
    /// A TOML date, without quotation marks: `2031-05-31`.
    Date,
    /// Days, without quotation marks: `[2031-05-26, 2031-07-04]`.
    Dates,
    /// `true` or `false`, without quotation marks.
    Flag,
    /// A list of text.
    Texts,
    /// A list of whole numbers from 1.
    Counts,
    /// A table whose keys are the user's own; its values all have one form.
    Pairs(&'static Form),
    /// A table: `[rounding]`.
    Table(&'static [Key]),
    /// Tables one after another: `[[lanes]]`; at least one where the key is required.
    Tables(&'static [Key]),
    /// The first form as a plain value, or the second (a table or a list).
    Either(&'static Form, &'static Form),
}

/// One key of a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    /// As written in the file.
    pub name: &'static str,
    /// Whether it must be there.
    pub need: Need,
    /// How its value is written.
    pub form: Form,
    /// A value as it would be written; empty for tables that stand by themselves.
    pub example: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

impl Key {
    /// A key that must be there.
    #[must_use]
    pub const fn required(name: &'static str, form: Form, example: &'static str, meaning: &'static str) -> Self {
        Self { name, need: Need::Required, form, example, meaning }
    }

    /// A key that may be left out.
    #[must_use]
    pub const fn optional(name: &'static str, form: Form, example: &'static str, meaning: &'static str) -> Self {
        Self { name, need: Need::Optional, form, example, meaning }
    }

    /// The same key, needed otherwise.
    #[must_use]
    pub const fn need(mut self, need: Need) -> Self {
        self.need = need;
        self
    }

    /// The key with its example, as a line of the file.
    #[must_use]
    pub fn line(&self) -> String {
        match (self.form, self.example) {
            (Form::Table(_), "") => format!("[{}]", self.name),
            (Form::Tables(_), "") => format!("[[{}]]", self.name),
            (_, example) => format!("{} = {example}", self.name),
        }
    }
}

impl Form {
    /// In words, for messages and the description of the file.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Form::Text => "text".into(),
            Form::TextOrWhole => "text, or a whole number".into(),
            Form::Choice(words) => one_of(words),
            Form::Number => "number".into(),
            Form::Count => "whole number from 1".into(),
            Form::Quantity(measure) => format!("{} with its unit", measure.word()),
            Form::Limits(measure) => format!("lowest and highest, each {} with its unit or \"none\"", measure.word()),
            Form::Rounding => "rounding: step and mode".into(),
            Form::Unit => "unit".into(),
            Form::Station => "station".into(),
            Form::Date => "date, without quotation marks".into(),
            Form::Dates => "list of dates, without quotation marks".into(),
            Form::Flag => "true or false, without quotation marks".into(),
            Form::Texts => "list of text".into(),
            Form::Counts => "list of whole numbers from 1".into(),
            Form::Pairs(form) => format!("table of your own keys, each with {}", form.words()),
            Form::Table(_) => "table".into(),
            Form::Tables(_) => "list of tables".into(),
            Form::Either(one, other) => format!("{}, or {}", one.words(), other.words()),
        }
    }
}

/// `"a", "b" or "c"`.
fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("\"{w}\"")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}

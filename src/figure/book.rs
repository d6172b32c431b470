//! The book of figures: everything a run computed, and what it was computed from.

use std::collections::BTreeMap;
use std::ops::Index;

use rust_decimal::Decimal;

use super::expr::{Expr, sum};
use super::table::{CellId, Table, TableId};
use super::value::{Value, round};
use crate::source::Sources;
use crate::units::{Rounding, Unit};

/// Which figure of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FigureId(u32);

/// Which given value of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GivenId(u32);

/// Which stepped table of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StepsId(u32);

/// The rule a figure follows: document and place in it, as printed at the right of a calculation.
pub type Clause = String;

/// Where a given value comes from.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// The contract file: line from 1, and the key.
    Contract {
        /// Line.
        line: u32,
        /// `sections[2].thickness`.
        key: String,
    },
    /// A rule set: its id, the key in it, the clause it cites.
    Rule {
        /// Rule set.
        set: String,
        /// Key in the file.
        key: String,
        /// Document, section, year.
        clause: Clause,
    },
    /// Typed by the operator of the program, such as the as-of date's period.
    Entry {
        /// What was typed.
        what: String,
    },
    /// A closed period.
    Closing {
        /// Its number.
        period: u32,
        /// Key of the amount.
        key: String,
    },
    /// Drawn at random from the printed seed; anyone can draw it again (`statistics::Draws`).
    Drawn {
        /// Seed.
        seed: String,
        /// Which number of which stream and what was made of it, so that no two draws read alike.
        how: String,
    },
}

impl std::fmt::Display for Origin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Origin::Contract { line, key } => write!(f, "contract.toml, line {line}, {key}"),
            Origin::Rule { set, key, clause } => write!(f, "rule set {set}, {key}; {clause}"),
            Origin::Entry { what } => write!(f, "entered: {what}"),
            Origin::Closing { period, key } => write!(f, "closed/{period:02}/closing.json, {key}"),
            Origin::Drawn { seed, how } => write!(f, "drawn with seed {seed}: {how}"),
        }
    }
}

/// A value that was given, not computed.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// What it is: `design thickness`.
    pub label: String,
    /// Its letter in formulas: `T`.
    pub symbol: String,
    /// Its value.
    pub value: Decimal,
    /// Its unit.
    pub unit: Unit,
    /// As written where it comes from: `9.5 in`.
    pub written: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// Which ends of a step belong to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Ends {
    /// Both: the table is written on a grid (0.21 to 0.30), and is entered with a value rounded to that grid.
    Both,
    /// The lower end is in, the upper is not.
    Lower,
    /// The upper end is in, the lower is not.
    Upper,
}

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Lower end; `None` for no limit.
    pub from: Option<Decimal>,
    /// Upper end; `None` for no limit.
    pub to: Option<Decimal>,
    /// What the table gives.
    pub value: Decimal,
    /// What it says beside the number, such as `remove and replace`; empty where nothing.
    pub word: String,
    /// True where the table leaves the value to a decision, which `word` names.
    pub open: bool,
}

/// A stepped table of a rule set.
#[derive(Clone, Debug, PartialEq)]
pub struct Steps {
    /// Rule set and table.
    pub title: String,
    /// Document, section, year, status.
    pub clause: Clause,
    /// Rule set id.
    pub set: String,
    /// Unit of what is looked up.
    pub entered_in: Unit,
    /// Unit of what comes out.
    pub gives: Unit,
    /// Which ends belong to a step.
    pub ends: Ends,
    /// Steps in ascending order, without gap or overlap (held by the loader).
    pub rows: Vec<Step>,
}

impl Steps {
    /// The row that `value` falls into.
    #[must_use]
    pub fn find(&self, value: Decimal) -> Option<usize> {
        self.rows.iter().position(|row| {
            let above = row.from.is_none_or(|from| if self.ends == Ends::Upper { value > from } else { value >= from });
            let below = row.to.is_none_or(|to| if self.ends == Ends::Lower { value < to } else { value <= to });
            above && below
        })
    }

    /// `0.31 to 0.40`, `over 1.00`: a step in words.
    #[must_use]
    pub fn span(&self, row: usize) -> String {
        let Some(step) = self.rows.get(row) else { return String::new() };
        match (step.from, step.to, self.ends) {
            (None, None, _) => "any".into(),
            (None, Some(to), Ends::Lower) => format!("under {to}"),
            (None, Some(to), _) => format!("{to} and less"),
            (Some(from), None, Ends::Upper) => format!("over {from}"),
            (Some(from), None, _) => format!("{from} and more"),
            (Some(from), Some(to), Ends::Both) if from == to => format!("{from}"),
            (Some(from), Some(to), Ends::Both) => format!("{from} to {to}"),
            (Some(from), Some(to), Ends::Lower) => format!("{from} to under {to}"),
            (Some(from), Some(to), Ends::Upper) => format!("over {from} to {to}"),
        }
    }
}

/// A reported number.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Its name for `trace` and in every output: `lot-7.pay`.
    pub key: String,
    /// What it is, in words.
    pub label: String,
    /// Its letter in formulas.
    pub symbol: String,
    /// Its unit.
    pub unit: Unit,
    /// How it is obtained.
    pub expr: Expr,
    /// Applied to the value of the expression.
    pub rounding: Option<Rounding>,
    /// The rule it follows.
    pub clause: Clause,
    /// What a reader should know beside it.
    pub note: String,
    /// Decimals it is shown with.
    pub decimals: u8,
    /// What it came to; set by the book.
    pub value: Value,
}

impl Figure {
    /// A figure before it is taken into the book.
    #[must_use]
    pub fn new(
        key: impl Into<String>,
        label: impl Into<String>,
        symbol: impl Into<String>,
        unit: Unit,
        expr: impl Into<Expr>,
    ) -> Self {
        Self {
            key: key.into(),
            label: label.into(),
            symbol: symbol.into(),
            unit,
            expr: expr.into(),
            rounding: None,
            clause: String::new(),
            note: String::new(),
            decimals: unit.decimals(),
            value: Value::Not("not yet computed".into()),
        }
    }

    /// Rounded, and shown with the decimals of the rounding.
    #[must_use]
    pub fn rounded(mut self, rounding: Rounding) -> Self {
        self.rounding = Some(rounding);
        self.decimals = rounding.decimals();
        self
    }

    /// Under a rule.
    #[must_use]
    pub fn under(mut self, clause: impl Into<String>) -> Self {
        self.clause = clause.into();
        self
    }

    /// With a note.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }

    /// Shown with this many decimals.
    #[must_use]
    pub fn shown(mut self, decimals: u8) -> Self {
        self.decimals = decimals;
        self
    }

    /// The number in words for a page: `1,234.50`, or `not computed`.
    #[must_use]
    pub fn text(&self) -> String {
        self.value.decimal().map_or_else(|| "not computed".into(), |d| crate::units::written(d, self.decimals))
    }
}

/// Everything a run computed.
#[derive(Clone, Debug, Default)]
pub struct Book {
    figures: Vec<Figure>,
    keys: BTreeMap<String, FigureId>,
    givens: Vec<Given>,
    given_at: BTreeMap<(Origin, String, String), GivenId>,
    steps: Vec<Steps>,
    tables: Vec<Table>,
    /// Where the cells of the tables stood.
    pub sources: Sources,
}

/// How many parts a printed sum may have before it is made of part sums.
const PARTS: usize = 100;

impl Book {
    /// A book over the sheets that were read.
    #[must_use]
    pub fn new(sources: Sources) -> Self {
        Self { sources, ..Self::default() }
    }

    /// Takes up a figure and computes it. A key that is taken gets `-2`, `-3`, ... behind it.
    ///
    /// In builds with debug assertions the unit of the expression is checked against the figure's.
    pub fn add(&mut self, mut figure: Figure) -> FigureId {
        if self.keys.contains_key(&figure.key) {
            let base = figure.key.clone();
            let mut n = 2;
            while self.keys.contains_key(&figure.key) {
                figure.key = format!("{base}-{n}");
                n += 1;
            }
        }
        debug_assert_eq!(super::dimension::check(self, &figure), Ok(()), "{}", figure.key);
        let value = self.evaluate(&figure.expr);
        figure.value = match figure.rounding {
            Some(rounding) => round(value, rounding),
            None => value,
        };
        let id = FigureId(u32::try_from(self.figures.len()).unwrap_or(u32::MAX));
        self.keys.insert(figure.key.clone(), id);
        self.figures.push(figure);
        id
    }

    /// The sum of many parts as one figure: more than a hundred are first added up by hundreds, so that every sum can be
    /// printed and checked. `figure` carries everything but the expression.
    pub fn add_sum(&mut self, mut figure: Figure, parts: Vec<Expr>) -> FigureId {
        let mut parts = parts;
        let mut level = 1;
        while parts.len() > PARTS {
            let chunks: Vec<Vec<Expr>> = parts.chunks(PARTS).map(<[Expr]>::to_vec).collect();
            let n = chunks.len();
            parts = chunks
                .into_iter()
                .enumerate()
                .map(|(i, chunk)| {
                    let part = Figure {
                        key: format!("{}.part-{level}-{}", figure.key, i + 1),
                        label: format!("{}, part sum {} of {n}", figure.label, i + 1),
                        symbol: format!("{}{}", figure.symbol, i + 1),
                        expr: sum(chunk),
                        note: String::new(),
                        ..figure.clone()
                    };
                    self.add(part).into()
                })
                .collect();
            level += 1;
        }
        figure.expr = sum(parts);
        self.add(figure)
    }

    /// Takes up a given value; one label and symbol from one place is one value, taken up once.
    pub fn given(&mut self, given: Given) -> GivenId {
        let id = GivenId(u32::try_from(self.givens.len()).unwrap_or(u32::MAX));
        let key = (given.origin.clone(), given.label.clone(), given.symbol.clone());
        let id = *self.given_at.entry(key).or_insert(id);
        if id.0 as usize == self.givens.len() {
            self.givens.push(given);
        }
        id
    }

    /// Takes up a stepped table; the same table is taken up once.
    pub fn steps(&mut self, steps: Steps) -> StepsId {
        let at = self.steps.iter().position(|s| *s == steps).unwrap_or_else(|| {
            self.steps.push(steps);
            self.steps.len() - 1
        });
        StepsId(u32::try_from(at).unwrap_or(u32::MAX))
    }

    /// Takes up a table of records.
    pub fn add_table(&mut self, table: Table) -> TableId {
        self.tables.push(table);
        TableId(u16::try_from(self.tables.len() - 1).unwrap_or(u16::MAX))
    }

    /// A table.
    #[must_use]
    pub fn table(&self, id: TableId) -> &Table {
        &self.tables[usize::from(id.0)]
    }

    /// A cell of a table as an expression leaf.
    #[must_use]
    pub fn cell(&self, table: TableId, row: u32, column: u16) -> CellId {
        CellId { table, row, column }
    }

    /// Figures in the order they were computed.
    pub fn figures(&self) -> impl Iterator<Item = (FigureId, &Figure)> {
        self.figures.iter().enumerate().map(|(i, f)| (FigureId(u32::try_from(i).unwrap_or(u32::MAX)), f))
    }

    /// Given values in the order they were first used.
    pub fn givens(&self) -> impl Iterator<Item = (GivenId, &Given)> {
        self.givens.iter().enumerate().map(|(i, g)| (GivenId(u32::try_from(i).unwrap_or(u32::MAX)), g))
    }

    /// Stepped tables in the order they were first used.
    pub fn all_steps(&self) -> impl Iterator<Item = (StepsId, &Steps)> {
        self.steps.iter().enumerate().map(|(i, s)| (StepsId(u32::try_from(i).unwrap_or(u32::MAX)), s))
    }

    /// Tables in the order they were taken up.
    pub fn tables(&self) -> impl Iterator<Item = (TableId, &Table)> {
        self.tables.iter().enumerate().map(|(i, t)| (TableId(u16::try_from(i).unwrap_or(u16::MAX)), t))
    }

    /// The figure of a key.
    #[must_use]
    pub fn by_key(&self, key: &str) -> Option<FigureId> {
        self.keys.get(key).copied()
    }

    /// All keys, in order.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.keys.keys().map(String::as_str)
    }
}

impl Index<FigureId> for Book {
    type Output = Figure;
    fn index(&self, id: FigureId) -> &Figure {
        &self.figures[id.0 as usize]
    }
}

impl Index<GivenId> for Book {
    type Output = Given;
    fn index(&self, id: GivenId) -> &Given {
        &self.givens[id.0 as usize]
    }
}

impl Index<StepsId> for Book {
    type Output = Steps;
    fn index(&self, id: StepsId) -> &Steps {
        &self.steps[id.0 as usize]
    }
}

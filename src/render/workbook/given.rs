//! What was given, not worked out: values of the contract, of rule sets and of the operator, each with its place; and the
//! stepped tables of the rules.

use rust_decimal::Decimal;
use rust_xlsxwriter::Format;

use super::address::{ABOVE_STEPS, FIRST, GIVEN_VALUE, Plan};
use super::leaf::Leaf;
use super::list::{self, List, numbers, words};
use super::style::{self, Weight};
use crate::dossier::Dossier;
use crate::figure::{Book, Ends, Given, Origin, Step, Steps};
use crate::render::RenderError;
use crate::units::Unit;

/// Writes 'Given values'.
pub(super) fn write_values(leaf: &mut Leaf, dossier: &Dossier, book: &Book, plan: &Plan) -> Result<(), RenderError> {
    let columns = vec![
        words("Value of", 34.0),
        words("Symbol", 9.0),
        numbers("Value", 14.0),
        words("Unit", 9.0),
        words("As written", 20.0),
        words("Where", 28.0),
        words("Key", 28.0),
        words("Clause", 40.0),
    ];
    let rows = u32::try_from(book.givens().count()).unwrap_or(u32::MAX);
    let what =
        "Values taken from the contract file, the rule sets and the command line; everything else is worked out.";
    let list = List::open(leaf, &dossier.head, (&plan.names.given, what), columns, rows)?;
    for (row, (_, given)) in (FIRST..).zip(book.givens()) {
        let unit = list::unit(given.unit, &dossier.head.currency);
        let (place, key, clause) = origin(given);
        list.words(leaf, row, &[&given.label, &given.symbol, "", &unit, &given.written, &place, key, clause])?;
        leaf.number(row, GIVEN_VALUE, given.value, &typed_in(given.unit, &[given.value]))?;
    }
    Ok(())
}

/// Numbers on the ground of what was typed in, with the decimals of their unit or as many more as they have.
fn typed_in(unit: Unit, numbers: &[Decimal]) -> Format {
    let most = numbers.iter().map(|n| n.normalize().scale()).max().unwrap_or(0);
    let decimals = u8::try_from(most).unwrap_or(u8::MAX).max(unit.decimals());
    style::decimals(style::typed(style::line(Weight::Line, true)), decimals)
}

/// Place, key and clause.
fn origin(given: &Given) -> (String, &str, &str) {
    match &given.origin {
        Origin::Contract { line, key } => (format!("contract.toml, line {line}"), key, ""),
        Origin::Rule { set, key, clause } => (format!("rule set {set}"), key, clause),
        Origin::Closing { period, key } => (format!("closed/{period:02}/closing.json"), key, ""),
        Origin::Entry { .. } | Origin::Drawn { .. } => (given.origin.to_string(), "", ""),
    }
}

/// Writes 'Rule tables'. An end without limit is an empty cell.
pub(super) fn write_rules(leaf: &mut Leaf, dossier: &Dossier, book: &Book, plan: &Plan) -> Result<(), RenderError> {
    let what = "The stepped tables that the calculations look up. An empty end has no limit.";
    list::opening(leaf, &dossier.head, &plan.names.rules, what)?;
    for (column, width) in [(0, 16.0), (1, 16.0), (2, 16.0), (3, 44.0)] {
        leaf.width(column, width)?;
    }
    leaf.sheet.set_freeze_panes(FIRST - 1, 0)?;
    leaf.printed(&dossier.head, false);
    if book.all_steps().next().is_none() {
        leaf.text(FIRST, 0, "No stepped table was used.", &style::base())?;
    }
    for (id, steps) in book.all_steps() {
        let (first, _) = plan.steps_rows(id);
        above(leaf, first - ABOVE_STEPS, steps, &dossier.head.currency)?;
        let limits: Vec<Decimal> = steps.rows.iter().flat_map(|s| [s.from, s.to]).flatten().collect();
        let values: Vec<Decimal> = steps.rows.iter().map(|s| s.value).collect();
        let (ends, gives) = (typed_in(steps.entered_in, &limits), typed_in(steps.gives, &values));
        for (row, step) in (first..).zip(&steps.rows) {
            write_step(leaf, row, step, &[&ends, &gives])?;
        }
    }
    Ok(())
}

/// Title, clause, how the table is entered, headings.
fn above(leaf: &mut Leaf, row: u32, steps: &Steps, currency: &str) -> Result<(), RenderError> {
    let ends = match steps.ends {
        Ends::Both => "both ends belong to a step",
        Ends::Lower => "the lower end belongs to a step, the upper does not",
        Ends::Upper => "the upper end belongs to a step, the lower does not",
    };
    leaf.text(row, 0, &steps.title, &style::heading())?;
    leaf.text(row + 1, 0, &steps.clause, &style::muted())?;
    leaf.text(row + 2, 0, &format!("Rule set {}; {ends}.", steps.set), &style::muted())?;
    let entered = list::unit(steps.entered_in, currency);
    let gives = list::unit(steps.gives, currency);
    let headings =
        [in_unit("from", &entered), in_unit("to", &entered), in_unit("gives", &gives), String::from("in words")];
    for (column, heading) in (0_u16..).zip(&headings) {
        let format = style::column_heading(column < 3, true);
        leaf.text(row + 3, column, heading, &if column < 3 { format } else { style::set_off(format) })?;
    }
    Ok(())
}

fn in_unit(heading: &str, unit: &str) -> String {
    if unit.is_empty() { heading.into() } else { format!("{heading}, {unit}") }
}

fn write_step(leaf: &mut Leaf, row: u32, step: &Step, [ends, gives]: &[&Format; 2]) -> Result<(), RenderError> {
    for (column, end) in [(0, step.from), (1, step.to)] {
        match end {
            Some(end) => leaf.number(row, column, end, ends)?,
            None => leaf.blank(row, column, ends)?,
        }
    }
    leaf.number(row, 2, step.value, gives)?;
    let words = style::set_off(style::typed(style::line(Weight::Line, false)));
    leaf.text(row, 3, &step.word, &words)
}

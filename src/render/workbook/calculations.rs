//! Every figure of the run, one to a row: what it is, the formula in letters and in numbers, and its value as a live
//! formula over given values, records and the figures it is made of.

use super::address::{FIGURE_VALUE, FIRST, Plan};
use super::leaf::{Leaf, stored};
use super::list::{self, List, numbers, words};
use super::shown::ShownOn;
use super::style::{self, Weight};
use crate::dossier::Dossier;
use crate::figure::{Addresses, Book, Expr, Figure, FigureId, Value, hand, live};
use crate::render::RenderError;

/// Longest formula, and most arguments of a function, that spreadsheet programs take.
const LONGEST: usize = 8_192;
const ARGUMENTS: usize = 255;

/// Stands in the note of a figure that cannot be live.
const TOO_LONG: &str = "No live formula: it would be longer than spreadsheet programs take. Trace the figure instead.";

/// Columns after the value.
const NOTE: u16 = 9;
const RECORDS: u16 = 10;
const SHOWN_ON: u16 = 11;

/// Writes the sheet.
pub(super) fn write(
    leaf: &mut Leaf,
    dossier: &Dossier,
    book: &Book,
    plan: &Plan,
    shown: &ShownOn,
) -> Result<(), RenderError> {
    let columns = vec![
        words("Key", 24.0),
        words("Figure", 25.0),
        words("Symbol", 8.0),
        words("Formula", 28.0),
        words("With numbers", 32.0),
        numbers("Value", 15.0),
        words("Unit", 8.0),
        words("Rounded to", 14.0),
        words("Rule", 26.0),
        words("Note", 26.0),
        words("Records", 20.0),
        words("Shown on", 14.0),
    ];
    let rows = u32::try_from(book.figures().count()).unwrap_or(u32::MAX);
    let what = "Each value is a live formula over the given values, the records and other figures.";
    let list = List::open(leaf, &dossier.head, (&plan.names.calculations, what), columns, rows)?;
    for (row, (id, figure)) in (FIRST..).zip(book.figures()) {
        let line = hand(book, id);
        let unit = list::unit(figure.unit, &dossier.head.currency);
        let rounded = figure.rounding.map_or_else(String::new, |r| r.to_string());
        let (how, numbers) = (&line.formula, &line.numbers);
        let no_value = match &figure.value {
            Value::Not(why) => format!("not computed: {why}"),
            _ => String::new(),
        };
        let cells: [&str; 10] = [
            &figure.key,
            &figure.label,
            &figure.symbol,
            how,
            numbers,
            &no_value,
            &unit,
            &rounded,
            &figure.clause,
            &figure.note,
        ];
        list.words(leaf, row, &cells)?;
        value(leaf, row, book, figure, plan)?;
        records(leaf, row, figure, plan, &list)?;
        where_shown(leaf, row, id, shown, &list)?;
    }
    Ok(())
}

/// The value as a live formula; where there is none, the words for it stand there already.
fn value(leaf: &mut Leaf, row: u32, book: &Book, figure: &Figure, plan: &Plan) -> Result<(), RenderError> {
    let format = style::decimals(style::line(Weight::Line, true), figure.decimals);
    let Some(result) = stored(&figure.value) else { return Ok(()) };
    let formula = live(book, figure, plan);
    if fits(&formula) {
        return leaf.formula(row, FIGURE_VALUE, &formula, &result, &format);
    }
    leaf.number(row, FIGURE_VALUE, figure.value.decimal().unwrap_or_default(), &format)?;
    leaf.text(row, NOTE, &format!("{} {TOO_LONG}", figure.note), &style::line(Weight::Line, false))
}

/// Whether spreadsheet programs take a formula of this length and with so many arguments to a function.
pub(super) fn fits(formula: &str) -> bool {
    let mut arguments = vec![1_usize];
    let mut most = 1;
    for c in formula.chars() {
        match c {
            '(' => arguments.push(1),
            ')' => most = most.max(arguments.pop().unwrap_or(1)),
            ',' => arguments.iter_mut().last().into_iter().for_each(|n| *n += 1),
            _ => {}
        }
    }
    formula.len() < LONGEST && most <= ARGUMENTS
}

/// Leads to the records that the figure takes its values from, where it takes any directly.
fn records(leaf: &mut Leaf, row: u32, figure: &Figure, plan: &Plan, list: &List) -> Result<(), RenderError> {
    let mut found = Vec::new();
    collect(&figure.expr, plan, &mut found);
    found.dedup();
    let Some(first) = found.first() else { return leaf.text(row, RECORDS, "", list.line()) };
    let format = style::leads(list.line().clone());
    leaf.link(row, RECORDS, first, &format)?;
    let more = if found.len() > 1 { format!(" and {} more", found.len() - 1) } else { String::new() };
    leaf.text(row, RECORDS, &format!("{}{more}", first.replace('$', "")), &format)
}

fn collect(expr: &Expr, plan: &Plan, found: &mut Vec<String>) {
    match expr {
        Expr::Cell(id) => found.push(plan.cell(*id)),
        Expr::Total(total) if total.rows.0 < total.rows.1 => {
            found.push(plan.column(total.table, total.column, total.rows));
        }
        other => other.parts().into_iter().for_each(|part| collect(part, plan, found)),
    }
}

/// Leads back to the page that shows the figure first.
fn where_shown(leaf: &mut Leaf, row: u32, id: FigureId, shown: &ShownOn, list: &List) -> Result<(), RenderError> {
    let Some((page, target)) = shown.get(id) else { return leaf.text(row, SHOWN_ON, "", list.line()) };
    let format = style::leads(list.line().clone());
    leaf.link(row, SHOWN_ON, target, &format)?;
    leaf.text(row, SHOWN_ON, page, &format)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_formula_is_measured_before_it_is_written() {
        assert!(fits("SUM($F$5,$F$7)"));
        assert!(!fits(&format!("SUM({})", vec!["$F$5"; 256].join(","))));
        assert!(fits(&format!("SUM({},SUM($F$5,$F$6))", vec!["$F$5"; 254].join(","))));
        assert!(!fits(&format!("SUM({})", vec!["'Given values'!$C$100000"; 400].join("+"))));
    }
}

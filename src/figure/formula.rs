//! Third reading: the live formula of a workbook.
//!
//! The renderer says where figures, given values, tables and stepped tables stand ([`Addresses`]); the formula is written
//! in the functions of ISO/IEC 29500 spreadsheets that every spreadsheet program computes alike.

use rust_decimal::Decimal;

use super::book::{Book, Ends, Figure, FigureId, GivenId, StepsId};
use super::distribution;
use super::expr::{Comparison, Expr, Statistic, Total};
use super::table::{CellId, TableId};
use super::value::Value;
use crate::units::{Mode, Rounding};

/// Where things stand in the workbook.
pub trait Addresses {
    /// Cell of a figure's value.
    fn figure(&self, id: FigureId) -> String;
    /// Cell of a given value.
    fn given(&self, id: GivenId) -> String;
    /// Cell of a record.
    fn cell(&self, id: CellId) -> String;
    /// Rows `rows.0` to before `rows.1` of a table's column.
    fn column(&self, table: TableId, column: u16, rows: (u32, u32)) -> String;
    /// The ranges of a stepped table: lower ends, upper ends, values. An end without limit stands there as blank.
    fn steps(&self, id: StepsId) -> [String; 3];
}

/// The formula of a figure, without the leading `=`.
#[must_use]
pub fn live(book: &Book, figure: &Figure, at: &impl Addresses) -> String {
    let body = write(book, &figure.expr, at);
    match figure.rounding {
        Some(rounding) => round(&body, rounding, floats(book, &figure.expr)),
        None => body,
    }
}

fn floats(book: &Book, expr: &Expr) -> bool {
    matches!(book.evaluate(expr), Value::Real(_))
}

fn write(book: &Book, expr: &Expr, at: &impl Addresses) -> String {
    let sub = |e: &Expr| write(book, e, at);
    // Where a floating value decides, it does so without binary dust, as in the engine.
    let compared = |e: &Expr| if floats(book, e) { format!("ROUND({},9)", sub(e)) } else { sub(e) };
    match expr {
        Expr::Figure(id) => at.figure(*id),
        Expr::Given(id) => at.given(*id),
        Expr::Cell(id) => at.cell(*id),
        Expr::Whole(n) => n.to_string(),
        Expr::Total(total) => write_total(total, at),
        Expr::Add(a, b) => format!("({}+{})", sub(a), sub(b)),
        Expr::Sub(a, b) => format!("({}-{})", sub(a), sub(b)),
        Expr::Mul(a, b) => format!("{}*{}", sub(a), sub(b)),
        Expr::Div(a, b) => format!("{}/({})", sub(a), sub(b)),
        Expr::Of(statistic, many) => statistic_of(*statistic, &many.iter().map(sub).collect::<Vec<_>>()),
        Expr::Convert(a, by) => match (by.times.normalize(), by.over.normalize()) {
            (t, o) if t == o => sub(a),
            (t, o) if o == Decimal::ONE => format!("{}*{t}", sub(a)),
            (t, o) if t == Decimal::ONE => format!("{}/{o}", sub(a)),
            (t, o) => format!("{}*{t}/{o}", sub(a)),
        },
        Expr::Round(a, rounding) => round(&sub(a), *rounding, floats(book, a)),
        Expr::Compare(a, how, b) => {
            let sign = match how {
                Comparison::Below => "<",
                Comparison::AtMost => "<=",
                Comparison::AtLeast => ">=",
                Comparison::Above => ">",
            };
            format!("({}{sign}{})", compared(a), compared(b))
        }
        Expr::If(test, yes, no) => format!("IF({},{},{})", sub(test), sub(yes), sub(no)),
        Expr::LookUp(a, steps) => look_up(&compared(a), &at.steps(*steps), book[*steps].ends),
        Expr::CircleArea(a) => format!("PI()*({})^2/4", sub(a)),
        Expr::Power(a, b) => format!("POWER({},{})", sub(a), sub(b)),
        Expr::Root(a) => format!("SQRT({})", sub(a)),
        Expr::Exponential(a) => format!("EXP({})", sub(a)),
        Expr::Logarithm(a) => format!("LN({})", sub(a)),
        Expr::Distribution(which, of) => distribution::live(*which, &of.iter().map(sub).collect::<Vec<_>>()),
    }
}

fn statistic_of(statistic: Statistic, values: &[String]) -> String {
    let function = match statistic {
        Statistic::Sum if values.is_empty() => return "0".into(),
        Statistic::Sum => "SUM",
        Statistic::Mean => "AVERAGE",
        Statistic::Spread => "STDEV",
        Statistic::Count => return values.len().to_string(),
        Statistic::Min => "MIN",
        Statistic::Max => "MAX",
    };
    format!("{function}({})", in_runs(values).join(","))
}

/// Cells that follow each other down a column, as one range: a function takes 255 arguments and a formula 8,192 characters.
fn in_runs(cells: &[String]) -> Vec<String> {
    let mut runs: Vec<(&str, Option<u32>, Option<u32>)> = Vec::new();
    for cell in cells {
        let (column, row) = match cell.rsplit_once('$').map(|(column, row)| (column, row.parse().ok())) {
            Some((column, Some(row))) if !cell.contains(['(', ':', ',', '*', '+']) => (column, Some(row)),
            _ => (cell.as_str(), None),
        };
        match runs.last_mut() {
            Some((same, _, last @ Some(_))) if *same == column && row == last.map(|n| n + 1) => *last = row,
            _ => runs.push((column, row, row)),
        }
    }
    let written = runs.into_iter().map(|(column, first, last)| match (first, last) {
        (Some(first), Some(last)) if first < last => {
            let own = column.rsplit_once('!').map_or(column, |(_, own)| own);
            format!("{column}${first}:{own}${last}")
        }
        (Some(only), _) => format!("{column}${only}"),
        _ => column.to_string(),
    });
    written.collect()
}

fn write_total(total: &Total, at: &impl Addresses) -> String {
    if total.rows.0 >= total.rows.1 {
        return "0".into();
    }
    let values = at.column(total.table, total.column, total.rows);
    match (total.of, total.only) {
        (Statistic::Count, None) => format!("COUNT({values})"),
        (Statistic::Count, Some((column, word))) => {
            let words = at.column(total.table, column, total.rows);
            format!("SUMPRODUCT(ISNUMBER({values})*({words}=\"{word}\"))")
        }
        (_, None) => format!("SUM({values})"),
        (_, Some((column, word))) => {
            let words = at.column(total.table, column, total.rows);
            format!("SUMIFS({values},{words},\"{word}\")")
        }
    }
}

/// The one step whose ends hold the value; ends without limit are blank cells.
fn look_up(value: &str, [from, to, gives]: &[String; 3], ends: Ends) -> String {
    let lower = if ends == Ends::Upper { ">" } else { ">=" };
    let upper = if ends == Ends::Lower { "<" } else { "<=" };
    format!(
        "SUMPRODUCT((({from}=\"\")+({from}<>\"\")*({value}{lower}{from})>0)*(({to}=\"\")+({to}<>\"\")*({value}{upper}{to})>0)*{gives})"
    )
}

/// Spreadsheets have no half-to-even; it is written out, after nine decimals of the number of steps to absorb binary dust.
/// A floating value drops its dust before it is rounded in any way.
fn round(value: &str, rounding: Rounding, floating: bool) -> String {
    let step = rounding.to();
    let decimals = step.scale();
    let power_of_ten = step == Decimal::new(1, decimals) && decimals <= 12;
    let function = match rounding.mode() {
        Mode::HalfUp => "ROUND",
        Mode::Up => "ROUNDUP",
        Mode::Down => "ROUNDDOWN",
        Mode::HalfEven => {
            let steps = format!("ROUND(({value})/{step},9)");
            return format!(
                "ROUND({step}*(ROUND({steps},0)-IF(AND(ABS({steps}-TRUNC({steps}))=0.5,ISODD(ROUND({steps},0))),SIGN({steps}),0)),{decimals})"
            );
        }
    };
    match rounding.mode() {
        Mode::HalfUp if power_of_ten && floating => format!("ROUND(ROUND({value},{}),{decimals})", decimals + 9),
        Mode::HalfUp if power_of_ten => format!("ROUND({value},{decimals})"),
        Mode::HalfUp if !floating => format!("ROUND(ROUND(({value})/{step},0)*{step},{decimals})"),
        _ => format!("ROUND({function}(ROUND(({value})/{step},9),0)*{step},{decimals})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_that_follow_each_other_are_one_range() {
        let cells = ["Cores!$C$6", "Cores!$C$7", "Cores!$C$9", "$F$9", "$F$10", "($F$1+$F$2)"].map(String::from);
        assert_eq!(in_runs(&cells), ["Cores!$C$6:$C$7", "Cores!$C$9", "$F$9:$F$10", "($F$1+$F$2)"]);
    }

    #[test]
    fn the_same_cell_named_twice_counts_twice() {
        let cells = ["$F$9", "$F$9", "$F$8"].map(String::from);
        assert_eq!(in_runs(&cells), cells);
    }
}

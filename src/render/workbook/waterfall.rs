//! An account as columns that stand on each other, over cells that follow the table.
//!
//! No spreadsheet program draws such a chart from the table alone in a file that all of them read, so each page with one
//! has cells at the right of its table, outside the printed area, whose formulas refer to the table: the value of each row,
//! where its bar begins and ends, and what of it stands above and below zero. A workbook that is recalculated draws the
//! new values. What does not follow is the range of a cut side axis, which is that of the values when the file was written,
//! and which rows have a value at all.
//!
//! A bar is an invisible base from zero to its nearer end, and on it the part up to its farther end. A bar through zero has
//! no base and a part on either side. Three lines, each with gaps, make the thin joints from bar to bar.

use rust_xlsxwriter::{
    Chart as Drawn, ChartFormat, ChartLine, ChartPatternFill, ChartPatternFillType, ChartSeries, ChartSolidFill,
    ChartType,
};

use super::address::absolute;
use super::chart::Ranges;
use super::clean;
use super::leaf::{Leaf, binary};
use super::style;
use crate::dossier::{Chart, RowKind};
use crate::render::RenderError;
use crate::render::account::{heights, is_cut};
use crate::render::view::RowView;

/// Headings of the cells that the chart is drawn from.
const HEADINGS: [&str; 13] = [
    "bar",
    "value",
    "begins at",
    "ends at",
    "base, not drawn",
    "total",
    "adds, above zero",
    "adds, below zero",
    "takes away, above zero",
    "takes away, below zero",
    "joint 1",
    "joint 2",
    "joint 3",
];
/// Columns that the cells of one account take, and a free one.
pub(super) const WIDTH: u16 = 14;
/// Minus sign.
const MINUS: &str = "\u{2212}";
/// Joints follow each other in turn in so many columns.
const JOINTS: u16 = 3;
const FIRST_JOINT: u16 = 10;
/// First drawn series after the base, and the ones that the legend names.
const NAMED: [(u16, &str); 3] = [(5, "total"), (6, "adds"), (8, "takes away")];
const ACCENT: u32 = style::ACCENT;
const INK: u32 = 0x22_2222;

/// A row that has a value: where it stands, and what it is.
#[derive(Clone, Debug, PartialEq)]
struct Step {
    row: u32,
    name: String,
    /// The name is words in the table, not a day or a number that would be joined to its value otherwise.
    words: bool,
    text: String,
    decimals: usize,
    total: bool,
    value: f64,
    begins: f64,
    ends: f64,
}

/// The cells behind an account and the range of their heights.
#[derive(Clone, Debug)]
pub(super) struct Cells {
    first: u32,
    last: u32,
    column: u16,
    low: f64,
    high: f64,
}

/// Writes the cells behind a chart, their headings in row `top`, from column `left`; `None` where no row has a value.
pub(super) fn write(
    leaf: &mut Leaf,
    (chart, rows): (&Chart, &[RowView]),
    at: &Ranges,
    (top, left): (u32, u16),
) -> Result<Option<Cells>, RenderError> {
    let Some(series) = chart.series.first() else { return Ok(None) };
    let steps = steps([chart.along, series.column], rows, at);
    let (Some(low), Some(high)) = (height(&steps, f64::min), height(&steps, f64::max)) else { return Ok(None) };
    let muted = style::muted();
    leaf.text(top, left, &format!("{}: the chart is drawn from these cells.", chart.title), &muted)?;
    for (column, heading) in (left..).zip(HEADINGS) {
        leaf.text(top + 1, column, heading, &muted)?;
    }
    let column = |n: usize| at.columns.get(n).copied().unwrap_or(0);
    let first = top + 2;
    let mut before = None;
    for (n, (row, step)) in (first..).zip(&steps).enumerate() {
        let from = [absolute(step.row, column(chart.along)), absolute(step.row, column(series.column))];
        one(leaf, (row, left), step, &from, before)?;
        before = Some(row);
        joint(leaf, (first, row, left), n, &steps)?;
    }
    let last = before.unwrap_or(first);
    Ok(Some(Cells { first, last, column: left, low, high }))
}

/// The rows that have a value.
fn steps([along, column]: [usize; 2], rows: &[RowView], at: &Ranges) -> Vec<Step> {
    let days = at.days.get(along).is_some_and(|days| *days);
    let valued = (at.first..).zip(rows).filter_map(|(row, r)| {
        let cell = r.cells.get(column)?;
        let name = r.cells.get(along).map_or_else(String::new, |c| c.text.clone());
        let words = !days && r.cells.get(along).is_some_and(|c| c.number.is_none());
        let decimals = cell.text.split_once('.').map_or(0, |(_, d)| d.chars().filter(char::is_ascii_digit).count());
        let (total, value) = (r.kind != RowKind::Line, binary(cell.number?));
        Some(Step { row, name, words, text: cell.text.clone(), decimals, total, value, begins: 0.0, ends: 0.0 })
    });
    let mut steps: Vec<Step> = valued.collect();
    let heights = heights(steps.iter().map(|s| (s.total, s.value)));
    for (step, [begins, ends]) in steps.iter_mut().zip(heights) {
        (step.begins, step.ends) = (begins, ends);
    }
    steps
}

fn height(steps: &[Step], pick: fn(f64, f64) -> f64) -> Option<f64> {
    steps.iter().flat_map(|s| [if s.total { s.ends } else { s.begins }, s.ends]).reduce(pick)
}

/// The cells of one bar.
fn one(
    leaf: &mut Leaf,
    (row, left): (u32, u16),
    step: &Step,
    [name, value]: &[String; 2],
    before: Option<u32>,
) -> Result<(), RenderError> {
    let format = style::muted();
    let label = clean::cell(&format!("{}: {}", step.name, bare(&step.text))).into_owned();
    let named = if step.words { name.clone() } else { format!("\"{}\"", clean::cell(&step.name).replace('"', "\"\"")) };
    let valued = format!("SUBSTITUTE(FIXED({value},{}),\"-\",\"{MINUS}\")", step.decimals);
    leaf.formula(row, left, &format!("{named}&\": \"&{valued}"), &label, &format)?;
    let format = style::decimals(format, u8::try_from(step.decimals).unwrap_or(2));
    let mut put =
        |n: u16, formula: &str, stored: f64| leaf.formula(row, left + n, formula, &(stored + 0.0).to_string(), &format);
    let [v, b, e] = [1, 2, 3].map(|n| absolute(row, left + n));
    let (begins, ends) = (step.begins, step.ends);
    put(1, value, step.value)?;
    match before.filter(|_| !step.total) {
        Some(before) => put(2, &absolute(before, left + 3), begins)?,
        None => put(2, "0", 0.0)?,
    }
    put(3, &format!("{b}+{v}"), ends)?;
    if step.total {
        return put(5, &e, ends);
    }
    let [base, adds_above, adds_below, takes_above, takes_below] = parts(step);
    put(4, &format!("MAX(0,MIN({b},{e}))+MIN(0,MAX({b},{e}))"), base)?;
    put(6, &format!("IF({v}>=0,MAX(0,{e})-MAX(0,{b}),0)"), adds_above)?;
    put(7, &format!("IF({v}>=0,MIN(0,{b})-MIN(0,{e}),0)"), adds_below)?;
    put(8, &format!("IF({v}<0,MAX(0,{b})-MAX(0,{e}),0)"), takes_above)?;
    put(9, &format!("IF({v}<0,MIN(0,{e})-MIN(0,{b}),0)"), takes_below)
}

/// Base of a step, and its parts above and below zero: of one that adds, of one that takes away.
fn parts(step: &Step) -> [f64; 5] {
    let (low, high) = (step.begins.min(step.ends), step.begins.max(step.ends));
    let base = low.max(0.0) + high.min(0.0);
    let (above, below) = (high.max(0.0) - low.max(0.0), low.min(0.0) - high.min(0.0));
    if step.value >= 0.0 { [base, above, below, 0.0, 0.0] } else { [base, 0.0, 0.0, above, below] }
}

/// The thin line from where a bar ends to the next: two cells of one column, then a gap.
fn joint(leaf: &mut Leaf, (first, row, left): (u32, u32, u16), n: usize, steps: &[Step]) -> Result<(), RenderError> {
    let ends = |n: usize| steps.get(n).map(|s| s.ends);
    let turn = |n: usize| left + FIRST_JOINT + u16::try_from(n % usize::from(JOINTS)).unwrap_or(0);
    let source = |n: usize| absolute(first + u32::try_from(n).unwrap_or(0), left + 3);
    let format = style::muted();
    if let Some(end) = ends(n).filter(|_| n + 1 < steps.len()) {
        leaf.formula(row, turn(n), &source(n), &end.to_string(), &format)?;
    }
    if let Some((before, end)) = n.checked_sub(1).and_then(|m| ends(m).map(|e| (m, e))) {
        leaf.formula(row, turn(before), &source(before), &end.to_string(), &format)?;
    }
    Ok(())
}

/// A number as `FIXED` writes it, without the currency sign, behind a minus that stays with its digits in a narrow place.
fn bare(text: &str) -> String {
    text.replace('-', MINUS).chars().filter(|c| c.is_ascii_digit() || ".,".contains(*c) || MINUS.contains(*c)).collect()
}

/// The columns and joints over the cells of an account.
pub(super) fn columns(sheet: &str, cells: &Cells) -> Drawn {
    let (mut bars, mut lines) = (Drawn::new(ChartType::ColumnStacked), Drawn::new_line());
    for column in 4..FIRST_JOINT {
        let mut one = series(sheet, cells, column);
        one.set_format(&mut look(column)).set_gap(50);
        bars.push_series(&one);
    }
    for column in FIRST_JOINT..FIRST_JOINT + JOINTS {
        let mut one = series(sheet, cells, column);
        let mut format = ChartFormat::new();
        format.set_line(ChartLine::new().set_color(style::MUTED).set_width(0.75));
        let mut none = rust_xlsxwriter::ChartMarker::new();
        none.set_none();
        one.set_format(&mut format).set_marker(&none);
        lines.push_series(&one);
    }
    bars.combine(&lines);
    let unnamed: Vec<usize> = (4..FIRST_JOINT + JOINTS)
        .zip(0..)
        .filter(|(column, _)| !NAMED.iter().any(|(named, _)| named == column))
        .map(|(_, n)| n)
        .collect();
    bars.legend().delete_entries(&unnamed);
    bars
}

impl Cells {
    /// Lowest and highest height, where the side axis is cut.
    pub(super) fn cut(&self) -> Option<[f64; 2]> {
        is_cut(self.low, self.high).then_some([self.low, self.high])
    }
}

fn series(sheet: &str, cells: &Cells, column: u16) -> ChartSeries {
    let at = cells.column + column;
    let name = NAMED
        .iter()
        .find(|(named, _)| *named == column)
        .map_or_else(|| HEADINGS.get(usize::from(column)).copied().unwrap_or_default(), |(_, name)| name);
    let mut one = ChartSeries::new();
    one.set_name(name).set_categories((sheet, cells.first, cells.column, cells.last, cells.column)).set_values((
        sheet,
        cells.first,
        at,
        cells.last,
        at,
    ));
    one
}

/// Totals are dark, what adds is light, what takes away is hatched; the base is not drawn.
fn look(column: u16) -> ChartFormat {
    let mut format = ChartFormat::new();
    match column {
        4 => return format.set_no_fill().set_no_border().clone(),
        5 => format.set_solid_fill(ChartSolidFill::new().set_color(ACCENT)),
        6 | 7 => format.set_solid_fill(ChartSolidFill::new().set_color(0xDF_E8EA)),
        _ => {
            let mut fill = ChartPatternFill::new();
            fill.set_pattern(ChartPatternFillType::DiagonalStripesWideUpwards)
                .set_foreground_color(INK)
                .set_background_color(0xFF_FFFF);
            format.set_pattern_fill(&fill)
        }
    };
    format.set_border(ChartLine::new().set_color(INK).set_width(0.75));
    format
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::view::CellView;
    use rust_decimal::{Decimal, dec};

    fn rows(values: &[(RowKind, Option<Decimal>)]) -> Vec<RowView> {
        let cell = |text: String, number| CellView { text, number, ..CellView::default() };
        let row = |(n, (kind, v)): (usize, &(RowKind, Option<Decimal>))| RowView {
            kind: *kind,
            cells: vec![cell(format!("row {n}"), None), cell(v.map_or(String::new(), |v| v.to_string()), *v)],
        };
        values.iter().enumerate().map(row).collect()
    }

    fn at(first: u32) -> Ranges {
        Ranges { first, last: first, columns: vec![0, 1], days: vec![false, false] }
    }

    #[test]
    fn a_step_through_zero_has_no_base_and_a_part_on_either_side() {
        use RowKind::{Line, Total};
        let values = [(Line, Some(dec!(3))), (Line, Some(dec!(-5))), (Line, Some(dec!(-1))), (Line, Some(dec!(4.5)))];
        let steps = steps([0, 1], &rows(&values), &at(7));
        let expected = [
            [0.0, 3.0, 0.0, 0.0, 0.0],
            [0.0, 0.0, 0.0, 3.0, -2.0],
            [-2.0, 0.0, 0.0, 0.0, -1.0],
            [0.0, 1.5, -3.0, 0.0, 0.0],
        ];
        assert_eq!(steps.iter().map(parts).collect::<Vec<_>>(), expected);
        let with_total = super::steps([0, 1], &rows(&[(Line, Some(dec!(3))), (Total, Some(dec!(-2)))]), &at(0));
        assert_eq!((with_total[1].begins, with_total[1].ends), (0.0, -2.0));
    }

    #[test]
    fn a_row_without_value_is_left_out_and_the_others_keep_their_places() {
        let values = [(RowKind::Subtotal, Some(dec!(10))), (RowKind::Line, None), (RowKind::Line, Some(dec!(-2.50)))];
        let steps = steps([0, 1], &rows(&values), &at(7));
        assert_eq!(steps.iter().map(|s| (s.row, s.decimals, s.ends)).collect::<Vec<_>>(), [(7, 0, 10.0), (9, 2, 7.5)]);
    }

    #[test]
    fn the_name_of_a_bar_ends_with_its_value() {
        assert_eq!(bare("-$3,398.02"), "\u{2212}3,398.02");
        assert_eq!(bare("96.5"), "96.5");
    }
}

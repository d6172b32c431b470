//! A hand calculation as lines: symbol = formula = numbers = result with its unit; what it follows, and its key, at the right.

use super::hang;
use crate::render::columns::width;
use crate::render::view::{CalculationView, LineView};
use crate::wrapping::wrap;

/// Widths of the parts of a calculation line.
struct Widths {
    label: usize,
    work: usize,
    value: usize,
    unit: usize,
    note: usize,
}

/// Widest that a label and a formula may become before they break.
const LABEL: usize = 16;
const WORK: usize = 40;

/// The lines of a calculation, its title first.
pub(super) fn lines(calculation: &CalculationView, wide: usize) -> Vec<String> {
    let mut out = wrap(&calculation.title, wide);
    let widths = widths(&calculation.lines, wide);
    for line in &calculation.lines {
        out.extend(set(line, &widths));
    }
    if !calculation.remark.is_empty() {
        out.extend(hang("  ", &calculation.remark, wide));
    }
    out
}

fn widths(lines: &[LineView], wide: usize) -> Widths {
    let longest = |of: &dyn Fn(&LineView) -> usize| lines.iter().map(of).max().unwrap_or(0);
    let label = longest(&|l| width(&l.label)).min(LABEL);
    let work = longest(&|l| width(&in_one(l))).clamp(12, WORK);
    let value = longest(&|l| width(&l.value) + width(&l.pad));
    let unit = longest(&|l| width(&l.unit));
    let note = wide.saturating_sub(2 + label + 2 + work + 3 + value + 1 + unit + 2).max(12);
    Widths { label, work, value, unit, note }
}

fn in_one(line: &LineView) -> String {
    steps(line).join(" = ")
}

fn steps(line: &LineView) -> Vec<&str> {
    [line.symbol.as_str(), &line.formula, &line.numbers].into_iter().filter(|s| !s.is_empty()).collect()
}

/// On one line if it fits; otherwise each `=` begins a line under the first.
fn work(line: &LineView, wide: usize) -> Vec<String> {
    let one = in_one(line);
    if width(&one) <= wide {
        return vec![one];
    }
    let steps = steps(line);
    let indent = width(steps.first().unwrap_or(&""));
    let mut out = Vec::new();
    for (i, step) in steps.iter().enumerate().skip(1) {
        let lead = if i == 1 { format!("{} = ", steps[0]) } else { format!("{} = ", " ".repeat(indent)) };
        out.extend(hang(&lead, step, wide));
    }
    out
}

fn set(line: &LineView, widths: &Widths) -> Vec<String> {
    let label = wrap(&line.label, widths.label);
    let work = work(line, widths.work);
    let mut note = if line.note.is_empty() { Vec::new() } else { wrap(&line.note, widths.note) };
    let key = format!("[{}]", line.key);
    match note.last_mut() {
        Some(last) if width(last) + 1 + width(&key) <= widths.note => {
            last.push(' ');
            last.push_str(&key);
        }
        _ => note.extend(wrap(&key, widths.note)),
    }
    // The result stands at the end of the work, as on paper.
    let result = work.len() - 1;
    let deep = label.len().max(work.len()).max(result + note.len());
    (0..deep)
        .map(|i| {
            let at = |lines: &[String], i: usize| lines.get(i).cloned().unwrap_or_default();
            let (equals, value, unit) = if i == result {
                ("=", format!("{}{}", line.value, " ".repeat(width(&line.pad))), line.unit.as_str())
            } else {
                (" ", String::new(), "")
            };
            let beside = i.checked_sub(result).map_or_else(String::new, |n| at(&note, n));
            format!(
                "  {:<l$}  {:<w$} {equals} {value:>v$} {unit:<u$}  {beside}",
                at(&label, i),
                at(&work, i),
                l = widths.label,
                w = widths.work,
                v = widths.value,
                u = widths.unit
            )
            .trim_end()
            .to_string()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(symbol: &str, formula: &str, numbers: &str, value: &str) -> LineView {
        LineView {
            key: "k".into(),
            label: "area".into(),
            symbol: symbol.into(),
            formula: formula.into(),
            numbers: numbers.into(),
            value: value.into(),
            pad: String::new(),
            unit: "yd2".into(),
            note: String::new(),
        }
    }

    #[test]
    fn a_short_calculation_stands_on_one_line() {
        let c = CalculationView {
            title: "Lot 7".into(),
            lines: vec![line("A", "L x w / 9", "148.0 x 12.0 / 9", "197.33")],
            remark: String::new(),
        };
        assert_eq!(lines(&c, 100), ["Lot 7", "  area  A = L x w / 9 = 148.0 x 12.0 / 9 = 197.33 yd2  [k]"]);
    }

    #[test]
    fn a_long_one_breaks_at_its_equal_signs_and_ends_with_the_result() {
        let long = "8.63 + 8.71 + 8.58 + 8.60 + 8.66 + 8.70";
        let c = CalculationView {
            title: "Lot 7".into(),
            lines: vec![line("t", "a + b + c + d + e + f", long, "51.88")],
            remark: String::new(),
        };
        let shown = lines(&c, 100);
        assert!(shown[1].contains("t = a + b + c") && !shown[1].contains("51.88"));
        assert!(shown.iter().any(|l| l.contains("= 51.88 yd2")));
        assert!(shown.iter().all(|l| l.chars().count() <= 100));
    }
}

//! A table as lines: headings over a rule, numbers lined up at their decimal points, long words under each other.

use crate::dossier::RowKind;
use crate::render::columns::{GAP, Part, parts, said, width};
use crate::render::view::TableView;
use crate::wrapping::wrap;

/// The lines of a table, its title first.
pub(super) fn lines(table: &TableView, wide: usize) -> Vec<String> {
    let mut out = wrap(&format!("Table {}. {}", table.number, table.title), wide);
    let parts = parts(table, wide);
    for (n, part) in parts.iter().enumerate() {
        if n > 0 {
            out.extend([String::new(), format!("Table {}, further columns", table.number)]);
        }
        let rule = "-".repeat(part.iter().map(|c| c.1 + GAP).sum::<usize>().saturating_sub(GAP));
        out.push(rule.clone());
        out.extend(heading(table, part));
        out.push(rule.clone());
        out.extend(body(table, part, n, &rule));
        out.push(rule);
    }
    if !table.note.is_empty() {
        out.extend(wrap(&table.note, wide));
    }
    out
}

/// Headings stand on the rule; the unit is the last line.
fn heading(table: &TableView, part: &Part) -> Vec<String> {
    let texts: Vec<Vec<String>> = part
        .iter()
        .map(|&(i, width)| {
            let column = &table.columns[i];
            let mut lines = wrap(&column.heading, width);
            if !column.unit.is_empty() {
                lines.extend(wrap(&column.unit, width));
            }
            lines
        })
        .collect();
    let deep = texts.iter().map(Vec::len).max().unwrap_or(0);
    (0..deep)
        .map(|line| {
            let cells = part.iter().zip(&texts).map(|(&(i, width), lines)| {
                let text = (line + lines.len()).checked_sub(deep).and_then(|at| lines.get(at));
                set(text.map_or("", String::as_str), width, table.columns[i].right)
            });
            cells.collect::<Vec<_>>().join(&" ".repeat(GAP))
        })
        .collect()
}

fn body(table: &TableView, part: &Part, n: usize, rule: &str) -> Vec<String> {
    let mut out = Vec::new();
    if table.rows.is_empty() {
        out.push("none".into());
    }
    for row in &table.rows {
        if row.kind != RowKind::Line && !out.is_empty() {
            out.push(rule.into());
        }
        let texts: Vec<Vec<String>> =
            part.iter().map(|&(i, width)| cell(said(table, row, i, n), &row.cells[i].pad, width)).collect();
        let deep = texts.iter().map(Vec::len).max().unwrap_or(0);
        for line in 0..deep {
            let cells = part
                .iter()
                .zip(&texts)
                .map(|(&(i, width), t)| set(t.get(line).map_or("", String::as_str), width, table.columns[i].right));
            out.push(cells.collect::<Vec<_>>().join(&" ".repeat(GAP)).trim_end().into());
        }
    }
    out
}

fn cell(text: &str, pad: &str, width: usize) -> Vec<String> {
    let mut lines = wrap(text, width);
    if let Some(last) = lines.last_mut() {
        last.push_str(&" ".repeat(self::width(pad)));
    }
    lines
}

fn set(text: &str, width: usize, right: bool) -> String {
    if right { format!("{text:>width$}") } else { format!("{text:<width$}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::view::{CellView, ColumnView, RowView};

    fn table(columns: &[(&str, bool)], rows: &[&[&str]]) -> TableView {
        let column = |&(heading, right): &(&str, bool)| ColumnView {
            heading: heading.into(),
            unit: String::new(),
            right,
            mono: false,
            hint: 10,
        };
        let cell = |text: &&str| CellView { text: (*text).into(), ..CellView::default() };
        TableView {
            number: 1,
            id: "t".into(),
            title: "Items".into(),
            columns: columns.iter().map(column).collect(),
            rows: rows.iter().map(|r| RowView { kind: RowKind::Line, cells: r.iter().map(cell).collect() }).collect(),
            note: String::new(),
        }
    }

    #[test]
    fn numbers_stand_right_and_words_left() {
        let shown =
            lines(&table(&[("item", false), ("amount", true)], &[&["kerb", "12.50"], &["base", "1,200.00"]]), 40);
        assert_eq!(
            shown,
            [
                "Table 1. Items",
                "--------------",
                "item    amount",
                "--------------",
                "kerb     12.50",
                "base  1,200.00",
                "--------------"
            ]
        );
    }

    #[test]
    fn further_columns_repeat_what_a_row_is() {
        let wide = "9,999,999,999.00";
        let heads = [("no", false), ("what", false), ("a", true), ("b", true), ("c", true)];
        let table = table(&heads, &[&["1", "kerb", wide, wide, wide], &["", "total", wide, wide, wide]]);
        let shown = lines(&table, 45);
        let second = shown.iter().position(|l| l.contains("further columns")).unwrap();
        assert!(shown[second..].iter().any(|l| l.starts_with("total ")), "{shown:#?}");
        assert!(shown.iter().all(|l| l.chars().count() <= 45));
    }

    #[test]
    fn a_table_without_rows_says_so() {
        assert!(lines(&table(&[("item", false)], &[]), 40).contains(&"none".to_string()));
    }
}
